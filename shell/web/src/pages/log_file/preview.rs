//! What stands in the file: columns, readings, doubts, gaps, and how much of it is new. Nothing is kept by looking.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use farm::logger::{
    Column, DateOrder, FileClock, Holds, How, Layout, NotALogger, Quantity, Question, Series, layout, take,
};
use maud::{Markup, html};
use store::StoreError;
use units::{Instant, Watch};
use words::page_file as say;
use words::page_log;

use super::super::log::in_frame;
use super::super::{missing, sent};
use super::asked::{Asked, order_key};
use crate::bench::{Held, Looked};
use crate::parts::frame;
use crate::parts::logged::chart;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

pub async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, token)): Path<(String, String)>,
    Query(fields): Query<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let Some(held) = record.bench().find(&farm, &token) else { return gone(&facts, record) };
    let Some(asked) = Asked::read(&fields) else { return missing() };
    let page = |body: Markup| in_frame(&facts, say::PREVIEW, record.now_ms(), body);
    match waiting(|| look(record, &facts, &held, &asked)) {
        Ok(Ok(looked)) => {
            let id = waiting(|| record.store().new_id()).unwrap_or_default();
            sent(page(body(&facts, &held, &asked, &looked, &id)))
        }
        Ok(Err(why)) => {
            let body = html! {
                p.trouble role="alert" { (say::not_a_logger(why)) }
                (choose_sheet(&facts, &held, &asked))
                (leave(&facts))
            };
            (StatusCode::UNPROCESSABLE_ENTITY, page(body)).into_response()
        }
        Err(error) => {
            let said = words::store::error(record.store().path(), &error);
            (StatusCode::SERVICE_UNAVAILABLE, frame::plain(say::PREVIEW, &said)).into_response()
        }
    }
}

/// The page for a file that is no longer held.
pub fn gone(facts: &Served, record: &Record) -> Response {
    let body = html! { p.trouble role="alert" { (say::GONE) } (leave(facts)) };
    (StatusCode::GONE, in_frame(facts, say::TITLE, record.now_ms(), body)).into_response()
}

fn look(
    record: &Record,
    facts: &Served,
    held: &Held,
    asked: &Asked,
) -> Result<Result<Arc<Looked>, NotALogger>, StoreError> {
    held.look(&asked.key(), || {
        let Some(sheet) = held.sheets.get(asked.sheet) else { return Ok(Err(NotALogger::Empty)) };
        let layout = match layout(&sheet.text, &asked.choices) {
            Ok(layout) => layout,
            Err(why) => return Ok(Err(why)),
        };
        let watch = Watch::new();
        let now = Instant(record.now_ms().div_euclid(1000));
        let around = (&facts.farm.place.zone, asked.spot, now);
        let taken = take(&sheet.text, &layout, around, &watch).unwrap_or_default();
        let compared = record.store().compare_series(&facts.id, &asked.pond, &taken.series, &watch)?;
        Ok(Ok(Looked { layout, taken, compared }))
    })
}

fn leave(facts: &Served) -> Markup {
    html! { p.onward { a href=(format!("/f/{}/log/file", facts.id)) { (say::LEAVE) } } }
}

fn body(facts: &Served, held: &Held, asked: &Asked, looked: &Looked, id: &str) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    let pond = facts.farm.ponds.iter().find(|pond| pond.id == asked.pond).map_or("", |pond| &pond.name);
    let open = looked.layout.open();
    html! {
        p.said {
            @if open.is_empty() { (say::counted(&held.name, &looked.taken, zone, manner)) }
            @else { (say::counted_open(&held.name, looked.taken.count())) }
        }
        p { (say::hung(pond, page_log::end(&asked.end), &asked.depth)) " " @if open.is_empty() { (say::compared(&looked.compared)) } }
        @if !open.is_empty() {
            div.trouble role="alert" {
                p { (say::NOT_YET) }
                ul { @for one in &open { li { a href=(place_of(*one, &looked.layout)) { (question(*one, &looked.layout)) } } } }
            }
        }
        // What is not yet known to be Fahrenheit or Celsius, July or August, is not drawn.
        @if open.is_empty() { @for series in &looked.taken.series { (chart(series, zone, manner)) } }
        (doubts(looked))
        (gaps(facts, looked))
        (columns(facts, held, asked, &looked.layout))
        (lines(held, asked, looked))
        @if open.is_empty() { (read(facts, &looked.taken.series)) }
        @if open.is_empty() && looked.compared.made + looked.compared.differs > 0 {
            form method="post" action=(format!("/f/{}/log/file/{}/taking", facts.id, held.token)) {
                input type="hidden" name="id" value=(id);
                input type="hidden" name="key" value=(asked.key());
                input type="hidden" name="pond" value=(asked.pond);
                input type="hidden" name="end" value=(asked.end);
                input type="hidden" name="depth" value=(asked.depth);
                p.hint { (say::TAKE_HINT) }
                button.main type="submit" { (say::take(looked.compared.made)) }
            }
        }
        (leave(facts))
    }
}

fn question(one: Question, layout: &Layout) -> String {
    let name = |at: usize| layout.columns.get(at).map_or(String::new(), |column| say::column(at, &column.name));
    say::question(one, &if let Question::TempUnit(at) = one { name(at) } else { String::new() })
}

fn place_of(one: Question, layout: &Layout) -> String {
    match one {
        Question::DateOrder => "#e-order".to_owned(),
        Question::TempUnit(at) => format!("#e-c{at}"),
        _ if layout.columns.is_empty() => "#columns".to_owned(),
        _ => "#e-c0".to_owned(),
    }
}

fn choose_sheet(facts: &Served, held: &Held, asked: &Asked) -> Markup {
    html! {
        form.entry method="get" action=(format!("/f/{}/log/file/{}", facts.id, held.token)) {
            (spot(asked))
            (sheet(held, asked))
            @if held.sheets.len() > 1 { button type="submit" { (say::LOOK_AGAIN) } }
        }
    }
}

fn spot(asked: &Asked) -> Markup {
    html! {
        input type="hidden" name="pond" value=(asked.pond);
        input type="hidden" name="end" value=(asked.end);
        input type="hidden" name="depth" value=(asked.depth);
    }
}

fn sheet(held: &Held, asked: &Asked) -> Markup {
    html! {
        @if held.sheets.len() > 1 {
            div.field {
                label for="e-sheet" { (say::SHEET) }
                select #e-sheet name="sheet" {
                    @for (at, sheet) in held.sheets.iter().enumerate() {
                        option value=(at) selected[at == asked.sheet] { (sheet.name) }
                    }
                }
            }
        }
    }
}

/// What each column holds, to be changed by a person.
fn columns(facts: &Served, held: &Held, asked: &Asked, layout: &Layout) -> Markup {
    let clocks = [Some(layout.clock.0), Some(FileClock::Farm), Some(FileClock::Winter), Some(FileClock::Utc)];
    let mut offered: Vec<FileClock> = Vec::new();
    clocks.into_iter().flatten().for_each(|clock| {
        if !offered.contains(&clock) {
            offered.push(clock)
        }
    });
    let order_open = matches!(layout.order, Some((_, How::Asked)));
    html! {
        form.entry.columns method="get" action=(format!("/f/{}/log/file/{}", facts.id, held.token)) {
            h2.small #columns { (say::COLUMNS) }
            (spot(asked))
            (sheet(held, asked))
            @for (at, column) in layout.columns.iter().enumerate() { (one_column(at, column, asked)) }
            @if let Some((order, _)) = layout.order {
                div.field {
                    label for="e-order" { (say::ORDER) }
                    select #e-order name="order" aria-invalid=[order_open.then_some("true")] {
                        @if order_open { option value="" { (say::CHOOSE) } }
                        @for one in [DateOrder::MonthFirst, DateOrder::DayFirst] {
                            option value=(order_key(one)) selected[!order_open && one == order] { (say::order(one)) }
                        }
                    }
                }
            }
            div.field {
                label for="e-clock" { (say::CLOCK) }
                select #e-clock name="clock" {
                    @for clock in &offered { option value=(clock.key()) selected[*clock == layout.clock.0] { (say::clock(*clock)) } }
                }
            }
            button type="submit" { (say::LOOK_AGAIN) }
        }
    }
}

fn one_column(at: usize, column: &Column, asked: &Asked) -> Markup {
    let (name, how) = (format!("c{at}"), say::how(column.how, column.holds));
    let open = column.how == How::Asked && column.holds.quantity() == Some(Quantity::Temperature);
    // A choice that was found is not sent back as a person's own, unless it was.
    let chosen = asked.choices.columns.contains_key(&at);
    html! {
        div.field {
            label for=(format!("e-{name}")) { (say::column(at, &column.name)) }
            select id=(format!("e-{name}")) name=(name) aria-invalid=[open.then_some("true")]
                aria-describedby=[(!how.is_empty()).then(|| format!("h-{name}"))] {
                @if open { option value="" { (say::CHOOSE) } }
                @for holds in Holds::ALL {
                    @let here = !open && holds == column.holds;
                    option value=(if here && !chosen { "" } else { holds.key() }) selected[here] { (say::holds(holds)) }
                }
            }
            @if !how.is_empty() { p.hint id=(format!("h-{name}")) { (how) } }
        }
    }
}

fn doubts(looked: &Looked) -> Markup {
    let doubts = &looked.taken.doubts;
    html! {
        h2.small { (say::DOUBTS) }
        @if doubts.count() == 0 { p { (say::NO_DOUBTS) } } @else {
            ul.plain { @for (odd, count) in &doubts.counts { li { (say::odd(*odd, *count)) } } }
            details {
                summary { (say::DOUBT_LINES) }
                div.wide tabindex="0" role="region" aria-label=(say::DOUBT_LINES) {
                    table {
                        thead { tr { @for head in say::DOUBT_HEADS { th scope="col" { (head) } } } }
                        tbody {
                            @for doubt in &doubts.first {
                                tr { th scope="row" { (doubt.line) } td.left { (doubt.text) } td.left { (say::done(doubt.odd)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn gaps(facts: &Served, looked: &Looked) -> Markup {
    html! {
        p { (say::gaps(looked.taken.gap_count)) }
        @if looked.taken.gap_count > 0 {
            details {
                summary { (say::GAPS) }
                ul.plain { @for gap in &looked.taken.gaps { li { (say::gap(*gap, &facts.farm.place.zone, facts.manner)) } } }
            }
        }
    }
}

/// The first and last lines as they stand in the file.
fn lines(held: &Held, asked: &Asked, looked: &Looked) -> Markup {
    let text = held.sheets.get(asked.sheet).map_or("", |sheet| sheet.text.as_str());
    let (first, last) = looked.taken.first_last_line;
    let from = looked.layout.header_line.unwrap_or(first.max(1));
    let numbered = || text.lines().enumerate().map(|(at, line)| (at + 1, line));
    let head: Vec<(usize, &str)> = numbered().skip(from.saturating_sub(1)).take(5).collect();
    let begun = head.last().map_or(0, |line| line.0);
    let tail = numbered().skip(last.saturating_sub(2).max(begun)).take(last.saturating_sub(begun).min(2));
    html! {
        h2.small { (say::AS_WRITTEN) }
        div.wide tabindex="0" role="region" aria-label=(say::AS_WRITTEN) {
            pre { @for (line, text) in head.iter().copied().chain(tail) { (format!("{line:>7}  {}\n", cut(text))) } }
        }
    }
}

fn cut(text: &str) -> String {
    text.chars().take(200).map(|letter| if letter == '\t' { ' ' } else { letter }).collect()
}

/// The first and last readings of each series, as they would be kept.
fn read(facts: &Served, series: &[Series]) -> Markup {
    let (zone, manner) = (&facts.farm.place.zone, facts.manner);
    html! {
        h2.small { (say::AS_READ) }
        div.wide tabindex="0" role="region" aria-label=(say::AS_READ) {
            table {
                thead { tr { @for head in say::READ_HEADS { th scope="col" { (head) } } } }
                tbody {
                    @for one in series {
                        @let count = one.rows.len();
                        @for (_, (at, value)) in one.rows.iter().enumerate().filter(|(n, _)| *n < 3 || n + 2 >= count) {
                            tr {
                                th scope="row" { (page_log::moment(*at, zone, manner)) }
                                td { (say::value(one.quantity, *value, manner)) }
                                td { (say::quantity(one.quantity)) ", " (page_log::end(one.spot.place.name()).to_lowercase()) }
                            }
                        }
                    }
                }
            }
        }
    }
}
