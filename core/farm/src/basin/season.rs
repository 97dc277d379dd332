//! What changes with the season: level, light, plants, and water let in.

use toml::de::DeValue;
use units::Day;

use super::fault::{Asked, Wrong};
use super::form::{Form, Key, Keys};
use super::unit::Unit;
use super::{ATTENUATION, Light, SECCHI};

/// One row of `by_date`; what it does not say goes on from its neighbours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// The date; the row stands for its midday.
    pub day: Day,
    /// Depth of water at the deepest place, m.
    pub level_m: Option<f64>,
    /// How clear the water is.
    pub light: Option<Light>,
    /// 0 bare to 1 full.
    pub plants: Option<f64>,
}

/// Water let in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inflow {
    /// How much, m3/h.
    pub flow_m3_h: f64,
    /// How warm, C.
    pub temp_c: f64,
}

pub(crate) const LEVEL: Key = Key { name: "level_m", unit: Unit::Metre, least: 0.05, greatest: 200.0 };
const PLANTS: Key = Key { name: "plants", unit: Unit::Share, least: 0.0, greatest: 1.0 };
const FLOW: Key = Key { name: "flow_m3_h", unit: Unit::CubicMetrePerHour, least: 0.0, greatest: 100_000.0 };
const FLOW_TEMP: Key = Key { name: "temp_c", unit: Unit::Celsius, least: 0.0, greatest: 45.0 };

pub(crate) fn read_stops<'t>(form: &mut Form<'t>, keys: Keys<'_, 't>) -> Vec<Stop> {
    let Some(rows) = form.list(keys, "by_date") else {
        return Vec::new();
    };
    let mut stops: Vec<Stop> = Vec::with_capacity(rows.len());
    for (index, row) in rows.iter().enumerate() {
        let path = format!("by_date[{}]", index + 1);
        let line = form.line(row);
        let DeValue::Table(table) = row.get_ref() else {
            form.kind(line, &path, Asked::Keys, row.get_ref());
            continue;
        };
        let keys = Keys { table, path: &path, line };
        let Some(stop) = read_stop(form, keys) else { continue };
        if let Some(before) = stops.last().filter(|before| before.day >= stop.day) {
            let what = Wrong::DatesNotRising { before: before.day.to_string(), date: stop.day.to_string() };
            form.fault(line, path.as_str(), what);
        }
        stops.push(stop);
    }
    stops
}

fn read_stop<'t>(form: &mut Form<'t>, keys: Keys<'_, 't>) -> Option<Stop> {
    form.refuse_unknown(keys, &["date", "level_m", "secchi_m", "light_attenuation_per_m", "plants"]);
    let date = form.date(keys, "date");
    let secchi = form.number(keys, &SECCHI).map(Light::SecchiM);
    let rate = form.number(keys, &ATTENUATION).map(Light::AttenuationPerM);
    if secchi.is_some() && rate.is_some() {
        form.fault(keys.line, keys.path_to("light_attenuation_per_m"), Wrong::Both { other: "secchi_m" });
    }
    let level_m = form.number(keys, &LEVEL);
    let plants = form.number(keys, &PLANTS);
    Some(Stop { day: date?.0, level_m, light: secchi.or(rate), plants })
}

pub(crate) fn read_inflow<'t>(form: &mut Form<'t>, keys: Keys<'_, 't>) -> Option<Inflow> {
    let value = keys.table.get("inflow")?;
    let line = form.line(value);
    let DeValue::Table(table) = value.get_ref() else {
        form.kind(line, "inflow", Asked::Keys, value.get_ref());
        return None;
    };
    let keys = Keys { table, path: "inflow", line };
    form.refuse_unknown(keys, &[FLOW.name, FLOW_TEMP.name]);
    let flow = form.needed(keys, &FLOW);
    let temp = form.needed(keys, &FLOW_TEMP);
    Some(Inflow { flow_m3_h: flow?, temp_c: temp? })
}

/// Days from the basin's midnight count to the midday a row stands for.
fn midday(day: Day) -> f64 {
    f64::from(day.0) + 0.5
}

/// Linear between the rows that have a value, held before the first and after the last; `None` without any.
pub(crate) fn between(rows: impl Iterator<Item = (Day, f64)>, day: f64) -> Option<f64> {
    let mut before: Option<(f64, f64)> = None;
    for (date, value) in rows {
        let here = midday(date);
        if here >= day {
            return Some(match before {
                None => value,
                Some((then, earlier)) => earlier + (value - earlier) * (day - then) / (here - then),
            });
        }
        before = Some((here, value));
    }
    before.map(|(_, value)| value)
}

/// As [`between`], in the disc's depth where both neighbours give it, else in attenuation.
pub(crate) fn light_between(stops: &[Stop], day: f64) -> Option<f64> {
    let lit = || stops.iter().filter_map(|stop| Some((stop.day, stop.light?)));
    let before = lit().take_while(|&(date, _)| midday(date) < day).last();
    let after = lit().find(|&(date, _)| midday(date) >= day);
    match (before, after) {
        (Some((one, Light::SecchiM(a))), Some((other, Light::SecchiM(b)))) => {
            between([(one, a), (other, b)].into_iter(), day).map(|depth| Light::SecchiM(depth).attenuation_per_m())
        }
        (before, after) => {
            let rates = before.into_iter().chain(after).map(|(date, light)| (date, light.attenuation_per_m()));
            between(rates, day)
        }
    }
}
