//! Many oddities of one kind told together, every line still named.

use std::collections::BTreeMap;

use season::weather::{Finding, What};
use units::Zone;

use super::{done, sentence, what};

/// From this many of a kind on they are told together.
const TOGETHER_FROM: usize = 5;

/// One line of text for each oddity, or for each kind when there are many of it.
pub fn grouped(findings: &[Finding], zone: &Zone, every_line: bool) -> Vec<String> {
    let mut kinds: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (i, finding) in findings.iter().enumerate() {
        kinds.entry(kind(finding)).or_default().push(i);
    }
    let mut told: Vec<(usize, String)> = Vec::new();
    for (kind, of) in kinds {
        if every_line || of.len() < TOGETHER_FROM {
            told.extend(of.into_iter().map(|i| (i, sentence(&findings[i], zone))));
        } else {
            let lines: Vec<usize> = of.iter().map(|&i| findings[i].line).collect();
            told.push((of[0], format!("{kind}, {} times, lines {}", of.len(), compressed(&lines))));
        }
    }
    told.sort();
    told.into_iter().map(|(_, line)| line).collect()
}

/// What makes two oddities alike, in words.
fn kind(finding: &Finding) -> String {
    let column = &finding.column;
    let after = done(finding);
    // A value filled in is told without the value.
    let after = after.split(" with ").next().unwrap_or("");
    let of = if column.is_empty() { String::new() } else { format!("{column}: ") };
    let head = match &finding.what {
        What::Blank => format!("{of}blank"),
        What::NoValue => format!("{of}missing"),
        What::NotANumber => format!("{of}no number"),
        What::NotATime => format!("{of}no date or time that can be read"),
        What::CellCount { .. } => "another number of cells than the header has".to_owned(),
        What::OutOfBounds { .. } => format!("{of}outside all belief"),
        What::FarFromSeason { .. } => format!("{of}far from what is usual at that time of year"),
        What::LowAboveHigh { .. } => "the low above the high".to_owned(),
        What::DewAboveAir { .. } => "dew point above the air".to_owned(),
        What::SunAboveSky { .. } => "more sun than can come".to_owned(),
        What::Stuck { .. } => format!("{of}the same reading for many hours"),
        What::Repeated { .. } => format!("{of}already on an earlier line"),
        What::OutOfOrder => format!("{of}earlier than the line before"),
        What::MissingDays { .. } => "days missing after the line".to_owned(),
        What::MissingHours { .. } => format!("{of}hours missing"),
        What::QualityMark(mark) => format!("{of}the source's own mark of doubt, {mark}"),
        _ => return format!("{}{}", what(finding, &Zone::utc()), after),
    };
    format!("{head}{after}")
}

/// `3, 5-8, 12`.
pub fn compressed(lines: &[usize]) -> String {
    let mut lines = lines.to_vec();
    lines.sort_unstable();
    lines.dedup();
    let mut parts: Vec<(usize, usize)> = Vec::new();
    for line in lines {
        match parts.last_mut() {
            Some(last) if last.1 + 1 == line => last.1 = line,
            _ => parts.push((line, line)),
        }
    }
    let said = |(from, to): (usize, usize)| if from == to { from.to_string() } else { format!("{from}-{to}") };
    parts.into_iter().map(said).collect::<Vec<_>>().join(", ")
}
