//! The plans that came second, which limits cost how much, and what keeps a pond in the water.

use units::Watch;

use crate::check::{Broken, check};
use crate::limits::{Limit, Limits, NoticeKind};
use crate::schedule::{Job, Take};
use crate::tables::Tables;

use super::score::{BARRED, Score};
use super::search::{self, Found, LEAVE, Scores};
use super::{Ask, Choices, Dates, DatesFault, Fit, Scratch, fault, mean_values};

/// The best plan and those behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Rivals {
    /// The best.
    pub best: Dates,
    /// The best of those that begin differently: another pond goes down first, or the same at another hour. None: there is no
    /// other beginning.
    pub other_start: Option<Dates>,
    /// The best of those that differ in anything.
    pub next: Option<Dates>,
}

/// The best fixed dates, the best that begin otherwise, and the next best of all.
///
/// # Errors
/// As [`super::best_fixed`].
pub fn rivals(tables: &Tables, limits: &Limits, ask: &Ask<'_>, watch: &Watch) -> Result<Rivals, DatesFault> {
    fault(tables, limits, ask.members)?;
    let choices = Choices::new(limits, &tables.parts, tables.rows());
    let mut scratch = Scratch::default();
    let mut values = Vec::new();
    mean_values(tables, ask, &mut values);
    choices.score_all(&values, &mut scratch);
    let Scratch { memory, scores, left, .. } = &mut scratch;
    let mut fit = Fit::new(&choices, tables, ask.members, memory);
    let best = search::search(&Scores { of: scores, left }, &mut fit, &ask.effort(None), watch);
    let mut field = Field { choices: &choices, scores, left, fit, ask, watch };
    let other_start = field.other_start(&best);
    let next = field.next(&best);
    let dates = |found: Option<Found>| found.map(|found| choices.dates(&found));
    Ok(Rivals { best: choices.dates(&best), other_start: dates(other_start), next: dates(next) })
}

struct Field<'f, 'a> {
    choices: &'a Choices<'a>,
    scores: &'f [Vec<Score>],
    left: &'f [Score],
    fit: Fit<'a>,
    ask: &'f Ask<'f>,
    watch: &'f Watch,
}

impl Field<'_, '_> {
    /// The best among the picks that `allows` lets stand; none when a pond has no pick left.
    fn best_where(&mut self, allows: impl Fn(usize, u32) -> bool) -> Option<Found> {
        let bar = |pond: usize, pick: u32, score: Score| if allows(pond, pick) { score } else { BARRED };
        let of: Vec<Vec<Score>> = (0..self.scores.len())
            .map(|pond| {
                let scores = self.scores[pond].iter().enumerate();
                scores.map(|(pick, &score)| bar(pond, pick as u32, score)).collect()
            })
            .collect();
        let left: Vec<Score> = self.left.iter().enumerate().map(|(pond, &score)| bar(pond, LEAVE, score)).collect();
        let found = search::search(&Scores { of: &of, left: &left }, &mut self.fit, &self.ask.effort(None), self.watch);
        (found.total > BARRED / 2).then_some(found)
    }

    /// Every plan that begins otherwise either keeps the first pond from its first hour, or has another pond before it.
    fn other_start(&mut self, best: &Found) -> Option<Found> {
        let choices = self.choices;
        let begins = |pond: usize, pick: u32| {
            let starts = pick != LEAVE && choices.limits.ponds[pond].started.is_none();
            starts.then(|| (choices.of[pond][pick as usize].first_hour, pond))
        };
        let picks = best.picks.iter().enumerate();
        let first = picks.filter_map(|(pond, &pick)| begins(pond, pick)).min()?;
        let mut other = self.best_where(|pond, pick| pond != first.1 || begins(pond, pick) != Some(first));
        for earlier in (0..best.picks.len()).filter(|&pond| pond != first.1) {
            let before = |pond, pick| pond != earlier || begins(pond, pick).is_some_and(|at| at < first);
            other = better_of(other, self.best_where(before));
        }
        other
    }

    /// Every other plan agrees with the best up to some pond and differs there.
    fn next(&mut self, best: &Found) -> Option<Found> {
        let mut next = None;
        for differs in 0..best.picks.len() {
            let allows = |pond: usize, pick: u32| {
                let same = pick == best.picks[pond];
                if pond < differs { same } else { pond > differs || !same }
            };
            next = better_of(next, self.best_where(allows));
        }
        next
    }
}

fn better_of(one: Option<Found>, other: Option<Found>) -> Option<Found> {
    match (one, other) {
        (Some(one), Some(other)) => Some(if other.total > one.total { other } else { one }),
        (one, other) => one.or(other),
    }
}

/// What giving up one limit would bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Binding {
    /// The limit.
    pub limit: Limit,
    /// Ponds that could then come out besides.
    pub ponds_more: usize,
    /// What the plan would bring more (less, when ponds are saved at a cost); smallest coins.
    pub gain_coins: f64,
    /// Exposure steps fewer.
    pub exposure_less: i64,
    /// The dates without the limit.
    pub dates: Dates,
}

/// The limits that bind, dearest first: for each the dates are found again without it. What cannot be given up (the hours
/// gone by, the lead times, water already going down) is not asked about.
///
/// # Errors
/// As [`super::best_fixed`].
pub fn binding(
    tables: &Tables,
    limits: &Limits,
    best: &Dates,
    ask: &Ask<'_>,
    watch: &Watch,
) -> Result<Vec<Binding>, DatesFault> {
    let mut found = Vec::new();
    for limit in limits.named() {
        let dates = super::best_fixed(tables, &limits.without(limit), ask, watch)?;
        let gain_coins = dates.objective_coins - best.objective_coins;
        let ponds_more = best.left.len().saturating_sub(dates.left.len());
        let exposure_less = i64::from(best.exposure) - i64::from(dates.exposure);
        if ponds_more > 0 || exposure_less != 0 || gain_coins >= 1.0 / 64.0 {
            found.push(Binding { limit, ponds_more, gain_coins, exposure_less, dates });
        }
    }
    found.sort_by(|a, b| b.ponds_more.cmp(&a.ponds_more).then(b.gain_coins.total_cmp(&a.gain_coins)));
    Ok(found)
}

/// One way a pond could come out if something gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// The job.
    pub job: Job,
    /// What it would bring; smallest coins.
    pub objective_coins: f64,
    /// What it breaks beside the rest of the plan, each limit once.
    pub broken: Vec<Broken>,
}

/// Why a pond is left: the jobs that break the fewest limits beside the plan's others, the best of them first, at most
/// `count`. Jobs that would start in the past are among them, so that "too late" is said when it is so. Of a pond with a
/// promised day only that day is asked about: that it was promised is no news to whoever promised it.
pub fn why_left(
    pond: usize,
    dates: &Dates,
    tables: &Tables,
    limits: &Limits,
    ask: &Ask<'_>,
    count: usize,
) -> Vec<Reason> {
    let mut values = Vec::new();
    mean_values(tables, ask, &mut values);
    let value = |row: usize, day: usize| values[row * limits.days + day];
    let mut reasons: Vec<Reason> = Vec::new();
    for way in 0..limits.ponds[pond].ways.len() {
        let promised = limits.ponds[pond].locked.map(|locked| locked.day).filter(|&day| day < limits.days);
        for day in (0..limits.days).filter(|&day| promised.is_none_or(|promised| promised == day)) {
            let Some(job) = whole_day_job(pond, way, day, limits) else { continue };
            let mut schedule = dates.schedule.clone();
            schedule.jobs[pond] = Some(job);
            let mut broken = check(&schedule, tables, limits, ask.members);
            broken.retain(|broken| broken.limit != Limit::Left);
            broken.sort_by_key(|broken| broken.limit);
            broken.dedup_by_key(|broken| broken.limit);
            let objective_coins = value(pond, day) - limits.ponds[pond].ways[way].cost_coins;
            reasons.push(Reason { job, objective_coins, broken });
        }
    }
    reasons.sort_by(|a, b| a.broken.len().cmp(&b.broken.len()).then(b.objective_coins.total_cmp(&a.objective_coins)));
    let fewest = reasons.first().map_or(0, |reason| reason.broken.len());
    reasons.retain(|reason| reason.broken.len() == fewest);
    reasons.truncate(count);
    reasons
}

fn whole_day_job(pond: usize, way_index: usize, day: usize, limits: &Limits) -> Option<Job> {
    let its = &limits.ponds[pond];
    let way = its.ways.get(way_index)?;
    let first_light = limits.first_light_hour(day);
    let by = first_light - way.lead_hours;
    let start_hour = match its.started {
        Some(started) => started.start_hour,
        None => limits.latest_start(by).unwrap_or(by),
    };
    let end_hour = first_light + its.catch_hours.ceil() as i32;
    Some(Job { pond, way: way_index, take: Take::Whole { day }, start_hour, end_hour })
}

impl Limits {
    /// The limits in force that could be given up, each once.
    pub fn named(&self) -> Vec<Limit> {
        let mut named = Vec::new();
        let mut add = |limit, is_in_force: bool| {
            if is_in_force && !named.contains(&limit) {
                named.push(limit);
            }
        };
        add(Limit::Guard, self.ponds.iter().any(|pond| pond.exposure.iter().any(|&exposure| exposure > 0)));
        add(Limit::StartHour, self.start_hours.contains(&false));
        (0..self.gear.len()).for_each(|gear| add(Limit::Gear(gear), true));
        add(Limit::Fuel, self.fuel.is_some());
        add(Limit::Daylight, !self.daylight_hours.is_empty());
        add(Limit::Workday, self.workday.contains(&false));
        add(Limit::CatchesPerDay, self.catches_per_day.is_some());
        self.day_limits.iter().for_each(|limit| add(Limit::Day(limit.kind), true));
        self.stores.iter().for_each(|store| add(Limit::Store(store.kind), true));
        (0..self.orders.len()).for_each(|order| add(Limit::Order(order), true));
        self.notices.iter().for_each(|notice| add(Limit::Notice(notice.kind), true));
        add(Limit::Bank, self.bank_chance_least > 0.0);
        add(Limit::Receiving, self.receiving_chance_least > 0.0);
        add(Limit::Locked, self.ponds.iter().any(|pond| pond.locked.is_some()));
        add(Limit::Closed, self.ponds.iter().any(|pond| pond.closed.contains(&true)));
        named
    }

    /// The same limits with one of them given up. Those that cannot be given up are left as they are.
    pub fn without(&self, limit: Limit) -> Limits {
        let mut limits = self.clone();
        match limit {
            Limit::LeadTime | Limit::Started | Limit::NotOffered | Limit::Left => {}
            Limit::StartHour => limits.start_hours.clear(),
            Limit::Gear(gear) => {
                let gear = &mut limits.gear[gear];
                (gear.amount, gear.from_hour) = (f64::INFINITY, i32::MIN);
                gear.away.clear();
            }
            Limit::Fuel => limits.fuel = None,
            Limit::Daylight => limits.daylight_hours.clear(),
            Limit::Workday => limits.workday.clear(),
            Limit::CatchesPerDay => limits.catches_per_day = None,
            Limit::Day(kind) => limits.day_limits.retain(|limit| limit.kind != kind),
            Limit::Store(kind) => limits.stores.retain(|store| store.kind != kind),
            Limit::Order(order) => limits.orders[order].ceiling_lb = f64::INFINITY,
            Limit::Notice(NoticeKind::Gear) => limits.notices.retain(|notice| notice.kind != NoticeKind::Gear),
            Limit::Notice(kind) => limits.notices.retain(|notice| notice.kind != kind),
            Limit::Bank => limits.bank_chance_least = 0.0,
            Limit::Receiving => limits.receiving_chance_least = 0.0,
            Limit::Locked => limits.ponds.iter_mut().for_each(|pond| pond.locked = None),
            Limit::Closed => limits.ponds.iter_mut().for_each(|pond| pond.closed.clear()),
            Limit::Guard => limits.ponds.iter_mut().for_each(|pond| pond.exposure.clear()),
        }
        limits
    }
}
