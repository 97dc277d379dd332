//! The tanks that a lot came from, and the delivery that was in them.

use units::Day;

use super::{Fact, Lot, Stocking};

/// A delivery this long before is not what a tank still held, d.
const OLD_DELIVERY_D: i32 = 120;

/// Animals of a lot that came from a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct FromTank {
    /// The tank's name.
    pub tank: String,
    /// The day.
    pub on: Day,
    /// How many, with their mean weight in g and how far off the count may be; `None` where the stocking only names the tank.
    pub counted: Option<(f64, f64, Option<f64>)>,
    /// Grade as typed; `None` for ungraded.
    pub grade: Option<String>,
    /// Day of the delivery that was in the tanks then, and its papers.
    pub delivery: Option<(Day, Option<String>)>,
}

impl Lot {
    /// Number, mean weight and interval from what was counted out of tanks, as far as nobody said the whole.
    pub(super) fn sum_up(&mut self) {
        let counted: Vec<(f64, f64, Option<f64>)> = self.from.iter().filter_map(|from| from.counted).collect();
        let number: f64 = counted.iter().map(|(number, ..)| number).sum();
        if self.is_said || number <= 0.0 {
            return;
        }
        let mass: f64 = counted.iter().map(|(number, weight, _)| number * weight).sum();
        let squares = counted.iter().map(|(.., either)| either.map(|either| either * either)).sum::<Option<f64>>();
        let on = self.from.iter().filter(|from| from.counted.is_some()).map(|from| from.on).min();
        self.stocking = Stocking {
            on: on.unwrap_or(self.stocking.on),
            count: number,
            mean_weight_g: mass / number,
            count_either_way: squares.map(f64::sqrt),
        };
    }
}

/// The tanks that a stocking names.
pub(super) fn named(fact: &Fact, on: Day) -> Vec<FromTank> {
    let names = fact.text("from_tanks").unwrap_or_default().split(',').map(str::trim).filter(|name| !name.is_empty());
    names.map(|tank| FromTank { tank: tank.to_owned(), on, counted: None, grade: None, delivery: None }).collect()
}

pub(super) fn from_tank(fact: &Fact, on: Day) -> Option<FromTank> {
    let value = |name: &str| fact.values.get(name).copied();
    Some(FromTank {
        tank: fact.text("tank")?.to_owned(),
        on,
        counted: Some((value("number")?, value("mean_weight")?, value("either_way"))),
        grade: fact.text("grade").filter(|grade| *grade != "ungraded").map(str::to_owned),
        delivery: None,
    })
}

/// Names the delivery of each tank's animals: the last one before they were counted out.
pub(super) fn trace(lots: &mut [Lot], deliveries: &[(Day, Option<String>)]) {
    for from in lots.iter_mut().flat_map(|lot| &mut lot.from) {
        let held = |day: &Day| (0..=OLD_DELIVERY_D).contains(&(from.on.0 - day.0));
        from.delivery = deliveries.iter().filter(|(day, _)| held(day)).max_by_key(|(day, _)| *day).cloned();
    }
}
