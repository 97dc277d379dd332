//! The recall list of a lot: first steps, whom to call, and where the lot comes from.

use farm::Farm;
use paper::{Block, Paper};
use season::trace::Trace;
use units::Instant;
use words::figures::Manner;
use words::page_trace as say;

use super::{document, pairs, part, table};

/// The list.
pub fn recall(farm: &Farm, found: &Trace, now: Instant, manner: Manner) -> Paper {
    let zone = &farm.place.zone;
    let clocks = found.clocks(zone, now);
    let mut blocks = vec![Block::Answer(say::headline(found, farm))];
    blocks.extend(say::reasons(found, &clocks, true, zone, manner).into_iter().map(Block::Text));
    blocks.extend(say::holding(found).into_iter().map(Block::Text));
    blocks.push(Block::Checks(say::FIRST_STEPS.map(str::to_owned).into()));
    blocks.push(part(say::CALLS));
    if found.calls.is_empty() {
        blocks.push(Block::Text(say::NOBODY.to_owned()));
    } else {
        let rows = found.calls.iter().map(|call| say::call_row(call, zone, manner));
        blocks.push(table(say::CALL_HEADS, [2.0, 2.2, 1.4, 1.8, 1.6], rows));
        let tick = |call: &season::trace::Call| format!("{}: {}", call.buyer, say::CALLED);
        blocks.push(Block::Checks(found.calls.iter().map(tick).collect()));
    }
    if !found.calls_perhaps.is_empty() {
        blocks.push(part(say::CALLS_PERHAPS));
        let rows = found.calls_perhaps.iter().map(|call| say::call_row(call, zone, manner));
        blocks.push(table(say::CALL_HEADS, [2.0, 2.2, 1.4, 1.8, 1.6], rows));
        let tick = |call: &season::trace::Call| format!("{}: {}", call.buyer, say::CALLED);
        blocks.push(Block::Checks(found.calls_perhaps.iter().map(tick).collect()));
    }
    if !found.sold.is_empty() {
        blocks.push(part(say::LINES));
        let rows = found.sold.iter().map(|line| say::line_row(line, zone, manner));
        blocks.push(table(say::LINE_HEADS, [1.8, 1.6, 1.2, 2.0, 1.0, 1.5], rows));
    }
    if !found.handed.is_empty() {
        blocks.push(part(say::HANDED));
        let rows = found.handed.iter().map(|one| say::handed_row(one, zone, manner));
        blocks.push(table(say::HANDED_HEADS, [1.8, 1.4, 2.0, 1.0, 1.5], rows));
    }
    blocks.push(part(say::BACK));
    for source in &found.sources {
        blocks.push(Block::Heading(2, say::source(source, farm)));
        blocks.push(pairs(say::source_rows(source, farm, manner)));
    }
    if !found.packs.is_empty() {
        blocks.push(part(say::PACKS));
        let rows = found.packs.iter().map(|pack| say::pack_row(pack, manner));
        blocks.push(table(say::PACK_HEADS, [2.4, 1.2, 0.7, 1.3, 1.6, 1.3], rows));
        blocks.push(Block::Text(say::balance(found, manner)));
    }
    blocks.push(Block::Caution(say::FRESH_SAYS.to_owned()));
    document(&farm.name, manner, &format!("{} {}", say::RECALL, found.lot), blocks)
}
