//! A pond's emptying for programs. Hours count from the midnight that `hours_from` names, by the farm's clock; levels in m above the lowest
//! floor, temperatures in °C.

use season::answer::Band;
use season::drain::{Drain, If, IfWhat, LastWater, WayOut};
use season::pond::drawdown::backwards::{Short, Target};
use season::pond::drawdown::{Mark, Step, What};
use serde_json::{Map, Value, json};

const SCHEMA: &str = "warmspell.drain";
const VERSION: u32 = 1;

/// The whole answer.
pub fn drain(of: &Drain) -> String {
    let mut top = Map::new();
    let mut put = |key: &str, value: Value| top.insert(key.to_owned(), value);
    let opening = &of.opening;
    put("farm", json!(of.farm));
    put("pond", json!(of.pond));
    put("on", json!(of.on.to_string()));
    put("now_hour", json!(of.now_hour));
    put("hours_from", json!(of.on.to_string()));
    put("catch_day", json!(of.catch_day.to_string()));
    put("is_planned", json!(of.is_planned));
    put("full_m", json!(of.full_m));
    put("from_m", json!(of.from_m));
    put("seining_m", json!(of.seining_m));
    put("catch_m", json!(of.catch_m));
    put("full_m3", json!(of.full_m3));
    put("catch_at_h", json!(of.wanted.catch_at_h));
    put("ways", of.ways.iter().map(way).collect());
    put("reckoned_h", json!(of.reckoned_h));
    put("told_h", json!(of.told_h));
    put("pace_factor", json!(of.pace_factor));
    put("outlet_water_m", json!(of.outlet_water_m));
    let outside = of.outlet_by_hour_h_m.iter().map(|(at_h, level_m)| json!({"at_h": at_h, "level_m": level_m}));
    put("outlet_water", outside.collect());
    put("open_h", json!(opening.start_h));
    put("gate_fraction", json!(opening.gate_fraction));
    put("shut_h", json!(opening.shut_h));
    put("open_again_h", json!(opening.again_h));
    put("short", opening.short.iter().map(short).collect());
    put("marks", marks(of));
    put("course", course(of));
    put("nights_h", json!(of.nights_h));
    put(
        "fuel",
        of.fuel.as_ref().map_or(Value::Null, |fuel| {
            json!({"needed_l": fuel.needed_l, "store_l": fuel.store_l, "out_h": fuel.out_h,
                "refills": fuel.refills.iter().map(|(way, hours)| json!({"way": way, "at_h": hours})).collect::<Vec<_>>()})
        }),
    );
    put("water", water(of));
    put("water_checked_on_an_emptied_pond", json!(false));
    put("last_water", of.last.as_ref().map_or(Value::Null, last_water));
    put("ifs", of.ifs.iter().map(one_if).collect());
    crate::commands::versioned(SCHEMA, VERSION, top)
}

fn marks(of: &Drain) -> Value {
    let opening = &of.opening;
    let mark = |mark: &Mark| json!({"at_h": opening.start_h + mark.at_h, "what": what(mark.what)});
    opening.course.marks.iter().map(mark).collect()
}

fn course(of: &Drain) -> Value {
    let opening = &of.opening;
    let step = |step: &Step| {
        json!({"at_h": opening.start_h + step.at_h, "level_m": step.stage_m, "bare_fraction": step.bare_fraction,
            "film_fraction": step.film_fraction, "volume_m3": step.volume_m3, "pools_m3": step.pools_m3,
            "leaves_m3_h": step.discharge_m3_h, "open": step.open})
    };
    opening.course.steps.iter().map(step).collect()
}

fn last_water(last: &LastWater) -> Value {
    json!({"level_m": last.level_m, "volume_m3": last.volume_m3, "temp_c": last.temp_c, "mass_kg": last.mass_kg.0,
        "mass_kg_one_in_ten_more": last.mass_kg.1, "above_3_mg_l_without_air_h": last.alone_h, "above_3_mg_l_with_own_air_h": last.aerated_h,
        "aerator_kw": last.aerator_kw, "needed_kw": last.needed_kw, "holds_kg": last.holds_kg, "pace_kg_h": last.pace_kg_h,
        "basin": last.basin.map(|basin| json!({"volume_m3": basin.volume_m3, "is_guess": basin.is_guess,
            "bears_kg": basin.bears_kg, "needed_kw": basin.needed_kw}))})
}

fn one_if(one: &If) -> Value {
    let what = match one.what {
        IfWhat::HoursLater(hours) => json!({"hours_later": hours}),
        IfWhat::DayLater(day) => json!({"day": day.to_string()}),
        IfWhat::Deeper(metres) => json!({"deeper_m": metres}),
        IfWhat::Well(m3_h, c) => json!({"well_m3_h": m3_h, "well_c": c}),
    };
    json!({"what": what, "open_h": one.start_h, "warmer_k": one.warmer_k, "slow_chance": one.slow_chance,
        "mark_chance": one.mark_chance})
}

fn water(of: &Drain) -> Value {
    let Some(water) = &of.water else { return Value::Null };
    let band = |band: Band| json!({"low": band.low, "middle": band.middle, "high": band.high});
    let place = |place: &Option<season::drain::PlaceWater>| {
        place.map_or(Value::Null, |place| json!({"mean_c": band(place.mean_c), "floor_c": band(place.floor_c)}))
    };
    json!({
        "lowest_c": band(water.lowest_c), "lowest_at_h": water.lowest_at_h, "at_catch_c": band(water.at_catch_c),
        "slow_chance": water.slow_chance, "mark_chance": water.mark_chance, "follow_mark_c": of.follow_mark_c, "cold_mark_c": of.cold_mark_c,
        "shallow_less_k": water.shallow_less_k, "shallow_less_at_h": water.shallow_less_at_h,
        "places": ["shallow end", "middle", "drain end"],
        "hours": water.hours.iter().map(|hour| json!({"at_h": hour.at_h, "level_m": hour.level_m,
            "places": hour.places.iter().map(place).collect::<Vec<_>>()})).collect::<Vec<_>>(),
    })
}

fn way(of: &WayOut) -> Value {
    match of {
        WayOut::Pipe => json!({"kind": "pipe"}),
        WayOut::Standpipe => json!({"kind": "standpipe"}),
        WayOut::Pump(name) => json!({"kind": "pump", "name": name}),
        WayOut::Extra => json!({"kind": "extra pump"}),
    }
}

fn target(of: Target) -> &'static str {
    match of {
        Target::Seining => "seining depth",
        Target::Catch => "catch depth",
    }
}

fn short(of: &Short) -> Value {
    match *of {
        Short::Late { target: which, late_h, extra_m3_h } => {
            json!({"target": target(which), "late_h": late_h, "extra_pump_m3_h": extra_m3_h})
        }
        Short::Never { target: which, lowest_m, by_outlet, extra_m3_h } => {
            json!({"target": target(which), "never": true, "lowest_m": lowest_m, "by_outlet_water": by_outlet, "extra_pump_m3_h": extra_m3_h})
        }
    }
}

fn what(of: What) -> Value {
    match of {
        What::Opened => json!("opened"),
        What::SeiningDepth => json!("seining depth"),
        What::HoldEnds => json!("hold ends"),
        What::CatchDepth => json!("catch depth"),
        What::CutOff { column } => json!({"cut_off_twelfth": column}),
        What::Dry { column } => json!({"bare_twelfth": column}),
        What::Stalls => json!("stalls"),
        What::RunsBackward => json!("runs backward"),
        What::RunsAgain => json!("runs again"),
        What::LosesPrime { way } => json!({"loses_prime": way}),
        What::FuelOut { way } => json!({"fuel_out": way}),
    }
}
