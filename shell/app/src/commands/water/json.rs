//! The answer of `warmspell water` for programs. Schema `warmspell.water`, version 1.

use season::water::{Dawn, Fit, LeadScore, PlaceScore, SpotScore, StartFrom, WaterAnswer, WaterAsk};
use serde_json::{Value, json};

/// The whole answer. Schema and version come first: the rest follows in the order of its keys.
pub fn of(found: &WaterAnswer, ask: &WaterAsk<'_>, remarks: &[String]) -> String {
    let rest = format!("{:#}", rest(found, ask, remarks));
    let rest = rest.strip_prefix('{').expect("an object was made just above");
    format!("{{\n  \"schema\": \"warmspell.water\",\n  \"version\": 1,{rest}\n")
}

fn rest(found: &WaterAnswer, ask: &WaterAsk<'_>, remarks: &[String]) -> Value {
    let zone = &ask.basin.zone;
    let course = &found.course;
    json!({
        "basin": ask.basin.name,
        "columns": ask.columns,
        "wind_factor": ask.basin.wind_factor,
        "from": zone.stamp(course.start),
        "to": zone.stamp(course.time(course.temps_c.len().saturating_sub(1))),
        "hours": course.temps_c.len().saturating_sub(1),
        "start_from": match found.start { StartFrom::File => "file", StartFrom::Readings => "readings" },
        "ground": {
            "mean_c": found.ground.mean_c,
            "half_range_c": found.ground.half_range_c,
            "from": if found.ground_from_weather { "weather" } else { "file" },
        },
        "dawn": match ask.dawn {
            Dawn::Sun { .. } => "06 h by the sun".to_owned(),
            Dawn::Clock { second } => format!("{:02}:{:02} by the clock", second / 3600, second / 60 % 60),
        },
        "first_hours_not_scored": 24,
        "heat_unaccounted": found.heat_unaccounted,
        "spots": found.spots.iter().map(spot).collect::<Vec<_>>(),
        "places": found.places.iter().map(place).collect::<Vec<_>>(),
        "leads": found.leads.iter().map(lead).collect::<Vec<_>>(),
        "leads_untaught": found.untaught.iter().map(lead).collect::<Vec<_>>(),
        "remarks": remarks,
    })
}

fn fit(fit: Option<Fit>) -> Value {
    fit.map_or(Value::Null, |fit| json!({ "rmse_k": fit.rmse_k, "bias_k": fit.bias_k, "n": fit.n }))
}

fn spot(score: &SpotScore) -> Value {
    json!({
        "place": score.spot.place.name(),
        "depth_m": score.spot.depth_m,
        "all_hours": fit(score.all),
        "dawn": fit(score.dawn),
    })
}

fn place(score: &PlaceScore) -> Value {
    let range = score.range.map(|range| {
        json!({
            "days": range.days,
            "observed_k": range.observed_k,
            "modelled_k": range.modelled_k,
            "ratio": range.modelled_k / range.observed_k,
        })
    });
    let spells = score.spells.iter().map(|spell| {
        json!({
            "from": spell.from.to_string(),
            "to": spell.to.to_string(),
            "observed_fall_k": spell.observed_fall_k,
            "modelled_fall_k": spell.modelled_fall_k,
            "ratio": spell.modelled_fall_k / spell.observed_fall_k,
        })
    });
    json!({
        "place": score.place.name(),
        "all_depths": fit(score.all),
        "dawn_to_1_m": fit(score.dawn_upper),
        "daily_range": range,
        "cool_spells": spells.collect::<Vec<_>>(),
    })
}

fn lead(score: &LeadScore) -> Value {
    json!({
        "place": score.place.name(),
        "lead_days": score.lead_days,
        "upper_metre": fit(score.upper),
        "upper_metre_persistence": fit(score.upper_persistence),
        "all_depths": fit(score.all),
        "all_depths_persistence": fit(score.all_persistence),
    })
}
