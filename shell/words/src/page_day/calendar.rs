//! The sheet as a calendar file: what is due and the day's own hours (RFC 5545, iCalendar).

use season::day::{DaySheet, StepKind};
use season::farm::Farm;
use season::farm::facts::{Again, Due};
use units::{Day, Instant, Zone};

use super::{at, due_rows, headline, steps};
use crate::figures::Manner;
use crate::page_due;

/// Longest line of the format, bytes.
const LINE_BYTES: usize = 75;

/// The calendar's text. `made` is when it was made.
pub fn calendar(farm: &Farm, sheet: &DaySheet, manner: Manner, made: Instant) -> String {
    let zone = &farm.place.zone;
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        "PRODID:-//warmspell//harvest day//EN".to_owned(),
        "CALSCALE:GREGORIAN".to_owned(),
    ];
    let key = format!("{}-{}", sheet.pond.to_lowercase().replace(|c: char| !c.is_ascii_alphanumeric(), "-"), sheet.on);
    let mut event = |id: String, from: Instant, until: Instant, title: &str, about: &str| {
        lines.push("BEGIN:VEVENT".to_owned());
        lines.push(format!("UID:{id}-{key}@warmspell"));
        lines.push(format!("DTSTAMP:{}", stamp(made)));
        lines.push(format!("DTSTART:{}", stamp(from)));
        lines.push(format!("DTEND:{}", stamp(until)));
        lines.push(format!("SUMMARY:{}", escaped(title)));
        if !about.is_empty() {
            lines.push(format!("DESCRIPTION:{}", escaped(about)));
        }
        lines.push("END:VEVENT".to_owned());
    };
    for (place, (due, row)) in sheet.due.iter().zip(due_rows(farm, sheet, manner)).enumerate() {
        let from = moment(zone, due.by.0, f64::from(due.by.1));
        event(format!("due{place}"), from, Instant(from.0 + 900), &format!("{}: {}", sheet.pond, row[1]), "");
    }
    let hours = (moment(zone, sheet.on, sheet.begins_h), moment(zone, sheet.on, sheet.sure().told.finish_h.high));
    let about: Vec<String> = steps(sheet, manner).iter().map(|line| format!("{} {}", line.at, line.what)).collect();
    event("day".to_owned(), hours.0, hours.1, &headline(sheet, manner), &about.join("\n"));
    if let Some(opens) = sheet.steps.iter().find(|step| step.what == StepKind::Opens) {
        let from = moment(zone, sheet.on, opens.at_h);
        let title = format!("{}: the water starts down ({})", sheet.pond, at(sheet.on, opens.at_h, manner));
        event("opens".to_owned(), from, Instant(from.0 + 1800), &title, "");
    }
    lines.push("END:VCALENDAR".to_owned());
    lines.iter().map(|line| folded(line)).collect()
}

/// What falls due as days of a calendar, each for the whole day, with a reminder as long before as the grower asked.
pub fn due_calendar(farm: &str, dues: &[Due], made: Instant) -> String {
    let mut lines = vec![
        "BEGIN:VCALENDAR".to_owned(),
        "VERSION:2.0".to_owned(),
        "PRODID:-//warmspell//what falls due//EN".to_owned(),
        "CALSCALE:GREGORIAN".to_owned(),
    ];
    for (due, on) in dues.iter().filter_map(|due| Some((due, due.next()?))) {
        let date = |day: Day| day.to_string().replace('-', "");
        lines.push("BEGIN:VEVENT".to_owned());
        lines.push(format!("UID:{}@warmspell", due.id));
        lines.push(format!("DTSTAMP:{}", stamp(made)));
        lines.push(format!("DTSTART;VALUE=DATE:{}", date(on)));
        lines.push(format!("DTEND;VALUE=DATE:{}", date(on.plus(1))));
        match due.again {
            Again::Once => {}
            Again::Month => lines.push("RRULE:FREQ=MONTHLY".to_owned()),
            Again::Quarter => lines.push("RRULE:FREQ=MONTHLY;INTERVAL=3".to_owned()),
            Again::Year => lines.push("RRULE:FREQ=YEARLY".to_owned()),
        }
        lines.push(format!("SUMMARY:{}", escaped(&format!("{farm}: {}", page_due::name(due)))));
        lines.push(format!("DESCRIPTION:{}", escaped(&page_due::about(due))));
        if due.warn_d > 0 {
            lines.push("BEGIN:VALARM".to_owned());
            lines.push("ACTION:DISPLAY".to_owned());
            lines.push(format!("DESCRIPTION:{}", escaped(&page_due::name(due))));
            lines.push(format!("TRIGGER:-P{}D", due.warn_d));
            lines.push("END:VALARM".to_owned());
        }
        lines.push("END:VEVENT".to_owned());
    }
    lines.push("END:VCALENDAR".to_owned());
    lines.iter().map(|line| folded(line)).collect()
}

/// A clock hour of a day, by the farm's clock.
fn moment(zone: &Zone, day: Day, hour: f64) -> Instant {
    let (days, rest) = ((hour / 24.0).floor(), hour.rem_euclid(24.0));
    let day = day.plus(days as i32);
    let midnight = Instant(i64::from(day.0 - Day::new(1970, 1, 1).expect("a date").0) * 86_400);
    let local = Instant(midnight.0 + (rest * 3600.0).round() as i64);
    // The clock's offset at that moment, found from a first guess at it.
    let guess = Instant(local.0 - i64::from(zone.offset_s(local)));
    Instant(local.0 - i64::from(zone.offset_s(guess)))
}

fn stamp(at: Instant) -> String {
    let (day, second) = Zone::utc().day_and_second(at);
    let (year, month, date) = day.ymd();
    format!("{year:04}{month:02}{date:02}T{:02}{:02}{:02}Z", second / 3600, second / 60 % 60, second % 60)
}

fn escaped(text: &str) -> String {
    text.replace('\\', "\\\\").replace(';', "\\;").replace(',', "\\,").replace('\n', "\\n")
}

/// Long lines are broken and go on after a space; never within a letter.
fn folded(line: &str) -> String {
    let mut text = String::new();
    let mut used = 0;
    for letter in line.chars() {
        if used + letter.len_utf8() > LINE_BYTES {
            text.push_str("\r\n ");
            used = 1;
        }
        text.push(letter);
        used += letter.len_utf8();
    }
    text + "\r\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lines_go_on_after_a_space_and_signs_are_marked() {
        let text = folded(&format!("SUMMARY:{}", "°".repeat(60)));
        assert!(text.lines().count() == 2 && text.lines().all(|line| line.len() <= LINE_BYTES), "{text}");
        assert_eq!(text.replace("\r\n ", "").trim_end(), format!("SUMMARY:{}", "°".repeat(60)));
        assert_eq!(escaped("a, b; c\\d\ne"), "a\\, b\\; c\\\\d\\ne");
    }

    #[test]
    fn hours_of_the_farms_clock_become_world_time() {
        let zone = Zone::parse("America/New_York").expect("a zone");
        let on = Day::new(2011, 10, 1).expect("a date");
        assert_eq!(stamp(moment(&zone, on, 7.5)), "20111001T113000Z");
        assert_eq!(stamp(moment(&zone, on, -6.0)), "20110930T220000Z");
        // Summer time ends on 6 November 2011.
        assert_eq!(stamp(moment(&zone, Day::new(2011, 11, 7).expect("a date"), 7.0)), "20111107T120000Z");
    }
}
