use std::collections::BTreeMap;

use farm::facts::{Fact, Happened};

use super::*;

fn entered(farm: &Farm, seq: i64, kind: &str, on: Day, typed: &[(&str, &str)]) -> Entered {
    let mut fact = Fact {
        id: format!("{seq:032x}"),
        farm: "hazel-bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at: farm.place.zone.instant(on, 32_400), offset_s: -14_400 },
        typed_ms: 0,
        corrects: None,
        typed: typed.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
        values: BTreeMap::new(),
    };
    fact.read();
    Entered { seq, received_ms: 0, clock_off_ms: 0, fact }
}

#[test]
fn misread_figures_are_told_and_not_reckoned_with_and_the_dead_are_counted() {
    let farm = farm::read_farm(include_str!("../../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
    let on = |days: i32| Day::new(2011, 9, 1).expect("a day").plus(days);
    let facts = [
        entered(&farm, 1, "delivery", on(0), &[("claimed", "40,000")]),
        entered(&farm, 2, "delivery", on(2), &[("claimed", "50,000"), ("dead", "1000")]),
        entered(&farm, 3, "tank", on(3), &[("tank", "North"), ("temperature", "28 F"), ("deaths", "40")]),
        entered(&farm, 4, "tank", on(4), &[("tank", "North"), ("ammonia", "400"), ("deaths", "60")]),
    ];
    let told = nursery(&farm, &facts, on(5));
    assert_eq!(told.earlier.len(), 1);
    assert_eq!(told.tanks.iter().map(|tank| tank.share).sum::<f64>(), 49_000.0);
    let north = &told.tanks[0];
    assert_eq!((north.read.dead, north.read.unread), (100.0, Some(on(4))));
    assert_eq!(north.water_c, farm.tanks[0].kept_at_c, "nothing lives at 28 °F");
    assert_eq!(told.tanks[1].read, TankRead::default());
    assert!(nursery(&farm, &facts, on(200)).delivery.is_none(), "of another season");
}
