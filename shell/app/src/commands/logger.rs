//! `warmspell log`: a logger's file, looked at; with --take its readings are kept, all together or not at all.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use clap::Args;
use farm::Farm;
use farm::facts::{Fact, Happened, newest_form};
use farm::logger::{Choices, DateOrder, FileClock, Holds, Layout, Sheet, Taken, decode, layout, take};
use farm::observed::{Place, Spot};
use serde_json::json;
use store::{Exchange, FarmRow, LoggedTaken, LoggerFile, Store, StoreError, sha256_hex};
use units::measure::{Kind, read};
use units::{Instant, Watch};
use web::Served;
use words::figures::Manner;
use words::{log_command as command, page_file as say, page_log};

use super::{Told, versioned};
use crate::files;
use crate::waiting::with_progress;

/// Brings a logger's file (CSV, text, .xlsx) into the record; without --take it is only looked at.
#[derive(Debug, Args)]
#[command(after_help = AFTER)]
pub struct LogArgs {
    /// The file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// In which pond it hung: its short name or its name
    #[arg(long, value_name = "POND")]
    pond: String,
    /// At which end: deep, middle or shallow
    #[arg(long, value_name = "END", default_value = "deep")]
    end: String,
    /// How far below the surface
    #[arg(long, value_name = "DEPTH", default_value = "18 in")]
    depth: String,
    /// Keep the readings
    #[arg(long)]
    take: bool,
    /// Which of day and month stands first, where the file does not say: day or month
    #[arg(long, value_name = "WHICH")]
    first: Option<String>,
    /// The clock that wrote the times: farm, winter (the farm's winter clock all year) or utc
    #[arg(long, value_name = "CLOCK")]
    clock: Option<String>,
    /// What a column holds, as 2=temp_f; columns count from 1. May be given more than once
    #[arg(long, value_name = "N=WHAT")]
    column: Vec<String>,
    /// Which sheet of a workbook, from 1
    #[arg(long, value_name = "N", default_value_t = 1)]
    sheet: usize,
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// The record; warmspell.db in your data folder when left out
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// Print the answer for a program
    #[arg(long)]
    json: bool,
}

const AFTER: &str = "Examples:
  warmspell log august.csv --pond willow
  warmspell log august.csv --pond willow --end shallow --depth '2 ft' --take
  warmspell log book.xlsx --pond heron --sheet 2 --column 3=temp_f --first day

Columns hold: stamp, date, clock, epoch, serial, temp_c, temp_f, oxygen, ph, stage_m, stage_cm, stage_in, stage_ft or nothing.
Ctrl-C stops it; nothing of the file is then kept.";

/// What was looked at.
struct Looked {
    farm: Farm,
    manner: Manner,
    fact: Fact,
    bytes: Vec<u8>,
    layout: Layout,
    taken: Taken,
}

/// Answers `warmspell log`.
pub fn run(args: &LogArgs, now_ms: i64) -> Told {
    match looked(args, now_ms).and_then(|looked| answer(args, &looked, now_ms)) {
        Ok(told) => told,
        Err(why) => Told::could_not(why),
    }
}

fn looked(args: &LogArgs, now_ms: i64) -> Result<Looked, String> {
    let read_farm = files::farm(args.farm.as_deref())?;
    let manner = if read_farm.us_customary() { Manner::UsCustomary } else { Manner::Metric };
    let farm = read_farm.farm;
    let wanted = farm.ponds.iter().find(|pond| pond.id == args.pond || pond.name.eq_ignore_ascii_case(&args.pond));
    let names: Vec<&str> = farm.ponds.iter().map(|pond| pond.id.as_str()).collect();
    let pond = wanted.ok_or_else(|| command::no_such_pond(&args.pond, &names))?.id.clone();
    let spot = spot(args)?;
    let choices = choices(args)?;
    let bytes = files::bytes(&args.file)?;
    let sheets = sheets(&bytes)?;
    let sheet = args
        .sheet
        .checked_sub(1)
        .and_then(|at| sheets.get(at))
        .ok_or_else(|| command::no_such_sheet(args.sheet, sheets.len()))?;
    let layout = layout(&sheet.text, &choices).map_err(|why| say::not_a_logger(why).to_owned())?;
    let zone = farm.place.zone.clone();
    let now = Instant(now_ms.div_euclid(1000));
    let taken = with_progress("reading the file", |watch| take(&sheet.text, &layout, (&zone, spot, now), watch));
    let taken = taken.ok_or_else(|| say::STOPPED.to_owned())?;
    let name = args.file.file_name().map_or(String::new(), |name| name.to_string_lossy().into_owned());
    let typed = [
        ("pond", pond),
        ("end", args.end.clone()),
        ("depth", args.depth.clone()),
        ("file", name),
        ("digest", sha256_hex(&bytes)),
        ("rows", taken.count().to_string()),
    ];
    let mut fact = Fact {
        id: String::new(),
        farm: Served::id_of(&farm.name),
        device: "this-machine".to_owned(),
        person: "owner".to_owned(),
        kind: "logger".to_owned(),
        form: newest_form("logger").map_or(1, |form| form.version),
        happened: Happened { at: now, offset_s: zone.offset_s(now) },
        typed_ms: now_ms,
        corrects: None,
        typed: typed.map(|(key, text)| (key.to_owned(), text)).into(),
        values: BTreeMap::new(),
    };
    fact.read();
    Ok(Looked { farm, manner, fact, bytes, layout, taken })
}

fn spot(args: &LogArgs) -> Result<Spot, String> {
    let place = Place::ALL.into_iter().find(|place| place.name() == args.end);
    let depth_m = read(&args.depth, Kind::Length, None).ok().filter(|depth_m| (0.0..=30.0).contains(depth_m));
    Ok(Spot {
        place: place.ok_or_else(|| command::no_such_end(&args.end))?,
        depth_m: depth_m.ok_or_else(|| say::NO_DEPTH.to_owned())?,
    })
}

fn choices(args: &LogArgs) -> Result<Choices, String> {
    let order = match args.first.as_deref() {
        None => None,
        Some("month") => Some(DateOrder::MonthFirst),
        Some("day") => Some(DateOrder::DayFirst),
        Some(other) => return Err(command::no_such_choice("--first", other, "day, month")),
    };
    let mut choices = Choices { order, ..Choices::default() };
    if let Some(clock) = &args.clock {
        let known =
            FileClock::parse(clock).ok_or_else(|| command::no_such_choice("--clock", clock, "farm, winter, utc"))?;
        choices.clock = Some(known);
    }
    for one in &args.column {
        let parsed = one
            .split_once('=')
            .and_then(|(at, holds)| Some((at.parse::<usize>().ok()?.checked_sub(1)?, Holds::parse(holds)?)));
        let (at, holds) = parsed.ok_or_else(|| command::no_such_choice("--column", one, "2=temp_f"))?;
        choices.columns.insert(at, holds);
    }
    Ok(choices)
}

fn sheets(bytes: &[u8]) -> Result<Vec<Sheet>, String> {
    if !sheets::is_workbook(bytes) {
        return Ok(vec![Sheet { name: String::new(), text: decode(bytes).into_owned() }]);
    }
    sheets::read(bytes).map_err(|error| {
        let said = match error {
            sheets::SheetError::NotAWorkbook => say::NOT_A_WORKBOOK,
            sheets::SheetError::TooLarge => say::BOOK_TOO_LARGE,
        };
        said.to_owned()
    })
}

fn answer(args: &LogArgs, looked: &Looked, now_ms: i64) -> Result<Told, String> {
    let path =
        args.store.clone().or_else(super::record::usual_place).ok_or_else(|| words::store::no_home().to_owned())?;
    let told = |error: StoreError| words::store::error(&path, &error);
    let store = Store::open(&path, now_ms).map_err(told)?;
    let pond = looked.fact.pond().unwrap_or_default();
    let compared = store.compare_series(&looked.fact.farm, pond, &looked.taken.series, &Watch::new()).map_err(told)?;
    let open = looked.layout.open();
    let name = looked.fact.text("file").unwrap_or_default();
    let mut kept = None;
    if args.take && open.is_empty() {
        kept = Some(keep(&store, looked, now_ms).map_err(|error| match error {
            StoreError::Stopped => say::STOPPED.to_owned(),
            other => told(other),
        })?);
    }
    let code = u8::from(args.take && !open.is_empty());
    if args.json {
        return Ok(Told { answer: as_json(looked, &compared, kept.as_ref()), notes: Vec::new(), code });
    }
    let mut lines = preview(looked, &compared);
    match kept {
        Some(kept) => lines.push(say::kept(name, &kept)),
        None if open.is_empty() => lines.push(command::ADD_TAKE.to_owned()),
        None => {}
    }
    Ok(Told { answer: format!("{}\n", lines.join("\n")), notes: Vec::new(), code })
}

fn keep(store: &Store, looked: &Looked, now_ms: i64) -> Result<LoggedTaken, StoreError> {
    let known = store.farms()?.iter().any(|row| row.id == looked.fact.farm);
    if !known {
        let name = looked.farm.name.clone();
        store.keep_farm(&FarmRow { id: looked.fact.farm.clone(), name, made_ms: now_ms, is_sample: false })?;
    }
    let fact = Fact { id: store.new_id()?, ..looked.fact.clone() };
    let exchange = Exchange { device: "this-machine", now_ms, device_ms: Some(now_ms) };
    let media = if sheets::is_workbook(&looked.bytes) {
        "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    } else {
        "text/csv"
    };
    let file = LoggerFile { media, bytes: &looked.bytes };
    with_progress("keeping the readings", |watch| store.keep_series(&fact, exchange, file, &looked.taken.series, watch))
}

fn preview(looked: &Looked, compared: &LoggedTaken) -> Vec<String> {
    let (zone, manner) = (&looked.farm.place.zone, looked.manner);
    let name = looked.fact.text("file").unwrap_or_default();
    let mut lines = vec![say::counted(name, &looked.taken, zone, manner)];
    for (at, column) in looked.layout.columns.iter().enumerate() {
        let how = say::how(column.how, column.holds);
        let how = if how.is_empty() { String::new() } else { format!(" ({how})") };
        lines.push(format!("  {}. {}: {}{how}", at + 1, say::column(at, &column.name), say::holds(column.holds)));
    }
    lines.push(command::clock_says(looked.layout.clock.0));
    for series in &looked.taken.series {
        let end = page_log::end(series.spot.place.name());
        let count = series.rows.len();
        lines.push(command::series(series.quantity, end, count));
        for (_, (at, value)) in series.rows.iter().enumerate().filter(|(n, _)| *n < 2 || n + 2 >= count) {
            lines.push(format!(
                "  {}  {}",
                page_log::moment(*at, zone, manner),
                say::value(series.quantity, *value, manner)
            ));
        }
    }
    lines.extend(looked.taken.doubts.counts.iter().map(|(odd, count)| say::odd(*odd, *count)));
    lines.push(say::gaps(looked.taken.gap_count));
    lines.push(say::compared(compared));
    let column = |at: usize| looked.layout.columns.get(at).map_or(String::new(), |one| say::column(at, &one.name));
    for question in looked.layout.open() {
        let at = if let farm::logger::Question::TempUnit(at) = question { at } else { 0 };
        lines.push(command::question_by_command(question, at, &column(at)));
    }
    lines.retain(|line| !line.is_empty());
    lines
}

fn as_json(looked: &Looked, compared: &LoggedTaken, kept: Option<&LoggedTaken>) -> String {
    let columns: Vec<_> = looked
        .layout
        .columns
        .iter()
        .map(|column| json!({ "name": column.name, "holds": column.holds.key() }))
        .collect();
    let span = looked.taken.span().map(|(first, last)| [first.0, last.0]);
    let rest = json!({
        "columns": columns, "lines": looked.taken.lines, "readings": looked.taken.count(), "span_utc_s": span,
        "step_s": looked.taken.step_s, "gaps": looked.taken.gap_count, "doubtful": looked.taken.doubts.count(),
        "questions": looked.layout.open().len(), "new": compared.made, "already_had": compared.already_had,
        "differs": compared.differs, "kept": kept.is_some_and(|kept| kept.seq.is_some()), "file": shown(&looked.fact),
    });
    let map = rest.as_object().cloned().unwrap_or_default();
    versioned("warmspell.log", 1, map)
}

fn shown(fact: &Fact) -> &str {
    fact.text("file").unwrap_or_default()
}

/// The farm of a record that is asked about: the one whose file is named, or the first one, as its recorded file or the sample says.
pub fn farm_of(store: &Store, farm_file: Option<&Path>) -> Result<(FarmRow, Farm), String> {
    let failed = |error: StoreError| words::store::error(store.path(), &error);
    let rows = store.farms().map_err(failed)?;
    let named = farm_file.map(|path| files::farm(Some(path))).transpose()?.map(|files| files.farm);
    let wanted = named.as_ref().map(|farm| Served::id_of(&farm.name));
    let row = rows
        .into_iter()
        .find(|row| wanted.as_ref().is_none_or(|id| *id == row.id))
        .ok_or_else(|| command::NO_FARM.to_owned())?;
    let facts = store.facts(&row.id).map_err(failed)?;
    let recorded = farm::facts::farm_text(&facts).and_then(|text| farm::read_farm(text).ok());
    let farm = match named.or(recorded) {
        Some(farm) => farm,
        None if row.is_sample => files::farm(None)?.farm,
        None => return Err(command::NO_FARM.to_owned()),
    };
    Ok((row, farm))
}

/// A workbook of the season: for `warmspell export FILE.xlsx`.
pub fn book(store: &Store, to: &Path, farm_file: Option<&Path>, now_ms: i64) -> Result<u64, String> {
    let failed = |error: StoreError| words::store::error(store.path(), &error);
    let (row, farm) = farm_of(store, farm_file)?;
    if to.exists() {
        return Err(words::store::error(to, &StoreError::InTheWay));
    }
    let asked =
        sheets::Asked { farm_id: &row.id, farm: &farm, from: Instant(0), before: Instant(now_ms / 1000 + 86_400) };
    let tables = sheets::season_book(store, asked).map_err(failed)?;
    let bytes = sheets::write(&tables).map_err(|what| words::store::error(to, &StoreError::Other(what)))?;
    words::trouble::read(to, std::fs::write(to, bytes))?;
    Ok(tables.iter().map(|table| table.rows.len() as u64).sum())
}

#[cfg(test)]
mod tests;
