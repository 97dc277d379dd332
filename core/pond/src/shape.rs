//! A pond's shape: from a few paces and depths to area and volume at every stage, in columns from shallow to drain end.
//!
//! Model     a levee pond with a floor that falls in straight lines and banks of constant slope; or a measured table of
//!           depth and area, shared out to columns (see [`Shape::from_table`]). Area is linear between the heights of a
//!           table and volume is its exact integral, so that the derivative of volume is area everywhere.
//! Units     metres, m2, m3. Heights count upward from the lowest floor point (the datum), depths downward from full.
//! Range     0.2 to 30 m deep; up to [`MAX_COLUMNS`] columns; stage from the datum to half a metre above full.
//! Source    plane geometry; the prismoidal rule is exact here because widths vary linearly (USDA-NRCS handbook 590).
//! Left out  bends and islands; banks that differ from side to side; what silting changes after the survey.

mod table;

use crate::stage::DRY_M;

pub use table::DepthArea;

/// Most columns a pond is cut into.
pub const MAX_COLUMNS: usize = 12;
/// Height of bank above full that a stage may still reach, m.
pub const FREEBOARD_M: f64 = 0.5;

/// What a grower can pace and sound: a pond between four banks. Any two of area, length and width will do; area alone is
/// taken as twice as long as wide (our guess).
#[derive(Clone, Debug, PartialEq)]
pub struct Levee {
    /// Water area when full, m2.
    pub area_m2: Option<f64>,
    /// Length of the water from shallow to drain end when full, m.
    pub length_m: Option<f64>,
    /// Width of the water when full, m.
    pub width_m: Option<f64>,
    /// Depth at the shallow end when full, m.
    pub depth_shallow_m: f64,
    /// Depth at the drain end when full, m.
    pub depth_deep_m: f64,
    /// Run per rise of the two long banks. Common practice: 3.
    pub side_slope: f64,
    /// Run per rise of the two end banks; 0 for steep ends.
    pub end_slope: f64,
    /// Further soundings of the floor when full: distance from the shallow end and depth, m, in order. They replace the
    /// straight floor between the ends, for a pond with a sill or a silted drain.
    pub soundings_m: Vec<(f64, f64)>,
}

impl Levee {
    /// A pond of this length, width, shallow and deep depth, with 3 to 1 side banks and steep ends.
    pub fn paced(length_m: f64, width_m: f64, depth_shallow_m: f64, depth_deep_m: f64) -> Levee {
        Levee {
            area_m2: None,
            length_m: Some(length_m),
            width_m: Some(width_m),
            depth_shallow_m,
            depth_deep_m,
            side_slope: 3.0,
            end_slope: 0.0,
            soundings_m: Vec::new(),
        }
    }

    /// A pond of this area and depths, twice as long as wide, with 3 to 1 side banks and steep ends.
    pub fn of_area(area_m2: f64, depth_shallow_m: f64, depth_deep_m: f64) -> Levee {
        let mut levee = Levee::paced(1.0, 1.0, depth_shallow_m, depth_deep_m);
        levee.area_m2 = Some(area_m2);
        levee.length_m = None;
        levee.width_m = None;
        levee
    }

    /// Length and width when full, m.
    fn sides(&self) -> Result<(f64, f64), ShapeError> {
        for (what, value) in
            [(Figure::Area, self.area_m2), (Figure::Length, self.length_m), (Figure::Width, self.width_m)]
        {
            if let Some(value) = value {
                positive(what, value)?;
            }
        }
        match (self.area_m2, self.length_m, self.width_m) {
            (Some(area_m2), Some(length_m), Some(width_m)) => {
                let product_m2 = length_m * width_m;
                if (area_m2 - product_m2).abs() > 0.1 * area_m2 {
                    return Err(ShapeError::AreaIsNotLengthTimesWidth { area_m2, product_m2 });
                }
                Ok((length_m, width_m))
            }
            (_, Some(length_m), Some(width_m)) => Ok((length_m, width_m)),
            (Some(area_m2), Some(length_m), None) => Ok((length_m, area_m2 / length_m)),
            (Some(area_m2), None, Some(width_m)) => Ok((area_m2 / width_m, width_m)),
            (Some(area_m2), None, None) => Ok(((2.0 * area_m2).sqrt(), (0.5 * area_m2).sqrt())),
            _ => Err(ShapeError::SidesMissing),
        }
    }
}

/// A figure of a survey, for naming it in a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// Water area when full.
    Area,
    /// Length from shallow to drain end.
    Length,
    /// Width when full.
    Width,
    /// A depth.
    Depth,
    /// A bank's run per rise.
    BankSlope,
    /// A volume.
    Volume,
}

/// Why a pond's shape cannot be used.
#[derive(Clone, Debug, PartialEq)]
pub enum ShapeError {
    /// A figure is missing, zero, negative or not a number.
    NotPositive {
        /// Which.
        what: Figure,
        /// As given.
        value: f64,
    },
    /// Neither area nor two sides were given.
    SidesMissing,
    /// Area, length and width disagree by more than a tenth.
    AreaIsNotLengthTimesWidth {
        /// As given, m2.
        area_m2: f64,
        /// Length times width, m2.
        product_m2: f64,
    },
    /// The shallow end is the deeper one.
    ShallowEndDeeper {
        /// Depth at the shallow end, m.
        shallow_m: f64,
        /// Depth at the drain end, m.
        deep_m: f64,
    },
    /// The banks would meet above the floor.
    BanksMeet {
        /// Width (or length) when full, m.
        width_m: f64,
        /// Run per rise.
        slope: f64,
        /// Depth at which nothing is left, m.
        depth_m: f64,
    },
    /// A table needs at least two depths.
    TooFewDepths {
        /// How many there were.
        count: usize,
    },
    /// Depths of a table (or distances of soundings) do not increase.
    NotIncreasing {
        /// Row, from 0.
        row: usize,
        /// Value there.
        value: f64,
        /// Value before it.
        before: f64,
    },
    /// A table starts below the surface.
    NoSurfaceRow {
        /// First depth, m.
        depth_m: f64,
    },
    /// Area grows with depth.
    AreaIncreasesDownward {
        /// Row, from 0.
        row: usize,
        /// Area there, m2.
        area_m2: f64,
        /// Area above it, m2.
        above_m2: f64,
    },
    /// Volume falls as the water rises.
    VolumeDecreases {
        /// Row, from 0.
        row: usize,
        /// Volume there, m3.
        volume_m3: f64,
        /// Volume before it, m3.
        before_m3: f64,
    },
    /// A pond is cut into 1 to [`MAX_COLUMNS`] columns.
    Columns {
        /// As asked.
        count: usize,
    },
}

/// One column of the pond, from one cross-section to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Height of its lowest floor point, m.
    pub floor_m: f64,
    /// Stage at which it is cut off from the drain end, m: from there down it is a pool of its own.
    pub sill_m: f64,
    area_m2: Vec<f64>,
    volume_m3: Vec<f64>,
}

/// A pond's shape, ready to use: area and volume by stage, for the whole and by column (0 is the shallow end).
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    full_m: f64,
    length_m: f64,
    heights_m: Vec<f64>,
    columns: Vec<Column>,
    /// Floor height at each boundary between columns, m.
    gap_floor_m: Vec<f64>,
}

impl Shape {
    /// Shape of a levee pond, cut into columns of equal length.
    ///
    /// # Errors
    /// [`ShapeError`] when the figures cannot belong to a pond.
    pub fn from_levee(levee: &Levee, columns: usize) -> Result<Shape, ShapeError> {
        let (length_m, width_m) = levee.sides()?;
        let floor = floor_line(levee, length_m)?;
        check_columns(columns)?;
        let full_m = floor.iter().fold(0.0_f64, |deep, &(_, depth_m)| deep.max(depth_m));
        for (slope, side_m) in [(levee.side_slope, width_m), (levee.end_slope, length_m)] {
            if !(0.0..=20.0).contains(&slope) {
                return Err(ShapeError::NotPositive { what: Figure::BankSlope, value: slope });
            }
            if side_m - 2.0 * slope * full_m <= 0.0 {
                return Err(ShapeError::BanksMeet { width_m: side_m, slope, depth_m: side_m / (2.0 * slope) });
            }
        }
        let floor = with_end_banks(&floor, length_m, levee.end_slope, full_m);
        let step_m = length_m / columns as f64;
        let span = |column: usize| (step_m * column as f64, step_m * (column + 1) as f64);
        let mut corners_m: Vec<f64> = floor.iter().map(|&(_, height_m)| height_m).collect();
        corners_m.extend((0..columns).map(|column| lowest(&floor, span(column).0, span(column).1)));
        let heights_m = heights(full_m, &corners_m);
        let mut parts = Vec::new();
        for column in 0..columns {
            let (from_m, to_m) = span(column);
            let area_m2 = heights_m
                .iter()
                .map(|&y| (width_m - 2.0 * levee.side_slope * (full_m - y)) * wet_length(&floor, from_m, to_m, y))
                .collect();
            parts.push((lowest(&floor, from_m, to_m), area_m2));
        }
        let gap_floor_m = (1..columns).map(|gap| height_at(&floor, step_m * gap as f64)).collect();
        Ok(Shape::assemble(full_m, length_m, heights_m, parts, gap_floor_m, &floor))
    }

    fn assemble(
        full_m: f64,
        length_m: f64,
        heights_m: Vec<f64>,
        parts: Vec<(f64, Vec<f64>)>,
        gap_floor_m: Vec<f64>,
        floor: &[(f64, f64)],
    ) -> Shape {
        let count = parts.len();
        let step_m = length_m / count as f64;
        // The drain is taken to stand at the lowest place of the last column.
        let drain_m = lowest_place(floor, length_m - step_m, length_m);
        let mut columns = Vec::new();
        for (column, (floor_m, area_m2)) in parts.into_iter().enumerate() {
            let mut volume_m3 = vec![0.0; heights_m.len()];
            for k in 1..heights_m.len() {
                let mean_m2 = 0.5 * (area_m2[k - 1] + area_m2[k]);
                volume_m3[k] = volume_m3[k - 1] + mean_m2 * (heights_m[k] - heights_m[k - 1]);
            }
            // The way to the drain leads over the highest floor between here and there.
            let low_m = lowest_place(floor, step_m * column as f64, step_m * (column + 1) as f64);
            let sill_m = highest(floor, low_m, drain_m);
            columns.push(Column { floor_m, sill_m: sill_m.max(floor_m), area_m2, volume_m3 });
        }
        Shape { full_m, length_m, heights_m, columns, gap_floor_m }
    }

    /// Stage of the full pond, m above the lowest floor point: its greatest depth.
    pub fn full_m(&self) -> f64 {
        self.full_m
    }
    /// Highest stage the tables know, m.
    pub fn top_m(&self) -> f64 {
        self.full_m + FREEBOARD_M
    }
    /// Length along the slope, m.
    pub fn length_m(&self) -> f64 {
        self.length_m
    }
    pub(crate) fn heights_m(&self) -> &[f64] {
        &self.heights_m
    }
    /// Columns, from the shallow end to the drain end.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }
    /// Distance between the middles of neighbouring columns, m.
    pub fn column_step_m(&self) -> f64 {
        self.length_m / self.columns.len() as f64
    }
    /// Floor height at the boundary between `gap` and `gap + 1`, m.
    pub fn gap_floor_m(&self, gap: usize) -> f64 {
        self.gap_floor_m[gap]
    }
    /// Height of the water of one column when the drain's stands at a stage, m: that of its sill once it is a pool of its own.
    pub fn column_level_m(&self, column: usize, stage_m: f64) -> f64 {
        let column = &self.columns[column];
        if column.sill_m > column.floor_m + DRY_M { stage_m.max(column.sill_m) } else { stage_m }
    }
    /// Plan area of one column at a height, m2.
    pub fn column_area_m2(&self, column: usize, height_m: f64) -> f64 {
        let (k, part) = self.find(height_m);
        let area_m2 = &self.columns[column].area_m2;
        if height_m < 0.0 { 0.0 } else { area_m2[k] + part * (area_m2[k + 1] - area_m2[k]) }
    }
    /// Volume of one column below a height, m3.
    pub fn column_volume_m3(&self, column: usize, height_m: f64) -> f64 {
        let (k, part) = self.find(height_m);
        let part_m = part * (self.heights_m[k + 1] - self.heights_m[k]);
        let column = &self.columns[column];
        let area_m2 = column.area_m2[k] + 0.5 * part * (column.area_m2[k + 1] - column.area_m2[k]);
        column.volume_m3[k] + area_m2 * part_m
    }
    /// Water area at a stage, m2.
    pub fn area_m2(&self, stage_m: f64) -> f64 {
        (0..self.columns.len()).map(|column| self.column_area_m2(column, stage_m)).sum()
    }
    /// Water volume at a stage, m3.
    pub fn volume_m3(&self, stage_m: f64) -> f64 {
        (0..self.columns.len()).map(|column| self.column_volume_m3(column, stage_m)).sum()
    }
    /// Mean depth at a stage, m; 0 when empty.
    pub fn mean_depth_m(&self, stage_m: f64) -> f64 {
        let area_m2 = self.area_m2(stage_m);
        if area_m2 > 0.0 { self.volume_m3(stage_m) / area_m2 } else { 0.0 }
    }
    /// Stage that holds a volume, m; held between empty and the top of the tables.
    pub fn stage_m(&self, volume_m3: f64) -> f64 {
        let (mut low, mut high) = (0.0, self.top_m());
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.volume_m3(middle) < volume_m3 { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }
    /// Water that will not leave through a drain at this height, m3.
    pub fn undrained_m3(&self, drain_m: f64) -> f64 {
        self.volume_m3(drain_m)
    }

    fn find(&self, height_m: f64) -> (usize, f64) {
        let last = self.heights_m.len() - 2;
        let k = self.heights_m.partition_point(|&y| y <= height_m).saturating_sub(1).min(last);
        let part = (height_m - self.heights_m[k]) / (self.heights_m[k + 1] - self.heights_m[k]);
        (k, part.clamp(0.0, 1.0))
    }
}

/// Checks a table of stage and volume: neither may fall.
///
/// # Errors
/// [`ShapeError`] naming the row.
pub fn check_volumes(stage_volume_m_m3: &[(f64, f64)]) -> Result<(), ShapeError> {
    for (row, pair) in stage_volume_m_m3.windows(2).enumerate() {
        let ((before, before_m3), (value, volume_m3)) = (pair[0], pair[1]);
        if !(value > before) {
            return Err(ShapeError::NotIncreasing { row: row + 1, value, before });
        }
        if !(volume_m3 >= before_m3) {
            return Err(ShapeError::VolumeDecreases { row: row + 1, volume_m3, before_m3 });
        }
    }
    Ok(())
}

fn positive(what: Figure, value: f64) -> Result<(), ShapeError> {
    if value > 0.0 && value.is_finite() { Ok(()) } else { Err(ShapeError::NotPositive { what, value }) }
}

fn check_columns(count: usize) -> Result<(), ShapeError> {
    if (1..=MAX_COLUMNS).contains(&count) { Ok(()) } else { Err(ShapeError::Columns { count }) }
}

/// Floor as distance from the shallow end and depth below full.
fn floor_line(levee: &Levee, length_m: f64) -> Result<Vec<(f64, f64)>, ShapeError> {
    let (shallow_m, deep_m) = (levee.depth_shallow_m, levee.depth_deep_m);
    positive(Figure::Depth, shallow_m)?;
    positive(Figure::Depth, deep_m)?;
    if shallow_m > deep_m {
        return Err(ShapeError::ShallowEndDeeper { shallow_m, deep_m });
    }
    let mut floor = vec![(0.0, shallow_m)];
    for (row, &(distance_m, depth_m)) in levee.soundings_m.iter().enumerate() {
        positive(Figure::Depth, depth_m)?;
        let before = floor.last().map_or(0.0, |&(distance_m, _)| distance_m);
        if !(distance_m > before) || distance_m >= length_m {
            return Err(ShapeError::NotIncreasing { row, value: distance_m, before });
        }
        floor.push((distance_m, depth_m));
    }
    floor.push((length_m, deep_m));
    Ok(floor)
}

/// Turns depths into heights and cuts the floor where the end banks rise above it.
fn with_end_banks(floor: &[(f64, f64)], length_m: f64, end_slope: f64, full_m: f64) -> Vec<(f64, f64)> {
    let low: Vec<(f64, f64)> = floor.iter().map(|&(x, depth_m)| (x, full_m - depth_m)).collect();
    if end_slope == 0.0 {
        return low;
    }
    let bank = |x: f64| full_m - x.min(length_m - x) / end_slope;
    let run_m = end_slope * full_m;
    let mut places: Vec<f64> = low.iter().map(|&(x, _)| x).collect();
    // The banks bend the line where they meet the floor; a place every fiftieth of their run finds it well enough.
    for k in 0..=50 {
        let x = run_m * f64::from(k) / 50.0;
        places.extend([x, length_m - x]);
    }
    places.sort_by(f64::total_cmp);
    places.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    places.into_iter().map(|x| (x, height_at(&low, x).max(bank(x)))).collect()
}

fn height_at(floor: &[(f64, f64)], x: f64) -> f64 {
    let k = floor.partition_point(|&(place, _)| place <= x).clamp(1, floor.len() - 1);
    let ((x0, y0), (x1, y1)) = (floor[k - 1], floor[k]);
    y0 + (y1 - y0) * ((x - x0) / (x1 - x0)).clamp(0.0, 1.0)
}

/// Length of floor between two places that lies at or below a height.
fn wet_length(floor: &[(f64, f64)], from_m: f64, to_m: f64, y: f64) -> f64 {
    let mut wet_m = 0.0;
    for pair in floor.windows(2) {
        let (a, b) = (pair[0].0.max(from_m), pair[1].0.min(to_m));
        if b <= a {
            continue;
        }
        let (ya, yb) = (height_at(pair, a), height_at(pair, b));
        let (low, high) = (ya.min(yb), ya.max(yb));
        wet_m += if y >= high {
            b - a
        } else if y <= low {
            0.0
        } else {
            (b - a) * (y - low) / (high - low)
        };
    }
    wet_m
}

fn corners(floor: &[(f64, f64)], from_m: f64, to_m: f64) -> impl Iterator<Item = (f64, f64)> {
    let ends = [(from_m, height_at(floor, from_m)), (to_m, height_at(floor, to_m))];
    floor.iter().copied().filter(move |&(x, _)| from_m <= x && x <= to_m).chain(ends)
}

fn lowest(floor: &[(f64, f64)], from_m: f64, to_m: f64) -> f64 {
    corners(floor, from_m, to_m).map(|(_, y)| y).fold(f64::INFINITY, f64::min)
}

fn lowest_place(floor: &[(f64, f64)], from_m: f64, to_m: f64) -> f64 {
    corners(floor, from_m, to_m).fold((from_m, f64::INFINITY), |best, p| if p.1 < best.1 { p } else { best }).0
}

fn highest(floor: &[(f64, f64)], one_m: f64, other_m: f64) -> f64 {
    corners(floor, one_m.min(other_m), one_m.max(other_m)).map(|(_, y)| y).fold(f64::NEG_INFINITY, f64::max)
}

/// Heights of the tables: every centimetre or two, and exactly at every corner and at full.
fn heights(full_m: f64, corners_m: &[f64]) -> Vec<f64> {
    let top_m = full_m + FREEBOARD_M;
    let count = (top_m / 0.01).ceil().min(400.0);
    let mut heights_m: Vec<f64> = (0..=count as usize).map(|k| top_m * k as f64 / count).collect();
    heights_m.extend(corners_m.iter().copied().filter(|&y| y > 0.0 && y < top_m));
    heights_m.push(full_m);
    heights_m.sort_by(f64::total_cmp);
    heights_m.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    heights_m
}

#[cfg(test)]
mod tests;
