//! The water and floor of one pond at one instant, for one member or a row of them.

use crate::basin::Basin;
use crate::bed::{Ground, LAYERS, heat_j_m2};
use crate::stage::Stage;
use crate::water_properties::HEAT_CAPACITY_J_M3_K;
use units::Real;

/// Colder than the surface by more than this, water lies below and does not mix with it, K (docs/model/oxygen.md).
pub const LAYERED_K: f64 = 0.3;

/// Temperatures of a pond and its floor. Cells of column `c` stand at `c * stride + cell` from the surface down, the
/// floor's layers of that cell at `(c * stride + cell) * LAYERS`. Cells that a stage does not have keep idle numbers.
#[derive(Clone, Debug, PartialEq)]
pub struct Water<R: Real> {
    /// Water, C.
    pub temps: Vec<R>,
    /// Floor, C.
    pub bed: Vec<R>,
    /// Wind over this water as a part of the station's.
    pub wind_factor: R,
    /// Sun on this water as a part of the station's: 1 unless shade or the thermometer says otherwise.
    pub sun_factor: R,
    /// Depth by which a member's own rain and evaporation are ahead of the schedule of levels, m: kept, not spent.
    pub unspent_m: R,
    stride: usize,
}

impl<R: Real> Water<R> {
    /// Water at the start, the same in every column and member: `profile_m_c` gives depth below the surface and temperature,
    /// in order of depth (held beyond its ends). The floor starts on the ground's yearly wave, bent to the water above it.
    pub fn start(
        basin: &Basin,
        stage: &Stage,
        profile_m_c: &[(f64, f64)],
        ground: &Ground,
        day_of_year: f64,
    ) -> Water<R> {
        let (columns, stride) = (basin.columns(), basin.cells_max());
        let mut water = Water {
            temps: vec![R::splat(0.0); columns * stride],
            bed: vec![R::splat(0.0); columns * stride * LAYERS],
            wind_factor: R::splat(1.0),
            sun_factor: R::splat(1.0),
            unspent_m: R::splat(0.0),
            stride,
        };
        for c in 0..columns {
            for j in 0..stride {
                let cell = j.min(stage.cells(c).saturating_sub(1));
                let temp_c = along(profile_m_c, stage.middle_m(c, cell));
                let i = c * stride + j;
                water.temps[i] = R::splat(temp_c);
                for (m, layer_c) in ground.start(temp_c, day_of_year).into_iter().enumerate() {
                    water.bed[i * LAYERS + m] = R::splat(layer_c);
                }
            }
        }
        water
    }

    /// The same water with this wind factor.
    #[must_use]
    pub fn with_wind(mut self, wind_factor: f64) -> Water<R> {
        self.wind_factor = R::splat(wind_factor);
        self
    }

    /// Puts a measured profile back into every column, leaving the floor as it is.
    pub fn reset_profile(&mut self, stage: &Stage, profile_m_c: &[(f64, f64)]) {
        for c in 0..stage.columns() {
            for j in 0..stage.cells(c) {
                self.temps[c * self.stride + j] = R::splat(along(profile_m_c, stage.middle_m(c, j)));
            }
        }
    }

    /// The same water and floor in another cutting of the pond: each new column takes the profile and the floor of the column
    /// that lies as far along, a lone one those of the drain end.
    #[must_use]
    pub fn recut(&self, stage: &Stage, basin: &Basin, into: &Stage) -> Water<R> {
        let (columns, stride) = (basin.columns(), basin.cells_max());
        let last = stage.columns() - 1;
        let (mut temps, mut bed) =
            (Vec::with_capacity(columns * stride), Vec::with_capacity(columns * stride * LAYERS));
        for c in 0..columns {
            let from = if columns > 1 { c * last / (columns - 1) } else { last };
            let (base, n) = (from * self.stride, stage.cells(from).max(1));
            for j in 0..stride {
                let depth_m = into.middle_m(c, j.min(into.cells(c).saturating_sub(1)));
                temps.push(self.at_depth(stage, from, depth_m));
                let away = |k: &usize| (stage.middle_m(from, *k) - depth_m).abs();
                let nearest = (0..n).min_by(|a, b| away(a).total_cmp(&away(b))).unwrap_or(0);
                bed.extend_from_slice(&self.bed[(base + nearest) * LAYERS..(base + nearest + 1) * LAYERS]);
            }
        }
        Water { temps, bed, stride, ..*self }
    }

    /// Distance between the cells of neighbouring columns in [`Water::temps`].
    pub fn stride(&self) -> usize {
        self.stride
    }
    /// One member as a pond of its own, in f64.
    pub fn member(&self, member: usize) -> Water<f64> {
        Water {
            temps: self.temps.iter().map(|x| x.lane(member)).collect(),
            bed: self.bed.iter().map(|x| x.lane(member)).collect(),
            wind_factor: self.wind_factor.lane(member),
            sun_factor: self.sun_factor.lane(member),
            unspent_m: self.unspent_m.lane(member),
            stride: self.stride,
        }
    }
    /// Sets one member from a pond of its own (of the same basin).
    pub fn set_member(&mut self, member: usize, one: &Water<f64>) {
        for (x, &y) in self.temps.iter_mut().zip(&one.temps) {
            x.set_lane(member, y);
        }
        for (x, &y) in self.bed.iter_mut().zip(&one.bed) {
            x.set_lane(member, y);
        }
        self.wind_factor.set_lane(member, one.wind_factor);
        self.sun_factor.set_lane(member, one.sun_factor);
        self.unspent_m.set_lane(member, one.unspent_m);
    }

    /// Temperature of a column at a depth below the surface, C: linear between the middles of cells, held beyond them.
    #[inline(always)]
    pub fn at_depth(&self, stage: &Stage, column: usize, depth_m: f64) -> R {
        let n = stage.cells(column).max(1);
        let from = column * self.stride;
        let middles = &stage.middle_m[from..from + n];
        let k = middles.partition_point(|&middle| middle < depth_m);
        if k == 0 {
            return self.temps[from];
        }
        if k == n {
            return self.temps[from + n - 1];
        }
        let part = (depth_m - middles[k - 1]) / (middles[k] - middles[k - 1]);
        let (above, below) = (self.temps[from + k - 1], self.temps[from + k]);
        above + (below - above) * R::splat(part)
    }
    /// Temperature of a column's lowest cell, C.
    #[inline(always)]
    pub fn bottom(&self, stage: &Stage, column: usize) -> R {
        self.temps[column * self.stride + stage.cells(column).max(1) - 1]
    }
    /// Temperature of the first layer of floor (4 cm) under a column's lowest cell, C.
    #[inline(always)]
    pub fn floor_under(&self, stage: &Stage, column: usize) -> R {
        self.bed[(column * self.stride + stage.cells(column).max(1) - 1) * LAYERS]
    }
    /// Volume mean of one column, C.
    #[inline(always)]
    pub fn column_mean(&self, stage: &Stage, column: usize) -> R {
        self.mean_of(stage, column..column + 1, f64::INFINITY)
    }
    /// Volume mean of the whole pond, C.
    #[inline(always)]
    pub fn mean(&self, stage: &Stage) -> R {
        self.mean_of(stage, 0..stage.columns(), f64::INFINITY)
    }
    /// Volume mean of the cells whose middles lie in a column's upper metre, C.
    #[inline(always)]
    pub fn upper_metre(&self, stage: &Stage, column: usize) -> R {
        self.mean_of(stage, column..column + 1, 1.0)
    }
    /// What the animals on the floor feel: the lowest cells of the columns that reach the drain, weighted by volume, C.
    #[inline(always)]
    pub fn bottom_mean(&self, stage: &Stage) -> R {
        let last = stage.columns() - 1;
        let mut sum = R::splat(0.0);
        let mut whole_m3 = 0.0;
        for c in (0..=last).filter(|&c| stage.connected(c)) {
            let volume_m3 = stage.volume_m3(c, stage.cells(c) - 1);
            sum += self.bottom(stage, c) * R::splat(volume_m3);
            whole_m3 += volume_m3;
        }
        if whole_m3 > 0.0 { sum * R::splat(1.0 / whole_m3) } else { self.bottom(stage, last) }
    }
    /// How deep a column is mixed from its surface, m: to the upper edge of the first cell colder than the top one by more than
    /// [`LAYERED_K`].
    #[inline(always)]
    pub fn mixed_m(&self, stage: &Stage, column: usize) -> R {
        let from = column * self.stride;
        let (none, limit_c) = (R::splat(0.0), self.temps[from] - R::splat(LAYERED_K));
        let (mut mixed_m, mut still, mut top_m) = (none, R::splat(1.0), 0.0);
        for cell in 0..stage.cells(column) {
            let below_m = 2.0 * stage.middle_m(column, cell) - top_m;
            still = self.temps[from + cell].if_less(limit_c, none, still);
            mixed_m += still * R::splat(below_m - top_m);
            top_m = below_m;
        }
        mixed_m
    }
    /// Mean of the coldest wet column, C, member by member.
    #[inline(always)]
    pub fn coldest_column(&self, stage: &Stage) -> R {
        let mut coldest = R::splat(99.0);
        for c in (0..stage.columns()).filter(|&c| stage.cells(c) > 0) {
            coldest = coldest.min(self.column_mean(stage, c));
        }
        coldest
    }
    /// Lowest temperature of any wet column's lowest cell, C, member by member.
    #[inline(always)]
    pub fn coldest_bottom(&self, stage: &Stage) -> R {
        let mut coldest = R::splat(99.0);
        for c in (0..stage.columns()).filter(|&c| stage.cells(c) > 0) {
            coldest = coldest.min(self.bottom(stage, c));
        }
        coldest
    }

    #[inline(always)]
    fn mean_of(&self, stage: &Stage, columns: std::ops::Range<usize>, depth_m: f64) -> R {
        // Means are taken about the first cell so that single precision keeps its digits.
        let about = self.temps[columns.start * self.stride];
        let mut sum = R::splat(0.0);
        let mut whole_m3 = 0.0;
        for c in columns {
            for j in 0..stage.cells(c) {
                let i = c * self.stride + j;
                if stage.middle_m[i] <= depth_m {
                    let volume_m3 = stage.volume.wide[i];
                    sum += (self.temps[i] - about) * stage.volume.at::<R>(i);
                    whole_m3 += volume_m3;
                }
            }
        }
        if whole_m3 > 0.0 { about + sum * R::splat(1.0 / whole_m3) } else { about }
    }

    /// Heat of water and floor, J, counted from 0 C, for one member: for closing a [`Budget`](crate::Budget).
    pub fn heat_j(&self, stage: &Stage, member: usize) -> f64 {
        let mut sum = 0.0;
        for c in 0..stage.columns() {
            for j in 0..stage.cells(c) {
                let i = c * self.stride + j;
                sum += self.temps[i].lane(member) * stage.volume.wide[i] * HEAT_CAPACITY_J_M3_K;
                let mut layers = [0.0; LAYERS];
                for (m, layer) in layers.iter_mut().enumerate() {
                    *layer = self.bed[i * LAYERS + m].lane(member);
                }
                sum += heat_j_m2(&layers) * stage.ring_m2[i];
            }
        }
        sum
    }
}

/// A profile at a depth: linear, held beyond its ends.
fn along(profile_m_c: &[(f64, f64)], depth_m: f64) -> f64 {
    let k = profile_m_c.partition_point(|&(depth, _)| depth < depth_m);
    match (k.checked_sub(1).and_then(|k| profile_m_c.get(k)), profile_m_c.get(k)) {
        (Some(&(d0, t0)), Some(&(d1, t1))) => t0 + (t1 - t0) * (depth_m - d0) / (d1 - d0),
        (Some(&(_, temp_c)), None) | (None, Some(&(_, temp_c))) => temp_c,
        (None, None) => 0.0,
    }
}

#[cfg(test)]
mod tests;
