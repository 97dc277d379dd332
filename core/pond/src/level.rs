//! Water that comes and goes: the level moves, and every cell keeps its heat.
//!
//! Model     cells stay at their depth below the surface; the water that no longer fits a cell, or that it lacks, moves to
//!           or from its neighbour. Rain and evaporation act at the surface, seepage through the floor, inflow where its
//!           weight lets it rest. Implicit and upwind: no new highest or lowest temperature can arise.
//! Units     m3 in the hour, degrees C.
//! Range     any change of level within the tables, in an hour.
//! Source    conservation of volume and heat.
//! Left out  drawdown through a drain: a falling level is taken from the surface. What stands ready for it: columns fall dry
//!           by their sills, pools keep their own budget, and flows at the floor are already carried (`seepage`).

use crate::basin::Basin;
use crate::bed::{LAYERS, heat_j_m2};
use crate::budget::Budget;
use crate::hour::Scratch;
use crate::stage::{Stage, Table};
use crate::water::Water;
use crate::water_properties::{HEAT_CAPACITY_J_M3_K, lightness_kg_m3};
use units::Real;

/// Water that passes through the pond in one hour, the same for every member.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Flows {
    /// Lost through the floor, m of depth in an hour.
    pub seepage_m_h: f64,
    /// Let in, m3/h. It is spread over the columns by area.
    pub inflow_m3_h: f64,
    /// Temperature of what is let in, C.
    pub inflow_temp_c: f64,
}

/// One hour's change of level, prepared outside the hour loop.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelChange {
    flows: Flows,
    /// Volume that moves down through the top of each cell, m3; up when negative.
    moved: Table,
    /// Volume each cell loses through its floor, m3.
    seeped: Table,
    /// Volume of each cell before; nothing where it had none, m3.
    before: Table,
    /// Inflow's part for each column, m3.
    inflow_m3: Vec<f64>,
    /// Rain less evaporation that the schedule implies, m.
    pub(crate) surface_m: f64,
}

impl LevelChange {
    /// From one stage to the next of the same basin.
    pub fn new(basin: &Basin, from: &Stage, to: &Stage, flows: &Flows) -> LevelChange {
        let (columns, stride) = (from.columns(), from.stride());
        let (mut moved, mut seeped, mut before) =
            (vec![0.0; columns * stride], vec![0.0; columns * stride], vec![0.0; columns * stride]);
        let surface_m2: f64 = (0..columns).map(|c| from.surface_m2(c)).sum();
        let mut inflow_m3 = vec![0.0; columns];
        for c in 0..columns {
            if surface_m2 > 0.0 {
                inflow_m3[c] = flows.inflow_m3_h * from.surface_m2(c) / surface_m2;
            }
            let change = |j: usize| to.volume_m3(c, j) - from.volume_m3(c, j);
            let cells = from.cells(c).max(to.cells(c));
            for j in 0..from.cells(c) {
                before[c * stride + j] = from.volume_m3(c, j);
                seeped[c * stride + j] =
                    (flows.seepage_m_h * from.ring_m2[c * stride + j]).min(0.5 * from.volume_m3(c, j));
            }
            // From the bottom up: what passes the top of a cell is what it and those below gained and lost to the floor.
            let mut passing = 0.0;
            for j in (0..cells).rev() {
                passing += change(j) + seeped[c * stride + j];
                moved[c * stride + j] = passing;
            }
        }
        let inflow_m = if surface_m2 > 0.0 { flows.inflow_m3_h / surface_m2 } else { 0.0 };
        let surface_m = to.conditions().level_m - from.conditions().level_m - inflow_m + flows.seepage_m_h;
        debug_assert_eq!(basin.columns(), columns);
        LevelChange {
            flows: *flows,
            moved: Table::new(moved),
            seeped: Table::new(seeped),
            before: Table::new(before),
            inflow_m3,
            surface_m,
        }
    }

    /// Moves the water of every column, and the floor with it.
    #[inline(always)]
    pub(crate) fn apply<R: Real>(
        &self,
        from: &Stage,
        to: &Stage,
        water: &mut Water<R>,
        budget: &mut Budget<R>,
        scratch: &mut Scratch<R>,
    ) {
        for c in 0..from.columns() {
            match (from.cells(c), to.cells(c)) {
                (0, 0) => {}
                (0, n) => rewet(to, c, n, water, budget),
                (n, 0) => fall_dry(from, c, n, water, budget),
                _ => self.shift(from, to, c, water, budget, scratch),
            }
            floor_follows(from, to, c, water, budget);
        }
    }

    #[inline(always)]
    fn shift<R: Real>(
        &self,
        from: &Stage,
        to: &Stage,
        c: usize,
        water: &mut Water<R>,
        budget: &mut Budget<R>,
        scratch: &mut Scratch<R>,
    ) {
        let n = from.cells(c).max(to.cells(c));
        let base = c * from.stride();
        let zero = R::splat(0.0);
        let in_m3 = R::splat(self.inflow_m3[c]);
        let in_c = R::splat(self.flows.inflow_temp_c);
        // New cells start from the water above them; their own old volume is nothing.
        for j in from.cells(c)..n {
            water.temps[base + j] = water.temps[base + j - 1];
        }
        let temps = &mut water.temps[base..base + n];
        // Inflow rests where it is lighter than the cell it has reached, else on the floor.
        let take = &mut scratch.mean[..n];
        let mut falling = R::splat(1.0);
        let wet = from.cells(c).min(to.cells(c));
        for j in 0..n {
            let rests = if j + 1 >= wet {
                falling
            } else {
                lightness_kg_m3(in_c).if_less(lightness_kg_m3(temps[j]), zero, falling)
            };
            take[j] = rests * in_m3;
            falling -= rests;
        }
        // `member`: what inflow adds to the flow down through the top of each cell; overflow leaves at the surface.
        let mut member = -in_m3;
        let (follow, rise) = (&mut scratch.follow[..n + 1], &mut scratch.rise[..n + 1]);
        let (mut kept, mut flow_in) = (zero, zero);
        let mut carried = zero;
        for j in 0..n {
            let i = base + j;
            member += take[j];
            let below = if j + 1 < n { self.moved.at::<R>(i + 1) + member } else { zero };
            let (down, up) = (below.max(zero), (-below).max(zero));
            // The lower neighbour's rows hold `down`, this one's `up`.
            let own = self.before.at::<R>(i) + take[j] + kept + up;
            let driven =
                flow_in + take[j] * (in_c - temps[j]) + if j + 1 < n { up * (temps[j + 1] - temps[j]) } else { zero };
            let pivot = R::splat(1.0) / own.max(R::splat(1e-9));
            follow[j] = up * pivot;
            rise[j] = driven * pivot;
            // Next row: down (x_j - x_{j+1}) + down (T_j - T_{j+1}), with x_j = rise + follow x_{j+1}.
            kept = down * (R::splat(1.0) - follow[j]);
            flow_in = down * rise[j] + if j + 1 < n { down * (temps[j] - temps[j + 1]) } else { zero };
        }
        let mut x = zero;
        for j in (0..n).rev() {
            x = rise[j] + follow[j] * x;
            temps[j] += x;
            carried += take[j] * in_c - self.seeped.at::<R>(base + j) * temps[j];
        }
        carried += (self.moved.at::<R>(base) - in_m3) * temps[0];
        (carried * R::splat(HEAT_CAPACITY_J_M3_K)).add_to(&mut budget.carried_j);
    }
}

/// A dry column takes the water of its deeper neighbour.
#[inline(always)]
fn rewet<R: Real>(to: &Stage, c: usize, n: usize, water: &mut Water<R>, budget: &mut Budget<R>) {
    let stride = to.stride();
    let other = if c + 1 < to.columns() { c + 1 } else { c };
    let mut carried = R::splat(0.0);
    for j in 0..n {
        let from = if to.cells(other) > j { other } else { c };
        water.temps[c * stride + j] = water.temps[from * stride + j];
        carried += water.temps[c * stride + j] * to.volume.at::<R>(c * stride + j);
    }
    (carried * R::splat(HEAT_CAPACITY_J_M3_K)).add_to(&mut budget.carried_j);
}

#[inline(always)]
fn fall_dry<R: Real>(from: &Stage, c: usize, n: usize, water: &mut Water<R>, budget: &mut Budget<R>) {
    let mut left = R::splat(0.0);
    for j in 0..n {
        left -= water.temps[c * from.stride() + j] * from.volume.at::<R>(c * from.stride() + j);
    }
    (left * R::splat(HEAT_CAPACITY_J_M3_K)).add_to(&mut budget.carried_j);
}

/// The floor's layers stay with their cells; a cell that is gone leaves its floor to the last one, a new one copies it.
#[inline(always)]
fn floor_follows<R: Real>(from: &Stage, to: &Stage, c: usize, water: &mut Water<R>, budget: &mut Budget<R>) {
    let (n, m) = (from.cells(c), to.cells(c));
    let base = c * from.stride();
    let mut exposed = R::splat(0.0);
    for j in 0..n {
        exposed -=
            heat_j_m2(&water.bed[(base + j) * LAYERS..(base + j + 1) * LAYERS]) * R::splat(from.ring_m2[base + j]);
    }
    if m > 0 && m < n {
        let whole_m2: f64 = (m - 1..n).map(|j| from.ring_m2[base + j]).sum();
        for layer in 0..LAYERS {
            let mut mixed = R::splat(0.0);
            for j in m - 1..n {
                let part = if whole_m2 > 0.0 { from.ring_m2[base + j] / whole_m2 } else { 1.0 / (n - m + 1) as f64 };
                mixed += water.bed[(base + j) * LAYERS + layer] * R::splat(part);
            }
            water.bed[(base + m - 1) * LAYERS + layer] = mixed;
        }
    }
    for j in n.max(1)..m {
        for layer in 0..LAYERS {
            water.bed[(base + j) * LAYERS + layer] = water.bed[(base + j - 1) * LAYERS + layer];
        }
    }
    for j in 0..m {
        exposed += heat_j_m2(&water.bed[(base + j) * LAYERS..(base + j + 1) * LAYERS]) * R::splat(to.ring_m2[base + j]);
    }
    exposed.add_to(&mut budget.exposed_j);
}
