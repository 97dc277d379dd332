//! What is wrong, odd or assumed in a farm file, in the grower's words.

mod log;
mod manual;
mod measure;
#[cfg(test)]
mod tests;

pub use log::log_slip;
pub use manual::manual;

use farm::inputs::{Input, Takes, inputs};
use farm::reasons::{Reason, Shape, Wrong};
use farm::{Assumed, Doubt, DoubtKind};

use crate::figures::Manner;
use crate::page_setup::stand_in;

/// One reason on one line: file, line, pond or row, key, what is wrong, what to do.
pub fn reason(file: &str, reason: &Reason) -> String {
    let place = place(file, reason.line, reason.of.as_deref());
    let key = reason.key.rsplit('.').next().unwrap_or("");
    match &reason.what {
        Wrong::NotWellFormed { remark } => {
            format!("{place}: this line cannot be read ({remark}): {}. {}", quoted(&reason.typed), mend_line(remark))
        }
        Wrong::UnknownKey { .. } => format!("{place}: {}", unknown(reason, key)),
        what => format!("{place}, {key}: {}", wrong(what, reason, find(&reason.key))),
    }
}

/// Something taken that looks unusual.
pub fn doubt(file: &str, doubt: &Doubt) -> String {
    let key = doubt.key.rsplit('.').next().unwrap_or("");
    format!("{}, {key}: {}.", place(file, doubt.line, doubt.of.as_deref()), doubt_said(doubt))
}

/// As [`doubt`], without its place.
pub fn doubt_said(doubt: &Doubt) -> String {
    match &doubt.what {
        DoubtKind::Unusual { from, to } => {
            format!("{} is unusual; most lie from {from} to {to}. It is used as written", quoted(&doubt.typed))
        }
        DoubtKind::AreaAndPaces { ratio } => {
            format!("length times width comes to {ratio:.1} times the area given. The area is kept; check the paces")
        }
        DoubtKind::SurveyAndFigures { depth_ratio, area_ratio } => format!(
            "the survey's depth is {depth_ratio:.1} times the depth given, its area {area_ratio:.1} times the area. The survey is used"
        ),
        DoubtKind::TimeToEmpty { by_pumps_h } => format!(
            "{} was remembered, but by their rates the pumps would take about {by_pumps_h:.0} h. What you remember is used",
            quoted(&doubt.typed)
        ),
        DoubtKind::ClockAndLongitude { clock_deg, exchanged } => {
            let (side, mend) = if *clock_deg < 0.0 { ("W", "E") } else { ("E", "W") };
            let hint = if *exchanged { format!(". Is it {side} rather than {mend}?") } else { String::new() };
            format!(
                "the clock named is that of about {:.0} {side}, and the farm's longitude is far from it{hint}",
                clock_deg.abs()
            )
        }
        DoubtKind::NoPriceForSizes { from_g, to_g } => {
            let span = if to_g.is_finite() {
                format!("from {from_g:.0} g to {to_g:.0} g")
            } else {
                format!("above {from_g:.0} g")
            };
            format!("no row of this form has a price for pieces {span}. They are reckoned to bring nothing in it")
        }
    }
}

/// A value that stands in, and where it comes from.
pub fn assumed(assumed: &Assumed, manner: Manner) -> String {
    let of = assumed.of.as_ref().map_or(String::new(), |of| format!("{of}: "));
    let (question, value) = match find(assumed.key) {
        Some(input) => (input.question, stand_in(input, &assumed.value, manner)),
        None => (assumed.key, assumed.value.clone()),
    };
    let source = find(assumed.key).and_then(source).unwrap_or("our guess");
    format!("{of}{question} {value} ({source}).")
}

fn source(input: &Input) -> Option<&'static str> {
    input.stand_in().map(|(_, source)| source)
}

fn find(key: &str) -> Option<&'static Input> {
    inputs().find(|input| input.key == key)
}

fn place(file: &str, line: usize, of: Option<&str>) -> String {
    let of = of.map_or(String::new(), |of| match of.split_once(", ") {
        Some((pond, row)) => format!(", {pond}, row {row}"),
        None if of.chars().all(|c| c.is_ascii_digit()) => format!(", row {of}"),
        None => format!(", {of}"),
    });
    format!("{file}, line {line}{of}")
}

fn quoted(typed: &str) -> String {
    let short: String = typed.chars().take(60).collect();
    let more = if short.len() < typed.len() { "…" } else { "" };
    format!("“{short}{more}”")
}

/// What the TOML reader stumbles over most, and what then helps.
fn mend_line(remark: &str) -> &'static str {
    if remark.contains("duplicate") {
        "Take one of the two lines out, or give the second its own [[section]]."
    } else {
        "Text stands in quotes, a section's name in brackets, and a remark after #."
    }
}

/// How a section is opened.
fn heading(section: &str) -> String {
    match find(&format!("farm.{section}")).or_else(|| find(&format!("pond.{section}"))) {
        _ if section == "farm" => "the top of the file".to_owned(),
        Some(input) if input.section() == "pond" => format!("{section} of a pond"),
        Some(Input { takes: Takes::Sections, .. }) => format!("[[{section}]]"),
        _ if section == "away" => "away of [crew]".to_owned(),
        _ => format!("[{section}]"),
    }
}

fn unknown(reason: &Reason, key: &str) -> String {
    let section = reason.key.rsplit_once('.').map_or("farm", |(section, _)| section);
    let Wrong::UnknownKey { nearest, belongs } = &reason.what else { return String::new() };
    let at =
        if section == "farm" { "at the top of the file".to_owned() } else { format!("under {}", heading(section)) };
    let help = match (nearest, belongs) {
        (_, Some(other)) => format!("It belongs under {}.", heading(other)),
        (Some(nearest), None) => format!("Did you mean {nearest}?"),
        (None, None) => "Take it out, or put # before it to keep it as a remark.".to_owned(),
    };
    format!("{} is not asked for {at}. {help}", quoted(key))
}

pub(crate) fn wrong(what: &Wrong, reason: &Reason, input: Option<&Input>) -> String {
    let typed = quoted(&reason.typed);
    match what {
        Wrong::Measure(error) => measure::wrong(error, &reason.typed, input),
        Wrong::Missing if input.is_some_and(|input| matches!(input.takes, Takes::Section | Takes::Sections)) => {
            let heading = heading(last(&reason.key));
            format!("{heading} is missing. {}", input.map_or("", |input| input.question))
        }
        Wrong::Missing => {
            let question = input.map_or("", |input| input.question);
            format!("this is missing. {question} {}", input.map_or(String::new(), |input| how(input.takes)))
        }
        Wrong::MissingEither { other } => format!("this or {} is needed; neither is there.", last(other)),
        Wrong::Both { other } => format!("this and {} say the same thing. Keep one.", last(other)),
        Wrong::Shape { wants } => format!("{typed} is not written as it should be: {}.", shape(*wants)),
        Wrong::Outside { least, greatest } => {
            format!("{typed} cannot be: from {least} to {greatest} is taken. Check the figure and its unit.")
        }
        Wrong::Negative => format!("{typed} is less than nothing."),
        Wrong::NotWhole => format!("{typed} is not a whole number."),
        Wrong::NotOneOf { words, nearest } => {
            let near = nearest.map_or(String::new(), |word| format!(" Did you mean {word}?"));
            format!("{typed} is not one of: {}.{near}", words.join(", "))
        }
        Wrong::UnknownPump { names } if names.is_empty() => {
            format!("there is no pump called {typed}: no [[pump]] is in the file.")
        }
        Wrong::UnknownPump { names } => format!("there is no pump called {typed}. There are: {}.", names.join(", ")),
        Wrong::UnknownZone => {
            format!(
                "{typed} is no time zone known here. Write one such as America/New_York, or an offset such as -05:00."
            )
        }
        Wrong::UnknownCurrency => format!("{typed} is not three capital letters such as USD, BRL or EUR."),
        Wrong::OtherCurrency { farm } => format!("{typed} is not in the farm's money, which is {farm}."),
        Wrong::Twice { first } => format!("{typed} stood on line {first} already. Each needs its own."),
        Wrong::SizesOverlap { other } => {
            format!("this size overlaps the one that begins on line {other}. Each size has one price in each form.")
        }
        _ => days_and_ponds(what, &typed),
    }
}

fn days_and_ponds(what: &Wrong, typed: &str) -> String {
    match what {
        Wrong::NotWeightAndCount => format!("{typed} is not a weight and how many it is of, such as 2.3 kg 65."),
        Wrong::NotADate => format!("{typed} is not a date such as 2020-09-12 (year, month, day)."),
        Wrong::EndsBeforeItBegins => format!("{typed} ends before it begins."),
        Wrong::TooSoonAfter { days } => {
            format!("leave at least {days} days between the last stocking and the last day of catch.")
        }
        Wrong::TooLateAfter { days } => format!("at most {days} days can be looked at from the first stocking on."),
        Wrong::NotAMoment => format!("{typed} is not a date with a time such as 2020-09-12T06:40."),
        Wrong::ClockChange { twice: true } => {
            format!("the clock shows {typed} twice that night. Add the offset, such as -04:00 for the first.")
        }
        Wrong::ClockChange { twice: false } => format!("the clock skips {typed} that night. Check the hour."),
        Wrong::NotATime => format!("{typed} is not a time of day such as 6:30."),
        Wrong::NotAWeekday => format!("{typed} is not a weekday such as Saturday."),
        Wrong::NotASize => {
            format!("{typed} is not a size. Write under 12 per lb, 12 to 16 per lb or over 16 per lb.")
        }
        Wrong::PriceOfOtherKind { by_piece: true } => {
            format!("{typed} is a price by weight. Sold by the piece it needs one such as $0.90 each.")
        }
        Wrong::PriceOfOtherKind { by_piece: false } => {
            format!("{typed} is a price by the piece. Sold by weight it needs one such as $12/lb.")
        }
        Wrong::TareNotLess => format!("{typed} is as much as the scale shows, or more. Nothing would be left to sell."),
        Wrong::DeepNotDeeper => {
            "the drain end is shallower than the shallow end. Are the two the wrong way round?".to_owned()
        }
        Wrong::NotBelowDeepest => format!("{typed} is as deep as the pond itself or deeper."),
        Wrong::BanksMeet { across_m, banks_m } => format!(
            "banks as flat as this take {banks_m:.0} m of a pond {across_m:.0} m wide, and leave no floor. Check slope, depth and area."
        ),
        Wrong::NotRising => {
            "height and area must rise from row to row, from height 0, with two rows at least.".to_owned()
        }
        Wrong::NoWayToEmpty => {
            "the water cannot leave: no outlet, no pump and no remembered time. Name a pump, or say how long it takes."
                .to_owned()
        }
        Wrong::NoHands => "nobody works on this farm: owners and helpers are all 0.".to_owned(),
        Wrong::NoGenerator => "it hangs on a generator and [gear] has none.".to_owned(),
        Wrong::Before { key, day } => format!("{typed} comes too early: {} gives {day} as the earliest.", spoken(key)),
        Wrong::After { key, day } => format!("{typed} comes too late: {} is {day}.", spoken(key)),
        Wrong::NeededWith { key } => format!("this is needed beside {}.", last(key)),
        Wrong::NothingWithout { key } => format!("this says nothing without {}. Add it, or take this out.", last(key)),
        other => format!("{typed}: {other:?}"),
    }
}

/// A key of another section, as one speaks of it.
fn spoken(key: &str) -> &'static str {
    match key {
        "stocked.on" => "the day of stocking",
        "season.last_catch" => "the last day a catch can be",
        _ => "another line",
    }
}

fn last(key: &str) -> &str {
    key.rsplit('.').next().unwrap_or(key)
}

fn shape(wants: Shape) -> &'static str {
    match wants {
        Shape::Text => "text in quotes is wanted",
        Shape::Number => "a number, or text in quotes with its unit, is wanted",
        Shape::YesNo => "true or false is wanted",
        Shape::Date => "a date such as 2020-09-12 is wanted",
        Shape::List => "a list in [ ] is wanted",
        Shape::Pairs => "pairs such as [[\"0 ft\", \"0.1 ac\"], [\"6 ft\", \"0.5 ac\"]] are wanted",
        Shape::Section => "a section of its own is wanted",
        Shape::Sections => "a section with double brackets, or a list of { } rows, is wanted",
    }
}

/// How an input is written, for the manual and for what is missing.
pub(crate) fn how(takes: Takes) -> String {
    match takes {
        Takes::Text => "Text in quotes.".to_owned(),
        Takes::Path => "A file's path in quotes, from this file's folder.".to_owned(),
        Takes::Currency => "Three capital letters in quotes.".to_owned(),
        Takes::Zone => "A time zone in quotes.".to_owned(),
        Takes::Quantity(kind, _) => format!("{}, such as {}.", measure::wanted(kind), measure::examples(kind)),
        Takes::Number => "A number, such as 3 or 0.6.".to_owned(),
        Takes::Price(per) => format!("Money {}, such as {}.", measure::per(per), measure::price_examples(per)),
        Takes::Amount => "Money, such as $6,152.".to_owned(),
        Takes::Counts => "Numbers parted by commas, such as 412, 398, 431.".to_owned(),
        Takes::PriceOfPrawns => "Money by weight, such as \"$12/lb\"; by the piece, \"$0.90 each\".".to_owned(),
        Takes::Whole => "A whole number.".to_owned(),
        Takes::YesNo => "true or false.".to_owned(),
        Takes::Date => "A date: 2020-09-12.".to_owned(),
        Takes::Dates => "A list of dates and stretches: [2020-09-07, \"2020-09-12 to 2020-09-14\"].".to_owned(),
        Takes::Moment => "A date and time: 2020-09-12T06:40.".to_owned(),
        Takes::Clock => "A time in quotes: \"6:30\".".to_owned(),
        Takes::Words(words) => format!("One of: {}.", words.join(", ")),
        Takes::WordsOrShare(words) => format!("One of: {}; or a share such as \"40 %\".", words.join(", ")),
        Takes::Weekdays => "A list of weekdays.".to_owned(),
        Takes::Pumps => "A list of names of pumps.".to_owned(),
        Takes::SizeClass => "Pieces to the pound or kilogram in quotes: \"12 to 16 per lb\".".to_owned(),
        Takes::DepthsAndAreas => "A list of pairs.".to_owned(),
        Takes::Section => "A section.".to_owned(),
        Takes::Sections => "Rows of a section.".to_owned(),
    }
}
