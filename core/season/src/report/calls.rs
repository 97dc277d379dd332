//! What the plan asks to be ordered, told and fetched, and by when.

use std::collections::BTreeSet;

use farm::PondCard;
use plan::{Job, Take};

use super::{Reporting, at_hour};
use crate::answer::{PondOutlook, Task, TaskKind};
use crate::day::{IceOrder, ice_of_plan};

/// What has to be ordered and told for each day of a catch, and by when.
pub(super) fn calls(of: &Reporting, jobs: &[&Job], ponds: &[PondOutlook]) -> Vec<Task> {
    let (farm, today) = (of.ask.farm, of.ask.on);
    let catch_days: BTreeSet<usize> = jobs.iter().flat_map(|job| catch_days(job)).collect();
    let people_h = farm.orders.ceilings.iter().map(|ceiling| ceiling.notice_h).fold(farm.crew.notice_h, f64::max);
    let due =
        |day: usize, notice_h: f64| at_hour(today, of.weighed.limits.first_light_hour(day) - notice_h.ceil() as i32);
    // One figure for the order, here and on the day's sheet.
    let orders = ice_of_plan(farm, today, ponds).into_iter().filter(|order| order.order_kg > 0.5);
    // What a plan that was accepted on a day before told to be ordered by an hour that is past counts as ordered; on its own day it is still told.
    let is_ordered = |order: &IceOrder| {
        let day = (order.day.0 - today.0).max(0) as usize;
        let is_past = due(day, farm.cold.ice_notice_h) < (today, of.ask.now_hour);
        let was_told =
            |card: &PondCard| card.announced.contains(&order.day) && card.announced_on.is_some_and(|on| on < today);
        is_past && farm.ponds.iter().any(was_told)
    };
    let orders = orders.filter(|order| !is_ordered(order));
    let ice = orders.map(|order| {
        let by = due((order.day.0 - today.0).max(0) as usize, farm.cold.ice_notice_h).max((today, of.ask.now_hour));
        Task { by, what: TaskKind::OrderIce { kg: order.order_kg, for_day: order.day } }
    });
    let mut calls: Vec<Task> = ice.chain(fuel(of, jobs)).collect();
    for day in catch_days {
        let for_day = today.plus(day as i32);
        if let Some(store) = &farm.cold.store {
            calls.push(Task { by: due(day, store.notice_h), what: TaskKind::BookColdRoom { for_day } });
        }
        calls.push(Task { by: due(day, people_h), what: TaskKind::Tell { for_day } });
    }
    calls
}

/// Fuel to be fetched: what the ponds in order of their start burn on their way down beyond what is in store, by the hour at which it is burnt. What was
/// burnt already counts with what was in store: nobody measures the can in between.
fn fuel(of: &Reporting, jobs: &[&Job]) -> Vec<Task> {
    let mut in_order: Vec<&&Job> = jobs.iter().collect();
    in_order.sort_by_key(|job| (job.start_hour, job.pond));
    let mut left_l = of.ask.farm.gear.fuel_l;
    let short = |job: &&Job| {
        let way = of.ponds[job.pond].model.ways.get(job.way).filter(|way| way.fuel_per_hour > 0.0)?;
        let burnt_at = job.start_hour + (left_l / way.fuel_per_hour).floor() as i32;
        left_l -= way.fuel_per_hour * f64::from(way.lead_hours);
        let fuel_l = -left_l;
        left_l = left_l.max(0.0);
        let what = TaskKind::FetchFuel { pond: of.ponds[job.pond].card.name.clone(), fuel_l };
        // A litre is within what a gauge tells.
        (fuel_l > 1.0).then(|| Task { by: at_hour(of.ask.on, burnt_at.max(of.ask.now_hour)), what })
    };
    in_order.into_iter().filter_map(short).collect()
}

/// The days on which a job's animals are caught, days from today.
fn catch_days(job: &Job) -> Vec<usize> {
    match job.take {
        Take::Whole { day } => vec![day],
        Take::TwoDays { first_day, .. } => vec![first_day, first_day + 1],
        Take::LargeFirst { seine_day, day } => vec![seine_day, day],
    }
}
