//! The second step: the readings are kept in the background, with a page that shows how far it is and a button that stops it. And
//! the way back: a whole file is struck out.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Form, Path, State};
use axum::response::Response;
use farm::facts::{Fact, Happened, is_id};
use maud::{Markup, html};
use store::{LoggerFile, StoreError, sha256_hex};
use units::Watch;
use words::page_file as say;

use super::super::log::in_frame;
use super::super::{missing, onward, sent};
use super::preview::gone;
use crate::bench::{Held, Looked, State as How};
use crate::parts::entry;
use crate::parts::frame::{self, Frame, Here};
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

type Fields = Vec<(String, String)>;

pub async fn begin(
    State(site): State<Arc<Site>>,
    Path((farm, token)): Path<(String, String)>,
    Form(fields): Form<Fields>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let Some(held) = record.bench().find(&farm, &token) else { return gone(&facts, record) };
    let field = |name: &str| fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str());
    // What is taken is what was seen.
    let (Some(looked), true) = (held.last_look(field("key")), is_id(field("id"))) else { return gone(&facts, record) };
    if !looked.layout.open().is_empty() || !facts.farm.ponds.iter().any(|pond| pond.id == field("pond")) {
        return missing();
    }
    if held.begin() {
        let mut fact = record.begun(&facts, field("id"), "logger");
        let (at, _) = entry::now(&facts, record.now_ms());
        fact.happened = Happened { at, offset_s: facts.farm.place.zone.offset_s(at) };
        fact.typed = BTreeMap::from(
            [
                ("pond", field("pond").to_owned()),
                ("end", field("end").to_owned()),
                ("depth", field("depth").to_owned()),
                ("file", held.name.clone()),
                ("digest", sha256_hex(&held.bytes)),
                ("rows", looked.taken.count().to_string()),
            ]
            .map(|(key, text)| (key.to_owned(), text)),
        );
        fact.read();
        let (site, held) = (Arc::clone(&site), Arc::clone(&held));
        std::thread::spawn(move || keep(&site, &fact, &held, &looked));
    }
    onward(&format!("/f/{farm}/log/file/{token}/taking"))
}

fn keep(site: &Site, fact: &Fact, held: &Held, looked: &Looked) {
    let Some(record) = site.record() else { return };
    held.end(keep_in(record, fact, held, looked, &held.watch));
    if let How::Kept(taken) = held.state()
        && taken.seq.is_some()
    {
        // The readings are on the disk; a desk that cannot read the record says so on its own page.
        let _told = site.recorded(&fact.farm);
    }
}

fn keep_in(
    record: &Record,
    fact: &Fact,
    held: &Held,
    looked: &Looked,
    watch: &Watch,
) -> Result<store::LoggedTaken, StoreError> {
    let file = LoggerFile { media: held.media, bytes: &held.bytes };
    record.store().keep_series(fact, record.exchange(), file, &looked.taken.series, watch)
}

pub async fn show(State(site): State<Arc<Site>>, Path((farm, token)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let Some(held) = record.bench().find(&farm, &token) else { return gone(&facts, record) };
    match held.state() {
        How::Lying | How::Working => {
            let frame = Frame { again_s: Some(1), ..Frame::of(&facts, say::WORKING, Here::Log) };
            sent(frame::page(&frame, working(&facts, &held)))
        }
        How::Kept(taken) => ended(&facts, record, &say::kept(&held.name, &taken)),
        How::Refused(StoreError::Stopped) => ended(&facts, record, say::STOPPED),
        How::Refused(error) => ended(&facts, record, &words::store::error(record.store().path(), &error)),
    }
}

fn working(facts: &Served, held: &Held) -> Markup {
    let (done, total) = held.watch.progress();
    html! {
        section.logbook {
            h1 { (say::WORKING) }
            progress max=(total.max(1)) value=(done) aria-label=(say::WORKING) {}
            p role="status" { (say::progress(done, total)) }
            form method="post" action=(format!("/f/{}/log/file/{}/stop", facts.id, held.token)) {
                p.hint { (say::STOP_HINT) }
                button type="submit" { (say::STOP) }
            }
        }
    }
}

fn ended(facts: &Served, record: &Record, said: &str) -> Response {
    let body = html! {
        p.said role="status" { (said) }
        p.onward {
            a.button.main href=(format!("/f/{}/log", facts.id)) { (say::TO_LOG) } " "
            a.button href=(format!("/f/{}/log/file", facts.id)) { (say::ANOTHER) }
        }
    };
    sent(in_frame(facts, say::TITLE, record.now_ms(), body))
}

pub async fn stop(State(site): State<Arc<Site>>, Path((farm, token)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let Some(held) = record.bench().find(&farm, &token) else { return gone(&desk.facts(), record) };
    held.watch.ask_to_stop();
    onward(&format!("/f/{farm}/log/file/{token}/taking"))
}

pub async fn take_back(State(site): State<Arc<Site>>, Path((farm, id)): Path<(String, String)>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let done = waiting(|| {
        let Some(first) = record
            .store()
            .fact(&id)?
            .filter(|kept| kept.fact.farm == farm && ["logger", "photo"].contains(&kept.fact.kind.as_str()))
        else {
            return Ok(());
        };
        let mut fact = record.begun(&facts, &record.store().new_id()?, &first.fact.kind);
        fact.form = first.fact.form;
        fact.happened = first.fact.happened;
        fact.typed = first.fact.typed.clone();
        fact.typed.insert("struck".to_owned(), "yes".to_owned());
        fact.corrects = Some(id.clone());
        record.keep(fact)?;
        site.recorded(&farm)
    });
    match done {
        Ok(()) => onward(&format!("/f/{farm}/log")),
        Err(error) => sent(frame::plain(say::TITLE, &words::store::error(record.store().path(), &error))),
    }
}

#[cfg(test)]
mod tests;
