//! At the water: hauls while the level is held, hand gathering as the floor falls bare, dipping of the last water, the last walk.
//!
//! Hauls take a share each of what swims. Of what is left when the level is let down a share strands, as fast as the floor falls
//! bare; the rest follows the water and is dipped, unless the last water goes first.

use super::{Form, Line};
use crate::day::{Buyers, Day, Future};
use crate::line::events::What;
use crate::line::{EMPTY, Queue};
use crate::rates::Unit;
use crate::task::Task;

/// Below this nothing is left, kg.
const NOTHING_KG: f64 = 0.02;
/// A handful: less is not gathered while more is to come, kg.
const HANDFUL_KG: f64 = 0.5;
/// So long before the last water is gone it is dipped whatever waits on the bank, h.
const HURRY_H: f64 = 0.5;
/// How often the falling water is looked at, h.
const LOOK_H: f64 = 0.1;

#[derive(Debug, Clone)]
pub(crate) struct Water {
    /// Swimming.
    in_kg: f64,
    /// In the closed net.
    net_kg: f64,
    /// Lying on the bare floor.
    pub(super) lying_kg: f64,
    hauls: u32,
    /// Hands at the haul under way.
    pub(super) pulling: u32,
    pub(super) haul_luck: f64,
    /// What swam when the level was let down.
    base_kg: Option<f64>,
    /// Share of the floor that falls bare on the day that was bare at the last look.
    part: f64,
    bare: (f64, f64),
    dip_open: bool,
    /// The next look at the falling water: one event under way instead of dozens.
    look_h: f64,
    /// Nothing more is to be taken.
    pub(crate) over: bool,
    pub(super) walked: bool,
    /// Hours since which work stood still for want of baskets, ice, room; infinite while it does not.
    pub(super) stopped_since: [f64; 3],
}

impl Default for Water {
    fn default() -> Water {
        Water {
            in_kg: 0.0,
            net_kg: 0.0,
            lying_kg: 0.0,
            hauls: 0,
            pulling: 0,
            haul_luck: 1.0,
            base_kg: None,
            part: 0.0,
            bare: (0.0, 0.0),
            dip_open: false,
            look_h: f64::NEG_INFINITY,
            over: false,
            walked: false,
            stopped_since: [f64::INFINITY; 3],
        }
    }
}

impl Water {
    pub(super) fn left_kg(&self) -> f64 {
        self.in_kg + self.net_kg
    }
}

impl Line {
    pub(super) fn begin_water(&mut self, day: &Day, future: &Future) {
        let (course, caught_kg) = (&day.course, day.standing.as_ref().map_or(0.0, |standing| standing.caught_kg));
        let (hauls, net_kg) = day.standing.as_ref().map_or((0, 0.0), |standing| (standing.hauls, standing.in_net_kg));
        self.water = Water {
            in_kg: (future.mass_kg - caught_kg - net_kg).max(0.0),
            net_kg,
            hauls,
            bare: (course.bare_at(course.seine_h.1), course.bare_at(course.dip_from_h)),
            ..Water::default()
        };
        self.lived.hauled_h = course.seine_h.0;
        let mut look = |at_h: f64| {
            if at_h.is_finite() {
                self.events.push(at_h.max(self.now_h), What::Water, 0, 0);
            }
        };
        look(course.seine_h.0);
        look(course.seine_h.1);
        look(course.dip_from_h);
        look(course.dry_h);
    }

    /// What the water has done since it was last looked at.
    pub(super) fn water_moves(&mut self, day: &Day, future: &Future) {
        let (course, now_h) = (&day.course, self.now_h);
        let water = &mut self.water;
        if water.base_kg.is_none() && now_h >= course.seine_h.1 && water.pulling == 0 {
            water.base_kg = Some(water.in_kg);
        }
        if let Some(base_kg) = water.base_kg {
            let (first, last) = water.bare;
            let part =
                if last > first { ((course.bare_at(now_h) - first) / (last - first)).clamp(0.0, 1.0) } else { 0.0 };
            // Of what the floor laid bare since it was last looked at, by the water's warmth there now.
            let share = day.strands.share(day.water.edge_c(now_h, future.member), future.strands_uneven);
            let lies_kg = (base_kg * share * (part - water.part)).clamp(0.0, water.in_kg);
            water.part = water.part.max(part);
            water.lying_kg += lies_kg;
            water.in_kg -= lies_kg;
            water.dip_open = now_h >= course.dip_from_h;
        }
        if now_h >= course.dry_h && water.base_kg.is_some() {
            water.lying_kg += water.in_kg;
            water.in_kg = 0.0;
        }
        if water.base_kg.is_some() && now_h < course.dip_from_h && now_h >= water.look_h {
            water.look_h = (now_h + LOOK_H).min(course.dip_from_h);
            self.events.push(water.look_h, What::Water, 0, 0);
        }
        let all_out = water.base_kg.is_some() && water.in_kg < NOTHING_KG && water.lying_kg < NOTHING_KG;
        water.over |= all_out && water.net_kg < NOTHING_KG && now_h >= course.dip_from_h.min(course.dry_h);
    }

    /// Which work at the water there is, and what stands in its way.
    pub(super) fn water_ready(&mut self, day: &Day) -> u32 {
        let water = &self.water;
        let mut wanted = 0;
        // What swims can wait in the water, as long as that is not going away.
        let most = if day.means.in_air_most > 0 { day.means.in_air_most } else { self.hands.len() as u32 };
        let bank_is_free = self.in_air < most.max(2);
        if water.net_kg > NOTHING_KG && bank_is_free {
            wanted |= Task::Bag.bit();
        }
        let more_comes = !water.dip_open && water.in_kg > NOTHING_KG;
        if water.lying_kg > if more_comes { HANDFUL_KG } else { NOTHING_KG } {
            wanted |= Task::Gather.bit();
        }
        if water.dip_open && water.in_kg > NOTHING_KG && (bank_is_free || self.now_h + HURRY_H > day.course.dry_h) {
            wanted |= Task::Dip.bit();
        }
        let walk = if water.over && !water.walked && water.base_kg.is_some() { Task::Walk.bit() } else { 0 };
        let alive = wanted & Task::Bag.bit() != 0 && self.is_wanted_live(day);
        let no_baskets = wanted != 0 && self.empty <= 0;
        let no_ice =
            wanted != 0 && !alive && self.ice_left_kg < HANDFUL_KG.min(self.least_left()) * day.means.ice_per_kg;
        let no_room = wanted != 0 && !alive && self.store_left_kg < HANDFUL_KG.min(self.least_left());
        self.note_stopped([no_baskets, no_ice, no_room]);
        if no_baskets || no_ice || no_room { walk } else { wanted | walk }
    }

    fn least_left(&self) -> f64 {
        (self.water.net_kg + self.water.in_kg + self.water.lying_kg).max(NOTHING_KG)
    }

    fn note_stopped(&mut self, stopped: [bool; 3]) {
        let sums = &mut self.lived.stopped;
        for ((is_stopped, since), sum) in stopped.into_iter().zip(&mut self.water.stopped_since).zip([
            &mut sums.baskets_h,
            &mut sums.ice_h,
            &mut sums.store_h,
        ]) {
            if is_stopped && since.is_infinite() {
                *since = self.now_h;
            } else if !is_stopped && since.is_finite() {
                *sum += self.now_h - *since;
                *since = f64::INFINITY;
            }
        }
    }

    fn is_wanted_live(&self, day: &Day) -> bool {
        self.water.hauls <= day.means.clean_hauls && self.water.hauls > 0 && self.live_left_kg > HANDFUL_KG
    }

    /// Whether the net is to be pulled now.
    pub(super) fn haul_due(&self, day: &Day) -> bool {
        let (course, water) = (&day.course, &self.water);
        let half_h = 0.5 * self.per_go_h[Task::Seine as usize];
        let in_time = self.now_h >= course.seine_h.0 && self.now_h + half_h < course.seine_h.1;
        let worth = water.in_kg * day.means.haul_share > 2.0 && self.ice_or_live(day);
        in_time && worth && water.pulling == 0 && water.net_kg < NOTHING_KG && water.hauls < day.means.hauls_most
    }

    fn ice_or_live(&self, day: &Day) -> bool {
        self.ice_left_kg > HANDFUL_KG * day.means.ice_per_kg || self.live_left_kg > HANDFUL_KG
    }

    /// A haul is in.
    pub(super) fn hauled(&mut self, day: &Day) {
        let water = &mut self.water;
        water.pulling -= 1;
        if water.pulling > 0 {
            return;
        }
        let kg = water.in_kg * (day.means.haul_share * water.haul_luck).min(0.95);
        water.in_kg -= kg;
        water.net_kg += kg;
        water.hauls += 1;
        self.lived.hauled_h = self.now_h;
        // A haul that came in after the water was let down: what is left falls with it.
        self.events.push(self.now_h, What::Water, 0, 0);
    }

    /// Takes a basketful at the water; how much, and what it is for.
    pub(super) fn take(&mut self, day: &Day, task: Task) -> (u32, f64) {
        let means = &day.means;
        let alive = task == Task::Bag && self.is_wanted_live(day);
        let there_kg = match task {
            Task::Bag => self.water.net_kg,
            Task::Dip => self.water.in_kg,
            _ => self.water.lying_kg,
        };
        let mut most_kg = means.basket_kg;
        if task == Task::Gather && day.rates.get(task).unit == Unit::KgPerHour {
            most_kg = most_kg.min(means.gather_h / self.per_kg_h[task as usize]);
        }
        let bound_kg = if alive {
            self.live_left_kg
        } else {
            (self.ice_left_kg / means.ice_per_kg.max(1e-9)).min(self.store_left_kg)
        };
        let kg = there_kg.min(most_kg).min(bound_kg).max(0.0);
        match task {
            Task::Bag => self.water.net_kg -= kg,
            Task::Dip => self.water.in_kg -= kg,
            _ => {
                self.water.lying_kg -= kg;
                self.lived.picked_kg += kg;
            }
        }
        let form = if alive { Form::Live } else { self.form(&day.buyers) };
        if alive {
            self.live_left_kg -= kg;
        } else {
            self.ice_left_kg -= kg * means.ice_per_kg;
            self.store_left_kg -= kg;
        }
        self.taken[form as usize] += kg;
        self.empty -= 1;
        self.in_air += 1;
        self.lived.caught_kg += kg;
        (self.make(kg, self.now_h, form), kg)
    }

    /// Whole or for heading: whichever lies farther behind what buyers take of it; whole when both are served.
    fn form(&self, buyers: &Buyers) -> Form {
        let part =
            |form: Form, wanted_kg: f64| if wanted_kg > 0.0 { self.taken[form as usize] / wanted_kg } else { 1.0 };
        let (whole, tails) = (part(Form::Whole, buyers.whole_kg), part(Form::Tails, buyers.tails_kg));
        if tails < 1.0 && tails <= whole { Form::Tails } else { Form::Whole }
    }

    /// What a standing says waits already.
    pub(super) fn take_up(&mut self, day: &Day) {
        let Some(standing) = &day.standing else { return };
        let done = &standing.done;
        self.taken = [done.live_kg, done.whole_kg, done.tails_kg];
        self.live_left_kg -= done.live_kg;
        self.ice_left_kg -= standing.ice_used_kg;
        self.store_left_kg -= done.whole_kg + done.tails_kg;
        for &(task, kg, since_h) in &standing.waiting {
            let form = if task == Task::Live { Form::Live } else { self.form(&day.buyers) };
            self.taken[form as usize] += kg;
            if form != Form::Live {
                self.ice_left_kg -= kg * day.means.ice_per_kg;
                self.store_left_kg -= kg;
            }
            let basket = self.make(kg, since_h, form);
            self.join(task, basket);
            if (task as u8) <= Task::Load as u8 {
                self.in_air += 1;
                self.empty -= 1;
            }
        }
        // What chills now is cold when a full dwell is over, at the latest.
        let mut left_kg = standing.in_tubs_kg;
        for tub in 0..self.tubs.len() {
            let kg = left_kg.min(day.means.tub_kg);
            if kg <= 0.0 {
                break;
            }
            left_kg -= kg;
            let form = self.form(&day.buyers);
            self.taken[form as usize] += kg;
            self.store_left_kg -= kg;
            let basket = self.make(kg, self.now_h, form);
            let Line { tubs, baskets, .. } = self;
            let mut held: Queue = EMPTY;
            held.push(baskets, basket);
            (tubs[tub].kg, tubs[tub].held) = (kg, held);
            self.events.push(self.now_h, What::TubCloses, tub as u32, 0);
        }
    }
}
