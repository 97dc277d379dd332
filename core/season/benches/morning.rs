//! What a person waits for: `cargo bench -p season --bench morning [-- replay | winter | day]`.
//!
//! The sample farm's morning from its texts to the answer, 300 members to the season's end; and with `replay` one past autumn lived
//! again under all policies. Each time stands beside its cost per member-hour (a pond under a member for an hour), to be
//! compared with the water alone, `cargo bench -p pond`: the rest is weather, animals, money and the decision.

// A bench reads the clock.
#![allow(clippy::disallowed_methods)]

use std::time::Instant;

use farm::facts::{Basket, DayRecord, Place, Written};
use farm::{Farm, read_farm, read_world};
use season::day::{DayWish, rehearsal};
use season::replay::{ReplayAsk, replay};
use season::weather::{DailyRecord, DonorRecord, IssuedForecast, read_daily, read_forecast_table};
use season::winter::{understand, winter};
use season::{FarmPast, MorningAsk, answer_from, draw, outlook};
use units::Watch;

const FARM: &str = include_str!("../../../samples/hazel-bend/farm.toml");
const HISTORY: &[u8] = include_bytes!("../../../samples/hazel-bend/history.csv");
const FORECAST: &[u8] = include_bytes!("../../../samples/hazel-bend/forecast.csv");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../samples/donors/kennedy.csv")),
];
const WORLD: &str = include_str!("../../../checks/replay/world.toml");
const REPEATS: usize = 7;

struct Read {
    farm: Farm,
    history: DailyRecord,
    donors: DonorRecord,
    forecast: IssuedForecast,
}

fn read() -> Read {
    let farm = read_farm(FARM).expect("the sample reads");
    let forecast = read_forecast_table(FORECAST, &farm.place.zone).expect("its forecast reads").value;
    let history = read_daily(HISTORY).expect("the record reads").value;
    Read { history, donors: DonorRecord::read(&DONORS).expect("the donors read").0, farm, forecast }
}

/// Least, middle and most of some repeats, s; `member_hours` is what one repeat runs.
fn say(what: &str, member_hours: f64, mut work: impl FnMut()) -> f64 {
    let mut took: Vec<f64> = (0..REPEATS)
        .map(|_| {
            let begin = Instant::now();
            work();
            begin.elapsed().as_secs_f64()
        })
        .collect();
    took.sort_by(f64::total_cmp);
    let (least, middle, most) = (took[0], took[REPEATS / 2], took[REPEATS - 1]);
    let each = if member_hours > 0.0 {
        format!(", {:.0} ns per member-hour", 1e9 * middle / member_hours)
    } else {
        String::new()
    };
    println!("{what:44} {middle:7.3} s (least {least:.3}, most {most:.3}){each}");
    middle
}

fn morning() {
    let read = read();
    let past = FarmPast::new(&read.farm, &read.history, &read.donors, 1).expect("the record covers the farm");
    let on = read.farm.morning.as_ref().expect("the sample carries its morning").on;
    let days = (read.farm.season.last_catch.0 - on.0 + 1) as f64;
    println!("{} ponds, {days} days to the last catch, {REPEATS} repeats, all threads", read.farm.ponds.len());
    say("reading the texts", 0.0, || {
        std::hint::black_box(self::read());
    });
    say("the past made whole", 0.0, || {
        std::hint::black_box(FarmPast::new(&read.farm, &read.history, &read.donors, 1).expect("as before"));
    });
    let per_member = read.farm.ponds.len() as f64 * days * 24.0;
    let ask = |members: usize| {
        let ask = MorningAsk {
            farm: &read.farm,
            past: &past,
            on,
            now_hour: 7,
            forecast: Some(&read.forecast),
            members,
            yesterday: None,
            until_proved: false,
        };
        let name = format!("the morning's answer, {members} members");
        say(&name, per_member * members as f64, || {
            let answer = outlook(&ask, &Watch::new()).expect("the sample is answered");
            assert_eq!(answer.members, members);
        })
    };
    let (some, all) = (ask(64), ask(300));
    let each = 1e9 * (all - some) / (per_member * 236.0);
    println!("each further member: {each:.0} ns per member-hour");
}

/// The evening before under three crews, and the day told again after an entry.
fn rehearsed() {
    let read = read();
    let past = FarmPast::new(&read.farm, &read.history, &read.donors, 1).expect("the record covers the farm");
    let on = read.farm.morning.as_ref().expect("the sample carries its morning").on;
    let ask = MorningAsk {
        farm: &read.farm,
        past: &past,
        on,
        now_hour: 7,
        forecast: Some(&read.forecast),
        members: 300,
        yesterday: None,
        until_proved: false,
    };
    let drawn = draw(&ask, &Watch::new()).expect("drawn");
    let answer = answer_from(&ask, &drawn, &Watch::new()).expect("an answer");
    let wish = DayWish { hands: Some(6), ..DayWish::default() };
    for pond in 0..read.farm.ponds.len() {
        let made = || rehearsal(&ask, &drawn, &answer, pond, &wish).expect("a rehearsal");
        let of = made();
        assert_eq!((of.sheet.crews.len(), of.sheet.members), (3, 300));
        say(&format!("{}: rehearsed with its drawdown, three crews", of.sheet.pond), 0.0, || {
            std::hint::black_box(made());
        });
        let zone = &read.farm.place.zone;
        let hour = of.sheet.course.seine_h.0 + 1.0;
        let at = |hour: f64| units::Instant(zone.instant(of.sheet.on, 0).0 + (3600.0 * hour) as i64);
        let basket = |n: u32| {
            let at = at(hour - 0.5 + 0.04 * f64::from(n));
            let (id, head, person) = (n.to_string(), n.to_string(), String::new());
            let written = Written { id, head, at, typed_ms: 1000 * at.0, person, pond: None, tub: None };
            Basket { written, net_kg: 8.0, to: Place::Chill, count: None, by_hand: false }
        };
        let record = DayRecord { baskets: (0..10).map(basket).collect(), ..DayRecord::default() };
        say(&format!("{}: told again after an entry", of.sheet.pond), 0.0, || {
            std::hint::black_box(of.again(&record, at(hour), zone).expect("told again"));
        });
    }
}

fn replayed() {
    let read = read();
    let past = FarmPast::new(&read.farm, &read.history, &read.donors, 1).expect("the record covers the farm");
    let mut world = read_world(WORLD).expect("the shipped world reads");
    world.draws_per_year = 1;
    let mut seconds = Vec::new();
    for years in [(1990, 1990), (1990, 1995)] {
        let ask = ReplayAsk {
            farm: &read.farm,
            past: &past,
            world: &world,
            years,
            error_factor: 1.0,
            timing_factor: 1.0,
            without_shortcuts: false,
        };
        let begin = Instant::now();
        let seasons = replay(&ask, &Watch::new()).expect("the years are lived").seasons.len();
        seconds.push(begin.elapsed().as_secs_f64());
        println!("{seasons} seasons under all policies: {:.1} s", seconds[seconds.len() - 1]);
    }
    println!("each further season: {:.2} s, {} members each morning", (seconds[1] - seconds[0]) / 5.0, world.members);
}

/// A pond's winter plan: five dates by five densities over sixty past years, the water run anew.
fn wintered() {
    let Read { history, donors, farm, .. } = read();
    let past = FarmPast::new(&farm, &history, &donors, 1).expect("a past");
    let today = farm.morning.as_ref().expect("a sample carries its morning").on;
    let ask = understand(&farm, &past, 0, today, &[]).expect("understood").ask;
    let days = f64::from(ask.last_catch.0 - ask.dates[0].0 + 42);
    say("winter plan, 5 dates by 5 densities, 60 years", 60.0 * days * 24.0, || {
        let found = winter(&ask, &Watch::new()).expect("answered");
        assert_eq!((found.variants.len(), found.years.0), (25, 60));
    });
}

fn main() {
    match std::env::args().find(|word| ["replay", "winter", "day"].contains(&word.as_str())).as_deref() {
        Some("replay") => replayed(),
        Some("winter") => wintered(),
        Some("day") => rehearsed(),
        _ => {
            morning();
            wintered();
        }
    }
}
