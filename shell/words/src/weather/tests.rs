use super::*;
use season::weather::{HourlyForm, Place};
use season::weather_report::{WeatherAsk, weather_report};

fn told(text: &str, every_line: bool) -> String {
    let form = HourlyForm::default();
    let ask = WeatherAsk { bytes: text.as_bytes(), name: "w.csv", form: &form, place: None, donors: None };
    page("w.csv", &weather_report(&ask).expect("a weather file"), every_line)
}

#[test]
fn a_page_of_days() {
    let text = "date,tmin_f,tmax_f,note\n2020-01-01,28.4,50,\n2020-01-02,,52,\n2020-01-03,32,50,x\n2020-01-03,1,2,\n2020-01-09,60,55,\n";
    let expected = "\
w.csv: a table of daily lows and highs
2020-01-01 to 2020-01-09, 9 days

                                      days  missing     least      mean      most
  low of the day, °C                     3        6      -2.0      -1.0       0.0
  high of the day, °C                    3        6      10.0      10.4      11.1

What was odd (6), and what was done:
  line 1: the column \"note\" is not known here: not used
  line 3: tmin_f is blank: filled with -1.0 °C
  line 4: 5 days are missing, 2020-01-04 to 2020-01-08: left open; what needs it will be refused
  line 5: date \"2020-01-03\" stands on line 4 already: the first is used
  line 6: the low (15.6 °C) is above the high (12.8 °C): left open; what needs it will be refused
  line 6: the low (15.6 °C) is above the high (12.8 °C): left open; what needs it will be refused
";
    assert_eq!(told(text, false), expected);
}

#[test]
fn many_of_a_kind_are_told_together_with_every_line() {
    let blank: String =
        (2..=9).map(|day| format!("2020-01-{day:02},,{}\n", if day == 5 { "x" } else { "9" })).collect();
    let text = format!("date,low_c,high_c\n2020-01-01,1,9\n{blank}");
    let page = told(&text, false);
    assert!(page.contains("low_c: blank: left open; what needs it will be refused, 8 times, lines 3-10"), "{page}");
    assert!(page.contains("line 6: high_c \"x\" is no number: filled with 9.0"), "{page}");
    assert_eq!(told(&text, true).matches("low_c is blank").count(), 8);
    assert_eq!(compressed(&[9, 3, 5, 6, 7, 6]), "3, 5-7, 9");
}

#[test]
fn a_page_of_hours_says_what_a_pond_would_be_given() {
    let text = "# latitude_deg: -34\n# longitude_deg: 138.5\n# elevation_m: 50\n# time_zone: +09:30\n\
                time,air_temp_c,wind_speed_m_s\n2020-07-01T01:00,10,2\n2020-07-01T02:00,9,2\n";
    let page = told(text, false);
    for line in [
        "2020-07-01T01:00+09:30 to 2020-07-01T03:00+09:30, 2 hours",
        "measured at 34.00° S, 138.50° E, 50 m",
        "  line 5: the file does not say which end of the hour its times name; the start is taken (give --hour-label)",
        "  no sun, no cloud: sun from the day's range of temperature (2 hours); where measured off by 4.1 MJ/m², by the day (mean -0.2)",
    ] {
        assert!(page.contains(line), "{line}\nnot in\n{page}");
    }
}

#[test]
fn refusals_say_where_and_what_to_do() {
    let zone = Zone::utc();
    for (why, expected) in [
        (
            Refusal::Hole { line: 7, quantity: Quantity::Wind, from: units::Instant(0), hours: 9, most: 6 },
            "after line 7 9 hours have no wind (from 1970-01-01T00:00+00:00); up to 6 would be filled. Bring the missing hours, or ask for a span without them",
        ),
        (
            Refusal::NoColumn { line: 1, wanted: "low_c or low_f" },
            "line 1: there is no column low_c or low_f. Add it, with its unit in its name",
        ),
    ] {
        assert_eq!(refusal(&why, &zone), expected);
    }
}

#[test]
fn a_place_of_the_asker_goes_before_that_of_the_file() {
    let form = HourlyForm { zone: Some(Zone::utc()), label: Some(HourLabel::Start) };
    let place = Place { latitude_deg: 35.0, longitude_deg: -80.0, elevation_m: 200.0, zone: Zone::utc() };
    let text = "time,air_temp_c\n2020-07-01T01:00,10\n";
    let ask = WeatherAsk { bytes: text.as_bytes(), name: "", form: &form, place: Some(&place), donors: None };
    let report = weather_report(&ask).expect("hours");
    assert!(
        page("w.csv", &report, false)
            .contains("A pond cannot be run on all of it: it has no wind in any hour. Add wind_speed_m_s.")
    );
}
