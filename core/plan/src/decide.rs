//! This morning's decision: every first move weighed on members its rule never saw, under the guard.
//!
//! Model     rollout: each set of starts that is possible today, followed by the fitted rule, by paired differences.
//! Units     smallest coins, days and hours of the tables.
//! Range     up to 32 ponds; more than 6 by a window on the order of the best fixed dates.
//! Source    Bertsekas (2005), Dynamic Programming and Optimal Control, on rollout; docs/model/recourse.md.
//! Left out  a start given up half-way: once the water goes down the pond is caught.

mod change;
mod flips;
mod report;

use units::Watch;

use crate::check::check;
use crate::dates::{Ask, Choices, DatesFault, LOOKS_MOST, Scratch, fault};
use crate::decision::{Candidate, Decision};
use crate::guard;
use crate::limits::{Limit, Limits};
use crate::recourse::{FirstMove, FitSettings, Laid, Rule, Signals, Valued, Waiting, Watchful, fit, lay, value};
use crate::schedule::{Job, Schedule};
use crate::spread::{mean, paired, spread};
use crate::tables::Tables;

pub use change::Yesterday;

/// How to decide.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// How the rule is fitted.
    pub fit: FitSettings,
    /// The largest chance of the cold mark with a pond full; `None` when the person has put the guard aside.
    pub guard_chance: Option<f64>,
    /// For each pond, the signal with the chance that the cold mark is crossed before the pond could come out if it is not
    /// started that morning. With it the guard is also kept on later mornings of every member. May be empty.
    pub guard_signals: Vec<Option<usize>>,
    /// Weight on the expected cold loss beyond its part in the worth.
    pub risk_weight: f64,
    /// The share of a pond's animals whose loss counts as a loss.
    pub loss_share: f64,
    /// For each member a number; members with the same number share what a rule could learn by heart, as a past year, and
    /// stay in one fold. Empty: each member by itself.
    pub groups: Vec<u32>,
    /// Most positions to value.
    pub positions_most: usize,
    /// Looks of the search for the best fixed dates ([`Ask::looks_most`]); the searches beside it get a part of that.
    pub looks_most: u64,
    /// Only the move and its worth, for replay: no ceiling, no flips, no plan without the guard, floor not on fresh members.
    pub brief: bool,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            fit: FitSettings::default(),
            guard_chance: Some(0.1),
            guard_signals: Vec::new(),
            risk_weight: 0.0,
            loss_share: 0.2,
            groups: Vec::new(),
            positions_most: 20_000,
            looks_most: LOOKS_MOST,
            brief: false,
        }
    }
}

/// Where the rule comes from.
#[derive(Debug, Clone, Copy)]
pub enum Learn<'a> {
    /// Fitted this morning, each member valued by a rule that never saw it.
    Now,
    /// The same, with slopes drawn toward an earlier rule.
    From(&'a Rule),
    /// An earlier rule as it stands; this morning's members had no part in it.
    Kept(&'a Rule),
}

/// Why nothing can be decided.
#[derive(Debug, Clone, PartialEq)]
pub enum DecideFault {
    /// Tables and limits do not fit.
    Dates(DatesFault),
    /// Signals have other members than the tables, no mornings, or a value that is not a number.
    Signals,
    /// More ponds than positions can tell apart.
    TooManyPonds,
}

/// This morning's decision.
///
/// # Errors
/// When tables, signals and limits do not fit each other.
pub fn decide(
    tables: &Tables,
    signals: &Signals,
    limits: &Limits,
    settings: &Settings,
    learn: Learn,
    yesterday: Option<&Yesterday>,
    watch: &Watch,
) -> Result<Decision, DecideFault> {
    let members: Vec<usize> = (0..tables.members()).collect();
    sound(tables, signals, limits, &members)?;
    let free = Choices::new(limits, &tables.parts, tables.rows());
    let (bound, beyond) = match settings.guard_chance {
        Some(chance) => guard::guarded(tables, limits, &free, chance),
        None => (limits.clone(), Vec::new()),
    };
    let choices = Choices::new(&bound, &tables.parts, tables.rows());
    let ask = Ask { looks_most: settings.looks_most, ..Ask::exact(&members, settings.risk_weight) };
    let fixed = choices.best_fixed(tables, &ask, &mut Scratch::default(), watch);
    let mornings = signals.days().min(limits.days);
    let laid = lay(tables, &bound, &choices, &fixed.schedule, mornings, settings.positions_most);
    let morning = Morning {
        tables,
        signals,
        limits: &bound,
        settings,
        choices: &choices,
        fold: folds(settings, tables.members()),
        objective: opening_worth(tables, &bound, &laid, settings.risk_weight),
        exposure: guard::of_openings(&laid, &bound),
        base: given_worth(tables, &bound, &laid, settings.risk_weight),
        laid,
    };
    let decision = morning.decide(&fixed.schedule, learn, yesterday, beyond, watch);
    Ok(Decision { fixed_proved: fixed.proved, fixed_beyond: fixed.beyond_coins, ..decision })
}

/// A rule fitted to all members, to be kept and used on later mornings by [`Learn::From`] or [`Learn::Kept`].
///
/// # Errors
/// As [`decide`].
pub fn fit_rule(
    tables: &Tables,
    signals: &Signals,
    limits: &Limits,
    settings: &Settings,
    watch: &Watch,
) -> Result<Rule, DecideFault> {
    let members: Vec<usize> = (0..tables.members()).collect();
    sound(tables, signals, limits, &members)?;
    let choices = Choices::new(limits, &tables.parts, tables.rows());
    let ask = Ask::exact(&members, settings.risk_weight);
    let fixed = choices.best_fixed(tables, &ask, &mut Scratch::default(), watch);
    let mornings = signals.days().min(limits.days);
    let laid = lay(tables, limits, &choices, &fixed.schedule, mornings, settings.positions_most);
    let worth = opening_worth(tables, limits, &laid, settings.risk_weight);
    let fold = folds(settings, tables.members());
    let guard = watchful(settings);
    let waiting = Waiting { board: &laid.board, worth: &worth, signals, fold: &fold, guard };
    let mut valued = fit(&waiting, &laid.lattice, None, &FitSettings { folds: 1, ..settings.fit.clone() });
    Ok(valued.rules.remove(0))
}

fn sound(tables: &Tables, signals: &Signals, limits: &Limits, members: &[usize]) -> Result<(), DecideFault> {
    fault(tables, limits, members).map_err(DecideFault::Dates)?;
    if signals.members() != tables.members() || signals.days() == 0 || !signals.all_finite() {
        return Err(DecideFault::Signals);
    }
    if tables.ponds > 32 {
        return Err(DecideFault::TooManyPonds);
    }
    Ok(())
}

fn watchful(settings: &Settings) -> Option<Watchful<'_>> {
    let chance = settings.guard_chance?;
    (!settings.guard_signals.is_empty()).then_some(Watchful { signal: &settings.guard_signals, chance })
}

fn folds(settings: &Settings, members: usize) -> Vec<u32> {
    let folds = settings.fit.folds.max(1) as u32;
    (0..members).map(|member| settings.groups.get(member).copied().unwrap_or(member as u32) % folds).collect()
}

/// Worth less weighted cold loss of every opening in every member.
fn opening_worth(tables: &Tables, limits: &Limits, laid: &Laid, risk_weight: f64) -> Vec<f64> {
    let mut worth = Vec::with_capacity(laid.jobs.len() * tables.members());
    for (job, opening) in laid.jobs.iter().zip(&laid.board.openings) {
        let left_coins = limits.ponds[opening.pond].left_coins.unwrap_or(0.0);
        match job {
            Some(job) => job_worth(tables, limits, job, risk_weight, &mut worth),
            None => worth.resize(worth.len() + tables.members(), left_coins),
        }
    }
    worth
}

fn job_worth(tables: &Tables, limits: &Limits, job: &Job, risk_weight: f64, into: &mut Vec<f64>) {
    let from = into.len();
    into.resize(from + tables.members(), -job.way_in(limits).map_or(0.0, |way| way.cost_coins));
    let Some((first, second)) = job.catches(limits, tables) else { return };
    for catch in std::iter::once(first).chain(second) {
        let worth = tables.worth.of(catch.row, catch.day);
        let loss = tables.cold_loss.of(catch.row, catch.day);
        for ((sum, worth), loss) in into[from..].iter_mut().zip(worth).zip(loss) {
            *sum += catch.share * (worth - risk_weight * loss);
        }
    }
}

/// What the jobs that are no longer a choice bring in each member, and ponds that no start brings out.
fn given_worth(tables: &Tables, limits: &Limits, laid: &Laid, risk_weight: f64) -> Vec<f64> {
    let left: f64 = laid.stranded.iter().filter_map(|&pond| limits.ponds[pond].left_coins).sum();
    let mut base = vec![left; tables.members()];
    for job in &laid.given {
        let mut worth = Vec::new();
        job_worth(tables, limits, job, risk_weight, &mut worth);
        base.iter_mut().zip(&worth).for_each(|(sum, worth)| *sum += worth);
    }
    base
}

/// Everything that one morning's decision reads.
#[derive(Clone)]
struct Morning<'a> {
    tables: &'a Tables,
    signals: &'a Signals,
    limits: &'a Limits,
    settings: &'a Settings,
    choices: &'a Choices<'a>,
    laid: Laid,
    fold: Vec<u32>,
    objective: Vec<f64>,
    exposure: Vec<u32>,
    base: Vec<f64>,
}

/// Errors by which a move must be ahead before standing dates are left for it. With one, advice followed blindly through 28
/// replayed seasons was 0.09 % behind fixed dates chosen anew each morning, with two 0.06 % ahead: neither beyond chance.
const LEAD_ERRORS: f64 = 2.0;

/// A first move with what it is worth in each member, running jobs included.
struct Weighed {
    first: FirstMove,
    /// On members that the rule never saw: what is shown. It lies below what re-deciding every morning will bring.
    worth: Vec<f64>,
    /// Half way from there to the worth on the rule's own members, which lies above it (Broadie & Glasserman 1997): what
    /// moves are ranked by. Ranking by `worth` alone starts too early, because the rule of few members that it lets go on
    /// tomorrow is poorer than tomorrow's decision will be.
    point: Vec<f64>,
    exposure: u32,
}

impl Morning<'_> {
    fn waiting<'b>(&'b self, worth: &'b [f64], guard: Option<Watchful<'b>>) -> Waiting<'b> {
        Waiting { board: &self.laid.board, worth, signals: self.signals, fold: &self.fold, guard }
    }

    fn learn(&self, waiting: &Waiting, learn: Learn) -> Valued {
        match learn {
            Learn::Now => fit(waiting, &self.laid.lattice, None, &self.settings.fit),
            Learn::From(rule) => fit(waiting, &self.laid.lattice, Some(rule), &self.settings.fit),
            Learn::Kept(rule) => value(waiting, &self.laid.lattice, rule),
        }
    }

    /// All first moves that the limits allow, best in the mean first.
    fn weigh(&self, valued: &Valued) -> Vec<Weighed> {
        let least = guard::least_after_today(&self.laid, &self.exposure);
        let mut weighed: Vec<Weighed> = valued
            .first
            .iter()
            .map(|first| {
                let with_base =
                    |worth: &[f64]| worth.iter().zip(&self.base).map(|(worth, base)| worth + base).collect();
                let point: Vec<f64> =
                    first.worth.iter().zip(&first.own).map(|(low, high)| 0.5 * (low + high)).collect();
                let own: u32 = first.openings.iter().map(|&o| self.exposure[o]).sum();
                Weighed {
                    worth: with_base(&first.worth),
                    point: with_base(&point),
                    exposure: own + least.get(first.then as usize).copied().unwrap_or(0),
                    first: first.clone(),
                }
            })
            .collect();
        if weighed.iter().any(|weighed| self.is_allowed(weighed)) {
            weighed.retain(|weighed| self.is_allowed(weighed));
        }
        weighed.sort_by(|a, b| mean(&b.point).total_cmp(&mean(&a.point)));
        weighed
    }

    /// Whether today's starts, with what already runs, keep every limit in full. Ponds not started do not count.
    fn is_allowed(&self, weighed: &Weighed) -> bool {
        let schedule = self.schedule_of(&weighed.first.openings);
        let members: Vec<usize> = (0..self.tables.members()).collect();
        check(&schedule, self.tables, self.limits, &members).iter().all(|broken| broken.limit == Limit::Left)
    }

    fn jobs_of(&self, openings: &[usize]) -> Vec<Job> {
        openings.iter().filter_map(|&opening| self.laid.jobs[opening]).collect()
    }

    /// The openings' jobs and the running ones as a schedule.
    fn schedule_of(&self, openings: &[usize]) -> Schedule {
        let mut schedule = Schedule::empty(self.limits.ponds.len());
        for job in self.jobs_of(openings).into_iter().chain(self.laid.given.iter().copied()) {
            schedule.jobs[job.pond] = Some(job);
        }
        schedule
    }

    fn decide(
        &self,
        fixed: &Schedule,
        learn: Learn,
        yesterday: Option<&Yesterday>,
        beyond: Vec<usize>,
        watch: &Watch,
    ) -> Decision {
        let waiting = self.waiting(&self.objective, watchful(self.settings));
        let valued = self.learn(&waiting, learn);
        let weighed = self.weigh(&valued);
        let least = weighed.iter().map(|w| w.exposure).min().unwrap_or(0);
        let best = weighed.iter().position(|w| w.exposure == least).expect("waiting, at least, was weighed");
        let chosen = self.kept_in_a_toss_up(&weighed, best, least, yesterday, fixed).unwrap_or(best);
        let report =
            |chosen| report::Report { morning: self, waiting: &waiting, valued: &valued, weighed: &weighed, chosen };
        let mut report = report(chosen);
        let mut plan = report.planned(&report.taken(), watch);
        let out = |schedule: &Schedule| schedule.jobs.iter().flatten().count();
        if out(&plan) < out(fixed) {
            // Rare: amounts that the board reckons pond by pond misled it. The exact dates bring more ponds out.
            let due = self.due_today(&change::openings_of(fixed, &self.laid.jobs));
            if let Some(exact) = weighed.iter().position(|w| w.first.openings == due) {
                report.chosen = exact;
                plan = fixed.clone();
            }
        }
        let candidates = self.candidates(&weighed, report.chosen, least);
        report.decision(plan, fixed, learn, yesterday, candidates, beyond, watch)
    }

    /// Of one opening for each pond, those that must be decided today.
    fn due_today(&self, openings: &[Option<usize>]) -> Vec<usize> {
        let is_due = |o: &usize| self.laid.board.openings[*o].morning == 0;
        let mut due: Vec<usize> = openings.iter().copied().flatten().filter(is_due).collect();
        due.sort_unstable();
        due
    }

    /// Yesterday's starts for today, when the best move is ahead of them by less than [`LEAD_ERRORS`] of its errors. Without a
    /// yesterday the best fixed dates stand in: a rule of few members must be ahead of them by more than chance to be followed.
    fn kept_in_a_toss_up(
        &self,
        weighed: &[Weighed],
        best: usize,
        least: u32,
        yesterday: Option<&Yesterday>,
        fixed: &Schedule,
    ) -> Option<usize> {
        let standing = match yesterday {
            Some(yesterday) => yesterday.openings(&self.laid.jobs),
            None => change::openings_of(fixed, &self.laid.jobs),
        };
        let due = self.due_today(&standing);
        let kept = weighed.iter().position(|w| w.first.openings == due && w.exposure == least)?;
        let (ahead, error) = paired(&weighed[best].point, &weighed[kept].point);
        (ahead < LEAD_ERRORS * error).then_some(kept)
    }

    fn candidates(&self, weighed: &[Weighed], chosen: usize, least: u32) -> Vec<Candidate> {
        weighed
            .iter()
            .map(|w| {
                let (behind, standard_error) = paired(&weighed[chosen].point, &w.point);
                Candidate {
                    starts: self.jobs_of(&w.first.openings),
                    worth: spread(&w.worth),
                    behind,
                    standard_error,
                    exposure: w.exposure,
                    guarded: w.exposure > least,
                }
            })
            .collect()
    }
}
