//! The season's chart: the grower's readings as marks, the reckoned dawn water since stocking as a line, the coming dawns as a fan,
//! the cold mark by hatching.

use farm::PondCard;
use maud::{Markup, html};
use season::answer::{Outlook, PondOutlook};
use units::{Day, Zone};
use words::figures::Manner;
use words::page_morning::FIGURES;
use words::page_pond as say;

use super::axes::Axes;

const WIDE: f64 = 340.0;
const LEFT: f64 = 34.0;
const RIGHT: f64 = 334.0;
const TOP: f64 = 14.0;
const FOOT: f64 = 158.0;
const HIGH: f64 = 176.0;
/// Days between the table's rows.
const WEEK: usize = 7;

fn axes(outlook: &Outlook, pond: &PondOutlook, read: &[(f64, Day, f64)]) -> Axes {
    let course = &pond.course;
    let last = course.ahead.last().map_or(outlook.on, |dawn| dawn.day);
    let all = course
        .dawns_c
        .iter()
        .copied()
        .chain(course.ahead.iter().flat_map(|dawn| [dawn.water_c.low, dawn.water_c.high]))
        .chain(read.iter().map(|(_, _, temp_c)| *temp_c));
    let (low_c, high_c) = all
        .fold((outlook.cold_mark_c, outlook.follow_mark_c), |(low, high), temp_c| (low.min(temp_c), high.max(temp_c)));
    Axes {
        across: (LEFT, RIGHT),
        down: (TOP, FOOT),
        first: course.stocked,
        days: f64::from((last.0 - course.stocked.0).max(1)),
        temps_c: (low_c - 1.5, high_c + 1.0),
    }
}

/// Readings since stocking: days since then with the part of the day, the day, °C.
fn read(pond: &PondOutlook, card: &PondCard, zone: &Zone) -> Vec<(f64, Day, f64)> {
    let first = pond.course.stocked;
    card.readings
        .iter()
        .map(|reading| {
            let (day, second) = zone.day_and_second(reading.at);
            (f64::from(day.0 - first.0) + (f64::from(second) / 3600.0 - 6.0) / 24.0, day, reading.temp_c)
        })
        .filter(|(_, day, _)| *day >= first)
        .collect()
}

/// The chart with its sentence and table.
pub fn season(outlook: &Outlook, pond: &PondOutlook, card: &PondCard, zone: &Zone, manner: Manner) -> Markup {
    let read = read(pond, card, zone);
    let sentence = say::season_says(outlook, pond, card, manner);
    html! {
        figure.season {
            (drawing(outlook, pond, card, &read, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::SEASON_LEGEND) } }
            details {
                summary { span { (FIGURES) } span.unseen { ": " (pond.name) } }
                (table(outlook, pond, &read, manner))
            }
        }
    }
}

fn table(outlook: &Outlook, pond: &PondOutlook, read: &[(f64, Day, f64)], manner: Manner) -> Markup {
    let course = &pond.course;
    let on = |day: Day| -> Vec<f64> { read.iter().filter(|(_, at, _)| *at == day).map(|(_, _, c)| *c).collect() };
    let past =
        course.dawns_c.iter().enumerate().map(|(at, temp_c)| (course.stocked.plus(at as i32), Some(*temp_c), None));
    let today = (outlook.on, Some(pond.modelled_c), None);
    let ahead = course
        .ahead
        .iter()
        .map(|dawn| (dawn.day, Some(dawn.water_c.middle), Some((dawn.water_c.low, dawn.water_c.high))));
    let all: Vec<_> = past.chain([today]).chain(ahead).collect();
    let shown = |at: usize, day: Day| at.is_multiple_of(WEEK) || day == outlook.on || !on(day).is_empty();
    html! {
        table {
            caption { (say::SEASON_TABLE) }
            thead { tr { @for head in say::SEASON_HEADS { th scope="col" { (head) } } } }
            tbody {
                @for (at, (day, reckoned, between)) in all.iter().enumerate() {
                    @if shown(at, *day) {
                        @let [day, reckoned, between, read] =
                            say::season_row(*day, *reckoned, *between, &say::readings(&on(*day), manner), manner);
                        tr { th scope="row" { (day) } td { (reckoned) } td { (between) } td { b { (read) } } }
                    }
                }
            }
        }
    }
}

fn drawing(
    outlook: &Outlook,
    pond: &PondOutlook,
    card: &PondCard,
    read: &[(f64, Day, f64)],
    sentence: &str,
    manner: Manner,
) -> Markup {
    let axes = axes(outlook, pond, read);
    let course = &pond.course;
    let mut was: Vec<String> = course
        .dawns_c
        .iter()
        .enumerate()
        .map(|(at, temp_c)| axes.point(course.stocked.plus(at as i32), *temp_c))
        .collect();
    was.push(axes.point(outlook.on, pond.modelled_c));
    let [likely, fan] = axes.fan(outlook.on, pond.modelled_c, &course.ahead);
    let today = axes.x(axes.since(outlook.on));
    let name = format!("season-{}", card.id);
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{name} {name}-d")) {
            title id=(name) { (say::season_title(&pond.name)) }
            desc id=(format!("{name}-d")) { (sentence) }
            (axes.under(outlook))
            path.band d=(fan) {}
            line.today x1=(format!("{today:.1}")) y1=(TOP) x2=(format!("{today:.1}")) y2=(FOOT) {}
            text.note.far x=(format!("{:.1}", today - 4.0)) y=(FOOT - 6.0) { (say::TODAY) }
            path.was d=(format!("M{}", was.join(" L"))) {}
            path.likely d=(likely) {}
            (axes.over(outlook, manner))
            @if let Some(top) = top(pond, outlook) { (axes.scale(top, manner)) }
            @for (days, _, temp_c) in read { (axes.reading(*days, *temp_c, 3.0)) }
            @for (x, day) in months(&axes) {
                line.tick x1=(format!("{x:.1}")) y1=(FOOT) x2=(format!("{x:.1}")) y2=(FOOT + 4.0) {}
                text.month x=(format!("{:.1}", x + 2.0)) y=(HIGH - 4.0) { (say::axis_month(day)) }
            }
        }
    }
}

/// The warmest dawn, labelled when it stands well clear of the other labels.
fn top(pond: &PondOutlook, outlook: &Outlook) -> Option<f64> {
    let top = pond.course.dawns_c.iter().copied().reduce(f64::max)?;
    (top > outlook.follow_mark_c + 3.0).then_some(top)
}

/// Firsts of months, with room for their names.
fn months(axes: &Axes) -> Vec<(f64, Day)> {
    (0..=axes.days as i32)
        .map(|days| axes.first.plus(days))
        .filter(|day| day.ymd().2 == 1)
        .map(|day| (axes.x(axes.since(day)), day))
        .filter(|(x, _)| *x < RIGHT - 20.0)
        .collect()
}
