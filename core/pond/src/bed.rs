//! The floor: seven layers of wet ground under every ring of a column, and a slow yearly wave below them.
//!
//! Model     conduction in layers of 4, 6, 10, 15, 25, 40 and 100 cm, implicit in time, a contact layer to the water, a
//!           given temperature two metres down.
//! Units     degrees C, W/m2 positive into the floor from the water; depths in m below the floor.
//! Range     saturated ground; steps up to an hour.
//! Source    conduction: textbook. Conductivity 1.0 (0.8 to 1.5) W/m/K, heat capacity 3.0e6 J/m3/K, contact 50 W/m2/K:
//!           physics of wet sediments (memory); what each is worth stands in docs/model/water.md.
//! Left out  heat sideways through the banks; groundwater.

use units::Real;

/// Layers under every ring.
pub const LAYERS: usize = 7;
const THICK_M: [f64; LAYERS] = [0.04, 0.06, 0.10, 0.15, 0.25, 0.40, 1.00];
const HEAT_CAPACITY_J_M3_K: f64 = 3.0e6;
/// Where in the first layer its mean temperature is met, as a part of its thickness: 1/2 when heat only passes through, 1/3
/// when it only stays. At 0.4 daily and ten-day waves and a two-day step are all within 1 % of a half-space.
const FIRST_PART: f64 = 0.4;
/// Depth below the floor at which the ground's own wave is imposed, m.
const DEEP_M: f64 = 2.0;
/// Depth by which the yearly wave dies to 1/e, m: sqrt(2 alpha / omega).
const YEAR_DEPTH_M: f64 = 1.83;
/// Depth over which a start that differs from the wave fades into it, m (our guess).
const START_FADE_M: f64 = 0.4;

/// The ground's yearly wave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ground {
    /// Mean of the year, C: the air's mean plus 1.5 (our guess, good to 1.5 K).
    pub mean_c: f64,
    /// Half the yearly range at the floor, C: half that of the water.
    pub half_range_c: f64,
    /// Day of the year at which the floor is warmest: 205 (24 July) in the north, 24 in the south.
    pub warmest_day: f64,
}

impl Ground {
    /// Temperature at a depth below the floor on a day of the year (1 is 1 January).
    pub fn temp_c(&self, depth_m: f64, day_of_year: f64) -> f64 {
        let lag = depth_m / YEAR_DEPTH_M;
        let phase = std::f64::consts::TAU * (day_of_year - self.warmest_day) / 365.25;
        self.mean_c + self.half_range_c * units::exp(-lag) * units::cos(phase - lag)
    }
    /// Temperature imposed below the layers on a day of the year.
    pub fn deep_c(&self, day_of_year: f64) -> f64 {
        self.temp_c(DEEP_M, day_of_year)
    }
    /// The layers at the start, under water of this temperature.
    pub(crate) fn start(&self, water_c: f64, day_of_year: f64) -> [f64; LAYERS] {
        let off_c = water_c - self.temp_c(0.0, day_of_year);
        let mut top_m = 0.0;
        THICK_M.map(|thick_m| {
            let middle_m = top_m + 0.5 * thick_m;
            top_m += thick_m;
            self.temp_c(middle_m, day_of_year) + off_c * units::exp(-middle_m / START_FADE_M)
        })
    }
}

/// Heat held by one square metre of floor, J, counted from 0 C.
pub(crate) fn heat_j_m2<R: Real>(layers: &[R]) -> R {
    let mut sum = R::splat(0.0);
    for (layer, thick_m) in layers.iter().zip(THICK_M) {
        sum += *layer * R::splat(HEAT_CAPACITY_J_M3_K * thick_m);
    }
    sum
}

/// The implicit step of the layers, eliminated beforehand: the same numbers for every ring and member.
#[derive(Clone, Debug, PartialEq)]
pub struct BedSolve {
    /// Conductance above layer m (0 is the contact with the water) and, last, to the deep ground, W/m2/K.
    conductance: [f64; LAYERS + 1],
    /// 1 / pivot of layer m, eliminated from below, m2 K/W.
    pivot: [f64; LAYERS],
    /// What layer m rises for each kelvin of the one above it.
    follow: [f64; LAYERS],
}

impl BedSolve {
    pub(crate) fn new(step_s: f64, conductivity_w_m_k: f64, contact_w_m2_k: f64) -> BedSolve {
        let half = |m: usize| 0.5 * THICK_M[m] / conductivity_w_m_k;
        let mut conductance = [0.0; LAYERS + 1];
        conductance[0] = 1.0 / (1.0 / contact_w_m2_k + FIRST_PART * THICK_M[0] / conductivity_w_m_k);
        for m in 1..LAYERS {
            conductance[m] = 1.0 / (half(m - 1) + half(m));
        }
        conductance[LAYERS] = 1.0 / half(LAYERS - 1);
        let (mut pivot, mut follow) = ([0.0; LAYERS], [0.0; LAYERS]);
        for m in (0..LAYERS).rev() {
            let store = HEAT_CAPACITY_J_M3_K * THICK_M[m] / step_s;
            let below = if m + 1 < LAYERS { conductance[m + 1] * (1.0 - follow[m + 1]) } else { conductance[LAYERS] };
            pivot[m] = 1.0 / (store + conductance[m] + below);
            follow[m] = conductance[m] * pivot[m];
        }
        BedSolve { conductance, pivot, follow }
    }

    /// Conductance that the water feels once the layers have been eliminated, W/m2/K.
    pub(crate) fn felt_w_m2_k(&self) -> f64 {
        self.conductance[0] * (1.0 - self.follow[0])
    }

    /// First half of a step: what each layer would rise if the water stayed as it is. Writes the rises to `rise` and
    /// returns the flux from water to floor at the start of the step less what the rise of the first layer takes back.
    #[inline(always)]
    pub(crate) fn up<R: Real>(&self, layers: &[R], water_c: R, light_w_m2: R, deep_c: R, rise: &mut [R]) -> R {
        let g = &self.conductance;
        let mut below = R::splat(g[LAYERS]) * (deep_c - layers[LAYERS - 1]);
        for m in (1..LAYERS).rev() {
            let above = R::splat(g[m]) * (layers[m - 1] - layers[m]);
            let x = (above + below) * R::splat(self.pivot[m]);
            rise[m] = x;
            // The next layer up loses `above` and feels this one's rise.
            below = R::splat(g[m]) * x - above;
        }
        let contact = R::splat(g[0]) * (water_c - layers[0]);
        let x = (contact + light_w_m2 + below) * R::splat(self.pivot[0]);
        rise[0] = x;
        contact - R::splat(g[0]) * x
    }

    /// Second half: the layers follow the water's rise. Returns the flux from the deep ground into the last layer, W/m2.
    #[inline(always)]
    pub(crate) fn down<R: Real>(&self, layers: &mut [R], water_rise_c: R, deep_c: R, rise: &[R]) -> R {
        let mut above = water_rise_c;
        for m in 0..LAYERS {
            above = rise[m] + R::splat(self.follow[m]) * above;
            layers[m] += above;
        }
        R::splat(self.conductance[LAYERS]) * (deep_c - layers[LAYERS - 1])
    }
}

#[cfg(test)]
mod tests;
