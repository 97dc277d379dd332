//! From tables and a decision to the values a person reads.

use ensemble::DayTable;
use farm::{AlongPond, Outlet, PondCard, Reading};
use plan::{Job, Take};
use rayon::prelude::*;
use stock::Hidden;
use units::{Day, Instant};
use weather::Library;

use crate::answer::{
    Band, Dawn, ForecastUsed, JointPlan, Note, Outlook, Planned, PondDay, PondOutlook, Task, TaskKind,
};
use crate::chemistry::chemistry_today;
use crate::chores::due;
use crate::course::{Course, CutCell, in_hand, misses, size_limits, sizes};
use crate::feeding::feed_today;
use crate::in_pond::in_pond;
use crate::limits::by_name;
use crate::outlook::MorningAsk;
use crate::oxygen::{Mixing, oxygen_tonight};
use crate::standing::Standing;
use crate::weigh::Weighed;
use crate::yielding::Yielded;

mod calls;

use calls::calls;

/// Share of the animals whose loss counts as a loss.
pub const LOSS_SHARE: f64 = 0.2;
/// A reading this far from the reckoned water is more likely a misread thermometer than a pond so far off, K (6 °F; our guess).
const READING_FAR_K: f64 = 3.5;
/// A forecast older than this is no basis for a start, h.
const FORECAST_WORN_H: f64 = 72.0;
/// Dawns shown.
const DAWNS: usize = 10;

/// Everything the report is made from.
pub struct Reporting<'a> {
    /// The question.
    pub ask: &'a MorningAsk<'a>,
    /// The ponds in the order of the tables.
    pub ponds: &'a [Standing],
    /// Their water.
    pub tables_by_pond: &'a [DayTable],
    /// Their water this morning, cut open.
    pub cuts: &'a [Vec<CutCell>],
    /// How deep it is mixed through the coming night.
    pub mixing: &'a [Mixing],
    /// Wind of that night at the station, m/s.
    pub night_wind_m_s: f64,
    /// Their members' unknowns.
    pub hidden: &'a [Vec<Hidden>],
    /// Tables and decision.
    pub weighed: &'a Weighed,
    /// Past seasons.
    pub library: &'a Library,
    /// The forecast.
    pub forecast_used: Option<ForecastUsed>,
    /// What else should be said.
    pub notes: Vec<Note>,
    /// Days planned for.
    pub days: usize,
}

/// Makes the outlook.
pub fn report(of: &Reporting) -> Outlook {
    let farm = of.ask.farm;
    let years = of.library.years();
    let mut notes = of.notes.clone();
    let name = |pond: usize| of.ponds[pond].card.name.clone();
    let doomed = of.weighed.decision.guard.beyond.iter();
    notes.extend(doomed.map(|&pond| Note::CannotBeSaved { pond: name(pond) }));
    notes.extend(of.weighed.yielded.map(|yielded| Note::Yielded {
        kept: match yielded {
            Yielded::KeptIn(share) => Some(share),
            Yielded::RunsOver => None,
        },
        asked: farm.choices.keep_level,
    }));
    notes.extend((0..of.ponds.len()).filter_map(|pond| goes_down_by(of, pond)));
    notes.extend(of.weighed.bound.left.iter().filter_map(|(pond, by)| left(of, *pond, by)));
    notes.extend(of.ponds.iter().filter_map(|pond| {
        let off_c = pond.reading_off_c.filter(|off_c| off_c.abs() > READING_FAR_K)?;
        Some(Note::ReadingFar { pond: pond.card.name.clone(), off_c })
    }));
    let ponds: Vec<PondOutlook> = (0..of.ponds.len()).into_par_iter().map(|pond| pond_outlook(of, pond)).collect();
    let (tasks, coming) = tasks(of, &ponds);
    Outlook {
        farm: farm.name.clone(),
        currency: farm.currency,
        on: of.ask.on,
        now_hour: of.ask.now_hour,
        forecast: of.forecast_used,
        seed: of.ask.past.seed,
        members: of.ask.members,
        past_years: (years[0], years[years.len() - 1], years.len()),
        past_is_invented: farm.weather.history_moved_days != 0,
        tasks,
        coming,
        chores: due(of, &ponds.iter().map(|pond| pond.feed.why).collect::<Vec<_>>()),
        ponds,
        crops: of.ponds.first().map(|pond| pond.crops.clone()).unwrap_or_default(),
        done: farm
            .ponds
            .iter()
            .filter_map(|card| card.harvested.filter(|day| *day <= of.ask.on).map(|day| (card.name.clone(), day)))
            .collect(),
        plan: JointPlan {
            worth: of.weighed.decision.worth,
            decision: of.weighed.decision.clone(),
            signals: of.weighed.signals.clone(),
            binding: binding(of),
        },
        cold_mark_c: farm.choices.cold_mark_c,
        follow_mark_c: farm.choices.follow_mark_c,
        guard_chance: farm.choices.guard_chance,
        limits: by_name(&of.weighed.limits),
        notes,
    }
}

/// A plan's hour (from midnight of today) as day and clock hour.
pub fn at_hour(today: Day, hour: i32) -> (Day, i32) {
    (today.plus(hour.div_euclid(24)), hour.rem_euclid(24))
}

fn planned(today: Day, job: &Job) -> Planned {
    let day = |day: usize| today.plus(day as i32);
    let (catch_day, second_day) = match job.take {
        Take::Whole { day: d } => (day(d), None),
        Take::TwoDays { first_day, .. } => (day(first_day), Some(day(first_day + 1))),
        Take::LargeFirst { seine_day, day: d } => (day(seine_day), Some(day(d))),
    };
    Planned {
        start: at_hour(today, job.start_hour),
        catch_day,
        second_day,
        parts: matches!(job.take, Take::LargeFirst { .. }),
    }
}

/// Names of the pumps by which a pond's water goes down on one of its ways.
fn pumps_of(of: &Reporting, pond: usize, way: usize) -> Vec<String> {
    let pumps = &of.ask.farm.gear.pumps;
    let gear = of.ponds[pond].model.ways[way].gear.iter();
    gear.filter_map(|(gear, _)| pumps.get(*gear).map(|pump| pump.name.clone())).collect()
}

/// Why a pond is left, as it is told: days closed to water that goes down are a rule of the plan's own, and nobody can open them. Nothing where that is
/// all: the task says what to do.
fn left(of: &Reporting, pond: usize, by: &[plan::Limit]) -> Option<Note> {
    let is_own = |limit: &plan::Limit| *limit == plan::Limit::Closed && of.weighed.limits.ponds[pond].started.is_some();
    let told: Vec<plan::Limit> = by.iter().copied().filter(|limit| !is_own(limit)).collect();
    let is_told = by.is_empty() || !told.is_empty();
    is_told.then(|| Note::Left { pond: of.ponds[pond].card.name.clone(), by: told })
}

/// Limits that bind, without days that only the plan closed.
fn binding(of: &Reporting) -> Vec<(plan::Limit, usize, f64)> {
    let is_farms = of.ask.farm.ponds.iter().any(|card| !card.forbidden.is_empty());
    let bound = of.weighed.bound.limits.iter().copied();
    bound.filter(|(limit, ..)| is_farms || *limit != plan::Limit::Closed).collect()
}

/// A pond that goes down with less than it is usually emptied with, since others that go down hold the rest.
fn goes_down_by(of: &Reporting, pond: usize) -> Option<Note> {
    let way = of.weighed.limits.ponds[pond].started?.way;
    let card = &of.ponds[pond].card;
    let has_drain = card.emptying.outlet != Outlet::None;
    (way != 0).then(|| Note::GoesDownBy { pond: card.name.clone(), has_drain, pumps: pumps_of(of, pond, way) })
}

/// What to do today: starts, and orders whose notice runs out today for catches already planned. Then what the plan asks to be ordered and told
/// on later days.
fn tasks(of: &Reporting, ponds: &[PondOutlook]) -> (Vec<Task>, Vec<Task>) {
    let today = of.ask.on;
    let mut tasks = Vec::new();
    // What begins before this page is asked for again tomorrow must be told now; what begins later is told then.
    let next_look = 24 + of.ask.now_hour;
    let mut jobs: Vec<&Job> = of.weighed.decision.ponds.iter().filter_map(|plan| plan.planned.as_ref()).collect();
    jobs.sort_by_key(|job| planned(today, job).catch_day);
    for job in &jobs {
        let card = &of.ponds[job.pond].card;
        let catch = planned(today, job);
        let start = at_hour(today, job.start_hour);
        if catch.parts && catch.catch_day == today {
            let light = of.weighed.limits.first_light_hour(0).max(of.ask.now_hour);
            tasks.push(Task { by: (today, light), what: TaskKind::Seine { pond: card.name.clone() } });
        }
        // What somebody wrote as opened is not told again.
        let since = of.ask.farm.ponds[of.ponds[job.pond].index].draining_since;
        let is_open = since.is_some_and(|since| since <= of.ask.past.place.day_start(today.plus(1)));
        if job.start_hour < next_look && !is_open {
            // The drain opens for the rest, where the large animals were seined before.
            let catch_day = if catch.parts { catch.second_day.unwrap_or(catch.catch_day) } else { catch.catch_day };
            let pumps = pumps_of(of, job.pond, job.way);
            let has_drain = card.emptying.outlet != Outlet::None;
            let what = TaskKind::StartDown { pond: card.name.clone(), has_drain, pumps, catch_day };
            tasks.push(Task { by: start, what });
        }
    }
    let unplanned = ponds.iter().filter(|pond| pond.planned.is_none() && pond.going_down.is_some());
    tasks.extend(
        unplanned
            .map(|pond| Task { by: (today, of.ask.now_hour), what: TaskKind::GoesDown { pond: pond.name.clone() } }),
    );
    let calls = calls(of, &jobs, ponds);
    tasks.extend(calls.iter().filter(|task| task.by.0 == today).cloned());
    let mut coming: Vec<Task> = calls.into_iter().filter(|task| task.by.0 > today).collect();
    coming.sort_by_key(|task| task.by);
    for pond in of.ponds {
        if pond.reading_off_c.is_none() {
            tasks.push(Task {
                by: (today, of.ask.now_hour),
                what: TaskKind::ReadWater { pond: pond.card.name.clone() },
            });
        }
    }
    if let Some(used) = of.forecast_used.filter(|used| used.age_h > FORECAST_WORN_H) {
        tasks.push(Task { by: (today, of.ask.now_hour), what: TaskKind::NewForecast { age_h: used.age_h } });
    }
    // Water that runs out with no day to catch it comes first. Reading the water comes last: it is for the next morning.
    let rank = |task: &Task| match task.what {
        TaskKind::GoesDown { .. } => 0,
        TaskKind::ReadWater { .. } => 2,
        _ => 1,
    };
    tasks.sort_by_key(|task| (rank(task), task.by));
    (tasks, coming)
}

fn pond_outlook(of: &Reporting, p: usize) -> PondOutlook {
    let pond = &of.ponds[p];
    let today = of.ask.on;
    let table = &of.tables_by_pond[p];
    let plan = &of.weighed.decision.ponds[p];
    let standing = pond.today(today);
    let stand = |hidden: &Hidden| standing.crop.standing(standing.warm_days, standing.days, 0.0, hidden);
    let of_stock = |value: &dyn Fn(&Hidden) -> f64| Band::of(of.hidden[p].iter().map(value).collect());
    let weight = of_stock(&|hidden| stand(hidden).mean_weight_g);
    let limits_g = size_limits(of.ask.farm);
    let extra = if pond.is_seen { pond.estimate.quantile(0.5, |one| one.hidden.orange_claw_extra) } else { 0.0 };
    let mixture = stock::Mixture::new(pond.crop.crowding_per_ha(), extra);
    let first_light_h: Vec<f64> = (0..of.days).map(|day| f64::from(of.weighed.limits.first_light_hour(day))).collect();
    let needs_h = f64::from(of.ask.now_hour) + plan.hours.lead_h + plan.hours.catch_h;
    let [in_hand_likely_h, in_hand_one_in_ten_h] =
        in_hand(table, of.ask.farm.choices.cold_mark_c, &first_light_h, needs_h);
    let reading = latest_reading(&pond.card, of.ask.past.place.day_start(today));
    let modelled_c = Band::of(table.dawns_c(0).iter().map(|&c| f64::from(c)).collect()).middle;
    PondOutlook {
        name: pond.card.name.clone(),
        index: pond.index,
        measured: reading.map(|reading| (reading.at, reading.depth_m, reading.temp_c)),
        measured_deep: reading.is_some_and(|reading| reading.place == AlongPond::Deep),
        taught: pond.taught.as_ref().map(|taught| taught.told(pond.card.wind_factor.median)),
        measured_clock_s: reading.map_or(0, |reading| of.ask.past.place.zone.day_and_second(reading.at).1),
        modelled_c,
        dawns: dawns(of, table, DAWNS),
        count: of_stock(&|hidden| stand(hidden).count),
        mean_weight_g: weight,
        mass_kg: of_stock(&|hidden| stand(hidden).mass_kg),
        feed: feed_today(of, p),
        chemistry: chemistry_today(of, p, modelled_c),
        oxygen: oxygen_tonight(of, p),
        stock: in_pond(pond, &limits_g),
        animals_g: (mixture.weight_at_fraction(weight.middle, 0.1), mixture.weight_at_fraction(weight.middle, 0.9)),
        lead_h: standing.lead_h,
        lead_told: pond.model.lead_told,
        going_down: of.weighed.limits.ponds[p].started.and(of.ask.farm.ponds[pond.index].draining_since).map(|since| {
            let (day, second) = of.ask.past.place.zone.day_and_second(since);
            (day, second / 3600)
        }),
        planned: plan.planned.as_ref().map(|job| planned(today, job)),
        days: days(of, p),
        in_hand_likely_h,
        in_hand_one_in_ten_h,
        free_until: plan.hours.free_until_hour.map(|hour| at_hour(today, hour)),
        still_out_until: plan.hours.still_out_hour.map(|hour| at_hour(today, hour)),
        mark_chance: plan.mark_chance,
        course: Course {
            cut: of.cuts[p].clone(),
            stocked: pond.card.stocking.on,
            dawns_c: pond.lived.dawns_c.clone(),
            ahead: dawns(of, table, of.days),
            misses: misses(&pond.lived, &pond.card, of.ask.past),
            lead_h: plan.hours.lead_h,
            catch_h: plan.hours.catch_h,
            sizes: sizes(&limits_g, &mixture, weight.middle),
        },
    }
}

/// The latest reading within a day; of those taken within the hour, the one at the drain end, where the last animals gather.
fn latest_reading(card: &PondCard, midnight: Instant) -> Option<&Reading> {
    let fresh = |at: Instant| (-24..24).contains(&at.hours_since(midnight));
    let newest = card.readings.iter().map(|reading| reading.at).filter(|at| fresh(*at)).max()?;
    let together = card.readings.iter().filter(|reading| fresh(reading.at) && newest.hours_since(reading.at) < 1);
    together.max_by_key(|reading| (reading.place == AlongPond::Deep, reading.at))
}

fn dawns(of: &Reporting, table: &DayTable, most: usize) -> Vec<Dawn> {
    let choices = &of.ask.farm.choices;
    (1..table.days().min(most + 1))
        .map(|day| {
            let water: Vec<f64> = table.dawns_c(day).iter().map(|&c| f64::from(c)).collect();
            let coldest: Vec<f64> = table.coldest_dawns_c(day).iter().map(|&c| f64::from(c)).collect();
            let share = |mark: f64| water.iter().filter(|&&c| c < mark).count() as f64 / water.len() as f64;
            Dawn {
                day: of.ask.on.plus(day as i32),
                mark_chance: share(choices.cold_mark_c),
                slow_chance: share(choices.follow_mark_c),
                coldest_c: Band::of(coldest).middle,
                water_c: Band::of(water),
            }
        })
        .collect()
}

fn days(of: &Reporting, p: usize) -> Vec<PondDay> {
    let pond = &of.ponds[p];
    let members = of.weighed.cells.members();
    let limits = &of.weighed.limits;
    let started = limits.ponds[p].started;
    let lead_h = pond.model.ways[started.map_or(0, |started| started.way)].lead_hours;
    (0..of.days)
        .filter_map(|day| {
            let light = limits.first_light_hour(day);
            let start = match started {
                // Water on its way is down by that day, or not.
                Some(going) => (light >= limits.now_hour.max(going.start_hour + lead_h)).then_some(going.start_hour)?,
                None => limits.latest_start(light - lead_h).filter(|&start| start >= limits.now_hour)?,
            };
            let all = |value: &dyn Fn(&crate::worth::Cell) -> f64| -> Vec<f64> {
                (0..members).map(|member| value(of.weighed.cells.at(p, day, member))).collect()
            };
            let mean = |values: &[f64]| values.iter().sum::<f64>() / members as f64;
            let mut worth = all(&|cell| cell.worth);
            let worth_mean = mean(&worth);
            worth.sort_by(f64::total_cmp);
            let lost = all(&|cell| f64::from(u8::from(cell.loss_fraction >= LOSS_SHARE)));
            let crossed = of.weighed.tables.crossing.of(p, day).iter().filter(|&&crossed| crossed).count();
            Some(PondDay {
                day: of.ask.on.plus(day as i32),
                start: at_hour(of.ask.on, start),
                worth_mean,
                worth_p05: worth[(0.05 * (members - 1) as f64) as usize],
                loss_chance: mean(&lost),
                mark_chance: crossed as f64 / members as f64,
                cold_cost: mean(&all(&|cell| cell.cold_loss)),
                mean_weight_g: mean(&all(&|cell| cell.mean_weight_g)),
                caught_kg: mean(&all(&|cell| cell.caught_kg)),
            })
        })
        .collect()
}
