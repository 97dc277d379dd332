//! Luck of a day: how quick this farm is in each future, and how one basket differs from the next.
//!
//! Every rival plan of a day lives the same draws. The n-th go at a task takes the n-th draw of that task, whoever does it.

use chance::{Purpose, Stream};

use crate::rates::Rates;
use crate::task::{TASKS, Task};

/// Draws of the harvest line.
pub const LINE: Purpose = Purpose(0x4c49_4e45);

/// Go's of one task that are drawn apart; after these they come round again.
const EACH: usize = 128;

/// The draws of some members.
#[derive(Debug, Clone)]
pub struct Draws {
    each: usize,
    /// By member and task, a standard normal draw: where this farm's pace lies.
    pace: Vec<f64>,
    /// By member, task and go: how much longer this one takes than the middle.
    longer: Vec<f32>,
    /// By member: the share of a haul against the usual.
    haul: Vec<f64>,
}

/// One member's draws.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Luck<'a> {
    each: usize,
    pub(crate) pace: &'a [f64],
    longer: &'a [f32],
    pub(crate) haul: f64,
}

impl Luck<'_> {
    pub(crate) fn longer(&self, task: Task, go: usize) -> f64 {
        f64::from(self.longer[task as usize * self.each + go % self.each])
    }
}

/// Spread of the share that a haul takes, as a standard deviation of the logarithm: our guess.
const HAUL_UNEVEN: f64 = 0.3;

impl Draws {
    /// Draws for members by id, with spreads as in `rates`.
    pub fn new(seed: u64, members: std::ops::Range<u32>, rates: &Rates) -> Draws {
        let n = members.len();
        let mut draws = Draws {
            each: EACH,
            pace: Vec::with_capacity(n * TASKS),
            longer: Vec::with_capacity(n * TASKS * EACH),
            haul: Vec::with_capacity(n),
        };
        for member in members {
            let mut stream = Stream::new(seed, member, LINE);
            draws.pace.extend((0..TASKS).map(|_| stream.normal()));
            draws.haul.push(units::exp(HAUL_UNEVEN * stream.normal()));
            for task in Task::ALL {
                let uneven = rates.get(task).uneven;
                // The mean stays the rate: a lognormal's mean lies above its middle.
                let one = |_| units::exp(uneven * stream.normal() - 0.5 * uneven * uneven) as f32;
                draws.longer.extend((0..EACH).map(one));
            }
        }
        draws
    }

    /// Draws given from outside, one member: `longer` by task and go, as many goes for each.
    pub fn given(longer: Vec<f32>) -> Draws {
        let each = longer.len() / TASKS;
        Draws { each, pace: vec![0.0; TASKS], longer, haul: vec![1.0] }
    }

    /// How many members.
    pub fn members(&self) -> usize {
        self.haul.len()
    }

    pub(crate) fn of(&self, member: usize) -> Luck<'_> {
        let row = TASKS * self.each;
        Luck {
            each: self.each,
            pace: &self.pace[member * TASKS..(member + 1) * TASKS],
            longer: &self.longer[member * row..(member + 1) * row],
            haul: self.haul[member],
        }
    }
}
