//! How long a record of many readings takes: `cargo run --release -p store --example scale -- [ROWS] [FACTS]`.
//!
//! Makes a record in a folder of its own, brings logger rows of 20 ponds in (one file for each pond and season), types facts, and
//! asks what a pond's page asks. Prints a table; leaves nothing behind.

use std::collections::BTreeMap;
use std::time::Instant as Clock;

use farm::facts::{Fact, Happened, current};
use farm::logger::Series;
use farm::observed::{Place, Spot};
use store::{Asked, At, Exchange, FarmRow, LoggerFile, Quantity, Store};
use units::{Instant, Watch};

const PONDS: u64 = 20;
const SEASONS: u64 = 10;
const BEGIN_S: i64 = 1_300_000_000;
const YEAR_S: i64 = 31_536_000;
const DEEP: Spot = Spot { place: Place::Deep, depth_m: 0.457 };

fn main() {
    let mut words = std::env::args().skip(1).filter_map(|word| word.parse::<u64>().ok());
    let (rows, facts) = (words.next().unwrap_or(1_000_000), words.next().unwrap_or(40_000));
    let folder = std::env::temp_dir().join(format!("warmspell-scale-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let path = folder.join("a.db");
    let store = Store::open(&path, 0).expect("a record");
    store.keep_farm(&FarmRow { id: "bend".into(), name: "Bend".into(), made_ms: 0, is_sample: false }).expect("a farm");
    let begun = Clock::now();
    bring_in(&store, rows);
    row("logger rows in", rows, begun);
    let begun = Clock::now();
    for first in (0..facts).step_by(500) {
        let some: Vec<Fact> = (first..(first + 500).min(facts)).map(typed).collect();
        store.insert(&some, exchange()).expect("kept");
    }
    row("typed facts in, 500 a sending", facts, begun);
    let begun = Clock::now();
    (0..50).for_each(|n| drop(store.insert(&[typed(facts + n)], exchange()).expect("kept")));
    row("typed facts in, one a sending", 50, begun);
    drop(store);
    let begun = Clock::now();
    let store = Store::open(&path, 0).expect("opens again");
    row("opening, with the quick check", 1, begun);
    ask(&store);
    let begun = Clock::now();
    store.full_check().expect("whole");
    row("the full check", 1, begun);
    let begun = Clock::now();
    let copy = folder.join("copy.db");
    store.back_up(&copy, &Watch::new()).expect("a backup");
    row("backup, with the full check", 1, begun);
    let size = std::fs::metadata(&copy).map_or(0, |file| file.len());
    println!("{:<44} {:>10.1} MB", "size of the file", size as f64 / 1e6);
    let _ = std::fs::remove_dir_all(&folder);
}

fn row(what: &str, count: u64, begun: Clock) {
    let taken_s = begun.elapsed().as_secs_f64();
    println!("{what:<44} {count:>10}  {:>9.2} s  {:>9.4} ms each", taken_s, 1000.0 * taken_s / count.max(1) as f64);
}

fn exchange() -> Exchange<'static> {
    Exchange { device: "phone", now_ms: 0, device_ms: Some(0) }
}

fn fact(n: u64, kind: &str, pond: u64, at_s: i64, typed: &[(&str, String)]) -> Fact {
    let mut said: BTreeMap<String, String> =
        typed.iter().map(|(key, text)| ((*key).to_owned(), text.clone())).collect();
    said.insert("pond".to_owned(), format!("pond-{pond}"));
    Fact {
        id: format!("{n:032x}"),
        farm: "bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at: Instant(at_s), offset_s: -18_000 },
        typed_ms: at_s * 1000,
        corrects: None,
        typed: said,
        values: BTreeMap::new(),
    }
}

/// One file for each pond and season, a row every five minutes.
fn bring_in(store: &Store, rows: u64) {
    let each = rows / (PONDS * SEASONS);
    for season in 0..SEASONS {
        for pond in 0..PONDS {
            let begin_s = BEGIN_S + season as i64 * YEAR_S;
            let file =
                fact((1 << 40) + season * PONDS + pond, "logger", pond, begin_s, &[("file", "logger.csv".to_owned())]);
            let rows = (0..each as i64)
                .map(|n| (Instant(begin_s + 300 * n), 22.0 + ((n * 7919) % 97) as f64 / 20.0))
                .collect();
            let series = Series { quantity: Quantity::Temperature, spot: DEEP, rows };
            let from = LoggerFile { media: "text/csv", bytes: file.id.as_bytes() };
            store.keep_series(&file, exchange(), from, &[series], &Watch::new()).expect("kept");
        }
    }
}

/// Typed readings spread over ponds and seasons, two a pond and day.
fn typed(n: u64) -> Fact {
    let at_s = BEGIN_S + (n / PONDS) as i64 * 43_200;
    fact(
        n,
        "reading",
        n % PONDS,
        at_s,
        &[("temperature", format!("{} F", 60 + n % 20)), ("oxygen", "6.1 mg/L".to_owned())],
    )
}

/// What a pond's page asks, each the middle of 21 times.
fn ask(store: &Store) {
    let season = (Instant(BEGIN_S + 5 * YEAR_S), Instant(BEGIN_S + 6 * YEAR_S));
    let middle = |what: &str, act: &dyn Fn()| {
        let mut times: Vec<f64> = (0..21)
            .map(|_| {
                let begun = Clock::now();
                act();
                1000.0 * begun.elapsed().as_secs_f64()
            })
            .collect();
        times.sort_by(f64::total_cmp);
        println!("{what:<44} {:>10}  {:>9.2} ms in the middle, {:>7.2} ms at worst", "", times[10], times[20]);
    };
    middle("a pond's season by hours, from the logger", &|| {
        let at =
            At { farm: "bend", pond: "pond-7", quantity: Quantity::Temperature, place: "deep", depth_m: DEEP.depth_m };
        store.logged(at, season, 3600).expect("rows");
    });
    middle("a pond's last 50 entries", &|| {
        let asked = Asked { pond: Some("pond-7"), last: Some(50), ..Asked::default() };
        store.facts_where("bend", asked).expect("facts");
    });
    middle("a season's entries, corrections followed", &|| {
        let asked = Asked { from: Some(Instant(BEGIN_S)), before: Some(Instant(BEGIN_S + YEAR_S)), ..Asked::default() };
        current(&store.facts_where("bend", asked).expect("facts")).len();
    });
    middle("digest of all facts, epoch and last number", &|| {
        store.facts_digest("bend").expect("a digest");
        store.epoch().expect("an epoch");
        store.last_seq().expect("a number");
    });
}
