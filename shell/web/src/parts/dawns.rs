//! The coming dawns: likely line and band against the cold marks, and above them, to the same days, the block of draining and
//! catching.

use maud::{Markup, html};
use season::answer::{Outlook, PondOutlook};
use units::Day;
use words::figures::Manner;
use words::page_morning as say;

use super::axes::Axes;

const WIDE: f64 = 340.0;
/// Left edge of the days, right edge, top and foot of the temperatures.
const LEFT: f64 = 34.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 34.0;
const FOOT: f64 = 148.0;
const HIGH: f64 = 168.0;

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
            summary { span { (say::FIGURES) } span.unseen { ": " (pond.name) } }
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
    let axes = Axes::coming(outlook, pond, &pond.dawns, (LEFT, RIGHT), (TOP, FOOT), 1.0);
    let [likely, band] = axes.fan(outlook.on, pond.modelled_c, &pond.dawns);
    let cold = axes.y(outlook.cold_mark_c);
    let name = format!("dawns-{id}");
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{name} {name}-d")) {
            title id=(name) { (say::dawns_title(&pond.name)) }
            desc id=(format!("{name}-d")) { (sentence) }
            (axes.under(outlook))
            path.band d=(band) {}
            path.likely d=(likely) {}
            (axes.over(outlook, manner))
            (mark(&axes, block_days(outlook, pond), cold, &say::mark_label(outlook.cold_mark_c, true, manner)))
            @for dawn in &pond.dawns {
                text.day x=(format!("{:.1}", axes.x(axes.since(dawn.day)))) y=(HIGH - 5.0) { (say::axis_day(dawn.day)) }
            }
            (block(outlook, pond, &axes))
            @if let Some((_, _, temp_c)) = pond.measured {
                (axes.reading(0.0, temp_c, 4.0))
            }
        }
    }
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
