//! `/f/{farm}/seasons`: what went into each pond and came out of it, season by season; where one ends and the next begins.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farm::facts::{Happened, Lot, Spell, is_id};
use maud::{Markup, html};
use store::{Insert, StoreError};
use units::Day;
use words::page_seasons as say;

use super::{called, missing, onward, sent};
use crate::lots::{self, Told};
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed, unkept};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;
use crate::who::{self, May};

/// Longest name of a season, letters.
const NAME_MOST: usize = 80;
/// Longest season, d.
const SEASON_MOST_D: i32 = 366;

type Fields = Vec<(String, String)>;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/seasons", get(show).post(take))
}

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.trim())
}

/// What the page shows.
struct Shown {
    facts: Arc<Served>,
    told: Arc<Told>,
    today: Day,
    /// A mark for whatever is sent, so that sending it twice is safe.
    id: String,
    typed: Fields,
    wrong: Vec<(&'static str, String)>,
    unkept: Option<String>,
}

impl Shown {
    fn typed(&self, name: &str) -> &str {
        field(&self.typed, name)
    }
    fn name<'a>(&'a self, pond: &'a str) -> &'a str {
        self.facts.farm.ponds.iter().find(|card| card.id == pond).map_or(pond, |card| card.name.as_str())
    }
    /// The lots of a season in the order of the farm's ponds; of ponds it no longer has, last.
    fn lots<'a>(&'a self, spell: &Spell) -> Vec<&'a Lot> {
        let place = |pond: &str| self.facts.farm.ponds.iter().position(|card| card.id == pond).unwrap_or(usize::MAX);
        let mut lots = self.told.lots_of(spell);
        lots.sort_by_key(|lot| (place(&lot.pond), lot.stocking.on));
        lots
    }
    fn holding(&self, lots: &[&Lot]) -> Vec<String> {
        lots.iter().filter(|lot| lot.out.is_none()).map(|lot| self.name(&lot.pond).to_owned()).collect()
    }
}

fn shown(site: &Site, farm: &str, typed: Fields) -> Option<Result<Shown, StoreError>> {
    let (desk, record, written) = (site.desk(farm)?, site.record()?, site.written(farm)?);
    let facts = desk.facts();
    let read = waiting(|| Ok((lots::told(record, &written)?, record.store().new_id()?)));
    Some(read.map(|(told, id)| {
        let today = facts.farm.place.zone.day_and_second(entry::now(&facts, record.now_ms()).0).0;
        Shown { facts, told, today, id, typed, wrong: Vec::new(), unkept: None }
    }))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(record) = site.record() else { return missing() };
    match shown(&site, &farm, Vec::new()) {
        Some(Ok(shown)) => sent(page(&shown)),
        Some(Err(error)) => refused(record, &error),
        None => missing(),
    }
}

fn refused(record: &Record, error: &StoreError) -> Response {
    let said = words::store::error(record.store().path(), error);
    (StatusCode::SERVICE_UNAVAILABLE, crate::parts::frame::plain(say::TITLE, &said)).into_response()
}

async fn take(State(site): State<Arc<Site>>, Path(farm): Path<String>, Form(fields): Form<Fields>) -> Response {
    let Some(record) = site.record() else { return missing() };
    let mut shown = match shown(&site, &farm, fields) {
        Some(Ok(shown)) => shown,
        Some(Err(error)) => return refused(record, &error),
        None => return missing(),
    };
    let id = shown.typed("id").to_owned();
    let (kind, day, typed) = match (is_id(&id), shown.typed("do")) {
        (true, "end") => ("season_over", ended(&mut shown), BTreeMap::new()),
        (true, "begin") => ("season", begun(&mut shown), begun_with(&shown)),
        _ => return missing(),
    };
    let Some(day) = day else { return (StatusCode::UNPROCESSABLE_ENTITY, page(&shown)).into_response() };
    let mut fact = record.begun(&shown.facts, &id, kind);
    let zone = &shown.facts.farm.place.zone;
    let at = zone.instant(day, 0);
    (fact.happened, fact.typed) = (Happened { at, offset_s: zone.offset_s(at) }, typed);
    let kept = waiting(|| {
        let answer = record.keep(fact)?;
        // It is on the disk: that the desk could not be told takes nothing from that.
        let _told = site.recorded(&farm);
        Ok(answer)
    });
    match kept {
        Ok(Insert::Made { .. } | Insert::AlreadyHad { .. }) => onward(&format!("/f/{farm}/seasons")),
        // The form was sent before with other words: once more, under a mark of its own.
        Ok(Insert::Differs { .. }) => (StatusCode::CONFLICT, page(&shown)).into_response(),
        Err(error) => {
            shown.unkept = Some(words::store::error(record.store().path(), &error));
            (StatusCode::SERVICE_UNAVAILABLE, page(&shown)).into_response()
        }
    }
}

/// The last day of the running season, if it can be that.
fn ended(shown: &mut Shown) -> Option<Day> {
    let running = shown.told.running()?.clone();
    let lots = shown.lots(&running);
    let holding = shown.holding(&lots);
    let last_out = lots.iter().filter_map(|lot| lot.out).max();
    let day = Day::parse(shown.typed("last_day"));
    let wrong = match (day, last_out) {
        _ if !holding.is_empty() => Some(say::still_in(&holding)),
        (None, _) => Some(say::DAY_WRONG.to_owned()),
        (Some(day), _) if day > shown.today => Some(say::END_AHEAD.to_owned()),
        (Some(day), Some(last)) if day < last => Some(say::end_early(last)),
        (Some(day), _) if day < running.starts => Some(say::begins_early(running.starts)),
        _ => None,
    };
    shown.wrong.extend(wrong.map(|said| ("last_day", said)));
    day.filter(|_| shown.wrong.is_empty())
}

/// The first day of a new season, if all that was typed can be taken.
fn begun(shown: &mut Shown) -> Option<Day> {
    let (first, last_catch) = (Day::parse(shown.typed("first_day")), Day::parse(shown.typed("last_catch")));
    let mut wrong = Vec::new();
    match shown.typed("name") {
        "" => wrong.push(("name", say::NAME_MISSING.to_owned())),
        long if long.chars().count() > NAME_MOST => wrong.push(("name", say::NAME_LONG.to_owned())),
        _ => {}
    }
    if let Some(running) = shown.told.running() {
        let lots = shown.lots(running);
        let holding = shown.holding(&lots);
        let over = lots.iter().filter_map(|lot| lot.out).max().into_iter().chain(running.ends).max();
        let after = over.unwrap_or(running.starts);
        if !holding.is_empty() {
            wrong.push(("first_day", say::still_in(&holding)));
        } else if first.is_some_and(|first| first <= after) {
            wrong.push(("first_day", say::begins_early(after)));
        }
    }
    if first.is_none() {
        wrong.push(("first_day", say::DAY_WRONG.to_owned()));
    }
    match (first, last_catch) {
        (_, None) => wrong.push(("last_catch", say::DAY_WRONG.to_owned())),
        (Some(first), Some(last)) if last <= first || last.0 - first.0 > SEASON_MOST_D => {
            wrong.push(("last_catch", say::LAST_CATCH_WRONG.to_owned()));
        }
        _ => {}
    }
    shown.wrong = wrong;
    first.filter(|_| shown.wrong.is_empty())
}

fn begun_with(shown: &Shown) -> BTreeMap<String, String> {
    ["name", "last_catch"].map(|key| (key.to_owned(), shown.typed(key).to_owned())).into()
}

fn page(shown: &Shown) -> Markup {
    let facts = &shown.facts;
    let farm = &facts.id;
    let earlier: Vec<&Spell> = shown.told.spells.iter().rev().skip(1).collect();
    let body = html! {
        @if let Some(why) = &shown.unkept { (unkept(why)) }
        @if !shown.wrong.is_empty() {
            div.trouble role="alert" {
                p { (say::LOOK_AGAIN) }
                ul { @for (at, said) in &shown.wrong { li { a href=(format!("#e-{at}")) { (say::asked(at)) " " (said) } } } }
            }
        }
        @if let Some(running) = shown.told.running() { (season(shown, running, true)) } @else { h1 { (say::TITLE) } }
        @if who::now().may == May::All { (forms(shown)) } @else { p.hint { (say::OWNERS) } }
        @if !earlier.is_empty() {
            section.part aria-labelledby="h-earlier" {
                h2 id="h-earlier" { (say::EARLIER) }
                @for spell in earlier { (season(shown, spell, false)) }
            }
        }
    };
    let frame = Frame::of(facts, say::TITLE, Here::Seasons);
    framed(&frame, html! { article.logbook.seasons data-farm=(farm) { (body) } })
}

fn season(shown: &Shown, spell: &Spell, is_running: bool) -> Markup {
    let (facts, lots) = (&shown.facts, shown.lots(spell));
    let name = spell.name.clone().unwrap_or_else(|| say::unnamed(spell.starts));
    let out = lots.iter().filter(|lot| lot.out.is_some()).count();
    let caught_kg = lots.iter().filter_map(|lot| lot.caught_kg).sum();
    let heading = html! { @if is_running { h1 { (name) } } @else { h3 { (name) } } };
    html! {
        (heading)
        p {
            // A season that nobody named says in its name since when it runs.
            @if spell.name.is_some() || spell.ends.is_some() { (say::days(spell.starts, spell.ends)) ". " }
            (say::standing(&shown.holding(&lots), out, caught_kg, facts.manner))
        }
        @if !lots.is_empty() { ul.lots { @for lot in &lots { (row(shown, lot)) } } }
        p { a href=(format!("{}?season={}", called::address(&facts.id, None), lots::key(&facts.id, spell))) { (say::SCORES) } }
    }
}

fn row(shown: &Shown, lot: &Lot) -> Markup {
    let facts = &shown.facts;
    let entry = |kind: &str| format!("/f/{}/log/new?kind={kind}&pond={}", facts.id, lot.pond);
    let is_last = !shown.told.lots.iter().any(|other| other.pond == lot.pond && other.stocking.on > lot.stocking.on);
    let (stocking, manner) = (&lot.stocking, facts.manner);
    let caught = say::caught(lot.caught_kg, lot.caught_count, lot.is_counted_whole, manner);
    html! {
        li {
            b { (shown.name(&lot.pond)) }
            div {
                (say::stocked(stocking.on, stocking.count, stocking.mean_weight_g, stocking.count_either_way))
                @for said in say::from_tanks(lot) { p.hint { (said) } }
            }
            span { (say::out(lot.out, lot.is_out_guessed, shown.today, stocking.on)) @if lot.out.is_some() || lot.caught_kg.is_some() { (say::THEN) (caught) } }
            @if let Some(said) = say::doubtful(lot.caught_kg, lot.caught_count, stocking.count) { p.wrong { (said) } }
            @match (lot.out, is_last) {
                (None, true) => a.mend href=(entry("catch")) { (say::ENTER_CATCH) },
                (Some(_), true) => a.mend href=(entry("stocked")) { (say::STOCK_AGAIN) },
                _ => {},
            }
        }
    }
}

fn forms(shown: &Shown) -> Markup {
    let to = format!("/f/{}/seasons", shown.facts.id);
    let running = shown.told.running();
    let runs = running.is_some_and(|spell| spell.ends.is_none());
    let holding = running.map(|spell| shown.holding(&shown.lots(spell))).unwrap_or_default();
    html! {
        @if runs {
            section.part aria-labelledby="h-end" {
                h2 id="h-end" { (say::END_TITLE) }
                @if holding.is_empty() {
                    form.entry.setup-form method="post" action=(to) {
                        (hidden(shown, "end"))
                        (day(shown, "last_day", say::END_DAY, None, &shown.today.to_string()))
                        button type="submit" { (say::END) }
                    }
                } @else { p { (say::still_in(&holding)) } }
            }
        }
        @if holding.is_empty() {
            section.part aria-labelledby="h-begin" {
                h2 id="h-begin" { (say::BEGIN_TITLE) }
                p { (say::BEGIN_SAYS) }
                p { a.mend href=(format!("/f/{}/winter", shown.facts.id)) { (words::page_winter::SEE) } }
                form.entry.setup-form method="post" action=(to) {
                    (hidden(shown, "begin"))
                    div.field {
                        label for="e-name" { (say::NAME) }
                        input #e-name type="text" name="name" maxlength="200" autocomplete="off" value=(shown.typed("name"))
                            aria-describedby="h-name" aria-invalid=[is_wrong(shown, "name")];
                        p.hint #h-name { (say::NAME_HINT) }
                        (wrong(shown, "name"))
                    }
                    (day(shown, "first_day", say::FIRST_DAY, Some(say::FIRST_HINT), ""))
                    (day(shown, "last_catch", say::LAST_CATCH, Some(say::LAST_CATCH_HINT), ""))
                    button type="submit" { (say::BEGIN) }
                }
            }
        }
    }
}

fn hidden(shown: &Shown, act: &str) -> Markup {
    html! {
        input type="hidden" name="id" value=(shown.id);
        input type="hidden" name="do" value=(act);
    }
}

fn is_wrong(shown: &Shown, name: &str) -> Option<&'static str> {
    shown.wrong.iter().any(|(at, _)| *at == name).then_some("true")
}

fn wrong(shown: &Shown, name: &str) -> Markup {
    html! { @for (_, said) in shown.wrong.iter().filter(|(at, _)| *at == name) { p.wrong { (said) } } }
}

fn day(shown: &Shown, name: &str, label: &str, hint: Option<&str>, fresh: &str) -> Markup {
    let typed = shown.typed(name);
    let value = if typed.is_empty() { fresh } else { typed };
    // What cannot be read as a day is shown again as it was typed: a field of days would drop it.
    let kind = if value.is_empty() || Day::parse(value).is_some() { "date" } else { "text" };
    html! {
        div.field {
            label for=(format!("e-{name}")) { (label) }
            input id=(format!("e-{name}")) type=(kind) name=(name) value=(value) aria-invalid=[is_wrong(shown, name)]
                aria-describedby=[hint.map(|_| format!("h-{name}"))];
            @if let Some(hint) = hint { p.hint id=(format!("h-{name}")) { (hint) } }
            (wrong(shown, name))
        }
    }
}
