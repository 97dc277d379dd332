use farm::facts::market::market;
use farm::facts::packs;
use farm::read_farm;

use super::super::tests::{SAMPLE, kept};
use super::*;

fn odd(handings: &[&str], catches: bool) -> Vec<OddLot> {
    let farm = read_farm(SAMPLE).expect("the sample");
    let mut facts = vec![
        kept(10, "basket", 0, None, "pond=quarry;weight=10 kg;to=chill;tub=A"),
        kept(11, "basket", 1, None, "pond=quarry;weight=12 kg;to=chill;tub=B"),
        kept(12, "basket", 2, None, "pond=lower;weight=20 kg;to=chill"),
        kept(13, "basket", 2, None, "pond=quarry;weight=1 kg;to=dead"),
        kept(14, "pack", 5, None, "lot=MIX-1;pack_form=tails;packs=1;net=1 kg;of_lots=QUARRY-111004-A,QUARRY-111004-B"),
    ];
    if catches {
        facts.push(kept(15, "catch", 3, None, "pond=heron;caught=90 kg"));
    }
    let more = |(at, typed): (usize, &&str)| {
        kept(20 + at as i64, "handed", 6 + at as i64, None, &format!("table=Gate;sold_as=whole;{typed}"))
    };
    let handed: Vec<Kept> = handings.iter().enumerate().map(more).collect();
    let sold = market(&handed, &farm.currency);
    let found = KnownLots::of(&farm, &facts, &packs(&facts, &farm.place.zone)).odd(&sold, &[]);
    found.into_iter().map(|one| one.odd).collect()
}

#[test]
fn a_lot_that_never_was_is_told_and_one_that_was_is_not() {
    let unknown = |lot: &str| OddLot::Unknown(lot.to_owned());
    // Tubs, the whole day, a mixed pack: as typed by hands.
    let fine = ["amount=2 kg;lot=quarry-111004-a", "amount=2 kg;lot=QUARRY-111004", "amount=1 kg;lot=mix-1"];
    assert_eq!(odd(&fine, false), []);
    assert_eq!(odd(&["amount=2 kg;lot=QUARRY-111004-T9"], false), [unknown("QUARRY-111004-T9")]);
    assert_eq!(odd(&["amount=2 kg;lot=QUARRY-111005-A"], false), [unknown("QUARRY-111005-A")]);
    assert_eq!(odd(&["amount=2 kg", "amount=3 kg"], false), [OddLot::Unnamed(2)]);
    // Baskets without a tub: nobody can know which tub it was. So with a catch that was entered by its weight alone.
    assert_eq!(odd(&["amount=2 kg;lot=LOWER-111004-3"], false), []);
    assert_eq!(odd(&["amount=2 kg;lot=HERON-111004-3"], false), [unknown("HERON-111004-3")]);
    assert_eq!(odd(&["amount=2 kg;lot=HERON-111004-3"], true), []);
}

#[test]
fn more_than_came_into_a_tub_is_asked_about_until_it_is_back() {
    // 10 kg came into A: by hand 10 x 1.03 + 0.5 = 10.8 kg may be handed out.
    let whole = ["amount=6 kg;lot=QUARRY-111004-A", "amount=4.7 kg;lot=QUARRY-111004-A"];
    assert_eq!(odd(&whole, false), []);
    let over = ["amount=6 kg;lot=QUARRY-111004-A", "amount=7 kg;lot=QUARRY-111004-A"];
    assert_eq!(odd(&over, false), [OddLot::TooMuch("QUARRY-111004-A".to_owned(), 13.0, 10.0)]);
    let back = [over[0], over[1], "amount=3 kg;lot=QUARRY-111004-A;handed_back=yes"];
    assert_eq!(odd(&back, false), []);
}
