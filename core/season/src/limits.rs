//! The farm's means as the planner's limits: hours and days counted from this morning.
//!
//! Model     none: bookkeeping. Conventions are said where they are taken.
//! Units     pounds, hours, coins, as `plan::limits` asks
//! Range     any farm file that was read without fault
//! Source    the farm's own figures
//! Left out  the length of a drain's path to the river, permits, tides

use farm::{Drive, Farm, Form, Outlet, PondCard, StartOfWork};
use plan::{
    DayKind, DayLimit, Fuel, Gear, Limits, Locked, Notice, NoticeKind, PondLimits, Seining, Started, Store, StoreKind,
    Way,
};
use units::{Day, Instant};

mod going;

pub(crate) use going::pumps_left;

/// Pounds in a kilogram.
pub const LB_PER_KG: f64 = 1.0 / 0.453_592_37;

/// What rain lets through on a coming day, from the members: chances from 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct RainChances {
    /// By day: the bank bears a truck.
    pub bank_open: Vec<f64>,
    /// By day: the outlet stands free.
    pub outlet_free: Vec<f64>,
}

/// What `limits` needs to know beside the farm.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting<'a> {
    /// Today.
    pub today: Day,
    /// The clock hour it is.
    pub now_hour: i32,
    /// Number of days planned for, today included.
    pub days: usize,
    /// Clock hour of first light by day.
    pub first_light: Vec<i32>,
    /// Hours of light from first light on, by day.
    pub daylight_hours: Vec<f64>,
    /// Ponds still in the water, as indices into the farm's ponds, with their ways of emptying in the grower's order.
    pub ponds: &'a [(usize, Vec<Way>)],
    /// What rain lets through, pond by pond.
    pub rain: &'a [RainChances],
}

/// The limits of the coming days.
pub fn limits(farm: &Farm, setting: &Setting) -> Limits {
    let days = setting.days;
    let on = |day: usize| setting.today.plus(day as i32);
    let work_hours: Vec<f64> = setting.daylight_hours.iter().map(|&light| light.min(farm.crew.hours_per_day)).collect();
    let mut limits = Limits {
        days,
        now_hour: setting.now_hour,
        first_light: setting.first_light.clone(),
        daylight_hours: work_hours.clone(),
        workday: (0..days)
            .map(|day| farm.calendar.works(on(day)) && !farm.gear.hired.iter().any(|hired| away(&hired.away, on(day))))
            .collect(),
        start_hours: (0..24)
            .map(|hour| (farm.crew.opens_from_h..=farm.crew.opens_until_h).contains(&f64::from(hour)))
            .collect(),
        gear: gear(farm, setting.now_hour),
        fuel: Some(Fuel { in_store: farm.gear.fuel_l, per_day: farm.gear.fuel_daily_l }),
        catches_per_day: Some(farm.crew.ponds_a_day),
        keep: farm.choices.keep_level,
        day_limits: day_limits(farm, setting.today, &work_hours),
        stores: stores(farm, setting),
        // Season totals are kept by the shares of forms (`Streams`): what is left over goes to the last form, and no ceiling of a
        // buyer keeps animals in cold water.
        orders: Vec::new(),
        notices: notices(farm),
        bank_chance_least: 0.5,
        receiving_chance_least: 0.5,
        ponds: setting
            .ponds
            .iter()
            .zip(setting.rain)
            .map(|((pond, ways), rain)| pond_limits(farm, &farm.ponds[*pond], ways.clone(), rain, setting))
            .collect(),
    };
    going::settle(&mut limits);
    limits
}

/// Index of the generators' places in the gear list: after the pumps.
fn generator_gear(farm: &Farm) -> usize {
    farm.gear.pumps.len()
}

fn away(days: &[farm::Days], day: Day) -> bool {
    days.iter().any(|days| days.contains(day))
}

fn gear(farm: &Farm, now_hour: i32) -> Vec<Gear> {
    let gear = |amount: f64, from_hour: i32| Gear { amount, from_hour, away: Vec::new() };
    let from = |notice_h: f64| if notice_h > 0.0 { now_hour + notice_h.ceil() as i32 } else { i32::MIN / 2 };
    let mut all: Vec<Gear> = farm.gear.pumps.iter().map(|pump| gear(1.0, from(pump.notice_h))).collect();
    all.push(gear(f64::from(farm.gear.generators * farm.gear.pumps_per_generator), i32::MIN / 2));
    all
}

/// What a set of pumps holds and burns while it runs: gear, and litres an hour.
pub fn pumps_hold(farm: &Farm, pumps: &[usize]) -> (Vec<(usize, f64)>, f64) {
    let mut held: Vec<(usize, f64)> = pumps.iter().map(|&pump| (pump, 1.0)).collect();
    let on_generator = pumps.iter().filter(|&&pump| farm.gear.pumps[pump].drive == Drive::Generator).count();
    if on_generator > 0 {
        held.push((generator_gear(farm), on_generator as f64));
    }
    let generators = on_generator.div_ceil(farm.gear.pumps_per_generator.max(1) as usize);
    let burnt = pumps.iter().map(|&pump| farm.gear.pumps[pump].fuel_l_h).sum::<f64>()
        + generators as f64 * farm.gear.generator_fuel_l_h;
    (held, burnt)
}

fn day_limits(farm: &Farm, today: Day, work_hours: &[f64]) -> Vec<DayLimit> {
    let each_day = |amount: &dyn Fn(Day) -> f64| -> Vec<f64> {
        (0..work_hours.len()).map(|day| amount(today.plus(day as i32))).collect()
    };
    let chilled_kg_per_lb = farm.cold.ice_per_kg / LB_PER_KG;
    let hours_per_lb = 1.0 / (farm.crew.kg_per_hand_h * LB_PER_KG);
    let mut ice = each_day(&|_| farm.cold.ice_daily_kg);
    if let Some(first) = ice.first_mut() {
        *first += farm.cold.ice_kg;
    }
    let limit =
        |kind, per_lb, takes_extra_hours, amount| DayLimit { kind, per_lb, per_catch: 0.0, takes_extra_hours, amount };
    vec![
        limit(DayKind::Pounds, [1.0; 3], false, each_day(&|_| farm.orders.processing_kg_day * LB_PER_KG)),
        limit(
            DayKind::Hands,
            [hours_per_lb; 3],
            true,
            each_day(&|day| f64::from(farm.crew.hands(day)) * farm.crew.hours_per_day),
        ),
        limit(
            DayKind::Baskets,
            [1.0; 3],
            false,
            work_hours
                .iter()
                .map(|hours| {
                    f64::from(farm.gear.baskets) * farm.gear.basket_kg * LB_PER_KG * hours / farm.gear.basket_round_h
                })
                .collect(),
        ),
        limit(DayKind::Ice, [0.0, chilled_kg_per_lb, chilled_kg_per_lb], false, ice),
    ]
}

/// Most kilograms of a form on one day, by its ceiling; `None` when buyers set none.
fn ceiling_day(farm: &Farm, form: Form) -> Option<f64> {
    farm.orders.ceilings.iter().find(|ceiling| ceiling.form == form).and_then(|ceiling| ceiling.kg_day)
}

fn stores(farm: &Farm, setting: &Setting) -> Vec<Store> {
    let day = |day: usize| setting.today.plus(day as i32);
    // What has no ceiling leaves on the next sale day; without any named sale day, every day.
    let all_days = !farm.calendar.sale_weekdays.iter().any(|&sells| sells) && farm.calendar.sale_days.is_empty();
    let leaves = |form: Form, per_lb: f64| -> Vec<f64> {
        let most = ceiling_day(farm, form).map_or(1.0e6, |kg| kg * LB_PER_KG * per_lb);
        (0..setting.days).map(|d| if all_days || farm.calendar.sells(day(d)) { most } else { 0.0 }).collect()
    };
    let mut all = Vec::new();
    if let Some(store) = &farm.cold.store {
        let free = |d: usize| !store.taken.iter().any(|days| days.contains(day(d)));
        all.push(Store {
            kind: StoreKind::ColdStore,
            per_lb: [0.0, 1.0, 1.0],
            at_start_lb: 0.0,
            room_lb: (0..setting.days).map(|d| if free(d) { store.capacity_kg * LB_PER_KG } else { 0.0 }).collect(),
            offtake_lb: leaves(Form::Whole, 1.0),
        });
    }
    let live_room = f64::from(farm.cold.live_tanks) * farm.cold.live_tank_m3 * farm.cold.live_kg_m3 * LB_PER_KG;
    all.push(Store {
        kind: StoreKind::LiveTanks,
        per_lb: [1.0, 0.0, 0.0],
        at_start_lb: 0.0,
        room_lb: vec![live_room; setting.days],
        // Live buyers haul within the nights that animals may be held.
        offtake_lb: vec![live_room / f64::from(farm.cold.live_nights.max(1)); setting.days],
    });
    all
}

fn notices(farm: &Farm) -> Vec<Notice> {
    let hours = |hours: f64| hours.ceil() as i32;
    let buyers = farm.orders.ceilings.iter().map(|ceiling| ceiling.notice_h).fold(0.0, f64::max);
    let cold = farm.cold.store.as_ref().map_or(0.0, |store| store.notice_h);
    let hired = farm.gear.hired.iter().map(|hired| hired.notice_h).fold(0.0, f64::max);
    vec![
        Notice { kind: NoticeKind::Ice, hours: hours(farm.cold.ice_notice_h.max(cold)), gear: None },
        Notice { kind: NoticeKind::Crew, hours: hours(farm.crew.notice_h.max(hired)), gear: None },
        Notice { kind: NoticeKind::Buyers, hours: hours(buyers), gear: None },
    ]
}

/// Hours of the farm's clock from today's midnight to a moment, to the next whole one.
fn clock_hour(farm: &Farm, today: Day, at: Instant) -> i32 {
    let (day, second) = farm.place.zone.day_and_second(at);
    24 * (day.0 - today.0) + (second + 3599).div_euclid(3600)
}

fn pond_limits(farm: &Farm, card: &PondCard, ways: Vec<Way>, rain: &RainChances, setting: &Setting) -> PondLimits {
    let to_day = |day: Day| usize::try_from(day.0 - setting.today.0).ok();
    let closed = (0..setting.days)
        .map(|d| card.forbidden.iter().any(|days| days.contains(setting.today.plus(d as i32))))
        .collect();
    let drains = card.emptying.outlet != Outlet::None;
    PondLimits {
        catch_hours: card.catch_hours,
        closed,
        exposure: Vec::new(),
        bank_chance: rain.bank_open.clone(),
        receiving_chance: if drains { rain.outlet_free.clone() } else { Vec::new() },
        locked: card.locked.and_then(to_day).map(|day| Locked { day, way: None }),
        started: started(farm, card, setting.today, setting.now_hour),
        announced: card.announced.iter().copied().filter_map(to_day).collect(),
        first_day_shares: if card.parts.two_days { vec![0.5] } else { Vec::new() },
        seining: card.parts.early_seining.then_some(Seining {
            gap_days_least: 3,
            gap_days_most: 14,
            catch_hours: 0.5 * card.catch_hours,
        }),
        left_coins: None,
        ways,
    }
}

/// Water that goes down by now, since when its level says that it does; by the first of its ways. One that is to open later has not started.
fn started(farm: &Farm, card: &PondCard, today: Day, now_hour: i32) -> Option<Started> {
    let shape = crate::ponds::shape(card, COLUMNS).ok();
    let since = shape.map_or(card.draining_since, |shape| crate::works::as_if_since(farm, card, &shape))?;
    let start_hour = clock_hour(farm, today, since);
    (start_hour <= now_hour).then_some(Started { start_hour, way: 0 })
}

/// Columns in which a pond's shape is laid for its drawdown.
const COLUMNS: usize = 12;

/// Clock hour of the first light by which a catch can begin, from the hour of civil dawn (hours after midnight).
pub fn work_starts(farm: &Farm, civil_dawn_h: f64) -> i32 {
    match farm.crew.start {
        StartOfWork::FirstLight => civil_dawn_h.ceil() as i32,
        StartOfWork::Clock(hour) => hour.ceil() as i32,
    }
}

/// The amounts by name, day by day.
pub(crate) fn by_name(of: &plan::Limits) -> Vec<(&'static str, Vec<f64>)> {
    let mut all: Vec<(&'static str, Vec<f64>)> = of
        .day_limits
        .iter()
        .map(|limit| {
            let name = match limit.kind {
                plan::DayKind::Pounds => "pounds_lb",
                plan::DayKind::Heading => "heading_lb",
                plan::DayKind::Hands => "hand_hours",
                plan::DayKind::Baskets => "basket_lb",
                plan::DayKind::Ice => "ice_kg",
                plan::DayKind::Buyers => "buyers_lb",
            };
            (name, limit.amount.clone())
        })
        .collect();
    all.push(("daylight_hours", of.daylight_hours.clone()));
    all.push(("workday", of.workday.iter().map(|&works| f64::from(u8::from(works))).collect()));
    all.extend(of.stores.iter().map(|store| {
        let name = match store.kind {
            plan::StoreKind::ColdStore => "cold_store_lb",
            plan::StoreKind::LiveTanks => "live_tanks_lb",
        };
        (name, store.room_lb.clone())
    }));
    all
}

#[cfg(test)]
mod tests;
