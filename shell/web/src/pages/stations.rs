//! `/f/{farm}/harvest/{station}`: where somebody with wet gloves writes down a basket, a level, a temperature. Each is a form of one kind of
//! entry; the phone's script keeps it on the phone, stays on the page and shows the last ones, to be mended.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::{Kept, newest_form};
use maud::{Markup, html};
use store::StoreError;
use units::Instant;
use words::page_harvest as say;
use words::page_log as log;
use words::page_log::units;

use super::harvest::{known, record_of};
use super::{missing, sent};
use crate::assets;
use crate::parts::entry::{self, Shown, beside};
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// Baskets shown below the scale.
const LAST: usize = 6;
/// A basket heavier than this is asked about, kg: the lowest are crushed from ten on (common practice). A farm whose own baskets hold more is
/// asked from there on.
const BASKET_MOST_KG: f64 = 10.0;
/// Scales and units differ by so much, kg.
const SCALE_KG: f64 = 0.05;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/harvest/{station}", get(show))
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, station)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let Some((_, name, kind)) = say::EVERY_STATION.into_iter().find(|(word, ..)| *word == station) else {
        return missing();
    };
    let of = asked.iter().find(|(key, _)| key == "pond").map_or("", |(_, text)| text.as_str());
    let made = waiting(|| -> Result<(String, Vec<Kept>), StoreError> {
        Ok((record.store().new_id()?, known(record, &facts, entry::now(&facts, record.now_ms()).0)?))
    });
    let (id, entries) = match made {
        Ok(made) => made,
        Err(error) => return sent(plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    };
    let now = entry::now(&facts, record.now_ms()).0;
    let mut shown = entry::fresh(&facts, kind, &pond_of(&facts, of, &entries), id, record.now_ms());
    shown.typed.insert("then".to_owned(), format!("harvest/{station}"));
    shown.typed.remove("end");
    let live = entry::now(&facts, shown.made_ms).1;
    let form = match kind {
        "basket" => scale(&facts, &mut shown, live),
        _ => {
            html! { div data-station data-anew { (entry::form(&facts, &shown, &format!("/f/{}/log/new", facts.id), live)) } }
        }
    };
    let body = html! {
        section.logbook.station {
            h1 { (name) }
            (form)
            p.caution { (say::caution(&station)) }
            @if kind == "basket" { (last(&facts, &entries, now)) }
            (stations(&facts, of, &station))
            (super::log::phone(&facts.id, Some((shown.made_ms, log::made(Instant(shown.made_ms.div_euclid(1000)), &facts.farm.place.zone, facts.manner)))))
        }
    };
    sent(framed(&Frame::of(&facts, name, Here::Harvest), body))
}

/// The pond a station opens with: the one asked for; else the one of the last entry of the day; else the only one.
fn pond_of(facts: &Served, asked: &str, entries: &[Kept]) -> String {
    let ponds = &facts.farm.ponds;
    if let Some(card) = ponds.iter().find(|card| card.id == asked) {
        return card.id.clone();
    }
    let latest = entries.iter().max_by_key(|kept| kept.fact.typed_ms).and_then(|kept| kept.fact.pond());
    let last = latest.filter(|id| ponds.iter().any(|card| card.id == *id));
    last.or(Some(ponds[0].id.as_str()).filter(|_| ponds.len() == 1)).unwrap_or_default().to_owned()
}

/// Ways to the stations and the board.
pub fn stations(facts: &Served, pond: &str, here: &str) -> Markup {
    let asked = if pond.is_empty() { String::new() } else { format!("?pond={pond}") };
    html! {
        nav.kinds aria-label=(say::STATIONS) {
            ul {
                li { a href=(format!("/f/{}/harvest{asked}", facts.id)) { (say::TO_BOARD) } }
                @for (word, name, _) in say::EVERY_STATION {
                    li { a href=(format!("/f/{}/harvest/{word}{asked}", facts.id)) aria-current=[(word == here).then_some("page")] { (name) } }
                }
            }
        }
    }
}

/// The scale: big keys, where it goes, the next one.
fn scale(facts: &Served, shown: &mut Shown, live: bool) -> Markup {
    let Some(asked) = newest_form("basket") else { return html! {} };
    let field = |name: &str| asked.fields.iter().find(|field| field.name == name);
    shown.typed.insert("to".to_owned(), "chill".to_owned());
    let (label, unit) = units("weight", facts.manner).first().copied().unwrap_or(("kg", "kg"));
    let most_kg = BASKET_MOST_KG.max(facts.farm.gear.basket_kg);
    let most = match unit {
        "lb" => (most_kg + SCALE_KG) / 0.453_592_37,
        _ => most_kg + SCALE_KG,
    };
    let offset_s = facts.farm.place.zone.offset_s(entry::now(facts, shown.made_ms).0);
    html! {
        form.entry.scale method="post" action=(format!("/f/{}/log/new", facts.id)) data-entry="basket" data-form=(asked.version)
            data-offset=(offset_s) data-clock=(if live { "live" } else { "kept" }) data-station data-anew data-most=(format!("{most:.2}")) {
            input type="hidden" name="id" value=(shown.id);
            input type="hidden" name="kind" value="basket";
            input type="hidden" name="made_ms" value=(shown.made_ms);
            input type="hidden" name="then" value=(shown.text("then"));
            input type="hidden" name="when" value=(shown.text("when"));
            @if let Some(pond) = field("pond") { (entry::one(facts, shown, pond)) }
            p.odd hidden data-say="mending" role="status" { (say::MENDING) }
            div.field {
                label for="e-weight" { (say::WEIGHT) }
                span.typed.big {
                    input #e-weight type="text" name="weight" inputmode="decimal" autocomplete="off" maxlength="12" required autofocus;
                    span.unit { (label) }
                    input type="hidden" name="unit-weight" value=(unit);
                }
            }
            p.wrong hidden data-say="no-weight" role="alert" { (say::NO_WEIGHT) }
            p.wrong hidden data-say="odd-weight" role="alert" { (say::odd_weight(most_kg, facts.manner)) }
            div.keys hidden data-keys role="group" aria-label=(say::KEYS) {
                @for key in ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0"] { button type="button" data-key=(key) { (key) } }
                button type="button" data-key="back" aria-label=(say::BACK_KEY) { "←" }
            }
            @if let Some(to) = field("to") { (entry::one(facts, shown, to)) }
            button.main type="submit" { (say::NEXT) }
            (beside())
            label.chip.alone hidden data-strike { input type="checkbox" name="struck" value="yes"; span { (say::STRIKE) } }
            div.pair {
                div.field {
                    label for="e-tare" { (log::field("tare")) }
                    span.typed {
                        input #e-tare type="text" name="tare" inputmode="decimal" autocomplete="off" maxlength="12" data-stays;
                        span.unit { (label) }
                        input type="hidden" name="unit-tare" value=(unit);
                    }
                }
                div.field {
                    label for="e-tub" { (log::field("tub")) }
                    span.typed { input #e-tub type="text" name="tub" autocomplete="off" maxlength="40" data-stays; }
                }
                div.field {
                    label for="e-count" { (log::field("count")) }
                    span.typed { input #e-count type="text" name="count" inputmode="numeric" autocomplete="off" maxlength="8"; }
                }
            }
            label.chip.alone { input type="checkbox" name="by_hand" value="yes"; span { (log::field("by_hand")) } }
        }
    }
}

/// The last baskets: those the farm has, and by the script those that wait on this phone.
fn last(facts: &Served, entries: &[Kept], now: Instant) -> Markup {
    let record = record_of(facts, entries, now, None);
    let zone = &facts.farm.place.zone;
    html! {
        section.part aria-labelledby="h-last" {
            h2 id="h-last" { (say::LAST) }
            ul.log.last data-last data-mend=(say::MEND) data-struck=(say::STRUCK) {
                @for basket in record.baskets.iter().rev().take(LAST) {
                    li data-id=(basket.written.id) {
                        span { (say::basket(basket, zone, facts.manner)) } " "
                        a.mend href=(format!("/f/{}/log/{}/mend", facts.id, basket.written.head)) { (say::MEND) }
                    }
                }
                @if record.baskets.is_empty() { li data-none { (say::LAST_NONE) } }
            }
        }
        script type="module" src=(assets::station()) {}
    }
}
