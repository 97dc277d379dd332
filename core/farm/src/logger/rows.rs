//! Every line by its layout: what can be read is taken, the doubtful named.

use std::borrow::Cow;

use units::{Day, Instant, Local, Watch, Zone};

use super::layout::unit_of;
use super::table::{is_blank, lines, number, split};
use super::times::{self, Written};
use super::{DateOrder, Doubts, FileClock, Holds, Layout, Odd, Quantity, Series, Taken};
use crate::observed::Spot;

/// Lines between two looks at the watch.
const LOOK_EVERY: usize = 4096;
/// Gaps that are listed.
const GAPS_KEPT: usize = 50;

/// Reads every line. `spot` is where the logger hung, for columns that do not say; `now` is the moment of reading. `None` when
/// the watch was asked to stop. The watch counts bytes.
pub fn take(text: &str, layout: &Layout, (zone, spot, now): (&Zone, Spot, Instant), watch: &Watch) -> Option<Taken> {
    let mut reading = Reading::new(layout, zone, spot, now);
    watch.expect(text.len() as u64);
    let mut cells = Vec::new();
    let mut told = 0;
    for (at, (line, text_of)) in lines(text).enumerate() {
        if at % LOOK_EVERY == 0 {
            if watch.asked_to_stop() {
                return None;
            }
            let here = text_of.as_ptr() as usize - text.as_ptr() as usize;
            watch.advance((here - told) as u64);
            told = here;
        }
        if line < layout.first_line {
            continue;
        }
        split(text_of, layout.separator, &mut cells);
        reading.line(line, text_of, &cells);
    }
    watch.advance((text.len() - told) as u64);
    Some(reading.done())
}

/// One value with its line.
type Row = (Instant, f64, u32);

struct Building {
    column: usize,
    holds: Holds,
    series: Series,
    rows: Vec<Row>,
}

struct Reading<'a> {
    layout: &'a Layout,
    zone: Zone,
    now: Instant,
    time: Time,
    order: DateOrder,
    building: Vec<Building>,
    last: Option<Instant>,
    falling: bool,
    taken: Taken,
}

/// Which columns hold the time.
enum Time {
    Stamp(usize),
    Parts(usize, Option<usize>),
    Number(usize, Holds),
    None,
}

impl<'a> Reading<'a> {
    fn new(layout: &'a Layout, zone: &Zone, spot: Spot, now: Instant) -> Reading<'a> {
        let find = |wanted: Holds| layout.columns.iter().position(|column| column.holds == wanted);
        let number = || {
            [Holds::Epoch, Holds::Serial].into_iter().find_map(|holds| find(holds).map(|at| Time::Number(at, holds)))
        };
        let time = match (find(Holds::Stamp), find(Holds::Date)) {
            (Some(at), _) => Time::Stamp(at),
            (_, Some(date)) => Time::Parts(date, find(Holds::Clock)),
            _ => number().unwrap_or(Time::None),
        };
        let building = layout.columns.iter().enumerate().filter_map(|(column, named)| {
            let quantity = named.holds.quantity()?;
            let own = Spot { place: named.place.unwrap_or(spot.place), depth_m: named.depth_m.unwrap_or(spot.depth_m) };
            Some(Building {
                column,
                holds: named.holds,
                series: Series { quantity, spot: own, rows: Vec::new() },
                rows: Vec::new(),
            })
        });
        let mut all: Vec<Building> = Vec::new();
        for one in building {
            // Heads may differ and yet name the same spot once the person's own is filled in: the first is taken.
            let same =
                |other: &Building| (other.series.quantity, other.series.spot) == (one.series.quantity, one.series.spot);
            if !all.iter().any(same) {
                all.push(one);
            }
        }
        Reading {
            zone: clock_zone(layout.clock.0, zone, now),
            layout,
            now,
            time,
            order: layout.order.map_or(DateOrder::MonthFirst, |(order, _)| order),
            building: all,
            last: None,
            falling: false,
            taken: Taken::default(),
        }
    }

    fn line(&mut self, line: usize, text: &str, cells: &[Cow<'_, str>]) {
        let filled = cells.iter().rposition(|cell| !cell.is_empty()).map_or(0, |last| last + 1);
        if filled > self.layout.columns.len() && filled <= super::layout::COLUMNS_MOST {
            return self.taken.doubts.add(line, text, Odd::MoreCells);
        }
        let Some((at, odd)) = self.moment(cells) else {
            return self.taken.doubts.add(line, text, Odd::NotATime);
        };
        if at.0 < FIRST_LOGGER_S {
            return self.taken.doubts.add(line, text, Odd::NeverSet);
        }
        if self.last.is_none_or(|last| last != at) {
            self.falling = self.last.is_some_and(|last| at < last);
        }
        self.last = Some(at);
        let mut any = false;
        for at_building in 0..self.building.len() {
            let (column, holds) = (self.building[at_building].column, self.building[at_building].holds);
            let cell = cells.get(column).map_or("", |cell| cell.as_ref());
            if is_blank(cell) {
                continue;
            }
            match self.value(cell, holds) {
                Ok(value) => {
                    self.building[at_building].rows.push((at, value, line as u32));
                    any = true;
                }
                Err(odd) => self.taken.doubts.add(line, cell, odd),
            }
        }
        if any {
            // A line of no values does no harm by its hour.
            odd.into_iter().for_each(|odd| self.taken.doubts.add(line, text, odd));
            if at > self.now {
                self.taken.doubts.add(line, text, Odd::Later);
            }
            self.taken.lines += 1;
            let first = if self.taken.first_last_line.0 == 0 { line } else { self.taken.first_last_line.0 };
            self.taken.first_last_line = (first, line);
        }
    }

    fn value(&self, cell: &str, holds: Holds) -> Result<f64, Odd> {
        let (value, rest) = number(cell, self.layout.decimal_comma).ok_or(Odd::NotANumber)?;
        // A unit that stands in the cell itself wins.
        let holds = match unit_of(rest) {
            _ if rest.is_empty() => holds,
            Some(said) if said.quantity() == holds.quantity() => said,
            _ => return Err(Odd::NotANumber),
        };
        let quantity = holds.quantity().ok_or(Odd::NotANumber)?;
        let value = (holds.to_ours(value) * 1e4).round() / 1e4;
        let (least, most) = quantity.believed();
        if (least..=most).contains(&value) { Ok(value) } else { Err(Odd::NotBelieved(quantity)) }
    }

    fn moment(&self, cells: &[Cow<'_, str>]) -> Option<(Instant, Option<Odd>)> {
        let cell = |at: usize| cells.get(at).map(|cell| cell.as_ref()).filter(|cell| !cell.is_empty());
        match self.time {
            Time::Stamp(at) => {
                let stamp = times::stamp(cell(at)?).or_else(|| times::stamp_turned(cell(at)?))?;
                self.placed(stamp.day, stamp.second, stamp.offset_s)
            }
            Time::Parts(date, clock) => {
                let day = times::day(cell(date)?)?;
                // A day without its hour is taken at noon.
                let (second, offset_s) = clock.map_or(Some((43_200, None)), |at| times::clock(cell(at)?))?;
                self.placed(day, second, offset_s)
            }
            Time::Number(at, Holds::Epoch) => {
                let (value, _) = number(cell(at)?, self.layout.decimal_comma)?;
                times::epoch(value).map(|at| (at, None))
            }
            Time::Number(at, _) => {
                let (value, _) = number(cell(at)?, self.layout.decimal_comma)?;
                let (day, second) = times::serial(value)?;
                self.placed(Written::Day(day), second, None)
            }
            Time::None => None,
        }
    }

    fn placed(&self, day: Written, second: i32, offset_s: Option<i32>) -> Option<(Instant, Option<Odd>)> {
        let day = day.by(self.order)?.plus(second / 86_400);
        let second = second % 86_400;
        if let Some(offset_s) = offset_s {
            let face_s = i64::from(day.0) * 86_400 + i64::from(second);
            return Some((Instant(face_s - i64::from(offset_s)), None));
        }
        Some(match self.zone.resolve(face(day, second)) {
            Local::One(at) => (at, None),
            Local::Skipped(at) => (at, Some(Odd::Skipped)),
            Local::Twice(first, later) => {
                let (hour, falling) = (later.0 - first.0, self.falling);
                let is_later = match self.last {
                    Some(last) if falling => !(last.0 > first.0 - hour && last <= later),
                    Some(last) => last >= first && last.0 < later.0 + hour,
                    None => false,
                };
                (if is_later { later } else { first }, Some(Odd::ShownTwice))
            }
        })
    }

    fn done(mut self) -> Taken {
        for mut one in self.building {
            // Stable: of one moment, the value that stands first in the file stays first.
            one.rows.sort_by_key(|row| row.0);
            let mut kept: Vec<Row> = Vec::with_capacity(one.rows.len());
            for row in one.rows {
                match kept.last() {
                    Some(before) if before.0 == row.0 => {
                        let odd = if before.1 == row.1 { Odd::Repeated } else { Odd::TwoValues };
                        self.taken.doubts.add(row.2 as usize, &row.1.to_string(), odd);
                    }
                    _ => kept.push(row),
                }
            }
            spikes(one.series.quantity, &kept, &mut self.taken.doubts);
            one.series.rows = kept.into_iter().map(|(at, value, _)| (at, value)).collect();
            if !one.series.rows.is_empty() {
                self.taken.series.push(one.series);
            }
        }
        self.taken.doubts.sort();
        gaps(&mut self.taken);
        self.taken
    }
}

/// No logger's clock was set before 1990.
const FIRST_LOGGER_S: i64 = 631_152_000;

fn face(day: Day, second: i32) -> units::civil::DateTime {
    let part = |value: i32| i8::try_from(value).expect("hours, minutes and seconds fit");
    day.date().to_datetime(units::civil::time(part(second / 3600), part(second / 60 % 60), part(second % 60), 0))
}

/// The clock as a zone. Winter's is the smaller of the two distances from UTC of a January and a July.
fn clock_zone(clock: FileClock, zone: &Zone, now: Instant) -> Zone {
    let fixed = |offset_s: i32| {
        let sign = if offset_s < 0 { '-' } else { '+' };
        let (hours, minutes) = (offset_s.abs() / 3600, offset_s.abs() / 60 % 60);
        Zone::parse(&format!("{sign}{hours:02}:{minutes:02}")).unwrap_or_else(|_| Zone::utc())
    };
    match clock {
        FileClock::Farm => zone.clone(),
        FileClock::Utc => Zone::utc(),
        FileClock::Fixed(offset_s) => fixed(offset_s),
        FileClock::Winter => {
            let year = zone.local(now).year();
            let at =
                |month: i8| Day::new(year, month, 1).map_or(0, |day| zone.offset_s(Instant(i64::from(day.0) * 86_400)));
            fixed(at(1).min(at(7)))
        }
    }
}

/// Single readings far from the one before and the one after, both within two hours.
fn spikes(quantity: Quantity, rows: &[Row], doubts: &mut Doubts) {
    let far = match quantity {
        Quantity::Temperature => 4.0,
        Quantity::Oxygen => 6.0,
        Quantity::Ph => 1.5,
        Quantity::Stage => 0.5,
    };
    for three in rows.windows(3) {
        let near = three[2].0.0 - three[0].0.0 <= 4 * 3600;
        let (up, down) = (three[1].1 - three[0].1, three[1].1 - three[2].1);
        if near && up.abs() > far && down.abs() > far && up.signum() == down.signum() {
            doubts.add(three[1].2 as usize, &three[1].1.to_string(), Odd::Spike(quantity));
        }
    }
}

fn gaps(taken: &mut Taken) {
    let Some(longest) = taken.series.iter().max_by_key(|series| series.rows.len()) else { return };
    let mut steps: Vec<i64> = longest.rows.windows(2).map(|pair| pair[1].0.0 - pair[0].0.0).collect();
    if steps.is_empty() {
        return;
    }
    let middle = steps.len() / 2;
    let step_s = *steps.select_nth_unstable(middle).1;
    let wide = longest.rows.windows(2).filter(|pair| pair[1].0.0 - pair[0].0.0 > 3 * step_s);
    let all: Vec<(Instant, Instant)> = wide.map(|pair| (pair[0].0, pair[1].0)).collect();
    taken.step_s = step_s;
    taken.gap_count = all.len();
    taken.gaps = all.into_iter().take(GAPS_KEPT).collect();
}
