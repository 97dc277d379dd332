//! The shape of a pond, from paces or a survey.

use units::measure::{self, Kind};

use crate::clerk::{Clerk, Desk};
use crate::farm::DoubtKind;
use crate::pond_card::Shape;
use crate::reasons::{self, Wrong};
use crate::typed::ValueTyped;

pub(super) fn shape(clerk: &mut Clerk, desk: &Desk<'_>, pace_m: f64) -> Shape {
    let (length_m, width_m) =
        (side(clerk, desk, ("length", "paces_long"), pace_m), side(clerk, desk, ("width", "paces_wide"), pace_m));
    let area_m2 = match clerk.quantity(desk, "area") {
        Some(area_m2) => area_m2,
        None if desk.has("area") => f64::NAN,
        None => area_from_sides(clerk, desk, length_m, width_m),
    };
    let shape = Shape {
        area_m2,
        shallow_depth_m: clerk.number(desk, "shallow_depth"),
        deep_depth_m: clerk.number(desk, "deep_depth"),
        length_m,
        // Area and length say all; a width beside them would say it twice.
        width_m: width_m.filter(|_| length_m.is_none()),
        side_slope: clerk.number(desk, "side_slope"),
        area_by_depth_m_m2: survey(clerk, desk),
        soundings_m: pairs(clerk, desk, "soundings", (Kind::Length, Kind::Length), |last, next| next.0 > last.0)
            .unwrap_or_default(),
        silt_m: clerk.number(desk, "silt"),
    };
    if shape.deep_depth_m < shape.shallow_depth_m {
        clerk.refuse(desk, "deep_depth", Wrong::DeepNotDeeper);
    }
    if shape.silt_m >= shape.deep_depth_m {
        clerk.refuse(desk, "silt", Wrong::NotBelowDeepest);
    }
    let across_m = shape.width_m.unwrap_or(shape.area_m2 / length_m.unwrap_or((2.0 * shape.area_m2).sqrt()));
    let banks_m = 2.0 * shape.side_slope * shape.deep_depth_m;
    if across_m <= banks_m && shape.area_by_depth_m_m2.is_empty() {
        clerk.refuse(desk, "side_slope", Wrong::BanksMeet { across_m, banks_m });
    }
    if let (Some(length_m), Some(width_m)) = (length_m, width_m) {
        let ratio = length_m * width_m / shape.area_m2;
        if !(0.8..=1.4).contains(&ratio) && ratio.is_finite() {
            clerk.doubt(desk, "length", DoubtKind::AreaAndPaces { ratio });
        }
    }
    if let Some(&(full_m, area_m2)) = shape.area_by_depth_m_m2.last() {
        let (depth_ratio, area_ratio) = (full_m / shape.deep_depth_m, area_m2 / shape.area_m2);
        if [depth_ratio, area_ratio].iter().any(|ratio| *ratio < 0.9 || *ratio > 1.1) {
            clerk.doubt(desk, "area_by_depth", DoubtKind::SurveyAndFigures { depth_ratio, area_ratio });
        }
    }
    shape
}

/// A side as measured, or as paced.
fn side(clerk: &mut Clerk, desk: &Desk<'_>, (key, paces): (&str, &str), pace_m: f64) -> Option<f64> {
    let (measured_m, paced) = (clerk.quantity(desk, key), clerk.quantity(desk, paces));
    measured_m.or(paced.map(|paces| paces * pace_m))
}

/// Length times width, judged as an area that is written.
fn area_from_sides(clerk: &mut Clerk, desk: &Desk<'_>, length_m: Option<f64>, width_m: Option<f64>) -> f64 {
    let sides = ["length", "width", "paces_long", "paces_wide"];
    let (Some(length_m), Some(width_m)) = (length_m, width_m) else {
        // A side that cannot be read has its own reason.
        let typed = sides.iter().filter(|key| desk.has(key)).count();
        if typed < 2 {
            clerk.refuse(desk, "area", Wrong::MissingEither { other: "pond.paces_long" });
        }
        return f64::NAN;
    };
    let area_m2 = length_m * width_m;
    if let Err(what) = clerk.within_table("pond.area", area_m2)
        && area_m2.is_finite()
    {
        clerk.refuse(desk, if desk.has("paces_long") { "paces_long" } else { "length" }, what);
    }
    area_m2
}

/// Pairs of height above the deepest point and area.
fn survey(clerk: &mut Clerk, desk: &Desk<'_>) -> Vec<(f64, f64)> {
    let rises = |last: (f64, f64), next: (f64, f64)| next.0 > last.0 && next.1 >= last.1;
    let Some(pairs) = pairs(clerk, desk, "area_by_depth", (Kind::Length, Kind::Area), rises) else { return Vec::new() };
    if pairs.len() < 2 || pairs.first().is_some_and(|first| first.0 != 0.0) {
        clerk.refuse(desk, "area_by_depth", Wrong::NotRising);
    }
    pairs
}

/// Pairs of two measures, as a list of lists of text; `None` when nothing is written.
pub(in crate::ready) fn pairs(
    clerk: &mut Clerk,
    desk: &Desk<'_>,
    key: &str,
    (first, second): (Kind, Kind),
    rises: impl Fn((f64, f64), (f64, f64)) -> bool,
) -> Option<Vec<(f64, f64)>> {
    let field = clerk.field(desk, key)?;
    let ValueTyped::List(rows) = field.value else {
        clerk.refuse_field(&field, Wrong::Shape { wants: reasons::Shape::Pairs });
        return None;
    };
    let mut pairs: Vec<(f64, f64)> = Vec::new();
    for (line, value) in rows {
        let mut refuse = |what| {
            clerk.refuse_field(
                &crate::clerk::Field { value, line: *line, of: field.of.clone(), input: field.input },
                what,
            );
        };
        let pair = match value {
            ValueTyped::List(pair) => match pair.as_slice() {
                [(_, ValueTyped::Text(one)), (_, ValueTyped::Text(other))] => Some((one, other)),
                _ => None,
            },
            _ => None,
        };
        let Some((one, other)) = pair else {
            refuse(Wrong::Shape { wants: reasons::Shape::Pairs });
            continue;
        };
        match (measure::read(one, first, None), measure::read(other, second, None)) {
            (Ok(one), Ok(other)) => {
                let in_order = pairs.last().is_none_or(|&last| rises(last, (one, other)));
                if !in_order || one < 0.0 || other < 0.0 {
                    refuse(Wrong::NotRising);
                }
                pairs.push((one, other));
            }
            (Err(error), _) | (_, Err(error)) => refuse(Wrong::Measure(error)),
        }
    }
    Some(pairs)
}

impl Shape {
    /// Volume of the full pond, roughly: mean depth less what sloping banks take. For doubts only; the pond room knows better.
    pub(crate) fn volume_about_m3(&self) -> f64 {
        0.85 * self.area_m2 * (self.shallow_depth_m + self.deep_depth_m) / 2.0
    }
}
