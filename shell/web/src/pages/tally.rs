//! `/f/{farm}/harvest/tally`: a paper list of baskets typed in one go.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use farm::facts::{Happened, Place, is_id};
use maud::{Markup, html};
use store::sha256_hex;
use units::Instant;
use words::{page_harvest as say, page_odd};

use super::{missing, onward, sent};
use crate::assets::digest;
use crate::parts::entry;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::prints;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

type Fields = Vec<(String, String)>;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/harvest/tally", get(show_tally).post(take_tally))
        .route("/f/{farm}/harvest/tally.pdf", get(show_pdf))
}

fn field<'a>(fields: &'a Fields, name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str())
}

/// An empty one to print.
async fn show_pdf(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    prints::sent(&prints::paper_tally(&facts.farm.name, facts.manner), "tally")
}

async fn show_tally(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let when = entry::written(entry::now(&facts, record.now_ms()).0, &facts.farm.place.zone);
    let Ok(mark) = waiting(|| record.store().new_id()) else { return missing() };
    let begun = [("when", when), ("mark", mark), ("made_ms", record.now_ms().to_string())];
    let begun: Fields = begun.map(|(name, text)| (name.to_owned(), text)).into();
    sent(tally(&facts, &begun, &[], &[]))
}

/// Mark of what was typed: sent back, it says that a person has seen what is odd in it.
fn seen(typed: &Fields) -> String {
    let all = ["pond", "when", "lines"].map(|name| field(typed, name));
    format!("{:016x}", digest(all.join("\n").as_bytes()))
}

fn tally(facts: &Served, typed: &Fields, wrong: &[String], odd: &[String]) -> Markup {
    let is_odd = wrong.is_empty() && !odd.is_empty();
    let body = html! {
        section.logbook.station {
            h1 { (say::TALLY) }
            @if !wrong.is_empty() {
                div.trouble role="alert" { p { (words::page_log::LOOK_AGAIN) } ul { @for line in wrong { li { a href="#e-lines" { (line) } } } } }
            }
            @if !odd.is_empty() {
                div.trouble role="alert" {
                    p { (page_odd::LOOK_ODD) }
                    ul { @for line in odd { li { a href="#e-lines" { (line) } } } }
                    @if is_odd { p.hint { (page_odd::SURE_HINT) } }
                }
            }
            form.entry method="post" action=(format!("/f/{}/harvest/tally", facts.id)) {
                @if is_odd { input type="hidden" name="sure" value=(seen(typed)); }
                input type="hidden" name="mark" value=(field(typed, "mark"));
                input type="hidden" name="made_ms" value=(field(typed, "made_ms"));
                fieldset.chips {
                    legend { (words::page_log::field("pond")) }
                    @for card in &facts.farm.ponds {
                        label.chip {
                            input type="radio" name="pond" value=(card.id) required checked[field(typed, "pond") == card.id || facts.farm.ponds.len() == 1];
                            span { (card.name) }
                        }
                    }
                }
                div.field {
                    label for="e-when" { (say::TALLY_WHEN) }
                    input #e-when type="datetime-local" name="when" value=(field(typed, "when"));
                }
                div.field {
                    label for="e-lines" { (say::TALLY_ASK) }
                    textarea #e-lines name="lines" rows="12" maxlength="20000" aria-describedby="h-lines" aria-invalid=[(!wrong.is_empty()).then_some("true")] { (field(typed, "lines")) }
                    p.hint id="h-lines" { (say::TALLY_HINT) }
                }
                button.main type="submit" { @if is_odd { (page_odd::KEEP_ALL_THE_SAME) } @else { (say::TALLY_KEEP) } }
            }
            p { a.mend href=(format!("/f/{}/harvest/tally.pdf", facts.id)) { (words::page_print::TALLY_BLANK) } }
            p { a.mend href=(format!("/f/{}/harvest", facts.id)) { (say::TO_BOARD) } }
        }
    };
    framed(&Frame::of(facts, say::TALLY, Here::Elsewhere), body)
}

/// One line of a tally as the fields of a basket, or why it is none.
fn line(text: &str, pond: &str, unit: &str) -> Result<[(&'static str, String); 4], &'static str> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().position(|word| Place::parse(&word.to_lowercase()).is_some()).ok_or(say::TALLY_NO_PLACE)?;
    let weight = words[..at].join(" ");
    let bare = weight.bytes().all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b','));
    let weight = if bare && !weight.is_empty() { format!("{weight} {unit}") } else { weight };
    let count = words.get(at + 1..).unwrap_or_default().join("");
    if !count.is_empty() && !count.bytes().all(|byte| byte.is_ascii_digit() || byte == b',') {
        return Err(say::TALLY_NO_COUNT);
    }
    Ok([("pond", pond.to_owned()), ("weight", weight), ("to", words[at].to_lowercase()), ("count", count)])
}

async fn take_tally(State(site): State<Arc<Site>>, Path(farm): Path<String>, Form(fields): Form<Fields>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let zone = &facts.farm.place.zone;
    let unit = words::page_log::units("weight", facts.manner).first().map_or("kg", |(_, unit)| unit);
    let pond = facts.farm.ponds.iter().find(|card| card.id == field(&fields, "pond")).map(|card| card.id.clone());
    let mut wrong = Vec::new();
    if pond.is_none() {
        wrong.push(words::page_log::NO_POND.to_owned());
    }
    let first = entry::moment(field(&fields, "when"), zone);
    if first.is_none() {
        wrong.push(words::page_log::WHEN_WRONG.to_owned());
    }
    let at = first.unwrap_or(entry::now(&facts, record.now_ms()).0);
    // One mark for each line of this form: sent twice it is kept once.
    let mark = field(&fields, "mark");
    if !is_id(mark) {
        return missing();
    }
    let made_ms = field(&fields, "made_ms").parse().unwrap_or(record.now_ms());
    let now = entry::now(&facts, record.now_ms()).0;
    let (mut all, mut odd, mut told) = (Vec::new(), Vec::new(), Vec::<String>::new());
    for (n, text) in field(&fields, "lines").lines().enumerate().filter(|(_, text)| !text.trim().is_empty()) {
        let id = sha256_hex(format!("{mark} {n}").as_bytes())[..32].to_owned();
        let typed = match line(text, pond.as_deref().unwrap_or_default(), unit) {
            Ok(typed) => typed,
            Err(why) => {
                wrong.push(say::tally_wrong(n + 1, text.trim(), why));
                continue;
            }
        };
        let mut fact = record.begun(&facts, &id, "basket");
        fact.typed_ms = made_ms;
        // In the order of the paper: a second apart, since nobody wrote down when.
        let at = Instant(at.0 + all.len() as i64);
        fact.happened = Happened { at, offset_s: zone.offset_s(at) };
        fact.typed =
            typed.into_iter().filter(|(_, text)| !text.is_empty()).map(|(key, text)| (key.to_owned(), text)).collect();
        match fact.read().slips.first() {
            Some(slip) => wrong.push(say::tally_wrong(n + 1, text.trim(), &words::store::slip(slip))),
            None => {
                // What is odd about every line alike, as its day, is said once.
                let whys = page_odd::odd(&fact, now);
                odd.extend(
                    whys.iter().filter(|why| !told.contains(*why)).map(|why| say::tally_wrong(n + 1, text.trim(), why)),
                );
                told.extend(whys);
                all.push(fact);
            }
        }
    }
    if all.is_empty() && wrong.is_empty() {
        wrong.push(say::TALLY_EMPTY.to_owned());
    }
    let is_sure = !odd.is_empty() && field(&fields, "sure") == seen(&fields);
    if !wrong.is_empty() || (!odd.is_empty() && !is_sure) {
        return (StatusCode::UNPROCESSABLE_ENTITY, tally(&facts, &fields, &wrong, &odd)).into_response();
    }
    // All or none: a list half kept would be typed again.
    match waiting(|| record.keep_all(all)) {
        Ok(()) => onward(&format!("/f/{farm}/harvest?pond={}", pond.unwrap_or_default())),
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            (StatusCode::SERVICE_UNAVAILABLE, tally(&facts, &fields, &[said], &[])).into_response()
        }
    }
}
