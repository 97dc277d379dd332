//! The file of a loss: what was entered of it, and what the record holds of its days.

use farm::Farm;
use farm::facts::{Kept, Loss};
use paper::{Block, Figure, Line, Paper, Photo};
use units::{Day, Instant};
use words::figures::Manner;
use words::{page_log, page_losses as say};

use super::{document, pairs, part, table};

/// Marks below the figure at most.
const MARKS: usize = 8;

/// A logger's reading.
#[derive(Debug, Clone)]
pub struct LoggedRow {
    /// The pond's short name.
    pub pond: String,
    /// What, with its unit at the end.
    pub what: &'static str,
    /// Where along the pond.
    pub place: String,
    /// Depth, m.
    pub depth_m: f64,
    /// When.
    pub at: Instant,
    /// The value.
    pub value: f64,
}

/// A photograph.
#[derive(Debug, Clone)]
pub struct LossPhoto {
    /// The mark its file is kept under.
    pub digest: String,
    /// What is said of it.
    pub says: String,
    /// Of which kind the file is.
    pub media: String,
    /// The file.
    pub bytes: Vec<u8>,
}

/// Everything of a loss.
#[derive(Debug, Clone)]
pub struct LossFile {
    /// As it was entered.
    pub loss: Loss,
    /// Entries of its days, corrections among them, in order of time.
    pub entries: Vec<Kept>,
    /// Loggers' readings of its days.
    pub logged: Vec<LoggedRow>,
    /// Air by the day: lowest and highest, °C.
    pub weather: Vec<(Day, f64, f64)>,
    /// Animals before it, in words.
    pub weights: Vec<String>,
    /// Treatments whose waiting days reach into its days or beyond, in words.
    pub waits: Vec<String>,
    /// Photos.
    pub photos: Vec<LossPhoto>,
}

impl LossFile {
    /// Rows of the entries.
    pub fn entry_rows(&self, farm: &Farm, manner: Manner) -> Vec<[String; 4]> {
        let zone = &farm.place.zone;
        let name = |id: &str| farm.ponds.iter().find(|card| card.id == id).map_or(id, |card| &card.name).to_owned();
        let row = |kept: &Kept| {
            let mended = if kept.fact.corrects.is_some() { say::A_CORRECTION } else { "" };
            [
                say::entry_at(kept, zone, manner),
                format!("{}{mended}", page_log::kind(&kept.fact.kind)),
                page_log::typed(&kept.fact, &name),
                kept.fact.person.clone(),
            ]
        };
        self.entries.iter().map(row).collect()
    }
}

/// The document.
pub fn loss_file(farm: &Farm, file: &LossFile, manner: Manner) -> Paper {
    let zone = &farm.place.zone;
    let mut blocks = vec![pairs(say::rows(&file.loss, farm.currency, zone, manner))];
    blocks.extend(file.waits.iter().cloned().map(Block::Caution));
    blocks.push(Block::Text(say::SPAN.to_owned()));
    if !file.weights.is_empty() {
        blocks.extend([part(say::WEIGHTS), Block::Points(file.weights.clone())]);
    }
    blocks.push(part(say::WEATHER));
    if file.weather.is_empty() {
        blocks.push(Block::Text(say::NO_WEATHER.to_owned()));
    } else {
        let rows = file.weather.iter().map(|(on, low, high)| say::weather_row(*on, *low, *high, manner));
        blocks.push(table(say::WEATHER_HEADS, [2.0, 1.0, 1.0], rows));
    }
    blocks.push(part(say::ENTRIES));
    if file.entries.is_empty() {
        blocks.push(Block::Text(say::NO_ENTRIES.to_owned()));
    } else {
        blocks.push(table(say::ENTRY_HEADS, [1.7, 1.3, 3.6, 1.0], file.entry_rows(farm, manner)));
    }
    let figures: Vec<Block> =
        ["temperature_c", "oxygen_mg_l"].iter().filter_map(|what| logged(farm, file, what, manner)).collect();
    if !figures.is_empty() {
        blocks.push(part(say::LOGGED));
        blocks.extend(figures);
    }
    if !file.photos.is_empty() {
        blocks.push(part(say::PHOTOS));
        blocks.extend(file.photos.iter().map(|photo| Block::Photo(printed(photo))));
    }
    blocks.push(Block::Caution(say::SAYS.to_owned()));
    document(&farm.name, manner, &say::headline(&file.loss, farm), blocks)
}

/// Loggers' readings as lines, a line for each place.
fn logged(farm: &Farm, file: &LossFile, what: &str, manner: Manner) -> Option<Block> {
    let rows: Vec<&LoggedRow> = file.logged.iter().filter(|row| row.what == what).collect();
    let first = rows.iter().map(|row| row.at).min()?;
    let hours = |at: Instant| (at.0 - first.0) as f64 / 3600.0;
    let mut lines: Vec<Line> = Vec::new();
    for row in &rows {
        let name = say::spot(&row.place, row.depth_m, manner);
        let at = lines.iter().position(|line| line.name == name).unwrap_or_else(|| {
            lines.push(Line { name: name.clone(), strokes: vec![Vec::new()], is_marks: false });
            lines.len() - 1
        });
        lines[at].strokes[0].push((hours(row.at), row.value));
    }
    let low = rows.iter().map(|row| row.value).fold(f64::INFINITY, f64::min).floor();
    let high = rows.iter().map(|row| row.value).fold(f64::NEG_INFINITY, f64::max).ceil().max(low + 1.0);
    let last = rows.iter().map(|row| row.at).max()?;
    let zone = &farm.place.zone;
    let (from, until) = (zone.day_and_second(first).0, zone.day_and_second(last).0);
    let every = ((until.0 - from.0) as usize / MARKS + 1) as i32;
    let days = (from.0..=until.0).filter(|day| (day - from.0) % every == 0).map(Day);
    let below = days.map(|day| (hours(zone.instant(day, 0)).max(0.0), words::figures::day_short(day))).collect();
    let beside = (0..=4).map(|mark| low + (high - low) * f64::from(mark) / 4.0);
    let says = |value: f64| {
        if what == "temperature_c" { words::figures::degrees(value, manner) } else { format!("{value:.1} mg/L") }
    };
    Some(Block::Figure(Figure {
        says: say::logged(what, rows.len(), says(low), says(high)),
        below,
        beside: beside.map(|value| (value, says(value))).collect(),
        lines,
        bars: Vec::new(),
    }))
}

/// A photo as it is printed, with what stands in its place where it cannot be.
fn printed(photo: &LossPhoto) -> Photo {
    Photo {
        bytes: photo.bytes.clone(),
        way_up: farm::picture::held(&photo.bytes),
        says: photo.says.clone(),
        unread: say::PHOTO_UNREAD.to_owned(),
        too_large: say::PHOTO_TOO_LARGE.to_owned(),
    }
}

/// Rows as a CSV file: commas, quotes where they are needed, lines ended as RFC 4180 has it.
pub fn csv(rows: &[Vec<String>]) -> Vec<u8> {
    let cell = |text: &String| {
        let plain = !text.contains([',', '"', '\n', '\r']);
        // A text that a spreadsheet would take for a formula is shown as text.
        let text = if text.starts_with(['=', '+', '@', '\t']) { format!("'{text}") } else { text.clone() };
        if plain { text } else { format!("\"{}\"", text.replace('"', "\"\"")) }
    };
    let lines: Vec<String> = rows.iter().map(|row| row.iter().map(cell).collect::<Vec<_>>().join(",")).collect();
    format!("{}\r\n", lines.join("\r\n")).into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_that_cannot_be_printed_says_which_of_two_things_is_wrong() {
        let says = "Dead prawns at the screen".to_owned();
        let photo =
            printed(&LossPhoto { digest: "d".to_owned(), says, media: "image/jpeg".to_owned(), bytes: vec![1, 2] });
        assert!(photo.unread.contains("cannot be read") && !photo.unread.contains("pixels"), "{}", photo.unread);
        assert!(
            photo.too_large.contains("too many pixels") && !photo.too_large.contains("read"),
            "{}",
            photo.too_large
        );
        for said in [&photo.unread, &photo.too_large] {
            assert!(said.contains("the file is among the open files"), "{said}");
        }
    }
}
