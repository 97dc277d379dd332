//! A logger's readings over their span: an upright line from lowest to highest for each part of it, with its sentence and table.

use farm::logger::Series;
use maud::{Markup, html};
use units::Zone;
use words::figures::Manner;
use words::{page_file as say, page_log};

const WIDE: f64 = 340.0;
const HIGH: f64 = 130.0;
const LEFT: f64 = 50.0;
const RIGHT: f64 = 334.0;
const TOP: f64 = 10.0;
const FOOT: f64 = 108.0;
/// Parts of the span in the picture and in the table.
const PARTS: usize = 140;
const ROWS: usize = 12;

/// Least, mean and greatest of each part of the span that has readings, with where it begins (0 to 1).
fn parts(series: &Series, count: usize) -> Vec<(f64, [f64; 3])> {
    let (Some(first), Some(last)) = (series.rows.first(), series.rows.last()) else { return Vec::new() };
    let span_s = (last.0.0 - first.0.0 + 1) as f64;
    let part = |at: units::Instant| ((at.0 - first.0.0) as f64 / span_s * count as f64) as usize;
    let chunks = series.rows.chunk_by(|a, b| part(a.0) == part(b.0));
    chunks
        .map(|rows| {
            let values = || rows.iter().map(|row| row.1);
            let mean = values().sum::<f64>() / rows.len() as f64;
            let (low, high) = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
            (part(rows[0].0) as f64 / count as f64, [low, mean, high])
        })
        .collect()
}

/// The chart with its sentence and table.
pub fn chart(series: &Series, zone: &Zone, manner: Manner) -> Markup {
    let bars = parts(series, PARTS);
    let (Some(first), Some(last)) = (series.rows.first(), series.rows.last()) else { return html! {} };
    let low = bars.iter().map(|(_, [low, ..])| *low).fold(f64::INFINITY, f64::min);
    let high = bars.iter().map(|(_, [.., high])| *high).fold(f64::NEG_INFINITY, f64::max);
    let mean = series.rows.iter().map(|row| row.1).sum::<f64>() / series.rows.len() as f64;
    let sentence = say::chart_says(series.quantity, (low, mean, high), manner);
    let x = |part: f64| LEFT + (RIGHT - LEFT) * (part + 0.5 / PARTS as f64);
    let y = |value: f64| FOOT - (FOOT - TOP) * ((value - low) / (high - low).max(1e-6)).clamp(0.0, 1.0);
    // A part of one value still has its mark.
    let line = |(part, [low, _, high]): &(f64, [f64; 3])| {
        format!("M{:.1} {:.1}V{:.1}", x(*part), y(*low) + 0.8, y(*high) - 0.8)
    };
    let name = format!("logged-{}-{}", series.quantity.key(), series.spot.place.name());
    html! {
        figure.logged {
            svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{name} {name}-d")) {
                title id=(name) { (say::chart_title(series.quantity)) }
                desc id=(format!("{name}-d")) { (sentence) }
                path.spread d=(bars.iter().map(line).collect::<String>()) {}
                line.base x1=(LEFT) y1=(FOOT + 4.0) x2=(RIGHT) y2=(FOOT + 4.0) {}
                text.scale x=(LEFT - 5.0) y=(TOP + 4.0) { (say::scale(series.quantity, high, manner)) }
                text.scale x=(LEFT - 5.0) y=(FOOT) { (say::scale(series.quantity, low, manner)) }
                text.note x=(LEFT) y=(HIGH - 5.0) { (words::figures::day_short(zone.day_and_second(first.0).0)) }
                text.note.far x=(RIGHT) y=(HIGH - 5.0) { (words::figures::day_short(zone.day_and_second(last.0).0)) }
            }
            figcaption { p { b { (say::quantity(series.quantity)) ", " (page_log::end(series.spot.place.name()).to_lowercase()) ". " } (sentence) } }
            details {
                summary { (say::CHART_TABLE) }
                table {
                    thead { tr { @for head in say::CHART_HEADS { th scope="col" { (head) } } } }
                    tbody {
                        @for (part, [low, mean, high]) in parts(series, ROWS) {
                            @let at = units::Instant(first.0.0 + (part * (last.0.0 - first.0.0) as f64) as i64);
                            tr {
                                th scope="row" { (page_log::moment(at, zone, manner)) }
                                @for value in [low, mean, high] { td { (say::value(series.quantity, value, manner)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}
