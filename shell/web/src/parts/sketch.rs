//! A pond as it is being described: cut from end to end, to its own depths. The same drawing is kept up by `assets/sketch.js` while
//! one types; without script a button draws it.

use farm::inputs::NOT_KNOWN;
use farm::setup::{Draft, input_at};
use maud::{Markup, html};
use units::measure::{self, Kind};
use words::figures::Manner;
use words::page_morning::{DRAIN, SHALLOW};
use words::page_setup as say;

/// Where the water's surface lies, and how much room there is under it.
const SURFACE: f64 = 30.0;
const ROOM: f64 = 54.0;
/// Left and right edges of the water.
const EDGES: (f64, f64) = (22.0, 318.0);
/// Depth that fills the room, m.
const DEEPEST_M: f64 = 2.5;

/// The drawing of one pond of a draft, with the length of a pace for the script.
pub fn drawing(draft: &Draft, row: usize, manner: Manner) -> Markup {
    let at = |name: &str| format!("pond.{row}.{name}");
    let typed = |name: &str| {
        let text = draft.get(&at(name));
        if text.is_empty() || text == NOT_KNOWN { stand_in(&at(name)) } else { text }
    };
    let metres = |text: &str| measure::read(text, Kind::Length, None).ok();
    let (shallow, deep) = (typed("shallow_depth"), typed("deep_depth"));
    let pace_m = metres(draft.get("farm.pace")).unwrap_or(0.762);
    let side = |name: &str, paces: &str| {
        metres(draft.get(&at(name))).or_else(|| Some(draft.get(&at(paces)).parse::<f64>().ok()? * pace_m))
    };
    let area = side("length", "paces_long").zip(side("width", "paces_wide")).map(|(long, wide)| long * wide);
    let (water, ground) = paths(metres(shallow).unwrap_or(0.9), metres(deep).unwrap_or(1.8));
    html! {
        figure.sketch data-pace=(format!("{pace_m:.4}")) data-metric=[(manner == Manner::Metric).then_some("yes")] {
            svg.section viewBox="0 0 340 96" role="img" aria-labelledby="sketch-t" {
                title #sketch-t { (say::sketch(shallow, deep)) }
                path.water.t8 data-water d=(water) {}
                path.clay data-ground d=(ground) {}
                path.reeds d="M5 18 q1 -8 -1 -13 M8 18 q0 -7 2 -12 M11 18 q1 -6 4 -8" {}
                line.surface x1=(EDGES.0) y1=(SURFACE) x2=(EDGES.1) y2=(SURFACE) {}
                text.end x="26" y="14" { (SHALLOW) " " tspan data-shallow { (shallow) } }
                text.end.far x="314" y="14" { (DRAIN) " " tspan data-deep { (deep) } }
            }
            figcaption aria-live="polite" {
                span data-area data-said=(say::water(0.0, manner)) { @if let Some(area_m2) = area { (say::water(area_m2, manner)) } }
                " " button.draw type="submit" name="do" value="draw" { (say::DRAW) }
            }
        }
    }
}

fn stand_in(at: &str) -> &'static str {
    input_at(at).and_then(|input| input.stand_in()).map_or("", |(value, _)| value)
}

/// Water and ground for two depths, m. Depths that cross are drawn as typed: the eye finds the slip.
fn paths(shallow_m: f64, deep_m: f64) -> (String, String) {
    let deepest_m = shallow_m.max(deep_m).max(DEEPEST_M);
    let down = |depth_m: f64| SURFACE + ROOM * depth_m.max(0.0) / deepest_m;
    let (left, right) = EDGES;
    let (a, b) = (left + 16.0, right - 14.0);
    let (shallow, deep) = (down(shallow_m), down(deep_m));
    let water = format!("M{left} {SURFACE} L{a} {shallow:.1} L{b} {deep:.1} L{right} {SURFACE} Z");
    let ground = format!(
        "M0 96 L0 18 L14 18 L{left} {SURFACE} L{a} {shallow:.1} L{b} {deep:.1} L{right} {SURFACE} L326 18 L340 18 L340 96 Z"
    );
    (water, ground)
}

#[cfg(test)]
mod tests {
    use super::paths;

    #[test]
    fn deeper_is_lower_and_nothing_leaves_the_frame() {
        for (shallow_m, deep_m) in [(0.9, 1.8), (2.0, 1.0), (0.0, 9.0)] {
            let (water, _) = paths(shallow_m, deep_m);
            let low = |part: usize| -> f64 {
                water.split(" L").nth(part).and_then(|pair| pair.split(' ').nth(1)?.parse().ok()).expect("a height")
            };
            assert_eq!(low(1) < low(2), shallow_m < deep_m);
            assert!(low(1).max(low(2)) <= 84.0, "{water}");
        }
    }
}
