use std::collections::BTreeMap;

use farm::facts::{Fact, FileSaid, Happened, lots};
use farm::read_farm;
use units::Instant;

use super::*;

/// Eight in the morning of 4 October 2011 by Hazel Bend's clock.
pub(super) const MORNING: i64 = 1_317_729_600;
pub(super) const SAMPLE: &str = include_str!("../../../../samples/hazel-bend/farm.toml");

pub(super) fn kept(seq: i64, kind: &str, hours: i64, corrects: Option<&str>, typed: &str) -> Kept {
    let at = Instant(MORNING + 3600 * hours);
    let pairs = typed.split(';').filter_map(|pair| pair.split_once('='));
    let mut fact = Fact {
        id: format!("{seq:032x}"),
        farm: "hazel-bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: farm::facts::newest_form(kind).map_or(1, |form| form.version),
        happened: Happened { at, offset_s: -14_400 },
        typed_ms: 1000 * at.0,
        corrects: corrects.map(str::to_owned),
        typed: pairs.map(|(key, text)| (key.to_owned(), text.to_owned())).collect::<BTreeMap<_, _>>(),
        values: BTreeMap::new(),
    };
    let read = fact.read();
    assert!(read.slips.is_empty(), "{kind} {typed}: {:?}", read.slips);
    Kept { seq, received_ms: 0, clock_off_ms: 0, fact }
}

fn season() -> Vec<Kept> {
    let order = format!("{:032x}", 20);
    let sale =
        |seq, hours, rest: &str| kept(seq, "sale", hours, None, &format!("table=bank;price=12 USD per lb;{rest}"));
    vec![
        kept(1, "order", -5000, None, "hatchery=Blue Gate 555 0100;ordered=40000;comes=2011-04-12"),
        kept(2, "delivery", -4190, None, "claimed=40000;papers=health paper 7"),
        kept(3, "feed", -900, None, "pond=quarry;feed=20 kg;feed_kind=grower 32"),
        kept(4, "feed", -800, None, "pond=quarry;feed=30 kg;feed_kind=grower 32"),
        kept(5, "feed", -700, None, "pond=lower;feed=99 kg;feed_kind=other"),
        kept(6, "treatment", -600, None, "pond=quarry;product=hydrated lime;wait=10"),
        kept(7, "treatment", -90000, None, "pond=quarry;product=years ago;wait=10"),
        kept(10, "basket", 0, None, "pond=quarry;weight=10 kg;to=chill;tub=A"),
        kept(11, "basket", 1, None, "pond=quarry;weight=12 kg;to=chill;tub=B"),
        kept(12, "basket", 2, None, "pond=quarry;weight=8 kg;to=chill;tub=b"),
        kept(13, "basket", 2, None, "pond=lower;weight=50 kg;to=chill;tub=B"),
        kept(14, "pack", 5, None, "lot=quarry-111004-b;pack_form=tails;packs=4;net=2 kg"),
        kept(15, "pack", 6, None, "lot=MIX-1;pack_form=tails;packs=1;net=1 kg;of_lots=QUARRY-111004-A,QUARRY-111004-B"),
        kept(20, "asked", -100, None, "buyer=Nine Oaks;contact=555 0111;sold_as=tails;amount=4 kg"),
        sale(21, 7, &format!("sold_as=tails;amount=4 kg;lot=QUARRY-111004-B;of_order={order}")),
        sale(22, 8, "sold_as=tails;amount=1 kg;lot=mix-1;buyer=Fay"),
        sale(23, 9, "sold_as=whole;amount=2 kg;lot=QUARRY-111004;buyer=Gus"),
        sale(24, 9, "sold_as=tails;amount=1.5 kg;lot=QUARRY-111004-B"),
        sale(25, 9, "sold_as=whole;amount=7 kg;lot=QUARRY-111004-A;buyer=Only A"),
        sale(26, 9, "sold_as=whole;amount=7 kg;lot=LOWER-111004-B;buyer=Lower"),
        kept(28, "sale", -500, None, "table=bank;price=12 USD per lb;sold_as=whole;amount=9 kg;buyer=Before"),
        kept(29, "sale", 31, None, "table=bank;price=12 USD per lb;sold_as=whole;amount=6 kg;buyer=No lot"),
        sale(27, 30, &format!("sold_as=tails;amount=1 kg;takes_back={:032x};buyer=Nine Oaks", 21)),
    ]
}

fn traced(facts: &[Kept], text: &str) -> Traced {
    let farm = read_farm(SAMPLE).expect("the sample");
    let stocked = lots(&[FileSaid { seq: 0, farm: &farm }], facts, &farm.place.zone);
    trace(&TraceAsk { farm: &farm, facts, stocked: &stocked, text })
}

fn found(text: &str) -> Box<Trace> {
    match traced(&season(), text) {
        Traced::Found(found) => found,
        other => panic!("{text}: {other:?}"),
    }
}

#[test]
fn a_lot_is_traced_back_to_baskets_pond_stocking_feed_treatment_and_postlarvae() {
    let one = found("]C1100QUARRY-111004-B".replacen("100", "10", 1).as_str());
    assert_eq!(one.lot, "QUARRY-111004-B");
    let source = &one.sources[0];
    assert_eq!(
        (source.pond.as_str(), source.on.to_string().as_str(), source.tub.as_str()),
        ("quarry", "2011-10-04", "B")
    );
    let caught = source.caught.as_ref().expect("baskets");
    assert_eq!((caught.weight_kg, caught.baskets, caught.is_of_day), (20.0, 2, false));
    assert_eq!(source.stocked.as_ref().map(|lot| lot.pond.as_str()), Some("quarry"));
    assert_eq!(source.feeds.len(), 1);
    assert_eq!((source.feeds[0].kind.as_str(), source.feeds[0].weight_kg), ("grower 32", 50.0));
    let treated: Vec<&str> = source.treatments.iter().map(|one| one.product.as_str()).collect();
    assert_eq!(treated, ["hydrated lime"], "nothing of another season");
    let came = &source.came[0];
    assert_eq!(
        (came.hatchery.as_deref(), came.papers.as_deref()),
        (Some("Blue Gate 555 0100"), Some("health paper 7"))
    );
    assert!(!came.is_followed, "no tank says it");
}

#[test]
fn a_recall_names_every_buyer_of_a_tub_mixed_on_and_sold_by_the_day_and_no_other() {
    let one = found("QUARRY-111004-B");
    assert_eq!(one.within, ["QUARRY-111004-B", "MIX-1"]);
    assert_eq!(one.perhaps, ["QUARRY-111004"]);
    let calls: Vec<(&str, f64, bool)> =
        one.calls.iter().map(|call| (call.buyer.as_str(), call.weight_kg, call.is_sure)).collect();
    assert_eq!(calls, [("Nine Oaks", 3.0, true), ("Fay", 1.0, true), ("Gus", 2.0, false)]);
    assert_eq!(one.calls[0].contact.as_deref(), Some("555 0111"));
    assert_eq!(one.unnamed, (1, 1.5));
    assert_eq!(one.lotless, (1, 6.0), "sold since the catch, and of no lot");
    let perhaps: Vec<(&str, f64, bool)> =
        one.calls_perhaps.iter().map(|call| (call.buyer.as_str(), call.weight_kg, call.is_sure)).collect();
    assert_eq!(perhaps, [("No lot", 6.0, false)], "who may have some is called too");
    assert_eq!(one.packed_kg(), (9.0, true));
    // The other tub of the day went into the mix too.
    let other = found("quarry-111004-a");
    let buyers: Vec<&str> = other.calls.iter().map(|call| call.buyer.as_str()).collect();
    assert_eq!(buyers, ["Only A", "Fay", "Gus"]);
}

#[test]
fn a_mixed_lot_comes_from_all_its_tubs_and_a_day_holds_all_of_them() {
    let mix = found("MIX-1");
    assert_eq!(mix.parents, ["QUARRY-111004-A", "QUARRY-111004-B"]);
    let tubs: Vec<&str> = mix.sources.iter().map(|source| source.tub.as_str()).collect();
    assert_eq!(tubs, ["A", "B"]);
    assert_eq!(mix.calls.len(), 1, "only who bought the mix");
    let day = found("QUARRY-111004");
    assert_eq!(day.sources[0].caught.as_ref().map(|caught| caught.weight_kg), Some(30.0));
    assert!(day.within.contains(&"QUARRY-111004-A".to_owned()) && day.within.contains(&"MIX-1".to_owned()));
    assert_eq!(day.calls.len(), 4, "{:?}", day.calls);
    assert!(day.calls.iter().all(|call| call.is_sure));
}

#[test]
fn a_lot_that_nobody_wrote_down_is_said_to_be_unknown_with_what_is_near() {
    let Traced::Unknown { lot, near } = traced(&season(), "QUARY-111004-B") else { panic!("known") };
    assert_eq!((lot.as_str(), near[0].as_str()), ("QUARY-111004-B", "QUARRY-111004-B"));
    let Traced::Unknown { near, .. } = traced(&season(), "QUARRY-111005-B") else { panic!("known") };
    assert!(near.contains(&"QUARRY-111004-B".to_owned()), "{near:?}");
    assert!(matches!(traced(&season(), "zzzzzzzzzzzzzz"), Traced::Unknown { near, .. } if near.is_empty()));
    assert!(matches!(traced(&season(), " "), Traced::Nothing { lots } if lots.len() >= 5));
    assert!(matches!(traced(&[], "QUARRY-111004-B"), Traced::Unknown { .. }));
}

#[test]
fn lots_mixed_in_a_ring_end() {
    let facts = [
        kept(1, "pack", 1, None, "lot=ONE;pack_form=tails;of_lots=TWO"),
        kept(2, "pack", 2, None, "lot=TWO;pack_form=tails;of_lots=ONE"),
    ];
    let Traced::Found(one) = traced(&facts, "ONE") else { panic!("known") };
    assert_eq!(one.within, ["ONE", "TWO"]);
    assert!(one.sources.is_empty());
}

#[test]
fn what_is_packed_and_not_sold_goes_first_once_it_is_past_its_best() {
    let farm = read_farm(SAMPLE).expect("the sample");
    let facts = season();
    let stocked = lots(&[FileSaid { seq: 0, farm: &farm }], &facts, &farm.place.zone);
    let ask = TraceAsk { farm: &farm, facts: &facts, stocked: &stocked, text: "" };
    let at = |hours: i64| to_sell_first(&ask, Instant(MORNING + 3600 * hours));
    assert!(at(10).is_empty(), "at its best");
    let later = at(90);
    assert_eq!(later.len(), 1, "the mix is sold, and MIX-1 has no more: {later:?}");
    // 8 kg packed, 4 and 1.5 sold, 1 came back.
    assert_eq!((later[0].lot.as_str(), later[0].left_kg), ("QUARRY-111004-B", 3.5));
    assert_eq!(later[0].clock.fresh, Fresh::First);
    // What is in the freezer does not press.
    let mut facts = facts.clone();
    facts.push(kept(40, "pack", 6, None, "lot=QUARRY-111004-A;pack_form=tails;packs=4;net=2 kg;frozen=yes"));
    let ask = TraceAsk { facts: &facts, ..ask };
    let lots: Vec<String> = to_sell_first(&ask, Instant(MORNING + 3600 * 90)).into_iter().map(|one| one.lot).collect();
    assert_eq!(lots, ["QUARRY-111004-B"]);
}

#[test]
fn what_was_moved_into_another_tub_is_followed_there_and_back() {
    let mut facts = season();
    facts.extend([
        kept(40, "moved", 3, None, "out_of=chill;into=chill;weight=4 kg;out_tub=A;into_tub=Tub b;pond=quarry"),
        kept(41, "moved", 4, None, "out_of=chill;into=chill;weight=4 kg;out_tub=B;into_tub=Z;pond=quarry"),
        kept(
            42,
            "sale",
            9,
            None,
            "table=bank;price=12 USD per lb;sold_as=whole;amount=3 kg;lot=QUARRY-111004-Z;buyer=Zed",
        ),
    ]);
    let of = |facts: &[Kept], lot: &str| match traced(facts, lot) {
        Traced::Found(trace) => *trace,
        other => panic!("{other:?}"),
    };
    let buyers = |lot: &str| of(&facts, lot).calls.iter().map(|call| call.buyer.clone()).collect::<Vec<_>>();
    assert!(
        buyers("QUARRY-111004-A").contains(&"Nine Oaks".to_owned()),
        "B holds some of A: {:?}",
        buyers("QUARRY-111004-A")
    );
    assert!(buyers("QUARRY-111004-A").contains(&"Zed".to_owned()), "and Z some of B");
    assert!(
        !buyers("LOWER-111004-B").contains(&"Zed".to_owned()),
        "the other pond's tub of that name has nothing to do with it"
    );
    assert_eq!(of(&facts, "QUARRY-111004-Z").parents, ["QUARRY-111004-A", "QUARRY-111004-B"]);
    let b = of(&facts, "QUARRY-111004-B");
    assert_eq!(
        b.parents,
        ["QUARRY-111004-A", "QUARRY-111004-B"],
        "what was weighed into it, and what came from the other"
    );
    assert_eq!(b.sources.iter().map(|source| source.tub.as_str()).collect::<Vec<_>>(), ["A", "B"]);
    // Without a pond's name the move may be of either tub of that name: a recall must not miss a buyer.
    let at = facts.len() - 2;
    facts[at] = kept(41, "moved", 4, None, "out_of=chill;into=chill;weight=4 kg;out_tub=B;into_tub=Z");
    let other = of(&facts, "LOWER-111004-B");
    assert!(other.within.contains(&"LOWER-111004-Z".to_owned()), "{:?}", other.within);
}
