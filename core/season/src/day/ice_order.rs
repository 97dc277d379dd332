//! Ice for the days ahead, all ponds of the plan together.
//!
//! Model     what is planned to come out on each day, less what goes alive, times the farm's own ice for a kilogram; of two days of one pond half each. Each day is
//!           served from its own ice first, what is short from the days before
//! Units     kg
//! Range     the days of the plan
//! Source    a tenth melts in a day in a lidded box in the shade: common practice
//! Left out  what a colder morning saves

use farm::Farm;
use harvest::ice;
use units::Day;

use super::means;
use crate::answer::Outlook;

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

/// Days on which ice is needed or fetched.
pub(super) fn of_plan(farm: &Farm, outlook: &Outlook) -> Vec<IceOrder> {
    let mut caught_kg: Vec<f64> = Vec::new();
    let mut add = |day: Day, kg: f64| {
        let Ok(at) = usize::try_from(day.0 - outlook.on.0) else { return };
        if caught_kg.len() <= at {
            caught_kg.resize(at + 1, 0.0);
        }
        caught_kg[at] += kg;
    };
    for shown in &outlook.ponds {
        let Some(planned) = shown.planned else { continue };
        let kg_on =
            |day: Day| shown.days.iter().find(|of| of.day == day).map_or(shown.mass_kg.middle, |of| of.caught_kg);
        match planned.second_day {
            None => add(planned.catch_day, kg_on(planned.catch_day)),
            Some(second) => {
                add(planned.catch_day, 0.5 * kg_on(planned.catch_day));
                add(second, 0.5 * kg_on(second));
            }
        }
    }
    let chilled = |kg: &f64| (kg - means::buyers(farm, *kg).live_kg).max(0.0) * farm.cold.ice_per_kg;
    let needs: Vec<f64> = caught_kg.iter().map(chilled).collect();
    let orders = ice::orders(&needs, farm.cold.ice_kg, farm.cold.ice_daily_kg, MELTS_DAILY);
    let mut there_kg = farm.cold.ice_kg;
    let mut all = Vec::new();
    for (at, (&need_kg, &order_kg)) in needs.iter().zip(&orders).enumerate() {
        there_kg += order_kg;
        let short_kg = (need_kg - there_kg).max(0.0);
        there_kg = (there_kg - need_kg).max(0.0) * (1.0 - MELTS_DAILY);
        if need_kg > 0.0 || order_kg > 0.0 {
            all.push(IceOrder { day: outlook.on.plus(at as i32), need_kg, order_kg, short_kg });
        }
    }
    all
}
