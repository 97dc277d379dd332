//! The hours and the water's course alone, without its heat: for what stands on them later in the day.

use pond::drawdown::Reservoir;
use pond::drawdown::backwards::{Opening, solve};
use units::Day;

use super::setting::Setting;
use super::{DrainError, FLOOR_COLUMNS, Wish};
use crate::drawn::Drawn;
use crate::outlook::MorningAsk;
use crate::ponds::shape;

/// When to open what, as hours from this morning's midnight, and catch depth, m.
pub(crate) fn opened(
    ask: &MorningAsk,
    drawn: &Drawn,
    pond: usize,
    catch_day: Day,
    wish: &Wish,
) -> Result<(Opening, f64), DrainError> {
    let standing = drawn.ponds.iter().find(|standing| standing.index == pond).ok_or(DrainError::NotInWater)?;
    let card = &ask.farm.ponds[pond];
    let held = Reservoir::new(&shape(card, FLOOR_COLUMNS).map_err(DrainError::Shape)?);
    let midnight = ask.past.place.day_start(ask.on);
    let clock_h = f64::from(ask.past.place.zone.day_and_second(midnight).1) / 3600.0;
    let of = Setting { ask, drawn, standing, card, held, clock_h };
    let asked = of.asked(&Wish { catch_day: Some(catch_day), ..wish.clone() }, Some(catch_day))?;
    Ok((solve(&of.held, &asked.works, &asked.wanted), asked.wanted.catch_m))
}
