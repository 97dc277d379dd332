//! `/f/{farm}/books`: what the year made, by pond; the budget beside it; cash; what moves it; the years side by side. The journal, the
//! season's report, and all of it as files. The owner's alone.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use maud::{Markup, html};
use season::books::ledger::{Account, Class};
use season::books::statement::{CashMonth, Made, break_even};
use season::books::swing::swings;
use season::yearbook::{ShareBy, Yearbook};
use units::{Day, Money};
use words::page_money as say;

use super::{missing, sent};
use crate::moneybook::Moneybook;
use crate::parts::blocks::wide;
use crate::parts::frame::{Frame, Here, page as framed, plain};
use crate::parts::money as drawn;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

mod budget;
mod choices;
mod files;
mod journal;
mod report;

type Asked = Vec<(String, String)>;

/// Its addresses.
pub fn routes() -> Router<Arc<Site>> {
    Router::new()
        .route("/f/{farm}/books", get(show))
        .route("/f/{farm}/books/journal", get(journal::show))
        .route("/f/{farm}/books/journal.csv", get(files::csv))
        .route("/f/{farm}/books/books.xlsx", get(files::workbook))
        .route("/f/{farm}/books/report", get(report::show))
        .route("/f/{farm}/books/report.pdf", get(files::paper))
        .route("/f/{farm}/books/densities", get(choices::densities))
        .route("/f/{farm}/books/budget", post(budget::fill))
}

/// A book that was asked for, with what it was made of.
pub(super) struct Open {
    pub money: Moneybook,
    pub book: Yearbook,
    pub share_by: ShareBy,
}

impl Open {
    fn facts(&self) -> &Served {
        &self.money.facts
    }
    /// The address of this book on another page.
    fn at(&self, page: &str) -> String {
        let by = ShareBy::ALL.iter().find(|(_, by)| *by == self.share_by).map_or("area", |(word, _)| word);
        format!("/f/{}/books{page}?year={}&share={by}", self.facts().id, self.book.year.0)
    }
    fn row_of(&self, at: usize, name: &str) -> Vec<String> {
        let facts = self.facts();
        say::pond_row(name, self.book.made_of(at), &self.book.had[at], facts.manner, facts.farm.currency)
    }
}

/// The book that is asked for, or the page that says why there is none.
pub(super) fn open(site: &Site, farm: &str, asked: &Asked) -> Result<Open, Box<Response>> {
    let none = || Box::new(missing());
    let (desk, written) = (site.desk(farm).ok_or_else(none)?, site.written(farm).ok_or_else(none)?);
    let facts = desk.facts();
    let of = |name: &str| asked.iter().find(|(key, _)| key == name).map(|(_, text)| text.as_str());
    let share_by = of("share").and_then(ShareBy::parse).unwrap_or_default();
    let money = waiting(|| Moneybook::read(site.record(), &written, &facts)).map_err(|error| {
        let path = site.record().map_or(std::path::Path::new(""), |record| record.store().path());
        let said = words::store::error(path, &error);
        Box::new((StatusCode::SERVICE_UNAVAILABLE, plain(say::TITLE, &said)).into_response())
    })?;
    let year = of("year").and_then(|asked| asked_year(&money, asked)).unwrap_or_else(|| money.first_shown());
    let book = money.book(year, share_by);
    let book = book.map_err(|_| Box::new((StatusCode::CONFLICT, plain(say::TITLE, say::TOO_LARGE)).into_response()))?;
    Ok(Open { money, book, share_by })
}

/// A page of the books within its frame.
pub(super) fn in_frame(facts: &Served, title: &str, here: Here, body: Markup) -> Response {
    sent(framed(&Frame::of(facts, title, here), html! { article.one-pond.of-sums.books { (body) } }))
}

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>, Query(asked): Query<Asked>) -> Response {
    let open = match open(&site, &farm, &asked) {
        Ok(open) => open,
        Err(page) => return *page,
    };
    let facts = open.facts();
    let body = html! {
        (answer(&open))
        @if !open.book.is_empty() {
            (by_pond(&open))
            (pays_from(&open))
        }
        (meant(&open))
        @if !open.book.is_empty() {
            section.part aria-labelledby="h-cash" {
                h2 id="h-cash" { (say::CASH) }
                (drawn::cash(&open.book.cash, facts.farm.currency))
                (table(say::CASH, &say::CASH_HEADS, with_cash(&open.book.cash).map(|one| say::month_row(one, facts.farm.currency))))
                @if with_cash(&open.book.cash).count() < open.book.cash.len() { p.legend { (say::CASH_STILL) } }
                p.legend { (say::CASH_SAYS) }
            }
            (moves(&open))
        }
        (choices::part(&open))
        (years(&open))
        (held(&open))
        (files::ways(&open))
        p.caution { (say::RULES) }
    };
    in_frame(facts, say::TITLE, Here::Books, body)
}

/// The year that was asked for: by its first day, as the page's own links have it, or by its number, as a person types it.
fn asked_year(money: &Moneybook, asked: &str) -> Option<Day> {
    let by_number = |number: i16| money.years().into_iter().map(|year| year.0).find(|first| first.ymd().0 == number);
    Day::parse(asked).or_else(|| by_number(asked.trim().parse().ok()?))
}

/// Months in which money came or went: the others are drawn, and would only lengthen the table.
fn with_cash(months: &[CashMonth]) -> impl Iterator<Item = &CashMonth> {
    months.iter().filter(|one| one.got.coins != 0 || one.gave.coins != 0)
}

fn answer(open: &Open) -> Markup {
    let (facts, book) = (open.facts(), &open.book);
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let enter = |kind: &str| format!("/f/{}/log/new?kind={kind}", facts.id);
    html! {
        section.answer {
            @if book.is_empty() {
                h1 { (say::NOTHING) }
                div.why { p { (say::NOTHING_SAYS) } }
            } @else {
                h1 { (say::headline(book, open.money.today, currency)) }
                div.why { p.reason { (say::reason(book, manner, currency)) } }
            }
            @if open.money.is_invented { p.odd { (say::INVENTED) } }
            p.onward {
                a.button.main href=(enter("cost")) { (say::ENTER_COST) } " "
                a.button href=(enter("gear_bought")) { (say::ENTER_GEAR) } " "
                a.button href=(open.at("/report")) { (say::TO_REPORT) }
            }
            p {
                a.mend href=(format!("/f/{}/due", facts.id)) { (words::page_due::TITLE) } " "
                a.mend href=(format!("/f/{}/losses", facts.id)) { (words::page_losses::TITLE) }
            }
            (choose(open))
            (unread(open))
        }
    }
}

/// The year, and how what is common is shared.
fn choose(open: &Open) -> Markup {
    let years = open.money.years();
    html! {
        nav.kinds aria-label=(say::YEARS) {
            ul {
                @for year in &years {
                    li {
                        a href=(format!("/f/{}/books?year={}", open.facts().id, year.0)) aria-current=[(*year == open.book.year).then_some("page")] { (say::year(*year)) }
                    }
                }
            }
        }
        form.entry.sharing method="get" {
            input type="hidden" name="year" value=(open.book.year.0);
            label for="e-share" { (say::SHARED) }
            select id="e-share" name="share" {
                @for (word, by) in ShareBy::ALL { option value=(word) selected[by == open.share_by] { (say::share_by(by)) } }
            }
            button type="submit" { (say::SHARE) }
        }
    }
}

fn unread(open: &Open) -> Markup {
    let (facts, book) = (open.facts(), &open.book);
    html! {
        @if !book.record.unread.is_empty() || book.market_unread > 0 {
            div.trouble role="alert" {
                p { (say::UNREAD) }
                ul {
                    @for one in &book.record.unread {
                        li {
                            (words::page_log::kind(&one.kind)) ": " (words::page_log::money_unread(one.why, facts.farm.currency)) " "
                            a.mend href=(format!("/f/{}/log/{}/mend", facts.id, one.head)) { (say::MEND) }
                        }
                    }
                    @if book.market_unread > 0 { li { (say::market_unread(book.market_unread)) " " a.mend href=(format!("/f/{}/log", facts.id)) { (words::page_log::LOG) } } }
                }
            }
        }
    }
}

/// A table, on a phone as blocks.
pub(super) fn table<T: AsRef<str>>(name: &str, heads: &[T], rows: impl Iterator<Item = Vec<String>>) -> Markup {
    wide(name, heads, rows)
}

fn by_pond(open: &Open) -> Markup {
    let names = open.facts().farm.ponds.iter().map(|card| card.name.as_str()).chain([say::WHOLE]);
    html! {
        section.part aria-labelledby="h-ponds" {
            h2 id="h-ponds" { (say::BY_POND) }
            (table(say::BY_POND, &say::BY_POND_HEADS, names.enumerate().map(|(at, name)| open.row_of(at, name))))
            p.legend { (say::BY_POND_SAYS) }
            p.legend { (say::SHARE_SAYS) }
        }
    }
}

fn pays_from(open: &Open) -> Markup {
    let (facts, book) = (open.facts(), &open.book);
    let (made, had) = (&book.made.whole, book.whole());
    let sold = had.into();
    let levels =
        [(say::LEVELS[0], made.operating()), (say::LEVELS[1], made.variable()), (say::LEVELS[2], made.total())];
    let rows =
        levels.map(|(name, cost)| say::even_row(name, &break_even(cost, &sold), facts.manner, facts.farm.currency));
    html! {
        @if had.sold_kg > 0.0 {
            section.part aria-labelledby="h-even" {
                h2 id="h-even" { (say::EVEN) }
                @if made.total().coins == 0 { p { (say::NO_COST) } } @else {
                    (table(say::EVEN, &say::EVEN_HEADS, rows.into_iter()))
                    p.legend { (say::EVEN_SAYS) }
                }
            }
        }
    }
}

fn meant(open: &Open) -> Markup {
    let (facts, book) = (open.facts(), &open.book);
    let currency = facts.farm.currency;
    let places = facts.farm.ponds.len();
    let of = |place: usize| -> Vec<Vec<String>> {
        let Some(meant) = book.meant_of(place) else { return Vec::new() };
        budget_rows(meant, book.made_of(place), currency)
    };
    html! {
        section.part aria-labelledby="h-meant" {
            h2 id="h-meant" { (say::BUDGET) }
            @if book.meant.is_some() {
                (table(say::BUDGET, &say::BUDGET_HEADS, of(places).into_iter()))
                p.legend { (say::BUDGET_SAYS) }
                @for (place, card) in facts.farm.ponds.iter().enumerate() {
                    details {
                        summary { (card.name) }
                        (table(&card.name, &say::BUDGET_HEADS, of(place).into_iter()))
                    }
                }
            } @else { p { (say::NO_BUDGET) } }
            p.onward {
                a.button href=(format!("/f/{}/log/new?kind=budget", facts.id)) { (say::ENTER_BUDGET) }
            }
            (budget::offer(open))
        }
    }
}

/// A level below the accounts: its name, what it comes to, and whether less of it is better.
type Level = (&'static str, fn(&Made) -> Money, bool);

/// Rows by account, then the levels.
pub(super) fn budget_rows(meant: &Made, came: &Made, currency: units::Currency) -> Vec<Vec<String>> {
    let of_year = Account::ALL.into_iter().filter(|account| account.is_of_the_year());
    let mut rows: Vec<Vec<String>> = of_year
        .filter_map(|account| {
            let is_cost = account.class() != Class::Receipts;
            say::budget_row(say::account(account), meant.of(account), came.of(account), is_cost, currency)
        })
        .collect();
    let levels: [Level; 5] = [
        (say::LEVELS[4], |made| made.tied_up, true),
        (say::LEVELS[0], Made::operating, true),
        (say::LEVELS[1], Made::variable, true),
        (say::LEVELS[2], Made::total, true),
        (say::LEVELS[3], Made::net, false),
    ];
    rows.extend(
        levels
            .into_iter()
            .filter_map(|(name, of, is_cost)| say::budget_row(name, of(meant), of(came), is_cost, currency)),
    );
    rows
}

fn moves(open: &Open) -> Markup {
    let currency = open.facts().farm.currency;
    let (made, is_budget) = open.book.moves(open.facts().farm.ponds.len());
    let all = swings(made, &say::SWING_CHANGES);
    let rows = all.iter().map(|swing| {
        let money = |coins: &f64| say::units(Money::from_computed(*coins), currency);
        std::iter::once(say::driver(swing.driver).to_owned()).chain(swing.net.iter().map(money)).collect()
    });
    html! {
        section.part aria-labelledby="h-swings" {
            h2 id="h-swings" { (say::SWINGS) }
            @if is_budget { p { (say::swings_of_budget(&open.book)) } }
            (drawn::swings(&all, made.net(), currency))
            (table(say::SWINGS, &say::SWING_HEADS, rows))
            p.legend { (say::SWING_SAYS) }
        }
    }
}

fn years(open: &Open) -> Markup {
    let (facts, years) = (open.facts(), open.money.years());
    let books = years.iter().filter_map(|year| open.money.book(year.0, open.share_by).ok());
    let rows =
        books.filter(|book| !book.is_empty()).map(|book| say::compare_row(&book, facts.manner, facts.farm.currency));
    html! {
        @if years.len() > 1 {
            section.part aria-labelledby="h-years" {
                h2 id="h-years" { (say::COMPARE) }
                (table(say::COMPARE, &say::COMPARE_HEADS, rows))
            }
        }
    }
}

fn held(open: &Open) -> Markup {
    let rows = say::held(&open.book, open.facts().farm.currency);
    html! {
        @if !rows.is_empty() {
            section.part aria-labelledby="h-held" {
                h2 id="h-held" { (say::HOLDS) }
                dl.rows { @for (name, value) in rows { div { dt { (name) } dd { (value) } } } }
            }
        }
    }
}
