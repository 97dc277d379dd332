//! What one question about a pond's emptying hangs on, and how a wish is made whole.

use farm::{Outlet, PondCard, StartOfWork};
use pond::drawdown::backwards::{Opening, Seine, Wanted};
use pond::drawdown::{Pump, Rate, Reservoir, SUCTION_M, Way, Works, hours_down};
use units::{Day, Instant};

use super::{DrainError, FuelNeed, OutletHour, SeineWish, WayOut, Wish};
use crate::drawn::Drawn;
use crate::limits::{pumps_hold, pumps_left};
use crate::outlook::MorningAsk;
use crate::ponds::{seen_on, shape};
use crate::standing::Standing;
use crate::works::{catch_m, outlet_water, pace_factor, seining_m, works};

/// Hours after the catch that are followed, over the time it takes.
const AFTER_H: f64 = 2.0;

/// Everything that one question hangs on, made once.
pub(super) struct Setting<'a> {
    pub ask: &'a MorningAsk<'a>,
    pub drawn: &'a Drawn,
    pub standing: &'a Standing,
    pub card: &'a PondCard,
    /// The pond in many columns: where the floor falls bare.
    pub held: Reservoir,
    /// Clock hours at standard midnight.
    pub clock_h: f64,
}

/// A wish made whole.
#[derive(Clone)]
pub(super) struct Asked {
    pub catch_day: Day,
    pub pumps: Vec<usize>,
    pub works: Works,
    pub wanted: Wanted,
    /// Well water let in once the pond stands low: m³/h, °C.
    pub well: Option<(f64, f64)>,
    /// The level before the opening is the one told.
    pub level_told: bool,
}

impl<'a> Setting<'a> {
    /// Of one pond of a morning.
    pub(super) fn new(ask: &'a MorningAsk<'a>, drawn: &'a Drawn, pond: usize) -> Result<Setting<'a>, DrainError> {
        let standing = drawn.ponds.iter().find(|standing| standing.index == pond).ok_or(DrainError::NotInWater)?;
        let card = &ask.farm.ponds[pond];
        let held = Reservoir::new(&shape(card, FLOOR_COLUMNS).map_err(DrainError::Shape)?);
        let midnight = ask.past.place.day_start(ask.on);
        let clock_h = f64::from(ask.past.place.zone.day_and_second(midnight).1) / 3600.0;
        Ok(Setting { ask, drawn, standing, card, held, clock_h })
    }
}

/// The ditch by the hours that count from a morning's midnight, rising. Without days the last hour is of the day of the catch, and one that
/// would lie after the next is of the day before.
fn on_clock(rows: &[OutletHour], catch_day: Day, on: Day) -> Vec<(f64, f64)> {
    let mut next_h = f64::INFINITY;
    let mut day = catch_day;
    let mut all: Vec<(f64, f64)> = Vec::new();
    for row in rows.iter().rev() {
        let hour = |of: Day| f64::from(of.0 - on.0) * 24.0 + row.hour;
        day = row.day.unwrap_or(if hour(day) < next_h { day } else { day.plus(-1) });
        next_h = hour(day);
        all.push((next_h, row.height_m));
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

/// Columns in which the floor falls bare.
const FLOOR_COLUMNS: usize = 12;

impl Setting<'_> {
    pub(super) fn asked(&self, wish: &Wish, planned: Option<Day>) -> Result<Asked, DrainError> {
        let (farm, card, on) = (self.ask.farm, self.card, self.ask.on);
        let shape = self.held.shape();
        let left = || pumps_left(self.ask, self.drawn, self.standing.index);
        let pumps = wish.pumps.clone().or_else(left).unwrap_or_else(|| card.emptying.pumps.clone());
        let mut works = works(farm, card, shape, &pumps);
        if works.ways.is_empty() && wish.extra_m3_h.is_none() {
            return Err(DrainError::NoWay);
        }
        works.pace_factor = pace_factor(farm, card, shape);
        if let Some(rate_m3_h) = wish.extra_m3_h {
            // As measured: the pace that slows the others is in it.
            let rate = Rate::Measured(rate_m3_h / works.pace_factor);
            works.ways.push(Way::Pump(Pump {
                rate,
                intake_m: 0.0,
                suction_m: SUCTION_M.min(0.8 * catch_m(card, shape)),
                fuel_h: None,
            }));
        }
        // Until the day of the catch is known, the ditch is taken at its highest.
        let highest_m = wish.outlet_hours.iter().map(|row| row.height_m).reduce(f64::max);
        works.outlet = outlet_water(card, highest_m.or(wish.outlet_water_m));
        for way in &mut works.ways {
            if let Way::Pipe { screen_fraction, .. } | Way::Standpipe { screen_fraction, .. } = way {
                *screen_fraction *= 1.0 - wish.blocked_fraction.clamp(0.0, 0.95);
            }
        }
        let now_h = f64::from(self.ask.now_hour);
        let read = card.draining_read.filter(|_| wish.open_at.is_none());
        let usual_m = shape.full_m() - read.map_or_else(|| seen_on(card, on).below_full_m, |(_, below_m)| below_m);
        let from_m = wish.level_m.map_or(usual_m, |m| m.clamp(0.05, shape.top_m()));
        let catch_m = wish.catch_depth_m.map_or(catch_m(card, shape), |m| m.clamp(0.05, 0.95 * from_m));
        // A level that is told says more than the hour of an opening.
        // From where it was read last, else from when it was let go.
        let since = read.map(|(at, _)| at).or(card.draining_since);
        let since_h = since.filter(|_| wish.level_m.is_none()).map(|since| self.clock(since));
        let hour_of = |(day, hour): (Day, f64)| f64::from(day.0 - on.0) * 24.0 + hour;
        let mut wanted = Wanted {
            now_h,
            from_m,
            open_h: wish.open_at.map(|(day, hour)| hour_of((day, hour.unwrap_or(farm.crew.opens_from_h)))).or(since_h),
            seine: None,
            catch_m,
            catch_at_h: now_h,
            hands_h: (farm.crew.opens_from_h, farm.crew.opens_until_h),
            after_h: card.catch_hours + AFTER_H,
        };
        let last = farm.season.last_catch;
        let catch_day = match wish.catch_day.or(planned.filter(|_| wish.open_at.is_none())) {
            Some(day) => day,
            None => self.soonest(&works, &wanted, last),
        };
        if catch_day < on || catch_day > last {
            return Err(DrainError::DayOutside { first: on, last });
        }
        if !wish.outlet_hours.is_empty() {
            works.outlet.by_hour_h_m = on_clock(&wish.outlet_hours, catch_day, on);
        }
        wanted.catch_at_h = hour_of((catch_day, wish.catch_at_h.unwrap_or_else(|| self.work_begins_h(catch_day))));
        wanted.seine = self.seine(wish.seine, &works, &wanted);
        let more = &card.emptying.more;
        let well_c = more.well_c.unwrap_or_else(|| self.ground_mean_c());
        let well = more.well_m3_h.filter(|_| wish.well).map(|m3_h| (m3_h, well_c));
        Ok(Asked { catch_day, pumps, works, wanted, well, level_told: wish.level_m.is_some() })
    }

    /// The first day on whose morning catch depth can stand.
    fn soonest(&self, works: &Works, wanted: &Wanted, last: Day) -> Day {
        let down_h = hours_down(self.held.shape(), works, wanted.from_m, wanted.catch_m).unwrap_or(0.0);
        let ready_h = wanted.open_h.unwrap_or(wanted.now_h) + down_h;
        let days = (0..=(last.0 - self.ask.on.0)).map(|day| self.ask.on.plus(day));
        let in_time = |day: &Day| f64::from(day.0 - self.ask.on.0) * 24.0 + self.work_begins_h(*day) >= ready_h;
        days.into_iter().find(in_time).unwrap_or(last)
    }

    /// Seining depth: from first light of the last day that leaves time to go on to catch depth, unless it is told.
    fn seine(&self, wish: SeineWish, works: &Works, wanted: &Wanted) -> Option<Seine> {
        let told_h = self.card.emptying.more.seining_h.filter(|&held_h| held_h > 0.0);
        let (held_h, at) = match wish {
            SeineWish::No => return None,
            SeineWish::AsTold => (told_h?, None),
            SeineWish::Held { held_h, at } => (held_h, at),
        };
        let stage_m = seining_m(self.card, self.held.shape()).min(wanted.from_m);
        let on = self.ask.on;
        let told_h =
            at.map(|(day, hour)| f64::from(day.0 - on.0) * 24.0 + hour.unwrap_or_else(|| self.work_begins_h(day)));
        let at_h = told_h.unwrap_or_else(|| {
            let rest_h = hours_down(self.held.shape(), works, stage_m, wanted.catch_m).unwrap_or(0.0);
            let latest_h = wanted.catch_at_h - rest_h - held_h;
            let day = on.plus((latest_h / 24.0).floor() as i32);
            let light_h = |day: Day| f64::from(day.0 - on.0) * 24.0 + self.work_begins_h(day);
            if light_h(day) <= latest_h { light_h(day) } else { light_h(day.plus(-1)) }
        });
        Some(Seine { stage_m, at_h, held_h })
    }

    /// Clock hour of the civil dawn of a day, or of work's beginning where the farm names one.
    pub(super) fn work_begins_h(&self, day: Day) -> f64 {
        match self.ask.farm.crew.start {
            StartOfWork::Clock(hour) => hour,
            StartOfWork::FirstLight => self.light_h(day).0,
        }
    }

    /// Clock hours of first and last light of a day.
    fn light_h(&self, day: Day) -> (f64, f64) {
        let place = &self.ask.past.place;
        let noon = weather::sun::solar_noon(day, place);
        // Civil twilight adds about half an hour to either end in middle latitudes.
        let half_h = 0.5 * weather::sun::day_length_h(place.latitude_deg, day.day_of_year()) + 0.5;
        let noon_h = f64::from(place.zone.day_and_second(noon).1) / 3600.0;
        (noon_h - half_h, noon_h + half_h)
    }

    /// A moment on the clock that counts from this morning's midnight, h.
    pub(super) fn clock(&self, at: Instant) -> f64 {
        let (day, second) = self.ask.past.place.zone.day_and_second(at);
        f64::from(day.0 - self.ask.on.0) * 24.0 + f64::from(second) / 3600.0
    }

    pub(super) fn nights(&self, opening: &Opening) -> Vec<(f64, f64)> {
        let (from_h, to_h) = (opening.start_h, opening.start_h + opening.course.end_hours());
        let first = (from_h / 24.0).floor() as i32 - 1;
        let last = (to_h / 24.0).ceil() as i32;
        let night = |day: i32| {
            let (on, base_h) = (self.ask.on, f64::from(day) * 24.0);
            (base_h + self.light_h(on.plus(day)).1, base_h + 24.0 + self.light_h(on.plus(day + 1)).0)
        };
        let all = (first..=last).map(night).map(|(a, b)| (a.max(from_h), b.min(to_h)));
        all.filter(|(a, b)| b > a).collect()
    }

    pub(super) fn way_names(&self, pumps: &[usize], wish: &Wish) -> Vec<WayOut> {
        let drain = match self.card.emptying.outlet {
            Outlet::None => None,
            Outlet::Pipe { .. } => Some(WayOut::Pipe),
            Outlet::Standpipe { .. } => Some(WayOut::Standpipe),
        };
        let name = |&pump: &usize| WayOut::Pump(self.ask.farm.gear.pumps[pump].name.clone());
        let extra = wish.extra_m3_h.map(|_| WayOut::Extra);
        drain.into_iter().chain(pumps.iter().map(name)).chain(extra).collect()
    }

    pub(super) fn fuel(&self, asked: &Asked, opening: &Opening) -> Option<FuelNeed> {
        let (farm, course) = (self.ask.farm, &opening.course);
        let (_, l_h) = pumps_hold(farm, &asked.pumps);
        if l_h <= 0.0 {
            return None;
        }
        let first = usize::from(self.card.emptying.outlet != Outlet::None);
        let runs = |way: usize| -> Vec<(f64, f64)> {
            let pairs = course.steps.windows(2).filter(|pair| pair[0].open[way]);
            pairs.map(|pair| (pair[0].at_h, pair[1].at_h)).collect()
        };
        let on_h = |way: usize| -> f64 { runs(way).iter().map(|(a, b)| b - a).sum() };
        let hours = (first..first + asked.pumps.len()).map(on_h).fold(0.0, f64::max);
        let (needed_l, store_l) = (l_h * hours, farm.gear.fuel_l);
        let after = |way: usize, of_h: f64| -> Option<f64> {
            let mut left_h = of_h;
            for (a, b) in runs(way) {
                if left_h <= b - a {
                    return Some(opening.start_h + a + left_h);
                }
                left_h -= b - a;
            }
            None
        };
        let refill = |(at, &pump): (usize, &usize)| {
            let tank_h = farm.gear.pumps[pump].tank_h?;
            let hours = (1..200).map_while(|k| after(first + at, f64::from(k) * tank_h)).collect();
            Some((first + at, hours))
        };
        Some(FuelNeed {
            needed_l,
            store_l,
            out_h: (needed_l > store_l).then(|| after(first, store_l / l_h)).flatten(),
            refills: asked.pumps.iter().enumerate().filter_map(refill).collect(),
        })
    }

    pub(super) fn ground_mean_c(&self) -> f64 {
        crate::lived::ground(&self.drawn.climate, &self.standing.model).mean_c
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_of_a_ditch_lead_up_to_the_catch_unless_their_day_is_told() {
        let on = Day::parse("2011-09-28").expect("a day");
        let row = |day, hour, height_m| OutletHour { day, hour, height_m };
        let rows = [row(None, 22.0, 0.3), row(None, 4.0, 0.6), row(None, 10.0, 0.9)];
        // The catch is two days on: ten o'clock of its day is hour 58, four is 52, and twenty-two lies before it.
        assert_eq!(on_clock(&rows, on.plus(2), on), [(46.0, 0.3), (52.0, 0.6), (58.0, 0.9)]);
        let told = [row(Some(on), 22.0, 0.3), row(None, 4.0, 0.6)];
        assert_eq!(on_clock(&told, on.plus(2), on), [(22.0, 0.3), (52.0, 0.6)]);
    }
}
