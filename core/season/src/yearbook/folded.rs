//! From the record's own shapes to what the journal takes.

use std::collections::BTreeMap;

use books::journal::{Books, Cost, Ordered, Taking, TakingKind, Thing};
use books::ledger::Account;
use farm::facts::market::{AccountOf, Market};
use farm::facts::{DayRecord, Gear, Kept, MoneyRecord, Place, Spent, current, harvest_day, packs, working_day_of};
use farm::{Farm, Form, Pays};
use units::{Day, Money};

use super::YearAsk;
use crate::orders::DEPOSIT_D;

/// A delivery this many days from the day agreed is taken for the order's, d.
const NEAR_D: i32 = 30;

/// Everything that is booked.
pub(super) fn books(ask: &YearAsk, record: &MoneyRecord, sales: &Market) -> Books {
    let ready = |day: &Day| *day <= ask.today;
    let costs = record.spent.iter().filter(|one| ready(&one.paid.on)).map(|one| cost(ask, one)).collect();
    let things = record.gear.iter().filter(|one| ready(&one.paid.on)).map(|one| thing(ask, one)).collect();
    let mut takings = takings(ask, sales);
    takings.extend(own_use(ask));
    takings.retain(|taking| ready(&taking.on));
    takings.sort_by(|a, b| (a.on, &a.mark).cmp(&(b.on, &b.mark)));
    Books { costs, things, orders: orders(ask), takings, first_month: 1 }
}

pub(super) fn place(farm: &Farm, pond: Option<&str>) -> Option<usize> {
    farm.ponds.iter().position(|card| Some(card.id.as_str()) == pond)
}

/// In the person's own words: what, how much, from whom, anything else.
fn about(parts: [Option<&str>; 3]) -> String {
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn cost(ask: &YearAsk, one: &Spent) -> Cost {
    let paid = &one.paid;
    Cost {
        mark: paid.head.clone(),
        on: paid.on,
        about: about([one.how_much.as_deref(), paid.to_whom.as_deref(), paid.note.as_deref()]),
        account: Account::parse(one.cost_for).unwrap_or(Account::Other),
        money: one.money,
        pond: place(ask.farm, paid.pond.as_deref()),
        // A bill that will be paid is still open.
        paid_on: paid.paid_on.filter(|day| *day <= ask.today),
    }
}

fn thing(ask: &YearAsk, one: &Gear) -> Thing {
    let paid = &one.paid;
    Thing {
        mark: paid.head.clone(),
        on: paid.on,
        about: about([Some(&one.thing), paid.to_whom.as_deref(), paid.note.as_deref()]),
        cost: one.cost,
        salvage: one.salvage,
        life_months: one.life_years.map(|years| 12.0 * years),
        interest_fraction: one.interest_fraction,
        pond: place(ask.farm, paid.pond.as_deref()),
        paid_on: paid.paid_on.filter(|day| *day <= ask.today),
        gone: one.gone.filter(|(day, _)| *day <= ask.today && *day >= paid.on),
    }
}

/// Orders of postlarvae: the deposit on its day, the rest when they come.
fn orders(ask: &YearAsk) -> Vec<Ordered> {
    let entries = current(ask.facts);
    let of = |kind: &'static str| {
        entries.iter().filter(move |entry| entry.first.fact.kind == kind).filter_map(|entry| entry.settled())
    };
    let zone = &ask.farm.place.zone;
    let came: Vec<Day> = of("delivery").map(|kept| zone.day_and_second(kept.fact.happened.at).0).collect();
    let placed: Vec<(&Kept, Day)> =
        of("order").filter_map(|kept| Some((kept, Day::parse(kept.fact.text("comes")?)?))).collect();
    let away = |a: Day, b: Day| (a.0 - b.0).abs();
    let money = |units: f64| Money::from_computed(units * ask.farm.currency.coins_per_unit() as f64);
    let one = |&(kept, comes): &(&Kept, Day)| {
        let fact = &kept.fact;
        let value = |name: &str| fact.values.get(name).copied();
        let per_1000 = value("per_1000")?;
        let is_own = |day: &&Day| {
            let nearest = placed.iter().min_by_key(|(_, other)| away(*other, **day));
            away(comes, **day) <= NEAR_D && nearest.is_some_and(|(other, _)| other.fact.id == fact.id)
        };
        let arrived = came.iter().filter(is_own).min_by_key(|day| away(comes, **day)).copied();
        let lost = fact.text("said") == Some("lost");
        let down = value("deposit").filter(|units| *units > 0.0).map(|units| {
            let by = fact.text("deposit_by").and_then(Day::parse);
            (by.unwrap_or(comes.plus(-DEPOSIT_D)), money(units))
        });
        Some(Ordered {
            mark: fact.id.clone(),
            about: fact.text("hatchery").unwrap_or_default().to_owned(),
            money: money(per_1000 * value("ordered")? / 1000.0),
            down: down.filter(|(day, _)| *day <= ask.today),
            comes: Some(arrived.unwrap_or(comes)).filter(|day| !lost && *day <= ask.today),
        })
    };
    placed.iter().filter_map(one).collect()
}

/// What a lot's pond is: as its packs say, or as the lot itself begins.
pub(super) fn pond_of_lot(ask: &YearAsk, known: &BTreeMap<String, String>, lot: &str) -> Option<usize> {
    let lot = lot.trim().to_uppercase();
    if let Some(pond) = known.get(&lot) {
        return place(ask.farm, Some(pond));
    }
    let head = lot.split('-').next().unwrap_or_default();
    let letters = |text: &str| text.to_uppercase().chars().filter(|c| c.is_ascii_alphanumeric()).collect::<String>();
    let fits = |card: &farm::PondCard| {
        [&card.id, &card.name].into_iter().any(|name| !head.is_empty() && letters(name).starts_with(head))
    };
    // A head that fits two ponds names neither.
    let mut fitting = (0..ask.farm.ponds.len()).filter(|at| fits(&ask.farm.ponds[*at]));
    fitting.next().filter(|_| fitting.next().is_none())
}

/// The ponds of packs by their lots.
pub(super) fn lots_of_packs(ask: &YearAsk) -> BTreeMap<String, String> {
    packs(ask.facts, &ask.farm.place.zone).into_iter().filter_map(|pack| Some((pack.lot, pack.pond?))).collect()
}

/// Sales and payments. A deposit goes against what is sold on its account, line by line.
fn takings(ask: &YearAsk, sales: &Market) -> Vec<Taking> {
    let zone = &ask.farm.place.zone;
    let known = lots_of_packs(ask);
    let day = |at| zone.day_and_second(at).0;
    let mut all = Vec::new();
    // Which account each receipt is of, so that a deposit finds its lines.
    let mut order_of: BTreeMap<&str, &str> = BTreeMap::new();
    for line in &sales.sold {
        if let Some(order) = &line.order {
            order_of.entry(&line.receipt).or_insert(order);
        }
    }
    let account = |order: Option<&String>, receipt: Option<&String>, id: &str| match (order, receipt) {
        (Some(order), _) => AccountOf::Order(order.clone()),
        (None, Some(receipt)) => match order_of.get(receipt.as_str()) {
            Some(order) => AccountOf::Order((*order).to_owned()),
            None => AccountOf::Receipt(receipt.clone()),
        },
        (None, None) => AccountOf::Loose(id.to_owned()),
    };
    let mut deposits: BTreeMap<AccountOf, i64> = BTreeMap::new();
    for paid in &sales.paid {
        let of = account(paid.order.as_ref(), paid.receipt.as_ref(), &paid.entered.id);
        if paid.is_deposit {
            *deposits.entry(of).or_default() += paid.money.coins;
        }
        let kind = match (paid.is_deposit, paid.money.coins < 0) {
            (true, false) => TakingKind::Deposit,
            (true, true) => TakingKind::DepositBack,
            (false, false) => TakingKind::Got,
            (false, true) => TakingKind::GivenBack,
        };
        all.push(Taking {
            mark: paid.entered.head.clone(),
            on: day(paid.entered.at),
            about: paid.buyer.clone().unwrap_or_default(),
            money: Money { coins: paid.money.coins.abs() },
            pond: None,
            kind,
        });
    }
    for line in &sales.sold {
        let of = account(line.order.as_ref(), Some(&line.receipt), "");
        let back = line.money.coins < 0;
        let taking = Taking {
            mark: line.entered.head.clone(),
            on: day(line.entered.at),
            about: about([line.buyer.as_deref(), line.lot.as_deref(), None]),
            money: Money { coins: line.money.coins.abs() },
            pond: sales.lot_of(line).and_then(|lot| pond_of_lot(ask, &known, lot)),
            kind: if back { TakingKind::SaleBack } else { TakingKind::Sale },
        };
        all.push(taking.clone());
        let left = deposits.entry(of).or_default();
        let used = taking.money.coins.min(*left).max(0);
        if !back && used > 0 {
            *left -= used;
            all.push(Taking { money: Money { coins: used }, kind: TakingKind::DepositUsed, pond: None, ..taking });
        }
    }
    all
}

/// What was taken for own use on harvest days, at the price of whole prawns.
fn own_use(ask: &YearAsk) -> Vec<Taking> {
    let whole = ask.farm.prices.rows.iter().filter(|row| row.form == Form::Whole);
    let Some(coins_kg) =
        whole.filter_map(|row| if let Pays::PerKg(coins) = row.pays { Some(coins) } else { None }).next()
    else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for (day, record) in harvest_days(ask) {
        let baskets = record.baskets.iter().filter(|basket| basket.to == Place::Own);
        let taken = baskets.map(|basket| (&basket.written, basket.net_kg));
        let moved = record.moved.iter().filter(|moved| moved.to == Place::Own && !moved.is_tails);
        let taken = taken.chain(moved.map(|moved| (&moved.written, moved.weight_kg)));
        all.extend(taken.map(|(written, kg)| Taking {
            mark: written.head.clone(),
            on: day,
            about: String::new(),
            money: Money::from_computed(kg * coins_kg),
            pond: place(ask.farm, written.pond.as_deref()),
            kind: TakingKind::OwnUse,
        }));
    }
    all
}

/// The record of each day on which something was weighed or moved.
pub(super) fn harvest_days(ask: &YearAsk) -> Vec<(Day, DayRecord)> {
    let zone = &ask.farm.place.zone;
    let of_day: Vec<Kept> = ask
        .facts
        .iter()
        .filter(|kept| matches!(kept.fact.kind.as_str(), "basket" | "moved" | "settle"))
        .cloned()
        .collect();
    let mut days: Vec<Day> = of_day.iter().map(|kept| working_day_of(kept.fact.happened.at, zone)).collect();
    days.sort();
    days.dedup();
    days.into_iter().map(|day| (day, harvest_day(&of_day, zone, day, None))).collect()
}
