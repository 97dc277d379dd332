//! Drawing members: the morning's tables once, then each member by its id.

use std::ops::Range;

use units::Day;

use super::air::JUMP_MEMORY_HOURS;
use super::path::{self, Ground, Step};
use super::{Members, MembersError, Morning, PathDay};
use crate::climate::{Climate, LowHigh};
use crate::forecast::{Luck, MEMBER_NEWS, News, Split};
use crate::skill::ForecastSkill;

/// What the forecasters of a season's members will say, drawn once and used on every morning of the season.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberNews {
    ids: Range<u32>,
    first: Day,
    last: Day,
    pub(super) n_leads: usize,
    by_member: Vec<News>,
}

impl MemberNews {
    /// For mornings from `first` (the earliest that a forecast in use was issued on) to `last`.
    pub fn new(
        seed: u64,
        ids: Range<u32>,
        climate: &Climate,
        skill: &ForecastSkill,
        first: Day,
        last: Day,
    ) -> MemberNews {
        let n_leads = skill.n_leads();
        let start = first.plus(1 - n_leads as i32);
        let n_mornings = (last.0 - start.0 + 1).max(0) as usize;
        let draw = |id| News::of(Luck { seed, id }, MEMBER_NEWS, climate.chain(), n_leads, start, n_mornings);
        MemberNews { by_member: ids.clone().map(draw).collect(), ids, first, last, n_leads }
    }

    pub(super) fn of(&self, id: u32) -> &News {
        &self.by_member[(id - self.ids.start) as usize]
    }

    fn covers(&self, ids: &Range<u32>, first: Day, last: Day, n_leads: usize) -> bool {
        self.ids.start <= ids.start
            && ids.end <= self.ids.end
            && self.first <= first
            && last <= self.last
            && n_leads <= self.n_leads
    }
}

/// A morning's tables, by day from today.
pub(super) struct Table {
    pub n_mornings: usize,
    pub n_days: usize,
    pub skill: ForecastSkill,
    pub split: Split,
    /// Mean and standard deviation of the days of the year, °C and K.
    pub mean_c: Vec<LowHigh>,
    pub sd_c: Vec<LowHigh>,
    /// Information that the forecast in hand carries, and what it says in standard deviations.
    pub information: Vec<f64>,
    pub said: Vec<LowHigh>,
    /// Days since that forecast was issued.
    age: usize,
    n_known: usize,
}

/// A high stays at least this far above its low, K.
const RANGE_MIN_C: f64 = 0.5;
/// A jump below this counts as gone, K.
const SETTLED_C: f64 = 0.05;

impl Members {
    /// Draws the members with these ids.
    pub fn draw(morning: &Morning, ids: Range<u32>, news: &MemberNews) -> Result<Members, MembersError> {
        let table = Table::new(morning)?;
        let place = place_of(morning, &table)?;
        if !news.covers(&ids, morning.forecast.issued, morning.last, table.skill.n_leads()) {
            return Err(MembersError::NewsNotCovered);
        }
        let ground = Ground {
            library: morning.library,
            past: morning.past,
            place,
            n_known: table.n_known,
            n_days: table.n_days,
        };
        let offset = path::years_offset(morning.seed);
        let n = ids.len();
        let n_leads = table.skill.n_leads();
        let mut members = Members {
            today: morning.today,
            ids: ids.clone(),
            n_mornings: table.n_mornings,
            n_days: table.n_days,
            n_leads,
            path: Vec::with_capacity(n * table.n_days),
            own: Vec::with_capacity(n * table.n_days),
            later: Vec::with_capacity(n * (table.n_mornings - 1) * n_leads),
        };
        let mut near = Vec::new();
        for id in ids {
            let steps = path::walk(&ground, Luck { seed: morning.seed, id }, offset, &mut near);
            let standard = members.follow(morning, &table, news.of(id), &steps);
            table.later(morning.today, news.of(id), &standard, &mut members.later);
        }
        Ok(members)
    }

    /// Adds one member's days; gives back its anomalies in standard deviations.
    fn follow(&mut self, morning: &Morning, table: &Table, news: &News, steps: &[Step]) -> Vec<LowHigh> {
        let target = table.target(morning, news, steps);
        let (to_low, to_high) = (units::exp(-6.0 / JUMP_MEMORY_HOURS), units::exp(-15.0 / JUMP_MEMORY_HOURS));
        let over_day = units::exp(-24.0 / JUMP_MEMORY_HOURS);
        let mut jump_c = 0.0;
        let mut standard = Vec::with_capacity(steps.len());
        for (day, step) in steps.iter().enumerate() {
            let donor = morning.library.low_high_c(step.library_day);
            let shift = target[day].minus(donor);
            jump_c *= over_day;
            if step.joined {
                jump_c += midnight_jump_c(morning, steps[day - 1].library_day, step.library_day);
            }
            let lasting = table.mean_c[day].minus(donor.minus(morning.past.anomaly_c[step.library_day]));
            let own = target[day].plus(LowHigh { low: jump_c * to_low, high: jump_c * to_high });
            self.path.push(PathDay {
                library_day: step.library_day as u32,
                low_shift_c: shift.low as f32,
                high_shift_c: shift.high as f32,
                jump_c: jump_c as f32,
                lasting_shift_c: (0.5 * (lasting.low + lasting.high)) as f32,
                settled: table.information[day] == 0.0 && jump_c.abs() < SETTLED_C,
            });
            self.own.push([own.low as f32, own.high as f32]);
            standard.push(own.minus(table.mean_c[day]).with(table.sd_c[day], |a, sd| a / sd));
        }
        standard
    }
}

impl Table {
    fn new(morning: &Morning) -> Result<Table, MembersError> {
        let n_mornings = morning.last.0 - morning.today.0 + 1;
        if !(1..=366).contains(&n_mornings) {
            return Err(MembersError::Horizon { today: morning.today, last: morning.last });
        }
        if morning.past.n_seasons < 2 {
            return Err(MembersError::FewSeasons { known: morning.past.n_seasons });
        }
        let age = usize::try_from(morning.today.0 - morning.forecast.issued.0)
            .map_err(|_| MembersError::NotYetIssued { issued: morning.forecast.issued })?;
        if morning.forecast.days.is_empty() {
            return Err(MembersError::NothingSaid);
        }
        let skill = morning.skill.first_leads(morning.forecast.days.len());
        let n_mornings = n_mornings as usize;
        let n_days = n_mornings + skill.n_leads();
        let days = (0..n_days).map(|i| morning.today.plus(i as i32));
        let mean_c: Vec<LowHigh> = days.clone().map(|day| morning.climate.mean_c(day)).collect();
        let sd_c: Vec<LowHigh> = days.map(|day| morning.climate.sd_c(day)).collect();
        let information: Vec<f64> = (0..n_days).map(|day| skill.information(day + age)).collect();
        let said = (0..n_days)
            .map(|day| match morning.forecast.days.get(day + age) {
                Some(said) if information[day] > 0.0 => said.minus(mean_c[day]).with(sd_c[day], |a, sd| a / sd),
                _ => LowHigh::default(),
            })
            .collect();
        let n_known = information.iter().take_while(|&&u| u > 0.0).count();
        let split = Split::of(&skill, morning.climate.chain());
        Ok(Table { n_mornings, n_days, skill, split, mean_c, sd_c, information, said, age, n_known })
    }

    /// The member's lows and highs before any join's jump, °C: the forecast and a simulated error of it.
    fn target(&self, morning: &Morning, news: &News, steps: &[Step]) -> Vec<LowHigh> {
        let anomaly_c = |day: usize| morning.past.anomaly_c[steps[day].library_day];
        let noise = news.gathered(morning.forecast.issued, self.skill.n_leads(), &self.skill, morning.climate.chain());
        let noise = &noise[self.age.min(noise.len())..];
        // One day more than is known, so that the last known day has a slope.
        let n = (self.n_known + 1).min(self.n_days);
        let unmoved: Vec<LowHigh> = (0..n)
            .map(|day| {
                let donor = anomaly_c(day).with(self.sd_c[day], |a, sd| a / sd);
                let weight = 1.0 / (1.0 + self.information[day]);
                let own = noise.get(day).map_or(LowHigh::default(), |noise| noise.own);
                self.said[day].plus(donor.minus(own).times(weight))
            })
            .collect();
        (0..self.n_days)
            .map(|day| {
                if day >= self.n_known {
                    return self.mean_c[day].plus(anomaly_c(day));
                }
                let next = unmoved[(day + 1).min(n - 1)];
                let slope = next.minus(unmoved[day.saturating_sub(1)]).times(0.5);
                let turned = noise[day].per_slope.with(slope, |a, b| a * b);
                let standard = unmoved[day].minus(turned.times(1.0 / (1.0 + self.information[day])));
                ordered(self.mean_c[day].plus(standard.with(self.sd_c[day], |z, sd| z * sd)))
            })
            .collect()
    }
}

/// The high at least a little above the low, their mean kept.
fn ordered(value: LowHigh) -> LowHigh {
    if value.high - value.low >= RANGE_MIN_C {
        return value;
    }
    let middle = 0.5 * (value.low + value.high);
    LowHigh { low: middle - 0.5 * RANGE_MIN_C, high: middle + 0.5 * RANGE_MIN_C }
}

/// Air that the old block would have had at midnight less what the new one has, both as stored, K.
fn midnight_jump_c(morning: &Morning, old: usize, new: usize) -> f64 {
    let n = morning.library.window().n_days;
    let (next, hour) = if (old + 1).is_multiple_of(n) { (old, 23) } else { (old + 1, 0) };
    f64::from(morning.library.stored(next, hour)[0]) - f64::from(morning.library.stored(new, 0)[0])
}

fn place_of(morning: &Morning, table: &Table) -> Result<i32, MembersError> {
    let window = morning.library.window();
    let grace = path::JOIN_REACH_DAYS;
    let outside = |day: Day| MembersError::OutsideWindow { day };
    let (_, place) = window.place(morning.today).ok_or(outside(morning.today))?;
    if place < -grace || window.n_days as i32 <= 3 * grace {
        return Err(outside(morning.today));
    }
    let end = place + table.n_days as i32 - 1;
    if end >= window.n_days as i32 + grace {
        return Err(outside(morning.today.plus(table.n_days as i32 - 1)));
    }
    Ok(place)
}
