//! Where the sun stands, how long the day is, and what a clear sky lets through.
//!
//! Model     the Almanac's low-precision sun (Michalsky); daily sum above the air by FAO-56 equations 21 to 25; clear sky by
//!           Haurwitz.
//! Units     degrees, azimuth from north clockwise; hours; W/m² on a level surface; MJ/m²/day.
//! Range     position 0.01° between 1950 and 2050, still below 0.05° for 1900 to 2100; any latitude.
//! Source    Michalsky (1988), Solar Energy 40, 227-235; Allen and others (1998), FAO Irrigation and Drainage Paper 56;
//!           Haurwitz (1945), J. Meteor. 2, 154-166 (its two numbers from memory, checked against pvlib 0.16.1).
//! Left out  refraction (half a degree at the horizon, where the sun gives a few W/m²); hills and trees; elevation in the clear
//!           sky (about 1 % at 500 m).

use units::{Day, Instant, SECONDS_PER_HOUR, acos, asin, atan2, cos, exp, sin, tan};

use crate::air::Place;

const DEG: f64 = std::f64::consts::PI / 180.0;
const DAY_S: i64 = 24 * SECONDS_PER_HOUR;
/// 2000-01-01T12:00 UTC, from which the Almanac counts days.
const J2000_S: i64 = 946_728_000;
/// Solar constant of FAO-56, MJ/m²/min.
const SOLAR_CONSTANT_MJ_M2_MIN: f64 = 0.0820;

/// Where the sun stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunPosition {
    /// Angle from straight up, degrees.
    pub zenith_deg: f64,
    /// Direction from north, clockwise, degrees.
    pub azimuth_deg: f64,
}

/// Declination and clock of the sun at one moment; both move so slowly that one serves for a day's light.
#[derive(Debug, Clone, Copy)]
pub struct SunClock {
    sin_declination: f64,
    cos_declination: f64,
    /// Hour angle at Greenwich at the moment itself, degrees.
    greenwich_deg: f64,
    at: Instant,
}

impl SunClock {
    /// The sun's clock at a moment.
    pub fn at(at: Instant) -> SunClock {
        let days = (at.0 - J2000_S) as f64 / DAY_S as f64;
        let mean_longitude = (280.460 + 0.985_647_4 * days).rem_euclid(360.0);
        let anomaly = (357.528 + 0.985_600_3 * days).rem_euclid(360.0) * DEG;
        let longitude = (mean_longitude + 1.915 * sin(anomaly) + 0.020 * sin(2.0 * anomaly)) * DEG;
        let tilt = (23.439 - 4.0e-7 * days) * DEG;
        let right_ascension_deg = atan2(cos(tilt) * sin(longitude), cos(longitude)) / DEG;
        let sin_declination = sin(tilt) * sin(longitude);
        let universal_h = at.0.rem_euclid(DAY_S) as f64 / SECONDS_PER_HOUR as f64;
        let sidereal_h = 6.697_375 + 0.065_709_824_2 * days + universal_h;
        SunClock {
            sin_declination,
            cos_declination: (1.0 - sin_declination * sin_declination).sqrt(),
            greenwich_deg: (sidereal_h * 15.0 - right_ascension_deg).rem_euclid(360.0),
            at,
        }
    }

    /// Hour angle at `longitude_deg`, `at` near this clock's own moment: degrees in -180 to 180, negative before noon.
    fn hour_angle_deg(&self, at: Instant, longitude_deg: f64) -> f64 {
        let turned = (at.0 - self.at.0) as f64 / 240.0;
        (self.greenwich_deg + turned + longitude_deg + 180.0).rem_euclid(360.0) - 180.0
    }

    /// Cosine of the zenith angle at a moment within half a day of this clock's own.
    pub fn cos_zenith(&self, at: Instant, place: &Place) -> f64 {
        let latitude = place.latitude_deg * DEG;
        let hour_angle = self.hour_angle_deg(at, place.longitude_deg) * DEG;
        sin(latitude) * self.sin_declination + cos(latitude) * self.cos_declination * cos(hour_angle)
    }
}

/// Where the sun stands over a place.
pub fn position(at: Instant, place: &Place) -> SunPosition {
    let clock = SunClock::at(at);
    let latitude = place.latitude_deg * DEG;
    let hour_angle = clock.hour_angle_deg(at, place.longitude_deg) * DEG;
    let zenith = acos(clock.cos_zenith(at, place).clamp(-1.0, 1.0));
    let south = cos(hour_angle) * sin(latitude) * clock.cos_declination - clock.sin_declination * cos(latitude);
    let west = sin(hour_angle) * clock.cos_declination;
    SunPosition { zenith_deg: zenith / DEG, azimuth_deg: (atan2(west, south) / DEG + 180.0).rem_euclid(360.0) }
}

/// Hours by the sun at a place: 12 when it stands highest.
pub fn solar_hour(at: Instant, place: &Place) -> f64 {
    12.0 + SunClock::at(at).hour_angle_deg(at, place.longitude_deg) / 15.0
}

/// The moment of a solar hour (0 to 24) in a day of the place's standard time.
pub fn at_solar_hour(day: Day, hour: f64, place: &Place) -> Instant {
    let midnight = place.day_start(day);
    let middle = Instant(midnight.0 + DAY_S / 2);
    // Seen from the day's middle, then once more from the answer: the equation of time moves by half a minute a day at most.
    let mut at = middle;
    for _ in 0..2 {
        let miss_h = hour - solar_hour(at, place);
        at = Instant(at.0 + (miss_h * SECONDS_PER_HOUR as f64).round() as i64);
        let after_midnight = (at.0 - midnight.0).rem_euclid(DAY_S);
        at = Instant(midnight.0 + after_midnight);
    }
    at
}

/// When the sun stands highest on a day.
pub fn solar_noon(day: Day, place: &Place) -> Instant {
    at_solar_hour(day, 12.0, place)
}

/// Dawn as this program uses the word: 06 h by the sun, the coldest hour of most ponds.
pub fn dawn(day: Day, place: &Place) -> Instant {
    at_solar_hour(day, 6.0, place)
}

/// Declination of FAO-56 equation 24, radians.
fn declination_fao56(day_of_year: i16) -> f64 {
    0.409 * sin(std::f64::consts::TAU * f64::from(day_of_year) / 365.0 - 1.39)
}

/// Half the day's arc, radians: FAO-56 equation 25, and 0 or pi where the sun never rises or never sets.
fn sunset_angle(latitude_deg: f64, day_of_year: i16) -> f64 {
    acos((-tan(latitude_deg * DEG) * tan(declination_fao56(day_of_year))).clamp(-1.0, 1.0))
}

/// Hours between sunrise and sunset, FAO-56 equation 34.
pub fn day_length_h(latitude_deg: f64, day_of_year: i16) -> f64 {
    24.0 / std::f64::consts::PI * sunset_angle(latitude_deg, day_of_year)
}

/// Sun above the air on a level surface, MJ/m²/day, FAO-56 equation 21.
pub fn extraterrestrial_mj_m2_d(latitude_deg: f64, day_of_year: i16) -> f64 {
    let latitude = latitude_deg * DEG;
    let declination = declination_fao56(day_of_year);
    let sunset = sunset_angle(latitude_deg, day_of_year);
    let distance = 1.0 + 0.033 * cos(std::f64::consts::TAU * f64::from(day_of_year) / 365.0);
    let arc = sunset * sin(latitude) * sin(declination) + cos(latitude) * cos(declination) * sin(sunset);
    24.0 * 60.0 / std::f64::consts::PI * SOLAR_CONSTANT_MJ_M2_MIN * distance * arc
}

/// Sun through a clear sky on a level surface, W/m².
pub fn clear_sky_haurwitz_1945(cos_zenith: f64) -> f64 {
    if cos_zenith <= 0.0 { 0.0 } else { 1098.0 * cos_zenith * exp(-0.059 / cos_zenith) }
}

/// Mean clear sky of each hour from `start`, W/m²: six moments an hour, so that the hours of sunrise and sunset come right.
pub fn clear_sky_hours(start: Instant, n_hours: usize, place: &Place) -> Vec<f64> {
    const MOMENTS: i64 = 6;
    const STEP_S: i64 = SECONDS_PER_HOUR / MOMENTS;
    let mut clock = SunClock::at(start);
    let mut hours = Vec::with_capacity(n_hours);
    for hour in 0..n_hours {
        let from = start.plus_hours(hour as i64);
        if hour % 12 == 0 {
            clock = SunClock::at(from.plus_hours(6));
        }
        let moment = |i: i64| Instant(from.0 + STEP_S / 2 + i * STEP_S);
        let sum: f64 = (0..MOMENTS).map(|i| clear_sky_haurwitz_1945(clock.cos_zenith(moment(i), place))).sum();
        hours.push(sum / MOMENTS as f64);
    }
    hours
}

/// Sun on a level surface from the day's range of air temperature, MJ/m²/day, FAO-56 equation 50 (Hargreaves). `factor` is 0.16
/// inland and 0.19 at coasts there. A poor guess: use it last.
pub fn from_range_mj_m2_d(factor: f64, range_k: f64, extraterrestrial_mj_m2_d: f64) -> f64 {
    factor * range_k.max(0.0).sqrt() * extraterrestrial_mj_m2_d
}

/// Elevation of the sun, degrees above the horizon.
pub fn elevation_deg(at: Instant, place: &Place) -> f64 {
    asin(SunClock::at(at).cos_zenith(at, place).clamp(-1.0, 1.0)) / DEG
}

#[cfg(test)]
mod tests {
    use super::*;
    use units::Zone;

    fn place(latitude_deg: f64, longitude_deg: f64, zone: &str) -> Place {
        Place { latitude_deg, longitude_deg, elevation_m: 0.0, zone: Zone::parse(zone).expect("a zone") }
    }

    #[test]
    fn dawn_falls_in_its_own_day_at_six_by_the_sun() {
        for (latitude, longitude, zone) in [
            (34.7, -82.8, "America/New_York"),
            (-34.0, -64.0, "America/Argentina/Cordoba"),
            (20.0, 85.0, "+05:30"),
            (-17.0, 179.5, "+12:00"),
            (35.0, -80.0, "UTC"),
        ] {
            let place = place(latitude, longitude, zone);
            for number in (18_000..18_800).step_by(7) {
                let day = Day(number);
                let dawn = dawn(day, &place);
                assert_eq!(place.standard_day(dawn).0, day, "{zone} {day}");
                let hour = solar_hour(dawn, &place);
                assert!((hour - 6.0).abs() < 0.002, "{zone} {day}: {hour}");
            }
        }
    }

    #[test]
    fn half_a_year_turns_the_hemispheres() {
        let (north, south) = (day_length_h(34.0, 172), day_length_h(-34.0, 355));
        assert!((north - south).abs() < 0.01 && north > 14.0, "{north} {south}");
        assert_eq!(day_length_h(80.0, 172), 24.0);
        assert_eq!(extraterrestrial_mj_m2_d(85.0, 355), 0.0);
    }

    #[test]
    fn hours_of_clear_sky_agree_with_the_moments_they_are_made_of() {
        let place = place(-34.0, 138.5, "Australia/Adelaide");
        let start = place.day_start(Day(18_000));
        let hours = clear_sky_hours(start, 48, &place);
        for (i, hour) in hours.iter().enumerate() {
            let minutes = (0..60).map(|m| {
                let at = Instant(start.0 + i as i64 * 3600 + m * 60 + 30);
                clear_sky_haurwitz_1945(cos(position(at, &place).zenith_deg * DEG))
            });
            let mean = minutes.sum::<f64>() / 60.0;
            assert!((hour - mean).abs() < 3.0, "hour {i}: {hour} against {mean}");
        }
    }
}
