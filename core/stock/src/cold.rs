//! What cold does to the animals, before it kills and when it does.
//!
//! Model     thermal death time: hours to kill half rise tenfold for each 1.5 K of warmth, shifted by what the animals were
//!           used to; hours at different temperatures add up as a dose that heals in warm water
//! Units     temperature in °C, time in h; the dose is in units of the time that kills half
//! Range     10 to 17 °C, juveniles and adults, exposures of 1 to 240 h
//! Source    our own form through published anchors (`docs/model/cold.md`): 24 h at 15 °C harmless, nearly all dead when
//!           taken below 14 °C fast, alive at 12.8 to 14.4 °C when cooled over days. No time-to-death series was seen: the
//!           curve may lie 1.5 K to either side (90 %)
//! Left out  the speed of cooling other than through what the animals were used to; moulting, eggs, low oxygen

/// Standard deviation of the one unknown shift of tolerance that a farm and season have, K.
pub const COLD_SHIFT_SD_K: f64 = 0.9;
/// Time constant of getting used to a temperature, h (4 days).
pub const ACCLIMATION_H: f64 = 96.0;
/// No dose is counted at or above this, °C.
pub const DOSE_BELOW_C: f64 = 17.0;
/// The dose heals above this, °C.
pub const HEALS_ABOVE_C: f64 = 20.0;
/// Half-life of the dose in warm water, h. Our guess.
pub const HEALING_HALF_LIFE_H: f64 = 24.0;
/// Degrees for a tenfold change of time.
pub const KELVIN_PER_TENFOLD: f64 = 1.5;
/// Temperature that kills half of animals used to 22 °C in [`LT50_ANCHOR_H`], °C.
pub const LT50_ANCHOR_C: f64 = 13.0;
/// Hours that go with [`LT50_ANCHOR_C`].
pub const LT50_ANCHOR_H: f64 = 100.0;
/// Loss of tolerance for each degree the animals were used to above 22 °C, and the most degrees that count.
pub const ACCLIMATION_GAIN: f64 = 0.5;
/// Warmest habit that leaves the anchor as it is, °C.
pub const ACCLIMATION_FROM_C: f64 = 22.0;
/// Degrees above [`ACCLIMATION_FROM_C`] beyond which nothing more is lost, K.
pub const ACCLIMATION_SPAN_K: f64 = 6.0;

/// Degrees by which animals used to a temperature die in warmer water than animals used to 22 °C.
pub fn acclimation_shift_k(acclimated_c: f64) -> f64 {
    ACCLIMATION_GAIN * (acclimated_c - ACCLIMATION_FROM_C).clamp(0.0, ACCLIMATION_SPAN_K)
}

/// Hours that kill half, at a temperature below 17 °C, for animals used to another.
pub fn lt50_h(water_temp_c: f64, acclimated_c: f64) -> f64 {
    let warmer_k = water_temp_c - LT50_ANCHOR_C - acclimation_shift_k(acclimated_c);
    LT50_ANCHOR_H * ten_to(warmer_k / KELVIN_PER_TENFOLD)
}

/// What a shift of tolerance does to a dose counted without it: positive shifts die in warmer water.
///
/// The dose is linear in its rate and the rate is a power of ten, so this is exact while the 17 and 20 °C switches stand.
pub fn dose_factor(cold_shift_k: f64) -> f64 {
    ten_to(cold_shift_k / KELVIN_PER_TENFOLD)
}

/// Share that survives the largest dose the season has brought.
pub fn alive_fraction(dose_max: f64) -> f64 {
    1.0 / (1.0 + dose_max * dose_max * dose_max)
}

fn ten_to(power: f64) -> f64 {
    units::exp(power * std::f64::consts::LN_10)
}

/// What the grower should be told of a forecast dawn minimum. Levels are ours, drawn from the published marks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ColdAlarm {
    /// 20 °C or warmer.
    None,
    /// Below 20 °C: animals stop following the water, growth is hardly worth waiting for.
    Watch,
    /// Below 18 °C.
    HarvestNow,
    /// Below 15.6 °C (60 °F): the published mark by which the harvest should be over.
    Overdue,
    /// Below 14 °C: losses are expected.
    LossExpected,
}

/// Published mark: the harvest should be over before dawn water falls to 60 °F, °C.
pub const FINISH_BEFORE_C: f64 = 15.6;
/// Published mark: animals follow water out of a draining pond only above 68 °F, °C.
pub const FOLLOWS_ABOVE_C: f64 = 20.0;

/// The alarm for a dawn temperature of the bottom water.
pub fn alarm(dawn_water_c: f64) -> ColdAlarm {
    match dawn_water_c {
        t if t < 14.0 => ColdAlarm::LossExpected,
        t if t < FINISH_BEFORE_C => ColdAlarm::Overdue,
        t if t < 18.0 => ColdAlarm::HarvestNow,
        t if t < FOLLOWS_ABOVE_C => ColdAlarm::Watch,
        _ => ColdAlarm::None,
    }
}

/// How cold animals behave while a pond is drained and gathered.
///
/// One mark is published: animals follow the water only above 20 °C. The rest is our guess, each with how far out it may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GatherParams {
    /// Half of the animals still follow the water here, °C. Our guess, 1 K either way.
    pub half_follow_c: f64,
    /// Degrees from half to three quarters following. Our guess, by a factor of 1.5.
    pub quarter_k: f64,
    /// Share of the animals that did not follow which is never found: left in mud, pools and weed. Our guess, 0.08 to 0.4.
    pub unfound_fraction: f64,
    /// Share of the found stragglers that is no longer lively enough to be sold alive. Our guess, 0.15 to 0.6.
    pub limp_fraction: f64,
    /// Extra gathering hours, as a multiple of the usual, when none follow. Our guess, 1 to 4.
    pub extra_hours: f64,
}

/// Standard deviation of the logarithm of one farm's losses and extra hours about these guesses.
pub const GATHER_LN_SD: f64 = 0.6;

impl GatherParams {
    /// Our guesses, as documented at each field.
    pub const OUR_GUESS: GatherParams = GatherParams {
        half_follow_c: 18.2,
        quarter_k: 0.8,
        unfound_fraction: 0.18,
        limp_fraction: 0.30,
        extra_hours: 2.0,
    };
}

/// What is gathered from a pond drained at a temperature, relative to warm water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gathered {
    /// Share of the living animals that follows the water.
    pub following_fraction: f64,
    /// Share of the living animals that is found and weighed.
    pub found_fraction: f64,
    /// Share of the found animals fit to be sold alive.
    pub lively_fraction: f64,
    /// Gathering time as a multiple of that in warm water, at least 1.
    pub hours_factor: f64,
}

/// Gathering at a dawn temperature of the bottom water.
///
/// `cold_shift_k` moves the curve as it moves tolerance (animals that die in warmer water slow down in warmer water);
/// `severity` is the farm's own factor on losses and extra hours, 1 unless drawn.
pub fn gather(params: &GatherParams, dawn_water_c: f64, cold_shift_k: f64, severity: f64) -> Gathered {
    let warmer_k = dawn_water_c - params.half_follow_c - cold_shift_k;
    // Three quarters follow at one `quarter_k` above half: a logistic in steps of ln 3.
    let straying = 1.0 / (1.0 + units::exp((warmer_k / params.quarter_k * LN_3).clamp(-50.0, 50.0)));
    // A factor on the odds, not on the share, keeps every share between 0 and 1.
    let unfound = straying * scaled_odds(params.unfound_fraction, severity);
    let limp =
        straying * (1.0 - scaled_odds(params.unfound_fraction, severity)) * scaled_odds(params.limp_fraction, severity);
    Gathered {
        following_fraction: 1.0 - straying,
        found_fraction: 1.0 - unfound,
        lively_fraction: 1.0 - limp / (1.0 - unfound),
        hours_factor: 1.0 + straying * params.extra_hours * severity,
    }
}

const LN_3: f64 = 1.098_612_288_668_109_8;

fn scaled_odds(fraction: f64, factor: f64) -> f64 {
    fraction * factor / (1.0 - fraction + fraction * factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_to_death_runs_through_its_anchors() {
        let near =
            |ours: f64, expected: f64| assert!((ours / expected - 1.0).abs() < 0.01, "{ours} against {expected}");
        for (water_c, used_to_c, hours) in [
            (13.0, 22.0, 100.0),
            (14.0, 22.0, 464.0),
            (12.0, 22.0, 21.5),
            (10.0, 22.0, 1.0),
            (15.0, 26.0, 100.0),
            (14.0, 26.0, 21.5),
            (13.0, 26.0, 4.6),
            (12.0, 26.0, 1.0),
            (13.0, 18.0, 100.0),
            (16.0, 40.0, 100.0),
        ] {
            near(lt50_h(water_c, used_to_c), hours * if hours == 4.6 { 1.0091 } else { 1.0 });
        }
    }

    #[test]
    fn a_shift_moves_the_curve_sideways() {
        for shift_k in [-1.5, -0.3, 0.0, 0.9, 1.5] {
            let moved = 1.0 / lt50_h(14.0 - shift_k, 25.0);
            assert!((dose_factor(shift_k) / lt50_h(14.0, 25.0) / moved - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn alarms_come_at_their_marks() {
        for (dawn_c, expected) in [
            (20.0, ColdAlarm::None),
            (19.0, ColdAlarm::Watch),
            (17.9, ColdAlarm::HarvestNow),
            (15.5, ColdAlarm::Overdue),
            (13.9, ColdAlarm::LossExpected),
        ] {
            assert_eq!(alarm(dawn_c), expected, "{dawn_c}");
        }
    }

    #[test]
    fn colder_never_gathers_better() {
        let at = |temp_c: f64| gather(&GatherParams::OUR_GUESS, temp_c, 0.0, 1.0);
        for tenth in 80..280 {
            let (cold, warm) = (at(f64::from(tenth) / 10.0), at(f64::from(tenth + 1) / 10.0));
            assert!(cold.following_fraction < warm.following_fraction);
            assert!(cold.found_fraction <= warm.found_fraction && cold.lively_fraction <= warm.lively_fraction);
            assert!(cold.hours_factor >= warm.hours_factor);
        }
        let warm = at(26.0);
        assert!(warm.found_fraction > 0.9999 && warm.lively_fraction > 0.9999 && warm.hours_factor < 1.001);
        let bitter = at(5.0);
        assert!(
            (bitter.found_fraction - 0.82).abs() < 1e-6 && (bitter.lively_fraction - 0.70).abs() < 1e-6,
            "{bitter:?}"
        );
        assert!((bitter.hours_factor - 3.0).abs() < 1e-6, "{bitter:?}");
        let worst = gather(&GatherParams::OUR_GUESS, 5.0, 2.0, 20.0);
        assert!(worst.found_fraction > 0.0 && worst.lively_fraction > 0.0, "{worst:?}");
        assert!(
            (at(18.2).following_fraction - 0.5).abs() < 1e-12 && (at(19.0).following_fraction - 0.75).abs() < 1e-12
        );
    }
}
