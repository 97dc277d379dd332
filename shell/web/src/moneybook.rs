//! What the books of a farm are made of: its entries of money, sale and stock; of the sample, invented ones until it has its own.

use farm::Farm;
use farm::facts::{FileSaid, Kept, LOT_DAY_KINDS, LOT_KINDS, Lot, lots, written_as_lines};
use paper::{Block, Column, Paper, Sheet, Table};
use season::books::ledger::EntryError;
use season::yearbook::{BOOK_KINDS, ShareBy, YearAsk, Yearbook, yearbook, years};
use store::{Asked, StoreError, csv_text};
use units::{Day, Money};
use words::figures::{Manner, stopped};
use words::page_money::{self as say, Decided, Expected, Report, ReportOf};
use words::page_scores;

use crate::keeping::{self, Worth};
use crate::lots::told;
use crate::record::Record;
use crate::scored::{Stretch, Wanted, scored};
use crate::served::Served;

/// The sample's invented entries.
const INVENTED: &str = include_str!("../../../samples/hazel-bend/books.txt");
/// The farm they are of.
const INVENTED_OF: &str = "hazel-bend";
/// Kinds of which one entry takes the place of all that is invented.
const OWN: [&str; 4] = ["cost", "gear_bought", "sale", "budget"];
/// Days from the accepted day of catch to the one it is held against, d.
const WEEK_D: i32 = 7;

/// Everything the books are made of.
#[derive(Debug, Clone)]
pub struct Moneybook {
    /// The farm.
    pub facts: Served,
    /// Entries, in order.
    pub kept: Vec<Kept>,
    /// What went into the ponds and came out.
    pub lots: Vec<Lot>,
    /// They are the sample's invented ones.
    pub is_invented: bool,
    /// Today by the farm's pages.
    pub today: Day,
}

impl Moneybook {
    /// Reads it from the record, or of the sample without one.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn read(record: Option<&Record>, written: &Served, served: &Served) -> Result<Moneybook, StoreError> {
        let zone = &served.farm.place.zone;
        let (mut kept, mut lots_told, mut today) = (Vec::new(), Vec::new(), served.on);
        if let Some(record) = record {
            for kind in BOOK_KINDS.into_iter().filter(|kind| *kind != "settle") {
                kept.extend(record.store().facts_linked(&served.id, Asked { kind: Some(kind), ..Asked::default() })?);
            }
            kept.sort_by_key(|kept| kept.seq);
            kept.dedup_by_key(|kept| kept.seq);
            lots_told.clone_from(&told(record, written)?.lots);
            today = zone.day_and_second(crate::parts::entry::now(served, record.now_ms()).0).0;
        }
        let own = kept.iter().any(|kept| OWN.contains(&kept.fact.kind.as_str()));
        let is_invented = served.is_sample && served.id == INVENTED_OF && !own;
        if is_invented {
            let invented = written_as_lines(INVENTED, &served.id, zone);
            let mut all = invented.map_err(|(line, _)| StoreError::Other(format!("books.txt, line {line}")))?;
            let mut of_lots = Vec::new();
            if let Some(record) = record {
                of_lots.extend(record.of_lots(&served.id)?);
                of_lots.extend(record.of_lot_days(&served.id, None)?);
            }
            let is_lot = |kept: &&Kept| LOT_KINDS.into_iter().chain(LOT_DAY_KINDS).any(|kind| kind == kept.fact.kind);
            let lot_facts: Vec<Kept> = all.iter().filter(is_lot).chain(&of_lots).cloned().collect();
            lots_told = lots(&[FileSaid { seq: 0, farm: &written.farm }], &lot_facts, zone);
            all.extend(kept);
            kept = all;
        }
        Ok(Moneybook { facts: served.clone(), kept, lots: lots_told, is_invented, today })
    }

    /// What is asked of it.
    pub fn ask(&self, of: Day, share_by: ShareBy) -> YearAsk<'_> {
        YearAsk { farm: &self.facts.farm, facts: &self.kept, lots: &self.lots, today: self.today, of, share_by }
    }

    /// The book of a year.
    ///
    /// # Errors
    /// When an amount is larger than any sum of money.
    pub fn book(&self, of: Day, share_by: ShareBy) -> Result<Yearbook, EntryError> {
        yearbook(&self.ask(of, share_by))
    }

    /// The years there are, the last first.
    pub fn years(&self) -> Vec<(Day, Day)> {
        years(&self.facts.farm, &self.kept, &self.lots, self.today)
    }

    /// The year shown first: the last in which anything was sold, or today's.
    pub fn first_shown(&self) -> Day {
        let years = self.years();
        let has_sales = |year: &&(Day, Day)| {
            self.kept.iter().filter(|kept| kept.fact.kind == "sale").any(|kept| {
                let day = self.facts.farm.place.zone.day_and_second(kept.fact.happened.at).0;
                year.0 <= day && day <= year.1
            })
        };
        years.iter().find(has_sales).or(years.first()).map_or(self.today, |year| year.1)
    }

    /// What was decided of each pond in a year: the last plan that was accepted before it came out.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn decided(&self, record: &Record, book: &Yearbook) -> Result<Vec<Decided>, StoreError> {
        let asked = Asked { kind: Some("plan_accepted"), ..Asked::default() };
        let all = record.store().facts_linked(&self.facts.id, asked)?;
        let entries = farm::facts::current(&all);
        let zone = &self.facts.farm.place.zone;
        let mut found = Vec::new();
        for (at, card) in self.facts.farm.ponds.iter().enumerate() {
            let in_year =
                |lot: &&Lot| lot.pond == card.id && lot.out.is_none_or(|out| book.year.0 <= out && out <= book.year.1);
            let came = self.lots.iter().filter(in_year).filter_map(|lot| lot.out).max();
            let accepted = entries.iter().filter_map(|entry| entry.settled()).filter_map(|kept| {
                let on = zone.day_and_second(kept.fact.happened.at).0;
                let planned = planned(kept.fact.text("catches")?, &card.id)?;
                (book.year.0 <= on && on <= came.unwrap_or(book.year.1)).then_some((kept, on, planned))
            });
            let Some((kept, on, planned)) = accepted.max_by_key(|(kept, ..)| kept.seq) else { continue };
            let worths = keeping::expected(record, &self.facts.id, (&kept.fact.id, on), &card.name)?;
            let of = |day: Day| worths.iter().find(|worth| worth.day == day);
            let expected = |worth: &Worth| Expected {
                coins: worth.mean_coins,
                known_to_coins: words::page_plan::worth_known_to(worth.mean_coins, worth.p05_coins),
            };
            found.push(Decided {
                pond: card.name.clone(),
                on,
                planned,
                came,
                expected: of(planned).map(expected),
                week_later: of(planned.plus(WEEK_D)).map(expected),
                brought: Money::from_computed(book.had[at].sold_coins),
            });
        }
        Ok(found)
    }
}

/// The season's report of a book. What the record cannot give of decisions and forecasts is left out.
pub fn report(record: Option<&Record>, money: &Moneybook, book: &Yearbook) -> Report {
    let farm = &money.facts.farm;
    let names: Vec<String> = farm.ponds.iter().map(|card| card.name.clone()).collect();
    let areas: Vec<f64> = farm.ponds.iter().map(|card| card.shape.area_m2).collect();
    let decided = record.and_then(|record| money.decided(record, book).ok()).unwrap_or_default();
    let forecasts = record.and_then(|record| forecasts(record, money, book).ok()).unwrap_or_default();
    let of = ReportOf {
        book,
        ponds: &names,
        areas_m2: &areas,
        survival_told: farm.season.survival_told,
        decided: &decided,
        forecasts: &forecasts,
        today: money.today,
        manner: money.facts.manner,
        currency: farm.currency,
    };
    words::page_money::report(&of, &farm.name)
}

/// How good the year's mornings were, in sentences.
fn forecasts(record: &Record, money: &Moneybook, book: &Yearbook) -> Result<Vec<String>, StoreError> {
    let facts = &money.facts;
    let stretch = Stretch { key: "year".to_owned(), name: None, from: Some(book.year.0), to: Some(book.year.1) };
    let wanted = Wanted { farm_id: &facts.id, farm: &facts.farm, stretch: &stretch, pond: None };
    let found = scored(record.store(), wanted)?;
    let mut said = vec![stopped(page_scores::headline(&found.scores, found.mornings.len(), facts.manner))];
    let more = page_scores::sentences(&found.scores, facts.manner);
    if more.is_empty() {
        said.push(page_scores::too_little(&found.scores, found.mornings.len()));
    }
    said.extend(more);
    Ok(said)
}

/// The year's journal as plain CSV: a line for each line of an entry, debit and credit apart, amounts in units of the currency.
pub fn journal_csv(farm: &Farm, book: &Yearbook) -> String {
    let mut text = format!("{}\r\n", say::CSV_HEADS.join(","));
    for (number, posted) in book.of_year().enumerate() {
        for line in posted.entry.lines() {
            let pond = line.pond.and_then(|at| farm.ponds.get(at)).map_or("", |card| card.id.as_str());
            let (debit, credit) = match line.money.coins {
                0.. => (say::plain(line.money, farm.currency), String::new()),
                coins => (String::new(), say::plain(Money { coins: -coins }, farm.currency)),
            };
            let cells = [
                (number + 1).to_string(),
                posted.entry.day().to_string(),
                csv_text(say::of(posted.of)),
                csv_text(posted.entry.about()),
                line.account.word().to_owned(),
                pond.to_owned(),
                debit,
                credit,
                farm.currency.code().to_owned(),
            ];
            text.push_str(&format!("{}\r\n", cells.join(",")));
        }
    }
    text
}

/// A report as paper.
pub fn paper(told: &Report, money: &Moneybook) -> Paper {
    let sheet = if money.facts.manner == Manner::UsCustomary { Sheet::Letter } else { Sheet::A4 };
    let mut blocks = vec![Block::Answer(told.answer.clone()), Block::Text(told.reason.clone())];
    if money.is_invented {
        blocks.push(Block::Caution(say::INVENTED.to_owned()));
    }
    for part in &told.parts {
        blocks.push(Block::Heading(1, part.heading.clone()));
        blocks.extend(part.said.iter().cloned().map(Block::Text));
        if !part.points.is_empty() {
            blocks.push(Block::Points(part.points.clone()));
        }
        if let Some((heads, rows)) = &part.table {
            blocks.extend(tables(heads, rows));
        }
    }
    blocks.push(Block::Caution(say::RULES.to_owned()));
    Paper { title: told.title.clone(), language: "en".to_owned(), sheet, foot: told.title.clone(), blocks }
}

/// A table that is too wide for a sheet in two, its first column in both.
fn tables(heads: &[String], rows: &[Vec<String>]) -> Vec<Block> {
    const MOST: usize = 6;
    let further: Vec<usize> = (1..heads.len()).collect();
    let part = |columns: &[usize]| {
        let first = Column::words(heads[0].clone(), 1.4);
        let others = columns.iter().map(|at| Column::figures(heads[*at].clone(), 1.0));
        let row = |row: &Vec<String>| {
            std::iter::once(row[0].clone()).chain(columns.iter().map(|at| row[*at].clone())).collect()
        };
        Block::Table(Table {
            columns: std::iter::once(first).chain(others).collect(),
            rows: rows.iter().map(row).collect(),
            totals: 1,
            by_hand_mm: None,
        })
    };
    further.chunks(MOST).map(part).collect()
}

/// The first day on which a plan's words catch a pond: `willow 2011-10-02, heron 2011-10-05 2011-10-06`.
fn planned(catches: &str, pond: &str) -> Option<Day> {
    let of = catches.split(',').map(str::trim).find(|part| part.split_whitespace().next() == Some(pond))?;
    of.split_whitespace().nth(1).and_then(Day::parse)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_plans_words_say_when_a_pond_is_caught() {
        let said = "willow 2011-10-02, heron 2011-10-05 2011-10-06";
        assert_eq!(planned(said, "heron"), Day::parse("2011-10-05"));
        assert_eq!(planned(said, "her"), None);
    }
}
