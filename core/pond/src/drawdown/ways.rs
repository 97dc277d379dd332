//! The ways out of a pond and the water they run into.
//!
//! Model     the smaller of what the inlet and the full pipe let through; a screen as a share of it; under a high ditch the head is
//!           from water to water, and a higher ditch runs backward through the same opening unless a flap shuts it. A pump gives its
//!           measured rate, or what its curve gives at the lift and the hose's loss, down to its suction limit
//! Units     m above the pond's lowest floor, m³/h
//! Range     as in `discharge`; pumps of two or three points
//! Source    standard hydraulics; screens 0.5 to 0.8 (common practice); suction limit 0.2 to 0.3 m of water over the intake (common
//!           practice)
//! Left out  a siphon; two pumps that draw from one hole; wear

use super::discharge::{orifice_m3_s, pipe_m3_s, standpipe_m3_s};

/// Share of the discharge that a clean screen lets through (common practice: 0.5 to 0.8).
pub const SCREEN: f64 = 0.7;
/// Water that a pump needs over its intake, m (common practice: 0.2 to 0.3).
pub const SUCTION_M: f64 = 0.25;
/// Roughness of plastic pipe in use, m: between the smooth and the rough rows of `pipe_discharge.csv`.
const ROUGHNESS_M: f64 = 5.0e-5;

/// What takes the water out. Heights are above the pond's lowest floor.
#[derive(Debug, Clone, PartialEq)]
pub enum Way {
    /// A plain opening.
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
        /// Share that the screen lets through: [`SCREEN`] when clean, less when part of it is blocked.
        screen_fraction: f64,
    },
    /// An upright pipe on the end of one through the bank: its rim is lowered section by section, or it is turned down.
    Standpipe {
        /// Bore, m.
        diameter_m: f64,
        /// Length of the pipe through the bank, m.
        length_m: f64,
        /// Height of its centre at the pond, m: the rim when it is right down.
        height_m: f64,
        /// As for a pipe.
        screen_fraction: f64,
    },
    /// A pump.
    Pump(Pump),
}

/// A pump at the pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Pump {
    /// What it moves.
    pub rate: Rate,
    /// Height of its intake, m.
    pub intake_m: f64,
    /// Water it needs over the intake, m.
    pub suction_m: f64,
    /// Hours until the fuel there is for it is burnt; `None` when it never runs out.
    pub fuel_h: Option<f64>,
}

/// What a pump moves.
#[derive(Debug, Clone, PartialEq)]
pub enum Rate {
    /// As measured at this pond, m³/h.
    Measured(f64),
    /// By its curve.
    Curve {
        /// Total head (m) and rate (m³/h), head rising; between points the square of the rate is linear in the head.
        points_m_m3_h: Vec<(f64, f64)>,
        /// Height it lifts to, m: over the bank, or the hose's end.
        over_m: f64,
        /// Loss in hose and fittings, m of head for each (m³/h)².
        hose_ratio: f64,
    },
}

impl Rate {
    /// Rate against a lift, m³/h.
    pub fn m3_h(&self, stage_m: f64, outlet_m: Option<f64>) -> f64 {
        match self {
            Rate::Measured(m3_h) => *m3_h,
            Rate::Curve { points_m_m3_h, over_m, hose_ratio } => {
                let lift_m = outlet_m.map_or(*over_m, |outlet_m| over_m.max(outlet_m)) - stage_m;
                on_curve(points_m_m3_h, lift_m, *hose_ratio)
            }
        }
    }
}

/// Where the pump's curve meets lift and hose: on each stretch the square of the rate is `a - b head`, and head is `lift + k square`.
fn on_curve(points: &[(f64, f64)], lift_m: f64, hose_ratio: f64) -> f64 {
    let Some(&(low_m, most)) = points.first() else { return 0.0 };
    if points.len() == 1 || lift_m + hose_ratio * most * most <= low_m {
        return most;
    }
    for pair in points.windows(2) {
        let ((h0, q0), (h1, q1)) = (pair[0], pair[1]);
        let b = (q0 * q0 - q1 * q1) / (h1 - h0);
        let a = q0 * q0 + b * h0;
        let square = (a - b * lift_m) / (1.0 + b * hose_ratio);
        let last = std::ptr::eq(pair, points.windows(2).next_back().unwrap_or(pair));
        if lift_m + hose_ratio * square.max(0.0) <= h1 || last {
            return square.max(0.0).sqrt();
        }
    }
    0.0
}

/// Height of the river or ditch at the drain's mouth, m above the pond's lowest floor, by hours: linear between, held outside.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OutletWater {
    /// Hour and height; empty when it stands below every mouth.
    pub by_hour_h_m: Vec<(f64, f64)>,
    /// A flap at the mouth keeps it from running in.
    pub flap: bool,
}

impl OutletWater {
    /// Standing at one height.
    pub fn at(height_m: f64) -> OutletWater {
        OutletWater { by_hour_h_m: vec![(0.0, height_m)], flap: false }
    }

    /// Height at an hour, m.
    pub fn height_m(&self, at_h: f64) -> Option<f64> {
        let rows = &self.by_hour_h_m;
        let after = rows.partition_point(|row| row.0 <= at_h);
        match (after.checked_sub(1).map(|before| rows[before]), rows.get(after)) {
            (Some((t0, y0)), Some(&(t1, y1))) => Some(y0 + (y1 - y0) * (at_h - t0) / (t1 - t0)),
            (Some((_, y)), None) | (None, Some(&(_, y))) => Some(y),
            (None, None) => None,
        }
    }
}

/// All that moves a pond's water while it goes down.
#[derive(Debug, Clone, PartialEq)]
pub struct Works {
    /// The ways out.
    pub ways: Vec<Way>,
    /// What each lets through, against the sum: below 1 where the grower remembers that it takes longer.
    pub pace_factor: f64,
    /// The water it runs into.
    pub outlet: OutletWater,
    /// Let in by a well, a spring or a leak, m³/h.
    pub inflow_m3_h: f64,
    /// Rain less evaporation and seepage by hour of the clock in use, m in an hour; none beyond its end.
    pub gain_m: Vec<f64>,
}

impl Works {
    /// These ways to free air, with nothing else coming or going.
    pub fn plain(ways: Vec<Way>) -> Works {
        Works { ways, pace_factor: 1.0, outlet: OutletWater::default(), inflow_m3_h: 0.0, gain_m: Vec::new() }
    }

    /// Rain less evaporation and seepage in the hour, m.
    pub(crate) fn gain_m(&self, at_h: f64) -> f64 {
        if at_h < 0.0 { 0.0 } else { self.gain_m.get(at_h as usize).copied().unwrap_or(0.0) }
    }

    /// What one way lets out at a stage, m³/h; negative when the ditch runs in. `rim_m` is where a standpipe's rim is set.
    pub fn discharge_m3_h(&self, way: usize, stage_m: f64, rim_m: Option<f64>, at_h: f64) -> f64 {
        let outlet_m = self.outlet.height_m(at_h);
        let through = |height_m: f64, sill_m: f64, of: &dyn Fn(f64) -> f64| -> f64 {
            let beyond_m = outlet_m.unwrap_or(f64::NEG_INFINITY);
            if beyond_m <= stage_m {
                // Down to the opening, to the sill before it, or to the water beyond.
                let open = stage_m > sill_m;
                return if open { of(stage_m - height_m.max(beyond_m)) } else { 0.0 };
            }
            if self.outlet.flap || beyond_m <= sill_m { 0.0 } else { -of(beyond_m - stage_m.max(sill_m)) }
        };
        let m3_h = match &self.ways[way] {
            Way::Orifice { diameter_m, height_m } => {
                through(*height_m, *height_m, &|head_m| 3600.0 * orifice_m3_s(*diameter_m, head_m))
            }
            Way::Pipe { diameter_m, length_m, height_m, screen_fraction } => {
                through(*height_m, *height_m, &|head_m| piped(*diameter_m, *length_m, *screen_fraction, head_m))
            }
            Way::Standpipe { diameter_m, length_m, height_m, screen_fraction } => {
                let rim_m = rim_m.unwrap_or(*height_m).max(*height_m);
                let full = through(*height_m, rim_m, &|head_m| piped(*diameter_m, *length_m, *screen_fraction, head_m));
                // Over a rim that still stands, the weir is the smaller one at first.
                let over = 3600.0 * screen_fraction * standpipe_m3_s(*diameter_m, stage_m - rim_m);
                if rim_m > *height_m && full > 0.0 { full.min(over) } else { full }
            }
            Way::Pump(pump) => pump.rate.m3_h(stage_m, outlet_m),
        };
        self.pace_factor * m3_h
    }
}

/// A screened pipe through the bank: the smaller of inlet and full pipe, m³/h.
fn piped(diameter_m: f64, length_m: f64, screen_fraction: f64, head_m: f64) -> f64 {
    let full = pipe_m3_s(diameter_m, length_m, ROUGHNESS_M, head_m);
    3600.0 * screen_fraction * full.min(orifice_m3_s(diameter_m, head_m))
}
