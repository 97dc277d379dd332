//! Which past days a member follows: a season drawn for the forecast days, then joined blocks.

use chance::{Purpose, Stream};

use crate::forecast::Luck;
use crate::library::{Library, Past};

/// Year and date of a member's first donor.
const FIRST_DONOR: Purpose = Purpose(0x5745_0003);
/// When a member's blocks end, and which neighbour follows.
const BLOCKS: Purpose = Purpose(0x5745_0004);
/// The same where a season ends under a block.
const FORCED: Purpose = Purpose(0x5745_0005);

/// Mean length of a block, days. Our guess; 10 to 20 give the same seasons (`docs/model/members.md`).
const BLOCK_MEAN_DAYS: f64 = 20.0;
/// How far a first donor's date may lie from the member's.
const FIRST_REACH_DAYS: usize = 5;
/// How far a joined day's date may lie from the member's.
pub(super) const JOIN_REACH_DAYS: i32 = 10;
/// Weights of the last three days, the latest first, in likeness; and of the date's distance. Our guess.
const LIKENESS: [f32; 3] = [1.0, 0.5, 0.25];
const DATE_WEIGHT: f32 = 0.5;
/// 1 / golden ratio: successive ids spread evenly over the years, however many there are.
const GOLDEN: f64 = 0.618_033_988_749_894_8;

/// A member's day: the library day it follows, and whether a block begins there by a join.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Step {
    pub library_day: usize,
    pub joined: bool,
}

/// What is needed to find the way.
pub(super) struct Ground<'a> {
    pub library: &'a Library,
    pub past: &'a Past,
    /// Place of the first day in the library's window.
    pub place: i32,
    /// Days before which no block may end: a forecast speaks of them.
    pub n_known: usize,
    pub n_days: usize,
}

/// Share of the years that comes before the first member's.
pub(super) fn years_offset(seed: u64) -> f64 {
    Stream::new(seed, u32::MAX, FIRST_DONOR).uniform()
}

pub(super) fn walk(ground: &Ground, luck: Luck, offset: f64, near: &mut Vec<u64>) -> Vec<Step> {
    let n = ground.library.window().n_days;
    let breaks = breaks(luck, n);
    let mut forced = Stream::new(luck.seed, luck.id, FORCED);
    let mut next_break = breaks.iter().skip_while(|b| b.place < ground.place + ground.n_known as i32).peekable();
    let mut steps: Vec<Step> = Vec::with_capacity(ground.n_days);
    let mut library_day = first_donor(ground, luck, offset);
    let mut joined = false;
    for day in 0..ground.n_days {
        let place = ground.place + day as i32;
        if day > 0 {
            let at_end = (library_day + 1).is_multiple_of(n);
            let due = next_break.next_if(|b| b.place == place);
            (library_day, joined) = match due {
                Some(block) if day >= 3 => (join(ground, &steps, place, block.rank, near), true),
                _ if at_end => (join(ground, &steps, place, forced.uniform(), near), true),
                _ => (library_day + 1, false),
            };
        }
        steps.push(Step { library_day, joined });
    }
    steps
}

fn first_donor(ground: &Ground, luck: Luck, offset: f64) -> usize {
    let n = ground.library.window().n_days;
    let along = offset + f64::from(luck.id) * GOLDEN;
    let share = along - along.floor();
    let season = ((share * ground.past.n_seasons as f64) as usize).min(ground.past.n_seasons - 1);
    let mut stream = Stream::new(luck.seed, luck.id, FIRST_DONOR);
    let moved = stream.below(2 * FIRST_REACH_DAYS + 1) as i32 - FIRST_REACH_DAYS as i32;
    let place = (ground.place + moved).clamp(0, n as i32 - 1) as usize;
    season * n + place
}

struct Break {
    place: i32,
    rank: f64,
}

/// Ends of blocks through the whole window, the same on every morning of a season.
fn breaks(luck: Luck, window_days: usize) -> Vec<Break> {
    let mut stream = Stream::new(luck.seed, luck.id, BLOCKS);
    let mut breaks = Vec::new();
    let mut place = -JOIN_REACH_DAYS;
    loop {
        place += 1 + stream.geometric(1.0 / BLOCK_MEAN_DAYS).min(10_000) as i32;
        if place > window_days as i32 + 2 * JOIN_REACH_DAYS {
            return breaks;
        }
        breaks.push(Break { place, rank: stream.uniform() });
    }
}

/// The library day that follows: one of the k nearest neighbours, the i-th with a chance in proportion to 1 / i.
fn join(ground: &Ground, steps: &[Step], place: i32, rank: f64, near: &mut Vec<u64>) -> usize {
    let n = ground.library.window().n_days as i32;
    let last: [[f32; 2]; 3] = std::array::from_fn(|back| {
        let step = steps[steps.len().saturating_sub(1 + back)];
        ground.past.standard[step.library_day]
    });
    let own_season = steps[steps.len() - 1].library_day / n as usize;
    let from = (place - JOIN_REACH_DAYS).clamp(3, n - 1 - JOIN_REACH_DAYS) as usize;
    let to = (place + JOIN_REACH_DAYS).clamp(3 + JOIN_REACH_DAYS, n - 1) as usize;
    near.clear();
    for season in (0..ground.past.n_seasons).filter(|&season| season != own_season) {
        let base = season * n as usize;
        let before = &ground.past.standard[base + from - 3..base + to];
        for (i, three) in before.windows(3).enumerate() {
            let apart = (from as i32 + i as i32 - place) as f32 / JOIN_REACH_DAYS as f32;
            let mut distance = DATE_WEIGHT * apart * apart;
            for back in 0..3 {
                let (low, high) = (three[2 - back][0] - last[back][0], three[2 - back][1] - last[back][1]);
                distance += LIKENESS[back] * (low * low + high * high);
            }
            // A positive float orders as its bits do; the place in the library settles ties.
            near.push(u64::from(distance.to_bits()) << 32 | (base + from + i) as u64);
        }
    }
    let k = ((near.len() as f64).sqrt() as usize).max(1);
    let chosen = kernel_rank(k, rank).min(near.len() - 1);
    let (_, found, _) = near.select_nth_unstable(chosen);
    (*found & 0xffff_ffff) as usize
}

/// The rank, from 0, that a uniform number picks among `k` with weights 1 / (rank + 1).
fn kernel_rank(k: usize, uniform: f64) -> usize {
    let total: f64 = (1..=k).map(|i| 1.0 / i as f64).sum();
    let mut left = uniform * total;
    for rank in 0..k {
        left -= 1.0 / (rank + 1) as f64;
        if left < 0.0 {
            return rank;
        }
    }
    k - 1
}
