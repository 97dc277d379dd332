//! The water's level against the clock on a harvest day, with what happens when, and how long work at each place goes on.

use maud::{Markup, html};
use season::day::DaySheet;
use words::figures::{Manner, depth};
use words::page_day as say;
use words::page_morning::FIGURES;

const LEFT: f64 = 38.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 12.0;
const FOOT: f64 = 118.0;
/// Below the water: when it is light, a bar for the work.
const WORK: f64 = 146.0;

/// Chart, sentence and table.
pub fn day_line(sheet: &DaySheet, manner: Manner) -> Markup {
    let sentence = say::falling_says(sheet, manner);
    html! {
        figure.falling {
            (drawing(sheet, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::falling_legend(&marks(sheet).into_iter().map(|(_, name)| name).collect::<Vec<_>>())) } }
            details {
                summary { (FIGURES) }
                table {
                    caption { (say::LEVELS) }
                    thead { tr { @for head in say::LEVELS_HEADS { th scope="col" { (head) } } } }
                    tbody { @for [at, level] in say::levels(sheet, manner) { tr { th scope="row" { (at) } td { (level) } } } }
                }
            }
        }
    }
}

/// What is marked on the water, in order, with its name.
fn marks(sheet: &DaySheet) -> Vec<(f64, &'static str)> {
    sheet.steps.iter().filter_map(|step| Some((step.at_h, say::mark(&step.what)?))).collect()
}

fn drawing(sheet: &DaySheet, sentence: &str, manner: Manner) -> Markup {
    let sure = &sheet.sure().told;
    let from_h = (sheet.begins_h - 2.0).floor();
    let until_h =
        sure.finish_h.high.max(sheet.ends_h).max(sheet.course.dip_from_h.min(sheet.ends_h + 2.0)).ceil() + 1.0;
    let x = |hour: f64| LEFT + (RIGHT - LEFT) * ((hour - from_h) / (until_h - from_h)).clamp(0.0, 1.0);
    let course = &sheet.course;
    let full_m = sheet.levels.iter().filter(|level| level.0 >= from_h).map(|level| level.1).fold(0.1, f64::max);
    let y = |stage_m: f64| FOOT - (FOOT - TOP) * (stage_m / full_m).clamp(0.0, 1.0);
    let before =
        sheet.levels.iter().filter(|level| level.0 >= from_h && level.0 < course.at_h.first().copied().unwrap_or(0.0));
    let points: Vec<(f64, f64)> =
        before.copied().chain(course.at_h.iter().copied().zip(course.stage_m.iter().copied())).collect();
    let line: Vec<String> =
        points.iter().map(|(at_h, stage_m)| format!("{:.1} {:.1}", x(*at_h), y(*stage_m))).collect();
    let last_x = points.last().map_or(LEFT, |point| x(point.0));
    let marks = marks(sheet);
    let bars = [sure.out_h, sure.iced_h, sure.finish_h].map(|band| (band.middle, band.high));
    html! {
        svg.chart viewBox="0 0 340 190" role="img" aria-labelledby="falling falling-d" {
            title #falling { (say::FALLING) }
            desc #falling-d { (sentence) }
            @if !line.is_empty() {
                path.band d=(format!("M{:.1} {FOOT}L{}L{last_x:.1} {FOOT}Z", x(points[0].0), line.join("L"))) {}
                path.likely d=(format!("M{}", line.join("L"))) {}
            }
            line.floor x1=(LEFT) y1=(FOOT) x2=(RIGHT) y2=(FOOT) {}
            text.scale x=(LEFT - 5.0) y=(FOOT + 4.0) { "0" }
            text.scale x=(LEFT - 5.0) y=(y(full_m) + 4.0) { (depth(full_m, manner)) }
            @for (number, (at_h, _)) in marks.iter().enumerate() {
                @let at = x(*at_h);
                line.step x1=(at) y1=(TOP) x2=(at) y2=(FOOT + 4.0) {}
                text.day x=(format!("{at:.1}")) y=(FOOT + 15.0) { (number + 1) }
            }
            @for (place, (middle, latest)) in bars.into_iter().enumerate() {
                @let top = WORK + 9.0 * place as f64;
                @let begins = x(course.seine_h.0);
                rect.at x=(format!("{begins:.1}")) y=(top) width=(format!("{:.1}", (x(middle) - begins).max(0.5))) height="4" {}
                line.step x1=(x(middle)) y1=(top + 2.0) x2=(x(latest)) y2=(top + 2.0) {}
            }
            @for hour in ((from_h as i32)..=(until_h as i32)).filter(|hour| hour % 3 == 0) {
                text.day x=(format!("{:.1}", x(f64::from(hour)))) y="186" { (say::hour_short(hour, manner)) }
            }
        }
    }
}
