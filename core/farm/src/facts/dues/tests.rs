use super::*;
use crate::facts::tests::kept;

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn next(typed: &str) -> Option<Day> {
    dues(&[kept(1, "due", "a", None, &format!("due_kind=insurance;{typed}"))]).remove(0).next()
}

#[test]
fn what_comes_again_moves_on_when_it_was_done_and_not_before() {
    for (typed, wanted) in [
        ("due_on=2021-04-15", Some("2021-04-15")),
        ("due_on=2021-04-15;done_on=2021-04-01", None),
        ("due_on=2021-04-15;again=year", Some("2021-04-15")),
        // Done in time, late, and for the turn before: only the first two move it on.
        ("due_on=2021-04-15;again=year;done_on=2021-03-01", Some("2022-04-15")),
        ("due_on=2021-04-15;again=year;done_on=2021-06-20", Some("2022-04-15")),
        ("due_on=2021-04-15;again=year;done_on=2020-04-20", Some("2021-04-15")),
        ("due_on=2021-01-31;again=month;done_on=2021-01-30", Some("2021-02-28")),
        ("due_on=2021-01-20;again=quarter;done_on=2021-07-22", Some("2021-10-20")),
    ] {
        assert_eq!(next(typed), wanted.map(day), "{typed}");
    }
}

#[test]
fn what_is_near_is_shown_and_what_is_past_stays_shown() {
    let one = |typed: &str| dues(&[kept(1, "due", "a", None, typed)]).remove(0);
    let due = one("due_kind=insurance;due_on=2021-04-15;warn=10");
    for (today, near) in [("2021-04-04", false), ("2021-04-05", true), ("2021-04-15", true), ("2021-09-01", true)] {
        assert_eq!(due.is_near(day(today)), near, "{today}");
    }
    assert!(one("due_kind=insurance;due_on=2021-04-15").is_near(day("2021-03-16")));
    assert!(!one("due_kind=insurance;due_on=2021-04-15;done_on=2021-04-14").is_near(day("2021-04-15")));
}

#[test]
fn a_mended_loss_counts_once_and_a_struck_one_not_at_all() {
    let facts = [
        kept(1, "loss", "a", None, "cause=cold;began=2021-10-04;pond=willow;lost_weight=10 kg"),
        kept(2, "loss", "b", Some("a"), "cause=cold;began=2021-10-04;ended=2021-10-01;pond=willow;lost_weight=12 kg"),
        kept(3, "loss", "c", None, "cause=theft;began=2021-10-05"),
        kept(4, "loss", "d", Some("c"), "struck=yes"),
    ];
    let all = losses(&facts, &Currency::parse("USD").expect("a currency"));
    assert_eq!((all[0].ended_before, all[0].ended), (Some(day("2021-10-01")), day("2021-10-04")));
    let odd = [kept(1, "loss", "a", None, "cause=cold;began=2021-10-04;lost_count=-4;worth=plenty")];
    let odd = &losses(&odd, &Currency::parse("USD").expect("a currency"))[0];
    assert_eq!(odd.unread, [("lost_count", "-4".to_owned()), ("worth", "plenty".to_owned())]);
    assert_eq!((odd.lost_count, odd.worth, odd.ended_before), (None, None, None));
    assert_eq!(all.len(), 1);
    assert_eq!((all[0].lost_kg, all[0].ended, all[0].head.as_str()), (Some(12.0), day("2021-10-04"), "b"));
}
