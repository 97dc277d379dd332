//! A pond known by a table of depth and area.

use super::{FREEBOARD_M, Figure, Shape, ShapeError, check_columns, positive};

/// Default depth of the floor at the shallow end, as a part of the greatest depth. Ponds of the trade run from about
/// 3.5 ft to 7 ft (common practice), which is 0.5; our guess is a little more because a table's last depth is often a sump.
const SHALLOW_PART: f64 = 0.6;

/// A measured table of area against depth, with the pond's length along its slope.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthArea {
    /// Depth below full, m, and water area there, m2, from the surface (depth 0) down.
    pub depth_area_m_m2: Vec<(f64, f64)>,
    /// Length from shallow to drain end when full, m.
    pub length_m: f64,
    /// Depth of the floor's deepest line at the shallow end when full, m; without it six tenths of the greatest depth.
    pub depth_shallow_m: Option<f64>,
}

impl Shape {
    /// Shape from a table of depth and area.
    ///
    /// A table says nothing of where along the slope the deep water is, so two rules stand in for it. The floor's deepest
    /// line falls straight from the shallow end to the drain end. Going up from the bottom, each new ring of shore is shared
    /// among the columns whose floor is already under water, each by the area it still lacks to its equal part of the full
    /// pond. The columns' areas add up to the table's at every depth. Above full the last slope goes on.
    ///
    /// # Errors
    /// [`ShapeError`] naming the row that cannot be.
    pub fn from_table(table: &DepthArea, columns: usize) -> Result<Shape, ShapeError> {
        check_columns(columns)?;
        let rows = check_rows(table)?;
        let full_m = rows[rows.len() - 1].0;
        let shallow_m = table.depth_shallow_m.unwrap_or(SHALLOW_PART * full_m);
        positive(Figure::Depth, shallow_m)?;
        if shallow_m > full_m {
            return Err(ShapeError::ShallowEndDeeper { shallow_m, deep_m: full_m });
        }
        let floor = [(0.0, full_m - shallow_m), (table.length_m, 0.0)];
        let step_m = table.length_m / columns as f64;
        let floors_m: Vec<f64> = (0..columns)
            .map(|column| super::lowest(&floor, step_m * column as f64, step_m * (column + 1) as f64))
            .collect();
        let mut heights_m: Vec<f64> = rows.iter().map(|&(depth_m, _)| full_m - depth_m).collect();
        heights_m.extend(&floors_m);
        let heights_m = super::heights(full_m, &heights_m);
        let areas_m2 = share(&rows, full_m, &heights_m, &floors_m);
        let parts = floors_m.iter().copied().zip(areas_m2).collect();
        let gap_floor_m = (1..columns).map(|gap| super::height_at(&floor, step_m * gap as f64)).collect();
        Ok(Shape::assemble(full_m, table.length_m, heights_m, parts, gap_floor_m, &floor))
    }
}

fn check_rows(table: &DepthArea) -> Result<Vec<(f64, f64)>, ShapeError> {
    let rows = &table.depth_area_m_m2;
    positive(Figure::Length, table.length_m)?;
    if rows.len() < 2 {
        return Err(ShapeError::TooFewDepths { count: rows.len() });
    }
    if rows[0].0 != 0.0 {
        return Err(ShapeError::NoSurfaceRow { depth_m: rows[0].0 });
    }
    positive(Figure::Area, rows[0].1)?;
    for (row, pair) in rows.windows(2).enumerate() {
        let ((before, above_m2), (value, area_m2)) = (pair[0], pair[1]);
        if !(value > before && value.is_finite()) {
            return Err(ShapeError::NotIncreasing { row: row + 1, value, before });
        }
        if !(area_m2 >= 0.0 && area_m2.is_finite()) {
            return Err(ShapeError::NotPositive { what: Figure::Area, value: area_m2 });
        }
        if area_m2 > above_m2 {
            return Err(ShapeError::AreaIncreasesDownward { row: row + 1, area_m2, above_m2 });
        }
    }
    Ok(rows.clone())
}

/// Whole-pond area at a height, from the table; above full its last slope goes on.
fn whole_m2(rows: &[(f64, f64)], full_m: f64, height_m: f64) -> f64 {
    let depth_m = full_m - height_m;
    let k = rows.partition_point(|&(depth, _)| depth < depth_m).clamp(1, rows.len() - 1);
    let ((d0, a0), (d1, a1)) = (rows[k - 1], rows[k]);
    a0 + (a1 - a0) * (depth_m.max(-FREEBOARD_M) - d0) / (d1 - d0)
}

fn share(rows: &[(f64, f64)], full_m: f64, heights_m: &[f64], floors_m: &[f64]) -> Vec<Vec<f64>> {
    let count = floors_m.len();
    let part_m2 = rows[0].1 / count as f64;
    let mut areas_m2 = vec![vec![0.0; heights_m.len()]; count];
    let mut now_m2 = vec![0.0; count];
    let mut before_m2 = 0.0;
    for (k, &height_m) in heights_m.iter().enumerate() {
        let whole = whole_m2(rows, full_m, height_m);
        let mut ring_m2 = whole - before_m2;
        before_m2 = whole;
        let wet = |column: usize| floors_m[column] <= height_m && (k == 0 || floors_m[column] < height_m);
        let lacking: f64 = (0..count).filter(|&c| wet(c)).map(|c| (part_m2 - now_m2[c]).max(0.0)).sum();
        if lacking > 0.0 {
            let shared_m2 = ring_m2.min(lacking);
            for c in (0..count).filter(|&c| wet(c)) {
                now_m2[c] += shared_m2 * (part_m2 - now_m2[c]).max(0.0) / lacking;
            }
            ring_m2 -= shared_m2;
        }
        // More floor at this depth than the wet columns can hold (a flat pan), or the bank above full: equal parts.
        let n_wet = (0..count).filter(|&c| wet(c)).count();
        if ring_m2 > 0.0 && n_wet > 0 {
            for c in (0..count).filter(|&c| wet(c)) {
                now_m2[c] += ring_m2 / n_wet as f64;
            }
        }
        for c in 0..count {
            areas_m2[c][k] = now_m2[c];
        }
    }
    areas_m2
}
