//! The season so far: the pond's water from stocking to this morning, and what the animals met in it.

use ensemble::{AirSource, PondRun, Start, run};
use farm::PondCard;
use pond::{Air, Basin, Conditions, Flows, Ground, Schedule, Water, attenuation_from_secchi};
use stock::DayTally;
use units::{Day, Lanes, Watch};
use weather::Climate;

use crate::past::FarmPast;
use crate::ponds::{PondModel, seen_on};

/// A pond's season up to a midnight.
#[derive(Debug, Clone)]
pub struct Lived {
    /// Water and floor at that midnight.
    pub water: Water<f64>,
    /// Habit and dose of the animals then.
    pub tally: DayTally<f64>,
    /// Warm days by day since stocking, added up: entry `d` is the sum before day `d`.
    pub warm_days: Vec<f64>,
    /// Animals' water at each dawn since stocking, °C.
    pub dawns_c: Vec<f64>,
    /// The water of an earlier midnight, if it was asked for, and the hours of air from then to this one.
    pub kept: Option<(Water<f64>, Vec<Air<f64>>)>,
}

/// One series of air for one member.
struct OneSeries<'a>(&'a [Air<f64>]);

impl AirSource for OneSeries<'_> {
    fn members(&self) -> usize {
        1
    }
    fn air(&self, _first: usize, hour: usize) -> Air<Lanes> {
        Air::same(&self.0[hour])
    }
}

/// Ground under a pond, from the climate of its air.
///
/// The mean is that of the air and 1.5 K more, the half range that of the daily means (docs/model/water.md: 1.5 K of the mean is
/// worth 0.3 to 0.6 K below 1.5 m and 0.05 K in the upper metre).
pub fn ground(climate: &Climate, model: &PondModel) -> Ground {
    let first = Day::new(2019, 1, 1).expect("a date");
    let means: Vec<f64> = (0..365)
        .map(|day| {
            let mean = climate.mean_c(first.plus(day));
            0.5 * (mean.low + mean.high)
        })
        .collect();
    let sum: f64 = means.iter().sum();
    let (low, high) = means.iter().fold((f64::MAX, f64::MIN), |(low, high), &mean| (low.min(mean), high.max(mean)));
    model.basin.ground(sum / 365.0 + 1.5, 0.5 * (high - low))
}

/// Levels, light and ground of a run of days from a midnight, as the grower saw them.
pub fn schedule(card: &PondCard, model: &PondModel, ground: &Ground, first: Day, days: usize) -> Schedule {
    schedule_of(card, &model.basin, ground, first, days)
}

/// The same for one cutting of the pond.
pub fn schedule_of(card: &PondCard, basin: &Basin, ground: &Ground, first: Day, days: usize) -> Schedule {
    let hours: Vec<Conditions> = (0..days)
        .flat_map(|day| {
            let day = first.plus(day as i32);
            let seen = seen_on(card, day);
            let conditions = Conditions {
                level_m: basin.shape().full_m() - seen.below_full_m,
                attenuation_per_m: attenuation_from_secchi(seen.secchi_m),
                plants: seen.plants,
                ground_deep_c: ground.deep_c(f64::from(day.day_of_year())),
            };
            std::iter::repeat_n(conditions, 24)
        })
        .collect();
    Schedule::new(basin, &hours, &Flows::default())
}

/// Lives the season from stocking up to the midnight before `today`; keeps the water of the midnight of `at`, if that lies between.
pub fn live(
    past: &FarmPast,
    climate: &Climate,
    card: &PondCard,
    model: &PondModel,
    today: Day,
    at: Option<Day>,
) -> Lived {
    let first = card.stocking.on;
    let days = (today.0 - first.0).max(0) as usize;
    let ground = ground(climate, model);
    let start_c = {
        // Water at stocking: the mean of the three days before it, as shallow water follows the air.
        let (before, _) = past.days_lived(first.plus(-3), first.plus(-1), climate);
        before.iter().map(|day| 0.5 * (day.low_c + day.high_c)).sum::<f64>() / before.len() as f64 + 1.5
    };
    let stage = schedule(card, model, &ground, first, 1);
    let day_of_year = f64::from(first.day_of_year());
    let mut water = Water::start(&model.basin, stage.stage(0), &[(0.0, start_c)], &ground, day_of_year)
        .with_wind(card.wind_factor.median);
    let (lived_days, _) = past.days_lived(first, today.plus(-1), climate);
    let air: Vec<Air<f64>> = match days {
        0 => Vec::new(),
        _ => past.own_hours(&lived_days).hours.iter().map(as_air).collect(),
    };
    let dawn_hour = past.dawn_hour(today);
    let mut tally = DayTally::new(start_c);
    let (mut warm_days, mut dawns_c) = (vec![0.0], Vec::with_capacity(days));
    let keep = at.map(|at| (at.0 - first.0).clamp(0, days as i32) as usize);
    let mut kept = None;
    for part in [0..keep.unwrap_or(0), keep.unwrap_or(0)..days] {
        if keep == Some(part.start) {
            kept = Some((water.clone(), air[24 * part.start..].to_vec()));
        }
        if part.is_empty() {
            continue;
        }
        let schedule = schedule(card, model, &ground, first.plus(part.start as i32), part.len());
        let pond = PondRun {
            basin: &model.basin,
            schedule: &schedule,
            start: Start::Water(&water),
            wind_factor: &[card.wind_factor.median],
        };
        let own = OneSeries(&air[24 * part.start..]);
        let (tables, mut ends) =
            run(&[pond], &own, 24 * part.len(), &Watch::new()).expect("nobody asked this run to stop");
        for day in 0..part.len() {
            for hour in 0..24 {
                let at = day * 24 + hour;
                tally.hour(tables[0].animals_c(0, at), tables[0].coldest_c(0, at), hour == dawn_hour);
            }
            let row = tally.end_day();
            warm_days.push(warm_days[warm_days.len() - 1] + row.warm_days);
            dawns_c.push(row.dawn_c);
        }
        water = ends[0].remove(0);
    }
    Lived { water, tally, warm_days, dawns_c, kept }
}

/// An hour of air as the kernel takes it.
pub fn as_air(one: &weather::AirHour) -> Air<f64> {
    Air {
        air_temp_c: one.air_temp_c,
        vapour_pressure_hpa: one.vapour_pressure_hpa,
        wind_m_s: one.wind_m_s,
        shortwave_w_m2: one.shortwave_w_m2,
        longwave_w_m2: one.longwave_w_m2,
        pressure_hpa: one.pressure_hpa,
        rain_m: one.rain_mm / 1000.0,
    }
}

/// Most hours between a reading and this morning for the pond to count as read.
const READING_AGE_MOST_H: i64 = 36;

/// How far the latest dawn reading of the last day and a half lies from the season as reckoned without any, K; `None` without one.
///
/// Only readings within three hours of dawn are held against it: then the column is mixed, and any depth speaks for all of it.
pub fn reading_off(lived: &Lived, card: &PondCard, past: &FarmPast, today: Day, midnight_c: f64) -> Option<f64> {
    let midnight = past.place.day_start(today);
    let latest = card
        .readings
        .iter()
        .filter(|reading| {
            let away_h = reading.at.hours_since(midnight);
            let solar_h = weather::sun::solar_hour(reading.at, &past.place);
            (-READING_AGE_MOST_H..24).contains(&away_h) && (3.0..9.0).contains(&solar_h)
        })
        .max_by_key(|reading| reading.at)?;
    let (day, _) = past.place.standard_day(latest.at);
    // A reading of this very morning is held against tonight's midnight less half a usual night's fall.
    let modelled_c = if day >= today {
        midnight_c - NIGHT_FALL_K
    } else {
        *lived.dawns_c.get((day.0 - card.stocking.on.0) as usize)?
    };
    Some(latest.temp_c - modelled_c)
}

/// Fall of bottom water from midnight to dawn in late summer, K (median of the farm's own modelled nights is 0.3 to 0.5).
const NIGHT_FALL_K: f64 = 0.4;
