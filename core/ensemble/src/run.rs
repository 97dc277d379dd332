//! Ponds of a farm under many members: tiles over threads, one hour at a time.
//!
//! The only `unsafe` of the workspace is here: calling a function compiled for wider instructions, after asking the processor
//! whether it has them. The bits are the same at every width, so the answer does not depend on it; a test compares them.

use pond::{Basin, Budget, Ground, Schedule, Scratch, Water, hour};
use rayon::prelude::*;
use units::{LANES, Lanes, Watch};

use crate::air::AirSource;
use crate::hours::{HourTable, TileHours};

/// One pond to run.
pub struct PondRun<'a> {
    /// Shape and physics.
    pub basin: &'a Basin,
    /// Levels, light and ground by hour, shared by all members.
    pub schedule: &'a Schedule,
    /// Water at the first hour.
    pub start: Start<'a>,
    /// Wind factor by member.
    pub wind_factor: &'a [f64],
}

/// Water at the first hour.
#[derive(Clone, Copy)]
pub enum Start<'a> {
    /// The same profile (depth m, °C) for all, on a ground on a day of the year.
    Profile(&'a [(f64, f64)], &'a Ground, f64),
    /// One pond's whole state for all.
    Water(&'a Water<f64>),
    /// A state for each member.
    Each(&'a [Water<f64>]),
}

/// Runs all ponds for `hours` under every member; `None` when asked to stop.
pub fn run(ponds: &[PondRun], air: &dyn AirSource, hours: usize, watch: &Watch) -> Option<Ran> {
    let members = air.members();
    let tiles = members.div_ceil(LANES);
    let done: Option<Vec<TileOut>> =
        (0..tiles).into_par_iter().map(|tile| run_tile(ponds, air, tile * LANES, hours, watch)).collect();
    let mut tables: Vec<Vec<TileHours>> = ponds.iter().map(|_| Vec::with_capacity(tiles)).collect();
    let mut mixed: Vec<Vec<Vec<Lanes>>> = ponds.iter().map(|_| Vec::with_capacity(tiles)).collect();
    let mut ends: Vec<Vec<Water<f64>>> = ponds.iter().map(|_| Vec::with_capacity(members)).collect();
    for tile in done? {
        for (pond, (hours, layers, water)) in tile.into_iter().enumerate() {
            mixed[pond].push(layers);
            let here = LANES.min(members - ends[pond].len());
            ends[pond].extend((0..here).map(|lane| water.member(lane)));
            tables[pond].push(hours);
        }
    }
    let table = |(tiles, mixed)| HourTable::new(members, tiles).with_mixed(mixed);
    Some((tables.into_iter().zip(mixed).map(table).collect(), ends))
}

/// A table of hours for each pond, and by pond the state of each member after the last hour.
pub type Ran = (Vec<HourTable>, Vec<Vec<Water<f64>>>);

/// Carries each member's whole state through the hours `from..to` of a schedule, in place. The air's hours are the schedule's, and each
/// state brings its own wind factor.
pub fn carry(
    basin: &Basin,
    schedule: &Schedule,
    air: &dyn AirSource,
    (from, to): (usize, usize),
    states: &mut [Water<f64>],
) {
    let winds: Vec<f64> = states.iter().map(|state| state.wind_factor).collect();
    let whole: &[Water<f64>] = states;
    let pond = PondRun { basin, schedule, start: Start::Each(whole), wind_factor: &winds };
    let tiles = states.len().div_ceil(LANES);
    let width = Width::here();
    let ends: Vec<Water<Lanes>> = (0..tiles)
        .into_par_iter()
        .map(|tile| {
            let first = tile * LANES;
            let mut water = start(&pond, first, whole.len());
            let (mut scratch, mut budget) = (Scratch::new(basin), Budget::default());
            for h in from..to {
                width.hour(&pond, h, &air.air(first, h), &mut water, &mut budget, &mut scratch);
            }
            water
        })
        .collect();
    for (member, state) in states.iter_mut().enumerate() {
        *state = ends[member / LANES].member(member % LANES);
    }
}

type TileOut = Vec<(TileHours, Vec<Lanes>, Water<Lanes>)>;

/// Hours from the first at which the depth of mixing is looked at: a day and the night after it.
const MIXED_HOURS: usize = 36;

fn run_tile(ponds: &[PondRun], air: &dyn AirSource, first: usize, hours: usize, watch: &Watch) -> Option<TileOut> {
    let mut water: Vec<Water<Lanes>> = ponds.iter().map(|pond| start(pond, first, air.members())).collect();
    let mut scratch: Vec<Scratch<Lanes>> = ponds.iter().map(|pond| Scratch::new(pond.basin)).collect();
    let mut budget: Vec<Budget<Lanes>> = ponds.iter().map(|_| Budget::default()).collect();
    let mut out: Vec<TileHours> = ponds.iter().map(|_| Vec::with_capacity(hours)).collect();
    let mut mixed: Vec<Vec<Lanes>> = ponds.iter().map(|_| Vec::with_capacity(hours.min(MIXED_HOURS))).collect();
    let width = Width::here();
    for h in 0..hours {
        if h % 24 == 0 {
            if watch.asked_to_stop() {
                return None;
            }
            watch.advance(1);
        }
        let air = air.air(first, h);
        for (p, pond) in ponds.iter().enumerate() {
            let stage = pond.schedule.stage(h);
            // What the animals felt in this hour: the state at its start; dawn is the state on the hour.
            out[p].push([water[p].bottom_mean(stage), water[p].coldest_bottom(stage)]);
            if h < MIXED_HOURS {
                mixed[p].push(water[p].mixed_m(stage, stage.columns() - 1));
            }
            width.hour(pond, h, &air, &mut water[p], &mut budget[p], &mut scratch[p]);
        }
    }
    Some(out.into_iter().zip(mixed).zip(water).map(|((hours, mixed), water)| (hours, mixed, water)).collect())
}

pub(crate) fn start(pond: &PondRun, first: usize, members: usize) -> Water<Lanes> {
    let stage = pond.schedule.stage(0);
    let mut water: Water<Lanes> = match pond.start {
        Start::Profile(profile, ground, day_of_year) => Water::start(pond.basin, stage, profile, ground, day_of_year),
        Start::Water(_) | Start::Each(_) => {
            Water::start(pond.basin, stage, &[(0.0, 20.0)], &pond.basin.ground(15.0, 10.0), 200.0)
        }
    };
    for lane in 0..LANES {
        let member = (first + lane).min(members - 1);
        match pond.start {
            Start::Profile(..) => {}
            Start::Water(one) => water.set_member(lane, one),
            Start::Each(all) => water.set_member(lane, &all[member]),
        }
        units::Real::set_lane(&mut water.wind_factor, lane, pond.wind_factor[member]);
    }
    water
}

/// The widest instructions this processor has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Width {
    Plain,
    #[cfg(target_arch = "x86_64")]
    Avx2,
    #[cfg(target_arch = "x86_64")]
    Avx512,
}

impl Width {
    #[cfg(target_arch = "x86_64")]
    pub(crate) fn here() -> Width {
        if is_x86_feature_detected!("avx512f") && is_x86_feature_detected!("avx512vl") {
            Width::Avx512
        } else if is_x86_feature_detected!("avx2") {
            Width::Avx2
        } else {
            Width::Plain
        }
    }
    #[cfg(not(target_arch = "x86_64"))]
    pub(crate) fn here() -> Width {
        Width::Plain
    }

    /// One hour of one pond at this width.
    #[allow(unsafe_code)]
    pub(crate) fn hour(
        self,
        pond: &PondRun,
        h: usize,
        air: &pond::Air<Lanes>,
        water: &mut Water<Lanes>,
        budget: &mut Budget<Lanes>,
        scratch: &mut Scratch<Lanes>,
    ) {
        match self {
            Width::Plain => plain(pond, h, air, water, budget, scratch),
            // SAFETY: `here` made this value only after the processor said that it has the instructions, and the functions
            // have no other requirement: they are ordinary safe Rust compiled for a wider machine.
            #[cfg(target_arch = "x86_64")]
            Width::Avx2 => unsafe { avx2(pond, h, air, water, budget, scratch) },
            #[cfg(target_arch = "x86_64")]
            Width::Avx512 => unsafe { avx512(pond, h, air, water, budget, scratch) },
        }
    }
}

fn plain(
    pond: &PondRun,
    h: usize,
    air: &pond::Air<Lanes>,
    water: &mut Water<Lanes>,
    budget: &mut Budget<Lanes>,
    scratch: &mut Scratch<Lanes>,
) {
    hour(pond.basin, pond.schedule.stage(h), pond.schedule.next(h), air, water, budget, scratch);
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx2")]
fn avx2(
    pond: &PondRun,
    h: usize,
    air: &pond::Air<Lanes>,
    water: &mut Water<Lanes>,
    budget: &mut Budget<Lanes>,
    scratch: &mut Scratch<Lanes>,
) {
    hour(pond.basin, pond.schedule.stage(h), pond.schedule.next(h), air, water, budget, scratch);
}

#[cfg(target_arch = "x86_64")]
#[target_feature(enable = "avx512f,avx512vl")]
fn avx512(
    pond: &PondRun,
    h: usize,
    air: &pond::Air<Lanes>,
    water: &mut Water<Lanes>,
    budget: &mut Budget<Lanes>,
    scratch: &mut Scratch<Lanes>,
) {
    hour(pond.basin, pond.schedule.stage(h), pond.schedule.next(h), air, water, budget, scratch);
}

#[cfg(test)]
mod tests;
