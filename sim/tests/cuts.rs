//! Ends in the midst of a writing, tried on the real record: what was there before is there, the rest wholly or not at all.

use std::collections::BTreeMap;
use std::path::PathBuf;

use chance::{Purpose, Stream};
use farm::facts::{Fact, Happened};
use sim::{Bytes, End};
use store::{Exchange, FarmRow, Store};
use units::Instant;

const NOW_MS: i64 = 1_600_000_000_000;

fn note(n: usize, text: &str) -> Fact {
    Fact {
        id: format!("{n:032x}"),
        farm: "bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: "note".to_owned(),
        form: 1,
        happened: Happened { at: Instant(1_600_000_000), offset_s: 0 },
        typed_ms: NOW_MS,
        corrects: None,
        typed: BTreeMap::from([("text".to_owned(), text.to_owned())]),
        values: BTreeMap::new(),
    }
}

struct Folder(PathBuf);

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// How often the writing was there after the cut, and how often not.
fn cuts(name: &str, first: usize, second: usize, text: &str, times: u32) -> (u32, u32) {
    let folder = Folder(std::env::temp_dir().join(format!("warmspell-cut-{}-{name}", std::process::id())));
    std::fs::create_dir_all(&folder.0).expect("a folder");
    let path = folder.0.join("a.db");
    let store = Store::open(&path, NOW_MS).expect("a record");
    let row = FarmRow { id: "bend".to_owned(), name: "Bend".to_owned(), made_ms: NOW_MS, is_sample: false };
    store.keep_farm(&row).expect("a farm");
    let exchange = Exchange { device: "phone", now_ms: NOW_MS, device_ms: None };
    let notes = |from: usize, count: usize| (from..from + count).map(|n| note(n, text)).collect::<Vec<_>>();
    store.insert(&notes(1, first), exchange).expect("kept");
    let before = Bytes::of(&path);
    store.insert(&notes(1 + first, second), exchange).expect("kept");
    let after = Bytes::of(&path);
    drop(store);
    let mut luck = Stream::new(7, 0, Purpose(1));
    let (mut there, mut not) = (0, 0);
    for round in 0..times {
        let end = if round % 2 == 0 { End::Killed } else { End::Power };
        before.cut(&after, end, &mut luck).put(&path).expect("put");
        let store = Store::open(&path, NOW_MS).expect("opens");
        store.full_check().expect("whole");
        match store.last_seq().expect("read") {
            seq if seq == first as i64 => not += 1,
            seq if seq == (first + second) as i64 => there += 1,
            seq => panic!("round {round}, {end:?}: {seq} entries, neither {first} nor {}", first + second),
        }
    }
    (there, not)
}

#[test]
fn a_writing_that_is_cut_is_there_wholly_or_not_at_all() {
    let (there, not) = cuts("small", 3, 2, "warm", 60);
    assert!(there > 0 && not > 0, "{there} {not}");
}

#[test]
fn a_cut_while_the_log_is_carried_into_the_file_loses_nothing() {
    // Large enough that the log is carried over at the end of the second writing.
    let (there, not) = cuts("large", 5, 900, &"the water is warm ".repeat(250), 24);
    assert!(there > 0 && not > 0, "{there} {not}");
}
