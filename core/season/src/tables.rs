//! The planner's tables, from every pond's water under every member.

use ensemble::DayTable;
use farm::{Farm, PondCard};
use plan::{Grid, PartRows, Tables};
use rayon::prelude::*;
use stock::Hidden;

use crate::limits::LB_PER_KG;
use crate::worth::{Cell, PondToday, Streams, Valuer};

/// One pond on the way to the tables.
pub struct TablePond<'a> {
    /// As its grower knows it.
    pub card: &'a PondCard,
    /// As it stands.
    pub today: PondToday,
    /// Its water under every member.
    pub table: &'a DayTable,
    /// Each member's unknowns.
    pub hidden: &'a [Hidden],
}

/// Share of the animals over the size limit that a seining of a full pond takes (our guess, 0.3 to 0.7).
const SEINED_SHARE: f64 = 0.5;
/// Animals that early orders want, g: heavier than 15 to the pound.
const LARGE_G: f64 = 30.0;

/// Cells of every pond, `[pond][day][member]`.
pub struct Cells {
    days: usize,
    members: usize,
    cells: Vec<Vec<Cell>>,
}

impl Cells {
    /// One cell.
    pub fn at(&self, pond: usize, day: usize, member: usize) -> &Cell {
        &self.cells[pond][member * self.days + day]
    }
    /// Number of members.
    pub fn members(&self) -> usize {
        self.members
    }
    /// Tables of one member each, put side by side.
    pub fn side_by_side(each: &[Cells]) -> Cells {
        let days = each.first().map_or(0, |one| one.days);
        let ponds = each.first().map_or(0, |one| one.cells.len());
        let cells =
            (0..ponds).map(|pond| each.iter().flat_map(|one| one.cells[pond].iter().copied()).collect()).collect();
        Cells { days, members: each.len(), cells }
    }
    /// Tables of the same ponds and days, members one after another.
    pub fn end_to_end<'a>(each: impl Iterator<Item = &'a Cells>) -> Cells {
        let mut all = Cells { days: 0, members: 0, cells: Vec::new() };
        for one in each {
            all.days = one.days;
            all.members += one.members;
            all.cells.resize(one.cells.len(), Vec::new());
            for (to, from) in all.cells.iter_mut().zip(&one.cells) {
                to.extend_from_slice(from);
            }
        }
        all
    }
}

/// Values every pond, day and member.
pub fn cells(farm: &Farm, ponds: &[TablePond], streams: &Streams, days: usize) -> Cells {
    let members = ponds.first().map_or(0, |pond| pond.table.members());
    let cells = ponds
        .iter()
        .map(|pond| {
            let valuer = Valuer::new(farm, pond.card, &pond.today, streams);
            let mut all = vec![Cell::default(); days * members];
            all.par_chunks_mut(days.max(1))
                .enumerate()
                .for_each(|(member, out)| valuer.member(pond.table, member, &pond.hidden[member], out));
            all
        })
        .collect();
    Cells { days, members, cells }
}

/// The tables that `plan` asks for.
pub fn tables(ponds: &[TablePond], streams: &Streams, cells: &Cells, cold_mark_c: f64, keep_level: f64) -> Tables {
    let (n, days, members) = (ponds.len(), cells.days, cells.members);
    let mut parts = Vec::with_capacity(n);
    let mut rows = n;
    for pond in ponds {
        let seined = pond.card.parts.early_seining;
        parts.push(seined.then_some(PartRows { large: rows, rest: rows + 1 }));
        rows += if seined { 2 } else { 0 };
    }
    // Which pond and part stands behind each row: 0 whole, 1 large animals, 2 the rest.
    let mut behind: Vec<(usize, u8)> = (0..n).map(|pond| (pond, 0)).collect();
    for (pond, part) in parts.iter().enumerate() {
        if part.is_some() {
            behind.extend([(pond, 1), (pond, 2)]);
        }
    }
    let share = |row: usize, day: usize, member: usize| {
        let (pond, part) = behind[row];
        let cell = cells.at(pond, day, member);
        if part == 0 {
            return (cell, 1.0);
        }
        let of = &ponds[pond];
        let large = large_share(of, cell.mean_weight_g, &of.hidden[member]);
        (cell, if part == 1 { large } else { 1.0 - large })
    };
    // Large animals bring more than their share of the weight; what they gain the rest lacks.
    let premium = |row: usize| match behind[row].1 {
        1 => 1.0 + LARGE_PREMIUM,
        _ => 1.0,
    };
    let worth = Grid::from_fn(rows, days, members, |row, day, member| {
        let (cell, share) = share(row, day, member);
        match behind[row].1 {
            2 => cell.worth * (1.0 - (1.0 - share) * (1.0 + LARGE_PREMIUM)),
            _ => cell.worth * share * premium(row),
        }
    });
    let kept = |value: &dyn Fn(&Cell, f64) -> f64| kept(rows, days, members, keep_level, &share, value);
    let live = kept(&|cell, share| cell.caught_kg * share * streams.live * cell.lively * LB_PER_KG);
    let whole = kept(&|cell, share| {
        let limp = streams.live * (1.0 - cell.lively);
        cell.caught_kg * share * (streams.whole + streams.piece + limp) * LB_PER_KG
    });
    let tails = kept(&|cell, share| cell.caught_kg * share * streams.tails * LB_PER_KG);
    let extra = kept(&|cell, share| cell.extra_hand_h * share);
    Tables {
        ponds: n,
        parts,
        worth,
        cold_loss: Grid::from_fn(rows, days, members, |row, day, member| {
            let (cell, share) = share(row, day, member);
            cell.cold_loss * share
        }),
        loss_fraction: Grid::from_fn(rows, days, members, |row, day, member| share(row, day, member).0.loss_fraction),
        crossing: crossing(ponds, days, members, cold_mark_c),
        pounds_lb: [live, whole, tails],
        extra_hand_hours: Some(extra),
    }
}

/// One figure for all members: what is kept in the share of futures the grower set. A day mostly has one catch, so the sum of
/// such figures is the figure of the sum, and never below it.
fn kept<'a>(
    rows: usize,
    days: usize,
    members: usize,
    keep_level: f64,
    share: &dyn Fn(usize, usize, usize) -> (&'a Cell, f64),
    value: &dyn Fn(&Cell, f64) -> f64,
) -> Grid<f64> {
    let mut all = vec![0.0; members];
    Grid::from_fn(rows, days, 1, |row, day, _| {
        for (member, to) in all.iter_mut().enumerate() {
            let (cell, share) = share(row, day, member);
            *to = value(cell, share);
        }
        let place = ((keep_level * members as f64).ceil() as usize).clamp(1, members) - 1;
        *all.select_nth_unstable_by(place, f64::total_cmp).1
    })
}

/// How much more a kilogram of large animals brings than the mean kilogram (from the price rows of a usual farm; our guess).
const LARGE_PREMIUM: f64 = 0.15;

/// Share of a pond's weight that a seining for large animals takes.
fn large_share(pond: &TablePond, mean_weight_g: f64, hidden: &Hidden) -> f64 {
    let mut shares = [0.0; 2];
    pond.today.crop.mass_shares(mean_weight_g, &[LARGE_G], hidden, &mut shares);
    SEINED_SHARE * shares[1]
}

fn crossing(ponds: &[TablePond], days: usize, members: usize, cold_mark_c: f64) -> Grid<bool> {
    let mut grid = Grid::filled(ponds.len(), days, members, false);
    for (row, pond) in ponds.iter().enumerate() {
        for member in 0..members {
            let mut crossed = false;
            let mut dawn = 0;
            for day in 0..days {
                // The pond stands full until its water starts down.
                let start_d = day as f64 + 0.25 - pond.today.lead_h / 24.0;
                while (dawn as f64) <= start_d && dawn < days {
                    crossed |= pond.table.at(dawn, member).dawn_c < cold_mark_c;
                    dawn += 1;
                }
                grid.of_mut(row, day)[member] = crossed;
            }
        }
    }
    grid
}
