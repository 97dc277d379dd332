//! `/f/{farm}/log/new` and `/f/{farm}/log/{id}/mend`: an entry is typed; a correction is an entry of its own.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farm::facts::market::{MARKET_KINDS, price};
use farm::facts::{Fact, Happened, Kept, MONEY_KINDS, UnreadWhy, coins, is_id, newest_form};
use farm::reasons::Wrong;
use maud::{Markup, html};
use store::Insert;
use words::page_log as say;
use words::page_odd::{is_refused, odd};
use words::page_seasons as lots;

use super::log::{in_frame, kinds, line};
use super::{log_back, missing, onward, sent};
use crate::assets::digest;
use crate::parts::entry::{self, Shown};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

type Fields = Vec<(String, String)>;

/// Days within which counts out of tanks fill one pond, d.
const FILLED_D: i32 = 7;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/log/new", get(show).post(take))
        .route("/f/{farm}/log/{id}/mend", get(show_mend).post(take_mend))
}

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str())
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let kind = Some(field(&asked, "kind")).filter(|kind| entry::may_enter(kind)).unwrap_or("reading");
    // With several ponds and none tapped the person says which: a guess would put a reading into the wrong water.
    let ponds = &facts.farm.ponds;
    let pond =
        ponds.iter().find(|pond| pond.id == field(&asked, "pond")).or(ponds.first().filter(|_| ponds.len() == 1));
    let pond = pond.map_or("", |pond| pond.id.as_str());
    match waiting(|| record.store().new_id()) {
        Ok(id) => {
            let mut shown = entry::fresh(&facts, kind, pond, id, record.now_ms());
            // What the page that leads here knows already: the form shows it, to be changed or kept.
            for known in newest_form(kind).map_or(&[][..], |form| form.fields).iter().filter(|one| one.name != "pond") {
                let text = field(&asked, known.name);
                if !text.is_empty() {
                    shown.typed.insert(known.name.to_owned(), text.to_owned());
                }
            }
            // The day the page that leads here speaks of; the hour of the form's own making gives way to it.
            let when = field(&asked, "when");
            if entry::moment(when, &facts.farm.place.zone).is_some() {
                shown.typed.insert("when".to_owned(), when.to_owned());
                shown.is_of_then = true;
            }
            log_back::tell(record, &facts, &mut shown);
            sent(page(&facts, &shown, None))
        }
        Err(error) => refused(record, &error),
    }
}

async fn show_mend(State(site): State<Arc<Site>>, Path((farm, of)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let read = waiting(|| Ok((record.store().fact(&of)?, record.store().new_id()?)));
    match read {
        Ok((Some(mut kept), id)) if fits(&kept, &farm) => {
            // Without the names the ids are shown.
            let _named = waiting(|| record.with_names(&farm, std::slice::from_mut(&mut kept)));
            let mut shown = entry::fresh(&facts, &kept.fact.kind, "", id, record.now_ms());
            shown.typed.extend(kept.fact.typed.clone());
            shown.typed.insert("when".to_owned(), entry::written(kept.fact.happened.at, &facts.farm.place.zone));
            shown.corrects = Some(of);
            log_back::tell(record, &facts, &mut shown);
            sent(page(&facts, &shown, Some(&kept)))
        }
        Ok(_) => missing(),
        Err(error) => refused(record, &error),
    }
}

fn fits(kept: &Kept, farm: &str) -> bool {
    kept.fact.farm == farm && entry::may_mend(&kept.fact.kind)
}

fn refused(record: &Record, error: &store::StoreError) -> Response {
    let said = words::store::error(record.store().path(), error);
    (StatusCode::SERVICE_UNAVAILABLE, crate::parts::frame::plain(say::LOG, &said)).into_response()
}

fn page(facts: &Served, shown: &Shown, mends: Option<&Kept>) -> Markup {
    let live = entry::now(facts, shown.made_ms).1;
    let body = match mends {
        None => html! {
            (entry::form(facts, shown, &format!("/f/{}/log/new", facts.id), live))
            (kinds(facts, shown.typed.get("pond").map_or("", String::as_str), &shown.kind))
        },
        Some(kept) => html! {
            p { (say::MEND_HINT) }
            p.before { s { (line(facts, &kept.fact)) } " " span.by { (say::by(&kept.fact, &facts.farm.place.zone, facts.manner)) } }
            (entry::form(facts, shown, &format!("/f/{}/log/{}/mend", facts.id, kept.fact.id), false))
        },
    };
    let title = if mends.is_some() { say::MEND_TITLE } else { log_back::title(shown) };
    in_frame(facts, title, shown.made_ms, body)
}

async fn take(State(site): State<Arc<Site>>, Path(farm): Path<String>, Form(fields): Form<Fields>) -> Response {
    taken(&site, &farm, fields, None)
}

async fn take_mend(
    State(site): State<Arc<Site>>,
    Path((farm, of)): Path<(String, String)>,
    Form(fields): Form<Fields>,
) -> Response {
    let (Some(_), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    match waiting(|| record.store().fact(&of)) {
        Ok(Some(kept)) if fits(&kept, &farm) => taken(&site, &farm, fields, Some(&kept)),
        Ok(_) => missing(),
        Err(error) => refused(record, &error),
    }
}

/// What was typed, as a fact; what is wrong with it stands in `shown.wrong`.
fn read(record: &Record, facts: &Served, shown: &mut Shown) -> Fact {
    let zone = &facts.farm.place.zone;
    let mut fact = record.begun(facts, &shown.id, &shown.kind);
    fact.typed_ms = shown.made_ms;
    fact.corrects.clone_from(&shown.corrects);
    fact.typed = shown.fields();
    let when = shown.typed.get("when").map_or("", String::as_str).trim();
    match entry::moment(when, zone) {
        Some(at) => fact.happened = Happened { at, offset_s: zone.offset_s(at) },
        None if when.is_empty() => {
            let (at, _) = entry::now(facts, record.now_ms());
            fact.happened = Happened { at, offset_s: zone.offset_s(at) };
        }
        None => shown.wrong.push(("when".to_owned(), say::WHEN_WRONG.to_owned())),
    }
    // What is struck out need not be readable.
    let slips =
        if fact.strikes() && MARKET_KINDS.contains(&shown.kind.as_str()) { Vec::new() } else { fact.read().slips };
    for slip in slips {
        // A value out of bounds may be kept as written by one who has seen that it is.
        if is_refused(&shown.kind, &slip) {
            let two_places = slip.field == "to_tank" && matches!(slip.what, Wrong::Both { .. });
            let said = if two_places { say::ONE_PLACE.to_owned() } else { words::store::slip(&slip) };
            shown.wrong.push((slip.field.clone(), said));
        }
    }
    if let Some(name) = fact.text("to_tank").filter(|name| !facts.farm.tanks.iter().any(|tank| tank.name == *name)) {
        shown.wrong.push(("to_tank".to_owned(), say::no_tank(name)));
    }
    market_money(facts, &fact, shown);
    for field in
        ["cost", "salvage", "gone_for", "meant"].into_iter().filter(|_| MONEY_KINDS.contains(&shown.kind.as_str()))
    {
        // A figure that cannot be read at all is told already.
        if let Some(Err(why)) =
            fact.text(field).map(|text| coins(text, facts.farm.currency)).filter(|read| *read != Err(UnreadWhy::Figure))
        {
            shown.wrong.push((field.to_owned(), say::money_unread(why, facts.farm.currency)));
        }
    }
    if fact.values.get("salvage") > fact.values.get("cost") {
        shown.wrong.push(("salvage".to_owned(), say::money_unread(UnreadWhy::EndsDearer, facts.farm.currency)));
    }
    if fact.pond().is_some_and(|id| !facts.farm.ponds.iter().any(|pond| pond.id == id)) {
        shown.wrong.push(("pond".to_owned(), say::NO_POND.to_owned()));
    }
    fact
}

/// A price, a deposit or a payment in another money than the farm's would count for nothing.
fn market_money(facts: &Served, fact: &Fact, shown: &mut Shown) {
    if !MARKET_KINDS.contains(&fact.kind.as_str()) || fact.strikes() {
        return;
    }
    let currency = facts.farm.currency;
    let is_told = |shown: &Shown, field: &str| shown.wrong.iter().any(|(other, _)| other == field);
    if let Some(text) = fact.text("price")
        && !is_told(shown, "price")
        && price(text, &currency).is_none()
    {
        shown.wrong.push(("price".to_owned(), say::money_unread(UnreadWhy::Currency, currency)));
    }
    for field in ["deposit_asked", "paid"] {
        if let Some(Err(why)) = fact.text(field).map(|text| coins(text, currency))
            && why != UnreadWhy::Figure
            && !is_told(shown, field)
        {
            shown.wrong.push((field.to_owned(), say::money_unread(why, currency)));
        }
    }
}

/// What is odd in a stocking or a catch beside what is known of its pond.
fn lots_odd(facts: &Served, fact: &Fact) -> Vec<String> {
    let (farm, day) = (&facts.farm, facts.farm.place.zone.day_and_second(fact.happened.at).0);
    let Some(card) = farm.ponds.iter().find(|card| Some(card.id.as_str()) == fact.pond()) else { return Vec::new() };
    let (on, out, name) = (card.stocking.on, card.harvested, card.name.as_str());
    let mut said = Vec::new();
    match fact.kind.as_str() {
        "stocked" => {
            if on == day && fact.corrects.is_none() {
                said.push(lots::same_day(name));
            } else if day > on && out.is_none() && fact.corrects.is_none() {
                said.push(lots::not_empty(name, on));
            }
            if day >= farm.season.last_catch {
                said.push(lots::after_last_catch(farm.season.last_catch));
            }
        }
        // Several tanks fill one pond within days; a pond that has long been stocked is asked about.
        "counted_out" if day.0 - on.0 > FILLED_D && out.is_none() && fact.corrects.is_none() => {
            said.push(lots::not_empty(name, on));
        }
        "catch" => match out {
            _ if day < on => said.push(lots::before_stocking(name, on)),
            Some(out) if out < day => said.push(lots::was_empty(name, out)),
            _ => {}
        },
        _ => {}
    }
    said
}

/// What was typed, by field; several boxes of one name are one list.
fn joined(fields: Fields) -> BTreeMap<String, String> {
    let mut typed = BTreeMap::<String, String>::new();
    for (name, text) in fields {
        let is_list = name == "from_tanks" || farm::facts::WEIGHT_LISTS.contains(&name.as_str());
        match typed.get_mut(&name).filter(|_| is_list) {
            Some(before) if before.is_empty() => *before = text,
            Some(_) if text.is_empty() => {}
            Some(before) => *before = format!("{before} {text}"),
            None => {
                typed.insert(name, text);
            }
        }
    }
    typed
}

/// Where to after an entry is kept: a sample is looked at, all else stands in the log.
fn after(farm: &str, fact: &Fact, then: &str) -> String {
    // Back to a station of the harvest day, and nowhere else: an address from outside leads no further.
    if words::page_harvest::EVERY_STATION.iter().any(|(station, ..)| then == format!("harvest/{station}")) {
        return format!("/f/{farm}/{then}?pond={}", fact.pond().unwrap_or_default());
    }
    if let Some(to) = super::sale::then(farm, fact, then) {
        return to;
    }
    match (fact.kind.as_str(), fact.pond()) {
        _ if fact.strikes() => format!("/f/{farm}/log"),
        ("sample", Some(pond)) => super::samples::address(farm, pond),
        ("order", _) => format!("/f/{farm}/order"),
        ("pack", _) => format!("/f/{farm}/trace?lot={}", crate::prints::escaped(fact.text("lot").unwrap_or_default())),
        ("due", _) => format!("/f/{farm}/due"),
        ("loss", _) => format!("/f/{farm}/losses"),
        (kind, _) if MONEY_KINDS.contains(&kind) => {
            // The year it is of: a budget's month may lie ahead.
            let month = fact.text("in_month").and_then(units::Day::parse);
            let day = month.unwrap_or(units::Day(fact.happened.at.0.div_euclid(86_400) as i32));
            format!("/f/{farm}/books?year={day}")
        }
        ("counted_out", _) => format!("/f/{farm}/tanks"),
        _ => format!("/f/{farm}/log"),
    }
}

fn taken(site: &Site, farm: &str, fields: Fields, mends: Option<&Kept>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let kind = mends.map_or(field(&fields, "kind"), |kept| kept.fact.kind.as_str()).to_owned();
    let may_write = entry::may_enter(&kind) || (mends.is_some() && entry::may_mend(&kind));
    if !may_write || newest_form(&kind).is_none() || !is_id(field(&fields, "id")) {
        return missing();
    }
    let mut shown = Shown {
        kind,
        id: field(&fields, "id").to_owned(),
        made_ms: field(&fields, "made_ms").parse().unwrap_or(record.now_ms()),
        corrects: mends.map(|kept| kept.fact.id.clone()),
        typed: joined(fields),
        ..Shown::default()
    };
    let fact = read(record, &facts, &mut shown);
    log_back::tell(record, &facts, &mut shown);
    log_back::check(record, &facts, &fact, &mut shown);
    let seen = shown.typed.get("sure").cloned().unwrap_or_default();
    // An order that comes back is first made right.
    let comes_back = MARKET_KINDS.contains(&fact.kind.as_str()) && !shown.wrong.is_empty();
    if !fact.strikes() && !comes_back {
        shown.odd = odd(&fact, entry::now(&facts, record.now_ms()).0);
        shown.odd.extend(lots_odd(&facts, &fact));
    }
    let mark = format!("{:016x}", digest(format!("{:?} {:?}", fact.typed, fact.happened).as_bytes()));
    if shown.wrong.is_empty() && !shown.odd.is_empty() {
        shown.sure.clone_from(&mark);
    }
    if !shown.wrong.is_empty() || (!shown.odd.is_empty() && seen != mark) {
        return (StatusCode::UNPROCESSABLE_ENTITY, page(&facts, &shown, mends)).into_response();
    }
    // A phone asked only whether it is right: it keeps and sends the entry itself.
    if shown.text("look") == "yes" {
        return StatusCode::NO_CONTENT.into_response();
    }
    let to = after(farm, &fact, shown.typed.get("then").map_or("", String::as_str));
    // A harvest day's entries move no morning: the desk need not reckon again for each basket.
    let is_of_day = !entry::moves_the_morning(&fact.kind);
    let kept = waiting(|| {
        let answer = record.keep(fact)?;
        if matches!(answer, Insert::Made { .. }) {
            // It is on the disk: that the desk could not be told takes nothing from that.
            if !is_of_day {
                let _told = site.recorded(farm);
            }
        }
        Ok((answer, record.store().new_id()?))
    });
    match kept {
        Ok((Insert::Made { .. } | Insert::AlreadyHad { .. }, _)) => onward(&to),
        Ok((Insert::Differs { .. }, id)) => {
            shown.id = id;
            shown.wrong.push(("pond".to_owned(), say::USED.to_owned()));
            (StatusCode::CONFLICT, page(&facts, &shown, mends)).into_response()
        }
        Err(error) => {
            shown.unkept = Some(words::store::error(record.store().path(), &error));
            (StatusCode::SERVICE_UNAVAILABLE, page(&facts, &shown, mends)).into_response()
        }
    }
}
