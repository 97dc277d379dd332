//! How long a pond takes to fall from one stage to another.
//!
//! Model     orifice and full-pipe discharge, the smaller of the two; a standpipe as a weir until its pipe controls; pumps at
//!           their measured rate; time as the integral of volume over discharge
//! Units     m, m³/s, h
//! Range     heads to about 3 m, pipes of 0.05 to 0.5 m
//! Source    Torricelli with a discharge coefficient; Darcy-Weisbach with the friction of Swamee & Jain (1976), J. Hydraul.
//!           Div. ASCE 102, 657-664; sharp-edged weir 1.7 P H^1.5 (memory). Checked on `drain_time.csv`, `pipe_discharge.csv`
//! Left out  pump curves and suction limits, tailwater, inflow and rain, the schedule of a harvest night: the drawdown by the
//!           clock is to come here, with cells removed column by column as they fall dry

mod course;

pub use course::{Course, Mark, Step, What};

use crate::shape::Shape;

const GRAVITY_M_S2: f64 = 9.81;
/// Discharge coefficient of a sharp-edged opening.
pub const ORIFICE: f64 = 0.61;
/// Share of the discharge that a screen lets through (common practice: 0.5 to 0.8).
pub const SCREEN: f64 = 0.7;
const ENTRANCE_LOSS: f64 = 0.5;
/// Kinematic viscosity of water at 20 °C, m²/s.
const VISCOSITY_M2_S: f64 = 1.004e-6;

/// Discharge of a sharp-edged opening under a head to its centre, m³/s.
pub fn orifice_m3_s(diameter_m: f64, head_m: f64) -> f64 {
    ORIFICE * bore_m2(diameter_m) * (2.0 * GRAVITY_M_S2 * head_m.max(0.0)).sqrt()
}

/// Discharge of a pipe that flows full to a free outfall, m³/s.
pub fn pipe_m3_s(diameter_m: f64, length_m: f64, roughness_m: f64, head_m: f64) -> f64 {
    if head_m <= 0.0 {
        return 0.0;
    }
    let mut speed_m_s = (2.0 * GRAVITY_M_S2 * head_m / (1.0 + ENTRANCE_LOSS)).sqrt();
    // Friction hangs weakly on speed: a few rounds settle it.
    for _ in 0..8 {
        let reynolds = speed_m_s * diameter_m / VISCOSITY_M2_S;
        let term = units::log10(roughness_m / (3.7 * diameter_m) + 5.74 / units::pow(reynolds, 0.9));
        let friction = 0.25 / (term * term);
        speed_m_s = (2.0 * GRAVITY_M_S2 * head_m / (1.0 + ENTRANCE_LOSS + friction * length_m / diameter_m)).sqrt();
    }
    speed_m_s * bore_m2(diameter_m)
}

/// Discharge over the rim of an upright pipe, m³/s.
pub fn standpipe_m3_s(diameter_m: f64, head_m: f64) -> f64 {
    let head_m = head_m.max(0.0);
    let weir = 1.7 * std::f64::consts::PI * diameter_m * head_m * head_m.sqrt();
    weir.min(orifice_m3_s(diameter_m, head_m))
}

fn bore_m2(diameter_m: f64) -> f64 {
    std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m
}

/// What takes the water out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// A plain opening at a height above the lowest floor.
    Orifice {
        /// Bore, m.
        diameter_m: f64,
        /// Height of its centre, m.
        height_m: f64,
    },
    /// A pipe through the bank, behind a screen.
    Pipe {
        /// Bore, m.
        diameter_m: f64,
        /// Length, m.
        length_m: f64,
        /// Height of its centre at the pond, m.
        height_m: f64,
    },
    /// Pumps at a measured rate.
    Pumps {
        /// Together, m³/h.
        rate_m3_h: f64,
    },
}

impl Way {
    /// Discharge at a stage, m³/h.
    pub fn discharge_m3_h(&self, stage_m: f64) -> f64 {
        match *self {
            Way::Orifice { diameter_m, height_m } => 3600.0 * orifice_m3_s(diameter_m, stage_m - height_m),
            Way::Pipe { diameter_m, length_m, height_m } => {
                // Plastic pipe in use: between the smooth and the rough rows of the check.
                let head_m = stage_m - height_m;
                let full = pipe_m3_s(diameter_m, length_m, 5.0e-5, head_m);
                3600.0 * SCREEN * full.min(orifice_m3_s(diameter_m, head_m))
            }
            Way::Pumps { rate_m3_h } => rate_m3_h,
        }
    }
}

/// Hours for the stage to fall from one height to another with all ways at work; `None` when it never gets there.
pub fn hours_down(shape: &Shape, ways: &[Way], from_m: f64, to_m: f64) -> Option<f64> {
    const SLICES: u32 = 400;
    let slice_m = (from_m - to_m) / f64::from(SLICES);
    if slice_m <= 0.0 {
        return Some(0.0);
    }
    let mut hours = 0.0;
    for slice in 0..SLICES {
        let top_m = from_m - f64::from(slice) * slice_m;
        let middle_m = top_m - 0.5 * slice_m;
        let discharge: f64 = ways.iter().map(|way| way.discharge_m3_h(middle_m)).sum();
        if discharge <= 0.0 {
            return None;
        }
        hours += (shape.volume_m3(top_m) - shape.volume_m3(top_m - slice_m)) / discharge;
    }
    Some(hours)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shape::Levee;

    fn near(got: f64, expected: f64, relative: f64) {
        assert!((got / expected - 1.0).abs() <= relative, "{got} against {expected}");
    }

    #[test]
    fn published_discharges() {
        let text = include_str!("../../../checks/values/pipe_discharge.csv");
        let rows: Vec<Vec<f64>> = text
            .lines()
            .filter_map(|line| line.strip_prefix("discharge,"))
            .map(|line| line.split(',').map(|cell| cell.parse().expect("a number")).collect())
            .collect();
        assert_eq!(rows.len(), 25, "every row is read");
        for row in rows {
            let [diameter, head, length, orifice, rough, smooth] = row[..] else { panic!("six figures") };
            near(1000.0 * orifice_m3_s(diameter, head), orifice, 1e-3);
            near(1000.0 * pipe_m3_s(diameter, length, 1.5e-4, head), rough, 1e-3);
            near(1000.0 * pipe_m3_s(diameter, length, 1.5e-6, head), smooth, 1e-3);
        }
    }

    #[test]
    fn published_times_to_drain() {
        // The levee pond of checks/values/geometry_volume.csv; times from drain_time.csv, closed form and quadrature.
        let levee = Levee { end_slope: 0.0, ..Levee::paced(100.0, 40.0, 1.0, 2.1) };
        let pond = Shape::from_levee(&levee, 6).expect("a pond");
        let hole = [Way::Orifice { diameter_m: 0.20, height_m: 0.0 }];
        let at_30 = pond.stage_m(0.3 * pond.volume_m3(2.1));
        near(hours_down(&pond, &hole, 2.1, at_30).expect("it drains"), 10.011, 5e-3);
        near(hours_down(&pond, &hole, 2.1, 0.1).expect("it drains"), 16.657, 5e-3);
        let pump = [Way::Pumps { rate_m3_h: 50.0 }];
        near(hours_down(&pond, &pump, 2.1, at_30).expect("it drains"), 76.286, 5e-3);
    }

    #[test]
    fn what_stands_below_the_drain_stays() {
        let pond = Shape::from_levee(&Levee::paced(40.0, 40.0, 0.9, 1.8), 4).expect("a pond");
        let high = [Way::Pipe { diameter_m: 0.1, length_m: 10.0, height_m: 0.5 }];
        assert!(hours_down(&pond, &high, 1.8, 0.6).is_some());
        assert_eq!(hours_down(&pond, &high, 1.8, 0.3), None);
        let pumps = [high[0], Way::Pumps { rate_m3_h: 30.0 }];
        assert!(hours_down(&pond, &pumps, 1.8, 0.3).is_some(), "a pump takes the rest");
    }
}
