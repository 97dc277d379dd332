use proptest::prelude::*;
use units::{Instant, Watch, Zone};

use super::*;
use crate::observed::Place;

fn spot() -> Spot {
    Spot { place: Place::Deep, depth_m: 0.5 }
}

fn zone() -> Zone {
    Zone::parse("America/New_York").expect("in the table")
}

fn at(text: &str) -> Instant {
    Instant::parse(text).unwrap_or_else(|| panic!("{text}"))
}

fn read_with(text: &str, choices: &Choices) -> (Layout, Taken) {
    let layout = layout(text, choices).unwrap_or_else(|error| panic!("{error:?}: {text}"));
    let taken = take(text, &layout, (&zone(), spot(), at("2021-01-01T00:00Z")), &Watch::new()).expect("not stopped");
    (layout, taken)
}

fn read(text: &str) -> (Layout, Taken) {
    read_with(text, &Choices::default())
}

/// The readings of the first series as `stamp value`.
fn shown(taken: &Taken) -> Vec<String> {
    let rows = taken.series.first().map_or(&[][..], |series| &series.rows);
    rows.iter().map(|(at, value)| format!("{} {value}", zone().stamp(*at))).collect()
}

#[test]
fn one_reading_in_the_ways_people_write_it() {
    let wanted = "2020-07-13T18:05-04:00 18.5";
    for text in [
        "time,temp_c\n2020-07-13T18:05,18.5\n",
        "Temp (°C),Date Time\n18.5,2020-07-13 18:05:00\n",
        "#,Date,Time,Water °F\n1,07/13/2020,6:05 PM,65.3\n",
        "\"Plot: a pond\"\n\"#\",\"Date Time, GMT-04:00\",\"Temp, °C (S: 1)\"\n1,\"07/13/20 06:05:00 PM\",18.5\n",
        "Datum;Zeit;Temperatur [°C]\n13.07.2020;18:05;18,5\n",
        "Date\tTime\tTemp F\n13/7/2020\t18:05\t65.3\n",
        "time,water temperature\n2020-07-13 18:05,65.3 °F\n",
        "when|temp c\n13-Jul-2020 18:05|18.5\n",
        "unix time,temp_c\n1594677900,18.5\n",
        "epoch ms,temp_c\n1594677900000,18.5\n",
        "time,temp_c\n44025.75347222222,18.5\n",
        "timestamp,temp_c\n2020-07-13T22:05:00Z,18.5\n",
        "timestamp,temp_c\n2020-07-13T22:05:00+00:00,18.5\n",
        "Logger of the bank\n\nDate,Time,Temp\n,,(°C)\nJuly 13 2020,6:05 p.m.,18.5\nend of file\n",
        "time,deep@0.5\n2020-07-13T18:05,18.5\n",
    ] {
        let (layout, taken) = read(text);
        assert_eq!(shown(&taken), [wanted], "{text}{layout:?}");
        assert_eq!(layout.open(), [], "{text}");
    }
}

#[test]
fn several_quantities_and_ends_at_once() {
    let text = "time,Air Temp °F,Temp deep °F,Temp shallow °F,DO (mg/L),DO (% sat),pH,battery V,Stage in\n\
                2020-07-13 06:00,70,77,75.2,4.5,55,8.1,3.6,6\n2020-07-13 06:05,70,77,75.2,4.4,55,8.1,3.6,6\n";
    let (_, taken) = read(text);
    let found: Vec<(Quantity, Place, f64)> =
        taken.series.iter().map(|series| (series.quantity, series.spot.place, series.rows[0].1)).collect();
    assert_eq!(
        found,
        [
            (Quantity::Temperature, Place::Deep, 25.0),
            (Quantity::Temperature, Place::Shallow, 24.0),
            (Quantity::Oxygen, Place::Deep, 4.5),
            (Quantity::Ph, Place::Deep, 8.1),
            (Quantity::Stage, Place::Deep, 0.1524),
        ]
    );
    assert_eq!((taken.count(), taken.lines, taken.step_s), (10, 2, 300));
}

#[test]
fn the_order_of_day_and_month_is_found_or_asked() {
    let rows = |days: &[&str]| days.iter().map(|day| format!("{day} 06:00,18.5\n")).collect::<String>();
    for (days, order) in [
        (&["7/6/2020", "7/13/2020"][..], Some((DateOrder::MonthFirst, How::Cells))),
        (&["6/7/2020", "13/7/2020"], Some((DateOrder::DayFirst, How::Cells))),
        (&["7/6/2020", "7/7/2020", "7/8/2020"], Some((DateOrder::MonthFirst, How::Guess))),
        (&["6/7/2020", "7/7/2020", "8/7/2020"], Some((DateOrder::DayFirst, How::Guess))),
        (&["7/6/2020"], Some((DateOrder::MonthFirst, How::Asked))),
        (&["2020-07-06"], None),
        (&["6.7.2020"], None),
    ] {
        let text = format!("time,temp_c\n{}", rows(days));
        let layout = layout(&text, &Choices::default()).expect("a logger");
        assert_eq!(layout.order, order, "{days:?}");
        assert_eq!(layout.open().contains(&Question::DateOrder), matches!(order, Some((_, How::Asked))));
    }
    let choices = Choices { order: Some(DateOrder::DayFirst), ..Choices::default() };
    let (layout, taken) = read_with("time,temp_c\n7/6/2020 06:00,18.5\n", &choices);
    assert_eq!(shown(&taken), ["2020-06-07T06:00-04:00 18.5"]);
    assert_eq!(layout.open(), []);
}

#[test]
fn the_unit_is_found_or_asked() {
    for (values, holds, how) in [
        (["64.2", "70.1"], Holds::TempF, How::Guess),
        (["18.2", "21.1"], Holds::TempC, How::Guess),
        (["34.5", "38.0"], Holds::TempC, How::Asked),
        (["64.2 F", "70.1 F"], Holds::TempF, How::Cells),
    ] {
        let text = format!("time,water temp\n2020-07-06 06:00,{}\n2020-07-06 07:00,{}\n", values[0], values[1]);
        let column = &layout(&text, &Choices::default()).expect("a logger").columns[1];
        assert_eq!((column.holds, column.how), (holds, how), "{values:?}");
    }
}

#[test]
fn without_heads_the_first_numbers_that_could_be_water_are_taken() {
    let (layout, taken) = read("2020-07-06 06:00,64.2\n2020-07-06 06:05,64.3\n");
    assert_eq!((layout.header_line, layout.columns[1].holds, layout.columns[1].how), (None, Holds::TempF, How::Guess));
    assert_eq!(taken.count(), 2);
}

#[test]
fn the_doubled_hour_goes_by_the_order_of_the_lines_up_or_down() {
    let rising = ["00:30", "01:00", "01:30", "01:00", "01:30", "02:00"];
    let wanted = ["00:30-04:00", "01:00-04:00", "01:30-04:00", "01:00-05:00", "01:30-05:00", "02:00-05:00"];
    let text = |clocks: &mut dyn Iterator<Item = &&str>| {
        clocks.fold("time,temp_c\n".to_owned(), |text, clock| format!("{text}2020-11-01 {clock},18.5\n"))
    };
    for text in [text(&mut rising.iter()), text(&mut rising.iter().rev())] {
        let (_, taken) = read(&text);
        let wanted: Vec<String> = wanted.iter().map(|clock| format!("2020-11-01T{clock} 18.5")).collect();
        assert_eq!(shown(&taken), wanted, "{text}");
        assert_eq!(taken.doubts.counts[&Odd::ShownTwice], 4);
    }
}

#[test]
fn a_clock_that_never_changes_is_read_as_told() {
    let text = "time,temp_c\n2020-07-06 06:00,18.5\n2020-12-06 06:00,8.5\n";
    for (clock, wanted) in [
        (FileClock::Farm, ["2020-07-06T06:00-04:00 18.5", "2020-12-06T06:00-05:00 8.5"]),
        (FileClock::Winter, ["2020-07-06T07:00-04:00 18.5", "2020-12-06T06:00-05:00 8.5"]),
        (FileClock::Utc, ["2020-07-06T02:00-04:00 18.5", "2020-12-06T01:00-05:00 8.5"]),
        (FileClock::Fixed(-14_400), ["2020-07-06T06:00-04:00 18.5", "2020-12-06T05:00-05:00 8.5"]),
    ] {
        let (_, taken) = read_with(text, &Choices { clock: Some(clock), ..Choices::default() });
        assert_eq!(shown(&taken), wanted, "{clock:?}");
        assert_eq!(FileClock::parse(&clock.key()), Some(clock));
    }
    let (layout, _) = read("Plot,Time zone UTC-06:00\ntime,temp_c\n2020-07-06 06:00,18.5\n");
    assert_eq!(layout.clock, (FileClock::Fixed(-21_600), How::Header));
}

#[test]
fn what_is_doubtful_is_named_by_its_line() {
    let text = "time,temp_c\n2020-07-06 06:00,18.5\nhello\n2020-07-06 06:05,warm\n2020-07-06 06:10,99\n\
                2020-07-06 06:15,18.6\n2020-07-06 06:15,18.6\n2020-07-06 06:15,18.9\n2020-07-06 06:20,30\n2020-07-06 06:25,18.5\n\
                2000-01-01,4\n1980-01-01 00:00,4\n2020-07-06 06:30,1,2,3\n2031-07-06 06:30,18\n2020-03-08 02:30,9\n2020-07-06 06:35,-\n";
    let (_, taken) = read(text);
    let found: Vec<(usize, Odd)> = taken.doubts.first.iter().map(|doubt| (doubt.line, doubt.odd)).collect();
    assert_eq!(
        found,
        [
            (3, Odd::NotATime),
            (4, Odd::NotANumber),
            (5, Odd::NotBelieved(Quantity::Temperature)),
            (7, Odd::Repeated),
            (8, Odd::TwoValues),
            (9, Odd::Spike(Quantity::Temperature)),
            (11, Odd::NotATime),
            (12, Odd::NeverSet),
            (13, Odd::MoreCells),
            (14, Odd::Later),
            (15, Odd::Skipped),
        ]
    );
    assert_eq!(taken.count(), 6);
    assert!(found.iter().all(|(_, odd)| odd.is_taken() == matches!(odd, Odd::Spike(_) | Odd::Later | Odd::Skipped)));
}

#[test]
fn gaps_and_spans_are_told() {
    let text = "time,temp_c\n2020-07-06 06:00,18\n2020-07-06 06:05,18\n2020-07-06 06:10,18\n2020-07-06 09:00,18\n2020-07-06 09:05,18\n";
    let (_, taken) = read(text);
    assert_eq!((taken.step_s, taken.gap_count), (300, 1));
    assert_eq!(taken.gaps, [(at("2020-07-06T10:10Z"), at("2020-07-06T13:00Z"))]);
    assert_eq!(taken.span(), Some((at("2020-07-06T10:00Z"), at("2020-07-06T13:05Z"))));
}

#[test]
fn what_is_no_logger_is_said() {
    for (text, error) in
        [("", NotALogger::Empty), ("\n# only\n", NotALogger::Empty), ("pond,depth\nwillow,deep\n", NotALogger::NoRow)]
    {
        assert_eq!(layout(text, &Choices::default()), Err(error), "{text}");
    }
    let (layout, _) = read("time,salinity\n2020-07-06 06:00,18\n");
    assert_eq!(layout.open(), [Question::WhichValue]);
    assert!(Holds::ALL.into_iter().all(|holds| Holds::parse(holds.key()) == Some(holds)));
}

#[test]
fn a_reading_that_is_stopped_gives_nothing() {
    let text = "time,temp_c\n2020-07-06 06:00,18\n";
    let watch = Watch::new();
    watch.ask_to_stop();
    let layout = layout(text, &Choices::default()).expect("a logger");
    assert_eq!(take(text, &layout, (&zone(), spot(), at("2021-01-01T00:00Z")), &watch), None);
}

#[test]
fn latin_letters_of_one_byte_keep_their_degree_sign() {
    assert_eq!(decode(b"Temp \xB0C"), "Temp °C");
    assert_eq!(decode(b"\xEF\xBB\xBFa"), "a");
    assert_eq!(decode(b"\xFF\xFEa\0\xB0\0"), "a°");
}

#[test]
fn an_hour_is_spoken_for_by_the_reading_nearest_to_it() {
    let rows: Vec<(Instant, f64)> = (0..24).map(|n| (Instant(n * 300), n as f64)).collect();
    let hours = hourly(&rows, AlongPond::Deep, 0.5);
    assert_eq!(
        hours.iter().map(|reading| (reading.at.0, reading.temp_c)).collect::<Vec<_>>(),
        [(0, 0.0), (3600, 12.0), (6900, 23.0)]
    );
}

proptest! {
    /// Readings written in any of these forms come back as they were.
    #[test]
    fn what_is_written_comes_back(
        start in 1_500_000_000i64..1_600_000_000,
        steps in prop::collection::vec(60i64..100_000, 3..60),
        temps in prop::collection::vec(8.0f64..31.0, 60),
        form in 0usize..6,
        separator in prop::sample::select(vec![',', ';', '\t']),
        swap in any::<bool>(),
        fahrenheit in any::<bool>(),
    ) {
        let mut at_s = start / 60 * 60;
        let zone = zone();
        let mut rows = Vec::new();
        for (step, temp_c) in steps.iter().zip(&temps) {
            at_s += step / 60 * 60;
            rows.push((Instant(at_s), (temp_c * 100.0).round() / 100.0));
        }
        let comma = separator == ';';
        let mut text = String::new();
        let unit = if fahrenheit { "°F" } else { "°C" };
        let heads = ["when".to_owned(), format!("Temp {unit}")];
        let order = |a: &str, b: &str| if swap { format!("{b}{separator}{a}\n") } else { format!("{a}{separator}{b}\n") };
        text += &order(&heads[0], &heads[1]);
        for (at, temp_c) in &rows {
            let shown = if fahrenheit { temp_c * 1.8 + 32.0 } else { *temp_c };
            let value = format!("{shown:.4}");
            let value = if comma { value.replace('.', ",") } else { value };
            let local = zone.local(*at);
            let utc = Zone::utc().local(*at);
            let when = match form {
                0 => zone.stamp(*at),
                1 => format!("{}Z", utc),
                2 => at.0.to_string(),
                3 => format!("{:02}.{:02}.{} {:02}:{:02} {}", local.day(), local.month(), local.year(), local.hour(), local.minute(),
                    &zone.stamp(*at)[16..]),
                4 => format!("{} {}", utc.date(), utc.time()) + "Z",
                _ => at.0.to_string() + "000",
            };
            text += &order(&when, &value);
        }
        let (layout, taken) = read(&text);
        prop_assert_eq!(layout.open(), vec![]);
        prop_assert_eq!(taken.series.len(), 1, "{:?} {}", layout, text);
        prop_assert_eq!(taken.series[0].rows.len(), rows.len(), "{:?}", taken.doubts);
        for (read, wrote) in taken.series[0].rows.iter().zip(&rows) {
            prop_assert_eq!(read.0, wrote.0);
            prop_assert!((read.1 - wrote.1).abs() < 1e-4);
        }
    }

    /// Whatever stands in a file, the reader answers, and names only lines that are there.
    #[test]
    fn no_text_breaks_it(text in "[-0-9a-zA-Z:/.,;\t\n\"°# ]{0,400}") {
        if let Ok(layout) = layout(&text, &Choices::default()) {
            let taken = take(&text, &layout, (&zone(), spot(), Instant(0)), &Watch::new()).expect("not stopped");
            let lines = text.lines().count();
            prop_assert!(taken.doubts.first.iter().all(|doubt| (1..=lines).contains(&doubt.line)));
            prop_assert!(taken.series.iter().all(|series| series.rows.windows(2).all(|pair| pair[0].0 < pair[1].0)));
        }
    }
}
