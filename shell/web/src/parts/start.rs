//! Start block over falling water: above, to the same days, waiting, draining and catching as planned, and the last chance, whose end
//! stands where the band meets the cold mark. When the water must start down is read off the picture.

use maud::{Markup, html};
use season::answer::{Outlook, PondOutlook};
use units::Day;
use words::figures::Manner;
use words::page_morning as morning;
use words::page_pond as say;

use super::axes::Axes;

const WIDE: f64 = 340.0;
const LEFT: f64 = 34.0;
const RIGHT: f64 = 334.0;
/// Upper edges of the two rows of blocks, and their height.
const ROWS: (f64, f64) = (16.0, 50.0);
const THICK: f64 = 13.0;
const TOP: f64 = 74.0;
const FOOT: f64 = 176.0;
const HIGH: f64 = 196.0;
/// Days shown at the least, and beyond the last chance.
const DAYS: usize = 10;
const AFTER: usize = 2;

/// A wait from now, then the water going down, then the catch; in days from this morning's dawn.
struct Block {
    start: f64,
    catch: f64,
    done: f64,
}

/// Dawns stand at whole days; the hour of a dawn is about six.
fn days_from_dawn(hours_from_midnight: f64) -> f64 {
    (hours_from_midnight - 6.0) / 24.0
}

fn plan(outlook: &Outlook, pond: &PondOutlook) -> Option<Block> {
    let planned = pond.planned?;
    let days = |day: Day| f64::from(day.0 - outlook.on.0);
    let start = days(planned.start.0) + days_from_dawn(f64::from(planned.start.1));
    let catch = days(planned.second_day.unwrap_or(planned.catch_day)) + days_from_dawn(7.0);
    Some(Block { start, catch, done: catch + pond.course.catch_h / 24.0 })
}

fn last(outlook: &Outlook, pond: &PondOutlook) -> Option<Block> {
    let (day, hour) = words::page_morning::last_safe_start(outlook, pond)?;
    let start = f64::from(day.0 - outlook.on.0) + days_from_dawn(f64::from(hour));
    let catch = start + pond.course.lead_h / 24.0;
    Some(Block { start, catch, done: catch + pond.course.catch_h / 24.0 })
}

/// The chart with its sentence.
pub fn start(outlook: &Outlook, pond: &PondOutlook, id: &str, manner: Manner) -> Markup {
    let sentence = say::start_says(outlook, pond, manner);
    html! {
        figure.start {
            (drawing(outlook, pond, id, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::START_LEGEND) } }
        }
    }
}

fn drawing(outlook: &Outlook, pond: &PondOutlook, id: &str, sentence: &str, manner: Manner) -> Markup {
    let (plan, last) = (plan(outlook, pond), last(outlook, pond));
    let reach = [&plan, &last].into_iter().flatten().map(|block| block.done.ceil().max(0.0) as usize + AFTER).max();
    let shown = reach.unwrap_or(0).max(DAYS).min(pond.course.ahead.len());
    let dawns = &pond.course.ahead[..shown];
    let axes = Axes::coming(outlook, pond, dawns, (LEFT, RIGHT), (TOP, FOOT), 0.5);
    let [likely, band] = axes.fan(outlook.on, pond.modelled_c, dawns);
    let cold = axes.y(outlook.cold_mark_c);
    let name = format!("start-{id}");
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{name} {name}-d")) {
            title id=(name) { (say::start_title(&pond.name)) }
            desc id=(format!("{name}-d")) { (sentence) }
            (axes.under(outlook))
            path.band d=(band) {}
            path.likely d=(likely) {}
            (axes.over(outlook, manner))
            @if let Some(block) = &plan { (row(&axes, block, ROWS.0, &say::row_plan(outlook, pond, manner), "")) }
            @if let Some(block) = &last {
                line.last-drop x1=(format!("{:.1}", axes.x(block.done))) y1=(ROWS.1) x2=(format!("{:.1}", axes.x(block.done))) y2=(format!("{cold:.1}")) {}
                (row(&axes, block, ROWS.1, &say::row_last(outlook, pond, manner), "last"))
            } @else {
                text.note x=(LEFT) y=(ROWS.1 + 10.0) { (say::NO_LAST) }
            }
            @if let Some((_, _, temp_c)) = pond.measured {
                (axes.reading(0.0, temp_c, 4.0))
            }
            @let step = (shown / 14) + 1;
            @for dawn in dawns.iter().filter(|dawn| (dawn.day.0 - outlook.on.0).rem_euclid(step as i32) == 0) {
                text.day x=(format!("{:.1}", axes.x(axes.since(dawn.day)))) y=(HIGH - 5.0) {
                    (if step == 1 { morning::axis_day(dawn.day).to_owned() } else { dawn.day.ymd().2.to_string() })
                }
            }
        }
    }
}

/// One row of blocks with its words above.
fn row(axes: &Axes, block: &Block, top: f64, label: &str, class: &str) -> Markup {
    let (from, x, mid, end) = (axes.x(0.0), axes.x(block.start), axes.x(block.catch), axes.x(block.done));
    html! {
        g class=(class) {
            text.note x=(LEFT) y=(top - 4.0) { (label) }
            @if x > from + 1.0 {
                rect.waiting x=(format!("{from:.1}")) y=(top) width=(format!("{:.1}", x - from)) height=(THICK) {}
            }
            rect.draining x=(format!("{x:.1}")) y=(top) width=(format!("{:.1}", (mid - x).max(1.0))) height=(THICK) {}
            rect.catching x=(format!("{mid:.1}")) y=(top) width=(format!("{:.1}", (end - mid).max(2.5))) height=(THICK) {}
        }
    }
}
