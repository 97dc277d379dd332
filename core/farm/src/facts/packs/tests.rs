use units::Zone;

use super::*;
use crate::facts::tests::kept;

#[test]
fn packs_are_read_as_they_were_meant() {
    let facts = [
        kept(1, "pack", "a", None, "lot= quarry-111004-b ;pack_form=tails;packs=12;net=5 lb;packed=2011-10-05"),
        kept(2, "pack", "b", None, "lot=MIX-1;pack_form=whole;of_lots=quarry-111004-a, QUARRY-111004-B;frozen=yes"),
        kept(3, "pack", "c", Some("a"), "lot=QUARRY-111004-B;pack_form=tails;packs=10;net=5 lb;packed=2011-10-05"),
    ];
    let all = packs(&facts, &Zone::utc());
    assert_eq!(all.len(), 2);
    assert_eq!((all[0].lot.as_str(), all[0].packs, all[0].form), ("QUARRY-111004-B", 10, PackForm::Tails));
    assert_eq!(all[1].of_lots, ["QUARRY-111004-A", "QUARRY-111004-B"]);
    assert_eq!((all[1].packs, all[1].is_frozen, all[1].net_kg), (1, true, None));
    assert_eq!(all[1].packed, Zone::utc().day_and_second(all[1].at).0);
}

#[test]
fn a_treatments_waiting_days_reach_to_the_day_before_it_is_free() {
    let facts = [
        kept(1, "treatment", "a", None, "pond=willow;product=salt;wait=0"),
        kept(2, "treatment", "b", None, "pond=willow;product=lime;wait=14 days"),
        kept(3, "treatment", "c", None, "pond=heron;product=other;wait=36 h"),
    ];
    let all = treatments(&facts, &Zone::utc());
    let on = all[1].on;
    for (pond, later_d, product) in [
        ("willow", 0, Some("lime")),
        ("willow", 13, Some("lime")),
        ("willow", 14, None),
        ("willow", -1, None),
        ("heron", 1, Some("other")),
        ("heron", 2, None),
        ("lower", 1, None),
    ] {
        let found = waits(&all, pond, on.plus(later_d)).map(|one| one.product.as_str());
        assert_eq!(found, product, "{pond} {later_d}");
    }
}
