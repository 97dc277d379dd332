//! The farm's gear, cold and buyers as the line needs them.
//!
//! Model     none: bookkeeping; the farm's own pounds for a hand-hour stretch all work from water to ice alike
//! Units     kg, h
//! Range     any farm file read without fault
//! Source    the farm's own figures; common practice where it says nothing (`harvest::default_rate`)
//! Left out  what buyers took on other days of the same week

use farm::{Farm, Form};
use harvest::{Buyers, Means, Rates, Task, ice, live};
use units::Day;

use super::DayWish;

/// Litres of water lent to a kilogram of live animals where nothing is told of air: hours of a night, air by night, °C.
const LIVE_AIR_C: f64 = 20.0;
/// Air on a day of the catch, °C, for the ice; heat that a plain tub lets in, W/K; slush lifted out with a kilogram; pack ice.
const DAY_AIR_C: f64 = 25.0;
const TUB_W_K: f64 = 3.0;
const LIFTED_KG_KG: f64 = 0.25;
const PACK_KG_KG: f64 = 0.5;
const MARGIN: f64 = 0.25;
/// The slurry's water before ice, °C: from a well, not chilled the night before.
const TAP_C: f64 = 16.0;
const SLURRY_C: f64 = 1.0;

/// Paces: common practice, stretched to the farm's own pounds for a hand-hour, under the farm's own for single tasks.
pub(crate) fn rates(farm: &Farm) -> Rates {
    let mut rates = Rates::default();
    let means = Means::default();
    if !farm.assumed.iter().any(|assumed| assumed.key == "crew.per_hand_hour") {
        let usual_h_kg = rates.water_to_ice_h_kg(farm.gear.basket_kg, f64::from(means.carried));
        rates.to_ice_faster(farm.crew.kg_per_hand_h * usual_h_kg);
    }
    for (task, value) in own(farm) {
        let rate = rates.get_mut(task);
        // What a grower writes down was measured, by them: a third of the doubt is left.
        (rate.value, rate.unknown, rate.measured) = (value, rate.unknown / 3.0, 1);
    }
    rates
}

/// The farm's own paces, in the unit of each task's rate.
fn own(farm: &Farm) -> Vec<(Task, f64)> {
    let line = &farm.line;
    [
        (Task::Seine, line.haul_h),
        (Task::Gather, line.gather_kg_h),
        (Task::Dip, line.dip_kg_h),
        (Task::Bag, line.dip_kg_h),
        (Task::Carry, line.carry_h),
        (Task::Rinse, line.rinse_kg_h),
        (Task::Sort, line.sort_kg_h),
        (Task::Weigh, line.weigh_h),
        (Task::Load, line.load_kg_h),
        (Task::Unload, line.load_kg_h),
        (Task::Head, line.head_h.map(|hours| 3600.0 * hours)),
        (Task::Wash, line.wash_kg_h),
        (Task::Pack, line.pack_kg_h),
    ]
    .into_iter()
    .filter_map(|(task, value)| Some((task, value?)))
    .collect()
}

/// How many paces are the farm's own.
pub(super) fn own_paces(farm: &Farm) -> usize {
    own(farm).len()
}

/// Gear and cold on a day.
pub(super) fn means(farm: &Farm, on: Day, wish: &DayWish) -> Means {
    let (line, usual) = (&farm.line, Means::default());
    let mut places = usual.places;
    places[Task::Weigh as usize] = line.scales.unwrap_or(1);
    let store_kg = match &farm.cold.store {
        Some(store) if store.taken.iter().any(|days| days.contains(on)) => 0.0,
        Some(store) => store.capacity_kg,
        // Without a cold room the iced boxes are the store.
        None => 1e9,
    };
    Means {
        baskets: wish.baskets.unwrap_or(farm.gear.baskets),
        basket_kg: wish.basket_kg.unwrap_or(farm.gear.basket_kg),
        places,
        tubs: line.tubs.unwrap_or(usual.tubs),
        tub_kg: line.tub_kg.unwrap_or(usual.tub_kg),
        ice_kg: wish.ice_kg.unwrap_or(farm.cold.ice_kg + farm.cold.ice_daily_kg),
        ice_per_kg: farm.cold.ice_per_kg,
        store_kg,
        live_room_kg: f64::from(farm.cold.live_tanks) * farm.cold.live_tank_m3 * farm.cold.live_kg_m3,
        haul_hands: line.haul_hands.unwrap_or(usual.haul_hands),
        hauls_most: line.hauls.unwrap_or(usual.hauls_most),
        haul_share: line.haul_share.unwrap_or(usual.haul_share),
        ..usual
    }
}

/// What buyers take on a day, kg of whole weight: live first, then whole, the rest headed where tails are sold. `ordered_kg` is what is ordered alive for
/// the day: where that is more than the farm's description reckons with, it is what is wanted.
pub(super) fn buyers(farm: &Farm, catch_kg: f64, ordered_kg: f64) -> Buyers {
    let sold = |form: Form| farm.prices.rows.iter().any(|row| row.form == form);
    let most = |form: Form| {
        let ceiling = farm.orders.ceilings.iter().find(|ceiling| ceiling.form == form);
        let day = ceiling.and_then(|ceiling| ceiling.kg_day).unwrap_or(f64::INFINITY);
        let season = ceiling.and_then(|ceiling| Some((ceiling.kg_total? - ceiling.sold_kg).max(0.0)));
        if sold(form) { day.min(season.unwrap_or(f64::INFINITY)) } else { 0.0 }
    };
    let room_kg = f64::from(farm.cold.live_tanks) * farm.cold.live_tank_m3 * farm.cold.live_kg_m3;
    let live_kg = most(Form::Live).max(ordered_kg).min(room_kg).min(catch_kg);
    let whole_kg = (most(Form::Whole) + most(Form::Piece)).min(catch_kg - live_kg);
    let tails_kg = if sold(Form::Tails) { catch_kg - live_kg - whole_kg } else { 0.0 };
    Buyers { live_kg, whole_kg, tails_kg }
}

/// The day's ice by its heat balance.
pub(super) fn ice_day(farm: &Farm, chilled_kg: f64, prawns_c: f64, means: &Means) -> ice::IceDay {
    let tubs = f64::from(means.tubs);
    let first = ice::Slurry {
        prawns_kg: 0.0,
        prawns_c,
        // As much water as prawns is usual.
        water_kg: means.tub_kg,
        water_c: TAP_C,
        tub_kj_k: 0.0,
        leak_w_k: TUB_W_K,
        air_c: DAY_AIR_C,
        hours: 0.0,
        ice_c: 0.0,
        wanted_c: SLURRY_C,
    };
    ice::IceDay {
        prawns_kg: chilled_kg,
        batches: (chilled_kg / means.tub_kg).ceil(),
        first,
        tubs,
        lifted_kg_kg: LIFTED_KG_KG,
        hours: farm.crew.hours_per_day,
        hold_h: 12.0,
        pack_kg_kg: PACK_KG_KG,
        margin: MARGIN,
    }
}

/// Hours that animals are in the live tanks until the buyer fetches them.
pub(super) fn live_hours(farm: &Farm) -> f64 {
    24.0 * f64::from(farm.cold.live_nights.max(1))
}

/// The live tanks with what comes into them; `None` when nothing does.
pub(super) fn live(farm: &Farm, prawns_kg: f64, water_c: f64) -> Option<live::LiveLoad> {
    (prawns_kg > 0.5 && farm.cold.live_tanks > 0).then(|| live::LiveLoad {
        prawns_kg,
        water_l: 1000.0 * f64::from(farm.cold.live_tanks) * farm.cold.live_tank_m3,
        water_c: water_c.clamp(18.0, 24.0),
        air_c: LIVE_AIR_C,
        leak_w_k: 20.0,
        ph: 7.5,
        changed_per_h: 0.0,
        has_oxygen: false,
    })
}
