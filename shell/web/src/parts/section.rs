//! A pond drawn as itself: cut from shallow end to drain end, to its own depths, with the water's colour and the readings where
//! they were taken.

use farm::{AlongPond, PondCard};
use maud::{Markup, html};
use season::answer::PondOutlook;
use season::course::CutCell;
use units::Instant;
use words::figures::{Manner, bare, depth};
use words::page_morning as say;

use super::ramp;

/// Width and height of the drawing's own units.
const WIDE: f64 = 340.0;
const HIGH: f64 = 96.0;
/// Where the water's surface lies, and how much room there is under it.
const SURFACE: f64 = 30.0;
const ROOM: f64 = 54.0;
/// Left and right edges of the water.
const EDGES: (f64, f64) = (22.0, 318.0);
/// Depth that fills the room, m: ponds keep their size beside each other.
const DEEPEST_M: f64 = 2.5;

/// The drawing. `now` bounds the readings shown to those of the last day.
pub fn section(pond: &PondOutlook, card: &PondCard, now: Instant, manner: Manner) -> Markup {
    let shape = &card.shape;
    let deepest_m = shape.deep_depth_m.max(DEEPEST_M);
    let down = |depth_m: f64| SURFACE + ROOM * depth_m / deepest_m;
    let (left, right) = EDGES;
    let (shallow, deep) = (down(shape.shallow_depth_m), down(shape.deep_depth_m));
    // Banks rise above the water; their feet stand at the two depths.
    let feet = (left + 16.0, right - 14.0);
    let water = format!("M{left} {SURFACE} L{:.1} {shallow:.1} L{:.1} {deep:.1} L{right} {SURFACE} Z", feet.0, feet.1);
    let ground = format!(
        "M0 {b:.1} L0 18 L14 18 L{left} {SURFACE} L{:.1} {shallow:.1} L{:.1} {deep:.1} L{right} {SURFACE} L326 18 L{WIDE} 18 L{WIDE} {b:.1} Z",
        feet.0,
        feet.1,
        b = HIGH
    );
    let place = |along: AlongPond| match along {
        AlongPond::Shallow => feet.0 + 26.0,
        AlongPond::Middle => 0.5 * (feet.0 + feet.1),
        AlongPond::Deep => feet.1 - 26.0,
    };
    let fresh: Vec<_> =
        latest_by_place(card, now).into_iter().map(|(along, m, c)| (place(along), down(m), c)).collect();
    let title = format!("cut-{}", card.id);
    html! {
        svg.section viewBox=(format!("0 0 {WIDE} {HIGH}")) role="img" aria-labelledby=(format!("{title} {title}-d")) {
            title id=(title) { (say::section_title(&pond.name)) }
            desc id=(format!("{title}-d")) { (say::section_says(pond, shape.shallow_depth_m, shape.deep_depth_m, manner)) }
            path class=(format!("water {}", ramp::class(pond.modelled_c))) d=(water) {}
            (cells(&pond.course.cut, feet, &down))
            path.clay d=(ground) {}
            // Reeds at the shallow end, the drain at the other.
            path.reeds d="M5 18 q1 -8 -1 -13 M8 18 q0 -7 2 -12 M11 18 q1 -6 4 -8" {}
            path.pipe d=(format!("M{:.1} {:.1} h26", feet.1 - 2.0, deep - 2.5)) {}
            line.surface x1=(left) y1=(SURFACE) x2=(right) y2=(SURFACE) {}
            text.end x="26" y="14" { (say::SHALLOW) " " (depth(shape.shallow_depth_m, manner)) }
            text.end.far x="314" y="14" { (say::DRAIN) " " (depth(shape.deep_depth_m, manner)) }
            @for (x, y, temp_c) in fresh {
                circle.reading cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="4.5" {}
                text.read x=(format!("{:.1}", x - 9.0)) y=(format!("{:.1}", y + 4.5)) { (bare(temp_c, manner)) "°" }
            }
        }
    }
}

/// The cut water, cell by cell. Clay is painted over what reaches beyond the floor, so that the lowest cells fill their column.
fn cells(cut: &[CutCell], feet: (f64, f64), down: &dyn Fn(f64) -> f64) -> Markup {
    // The first and last columns reach up to the banks.
    let x = |along: f64| match along {
        a if a <= 0.0 => EDGES.0,
        a if a >= 1.0 => EDGES.1,
        a => feet.0 + a * (feet.1 - feet.0),
    };
    html! {
        @for cell in &alike(cut) {
            @let (class, next, part) = ramp::between(cell.temp_c);
            @let (left, right) = (x(cell.along.0), x(cell.along.1));
            @let (top, foot) = (down(cell.depth_m.0), if cell.depth_m.1.is_finite() { down(cell.depth_m.1) } else { HIGH });
            @let shape = format!("M{left:.1} {top:.1}H{right:.1}V{foot:.1}H{left:.1}z");
            path class=(class) d=(shape) {}
            @if part >= 0.05 { path class=(next) fill-opacity=(format!("{part:.2}")) d=(shape) {} }
        }
    }
}

/// Cells of one column that no eye could tell apart, as one; the lowest of each column reaches down without end.
fn alike(cut: &[CutCell]) -> Vec<CutCell> {
    const APART_K: f64 = 0.1;
    let mut drawn: Vec<CutCell> = Vec::new();
    for cell in cut {
        match drawn.last_mut() {
            Some(last) if last.along == cell.along && (last.temp_c - cell.temp_c).abs() < APART_K => {
                last.depth_m.1 = cell.depth_m.1;
            }
            Some(last) if last.along != cell.along => {
                last.depth_m.1 = f64::INFINITY;
                drawn.push(*cell);
            }
            _ => drawn.push(*cell),
        }
    }
    if let Some(last) = drawn.last_mut() {
        last.depth_m.1 = f64::INFINITY;
    }
    drawn
}

/// The last reading at each place within a day.
fn latest_by_place(card: &PondCard, now: Instant) -> Vec<(AlongPond, f64, f64)> {
    [AlongPond::Shallow, AlongPond::Middle, AlongPond::Deep]
        .into_iter()
        .filter_map(|place| {
            let of_place = card.readings.iter().filter(|reading| reading.place == place);
            let fresh = of_place.filter(|reading| (-24..=12).contains(&reading.at.hours_since(now)));
            fresh.max_by_key(|reading| reading.at).map(|reading| (place, reading.depth_m, reading.temp_c))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_that_look_alike_are_drawn_as_one() {
        let cell = |column: f64, top: f64, temp_c: f64| CutCell {
            along: (column, column + 0.5),
            depth_m: (top, top + 0.1),
            temp_c,
        };
        let drawn = alike(&[cell(0.0, 0.0, 20.0), cell(0.0, 0.1, 20.05), cell(0.0, 0.2, 19.0), cell(0.5, 0.0, 19.0)]);
        let tops: Vec<(f64, f64)> = drawn.iter().map(|cell| (cell.along.0, cell.depth_m.0)).collect();
        assert_eq!(tops, [(0.0, 0.0), (0.0, 0.2), (0.5, 0.0)]);
        assert!(drawn[1].depth_m.1.is_infinite() && drawn[2].depth_m.1.is_infinite(), "{drawn:?}");
    }
}
