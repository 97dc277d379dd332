//! The clocks of what lies on a table: drawn for the moment of the page, with the moments of the marks to come, so that the script draws them anew
//! without signal.

use farm::facts::market::{Good, Stand};
use maud::{Markup, html};
use season::freshness::{Clock, Fresh};
use season::trace::AtTable;
use units::{Instant, Zone};
use words::figures::Manner;
use words::page_sale as say;
use words::page_trace as trace;

/// The least fresh that is left of a good.
pub fn worst(lots: &[AtTable], good: &Good) -> Fresh {
    let here = lots.iter().filter(|one| one.good == *good).filter_map(|one| one.clock);
    here.map(|clock| clock.fresh).max().unwrap_or(Fresh::Good)
}

/// The clocks of a table's lots; those of the good that is sold are shown.
pub fn clocks(lots: &[AtTable], stands: &[Stand], at: usize, now: Instant, zone: &Zone, manner: Manner) -> Markup {
    html! {
        div.clocks data-clocks data-now=(now.0) data-units=(say::AGE_UNITS) {
            @for (good_at, one) in lots.iter().filter_map(|one| Some((stands.iter().position(|stand| stand.good == one.good)?, one))) {
                div data-lot-clock data-at=(good_at) data-lot=(one.lot.as_deref().unwrap_or_default()) data-left=(one.left)
                    data-since=[one.clock.map(|clock| clock.since.0)] hidden[good_at != at] {
                    @match &one.clock {
                        Some(clock) => { @for fresh in [Fresh::First, Fresh::Late, Fresh::Over] { (line(one.lot.as_deref(), clock, fresh, zone, manner)) } }
                        None => { p { (say::NO_CLOCK) } }
                    }
                }
            }
            @if !lots.is_empty() { p.legend data-as-of { (say::as_of(now, zone, manner)) } }
        }
    }
}

/// What is said of a lot between two marks.
fn line(lot: Option<&str>, clock: &Clock, fresh: Fresh, zone: &Zone, manner: Manner) -> Markup {
    let marks = clock.keeps.marks();
    let (from_h, until_h) = match fresh {
        Fresh::Good => (0.0, Some(marks.sell_by_h)),
        Fresh::First => (marks.sell_by_h, Some(marks.warn_h)),
        Fresh::Late => (marks.warn_h, Some(marks.stop_h)),
        Fresh::Over => (marks.stop_h, None),
    };
    let at = |hours: f64| clock.since.0 + (3600.0 * hours) as i64;
    html! {
        p.ageing.over[fresh == Fresh::Over] data-from=(at(from_h)) data-until=[until_h.map(at)] data-state=(say::on_good(fresh)) data-rank=(fresh as u8) hidden[clock.fresh != fresh] {
            (say::before_age(lot, clock)) b { span data-age { (trace::age(clock.age_h)) } " " (say::OLD) } " "
            (trace::advice(clock.keeps, fresh, clock.stops, zone, manner).unwrap_or_default())
        }
    }
}
