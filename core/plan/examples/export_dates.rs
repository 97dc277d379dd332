//! A made-up farm of full size, written out for another solver, with the dates found here and the time they took:
//! `export_dates NUMBER PONDS DAYS MEMBERS`. The form is described in `checks/peers/dates/README.md`.

// A bench or tool stands outside the core: it may read the clock and files.
#![allow(clippy::disallowed_methods)]

#[path = "../tests/farms/large.rs"]
mod large;

use std::time::Instant;

use large::{Large, large};
use plan::{Ask, Grid, Job, Limits, PondLimits, Take, best_fixed};
use units::Watch;

fn main() {
    let numbers: Vec<usize> = std::env::args().skip(1).filter_map(|text| text.parse().ok()).collect();
    let [number, ponds, days, members] = numbers[..] else {
        eprintln!("usage: export_dates NUMBER PONDS DAYS MEMBERS");
        std::process::exit(2);
    };
    let Large { tables, limits, members } = large(number as u32, ponds, days, members, false);
    let risk_weight = 0.5;
    let ask = Ask::exact(&members, risk_weight);
    let begin = Instant::now();
    let dates = best_fixed(&tables, &limits, &ask, &Watch::new()).expect("the farm is sound");
    let seconds = begin.elapsed().as_secs_f64();
    println!("{{\"risk_weight\": {risk_weight}, \"keep\": {}, \"now_hour\": {},", limits.keep, limits.now_hour);
    println!("\"worth\": {}, \"cold_loss\": {},", grid(&tables.worth), grid(&tables.cold_loss));
    println!("\"pounds\": [{}],", list(&tables.pounds_lb, grid));
    println!("\"ponds\": [{}],", list(&limits.ponds, |pond| pond_text(pond, &limits)));
    shared(&limits);
    let jobs = list(dates.schedule.jobs.iter().flatten().collect::<Vec<_>>(), job);
    println!(
        "\"found\": {{\"objective\": {}, \"proved\": {}, \"nodes\": {}, \"seconds\": {seconds}, \"left\": {:?}, \"jobs\": [{jobs}]}}}}",
        dates.objective_coins, dates.proved, dates.nodes, dates.left
    );
}

fn list<T>(items: impl IntoIterator<Item = T>, text: impl Fn(T) -> String) -> String {
    items.into_iter().map(text).collect::<Vec<_>>().join(", ")
}

fn grid(grid: &Grid<f64>) -> String {
    let day = |row: usize, day: usize| format!("{:?}", grid.of(row, day));
    let row = |row: usize| format!("[{}]", list(0..grid.days(), |d| day(row, d)));
    format!("[{}]", list(0..grid.rows(), row))
}

/// By day, so that a reader need not know how lists go on.
fn by_day(limits: &Limits, values: &[f64]) -> String {
    format!("[{}]", list(0..limits.days, |day| values.get(day).or(values.last()).expect("not empty").to_string()))
}

fn pond_text(pond: &PondLimits, limits: &Limits) -> String {
    let ways = list(&pond.ways, |way| {
        let gear = list(&way.gear, |(gear, amount)| format!("[{gear}, {amount}]"));
        format!(
            "{{\"lead_hours\": {}, \"gear\": [{gear}], \"fuel_per_hour\": {}, \"cost\": {}}}",
            way.lead_hours, way.fuel_per_hour, way.cost_coins
        )
    });
    let closed = list(0..limits.days, |day| pond.closed.get(day).copied().unwrap_or(false).to_string());
    format!(
        "{{\"ways\": [{ways}], \"catch_hours\": {}, \"closed\": [{closed}], \"first_day_shares\": {:?}}}",
        pond.catch_hours, pond.first_day_shares
    )
}

fn shared(limits: &Limits) {
    let first_light = list(0..limits.days, |day| limits.first_light_hour(day).to_string());
    println!("\"first_light_hours\": [{first_light}],");
    println!("\"daylight\": {},", by_day(limits, &limits.daylight_hours));
    println!("\"workday\": {:?}, \"start_hours\": {:?},", limits.workday, limits.start_hours);
    println!("\"gear\": [{}],", list(&limits.gear, |gear| gear.amount.to_string()));
    let fuel = limits.fuel.expect("this farm's fuel is limited");
    println!(
        "\"fuel\": [{}, {}], \"catches_per_day\": {},",
        fuel.in_store,
        fuel.per_day,
        limits.catches_per_day.unwrap_or(99)
    );
    let day_limits = list(&limits.day_limits, |limit| {
        let amount = by_day(limits, &limit.amount);
        format!("{{\"per_lb\": {:?}, \"per_catch\": {}, \"amount\": {amount}}}", limit.per_lb, limit.per_catch)
    });
    println!("\"day_limits\": [{day_limits}],");
    let stores = list(&limits.stores, |store| {
        let (room, offtake) = (by_day(limits, &store.room_lb), by_day(limits, &store.offtake_lb));
        format!(
            "{{\"per_lb\": {:?}, \"at_start\": {}, \"room\": {room}, \"offtake\": {offtake}}}",
            store.per_lb, store.at_start_lb
        )
    });
    println!("\"stores\": [{stores}],");
    let orders = list(&limits.orders, |order| {
        format!(
            "{{\"per_lb\": {:?}, \"from\": {}, \"to\": {}, \"ceiling\": {}}}",
            order.per_lb, order.from_day, order.to_day, order.ceiling_lb
        )
    });
    println!("\"orders\": [{orders}],");
    let hours = limits.notices.iter().map(|notice| notice.hours).max().unwrap_or(0);
    println!("\"notice_hours\": {hours},");
}

fn job(job: &Job) -> String {
    let (first, second) = match job.take {
        Take::Whole { day } => (day, 1.0),
        Take::TwoDays { first_day, first_share } => (first_day, first_share),
        Take::LargeFirst { .. } => unreachable!("these farms are not seined early"),
    };
    format!(
        "{{\"pond\": {}, \"way\": {}, \"first_day\": {first}, \"first_share\": {second}, \"start\": {}}}",
        job.pond, job.way, job.start_hour
    )
}
