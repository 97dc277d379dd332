//! A lot both ways as plain text, for the command line.

use season::farm::Farm;
use season::trace::Trace;
use units::Instant;

use super::{
    CALLS, FRESH, FRESH_SAYS, HANDED, LINES, LOTS, NEAR, NO_LOTS, NONE_NEAR, PACKS, call_row, fresh_row, handed_row,
    headline, holding, line_row, pack_row, reasons, source, source_rows, unknown,
};
use crate::figures::Manner;

/// All lots, for the command line.
pub fn lots_text(lots: &[String]) -> String {
    if lots.is_empty() { format!("{NO_LOTS}\n") } else { format!("{LOTS}\n  {}\n", lots.join("\n  ")) }
}

/// A lot that is not known, for the command line.
pub fn unknown_text(lot: &str, near: &[String]) -> String {
    let near = if near.is_empty() { NONE_NEAR.to_owned() } else { format!("{NEAR}: {}.", near.join(", ")) };
    format!("{}. {near}\n", unknown(lot))
}

/// A lot both ways as plain text, for the command line.
pub fn text(trace: &Trace, farm: &Farm, now: Instant, manner: Manner) -> String {
    let zone = &farm.place.zone;
    let clocks = trace.clocks(zone, now);
    let mut out = vec![headline(trace, farm)];
    out.extend(reasons(trace, &clocks, true, zone, manner));
    out.extend(holding(trace));
    let mut part = |title: &str, rows: Vec<String>| {
        if !rows.is_empty() {
            out.push(format!("\n{title}"));
            out.extend(rows.into_iter().map(|row| format!("  {row}")));
        }
    };
    let line = |cells: &[String]| cells.join("  ");
    part(FRESH, clocks.iter().map(|clock| line(&fresh_row(clock, zone, manner))).collect());
    for one in &trace.sources {
        let rows = source_rows(one, farm, manner);
        part(&source(one, farm), rows.into_iter().map(|(name, value)| format!("{name}: {value}")).collect());
    }
    part(PACKS, trace.packs.iter().map(|pack| line(&pack_row(pack, manner))).collect());
    part(CALLS, trace.calls.iter().map(|call| line(&call_row(call, zone, manner))).collect());
    part(LINES, trace.sold.iter().map(|sold| line(&line_row(sold, zone, manner))).collect());
    part(HANDED, trace.handed.iter().map(|one| line(&handed_row(one, zone, manner))).collect());
    out.push(format!("\n{FRESH_SAYS}\n"));
    out.join("\n")
}
