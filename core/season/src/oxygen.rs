//! Oxygen tonight: where the coming dawn will stand, whether the night turns the water over, and what an aerator holds.
//!
//! Model     the dawn by `nights`; the line to it by the law of one mixed water with the use that leads there; the aerator within that law;
//!           the overturn from the members' water
//! Units     mg/L; clock hours
//! Range     fresh water; nights of a pond at its level of this morning
//! Source    docs/model/oxygen.md; 3 mg/L: Mississippi State University, prawn ponds; starting before that and running until two hours after
//!           sunrise: common practice
//! Left out  plants' day; an aerator's stirring

mod mixing;
pub mod nights;

use farm::{AeratorKind, OxygenRead, PondCard};
use pond::oxygen::{Law, Used, aerator_per_h, law_at_night, met, part_of_rating, used_by_animals_mg_l_h};
use units::{Day, Instant};

use crate::answer::Band;
use crate::report::Reporting;
pub(crate) use mixing::Mixing;
pub use mixing::Overturn;
use nights::{Ask, Beliefs, NightAir, Projected, Rests, project};

/// Oxygen below which air is started and no feed given, mg/L.
pub const LIMIT_MG_L: f64 = 3.0;
/// From midnight until this hour "tonight" is the night that is nearly over.
const SMALL_HOURS: i32 = 3;
/// The clock hour at which the evening's layers are looked at.
const DUSK_HOUR: i32 = 20;
/// Readings within so many seconds of each other are of one time, and their mean is told.
const TOGETHER_S: i64 = 1800;
/// Eight in ten of a normal spread lie within so many standard deviations.
const EIGHT_IN_TEN: f64 = 1.2816;
/// Fewer futures than this that turn the water over are not told.
const OVERTURN_LEAST: f64 = 0.1;
/// Less of the water than this below the layer is not told.
const LOWER_LEAST: f64 = 0.05;

/// A pond's coming night.
#[derive(Debug, Clone, PartialEq)]
pub struct OxygenTonight {
    /// The dawn that is told: day and clock hour.
    pub dawn: (Day, i32),
    /// What the readings say; `None` when none of the last days says anything.
    pub told: Option<DawnTold>,
    /// What the night turns over; `None` when that is unlikely or brings up little.
    pub overturn: Option<Overturned>,
    /// What to do.
    pub air: Air,
    /// The pond's aerators, kW; 0 for none.
    pub aerator_kw: f64,
    /// Their kind.
    pub aerator_kind: AeratorKind,
}

/// The dawn as the readings have it.
#[derive(Debug, Clone, PartialEq)]
pub struct DawnTold {
    /// Eight in ten lie between, mg/L.
    pub mg_l: Band,
    /// Chance of less than [`LIMIT_MG_L`].
    pub low_chance: f64,
    /// How it was come by.
    pub by: Projected,
    /// The evening's last reading, when there is one: when, mg/L.
    pub from: Option<(Instant, f64)>,
    /// The last dawn that was read.
    pub last_dawn: Option<(Day, f64)>,
}

/// Water turned over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overturned {
    /// How likely, and how much water lies above the layer.
    pub night: Overturn,
    /// Where the mixed pond would stand, mg/L.
    pub left_mg_l: f64,
    /// What the lower water holds: as read this evening, or taken as nothing, mg/L.
    pub lower_mg_l: Option<f64>,
}

/// What to do about tonight's air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Air {
    /// No reading says anything: read.
    Unread,
    /// Nine futures in ten stay above the limit without more air.
    Enough,
    /// It may run low; an evening reading would say when.
    ReadAtDusk,
    /// Start the aerators by then.
    Start {
        /// Day and clock hour.
        by: (Day, i32),
        /// What dawn then holds, mg/L.
        holds: Band,
    },
    /// It may run low and the pond has no aerator.
    NoAerator {
        /// Power of this kind that would hold the limit in nine futures of ten, kW.
        needed_kw: f64,
    },
}

/// The coming night of one pond.
pub fn oxygen_tonight(of: &Reporting, p: usize) -> OxygenTonight {
    let night = Night::of(of, p);
    let card = &of.ask.farm.ponds[of.ponds[p].index];
    let read = together(card, night.zero, night.known_until);
    let told = night.project(&read);
    let overturn = told.as_ref().and_then(|told| night.overturn(card, told));
    let air = told.as_ref().map_or(Air::Unread, |told| night.air(told));
    OxygenTonight {
        dawn: night.clock(night.dawn_hour()),
        told,
        overturn,
        air,
        aerator_kw: card.aeration.power_kw,
        aerator_kind: card.aeration.kind,
    }
}

/// Everything about a pond's night but its readings.
struct Night<'a> {
    of: &'a Reporting<'a>,
    p: usize,
    /// Midnight of the day of stocking: hour 0.
    zero: Instant,
    first: Day,
    dawn_day: Day,
    dawn_h: f64,
    known_until: Instant,
    airs: Vec<NightAir>,
    usual_use: f64,
    mixing: &'a Mixing,
}

impl<'a> Night<'a> {
    fn of(of: &'a Reporting<'a>, p: usize) -> Night<'a> {
        let (ask, pond) = (of.ask, &of.ponds[p]);
        let place = &ask.past.place;
        let first = pond.card.stocking.on;
        let ahead = i32::from(ask.now_hour > SMALL_HOURS);
        let dawn_day = ask.on.plus(ahead);
        let mixing = &of.mixing[p];
        let depth_m = pond.model.depths.full_m;
        let pressure_hpa = weather::moist::pressure_fao56(place.elevation_m);
        let wind_m_s = pond.card.wind_factor.median * of.night_wind_m_s;
        let table = &of.tables_by_pond[p];
        let mean = |day: usize| {
            let dawns = table.dawns_c(day.min(table.days() - 1));
            dawns.iter().map(|&c| f64::from(c)).sum::<f64>() / dawns.len().max(1) as f64
        };
        let coming = (0..=ahead as usize).map(mean);
        let airs: Vec<NightAir> = pond
            .lived
            .dawns_c
            .iter()
            .copied()
            .chain(coming)
            .map(|water_c| NightAir { law: law_at_night(water_c, pressure_hpa, wind_m_s, depth_m), water_c })
            .collect();
        let stands = {
            let today = pond.today(ask.on);
            let hidden = &of.hidden[p];
            let all = hidden.iter().map(|hidden| today.crop.standing(today.warm_days, today.days, 0.0, hidden));
            let (mass, weight) = all.fold((0.0, 0.0), |sum, one| (sum.0 + one.mass_kg, sum.1 + one.mean_weight_g));
            (mass / hidden.len().max(1) as f64, weight / hidden.len().max(1) as f64)
        };
        let secchi_m = crate::ponds::seen_on(&pond.card, ask.on).secchi_m;
        let animals = used_by_animals_mg_l_h(stands.0, stands.1, 20.0, mixing.volume_m3().max(1.0));
        Night {
            of,
            p,
            zero: place.day_start(first),
            first,
            dawn_day,
            dawn_h: ask.past.dawn_hour(dawn_day) as f64,
            // What is written in the evening counts, though the question is this morning's.
            known_until: place.day_start(ask.on.plus(1)).plus_hours(i64::from(SMALL_HOURS)),
            airs,
            usual_use: Used::usual(20.0, Some(secchi_m), depth_m, animals).whole_mg_l_h(),
            mixing,
        }
    }

    fn day(&self) -> usize {
        (self.dawn_day.0 - self.first.0).max(0) as usize
    }

    /// An hour by the clock on the wall, which may be an hour ahead in summer.
    fn clock(&self, hour: f64) -> (Day, i32) {
        let (day, second) = self.of.ask.past.place.zone.day_and_second(self.instant(hour));
        (day, second / 3600)
    }

    fn instant(&self, hour: f64) -> Instant {
        Instant(self.zero.0 + (hour * 3600.0).round() as i64)
    }

    fn dawn_hour(&self) -> f64 {
        24.0 * self.day() as f64 + self.dawn_h
    }

    fn project(&self, read: &[(f64, f64)]) -> Option<DawnTold> {
        let by = project(&Ask {
            readings: read,
            nights: &self.airs,
            dawn_h: self.dawn_h,
            day: self.day(),
            usual_use: self.usual_use,
            beliefs: Beliefs::default(),
        })?;
        let at = |sds: f64| (by.dawn_mg_l + sds * by.sd_mg_l).max(0.0);
        Some(DawnTold {
            mg_l: Band { low: at(-EIGHT_IN_TEN), middle: at(0.0), high: at(EIGHT_IN_TEN) },
            low_chance: normal_below((LIMIT_MG_L - by.dawn_mg_l) / by.sd_mg_l.max(1e-6)),
            from: by.from.map(|(hour, mg_l)| (self.instant(hour), mg_l)),
            last_dawn: by.last_dawn.map(|(day, mg_l)| (self.first.plus(day as i32), mg_l)),
            by,
        })
    }

    fn overturn(&self, card: &PondCard, told: &DawnTold) -> Option<Overturned> {
        let dawn = 24 * (self.dawn_day.0 - self.of.ask.on.0) + self.dawn_h as i32;
        let dusk = if self.dawn_day > self.of.ask.on { DUSK_HOUR.max(self.of.ask.now_hour.min(23)) } else { 0 };
        let night = self.mixing.overturn(usize::try_from(dusk).ok()?, usize::try_from(dawn + 1).ok()?)?;
        if night.chance < OVERTURN_LEAST || night.upper_fraction > 1.0 - LOWER_LEAST {
            return None;
        }
        let evening = self.instant(self.dawn_hour() - self.dawn_h - 9.0);
        let deep = |read: &&OxygenRead| {
            read.at >= evening
                && read.at <= self.known_until
                && read.depth_m > 0.5 * (night.warm_m + self.mixing.depth_m())
        };
        let lower_mg_l = card.oxygen.iter().filter(deep).max_by_key(|read| read.at).map(|read| read.mg_l);
        let upper = (told.mg_l.middle, night.upper_fraction);
        let left_mg_l = met(upper, (lower_mg_l.unwrap_or(0.0), 1.0 - night.upper_fraction));
        Some(Overturned { night, left_mg_l, lower_mg_l })
    }

    /// The law of this night that leads from the evening's last reading to a dawn.
    fn law_to(&self, dawn_mg_l: f64, from: (f64, f64)) -> Option<Law> {
        let law = self.airs.get(self.day())?.law;
        let use_mg_l_h = law.use_between(from.1, dawn_mg_l, self.dawn_hour() - from.0);
        Some(Law { use_mg_l_h, ..law })
    }

    fn air(&self, told: &DawnTold) -> Air {
        if told.mg_l.low >= LIMIT_MG_L {
            return Air::Enough;
        }
        let aeration = self.of.ask.farm.ponds[self.of.ponds[self.p].index].aeration;
        let (Some(from), Some(air)) = (told.by.from, self.airs.get(self.day())) else { return Air::ReadAtDusk };
        let Some(low) = self.law_to(told.mg_l.low, from) else { return Air::ReadAtDusk };
        let volume_m3 = self.mixing.volume_m3().max(1.0);
        let rated_kg_h = aeration.kind.rated_kg_kwh() * aeration.power_kw;
        if rated_kg_h <= 0.0 {
            let want_kg_h =
                (low.use_mg_l_h - low.exchange_per_h * (low.saturation_mg_l - LIMIT_MG_L)) * volume_m3 / 1000.0;
            let per_kw = aeration.kind.rated_kg_kwh()
                * part_of_rating(air.water_c, low.saturation_mg_l, LIMIT_MG_L, pond::oxygen::ALPHA);
            return Air::NoAerator { needed_kw: (want_kg_h / per_kw).max(0.0) };
        }
        // Nine futures in ten are still above the limit then.
        let until_h = low.hours_to(from.1, LIMIT_MG_L).unwrap_or(0.0).min(self.dawn_hour() - from.0);
        let start = (from.0 + until_h).floor().max(from.0);
        let per_h = aerator_per_h(rated_kg_h, air.water_c, volume_m3);
        let holds = |dawn_mg_l: f64| {
            let law = self.law_to(dawn_mg_l, from).unwrap_or(low);
            let then = law.after(from.1, start - from.0).end_mg_l;
            Law { aerator_per_h: per_h, ..law }.after(then, self.dawn_hour() - start).end_mg_l
        };
        Air::Start {
            by: self.clock(start),
            holds: Band { low: holds(told.mg_l.low), middle: holds(told.mg_l.middle), high: holds(told.mg_l.high) },
        }
    }
}

/// Readings as hours from `zero`, those of one time told by their mean.
fn together(card: &PondCard, zero: Instant, until: Instant) -> Vec<(f64, f64)> {
    let mut all: Vec<(f64, f64)> = Vec::new();
    let mut i = 0;
    while i < card.oxygen.len() {
        let at = card.oxygen[i].at;
        let same = card.oxygen[i..].iter().take_while(|read| read.at.0 - at.0 <= TOGETHER_S).count();
        let sum: f64 = card.oxygen[i..i + same].iter().map(|read| read.mg_l).sum();
        if at <= until && at >= zero {
            all.push(((at.0 - zero.0) as f64 / 3600.0, sum / same as f64));
        }
        i += same;
    }
    all
}

/// Share of a normal spread that lies below so many standard deviations.
fn normal_below(sds: f64) -> f64 {
    0.5 * units::erfc(-sds * std::f64::consts::FRAC_1_SQRT_2)
}

impl DawnTold {
    /// Whether this evening was read.
    pub fn read_this_evening(&self) -> bool {
        matches!(self.by.rests, Rests::Evening | Rests::Evenings) || self.from.is_some()
    }
}

#[cfg(test)]
mod tests;
