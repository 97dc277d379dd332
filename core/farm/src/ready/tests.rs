mod slips;

use proptest::prelude::*;
use units::{Day, Instant};

use crate::farm::DoubtKind;
use crate::means::{Drive, StartOfWork};
use crate::pond_card::{AlongPond, Outlet};
use crate::reasons::{Reason, Wrong};
use crate::trade::{Form, Pays};
use crate::{Farm, read_farm};
use slips::{Slip, line_of, slips};

const HAZEL_BEND: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
const RIO_MANSO: &str = include_str!("../../../../samples/rio-manso/farm.toml");

fn farm(text: &str) -> Farm {
    read_farm(text).unwrap_or_else(|reasons| panic!("{reasons:#?}"))
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-6 * other.abs().max(1.0)
}

#[test]
fn hazel_bend_is_read_as_written() {
    let farm = farm(HAZEL_BEND);
    assert_eq!((farm.name.as_str(), farm.currency.code()), ("Hazel Bend", "USD"));
    assert_eq!((farm.place.latitude_deg, farm.place.longitude_deg), (34.7, -82.8));
    assert_eq!(farm.morning.as_ref().map(|morning| morning.on), Day::new(2011, 9, 28));
    let names: Vec<&str> = farm.ponds.iter().map(|pond| pond.id.as_str()).collect();
    assert_eq!(names, ["willow", "quarry", "lower", "heron"]);

    let [willow, quarry, lower, heron] = &farm.ponds[..] else { panic!("four ponds") };
    // 0.45 acre, 24,000 to the acre.
    assert!(near(willow.shape.area_m2, 1821.08539) && near(willow.stocking.count, 10_800.0));
    assert!(near(willow.shape.shallow_depth_m, 0.9144) && near(quarry.shape.deep_depth_m, 1.9812));
    assert!(matches!(willow.emptying.outlet, Outlet::Standpipe { diameter_m } if near(diameter_m, 0.1016)));
    let told: Vec<Option<f64>> = farm.ponds.iter().map(|pond| pond.emptying.told_h).collect();
    assert_eq!(told, [Some(36.0), Some(24.0), Some(54.0), Some(60.0)]);
    assert_eq!((lower.emptying.outlet, lower.emptying.pumps.as_slice()), (Outlet::None, &[0, 1][..]));
    assert_eq!(lower.seen[0].plants, 1.0 / 3.0);
    assert!(near(heron.after_rain.outlet_drowned_by_mm.expect("written"), 50.8));
    assert_eq!((heron.after_rain.outlet_drowned_days, heron.after_rain.bank_closed_by_mm), (2, None));
    assert_eq!(heron.readings[2].place, AlongPond::Shallow);
    // 07:20 on the farm's clock is 11:20 by the world's.
    assert_eq!(
        heron.readings[2].at,
        Instant(Day::new(2011, 9, 28).expect("a day").0 as i64 * 86_400 + 11 * 3600 + 1200)
    );
    assert!(near(heron.samples[1].mean_weight_g, 38.0));

    assert_eq!((farm.gear.pumps[1].drive, farm.gear.pumps[1].fuel_l_h), (Drive::Generator, 0.0));
    let saturday = Day::new(2011, 10, 8).expect("a day");
    assert_eq!(
        (farm.crew.hands(saturday), farm.crew.hands(saturday.plus(1)), farm.crew.hands(saturday.plus(2))),
        (5, 6, 4)
    );
    assert_eq!(farm.cold.store.as_ref().map(|store| store.cost_day), Some(4500.0));
    let holiday = Day::new(2011, 9, 5).expect("a day");
    assert!(!farm.calendar.works(holiday) && farm.calendar.works(holiday.plus(1)) && farm.calendar.sells(saturday));

    // 35 g is 13 to the pound: $12 a pound.
    let price = farm.prices.of(Form::Whole, 35.0).expect("a price");
    assert!(matches!(price.pays, Pays::PerKg(coins) if near(coins, 1200.0 / 0.45359237)), "{price:?}");
    assert!(near(farm.costs.fuel_l, 360.0 / 3.785411784));
    assert_eq!(farm.doubts, []);
    let assumed: Vec<(&str, Option<&str>, &str)> =
        farm.assumed.iter().map(|a| (a.key, a.of.as_deref(), a.value.as_str())).collect();
    assert!(assumed.contains(&("pond.wind_factor_off", Some("Willow"), "25 %")), "{assumed:?}");
    assert!(assumed.contains(&("choices.guard", None, "true")), "{assumed:?}");
    assert!(!assumed.iter().any(|a| a.0 == "costs.feed" || a.0 == "gear.baskets"), "written values are not assumed");
}

#[test]
fn rio_manso_is_read_as_written() {
    let farm = farm(RIO_MANSO);
    assert_eq!((farm.place.latitude_deg, farm.weather.history_moved_days), (-31.5, 182));
    let [sauce, tala, ceibo] = &farm.ponds[..] else { panic!("three ponds") };
    assert_eq!((sauce.stocking.count, tala.stocking.count, ceibo.stocking.count), (11_700.0, 20_000.0, 14_300.0));
    assert_eq!(ceibo.shape.area_by_depth_m_m2[1], (0.5, 1700.0));
    assert_eq!(ceibo.emptying.told_h, None);
    assert_eq!(farm.crew.start, StartOfWork::Clock(6.5));
    assert!(!farm.calendar.works(Day::new(2002, 3, 24).expect("a Sunday")));
    assert!(!farm.calendar.works(Day::new(2002, 3, 30).expect("in a stretch")));
    assert_eq!(farm.costs.feed_kg, 420.0);
    assert_eq!(farm.prices.of(Form::Whole, 30.0).map(|price| price.class.as_str()), Some("28 to 40 per kg"));
    assert_eq!(farm.cold.store, None);
    assert_eq!(farm.doubts, []);
}

#[test]
fn every_slip_is_told_with_its_line() {
    for Slip { was, typed, key, of, what } in slips() {
        assert!(HAZEL_BEND.contains(was), "{was}");
        let mut text = HAZEL_BEND.replacen(was, typed, 1);
        if key == "pump.drive" {
            text = text.replace("generators = 1", "generators = 0");
        }
        if key == "pond.catch_depth" {
            text = text.replacen("deep_depth = \"7 ft\"\n", "", 1);
        }
        let Err(reasons) = read_farm(&text) else { panic!("{typed:?} was taken") };
        let reason = reasons
            .iter()
            .find(|reason| reason.key == key && reason.of.as_deref() == of)
            .unwrap_or_else(|| panic!("{typed:?}: nothing about {key} of {of:?} in {reasons:#?}"));
        assert_eq!(reason.what, what, "{typed:?}");
        if !typed.is_empty() && !reason.typed.is_empty() {
            let first = line_of(was);
            let last = first + typed.matches('\n').count();
            assert!((first..=last).contains(&reason.line), "{typed:?}: line {} not {first} to {last}", reason.line);
            let line = text.lines().nth(reason.line - 1).expect("a line of the file");
            assert!(line.contains(key.rsplit('.').next().expect("a key")), "{line:?} for {key}");
        }
        let others = reasons.iter().filter(|other| other.key != key).count();
        assert!(others <= 2, "{typed:?} drags others along: {reasons:#?}");
    }
}

#[test]
fn all_reasons_come_at_once_in_order_of_line() {
    let text = HAZEL_BEND
        .replacen("0.45 ac", "0.45", 1)
        .replacen("\"6 ft 6 in\"", "\"6 cubits\"", 1)
        .replace("$18/lb", "18/acre")
        .replace("owners = 2", "owners = \"two or three\"");
    let reasons = read_farm(&text).expect_err("four faults");
    let keys: Vec<&str> = reasons.iter().map(|reason| reason.key.as_str()).collect();
    assert_eq!(keys, ["pond.area", "pond.deep_depth", "crew.owners", "price.price"]);
    assert!(reasons.is_sorted_by_key(|reason| reason.line));
}

/// Found by fuzzing: the reader tells of broken keys first and of broken values after.
#[test]
fn broken_lines_are_told_in_order_of_line() {
    let reasons = read_farm("a = 2001-11-2x\nb\n[c]\nd = 1e\ne e\n").expect_err("four broken lines");
    let lines: Vec<usize> = reasons.iter().map(|reason| reason.line).collect();
    assert!(lines.is_sorted() && lines.contains(&1) && lines.contains(&5), "{lines:?}");
}

#[test]
fn files_that_are_not_well_formed() {
    for (text, line) in [("name = \"Hazel\n", 1), ("a = 1\na = 2\n", 2), ("[[pond]\n", 1), ("x = 2020-13-45\n", 1)] {
        let reasons = read_farm(text).expect_err(text);
        assert!(matches!(&reasons[0].what, Wrong::NotWellFormed { .. }), "{text:?}: {reasons:?}");
        assert_eq!(reasons[0].line, line, "{text:?}");
    }
    let reasons = read_farm("").expect_err("nothing in it");
    assert!(reasons.iter().any(|reason| reason.key == "farm.pond" && reason.what == Wrong::Missing), "{reasons:?}");
    assert!(reasons.iter().any(|reason| reason.key == "farm.name"), "{reasons:?}");
    let twice = reasons.iter().enumerate().find(|(place, reason)| reasons[..*place].contains(reason));
    assert_eq!(twice, None, "each reason is told once");
}

#[test]
fn a_pond_must_have_a_floor() {
    let text = HAZEL_BEND.replacen("area = \"0.45 ac\"", "area = \"2000 sq ft\"\nside_slope = 4", 1);
    let text = text.replacen("length = \"230 ft\"\nwidth = \"85 ft\"\n", "", 1);
    let reasons = read_farm(&text).expect_err("no floor");
    // Twice as long as wide it is 9.6 m across; two banks of 4 to 1 down to 6 ft take 14.6 m.
    assert!(
        matches!(reasons[..], [Reason { what: Wrong::BanksMeet { across_m, banks_m }, .. }]
        if (9.5..9.8).contains(&across_m) && (14.6..14.7).contains(&banks_m)),
        "{reasons:?}"
    );
}

#[test]
fn what_is_left_out_is_assumed_and_said() {
    let text = HAZEL_BEND
        .replacen("wind_factor = 0.5             # trees on three sides\n", "", 1)
        .replace("feed = \"$0.40/lb\"\n", "");
    let farm = farm(&text);
    let assumed =
        |key: &str| farm.assumed.iter().find(|assumed| assumed.key == key).map(|a| (a.of.as_deref(), a.value.as_str()));
    assert_eq!(assumed("pond.wind_factor"), Some((Some("Willow"), "0.6")));
    assert_eq!(assumed("costs.feed"), Some((None, "$0.40/lb")));
    // Dollar figures do not stand in where another money is used.
    let reasons = read_farm(&RIO_MANSO.replace("feed = \"R$ 4.20/kg\"\n", "")).expect_err("no price of feed in reais");
    assert_eq!((reasons[0].key.as_str(), &reasons[0].what), ("costs.feed", &Wrong::Missing));
}

#[test]
fn unusual_values_are_taken_and_doubted() {
    for (was, typed, key, what) in [
        (
            "shallow_depth = \"3 ft\"",
            "shallow_depth = \"1 ft\"",
            "pond.shallow_depth",
            DoubtKind::Unusual { from: "1.5 ft".into(), to: "6 ft".into() },
        ),
        (
            "price = \"$14/lb\"",
            "price = \"$140/lb\"",
            "price.price",
            DoubtKind::Unusual { from: "$1/lb".into(), to: "$45/lb".into() },
        ),
    ] {
        let farm = farm(&HAZEL_BEND.replacen(was, typed, 1));
        assert_eq!(farm.doubts.len(), 1, "{typed}: {:?}", farm.doubts);
        assert_eq!((farm.doubts[0].key, &farm.doubts[0].what), (key, &what));
    }
    let told = |text: &str| farm(text).doubts.into_iter().map(|doubt| doubt.what).collect::<Vec<_>>();
    assert!(
        matches!(told(&HAZEL_BEND.replace("\"230 ft\"", "\"430 ft\""))[..], [DoubtKind::AreaAndPaces { ratio }] if ratio > 1.8)
    );
    assert!(matches!(told(&HAZEL_BEND.replace("2 days and 6 h", "9 h"))[..], [DoubtKind::TimeToEmpty { .. }]));
    let gap = HAZEL_BEND.replacen("size = \"over 24 per lb\"", "size = \"over 30 per lb\"", 1);
    assert!(matches!(told(&gap)[..], [DoubtKind::NoPriceForSizes { from_g, to_g }] if from_g < 15.2 && to_g > 18.8));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    /// A file with a piece cut out, doubled or written over is read or refused, never a fall.
    #[test]
    fn a_mangled_file_is_read_or_refused(at in 0.0f64..1.0, span in 0usize..60, put in "\\PC{0,12}|[0-9.,\\-]{1,20}|[a-z =\"\\[\\]{}]{1,12}", metric in any::<bool>()) {
        let sample = if metric { RIO_MANSO } else { HAZEL_BEND };
        let letters: Vec<char> = sample.chars().collect();
        let from = (at * letters.len() as f64) as usize;
        let to = (from + span).min(letters.len());
        let text: String = letters[..from].iter().copied().chain(put.chars()).chain(letters[to..].iter().copied()).collect();
        let lines = text.lines().count().max(1) + 1;
        if let Err(reasons) = read_farm(&text) {
            prop_assert!(!reasons.is_empty());
            for reason in reasons {
                prop_assert!(reason.line >= 1 && reason.line <= lines, "{reason:?}");
            }
        }
    }

    /// Whatever stands for a value, of whatever shape, is read or refused.
    #[test]
    fn any_value_is_read_or_refused(line in 0usize..260, value in "\"\\PC{0,10}\"|-?[0-9]{1,22}|[0-9]e[0-9]{1,3}|inf|nan|true|\\[\\]|\\[1, \"x\"\\]|\\{\\}|\\{ a = 1 \\}|1979-05-27|07:32:00|2020-09-15T06:00|\\[\\[\\]\\]") {
        let mut lines: Vec<String> = HAZEL_BEND.lines().map(str::to_owned).collect();
        let line = line % lines.len();
        if let Some((key, _)) = lines[line].clone().split_once('=') {
            lines[line] = format!("{key}= {value}");
        }
        let _ = read_farm(&lines.join("\n"));
    }
}
