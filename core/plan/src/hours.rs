//! Decide-by hours, and the hours a pond still needs.
//!
//! Units     hours from midnight of day 0; hours.
//! Left out  the hour of the night at which water crosses the mark: the tables know dawns, so the dawn's first light stands
//!           for it.

use crate::dates::Choices;
use crate::decision::PondHours;
use crate::limits::Limits;
use crate::recourse::decide_by_hour;
use crate::schedule::Job;

/// A pond's hours. `planned` is its job in the plan; `chance` the guard's, used for "can still be brought out" even when the
/// guard is off.
pub(crate) fn pond_hours(
    limits: &Limits,
    choices: &Choices,
    pond: usize,
    planned: Option<&Job>,
    mark_chance: &[f64],
    chance: f64,
) -> PondHours {
    let going = limits.ponds[pond].started.is_some();
    let still_out = choices.jobs(pond).filter(|job| mark_chance[job.take.first_low_day()] <= chance);
    let (lead_h, catch_h) = needs(limits, pond, planned);
    PondHours {
        free_until_hour: planned.filter(|_| !going).map(|job| decide_by_hour(limits, job)),
        still_out_hour: if going { None } else { still_out.map(|job| decide_by_hour(limits, &job)).max() },
        lead_h,
        catch_h,
    }
}

/// Hours of lead and of catching that a pond still needs.
fn needs(limits: &Limits, pond: usize, planned: Option<&Job>) -> (f64, f64) {
    let its = &limits.ponds[pond];
    let way = planned.and_then(|job| job.way_in(limits)).or(its.ways.first());
    let lead_h = match its.started {
        // Water already on its way needs only what is left of its lead.
        Some(started) => way.map_or(0, |way| (started.start_hour + way.lead_hours - limits.now_hour).max(0)),
        None => way.map_or(0, |way| way.lead_hours),
    };
    (f64::from(lead_h), its.catch_hours)
}
