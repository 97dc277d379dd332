//! The file itself: opened, refused, full, locked; and every earlier version of it.

use super::*;

/// A store of version 1 with one of everything, as SQL text. Made once by the test below when it was written; never edited.
const VERSION_1: &str = include_str!("version_1.sql");
/// The same of version 2.
const VERSION_2: &str = include_str!("version_2.sql");
/// The same of version 3.
const VERSION_3: &str = include_str!("version_3.sql");
/// The same of version 4.
const VERSION_4: &str = include_str!("version_4.sql");
/// The same of version 5.
const VERSION_5: &str = include_str!("version_5.sql");

#[test]
fn every_earlier_version_opens_with_all_it_held() {
    let folder = Folder::new("versions");
    const SAVED: &[(u32, &str)] = &[(1, VERSION_1), (2, VERSION_2), (3, VERSION_3), (4, VERSION_4), (5, VERSION_5)];
    for &(version, text) in SAVED {
        let path = folder.file(&format!("{version}.db"));
        Connection::open(&path).unwrap().execute_batch(text).unwrap();
        let store = Store::open(&path, NOW_MS).unwrap();
        store.full_check().unwrap();
        assert_eq!(store.facts("bend").unwrap().len(), 10, "version {version}");
        assert_eq!(store.farms().unwrap(), [bend()]);
        assert_eq!(store.forecasts_made("bend", (0, i64::MAX), None).unwrap().len(), 2);
        let oxygen = At { farm: "bend", pond: "willow", quantity: Quantity::Oxygen, place: "deep", depth_m: 0.5 };
        let first = store.readings(oxygen, ALWAYS).unwrap()[0];
        assert!(first.0 == Instant(0) && (first.1 - 0.3).abs() < 1e-9, "version {version}: {first:?}");
        store.insert(&[reading(50, "64F")], exchange()).unwrap();
        let now: u32 =
            Connection::open(&path).unwrap().pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
        assert_eq!(now, newest_version());
    }
}

#[test]
fn the_newest_version_has_its_saved_file() {
    // Whoever adds a step saves a file of it too: run with WARMSPELL_SAVE=path to write one.
    let folder = Folder::new("save");
    let store = full(&folder);
    if let Some(path) = std::env::var_os("WARMSPELL_SAVE") {
        std::fs::write(path, dump(&Connection::open(store.path()).unwrap())).unwrap();
    }
    let saved = VERSION_5;
    assert!(saved.contains(&format!("pragma user_version = {};", newest_version())));
}

/// The whole file as SQL text: triggers last, so that rows come in as they are.
fn dump(raw: &Connection) -> String {
    let mut text = String::new();
    let mut query = raw.prepare("select name, sql, type from sqlite_schema where sql is not null order by type = 'trigger', type = 'index', rowid").unwrap();
    let things: Vec<(String, String, String)> =
        query.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?))).unwrap().map(Result::unwrap).collect();
    let (triggers, others): (Vec<_>, Vec<_>) = things.iter().partition(|thing| thing.2 == "trigger");
    others.iter().for_each(|(_, sql, _)| text.push_str(&format!("{sql};\n")));
    for (name, _, _) in others.iter().filter(|thing| thing.2 == "table") {
        let columns: Vec<String> = {
            let query = raw.prepare(&format!("select * from {name}")).unwrap();
            query.column_names().map(|column| format!("quote({column})")).collect()
        };
        let row = columns.join(" || ', ' || ");
        let mut rows =
            raw.prepare(&format!("select 'insert into {name} values (' || {row} || ');' from {name}")).unwrap();
        rows.query_map([], |row| row.get::<_, String>(0))
            .unwrap()
            .for_each(|row| text.push_str(&format!("{}\n", row.unwrap())));
    }
    triggers.iter().for_each(|(_, sql, _)| text.push_str(&format!("{sql};\n")));
    for pragma in ["application_id", "user_version"] {
        let value: i64 = raw.pragma_query_value(None, pragma, |row| row.get(0)).unwrap();
        text.push_str(&format!("pragma {pragma} = {value};\n"));
    }
    text
}

#[test]
fn a_newer_file_is_refused_and_left_alone() {
    let folder = Folder::new("newer");
    let store = folder.store();
    let path = store.path().to_owned();
    drop(store);
    Connection::open(&path).unwrap().pragma_update(None, "user_version", 99).unwrap();
    let before = std::fs::read(&path).unwrap();
    let newer = StoreError::Newer { file: 99, program: newest_version() };
    assert_eq!(Store::open(&path, NOW_MS).err(), Some(newer.clone()));
    assert_eq!(std::fs::read(&path).unwrap(), before);
    let mine = folder.file("mine.db");
    assert_eq!(Store::restore(&mine, &path, NOW_MS, &Watch::new()).err(), Some(newer));
    assert!(!mine.exists());
}

#[test]
fn what_is_no_store_is_refused_and_left_alone() {
    let folder = Folder::new("alien");
    let (letter, other) = (folder.file("letter.txt"), folder.file("other.db"));
    std::fs::write(&letter, "Dear Ann, the water is warm. ".repeat(100)).unwrap();
    Connection::open(&other).unwrap().execute_batch("create table a (b)").unwrap();
    for path in [letter, other, folder.0.clone()] {
        let before = std::fs::read(&path).ok();
        assert_eq!(Store::open(&path, NOW_MS).err(), Some(StoreError::NotAStore), "{}", path.display());
        assert_eq!(std::fs::read(&path).ok(), before);
    }
    let absent = Opening { make: false, wait_ms: 0 };
    assert_eq!(Store::open_with(&folder.file("none.db"), NOW_MS, absent).err(), Some(StoreError::Missing));
}

#[test]
fn a_read_only_file_is_said_plainly() {
    let folder = Folder::new("readonly");
    let path = folder.store().path().to_owned();
    let mut may = std::fs::metadata(&path).unwrap().permissions();
    may.set_readonly(true);
    std::fs::set_permissions(&path, may).unwrap();
    assert_eq!(Store::open(&path, NOW_MS).err(), Some(StoreError::ReadOnly));
}

#[test]
fn a_locked_file_is_said_plainly_and_nothing_is_lost() {
    let folder = Folder::new("locked");
    let path = folder.store().path().to_owned();
    let store = Store::open_with(&path, NOW_MS, Opening { make: false, wait_ms: 10 }).unwrap();
    let holder = Connection::open(&path).unwrap();
    holder.execute_batch("begin immediate").unwrap();
    assert_eq!(store.insert(&[reading(1, "64F")], exchange()), Err(StoreError::Locked));
    assert_eq!(store.last_seq().unwrap(), 0, "reading goes on");
    holder.execute_batch("rollback").unwrap();
    assert_eq!(store.insert(&[reading(1, "64F")], exchange()).unwrap(), [Insert::Made { seq: 1 }]);
}

#[test]
fn a_full_disk_is_said_plainly_and_nothing_is_lost() {
    let folder = Folder::new("full");
    let store = folder.store();
    store.insert(&[reading(1, "64F")], exchange()).unwrap();
    let pages: i64 = store.writer().1.pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
    store.writer().1.pragma_update(None, "max_page_count", pages + 2).unwrap();
    let many: Vec<Fact> = (2..500).map(|n| reading(n, "64F")).collect();
    assert_eq!(store.insert(&many, exchange()), Err(StoreError::Full));
    assert_eq!(store.last_seq().unwrap(), 1, "what was acknowledged is there, and not half of the rest");
    store.writer().1.pragma_update(None, "max_page_count", 1_000_000).unwrap();
    store.insert(&many, exchange()).unwrap();
    store.full_check().unwrap();
}

#[test]
fn a_year_asked_for_by_time_is_found_by_its_index() {
    let folder = Folder::new("plan");
    let store = folder.store();
    let plan = |text: &str| -> String {
        store
            .read(|raw| Ok(raw.query_row(&format!("explain query plan {text}"), [], |row| row.get::<_, String>(3))?))
            .unwrap()
    };
    let asked = "select * from fact where farm = 'bend' and happened_s >= 1 and happened_s < 2 order by +seq";
    assert!(plan(asked).contains("fact_when"), "{}", plan(asked));
    let morning = "select 1 from forecast where farm = 'bend' and program = '1' and made_ms >= 1 and made_ms < 2";
    assert!(plan(morning).contains("USING PRIMARY KEY (farm=? AND made_ms>? AND made_ms<?)"), "{}", plan(morning));
    let last = "select max(made_ms) from forecast where farm = 'bend'";
    assert!(plan(last).contains("USING PRIMARY KEY (farm=?)"), "{}", plan(last));
}

#[test]
fn a_morning_keeps_one_forecast_of_each_version() {
    let folder = Folder::new("morning");
    let store = folder.store();
    let row = |made_ms: i64, value: f64, program: &str| ForecastRow {
        made_ms,
        pond: "willow".to_owned(),
        place: "deep".to_owned(),
        depth_m: 1.0,
        at: Instant(1000),
        says: Spoken::Quantile(0.5),
        value,
        program: program.to_owned(),
        seed: 1,
    };
    let keep = |made_ms: i64, value: f64, program: &str| {
        store.keep_forecast_once("bend", program, 0, 86_400_000, &[row(made_ms, value, program)]).unwrap()
    };
    assert!(keep(5, 1.0, "1.0"));
    assert!(!keep(9, 2.0, "1.0"), "the first of a morning stands");
    assert!(keep(7, 3.0, "1.1"), "another version speaks for itself");
    let kept = store.forecasts_made("bend", (0, 10), None).unwrap();
    assert_eq!(kept.iter().map(|row| row.value).collect::<Vec<_>>(), [1.0, 3.0]);
}

#[test]
fn a_vanished_file_is_said_plainly() {
    let folder = Folder::new("vanished");
    let store = folder.store();
    store.insert(&[reading(1, "64F")], exchange()).unwrap();
    let (path, away) = (store.path().to_owned(), folder.file("away.db"));
    std::fs::rename(&path, &away).unwrap();
    assert_eq!(store.insert(&[reading(2, "64F")], exchange()), Err(StoreError::Missing));
    assert!(store.last_seq().is_err() || store.last_seq() == Ok(1));
    std::fs::rename(&away, &path).unwrap();
    assert_eq!(store.insert(&[reading(2, "64F")], exchange()).unwrap(), [Insert::Made { seq: 2 }]);
    drop(store);
    let again = Store::open(&path, NOW_MS).unwrap();
    assert_eq!(again.last_seq().unwrap(), 2, "both are in the file of that name");
}

#[test]
fn every_connection_waits_for_the_disk() {
    let folder = Folder::new("full-sync");
    let store = folder.store();
    let asked = |raw: &Connection| {
        let waits: i64 = raw.pragma_query_value(None, "synchronous", |row| row.get(0)).unwrap();
        let log: String = raw.pragma_query_value(None, "journal_mode", |row| row.get(0)).unwrap();
        (waits, log)
    };
    // 2 is FULL: with NORMAL a cut of power loses what was acknowledged, and no kill shows it.
    assert_eq!(asked(&store.writer().1), (2, "wal".to_owned()));
    assert_eq!(store.read(|raw| Ok(asked(raw))).unwrap(), (2, "wal".to_owned()));
}

#[test]
fn a_running_program_goes_on_with_what_a_restore_puts_in_the_place_of_a_damaged_file() {
    let folder = Folder::new("replaced");
    let store = folder.store();
    store.insert(&(1..300).map(|n| reading(n, "64F")).collect::<Vec<_>>(), exchange()).unwrap();
    let (path, backup) = (store.path().to_owned(), folder.file("backup.db"));
    store.back_up(&backup, &Watch::new()).unwrap();
    Connection::open(&path).unwrap().query_row("pragma wal_checkpoint(truncate)", [], |_| Ok(())).unwrap();
    let size = std::fs::metadata(&path).unwrap().len();
    let mut file = std::fs::File::options().write(true).open(&path).unwrap();
    for at in (8192..size).step_by(9) {
        std::io::Seek::seek(&mut file, std::io::SeekFrom::Start(at)).unwrap();
        std::io::Write::write_all(&mut file, &[0xa5]).unwrap();
    }
    assert!(matches!(Store::open(&path, NOW_MS), Err(StoreError::Damaged(_))));
    let restored = Store::restore(&path, &backup, NOW_MS, &Watch::new()).unwrap();
    // The program had the damaged file open all the while.
    assert_eq!(store.epoch().unwrap(), restored.epoch);
    assert_eq!(store.insert(&[reading(500, "64F")], exchange()).unwrap(), [Insert::Made { seq: 300 }]);
    store.full_check().unwrap();
    drop(store);
    assert_eq!(Store::open(&path, NOW_MS).unwrap().last_seq().unwrap(), 300, "in the file of that name");
    let before = restored.before.expect("what stood there is kept aside");
    assert!(matches!(Store::open(&before, NOW_MS), Err(StoreError::Damaged(_))));
}

#[test]
fn a_page_spoilt_under_a_running_program_is_found_by_the_full_check_and_before_a_backup() {
    let folder = Folder::new("spoilt");
    let store = folder.store();
    let facts: Vec<Fact> = (1..300).map(|n| reading(n, "64F")).collect();
    store.insert(&facts, exchange()).unwrap();
    // One letter of what somebody typed, changed behind the program's back: the file is whole for SQLite, and not for us.
    let raw = Connection::open(store.path()).unwrap();
    raw.execute_batch("drop trigger fact_kept; update fact set typed = replace(typed, '64F', '65F') where seq = 150;")
        .unwrap();
    drop(raw);
    let found = store.full_check();
    assert!(matches!(&found, Err(StoreError::Damaged(why)) if why.contains("150")), "{found:?}");
    let to = folder.file("backup.db");
    assert!(matches!(store.back_up(&to, &Watch::new()), Err(StoreError::Damaged(_))));
    assert!(!to.exists(), "no backup of a damaged file");
}

#[test]
fn a_damaged_file_is_found() {
    let folder = Folder::new("damaged");
    let store = folder.store();
    store.insert(&(1..300).map(|n| reading(n, "64F")).collect::<Vec<_>>(), exchange()).unwrap();
    let (path, hurt) = (store.path().to_owned(), folder.file("hurt.db"));
    drop(store);
    copy_of(&path, &hurt);
    let mut bytes = std::fs::read(&hurt).unwrap();
    // Past the first page, which names the file.
    bytes[8192..].iter_mut().step_by(9).for_each(|byte| *byte = 0xa5);
    std::fs::write(&hurt, bytes).unwrap();
    assert!(matches!(Store::open(&hurt, NOW_MS), Err(StoreError::Damaged(_))));
}
