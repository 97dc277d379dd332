//! The best dates for all ponds together, exactly.
//!
//! Model     one job for each pond (a start hour, a way, one or two catch days); most mean worth less the risk weight times
//!           mean cold loss, under every limit of [`Limits`].
//! Units     smallest coins; hours as in [`Limits`].
//! Range     up to 64 ponds and 511 days; four ponds are proved in milliseconds, a dozen over a hundred days mostly within
//!           seconds (`docs/model/dates.md`). When the tree is cut short the best plan in hand is given and
//!           [`Dates::proved`] says so.
//! Source    branch and bound with Lagrangian bounds (Held, Wolfe & Crowder 1974); argued in `docs/model/dates.md`.
//! Left out  starts earlier than the latest allowed one (never better), and taking a pond on more than two days.
//!
//! Ponds that must come out and cannot all do so within the limits are left in the fewest number, and the plan for the others
//! is the best there is; [`why_left`] then says what stands in the way. Among equals the earlier days win, then the lower pond.

mod beginning;
mod choices;
mod explore;
mod fit;
mod prices;
mod rivals;
mod score;
mod search;
mod shared;

use units::Watch;

use crate::limits::Limits;
use crate::schedule::Schedule;
use crate::tables::{Tables, TablesFault};

pub use choices::Choices;
pub use rivals::{Binding, Reason, Rivals, binding, rivals, why_left};

use fit::Fit;
use score::Score;
use search::{Effort, Found, LEAVE, Scores};

/// What to look for.
#[derive(Debug, Clone, Copy)]
pub struct Ask<'m> {
    /// Members whose mean counts and over whom a day's amounts are judged.
    pub members: &'m [usize],
    /// Weight on the expected cold loss beyond its part in the worth; 0 for plain mean worth.
    pub risk_weight: f64,
    /// Looks (a use of a limit, a job tried, a member gone through) after which the best plan in hand is given. The same on
    /// every machine; a quarter of a thousand million or so in a second.
    pub looks_most: u64,
    /// Dates that may be begun with, where they fit: what is found is no worse.
    pub start: Option<&'m Schedule>,
    /// Only dates that bring more than this beyond those in hand are looked for, coins; 0 looks for the best.
    pub least_gain_coins: f64,
}

impl<'m> Ask<'m> {
    /// The best there is, with [`LOOKS_MOST`].
    pub fn exact(members: &'m [usize], risk_weight: f64) -> Ask<'m> {
        Ask { members, risk_weight, looks_most: LOOKS_MOST, start: None, least_gain_coins: 0.0 }
    }
}

/// Looks that only farms of a dozen ponds have needed: a minute or two of search.
pub const LOOKS_MOST: u64 = 20_000_000_000;

/// The dates found.
#[derive(Debug, Clone, PartialEq)]
pub struct Dates {
    /// What to do.
    pub schedule: Schedule,
    /// What was maximised: mean worth less weighted cold loss; smallest coins.
    pub objective_coins: f64,
    /// Ponds that should come out and do not.
    pub left: Vec<usize>,
    /// Sum over ponds of the exposure beyond the guard, in steps.
    pub exposure: u32,
    /// Nothing better exists; with [`Ask::least_gain_coins`], nothing that brings more than that.
    pub proved: bool,
    /// No dates bring more than these by more than this, smallest coins; `None` when the search was cut short before it could
    /// tell whether another pond might come out, or another stay within the guard.
    pub beyond_coins: Option<f64>,
    /// Nodes of the search tree.
    pub nodes: u64,
    /// Looks taken ([`Ask::looks_most`]).
    pub looks: u64,
}

/// Why dates cannot be looked for.
#[derive(Debug, Clone, PartialEq)]
pub enum DatesFault {
    /// The tables do not fit together.
    Tables(TablesFault),
    /// The limits' ponds or days are not those of the tables, or a number in them is not one.
    Limits,
    /// More ponds or days than the search can tell apart.
    TooLarge,
    /// No members were named, or one that is not in the tables.
    Members,
}

/// Memory kept between searches.
#[derive(Debug, Clone, Default)]
pub struct Scratch {
    memory: fit::Memory,
    values: Vec<f64>,
    slot_steps: Vec<f64>,
    scores: Vec<Vec<Score>>,
    left: Vec<Score>,
}

/// The best fixed dates: chosen once for all members named.
///
/// # Errors
/// When tables, limits and members do not fit each other.
pub fn best_fixed(tables: &Tables, limits: &Limits, ask: &Ask<'_>, watch: &Watch) -> Result<Dates, DatesFault> {
    fault(tables, limits, ask.members)?;
    let choices = Choices::new(limits, &tables.parts, tables.rows());
    Ok(choices.best_fixed(tables, ask, &mut Scratch::default(), watch))
}

/// The best fixed calendar: as [`best_fixed`] with past years as the members, and nothing that hangs on the present hour,
/// on promises or on water already going down.
///
/// # Errors
/// As [`best_fixed`].
pub fn best_calendar(tables: &Tables, limits: &Limits, ask: &Ask<'_>, watch: &Watch) -> Result<Dates, DatesFault> {
    best_fixed(tables, &calendar_limits(limits), ask, watch)
}

/// The limits that bind a plan made long before the season.
pub fn calendar_limits(limits: &Limits) -> Limits {
    let mut limits = limits.clone();
    limits.now_hour = i32::MIN / 4;
    limits.notices.clear();
    for pond in &mut limits.ponds {
        (pond.locked, pond.started) = (None, None);
    }
    limits
}

/// What keeps these from being used together, if anything.
///
/// # Errors
/// The first fault found.
pub fn fault(tables: &Tables, limits: &Limits, members: &[usize]) -> Result<(), DatesFault> {
    if let Some(fault) = tables.fault() {
        return Err(DatesFault::Tables(fault));
    }
    if limits.ponds.len() > score::PONDS_MOST || limits.days > score::DAYS_MOST {
        return Err(DatesFault::TooLarge);
    }
    if limits.ponds.len() != tables.ponds || limits.days != tables.days() || !limits.is_sound() {
        return Err(DatesFault::Limits);
    }
    if members.is_empty() || members.iter().any(|&member| member >= tables.members()) {
        return Err(DatesFault::Members);
    }
    Ok(())
}

impl Ask<'_> {
    fn effort<'e>(&self, start: Option<&'e [u32]>) -> Effort<'e> {
        let least_gain = score::score(score::to_steps(self.least_gain_coins), 0, 0);
        Effort { looks_most: self.looks_most, start, least_gain }
    }
}

impl Choices<'_> {
    /// As [`best_fixed`], with jobs and memory made beforehand. The tables must have passed [`fault`].
    pub fn best_fixed(&self, tables: &Tables, ask: &Ask<'_>, scratch: &mut Scratch, watch: &Watch) -> Dates {
        let mut values = std::mem::take(&mut scratch.values);
        mean_values(tables, ask, &mut values);
        let dates = self.best_of_values(&values, tables, ask, scratch, watch);
        scratch.values = values;
        dates
    }

    /// The best dates of one member who knows its own future: the clairvoyant.
    pub fn best_for_member(
        &self,
        tables: &Tables,
        member: usize,
        risk_weight: f64,
        scratch: &mut Scratch,
        watch: &Watch,
    ) -> Dates {
        let mut values = std::mem::take(&mut scratch.values);
        let members = [member];
        let ask = Ask::exact(&members, risk_weight);
        values.clear();
        for row in 0..tables.rows() {
            for day in 0..tables.days() {
                let loss = if risk_weight == 0.0 { 0.0 } else { risk_weight * tables.cold_loss.at(row, day, member) };
                values.push(tables.worth.at(row, day, member) - loss);
            }
        }
        let dates = self.best_of_values(&values, tables, &ask, scratch, watch);
        scratch.values = values;
        dates
    }

    /// The best dates when row `r` caught on day `d` brings `values[r * days + d]` coins, whatever that stands for (a member's
    /// worth less a penalty, say). `ask.risk_weight` is not read; a day's amounts are judged over `ask.members`.
    pub fn best_of_values(
        &self,
        values: &[f64],
        tables: &Tables,
        ask: &Ask<'_>,
        scratch: &mut Scratch,
        watch: &Watch,
    ) -> Dates {
        self.score_all(values, scratch);
        let Scratch { memory, scores, left, .. } = scratch;
        let mut fit = Fit::new(self, tables, ask.members, memory);
        let start = ask.start.map(|start| self.picks_of(start));
        self.dates(&search::search(&Scores { of: scores, left }, &mut fit, &ask.effort(start.as_deref()), watch))
    }

    fn score_all(&self, values: &[f64], scratch: &mut Scratch) {
        let days = self.limits.days;
        scratch.slot_steps.clear();
        let worth = |slot: &crate::schedule::Catch| score::to_steps(slot.share * values[slot.row * days + slot.day]);
        scratch.slot_steps.extend(self.slots.iter().map(worth));
        // One more for the slot that is not there.
        let slot_steps = &scratch.slot_steps;
        let steps = |slot: u32| slot_steps.get(slot as usize).copied().unwrap_or(0.0);
        scratch.scores.resize(self.of.len(), Vec::new());
        for (list, scores) in self.of.iter().zip(&mut scratch.scores) {
            scores.clear();
            scores.extend(list.iter().map(|choice| {
                let money = steps(choice.slots[0]) + steps(choice.slots[1]) - choice.cost_steps;
                score::score(money, choice.exposure, choice.order)
            }));
        }
        // A pond that may stay does so only when that brings more than any day: among equals it counts as the latest.
        let left_of = |pond: usize, coins: Option<f64>| match coins {
            Some(coins) => score::score(score::to_steps(coins), 0, score::order(self.of.len(), pond, days, 15)),
            None => score::left_score(),
        };
        scratch.left.clear();
        let ponds = self.limits.ponds.iter().enumerate();
        scratch.left.extend(ponds.map(|(pond, its)| left_of(pond, its.left_coins)));
    }

    /// The picks that make up a schedule; what is not among the choices is left out.
    fn picks_of(&self, schedule: &Schedule) -> Vec<u32> {
        let index = |pond: usize| {
            let job = schedule.jobs.get(pond).copied().flatten()?;
            (0..self.of[pond].len()).find(|&index| self.job(pond, index) == job)
        };
        (0..self.of.len()).map(|pond| index(pond).map_or(LEAVE, |index| index as u32)).collect()
    }

    fn dates(&self, found: &Found) -> Dates {
        let jobs = found.picks.iter().enumerate();
        let jobs: Vec<_> = jobs.map(|(pond, &pick)| (pick != LEAVE).then(|| self.job(pond, pick as usize))).collect();
        let must = |pond: &usize| jobs[*pond].is_none() && self.limits.ponds[*pond].left_coins.is_none();
        let left: Vec<usize> = (0..jobs.len()).filter(must).collect();
        Dates {
            objective_coins: score::coins(found.total),
            exposure: score::left_and_exposure(found.total).1,
            left,
            schedule: Schedule { jobs },
            proved: found.proved,
            beyond_coins: score::beyond(found.bound, found.total),
            nodes: found.nodes,
            looks: found.looks,
        }
    }
}

/// Mean worth less weighted mean cold loss, by row and day.
fn mean_values(tables: &Tables, ask: &Ask<'_>, values: &mut Vec<f64>) {
    values.clear();
    let is_all =
        ask.members.len() == tables.members() && ask.members.iter().enumerate().all(|(at, &member)| at == member);
    for row in 0..tables.rows() {
        for day in 0..tables.days() {
            let mean = |cells: &[f64]| match is_all {
                true => sum(cells.len(), |at| cells[at]) / cells.len() as f64,
                false => sum(ask.members.len(), |at| cells[ask.members[at]]) / ask.members.len() as f64,
            };
            let mut value = mean(tables.worth.of(row, day));
            if ask.risk_weight != 0.0 {
                value -= ask.risk_weight * mean(tables.cold_loss.of(row, day));
            }
            values.push(value);
        }
    }
}

/// A sum in a fixed order that does not wait for each addition: eight partial sums, then those in turn.
#[inline]
fn sum(count: usize, value: impl Fn(usize) -> f64) -> f64 {
    let mut parts = [0.0; 8];
    let whole = count / 8 * 8;
    for at in (0..whole).step_by(8) {
        for (lane, part) in parts.iter_mut().enumerate() {
            *part += value(at + lane);
        }
    }
    let rest: f64 = (whole..count).map(&value).sum();
    parts.iter().sum::<f64>() + rest
}
