//! Ponds: what is written under `[[pond]]`, its samples and readings.

mod shape;

pub(super) use shape::pairs;

use units::Day;

use crate::clerk::{Clerk, Desk};
use crate::farm::DoubtKind;
use crate::means::Gear;
use crate::pond_card::{
    Aeration, AeratorKind, AfterRain, AlongPond, Belief, Emptying, Outlet, Parts, PondCard, Reading, Sample, Seen,
    Shape, Stocking, WayDown,
};
use crate::reasons::Wrong;

/// Longest time from stocking to the last catch, days: beyond it a year was mistyped.
const LONGEST_SEASON_DAYS: i32 = 400;

pub(super) fn ponds(
    clerk: &mut Clerk,
    top: &Desk<'_>,
    gear: &Gear,
    pace_m: f64,
    last_catch: Option<Day>,
) -> Vec<PondCard> {
    let mut ponds: Vec<(usize, PondCard)> = Vec::new();
    for desk in clerk.sections(top, "pond") {
        let card = pond(clerk, &desk, gear, pace_m, last_catch);
        if let Some((first, _)) = ponds.iter().find(|(_, other)| !card.id.is_empty() && other.id == card.id) {
            clerk.refuse(&desk, "name", Wrong::Twice { first: *first });
        }
        ponds.push((desk.line_of("name"), card));
    }
    ponds.into_iter().map(|(_, card)| card).collect()
}

fn pond(clerk: &mut Clerk, desk: &Desk<'_>, gear: &Gear, pace_m: f64, last_catch: Option<Day>) -> PondCard {
    let name = clerk.text(desk, "name").unwrap_or_default();
    let shape = shape::shape(clerk, desk, pace_m);
    let stocking = stocking(clerk, desk, shape.area_m2, last_catch);
    let since = Some(stocking.on).filter(|&on| on != Day::default());
    let card = PondCard {
        id: id_of(&name),
        seen: seen(clerk, desk),
        wind_factor: Belief {
            median: clerk.number(desk, "wind_factor"),
            sd_log: clerk.number(desk, "wind_factor_off"),
        },
        substrate: clerk.number(desk, "substrate"),
        aeration: aeration(clerk, desk),
        emptying: emptying(clerk, desk, gear, &shape),
        catch_hours: clerk.number(desk, "catch_time"),
        samples: samples(clerk, desk, since),
        dead: Vec::new(),
        taken: Vec::new(),
        overflowed: Vec::new(),
        fed: Vec::new(),
        readings: readings(clerk, desk, since),
        oxygen: Vec::new(),
        chemistry: Vec::new(),
        done: Vec::new(),
        after_rain: after_rain(clerk, desk),
        parts: Parts { two_days: clerk.yes_no(desk, "two_days"), early_seining: clerk.yes_no(desk, "early_seining") },
        locked: dated(clerk, desk, "locked", since, last_catch),
        announced: Vec::new(),
        announced_on: None,
        forbidden: clerk.days(desk, "forbidden"),
        draining_since: clerk.moment(desk, "draining_since"),
        draining_read: None,
        harvested: dated(clerk, desk, "harvested", since, last_catch),
        stocking,
        name,
        shape,
    };
    clerk.no_other_keys(desk);
    card
}

/// Small letters, digits and single dashes.
fn id_of(name: &str) -> String {
    let plain: String = name.chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    plain.to_lowercase().split_whitespace().collect::<Vec<_>>().join("-")
}

/// A day of this pond: between stocking and the season's last.
fn dated(clerk: &mut Clerk, desk: &Desk<'_>, key: &str, since: Option<Day>, until: Option<Day>) -> Option<Day> {
    let day = clerk.day(desk, key)?;
    clerk.follows(desk, key, day, "stocked.on", since);
    clerk.precedes(desk, key, day, "season.last_catch", until);
    Some(day)
}

fn stocking(clerk: &mut Clerk, pond: &Desk<'_>, area_m2: f64, last_catch: Option<Day>) -> Stocking {
    let desk = clerk.section(pond, "stocked");
    let on = clerk.day(&desk, "on");
    let (count, density_m2) = (clerk.quantity(&desk, "count"), clerk.quantity(&desk, "density"));
    match (desk.has("count"), desk.has("density")) {
        (true, true) => clerk.refuse(&desk, "density", Wrong::Both { other: "stocked.count" }),
        (false, false) if density_m2.is_none() && !(desk.has("count") || desk.has("density")) => {
            clerk.refuse(&desk, "count", Wrong::MissingEither { other: "stocked.density" })
        }
        _ => {}
    }
    let mean_weight_g = clerk.number(&desk, "mean_weight") * 1000.0;
    if let (Some(on), Some(last)) = (on, last_catch) {
        clerk.precedes(&desk, "on", on, "season.last_catch", Some(last));
        clerk.follows(&desk, "on", on, "season.last_catch", Some(last.plus(-LONGEST_SEASON_DAYS)));
    }
    clerk.no_other_keys(&desk);
    let count = count.or(density_m2.map(|density| (density * area_m2).round())).unwrap_or(f64::NAN);
    Stocking { on: on.unwrap_or_default(), count, mean_weight_g, count_either_way: None }
}

fn seen(clerk: &mut Clerk, pond: &Desk<'_>) -> Vec<Seen> {
    let rows = clerk.sections(pond, "seen");
    // The pond's own lines are asked for (and assumed) only when a row leans on them.
    let all_have = |key: &str| !rows.is_empty() && rows.iter().all(|row| row.has(key)) && !pond.has(key);
    let secchi_m = if all_have("secchi") { f64::NAN } else { clerk.number(pond, "secchi") };
    let plants = if all_have("plants") { f64::NAN } else { clerk.word_or_share(pond, "plants").unwrap_or(f64::NAN) };
    if rows.is_empty() {
        return vec![Seen { on: None, secchi_m, plants, below_full_m: 0.0 }];
    }
    let mut seen: Vec<Seen> = Vec::new();
    for row in &rows {
        let on = clerk.day(row, "on");
        if let Some(same) = seen.iter().position(|other| on.is_some() && other.on == on) {
            clerk.refuse(row, "on", Wrong::Twice { first: rows[same].line });
        }
        seen.push(Seen {
            on,
            secchi_m: clerk.quantity(row, "secchi").unwrap_or(secchi_m),
            plants: clerk.word_or_share(row, "plants").unwrap_or(plants),
            below_full_m: clerk.quantity(row, "below_full").unwrap_or(0.0),
        });
        clerk.no_other_keys(row);
    }
    seen.sort_by_key(|row| row.on);
    seen
}

fn aeration(clerk: &mut Clerk, desk: &Desk<'_>) -> Aeration {
    let power_kw = clerk.number(desk, "aerator");
    // Hours are asked only of an aerator.
    let runs = power_kw > 0.0 || desk.has("aerator_hours");
    let kind = if runs || desk.has("aerator_kind") { clerk.word(desk, "aerator_kind") } else { None };
    Aeration {
        power_kw,
        hours_per_day: if runs { clerk.number(desk, "aerator_hours") } else { 0.0 },
        kind: AeratorKind::ALL[kind.unwrap_or(0)],
    }
}

fn emptying(clerk: &mut Clerk, desk: &Desk<'_>, gear: &Gear, shape: &Shape) -> Emptying {
    let outlet_word = clerk.word(desk, "outlet");
    let across = clerk.quantity(desk, "outlet_across");
    if outlet_word.is_some_and(|word| word > 0) && across.is_none() && !desk.has("outlet_across") {
        clerk.refuse(desk, "outlet_across", Wrong::NeededWith { key: "pond.outlet" });
    }
    let diameter_m = across.unwrap_or(f64::NAN);
    let outlet = match outlet_word {
        Some(1) => Outlet::Standpipe { diameter_m },
        Some(2) => Outlet::Pipe { diameter_m },
        _ => Outlet::None,
    };
    let names: Vec<&str> = gear.pumps.iter().map(|pump| pump.name.as_str()).collect();
    let pumps = clerk.names(desk, "pumps", &names);
    let told_h = clerk.quantity(desk, "empties_in");
    if outlet_word == Some(0) && !desk.has("pumps") && !desk.has("empties_in") {
        clerk.refuse(desk, "outlet", Wrong::NoWayToEmpty);
    }
    let catch_depth_m = clerk.number(desk, "catch_depth");
    if catch_depth_m >= shape.deep_depth_m {
        clerk.refuse(desk, "catch_depth", Wrong::NotBelowDeepest);
    }
    let more = way_down(clerk, desk, shape, catch_depth_m);
    let catch_basin = clerk.yes_no(desk, "catch_basin");
    let emptying = Emptying { outlet, pumps, told_h, catch_depth_m, catch_basin, more };
    doubt_time(clerk, desk, gear, shape, &emptying);
    emptying
}

fn way_down(clerk: &mut Clerk, desk: &Desk<'_>, shape: &Shape, catch_depth_m: f64) -> WayDown {
    let seining_depth_m = clerk.quantity(desk, "seining_depth");
    if seining_depth_m.is_some_and(|depth_m| depth_m >= shape.deep_depth_m || depth_m <= catch_depth_m) {
        clerk.refuse(desk, "seining_depth", Wrong::NotBelowDeepest);
    }
    WayDown {
        seining_depth_m,
        seining_h: clerk.quantity(desk, "seining_time"),
        outlet_water_m: clerk.quantity(desk, "outlet_water"),
        outlet_flap: clerk.yes_no(desk, "outlet_flap"),
        screen_fraction: clerk.quantity(desk, "screen_passes"),
        pump_intake_m: clerk.quantity(desk, "pump_intake"),
        inflow_m3_h: clerk.quantity(desk, "inflow"),
        well_m3_h: clerk.quantity(desk, "well"),
        well_c: clerk.quantity(desk, "well_water"),
        basin_m3: clerk.quantity(desk, "basin_holds"),
    }
}

/// A remembered time that pumps alone could not keep, or would undercut by far.
fn doubt_time(clerk: &mut Clerk, desk: &Desk<'_>, gear: &Gear, shape: &Shape, emptying: &Emptying) {
    let (Outlet::None, Some(told_h)) = (emptying.outlet, emptying.told_h) else { return };
    let rate_m3_h: f64 = emptying.pumps.iter().map(|&pump| gear.pumps[pump].rate_m3_h).sum();
    let by_pumps_h = shape.volume_about_m3() / rate_m3_h;
    let ratio = told_h / by_pumps_h;
    if rate_m3_h > 0.0 && !(0.4..=2.5).contains(&ratio) {
        clerk.doubt(desk, "empties_in", DoubtKind::TimeToEmpty { by_pumps_h });
    }
}

fn after_rain(clerk: &mut Clerk, desk: &Desk<'_>) -> AfterRain {
    let mut pair = |by: &str, during: &str, by_key: &'static str| {
        let rain_mm = clerk.quantity(desk, by).map(|metres| metres * 1000.0);
        let days = if rain_mm.is_some() || desk.has(during) { clerk.whole_days(desk, during) } else { 0 };
        if desk.has(during) && !desk.has(by) {
            clerk.refuse(desk, during, Wrong::NothingWithout { key: by_key });
        }
        (rain_mm, days)
    };
    let (bank_closed_by_mm, bank_closed_days) =
        pair("bank_closed_by_rain", "bank_closed_for", "pond.bank_closed_by_rain");
    let (outlet_drowned_by_mm, outlet_drowned_days) =
        pair("outlet_drowned_by_rain", "outlet_drowned_for", "pond.outlet_drowned_by_rain");
    AfterRain { bank_closed_by_mm, bank_closed_days, outlet_drowned_by_mm, outlet_drowned_days }
}

fn samples(clerk: &mut Clerk, pond: &Desk<'_>, since: Option<Day>) -> Vec<Sample> {
    let mut samples = Vec::new();
    for row in clerk.sections(pond, "samples") {
        let on = clerk.day(&row, "on");
        if let Some(on) = on {
            clerk.follows(&row, "on", on, "stocked.on", since);
        }
        let mean_weight_g = clerk.number(&row, "mean_weight") * 1000.0;
        let counted = clerk.whole(&row, "counted");
        clerk.no_other_keys(&row);
        samples.push(Sample {
            on: on.unwrap_or_default(),
            mean_weight_g,
            counted,
            is_of_file: true,
            ..Sample::default()
        });
    }
    samples.sort_by_key(|sample| sample.on);
    samples
}

fn readings(clerk: &mut Clerk, pond: &Desk<'_>, since: Option<Day>) -> Vec<Reading> {
    let mut readings = Vec::new();
    for row in clerk.sections(pond, "readings") {
        let at = clerk.moment(&row, "at");
        if let (Some(at), Some(zone)) = (at, clerk.zone.clone()) {
            clerk.follows(&row, "at", zone.day_and_second(at).0, "stocked.on", since);
        }
        let place = match clerk.word(&row, "end") {
            Some(1) => AlongPond::Middle,
            Some(2) => AlongPond::Shallow,
            _ => AlongPond::Deep,
        };
        let depth_m = clerk.number(&row, "depth");
        let temp_c = clerk.number(&row, "temperature");
        clerk.no_other_keys(&row);
        readings.push(Reading { at: at.unwrap_or_default(), place, depth_m, temp_c });
    }
    readings.sort_by_key(|reading| reading.at);
    readings
}
