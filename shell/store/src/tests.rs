use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use farm::facts::{Fact, Happened};
use rusqlite::Connection;
use units::{Instant, Watch};

use super::*;

mod crash;
mod file;
mod linked;
mod trip;

const NOW_MS: i64 = 1_600_000_000_000;

/// A folder of this test's own, empty and gone afterwards.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let path = std::env::temp_dir().join(format!("warmspell-store-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).expect("a folder for the test");
        Folder(path)
    }
    fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
    fn store(&self) -> Store {
        let store = Store::open(&self.file("a.db"), NOW_MS).expect("a new store");
        store.keep_farm(&bend()).expect("a farm");
        store
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn bend() -> FarmRow {
    FarmRow { id: "bend".to_owned(), name: "The Bend".to_owned(), made_ms: NOW_MS, is_sample: false }
}

fn id(n: u64) -> String {
    format!("{n:032x}")
}

fn reading(n: u64, typed: &str) -> Fact {
    let typed = [("pond", "willow"), ("temperature", typed)];
    Fact {
        id: id(n),
        farm: "bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: "reading".to_owned(),
        form: 1,
        happened: Happened { at: Instant(1_600_000_000 + n as i64 * 300), offset_s: -18_000 },
        typed_ms: NOW_MS + n as i64,
        corrects: None,
        typed: typed.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
        values: BTreeMap::new(),
    }
}

fn exchange() -> Exchange<'static> {
    Exchange { device: "phone", now_ms: NOW_MS, device_ms: Some(NOW_MS + 90_000) }
}

#[test]
fn a_fact_is_made_once_however_often_it_is_sent() {
    let folder = Folder::new("once");
    let store = folder.store();
    let sent = [reading(1, "64F"), reading(2, "18 °C")];
    assert_eq!(store.insert(&sent, exchange()).unwrap(), [Insert::Made { seq: 1 }, Insert::Made { seq: 2 }]);
    assert_eq!(
        store.insert(&sent, exchange()).unwrap(),
        [Insert::AlreadyHad { seq: 1 }, Insert::AlreadyHad { seq: 2 }]
    );
    let facts = store.facts("bend").unwrap();
    assert_eq!(facts.len(), 2);
    assert!((facts[0].fact.values["temperature"] - 17.777_777).abs() < 1e-5, "{:?}", facts[0].fact.values);
    assert_eq!(facts[0].fact.typed["temperature"], "64F");
    assert_eq!((facts[1].seq, facts[1].received_ms, facts[1].clock_off_ms), (2, NOW_MS, 90_000));
}

#[test]
fn another_body_under_the_same_id_is_kept_aside_for_a_person() {
    let folder = Folder::new("differs");
    let store = folder.store();
    store.insert(&[reading(1, "64F")], exchange()).unwrap();
    for _ in 0..2 {
        let answers = store.insert(&[reading(1, "46F")], exchange()).unwrap();
        assert!(
            matches!(&answers[..], [Insert::Differs { kept }] if kept.fact.typed["temperature"] == "64F"),
            "{answers:?}"
        );
    }
    let waiting = store.differing("bend").unwrap();
    assert_eq!(waiting.len(), 1);
    assert_eq!(waiting[0].other.typed["temperature"], "46F");
    assert_eq!(store.last_seq().unwrap(), 1, "the number is not used up");
    store.differing_seen(waiting[0].n, NOW_MS).unwrap();
    assert!(store.differing("bend").unwrap().is_empty());
}

#[test]
fn what_cannot_be_read_is_kept_as_typed() {
    let folder = Folder::new("unread");
    let store = folder.store();
    let mut newer = reading(2, "64F");
    newer.form = 99;
    store.insert(&[reading(1, "warmish"), newer], exchange()).unwrap();
    let facts = store.facts("bend").unwrap();
    assert!(facts.iter().all(|kept| kept.fact.values.is_empty()));
    assert_eq!(facts[0].fact.typed["temperature"], "warmish");
}

#[test]
fn a_sending_is_kept_wholly_or_not_at_all() {
    let folder = Folder::new("whole");
    let store = folder.store();
    let mut elsewhere = reading(2, "64F");
    elsewhere.farm = "nowhere".to_owned();
    assert_eq!(store.insert(&[reading(1, "64F"), elsewhere], exchange()), Err(StoreError::BadRow("farm")));
    let watch = Watch::new();
    watch.ask_to_stop();
    assert_eq!(store.insert_watched(&[reading(1, "64F")], exchange(), &watch), Err(StoreError::Stopped));
    assert_eq!(store.last_seq().unwrap(), 0);
}

#[test]
fn the_schema_itself_refuses_to_change_or_skip() {
    let folder = Folder::new("schema");
    let store = folder.store();
    store.insert(&[reading(1, "64F")], exchange()).unwrap();
    let raw = Connection::open(store.path()).unwrap();
    for (text, why) in [
        ("update fact set typed = '{}'", "never changed"),
        ("delete from fact", "never taken away"),
        (
            "insert into fact select 3, '00000000000000000000000000000003', farm, device, person, kind, form, happened_s, offset_s, typed_ms, received_ms, clock_off_ms, corrects, pond, typed, vals, chain from fact",
            "without a gap",
        ),
        (
            "insert into fact select 2, 'short', farm, device, person, kind, form, happened_s, offset_s, typed_ms, received_ms, clock_off_ms, corrects, pond, typed, vals, chain from fact",
            "CHECK",
        ),
    ] {
        let error = raw.execute_batch(text).expect_err(text).to_string();
        assert!(error.contains(why), "{text}: {error}");
    }
    // Someone who takes the guards off first is still seen.
    raw.execute_batch(
        "drop trigger fact_kept; update fact set typed = '{\"pond\":\"willow\",\"temperature\":\"99F\"}'",
    )
    .unwrap();
    assert!(matches!(store.full_check(), Err(StoreError::Damaged(_))));
}

#[test]
fn facts_are_found_by_pond_kind_and_time() {
    let folder = Folder::new("found");
    let store = folder.store();
    let mut facts: Vec<Fact> = (1..=20).map(|n| reading(n, "64F")).collect();
    facts[3].typed.insert("pond".to_owned(), "quarry".to_owned());
    store.insert(&facts, exchange()).unwrap();
    let found =
        |asked: Asked<'_>| store.facts_where("bend", asked).unwrap().iter().map(|kept| kept.seq).collect::<Vec<_>>();
    assert_eq!(found(Asked { pond: Some("quarry"), ..Asked::default() }), [4]);
    assert_eq!(found(Asked { pond: Some("willow"), last: Some(2), ..Asked::default() }), [19, 20]);
    assert_eq!(found(Asked { after_seq: Some(18), kind: Some("reading"), ..Asked::default() }), [19, 20]);
    let (from, before) = (Some(facts[4].happened.at), Some(facts[6].happened.at));
    assert_eq!(found(Asked { from, before, ..Asked::default() }), [5, 6]);
    assert!(store.facts("elsewhere").unwrap().is_empty());
}

#[test]
fn a_logger_file_comes_in_whole_and_once() {
    let folder = Folder::new("logger");
    let store = folder.store();
    let mut fact = reading(1, "");
    fact.kind = "logger".to_owned();
    fact.typed =
        [("pond", "willow"), ("file", "august.csv")].map(|(key, text)| (key.to_owned(), text.to_owned())).into();
    let rows: Vec<(Instant, f64)> = (0..5000).map(|n| (Instant(n * 300), 20.0 + (n % 7) as f64)).collect();
    let file = LoggerFile { media: "text/csv", bytes: b"the file" };
    let at = At { farm: "bend", pond: "willow", quantity: Quantity::Temperature, place: "deep", depth_m: 0.5 };
    let series = [deep(Quantity::Temperature, rows.clone())];
    let watch = Watch::new();
    watch.ask_to_stop();
    assert_eq!(store.keep_series(&fact, exchange(), file, &series, &watch), Err(StoreError::Stopped));
    assert_eq!(store.last_seq().unwrap(), 0, "not half a file");
    assert_eq!(store.blob(&sha256_hex(b"the file")).unwrap(), None);
    let watch = Watch::new();
    let taken = store.keep_series(&fact, exchange(), file, &series, &watch).unwrap();
    assert_eq!((taken.seq, taken.made, taken.already_had, watch.progress()), (Some(1), 5000, 0, (5000, 5000)));
    assert_eq!(store.readings(at, ALWAYS).unwrap(), rows);
    assert!(store.blob(&sha256_hex(b"the file")).unwrap().is_some());
    // The same again, under another mark: nothing is doubled and nothing kept.
    let mut again = fact.clone();
    again.id = id(2);
    let taken = store.keep_series(&again, exchange(), file, &series, &Watch::new()).unwrap();
    assert_eq!((taken.seq, taken.made, taken.already_had), (None, 0, 5000));
    // Some of it, one reading otherwise and one more: what came first counts.
    let more = [deep(Quantity::Temperature, vec![rows[0], (Instant(300), 9.0), (Instant(400), 9.5)])];
    let taken = store.keep_series(&again, exchange(), file, &more, &Watch::new()).unwrap();
    assert_eq!((taken.seq, taken.made, taken.already_had, taken.differs), (Some(2), 1, 1, 1));
    let first = store.readings(at, (Instant(0), Instant(601))).unwrap();
    assert_eq!(first, [rows[0], rows[1], (Instant(400), 9.5), rows[2]]);
    let hours = store.logged(at, (Instant(0), Instant(7200)), 3600).unwrap();
    assert_eq!(hours.len(), 2);
    assert_eq!(hours[0].1[1..], [9.5, 26.0]);
    // The first file is taken back: what the other one says stands alone. Then it comes again.
    let mut strike = fact.clone();
    (strike.id, strike.corrects) = (id(3), Some(fact.id.clone()));
    strike.typed.insert("struck".to_owned(), "yes".to_owned());
    store.insert(&[strike], exchange()).unwrap();
    assert_eq!(store.readings(at, ALWAYS).unwrap(), [rows[0], (Instant(300), 9.0), (Instant(400), 9.5)]);
    again.id = id(4);
    let taken = store.keep_series(&again, exchange(), file, &series, &Watch::new()).unwrap();
    assert_eq!((taken.made, taken.already_had, taken.differs), (4998, 1, 1));
    assert_eq!(store.logged_spots("bend").unwrap().len(), 1);
}

/// Readings at the deep end, half a metre down.
fn deep(quantity: Quantity, rows: Vec<(Instant, f64)>) -> farm::logger::Series {
    let spot = farm::observed::Spot { place: farm::observed::Place::Deep, depth_m: 0.5 };
    farm::logger::Series { quantity, spot, rows }
}

#[test]
fn a_device_comes_in_by_a_code_once() {
    let folder = Folder::new("people");
    let store = folder.store();
    let hash = sha256_hex(b"314 159");
    let pairing = Pairing {
        code_hash: hash.clone(),
        farm: "bend".to_owned(),
        name: "Bo".to_owned(),
        role: Role::Crew,
        ends_ms: NOW_MS + 1000,
    };
    store.keep_pairing(&pairing, NOW_MS).unwrap();
    assert_eq!(store.pair("bend", &hash, "Bo's phone", NOW_MS + 1000).unwrap(), None, "too late");
    assert_eq!(store.pair("other", &hash, "Bo's phone", NOW_MS + 1).unwrap(), None, "another farm's");
    let paired = store.pair("bend", &hash, "Bo's phone", NOW_MS + 1).unwrap().expect("in time");
    assert_eq!(store.pair("bend", &hash, "another", NOW_MS + 2).unwrap(), None, "used");
    let token = sha256_hex(b"token");
    store.open_session(&token, &paired.device.id, false, NOW_MS, NOW_MS + 5000).unwrap();
    let session = store.session(&token, NOW_MS + 10).unwrap().expect("open");
    assert_eq!((session.person.name.as_str(), session.person.role), ("Bo", Role::Crew));
    assert_eq!(store.session(&token, NOW_MS + 5000).unwrap(), None, "over");
    store.end_device(&paired.device.id, NOW_MS + 20).unwrap();
    assert_eq!(store.session(&token, NOW_MS + 30).unwrap(), None, "shut out");
    let limits = crate::Attempts { within_ms: 100, most_each: 2, most: 3 };
    let tried = |source: &str, at_ms: i64| store.attempt(source, NOW_MS + at_ms, limits).unwrap();
    assert_eq!([tried("10.0.0.7", 1), tried("10.0.0.7", 2)], [None, None]);
    assert_eq!(tried("10.0.0.7", 3), Some(NOW_MS + 101), "when the first is past");
    assert_eq!(tried("10.0.0.8", 4), None);
    assert_eq!(tried("10.0.0.9", 5), Some(NOW_MS + 101), "too many in all");
    assert_eq!(tried("10.0.0.9", 101), None);
    store.insert(&[reading(1, "64F")], Exchange { device: &paired.device.id, ..exchange() }).unwrap();
    assert_eq!(store.devices("bend").unwrap()[0].clock_off_ms, Some((90_000, NOW_MS)));
}

fn forecast_row() -> ForecastRow {
    ForecastRow {
        made_ms: NOW_MS,
        pond: "willow".to_owned(),
        place: "deep".to_owned(),
        depth_m: 0.457,
        at: Instant(1_600_000_000),
        says: Spoken::Quantile(0.1),
        value: 0.1 + 0.2,
        program: "0.1.0".to_owned(),
        seed: u64::MAX,
    }
}

/// A person and a phone.
fn let_in(store: &Store) {
    let person = Person {
        id: "ann".to_owned(),
        farm: "bend".to_owned(),
        name: "Ann".to_owned(),
        role: Role::Owner,
        made_ms: NOW_MS,
        ended_ms: None,
    };
    store.keep_person(&person).unwrap();
    let device = Device {
        id: "phone".to_owned(),
        farm: "bend".to_owned(),
        person: "ann".to_owned(),
        name: "phone".to_owned(),
        made_ms: NOW_MS,
        ended_ms: None,
        clock_off_ms: None,
    };
    store.keep_device(&device).unwrap();
}

/// A store with something in every table that an archive carries.
fn full(folder: &Folder) -> Store {
    let store = folder.store();
    let_in(&store);
    let mut facts: Vec<Fact> = (1..=9).map(|n| reading(n, "3 ft, \"said\"\nthe 🦐")).collect();
    facts[8].corrects = Some(id(1));
    store.insert(&facts, exchange()).unwrap();
    store.insert(&[reading(1, "46F")], exchange()).unwrap();
    let mut logger = reading(20, "");
    logger.kind = "logger".to_owned();
    let file = LoggerFile { media: "text/csv", bytes: b"the file" };
    let rows = vec![(Instant(0), 0.3), (Instant(300), -0.25), (Instant(200_000), 0.1)];
    store.keep_series(&logger, exchange(), file, &[deep(Quantity::Oxygen, rows)], &Watch::new()).unwrap();
    let season = Season {
        id: "s".to_owned(),
        farm: "bend".to_owned(),
        name: "first".to_owned(),
        starts: units::Day(18_400),
        ends: None,
    };
    store.keep_season(&season).unwrap();
    for batch in ["b1", "b2"] {
        let batch = Batch {
            id: batch.to_owned(),
            season: "s".to_owned(),
            pond: "willow".to_owned(),
            starts: units::Day(18_401),
            ends: None,
        };
        store.keep_batch(&batch).unwrap();
    }
    store.keep_blob("image/jpeg", &[0, 255, 7], NOW_MS).unwrap();
    let answer = KeptAnswer {
        farm: "bend".to_owned(),
        question: "morning".to_owned(),
        made_ms: NOW_MS,
        seed: u64::MAX,
        program: "0.1.0".to_owned(),
        facts_digest: store.facts_digest("bend").unwrap(),
        body: "{\"a\":1}".to_owned(),
    };
    store.keep_answer(&answer).unwrap();
    store
        .keep_forecast(
            "bend",
            &[forecast_row(), ForecastRow { says: Spoken::Chance(13.0), value: 0.25, ..forecast_row() }],
        )
        .unwrap();
    assert_eq!(store.last_answer("bend", "morning").unwrap(), Some(answer));
    assert_eq!(store.forecasts_made("bend", (0, i64::MAX), Some("deep")).unwrap()[1], forecast_row());
    store
}

fn copy_of(path: &Path, to: &Path) {
    std::fs::copy(path, to).expect("a copy");
}
