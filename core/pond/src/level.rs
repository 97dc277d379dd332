//! Water that comes and goes: the level moves, and every cell keeps its heat.
//!
//! Model     cells stay at their depth below the surface; the water that no longer fits a cell, or that it lacks, moves to
//!           or from its neighbour. Rain and evaporation act at the surface, seepage through the floor, inflow where its
//!           weight lets it rest. Implicit and upwind: no new highest or lowest temperature can arise. A falling level is taken
//!           from the surface, or drawn through the drain: each layer hands what it loses on to the same layer of the
//!           deeper neighbour, so that nothing moves up or down, and the last column lets all of it out at the floor. A rim draws the
//!           top layer of every column.
//! Units     m3 in the hour, degrees C.
//! Range     any change of level within the tables, in an hour.
//! Source    conservation of volume and heat.
//! Left out  which layers a drain of given flow reaches: a pond's drain draws from its lowest cell. The film that stays on a
//!           column that falls dry counts as drained.

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

/// Where the drain takes the water in its column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DrawnFrom {
    /// At the floor: a pipe, an opening, a pump.
    Floor,
    /// Over a rim at the surface.
    Surface,
}

/// An hour in which water leaves through the drain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Draw {
    /// Where.
    pub from: DrawnFrom,
    /// What else comes and goes in the hour.
    pub flows: Flows,
    /// Rain less evaporation in the hour, m.
    pub surface_m: f64,
}

/// One hour's change of level, prepared outside the hour loop.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelChange {
    flows: Flows,
    /// Whether water is drawn through the drain.
    draws: bool,
    /// Volume each cell gives to the same cell of the deeper neighbour, in the last column to the drain, m3.
    given: Table,
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
            draws: false,
            given: Table::default(),
            moved: Table::new(moved),
            seeped: Table::new(seeped),
            before: Table::new(before),
            inflow_m3,
            surface_m,
        }
    }

    /// From one stage to a lower one of the same basin, with the difference drawn through the drain.
    pub fn drawn(basin: &Basin, from: &Stage, to: &Stage, draw: &Draw) -> LevelChange {
        let mut change = LevelChange::new(basin, from, to, &draw.flows);
        let (columns, stride) = (from.columns(), from.stride());
        let mut given = vec![0.0; columns * stride];
        let mut moved = change.moved.wide.clone();
        let cells = |c: usize| from.cells(c).max(to.cells(c));
        let mut arriving = vec![0.0; stride];
        for c in 0..columns {
            let seeped: f64 = (0..from.cells(c)).map(|j| change.seeped.wide[c * stride + j]).sum();
            let comes_m3 = change.inflow_m3[c] + draw.surface_m * from.surface_m2(c) - seeped;
            // What the next wet column can take, layer by layer; beyond the last one anything.
            let takes = (c + 1..columns).map(cells).find(|&n| n > 0).unwrap_or(stride);
            let gives = &mut given[c * stride..(c + 1) * stride];
            let at = if draw.from == DrawnFrom::Surface || c + 1 == columns { Some(draw.from) } else { None };
            share_out(gives, &arriving, comes_m3, takes, at, c, from, to);
            if from.cells(c) > 0 && to.cells(c) > 0 {
                let mut below = 0.0;
                for j in (0..cells(c)).rev() {
                    below += gives[j] - arriving[j];
                    moved[c * stride + j] += below;
                }
            }
            arriving.copy_from_slice(gives);
        }
        change.moved = Table::new(moved);
        change.given = Table::new(given);
        change.draws = true;
        change.surface_m = draw.surface_m;
        change
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
        let stride = from.stride();
        for c in 0..from.columns() {
            match (from.cells(c), to.cells(c)) {
                (0, 0) => {}
                (0, n) => rewet(to, c, n, water, budget),
                (n, 0) if !self.draws => fall_dry(from, c, n, water, budget),
                (n, 0) => self.run_off(from, c, n, water, budget, scratch),
                _ => self.shift(from, to, c, water, budget, scratch),
            }
            floor_follows(from, to, c, water, budget);
        }
        if self.draws {
            // What passes the last column has left the pond.
            let mut left = R::splat(0.0);
            for j in 0..stride {
                left -= self.given.at::<R>((from.columns() - 1) * stride + j) * scratch.ahead[j];
            }
            (left * R::splat(HEAT_CAPACITY_J_M3_K)).add_to(&mut budget.carried_j);
        }
    }

    /// The last water of a column runs to its neighbour with what came from behind. `scratch.ahead` holds the temperature of what is
    /// handed on, layer by layer.
    #[inline(always)]
    fn run_off<R: Real>(
        &self,
        from: &Stage,
        c: usize,
        n: usize,
        water: &Water<R>,
        budget: &mut Budget<R>,
        scratch: &mut Scratch<R>,
    ) {
        let stride = from.stride();
        let (mut heat, mut volume_m3) = (R::splat(0.0), R::splat(0.0));
        for j in 0..stride {
            let behind = if c > 0 { self.given.at::<R>((c - 1) * stride + j) } else { R::splat(0.0) };
            heat += behind * scratch.ahead[j];
            volume_m3 += behind;
            if j < n {
                heat += water.temps[c * stride + j] * from.volume.at::<R>(c * stride + j);
                volume_m3 += from.volume.at::<R>(c * stride + j);
            }
        }
        let mean_c = heat * (R::splat(1.0) / volume_m3.max(R::splat(1e-9)));
        // Rain, inflow and seepage of a column in the hour that it falls dry are settled at its mean.
        let mut rest = -heat;
        for j in 0..stride {
            rest += self.given.at::<R>(c * stride + j) * mean_c;
            scratch.ahead[j] = mean_c;
        }
        (rest * R::splat(HEAT_CAPACITY_J_M3_K)).add_to(&mut budget.carried_j);
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
        let wet = from.cells(c).min(to.cells(c));
        let (take, arrives_c) = (&mut scratch.mean[..n], &mut scratch.ahead[..n]);
        settle(temps, wet, in_m3, in_c, take);
        let arrives = |j: usize| match c > 0 && self.draws {
            true => self.given.at::<R>(base - from.stride() + j),
            false => zero,
        };
        // `member`: what inflow adds to the flow down through the top of each cell; overflow leaves at the surface.
        let mut member = -in_m3;
        let (follow, rise) = (&mut scratch.follow[..n + 1], &mut scratch.rise[..n + 1]);
        let (mut kept, mut flow_in) = (zero, zero);
        for j in 0..n {
            let i = base + j;
            member += take[j];
            let below = if j + 1 < n { self.moved.at::<R>(i + 1) + member } else { zero };
            let (down, up) = (below.max(zero), (-below).max(zero));
            // The lower neighbour's rows hold `down`, this one's `up`.
            let own = self.before.at::<R>(i) + take[j] + arrives(j) + kept + up;
            let driven = flow_in
                + take[j] * (in_c - temps[j])
                + arrives(j) * (arrives_c[j] - temps[j])
                + if j + 1 < n { up * (temps[j + 1] - temps[j]) } else { zero };
            let pivot = R::splat(1.0) / own.max(R::splat(1e-9));
            follow[j] = up * pivot;
            rise[j] = driven * pivot;
            // Next row: down (x_j - x_{j+1}) + down (T_j - T_{j+1}), with x_j = rise + follow x_{j+1}.
            kept = down * (R::splat(1.0) - follow[j]);
            flow_in = down * rise[j] + if j + 1 < n { down * (temps[j] - temps[j + 1]) } else { zero };
        }
        let (mut x, mut carried) = (zero, zero);
        for j in (0..n).rev() {
            x = rise[j] + follow[j] * x;
            temps[j] += x;
            carried += take[j] * in_c - self.seeped.at::<R>(base + j) * temps[j];
            arrives_c[j] = temps[j];
        }
        carried += (self.moved.at::<R>(base) - in_m3) * temps[0];
        (carried * R::splat(HEAT_CAPACITY_J_M3_K)).add_to(&mut budget.carried_j);
    }
}

/// Inflow rests where it is lighter than the cell it has reached, else on the floor.
#[inline(always)]
fn settle<R: Real>(temps: &[R], wet: usize, in_m3: R, in_c: R, take: &mut [R]) {
    let zero = R::splat(0.0);
    let mut falling = R::splat(1.0);
    for j in 0..temps.len() {
        let rests = if j + 1 >= wet {
            falling
        } else {
            lightness_kg_m3(in_c).if_less(lightness_kg_m3(temps[j]), zero, falling)
        };
        take[j] = rests * in_m3;
        falling -= rests;
    }
}

/// What each layer of a column hands on of all that passes: what it got from behind and what it loses itself; where a rim draws, all of it
/// from the top, and in the drain's own column at the floor. Layers that the neighbour does not have give from the lowest it has.
#[allow(clippy::too_many_arguments)]
fn share_out(
    gives: &mut [f64],
    arriving: &[f64],
    comes_m3: f64,
    takes: usize,
    drawn_at: Option<DrawnFrom>,
    column: usize,
    from: &Stage,
    to: &Stage,
) {
    let (n, m) = (from.cells(column), to.cells(column));
    let own = |j: usize| arriving[j] + from.volume_m3(column, j) - to.volume_m3(column, j);
    let passing_m3 = ((0..gives.len()).map(own).sum::<f64>() + comes_m3).max(0.0);
    if let (Some(drawn_at), true) = (drawn_at, n > 0 && m > 0) {
        let mut left_m3 = passing_m3;
        if drawn_at == DrawnFrom::Floor {
            for j in (m..gives.len()).rev() {
                gives[j] = own(j).clamp(0.0, left_m3);
                left_m3 -= gives[j];
            }
        }
        gives[if drawn_at == DrawnFrom::Floor { m - 1 } else { 0 }] += left_m3;
        return;
    }
    for j in 0..gives.len() {
        gives[j.min(takes - 1)] += own(j).max(0.0);
    }
    let whole_m3: f64 = gives.iter().sum();
    match whole_m3 > 0.0 {
        true => gives.iter_mut().for_each(|give| *give *= passing_m3 / whole_m3),
        false => gives[0] = passing_m3,
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
