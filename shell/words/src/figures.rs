//! Figures as a tired person reads them right: odds as "1 in 6", money rounded to what is known, water in one's own degrees.

use units::{Currency, Day};

/// Which units a person reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Manner {
    /// Feet, pounds, degrees Fahrenheit, twelve-hour clock.
    UsCustomary,
    /// Metres, kilograms, degrees Celsius, twenty-four-hour clock.
    Metric,
}

/// A chance in words. Below 1 in 200 the figure would claim more than is known.
pub fn odds(chance: f64) -> String {
    match chance {
        c if !(0.0..=1.0).contains(&c) => "unknown".to_owned(),
        c if c < 0.005 => "less than 1 in 200".to_owned(),
        c if c > 0.995 => "more than 199 in 200".to_owned(),
        c if c > 0.9 => "more than 9 in 10".to_owned(),
        c if c >= 0.35 => format!("{} in 10", (c * 10.0).round()),
        c => {
            let n = 1.0 / c;
            let n = if n >= 50.0 {
                (n / 10.0).round() * 10.0
            } else if n >= 15.0 {
                (n / 5.0).round() * 5.0
            } else {
                n.round()
            };
            format!("1 in {n}")
        }
    }
}

/// Water or air temperature.
pub fn degrees(celsius: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.0} °F", celsius * 1.8 + 32.0),
        Manner::Metric => format!("{celsius:.1} °C"),
    }
}

/// A difference or spread of temperature, without the unit's zero.
pub fn degrees_apart(kelvin: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.0} °F", kelvin * 1.8),
        Manner::Metric => format!("{kelvin:.1} °C"),
    }
}

/// A temperature without its unit.
pub fn bare(celsius: f64, manner: Manner) -> String {
    let full = degrees(celsius, manner);
    full.split(' ').next().unwrap_or_default().to_owned()
}

/// A depth below the surface.
pub fn depth(metres: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.1} ft", metres / 0.3048),
        Manner::Metric => format!("{metres:.1} m"),
    }
}

/// A mass of prawns or ice.
pub fn mass(kilograms: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{} lb", grouped(two_figures(kilograms / 0.453_592_37))),
        Manner::Metric => format!("{} kg", grouped(two_figures(kilograms))),
    }
}

/// The weight of one animal, with its count per pound where pounds are read.
pub fn animal(grams: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{grams:.0} g, {:.0} to the pound", 453.592_37 / grams),
        Manner::Metric => format!("{grams:.0} g"),
    }
}

/// How much more one amount is than another, as both are shown: a difference that the two figures themselves give.
pub fn money_apart(coins: f64, other: f64, known_to_coins: f64, currency: Currency) -> f64 {
    let per_unit = currency.coins_per_unit() as f64;
    per_unit * (shown(coins, known_to_coins, currency) - shown(other, known_to_coins, currency))
}

/// An amount as it is shown, in units of its currency.
fn shown(coins: f64, known_to_coins: f64, currency: Currency) -> f64 {
    let per_unit = currency.coins_per_unit() as f64;
    let step = rounding_step((known_to_coins / per_unit).max(1.0));
    (coins / per_unit / step).round() * step
}

/// Money rounded so that the last figure shown is at least about a third of its standard error.
pub fn money(coins: f64, known_to_coins: f64, currency: Currency) -> String {
    let rounded = shown(coins, known_to_coins, currency);
    let sign = if rounded < 0.0 { "-" } else { "" };
    let amount = grouped(rounded.abs());
    match currency.code() {
        "USD" => format!("{sign}${amount}"),
        code => format!("{sign}{amount} {code}"),
    }
}

/// A sentence with its full stop, of which one that ends in "p.m." has it already.
pub fn stopped(mut sentence: String) -> String {
    if !sentence.ends_with('.') {
        sentence.push('.');
    }
    sentence
}

/// 1, 2, 5, 10, 20, 50 ... : the largest not above `known`.
fn rounding_step(known: f64) -> f64 {
    let power = 10_f64.powf(known.log10().floor());
    let lead = known / power;
    power
        * if lead >= 5.0 {
            5.0
        } else if lead >= 2.0 {
            2.0
        } else {
            1.0
        }
}

fn two_figures(value: f64) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    let power = 10_f64.powf(value.log10().floor() - 1.0);
    (value / power).round() * power
}

/// A count of animals, to two figures.
pub fn count(value: f64) -> String {
    grouped(two_figures(value))
}

/// 12,300 and the like.
pub fn grouped(value: f64) -> String {
    let digits = format!("{:.0}", value.abs());
    let mut out = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    if value < -0.5 { format!("-{out}") } else { out }
}

const WEEKDAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// "September".
pub fn month(number: i8) -> &'static str {
    MONTHS[usize::from(number.clamp(1, 12).unsigned_abs()) - 1]
}

/// "12 Sep", without the weekday: of days long gone or far ahead nobody asks for it.
pub fn date(day: Day) -> String {
    let short = day_short(day);
    short.split_once(' ').map_or(short.clone(), |(_, date)| date.trim().to_owned())
}

/// "12 Sep 2020": on papers that are kept.
pub fn date_year(day: Day) -> String {
    format!("{} {}", date(day), day.ymd().0)
}

/// "Saturday 12 September".
pub fn day(day: Day) -> String {
    let (_, month, date) = day.ymd();
    format!("{} {date} {}", weekday(day), MONTHS[month as usize - 1])
}

/// "Sat 12 Sep", for tables.
pub fn day_short(day: Day) -> String {
    let (_, month, date) = day.ymd();
    format!("{} {date:>2} {}", &weekday(day)[..3], &MONTHS[month as usize - 1][..3])
}

/// "Sat 1 Oct", within a sentence: one space.
pub fn day_said(day: Day) -> String {
    day_short(day).replace("  ", " ")
}

/// "Saturday".
pub fn weekday(day: Day) -> &'static str {
    WEEKDAYS[usize::from(day.weekday())]
}

/// "6 in the morning", "half past 2 in the afternoon" or "06:00", "14:30".
pub fn clock(second_of_day: i32, manner: Manner) -> String {
    let (hour, minute) = (second_of_day / 3600 % 24, second_of_day / 60 % 60);
    match manner {
        Manner::Metric => format!("{hour:02}:{minute:02}"),
        Manner::UsCustomary => {
            let part = if hour < 12 { "a.m." } else { "p.m." };
            let face = if hour % 12 == 0 { 12 } else { hour % 12 };
            match (hour, minute) {
                (12, 0) => "noon".to_owned(),
                (0, 0) => "midnight".to_owned(),
                (_, 0) => format!("{face} {part}"),
                _ => format!("{face}:{minute:02} {part}"),
            }
        }
    }
}

/// "9 hours", "2 days and 6 hours", "half an hour".
pub fn span(hours: f64) -> String {
    let whole = hours.max(0.0).round() as i64;
    let plural = |n: i64, word: &str| if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") };
    match (whole / 24, whole % 24) {
        (0, 0) => "less than an hour".to_owned(),
        (0, h) => plural(h, "hour"),
        (d, 0) => plural(d, "day"),
        (d, _) if d >= 5 => format!("about {}", plural((hours / 24.0).round() as i64, "day")),
        (d, h) => format!("{} and {}", plural(d, "day"), plural(h, "hour")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn odds_are_spoken() {
        for (chance, said) in [
            (0.0, "less than 1 in 200"),
            (0.01, "1 in 100"),
            (0.0167, "1 in 60"),
            (0.05, "1 in 20"),
            (0.166, "1 in 6"),
            (0.33, "1 in 3"),
            (0.5, "5 in 10"),
            (0.95, "more than 9 in 10"),
            (1.0, "more than 199 in 200"),
        ] {
            assert_eq!(odds(chance), said, "{chance}");
        }
    }

    #[test]
    fn money_claims_no_more_than_is_known() {
        let usd = Currency::parse("USD").expect("a code");
        for (coins, known, said) in [
            (123_456.0, 10_000.0, "$1,200"),
            (123_456.0, 100.0, "$1,235"),
            (-45_600.0, 5_000.0, "-$450"),
            (1_999_999.0, 60_000.0, "$20,000"),
        ] {
            assert_eq!(money(coins, known, usd), said);
        }
    }

    #[test]
    fn hours_and_days_are_spoken() {
        for (hours, said) in
            [(0.2, "less than an hour"), (1.0, "1 hour"), (54.0, "2 days and 6 hours"), (48.0, "2 days")]
        {
            assert_eq!(span(hours), said);
        }
        assert_eq!(clock(12 * 3600, Manner::UsCustomary), "noon");
        assert_eq!(clock(14 * 3600 + 1800, Manner::UsCustomary), "2:30 p.m.");
        assert_eq!(clock(14 * 3600 + 1800, Manner::Metric), "14:30");
        assert_eq!(day(Day::parse("2020-09-12").expect("a date")), "Saturday 12 September");
    }
}
