use farm::facts::{Kept, current};

use super::*;

const DAY_S: i64 = 86_400;

/// A reading of that day, after the one it corrects.
fn on(day: i64, n: u64, typed: &str, of: Option<u64>) -> Fact {
    let mut fact = reading(n, typed);
    fact.happened.at = Instant(1_600_000_000 + day * DAY_S);
    fact.corrects = of.map(id);
    fact
}

#[test]
fn an_entry_comes_whole_wherever_its_corrections_lie() {
    let folder = Folder::new("linked");
    let store = folder.store();
    let mut settled = on(300, 9, "", Some(6));
    settled.kind = "settle".to_owned();
    settled.typed = BTreeMap::from([("winner".to_owned(), id(8))]);
    let all = [
        on(0, 1, "50F", None),
        // Mended into the days asked for.
        on(1, 2, "61F", None),
        on(50, 3, "71F", Some(2)),
        // Mended out of them, and once more there.
        on(50, 4, "62F", None),
        on(90, 5, "72F", Some(4)),
        // Two corrections of one, settled long after.
        on(50, 6, "63F", None),
        on(90, 7, "73F", Some(6)),
        on(10, 8, "74F", Some(6)),
        settled,
        on(90, 10, "75F", Some(5)),
        // Of a fact that has not come yet.
        on(50, 11, "65F", Some(99)),
    ];
    store.insert(&all, exchange()).unwrap();
    let at = |day: i64| Some(Instant(1_600_000_000 + day * DAY_S));
    let window = Asked { kind: Some("reading"), from: at(49), before: at(51), ..Asked::default() };
    let asked = store.facts_where("bend", window).unwrap();
    assert_eq!(asked.iter().map(|kept| kept.seq).collect::<Vec<_>>(), [3, 4, 6, 11]);
    let linked = store.facts_linked("bend", window).unwrap();
    assert_eq!(linked.iter().map(|kept| kept.seq).collect::<Vec<_>>(), (2..=11).collect::<Vec<_>>());
    let hold = |facts: &[Kept]| -> Vec<String> {
        current(facts).iter().map(|entry| entry.settled().expect("settled").fact.typed["temperature"].clone()).collect()
    };
    assert_eq!(hold(&linked), ["71F", "75F", "74F", "65F"]);
    assert_eq!(hold(&store.facts("bend").unwrap()), ["50F", "71F", "75F", "74F", "65F"]);
}
