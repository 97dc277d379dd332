//! The season so far: the pond's water from stocking to this morning, and what the animals met in it.

use ensemble::{AirSource, PondRun, Start, run};
use farm::PondCard;
use pond::{Air, Basin, Conditions, Flows, Ground, Schedule, Water, attenuation_from_secchi};
use stock::DayTally;
use units::{Day, Lanes, Watch};
use weather::{AirSeries, Climate};

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
}

/// One series of air for one member.
pub struct OneSeries<'a>(pub &'a AirSeries);

impl AirSource for OneSeries<'_> {
    fn members(&self) -> usize {
        1
    }
    fn air(&self, _first: usize, hour: usize) -> Air<Lanes> {
        let one = &self.0.hours[hour];
        Air::same(&Air {
            air_temp_c: one.air_temp_c,
            vapour_pressure_hpa: one.vapour_pressure_hpa,
            wind_m_s: one.wind_m_s,
            shortwave_w_m2: one.shortwave_w_m2,
            longwave_w_m2: one.longwave_w_m2,
            pressure_hpa: one.pressure_hpa,
            rain_m: one.rain_mm / 1000.0,
        })
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

/// Lives the season from stocking up to the midnight before `today`.
pub fn live(past: &FarmPast, climate: &Climate, card: &PondCard, model: &PondModel, today: Day) -> Lived {
    let first = card.stocking.on;
    let days = (today.0 - first.0).max(0) as usize;
    let ground = ground(climate, model);
    let start_c = {
        // Water at stocking: the mean of the three days before it, as shallow water follows the air.
        let (before, _) = past.days_lived(first.plus(-3), first.plus(-1), climate);
        before.iter().map(|day| 0.5 * (day.low_c + day.high_c)).sum::<f64>() / before.len() as f64 + 1.5
    };
    let profile = [(0.0, start_c)];
    let day_of_year = f64::from(first.day_of_year());
    if days == 0 {
        let schedule = schedule(card, model, &ground, first, 1);
        let water = Water::start(&model.basin, schedule.stage(0), &profile, &ground, day_of_year);
        return Lived {
            water: water.with_wind(card.wind_factor.median),
            tally: DayTally::new(start_c),
            warm_days: vec![0.0],
            dawns_c: Vec::new(),
        };
    }
    let (lived_days, _) = past.days_lived(first, today.plus(-1), climate);
    let air = past.own_hours(&lived_days);
    let schedule = schedule(card, model, &ground, first, days);
    let pond = PondRun {
        basin: &model.basin,
        schedule: &schedule,
        start: Start::Profile(&profile, &ground, day_of_year),
        wind_factor: &[card.wind_factor.median],
    };
    let (tables, mut ends) =
        run(&[pond], &OneSeries(&air), 24 * days, &Watch::new()).expect("nobody asked this run to stop");
    let dawn_hour = past.dawn_hour(today);
    let mut tally = DayTally::new(start_c);
    let (mut warm_days, mut dawns_c) = (vec![0.0], Vec::with_capacity(days));
    for day in 0..days {
        for hour in 0..24 {
            let at = day * 24 + hour;
            tally.hour(tables[0].animals_c(0, at), tables[0].coldest_c(0, at), hour == dawn_hour);
        }
        let row = tally.end_day();
        warm_days.push(warm_days[day] + row.warm_days);
        dawns_c.push(row.dawn_c);
    }
    Lived { water: ends[0].remove(0), tally, warm_days, dawns_c }
}

/// Most hours between a reading and this morning for it to move the water.
const READING_AGE_MOST_H: i64 = 36;
/// Share of the difference that the water takes over, and the top of the floor (our guess; a nudge, good for one to
/// three days).
const WATER_SHARE: f64 = 0.7;
const FLOOR_SHARE: f64 = 0.3;

/// Moves the water toward the latest dawn reading, if there is one within a day and a half.
///
/// Gives back the whole difference, K; the water takes over no more than 6 K of it, since a greater one is likely misread.
/// Only readings within three hours of dawn are used: then the column is mixed, and any depth speaks for all of it.
pub fn nudge(lived: &mut Lived, card: &PondCard, past: &FarmPast, today: Day, midnight_c: f64) -> Option<f64> {
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
    let off_c = latest.temp_c - modelled_c;
    let taken_c = off_c.clamp(-6.0, 6.0);
    for temp in &mut lived.water.temps {
        *temp += WATER_SHARE * taken_c;
    }
    for layers in lived.water.bed.chunks_mut(pond::LAYERS) {
        layers[0] += FLOOR_SHARE * taken_c;
        layers[1] += FLOOR_SHARE * taken_c;
    }
    Some(off_c)
}

/// Fall of bottom water from midnight to dawn in late summer, K (median of the farm's own modelled nights is 0.3 to 0.5).
const NIGHT_FALL_K: f64 = 0.4;
