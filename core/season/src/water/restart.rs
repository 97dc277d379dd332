//! Forecasting the water from thermometers: put the readings back every so many days, run on, and see how the run has done
//! 1, 3, 5, 10 days later, beside "it stays as it was".
//!
//! The water is set from the readings; the bed is not. A thermometer says nothing of the mud, and the mud remembers weeks,
//! so the bed is carried along by a run whose water is put right at every restart: it has felt the observed water all along.
//! Starting the bed anew from the yearly wave each time would throw that memory away.

use farm::observed::{Observed, Place, Row, Spot, When};
use units::{Instant, SECONDS_PER_HOUR, Watch, Zone};

use super::course::Course;
use super::model::Model;
use super::score::{Dawn, Fit, is_dawn, upper_columns};
use super::{Profiles, WaterError};
use crate::learn::Learner;

/// How to restart.
#[derive(Debug, Clone, PartialEq)]
pub struct Restart {
    /// Days between restarts.
    pub every_days: u32,
    /// Days ahead that are scored.
    pub lead_days: Vec<u32>,
    /// What each restart begins from.
    pub from: From,
}

/// What a restart begins from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum From {
    /// Every thermometer there is, put back into the water.
    Readings,
    /// Nothing new: the run as it has gone on.
    Nothing,
    /// All that one thermometer has taught up to then ([`crate::learn`]).
    Taught {
        /// Where it hangs.
        by: Spot,
        /// Doubt of the basin's wind factor: deviation of its logarithm.
        wind_sd_log: f64,
    },
}

/// Misses some days after a restart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeadScore {
    /// Where along the slope.
    pub place: Place,
    /// Days ahead.
    pub lead_days: u32,
    /// Mean of the upper metre.
    pub upper: Option<Fit>,
    /// The same of "it stays as it was".
    pub upper_persistence: Option<Fit>,
    /// All depths, each singly.
    pub all: Option<Fit>,
    /// The same of "it stays as it was".
    pub all_persistence: Option<Fit>,
}

/// Restarts through the span of the readings and scores by place and lead. `tended` begins at the start of the run.
pub(crate) fn scores(
    mut tended: Model<'_>,
    observed: &Observed,
    restart: &Restart,
    zone: &Zone,
    dawn: Dawn,
    watch: &Watch,
) -> Result<Vec<LeadScore>, WaterError> {
    let start = tended.now();
    let first_scored = start.plus_hours(24);
    let rows = starting_rows(observed, restart, zone, dawn);
    let longest = restart.lead_days.iter().copied().max().unwrap_or(0);
    let mut misses: Vec<Misses> = Vec::new();
    let mut begin = match restart.from {
        From::Readings => Begin::Readings,
        From::Nothing => Begin::Nothing,
        From::Taught { by, wind_sd_log } => {
            let column = observed.spots.iter().position(|spot| *spot == by).ok_or(WaterError::NoThermometer { by })?;
            Begin::Taught { pupil: tended.pupil(wind_sd_log), column }
        }
    };
    for &row in &rows {
        let reading = &observed.rows[row];
        let at = moment_of(reading, zone);
        if at < start || at > tended.end() {
            continue;
        }
        while tended.now() < at {
            tended.hour();
            watch.advance(1);
        }
        let begun = match &mut begin {
            Begin::Readings => {
                let profiles = profiles_of(observed, reading);
                if profiles.is_empty() {
                    continue;
                }
                tended.set_water(&profiles);
                tended.clone()
            }
            Begin::Nothing => tended.clone(),
            Begin::Taught { pupil, column } => {
                tended.teach(pupil, reading.temps_c[*column].map(|temp_c| (observed.spots[*column], temp_c)));
                tended.taught_by(pupil)
            }
        };
        // A daily mean two days on still needs its last hours.
        let hours = i64::from(longest) * 24 + 13;
        let course = run_on(begun, &observed.spots, hours, watch);
        for &lead_days in &restart.lead_days {
            let Some(target) = row_after(observed, reading, lead_days, zone) else { continue };
            if super::score::starts(target.when, zone) < first_scored {
                continue;
            }
            misses.extend(misses_of(observed, reading, target, &course, zone, lead_days));
        }
        if watch.asked_to_stop() {
            return Err(WaterError::Stopped);
        }
    }
    Ok(summed(observed, restart, &misses))
}

/// How each restart begins, with what it carries along.
enum Begin<'w> {
    Readings,
    Nothing,
    Taught { pupil: Learner<'w>, column: usize },
}

/// One spot, one start, one lead.
#[derive(Debug, Clone, Copy)]
struct Misses {
    start: Instant,
    lead_days: u32,
    column: usize,
    ours_k: f64,
    persistence_k: f64,
}

fn starting_rows(observed: &Observed, restart: &Restart, zone: &Zone, dawn: Dawn) -> Vec<usize> {
    let daily = observed.rows.iter().any(|row| matches!(row.when, When::MeanOf(_)));
    let dawns = observed.rows.iter().enumerate().filter(|(_, row)| daily || is_dawn(row.when, zone, dawn));
    dawns.map(|(index, _)| index).step_by(restart.every_days.max(1) as usize).collect()
}

/// A daily mean stands for the state at midday.
fn moment_of(row: &Row, zone: &Zone) -> Instant {
    match row.when {
        When::At(at) => at,
        When::MeanOf(day) => zone.instant(day, 12 * SECONDS_PER_HOUR as i32),
    }
}

/// What one row says at each place that reads, from the surface down.
pub(super) fn profiles_of(observed: &Observed, row: &Row) -> Profiles {
    let at = |place: Place| {
        let read = observed.spots.iter().zip(&row.temps_c).filter(|(spot, _)| spot.place == place);
        let mut profile: Vec<(f64, f64)> = read.filter_map(|(spot, temp_c)| Some((spot.depth_m, (*temp_c)?))).collect();
        profile.sort_by(|one, other| one.0.total_cmp(&other.0));
        (place, profile)
    };
    Place::ALL.into_iter().map(at).filter(|(_, profile)| !profile.is_empty()).collect()
}

fn run_on(mut model: Model<'_>, spots: &[farm::observed::Spot], hours: i64, watch: &Watch) -> Course {
    let start = model.now();
    let end = start.plus_hours(hours).min(model.end());
    let mut temps_c = vec![model.temps_c(spots)];
    while model.now() < end {
        model.hour();
        watch.advance(1);
        temps_c.push(model.temps_c(spots));
    }
    Course { start, spots: spots.to_vec(), temps_c }
}

fn row_after<'o>(observed: &'o Observed, from: &Row, days: u32, zone: &Zone) -> Option<&'o Row> {
    let when = match from.when {
        // By the clock, so that a clock change in between does not move dawn.
        When::At(at) => {
            let (day, second) = zone.day_and_second(at);
            When::At(zone.instant(day.plus(days as i32), second))
        }
        When::MeanOf(day) => When::MeanOf(day.plus(days as i32)),
    };
    let found = observed.rows.binary_search_by_key(&when, |row| row.when).ok()?;
    Some(&observed.rows[found])
}

fn misses_of(
    observed: &Observed,
    from: &Row,
    target: &Row,
    course: &Course,
    zone: &Zone,
    lead_days: u32,
) -> Vec<Misses> {
    let mut misses = Vec::new();
    for column in 0..observed.spots.len() {
        let modelled = course.mean_or_moment(target.when, zone, column);
        if let (Some(then), Some(later), Some(modelled)) = (from.temps_c[column], target.temps_c[column], modelled) {
            let (ours_k, persistence_k) = (modelled - later, then - later);
            misses.push(Misses { start: course.start, lead_days, column, ours_k, persistence_k });
        }
    }
    misses
}

fn summed(observed: &Observed, restart: &Restart, misses: &[Misses]) -> Vec<LeadScore> {
    let mut scores = Vec::new();
    for place in Place::ALL {
        let columns = upper_columns(&observed.spots, place);
        if columns.is_empty() {
            continue;
        }
        for &lead_days in &restart.lead_days {
            let here: Vec<Misses> = misses
                .iter()
                .copied()
                .filter(|miss| miss.lead_days == lead_days && observed.spots[miss.column].place == place)
                .collect();
            let means = |of: fn(&Misses) -> f64| {
                let groups = here.chunk_by(|one, other| one.start == other.start);
                let chosen = groups.filter_map(|group| {
                    let of_upper: Vec<f64> =
                        group.iter().filter(|miss| columns.contains(&miss.column)).map(of).collect();
                    let whole = of_upper.len() == columns.len();
                    whole.then(|| of_upper.iter().sum::<f64>() / of_upper.len() as f64)
                });
                Fit::of(chosen.collect::<Vec<_>>())
            };
            scores.push(LeadScore {
                place,
                lead_days,
                upper: means(|miss| miss.ours_k),
                upper_persistence: means(|miss| miss.persistence_k),
                all: Fit::of(here.iter().map(|miss| miss.ours_k)),
                all_persistence: Fit::of(here.iter().map(|miss| miss.persistence_k)),
            });
        }
    }
    scores
}
