//! The season's report: what each pond made against what was meant, what was decided and what came of it, what the figures say for next year.
//! Plain values, from which the page, the paper and the command line are made.

use season::yearbook::{Had, Yearbook};
use units::{Currency, Day, Money};

use super::{even, exact, pond_row, price, units, weight, year};
use crate::figures::{Manner, date, grouped};

/// Name of the page.
pub const REPORT: &str = "The season's report";
/// Way to it on paper.
pub const TO_PAPER: &str = "Print it (PDF)";
/// Heading: lessons.
pub const LESSONS: &str = "For next year";
/// Heading: ponds.
const PONDS: &str = "Ponds, come and meant";
/// Heading: decisions.
const DECIDED: &str = "What was decided, and what came of it";
/// Heading: forecasts.
const FORECASTS: &str = "How good the mornings were";
const NO_DECISION: &str = "No plan was accepted on the pages in this year: there is nothing to hold against what came.";
const DECIDED_SAYS: &str = "What the plan expected is told as it was kept then. What the other day would really have brought, nobody can know.";

/// A part of the report.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Part {
    /// Its heading.
    pub heading: String,
    /// Sentences.
    pub said: Vec<String>,
    /// Points of a list.
    pub points: Vec<String>,
    /// Heads and rows.
    pub table: Option<(Vec<String>, Vec<Vec<String>>)>,
}

/// The report.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Its title.
    pub title: String,
    /// The answer.
    pub answer: String,
    /// Why.
    pub reason: String,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// What was decided of a pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Decided {
    /// The pond's name.
    pub pond: String,
    /// The day it was accepted.
    pub on: Day,
    /// The day of catch that was accepted.
    pub planned: Day,
    /// The day it came out.
    pub came: Option<Day>,
    /// What was expected of that day when it was accepted, where it was kept.
    pub expected: Option<Expected>,
    /// What was expected of a week later.
    pub week_later: Option<Expected>,
    /// What the pond was sold for, coins; nothing while none of its lots is sold.
    pub brought: Money,
}

/// An amount that a plan expected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expected {
    /// Its mean, coins.
    pub coins: f64,
    /// How well it was known, coins: it is shown no finer.
    pub known_to_coins: f64,
}

/// What the report is made of beside the book.
#[derive(Debug, Clone, Copy)]
pub struct ReportOf<'a> {
    /// The book of the year.
    pub book: &'a Yearbook,
    /// Names of the ponds, in their order.
    pub ponds: &'a [String],
    /// Area of their water, m2.
    pub areas_m2: &'a [f64],
    /// Survival that the grower expects, share.
    pub survival_told: Option<f64>,
    /// Decisions.
    pub decided: &'a [Decided],
    /// What is said of the forecasts.
    pub forecasts: &'a [String],
    /// Today.
    pub today: Day,
    /// Units.
    pub manner: Manner,
    /// Currency.
    pub currency: Currency,
}

/// The report of a year.
pub fn report(of: &ReportOf, farm: &str) -> Report {
    let forecasts = Part { heading: FORECASTS.to_owned(), said: of.forecasts.to_vec(), ..Part::default() };
    let lessons = Part { heading: LESSONS.to_owned(), points: lessons(of), ..Part::default() };
    let mut parts = vec![lessons, ponds(of), decisions(of), forecasts];
    parts.retain(|part| !(part.said.is_empty() && part.points.is_empty() && part.table.is_none()));
    Report {
        title: format!("{farm}, {}", year(of.book.year)),
        answer: super::headline(of.book, of.today, of.currency),
        reason: super::reason(of.book, of.manner, of.currency),
        parts,
    }
}

fn share(fraction: f64) -> String {
    format!("{:.0} %", 100.0 * fraction)
}

fn ponds(of: &ReportOf) -> Part {
    let heads = [
        "Pond",
        "Stocked",
        "Caught",
        "Meant to be sold",
        "Survival",
        "Meant",
        "Sold for",
        "Total cost",
        "Net",
        "Net meant",
        "Pays from",
    ];
    let all = of.ponds.len();
    let names = of.ponds.iter().map(String::as_str).chain([super::WHOLE]);
    let row = |(at, name): (usize, &str)| {
        let (made, had) = (of.book.made_of(at), &of.book.had[at]);
        let meant = of.book.meant.as_ref();
        let own = pond_row(name, made, had, of.manner, of.currency);
        let survival_meant = meant.and_then(|meant| meant.survival[at]).or(of.survival_told.filter(|_| at < all));
        vec![
            name.to_owned(),
            grouped(had.stocked),
            had.caught_kg.map_or("-".to_owned(), |kg| weight(kg, of.manner)),
            meant
                .map(|meant| meant.weight_kg[at])
                .filter(|kg| *kg > 0.0)
                .map_or("-".to_owned(), |kg| weight(kg, of.manner)),
            had.survival.map_or("-".to_owned(), share),
            survival_meant.map_or("-".to_owned(), share),
            own[3].clone(),
            own[6].clone(),
            own[1].clone(),
            of.book.meant_of(at).map_or("-".to_owned(), |meant| units(meant.net(), of.currency)),
            own[2].clone(),
        ]
    };
    Part {
        heading: PONDS.to_owned(),
        table: Some((heads.map(str::to_owned).into(), names.enumerate().map(row).collect())),
        ..Part::default()
    }
}

fn decisions(of: &ReportOf) -> Part {
    let mut part = Part { heading: DECIDED.to_owned(), ..Part::default() };
    if of.decided.is_empty() {
        part.said.push(NO_DECISION.to_owned());
        return part;
    }
    for one in of.decided {
        let mut said = format!("{}: on {} you accepted {}", one.pond, date(one.on), date(one.planned));
        match one.came {
            Some(day) if day == one.planned => said.push_str(", and it came out that day."),
            Some(day) => {
                let days = day.0 - one.planned.0;
                let word = if days > 0 { "later" } else { "earlier" };
                said.push_str(&format!("; it came out on {}, {} days {word}.", date(day), days.abs()));
            }
            None => said.push_str("; it is not out yet."),
        }
        if let Some(expected) = one.expected {
            let told = |of_day: Expected| crate::figures::money(of_day.coins, of_day.known_to_coins, of.currency);
            said.push_str(&format!(" The plan then expected {} of it", told(expected)));
            if let Some(later) = one.week_later {
                said.push_str(&format!(", and {} a week later", told(later)));
            }
            said.push('.');
        }
        if one.brought.coins > 0 {
            said.push_str(&format!(" What was sold of it brought {}.", exact(one.brought, of.currency)));
        }
        part.points.push(said);
    }
    part.said.push(DECIDED_SAYS.to_owned());
    part
}

/// Sentences for next year: each stands on figures of this book, and is left out where they are not there.
pub fn lessons(of: &ReportOf) -> Vec<String> {
    let mut said = Vec::new();
    let (book, ponds) = (of.book, of.ponds.len());
    let sold = book.made.whole.receipts().coins > 0;
    for at in 0..ponds {
        let expected = book.meant.as_ref().and_then(|meant| meant.survival[at]).or(of.survival_told);
        if let (Some(had), Some(expected)) = (book.had[at].survival, expected)
            && (had - expected).abs() >= 0.05
        {
            let word = if had < expected { "below" } else { "above" };
            said.push(format!(
                "{}: {} lived to the catch, {:.0} in a hundred {word} what was meant ({}). Reckon with what it did, or find out why.",
                of.ponds[at],
                share(had),
                100.0 * (had - expected).abs(),
                share(expected)
            ));
        }
    }
    if sold {
        said.extend(best_and_worst(of));
        let short = (0..ponds).filter(|at| book.made_of(*at).receipts().coins > 0 && book.made_of(*at).net().coins < 0);
        for at in short {
            let made = book.made_of(at);
            let level = if made.over_operating().coins < 0 {
                "did not bring back its operating cost"
            } else if made.over_variable().coins < 0 {
                "brought back its cash, not your hours"
            } else {
                "brought back cash and hours, not wear and interest"
            };
            said.push(format!(
                "{} {level}: {} short of total cost.",
                of.ponds[at],
                units(Money { coins: -made.net().coins }, of.currency)
            ));
        }
        said.extend(price_says(of));
    }
    said.extend(over_budget(of));
    let left: i64 = book.left.iter().filter_map(|left| left.worth).map(|money| money.coins).sum();
    if left > 0 {
        said.push(format!("At your list price {} is still unsold.", units(Money { coins: left }, of.currency)));
    }
    if !book.record.unread.is_empty() || book.market_unread > 0 {
        said.push("Some entries count for nothing yet: look through them before you trust these figures.".to_owned());
    }
    said
}

fn price_says(of: &ReportOf) -> Option<String> {
    let (whole, had) = (&of.book.made.whole, of.book.whole());
    let at = even(whole, had).price_kg?;
    let got = had.sold_coins / had.sold_kg;
    let room = (got - at) / got;
    Some(if room >= 0.0 {
        format!(
            "Prices could have been {:.0} % lower before the year lost money: it pays from {}.",
            100.0 * room,
            price(at, of.manner, of.currency)
        )
    } else {
        format!(
            "At this year's cost and weight it pays from {}; sales brought {}.",
            price(at, of.manner, of.currency),
            price(got, of.manner, of.currency)
        )
    })
}

/// The pond that left most over variable cost to the area, and the one that left least.
fn best_and_worst(of: &ReportOf) -> Option<String> {
    let (unit, area_m2) = match of.manner {
        Manner::UsCustomary => ("acre", 4_046.856_422_4),
        Manner::Metric => ("hectare", 10_000.0),
    };
    let each = |at: usize| of.book.made_of(at).over_variable().coins as f64 * area_m2 / of.areas_m2[at];
    let with_sales = |at: &usize| of.book.made_of(*at).receipts().coins > 0;
    let mut all: Vec<usize> = (0..of.ponds.len()).filter(with_sales).collect();
    all.sort_by(|a, b| each(*b).total_cmp(&each(*a)));
    let (best, worst) = (*all.first()?, *all.last()?);
    (best != worst).then(|| {
        let money = |at| crate::figures::money(each(at), 100.0, of.currency);
        if each(best) <= 0.0 {
            let short = |at| crate::figures::money(-each(at), 100.0, of.currency);
            return format!(
                "No pond brought its variable cost: to the {unit}, {} fell short by least ({}), {} by most ({}).",
                of.ponds[best],
                short(best),
                of.ponds[worst],
                short(worst)
            );
        }
        format!(
            "To the {unit}, {} left most over its variable cost ({}), {} least ({}).",
            of.ponds[best],
            money(best),
            of.ponds[worst],
            money(worst)
        )
    })
}

/// Costs that came a tenth and more above what was meant, the largest first; three at most.
fn over_budget(of: &ReportOf) -> Vec<String> {
    let Some(meant) = of.book.meant_of(of.ponds.len()) else { return Vec::new() };
    let came = &of.book.made.whole;
    let mut over: Vec<(season::books::ledger::Account, i64, i64)> = came
        .accounts
        .iter()
        .filter(|(account, _)| account.class() != season::books::ledger::Class::Receipts)
        .map(|(account, money)| (*account, money.coins, meant.of(*account).coins))
        .filter(|(_, came, meant)| *meant > 0 && *came * 10 > *meant * 11)
        .collect();
    over.sort_by_key(|(_, came, meant)| meant - came);
    let say = |(account, came, meant): &(season::books::ledger::Account, i64, i64)| {
        format!(
            "{}: {} against {} meant.",
            super::account(*account),
            units(Money { coins: *came }, of.currency),
            units(Money { coins: *meant }, of.currency)
        )
    };
    over.iter().take(3).map(say).collect()
}

/// The report as text.
pub fn told(report: &Report) -> String {
    let mut text = format!("{}\n\n{}.\n{}\n", report.title, report.answer, report.reason);
    for part in &report.parts {
        text.push_str(&format!("\n{}\n", part.heading));
        for said in &part.said {
            text.push_str(&format!("{said}\n"));
        }
        for point in &part.points {
            text.push_str(&format!("- {point}\n"));
        }
        if let Some((heads, rows)) = &part.table {
            text.push_str(&table(heads, rows));
        }
    }
    text
}

/// Rows under heads in columns: the first to the left, figures to the right.
pub fn table(heads: &[String], rows: &[Vec<String>]) -> String {
    let width = |at: usize| {
        let cells = rows.iter().map(|row| row[at].chars().count());
        cells.chain([heads[at].chars().count()]).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..heads.len()).map(width).collect();
    let line = |cells: &[String]| {
        let cell = |(at, text): (usize, &String)| {
            let width = widths[at];
            if at == 0 { format!("{text:<width$}") } else { format!("{text:>width$}") }
        };
        format!("{}\n", cells.iter().enumerate().map(cell).collect::<Vec<_>>().join("  ").trim_end())
    };
    std::iter::once(line(heads)).chain(rows.iter().map(|row| line(row))).collect()
}

/// What a pond had sold, as far as it is known to be the pond's own.
pub fn brought(had: &Had) -> Money {
    Money::from_computed(had.sold_coins)
}
