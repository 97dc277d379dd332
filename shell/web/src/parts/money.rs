//! Money drawn: cash from month to month, and what swings the result; each with its sentence, its table beside it.

use maud::{Markup, html};
use season::books::statement::{CashMonth, deepest};
use season::books::swing::Swing;
use units::{Currency, Money};
use words::page_money as say;

const WIDE: f64 = 340.0;
const LEFT: f64 = 8.0;
const RIGHT: f64 = 332.0;

/// A place across for an amount between two.
fn across(coins: f64, (low, high): (f64, f64), (left, right): (f64, f64)) -> f64 {
    left + (right - left) * ((coins - low) / (high - low).max(1.0)).clamp(0.0, 1.0)
}

/// Where cash stood at each month's end, as steps over the year's beginning; the deepest point is marked.
pub fn cash(months: &[CashMonth], currency: Currency) -> Markup {
    const TOP: f64 = 18.0;
    const FOOT: f64 = 118.0;
    let sentence = say::deepest_says(months, currency);
    let ends: Vec<f64> = months.iter().map(|month| month.stands.coins as f64).collect();
    let lows = months.iter().map(|month| month.deepest.1.coins as f64);
    let low = lows.fold(0.0, f64::min);
    let high = ends.iter().copied().fold(0.0, f64::max);
    let y = |coins: f64| FOOT - (FOOT - TOP) * (coins - low) / (high - low).max(1.0);
    let step = (RIGHT - LEFT) / months.len().max(1) as f64;
    let mut path = format!("M{LEFT:.1} {:.1}", y(0.0));
    for (at, coins) in ends.iter().enumerate() {
        let x = LEFT + step * at as f64;
        path.push_str(&format!(" L{x:.1} {0:.1} L{1:.1} {0:.1}", y(*coins), x + step));
    }
    let lowest = deepest(months).filter(|(_, money)| money.coins < 0).map(|(day, money)| {
        let at = months.iter().position(|month| month.deepest == (day, money)).unwrap_or(0);
        (LEFT + step * (at as f64 + 0.5), y(money.coins as f64), say::units(money, currency))
    });
    html! {
        figure.cash {
            svg viewBox=(format!("0 0 {WIDE} 158")) role="img" aria-label=(format!("{}. {sentence}", say::CASH_CHART)) {
                line.zero x1=(LEFT) x2=(RIGHT) y1=(format!("{:.1}", y(0.0))) y2=(format!("{:.1}", y(0.0))) {}
                path.stands d=(path) {}
                @for (at, month) in months.iter().enumerate() {
                    text.axis x=(format!("{:.1}", LEFT + step * (at as f64 + 0.5))) y="152" text-anchor="middle" { (say::month_letter(month)) }
                }
                @if let Some((x, y, said)) = lowest {
                    circle.mark cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="4" {}
                    // Below the mark: beside it runs the line.
                    text.said x=(format!("{:.1}", x.clamp(40.0, WIDE - 40.0))) y=(format!("{:.1}", y + 17.0)) text-anchor="middle" { (said) }
                }
            }
            figcaption { p { (sentence) } }
        }
    }
}

/// Net when one thing is a fifth less and more: a bar for each, the widest first; the line is the net as it came.
pub fn swings(all: &[Swing], net: Money, currency: Currency) -> Markup {
    const ROW: f64 = 34.0;
    const TOP: f64 = 22.0;
    let ends = |swing: &Swing| (swing.net[say::LESS], swing.net[say::MORE]);
    let values = all.iter().flat_map(|swing| [ends(swing).0, ends(swing).1]).chain([net.coins as f64]);
    let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), one| (low.min(one), high.max(one)));
    let x = |coins: f64| across(coins, (low, high), (LEFT + 4.0, RIGHT - 4.0));
    let high_px = TOP + ROW * all.len() as f64 + 6.0;
    let middle = x(net.coins as f64);
    html! {
        figure.swings {
            svg viewBox=(format!("0 0 {WIDE} {high_px:.0}")) role="img" aria-label=(format!("{}. {}", say::SWING_CHART, say::swings_say(all, currency))) {
                text.said x=(format!("{:.1}", middle.clamp(60.0, WIDE - 60.0))) y="12" text-anchor="middle" { (say::net_is(net, currency)) }
                line.zero x1=(format!("{middle:.1}")) x2=(format!("{middle:.1}")) y1="16" y2=(format!("{:.1}", high_px - 4.0)) {}
                @for (at, swing) in all.iter().enumerate() {
                    @let top = TOP + ROW * at as f64;
                    @let (less, more) = ends(swing);
                    @let (a, b) = (x(less.min(more)), x(less.max(more)));
                    text.axis x=(LEFT) y=(format!("{:.1}", top + 10.0)) { (say::driver(swing.driver)) }
                    rect.bar x=(format!("{a:.1}")) y=(format!("{:.1}", top + 14.0)) width=(format!("{:.1}", (b - a).max(1.0))) height="11" {}
                    // The end where it is less carries a mark: which way it goes must not rest on colour.
                    circle.less cx=(format!("{:.1}", x(less))) cy=(format!("{:.1}", top + 19.5)) r="4" {}
                }
            }
            figcaption { p { (say::swings_say(all, currency)) } p.legend { (say::SWING_LEGEND) } }
        }
    }
}
