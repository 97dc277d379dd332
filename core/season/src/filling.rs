//! How long a pond takes to fill from each source of water.
//!
//! Model     what the source gives, less evaporation and seepage from the water that already stands there, hour by hour over the pond's own shape
//! Units     m³, m³/h, mm in a day, d
//! Range     an empty pond; a source that gives the same all along
//! Source    evaporation: Hargreaves and Samani as FAO-56, equation 52, times 1.05 for open water (FAO-56, table 12; both from memory); seepage:
//!           a quarter inch in a day, above which common practice speaks of a leak
//! Left out  rain, water that a dry floor drinks first, a well that weakens

use farm::{Farm, Source};
use units::Day;
use weather::sun::extraterrestrial_mj_m2_d;

use crate::outlook::OutlookError;
use crate::past::FarmPast;
use crate::ponds::pond_model;

/// Seepage, mm in a day.
pub const SEEPAGE_MM_D: f64 = 6.35;
/// Open water against the reference's grass.
const OPEN_WATER: f64 = 1.05;
/// Longest filling that is told, d: beyond it the source is too weak.
pub const LONGEST_D: f64 = 120.0;
/// A pond's fill is counted as full at this share: the last of it takes for ever against the losses.
const FULL: f64 = 0.99;
/// Millimetres that a megajoule on a square metre evaporates.
const MM_PER_MJ: f64 = 0.408;

/// Filling a pond from one source.
#[derive(Debug, Clone, PartialEq)]
pub struct Filling {
    /// The source; `None` for all that may be drawn together.
    pub source: Option<Source>,
    /// Days until full; `None` where its losses keep up with it, or it takes longer than [`LONGEST_D`].
    pub days: Option<f64>,
    /// What evaporates and seeps meanwhile, m³.
    pub lost_m3: f64,
}

/// How a pond is filled.
#[derive(Debug, Clone, PartialEq)]
pub struct FillPlan {
    /// Water of the full pond, m³.
    pub volume_m3: f64,
    /// Evaporation in those days, mm in a day.
    pub evaporation_mm_d: f64,
    /// Each source by itself; where there are several that are not forbidden, those together last.
    pub by_source: Vec<Filling>,
}

impl FillPlan {
    /// Days of the quickest way that is not forbidden.
    pub fn quickest_d(&self) -> Option<f64> {
        let open = |filling: &&Filling| filling.source.as_ref().is_none_or(|source| source.may_be_drawn != Some(false));
        self.by_source.iter().filter(open).filter_map(|filling| filling.days).min_by(f64::total_cmp)
    }
}

/// Evaporation of open water in a day of this place's climate, mm: lows and highs in °C.
pub fn evaporation_mm_d(low_c: f64, high_c: f64, latitude_deg: f64, day: Day) -> f64 {
    let above_air = extraterrestrial_mj_m2_d(latitude_deg, day.day_of_year());
    let mean_c = 0.5 * (low_c + high_c);
    (OPEN_WATER * 0.0023 * (mean_c + 17.8) * (high_c - low_c).max(0.0).sqrt() * MM_PER_MJ * above_air).max(0.0)
}

/// How a pond is filled about a day from each of the farm's sources.
///
/// # Errors
/// When its shape cannot be used or the past has no climate.
pub fn fill_plan(farm: &Farm, past: &FarmPast, pond: usize, about: Day) -> Result<FillPlan, OutlookError> {
    let model = pond_model(farm, &farm.ponds[pond]).map_err(OutlookError::Pond)?;
    let shape = model.basin.shape();
    let mean = past.climate(about).map_err(OutlookError::Past)?.mean_c(about);
    let evaporation_mm_d = evaporation_mm_d(mean.low, mean.high, farm.place.latitude_deg, about);
    let loss_m_h = (evaporation_mm_d + SEEPAGE_MM_D) / 24_000.0;
    let volume_m3 = shape.volume_m3(shape.full_m());
    let area_m2 = |water_m3: f64| shape.area_m2(shape.stage_m(water_m3));
    let fill = |given_m3_h: f64| filled(given_m3_h, loss_m_h, volume_m3, &area_m2);
    let daily = |source: &Source| source.rate_m3_h * source.hours_per_day / 24.0;
    let mut by_source: Vec<Filling> = farm
        .sources
        .iter()
        .map(|source| {
            let (days, lost_m3) = fill(daily(source));
            Filling { source: Some(source.clone()), days, lost_m3 }
        })
        .collect();
    let open: Vec<&Source> = farm.sources.iter().filter(|source| source.may_be_drawn != Some(false)).collect();
    if open.len() > 1 {
        let (days, lost_m3) = fill(open.into_iter().map(daily).sum());
        by_source.push(Filling { source: None, days, lost_m3 });
    }
    Ok(FillPlan { volume_m3, evaporation_mm_d, by_source })
}

/// Days until full and what is lost meanwhile; a tenth of a day is the step, and what stands at its start loses through it.
fn filled(given_m3_h: f64, loss_m_h: f64, volume_m3: f64, area_m2: &dyn Fn(f64) -> f64) -> (Option<f64>, f64) {
    const STEP_H: f64 = 2.4;
    let (mut water, mut lost, mut hours) = (0.0, 0.0, 0.0);
    while hours < 24.0 * LONGEST_D {
        let loses = (loss_m_h * area_m2(water)).min(given_m3_h + water / STEP_H);
        let gains = given_m3_h - loses;
        if water + STEP_H * gains >= FULL * volume_m3 {
            let part_h = (FULL * volume_m3 - water) / gains;
            return (Some((hours + part_h) / 24.0), lost + part_h * loses);
        }
        if gains <= 1e-9 {
            return (None, lost);
        }
        (water, lost, hours) = (water + STEP_H * gains, lost + STEP_H * loses, hours + STEP_H);
    }
    (None, lost)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_fills_as_its_closed_form_says() {
        // dV/dt = q - k A in a box of one area: straight, V / (q - k A).
        let (days, lost) = filled(10.0, 0.0005, 2_000.0, &|_| 4_000.0);
        let exact_d = FULL * 2_000.0 / (10.0 - 2.0) / 24.0;
        assert!((days.expect("it fills") / exact_d - 1.0).abs() < 1e-9, "{days:?} {exact_d}");
        assert!((lost - 2.0 * 24.0 * exact_d).abs() < 1e-6);
        // A wedge, A = 4000 V / 2000: V = q/k' (1 - exp(-k' t)), k' = 0.001 in an hour.
        let (days, _) = filled(10.0, 0.0005, 2_000.0, &|water| 2.0 * water);
        let exact_h = -units::ln(1.0 - FULL * 2_000.0 * 0.001 / 10.0) / 0.001;
        assert!((days.expect("it fills") * 24.0 / exact_h - 1.0).abs() < 2e-3, "{days:?} {exact_h}");
        assert_eq!(filled(1.0, 0.0005, 2_000.0, &|_| 4_000.0).0, None, "it loses all that comes");
    }

    /// FAO-56, example 20 (from memory): Lyon in July, 26.6 and 14.8 °C, 45.72° N: 5.0 mm in a day of grass.
    #[test]
    fn evaporation_is_that_of_the_published_example() {
        let july = Day::new(2019, 7, 15).expect("a day");
        let grass = evaporation_mm_d(14.8, 26.6, 45.72, july) / OPEN_WATER;
        assert!((grass - 5.0).abs() < 0.1, "{grass}");
    }
}
