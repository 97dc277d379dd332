//! Oxygen in the last water, with the whole crop crowded into it.
//!
//! Model     the law of one mixed water by night: what crowded animals, water and floor use against air and aerator
//! Units     mg/L, kg, m³, kW, h
//! Range     fresh water, 15 to 30 °C
//! Source    crowded animals 150 to 250 mg/kg/h at 20 to 25 °C, doubling with 10 K (memory); a margin of two (common practice); 3 mg/L as in
//!           `oxygen`; crowding under 100 g/L for minutes to two hours (memory)
//! Left out  mud that is stirred up, which uses more; oxygen that comes with new water

use pond::drawdown::backwards::Opening;
use pond::oxygen::{Used, aerator_per_h, law_at_night, part_of_rating};

use super::setting::{Asked, Setting};
use super::water::WaterDown;
use crate::answer::PondOutlook;
use crate::oxygen::LIMIT_MG_L;

/// What a kilogram of crowded animals uses in an hour at 22.5 °C, mg.
const CROWDED_MG_KG_H: f64 = 200.0;
const CROWDED_AT_C: f64 = 22.5;
/// Aeration is set to so many times the use.
const MARGIN: f64 = 2.0;
/// What the water holds when it is not known, mg/L (our guess: somewhat below saturation).
const START_MG_L: f64 = 6.0;
/// Most animals in water for a short time, kg/m³.
const CROWDING_KG_M3: f64 = 100.0;
/// A catch basin whose size is not told: share of the pond's area, and its depth, m (our guess).
const BASIN: (f64, f64) = (0.01, 0.6);

/// The last water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LastWater {
    /// Depth by the drain that it is told of, m: half of catch depth.
    pub level_m: f64,
    /// Its water, m³.
    pub volume_m3: f64,
    /// Its temperature when the catch begins, middle of the members, °C.
    pub temp_c: f64,
    /// Animals in it, kg: middle and one in ten more.
    pub mass_kg: (f64, f64),
    /// Hours until it stands at the limit with still aerators and all animals in it; `None` when it holds.
    pub alone_h: Option<f64>,
    /// The same with the pond's own aerator.
    pub aerated_h: Option<f64>,
    /// The pond's own aerator, kW.
    pub aerator_kw: f64,
    /// Power of its kind that holds the limit with the margin, kW.
    pub needed_kw: f64,
    /// Animals that the water holds at the limit with the aerator there is, kg.
    pub holds_kg: f64,
    /// Pace at which animals must come out for the limit to hold, kg/h; `None` when it holds all.
    pub pace_kg_h: Option<f64>,
    /// The catch basin, where there is one.
    pub basin: Option<Basin>,
}

/// A catch basin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Basin {
    /// Its water, m³.
    pub volume_m3: f64,
    /// The size is our guess.
    pub is_guess: bool,
    /// Animals it bears for a short time, kg.
    pub bears_kg: f64,
    /// Power that holds the limit with so many, kW.
    pub needed_kw: f64,
}

/// Oxygen a kilogram of crowded animals uses, mg in an hour.
pub(super) fn crowded_mg_kg_h(water_temp_c: f64) -> f64 {
    CROWDED_MG_KG_H * units::pow(2.0, (water_temp_c - CROWDED_AT_C) / 10.0)
}

pub(super) fn last_water(
    of: &Setting,
    asked: &Asked,
    opening: &Opening,
    shown: &PondOutlook,
    water: &WaterDown,
) -> LastWater {
    // The last pool: half of catch depth, or what the water is held at, with all that have followed it there.
    let at_catch_m = opening.course.stage_m(asked.wanted.catch_at_h - opening.start_h);
    let stage_m = if at_catch_m > asked.wanted.catch_m + 0.02 { at_catch_m } else { 0.5 * asked.wanted.catch_m };
    let volume_m3 = (of.held.volume_m3(stage_m) - of.held.pools_m3(stage_m)).max(1.0);
    let mean_depth_m = volume_m3 / of.held.area_m2(stage_m).max(1.0);
    let temp_c = water.at_catch_c.middle;
    let aeration = of.card.aeration;
    let kg_kwh = aeration.kind.rated_kg_kwh();
    let pressure_hpa = 1013.25 * units::pow((293.0 - 0.0065 * of.ask.farm.place.elevation_m) / 293.0, 5.26);
    let secchi_m = crate::ponds::seen_on(of.card, asked.catch_day).secchi_m;
    let wind_m_s = of.drawn.night_wind_m_s * of.card.wind_factor.median;
    let mass_kg = (shown.mass_kg.middle, shown.mass_kg.high);
    let law = |mass_kg: f64, power_kw: f64| {
        let animals = mass_kg * crowded_mg_kg_h(temp_c) / (1000.0 * volume_m3);
        let mut law = law_at_night(temp_c, pressure_hpa, wind_m_s, mean_depth_m);
        law.use_mg_l_h = Used::usual(temp_c, Some(secchi_m), mean_depth_m, animals).whole_mg_l_h();
        law.aerator_per_h = aerator_per_h(power_kw * kg_kwh, temp_c, volume_m3);
        law
    };
    let start_mg_l = START_MG_L.min(law(0.0, 0.0).saturation_mg_l);
    let until_h = |power_kw: f64| law(mass_kg.0, power_kw).hours_to(start_mg_l, LIMIT_MG_L);
    let saturation_mg_l = law(0.0, 0.0).saturation_mg_l;
    let needed_kw = |mass_kg: f64, other_g_h: f64| {
        let used_g_h = mass_kg * crowded_mg_kg_h(temp_c) / 1000.0 + other_g_h;
        let part = part_of_rating(temp_c, saturation_mg_l, LIMIT_MG_L, pond::oxygen::ALPHA);
        MARGIN * used_g_h / 1000.0 / (kg_kwh * part)
    };
    let still = law(0.0, 0.0);
    let other_mg_l_h = still.use_mg_l_h - still.exchange_per_h * (saturation_mg_l - LIMIT_MG_L);
    let own = law(0.0, aeration.power_kw);
    let spare_mg_l_h = (own.exchange_per_h + own.aerator_per_h) * (saturation_mg_l - LIMIT_MG_L) - own.use_mg_l_h;
    let holds_kg = (spare_mg_l_h * volume_m3 * 1000.0 / crowded_mg_kg_h(temp_c)).max(0.0);
    let aerated_h = until_h(aeration.power_kw);
    let pace_kg_h = aerated_h.map(|hours| (mass_kg.0 - holds_kg).max(0.0) / hours.max(0.25)).filter(|pace| *pace > 0.0);
    let basin = of.card.emptying.catch_basin.then(|| {
        let told = of.card.emptying.more.basin_m3;
        let volume_m3 = told.unwrap_or(BASIN.0 * of.card.shape.area_m2 * BASIN.1);
        let bears_kg = CROWDING_KG_M3 * volume_m3;
        let needed_kw = needed_kw(bears_kg.min(mass_kg.0), 0.0);
        Basin { volume_m3, is_guess: told.is_none(), bears_kg, needed_kw }
    });
    LastWater {
        level_m: stage_m,
        volume_m3,
        temp_c,
        mass_kg,
        alone_h: until_h(0.0),
        aerated_h,
        aerator_kw: aeration.power_kw,
        needed_kw: needed_kw(mass_kg.0, (other_mg_l_h * volume_m3).max(0.0)),
        holds_kg,
        pace_kg_h,
        basin,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn crowded_use_lies_where_it_is_remembered() {
        // 150 to 250 mg/kg/h from 20 to 25 °C.
        assert!((150.0..=180.0).contains(&crowded_mg_kg_h(20.0)), "{}", crowded_mg_kg_h(20.0));
        assert!((220.0..=250.0).contains(&crowded_mg_kg_h(25.0)), "{}", crowded_mg_kg_h(25.0));
    }
}
