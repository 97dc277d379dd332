//! Entries written as lines of a text: `day | kind | field=text; field=text`, each as one would type it into today's form.
//!
//! For invented entries of sample farms and for tests; a record is never read from it.

use std::collections::BTreeMap;

use units::{Day, Zone};

use super::{Fact, Happened, Kept, newest_form};

/// Hour of the day that stands for the whole of it, h.
const NOON_H: i32 = 12;

/// The entries of a text, in the order of their lines.
///
/// # Errors
/// The first line that is none, by its number, with what stands there.
pub fn written_as_lines(text: &str, farm: &str, zone: &Zone) -> Result<Vec<Kept>, (usize, String)> {
    let lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty() && !line.starts_with('#'));
    let one = |(at, line): (usize, &str)| read(line, (at + 1, farm), zone).ok_or_else(|| (at + 1, line.to_owned()));
    let facts: Vec<Fact> = lines.map(one).collect::<Result<_, _>>()?;
    let kept = |(at, fact): (usize, Fact)| Kept { seq: at as i64 + 1, received_ms: 0, clock_off_ms: 0, fact };
    Ok(facts.into_iter().enumerate().map(kept).collect())
}

fn read(line: &str, (number, farm): (usize, &str), zone: &Zone) -> Option<Fact> {
    let mut parts = line.splitn(3, '|').map(str::trim);
    let (day, kind, fields) = (Day::parse(parts.next()?)?, parts.next()?, parts.next()?);
    let form = newest_form(kind)?;
    let pairs = fields.split(';').filter_map(|pair| pair.split_once('='));
    let typed: BTreeMap<String, String> = pairs.map(|(key, text)| (key.trim().into(), text.trim().into())).collect();
    let at = zone.instant(day, 3600 * NOON_H);
    let mut fact = Fact {
        id: format!("{:032x}", 0xB00C_0000_0000_0000_u128 + number as u128),
        farm: farm.to_owned(),
        device: "sample".to_owned(),
        person: "sample".to_owned(),
        kind: kind.to_owned(),
        form: form.version,
        happened: Happened { at, offset_s: zone.offset_s(at) },
        typed_ms: number as i64,
        corrects: None,
        typed,
        values: BTreeMap::new(),
    };
    fact.read().slips.is_empty().then_some(fact)
}
