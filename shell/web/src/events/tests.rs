use std::collections::{BTreeMap, BTreeSet};

use farm::facts::{Fact, FileSaid, Happened, Kept, lots, newest_form};
use farm::read_farm;
use season::trace::{TraceAsk, Traced, trace};

use super::*;

const MORNING: i64 = 1_317_729_600;

fn kept(seq: i64, kind: &str, hours: i64, typed: &str) -> Kept {
    let at = Instant(MORNING + 3600 * hours);
    let mut fact = Fact {
        id: format!("{seq:032x}"),
        farm: "hazel-bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: newest_form(kind).map_or(1, |form| form.version),
        happened: Happened { at, offset_s: -14_400 },
        typed_ms: 1000 * at.0,
        corrects: None,
        typed: typed
            .split(';')
            .filter_map(|pair| pair.split_once('='))
            .map(|(key, text)| (key.to_owned(), text.to_owned()))
            .collect::<BTreeMap<_, _>>(),
        values: BTreeMap::new(),
    };
    assert!(fact.read().slips.is_empty(), "{kind} {typed}");
    Kept { seq, received_ms: 0, clock_off_ms: 0, fact }
}

fn made(lot: &str, item: Option<&str>) -> Value {
    let farm = read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample");
    let order = format!("{:032x}", 9);
    let facts = [
        kept(1, "order", -5000, "hatchery=Blue Gate, 555 0100;ordered=40000;comes=2011-04-12"),
        kept(2, "delivery", -4190, "claimed=40000;papers=health paper 7"),
        kept(3, "feed", -900, "pond=quarry;feed=20 kg;feed_kind=grower 32"),
        kept(4, "treatment", -600, "pond=quarry;product=hydrated lime;wait=10;batch=L7"),
        kept(5, "basket", 1, "pond=quarry;weight=12.3456 kg;to=chill;tub=B"),
        kept(20, "basket", 2, "pond=quarry;weight=7 kg;to=chill;tub=D"),
        kept(21, "basket", 2, "pond=quarry;weight=4 kg;to=chill;tub=E"),
        kept(22, "moved", 3, "pond=quarry;out_of=chill;into=chill;weight=3 kg;out_tub=D;into_tub=E"),
        kept(
            6,
            "pack",
            5,
            "lot=QUARRY-111004-B;pack_form=tails;packs=4;net=2 kg;kept_at=chest freezer;use_by=2012-04-01;frozen=yes",
        ),
        kept(7, "pack", 6, "lot=MIX-1;pack_form=tails;of_lots=QUARRY-111004-A,QUARRY-111004-B"),
        kept(9, "asked", -100, "buyer=Nine Oaks;contact=555 0111;sold_as=tails;amount=4 kg"),
        kept(
            10,
            "sale",
            7,
            &format!("table=bank;price=12 USD per lb;sold_as=tails;amount=4 kg;lot=QUARRY-111004-B;of_order={order}"),
        ),
        kept(11, "sale", 8, "table=bank;price=2 USD each;sold_as=piece;pieces=30;lot=QUARRY-111004"),
        kept(
            12,
            "sale",
            30,
            &format!("table=bank;price=12 USD per lb;sold_as=tails;amount=1 kg;takes_back={:032x}", 10),
        ),
    ];
    let stocked = lots(&[FileSaid { seq: 0, farm: &farm }], &facts, &farm.place.zone);
    let Traced::Found(found) = trace(&TraceAsk { farm: &farm, facts: &facts, stocked: &stocked, text: lot }) else {
        panic!("{lot} is known");
    };
    document(&found, &farm, Names { farm: "hazel-bend", item }, Instant(MORNING + 86_400))
}

/// What the standard's schema asks of every event, written out: `checks/peers/epcis` holds the same documents to the schema itself.
#[test]
fn every_event_has_the_shape_the_standard_asks_for() {
    for lot in ["QUARRY-111004-B", "MIX-1", "QUARRY-111004", "QUARRY-111004-E"] {
        let document = made(lot, None);
        assert_eq!(document["type"], "EPCISDocument");
        assert_eq!(document["schemaVersion"], "2.0");
        assert_eq!(document["creationDate"], "2011-10-05T12:00:00Z");
        let events = document["epcisBody"]["eventList"].as_array().expect("events");
        let mut ids = BTreeSet::new();
        for event in events {
            let text = |name: &str| event[name].as_str().unwrap_or_else(|| panic!("{name} in {event}"));
            assert_eq!(text("eventTimeZoneOffset"), "-04:00", "{event}");
            assert!(text("eventTime").ends_with('Z') && !text("bizStep").is_empty() && !text("disposition").is_empty());
            assert!(event["readPoint"]["id"].as_str().is_some_and(|id| id.starts_with("urn:")), "{event}");
            let lists: &[&str] = match text("type") {
                "ObjectEvent" => &["quantityList"],
                "TransformationEvent" => &["inputQuantityList", "outputQuantityList"],
                "AggregationEvent" => &["childQuantityList"],
                other => panic!("{other}"),
            };
            // An object or an aggregation is added, seen or taken away; a transformation has no action, and only it and what is added bear master data.
            assert_eq!(event["action"].is_string(), text("type") != "TransformationEvent", "{event}");
            assert!(event["ilmd"].is_null() || text("type") == "TransformationEvent", "{event}");
            for list in lists {
                let classes = event[*list].as_array().unwrap_or_else(|| panic!("{list} in {event}"));
                assert!(!classes.is_empty(), "{event}");
                for one in classes {
                    let class = one["epcClass"].as_str().expect("a class");
                    assert!(!class.contains(' ') && !class.contains(','), "{class}");
                }
            }
            if let Some(id) = event["eventID"].as_str() {
                assert!(ids.insert(id.to_owned()) && id.len() == "urn:uuid:".len() + 36, "{id}");
            }
        }
        if let Some(folder) = std::env::var_os("WARMSPELL_EPCIS") {
            let path = std::path::Path::new(&folder).join(format!("{lot}.json"));
            std::fs::write(path, document.to_string()).expect("written");
            let path = std::path::Path::new(&folder).join(format!("{lot}-item.json"));
            std::fs::write(path, made(lot, Some("04006381333931")).to_string()).expect("written");
        }
    }
}

#[test]
fn the_events_tell_the_lots_way_in_order_of_time() {
    let document = made("QUARRY-111004-B", None);
    let events = document["epcisBody"]["eventList"].as_array().expect("events");
    let steps: Vec<(&str, &str)> = events
        .iter()
        .map(|event| (event["bizStep"].as_str().unwrap_or(""), event["disposition"].as_str().unwrap_or("")))
        .collect();
    assert_eq!(
        steps,
        [
            ("receiving", "in_progress"),
            ("creating_class_instance", "in_progress"),
            ("creating_class_instance", "in_progress"),
            ("packing", "in_progress"),
            ("packing", "in_progress"),
            ("storing", "sellable_not_accessible"),
            ("packing", "in_progress"),
            ("shipping", "in_transit"),
            ("retail_selling", "retail_sold"),
            ("accepting", "returned"),
        ]
    );
    // What one event brings forth the next takes up.
    let class = |event: usize, list: &str| events[event][list][0]["epcClass"].as_str().expect("a class").to_owned();
    assert_eq!(class(0, "quantityList"), class(1, "inputQuantityList"));
    assert_eq!(class(1, "outputQuantityList"), class(2, "inputQuantityList"));
    assert_eq!(class(2, "outputQuantityList"), class(4, "inputQuantityList"));
    assert_eq!(class(4, "outputQuantityList"), class(7, "quantityList"));
    assert_eq!(events[2]["outputQuantityList"][0]["quantity"], 12.346);
    assert_eq!(events[7]["destinationList"][0]["destination"], "urn:x-warmspell:hazel-bend:party:Nine%20Oaks");
}

#[test]
fn a_move_from_tub_to_tub_is_an_event_of_both_lots() {
    let document = made("QUARRY-111004-E", None);
    let events = document["epcisBody"]["eventList"].as_array().expect("events");
    let moved: Vec<&Value> = events.iter().filter(|event| event["bizStep"] == "repackaging").collect();
    let [moved] = moved[..] else { panic!("one move was written: {events:?}") };
    assert_eq!(moved["eventTime"], "2011-10-04T15:00:00Z");
    let one = |list: &str| (&moved[list][0]["epcClass"], moved[list][0]["quantity"].as_f64());
    assert_eq!(one("inputQuantityList"), (&json!("urn:x-warmspell:hazel-bend:catch:QUARRY-111004-D"), Some(3.0)));
    assert_eq!(one("outputQuantityList"), (&json!("urn:x-warmspell:hazel-bend:catch:QUARRY-111004-E"), Some(3.0)));
    // Another tub's file does not tell of it.
    assert!(!made("QUARRY-111004-B", None).to_string().contains("repackaging"));
}

#[test]
fn an_items_number_from_gs1_names_the_packs() {
    let text = made("QUARRY-111004-B", Some("04006381333931")).to_string();
    assert!(text.contains("https://id.gs1.org/01/04006381333931/10/QUARRY-111004-B"), "{text}");
    assert!(text.contains("urn:x-warmspell:hazel-bend:catch:QUARRY-111004-B"), "{text}");
}
