//! Rows in any order to hours in order, holes and oddities named.

use units::{Instant, SECONDS_PER_HOUR};

use crate::air::{HourlyRecord, PartHour};
use crate::findings::{Done, Finding, Refusal, What};

/// Longest hole that is filled by a straight line, hours.
pub(crate) const FILL_HOURS_MAX: usize = 6;
/// Hours a record may span: 170 years.
const SPAN_HOURS_MAX: i64 = 1_500_000;
/// A jump in time between neighbouring rows that can only be a mistyped year.
const JUMP_HOURS_MAX: i64 = 10 * 8766;

/// One line of a file: the moment it stands for (inside the hour it describes) and what it gives.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub at: Instant,
    /// The time as written.
    pub text: String,
    pub part: PartHour,
}

/// A quantity of an hour: its name in findings, how to read it, how to set it.
type Slot = (&'static str, fn(&PartHour) -> Option<f64>, fn(&mut PartHour) -> &mut Option<f64>);

/// Every quantity of an hour.
pub(crate) const SLOTS: [Slot; 10] = [
    ("air temperature", |h| h.air_temp_c, |h| &mut h.air_temp_c),
    ("humidity", |h| h.vapour_pressure_hpa, |h| &mut h.vapour_pressure_hpa),
    ("wind", |h| h.wind_m_s, |h| &mut h.wind_m_s),
    ("shortwave", |h| h.shortwave_w_m2, |h| &mut h.shortwave_w_m2),
    ("longwave", |h| h.longwave_w_m2, |h| &mut h.longwave_w_m2),
    ("cloud", |h| h.cloud_fraction, |h| &mut h.cloud_fraction),
    ("pressure", |h| h.pressure_hpa, |h| &mut h.pressure_hpa),
    ("sea level pressure", |h| h.sea_level_pressure_hpa, |h| &mut h.sea_level_pressure_hpa),
    ("rain", |h| h.rain_mm, |h| &mut h.rain_mm),
    ("chance of rain", |h| h.rain_chance, |h| &mut h.rain_chance),
];
const RAIN: usize = 8;
/// The first of them have no stand-in for a long hole: temperature, humidity, wind, sun.
const NEEDED: usize = 4;

/// Sorts, drops repeats, gathers into hours. `grid_s` is the zone's offset: hours begin where the local clock shows a full hour.
pub(super) fn assemble(
    mut rows: Vec<Row>,
    grid_s: i32,
    time_column: &str,
    findings: &mut Vec<Finding>,
) -> Result<HourlyRecord, Refusal> {
    let name_out_of_order =
        |row: &Row| Finding::cell(row.part.line as usize, time_column, &row.text, What::OutOfOrder, Done::Sorted);
    let mut latest = Instant(i64::MIN);
    for row in &rows {
        if row.at < latest {
            findings.push(name_out_of_order(row));
        }
        latest = latest.max(row.at);
    }
    rows.sort_by_key(|row| row.at);
    rows.dedup_by(|later, first| {
        let repeated = later.at == first.at;
        if repeated {
            let (line, first_line) = (later.part.line.max(first.part.line), later.part.line.min(first.part.line));
            let what = What::Repeated { first_line: first_line as usize };
            findings.push(Finding::cell(line as usize, time_column, &later.text, what, Done::FirstUsed));
        }
        repeated
    });
    let (first, last) = (rows.first().ok_or(Refusal::Empty)?.at, rows.last().ok_or(Refusal::Empty)?.at);
    let grid = i64::from(grid_s).rem_euclid(SECONDS_PER_HOUR);
    let start = Instant((first.0 + grid).div_euclid(SECONDS_PER_HOUR) * SECONDS_PER_HOUR - grid);
    outlier(&rows)?;
    let n_hours = usize::try_from(last.hours_since(start) + 1).map_err(|_| Refusal::Empty)?;
    let mut hours = vec![PartHour::default(); n_hours];
    let gathered = gather(&rows, start, &mut hours);
    if gathered > 1 {
        findings.push(Finding::line(0, What::LinesInHour { lines: gathered }, Done::Averaged));
    }
    name_holes(start, &hours, findings);
    name_stuck(&hours, findings);
    findings.sort_by_key(|finding| finding.line);
    Ok(HourlyRecord { start, hours, place: None })
}

/// Refuses a span that only a mistyped year can explain, naming the line that stands alone.
fn outlier(rows: &[Row]) -> Result<(), Refusal> {
    let jump =
        rows.windows(2).position(|pair| pair[1].at.0.saturating_sub(pair[0].at.0) > JUMP_HOURS_MAX * SECONDS_PER_HOUR);
    let too_long = rows[rows.len() - 1].at.0.saturating_sub(rows[0].at.0) > SPAN_HOURS_MAX * SECONDS_PER_HOUR;
    let alone = match jump {
        Some(before) if before + 1 > rows.len() / 2 => before + 1,
        Some(before) => before,
        None if too_long => rows.len() - 1,
        None => return Ok(()),
    };
    Err(Refusal::SpanTooLong {
        line: rows[alone].part.line as usize,
        text: crate::findings::clipped(&rows[alone].text),
    })
}

/// Puts rows into their hours: means, and sums of rain. Gives the largest number of rows in one hour.
fn gather(rows: &[Row], start: Instant, hours: &mut [PartHour]) -> usize {
    let mut most = 0;
    let mut from = 0;
    while from < rows.len() {
        let index = rows[from].at.hours_since(start);
        let to = from + rows[from..].iter().take_while(|row| row.at.hours_since(start) == index).count();
        let hour = &mut hours[index as usize];
        hour.line = rows[from].part.line;
        for (slot, (_, get, set)) in SLOTS.iter().enumerate() {
            let (sum, count) = rows[from..to]
                .iter()
                .filter_map(|row| get(&row.part))
                .fold((0.0, 0), |(sum, count), value| (sum + value, count + 1));
            if count > 0 {
                *set(hour) = Some(if slot == RAIN { sum } else { sum / f64::from(count) });
            }
        }
        most = most.max(to - from);
        from = to;
    }
    most
}

/// Stretches of `true`: (first, count).
pub(crate) fn stretches(flags: impl Iterator<Item = bool>) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    let mut open = false;
    for (i, flag) in flags.enumerate() {
        match (flag, open) {
            (true, true) => found.last_mut().expect("opened before").1 += 1,
            (true, false) => found.push((i, 1)),
            _ => {}
        }
        open = flag;
    }
    found
}

/// The line of an hour, or the last line of the file before it when it has none.
pub(crate) fn line_at(hours: &[PartHour], index: usize) -> usize {
    hours[..=index].iter().rev().find(|hour| hour.line > 0).map_or(0, |hour| hour.line as usize)
}

fn name_holes(start: Instant, hours: &[PartHour], findings: &mut Vec<Finding>) {
    let mut add = |column: &str, first: usize, count: usize, needed: bool| {
        let done = if count <= FILL_HOURS_MAX || !needed { Done::Filled(None) } else { Done::LeftOpen };
        let what = What::MissingHours { from: start.plus_hours(first as i64), hours: count };
        findings.push(Finding::cell(line_at(hours, first), column, "", what, done));
    };
    let no_line = stretches(hours.iter().map(|hour| hour.line == 0));
    for &(first, count) in &no_line {
        add("", first, count, true);
    }
    for (slot, (name, get, _)) in SLOTS.into_iter().enumerate() {
        if hours.iter().all(|hour| get(hour).is_none()) {
            continue;
        }
        for stretch in stretches(hours.iter().map(|hour| get(hour).is_none())) {
            if !no_line.contains(&stretch) {
                add(name, stretch.0, stretch.1, slot < NEEDED);
            }
        }
    }
}

/// Readings that stand still for longer than air does.
fn name_stuck(hours: &[PartHour], findings: &mut Vec<Finding>) {
    // A calm of two days at one reading, or the same tenth of a degree for half a day, is an instrument, not the air.
    for (slot, most) in [(0, 12), (1, 24), (2, 48)] {
        let (name, get, _) = SLOTS[slot];
        let mut first = 0;
        for i in 1..=hours.len() {
            let same = i < hours.len() && get(&hours[i]).is_some() && get(&hours[i]) == get(&hours[first]);
            if same {
                continue;
            }
            if i - first >= most && get(&hours[first]).is_some() {
                let what = What::Stuck { hours: i - first };
                findings.push(Finding::cell(hours[first].line as usize, name, "", what, Done::Kept));
            }
            first = i;
        }
    }
}
