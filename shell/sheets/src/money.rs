//! The books of a year as a workbook: the journal as figures, every sum of it as a formula that comes to what the pages say.

use farm::Farm;
use season::books::ledger::{Account, Class};
use season::books::statement::Made;
use season::books::swing::swings;
use season::yearbook::Yearbook;
use units::{Day, Money};
use words::figures::Manner;
use words::page_money as say;

use crate::{Cell, Table};

/// What goes into it.
#[derive(Debug, Clone, Copy)]
pub struct MoneyAsk<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// The book.
    pub book: &'a Yearbook,
    /// Whose units: pounds or kilograms.
    pub manner: Manner,
}

/// The accounts of the statement in the order of its levels, each class together.
fn accounts() -> Vec<Account> {
    let mut all: Vec<Account> = Account::ALL.into_iter().filter(|account| account.is_of_the_year()).collect();
    all.sort_by_key(|account| account.class());
    all
}

/// The tables.
pub fn money_book(ask: MoneyAsk<'_>) -> Vec<Table> {
    let mut tables = vec![about(ask), journal(ask), made(ask), cash(ask), even(ask), swung(ask)];
    if ask.book.meant.is_some() {
        tables.insert(3, budget(ask));
    }
    tables
}

impl MoneyAsk<'_> {
    /// Coins in units of the currency.
    fn units(&self, money: Money) -> f64 {
        self.value(money.coins as f64)
    }
    fn value(&self, coins: f64) -> f64 {
        coins / self.farm.currency.coins_per_unit() as f64
    }
    fn money(&self, formula: String, money: Money) -> Cell {
        Cell::Formula(formula, self.units(money))
    }
    fn number(&self, money: Money) -> Cell {
        Cell::Number(self.units(money))
    }
    fn pond(&self, place: Option<usize>) -> &str {
        place.and_then(|at| self.farm.ponds.get(at)).map_or(say::COMMON, |card| card.name.as_str())
    }
    /// Lines of the journal, its head left out.
    fn lines(&self) -> usize {
        self.book.of_year().map(|posted| posted.entry.lines().len()).sum()
    }
}

fn heads(all: &[&str]) -> Vec<String> {
    all.iter().map(|head| (*head).to_owned()).collect()
}

fn text(said: &str) -> Cell {
    Cell::Text(said.to_owned())
}

fn about(ask: MoneyAsk<'_>) -> Table {
    let (from, to) = ask.book.year;
    let said = [
        ask.farm.name.clone(),
        from.to_string(),
        to.to_string(),
        ask.farm.currency.code().to_owned(),
        say::SHEET_NOTE.to_owned(),
    ];
    let rows = say::SHEET_ABOUT_ROWS.iter().zip(said).map(|(name, said)| vec![text(name), Cell::Text(said)]);
    Table { name: say::SHEET_ABOUT.to_owned(), heads: heads(&say::SHEET_ABOUT_HEADS), rows: rows.collect() }
}

fn journal(ask: MoneyAsk<'_>) -> Table {
    let mut rows = Vec::new();
    for (number, posted) in ask.book.of_year().enumerate() {
        for line in posted.entry.lines() {
            let (debit, credit) = match line.money.coins {
                0.. => (ask.number(line.money), Cell::Empty),
                coins => (Cell::Empty, ask.number(Money { coins: -coins })),
            };
            rows.push(vec![
                Cell::Number(number as f64 + 1.0),
                Cell::Day(posted.entry.day()),
                text(say::of(posted.of)),
                text(posted.entry.about()),
                text(line.account.word()),
                text(ask.pond(line.pond)),
                debit,
                credit,
            ]);
        }
    }
    Table { name: say::SHEET_JOURNAL.to_owned(), heads: heads(&say::SHEET_JOURNAL_HEADS), rows }
}

/// Letters of a column, the first is 0.
fn column(mut at: usize) -> String {
    let mut letters = String::new();
    loop {
        letters.insert(0, char::from(b'A' + (at % 26) as u8));
        if at < 26 {
            return letters;
        }
        at = at / 26 - 1;
    }
}

/// A text within a formula.
fn quoted(said: &str) -> String {
    format!("\"{}\"", said.replace('"', "\"\""))
}

/// Sum over the journal of an account (and a pond), costs above nothing.
fn summed(ask: MoneyAsk<'_>, account: Account, pond: &str) -> String {
    let last = ask.lines() + 1;
    let range = |letter: &str| format!("{}!${letter}$2:${letter}${last}", say::SHEET_JOURNAL);
    let of = |letter: &str| {
        format!("SUMIFS({},{},{},{},{})", range(letter), range("E"), quoted(account.word()), range("F"), quoted(pond))
    };
    let (first, second) = if account.class() == Class::Receipts { ("H", "G") } else { ("G", "H") };
    format!("{}-{}", of(first), of(second))
}

/// Rows: accounts, interest of money tied up, levels. Columns: each pond's own, what is common, the whole; then share and sum of each pond.
fn made(ask: MoneyAsk<'_>) -> Table {
    let (book, ponds) = (ask.book, ask.farm.ponds.len());
    let names: Vec<&str> = ask.farm.ponds.iter().map(|card| card.name.as_str()).collect();
    let mut head = vec![say::SHEET_FOR.to_owned()];
    head.extend(names.iter().map(|name| format!("{name}, {}", say::SHEET_OWN)));
    head.extend([say::COMMON.to_owned(), say::WHOLE.to_owned()]);
    head.extend(names.iter().map(|name| format!("{name}, {}", say::SHEET_SHARE)));
    head.extend(names.iter().map(|name| (*name).to_owned()));
    let all = accounts();
    let mut rows = Vec::new();
    for (at, account) in all.iter().map(Some).chain([None]).enumerate() {
        let row = at + 2;
        let of = |made: &Made| account.map_or(made.tied_up, |account| made.of(*account));
        let mut cells = vec![text(account.map_or(say::LEVELS[4], |account| say::account(*account)))];
        for place in 0..=ponds {
            let own = book.made.own.get(place).unwrap_or(&book.made.common);
            let pond = (place < ponds).then_some(place);
            cells.push(match account {
                Some(account) => ask.money(summed(ask, *account, ask.pond(pond)), of(own)),
                // No coin of it is booked: it is no sum of the journal.
                None => ask.number(of(own)),
            });
        }
        let sum = format!("SUM({}{row}:{}{row})", column(1), column(ponds + 1));
        cells.push(ask.money(sum, of(&book.made.whole)));
        for place in 0..ponds {
            let share = of(&book.made.ponds[place]).coins - of(&book.made.own[place]).coins;
            cells.push(ask.number(Money { coins: share }));
        }
        for place in 0..ponds {
            let formula = format!("{}{row}+{}{row}", column(place + 1), column(ponds + 3 + place));
            cells.push(ask.money(formula, of(&book.made.ponds[place])));
        }
        rows.push(cells);
    }
    rows.extend(levels(ask, &all));
    Table { name: say::SHEET_MADE.to_owned(), heads: head, rows }
}

/// First and last row of a class in the table, as a spreadsheet counts them.
fn span(all: &[Account], class: Class) -> (usize, usize) {
    let first = all.iter().position(|account| account.class() == class).expect("each class has an account");
    (first + 2, first + 1 + all.iter().filter(|account| account.class() == class).count())
}

fn levels(ask: MoneyAsk<'_>, all: &[Account]) -> Vec<Vec<Cell>> {
    let (book, ponds) = (ask.book, ask.farm.ponds.len());
    let columns: Vec<(usize, &Made)> = book
        .made
        .own
        .iter()
        .chain([&book.made.common, &book.made.whole])
        .enumerate()
        .map(|(at, made)| (at + 1, made))
        .chain((0..ponds).map(|place| (2 * ponds + 3 + place, &book.made.ponds[place])))
        .collect();
    let first = all.len() + 3;
    let made_of: [fn(&Made) -> Money; 6] =
        [Made::operating, Made::variable, Made::total, Made::over_operating, Made::over_variable, Made::net];
    let level = |(at, name): (usize, &&str)| {
        let mut cells = vec![Cell::Empty; 3 * ponds + 3];
        cells[0] = text(name);
        for (place, made) in &columns {
            let letters = column(*place);
            let sum = |class: Class| {
                let (from, to) = span(all, class);
                format!("SUM({letters}{from}:{letters}{to})")
            };
            let formula = match at {
                0 => sum(Class::Operating),
                1 => format!("{letters}{first}+{}", sum(Class::OwnLabour)),
                2 => format!("{letters}{}+{}+{letters}{}", first + 1, sum(Class::Fixed), first - 1),
                over => format!("{}-{letters}{}", sum(Class::Receipts), first + over - 3),
            };
            cells[*place] = ask.money(formula, made_of[at](made));
        }
        cells
    };
    say::SHEET_LEVELS.iter().enumerate().map(level).collect()
}

/// The cell of the whole farm in a row of the statement: an account's, that of money tied up, or a level's.
fn whole_cell(ask: MoneyAsk<'_>, row: usize) -> String {
    format!("{}!{}{row}", say::SHEET_MADE, column(ask.farm.ponds.len() + 2))
}

fn budget(ask: MoneyAsk<'_>) -> Table {
    let nothing = Made::default();
    let meant = ask.book.meant_of(ask.farm.ponds.len()).unwrap_or(&nothing);
    let came = &ask.book.made.whole;
    let all = accounts();
    let row = |(at, account): (usize, Option<&Account>)| {
        let own = at + 2;
        let of = |made: &Made| account.map_or(made.tied_up, |account| made.of(*account));
        let is_cost = account.is_none_or(|account| account.class() != Class::Receipts);
        let formula = if is_cost { format!("B{own}-C{own}") } else { format!("C{own}-B{own}") };
        let gap = if is_cost { of(meant).coins - of(came).coins } else { of(came).coins - of(meant).coins };
        vec![
            text(account.map_or(say::LEVELS[4], |account| say::account(*account))),
            ask.number(of(meant)),
            ask.money(whole_cell(ask, own), of(came)),
            ask.money(formula, Money { coins: gap }),
        ]
    };
    let mut rows: Vec<Vec<Cell>> = all.iter().map(Some).chain([None]).enumerate().map(row).collect();
    let last = all.len() + 2;
    let net = |letter: &str| format!("{letter}2-SUM({letter}3:{letter}{last})");
    let gap = Money { coins: came.net().coins - meant.net().coins };
    rows.push(vec![
        text(say::LEVELS[3]),
        ask.money(net("B"), meant.net()),
        ask.money(net("C"), came.net()),
        ask.money(format!("SUM(D2:D{last})"), gap),
    ]);
    Table { name: say::SHEET_BUDGET.to_owned(), heads: heads(&say::BUDGET_HEADS), rows }
}

fn cash(ask: MoneyAsk<'_>) -> Table {
    let last = ask.lines() + 1;
    let row = |(at, month): (usize, &season::books::statement::CashMonth)| {
        let own = at + 2;
        let range = |letter: &str| format!("{}!${letter}$2:${letter}${last}", say::SHEET_JOURNAL);
        let of = |letter: &str| {
            format!(
                "SUMIFS({},{},\"cash\",{},\">=\"&A{own},{},\"<\"&B{own})",
                range(letter),
                range("E"),
                range("B"),
                range("B")
            )
        };
        let stands = if at == 0 { format!("C{own}-D{own}") } else { format!("E{}+C{own}-D{own}", own - 1) };
        let (year, number, _) = month.starts.ymd();
        let (next_year, next) = if number == 12 { (year + 1, 1) } else { (year, number + 1) };
        let next = Day::new(next_year, next, 1).map_or(Cell::Empty, Cell::Day);
        vec![
            Cell::Day(month.starts),
            next,
            ask.money(of("G"), month.got),
            ask.money(of("H"), month.gave),
            ask.money(stands, month.stands),
        ]
    };
    let rows = ask.book.cash.iter().enumerate().map(row).collect();
    Table { name: say::SHEET_CASH.to_owned(), heads: heads(&say::SHEET_CASH_HEADS), rows }
}

fn even(ask: MoneyAsk<'_>) -> Table {
    let (had, whole) = (ask.book.whole(), &ask.book.made.whole);
    let even = say::even(whole, had);
    let total_row = accounts().len() + 5;
    let unit_kg = if ask.manner == Manner::UsCustomary { 0.453_592_37 } else { 1.0 };
    let mean_g = 1000.0 * had.mean_kg.unwrap_or(0.0);
    let caught = had.caught_kg.unwrap_or(0.0) / unit_kg;
    let given = [had.sold_kg / unit_kg, ask.value(had.sold_coins), had.stocked, mean_g, caught];
    let mut cells: Vec<Cell> = given.into_iter().map(Cell::Number).collect();
    cells.push(ask.money(whole_cell(ask, total_row), whole.total()));
    let price = if had.sold_kg > 0.0 { ask.value(had.sold_coins / had.sold_kg) * unit_kg } else { 0.0 };
    let or_nothing = |formula: &str| format!("IFERROR({formula},0)");
    let value = |coins: Option<f64>| coins.map_or(0.0, |coins| ask.value(coins));
    cells.push(Cell::Formula(or_nothing("B3/B2"), price));
    cells.push(Cell::Formula(or_nothing("B7/B2"), value(even.price_kg) * unit_kg));
    cells.push(Cell::Formula(or_nothing("B7/B8"), even.yield_kg.unwrap_or(0.0) / unit_kg));
    // What was caught and not sold must live as well.
    let unsold = if had.caught_kg.is_some_and(|kg| kg > had.sold_kg) { "*B6/B2" } else { "" };
    let survival = or_nothing(&format!("B7/(B8*B4*B5/{}){unsold}", 1000.0 * unit_kg));
    cells.push(Cell::Formula(survival, even.survival.unwrap_or(0.0)));
    let rows = say::sheet_even_rows(ask.manner).into_iter().zip(cells).map(|(name, cell)| vec![Cell::Text(name), cell]);
    Table { name: say::SHEET_EVEN.to_owned(), heads: heads(&say::SHEET_EVEN_HEADS), rows: rows.collect() }
}

/// Net at each change: the net, and the change times what it moves.
fn swung(ask: MoneyAsk<'_>) -> Table {
    let all = accounts();
    // A year that has sold nothing is moved by what it was meant to make, as on its page.
    let (moves, is_budget) = ask.book.moves(ask.farm.ponds.len());
    let cell_of = |row: usize| if is_budget { format!("{}!B{row}", say::SHEET_BUDGET) } else { whole_cell(ask, row) };
    let net = cell_of(all.len() + if is_budget { 3 } else { 8 });
    let row_of = |account: Account| all.iter().position(|one| *one == account).expect("an account of the year") + 2;
    let mut head = vec![say::SWING_HEADS[0].to_owned()];
    head.extend(say::SWING_HEADS[1..].iter().map(|said| (*said).to_owned()));
    let row = |swing: season::books::swing::Swing| {
        let mut moved: Vec<String> =
            swing.driver.costs().iter().map(|account| format!("-{}", cell_of(row_of(*account)))).collect();
        if swing.driver.moves_receipts() {
            moved.insert(0, cell_of(row_of(Account::Sales)));
        }
        if swing.driver.moves_tied_up() {
            moved.push(format!("-{}", cell_of(all.len() + 2)));
        }
        let mut cells = vec![text(say::driver(swing.driver))];
        for (change, coins) in say::SWING_CHANGES.iter().zip(&swing.net) {
            cells.push(Cell::Formula(format!("{net}+({change})*({})", moved.concat()), ask.value(*coins)));
        }
        cells
    };
    let rows = swings(moves, &say::SWING_CHANGES).into_iter().map(row).collect();
    Table { name: say::SHEET_SWINGS.to_owned(), heads: head, rows }
}

#[cfg(test)]
mod tests;
