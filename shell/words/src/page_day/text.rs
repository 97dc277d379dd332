//! The sheet as plain text, for the command line and for paper.

use season::day::{DayError, DaySheet};
use season::farm::Farm;

use super::{
    ASKS, BRIEFING, CALLS, CHECKS, CREWS, CREWS_HEADS, DUE, FIRST, FIRST_HEADS, HANDS, HANDS_HEADS, HOURS, ICE,
    ICE_ORDERS, LEVELS, LIVE, METHOD, WAITS, WAITS_HEADS, briefing, calls, checks, crew_row, due_rows, first_row,
    first_says, hand_rows, headline, humane, ice_order_rows, ice_rows, levels, live_rows, moves, reasons, steps,
    wait_rows,
};
use crate::figures::{Manner, day, stopped};

const WIDTH: usize = 100;

/// The whole sheet.
pub fn page(farm: &Farm, sheet: &DaySheet, manner: Manner) -> String {
    let mut out = Out::default();
    out.wrapped(&headline(sheet, manner), 0);
    out.blank();
    reasons(sheet, manner).iter().for_each(|said| out.wrapped(said, 2));
    out.title(CREWS);
    out.headed(&CREWS_HEADS, sheet.crews.iter().map(|crew| crew_row(crew, sheet, manner)));
    if let Some(said) = first_says(sheet, manner) {
        out.title(FIRST);
        out.headed(&FIRST_HEADS, sheet.first.iter().map(|one| first_row(one, manner)));
        out.wrapped(&said, 2);
    }
    out.title(HANDS);
    out.headed(&HANDS_HEADS, hand_rows(sheet.sure(), sheet, manner).into_iter());
    moves(sheet.sure()).iter().for_each(|said| out.wrapped(said, 2));
    out.title(HOURS);
    for line in steps(sheet, manner) {
        out.wrapped(&format!("{:<19} {}", line.at, line.what), 2);
        line.care.iter().for_each(|said| out.wrapped(&format!("! {said}"), 22));
    }
    out.wrapped(humane(), 2);
    out.wrapped(ASKS, 2);
    for (title, rows) in [
        (DUE, due_rows(farm, sheet, manner)),
        (ICE, ice_rows(sheet, manner)),
        (ICE_ORDERS, ice_order_rows(sheet, manner)),
        (LIVE, live_rows(sheet, manner)),
        (LEVELS, levels(sheet, manner)),
        (CALLS, calls(farm, sheet, manner)),
    ] {
        if !rows.is_empty() {
            out.title(title);
            out.table(&rows.iter().map(|row| row.to_vec()).collect::<Vec<_>>());
        }
    }
    out.title(WAITS);
    out.headed(&WAITS_HEADS, wait_rows(sheet.sure()).into_iter());
    out.title(CHECKS);
    checks(sheet, manner).iter().for_each(|said| out.wrapped(&format!("[ ] {said}"), 2));
    out.title(BRIEFING);
    briefing().iter().for_each(|said| out.wrapped(&format!("- {said}"), 2));
    out.blank();
    out.wrapped(METHOD, 0);
    out.0
}

/// Why there is no sheet.
pub fn trouble(error: &DayError) -> String {
    match error {
        DayError::NoPond => "It is not in the water: caught already, or never stocked. What was caught stands on the board of its harvest day.".to_owned(),
        DayError::DayOutside { first, last } => {
            stopped(format!("That day lies outside what can be looked at: {} to {}", day(*first), day(*last)))
        }
        DayError::Nobody => "Nobody comes that day. Name hands under crew or helpers, or ask with some.".to_owned(),
        DayError::Drain(_) => {
            "Its water cannot be let out as the farm's description stands: look at its drain and pumps.".to_owned()
        }
    }
}

#[derive(Default)]
struct Out(String);

impl Out {
    fn blank(&mut self) {
        self.0.push('\n');
    }

    fn title(&mut self, title: &str) {
        self.0.push_str(&format!("\n{title}\n"));
    }

    /// Words on lines of the page's width, each line set in.
    fn wrapped(&mut self, text: &str, inset: usize) {
        let mut line = " ".repeat(inset);
        let mut is_new = true;
        for word in text.split(' ') {
            if !is_new && line.chars().count() + 1 + word.chars().count() > WIDTH {
                self.0.push_str(line.trim_end());
                self.0.push('\n');
                line = " ".repeat(inset + 2);
                is_new = true;
            }
            if !is_new {
                line.push(' ');
            }
            line.push_str(word);
            is_new = false;
        }
        self.0.push_str(line.trim_end());
        self.0.push('\n');
    }

    /// A table under its heads.
    fn headed<const N: usize>(&mut self, heads: &[&str; N], rows: impl Iterator<Item = [String; N]>) {
        let heads = heads.map(str::to_owned).to_vec();
        self.table(&std::iter::once(heads).chain(rows.map(|row| row.to_vec())).collect::<Vec<_>>());
    }

    /// Columns as wide as their widest cell, the last as it comes.
    fn table(&mut self, rows: &[Vec<String>]) {
        let columns = rows.first().map_or(0, Vec::len);
        let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
        let widths: Vec<usize> = (0..columns).map(width).collect();
        for row in rows {
            let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}"));
            self.0.push_str(&format!("  {}\n", cells.collect::<Vec<_>>().join("  ").trim_end()));
        }
    }
}
