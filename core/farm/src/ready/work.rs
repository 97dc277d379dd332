//! Pumps, gear, hands, cold, calendar.

use units::measure::Kind;

use super::pond::pairs;
use crate::chore::Chore;
use crate::clerk::{Clerk, Desk};
use crate::means::{Away, Cold, ColdStore, Crew, Drive, Gear, Hired, Pump, Source, SourceKind, StartOfWork, Tank};
use crate::reasons::Wrong;
use crate::trade::Calendar;

/// Litres in a cubic metre: fuel is counted in litres.
const LITRES_M3: f64 = 1000.0;
/// Hours in a day: hire is written by the day and read by the hour.
const DAY_H: f64 = 24.0;

pub(super) fn gear(clerk: &mut Clerk, top: &Desk<'_>) -> Gear {
    let desk = clerk.section(top, "gear");
    let generators = clerk.whole(&desk, "generators");
    let has_generator = generators > 0;
    // What a generator burns and bears is asked only where there is one.
    let asked = |key: &str| has_generator || desk.has(key);
    let pumps_per_generator = if asked("pumps_per_generator") { clerk.whole(&desk, "pumps_per_generator") } else { 0 };
    let generator_fuel_l_h =
        if asked("generator_fuel") { clerk.number(&desk, "generator_fuel") * LITRES_M3 } else { 0.0 };
    let gear = Gear {
        pumps: pumps(clerk, top, has_generator),
        generators,
        pumps_per_generator,
        generator_fuel_l_h,
        fuel_l: clerk.number(&desk, "fuel") * LITRES_M3,
        fuel_daily_l: clerk.number(&desk, "fuel_daily") * LITRES_M3,
        baskets: clerk.whole(&desk, "baskets"),
        basket_kg: clerk.number(&desk, "basket_holds"),
        basket_round_h: clerk.number(&desk, "basket_round"),
        hired: hired(clerk, top),
    };
    clerk.no_other_keys(&desk);
    gear
}

fn pumps(clerk: &mut Clerk, top: &Desk<'_>, has_generator: bool) -> Vec<Pump> {
    let mut pumps: Vec<Pump> = Vec::new();
    let rows = clerk.sections(top, "pump");
    for (place, row) in rows.iter().enumerate() {
        let name = clerk.text(row, "name").unwrap_or_default();
        if let Some(first) = pumps.iter().position(|pump| pump.name.to_lowercase() == name.to_lowercase()) {
            clerk.refuse(row, "name", Wrong::Twice { first: rows[first].line_of("name") });
        }
        let drive = match clerk.word(row, "drive") {
            Some(0) => Drive::Engine,
            Some(1) => Drive::Generator,
            _ => Drive::Mains,
        };
        if drive == Drive::Generator && !has_generator {
            clerk.refuse(row, "drive", Wrong::NoGenerator);
        }
        let fuel_l_h = match clerk.quantity(row, "fuel") {
            Some(m3_h) => m3_h * LITRES_M3,
            None if drive == Drive::Engine && !row.has("fuel") => {
                clerk.assume(row, "fuel", "1.5 L/h");
                1.5
            }
            None => 0.0,
        };
        let curve =
            pairs(clerk, row, "curve", (Kind::Length, Kind::Flow), |last, next| next.0 > last.0 && next.1 < last.1);
        pumps.push(Pump {
            rate_m3_h: clerk.number(row, "rate"),
            curve_m_m3_h: curve.unwrap_or_default(),
            tank_h: clerk.quantity(row, "tank_lasts"),
            drive,
            fuel_l_h,
            notice_h: clerk.quantity(row, "notice").unwrap_or(0.0),
            cost_day: clerk.coins(row, "cost").unwrap_or(0.0) * DAY_H,
            name,
        });
        debug_assert_eq!(pumps.len(), place + 1);
        clerk.no_other_keys(row);
    }
    pumps
}

fn hired(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<Hired> {
    let mut hired = Vec::new();
    for row in clerk.sections(top, "hired") {
        hired.push(Hired {
            name: clerk.text(&row, "name").unwrap_or_default(),
            notice_h: clerk.number(&row, "notice"),
            cost_day: clerk.coins(&row, "cost").unwrap_or(0.0) * DAY_H,
            away: clerk.days(&row, "taken"),
        });
        clerk.no_other_keys(&row);
    }
    hired
}

/// Depth of a tank whose bottom is not told, m: 3 ft.
const TANK_DEEP_M: f64 = 0.9144;

pub(super) fn tanks(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<Tank> {
    let mut tanks: Vec<Tank> = Vec::new();
    for row in clerk.sections(top, "tank") {
        let water_m3 = clerk.number(&row, "water");
        let bottom_m2 = clerk.number(&row, "bottom");
        tanks.push(Tank {
            name: clerk.text(&row, "name").unwrap_or_default(),
            water_m3,
            bottom_m2: if bottom_m2.is_nan() { water_m3 / TANK_DEEP_M } else { bottom_m2 },
            netting_m2: clerk.number(&row, "netting"),
            filter_m2: clerk.number(&row, "filter"),
            changed_m3_d: clerk.number(&row, "changed"),
            kept_at_c: clerk.number(&row, "kept_at"),
        });
        clerk.no_other_keys(&row);
    }
    tanks
}

pub(super) fn sources(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<Source> {
    let mut sources = Vec::new();
    for row in clerk.sections(top, "source") {
        let kind = clerk.word(&row, "kind").map_or(SourceKind::River, |at| SourceKind::ALL[at]);
        sources.push(Source {
            name: clerk.text(&row, "name").unwrap_or_default(),
            kind,
            rate_m3_h: clerk.number(&row, "rate"),
            hours_per_day: clerk.number(&row, "hours"),
            may_be_drawn: match clerk.word(&row, "may_be_drawn") {
                Some(0) => Some(true),
                Some(1) => Some(false),
                _ => None,
            },
        });
        clerk.no_other_keys(&row);
    }
    sources
}

/// Days after which work comes round, as far as they are told.
pub(super) fn rhythms(clerk: &mut Clerk, top: &Desk<'_>) -> Vec<(Chore, i32)> {
    if !top.has("rhythm") {
        return Vec::new();
    }
    let desk = clerk.section(top, "rhythm");
    let told = Chore::ALL.into_iter().filter_map(|chore| {
        let hours = clerk.quantity(&desk, chore.key())?;
        Some((chore, ((hours / DAY_H).round() as i32).max(1)))
    });
    let told = told.collect();
    clerk.no_other_keys(&desk);
    told
}

pub(super) fn crew(clerk: &mut Clerk, top: &Desk<'_>) -> Crew {
    let desk = clerk.section(top, "crew");
    let owners = clerk.whole(&desk, "owners");
    let (weekday, weekend) = (clerk.whole(&desk, "helpers_weekday"), clerk.whole(&desk, "helpers_weekend"));
    let mut away = Vec::new();
    for row in clerk.sections(&desk, "away") {
        let hands = clerk.whole(&row, "hands");
        if !row.has("days") {
            clerk.refuse(&row, "days", Wrong::Missing);
        }
        away.extend(clerk.days(&row, "days").into_iter().map(|days| Away { days, hands }));
        clerk.no_other_keys(&row);
    }
    let crew = Crew {
        owners,
        helpers: [weekday, weekday, weekday, weekday, weekday, weekend, weekend],
        helpers_sure: desk.has("helpers_sure").then(|| clerk.whole(&desk, "helpers_sure")),
        away,
        notice_h: clerk.number(&desk, "notice"),
        hours_per_day: clerk.number(&desk, "hours"),
        start: clerk.clock(&desk, "start").unwrap_or(StartOfWork::FirstLight),
        kg_per_hand_h: clerk.number(&desk, "per_hand_hour"),
        opens_from_h: clock_hours(clerk, &desk, "opens_from"),
        opens_until_h: clock_hours(clerk, &desk, "opens_until"),
        ponds_a_day: clerk.whole(&desk, "ponds_a_day"),
    };
    if owners + weekday + weekend == 0 && desk.has("owners") && desk.has("helpers_weekend") {
        clerk.refuse(&desk, "owners", Wrong::NoHands);
    }
    clerk.no_other_keys(&desk);
    crew
}

fn clock_hours(clerk: &mut Clerk, desk: &Desk<'_>, key: &str) -> f64 {
    match clerk.clock(desk, key) {
        Some(StartOfWork::Clock(hours)) => hours,
        Some(StartOfWork::FirstLight) => {
            clerk.refuse(desk, key, Wrong::NotATime);
            f64::NAN
        }
        None => f64::NAN,
    }
}

pub(super) fn cold(clerk: &mut Clerk, top: &Desk<'_>) -> Cold {
    let desk = clerk.section(top, "cold");
    let live_tanks = clerk.whole(&desk, "live_tanks");
    let asked = |key: &str| live_tanks > 0 || desk.has(key);
    if live_tanks > 0 && !desk.has("live_tank_holds") {
        clerk.refuse(&desk, "live_tank_holds", Wrong::NeededWith { key: "cold.live_tanks" });
    }
    let live_tank_m3 = clerk.quantity(&desk, "live_tank_holds").unwrap_or(0.0);
    let live_kg_m3 = if asked("live_density") { clerk.number(&desk, "live_density") } else { 0.0 };
    let live_nights = if asked("live_nights") { clerk.whole(&desk, "live_nights") } else { 0 };
    let cold = Cold {
        ice_kg: clerk.number(&desk, "ice"),
        ice_daily_kg: clerk.number(&desk, "ice_daily"),
        ice_notice_h: clerk.number(&desk, "ice_notice"),
        ice_per_kg: clerk.number(&desk, "ice_per_prawn"),
        store: store(clerk, top),
        live_tanks,
        live_tank_m3,
        live_kg_m3,
        live_nights,
    };
    clerk.no_other_keys(&desk);
    cold
}

fn store(clerk: &mut Clerk, top: &Desk<'_>) -> Option<ColdStore> {
    if !top.has("store") {
        return None;
    }
    let desk = clerk.section(top, "store");
    let store = ColdStore {
        capacity_kg: clerk.number(&desk, "holds"),
        taken: clerk.days(&desk, "taken"),
        notice_h: clerk.number(&desk, "notice"),
        nights: clerk.whole(&desk, "nights"),
        cost_day: clerk.coins(&desk, "cost").unwrap_or(0.0) * DAY_H,
    };
    clerk.no_other_keys(&desk);
    Some(store)
}

pub(super) fn calendar(clerk: &mut Clerk, top: &Desk<'_>, selling: &Desk<'_>) -> Calendar {
    let desk = clerk.section(top, "calendar");
    let workdays = clerk.weekdays(&desk, "workdays").unwrap_or([true; 7]);
    let holidays = clerk.days(&desk, "holidays");
    clerk.no_other_keys(&desk);
    let sale_weekdays = clerk.weekdays(selling, "weekdays").unwrap_or([false; 7]);
    let sale_days =
        clerk.days(selling, "days").iter().flat_map(|days| (days.from.0..=days.to.0).map(units::Day)).collect();
    Calendar { workdays, holidays, sale_weekdays, sale_days }
}
