//! What the animals of one pond met, day by day and member by member: all that the rest of the program needs of the water.

use stock::{DayRow, DayTally};
use units::{LANES, Lanes, Real};

use crate::hours::HourTable;

/// One pond's days. Every list has the shape `[day][member]`, members innermost.
#[derive(Debug, Clone, PartialEq)]
pub struct DayTable {
    days: usize,
    members: usize,
    /// Warm days gained on the day.
    warm_days: Vec<f32>,
    dose_max: Vec<f32>,
    coldest_dose_max: Vec<f32>,
    dawn_c: Vec<f32>,
    dawn_coldest_c: Vec<f32>,
    mean_c: Vec<f32>,
}

/// One member's day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberDay {
    /// Warm days gained that day.
    pub warm_days: f64,
    /// Largest unit dose of cold so far.
    pub dose_max: f64,
    /// The same in the coldest column.
    pub coldest_dose_max: f64,
    /// Animals' water at dawn, °C.
    pub dawn_c: f64,
    /// Coldest column at dawn, °C.
    pub dawn_coldest_c: f64,
    /// Mean of the animals' water, °C.
    pub mean_c: f64,
}

impl DayTable {
    /// A table of nothing yet.
    pub fn empty(days: usize, members: usize) -> DayTable {
        let list = || vec![0.0_f32; days * members];
        DayTable {
            days,
            members,
            warm_days: list(),
            dose_max: list(),
            coldest_dose_max: list(),
            dawn_c: list(),
            dawn_coldest_c: list(),
            mean_c: list(),
        }
    }

    /// From hours: whole days of 24 from the first hour; `dawn_hour` is the hour of each day that holds dawn.
    /// `before` is what each member's animals were used to and how cold they have had it.
    pub fn from_hours(hours: &HourTable, dawn_hour: usize, before: &DayTally<f64>) -> DayTable {
        let days = hours.hours() / 24;
        let mut table = DayTable::empty(days, hours.members());
        for tile in 0..hours.tiles() {
            let mut tally = spread(before);
            for day in 0..days {
                for hour in 0..24 {
                    let (animals, coldest) = hours.at(tile, day * 24 + hour);
                    tally.hour(animals, coldest, hour == dawn_hour);
                }
                let row = tally.end_day();
                table.put_row(tile, day, &row);
            }
        }
        table
    }

    /// Writes a day of sixteen members.
    pub(crate) fn put_row(&mut self, tile: usize, day: usize, row: &DayRow<Lanes>) {
        let first = tile * LANES;
        let members = LANES.min(self.members - first);
        let at = day * self.members + first;
        let write = |list: &mut Vec<f32>, value: &Lanes| list[at..at + members].copy_from_slice(&value.0[..members]);
        write(&mut self.warm_days, &row.warm_days);
        write(&mut self.dose_max, &row.dose_max);
        write(&mut self.coldest_dose_max, &row.coldest_dose_max);
        write(&mut self.dawn_c, &row.dawn_c);
        write(&mut self.dawn_coldest_c, &row.dawn_coldest_c);
        write(&mut self.mean_c, &row.mean_c);
    }

    /// Writes one member's day; for tables put together from kept water.
    pub fn set(&mut self, day: usize, member: usize, row: &MemberDay) {
        let at = day * self.members + member;
        self.warm_days[at] = row.warm_days as f32;
        self.dose_max[at] = row.dose_max as f32;
        self.coldest_dose_max[at] = row.coldest_dose_max as f32;
        self.dawn_c[at] = row.dawn_c as f32;
        self.dawn_coldest_c[at] = row.dawn_coldest_c as f32;
        self.mean_c[at] = row.mean_c as f32;
    }

    /// Writes one member's day from a tally's row.
    pub fn set_row(&mut self, day: usize, member: usize, row: &DayRow<f64>) {
        let day_of = MemberDay {
            warm_days: row.warm_days,
            dose_max: row.dose_max,
            coldest_dose_max: row.coldest_dose_max,
            dawn_c: row.dawn_c,
            dawn_coldest_c: row.dawn_coldest_c,
            mean_c: row.mean_c,
        };
        self.set(day, member, &day_of);
    }

    /// One member alone.
    #[must_use]
    pub fn only(&self, member: usize) -> DayTable {
        let mut one = DayTable::empty(self.days, 1);
        for day in 0..self.days {
            one.set(day, 0, &self.at(day, member));
        }
        one
    }

    /// Number of days.
    pub fn days(&self) -> usize {
        self.days
    }
    /// Number of members.
    pub fn members(&self) -> usize {
        self.members
    }
    /// One member's day.
    #[inline]
    pub fn at(&self, day: usize, member: usize) -> MemberDay {
        let at = day * self.members + member;
        MemberDay {
            warm_days: f64::from(self.warm_days[at]),
            dose_max: f64::from(self.dose_max[at]),
            coldest_dose_max: f64::from(self.coldest_dose_max[at]),
            dawn_c: f64::from(self.dawn_c[at]),
            dawn_coldest_c: f64::from(self.dawn_coldest_c[at]),
            mean_c: f64::from(self.mean_c[at]),
        }
    }
    /// Animals' water at dawn of a day, all members, °C.
    pub fn dawns_c(&self, day: usize) -> &[f32] {
        &self.dawn_c[day * self.members..(day + 1) * self.members]
    }
    /// Coldest column at dawn of a day, all members, °C.
    pub fn coldest_dawns_c(&self, day: usize) -> &[f32] {
        &self.dawn_coldest_c[day * self.members..(day + 1) * self.members]
    }
}

/// One tally for every lane.
fn spread(before: &DayTally<f64>) -> DayTally<Lanes> {
    before.map(Lanes::splat)
}
