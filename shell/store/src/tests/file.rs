//! The file itself: opened, refused, full, locked; and every earlier version of it.

use super::*;

/// A store of version 1 with one of everything, as SQL text. Made once by the test below when it was written; never edited.
const VERSION_1: &str = include_str!("version_1.sql");
/// The same of version 2.
const VERSION_2: &str = include_str!("version_2.sql");

#[test]
fn every_earlier_version_opens_with_all_it_held() {
    let folder = Folder::new("versions");
    const SAVED: &[(u32, &str)] = &[(1, VERSION_1), (2, VERSION_2)];
    for &(version, text) in SAVED {
        let path = folder.file(&format!("{version}.db"));
        Connection::open(&path).unwrap().execute_batch(text).unwrap();
        let store = Store::open(&path, NOW_MS).unwrap();
        store.full_check().unwrap();
        assert_eq!(store.facts("bend").unwrap().len(), 10, "version {version}");
        assert_eq!(store.farms().unwrap(), [bend()]);
        assert_eq!(store.forecasts("bend", "willow", Instant(0), Instant(i64::MAX)).unwrap().len(), 2);
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
    let saved = VERSION_2;
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
    let pages: i64 = store.writer().pragma_query_value(None, "page_count", |row| row.get(0)).unwrap();
    store.writer().pragma_update(None, "max_page_count", pages + 2).unwrap();
    let many: Vec<Fact> = (2..500).map(|n| reading(n, "64F")).collect();
    assert_eq!(store.insert(&many, exchange()), Err(StoreError::Full));
    assert_eq!(store.last_seq().unwrap(), 1, "what was acknowledged is there, and not half of the rest");
    store.writer().pragma_update(None, "max_page_count", 1_000_000).unwrap();
    store.insert(&many, exchange()).unwrap();
    store.full_check().unwrap();
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
