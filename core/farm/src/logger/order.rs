//! Whether day or month stands first: by a number above twelve anywhere in the file, else by the steps from line to line.

use super::times::Written;
use super::{DateOrder, How};

/// A file of one or two days says nothing by its steps.
const DAYS_LEAST: usize = 3;

/// The order of a file's days; `None` where it does not matter.
pub(super) fn find(days: impl Iterator<Item = Written>) -> Option<(DateOrder, How)> {
    let mut seen: Vec<(i8, i8, i16)> = Vec::new();
    let (mut day_first, mut month_first) = (0usize, 0usize);
    for written in days {
        let Written::Either { first, second, year } = written else { continue };
        day_first += usize::from(first > 12);
        month_first += usize::from(second > 12);
        if seen.last() != Some(&(first, second, year)) {
            seen.push((first, second, year));
        }
    }
    match (day_first, month_first) {
        (0, 0) if seen.is_empty() => None,
        (0, 0) => Some(by_steps(&seen)),
        (days, months) if days >= months => Some((DateOrder::DayFirst, How::Cells)),
        _ => Some((DateOrder::MonthFirst, How::Cells)),
    }
}

/// The order under which the days follow each other without leaps, if only one does.
fn by_steps(seen: &[(i8, i8, i16)]) -> (DateOrder, How) {
    let widest = |order: DateOrder| {
        let days: Vec<i32> = seen
            .iter()
            .filter_map(|&(first, second, year)| Written::Either { first, second, year }.by(order).map(|day| day.0))
            .collect();
        days.windows(2).map(|pair| (pair[1] - pair[0]).abs()).max().unwrap_or(0)
    };
    let (month_d, day_d) = (widest(DateOrder::MonthFirst), widest(DateOrder::DayFirst));
    match seen.len() >= DAYS_LEAST {
        true if month_d <= 2 && day_d > 7 => (DateOrder::MonthFirst, How::Guess),
        true if day_d <= 2 && month_d > 7 => (DateOrder::DayFirst, How::Guess),
        _ => (DateOrder::MonthFirst, How::Asked),
    }
}
