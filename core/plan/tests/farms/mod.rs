//! Made-up farms, and the best dates found by trying every combination: shared by the tests and the long count.
#![allow(missing_docs, dead_code)]

use chance::{Purpose, Stream};
use plan::*;

/// A small farm with any mix of limits. Every figure is a multiple of a power of two, so that sums are exact and equals are
/// equal.
pub struct Farm {
    pub tables: Tables,
    pub limits: Limits,
    pub members: Vec<usize>,
    pub risk_weight: f64,
}

struct Dice(Stream);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0.below(n)
    }
    fn is(&mut self, percent: usize) -> bool {
        self.0.below(100) < percent
    }
    fn between(&mut self, from: usize, to: usize) -> usize {
        from + self.0.below(to - from + 1)
    }
}

/// Farm number `number`: 1 to 5 ponds, up to 15 days.
pub fn farm(number: u32) -> Farm {
    let mut dice = Dice(Stream::new(20_26, number, Purpose(7)));
    let ponds = dice.between(1, 5);
    // Fewer days and takings where there are many ponds, so that everything can be tried.
    let days = dice.between(4, [15, 15, 15, 12, 9][ponds - 1]);
    let members = [1, 2, 4, 8][dice.below(4)];
    let may_part = ponds <= 3 && dice.is(50);
    let parts: Vec<Option<PartRows>> = (0..ponds)
        .map(|pond| (may_part && pond < 2).then_some(PartRows { large: ponds + 2 * pond, rest: ponds + 2 * pond + 1 }))
        .collect();
    let rows = ponds + 2 * parts.iter().flatten().count();
    let tables = tables(&mut dice, ponds, rows, days, members, parts);
    let mut pond_limits = Vec::new();
    let gears = dice.below(3);
    for pond in 0..ponds {
        pond_limits.push(pond_with(&mut dice, &tables, pond, ponds, days, gears));
    }
    let mut limits = Limits::open(days, pond_limits);
    fill(&mut dice, &mut limits, gears);
    let risk_weight = [0.0, 0.0, 0.5, 1.0][dice.below(4)];
    Farm { tables, limits, members: (0..members).collect(), risk_weight }
}

fn tables(
    dice: &mut Dice,
    ponds: usize,
    rows: usize,
    days: usize,
    members: usize,
    parts: Vec<Option<PartRows>>,
) -> Tables {
    // Few distinct values make for many equals.
    let coarse = dice.is(30);
    let mut peak = Vec::new();
    for _ in 0..rows {
        peak.push(dice.below(days));
    }
    let mut worth = Grid::filled(rows, days, members, 0.0);
    let mut cold = Grid::filled(rows, days, members, 0.0);
    for row in 0..rows {
        for day in 0..days {
            for member in 0..members {
                let far = day.abs_diff(peak[row]);
                let value = if coarse { 4 * dice.below(3) } else { 1000 - 60 * far.min(12) + dice.below(200) };
                worth.of_mut(row, day)[member] = value as f64 - if dice.is(5) { 900.0 } else { 0.0 };
                cold.of_mut(row, day)[member] = if dice.is(40) { dice.below(300) as f64 } else { 0.0 };
            }
        }
    }
    let by = if dice.is(30) { 1 } else { members };
    let mut pounds = || Grid::from_fn(rows, days, by, |_, _, _| (dice.below(5) * 50) as f64);
    let pounds_lb = [pounds(), pounds(), pounds()];
    let extra = dice.is(30).then(|| Grid::from_fn(rows, days, members, |_, _, _| dice.below(8) as f64));
    Tables {
        ponds,
        parts,
        loss_fraction: Grid::filled(rows, days, members, 0.0),
        crossing: Grid::filled(ponds, days, members, false),
        worth,
        cold_loss: cold,
        pounds_lb,
        extra_hand_hours: extra,
    }
}

fn pond_with(dice: &mut Dice, tables: &Tables, pond: usize, ponds: usize, days: usize, gears: usize) -> PondLimits {
    let ways = if ponds <= 3 { dice.between(1, 3) } else { dice.between(1, 2) };
    let ways = (0..ways)
        .map(|_| Way {
            lead_hours: dice.below(50) as i32,
            gear: (0..gears).filter_map(|gear| dice.is(60).then_some((gear, dice.between(1, 2) as f64))).collect(),
            fuel_per_hour: dice.below(3) as f64,
            cost_coins: (dice.below(3) * 16) as f64,
        })
        .collect();
    let mut by_day = |percent: usize, n: usize| -> Vec<usize> {
        if dice.is(percent) { (0..days).map(|_| dice.below(n)).collect() } else { Vec::new() }
    };
    let closed = by_day(20, 6).into_iter().map(|draw| draw == 0).collect();
    let exposure = by_day(20, 4).into_iter().map(|draw| (draw * 100) as u16).collect();
    let bank_chance = by_day(15, 9).into_iter().map(|draw| draw as f64 / 8.0).collect();
    let receiving_chance = by_day(15, 17).into_iter().map(|draw| draw as f64 / 16.0).collect();
    let locked = dice.is(5).then(|| Locked { day: dice.below(days), way: dice.is(30).then_some(0) });
    let started = dice.is(5).then(|| Started { start_hour: dice.below(48) as i32 - 40, way: 0 });
    let shares: &[f64] = if ponds <= 3 { &[0.5, 0.25] } else { &[0.5] };
    PondLimits {
        announced: Vec::new(),
        ways,
        catch_hours: dice.between(1, 6) as f64 / 2.0 + 1.0,
        closed,
        exposure,
        bank_chance,
        receiving_chance,
        locked,
        started,
        first_day_shares: if dice.is(35) { shares.to_vec() } else { Vec::new() },
        seining: tables.parts[pond].map(|_| Seining {
            gap_days_least: dice.between(1, 2),
            gap_days_most: dice.between(2, 4),
            catch_hours: dice.between(1, 3) as f64,
        }),
        left_coins: dice.is(15).then(|| (dice.below(5) * 200) as f64),
    }
}

fn fill(dice: &mut Dice, limits: &mut Limits, gears: usize) {
    let days = limits.days;
    limits.now_hour = dice.below(30) as i32 - 20;
    limits.first_light = (0..days).map(|_| dice.between(5, 7) as i32).collect();
    limits.gear = (0..gears)
        .map(|_| Gear {
            amount: dice.between(1, 3) as f64,
            from_hour: if dice.is(15) { dice.below(72) as i32 } else { i32::MIN },
            away: if dice.is(8) { vec![(24 * dice.below(days) as i32, 24 * days as i32)] } else { Vec::new() },
        })
        .collect();
    if dice.is(30) {
        limits.daylight_hours = (0..days).map(|_| dice.between(3, 10) as f64).collect();
    }
    if dice.is(40) {
        limits.workday = (0..days).map(|_| dice.is(80)).collect();
    }
    if dice.is(40) {
        limits.start_hours = (0..24).map(|hour| (6..20).contains(&hour)).collect();
    }
    limits.fuel =
        dice.is(30).then(|| Fuel { in_store: (dice.between(2, 9) * 20) as f64, per_day: dice.below(3) as f64 * 8.0 });
    limits.catches_per_day = dice.is(40).then(|| dice.between(1, 2) as u32);
    limits.keep = [0.5, 0.8, 0.9, 1.0][dice.below(4)];
    for kind in [DayKind::Pounds, DayKind::Heading, DayKind::Hands, DayKind::Baskets, DayKind::Ice, DayKind::Buyers] {
        if dice.is(20) {
            limits.day_limits.push(DayLimit {
                kind,
                per_lb: streams(dice),
                per_catch: dice.below(3) as f64 * 8.0,
                takes_extra_hours: kind == DayKind::Hands,
                amount: (0..days).map(|_| (dice.between(2, 12) * 100) as f64).collect(),
            });
        }
    }
    for kind in [StoreKind::ColdStore, StoreKind::LiveTanks] {
        if dice.is(20) {
            limits.stores.push(Store {
                kind,
                per_lb: streams(dice),
                at_start_lb: (dice.below(4) * 50) as f64,
                room_lb: (0..days).map(|_| if dice.is(95) { dice.between(5, 15) * 60 } else { 0 } as f64).collect(),
                offtake_lb: (0..days).map(|_| (dice.below(5) * 40) as f64).collect(),
            });
        }
    }
    while dice.is(20) {
        let from_day = dice.below(days);
        let to_day = dice.between(from_day, days - 1);
        limits.orders.push(Order {
            per_lb: streams(dice),
            from_day,
            to_day,
            ceiling_lb: (dice.between(2, 12) * 100) as f64,
        });
    }
    for kind in [NoticeKind::Ice, NoticeKind::Crew, NoticeKind::Buyers, NoticeKind::Gear] {
        if dice.is(8) {
            limits.notices.push(Notice { kind, hours: dice.below(72) as i32, gear: (gears > 0).then_some(0) });
        }
    }
    limits.bank_chance_least = 0.25;
    limits.receiving_chance_least = 0.125;
}

fn streams(dice: &mut Dice) -> [f64; STREAMS] {
    [dice.below(2) as f64, dice.below(3) as f64 / 2.0, dice.below(2) as f64]
}

/// What is compared, the more important first; smaller is better.
pub type Key = (usize, u32, f64, usize, usize, usize);

/// What a schedule is worth and its place among equals.
pub fn key(farm: &Farm, schedule: &Schedule) -> Key {
    let parts = schedule.jobs.iter().enumerate().map(|(pond, job)| part(farm, pond, job.as_ref()));
    parts.fold((0, 0, 0.0, 0, 0, 0), sum)
}

fn sum(a: Key, b: Key) -> Key {
    (a.0 + b.0, a.1 + b.1, a.2 + b.2, a.3 + b.3, a.4 + b.4, a.5 + b.5)
}

/// One pond's part of the key, worked out from the tables alone.
fn part(farm: &Farm, pond: usize, job: Option<&Job>) -> Key {
    let (ponds, its) = (farm.limits.ponds.len(), &farm.limits.ponds[pond]);
    let Some(job) = job else {
        return match its.left_coins {
            None => (1, 0, 0.0, 0, 0, 0),
            Some(coins) => (0, 0, -coins, farm.limits.days, farm.limits.days * (ponds - pond), 15),
        };
    };
    let (first, second) = job.catches(&farm.limits, &farm.tables).expect("the pond is offered this");
    let kind = match job.take {
        Take::Whole { .. } => 0,
        Take::TwoDays { .. } => 1,
        Take::LargeFirst { .. } => 2,
    };
    let of = |member: usize, catch: &Catch| {
        let loss = farm.tables.cold_loss.at(catch.row, catch.day, member);
        catch.share * (farm.tables.worth.at(catch.row, catch.day, member) - farm.risk_weight * loss)
    };
    let total = |&member: &usize| of(member, &first) + second.map_or(0.0, |second| of(member, &second));
    let mean = farm.members.iter().map(total).sum::<f64>() / farm.members.len() as f64;
    let exposure = its.exposure.get(job.take.first_low_day()).or(its.exposure.last()).copied().unwrap_or(0);
    let day = job.take.last_day();
    (0, u32::from(exposure), its.ways[job.way].cost_coins - mean, day, day * (ponds - pond), 4 * kind + job.way.min(3))
}

/// Every job of a pond that is allowed were it alone; with `all_starts`, at every hour and not only at the latest.
fn jobs(farm: &Farm, pond: usize, all_starts: bool) -> Vec<Job> {
    let (limits, its) = (&farm.limits, &farm.limits.ponds[pond]);
    let mut takes: Vec<Take> = (0..limits.days).map(|day| Take::Whole { day }).collect();
    for &first_share in &its.first_day_shares {
        takes.extend((0..limits.days).map(|first_day| Take::TwoDays { first_day, first_share }));
    }
    for seine_day in 0..limits.days {
        takes.extend((seine_day..limits.days).map(|day| Take::LargeFirst { seine_day, day }));
    }
    let mut found = Vec::new();
    for take in takes {
        for (way, of_way) in its.ways.iter().enumerate() {
            let hours =
                its.catch_hours * if let Take::TwoDays { first_share, .. } = take { 1.0 - first_share } else { 1.0 };
            let end_hour = limits.first_light_hour(take.last_day()) + hours.ceil() as i32;
            let mut start_hour = limits.first_light_hour(take.first_low_day()) - of_way.lead_hours;
            if let Some(started) = its.started {
                start_hour = started.start_hour;
            }
            // From the latest hour back; the first that is allowed is the latest.
            for start_hour in (start_hour - 200..=start_hour).rev() {
                let mut schedule = Schedule::empty(limits.ponds.len());
                let job = Job { pond, way, take, start_hour, end_hour };
                schedule.jobs[pond] = Some(job);
                let broken = check(&schedule, &farm.tables, limits, &farm.members);
                if broken.iter().all(|broken| broken.limit == Limit::Left) {
                    found.push(job);
                    if !all_starts {
                        break;
                    }
                }
                let mends_earlier = |broken: &Broken| matches!(broken.limit, Limit::StartHour | Limit::Left);
                if its.started.is_some()
                    || (!all_starts && !broken.iter().all(mends_earlier))
                    || start_hour < limits.now_hour
                {
                    break;
                }
            }
        }
    }
    found
}

/// The best schedule of all there are, by trying each. Pairs that break a limit together are tried no further.
pub fn best_by_trying(farm: &Farm, all_starts: bool) -> (Key, Schedule, u64) {
    let (best, tried) = best_among(farm, all_starts, &|_| true);
    let (key, schedule) = best.expect("leaving every pond is a schedule");
    (key, schedule, tried)
}

/// The same among the schedules that `counts` lets count; none when there is none. Also how many were tried.
pub fn best_among(farm: &Farm, all_starts: bool, counts: &dyn Fn(&Schedule) -> bool) -> (Option<(Key, Schedule)>, u64) {
    let ponds = farm.limits.ponds.len();
    let jobs: Vec<Vec<Job>> = (0..ponds).map(|pond| jobs(farm, pond, all_starts)).collect();
    let mut clash = vec![Vec::new(); ponds];
    for (pond, list) in jobs.iter().enumerate() {
        for job in list {
            let mut against = Vec::new();
            for other in jobs.iter().take(pond).flatten() {
                let mut schedule = Schedule::empty(ponds);
                (schedule.jobs[pond], schedule.jobs[other.pond]) = (Some(*job), Some(*other));
                let broken = check(&schedule, &farm.tables, &farm.limits, &farm.members);
                against.push(broken.iter().any(|broken| broken.limit != Limit::Left));
            }
            clash[pond].push(against);
        }
    }
    let mut from = vec![0; ponds];
    for pond in 1..ponds {
        from[pond] = from[pond - 1] + jobs[pond - 1].len();
    }
    let keys = jobs.iter().enumerate();
    let keys = keys.map(|(pond, list)| list.iter().map(Some).chain([None]).map(|job| part(farm, pond, job)).collect());
    let keys = keys.collect();
    let mut trial = Trial { farm, jobs: &jobs, clash: &clash, from: &from, keys, best: None, counts, tried: 0 };
    trial.go(0, &mut Vec::new(), (0, 0, 0.0, 0, 0, 0));
    (trial.best, trial.tried)
}

struct Trial<'f> {
    farm: &'f Farm,
    jobs: &'f [Vec<Job>],
    clash: &'f [Vec<Vec<bool>>],
    from: &'f [usize],
    keys: Vec<Vec<Key>>,
    best: Option<(Key, Schedule)>,
    counts: &'f dyn Fn(&Schedule) -> bool,
    tried: u64,
}

impl Trial<'_> {
    fn go(&mut self, pond: usize, picks: &mut Vec<usize>, so_far: Key) {
        if pond == self.jobs.len() {
            self.tried += 1;
            if self.best.as_ref().is_some_and(|best| so_far >= best.0) {
                return;
            }
            let jobs = picks.iter().enumerate().map(|(pond, &pick)| self.jobs[pond].get(pick).copied()).collect();
            let schedule = Schedule { jobs };
            let broken = check(&schedule, &self.farm.tables, &self.farm.limits, &self.farm.members);
            if broken.iter().all(|broken| broken.limit == Limit::Left) && (self.counts)(&schedule) {
                self.best = Some((so_far, schedule));
            }
            return;
        }
        for pick in 0..=self.jobs[pond].len() {
            let clashes = |(other, &picked): (usize, &usize)| {
                pick < self.jobs[pond].len()
                    && picked < self.jobs[other].len()
                    && self.clash[pond][pick][self.from[other] + picked]
            };
            if picks.iter().enumerate().any(clashes) {
                continue;
            }
            let with = sum(so_far, self.keys[pond][pick]);
            picks.push(pick);
            self.go(pond + 1, picks, with);
            picks.pop();
        }
    }
}

/// How hard a farm was.
pub struct Count {
    /// Combinations tried.
    pub tried: u64,
    /// Whether ponds got in each other's way.
    pub searched: bool,
    /// Whether a pond had to be left.
    pub left: bool,
}

/// What is wrong with the search's answer for a farm, if anything.
pub fn fault_of(farm: &Farm) -> Result<Count, String> {
    let ask = Ask::exact(&farm.members, farm.risk_weight);
    let watch = units::Watch::new();
    let found = best_fixed(&farm.tables, &farm.limits, &ask, &watch).map_err(|fault| format!("{fault:?}"))?;
    let (expected, by_trying, tried) = best_by_trying(farm, false);
    let got = key(farm, &found.schedule);
    let broken = check(&found.schedule, &farm.tables, &farm.limits, &farm.members);
    if let Some(broken) = broken.iter().find(|broken| broken.limit != Limit::Left) {
        return Err(format!("breaks {broken:?}"));
    }
    if !found.proved || got != expected {
        return Err(format!(
            "proved {}: {got:?} of {:?}, by trying {expected:?} of {by_trying:?}",
            found.proved, found.schedule
        ));
    }
    if found.objective_coins != -expected.2 || found.left.len() != expected.0 || found.exposure != expected.1 {
        return Err(format!("says {} {:?} {}, is {expected:?}", found.objective_coins, found.left, found.exposure));
    }
    Ok(Count { tried, searched: found.nodes > 1, left: !found.left.is_empty() })
}
