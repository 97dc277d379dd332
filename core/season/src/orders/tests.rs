use std::collections::BTreeMap;

use farm::facts::{Fact, Happened, Kept};
use units::{Day, Instant};

use super::*;
use crate::tanks::deliveries;

fn entered(seq: i64, kind: &str, on: Day, corrects: Option<i64>, typed: &[(&str, &str)]) -> Kept {
    let mut fact = Fact {
        id: format!("{seq:032x}"),
        farm: "hazel-bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at: Instant(i64::from(on.0) * 86_400 + 50_000), offset_s: 0 },
        typed_ms: 0,
        corrects: corrects.map(|seq| format!("{seq:032x}")),
        typed: typed.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
        values: BTreeMap::new(),
    };
    let read = fact.read();
    assert!(read.slips.is_empty(), "{:?}", read.slips);
    Kept { seq, received_ms: 0, clock_off_ms: 0, fact }
}

fn day(month: i8, day: i8) -> Day {
    Day::new(2012, month, day).expect("a day")
}

#[test]
fn an_order_stands_as_the_hatchery_said_last_and_keeps_what_was_agreed_first() {
    let agreed = [("hatchery", "Reedwater"), ("ordered", "65,000"), ("comes", "2012-03-20"), ("deposit", "300")];
    let later = [("hatchery", "Reedwater"), ("ordered", "60,000"), ("comes", "2012-04-02"), ("said", "confirmed")];
    let facts = [
        entered(1, "order", day(1, 5), None, &agreed),
        entered(2, "order", day(2, 1), None, &[("hatchery", "Second"), ("ordered", "9000"), ("comes", "2012-03-01")]),
        entered(3, "order", day(3, 1), Some(1), &later),
        entered(
            4,
            "order",
            day(3, 2),
            Some(2),
            &[("hatchery", "Second"), ("ordered", "9000"), ("comes", "2012-03-01"), ("struck", "yes")],
        ),
    ];
    let orders = placed(&facts, day(3, 5));
    assert_eq!(orders.len(), 1, "what is struck out is no order");
    let order = &orders[0];
    assert_eq!((order.comes, order.count, order.said), (day(4, 2), 60_000.0, Said::Confirmed));
    assert_eq!(order.first, (day(3, 20), 65_000.0));
    // Another year's order is not told.
    assert!(placed(&facts, day(3, 5).plus(365)).is_empty());
    // Before it was mended a deposit was due two months before the day.
    let first = &placed(&facts[..1], day(1, 6))[0];
    assert_eq!(first.steps()[0], (day(3, 20).plus(-60), Step::Deposit));
    let steps: Vec<Step> = order.steps().into_iter().map(|(_, step)| step).collect();
    assert_eq!(steps, [Step::Papers, Step::Filter, Step::Confirm, Step::Fill, Step::Gear, Step::Count]);
}

#[test]
fn a_claim_rests_on_the_count_and_ends_when_the_terms_say() {
    let farm = farm::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
    let order = entered(
        1,
        "order",
        day(1, 5),
        None,
        &[
            ("hatchery", "Reedwater"),
            ("ordered", "65,000"),
            ("comes", "2012-03-20"),
            ("per_1000", "40"),
            ("claim_hours", "12 h"),
        ],
    );
    let counted = |counts: &str| {
        let typed = [
            ("claimed", "65,000"),
            ("counts", counts),
            ("sample_weight", "10 g"),
            ("all_weight", "1450 g"),
            ("dead", "400"),
        ];
        entered(2, "delivery", day(3, 21), None, &typed)
    };
    let orders = placed(std::slice::from_ref(&order), day(3, 21));
    let of = |counts: &str| {
        let came = deliveries(&[counted(counts)], &farm, day(3, 21));
        claim(orders[0].came(&orders, &came).expect("the order's own"), came[0].at, Some(&orders[0]))
    };
    // 413 to 10 g: 59,885 counted, 400 of them dead; 5,515 missing at 40 a thousand.
    let short = of("412, 398, 431, 405, 419");
    assert!(short.is_told);
    assert!((short.short.expect("counted") - 5515.0).abs() < 1.0);
    assert!((short.worth.expect("priced") - 220.6).abs() < 0.1);
    assert_eq!(short.until.0, i64::from(day(3, 21).0) * 86_400 + 50_000 + 12 * 3600);
    // As many as were paid for, and a count too rough to tell: no claim.
    assert!(!of("452, 438, 471, 445, 459").is_told);
    assert!(!of("330, 560, 250, 620, 390").is_told);
    // A delivery of another month is not this order's.
    let other = deliveries(&[entered(3, "delivery", day(5, 2), None, &[("claimed", "65,000")])], &farm, day(5, 3));
    assert!(orders[0].came(&orders, &other).is_none());
    // Between two orders it is the nearer one's.
    let typed = [("hatchery", "Second"), ("ordered", "9000"), ("comes", "2012-04-02")];
    let two = placed(&[order, entered(4, "order", day(1, 6), None, &typed)], day(3, 21));
    let came = deliveries(&[counted("412, 398")], &farm, day(3, 21));
    assert!(two[0].came(&two, &came).is_some() && two[1].came(&two, &came).is_none());
}
