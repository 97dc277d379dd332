//! `warmspell books`: what a year made, as the pages say it; its journal as a table; its workbook.

use std::path::PathBuf;

use clap::Args;
use season::yearbook::{ShareBy, Yearbook};
use serde_json::{Map, Value, json};
use units::{Day, Instant, Money};
use web::Record;
use web::moneybook::{Moneybook, journal_csv, report};
use words::figures::Manner;
use words::page_money as say;

use super::of_morning::MorningArgs;
use super::plan::from_record;
use super::serve::{self, ServeArgs};
use super::{Told, versioned};
use crate::files;

/// What a year made, pond by pond: receipts, three levels of cost, where it pays, what next year should change
#[derive(Debug, Args)]
#[command(after_help = AFTER)]
pub struct BooksArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// The record; without it nothing that was entered is known
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// With --store: a farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", requires = "store", conflicts_with = "farm")]
    of: Option<String>,
    /// Which year: any day of it, as 2021-06-15, or the year alone; the last with sales when left out
    #[arg(long, value_name = "YEAR")]
    year: Option<String>,
    /// How what is common is shared among the ponds
    #[arg(long, value_name = "HOW", default_value = "area", value_parser = ["area", "caught", "stocked", "evenly"])]
    share: String,
    /// Print in kilograms
    #[arg(long)]
    metric: bool,
    /// Print the year's journal as a table, debit and credit
    #[arg(long, conflicts_with_all = ["json", "xlsx"])]
    csv: bool,
    /// Print the answer for a program
    #[arg(long, conflicts_with = "xlsx")]
    json: bool,
    /// Write the year's workbook, its sums as formulas, to this file
    #[arg(long, value_name = "FILE.xlsx")]
    xlsx: Option<PathBuf>,
}

const AFTER: &str = "Examples:
  warmspell books
  warmspell books --store warmspell.db --year 2021
  warmspell books --csv > journal.csv

How it is reckoned stands in docs/model/books.md.";

/// Answers on the command line.
pub fn run(args: &BooksArgs, now: Instant) -> Told {
    answer(args, now).unwrap_or_else(Told::could_not)
}

fn answer(args: &BooksArgs, now: Instant) -> Result<Told, String> {
    let (record, money) = opened(args, now)?;
    let of = match &args.year {
        None => money.first_shown(),
        Some(text) => day_of(text).ok_or_else(|| say::no_year(text))?,
    };
    let share_by = ShareBy::parse(&args.share).unwrap_or_default();
    let book = money.book(of, share_by).map_err(|_| say::TOO_LARGE.to_owned())?;
    let mut notes = if money.is_invented { vec![say::INVENTED.to_owned()] } else { Vec::new() };
    let farm = &money.facts.farm;
    if let Some(path) = &args.xlsx {
        let bytes =
            sheets::write(&sheets::money_book(sheets::MoneyAsk { farm, book: &book, manner: money.facts.manner }))?;
        std::fs::write(path, bytes).map_err(|error| words::trouble::not_written(path, &error))?;
        notes.push(say::written(&path.display().to_string()));
        return Ok(Told::answer(String::new(), notes));
    }
    let text = if args.csv {
        journal_csv(farm, &book)
    } else if args.json {
        as_json(&money, &book)
    } else {
        say::told(&report(record.as_ref(), &money, &book))
    };
    Ok(Told::answer(text, notes))
}

fn day_of(text: &str) -> Option<Day> {
    let year = || Day::new(text.trim().parse().ok()?, 6, 15);
    Day::parse(text.trim()).or_else(year)
}

fn opened(args: &BooksArgs, now: Instant) -> Result<(Option<Record>, Moneybook), String> {
    let as_plan = MorningArgs {
        farm: args.farm.clone(),
        store: args.store.clone(),
        of: args.of.clone(),
        metric: args.metric,
        ..MorningArgs::default()
    };
    let (record, written, mut facts) = match &args.store {
        Some(path) => {
            let (record, written, facts) = from_record::opened_at(&as_plan, path, now)?;
            (Some(record), written, facts)
        }
        None => {
            let zone = files::farm(args.farm.as_deref())?.farm.place.zone;
            let today = zone.day_and_second(now).0;
            let written = serve::served(&ServeArgs::default(), args.farm.as_ref(), today)?;
            (None, written.clone(), written)
        }
    };
    if args.metric {
        facts.manner = Manner::Metric;
    }
    let path = args.store.clone().unwrap_or_default();
    let money = Moneybook::read(record.as_ref(), &written, &facts);
    Ok((record, money.map_err(|error| words::store::error(&path, &error))?))
}

fn as_json(money: &Moneybook, book: &Yearbook) -> String {
    let farm = &money.facts.farm;
    let coins = |of: Money| json!(of.coins);
    let made = |at: usize, name: &str| {
        let (made, had) = (book.made_of(at), &book.had[at]);
        let even = say::even(made, had);
        let accounts: Map<String, Value> =
            made.accounts.iter().map(|(account, money)| (account.word().to_owned(), coins(*money))).collect();
        json!({
            "name": name, "accounts": accounts, "tied_up": coins(made.tied_up), "receipts": coins(made.receipts()),
            "operating_cost": coins(made.operating()), "variable_cost": coins(made.variable()), "total_cost": coins(made.total()),
            "net": coins(made.net()), "stocked": had.stocked, "caught_kg": had.caught_kg, "survival": had.survival,
            "sold_kg": had.sold_kg, "pays_from_coins_per_kg": even.price_kg, "pays_from_kg": even.yield_kg,
            "pays_from_survival": even.survival,
        })
    };
    let ponds: Vec<Value> = farm.ponds.iter().enumerate().map(|(at, card)| made(at, &card.name)).collect();
    let cash: Vec<Value> = book
        .cash
        .iter()
        .map(|month| {
            json!({ "month": month.starts.to_string(), "in": coins(month.got), "out": coins(month.gave),
                "stands": coins(month.stands), "lowest": coins(month.deepest.1), "lowest_on": month.deepest.0.to_string() })
        })
        .collect();
    let rest = json!({
        "farm": farm.name, "currency": farm.currency.code(), "coins_per_unit": farm.currency.coins_per_unit(),
        "from": book.year.0.to_string(), "to": book.year.1.to_string(), "invented": money.is_invented, "ponds": ponds,
        "whole": made(farm.ponds.len(), &farm.name), "cash": cash,
        "counts_for_nothing_yet": book.record.unread.len() + book.market_unread,
    });
    versioned("warmspell.books", 1, rest.as_object().cloned().unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(more: &[&str]) -> BooksArgs {
        #[derive(clap::Parser)]
        struct Line {
            #[command(flatten)]
            args: BooksArgs,
        }
        <Line as clap::Parser>::parse_from(std::iter::once("books").chain(more.iter().copied())).args
    }

    fn said(more: &[&str]) -> Told {
        run(&asked(more), Instant(1_317_200_000))
    }

    #[test]
    fn the_samples_year_is_told_and_its_journal_balances() {
        let told = said(&[]);
        assert_eq!(told.code, 0, "{:?}", told.notes);
        for wanted in ["Hazel Bend, 2010", "Willow", "For next year", "Pays from"] {
            assert!(told.answer.contains(wanted), "{wanted}: {}", told.answer);
        }
        assert!(told.notes.iter().any(|note| note.contains("invented")), "{:?}", told.notes);
        let csv = said(&["--csv", "--year", "2010"]).answer;
        let cents = |text: &str| text.replace('.', "").parse::<i64>().unwrap_or(0);
        let mut sums = (0, 0);
        for line in csv.lines().skip(1) {
            let cells: Vec<&str> = line.rsplitn(4, ',').collect();
            sums = (sums.0 + cents(cells[2]), sums.1 + cents(cells[1]));
        }
        assert!(sums.0 > 1_000_000 && sums.0 == sums.1, "debit and credit: {sums:?}");
    }

    #[test]
    fn a_program_reads_the_same_net_as_its_ponds_make() {
        let json: Value = serde_json::from_str(&said(&["--json"]).answer).expect("JSON");
        let net = |of: &Value| of["net"].as_i64().expect("coins");
        let ponds: i64 = json["ponds"].as_array().expect("ponds").iter().map(net).sum();
        assert_eq!(ponds, net(&json["whole"]));
        assert_eq!(said(&["--year", "soon"]).code, 2);
    }
}
