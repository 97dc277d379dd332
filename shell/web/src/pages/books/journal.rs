//! The journal, entry by entry.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::response::Response;
use maud::html;
use season::books::ledger::Line;
use units::Money;
use words::figures::date;
use words::page_money as say;

use super::{Asked, in_frame, open, table};
use crate::parts::frame::Here;
use crate::site::Site;

pub async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let open = match open(&site, &farm, &asked) {
        Ok(open) => open,
        Err(page) => return *page,
    };
    let facts = open.facts();
    let currency = facts.farm.currency;
    let pond = |line: &Line| line.pond.and_then(|at| facts.farm.ponds.get(at)).map_or(say::COMMON, |card| &card.name);
    let names = |lines: &[Line], to: bool| {
        let own = lines.iter().filter(|line| if to { line.money.coins > 0 } else { line.money.coins < 0 });
        own.map(|line| say::account(line.account)).collect::<Vec<_>>().join(", ")
    };
    let rows = open.book.of_year().map(|posted| {
        let lines = posted.entry.lines();
        let coins = lines.iter().map(|line| line.money.coins.max(0)).sum();
        let about = posted.entry.about();
        let what =
            if about.is_empty() { say::of(posted.of).to_owned() } else { format!("{}: {about}", say::of(posted.of)) };
        vec![
            date(posted.entry.day()),
            what,
            names(lines, true),
            names(lines, false),
            pond(&lines[0]).to_owned(),
            say::exact(Money { coins }, currency),
        ]
    });
    let body = html! {
        section.answer {
            h1 { (say::JOURNAL) ", " (say::year(open.book.year)) }
            @if open.money.is_invented { p.odd { (say::INVENTED) } }
            p { (say::JOURNAL_SAYS) }
            p.onward { a.button href=(open.at("/journal.csv")) download { (say::TO_CSV) } " " a.mend href=(open.at("")) { (say::TITLE) } }
        }
        section.part { (table(say::JOURNAL, &say::JOURNAL_HEADS, rows)) }
    };
    in_frame(facts, say::JOURNAL, Here::Books, body)
}
