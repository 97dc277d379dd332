//! The workbook is read back, and its formulas are reckoned by a small reader of its own: what they come to must be what the pages say.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{Data, Reader, Xlsx};
use farm::facts::{FileSaid, lots, written_as_lines};
use farm::read_farm;
use season::yearbook::{ShareBy, YearAsk, yearbook};

use super::*;

const FARM: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
const MONEY: &str = include_str!("../../../../samples/hazel-bend/books.txt");

fn book(of: &str) -> (Farm, Yearbook) {
    let farm = read_farm(FARM).expect("the sample is right");
    let facts = written_as_lines(MONEY, "hazel-bend", &farm.place.zone).expect("entries");
    let lots = lots(&[FileSaid { seq: 0, farm: &farm }], &facts, &farm.place.zone);
    let day = |text: &str| Day::parse(text).expect("a day");
    let ask = YearAsk {
        farm: &farm,
        facts: &facts,
        lots: &lots,
        today: day("2011-09-28"),
        of: day(of),
        share_by: ShareBy::Area,
    };
    let book = yearbook(&ask).expect("a book");
    (farm, book)
}

/// Formulas over cells of several sheets: sums, SUMIFS with equalities and bounds, the four rules, IFERROR.
struct Reckoner {
    cells: BTreeMap<(String, u32, u32), Data>,
    formulas: BTreeMap<(String, u32, u32), String>,
}

impl Reckoner {
    fn new(bytes: Vec<u8>) -> Reckoner {
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).expect("a workbook");
        let (mut cells, mut formulas) = (BTreeMap::new(), BTreeMap::new());
        for name in book.sheet_names() {
            let range = book.worksheet_range(&name).expect("a sheet");
            for (row, column, cell) in range.used_cells() {
                let (top, left) = range.start().unwrap_or_default();
                cells.insert((name.clone(), row as u32 + top, column as u32 + left), cell.clone());
            }
            let range = book.worksheet_formula(&name).expect("formulas");
            for (row, column, formula) in range.used_cells().filter(|(.., formula)| !formula.is_empty()) {
                let (top, left) = range.start().unwrap_or_default();
                formulas.insert((name.clone(), row as u32 + top, column as u32 + left), formula.clone());
            }
        }
        Reckoner { cells, formulas }
    }
    fn number(&self, at: &(String, u32, u32)) -> f64 {
        if let Some(formula) = self.formulas.get(at) {
            return self.reckon(&at.0, formula);
        }
        match self.cells.get(at) {
            Some(Data::Float(value)) => *value,
            Some(Data::Int(value)) => *value as f64,
            Some(Data::DateTime(value)) => value.as_f64(),
            _ => 0.0,
        }
    }
    fn reckon(&self, sheet: &str, formula: &str) -> f64 {
        let mut reader = Formulas { reckoner: self, sheet, letters: formula.chars().collect(), at: 0 };
        let value = reader.sum();
        assert_eq!(reader.at, reader.letters.len(), "read to its end: {formula}");
        value
    }
}

struct Formulas<'a> {
    reckoner: &'a Reckoner,
    sheet: &'a str,
    letters: Vec<char>,
    at: usize,
}

impl Formulas<'_> {
    fn peek(&self) -> Option<char> {
        self.letters.get(self.at).copied()
    }
    fn takes(&mut self, letter: char) -> bool {
        let is = self.peek() == Some(letter);
        self.at += usize::from(is);
        is
    }
    fn sum(&mut self) -> f64 {
        let mut value = if self.takes('-') { -self.product() } else { self.product() };
        loop {
            if self.takes('+') {
                value += self.product();
            } else if self.takes('-') {
                value -= self.product();
            } else {
                return value;
            }
        }
    }
    fn product(&mut self) -> f64 {
        let mut value = self.one();
        loop {
            if self.takes('*') {
                value *= self.one();
            } else if self.takes('/') {
                value /= self.one();
            } else {
                return value;
            }
        }
    }
    fn word(&mut self) -> String {
        let from = self.at;
        while self.peek().is_some_and(|c| c.is_alphanumeric() || matches!(c, '$' | '!' | '.' | ':' | '\'')) {
            self.at += 1;
        }
        self.letters[from..self.at].iter().collect()
    }
    fn one(&mut self) -> f64 {
        if self.takes('(') {
            let value = self.sum();
            assert!(self.takes(')'));
            return value;
        }
        if self.takes('-') {
            return -self.one();
        }
        let word = self.word();
        if let Ok(value) = word.parse() {
            return value;
        }
        if !self.takes('(') {
            let (sheet, row, column) = self.cell(&word);
            return self.reckoner.number(&(sheet, row, column));
        }
        let value = match word.as_str() {
            "SUM" => {
                let range = self.word();
                self.range(&range).iter().map(|at| self.reckoner.number(at)).sum()
            }
            "IFERROR" => {
                let value = self.sum();
                assert!(self.takes(','));
                let other = self.sum();
                if value.is_finite() { value } else { other }
            }
            "SUMIFS" => self.sumifs(),
            other => panic!("{other} is not one of our formulas"),
        };
        assert!(self.takes(')'));
        value
    }
    fn cell(&self, word: &str) -> (String, u32, u32) {
        let word = word.replace('$', "");
        let (sheet, cell) = word.split_once('!').unwrap_or((self.sheet, &word));
        let digits = cell.find(|c: char| c.is_ascii_digit()).expect("a row");
        let column = cell[..digits].bytes().fold(0_u32, |sum, letter| sum * 26 + u32::from(letter - b'A') + 1) - 1;
        (sheet.to_owned(), cell[digits..].parse::<u32>().expect("a row") - 1, column)
    }
    fn range(&self, word: &str) -> Vec<(String, u32, u32)> {
        let (from, to) = word.split_once(':').expect("a range");
        let (sheet, top, left) = self.cell(from);
        let to = to.rsplit('!').next().expect("a cell");
        let (_, foot, right) = self.cell(to);
        (top..=foot)
            .flat_map(|row| (left..=right).map(move |column| (row, column)))
            .map(|(row, column)| (sheet.clone(), row, column))
            .collect()
    }
    fn sumifs(&mut self) -> f64 {
        let range = self.word();
        let summed = self.range(&range);
        let mut fits = vec![true; summed.len()];
        while self.takes(',') {
            let range = self.word();
            let range = self.range(&range);
            assert!(self.takes(','));
            assert!(self.takes('"'));
            let mut text = String::new();
            while !self.takes('"') {
                text.push(self.peek().expect("the text ends"));
                self.at += 1;
            }
            let bound = self.takes('&').then(|| self.one());
            for (fits, at) in fits.iter_mut().zip(&range) {
                *fits &= match bound {
                    None => self.reckoner.cells.get(at) == Some(&Data::String(text.clone())),
                    Some(bound) if text == ">=" => self.reckoner.number(at) >= bound,
                    Some(bound) => self.reckoner.number(at) < bound,
                };
            }
        }
        summed.iter().zip(fits).filter(|(_, fits)| *fits).map(|(at, _)| self.reckoner.number(at)).sum()
    }
}

#[test]
fn every_formula_comes_to_what_the_pages_say() {
    // Enough of them that no table is passed by.
    use Manner::{Metric, UsCustomary};
    for (of, least, manner) in
        [("2010-06-01", 350, UsCustomary), ("2010-06-01", 350, Metric), ("2011-06-01", 400, UsCustomary)]
    {
        let (farm, book) = book(of);
        let tables = money_book(MoneyAsk { farm: &farm, book: &book, manner });
        let reckoner = Reckoner::new(crate::write(&tables).expect("written"));
        let mut count = 0;
        for table in &tables {
            for (row, cells) in table.rows.iter().enumerate() {
                for (column, cell) in cells.iter().enumerate() {
                    let Cell::Formula(formula, said) = cell else { continue };
                    let at = (table.name.clone(), row as u32 + 1, column as u32);
                    let reckoned = reckoner.number(&at);
                    assert!(
                        (reckoned - said).abs() < 1e-6 * said.abs().max(1.0),
                        "{at:?} {formula}: {reckoned}, not {said}"
                    );
                    count += 1;
                }
            }
        }
        assert!(count > least, "{count} formulas");
    }
}

#[test]
fn a_changed_figure_moves_the_sums() {
    let (farm, book) = book("2010-06-01");
    let mut tables = money_book(MoneyAsk { farm: &farm, book: &book, manner: Manner::Metric });
    let before = Reckoner::new(crate::write(&tables).expect("written"));
    let feed = tables[1].rows.iter_mut().find(|row| row[4] == Cell::Text("feed".to_owned())).expect("a cost of feed");
    let Cell::Number(figure) = &mut feed[6] else { panic!("a debit") };
    *figure += 100.0;
    let after = Reckoner::new(crate::write(&tables).expect("written"));
    let net = (say::SHEET_MADE.to_owned(), accounts().len() as u32 + 7, farm.ponds.len() as u32 + 2);
    assert!(
        (before.number(&net) - 100.0 - after.number(&net)).abs() < 1e-6,
        "{} {}",
        before.number(&net),
        after.number(&net)
    );
}

#[test]
fn columns_are_named_as_spreadsheets_name_them() {
    assert_eq!([0, 25, 26, 51, 52, 701, 702].map(column), ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]);
}
