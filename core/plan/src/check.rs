//! The one truth of what is allowed: every limit that a schedule breaks, with what is needed and what there is.
//!
//! Written limit by limit, straight from the meaning given in [`Limits`], with no regard to speed: the search has its own
//! quicker form, and tests hold the two together.

use crate::limits::{Limit, Limits, NoticeKind, PondLimits, Way, members_to_keep, on_day, within};
use crate::schedule::{Catch, Job, Schedule, Take};
use crate::tables::{STREAMS, Tables};

/// A limit that a schedule breaks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Broken {
    /// Which.
    pub limit: Limit,
    /// The pond, when it is one pond's own limit.
    pub pond: Option<usize>,
    /// The day.
    pub day: Option<usize>,
    /// The hour, for gear and starts.
    pub hour: Option<i32>,
    /// What the schedule needs, in the limit's unit (hours, pounds, catches ...); for amounts judged over members, what the
    /// last member that must be satisfied needs.
    pub need: f64,
    /// What there is.
    pub have: f64,
}

/// Every limit that `schedule` breaks, ponds first, then what they share; empty when it is allowed.
///
/// `members` are those over which a day's amounts are judged. Tables and limits must fit each other ([`Tables::fault`]).
pub fn check(schedule: &Schedule, tables: &Tables, limits: &Limits, members: &[usize]) -> Vec<Broken> {
    let mut found = Found { broken: Vec::new() };
    let mut catches: Vec<Catch> = Vec::new();
    let mut jobs: Vec<(Job, &Way)> = Vec::new();
    for (pond, its) in limits.ponds.iter().enumerate() {
        let Some(job) = schedule.jobs.get(pond).copied().flatten() else {
            if its.left_coins.is_none() {
                found.pond(Limit::Left, pond, None, 1.0, 0.0);
            }
            continue;
        };
        let (Some(way), Some((first, second))) = (offered(&job, limits), job.catches(limits, tables)) else {
            found.pond(Limit::NotOffered, pond, Some(job.take.last_day()), 1.0, 0.0);
            continue;
        };
        check_start(&job, way, its, limits, &mut found);
        check_days(&job, &first, second.as_ref(), its, limits, &mut found);
        catches.push(first);
        catches.extend(second);
        jobs.push((job, way));
    }
    check_gear(&jobs, limits, &mut found);
    check_fuel(&jobs, limits, &mut found);
    check_daylight(&catches, limits, &mut found);
    check_day_limits(&catches, tables, limits, members, &mut found);
    check_stores(&catches, tables, limits, members, &mut found);
    check_orders(&catches, tables, limits, members, &mut found);
    found.broken
}

struct Found {
    broken: Vec<Broken>,
}

impl Found {
    fn pond(&mut self, limit: Limit, pond: usize, day: Option<usize>, need: f64, have: f64) {
        self.broken.push(Broken { limit, pond: Some(pond), day, hour: None, need, have });
    }
    fn start(&mut self, limit: Limit, pond: usize, hour: i32, need: f64, have: f64) {
        self.broken.push(Broken { limit, pond: Some(pond), day: None, hour: Some(hour), need, have });
    }
    fn day(&mut self, limit: Limit, day: usize, need: f64, have: f64) {
        if !within(need, have) {
            self.broken.push(Broken { limit, pond: None, day: Some(day), hour: None, need, have });
        }
    }
}

/// The job's way, when the pond is offered this way and this taking.
fn offered<'a>(job: &Job, limits: &'a Limits) -> Option<&'a Way> {
    let its = limits.ponds.get(job.pond)?;
    let taking = match job.take {
        Take::Whole { day } => day < limits.days,
        Take::TwoDays { first_day, first_share } => {
            first_day + 1 < limits.days && its.first_day_shares.contains(&first_share)
        }
        Take::LargeFirst { seine_day, day } => its.seining.is_some_and(|seining| {
            let gap = day.checked_sub(seine_day);
            day < limits.days && gap.is_some_and(|gap| seining.gap_days_least <= gap && gap <= seining.gap_days_most)
        }),
    };
    let known_gear = |way: &&Way| way.gear.iter().all(|&(gear, amount)| amount <= 0.0 || gear < limits.gear.len());
    its.ways.get(job.way).filter(|_| taking).filter(known_gear)
}

fn check_start(job: &Job, way: &Way, its: &PondLimits, limits: &Limits, found: &mut Found) {
    let start = job.start_hour;
    if let Some(started) = its.started {
        if started.way != job.way || started.start_hour != start {
            found.start(Limit::Started, job.pond, start, f64::from(started.start_hour), f64::from(start));
        }
    } else {
        if start < limits.now_hour {
            found.start(Limit::LeadTime, job.pond, start, f64::from(limits.now_hour), f64::from(start));
        }
        if !limits.someone_is_there(start) {
            found.start(Limit::StartHour, job.pond, start, 1.0, 0.0);
        }
    }
    let depth_stands = start + way.lead_hours;
    let first_light = limits.first_light_hour(job.take.first_low_day());
    if depth_stands > first_light {
        found.start(Limit::LeadTime, job.pond, start, f64::from(depth_stands), f64::from(first_light));
    }
    if its.started.is_none() && its.locked.is_none() {
        for notice in limits.notices.iter().filter(|notice| notice.kind == NoticeKind::Gear) {
            let uses = way.gear.iter().any(|&(gear, amount)| Some(gear) == notice.gear && amount > 0.0);
            let earliest = limits.now_hour + notice.hours;
            if uses && start < earliest {
                found.start(Limit::Notice(notice.kind), job.pond, start, f64::from(earliest), f64::from(start));
            }
        }
    }
}

fn check_days(job: &Job, first: &Catch, second: Option<&Catch>, its: &PondLimits, limits: &Limits, found: &mut Found) {
    let pond = job.pond;
    let last = second.unwrap_or(first);
    let out_by = limits.first_light_hour(last.day) + last.catch_hours.ceil() as i32;
    if job.end_hour < out_by {
        found.pond(Limit::Daylight, pond, Some(last.day), f64::from(out_by), f64::from(job.end_hour));
    }
    for catch in [Some(first), second].into_iter().flatten() {
        let day = catch.day;
        let first_light = limits.first_light_hour(day);
        if first_light < limits.now_hour {
            found.pond(Limit::LeadTime, pond, Some(day), f64::from(limits.now_hour), f64::from(first_light));
        }
        if !on_day(&limits.workday, day, true) {
            found.pond(Limit::Workday, pond, Some(day), 1.0, 0.0);
        }
        if on_day(&its.closed, day, false) {
            found.pond(Limit::Closed, pond, Some(day), 1.0, 0.0);
        }
        let bank = on_day(&its.bank_chance, day, 1.0);
        if !within(limits.bank_chance_least, bank) {
            found.pond(Limit::Bank, pond, Some(day), limits.bank_chance_least, bank);
        }
        if !its.was_announced(day) {
            for notice in limits.notices.iter().filter(|notice| notice.kind != NoticeKind::Gear) {
                let earliest = limits.now_hour + notice.hours;
                if first_light < earliest {
                    found.pond(
                        Limit::Notice(notice.kind),
                        pond,
                        Some(day),
                        f64::from(earliest),
                        f64::from(first_light),
                    );
                }
            }
        }
    }
    // Water is let out from the start to the end; what went out before now is past.
    let flowing_from = job.start_hour.max(limits.now_hour).max(0) / 24;
    let flowing_to = (job.end_hour - 1).max(0) / 24;
    for day in flowing_from..=flowing_to {
        let free = on_day(&its.receiving_chance, day as usize, 1.0);
        if !within(limits.receiving_chance_least, free) {
            found.pond(Limit::Receiving, pond, Some(day as usize), limits.receiving_chance_least, free);
        }
    }
    if let Some(locked) = its.locked
        && (locked.day != last.day || locked.way.is_some_and(|way| way != job.way))
    {
        found.pond(Limit::Locked, pond, Some(locked.day), locked.day as f64, last.day as f64);
    }
}

fn check_gear(jobs: &[(Job, &Way)], limits: &Limits, found: &mut Found) {
    for (index, gear) in limits.gear.iter().enumerate() {
        let amount_of = |way: &Way| way.gear.iter().filter(|used| used.0 == index).map(|used| used.1).sum::<f64>();
        for (job, way) in jobs {
            let amount = amount_of(way);
            if amount <= 0.0 {
                continue;
            }
            // Use only rises where a job starts, so those hours are all that need looking at.
            let hour = job.start_hour;
            let holds = |other: &&(Job, &Way)| other.0.start_hour <= hour && hour < other.0.end_hour;
            let need: f64 = jobs.iter().filter(holds).map(|(_, way)| amount_of(way)).sum();
            if !within(need, gear.amount) {
                found.start(Limit::Gear(index), job.pond, hour, need, gear.amount);
            }
            let under_way = limits.ponds[job.pond].started.is_some();
            let is_away = gear.away.iter().any(|&(from, to)| from < job.end_hour && hour < to);
            if !under_way && (hour < gear.from_hour || is_away) {
                found.start(Limit::Gear(index), job.pond, hour, amount, 0.0);
            }
        }
    }
}

fn check_fuel(jobs: &[(Job, &Way)], limits: &Limits, found: &mut Found) {
    let Some(fuel) = limits.fuel else { return };
    for day in 0..limits.days {
        let until = 24 * (day as i32 + 1);
        let burnt: f64 = jobs
            .iter()
            .map(|(job, way)| f64::from((until.min(job.end_hour) - job.start_hour.max(0)).max(0)) * way.fuel_per_hour)
            .sum();
        found.day(Limit::Fuel, day, burnt, fuel.in_store + fuel.per_day * (day as f64 + 1.0));
    }
}

fn check_daylight(catches: &[Catch], limits: &Limits, found: &mut Found) {
    for day in 0..limits.days {
        let today = || catches.iter().filter(|catch| catch.day == day);
        let hours: f64 = today().map(|catch| catch.catch_hours).sum();
        found.day(Limit::Daylight, day, hours, on_day(&limits.daylight_hours, day, f64::INFINITY));
        let most = limits.catches_per_day.map_or(f64::INFINITY, f64::from);
        found.day(Limit::CatchesPerDay, day, today().count() as f64, most);
    }
}

/// Pounds of a catch in one member, weighted by stream.
fn pounds(catch: &Catch, per_lb: &[f64; STREAMS], tables: &Tables, member: usize) -> f64 {
    let by_stream = tables.pounds_lb.iter().zip(per_lb);
    catch.share * by_stream.map(|(table, per_lb)| per_lb * table.at(catch.row, catch.day, member)).sum::<f64>()
}

/// What the last member that must be satisfied needs: the smallest amount that a share `keep` of members stays within.
fn kept(mut needs: Vec<f64>, keep: f64) -> f64 {
    needs.sort_by(f64::total_cmp);
    let count = members_to_keep(keep, needs.len());
    if count == 0 { f64::NEG_INFINITY } else { needs[count - 1] }
}

fn check_day_limits(catches: &[Catch], tables: &Tables, limits: &Limits, members: &[usize], found: &mut Found) {
    for limit in &limits.day_limits {
        for day in 0..limits.days {
            let today: Vec<&Catch> = catches.iter().filter(|catch| catch.day == day).collect();
            if today.is_empty() {
                continue;
            }
            let need_of = |&member: &usize| {
                let one = |catch: &&Catch| {
                    let extra = tables.extra_hand_hours.as_ref().filter(|_| limit.takes_extra_hours);
                    let extra = extra.map_or(0.0, |table| table.at(catch.row, catch.day, member));
                    pounds(catch, &limit.per_lb, tables, member)
                        + catch.share * extra
                        + catch.catch_share * limit.per_catch
                };
                today.iter().map(one).sum::<f64>()
            };
            let need = kept(members.iter().map(need_of).collect(), limits.keep);
            found.day(Limit::Day(limit.kind), day, need, on_day(&limit.amount, day, f64::INFINITY));
        }
    }
}

fn check_stores(catches: &[Catch], tables: &Tables, limits: &Limits, members: &[usize], found: &mut Found) {
    for store in &limits.stores {
        let mut stock_lb = vec![store.at_start_lb; members.len()];
        let mut untouched_lb = store.at_start_lb;
        for day in 0..limits.days {
            for (stock, &member) in stock_lb.iter_mut().zip(members) {
                let today = catches.iter().filter(|catch| catch.day == day);
                *stock += today.map(|catch| pounds(catch, &store.per_lb, tables, member)).sum::<f64>();
            }
            // A store that is over-full without any catch is not the schedule's fault.
            let room = on_day(&store.room_lb, day, f64::INFINITY).max(untouched_lb);
            found.day(Limit::Store(store.kind), day, kept(stock_lb.clone(), limits.keep), room);
            let offtake = on_day(&store.offtake_lb, day, 0.0);
            stock_lb.iter_mut().for_each(|stock| *stock = (*stock - offtake).max(0.0));
            untouched_lb = (untouched_lb - offtake).max(0.0);
        }
    }
}

fn check_orders(catches: &[Catch], tables: &Tables, limits: &Limits, members: &[usize], found: &mut Found) {
    for (index, order) in limits.orders.iter().enumerate() {
        let inside = || catches.iter().filter(|catch| order.from_day <= catch.day && catch.day <= order.to_day);
        let need_of = |&member: &usize| inside().map(|catch| pounds(catch, &order.per_lb, tables, member)).sum::<f64>();
        if inside().next().is_some() {
            let need = kept(members.iter().map(need_of).collect(), limits.keep);
            found.day(Limit::Order(index), order.to_day, need, order.ceiling_lb);
        }
    }
}
