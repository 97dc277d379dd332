//! Out and in again.

use super::*;

#[test]
fn an_archive_comes_back_as_the_same_farm() {
    let folder = Folder::new("archive");
    let store = full(&folder);
    let out = folder.file("all.json");
    let rows = store.export_json(&out, &Watch::new()).unwrap();
    assert!(is_archive(&out));
    assert_eq!(store.export_json(&out, &Watch::new()), Err(StoreError::InTheWay));
    let other = Store::open(&folder.file("b.db"), NOW_MS).unwrap();
    let imported = other.import_json(&out, &Watch::new()).unwrap();
    assert_eq!(imported.rows.iter().map(|(_, rows)| rows).sum::<u64>(), rows);
    assert_eq!(other.facts_text("bend").unwrap(), store.facts_text("bend").unwrap());
    assert_eq!(other.facts_digest("bend").unwrap(), store.facts_digest("bend").unwrap());
    // Every table, to the last digit of its numbers; only the epoch is its own.
    let again = folder.file("again.json");
    other.export_json(&again, &Watch::new()).unwrap();
    let tables = |path: &Path| std::fs::read_to_string(path).unwrap().split_once("\"tables\"").unwrap().1.to_owned();
    assert_eq!(tables(&again), tables(&out));
    other.full_check().unwrap();
    assert_eq!(
        other.import_json(&out, &Watch::new()),
        Err(StoreError::InTheWay),
        "a store with a farm is not written over"
    );
}

#[test]
fn a_spoilt_archive_changes_nothing() {
    let folder = Folder::new("spoilt");
    let store = full(&folder);
    let out = folder.file("all.json");
    store.export_json(&out, &Watch::new()).unwrap();
    let good = std::fs::read_to_string(&out).unwrap();
    let other = Store::open(&folder.file("b.db"), NOW_MS).unwrap();
    let bad = folder.file("bad.json");
    for (spoilt, wanted) in [
        (good[..good.len() - 40].to_owned(), "BadArchive"),
        (good.replacen("\"version\":1", "\"version\":9", 1), "Newer { file: 9"),
        (good.replacen("the 🦐", "the shrimp", 1), "not what was first written"),
        (good.replacen("warmspell.archive", "another.archive", 1), "BadArchive"),
        (good.replacen("\"season\":[", "\"seasons\":[", 1), "no table is called seasons"),
        ("[]".to_owned(), "BadArchive"),
    ] {
        std::fs::write(&bad, spoilt).unwrap();
        let error = format!("{:?}", other.import_json(&bad, &Watch::new()).expect_err(wanted));
        assert!(error.contains(wanted), "{wanted}: {error}");
        assert!(other.farms().unwrap().is_empty());
    }
    let watch = Watch::new();
    watch.ask_to_stop();
    assert_eq!(other.import_json(&out, &watch), Err(StoreError::Stopped));
    other.import_json(&out, &Watch::new()).expect("the good one");
}

#[test]
fn tables_open_in_any_spreadsheet() {
    let folder = Folder::new("csv");
    let store = full(&folder);
    let to = folder.file("tables");
    store.export_csv(&to, &Watch::new()).unwrap();
    let facts = std::fs::read_to_string(to.join("fact.csv")).unwrap();
    assert!(facts.starts_with("seq,id,farm,device,person,kind,form,happened_s"), "{facts}");
    assert!(facts.contains("\"{\"\"pond\"\":\"\"willow\"\""), "{facts}");
    assert!(!to.join("session.csv").exists(), "no hashes leave the store");
    assert_eq!(store.export_csv(&to, &Watch::new()), Err(StoreError::InTheWay));
}

#[test]
fn a_backup_taken_while_writing_comes_back_under_a_new_epoch() {
    let folder = Folder::new("backup");
    let store = full(&folder);
    let to = folder.file("copy.db");
    let more: Vec<Fact> = (100..400).map(|n| reading(n, "64F")).collect();
    std::thread::scope(|scope| {
        scope
            .spawn(|| more.iter().for_each(|fact| drop(store.insert(std::slice::from_ref(fact), exchange()).unwrap())));
        store.back_up(&to, &Watch::new()).unwrap();
    });
    assert_eq!(store.back_up(&to, &Watch::new()), Err(StoreError::InTheWay));
    let (epoch, lines) = (store.epoch().unwrap(), store.facts_text("bend").unwrap());
    let restored = Store::restore(store.path(), &to, NOW_MS, &Watch::new()).unwrap();
    // The store that was open goes on with what is there now.
    assert_eq!(store.epoch().unwrap(), restored.epoch);
    assert_ne!(restored.epoch, epoch);
    assert_eq!(store.last_seq().unwrap(), restored.facts);
    let back = store.facts_text("bend").unwrap();
    assert!(back.lines().count() >= 10 && lines.starts_with(&back), "the backup holds the facts of one moment");
    store.full_check().unwrap();
    // A phone offers what the backup lacked, and nothing is doubled.
    store.insert(&more, exchange()).unwrap();
    assert_eq!(store.last_seq().unwrap(), 310);
    let before = Store::open(&restored.before.expect("what stood there"), NOW_MS).unwrap();
    assert_eq!(before.facts_text("bend").unwrap(), lines);
}

#[test]
fn a_restore_refuses_what_is_no_store_and_leaves_all_as_it_was() {
    let folder = Folder::new("norestore");
    let store = full(&folder);
    let epoch = store.epoch().unwrap();
    let text = folder.file("letter.txt");
    std::fs::write(&text, "Dear Ann, the water is warm. ".repeat(100)).unwrap();
    let foreign = folder.file("foreign.db");
    Connection::open(&foreign).unwrap().execute_batch("create table a (b); insert into a values (1)").unwrap();
    for (from, wanted) in
        [(text, StoreError::NotAStore), (foreign, StoreError::NotAStore), (folder.file("none"), StoreError::Missing)]
    {
        assert_eq!(Store::restore(store.path(), &from, NOW_MS, &Watch::new()), Err(wanted), "{}", from.display());
    }
    assert_eq!(store.epoch().unwrap(), epoch);
}

#[test]
fn a_restore_mends_a_broken_store() {
    let folder = Folder::new("mend");
    let store = full(&folder);
    let (to, path) = (folder.file("copy.db"), store.path().to_owned());
    store.back_up(&to, &Watch::new()).unwrap();
    drop(store);
    std::fs::write(&path, "spilt coffee ".repeat(1000)).unwrap();
    assert_eq!(Store::open(&path, NOW_MS).err(), Some(StoreError::NotAStore));
    let restored = Store::restore(&path, &to, NOW_MS, &Watch::new()).unwrap();
    assert_eq!(Store::open(&path, NOW_MS).unwrap().last_seq().unwrap(), 10);
    assert!(std::fs::read(restored.before.unwrap()).unwrap().starts_with(b"spilt coffee"));
}
