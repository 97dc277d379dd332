use proptest::prelude::*;

use super::*;

fn zone(text: &str) -> Zone {
    Zone::parse(text).expect("a zone")
}

#[test]
fn instants_and_daily_means_are_told_apart() {
    let text = "# a remark\ntime,deep@0.25,shallow@1\n2020-07-06T06:00-05:00,20.5,\n2020-07-06T12:00Z,na,21\n2020-07-06 08:00,1,2\n";
    let observed = read(text, &zone("-05:00")).expect("good");
    assert_eq!(observed.spots[0], Spot { place: Place::Deep, depth_m: 0.25 });
    assert_eq!(observed.spots[1].name(), "shallow@1");
    let whens: Vec<_> = observed.rows.iter().map(|row| row.when).collect();
    let at = |hours: i64| When::At(Instant(1_593_993_600 + 3600 * hours));
    assert_eq!(whens, [at(11), at(12), at(13)]);
    assert_eq!(observed.rows[0].temps_c, [Some(20.5), None]);
    assert_eq!(observed.rows[1].line, 4);
    let daily = read("time,deep@0.5\n2014-05-15,6.39\n2014-05-16,6.99\n", &Zone::utc()).expect("good");
    assert_eq!(daily.rows[1].when, When::MeanOf(Day::new(2014, 5, 16).expect("a date")));
}

#[test]
fn a_doubled_autumn_hour_goes_by_the_order_of_the_lines_and_is_said() {
    let text = "time,deep@0\n2013-11-03T00:30,1\n2013-11-03T01:00,2\n2013-11-03T01:30,3\n2013-11-03T01:00,4\n2013-11-03T01:30,5\n2013-11-03T02:00,6\n";
    let observed = read(text, &zone("America/New_York")).expect("good");
    let gaps: Vec<i64> = observed
        .rows
        .windows(2)
        .map(|pair| match (pair[0].when, pair[1].when) {
            (When::At(one), When::At(other)) => other.0 - one.0,
            _ => panic!("instants"),
        })
        .collect();
    assert_eq!(gaps, [1800; 5]);
    let odd: Vec<_> = observed.oddities.iter().map(|oddity| (oddity.line, oddity.what)).collect();
    use Odd::{ShownTwiceFirst as First, ShownTwiceSecond as Second};
    assert_eq!(odd, [(3, First), (4, First), (5, Second), (6, Second)]);
    let spring = read("time,deep@0\n2013-03-10T02:30,1\n", &zone("America/New_York")).expect("good");
    assert_eq!(spring.oddities[0].what, Odd::Skipped);
}

#[test]
fn absurd_cells_are_left_out_and_named() {
    let observed =
        read("time,deep@0\n2020-01-01T00:00,twenty\n2020-01-01T01:00,-40\n2020-01-01T02:00,68\n", &Zone::utc())
            .expect("read");
    let odd: Vec<_> = observed.oddities.iter().map(|oddity| (oddity.line, oddity.what, oddity.text.as_str())).collect();
    assert_eq!(odd, [(2, Odd::NotANumber, "twenty"), (3, Odd::Absurd, "-40"), (4, Odd::Absurd, "68")]);
    assert!(observed.rows.iter().all(|row| row.temps_c == [None]));
}

#[track_caller]
fn check(text: &str, line: usize, what: Wrong) {
    let faults = read(text, &Zone::utc()).expect_err("refused");
    assert!(faults.iter().any(|fault| fault.line == line && fault.what == what), "{faults:?}");
}

#[test]
fn faults_are_named_with_their_line() {
    check("", 1, Wrong::Empty);
    check("time,deep@0\n", 1, Wrong::Empty);
    check("#\nwhen,deep@0\n2020-01-01,1\n", 2, Wrong::NotOneOf { found: "when".into(), words: vec!["time"] });
    check("time,pond 3\n2020-01-01,1\n", 1, Wrong::NotASpot { found: "pond 3".into() });
    check("time,deep@1,deep@1.0\n2020-01-01,1,2\n", 1, Wrong::Twice { first: 2 });
    check("time,deep@1\nyesterday,1\n", 2, Wrong::NotATime { found: "yesterday".into() });
    check("time,deep@1\n2020-01-01,1,3\n", 2, Wrong::Columns { header: 2, line: 3 });
    check(
        "time,deep@1\n2020-01-02,1\n2020-01-02,1\n",
        3,
        Wrong::TimesNotRising { before: "2020-01-02".into(), time: "2020-01-02".into() },
    );
    check("time,deep@1\n2020-01-02,1\n2020-01-03T00:00,1\n", 3, Wrong::MixedTimes);
}

#[test]
fn spots_in_mixed_units() {
    for (text, wanted) in [
        ("deep@0.25", Some(0.25)),
        ("Deep @ 10 in", Some(0.254)),
        ("deep@1 ft 6 in", Some(0.4572)),
        ("deep", None),
        ("bank@1", None),
        ("deep@-1", None),
        ("deep@2 lb", None),
    ] {
        let found = Spot::parse(text).map(|spot| spot.depth_m);
        assert!(
            match (found, wanted) {
                (Some(a), Some(b)) => (a - b).abs() < 1e-9,
                (a, b) => a == b,
            },
            "{text}: {found:?}"
        );
    }
}

proptest! {
    #[test]
    fn no_text_makes_the_reader_panic(text in "\\PC*") {
        let _ = read(&text, &Zone::utc());
    }

    #[test]
    fn no_rows_make_the_reader_panic(rows in proptest::collection::vec("[-0-9T:Z+., ]{0,30}", 0..6)) {
        let text = format!("time,deep@0,deep@1\n{}\n", rows.join("\n"));
        if let Ok(observed) = read(&text, &Zone::parse("America/New_York").expect("a zone")) {
            prop_assert!(observed.rows.windows(2).all(|pair| pair[0].when < pair[1].when));
        }
    }
}
