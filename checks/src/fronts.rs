//! A made-up early September front on full and on part-drained ponds: what the water and the animals make of it.
//!
//! Model     a warm spell, then air that falls from 88 °F one afternoon to 45 °F at dawn two days on, with nights as cold after
//!           it; a levee pond of 0.6 ac, 3.5 to 7 ft deep, held at a constant level; the hour kernel in f64; the cold dose.
//! Units     °C, W/m², m.
//! Range     one front; wind of a sheltered and of an open pond.
//! Source    the front: common practice, no published source ("air from the upper 80s F to the mid 40s F within two days leaves
//!           animals sluggish with some dying; about five degrees colder would take nearly all"). The place: the sample farm.
//! Left out  rain with the front; drawdown itself (the level stands); shading banks.

use pond::{Air, Basin, Budget, Conditions, Levee, Scratch, Shape, Water, hour};
use stock::ColdState;
use stock::cold::{alive_fraction, dose_factor};
use units::{Day, Instant, Zone};
use weather::{Place, longwave, moist, sun};

/// One front on one pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Front {
    /// Share of the full volume that is in the pond.
    pub volume_fraction: f64,
    /// Wind over the water, m/s at 10 m.
    pub wind_m_s: f64,
    /// Degrees by which all the air after the front is colder, K.
    pub colder_k: f64,
}

/// What came of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outcome {
    /// Mean depth of the water, m.
    pub mean_depth_m: f64,
    /// Bottom water at the dawn before the front, °C.
    pub before_c: f64,
    /// Bottom water at the second, third and fourth dawn after the front broke, °C.
    pub dawns_c: [f64; 3],
    /// Lowest bottom water, °C.
    pub lowest_c: f64,
    /// Lowest bottom water of the coldest column, °C.
    pub lowest_anywhere_c: f64,
    /// Hours of bottom water below 15.6 °C (60 °F).
    pub cold_h: usize,
    /// Largest dose without a shift of tolerance.
    pub dose: f64,
}

impl Outcome {
    /// Share alive when the animals die in water this much warmer than the middle of the band.
    pub fn alive(&self, shift_k: f64) -> f64 {
        alive_fraction(self.dose * dose_factor(shift_k))
    }
}

/// Days of warm weather before the front; the water forgets its start in about ten.
const WARM_DAYS: usize = 12;
/// The front breaks at 15 h of this day.
const BREAKS_ON: usize = WARM_DAYS - 1;
/// Days followed from the front on.
const FRONT_DAYS: usize = 6;
/// Low and high of a warm day, °C: 70 and 88 °F.
const WARM_LOW_C: f64 = 21.1;
const WARM_HIGH_C: f64 = 31.1;
/// Hours after the last warm high (15 h) and the air then, °C: 60 °F by the next dawn, 64 °F that afternoon, 45 °F at dawn
/// two days on, then cool days and nights that come back by degrees.
const FALL: [(f64, f64); 11] = [
    (0.0, 31.1),
    (15.0, 15.6),
    (24.0, 17.8),
    (39.0, 7.2),
    (48.0, 16.7),
    (63.0, 7.2),
    (72.0, 18.3),
    (87.0, 9.4),
    (96.0, 21.1),
    (111.0, 12.2),
    (120.0, 24.4),
];
/// Dew point before and after, °C.
const DEW_WARM_C: f64 = 19.0;
const DEW_COLD_C: f64 = 4.4;
/// Share of the clear-sky sun lost to cloud, before and after.
const CLOUD_WARM: f64 = 0.25;
const CLOUD_COLD: f64 = 0.05;

/// Runs one front.
pub fn run(front: &Front) -> Outcome {
    let full_m = 7.0 * 0.3048;
    let mut levee = Levee::paced(70.0, 34.7, 3.5 * 0.3048, full_m);
    levee.end_slope = 2.0;
    let shape = Shape::from_levee(&levee, 5).expect("the figures make a pond");
    let level_m = shape.stage_m(front.volume_fraction * shape.volume_m3(full_m));
    let mean_depth_m = shape.mean_depth_m(level_m);
    let place = place();
    let basin = Basin::new(shape, place.latitude_deg);
    let ground = basin.ground(17.5, 11.0);
    let day_of_year = 250.0;
    let stage = basin.stage(&Conditions {
        level_m,
        attenuation_per_m: 4.0,
        plants: 0.0,
        ground_deep_c: ground.deep_c(day_of_year),
    });
    let mut water = Water::start(&basin, &stage, &[(0.0, 27.5)], &ground, day_of_year);
    let (mut budget, mut scratch) = (Budget::default(), Scratch::new(&basin));
    let mut cold = ColdState::used_to(27.0);
    let mut outcome = Outcome {
        mean_depth_m,
        before_c: 0.0,
        dawns_c: [0.0; 3],
        lowest_c: f64::INFINITY,
        lowest_anywhere_c: f64::INFINITY,
        cold_h: 0,
        dose: 0.0,
    };
    for (index, air) in air(front, &place).iter().enumerate() {
        hour(&basin, &stage, None, air, &mut water, &mut budget, &mut scratch);
        let bottom_c = water.bottom_mean(&stage);
        cold.hour(bottom_c);
        outcome.lowest_c = outcome.lowest_c.min(bottom_c);
        outcome.lowest_anywhere_c = outcome.lowest_anywhere_c.min(water.coldest_bottom(&stage));
        outcome.cold_h += usize::from(bottom_c < stock::cold::FINISH_BEFORE_C);
        let ended = index + 1;
        if ended % 24 == 6 {
            match ended / 24 {
                BREAKS_ON => outcome.before_c = bottom_c,
                day if (BREAKS_ON + 2..BREAKS_ON + 5).contains(&day) => outcome.dawns_c[day - BREAKS_ON - 2] = bottom_c,
                _ => {}
            }
        }
    }
    outcome.dose = cold.dose_max;
    outcome
}

fn place() -> Place {
    Place { latitude_deg: 34.7, longitude_deg: -82.8, elevation_m: 240.0, zone: Zone::utc() }
}

/// Hours by the sun's clock from midnight of the first warm day.
fn air(front: &Front, place: &Place) -> Vec<Air<f64>> {
    let first = Day::new(2021, 8, 24).expect("a date");
    let start: Instant = sun::at_solar_hour(first, 0.0, place);
    let hours = 24 * (WARM_DAYS + FRONT_DAYS);
    let clear = sun::clear_sky_hours(start, hours, place);
    (0..hours).map(|i| of_hour(front, i as f64 + 0.5, clear[i], place.elevation_m)).collect()
}

fn of_hour(front: &Front, hour: f64, clear_w_m2: f64, elevation_m: f64) -> Air<f64> {
    let after = hour - (24.0 * BREAKS_ON as f64 + 15.0);
    // The cold side comes in over twelve hours.
    let part = (after / 12.0).clamp(0.0, 1.0);
    let air_temp_c = if after <= 0.0 { warm_day(hour) } else { fall(after) - part * front.colder_k };
    let dew_c = DEW_WARM_C + part * (DEW_COLD_C - front.colder_k - DEW_WARM_C);
    let cloud = CLOUD_WARM + part * (CLOUD_COLD - CLOUD_WARM);
    let vapour_pressure_hpa = moist::saturation_bolton_1980(dew_c.min(air_temp_c));
    Air {
        air_temp_c,
        vapour_pressure_hpa,
        wind_m_s: front.wind_m_s,
        shortwave_w_m2: (1.0 - cloud) * clear_w_m2,
        longwave_w_m2: longwave::sky_unsworth_monteith_1975(air_temp_c, vapour_pressure_hpa, cloud),
        pressure_hpa: moist::pressure_fao56(elevation_m),
        rain_m: 0.0,
    }
}

/// Half waves between the low at 06 h and the high at 15 h.
fn warm_day(hour: f64) -> f64 {
    let of_day = hour.rem_euclid(24.0);
    let (from, to, part) = match of_day {
        h if h < 6.0 => (WARM_HIGH_C, WARM_LOW_C, (h + 9.0) / 15.0),
        h if h < 15.0 => (WARM_LOW_C, WARM_HIGH_C, (h - 6.0) / 9.0),
        h => (WARM_HIGH_C, WARM_LOW_C, (h - 15.0) / 15.0),
    };
    half_wave(from, to, part)
}

fn fall(after: f64) -> f64 {
    let k = FALL.partition_point(|&(at, _)| at <= after).min(FALL.len() - 1);
    let ((t0, c0), (t1, c1)) = (FALL[k - 1], FALL[k]);
    half_wave(c0, c1, ((after - t0) / (t1 - t0)).min(1.0))
}

fn half_wave(from: f64, to: f64, part: f64) -> f64 {
    from + (to - from) * 0.5 * (1.0 - units::cos(std::f64::consts::PI * part))
}
