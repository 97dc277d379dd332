//! What was entered of the tanks: deliveries, readings, animals counted out.

use farm::Farm;
use farm::facts::{Fact, Kept as Entered, counted, current, read_typed};
use farm::inputs::{log_inputs, read_list};
use units::Day;

use super::{Delivery, OLD_D, TankRead, YOUNG_G};

/// The deliveries of late, in order of days.
pub fn deliveries(facts: &[Entered], farm: &Farm, today: Day) -> Vec<Delivery> {
    let zone = &farm.place.zone;
    let entries = current(facts);
    let told = entries.iter().filter_map(|entry| entry.settled()).filter(|kept| kept.fact.kind == "delivery");
    let mut told: Vec<(Day, &Entered)> =
        told.map(|kept| (zone.day_and_second(kept.fact.happened.at).0, kept)).collect();
    told.retain(|(on, _)| (0..=OLD_D).contains(&(today.0 - on.0)));
    told.sort_by_key(|(on, kept)| (*on, kept.seq));
    told.into_iter().filter_map(|(on, kept)| delivery(on, kept)).collect()
}

fn delivery(on: Day, kept: &Entered) -> Option<Delivery> {
    let value = |name: &str| kept.fact.values.get(name).copied();
    let input = log_inputs().find(|input| input.key == "log.counts")?;
    let counts = kept.fact.text("counts").and_then(|text| read_list(input, text).ok()).unwrap_or_default();
    let counted = match (value("sample_weight"), value("all_weight")) {
        (Some(sample_g), Some(all_g)) => counted(&counts, sample_g, all_g),
        _ => None,
    };
    Some(Delivery {
        id: kept.fact.id.clone(),
        at: kept.fact.happened.at,
        on,
        claimed: value("claimed")?,
        counted,
        dead: value("dead").unwrap_or(0.0),
        weight_g: value("mean_weight").unwrap_or(YOUNG_G),
        papers: kept.fact.text("papers").map(str::to_owned),
    })
}

/// A tank's entries of one kind between two days, in order of time.
fn of_tank<'a>(
    facts: &'a [Entered],
    farm: &Farm,
    (kind, tank): (&str, Option<&str>),
    (from, until): (Day, Day),
) -> Vec<(i64, Day, &'a Entered)> {
    let zone = &farm.place.zone;
    let mut told: Vec<(i64, Day, &Entered)> = current(facts)
        .iter()
        .filter_map(|entry| entry.settled())
        .filter(|kept| kept.fact.kind == kind && (tank.is_none() || kept.fact.text("tank") == tank))
        .map(|kept| (kept.fact.happened.at.0, zone.day_and_second(kept.fact.happened.at).0, kept))
        .filter(|(_, on, _)| (from..=until).contains(on))
        .collect();
    told.sort_by_key(|(at, _, kept)| (*at, kept.seq));
    told
}

/// What was read in a tank last, each quantity by itself.
pub(super) fn last_read(facts: &[Entered], farm: &Farm, tank: &str, days: (Day, Day)) -> TankRead {
    let mut read = TankRead::default();
    for (_, on, kept) in of_tank(facts, farm, ("tank", Some(tank)), days) {
        let value = |name: &str| kept.fact.values.get(name).copied();
        read = TankRead {
            on: Some(on),
            temp_c: value("temperature").or(read.temp_c),
            ph: value("ph").or(read.ph),
            ammonia_mg_l: value("ammonia").or(read.ammonia_mg_l),
            nitrite_mg_l: value("nitrite").or(read.nitrite_mg_l),
            oxygen_mg_l: value("oxygen").or(read.oxygen_mg_l),
            dead: read.dead + value("deaths").unwrap_or(0.0),
            unread: if is_whole(&kept.fact) { read.unread } else { Some(on) },
        };
    }
    read
}

/// Whether every figure of an entry could be read.
fn is_whole(fact: &Fact) -> bool {
    read_typed(&fact.kind, fact.form, &fact.typed).slips.is_empty()
}

/// Ammonia and nitrite of one entry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Test {
    /// When, s since 1970.
    pub at_s: i64,
    /// The day.
    pub on: Day,
    /// Total ammonia nitrogen, mg/L.
    pub ammonia_mg_l: Option<f64>,
    /// Nitrite nitrogen, mg/L.
    pub nitrite_mg_l: Option<f64>,
}

/// A tank's readings of ammonia and nitrite in order of time.
pub(super) fn tests_of(facts: &[Entered], farm: &Farm, tank: &str, days: (Day, Day)) -> Vec<Test> {
    let told = of_tank(facts, farm, ("tank", Some(tank)), days).into_iter().map(|(at_s, on, kept)| {
        let value = |name: &str| kept.fact.values.get(name).copied();
        Test { at_s, on, ammonia_mg_l: value("ammonia"), nitrite_mg_l: value("nitrite") }
    });
    told.filter(|test| test.ammonia_mg_l.is_some() || test.nitrite_mg_l.is_some()).collect()
}

/// Where animals that were counted out of a tank went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MovedTo {
    /// Into a pond, by its short name.
    Pond(String),
    /// Into another tank, by its name.
    Tank(String),
    /// They stay where they were.
    Stays,
    /// Nobody said.
    Away,
}

/// Animals of one grade counted out of a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// The day.
    pub on: Day,
    /// The tank.
    pub tank: String,
    /// Grade as typed; `None` for ungraded.
    pub grade: Option<String>,
    /// Where to.
    pub to: MovedTo,
    /// How many.
    pub count: f64,
    /// More or less by this, 95 times in 100; `None` from one sample.
    pub either_way: Option<f64>,
    /// Mean weight, g.
    pub mean_weight_g: Option<f64>,
    /// Dead at it.
    pub dead: f64,
    /// The tank was empty then.
    pub is_emptied: bool,
}

/// What was counted out between two days, in order of the day; what stays in a tank after what left it the same day.
pub(super) fn moves(facts: &[Entered], farm: &Farm, days: (Day, Day)) -> Vec<Moved> {
    let told = of_tank(facts, farm, ("counted_out", None), days);
    let mut moves: Vec<Moved> = told.into_iter().filter_map(|(_, on, kept)| moved(on, &kept.fact)).collect();
    moves.sort_by_key(|one| (one.on, one.to == MovedTo::Stays));
    moves
}

fn moved(on: Day, fact: &Fact) -> Option<Moved> {
    let value = |name: &str| fact.values.get(name).copied();
    let tank = fact.text("tank")?.to_owned();
    let to = match (fact.pond(), fact.text("to_tank")) {
        (Some(pond), _) => MovedTo::Pond(pond.to_owned()),
        (None, Some(to)) if to == tank => MovedTo::Stays,
        (None, Some(to)) => MovedTo::Tank(to.to_owned()),
        (None, None) => MovedTo::Away,
    };
    Some(Moved {
        on,
        tank,
        to,
        grade: fact.text("grade").filter(|grade| *grade != "ungraded").map(str::to_owned),
        count: value("number")?,
        either_way: value("either_way"),
        mean_weight_g: value("mean_weight"),
        dead: value("dead").unwrap_or(0.0),
        is_emptied: fact.text("tank_empty") == Some("yes"),
    })
}
