use farm::logger::{Choices, layout, take};
use farm::observed::{Place, Spot};
use store::{FarmRow, Store};
use units::{Instant, Zone};

use super::*;

const NOW_MS: i64 = 1_600_000_000_000;

fn begun() -> (Record, Fact) {
    let name = format!("warmspell-keeping-{}-{:?}.db", std::process::id(), std::thread::current().id());
    let path = std::env::temp_dir().join(name);
    let _ = std::fs::remove_file(&path);
    let store = Store::open(&path, NOW_MS).expect("a record");
    let farm = FarmRow { id: "bend".to_owned(), name: "Bend".to_owned(), made_ms: NOW_MS, is_sample: false };
    store.keep_farm(&farm).expect("a farm");
    let id = store.new_id().expect("an id");
    let typed =
        [("pond", "willow"), ("file", "a.csv"), ("digest", "3f")].map(|(key, text)| (key.to_owned(), text.to_owned()));
    let fact = Fact {
        id,
        farm: "bend".to_owned(),
        device: "here".to_owned(),
        person: "owner".to_owned(),
        kind: "logger".to_owned(),
        form: 2,
        happened: Happened::default(),
        typed_ms: NOW_MS,
        corrects: None,
        typed: typed.into(),
        values: BTreeMap::new(),
    };
    (Record::new(store, || NOW_MS), fact)
}

#[test]
fn a_keeping_that_is_stopped_keeps_nothing_and_one_that_is_not_keeps_all() {
    let (record, fact) = begun();
    let rows: String = (0..2000).map(|n| format!("{},18.5\n", 1_590_000_000 + n * 300)).collect();
    let held =
        Held::new("t".to_owned(), "bend", "a.csv", format!("epoch,temp_c\n{rows}").into_bytes()).expect("a text");
    let layout = layout(&held.sheets[0].text, &Choices::default()).expect("a logger");
    let around = (&Zone::utc(), Spot { place: Place::Deep, depth_m: 0.5 }, Instant(NOW_MS / 1000));
    let taken = take(&held.sheets[0].text, &layout, around, &Watch::new()).expect("not stopped");
    let compared = record.store().compare_series("bend", "willow", &taken.series, &Watch::new()).expect("read");
    assert_eq!(compared.made, 2000);
    let looked = Looked { layout, taken, compared };
    let stopped = Watch::new();
    stopped.ask_to_stop();
    assert_eq!(keep_in(&record, &fact, &held, &looked, &stopped), Err(StoreError::Stopped));
    assert_eq!(record.store().last_seq(), Ok(0));
    assert_eq!(record.store().blob(&sha256_hex(&held.bytes)), Ok(None), "nor the file");
    let kept = keep_in(&record, &fact, &held, &looked, &Watch::new()).expect("kept");
    assert_eq!((kept.seq, kept.made), (Some(1), 2000));
    let path = record.store().path().to_owned();
    drop(record);
    for ending in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(format!("{}{ending}", path.display()));
    }
}
