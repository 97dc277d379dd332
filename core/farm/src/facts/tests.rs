use std::collections::BTreeSet;

use proptest::prelude::*;

use super::*;
use crate::inputs::{Takes, log_inputs};
use crate::reasons::Wrong;

/// Bodies as they were once sent, one to a line: kind, version, fields as typed, and the values that must come of them for ever.
const BODIES: &str = include_str!("bodies.txt");

fn pairs(text: &str) -> BTreeMap<String, String> {
    let pairs = text.split(';').filter_map(|pair| pair.split_once('='));
    pairs.map(|(key, value)| (key.trim().to_owned(), value.trim().to_owned())).collect()
}

fn reading(typed: &str) -> FactRead {
    read_typed("reading", 1, &pairs(typed))
}

#[test]
fn every_form_version_ever_used_is_read_as_it_was_meant() {
    let mut seen = BTreeSet::new();
    for line in BODIES.lines().filter(|line| !line.starts_with('#') && !line.is_empty()) {
        let parts: Vec<&str> = line.split('|').map(str::trim).collect();
        let (kind, version) = (parts[0], parts[1].parse().expect("a version"));
        let read = read_typed(kind, version, &pairs(parts[2]));
        assert!(read.slips.is_empty(), "{line}: {:?}", read.slips);
        let wanted: BTreeMap<String, f64> =
            pairs(parts[3]).into_iter().map(|(key, text)| (key, text.parse().expect("a number"))).collect();
        assert_eq!(read.values.keys().collect::<Vec<_>>(), wanted.keys().collect::<Vec<_>>(), "{line}");
        for (key, value) in &read.values {
            assert!((value - wanted[key]).abs() < 1e-6 * (1.0 + value.abs()), "{line}: {key} {value}");
        }
        seen.insert((kind.to_owned(), version));
    }
    for form in FORMS {
        assert!(
            seen.contains(&(form.kind.to_owned(), form.version)),
            "{} {} has no saved body",
            form.kind,
            form.version
        );
    }
}

#[test]
fn forms_ask_only_for_what_stands_in_the_table() {
    for form in FORMS {
        for field in form.fields {
            let input = log_inputs().find(|input| input.key == field.input);
            let input = input.unwrap_or_else(|| panic!("{}: {} is not in the table", form.kind, field.input));
            assert_eq!(
                matches!(input.takes, Takes::Quantity(..)),
                !field.unit.is_empty(),
                "{}: {}",
                form.kind,
                field.name
            );
        }
        assert!(form.any_of.iter().all(|name| form.fields.iter().any(|field| field.name == *name)), "{}", form.kind);
    }
    assert_eq!(newest_form("reading").map(|form| form.version), Some(1));
    assert!(newest_form("poem").is_none());
}

#[test]
fn mixed_units_come_to_one() {
    for (typed, field, value) in [
        ("temperature=64F", "temperature", 17.777_777_8),
        ("temperature=18 °C", "temperature", 18.0),
        ("temperature=18C", "temperature", 18.0),
        ("temperature=64.4 °F", "temperature", 18.0),
        ("secchi=14 in", "secchi", 0.3556),
        ("secchi=3 ft 6 in", "secchi", 1.0668),
        ("secchi=3'6\"", "secchi", 1.0668),
        ("secchi=1.1 m", "secchi", 1.1),
        ("oxygen=6.2 mg/L", "oxygen", 6.2),
        ("oxygen=6.2", "oxygen", 6.2),
        ("oxygen=6.2 ppm", "oxygen", 6.2),
        ("ammonia=0.25mg/l", "ammonia", 0.25),
        ("ph=8.4", "ph", 8.4),
        ("stage=-1 in", "stage", -0.0254),
    ] {
        let read = reading(&format!("pond=willow;{typed}"));
        assert!(read.slips.is_empty(), "{typed}: {:?}", read.slips);
        assert!((read.values[field] - value).abs() < 1e-6, "{typed}: {:?}", read.values);
    }
}

#[test]
fn what_is_wrong_is_said_field_by_field_and_the_rest_is_read() {
    let read = reading("pond=willow;temperature=64;oxygen=60 mg/l;ph=8,4;end=deap;secchi=14 in;temprature=3");
    let slips: Vec<(&str, &Wrong)> = read.slips.iter().map(|slip| (slip.field.as_str(), &slip.what)).collect();
    assert!(
        matches!(
            slips.as_slice(),
            [
                ("end", Wrong::NotOneOf { nearest: Some("deep"), .. }),
                ("temperature", Wrong::Measure(_)),
                ("oxygen", Wrong::Outside { .. }),
                ("ph", Wrong::Measure(_)),
                ("temprature", Wrong::UnknownKey { nearest: Some("temperature"), .. }),
            ]
        ),
        "{slips:?}"
    );
    assert_eq!(read.values.keys().collect::<Vec<_>>(), ["secchi"]);
    let empty = reading("pond=willow;note=nothing read");
    assert!(matches!(empty.slips.as_slice(), [slip] if slip.what == Wrong::Missing), "{empty:?}");
    assert!(matches!(reading("temperature=64F").slips.as_slice(), [slip] if slip.field == "pond"));
    assert!(reading("struck=yes").slips.is_empty(), "an entry is struck out without saying it again");
    assert_eq!(reading("pond=willow;temperature=40F").unusual.len(), 1);
    assert_eq!(read_typed("reading", 7, &BTreeMap::new()).slips[0].field, "form");
    assert_eq!(read_typed("poem", 1, &BTreeMap::new()).slips[0].field, "kind");
    let half = read_typed("deaths", 1, &pairs("pond=willow;deaths=2.5"));
    assert_eq!(half.slips[0].what, Wrong::NotWhole);
}

pub(super) fn kept(seq: i64, kind: &str, id: &str, corrects: Option<&str>, typed: &str) -> Kept {
    let mut fact = Fact {
        id: id.to_owned(),
        farm: "bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at: Instant(1_599_900_000 + seq * 60), offset_s: 0 },
        typed_ms: 0,
        corrects: corrects.map(str::to_owned),
        typed: pairs(typed),
        values: BTreeMap::new(),
    };
    fact.read();
    Kept { seq, received_ms: 0, clock_off_ms: 0, fact }
}

/// Facts written shortly: `b<a` corrects a, `s:a=b` settles a for b.
fn story(words: &str) -> Vec<Kept> {
    let one = |(at, word): (usize, &str)| {
        let seq = at as i64 + 1;
        let typed = "pond=willow;temperature=64F";
        match word.split_once(':') {
            Some((id, rest)) => {
                let (entry, winner) = rest.split_once('=').expect("entry and winner");
                kept(seq, "settle", id, Some(entry), &format!("winner={winner}"))
            }
            None => match word.split_once('<') {
                Some((id, target)) => kept(seq, "reading", id, Some(target), typed),
                None => kept(seq, "reading", word, None, typed),
            },
        }
    };
    words.split_whitespace().enumerate().map(one).collect()
}

fn heads(words: &str) -> String {
    let facts = story(words);
    let entries = current(&facts);
    let said = |entry: &Entry<'_>| {
        let ids: Vec<&str> = entry.heads.iter().map(|head| head.fact.id.as_str()).collect();
        format!("{}:{}", entry.first.fact.id, ids.join("+"))
    };
    entries.iter().map(said).collect::<Vec<_>>().join(" ")
}

#[test]
fn corrections_are_followed_and_forks_shown_until_settled() {
    for (words, wanted) in [
        ("a b", "a:a b:b"),
        ("a b<a c<b", "a:c"),
        ("a b<a c<a", "a:b+c"),
        ("a b<a c<a s:a=b", "a:b"),
        ("a b<a c<a s:a=b d<b", "a:d"),
        // Typed against the one that fell, and arriving later: a person looks again.
        ("a b<a c<a s:a=b d<c", "a:b+d"),
        ("a b<a c<a s:a=b t:a=c", "a:c"),
        // The correction came before what it corrects.
        ("b<a a", "a:b"),
        ("b<gone", "b:b"),
        // Settled for a stranger: nothing is settled.
        ("a b<a c<a x s:a=x", "a:b+c x:x"),
        ("s:a=b", ""),
        // A ring: no honest device makes one, and nothing hangs.
        ("a<b b<a", "a:b"),
    ] {
        assert_eq!(heads(words), wanted, "{words}");
    }
    let facts = story("a b<a");
    let entry = &current(&facts)[0];
    assert!(entry.is_mended() && !entry.is_fork() && entry.first.seq == 1 && entry.settled().is_some());
}

fn farm() -> crate::Farm {
    crate::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample farm")
}

#[test]
fn what_was_recorded_reaches_the_farm() {
    let farm = farm();
    let pond = farm.ponds[0].id.clone();
    let facts = [
        kept(
            1,
            "reading",
            "a",
            None,
            &format!("pond={pond};end=shallow;depth=1 ft;temperature=64F;secchi=20 in;stage=3 in"),
        ),
        kept(2, "sample", "b", None, &format!("pond={pond};mean_weight=1 oz;counted=50")),
        kept(3, "reading", "c", None, "pond=nowhere;temperature=64F"),
        kept(4, "reading", "d", None, &format!("pond={pond};temperature=90F")),
        kept(5, "reading", "e", Some("d"), &format!("pond={pond};struck=yes")),
        kept(6, "reading", "f", None, &format!("pond={pond};temperature=65F")),
        kept(7, "reading", "g", Some("f"), &format!("pond={pond};temperature=66F")),
        kept(8, "reading", "h", Some("f"), &format!("pond={pond};temperature=67F")),
    ];
    let merged = apply(&farm, &facts);
    let (before, after) = (&farm.ponds[0], &merged.ponds[0]);
    assert_eq!(after.readings.len(), before.readings.len() + 1, "neither the struck one nor the fork");
    let new = after.readings.iter().find(|reading| reading.at == facts[0].fact.happened.at).expect("the reading");
    assert_eq!((new.place, (new.depth_m * 1e4).round()), (crate::AlongPond::Shallow, 3048.0));
    assert_eq!(after.samples.len(), before.samples.len() + 1);
    assert!(
        after.samples.iter().any(|sample| sample.counted == 50 && (sample.mean_weight_g - 28.349_523).abs() < 1e-4)
    );
    let day = farm.place.zone.day_and_second(facts[0].fact.happened.at).0;
    let seen = after.seen.iter().find(|row| row.on == Some(day)).expect("what was seen that day");
    assert!((seen.secchi_m - 0.508).abs() < 1e-9 && (seen.below_full_m - 0.0762).abs() < 1e-9, "{seen:?}");
    assert!(after.seen.windows(2).all(|pair| pair[0].on < pair[1].on), "{:?}", after.seen);
    assert_eq!(merged.ponds[1..], farm.ponds[1..]);
    assert_eq!(apply(&farm, &[]), farm);
}

#[test]
fn the_plan_accepted_last_says_what_was_told() {
    let farm = farm();
    let ids: Vec<&str> = farm.ponds.iter().map(|pond| pond.id.as_str()).collect();
    let told = |facts: &[Kept]| -> Vec<Vec<String>> {
        let merged = apply(&farm, facts);
        merged.ponds.iter().map(|pond| pond.announced.iter().map(|day| day.to_string()).collect()).collect()
    };
    let plan = |seq: i64, id: &str, corrects: Option<&str>, catches: &str| {
        let mut kept = kept(seq, "plan_accepted", id, corrects, &format!("text=x;catches={catches}"));
        kept.fact.form = 2;
        kept
    };
    let first = plan(1, "a", None, &format!("{} 2011-10-02, {} 2011-10-05 2011-10-06", ids[0], ids[1]));
    let none: Vec<String> = Vec::new();
    assert_eq!(
        told(std::slice::from_ref(&first))[..3],
        [vec!["2011-10-02".to_owned()], vec!["2011-10-05".to_owned(), "2011-10-06".to_owned()], none.clone()]
    );
    let later = plan(2, "b", None, &format!("{} 2011-10-03, nowhere 2011-10-09, {} soon", ids[0], ids[1]));
    assert_eq!(
        told(&[first.clone(), later.clone()])[..2],
        [vec!["2011-10-03".to_owned()], none.clone()],
        "the last one alone"
    );
    let struck = kept(3, "plan_accepted", "c", Some("b"), "struck=yes");
    assert_eq!(
        told(&[first.clone(), later, struck])[0],
        ["2011-10-02"],
        "one that is taken back leaves the one before"
    );
    // Accepted before days were written down: nothing is read out of its words.
    assert_eq!(told(&[first, kept(4, "plan_accepted", "d", None, "text=Heron Sunday.")])[0], none);
}

#[test]
fn the_farm_file_that_holds_is_the_last_recorded() {
    let facts = [
        kept(1, "farm", "a", None, "text=first"),
        kept(2, "farm", "b", Some("a"), "text=second"),
        kept(3, "note", "c", None, "text=rain"),
    ];
    assert_eq!(farm_text(&facts), Some("second"));
    assert_eq!(farm_text(&facts[2..]), None);
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_with_its_field(typed in "\\PC{0,24}", kind in 0..FORMS.len()) {
        let form = &FORMS[kind];
        for field in form.fields {
            let body = BTreeMap::from([(field.name.to_owned(), typed.clone())]);
            let read = read_typed(form.kind, form.version, &body);
            prop_assert!(read.values.values().all(|value| value.is_finite()));
            prop_assert!(read.values.len() <= 1);
            prop_assert!(read.slips.iter().all(|slip| !slip.field.is_empty()));
        }
    }

    #[test]
    fn degrees_of_both_kinds_meet(temp_c in -2.0..45.0_f64) {
        let celsius = reading(&format!("pond=willow;temperature={temp_c} C")).values["temperature"];
        let fahrenheit = reading(&format!("pond=willow;temperature={}F", temp_c * 1.8 + 32.0)).values["temperature"];
        prop_assert!((celsius - fahrenheit).abs() < 1e-9);
    }

    /// Whatever is corrected and settled in whatever order: every fact stands in one entry, every entry holds something.
    #[test]
    fn no_fact_is_lost_among_corrections(links in prop::collection::vec((0..12_usize, 0..3_u8, 0..12_usize), 1..12)) {
        let words: Vec<String> = links.iter().enumerate().map(|(at, (target, how, winner))| match how {
            0 => format!("f{at}"),
            1 => format!("f{at}<f{target}"),
            _ => format!("f{at}:f{target}=f{winner}"),
        }).collect();
        let facts = story(&words.join(" "));
        let entries = current(&facts);
        let told: usize = entries.iter().map(|entry| entry.history.len()).sum();
        let said = facts.iter().filter(|kept| kept.fact.kind != "settle").count();
        prop_assert!(told >= said && told <= facts.len());
        for entry in &entries {
            prop_assert!(!entry.heads.is_empty() && entry.heads.iter().all(|head| entry.history.contains(head)));
            prop_assert!(entry.heads.iter().all(|head| head.fact.kind != "settle"));
        }
    }
}
