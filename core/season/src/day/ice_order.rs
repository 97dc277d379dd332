//! Ice for the days ahead, all ponds of the plan together.
//!
//! Model     what is planned to come out on each day, less what goes alive, by the heat balance of its slurry and packing with a margin, or by the farm's own
//!           ice for a kilogram where that is more; of two days of one pond half each. Each day is served from its own ice first, what is short from the
//!           days before
//! Units     kg
//! Range     the days of the plan
//! Source    a tenth melts in a day in a lidded box in the shade: common practice
//! Left out  what a colder morning saves

use farm::Farm;
use harvest::ice::{self, IceNeed};
use units::Day;

use super::{DaySheet, DayWish, Stage, means};
use crate::answer::PondOutlook;

/// Share of stored ice that is gone after a day.
const MELTS_DAILY: f64 = 0.1;

/// A day's ice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IceOrder {
    /// The day on which it is fetched.
    pub day: Day,
    /// Needed on that day, kg.
    pub need_kg: f64,
    /// To order for that day, kg.
    pub order_kg: f64,
    /// Not to be had, on that day or before it, kg.
    pub short_kg: f64,
}

impl DaySheet {
    /// What this pond's catch takes: by the heat balance with its margin, or by the farm's own rule where that is more, kg.
    pub fn ice_need_kg(&self) -> f64 {
        self.ice.all_kg().max(self.ice_rule_kg)
    }

    /// The order of ice for the day, all ponds of the plan together; `None` on a day that the plan catches nothing.
    pub fn ice_order(&self) -> Option<&IceOrder> {
        self.ice_orders.iter().find(|order| order.day == self.on && order.need_kg > 0.0)
    }
}

/// What a day's catch takes: by the heat balance, and by the farm's own rule, kg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct DayIce {
    pub heat: IceNeed,
    pub rule_kg: f64,
}

impl DayIce {
    /// Of a catch, of which the live orders go alive, out of water of some warmth.
    pub(crate) fn of(farm: &Farm, day: Day, catch_kg: f64, water_c: f64) -> DayIce {
        let chilled_kg = (catch_kg - means::buyers(farm, catch_kg, 0.0).live_kg).max(0.0);
        let gear = means::means(farm, day, &DayWish::default());
        let heat = if chilled_kg > 0.0 {
            ice::day(&means::ice_day(farm, chilled_kg, water_c, &gear))
        } else {
            IceNeed::default()
        };
        DayIce { heat, rule_kg: chilled_kg * farm.cold.ice_per_kg }
    }

    /// The larger of both, kg.
    pub(crate) fn need_kg(&self) -> f64 {
        self.heat.all_kg().max(self.rule_kg)
    }
}

/// What a pond's plan brings ashore on a day, kg, and how warm its water likely is at that dawn, °C; `None` on another day.
pub(crate) fn planned_on(shown: &PondOutlook, day: Day) -> Option<(f64, f64)> {
    let planned = shown.planned?;
    let kg = || shown.days.iter().find(|of| of.day == day).map_or(shown.mass_kg.middle, |of| of.caught_kg);
    let kg = match planned.second_day {
        None if planned.catch_day == day => kg(),
        Some(second) if planned.catch_day == day || second == day => 0.5 * kg(),
        _ => return None,
    };
    // Dawns are told for the coming days; one that lies beyond them is likely colder, and takes no more ice.
    let dawn = shown.dawns.iter().find(|dawn| dawn.day == day).or(shown.dawns.last());
    Some((kg, dawn.map_or(shown.modelled_c, |dawn| dawn.water_c.middle)))
}

/// A day's ice of one pond as the plan orders it: another day than the plan's is reckoned from what is in the pond, kg, and its water, °C.
pub(super) fn of_day(stage: &Stage, mass_kg: f64, water_c: f64) -> DayIce {
    let (kg, c) = planned_on(stage.shown, stage.on).unwrap_or((mass_kg, water_c));
    DayIce::of(stage.ask.farm, stage.on, kg, c)
}

/// Days on which ice is needed or fetched, all ponds of the plan together.
pub(crate) fn of_plan(farm: &Farm, on: Day, ponds: &[PondOutlook]) -> Vec<IceOrder> {
    let last = ponds.iter().filter_map(|shown| shown.planned).map(|one| one.second_day.unwrap_or(one.catch_day)).max();
    let days = last.map_or(0, |last| (last.0 - on.0 + 1).max(0));
    let need = |day: Day| {
        let caught: Vec<(f64, f64)> = ponds.iter().filter_map(|shown| planned_on(shown, day)).collect();
        let kg: f64 = caught.iter().map(|(kg, _)| kg).sum();
        let warmest_c = caught.iter().map(|(_, c)| *c).fold(0.0, f64::max);
        DayIce::of(farm, day, kg, warmest_c).need_kg()
    };
    let needs: Vec<f64> = (0..days).map(|day| need(on.plus(day))).collect();
    let orders = ice::orders(&needs, farm.cold.ice_kg, farm.cold.ice_daily_kg, MELTS_DAILY);
    let mut there_kg = farm.cold.ice_kg;
    let mut all = Vec::new();
    for (at, (&need_kg, &order_kg)) in needs.iter().zip(&orders).enumerate() {
        there_kg += order_kg;
        let short_kg = (need_kg - there_kg).max(0.0);
        there_kg = (there_kg - need_kg).max(0.0) * (1.0 - MELTS_DAILY);
        if need_kg > 0.0 || order_kg > 0.0 {
            all.push(IceOrder { day: on.plus(at as i32), need_kg, order_kg, short_kg });
        }
    }
    all
}
