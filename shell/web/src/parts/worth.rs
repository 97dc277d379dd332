//! What waiting brings: growth above the line, what cold takes hatched below it, what is left as a line, the best day marked.
//!
//! All three are told against the first day on which the pond can still be caught, so that they add up: left = growth - cold.

use maud::{Markup, html};
use season::answer::{Outlook, PondDay, PondOutlook};
use words::figures::Manner;
use words::page_morning::{FIGURES, axis_day};
use words::page_plan as say;

const WIDE: f64 = 340.0;
const LEFT: f64 = 58.0;
const RIGHT: f64 = 336.0;
const TOP: f64 = 20.0;
const FOOT: f64 = 152.0;
const HIGH: f64 = 170.0;
/// Days shown, or more where the best day lies further off.
const DAYS: usize = 28;
/// Days shown after the best.
const AFTER: usize = 8;

struct Bar {
    growth: f64,
    cold: f64,
}

fn bars(days: &[PondDay]) -> Vec<Bar> {
    let Some(first) = days.first() else { return Vec::new() };
    days.iter()
        .map(|line| {
            let cold = line.cold_cost - first.cold_cost;
            Bar { growth: line.worth_mean - first.worth_mean + cold, cold }
        })
        .collect()
}

fn best_place(days: &[PondDay]) -> usize {
    (0..days.len()).max_by(|a, b| days[*a].worth_mean.total_cmp(&days[*b].worth_mean)).unwrap_or(0)
}

/// The days that the chart shows: its best day is always among them.
fn shown(days: &[PondDay]) -> &[PondDay] {
    &days[..days.len().min(DAYS.max(best_place(days) + AFTER))]
}

/// The chart with its sentence and table.
pub fn worth(outlook: &Outlook, pond: &PondOutlook, id: &str, manner: Manner) -> Markup {
    let days = shown(&pond.days);
    let sentence = say::worth_says(outlook, pond, days.last());
    html! {
        figure.worth {
            @if pond.days.len() > 1 { (drawing(outlook, pond, days, id, &sentence)) }
            figcaption { p { (sentence) } p.legend { (say::WORTH_LEGEND) } }
            details {
                summary { span { (FIGURES) } span.unseen { ": " (pond.name) } }
                div.wide tabindex="0" role="region" aria-label=(say::worth_title(&pond.name)) {
                    table {
                        caption { (say::WORTH_TABLE) }
                        thead { tr { @for head in say::WORTH_HEADS { th scope="col" { (head) } } } }
                        tbody {
                            @for line in &pond.days {
                                @let [day, start, likely, worst, lost] = say::worth_row(outlook, line, manner);
                                tr { th scope="row" { (day) } td { (start) } td { (likely) } td { (worst) } td { (lost) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn drawing(outlook: &Outlook, pond: &PondOutlook, days: &[PondDay], id: &str, sentence: &str) -> Markup {
    let bars = bars(days);
    let up = bars.iter().map(|bar| bar.growth.max(bar.growth - bar.cold)).fold(1.0, f64::max);
    let low = bars.iter().map(|bar| bar.growth.min(bar.growth - bar.cold)).fold(-0.1 * up, f64::min);
    let y = |coins: f64| FOOT - (FOOT - TOP) * (coins - low) / (up - low);
    let step = (RIGHT - LEFT) / days.len() as f64;
    let x = |at: usize| LEFT + step * (at as f64 + 0.5);
    let wide = (0.72 * step).min(20.0);
    let zero = y(0.0);
    let best = best_place(days);
    let net: Vec<String> =
        bars.iter().enumerate().map(|(at, bar)| format!("{:.1} {:.1}", x(at), y(bar.growth - bar.cold))).collect();
    let name = format!("worth-{id}");
    html! {
        svg.chart viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{name} {name}-d")) {
            title id=(name) { (say::worth_title(&pond.name)) }
            desc id=(format!("{name}-d")) { (sentence) }
            @for (at, bar) in bars.iter().enumerate() {
                rect.growth x=(format!("{:.1}", x(at) - 0.5 * wide)) y=(format!("{:.1}", y(bar.growth.max(0.0))))
                    width=(format!("{wide:.1}")) height=(format!("{:.1}", (y(bar.growth.min(0.0)) - y(bar.growth.max(0.0))).abs())) {}
                // Cold takes on from where growth left off, so that the foot of the bar is what is left.
                @if bar.cold > 0.0 {
                    path.taken d=(hatched(x(at) - 0.5 * wide, y(bar.growth), wide, y(bar.growth - bar.cold) - y(bar.growth))) {}
                }
            }
            line.zero x1=(LEFT) y1=(format!("{zero:.1}")) x2=(RIGHT) y2=(format!("{zero:.1}")) {}
            path.net d=(format!("M{}", net.join(" L"))) {}
            circle.best cx=(format!("{:.1}", x(best))) cy=(format!("{:.1}", y(bars[best].growth - bars[best].cold))) r="4.5" {}
            @for coins in scale(low, up) {
                line.follow x1=(LEFT) y1=(format!("{:.1}", y(coins))) x2=(RIGHT) y2=(format!("{:.1}", y(coins))) {}
                text.scale x=(LEFT - 5.0) y=(format!("{:.1}", y(coins) + 4.0)) { (say::worth_step(coins, outlook.currency)) }
            }
            @for (at, line) in days.iter().enumerate() {
                @if days.len() <= 14 || line.day.weekday() == 0 || at == best {
                    text.day.best-name[at == best] x=(format!("{:.1}", x(at))) y=(HIGH - 5.0) {
                        (if days.len() <= 14 { axis_day(line.day).to_owned() } else { line.day.ymd().2.to_string() })
                    }
                }
            }
        }
    }
}

/// A bar of slanting lines within its outline.
fn hatched(left: f64, top: f64, wide: f64, high: f64) -> String {
    let mut path = format!("M{left:.1} {top:.1}h{wide:.1}v{high:.1}h{:.1}z", -wide);
    let mut foot = 4.0;
    while foot < high + wide {
        // A line from the left side down-left to up-right, cut by the four sides.
        let (from_y, to_y) = (foot.min(high), (foot - wide).max(0.0));
        let (from_x, to_x) = (foot - from_y, foot - to_y);
        path.push_str(&format!("M{:.1} {:.1}L{:.1} {:.1}", left + from_x, top + from_y, left + to_x, top + to_y));
        foot += 4.0;
    }
    path
}

/// Zero, and a round amount on either side where there is room.
fn scale(low: f64, up: f64) -> Vec<f64> {
    let round = |coins: f64| {
        let power = 10_f64.powf(coins.abs().max(1.0).log10().floor());
        (coins / power).trunc() * power
    };
    let mut at = vec![0.0];
    let span = up - low;
    at.extend([round(up), round(low)].into_iter().filter(|coins| coins.abs() > 0.14 * span));
    at
}

#[cfg(test)]
mod tests {
    use units::Day;

    use super::*;

    fn day(at: i32, worth_mean: f64, cold_cost: f64) -> PondDay {
        let day = Day::parse("2011-09-01").expect("a date").plus(at);
        PondDay {
            day,
            start: (day, 8),
            worth_mean,
            worth_p05: 0.0,
            loss_chance: 0.0,
            mark_chance: 0.0,
            caught_kg: 0.0,
            cold_cost,
            mean_weight_g: 0.0,
        }
    }

    #[test]
    fn the_best_day_is_drawn_and_a_week_after_it() {
        let days: Vec<PondDay> = (0..60).map(|at| day(at, -f64::from((at - 40).pow(2)), 0.0)).collect();
        assert_eq!(shown(&days).len(), 48);
        assert_eq!(shown(&days[30..]).len(), DAYS);
        assert_eq!(shown(&days[38..44]).len(), 6);
    }

    #[test]
    fn what_is_left_is_growth_less_cold() {
        let bars = bars(&[day(0, 900.0, 10.0), day(1, 850.0, 90.0)]);
        assert_eq!((bars[1].growth, bars[1].cold), (30.0, 80.0));
    }

    #[test]
    fn the_scale_is_round_and_within() {
        assert_eq!(scale(-64_000.0, 9_000.0), [0.0, -60_000.0]);
        assert_eq!(scale(-50_000.0, 47_000.0), [0.0, 40_000.0, -50_000.0]);
    }
}
