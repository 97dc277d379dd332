//! `/f/{farm}/people`: the people of a farm, the phones that may enter, and a number that lets one more in.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::Router;
use axum::extract::{Extension, Form, Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use store::{Pairing, Person, Role, StoreError};
use words::page_people as say;

use super::enter::{NAME_MOST, code_hash};
use super::{missing, onward, sent};
use crate::door;
use crate::listen::Ways;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::qr;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// How long a number holds, ms.
const CODE_MS: i64 = 10 * 60_000;

type Fields = BTreeMap<String, String>;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/people", get(show).post(add))
        .route("/f/{farm}/people/{id}/code", post(code))
        .route("/f/{farm}/people/{id}/end", post(let_go))
        .route("/f/{farm}/phones/{id}/end", post(end_phone))
        .route("/f/{farm}/phones/{id}/name", post(name_phone))
}

fn text<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.get(name).map_or("", |value| value.trim())
}

fn in_frame(facts: &Served, title: &str, body: Markup) -> Markup {
    let frame = Frame::of(facts, title, Here::People);
    framed(&frame, html! { section.logbook.people { h1 { (title) } (body) } })
}

fn trouble(record: &Record, error: &StoreError) -> Response {
    let said = words::store::error(record.store().path(), error);
    (StatusCode::SERVICE_UNAVAILABLE, crate::parts::frame::plain(say::PEOPLE, &said)).into_response()
}

/// The people who still work here.
fn living(record: &Record, farm: &str) -> Result<Vec<Person>, StoreError> {
    Ok(record.store().people(farm)?.into_iter().filter(|person| person.ended_ms.is_none()).collect())
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    match waiting(|| page(record, &desk.facts(), None)) {
        Ok(page) => sent(page),
        Err(error) => trouble(record, &error),
    }
}

fn page(record: &Record, facts: &Served, wrong: Option<(&str, &Fields)>) -> Result<Markup, StoreError> {
    let people = living(record, &facts.id)?;
    let body = html! {
        p { (say::PEOPLE_HINT) }
        h2.small { (say::WHO) }
        @if people.is_empty() { p { (say::NO_ONE) } }
        ul.log {
            @for person in &people {
                li {
                    p.what { b { (person.name) } " " span.by { (say::role(person.role)) } }
                    div.acts {
                        form method="post" action=(format!("/f/{}/people/{}/code", facts.id, person.id)) {
                            button type="submit" aria-label=(format!("{}: {}", say::SHOW_CODE, person.name)) { (say::SHOW_CODE) }
                        }
                        form method="post" action=(format!("/f/{}/people/{}/end", facts.id, person.id)) {
                            button.quiet type="submit" aria-label=(format!("{}: {}", person.name, say::LET_GO)) { (say::LET_GO) }
                        }
                    }
                }
            }
        }
        (adding(facts, wrong))
        h2.small { (say::PHONES) }
        (phones(record, facts, &people)?)
        p.hint { (say::END_HINT) }
        p { a.mend href=(format!("/f/{}/certificate", facts.id)) { (say::LOCK) } }
    };
    Ok(in_frame(facts, say::PEOPLE, body))
}

fn adding(facts: &Served, wrong: Option<(&str, &Fields)>) -> Markup {
    let typed = |name: &str| wrong.map_or("", |(_, fields)| text(fields, name));
    html! {
        h2.small { (say::ADD) }
        @if let Some((said, _)) = wrong {
            div.trouble role="alert" { p { (say::LOOK_AGAIN) } ul { li { a href="#name" { (said) } } } }
        }
        form.entry method="post" action=(format!("/f/{}/people", facts.id)) {
            div.field {
                label for="name" { (say::NAME) }
                @if let Some((said, _)) = wrong { p.wrong id="w-name" { (said) "." } }
                input id="name" name="name" type="text" autocomplete="off" maxlength="40" value=(typed("name"))
                    aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| "w-name")];
            }
            div.field {
                label for="role" { (say::ROLE) }
                select id="role" name="role" {
                    option value="crew" { (say::role(Role::Crew)) }
                    option value="owner" selected[typed("role") == "owner"] { (say::role(Role::Owner)) }
                }
            }
            button.main type="submit" { (say::ADD_NOW) }
        }
    }
}

fn phones(record: &Record, facts: &Served, people: &[Person]) -> Result<Markup, StoreError> {
    let seen: BTreeMap<String, i64> = record.store().devices_seen(&facts.id)?.into_iter().collect();
    let devices: Vec<_> =
        record.store().devices(&facts.id)?.into_iter().filter(|device| device.ended_ms.is_none()).collect();
    let whose = |id: &str| people.iter().find(|person| person.id == id).map_or("?", |person| &person.name).to_owned();
    let zone = &facts.farm.place.zone;
    Ok(html! {
        @if devices.is_empty() { p { (say::NO_PHONES) } }
        ul.log {
            @for device in &devices {
                @let said = say::phone(&whose(&device.person), device.made_ms, seen.get(&device.id).copied(), zone, facts.manner);
                li {
                    p.what { b { (device.name) } }
                    p.by { (said) }
                    form.entry method="post" action=(format!("/f/{}/phones/{}/name", facts.id, device.id)) {
                        div.field {
                            label for=(format!("n-{}", device.id)) { (say::PHONE_NAME) }
                            input id=(format!("n-{}", device.id)) name="name" type="text" autocomplete="off" maxlength="40" value=(device.name);
                        }
                        button type="submit" { (say::KEEP_NAME) }
                    }
                    form method="post" action=(format!("/f/{}/phones/{}/end", facts.id, device.id)) {
                        button type="submit" aria-label=(format!("{}: {}", say::END_PHONE, device.name)) { (say::END_PHONE) }
                    }
                }
            }
        }
    })
}

async fn add(
    State(site): State<Arc<Site>>,
    Path(farm): Path<String>,
    Extension(ways): Extension<Arc<Ways>>,
    Form(fields): Form<Fields>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let name = text(&fields, "name");
    let done = waiting(|| {
        let taken = living(record, &farm)?.iter().any(|person| person.name.to_lowercase() == name.to_lowercase());
        let wrong = if name.is_empty() || name.len() > NAME_MOST {
            Some(say::NAME_MISSING)
        } else {
            taken.then_some(say::NAME_TAKEN)
        };
        if let Some(wrong) = wrong {
            return Ok(sent(page(record, &facts, Some((wrong, &fields)))?));
        }
        let role = if text(&fields, "role") == "owner" { Role::Owner } else { Role::Crew };
        let (id, made_ms) = (record.store().new_id()?, record.now_ms());
        let person = Person { id, farm: farm.clone(), name: name.to_owned(), role, made_ms, ended_ms: None };
        record.store().keep_person(&person)?;
        shown(record, &facts, &ways, &person)
    });
    done.unwrap_or_else(|error| {
        let why = words::store::error(record.store().path(), &error);
        match waiting(|| page(record, &facts, Some((&why, &fields)))) {
            Ok(page) => (StatusCode::SERVICE_UNAVAILABLE, page).into_response(),
            Err(error) => trouble(record, &error),
        }
    })
}

async fn code(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Extension(ways): Extension<Arc<Ways>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let done = waiting(|| match living(record, &farm)?.iter().find(|person| person.id == id) {
        Some(person) => shown(record, &desk.facts(), &ways, person),
        None => Ok(missing()),
    });
    done.unwrap_or_else(|error| trouble(record, &error))
}

/// Makes a number for a person and shows it. It is kept as a hash alone, so this page is the only place where it stands.
fn shown(record: &Record, facts: &Served, ways: &Ways, person: &Person) -> Result<Response, StoreError> {
    let digits = format!("{:08}", u64::from_le_bytes(door::random::<8>()?) % 100_000_000);
    let now_ms = record.now_ms();
    let pairing = Pairing {
        code_hash: code_hash(&facts.id, &digits),
        farm: facts.id.clone(),
        name: person.name.clone(),
        role: person.role,
        ends_ms: now_ms + CODE_MS,
    };
    record.store().keep_pairing(&pairing, now_ms)?;
    let place = ways.for_phones.as_ref().map(|base| format!("{base}/f/{}/enter", facts.id));
    let body = html! {
        p { (say::code_for(&person.name, CODE_MS / 60_000)) }
        @match &place {
            Some(place) => {
                @if let Some(square) = qr::code(&format!("{place}?code={digits}"), say::QR) {
                    p { (say::SCAN) }
                    (square)
                }
                p { (say::OR_TYPE) }
                p.place { (place) }
            },
            None => p.trouble { (say::NOT_REACHED) },
        }
        p.code { (say::code(&digits)) }
        p.onward { a href=(format!("/f/{}/people", facts.id)) { (say::TO_PEOPLE) } }
    };
    Ok(([(header::CACHE_CONTROL, "no-store")], in_frame(facts, say::CODE, body)).into_response())
}

async fn let_go(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    changed(&site, &farm, |record| match living(record, &farm)?.iter().find(|person| person.id == id) {
        Some(person) => record.store().end_person(person, record.now_ms()),
        None => Ok(()),
    })
}

async fn end_phone(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    changed(&site, &farm, |record| {
        let ours = record.store().devices(&farm)?.iter().any(|device| device.id == id);
        if ours { record.store().end_device(&id, record.now_ms()) } else { Ok(()) }
    })
}

async fn name_phone(
    State(site): State<Arc<Site>>,
    Path((farm, id)): Path<(String, String)>,
    Form(fields): Form<Fields>,
) -> Response {
    let name = text(&fields, "name").to_owned();
    changed(&site, &farm, |record| {
        let found = record.store().devices(&farm)?.into_iter().find(|device| device.id == id);
        match found.filter(|_| !name.is_empty() && name.len() <= NAME_MOST) {
            Some(device) => record.store().keep_device(&store::Device { name: name.clone(), ..device }),
            None => Ok(()),
        }
    })
}

fn changed(site: &Site, farm: &str, change: impl FnOnce(&Record) -> Result<(), StoreError>) -> Response {
    let (Some(_), Some(record)) = (site.desk(farm), site.record()) else { return missing() };
    match waiting(|| change(record)) {
        Ok(()) => onward(&format!("/f/{farm}/people")),
        Err(error) => trouble(record, &error),
    }
}
