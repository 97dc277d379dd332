//! What was called against what came: how far off by days ahead, and the latest dawns one by one.

use maud::{Markup, html};
use season::scores::{LeadScore, Pair, Scores};
use words::figures::{Manner, bare};
use words::page_morning::{FIGURES, axis_day};
use words::page_scores as say;

const WIDE: f64 = 340.0;
const LEFT: f64 = 38.0;
const RIGHT: f64 = 330.0;
const TOP: f64 = 14.0;
const FOOT: f64 = 132.0;
const HIGH: f64 = 168.0;

/// A place between two edges for a part of the way.
fn between(from: f64, to: f64, part: f64) -> f64 {
    from + (to - from) * part.clamp(0.0, 1.0)
}

/// Degrees between the lines of a scale, K: round in the person's own degrees.
fn step_k(most_k: f64, manner: Manner) -> f64 {
    let unit_k = if manner == Manner::UsCustomary { 1.0 / 1.8 } else { 1.0 };
    let steps = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0];
    unit_k * steps.into_iter().find(|step| most_k / (unit_k * step) <= 4.0).unwrap_or(50.0)
}

/// How far off by days ahead: chart, sentence and table.
pub fn by_lead(scores: &Scores, manner: Manner) -> Markup {
    let sentence = say::leads_say(scores, manner);
    html! {
        figure.leads {
            (lead_drawing(&scores.leads, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::LEAD_LEGEND) } }
            details open[scores.leads.len() < 4] {
                summary { (FIGURES) }
                div.wide tabindex="0" role="group" aria-label=(say::LEAD_TABLE) {
                    table {
                        caption { (say::caption(say::LEAD_TABLE, manner)) }
                        thead { tr { @for head in say::LEAD_HEADS { th scope="col" { (head) } } } }
                        tbody { @for lead in &scores.leads { (row(&say::lead_row(lead, manner))) } }
                    }
                }
            }
        }
    }
}

/// A row whose first cell names it.
pub fn row(cells: &[String]) -> Markup {
    html! {
        tr {
            @for (at, cell) in cells.iter().enumerate() {
                @if at == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
            }
        }
    }
}

fn lead_drawing(leads: &[LeadScore], sentence: &str, manner: Manner) -> Markup {
    let stayed = |lead: &LeadScore| lead.beside.map(|beside| beside.stayed_off_k);
    let most_k = leads.iter().flat_map(|lead| [Some(lead.off_k), stayed(lead)]).flatten().fold(0.5, f64::max);
    let step = step_k(most_k, manner);
    let top_k = (most_k / step).ceil() * step;
    let days = leads.iter().map(|lead| lead.lead_days).max().unwrap_or(1).max(2);
    let x = |day: i32| between(LEFT + 14.0, RIGHT - 8.0, f64::from(day - 1) / f64::from(days - 1));
    let y = |off_k: f64| between(FOOT, TOP, off_k / top_k);
    let ours: Vec<(f64, f64)> = leads.iter().map(|lead| (x(lead.lead_days), y(lead.off_k))).collect();
    let theirs: Vec<(f64, f64)> = leads.iter().filter_map(|lead| Some((x(lead.lead_days), y(stayed(lead)?)))).collect();
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby="leads leads-d" {
            title #leads { (say::LEAD_CHART) }
            desc #leads-d { (sentence) }
            @for line in 1..=(top_k / step).round() as i32 {
                @let at = f64::from(line) * step;
                line.step x1=(LEFT) y1=(format!("{:.1}", y(at))) x2=(RIGHT) y2=(format!("{:.1}", y(at))) {}
                text.scale x=(LEFT - 5.0) y=(format!("{:.1}", y(at) + 4.0)) { (say::scale(at, manner)) }
            }
            line.floor x1=(LEFT) y1=(FOOT) x2=(RIGHT) y2=(FOOT) {}
            text.scale x=(LEFT - 5.0) y=(FOOT + 4.0) { "0°" }
            path.stayed d=(path(&theirs)) {}
            path.likely d=(path(&ours)) {}
            @for (x, y) in &theirs { rect.at.stayed x=(format!("{:.1}", x - 2.5)) y=(format!("{:.1}", y - 2.5)) width="5" height="5" {} }
            @for (x, y) in &ours { rect.at x=(format!("{:.1}", x - 2.5)) y=(format!("{:.1}", y - 2.5)) width="5" height="5" {} }
            @for lead in leads {
                text.day x=(format!("{:.1}", x(lead.lead_days))) y=(FOOT + 15.0) { (lead.lead_days) }
            }
            text.axis x=(between(LEFT, RIGHT, 0.5)) y=(HIGH - 4.0) { (say::AXIS) }
        }
    }
}

fn path(points: &[(f64, f64)]) -> String {
    let points: Vec<String> = points.iter().map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
    // A path of nothing is drawn as nothing.
    if points.is_empty() { "M0 0".to_owned() } else { format!("M{}", points.join("L")) }
}

/// The latest dawns, each with its band and its reading: chart, sentence and table. `name` gives a pond's name by its id where it must
/// be told.
pub fn latest(latest: &[(String, Pair)], name: &dyn Fn(&str) -> Option<String>, manner: Manner) -> Markup {
    let sentence = say::latest_say(latest);
    html! {
        figure.latest {
            (latest_drawing(latest, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::LATEST_LEGEND) } }
            details {
                summary { (FIGURES) }
                div.wide tabindex="0" role="group" aria-label=(say::LATEST_TABLE) {
                    table {
                        caption { (say::caption(say::LATEST_TABLE, manner)) }
                        thead { tr { @for head in say::LATEST_HEADS { th scope="col" { (head) } } } }
                        tbody { @for (pond, pair) in latest { (row(&say::latest_row(name(pond).as_deref(), pair, manner))) } }
                    }
                }
            }
        }
    }
}

fn latest_drawing(latest: &[(String, Pair)], sentence: &str, manner: Manner) -> Markup {
    let all = latest.iter().flat_map(|(_, pair)| [pair.called.water_c.low, pair.called.water_c.high, pair.came_c]);
    let (low_c, high_c) =
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), temp_c| (low.min(temp_c), high.max(temp_c)));
    let (low_c, high_c) = (low_c - 0.5, high_c + 0.5);
    let x = |at: usize| between(LEFT + 14.0, RIGHT - 8.0, (at as f64 + 0.5) / latest.len().max(1) as f64);
    let y = |temp_c: f64| between(FOOT, TOP, (temp_c - low_c) / (high_c - low_c));
    let scale = [low_c + 0.5, 0.5 * (low_c + high_c), high_c - 0.5];
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby="latest latest-d" {
            title #latest { (say::LATEST_CHART) }
            desc #latest-d { (sentence) }
            @for temp_c in scale {
                line.step x1=(LEFT) y1=(format!("{:.1}", y(temp_c))) x2=(RIGHT) y2=(format!("{:.1}", y(temp_c))) {}
                text.scale x=(LEFT - 5.0) y=(format!("{:.1}", y(temp_c) + 4.0)) { (bare(temp_c, manner)) "°" }
            }
            @for (at, (_, pair)) in latest.iter().enumerate() {
                @let band = pair.called.water_c;
                @let (middle, top, foot) = (x(at), y(band.high), y(band.low));
                rect.said-band x=(format!("{:.1}", middle - 6.0)) y=(format!("{top:.1}")) width="12" height=(format!("{:.1}", (foot - top).max(1.0))) {}
                line.likely x1=(format!("{:.1}", middle - 6.0)) y1=(format!("{:.1}", y(band.middle))) x2=(format!("{:.1}", middle + 6.0)) y2=(format!("{:.1}", y(band.middle))) {}
                circle.reading cx=(format!("{middle:.1}")) cy=(format!("{:.1}", y(pair.came_c))) r="4" {}
                // Ponds read at one dawn stand side by side under one name of the day.
                @if at == 0 || latest[at - 1].1.called.dawn != pair.called.dawn {
                    text.day x=(format!("{middle:.1}")) y=(FOOT + 18.0) { (axis_day(pair.called.dawn)) }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_round_in_ones_own_degrees() {
        assert_eq!(step_k(1.9, Manner::Metric), 0.5);
        assert_eq!(step_k(3.0, Manner::Metric), 1.0);
        assert!((step_k(1.9, Manner::UsCustomary) * 1.8 - 1.0).abs() < 1e-12);
        assert_eq!(path(&[(1.0, 2.0), (3.0, 4.0)]), "M1.0 2.0L3.0 4.0");
    }
}
