//! Oxygen through a night: what the air gives, what an aerator gives, what water, floor and animals use.
//!
//! Model     one mixed water: dC/dt = (exchange + aerator) (saturation - C) - use, solved exactly while nothing else changes,
//!           and never below nothing; two waters that meet take the mean of their volumes
//! Units     mg/L (g/m3), hours, m, °C, kg of oxygen in an hour
//! Range     fresh water, 5 to 38 °C; winds of 0 to 10 m/s; nights, when nothing is made
//! Source    exchange: Cole & Caraco (1998), Limnol. Oceanogr. 43, 647-656, with Wanninkhof's (1992) Schmidt number (both memory);
//!           use and warmth: 1.047 a degree (memory); its parts: Madenjian, Rogers & Fast (1987) for Hawaiian prawn ponds (floor
//!           half, plankton 42 %); animals: a stand-in shaped on a related palaemonid; aerator: the standard transfer test of
//!           aeration engineering (ASCE) in its general form. All in docs/model/oxygen.md
//! Left out  what plants and plankton make by day; layers, but for the moment in which they meet; salt

use units::{exp, ln, pow};

use crate::chemistry::oxygen_saturation_mg_l;

/// What aerators are rated at: clean water of 20 °C at sea level without oxygen, mg/L that it could hold.
pub const RATED_AT_MG_L: f64 = 9.09;
/// Pond water's transfer against clean water's; 0.85 to 0.95 from memory.
pub const ALPHA: f64 = 0.9;
/// Use grows by this with each degree.
pub const USE_PER_DEGREE: f64 = 1.047;

/// What acts on one mixed water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Law {
    /// What is used, mg/L an hour.
    pub use_mg_l_h: f64,
    /// Share of the want of saturation that the air makes good in an hour.
    pub exchange_per_h: f64,
    /// Share of it that the aerators make good in an hour; 0 while they stand.
    pub aerator_per_h: f64,
    /// What the water holds at balance with the air, mg/L.
    pub saturation_mg_l: f64,
}

/// What became of a water, and by which way. The end is the beginning and all ways together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passed {
    /// At the end, mg/L.
    pub end_mg_l: f64,
    /// From the air, mg/L; negative when the water gave some off.
    pub from_air_mg_l: f64,
    /// From the aerators, mg/L.
    pub from_aerator_mg_l: f64,
    /// Used, mg/L: less than asked for when there was no more.
    pub used_mg_l: f64,
}

/// A part of saturation made good in an hour below which the line is straight, to the last figure.
const STRAIGHT_PER_H: f64 = 1e-9;

impl Law {
    /// The water after some hours.
    pub fn after(&self, start_mg_l: f64, hours: f64) -> Passed {
        let open = self.free(start_mg_l, hours);
        if open.end_mg_l >= 0.0 {
            return open;
        }
        // What is gone is gone: from then on only what comes in is used.
        let until_h = self.empty_after_h(start_mg_l);
        let (first, rest_h) = (self.free(start_mg_l, until_h), hours - until_h);
        let air = self.exchange_per_h * self.saturation_mg_l * rest_h;
        let aerator = self.aerator_per_h * self.saturation_mg_l * rest_h;
        let from_air_mg_l = first.from_air_mg_l + air;
        let from_aerator_mg_l = first.from_aerator_mg_l + aerator;
        Passed {
            end_mg_l: 0.0,
            from_air_mg_l,
            from_aerator_mg_l,
            used_mg_l: start_mg_l + from_air_mg_l + from_aerator_mg_l,
        }
    }

    /// The use with which the water comes from one value to another, mg/L an hour; whatever `use_mg_l_h` says. Negative when more was
    /// there than air and aerators explain.
    pub fn use_between(&self, start_mg_l: f64, end_mg_l: f64, hours: f64) -> f64 {
        let (rate, sat) = (self.exchange_per_h + self.aerator_per_h, self.saturation_mg_l);
        if rate * hours < STRAIGHT_PER_H {
            return (start_mg_l - end_mg_l) / hours;
        }
        let left = exp(-rate * hours);
        rate * (sat + (start_mg_l - sat) * left - end_mg_l) / (1.0 - left)
    }

    /// Hours until the water stands at a value below its start; `None` when it never comes to it.
    pub fn hours_to(&self, start_mg_l: f64, at_mg_l: f64) -> Option<f64> {
        if start_mg_l <= at_mg_l {
            return Some(0.0);
        }
        let rate = self.exchange_per_h + self.aerator_per_h;
        if rate < STRAIGHT_PER_H {
            return (self.use_mg_l_h > 0.0).then(|| (start_mg_l - at_mg_l) / self.use_mg_l_h);
        }
        let rest_mg_l = self.saturation_mg_l - self.use_mg_l_h / rate;
        (rest_mg_l < at_mg_l).then(|| ln((start_mg_l - rest_mg_l) / (at_mg_l - rest_mg_l)) / rate)
    }

    fn empty_after_h(&self, start_mg_l: f64) -> f64 {
        self.hours_to(start_mg_l, 0.0).expect("it fell below nothing")
    }

    /// The same without a floor at nothing.
    fn free(&self, start_mg_l: f64, hours: f64) -> Passed {
        let (rate, sat) = (self.exchange_per_h + self.aerator_per_h, self.saturation_mg_l);
        let used_mg_l = self.use_mg_l_h * hours;
        // How far the water was from saturation, added up over the time.
        let (end_mg_l, want) = if rate * hours < STRAIGHT_PER_H {
            let end = start_mg_l - used_mg_l;
            (end, (sat - 0.5 * (start_mg_l + end)) * hours)
        } else {
            let left = exp(-rate * hours);
            let rest = sat - self.use_mg_l_h / rate;
            let end = rest + (start_mg_l - rest) * left;
            (end, (end - start_mg_l + used_mg_l) / rate)
        };
        let from_air_mg_l = self.exchange_per_h * want;
        let from_aerator_mg_l = self.aerator_per_h * want;
        Passed {
            end_mg_l: start_mg_l + from_air_mg_l + from_aerator_mg_l - used_mg_l,
            from_air_mg_l,
            from_aerator_mg_l,
            used_mg_l,
        }
        .closed(end_mg_l)
    }
}

impl Passed {
    /// Takes the solution's own end, which differs from the sum of the ways by rounding only.
    fn closed(self, end_mg_l: f64) -> Passed {
        debug_assert!((self.end_mg_l - end_mg_l).abs() < 1e-6 * (1.0 + end_mg_l.abs()), "{self:?} {end_mg_l}");
        Passed { end_mg_l, ..self }
    }
}

/// How deep a water is renewed from the air in an hour, m, by the wind 10 m over the water.
pub fn renewed_m_h(wind_m_s: f64, water_temp_c: f64) -> f64 {
    let at_600_cm_h = 2.07 + 0.215 * pow(wind_m_s.max(0.0), 1.7);
    let t = water_temp_c.clamp(0.0, 35.0);
    let schmidt = 1800.6 - 120.10 * t + 3.7818 * t * t - 0.047_608 * t * t * t;
    at_600_cm_h / 100.0 / (schmidt / 600.0).sqrt()
}

/// Use at this warmth against that at 20 °C.
pub fn warmth_of_use(water_temp_c: f64) -> f64 {
    pow(USE_PER_DEGREE, water_temp_c - 20.0)
}

/// What is used in a pond of which nothing was read yet, mg/L an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Used {
    /// By plankton and all else that drifts.
    pub water_mg_l_h: f64,
    /// By the floor.
    pub floor_mg_l_h: f64,
    /// By the animals.
    pub animals_mg_l_h: f64,
}

/// A whole fed pond at 27 °C, 1.2 m deep, with the disk lost at 0.4 m: 0.30 mg/L an hour (memory, good to a factor of 1.6), of which
/// the floor used half and plankton 42 % in the ponds of the source.
const WHOLE_MG_L_H: f64 = 0.30;
const WHOLE_AT: (f64, f64, f64) = (27.0, 1.2, 0.4);
const FLOOR_SHARE: f64 = 0.50;
const WATER_SHARE: f64 = 0.42;
/// Disks outside these depths say no more of the plankton than these, m.
const SECCHI_M: (f64, f64) = (0.15, 1.2);

impl Used {
    /// From what may be known of any pond: plankton goes with one over the depth at which the disk is lost (our guess), the floor's part
    /// with one over the mean depth.
    pub fn usual(water_temp_c: f64, secchi_m: Option<f64>, mean_depth_m: f64, animals_mg_l_h: f64) -> Used {
        let (at_c, deep_m, lost_m) = WHOLE_AT;
        let warm = pow(USE_PER_DEGREE, water_temp_c - at_c);
        let secchi_m = secchi_m.unwrap_or(lost_m).clamp(SECCHI_M.0, SECCHI_M.1);
        Used {
            water_mg_l_h: WATER_SHARE * WHOLE_MG_L_H * warm * lost_m / secchi_m,
            floor_mg_l_h: FLOOR_SHARE * WHOLE_MG_L_H * warm * deep_m / mean_depth_m.max(0.2),
            animals_mg_l_h,
        }
    }
    /// All together, mg/L an hour.
    pub fn whole_mg_l_h(&self) -> f64 {
        self.water_mg_l_h + self.floor_mg_l_h + self.animals_mg_l_h
    }
}

/// What fed animals use in a pond, mg/L an hour, from their mass (kg), mean weight (g) and the water (m3).
pub fn used_by_animals_mg_l_h(mass_kg: f64, mean_weight_g: f64, water_temp_c: f64, volume_m3: f64) -> f64 {
    if mass_kg <= 0.0 || mean_weight_g <= 0.0 {
        return 0.0;
    }
    let routine_mg_g_h = 0.40 * pow(mean_weight_g, -0.25) * pow(2.0, (water_temp_c - 28.0) / 10.0);
    // 1 kg of animals using 1 mg for each gram in an hour: 1 g an hour.
    1.5 * routine_mg_g_h * mass_kg / volume_m3
}

/// The part of its rating that an aerator reaches in a pond; negative when the water is over-full.
pub fn part_of_rating(water_temp_c: f64, saturation_mg_l: f64, oxygen_mg_l: f64, alpha: f64) -> f64 {
    alpha * pow(1.024, water_temp_c - 20.0) * (saturation_mg_l - oxygen_mg_l) / RATED_AT_MG_L
}

/// What aerators rated at `rated_kg_h` make good in an hour, as a share of the want of saturation: for [`Law::aerator_per_h`].
pub fn aerator_per_h(rated_kg_h: f64, water_temp_c: f64, volume_m3: f64) -> f64 {
    1000.0 * rated_kg_h * ALPHA * pow(1.024, water_temp_c - 20.0) / (RATED_AT_MG_L * volume_m3)
}

/// Two waters after they met: each as mg/L and m3.
pub fn met(upper: (f64, f64), lower: (f64, f64)) -> f64 {
    let both_m3 = upper.1 + lower.1;
    if both_m3 > 0.0 { (upper.0 * upper.1 + lower.0 * lower.1) / both_m3 } else { upper.0 }
}

/// The law of a mixed pond by night, from its water and wind; what is used and the aerators are still to be set.
pub fn law_at_night(water_temp_c: f64, pressure_hpa: f64, wind_m_s: f64, mean_depth_m: f64) -> Law {
    Law {
        use_mg_l_h: 0.0,
        exchange_per_h: renewed_m_h(wind_m_s, water_temp_c) / mean_depth_m.max(0.1),
        aerator_per_h: 0.0,
        saturation_mg_l: oxygen_saturation_mg_l(water_temp_c, pressure_hpa),
    }
}

#[cfg(test)]
mod tests;
