//! Money of a winter's variant: the farm as it would be stocked, feed by day, what is paid and earned in each month.

use ensemble::DayTable;
use farm::{Farm, Pays};
use stock::Hidden;
use units::Day;

use super::WinterAsk;
use crate::worth::{Cell, PondToday};

/// A month: its year and number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Month(pub i16, pub i8);

impl Month {
    /// The month a day lies in.
    pub fn of(day: Day) -> Month {
        let (year, month, _) = day.ymd();
        Month(year, month)
    }
    fn next(self) -> Month {
        if self.1 == 12 { Month(self.0 + 1, 1) } else { Month(self.0, self.1 + 1) }
    }
}

/// Money of one month, coins; what goes out is positive in its own field.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MonthFlow {
    /// The month.
    pub month: Month,
    /// Postlarvae and what is paid with them.
    pub animals: f64,
    /// Feed and air.
    pub feed: f64,
    /// Hands, ice, fuel and packing of the catch.
    pub catch: f64,
    /// What the catch is sold for.
    pub sold: f64,
}

impl MonthFlow {
    /// In less out, coins.
    pub fn net(&self) -> f64 {
        self.sold - self.animals - self.feed - self.catch
    }
}

/// The farm with this pond stocked as asked, the others stocked alike, nothing of the season before in any.
pub(super) fn stocked_farm(ask: &WinterAsk, on: Day, per_ha: f64) -> Farm {
    let mut farm = ask.farm.clone();
    for card in &mut farm.ponds {
        card.stocking.on = on;
        card.stocking.count = per_ha * card.shape.area_m2 / 10_000.0;
        card.stocking.mean_weight_g = ask.juvenile_g;
        (card.harvested, card.locked, card.draining_since) = (None, None, None);
    }
    farm.ponds[ask.pond].substrate = ask.substrate;
    farm.season.last_catch = ask.last_catch;
    for row in &mut farm.prices.rows {
        row.pays = match row.pays {
            Pays::PerKg(coins) => Pays::PerKg(coins * ask.price_factor),
            Pays::Each(coins) => Pays::Each(coins * ask.price_factor),
        };
    }
    // Of the season before.
    farm.orders.ceilings.iter_mut().for_each(|ceiling| ceiling.sold_kg = 0.0);
    farm
}

/// About what the whole farm would grow, kg, if all its ponds were stocked like this one: what buyers take is shared by all.
pub(super) fn grown_kg(farm: &Farm, ask: &WinterAsk, today: &PondToday, table: &DayTable) -> f64 {
    let days = table.days();
    let warm: f64 =
        (0..table.members()).map(|year| (0..days).map(|day| table.at(day, year).warm_days).sum::<f64>()).sum::<f64>()
            / table.members() as f64;
    let own_kg = today.crop.standing(warm, days as f64, 0.0, &Hidden::MIDDLE).mass_kg;
    let area = |ponds: &[farm::PondCard]| ponds.iter().map(|card| card.shape.area_m2).sum::<f64>();
    own_kg * area(&farm.ponds) / farm.ponds[ask.pond].shape.area_m2
}

/// What one life was fed, day by day until its water went down, kg.
pub(super) struct Fed {
    /// By day since stocking.
    pub kg: Vec<f64>,
}

/// Feed of every life up to the day the water goes down for the catch.
pub(super) fn fed(lives: &[(usize, Hidden)], table: &DayTable, today: &PondToday, catch_day: usize) -> Vec<Fed> {
    let stops = (catch_day as f64 + 0.25 - today.lead_h / 24.0).max(0.0).floor() as usize;
    let one = |(year, hidden): &(usize, Hidden)| {
        let mut warm_days = 0.0;
        let kg = (0..stops)
            .map(|day| {
                let row = table.at(day, *year);
                let standing = today.crop.standing(warm_days, day as f64, row.dose_max, hidden);
                warm_days += row.warm_days;
                stock::feed::ration_kg_per_d(standing.mass_kg, standing.mean_weight_g, row.mean_c)
            })
            .collect();
        Fed { kg }
    };
    lives.iter().map(one).collect()
}

/// Means by month: postlarvae when they are paid for, feed and air as they come, the catch and its sale in its own month.
pub(super) fn months(
    ask: &WinterAsk,
    farm: &Farm,
    (on, catch_day): (Day, usize),
    fed: &[Fed],
    caught: &[&Cell],
) -> Vec<MonthFlow> {
    let catch_on = on.plus(catch_day as i32);
    let paid_on = on.plus(-ask.nursing_d);
    let mut months: Vec<MonthFlow> = Vec::new();
    let mut month = Month::of(paid_on);
    while month <= Month::of(catch_on) {
        months.push(MonthFlow { month, animals: 0.0, feed: 0.0, catch: 0.0, sold: 0.0 });
        month = month.next();
    }
    let at = |months: &[MonthFlow], day: Day| {
        months.iter().position(|flow| flow.month == Month::of(day)).expect("a month between paying and catching")
    };
    let (card, costs) = (&farm.ponds[ask.pond], &farm.costs);
    let place = at(&months, paid_on);
    months[place].animals += card.stocking.count * ask.juvenile_coins;
    let place = at(&months, on);
    months[place].animals += ask.other_coins;
    let air = card.aeration.power_kw * card.aeration.hours_per_day * costs.power_kwh;
    let lives = fed.len() as f64;
    let mut fed_coins = 0.0;
    for day in 0..fed.first().map_or(0, |one| one.kg.len()) {
        let kg = fed.iter().map(|one| one.kg[day]).sum::<f64>() / lives;
        let coins = kg * costs.feed_kg + air;
        let place = at(&months, on.plus(day as i32));
        months[place].feed += coins;
        fed_coins += coins;
    }
    // The worth of a cell is what is sold, less the catch, less feed and air until then.
    let kg = caught.iter().map(|cell| cell.caught_kg).sum::<f64>() / lives;
    let hands = |cell: &&Cell| (cell.caught_kg / farm.crew.kg_per_hand_h + cell.extra_hand_h) * costs.hand_h;
    let hands = caught.iter().map(hands).sum::<f64>() / lives;
    let catch = hands + kg * (farm.cold.ice_per_kg * costs.ice_kg + costs.packing_kg);
    let worth = caught.iter().map(|cell| cell.worth).sum::<f64>() / lives;
    let place = at(&months, catch_on);
    months[place].catch += catch;
    months[place].sold += worth + catch + fed_coins;
    months
}

/// The most that is laid out at any time before the catch is sold, coins: the catch's own costs come before its money.
pub(super) fn laid_out(months: &[MonthFlow], catch_on: Day) -> f64 {
    let until = Month::of(catch_on);
    months.iter().filter(|flow| flow.month <= until).map(|flow| flow.animals + flow.feed + flow.catch).sum()
}
