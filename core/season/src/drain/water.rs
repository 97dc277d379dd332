//! The emptying pond's water, by place, hour and member.
//!
//! Model     the same hour kernel as ever under the members' air, with the course's levels as its stages and what leaves drawn at the
//!           floor by the drain
//! Units     °C; hours of the clock that the question counts in
//! Range     hours for which members were drawn
//! Source    docs/model/drawdown.md. No emptied pond is in any data we know: this has been checked on none
//! Left out  what a member's own rain does to the level; stirring by nets and feet

use ensemble::{MembersAir, PlaceTable, PondRun, Start, carry, places, places_from};
use pond::drawdown::backwards::Opening;
use pond::{Basin, Conditions, Draw, DrawnFrom, Flows, Schedule, Settings, Water, attenuation_from_secchi};
use units::Watch;

use super::DrainError;
use super::setting::{Asked, Setting};
use crate::answer::Band;
use crate::drawn::Drawn;
use crate::lived::ground;
use crate::outlook::{MorningAsk, members_start};
use crate::ponds::seen_on;

/// Seconds in a step of an emptying pond: thin water wants the shorter one (docs/numerics/pond.md).
const STEP_S: f64 = 1200.0;
/// From so much bare floor on, animals must follow the water.
const FOLLOW_FROM: f64 = 0.05;

/// The water from the opening to the end of the catch.
#[derive(Debug, Clone, PartialEq)]
pub struct WaterDown {
    /// Hour by hour.
    pub hours: Vec<HourWater>,
    /// Coldest hour of the drain end while the floor falls bare, and until the catch is over, over members, °C.
    pub lowest_c: Band,
    /// When the middle member is coldest there, h.
    pub lowest_at_h: f64,
    /// At the drain end when the catch begins, °C.
    pub at_catch_c: Band,
    /// Chance that the drain end falls below the mark at which animals stop following, while the floor falls bare.
    pub slow_chance: f64,
    /// Chance that it falls below the cold mark by the end of the catch.
    pub mark_chance: f64,
    /// How much colder than the drain end the shallowest water gets before it is gone, middle of the members, K; and when, h.
    pub shallow_less_k: f64,
    /// See `shallow_less_k`.
    pub shallow_less_at_h: f64,
}

/// One hour.
#[derive(Debug, Clone, PartialEq)]
pub struct HourWater {
    /// The hour.
    pub at_h: f64,
    /// Depth by the drain, m.
    pub level_m: f64,
    /// Shallow end, middle, drain end: `None` where it is dry.
    pub places: Vec<Option<PlaceWater>>,
}

/// Water of one place over the members.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceWater {
    /// Mean of its depth, °C.
    pub mean_c: Band,
    /// At the floor, °C.
    pub floor_c: Band,
}

/// Runs the members down with the course.
pub(super) fn water_down(
    of: &Setting,
    asked: &Asked,
    opening: &Opening,
    watch: &Watch,
) -> Result<(Option<WaterDown>, Option<PlaceTable>), DrainError> {
    let begin_h = opening.start_h.max(of.clock_h);
    let end_h = opening.start_h + opening.course.end_hours();
    let from = (begin_h - of.clock_h).floor().max(0.0) as usize;
    let to = ((end_h - of.clock_h).ceil().max(0.0) as usize).max(from + 1);
    if to >= 24 * of.drawn.days {
        return Ok((None, None));
    }
    let basin = thin_basin(of);
    let course = &opening.course;
    let level_m = |clock_h: f64| {
        let within_h = clock_h - opening.start_h;
        (within_h >= 0.0 || asked.level_told).then(|| course.stage_m(within_h))
    };
    let well = asked.well.map(|well| (well, 0.5 * asked.wanted.from_m));
    let schedule = levels(of, &basin, &level_m, (opening.start_h, end_h), well, to + 1);
    let (states, winds) = members_start(of.ask, of.standing);
    let start = if states.is_empty() { Start::Water(&of.standing.lived.water) } else { Start::Each(&states) };
    let pond = PondRun { basin: &basin, schedule: &schedule, start, wind_factor: &winds };
    let air = MembersAir { members: &of.drawn.members, library: &of.drawn.library };
    let table = places(&pond, &air, (from, to + 1), watch).ok_or(DrainError::Stopped)?;
    let water = told(of, asked, opening, &table);
    Ok((Some(water), Some(table)))
}

/// A pond's members run up to the hour at which its water is let go, from where rival ways down go on.
pub(crate) struct Brim<'a> {
    of: Setting<'a>,
    basin: Basin,
    states: Vec<Water<f64>>,
    begin: usize,
}

impl<'a> Brim<'a> {
    /// Up to the clock hour at which the water is let go, counted from this morning's midnight. `None` where no members reach that far.
    ///
    /// # Errors
    /// [`DrainError`] of a pond that is not in the water or whose figures make none.
    pub(crate) fn new(
        ask: &'a MorningAsk<'a>,
        drawn: &'a Drawn,
        pond: usize,
        opens_h: f64,
    ) -> Result<Option<Brim<'a>>, DrainError> {
        Setting::new(ask, drawn, pond).map(|of| Brim::filled(of, opens_h))
    }

    fn filled(of: Setting<'a>, opens_h: f64) -> Option<Brim<'a>> {
        let begin = (opens_h.max(of.clock_h) - of.clock_h).floor().max(0.0) as usize;
        if begin + 1 >= 24 * of.drawn.days {
            return None;
        }
        let basin = thin_basin(&of);
        let (mut states, winds) = members_start(of.ask, of.standing);
        if states.is_empty() {
            states = vec![of.standing.lived.water.clone(); winds.len()];
            states.iter_mut().zip(&winds).for_each(|(state, &wind_factor)| state.wind_factor = wind_factor);
        }
        let full = |_: f64| None;
        let schedule = levels(&of, &basin, &full, (f64::INFINITY, f64::INFINITY), None, begin + 1);
        let air = MembersAir { members: &of.drawn.members, library: &of.drawn.library };
        carry(&basin, &schedule, &air, (0, begin), &mut states);
        Some(Brim { of, basin, states, begin })
    }

    /// The water by place under levels told by the clock hour, m, from the opening to `until_h`; the table with the clock hour of its first row.
    /// `None` where no members reach that far.
    pub(crate) fn down(
        &self,
        level_m: &dyn Fn(f64) -> Option<f64>,
        (opens_h, from_h, until_h): (f64, f64, f64),
    ) -> Option<(PlaceTable, f64)> {
        let of = &self.of;
        let hour = |clock_h: f64| (clock_h - of.clock_h).floor().max(0.0) as usize;
        let (from, to) = (hour(from_h).max(self.begin), hour(until_h) + 1);
        if to >= 24 * of.drawn.days || to <= from {
            return None;
        }
        let schedule = levels(of, &self.basin, level_m, (opens_h, until_h), None, to + 1);
        let winds: Vec<f64> = self.states.iter().map(|state| state.wind_factor).collect();
        let start = Start::Each(&self.states);
        let pond = PondRun { basin: &self.basin, schedule: &schedule, start, wind_factor: &winds };
        let air = MembersAir { members: &of.drawn.members, library: &of.drawn.library };
        let table = places_from(&pond, &air, self.begin, (from, to), &Watch::new())?;
        Some((table, from as f64 + of.clock_h))
    }
}

/// The pond's basin with the step of an emptying one.
fn thin_basin(of: &Setting) -> Basin {
    let usual = &of.standing.model.basin;
    let settings = Settings { step_s: STEP_S, ..usual.settings().clone() };
    Basin::with(usual.shape().clone(), usual.latitude_deg(), usual.grid().clone(), settings)
}

/// Levels and draws by standard hour. `level_m` tells the level by the clock hour once the pond is opened, `flows_h` between which clock hours
/// water leaves; the well, m³/h and °C, runs below a level, m.
fn levels(
    of: &Setting,
    basin: &Basin,
    level_m: &dyn Fn(f64) -> Option<f64>,
    flows_h: (f64, f64),
    well: Option<((f64, f64), f64)>,
    hours: usize,
) -> Schedule {
    let ground = ground(&of.drawn.climate, &of.standing.model);
    let clock = |hour: usize| hour as f64 + of.clock_h;
    let conditions = |hour: usize| {
        let day = of.ask.on.plus((hour / 24) as i32);
        let seen = seen_on(of.card, day);
        let usual_m = basin.shape().full_m() - seen.below_full_m;
        Conditions {
            level_m: level_m(clock(hour) + 0.5).unwrap_or(usual_m),
            attenuation_per_m: attenuation_from_secchi(seen.secchi_m),
            plants: seen.plants,
            ground_deep_c: ground.deep_c(f64::from(day.day_of_year())),
        }
    };
    let draws = |hour: usize| {
        let at_h = clock(hour);
        (at_h > flows_h.0 - 1.0 && at_h < flows_h.1).then(|| {
            let flows = match well.filter(|(_, below_m)| level_m(at_h).is_some_and(|level_m| level_m < *below_m)) {
                Some(((inflow_m3_h, inflow_temp_c), _)) => Flows { inflow_m3_h, inflow_temp_c, ..Flows::default() },
                None => Flows::default(),
            };
            Draw { from: DrawnFrom::Floor, flows, surface_m: 0.0 }
        })
    };
    let conditions: Vec<Conditions> = (0..hours).map(conditions).collect();
    let draws: Vec<Option<Draw>> = (0..hours).map(draws).collect();
    Schedule::falling(basin, &conditions, &draws)
}

fn band(values: &[f32]) -> Band {
    Band::of(values.iter().map(|&value| f64::from(value)).collect())
}

fn told(of: &Setting, asked: &Asked, opening: &Opening, table: &PlaceTable) -> WaterDown {
    let course = &opening.course;
    let columns = table.columns();
    let clock = |hour: usize| hour as f64 + of.clock_h;
    let hours: Vec<HourWater> = (table.from()..table.from() + table.hours())
        .map(|hour| HourWater {
            at_h: clock(hour),
            level_m: course.stage_m(clock(hour) - opening.start_h),
            places: (0..columns)
                .map(|c| {
                    let (mean_c, floor_c) = table.mean_c(hour, c).zip(table.floor_c(hour, c))?;
                    Some(PlaceWater { mean_c: band(mean_c), floor_c: band(floor_c) })
                })
                .collect(),
        })
        .collect();
    let begins_h = asked.wanted.catch_at_h.max(opening.start_h);
    let over_h = begins_h + of.card.catch_hours;
    let bares_h = course.steps.iter().find(|step| step.bare_fraction > FOLLOW_FROM).map_or(over_h, |step| step.at_h);
    let drain = columns - 1;
    // Where the drain end itself has run dry its last water speaks for it.
    let at = |hour: usize| table.mean_c(hour, drain);
    let within = |from_h: f64, to_h: f64| {
        let hours = table.from()..table.from() + table.hours();
        hours.filter(move |&hour| clock(hour) >= from_h - 1.0 && clock(hour) <= to_h)
    };
    let lowest = |from_h: f64, to_h: f64| -> Vec<f32> {
        let mut least = vec![f32::INFINITY; table.members()];
        for row in within(from_h, to_h).filter_map(at) {
            for (least, &value) in least.iter_mut().zip(row) {
                *least = least.min(value);
            }
        }
        least.into_iter().filter(|value| value.is_finite()).collect()
    };
    let bare_from_h = (opening.start_h + bares_h).min(begins_h);
    let following = lowest(bare_from_h, over_h);
    let all = lowest(opening.start_h, over_h);
    let share = |values: &[f32], mark_c: f64| {
        values.iter().filter(|&&value| f64::from(value) < mark_c).count() as f64 / values.len().max(1) as f64
    };
    let middles = within(bare_from_h, over_h).filter_map(|hour| Some((clock(hour), band(at(hour)?).middle)));
    let lowest_at_h = middles.min_by(|a, b| a.1.total_cmp(&b.1)).map_or(begins_h, |row| row.0);
    let at_catch_c = within(begins_h, begins_h + 1.0).filter_map(at).next().map(band).unwrap_or_default();
    let (shallow_less_k, shallow_less_at_h) = thinnest(&hours);
    let choices = &of.ask.farm.choices;
    WaterDown {
        lowest_c: band(&following),
        lowest_at_h,
        at_catch_c,
        slow_chance: share(&following, choices.follow_mark_c),
        mark_chance: share(&all, choices.cold_mark_c),
        hours,
        shallow_less_k,
        shallow_less_at_h,
    }
}

/// How much colder than the drain end the shallowest wet place gets, and when.
fn thinnest(hours: &[HourWater]) -> (f64, f64) {
    let less = |hour: &HourWater| {
        let drain = hour.places.last().copied().flatten()?;
        let shallow = hour.places.iter().flatten().next()?;
        Some((drain.mean_c.middle - shallow.mean_c.middle, hour.at_h))
    };
    hours.iter().filter_map(less).max_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0.0))
}
