//! From the weighed moves to everything a person is told.

use units::Watch;

use crate::ceiling::ceiling;
use crate::check::check;
use crate::dates::{Ask, Choices, Scratch};
use crate::decision::{Candidate, Decision, GuardReport, PondPlan, RunnerUp, Spread};
use crate::guard::mark_chance;
use crate::hours::pond_hours;
use crate::limits::Started;
use crate::recourse::{Valued, Waiting, best_line, follow};
use crate::schedule::{Job, Schedule, Take};
use crate::spread::{mean, paired, spread, standard_error};

use super::{Learn, Morning, Weighed, Yesterday};

/// What a step of exposure weighs against days in planned dates: more than any season has.
const DAYS_PER_STEP: f64 = 1e6;

/// The searches beside the main one get this part of its looks: they begin with its dates, or only mend them.
const ASIDE: u64 = 16;

pub(super) struct Report<'a> {
    pub morning: &'a Morning<'a>,
    pub waiting: &'a Waiting<'a>,
    pub valued: &'a Valued,
    pub weighed: &'a [Weighed],
    pub chosen: usize,
}

impl Report<'_> {
    /// The openings that each member takes under the rule after the chosen move.
    pub fn taken(&self) -> Vec<Vec<usize>> {
        follow(self.waiting, &self.morning.laid.lattice, self.valued, &self.weighed[self.chosen].first)
    }

    pub fn decision(
        &self,
        fresh: Schedule,
        fixed: &Schedule,
        learn: Learn,
        yesterday: Option<&Yesterday>,
        candidates: Vec<Candidate>,
        beyond: Vec<usize>,
        watch: &Watch,
    ) -> Decision {
        let morning = self.morning;
        let chosen = &self.weighed[self.chosen];
        let taken = self.taken();
        let then = yesterday.and_then(|yesterday| self.still_possible(yesterday, &fresh));
        let kept = then.as_ref().is_some_and(|then| *then != fresh && self.is_toss_up(&fresh, then));
        let plan = if kept { then.clone().expect("it was kept") } else { fresh.clone() };
        let brief = morning.settings.brief;
        let worth = self.worth(&taken);
        Decision {
            today: morning.jobs_of(&chosen.first.openings),
            ponds: (0..morning.tables.ponds).map(|pond| self.pond(pond, &plan, &taken)).collect(),
            optimism: mean(&chosen.first.own) - mean(&chosen.first.worth),
            fixed: self.fixed(fixed, brief, watch),
            fixed_dates: fixed.clone(),
            fixed_proved: false,
            fixed_beyond: None,
            ceiling: if brief { Spread::default() } else { self.ceiling() },
            runner_up: self.runner_up(),
            guard: self.guard(learn, beyond, &fresh, watch),
            flips: match brief {
                true => Vec::new(),
                false => morning.flips(self.valued, self.weighed, self.chosen, self.least()),
            },
            changed: yesterday.map(|yesterday| morning.changed(yesterday, &plan, then.as_ref(), kept)),
            expected_signals: self.expected_signals(),
            stranded: morning.laid.stranded.clone(),
            positions: (morning.laid.lattice.size(), morning.laid.board.window),
            worth,
            candidates,
        }
    }

    fn least(&self) -> u32 {
        self.weighed.iter().map(|w| w.exposure).min().unwrap_or(0)
    }

    /// Worth of the rule in each member, risk weight apart.
    fn worth(&self, taken: &[Vec<usize>]) -> Spread {
        let morning = self.morning;
        if morning.settings.risk_weight == 0.0 {
            return spread(&self.weighed[self.chosen].worth);
        }
        let plain = super::opening_worth(morning.tables, morning.limits, &morning.laid, 0.0);
        let base = super::given_worth(morning.tables, morning.limits, &morning.laid, 0.0);
        let m = base.len();
        let of = |member: usize| base[member] + taken[member].iter().map(|&o| plain[o * m + member]).sum::<f64>();
        spread(&(0..m).map(of).collect::<Vec<_>>())
    }

    /// Dates for all ponds that can be followed together, as near as can be to the days on which the rule catches them.
    pub fn planned(&self, taken: &[Vec<usize>], watch: &Watch) -> Schedule {
        let morning = self.morning;
        let laid = &morning.laid;
        let chosen = &self.weighed[self.chosen].first;
        let mut value = vec![0.0; laid.board.openings.len()];
        let days = self.caught(taken);
        for (o, opening) in laid.board.openings.iter().enumerate() {
            let away = |&day: &usize| day.abs_diff(opening.catch_day) as f64;
            let mean_away = days[opening.pond].iter().map(away).sum::<f64>() / taken.len() as f64;
            value[o] = -mean_away - DAYS_PER_STEP * f64::from(morning.exposure[o]);
        }
        let mut openings = chosen.openings.clone();
        if laid.lattice.layers.len() > 1 {
            openings.extend(best_line(&laid.lattice, &value, 1, chosen.then));
        }
        let schedule = morning.schedule_of(&openings);
        // A day's amounts are reckoned pond by pond on the board; where that was too kind the exact search decides, and where
        // it would drop what is started today, the dates that can be added to it one by one.
        if self.holds(&schedule) {
            return schedule;
        }
        let today = morning.jobs_of(&chosen.openings);
        let exact = self.exact_after_today(&today, watch);
        if today.iter().chain(&morning.laid.given).all(|job| exact.jobs[job.pond].as_ref() == Some(job)) {
            return exact;
        }
        let mut grown = morning.schedule_of(&chosen.openings);
        for job in schedule.jobs.iter().flatten() {
            let mut longer = grown.clone();
            longer.jobs[job.pond] = Some(*job);
            if self.holds(&longer) {
                grown = longer;
            }
        }
        grown
    }

    /// Whether a schedule keeps every limit, ponds that are not taken apart.
    fn holds(&self, schedule: &Schedule) -> bool {
        let members: Vec<usize> = (0..self.morning.tables.members()).collect();
        check(schedule, self.morning.tables, self.morning.limits, &members).iter().all(is_left)
    }

    /// The best fixed dates once today's starts are made and nothing else is started before tomorrow.
    fn exact_after_today(&self, today: &[Job], watch: &Watch) -> Schedule {
        let morning = self.morning;
        let mut limits = morning.limits.clone();
        for (pond, its) in limits.ponds.iter_mut().enumerate() {
            // Days that only a start before tomorrow could bring about are closed to ponds that are not started today.
            let later = |day: usize| {
                let mut openings = morning.laid.board.openings.iter().zip(&morning.laid.jobs);
                openings.any(|(o, job)| o.pond == pond && o.morning > 0 && job.is_some_and(|job| catches_on(&job, day)))
            };
            its.closed = (0..limits.days).map(|day| !later(day)).collect();
        }
        for job in today.iter().chain(&morning.laid.given) {
            let its = &mut limits.ponds[job.pond];
            its.started = Some(Started { start_hour: job.start_hour, way: job.way });
            its.closed = (0..limits.days).map(|day| !catches_on(job, day)).collect();
        }
        let members: Vec<usize> = (0..morning.tables.members()).collect();
        let looks_most = morning.settings.looks_most / ASIDE;
        let ask = Ask { looks_most, ..Ask::exact(&members, morning.settings.risk_weight) };
        let choices = Choices::new(&limits, &morning.tables.parts, morning.tables.rows());
        choices.best_fixed(morning.tables, &ask, &mut Scratch::default(), watch).schedule
    }

    /// For each pond, its catch day in each member; past the end where it is given up.
    fn caught(&self, taken: &[Vec<usize>]) -> Vec<Vec<usize>> {
        let past_the_end = self.morning.tables.days();
        let mut days = vec![vec![past_the_end; taken.len()]; self.morning.tables.ponds];
        for (member, openings) in taken.iter().enumerate() {
            for &o in openings {
                let opening = &self.morning.laid.board.openings[o];
                days[opening.pond][member] = opening.catch_day;
            }
        }
        days
    }

    /// Yesterday's plan in today's days, when it can still be followed from today's move and leaves no more exposure.
    fn still_possible(&self, yesterday: &Yesterday, fresh: &Schedule) -> Option<Schedule> {
        let morning = self.morning;
        let laid = &morning.laid;
        let openings: Vec<usize> = yesterday.openings(&laid.jobs).into_iter().flatten().collect();
        let mut today: Vec<usize> = openings.iter().copied().filter(|&o| laid.board.openings[o].morning == 0).collect();
        today.sort_unstable();
        let schedule = morning.schedule_of(&openings);
        let out = |schedule: &Schedule| schedule.jobs.iter().flatten().count();
        if today != self.weighed[self.chosen].first.openings || out(&schedule) < out(fresh) {
            return None;
        }
        let exposure = |schedule: &Schedule| -> u32 {
            let of = |job: &Job| laid.jobs.iter().position(|known| known.as_ref() == Some(job));
            schedule.jobs.iter().flatten().filter_map(of).map(|o| morning.exposure[o]).sum()
        };
        (self.holds(&schedule) && exposure(&schedule) <= exposure(fresh)).then_some(schedule)
    }

    fn is_toss_up(&self, fresh: &Schedule, then: &Schedule) -> bool {
        let (tables, limits) = (self.morning.tables, self.morning.limits);
        let worth = |schedule: &Schedule| -> Vec<f64> {
            (0..tables.members()).map(|member| schedule.worth_of(tables, limits, member)).collect()
        };
        let (ahead, error) = paired(&worth(fresh), &worth(then));
        ahead < error
    }

    fn pond(&self, pond: usize, plan: &Schedule, taken: &[Vec<usize>]) -> PondPlan {
        let morning = self.morning;
        let (tables, days) = (morning.tables, morning.tables.days());
        let planned = plan.jobs[pond];
        let mut catch_share = vec![0.0; days];
        let one = 1.0 / taken.len() as f64;
        for &day in &self.caught(taken)[pond] {
            if let Some(share) = catch_share.get_mut(day) {
                *share += one;
            }
        }
        if let Some(job) = morning.laid.given.iter().find(|job| job.pond == pond) {
            catch_share[job.take.last_day()] = 1.0;
        }
        let lost = |day: usize| {
            let losses = tables.loss_fraction.of(pond, day);
            losses.iter().filter(|&&loss| loss >= morning.settings.loss_share).count() as f64 / losses.len() as f64
        };
        let mark = mark_chance(tables, pond);
        let chance = morning.settings.guard_chance.unwrap_or(0.1);
        let hours = pond_hours(morning.limits, morning.choices, pond, planned.as_ref(), &mark, chance);
        PondPlan {
            pond,
            planned,
            catch_share,
            loss_chance: (0..days).map(lost).collect(),
            mark_chance: planned.map_or(0.0, |job| mark[job.take.first_low_day()]),
            hours,
        }
    }

    /// The floor: dates fixed today, each member valued by dates that it had no part in choosing.
    fn fixed(&self, all: &Schedule, brief: bool, watch: &Watch) -> Spread {
        let morning = self.morning;
        let (tables, limits) = (morning.tables, morning.limits);
        let n_folds = morning.settings.fit.folds.max(1) as u32;
        let mut worth = vec![0.0; tables.members()];
        let mut scratch = Scratch::default();
        for k in 0..n_folds {
            let rest: Vec<usize> = (0..worth.len()).filter(|&member| morning.fold[member] != k).collect();
            let dates = if brief || n_folds == 1 || rest.is_empty() {
                all.clone()
            } else {
                let looks_most = morning.settings.looks_most / ASIDE;
                let ask = Ask { looks_most, start: Some(all), ..Ask::exact(&rest, morning.settings.risk_weight) };
                morning.choices.best_fixed(tables, &ask, &mut scratch, watch).schedule
            };
            for member in (0..worth.len()).filter(|&member| morning.fold[member] == k || n_folds == 1) {
                worth[member] = dates.worth_of(tables, limits, member);
            }
        }
        spread(&worth)
    }

    fn ceiling(&self) -> Spread {
        let lattice = &self.morning.laid.lattice;
        let worth: Vec<f64> = ceiling(self.waiting, lattice, self.valued)
            .iter()
            .zip(&self.morning.base)
            .map(|(worth, base)| worth + base)
            .collect();
        spread(&worth)
    }

    fn runner_up(&self) -> Option<RunnerUp> {
        let other =
            (0..self.weighed.len()).find(|&at| at != self.chosen && self.weighed[at].exposure == self.least())?;
        let (difference, standard_error) = paired(&self.weighed[self.chosen].point, &self.weighed[other].point);
        Some(RunnerUp {
            starts: self.morning.jobs_of(&self.weighed[other].first.openings),
            difference,
            standard_error,
            toss_up: difference < standard_error,
        })
    }

    fn guard(&self, learn: Learn, beyond: Vec<usize>, fresh: &Schedule, watch: &Watch) -> GuardReport {
        let morning = self.morning;
        let chosen = &self.weighed[self.chosen];
        let mut report = GuardReport {
            binds: false,
            cost: 0.0,
            cost_standard_error: 0.0,
            today_without: morning.jobs_of(&chosen.first.openings),
            plan_without: Schedule::empty(morning.tables.ponds),
            beyond,
        };
        if morning.settings.guard_chance.is_none() || morning.settings.brief {
            return report;
        }
        // Without the guard: no forced starts later either, and no exposure counted in the planned dates.
        let waiting = Waiting { guard: None, ..*self.waiting };
        let valued = match self.waiting.guard {
            Some(_) => morning.learn(&waiting, learn),
            None => self.valued.clone(),
        };
        let weighed = morning.weigh(&valued);
        let Some(best) = weighed.first() else { return report };
        let free = Morning { exposure: vec![0; morning.exposure.len()], ..morning.clone() };
        let without = Report { morning: &free, waiting: &waiting, valued: &valued, weighed: &weighed, chosen: 0 };
        report.today_without = morning.jobs_of(&best.first.openings);
        report.plan_without = without.planned(&without.taken(), watch);
        let (cost, error) = paired(&best.point, &chosen.point);
        report.binds = best.exposure > chosen.exposure || report.plan_without != *fresh;
        if best.exposure > chosen.exposure || self.waiting.guard.is_some() {
            (report.cost, report.cost_standard_error) = (cost.max(0.0), error);
        }
        report
    }

    fn expected_signals(&self) -> Vec<(f64, f64)> {
        let signals = self.morning.signals;
        let day = 1.min(signals.days() - 1);
        let of = |kind: usize| {
            let values = signals.of(day, kind);
            (mean(values), standard_error(values) * (values.len() as f64).sqrt())
        };
        (0..signals.kinds().len()).map(of).collect()
    }
}

fn catches_on(job: &Job, day: usize) -> bool {
    match job.take {
        Take::Whole { day: on } => on == day,
        Take::TwoDays { first_day, .. } => day == first_day || day == first_day + 1,
        Take::LargeFirst { seine_day, day: last } => day == seine_day || day == last,
    }
}

fn is_left(broken: &crate::check::Broken) -> bool {
    broken.limit == crate::limits::Limit::Left
}
