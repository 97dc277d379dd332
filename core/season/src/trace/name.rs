//! What a lot's own name tells: pond and day of the catch.

use farm::Farm;
use units::Day;

use crate::labels::lot;

/// Pond and day of a lot, as its name tells them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LotName {
    /// The pond's short name.
    pub pond: String,
    /// Day of the catch.
    pub on: Day,
    /// Tub; empty for the whole day.
    pub tub: String,
}

/// Where the six digits of the day stand in a lot.
fn digits_at(lot: &str) -> Option<usize> {
    let dash = lot.match_indices('-').map(|(at, _)| at + 1);
    dash.into_iter().find(|at| {
        let six = lot.get(*at..at + 6).is_some_and(|six| six.bytes().all(|byte| byte.is_ascii_digit()));
        six && lot.get(at + 6..).is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
    })
}

impl LotName {
    /// The day in a lot's name.
    pub fn day_of(lot: &str) -> Option<Day> {
        let at = digits_at(lot)?;
        let number = |from: usize, to: usize| lot.get(at + from..at + to)?.parse::<i16>().ok();
        Day::new(2000 + number(0, 2)?, number(2, 4)? as i8, number(4, 6)? as i8)
    }
}

/// What a lot's name tells: one for each pond that shortens to it.
pub fn lot_names(farm: &Farm, name: &str) -> Vec<LotName> {
    let Some((at, on)) = digits_at(name).zip(LotName::day_of(name)) else { return Vec::new() };
    let tub = name.get(at + 7..).unwrap_or_default();
    let of_pond = |pond: &String| lot(pond, on, tub) == name;
    let ponds = farm.ponds.iter().map(|card| card.id.clone());
    ponds.filter(of_pond).map(|pond| LotName { pond, on, tub: tub.to_owned() }).collect()
}
