//! The sheet of a harvest day.

use paper::{Block, Figure, Line, Paper, Step};
use season::day::DaySheet;
use season::farm::Farm;
use words::figures::{Manner, depth};
use words::page_day as say;

use super::{document, pairs, part, table};

/// Hours between the marks below the falling water.
const MARK_H: i32 = 3;

/// The day's sheet: the answer, who goes where, hour by hour with the cautions, what is due, ice, calls, checks, a page for helpers.
pub fn day_sheet(farm: &Farm, sheet: &DaySheet, waits: Option<&str>, manner: Manner) -> Paper {
    let sure = sheet.sure();
    let mut blocks = vec![Block::Answer(say::headline(sheet, manner))];
    blocks.extend(waits.map(|said| Block::Caution(said.to_owned())));
    blocks.extend(say::reasons(sheet, manner).into_iter().map(Block::Text));
    blocks.push(part(say::CREWS));
    let crews = sheet.crews.iter().map(|crew| say::crew_row(crew, sheet, manner));
    blocks.push(table(say::CREWS_HEADS, [2.0, 1.6, 1.6, 2.0, 1.0], crews));
    blocks.push(part(say::HANDS));
    blocks.push(table(say::HANDS_HEADS, [1.6, 2.2, 1.8, 3.0], say::hand_rows(sure, sheet, manner)));
    blocks.extend(say::moves(sure).into_iter().map(Block::Text));
    blocks.push(part(say::HOURS));
    let step = |line: say::Line| Step {
        at: line.at,
        what: line.what,
        cares: line.care.iter().map(|said| format!("{}: {said}", say::CARE)).collect(),
    };
    blocks.push(Block::Steps(say::steps(sheet, manner).into_iter().map(step).collect()));
    blocks.push(Block::Caution(say::humane().to_owned()));
    blocks.push(Block::Caution(say::ASKS.to_owned()));
    blocks.extend(falling(sheet, manner));
    let rows = |rows: Vec<[String; 2]>| pairs(rows.into_iter().map(|[name, value]| (name, value)));
    for (title, found) in [
        (say::DUE, say::due_rows(farm, sheet, manner)),
        (say::ICE, say::ice_rows(sheet, manner)),
        (say::LIVE, say::live_rows(sheet, manner)),
        (say::CALLS, say::calls(farm, sheet, manner)),
    ] {
        if !found.is_empty() {
            blocks.extend([part(title), rows(found)]);
        }
    }
    blocks.extend([part(say::CHECKS), Block::Checks(say::checks(sheet, manner))]);
    blocks.push(part(say::WAITS));
    blocks.push(table(say::WAITS_HEADS, [2.0, 1.0, 1.5, 1.5], say::wait_rows(sure)));
    blocks.push(Block::NewPage);
    blocks.push(part(say::BRIEFING));
    blocks.push(Block::Checks(say::briefing().map(str::to_owned).into()));
    blocks.push(Block::Lines(6));
    document(&farm.name, manner, &words::page_print::day_of(&sheet.pond, sheet.on), blocks)
}

/// The water by the hour as a line, and its figures.
fn falling(sheet: &DaySheet, manner: Manner) -> Vec<Block> {
    let (Some(first), Some(last)) = (sheet.levels.first(), sheet.levels.last()) else { return Vec::new() };
    let full_m = sheet.levels.iter().map(|level| level.1).fold(0.1, f64::max);
    let (from, until) = (first.0.floor() as i32, last.0.ceil() as i32);
    // Marks stand no closer than the words below them are wide.
    let every = MARK_H * ((until - from) / (14 * MARK_H) + 1);
    let below = (from..=until).filter(|hour| hour.rem_euclid(every) == 0);
    let line = Line { name: say::LEVELS.to_owned(), strokes: vec![sheet.levels.clone()], is_marks: false };
    let figure = Figure {
        says: say::falling_says(sheet, manner),
        below: below.map(|hour| (f64::from(hour), say::hour_short(hour, manner))).collect(),
        beside: (0..=4).map(|mark| full_m * f64::from(mark) / 4.0).map(|m| (m, depth(m, manner))).collect(),
        lines: vec![line],
        bars: Vec::new(),
    };
    // Two columns of them, read down and then across.
    let levels = say::levels(sheet, manner);
    let half = levels.len().div_ceil(2);
    let [at, level] = say::LEVELS_HEADS;
    let rows = (0..half).map(|row| {
        let [at, level] = levels[row].clone();
        let [later, lower] = levels.get(half + row).cloned().unwrap_or_default();
        [at, level, later, lower]
    });
    vec![part(say::LEVELS), Block::Figure(figure), table([at, level, at, level], [1.4, 1.0, 1.4, 1.0], rows)]
}
