//! The farm moved to another year: every date keeps its day of the year, and what belongs to one morning alone is taken away.

use farm::{Days, Farm, PondCard, Seen};
use units::Day;

/// The farm as it would stand in a season that begins in `year`.
pub fn farm_in(farm: &Farm, year: i16) -> Farm {
    let own = farm.ponds.iter().map(|card| card.stocking.on).min().map_or(year, |day| day.ymd().0);
    let by = year - own;
    let day = |day: Day| day.in_year(day.ymd().0 + by);
    let days = |days: &Days| Days { from: day(days.from), to: day(days.to) };
    let all = |list: &[Days]| list.iter().map(days).collect::<Vec<_>>();
    let mut moved = farm.clone();
    moved.season.last_catch = day(farm.season.last_catch);
    moved.season.survival_told = None;
    for away in &mut moved.crew.away {
        away.days = days(&away.days);
    }
    for hired in &mut moved.gear.hired {
        hired.away = all(&hired.away);
    }
    if let Some(store) = &mut moved.cold.store {
        store.taken = all(&store.taken);
    }
    moved.calendar.holidays = all(&farm.calendar.holidays);
    moved.calendar.sale_days = farm.calendar.sale_days.iter().map(|&on| day(on)).collect();
    for card in &mut moved.ponds {
        move_pond(card, &day);
    }
    moved
}

fn move_pond(card: &mut PondCard, day: &dyn Fn(Day) -> Day) {
    card.stocking.on = day(card.stocking.on);
    card.seen = card.seen.iter().map(|seen| Seen { on: seen.on.map(day), ..seen.clone() }).collect();
    card.samples.clear();
    card.readings.clear();
    card.forbidden = card.forbidden.iter().map(|days| Days { from: day(days.from), to: day(days.to) }).collect();
    (card.locked, card.draining_since, card.harvested) = (None, None, None);
}
