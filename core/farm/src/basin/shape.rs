//! The basin's form as written: a table of areas by depth, or the figures of a simple survey.

use super::Taken;
use super::fault::Wrong;
use super::form::{Form, Key, Keys};
use super::unit::Unit;

/// The basin's form.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Area at each depth below the full surface.
    DepthArea {
        /// Depth (m) and area (m2), from the surface down.
        rows: Vec<(f64, f64)>,
        /// Along the slope, shallow end to deep end.
        length_m: f64,
        /// Across the slope.
        width_m: f64,
        /// Depth at the shallow end when full, when known.
        shallow_depth_m: Option<f64>,
    },
    /// A floor that falls evenly from the shallow to the deep end, between sloped banks.
    Survey {
        /// Along the slope, at the full surface.
        length_m: f64,
        /// Across the slope, at the full surface.
        width_m: f64,
        /// Depth at the shallow end.
        shallow_depth_m: f64,
        /// Depth at the drain end.
        deep_depth_m: f64,
        /// Run of the banks for each unit of rise.
        side_slope: f64,
    },
}

impl Shape {
    /// Depth of water at the deepest place when full, m.
    pub fn full_level_m(&self) -> f64 {
        match self {
            Shape::DepthArea { rows, .. } => rows.last().map_or(0.0, |row| row.0),
            Shape::Survey { deep_depth_m, .. } => *deep_depth_m,
        }
    }
}

const DEPTH: Key = Key { name: "depth_area_m_m2", unit: Unit::Metre, least: 0.0, greatest: 200.0 };
const DEPTH_AREA: Key = Key { name: "depth_area_m_m2", unit: Unit::SquareMetre, least: 0.0, greatest: 1e9 };
const AREA: Key = Key { name: "area_m2", unit: Unit::SquareMetre, least: 1.0, greatest: 1e9 };
const LENGTH: Key = Key { name: "length_m", unit: Unit::Metre, least: 1.0, greatest: 50_000.0 };
const WIDTH: Key = Key { name: "width_m", unit: Unit::Metre, least: 1.0, greatest: 50_000.0 };
const SHALLOW: Key = Key { name: "shallow_depth_m", unit: Unit::Metre, least: 0.05, greatest: 200.0 };
const DEEP: Key = Key { name: "deep_depth_m", unit: Unit::Metre, least: 0.1, greatest: 200.0 };
const SLOPE: Key = Key { name: "side_slope", unit: Unit::RunPerRise, least: 0.0, greatest: 20.0 };

/// Length times width may differ from the area by this much before the three are taken to disagree: tapes across an
/// uneven bank seldom close better (our guess).
const AREA_SLACK: f64 = 0.2;

/// With a table the outline may be of any form; beyond this many times either way one of the three is mistyped (our guess).
const OUTLINE_SLACK: f64 = 3.0;

pub(crate) fn read<'t>(form: &mut Form<'t>, keys: Keys<'_, 't>, taken: &mut Vec<Taken>) -> Option<Shape> {
    let has = |name: &str| keys.table.contains_key(name);
    let survey = [AREA.name, DEEP.name, SLOPE.name];
    if has(DEPTH.name) {
        for other in survey.into_iter().filter(|name| has(name)) {
            let line = keys.table.get(other).map_or(1, |value| form.line(value));
            form.fault(line, other, Wrong::Both { other: DEPTH.name });
        }
        return read_table(form, keys);
    }
    if ![&survey[..], &[SHALLOW.name, LENGTH.name, WIDTH.name]].concat().into_iter().any(has) {
        form.fault(1, "", Wrong::MissingOneOf { keys: vec![DEPTH.name, DEEP.name] });
        return None;
    }
    read_survey(form, keys, taken)
}

fn read_table<'t>(form: &mut Form<'t>, keys: Keys<'_, 't>) -> Option<Shape> {
    let before = form.faults.len();
    let length_m = form.needed(keys, &LENGTH);
    let width_m = form.needed(keys, &WIDTH);
    let shallow_depth_m = form.number(keys, &SHALLOW);
    let rows = form.pairs(keys, DEPTH.name, [&DEPTH, &DEPTH_AREA])?;
    let line = keys.table.get(DEPTH.name).map_or(1, |value| form.line(value));
    if rows.len() < 2 {
        form.fault(line, DEPTH.name, Wrong::TooFew { found: rows.len(), needed: 2 });
        return None;
    }
    if rows[0].0 != 0.0 {
        form.fault(rows[0].2, DEPTH.name, Wrong::NotFromSurface { first_m: rows[0].0 });
    }
    if rows[0].1 < AREA.least {
        let what = Wrong::Outside { value: rows[0].1, least: AREA.least, greatest: AREA.greatest, unit: "m2" };
        form.fault(rows[0].2, DEPTH.name, what);
    }
    for pair in rows.windows(2) {
        if pair[1].0 <= pair[0].0 {
            form.fault(pair[1].2, DEPTH.name, Wrong::NotRising { before: pair[0].0, value: pair[1].0 });
        }
        if pair[1].1 > pair[0].1 {
            form.fault(pair[1].2, DEPTH.name, Wrong::WiderBelow { above_m2: pair[0].1, below_m2: pair[1].1 });
        }
    }
    let (length_m, width_m) = (length_m?, width_m?);
    let product_m2 = length_m * width_m;
    if !(1.0 / OUTLINE_SLACK..=OUTLINE_SLACK).contains(&(product_m2 / rows[0].1)) {
        form.fault(rows[0].2, DEPTH.name, Wrong::AreaDisagrees { area_m2: rows[0].1, product_m2 });
    }
    let full_m = rows[rows.len() - 1].0;
    if let Some(shallow_m) = shallow_depth_m.filter(|&shallow_m| shallow_m > full_m) {
        let line = keys.table.get(SHALLOW.name).map_or(1, |value| form.line(value));
        form.fault(line, SHALLOW.name, Wrong::ShallowDeeper { shallow_m, deep_m: full_m });
    }
    let rows: Vec<(f64, f64)> = rows.iter().map(|&(depth, area, _)| (depth, area)).collect();
    let shape = Shape::DepthArea { rows, length_m, width_m, shallow_depth_m };
    (form.faults.len() == before).then_some(shape)
}

fn read_survey<'t>(form: &mut Form<'t>, keys: Keys<'_, 't>, taken: &mut Vec<Taken>) -> Option<Shape> {
    let before = form.faults.len();
    let area = form.number(keys, &AREA);
    let length = form.number(keys, &LENGTH);
    let width = form.number(keys, &WIDTH);
    let shallow = form.needed(keys, &SHALLOW);
    let deep = form.needed(keys, &DEEP);
    let side_slope = form.number(keys, &SLOPE).unwrap_or_else(|| {
        taken.push(Taken { key: SLOPE.name, value: 3.0 });
        3.0
    });
    let line = |form: &Form<'t>, name: &str| keys.table.get(name).map_or(1, |value| form.line(value));
    let (length_m, width_m) = match (length, width, area) {
        (Some(length), Some(width), area) => {
            if let Some(area_m2) = area.filter(|area| (length * width / area - 1.0).abs() > AREA_SLACK) {
                let what = Wrong::AreaDisagrees { area_m2, product_m2: length * width };
                form.fault(line(form, AREA.name), AREA.name, what);
            }
            (length, width)
        }
        (Some(length), None, Some(area)) => (length, area / length),
        (None, Some(width), Some(area)) => (area / width, width),
        _ => {
            if form.faults.len() == before {
                form.fault(1, "", Wrong::MissingOneOf { keys: vec![LENGTH.name, WIDTH.name, AREA.name] });
            }
            return None;
        }
    };
    let (shallow_depth_m, deep_depth_m) = (shallow?, deep?);
    if shallow_depth_m > deep_depth_m {
        let what = Wrong::ShallowDeeper { shallow_m: shallow_depth_m, deep_m: deep_depth_m };
        form.fault(line(form, SHALLOW.name), SHALLOW.name, what);
    }
    let banks_m = 2.0 * side_slope * deep_depth_m;
    if banks_m >= width_m {
        form.fault(line(form, SLOPE.name), SLOPE.name, Wrong::BanksMeet { width_m, banks_m });
    }
    let shape = Shape::Survey { length_m, width_m, shallow_depth_m, deep_depth_m, side_slope };
    (form.faults.len() == before).then_some(shape)
}
