//! The emptying pond's water by place against the clock: shallow end, middle, drain end with its band, and both marks.

use maud::{Markup, html};
use season::answer::Band;
use season::drain::{Drain, HourWater, WaterDown};
use words::figures::{Manner, bare};
use words::page_drain as say;
use words::page_morning::FIGURES;

use super::axes::hatched_below;
use super::clock::Hours;
use super::misses::row;

const LEFT: f64 = 34.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 12.0;
const FOOT: f64 = 140.0;
/// Lines of the places, from the shallow end.
const LINES: [&str; 3] = ["shallow", "was", "likely"];

/// Chart, sentence and table.
pub fn places(of: &Drain, water: &WaterDown, manner: Manner) -> Markup {
    let sentence = say::places_say(water, manner);
    html! {
        figure.by-place {
            (drawing(of, water, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::PLACES_LEGEND) } }
            details {
                summary { (FIGURES) }
                div.wide tabindex="0" role="group" aria-label=(say::PLACES_TITLE) {
                    table {
                        caption { (say::PLACES_TITLE) }
                        thead { tr { @for head in say::PLACES_HEADS { th scope="col" { (head) } } } }
                        tbody { @for hour in water.hours.iter().step_by(2) { (row(&say::place_row(of, hour, manner))) } }
                    }
                }
            }
        }
    }
}

fn drawing(of: &Drain, water: &WaterDown, sentence: &str, manner: Manner) -> Markup {
    let hours = Hours { of, manner, across: (LEFT, RIGHT), down: (TOP, FOOT) };
    let told = |hour: &HourWater, place: usize| -> Option<Band> {
        hour.places.get(place).copied().flatten().map(|at| at.mean_c)
    };
    let ends: Vec<Band> = water.hours.iter().flat_map(|hour| (0..3).filter_map(|place| told(hour, place))).collect();
    let low_c = ends.iter().map(|band| band.low).fold(of.cold_mark_c, f64::min) - 1.0;
    let high_c = ends.iter().map(|band| band.high).fold(of.follow_mark_c, f64::max) + 1.0;
    let y = |temp_c: f64| FOOT - (FOOT - TOP) * ((temp_c - low_c) / (high_c - low_c)).clamp(0.0, 1.0);
    let point = |at_h: f64, temp_c: f64| format!("{:.1} {:.1}", hours.x(at_h), y(temp_c));
    let shown: Vec<&HourWater> = water.hours.iter().filter(|hour| hour.at_h >= of.opening.start_h - 1.0).collect();
    let line = |place: usize, of: fn(Band) -> f64| -> Vec<String> {
        shown.iter().filter_map(|hour| told(hour, place).map(|band| point(hour.at_h, of(band)))).collect()
    };
    let mut band = line(2, |band| band.high);
    band.extend(line(2, |band| band.low).into_iter().rev());
    html! {
        svg.chart viewBox="0 0 340 162" role="img" aria-labelledby="by-place by-place-d" {
            title #by-place { (say::PLACES_TITLE) }
            desc #by-place-d { (sentence) }
            (hours.nights())
            path.hatch d=(hatched_below(y(of.cold_mark_c), LEFT, RIGHT, FOOT)) {}
            path.band d=(format!("M{} Z", band.join(" L"))) {}
            @for (class, mark_c) in [("follow", of.follow_mark_c), ("cold", of.cold_mark_c)] {
                @let at = format!("{:.1}", y(mark_c));
                line class=(class) x1=(LEFT) y1=(at) x2=(RIGHT) y2=(at) {}
                text.scale x=(LEFT - 5.0) y=(format!("{:.1}", y(mark_c) + 4.0)) { (bare(mark_c, manner)) "°" }
            }
            @for (place, class) in LINES.into_iter().enumerate() {
                @let points = line(place, |band| band.middle);
                @if points.len() > 1 { path class=(class) d=(format!("M{}", points.join(" L"))) {} }
            }
            (hours.ticks())
        }
    }
}
