//! One hour's shared tables: what geometry, light and ground make the same for every member.
//!
//! Model     every column is cut into cells of fixed thickness counted from the surface down; the last one takes what is
//!           left (a remainder thinner than four tenths of a cell joins the cell above).
//! Units     m, m2, m3; heat as m3 K, that is J over the heat capacity of water by volume.
//! Range     levels from dry to half a metre above full. A column under [`DRY_M`] deep is dry: a film that is left out.
//! Source    plane geometry; bands of light as in `light`.
//! Left out  heat and light that change sideways within a column.

use crate::basin::Basin;
use crate::light;
use crate::water_properties::{DENSITY_KG_M3, GRAVITY_M_S2, HEAT_CAPACITY_J_M3_K};
use units::Real;

/// A column shallower than this is dry: its film follows the air by day and the wet bulb by night, and is not simulated.
pub const DRY_M: f64 = 0.05;
/// A remainder thinner than this part of a cell joins the cell above.
const LEAST_CELL: f64 = 0.4;

/// What an hour is given about the pond, the same for every member.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// Water surface above the lowest floor point, m.
    pub level_m: f64,
    /// How visible light dies in the open water, per m: 1.7 over the Secchi depth.
    pub attenuation_per_m: f64,
    /// Plants: 0 bare, 1 grown to the surface everywhere.
    pub plants: f64,
    /// Ground temperature two metres under the floor, C: [`Ground::deep_c`](crate::Ground::deep_c).
    pub ground_deep_c: f64,
}

/// A table in both precisions, so that no conversion is left for the hour loop.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Table {
    pub(crate) wide: Vec<f64>,
    pub(crate) narrow: Vec<f32>,
}

impl Table {
    pub(crate) fn new(wide: Vec<f64>) -> Table {
        let narrow = wide.iter().map(|&x| x as f32).collect();
        Table { wide, narrow }
    }
    #[inline(always)]
    pub(crate) fn at<R: Real>(&self, index: usize) -> R {
        R::pick(self.wide[index], self.narrow[index])
    }
    pub(crate) fn len(&self) -> usize {
        self.wide.len()
    }
}

/// Volumes of one column's cells.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Volumes<'a> {
    wide: &'a [f64],
    narrow: &'a [f32],
}

impl<'a> Volumes<'a> {
    #[cfg(test)]
    pub(crate) fn of(table: &'a Table) -> Volumes<'a> {
        Volumes { wide: &table.wide, narrow: &table.narrow }
    }

    #[inline(always)]
    pub(crate) fn at<R: Real>(&self, cell: usize) -> R {
        R::pick(self.wide[cell], self.narrow[cell])
    }
    #[inline(always)]
    pub(crate) fn first(&self, n: usize) -> Volumes<'a> {
        Volumes { wide: &self.wide[..n], narrow: &self.narrow[..n] }
    }
}

/// One hour's tables. Cells of column `c` stand at `c * stride + cell`, from the surface down.
#[derive(Clone, Debug, PartialEq)]
pub struct Stage {
    conditions: Conditions,
    stride: usize,
    step_m: f64,
    cells: Vec<usize>,
    layers: usize,
    first_column: Vec<usize>,
    /// Plan area of each column's surface, m2.
    pub(crate) surface_m2: Vec<f64>,
    /// Depth of the middle of each cell below the surface, m.
    pub(crate) middle_m: Vec<f64>,
    /// Volume, m3; 1 where there is no cell.
    pub(crate) volume: Table,
    /// Floor that each cell lies on, m2.
    pub(crate) ring_m2: Vec<f64>,
    /// Step times area over distance at the top of each cell, s m.
    pub(crate) conduct: Table,
    /// Step times area over heat capacity at the top of each cell, m3 K per W/m2.
    pub(crate) interface: Table,
    /// Gravity over density and distance at the top of each cell: lightness difference to N2.
    pub(crate) layering: Table,
    /// Heat of one step of 1 W/m2 of net sun, m3 K.
    pub(crate) sun: Table,
    /// Net sun that falls on each cell's floor and stays there, as a part of the surface's.
    pub(crate) floor_sun: Table,
    /// Step times floor over heat capacity: flux into the floor to heat, m3 K per W/m2.
    pub(crate) ring: Table,
    /// Step times surface over heat capacity, m3 K per W/m2, by column.
    pub(crate) top: Table,
    /// Heat of one step of 1 W/m2 of net sun, m3 K, by column: water and floor.
    pub(crate) column_sun: Vec<f64>,
    /// Nominal depth of the interfaces, m.
    pub(crate) interface_m: Table,
    /// What plants leave of the stirring at each interface.
    pub(crate) damping: Table,
    shared_m: Vec<f64>,
    shared_cells: Vec<usize>,
    pub(crate) shared_part: Table,
    /// Step times cross-section over distance between neighbouring columns' cells, s m.
    pub(crate) sideways: Table,
    sun_kept: f64,
}

impl Stage {
    pub(crate) fn new(basin: &Basin, conditions: &Conditions) -> Stage {
        let shape = basin.shape();
        let (columns, stride) = (basin.columns(), basin.cells_max());
        let step_s = basin.settings().step_s;
        let level_m = conditions.level_m.clamp(0.0, shape.top_m());
        let plants = conditions.plants.clamp(0.0, 1.0);
        let level_of = |c: usize| shape.column_level_m(c, level_m);
        let edges: Vec<Vec<f64>> =
            (0..columns).map(|c| cell_edges(basin, level_of(c) - shape.columns()[c].floor_m)).collect();
        let cells: Vec<usize> = edges.iter().map(|e| e.len().saturating_sub(1)).collect();
        let size = columns * stride;
        let mut t = Cells::of(size);
        for c in 0..columns {
            fill_column(
                basin,
                c,
                level_of(c),
                &edges[c],
                light::attenuation_with_plants(conditions.attenuation_per_m, plants),
                &mut t,
            );
        }
        let mut interface_m = vec![0.0; stride + 1];
        for j in 0..stride {
            interface_m[j + 1] = interface_m[j] + basin.grid().thick_m(j);
        }
        let damping = interface_m.iter().map(|&z| units::exp(-2.0 * plants * z)).collect();
        let layers = cells.iter().copied().max().unwrap_or(0);
        let first_column = (0..layers).map(|j| cells.iter().position(|&n| n > j).unwrap_or(columns)).collect();
        let mut stage = Stage {
            conditions: Conditions { level_m, plants, ..*conditions },
            stride,
            step_m: shape.column_step_m(),
            cells,
            layers,
            first_column,
            surface_m2: (0..columns).map(|c| shape.column_area_m2(c, level_of(c))).collect(),
            middle_m: t.middle_m,
            ring_m2: t.ring_m2.clone(),
            conduct: Table::new(
                t.over_m.iter().zip(&t.area_m2).map(|(d, a)| if *d > 0.0 { step_s * a / d } else { 0.0 }).collect(),
            ),
            interface: Table::new(t.area_m2.iter().map(|a| a * step_s / HEAT_CAPACITY_J_M3_K).collect()),
            layering: Table::new(
                t.over_m.iter().map(|&d| if d > 0.0 { GRAVITY_M_S2 / DENSITY_KG_M3 / d } else { 0.0 }).collect(),
            ),
            sun: Table::new(t.sun_m2.iter().map(|a| a * step_s / HEAT_CAPACITY_J_M3_K).collect()),
            floor_sun: Table::new(t.floor_sun),
            ring: Table::new(t.ring_m2.iter().map(|a| a * step_s / HEAT_CAPACITY_J_M3_K).collect()),
            top: Table::default(),
            column_sun: Vec::new(),
            volume: Table::new(t.volume_m3),
            interface_m: Table::new(interface_m),
            damping: Table::new(damping),
            shared_m: vec![0.0; columns - 1],
            shared_cells: vec![0; columns - 1],
            shared_part: Table::default(),
            sideways: Table::default(),
            sun_kept: 1.0 - basin.settings().plant_shade * plants,
        };
        stage.top = Table::new(stage.surface_m2.iter().map(|a| a * step_s / HEAT_CAPACITY_J_M3_K).collect());
        stage.column_sun = (0..columns)
            .map(|c| {
                (0..stage.cells[c])
                    .map(|j| c * stride + j)
                    .map(|i| stage.sun.wide[i] + stage.floor_sun.wide[i] * stage.ring.wide[i])
                    .sum()
            })
            .collect();
        stage.connect(basin, &edges);
        stage
    }

    fn connect(&mut self, basin: &Basin, edges: &[Vec<f64>]) {
        let (columns, stride) = (self.columns(), self.stride);
        let mut shared_part = vec![0.0; columns * stride];
        let mut sideways = vec![0.0; columns * stride];
        for gap in 0..columns.saturating_sub(1) {
            let (n, m) = (self.cells[gap], self.cells[gap + 1]);
            let [here_m, there_m] = [gap, gap + 1].map(|c| basin.shape().column_level_m(c, self.conditions.level_m));
            let over_sill_m = here_m - basin.shape().gap_floor_m(gap);
            // A pool that stands higher than its neighbour has no part in it.
            if n == 0 || m == 0 || over_sill_m < DRY_M || (here_m - there_m).abs() > 1e-9 {
                continue;
            }
            let mut whole_m = 0.0;
            for j in 0..n.min(m) {
                let (i, k) = (gap * stride + j, (gap + 1) * stride + j);
                let top_m = edges[gap][j];
                let thick_m = (edges[gap][j + 1].min(edges[gap + 1][j + 1]).min(over_sill_m) - top_m).max(0.0);
                let area = |i: usize, c: usize| self.volume.wide[i] / (edges[c][j + 1] - edges[c][j]);
                let width_m = area(i, gap).max(area(k, gap + 1)) / self.step_m;
                sideways[i] = basin.settings().step_s * width_m * thick_m / self.step_m;
                shared_part[i] = thick_m;
                whole_m += thick_m;
            }
            for j in 0..n.min(m) {
                shared_part[gap * stride + j] /= whole_m;
            }
            self.shared_cells[gap] = n.min(m);
            self.shared_m[gap] = whole_m;
        }
        self.shared_part = Table::new(shared_part);
        self.sideways = Table::new(sideways);
    }

    /// What it was made from, the level held to what the pond can have.
    pub fn conditions(&self) -> &Conditions {
        &self.conditions
    }
    /// Columns, wet or dry.
    pub fn columns(&self) -> usize {
        self.cells.len()
    }
    /// Distance between the tables of neighbouring columns.
    pub fn stride(&self) -> usize {
        self.stride
    }
    /// Cells of a column; none when it is dry.
    pub fn cells(&self, column: usize) -> usize {
        self.cells[column]
    }
    /// Cells of all columns.
    pub fn cell_count(&self) -> usize {
        self.cells.iter().sum()
    }
    /// Depth of the middle of a cell below the surface, m.
    pub fn middle_m(&self, column: usize, cell: usize) -> f64 {
        self.middle_m[column * self.stride + cell]
    }
    /// Volume of a cell, m3.
    pub fn volume_m3(&self, column: usize, cell: usize) -> f64 {
        if cell < self.cells[column] { self.volume.wide[column * self.stride + cell] } else { 0.0 }
    }
    /// Surface of a column, m2; nothing when dry.
    pub fn surface_m2(&self, column: usize) -> f64 {
        if self.cells[column] > 0 { self.surface_m2[column] } else { 0.0 }
    }
    /// Whether a column still reaches the drain end.
    pub fn connected(&self, column: usize) -> bool {
        self.cells[column] > 0 && (column..self.columns() - 1).all(|gap| self.shared_cells[gap] > 0)
    }
    #[inline(always)]
    pub(crate) fn volumes(&self, column: usize) -> Volumes<'_> {
        let cells = column * self.stride..column * self.stride + self.cells[column];
        Volumes { wide: &self.volume.wide[cells.clone()], narrow: &self.volume.narrow[cells] }
    }
    pub(crate) fn layers(&self) -> usize {
        self.layers
    }
    pub(crate) fn first_column(&self, layer: usize) -> usize {
        self.first_column[layer]
    }
    pub(crate) fn shared_m(&self, gap: usize) -> f64 {
        self.shared_m[gap]
    }
    pub(crate) fn shared_cells(&self, gap: usize) -> usize {
        self.shared_cells[gap]
    }
    pub(crate) fn step_m(&self) -> f64 {
        self.step_m
    }
    pub(crate) fn sun_kept(&self) -> f64 {
        self.sun_kept
    }
    /// Whether a stage at these conditions would be all but the same: within 2 mm of level, 1 % of attenuation and plants,
    /// 0.1 K of ground.
    pub fn serves(&self, conditions: &Conditions) -> bool {
        let own = &self.conditions;
        (own.level_m - conditions.level_m).abs() < 2e-3
            && (own.attenuation_per_m / conditions.attenuation_per_m - 1.0).abs() < 0.01
            && (own.plants - conditions.plants).abs() < 0.01
            && (own.ground_deep_c - conditions.ground_deep_c).abs() < 0.1
    }
}

/// Depths of the edges of a column's cells, m; empty when the column is dry.
fn cell_edges(basin: &Basin, depth_m: f64) -> Vec<f64> {
    if depth_m < DRY_M {
        return Vec::new();
    }
    let mut edges = vec![0.0];
    let mut top_m = 0.0;
    for j in 0.. {
        let thick_m = basin.grid().thick_m(j);
        let left_m = depth_m - top_m;
        if left_m <= thick_m * 1.000_001 {
            if left_m < LEAST_CELL * thick_m && j > 0 {
                edges.pop();
            }
            edges.push(depth_m);
            return edges;
        }
        top_m += thick_m;
        edges.push(top_m);
    }
    edges
}

struct Cells {
    area_m2: Vec<f64>,
    over_m: Vec<f64>,
    middle_m: Vec<f64>,
    volume_m3: Vec<f64>,
    ring_m2: Vec<f64>,
    sun_m2: Vec<f64>,
    floor_sun: Vec<f64>,
}

impl Cells {
    fn of(size: usize) -> Cells {
        let none = || vec![0.0; size];
        Cells {
            area_m2: none(),
            over_m: none(),
            middle_m: none(),
            volume_m3: vec![1.0; size],
            ring_m2: none(),
            sun_m2: none(),
            floor_sun: none(),
        }
    }
}

fn fill_column(basin: &Basin, column: usize, level_m: f64, edges: &[f64], attenuation_per_m: f64, t: &mut Cells) {
    let shape = basin.shape();
    let n = edges.len().saturating_sub(1);
    let area = |depth_m: f64| shape.column_area_m2(column, level_m - depth_m);
    for j in 0..n {
        let i = column * basin.cells_max() + j;
        let (upper_m, lower_m) = (edges[j], edges[j + 1]);
        let (top_m2, bottom_m2) = (area(upper_m), area(lower_m));
        t.area_m2[i] = top_m2;
        t.middle_m[i] = 0.5 * (upper_m + lower_m);
        if j > 0 {
            t.over_m[i] = t.middle_m[i] - t.middle_m[i - 1];
        }
        t.volume_m3[i] =
            shape.column_volume_m3(column, level_m - upper_m) - shape.column_volume_m3(column, level_m - lower_m);
        let through_m2 = if j + 1 < n { bottom_m2 } else { 0.0 };
        t.ring_m2[i] = top_m2 - through_m2;
        let slope_sun = (top_m2 - bottom_m2) * light::share_between(attenuation_per_m, upper_m, lower_m);
        let below = light::share_below(attenuation_per_m, lower_m);
        let floor_sun = light::FLOOR_SHARE * (slope_sun + (bottom_m2 - through_m2) * below);
        t.sun_m2[i] = top_m2 * light::share_below(attenuation_per_m, upper_m) - through_m2 * below - floor_sun;
        t.floor_sun[i] = if t.ring_m2[i] > 0.0 { floor_sun / t.ring_m2[i] } else { 0.0 };
    }
}

#[cfg(test)]
mod tests;
