//! The water's course at the places asked for, on the hour.

use farm::observed::{Spot, When};
use units::{Instant, SECONDS_PER_HOUR, Zone};

/// Water temperature at each spot, each hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// The first moment; row `k` is `k` hours later.
    pub start: Instant,
    /// Columns.
    pub spots: Vec<Spot>,
    /// Row by row, column by column, C.
    pub temps_c: Vec<Vec<f64>>,
}

impl Course {
    /// The moment of a row.
    pub fn time(&self, row: usize) -> Instant {
        self.start.plus_hours(row as i64)
    }

    /// The first `columns` columns, and the rest.
    pub(super) fn split(mut self, columns: usize) -> (Course, Course) {
        let temps_c = self.temps_c.iter_mut().map(|row| row.split_off(columns)).collect();
        let rest = Course { start: self.start, spots: self.spots.split_off(columns), temps_c };
        (self, rest)
    }

    /// Temperature at a moment, linear between the hours; `None` outside.
    pub fn at(&self, at: Instant, column: usize) -> Option<f64> {
        let row = usize::try_from(at.hours_since(self.start)).ok()?;
        let before = *self.temps_c.get(row)?.get(column)?;
        let part = (at.0 - self.time(row).0) as f64 / SECONDS_PER_HOUR as f64;
        if part == 0.0 {
            return Some(before);
        }
        let after = *self.temps_c.get(row + 1)?.get(column)?;
        Some(before + part * (after - before))
    }

    /// A moment's value, or the mean of a whole civil day (its first and last midnight count half each).
    pub fn mean_or_moment(&self, when: When, zone: &Zone, column: usize) -> Option<f64> {
        let day = match when {
            When::At(at) => return self.at(at, column),
            When::MeanOf(day) => day,
        };
        let (from, to) = (zone.instant(day, 0), zone.instant(day.plus(1), 0));
        let hours = (to.0 - from.0) / SECONDS_PER_HOUR;
        let mut sum = 0.0;
        for hour in 0..=hours {
            let weight = if hour == 0 || hour == hours { 0.5 } else { 1.0 };
            sum += weight * self.at(from.plus_hours(hour), column)?;
        }
        Some(sum / hours as f64)
    }
}
