//! Who wants what: standing buyers of the farm's description and orders that were written down, as one list.

use farm::facts::market::{Good, Market, Order, Rank, Reply, Sold, SoldAs};
use farm::{Farm, Form, Pays, StandingBuyer};
use units::Day;

use crate::day::LiveOrder;

/// One order as the catch is shared out.
#[derive(Debug, Clone, PartialEq)]
pub struct Buyer {
    /// Mark of the order, or of the standing buyer in the farm's description.
    pub id: String,
    /// The name.
    pub name: String,
    /// How they are reached.
    pub contact: Option<String>,
    /// Who is served before whom.
    pub rank: Rank,
    /// What.
    pub good: Good,
    /// Weights of one animal that suit, g (of one tail for tails).
    pub size_g: (f64, f64),
    /// Still to be filled: kg of the form, or pieces; of a standing buyer, at each catch.
    pub amount: f64,
    /// Coins for a kg or a piece: as agreed, or by the price list; `None` where neither says.
    pub pays: Option<Pays>,
    /// The price that was agreed, if one was.
    pub agreed: Option<Pays>,
    /// The price list pays by size for what they take: `pays` is then its middle.
    pub by_size: bool,
    /// First and last day they take it.
    pub window: (Option<Day>, Option<Day>),
    /// Weekdays on which they take it, Monday first.
    pub weekdays: [bool; 7],
    /// What was heard of each day they were told of, the last word of each: the day, the hour agreed, what came of it.
    pub answers: Vec<(Day, Option<f64>, Reply)>,
    /// The day they were told last, with the hour agreed and what came of it.
    pub told: Option<(Day, Option<f64>, Reply)>,
    /// What they had already: the day, kg of the form or pieces, less what was taken back.
    pub had: Vec<(Day, f64)>,
    /// The entry that holds of an order that was written down; `None` for a standing buyer of the description.
    pub head: Option<String>,
    /// Served again at every catch.
    pub is_standing: bool,
    /// The order as written, with tank and deposit.
    pub order: Option<Order>,
}

impl Buyer {
    /// Whether they take it on a day.
    pub fn takes_on(&self, day: Day) -> bool {
        self.window.0.is_none_or(|from| from <= day)
            && self.window.1.is_none_or(|until| day <= until)
            && self.weekdays[usize::from(day.weekday())]
            && !self.refused(day)
    }

    /// The last word on a day they were told of.
    pub fn answer(&self, day: Day) -> Option<(Option<f64>, Reply)> {
        self.answers.iter().find(|(told, ..)| *told == day).map(|(_, slot_h, reply)| (*slot_h, *reply))
    }

    /// Whether they know enough of a day: of one that is accepted its hour too. Who was told of the window alone does not know that it stands.
    pub fn knows(&self, day: Day, is_accepted: bool) -> bool {
        let heard = |(slot_h, reply): (Option<f64>, Reply)| {
            slot_h.is_some() || !is_accepted || !matches!(reply, Reply::Yes | Reply::NoAnswer)
        };
        self.answer(day).is_some_and(heard)
    }

    /// Whether they said that they cannot take it on a day, or did not come.
    pub fn refused(&self, day: Day) -> bool {
        self.answer(day).is_some_and(|(_, reply)| matches!(reply, Reply::No | Reply::CalledOff | Reply::NotCome))
    }

    /// Whether they came on a day.
    pub fn came(&self, day: Day) -> bool {
        self.answer(day).is_some_and(|(_, reply)| reply == Reply::Came)
    }

    /// Days they count upon: told of them, and not refused.
    pub fn counted_on(&self) -> impl Iterator<Item = Day> + '_ {
        let counts = |reply: &Reply| matches!(reply, Reply::Yes | Reply::NoAnswer);
        self.answers.iter().filter(move |(.., reply)| counts(reply)).map(|(day, ..)| *day)
    }
}

fn sold_as(form: Form) -> SoldAs {
    match form {
        Form::Live => SoldAs::Live,
        Form::Whole => SoldAs::Whole,
        Form::Tails => SoldAs::Tails,
        Form::Piece => SoldAs::Piece,
    }
}

/// The price list's form for what is sold.
pub fn listed(sold_as: SoldAs) -> Form {
    match sold_as {
        SoldAs::Live => Form::Live,
        SoldAs::Whole | SoldAs::Seconds => Form::Whole,
        SoldAs::Tails => Form::Tails,
        SoldAs::Piece => Form::Piece,
    }
}

/// What the price list says of a form and the sizes that suit: the middle of the rows that touch them, and whether there are several.
fn by_list(farm: &Farm, sold_as: SoldAs, size_g: (f64, f64)) -> (Option<Pays>, bool) {
    let coins = |pays: Pays| match pays {
        Pays::PerKg(coins) | Pays::Each(coins) => coins,
    };
    let form = listed(sold_as);
    let touches = |row: &&farm::Price| row.form == form && row.from_g < size_g.1 - 1e-6 && size_g.0 < row.to_g - 1e-6;
    let mut rows: Vec<Pays> = farm.prices.rows.iter().filter(touches).map(|row| row.pays).collect();
    rows.sort_by(|a, b| coins(*a).total_cmp(&coins(*b)));
    (rows.get(rows.len() / 2).copied(), rows.len() > 1)
}

/// Mark of a standing buyer.
pub fn standing_id(buyer: &StandingBuyer) -> String {
    let name: String = buyer.name.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    format!("standing-{name}-{}", sold_as(buyer.form).word())
}

/// What was sold on an order, less what was taken back, line by line.
fn had(farm: &Farm, market: &Market, id: &str) -> Vec<(Day, f64)> {
    let lines = market.sold.iter().filter(|line| line.order.as_deref() == Some(id));
    let signed = |line: &Sold| if line.takes_back.is_some() { -line.amount } else { line.amount };
    lines.map(|line| (farm.place.zone.day_and_second(line.entered.at).0, signed(line))).collect()
}

/// What is wanted alive, as the rehearsal of a day asks for it: of all but those who wait.
pub fn live_orders(buyers: &[Buyer]) -> Vec<LiveOrder> {
    let alive = buyers.iter().filter(|buyer| buyer.good.sold_as == SoldAs::Live && buyer.rank != Rank::Waiting);
    alive.map(|buyer| LiveOrder { window: buyer.window, weekdays: buyer.weekdays, kg: buyer.amount }).collect()
}

/// Everybody who wants something: the farm's standing buyers first, then orders as they came.
pub fn buyers(farm: &Farm, market: &Market) -> Vec<Buyer> {
    let told = |id: &str| market.last_told(id).map(|told| (told.day, told.slot_h, told.reply));
    let answers = |id: &str| {
        let mut answers: Vec<(Day, Option<f64>, Reply)> = Vec::new();
        for one in market.told.iter().filter(|told| told.order == id) {
            answers.retain(|(day, ..)| *day != one.day);
            answers.push((one.day, one.slot_h, one.reply));
        }
        answers.sort_by_key(|(day, ..)| *day);
        answers
    };
    let had = |id: &str| had(farm, market, id);
    let standing = farm.buyers.iter().map(|buyer| {
        let (id, sold_as) = (standing_id(buyer), sold_as(buyer.form));
        let (listed, by_size) = by_list(farm, sold_as, buyer.size_g);
        Buyer {
            name: buyer.name.clone(),
            contact: buyer.contact.clone(),
            rank: Rank::Standing,
            good: Good { sold_as, size: buyer.size.clone() },
            size_g: buyer.size_g,
            amount: buyer.amount,
            pays: buyer.pays.or(listed),
            agreed: buyer.pays,
            by_size,
            window: (None, None),
            weekdays: buyer.weekdays,
            answers: answers(&id),
            told: told(&id),
            had: had(&id),
            head: None,
            is_standing: true,
            order: None,
            id,
        }
    });
    let gone = |id: &str| told(id).is_some_and(|(_, _, reply)| matches!(reply, Reply::CalledOff | Reply::NotCome));
    let ordered = market.orders.iter().filter(|order| !gone(&order.entered.id)).map(|order| {
        let id = order.entered.id.clone();
        let (listed, by_size) = by_list(farm, order.good.sold_as, order.size_g);
        Buyer {
            name: order.buyer.clone(),
            contact: order.contact.clone(),
            rank: order.rank,
            good: order.good.clone(),
            size_g: order.size_g,
            // Who came has what they came for, whether or not each line was written.
            amount: if told(&id).is_some_and(|(.., reply)| reply == Reply::Came) {
                0.0
            } else {
                (order.amount - market.sold_on(&id)).max(0.0)
            },
            pays: order.pays.or(listed),
            agreed: order.pays,
            by_size,
            window: (order.day_from, order.day_until),
            weekdays: [true; 7],
            answers: answers(&id),
            told: told(&id),
            had: had(&id),
            head: Some(order.entered.head.clone()),
            is_standing: false,
            order: Some(order.clone()),
            id,
        }
    });
    standing.chain(ordered).collect()
}
