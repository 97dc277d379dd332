//! Decide-by hours and hours in hand.
//!
//! Units     hours from midnight of day 0, and hours from now.
//! Left out  the hour of the night at which water crosses the mark: the tables know dawns, so the dawn's first light stands
//!           for it.

use crate::dates::Choices;
use crate::decision::PondHours;
use crate::limits::Limits;
use crate::recourse::decide_by_hour;
use crate::schedule::Job;
use crate::tables::Tables;

/// A pond's hours. `planned` is its job in the plan; `chance` the guard's, used for "can still be brought out" even when the
/// guard is off.
pub(crate) fn pond_hours(
    tables: &Tables,
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
    let in_hand = hours_in_hand(tables, limits, pond, lead_h + catch_h);
    PondHours {
        free_until_hour: planned.filter(|_| !going).map(|job| decide_by_hour(limits, job)),
        still_out_hour: if going { None } else { still_out.map(|job| decide_by_hour(limits, &job)).max() },
        in_hand_likely_h: quantile_or_never(&in_hand, 0.5),
        in_hand_one_in_ten_h: quantile_or_never(&in_hand, 0.1),
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

/// Hours to the cold mark less the hours needed in every member, shortest first; infinite where no dawn is that cold.
fn hours_in_hand(tables: &Tables, limits: &Limits, pond: usize, needs: f64) -> Vec<f64> {
    let mut hours: Vec<f64> = (0..tables.members())
        .map(|member| {
            let first = (0..tables.days()).find(|&day| tables.crossing.at(pond, day, member));
            first.map_or(f64::INFINITY, |day| f64::from(limits.first_light_hour(day) - limits.now_hour) - needs)
        })
        .collect();
    hours.sort_by(f64::total_cmp);
    hours
}

/// The member at a rank; `None` when even it never meets the mark.
fn quantile_or_never(sorted: &[f64], share: f64) -> Option<f64> {
    let at = (share * sorted.len() as f64).floor() as usize;
    sorted.get(at.min(sorted.len().saturating_sub(1))).copied().filter(|hours| hours.is_finite())
}
