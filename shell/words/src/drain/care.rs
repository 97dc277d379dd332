//! What is minded on the way down: oxygen in the last water, fuel, and a caution at each step.

use season::drain::{Drain, LastWater, WayOut};

use super::{at, level, volume};
use crate::figures::{Manner, mass, span};

/// The last water's oxygen.
pub fn last(last: &LastWater, manner: Manner) -> Vec<String> {
    let mut said = vec![format!(
        "In the last pool, at {}, about {} are left for about {} of animals: {:.0} g to the litre, if all have followed the water.",
        level(last.level_m, manner),
        volume(last.volume_m3, manner),
        mass(last.mass_kg.0, manner),
        (last.mass_kg.0 / last.volume_m3).max(1.0)
    )];
    let holds = |hours: Option<f64>| match hours {
        None => "above 3 mg/L".to_owned(),
        Some(hours) => format!("above 3 mg/L for {}", span(hours)),
    };
    said.push(format!("With all of them in it and no aerator it stays {}.", holds(last.alone_h)));
    if last.aerator_kw > 0.0 {
        said.push(format!(
            "With the pond's {} aerator, if it can still run at that depth: {}.",
            power(last.aerator_kw, manner),
            holds(last.aerated_h)
        ));
    }
    match last.pace_kg_h {
        Some(pace) => said.push(format!(
            "Have {} of air there, twice what is used; or keep a pace of {} an hour from the first hour on, until {} are left in it. If neither can be \
             had, hold more water.",
            power(last.needed_kw, manner),
            mass(pace, manner),
            mass(last.holds_kg, manner)
        )),
        None => said.push(format!("Twice what is used would take {} of air.", power(last.needed_kw, manner))),
    }
    if let Some(basin) = last.basin {
        let guess = if basin.is_guess { " (its size is our guess: tell it in the farm file)" } else { "" };
        said.push(format!(
            "The catch basin, {}{guess}, bears {} for an hour or two, with {} of air and two sources of it: never let it fill faster than it is \
             emptied.",
            volume(basin.volume_m3, manner),
            mass(basin.bears_kg, manner),
            power(basin.needed_kw, manner)
        ));
    }
    said
}

/// Fuel, where pumps burn any.
pub fn fuels(drain: &Drain, manner: Manner) -> Option<String> {
    let need = drain.fuel.as_ref()?;
    let whole = format!("The pumps burn about {} on the way", fuel(need.needed_l, manner));
    Some(match need.out_h {
        Some(out_h) => format!(
            "{whole}; {} are in store and burnt {}: have {} more by then.",
            fuel(need.store_l, manner),
            at(drain, out_h, manner),
            fuel(need.needed_l - need.store_l, manner)
        ),
        None => format!("{whole}; {} are in store.", fuel(need.store_l, manner)),
    })
}

/// Cautions, each at its step: the step, and what is minded there.
pub fn cautions(drain: &Drain) -> Vec<(&'static str, &'static str)> {
    let pumps = drain.ways.iter().any(|way| matches!(way, WayOut::Pump(_) | WayOut::Extra));
    let mut said = vec![(
        "Before you open",
        "Ask your authority whether pond water may be let out here, and screen the outlet: no live animal may leave. Stay clear of the inlet, it sucks; \
         shut the flow before you clear a screen.",
    )];
    if pumps {
        said.push((
            "At pump and generator",
            "Fumes kill: engines run outdoors, 20 ft from doors, windows and truck bays; dizzy or headache means fresh air and the emergency number. \
             Ground-fault protected circuits only, cords off wet ground, off and locked before anyone enters the water; let it cool before you refuel. \
             Local code and a licensed electrician decide.",
        ));
    }
    said.push((
        "Through the night",
        "Nobody goes to the bank alone without a phone and an hour to call in. Vest on, light up before you step down, throw line at hand.",
    ));
    said.push((
        "In the mud",
        "Two people, and headcount in and out. Mud holds: keep moving, lie back if stuck, do not pull alone. Cold and wet: dry clothes, breaks; who shivers \
         or fumbles stops.",
    ));
    said
}

pub(crate) fn fuel(litres: f64, manner: Manner) -> String {
    match manner {
        Manner::Metric => format!("{litres:.0} L"),
        Manner::UsCustomary => format!("{:.0} gal", litres / 3.785),
    }
}

fn power(kw: f64, manner: Manner) -> String {
    match manner {
        Manner::Metric => format!("{kw:.1} kW"),
        Manner::UsCustomary => format!("{:.1} hp", kw / 0.7457),
    }
}
