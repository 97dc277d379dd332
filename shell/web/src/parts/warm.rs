//! From which day on a pond's water was warm enough to stock in past years: a line from no year to all of them.

use maud::{Markup, html};
use season::winter::{WarmBy, Winter};
use units::Day;
use words::figures::{Manner, date, day_short};
use words::page_morning::FIGURES;
use words::page_winter as say;

const LEFT: f64 = 34.0;
const RIGHT: f64 = 332.0;
const TOP: f64 = 10.0;
const FOOT: f64 = 126.0;

/// Chart, sentence and table. `marks`: the days of stocking that are set side by side.
pub fn warm(winter: &Winter, marks: &[Day], manner: Manner) -> Markup {
    let sentence = say::warm_says(winter, manner);
    let weekly = || winter.warm.iter().step_by(7);
    html! {
        figure.warm {
            (drawing(&winter.warm, marks, &sentence))
            figcaption { p { (sentence) } p.legend { (say::WARM_LEGEND) } }
            details {
                summary { (FIGURES) }
                table {
                    caption { (say::WARM_TITLE) }
                    thead { tr { th scope="col" { (say::STOCK_ON) } th scope="col" { (say::WARM) } } }
                    tbody { @for by in weekly() { tr { th scope="row" { (day_short(by.on)) } td { (say::in_ten(by.chance)) } } } }
                }
            }
        }
    }
}

fn drawing(warm: &[WarmBy], marks: &[Day], sentence: &str) -> Markup {
    let Some((first, last)) = warm.first().zip(warm.last()) else { return html! {} };
    let days = f64::from((last.on.0 - first.on.0).max(1));
    let x = |day: Day| LEFT + (RIGHT - LEFT) * f64::from(day.0 - first.on.0) / days;
    let y = |chance: f64| FOOT + (TOP - FOOT) * chance;
    let line: Vec<String> = warm.iter().map(|by| format!("{:.1} {:.1}", x(by.on), y(by.chance))).collect();
    html! {
        svg.chart viewBox="0 0 340 162" role="img" aria-labelledby="warm warm-d" {
            title #warm { (say::WARM_TITLE) }
            desc #warm-d { (sentence) }
            @for tenths in [5, 10] {
                @let at = y(f64::from(tenths) / 10.0);
                line.step x1=(LEFT) y1=(at) x2=(RIGHT) y2=(at) {}
                text.scale x=(LEFT - 5.0) y=(at + 4.0) { (tenths) }
            }
            line.floor x1=(LEFT) y1=(FOOT) x2=(RIGHT) y2=(FOOT) {}
            text.scale x=(LEFT - 5.0) y=(FOOT + 4.0) { "0" }
            path.likely d=(format!("M{}", line.join("L"))) {}
            @for mark in marks {
                @let at = warm.iter().find(|by| by.on == *mark).map_or(0.0, |by| by.chance);
                rect.at x=(format!("{:.1}", x(*mark) - 3.0)) y=(format!("{:.1}", y(at) - 3.0)) width="6" height="6" {}
            }
            @for by in warm.iter().filter(|by| by.on.weekday() == 0).step_by(2) {
                text.day x=(format!("{:.1}", x(by.on))) y=(FOOT + 16.0) { (date(by.on)) }
            }
            text.axis x=(0.5 * (LEFT + RIGHT)) y="158" { (say::WARM_AXIS) }
        }
    }
}
