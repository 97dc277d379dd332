//! What is left in a pond whose water falls: stage against volume, pools behind sills, bare floor and films.
//!
//! Model     a column whose way to the drain leads over a sill keeps its pool at the sill's height; all others follow the water at the
//!           drain. Volume against stage is exact between the heights of the shape's table, and so is its inverse
//! Units     m above the lowest floor, m², m³
//! Range     from the floor to the top of the shape's tables
//! Source    plane geometry
//! Left out  what pools lose to the air and the ground; footprints and ruts

use crate::shape::Shape;
use crate::stage::DRY_M;

/// The pond as a vessel that empties at the drain.
#[derive(Debug, Clone)]
pub struct Reservoir {
    shape: Shape,
    /// Heights with every sill among them, rising.
    heights_m: Vec<f64>,
    /// All water at each, m³.
    volumes_m3: Vec<f64>,
    /// Area that still follows the drain just above each height and just below the next, m².
    areas_m2: Vec<(f64, f64)>,
    full_area_m2: f64,
}

impl Reservoir {
    /// Of a pond's shape.
    pub fn new(shape: &Shape) -> Reservoir {
        let mut heights_m = shape.heights_m().to_vec();
        heights_m.extend(shape.columns().iter().map(|column| column.sill_m));
        heights_m.sort_by(f64::total_cmp);
        heights_m.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let volumes_m3: Vec<f64> = heights_m.iter().map(|&y| water_m3(shape, y)).collect();
        let areas_m2 = heights_m
            .windows(2)
            .map(|pair| {
                let follows = |c: &usize| shape.columns()[*c].sill_m <= pair[0] + 1e-9;
                let area =
                    |y: f64| (0..shape.columns().len()).filter(follows).map(|c| shape.column_area_m2(c, y)).sum();
                (area(pair[0]), area(pair[1]))
            })
            .collect();
        let full_area_m2 = shape.area_m2(shape.full_m());
        Reservoir { shape: shape.clone(), heights_m, volumes_m3, areas_m2, full_area_m2 }
    }

    /// Its shape.
    pub fn shape(&self) -> &Shape {
        &self.shape
    }

    /// All water at a stage by the drain, pools with it, m³.
    pub fn volume_m3(&self, stage_m: f64) -> f64 {
        let (k, up_m, run_m) = self.find(stage_m);
        let (low, high) = self.areas_m2[k];
        self.volumes_m3[k] + up_m * (low + 0.5 * (high - low) * up_m / run_m)
    }

    /// Water area that follows the drain at a stage, m².
    pub fn area_m2(&self, stage_m: f64) -> f64 {
        let (k, up_m, run_m) = self.find(stage_m);
        let (low, high) = self.areas_m2[k];
        low + (high - low) * up_m / run_m
    }

    /// Stage by the drain at which this much water is left, m.
    pub fn stage_m(&self, volume_m3: f64) -> f64 {
        let last = self.heights_m.len() - 2;
        let k = self.volumes_m3.partition_point(|&v| v <= volume_m3).saturating_sub(1).min(last);
        let more_m3 = (volume_m3 - self.volumes_m3[k]).max(0.0);
        let ((low, high), run_m) = (self.areas_m2[k], self.heights_m[k + 1] - self.heights_m[k]);
        // low u + slope u^2 / 2 = more, in the form that stays exact where area or slope vanishes.
        let slope = (high - low) / run_m;
        let root = (low * low + 2.0 * slope * more_m3).max(0.0).sqrt();
        let up_m = if low + root > 0.0 { 2.0 * more_m3 / (low + root) } else { 0.0 };
        self.heights_m[k] + up_m.min(run_m)
    }

    /// Water in pools that are cut off at a stage, m³.
    pub fn pools_m3(&self, stage_m: f64) -> f64 {
        let pool = |(c, column): (usize, &crate::shape::Column)| {
            if stage_m < column.sill_m { self.shape.column_volume_m3(c, column.sill_m) } else { 0.0 }
        };
        self.shape.columns().iter().enumerate().map(pool).sum()
    }

    /// Share of the ground that lies bare at a stage.
    pub fn bare_fraction(&self, stage_m: f64) -> f64 {
        (1.0 - self.wet_m2(stage_m, 0.0) / self.full_area_m2).clamp(0.0, 1.0)
    }

    /// Share of the ground under a film at a stage.
    pub fn film_fraction(&self, stage_m: f64) -> f64 {
        ((self.wet_m2(stage_m, 0.0) - self.wet_m2(stage_m, DRY_M)) / self.full_area_m2).clamp(0.0, 1.0)
    }

    /// Stage at which a column is cut off with a pool behind its sill, m.
    pub fn cut_off_m(&self, column: usize) -> Option<f64> {
        let column = &self.shape.columns()[column];
        (column.sill_m > column.floor_m + DRY_M).then_some(column.sill_m)
    }

    /// Stage at which a column lies bare but for a film, m; `None` when a pool stays there.
    pub fn dry_m(&self, column: usize) -> Option<f64> {
        self.cut_off_m(column).is_none().then_some(self.shape.columns()[column].floor_m + DRY_M)
    }

    fn wet_m2(&self, stage_m: f64, deeper_than_m: f64) -> f64 {
        let wet = |c: usize| self.shape.column_area_m2(c, self.shape.column_level_m(c, stage_m) - deeper_than_m);
        (0..self.shape.columns().len()).map(wet).sum()
    }

    fn find(&self, stage_m: f64) -> (usize, f64, f64) {
        let last = self.heights_m.len() - 2;
        let k = self.heights_m.partition_point(|&y| y <= stage_m).saturating_sub(1).min(last);
        let run_m = self.heights_m[k + 1] - self.heights_m[k];
        (k, (stage_m - self.heights_m[k]).clamp(0.0, run_m), run_m)
    }
}

fn water_m3(shape: &Shape, stage_m: f64) -> f64 {
    let columns = shape.columns().iter().enumerate();
    columns.map(|(c, column)| shape.column_volume_m3(c, stage_m.max(column.sill_m))).sum()
}
