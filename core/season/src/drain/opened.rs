//! The hours and the water's course alone, without its heat: for what stands on them later in the day.

use pond::drawdown::backwards::{Opening, solve};
use units::Day;

use super::setting::Setting;
use super::{DrainError, FuelNeed, Wish};
use crate::drawn::Drawn;
use crate::outlook::MorningAsk;

/// When to open what, as hours from this morning's midnight, catch depth, m, the full pond, m, and what its pumps burn.
pub(crate) fn opened(
    ask: &MorningAsk,
    drawn: &Drawn,
    pond: usize,
    catch_day: Day,
    wish: &Wish,
) -> Result<(Opening, f64, f64, Option<FuelNeed>), DrainError> {
    let of = Setting::new(ask, drawn, pond)?;
    let asked = of.asked(&Wish { catch_day: Some(catch_day), ..wish.clone() }, Some(catch_day))?;
    let found = solve(&of.held, &asked.works, &asked.wanted);
    let fuel = of.fuel(&asked, &found);
    Ok((found, asked.wanted.catch_m, of.held.shape().full_m(), fuel))
}
