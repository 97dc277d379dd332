//! The record of cold of a day, and the tally that is filled in by hand.

use farm::facts::{ColdOf, DayRecord};
use paper::{Block, Column, Paper, Table};
use units::{Day, Zone};
use words::figures::Manner;
use words::{page_harvest as say, page_print};

use super::{document, pairs, table};

/// Lines of a tally, and their height, mm: written on with a wet hand.
const TALLY_LINES: usize = 20;
const TALLY_MM: f32 = 8.5;

/// The record of cold.
pub fn cold_record(farm: &str, day: Day, record: &DayRecord, zone: &Zone, manner: Manner) -> Paper {
    let mut blocks = vec![Block::Answer(say::of_day(day))];
    if record.colds.is_empty() {
        blocks.push(Block::Text(say::RECORD_NONE.to_owned()));
    } else {
        let rows = record.colds.iter().map(|cold| say::record_row(cold, zone, manner));
        blocks.push(table(say::RECORD_HEADS, [1.3, 1.9, 1.7, 2.2, 1.0, 2.4, 1.2], rows));
    }
    blocks.push(pairs(ColdOf::ALL.map(|(_, of)| (say::cold_of(of), say::limit(of, manner)))));
    blocks.push(Block::Caution(say::RECORD_SAYS.to_owned()));
    blocks.push(Block::Text(page_print::SIGNED.to_owned()));
    blocks.push(Block::Lines(1));
    document(farm, manner, say::RECORD, blocks)
}

/// A tally with empty lines, for baskets where no phone is.
pub fn paper_tally(farm: &str, manner: Manner) -> Paper {
    let unit = words::page_log::units("weight", manner).first().map_or("kg", |(label, _)| label);
    let heads = page_print::tally_heads(unit);
    let shares = [0.6, 1.1, 1.3, 1.2, 2.4, 1.1, 1.0, 1.2];
    let columns = heads.into_iter().zip(shares).map(|(head, share)| Column::words(head, share)).collect();
    let rows = (1..=TALLY_LINES).map(|line| vec![line.to_string()]).collect();
    let blocks = vec![
        Block::Text(page_print::TALLY_TOP.to_owned()),
        Block::Table(Table { columns, rows, totals: 0, by_hand_mm: Some(TALLY_MM) }),
        Block::Text(page_print::TALLY_PLACES.to_owned()),
        Block::Caution(say::caution("scale").to_owned()),
        Block::Text(page_print::TALLY_AFTER.to_owned()),
    ];
    document(farm, manner, page_print::TALLY_TITLE, blocks)
}
