//! The coming dawns: likely line and band against the cold marks, and above them, to the same days, the block of draining and
//! catching.

use maud::{Markup, html};
use season::answer::{Outlook, PondOutlook};
use units::Day;
use words::figures::{Manner, bare};
use words::page_morning as say;

const WIDE: f64 = 340.0;
/// Left edge of the days, right edge, top and foot of the temperatures.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 34.0;
const FOOT: f64 = 148.0;
const HIGH: f64 = 168.0;

struct Axes {
    today: Day,
    days: f64,
    low_c: f64,
    high_c: f64,
}

impl Axes {
    /// Days from this morning, as a place across.
    fn x(&self, days: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * (days / self.days).clamp(0.0, 1.0)
    }
    fn y(&self, temp_c: f64) -> f64 {
        FOOT - (FOOT - TOP) * ((temp_c - self.low_c) / (self.high_c - self.low_c)).clamp(0.0, 1.0)
    }
    fn of(outlook: &Outlook, pond: &PondOutlook) -> Axes {
        let lows = pond.dawns.iter().map(|dawn| dawn.water_c.low);
        let highs = pond.dawns.iter().map(|dawn| dawn.water_c.high);
        let now = pond.measured.map_or(pond.modelled_c, |(_, _, temp_c)| temp_c.max(pond.modelled_c));
        Axes {
            today: outlook.on,
            days: pond.dawns.len().max(1) as f64 + 0.35,
            low_c: lows.fold(outlook.cold_mark_c, f64::min) - 1.5,
            high_c: highs.fold(now.max(outlook.follow_mark_c), f64::max) + 1.0,
        }
    }
}

/// The chart with its sentence and table.
pub fn dawns(outlook: &Outlook, pond: &PondOutlook, id: &str, manner: Manner) -> Markup {
    let sentence = say::dawns_say(pond, outlook.cold_mark_c, manner);
    html! {
        figure.dawns {
            (drawing(outlook, pond, id, &sentence, manner))
            figcaption {
                p { (sentence) }
                p.legend { (say::DAWNS_LEGEND) }
            }
            (table(pond, manner))
        }
    }
}

/// The same figures as a table, one tap away.
pub fn table(pond: &PondOutlook, manner: Manner) -> Markup {
    html! {
        details {
            summary { (say::FIGURES) }
            table {
                caption { (say::DAWN_TABLE) }
                thead { tr { @for head in say::DAWN_HEADS { th scope="col" { (head) } } } }
                tbody {
                    @for dawn in &pond.dawns {
                        @let [day, likely, between, below] = say::dawn_row(dawn, manner);
                        tr { th scope="row" { (day) } td { (likely) } td { (between) } td { (below) } }
                    }
                }
            }
        }
    }
}

fn drawing(outlook: &Outlook, pond: &PondOutlook, id: &str, sentence: &str, manner: Manner) -> Markup {
    let axes = Axes::of(outlook, pond);
    let at = |day: Day| f64::from(day.0 - axes.today.0);
    let point = |days: f64, temp_c: f64| format!("{:.1} {:.1}", axes.x(days), axes.y(temp_c));
    let mut likely = vec![point(0.0, pond.modelled_c)];
    likely.extend(pond.dawns.iter().map(|dawn| point(at(dawn.day), dawn.water_c.middle)));
    let mut band = vec![point(0.0, pond.modelled_c)];
    band.extend(pond.dawns.iter().map(|dawn| point(at(dawn.day), dawn.water_c.high)));
    band.extend(pond.dawns.iter().rev().map(|dawn| point(at(dawn.day), dawn.water_c.low)));
    let (cold, follow) = (axes.y(outlook.cold_mark_c), axes.y(outlook.follow_mark_c));
    let name = format!("dawns-{id}");
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{name} {name}-d")) {
            title id=(name) { (say::dawns_title(&pond.name)) }
            desc id=(format!("{name}-d")) { (sentence) }
            path.hatch d=(hatched_below(cold, LEFT, RIGHT, FOOT)) {}
            line.follow x1=(LEFT) y1=(format!("{follow:.1}")) x2=(RIGHT) y2=(format!("{follow:.1}")) {}
            path.band d=(format!("M{} Z", band.join(" L"))) {}
            path.likely d=(format!("M{}", likely.join(" L"))) {}
            line.cold x1=(LEFT) y1=(format!("{cold:.1}")) x2=(RIGHT) y2=(format!("{cold:.1}")) {}
            text.scale x=(LEFT - 5.0) y=(format!("{:.1}", follow + 4.0)) { (bare(outlook.follow_mark_c, manner)) "°" }
            text.scale x=(LEFT - 5.0) y=(format!("{:.1}", cold + 4.0)) { (bare(outlook.cold_mark_c, manner)) "°" }
            (mark(&axes, block_days(outlook, pond), cold, &say::mark_label(outlook.cold_mark_c, true, manner)))
            @for dawn in &pond.dawns {
                text.day x=(format!("{:.1}", axes.x(at(dawn.day)))) y=(HIGH - 5.0) { (say::axis_day(dawn.day)) }
            }
            (block(outlook, pond, &axes))
            @if let Some((_, _, temp_c)) = pond.measured {
                circle.reading cx=(format!("{:.1}", axes.x(0.0))) cy=(format!("{:.1}", axes.y(temp_c))) r="4" {}
            }
        }
    }
}

/// Slanting lines from a chart's foot up to the cold mark, between two sides: readable without colour.
pub fn hatched_below(cold: f64, left: f64, right: f64, foot_y: f64) -> String {
    let deep = foot_y - cold;
    if deep < 1.0 {
        return format!("M{left} {foot_y}");
    }
    let mut lines = String::new();
    let mut foot = left - deep;
    while foot < right {
        // Each runs up to the right from the foot to the mark, cut off at both sides.
        let (from, to) = (foot.max(left), (foot + deep).min(right));
        if to > from {
            lines.push_str(&format!("M{from:.1} {:.1}L{to:.1} {:.1}", foot_y - (from - foot), foot_y - (to - foot)));
        }
        foot += 7.0;
    }
    lines
}

/// Start, first light of the catch and its end, in days from this dawn, when they fall within the chart.
fn block_days(outlook: &Outlook, pond: &PondOutlook) -> Option<(f64, f64, f64)> {
    let planned = pond.planned?;
    // Dawns stand at whole days; the hour of a dawn is about six.
    let place = |day: Day, hour: f64| f64::from(day.0 - outlook.on.0) + (hour - 6.0) / 24.0;
    let start = place(planned.start.0, f64::from(planned.start.1)).max(0.0);
    let catch = place(planned.second_day.unwrap_or(planned.catch_day), 7.0);
    (start < pond.dawns.len() as f64).then_some((start, catch, catch + 0.35))
}

/// The cold mark's name, on the side where nothing falls through it.
fn mark(axes: &Axes, block: Option<(f64, f64, f64)>, cold: f64, label: &str) -> Markup {
    let y = format!("{:.1}", cold - 4.0);
    let left = block.is_some_and(|(_, catch, _)| axes.x(catch) > 0.5 * (LEFT + RIGHT));
    html! {
        @if left { text.note x=(LEFT + 4.0) y=(y) { (label) } } @else { text.note.far x=(RIGHT) y=(y) { (label) } }
    }
}

fn block(outlook: &Outlook, pond: &PondOutlook, axes: &Axes) -> Markup {
    let Some((start, catch, done)) = block_days(outlook, pond) else { return html! {} };
    let (x, mid, end) = (axes.x(start), axes.x(catch), axes.x(done));
    // Labels keep to the side on which there is room.
    let right = end < 0.6 * WIDE;
    html! {
        line.drop x1=(format!("{mid:.1}")) y1="30" x2=(format!("{mid:.1}")) y2=(FOOT) {}
        rect.draining x=(format!("{x:.1}")) y="16" width=(format!("{:.1}", (mid - x).max(1.0))) height="12" {}
        rect.catching x=(format!("{mid:.1}")) y="16" width=(format!("{:.1}", (end - mid).max(3.0))) height="12" {}
        @if right {
            text.note x=(format!("{:.1}", end + 5.0)) y="26" { (say::DRAINING) ", " (say::CATCH) }
        } @else {
            text.note.far x=(format!("{:.1}", x - 5.0)) y="26" { (say::DRAINING) ", " (say::CATCH) }
        }
    }
}
