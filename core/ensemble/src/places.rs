//! One pond's water by place, hour and member: for a pond that empties, where the ends part and the thin places cool.

use pond::{Budget, Scratch};
use rayon::prelude::*;
use units::{LANES, Lanes, Real, Watch};

use crate::air::AirSource;
use crate::run::{PondRun, Width, start};

/// Water by hour, column and member, °C. Columns count from the shallow end; a dry one has no water.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceTable {
    from: usize,
    columns: usize,
    members: usize,
    /// `[hour][column]`: whether there is water.
    wet: Vec<bool>,
    /// `[hour][column][member]`, °C: mean of the column.
    mean_c: Vec<f32>,
    /// The same at its floor.
    floor_c: Vec<f32>,
}

impl PlaceTable {
    /// First hour it holds.
    pub fn from(&self) -> usize {
        self.from
    }
    /// Hours it holds.
    pub fn hours(&self) -> usize {
        self.wet.len() / self.columns
    }
    /// Columns of the pond.
    pub fn columns(&self) -> usize {
        self.columns
    }
    /// Members.
    pub fn members(&self) -> usize {
        self.members
    }
    /// Every member's mean water of a column at an hour, °C; `None` where it is dry or was not looked at.
    pub fn mean_c(&self, hour: usize, column: usize) -> Option<&[f32]> {
        self.of(&self.mean_c, hour, column)
    }
    /// Every member's water at a column's floor at an hour, °C.
    pub fn floor_c(&self, hour: usize, column: usize) -> Option<&[f32]> {
        self.of(&self.floor_c, hour, column)
    }

    fn of<'a>(&self, list: &'a [f32], hour: usize, column: usize) -> Option<&'a [f32]> {
        let at = hour.checked_sub(self.from)? * self.columns + column;
        let is_wet = *self.wet.get(at)?;
        is_wet.then(|| &list[at * self.members..(at + 1) * self.members])
    }
}

/// Runs one pond from its start to the hour `to` and keeps its water by place from the hour `from` on, as it stands at the beginning of
/// each hour; `None` when asked to stop.
pub fn places(pond: &PondRun, air: &dyn AirSource, (from, to): (usize, usize), watch: &Watch) -> Option<PlaceTable> {
    places_from(pond, air, 0, (from, to), watch)
}

/// The same where the start is that of the hour `begin`, at the latest `from`.
pub fn places_from(
    pond: &PondRun,
    air: &dyn AirSource,
    begin: usize,
    (from, to): (usize, usize),
    watch: &Watch,
) -> Option<PlaceTable> {
    let (members, columns) = (air.members(), pond.basin.columns());
    let tiles: Option<Vec<Vec<[Lanes; 2]>>> = (0..members.div_ceil(LANES))
        .into_par_iter()
        .map(|tile| run_tile(pond, air, tile * LANES, (begin, from, to), watch))
        .collect();
    let tiles = tiles?;
    let places = (to - from) * columns;
    let list = |which: usize| {
        let mut list = vec![0.0_f32; places * members];
        for (place, row) in list.chunks_mut(members).enumerate() {
            for (member, value) in row.iter_mut().enumerate() {
                *value = tiles[member / LANES][place][which].lane(member % LANES) as f32;
            }
        }
        list
    };
    let wet =
        (from..to).flat_map(|h| (0..columns).map(move |c| (h, c))).map(|(h, c)| pond.schedule.stage(h).cells(c) > 0);
    Some(PlaceTable { from, columns, members, wet: wet.collect(), mean_c: list(0), floor_c: list(1) })
}

fn run_tile(
    pond: &PondRun,
    air: &dyn AirSource,
    first: usize,
    (begin, from, to): (usize, usize, usize),
    watch: &Watch,
) -> Option<Vec<[Lanes; 2]>> {
    let mut water = start(pond, first, air.members());
    let (mut scratch, mut budget) = (Scratch::new(pond.basin), Budget::default());
    let mut out = Vec::with_capacity((to - from) * pond.basin.columns());
    let width = Width::here();
    for h in begin..to {
        if h % 24 == 0 && watch.asked_to_stop() {
            return None;
        }
        let stage = pond.schedule.stage(h);
        if h >= from {
            for c in 0..stage.columns() {
                let none = Lanes::splat(0.0);
                let is_wet = stage.cells(c) > 0;
                out.push(if is_wet { [water.column_mean(stage, c), water.bottom(stage, c)] } else { [none; 2] });
            }
        }
        width.hour(pond, h, &air.air(first, h), &mut water, &mut budget, &mut scratch);
    }
    Some(out)
}
