//! The falling water line against the clock: night shaded, seining and catch depth marked, the ditch outside where it was told.

use maud::{Markup, html};
use season::drain::Drain;
use season::pond::drawdown::{OutletWater, What};
use words::drain as said;
use words::figures::Manner;
use words::page_drain as say;

use super::clock::Hours;

const LEFT: f64 = 40.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 12.0;
const FOOT: f64 = 150.0;

/// The chart with its sentence.
pub fn falling(of: &Drain, manner: Manner) -> Markup {
    let sentence = say::falling_says(of, manner);
    html! {
        figure.falling {
            (drawing(of, &sentence, manner))
            figcaption { p { (sentence) } p.legend { (say::falling_legend(of)) } }
        }
    }
}

fn drawing(of: &Drain, sentence: &str, manner: Manner) -> Markup {
    let hours = Hours { of, manner, across: (LEFT, RIGHT), down: (TOP, FOOT) };
    let ditch_m = of.outlet_by_hour_h_m.iter().map(|(_, m)| *m).fold(0.0, f64::max);
    let (opening, top_m) = (&of.opening, of.full_m.max(ditch_m));
    let y = |m: f64| FOOT - (FOOT - TOP) * (m / top_m).clamp(0.0, 1.0);
    let point = |at_h: f64, m: f64| format!("{:.1} {:.1}", hours.x(opening.start_h + at_h), y(m));
    let line: Vec<String> = opening.course.steps.iter().map(|step| point(step.at_h, step.stage_m)).collect();
    let levels = [of.seining_m.map(|m| ("follow", m)), Some(("follow", of.catch_m))];
    let dot = |what: What| opening.course.hours_of(what).map(|at_h| (at_h, opening.course.stage_m(at_h)));
    let dots = [What::Opened, What::SeiningDepth, What::HoldEnds, What::CatchDepth, What::Stalls, What::RunsBackward];
    let ditch = OutletWater { by_hour_h_m: of.outlet_by_hour_h_m.clone(), flap: false };
    // Held before the first hour that was told and after the last, straight between.
    let outside = ditch.height_m(f64::MAX).map(|last_m| {
        let end_h = opening.start_h + opening.course.end_hours();
        let told = ditch.by_hour_h_m.iter().map(|row| row.0).filter(|at_h| (opening.start_h..end_h).contains(at_h));
        let hours_h: Vec<f64> = [opening.start_h].into_iter().chain(told).chain([end_h]).collect();
        let ends = hours_h.iter().map(|&at_h| point(at_h - opening.start_h, ditch.height_m(at_h).unwrap_or(last_m)));
        let shown_m = ditch.height_m(end_h).unwrap_or(last_m);
        (format!("M{}", ends.collect::<Vec<_>>().join(" L")), shown_m)
    });
    let step_m = say::level_step_m(top_m, manner);
    html! {
        svg.chart viewBox="0 0 340 172" role="img" aria-labelledby="falling falling-d" {
            title #falling { (say::FALLING_TITLE) }
            desc #falling-d { (sentence) }
            path.water d=(format!("M{} L{} L{:.1} {FOOT} L{LEFT} {FOOT} Z", point(0.0, of.from_m), line.join(" L"), hours.x(f64::MAX))) {}
            (hours.nights())
            @for k in 1..=((top_m / step_m).floor() as i32) {
                @let m = f64::from(k) * step_m;
                line.step x1=(LEFT) y1=(format!("{:.1}", y(m))) x2=(RIGHT) y2=(format!("{:.1}", y(m))) {}
                text.scale x=(LEFT - 5.0) y=(format!("{:.1}", y(m) + 4.0)) { (said::level(m, manner)) }
            }
            @for (class, m) in levels.into_iter().flatten() {
                line class=(class) x1=(LEFT) y1=(format!("{:.1}", y(m))) x2=(RIGHT) y2=(format!("{:.1}", y(m))) {}
            }
            @if let Some(seining_m) = of.seining_m { text.note.far x=(RIGHT) y=(format!("{:.1}", y(seining_m) - 4.0)) { (say::SEINING) } }
            text.note x=(LEFT + 4.0) y=(format!("{:.1}", y(of.catch_m) - 4.0)) { (say::CATCH) }
            @if let Some((beyond, last_m)) = &outside {
                path.outlet d=(beyond) {}
                text.note.far x=(RIGHT) y=(format!("{:.1}", y(*last_m) - 4.0)) { (say::DITCH) }
            }
            path.likely d=(format!("M{}", line.join(" L"))) {}
            @for (at_h, m) in dots.into_iter().filter_map(dot) {
                circle.at cx=(format!("{:.1}", hours.x(opening.start_h + at_h))) cy=(format!("{:.1}", y(m))) r="3.5" {}
            }
            (hours.ticks())
        }
    }
}
