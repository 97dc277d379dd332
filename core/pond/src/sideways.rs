//! Exchange between the shallow end and the drain end.
//!
//! Model     layer by layer, neighbouring columns exchange water over the depth they share: by the current that their
//!           difference in weight drives against friction, and by wind.
//! Units     m2/s, m.
//! Range     ponds of 10 to 300 m; columns that share at least a few centimetres.
//! Source    half-depth pressure gradient against quadratic friction; sideways stirring in the form of Elder (1959),
//!           J. Fluid Mech. 5, 544-560 (memory). The two constants are our guess, docs/model/water.md.
//! Left out  the path of the currents: dense water entering a deeper column sinks by that column's own overturn.

use crate::basin::Settings;
use crate::stage::Stage;
use crate::water_properties::{DENSITY_KG_M3, GRAVITY_M_S2, lightness_kg_m3};
use units::Real;

/// One step of exchange, implicit in every layer. `temps` holds all columns, `strength` and the two rows are scratch.
#[inline(always)]
pub(crate) fn exchange<R: Real>(
    settings: &Settings,
    stage: &Stage,
    shear_m_s: R,
    temps: &mut [R],
    strength: &mut [R],
    follow: &mut [R],
    rise: &mut [R],
) {
    let columns = stage.columns();
    let stride = stage.stride();
    for gap in 0..columns - 1 {
        let shared_m = stage.shared_m(gap);
        let mut heavier = R::splat(0.0);
        for j in 0..stage.shared_cells(gap) {
            let weight = stage.shared_part.at::<R>(gap * stride + j);
            let here = lightness_kg_m3(temps[gap * stride + j]);
            heavier += weight * (here - lightness_kg_m3(temps[(gap + 1) * stride + j]));
        }
        let drive = GRAVITY_M_S2 / (DENSITY_KG_M3 * stage.step_m() * 8.0 * settings.current_drag);
        let current = (heavier.abs() * R::splat(drive)).sqrt() * R::splat(shared_m);
        strength[gap] = current * R::splat(0.5 * settings.current_length_m)
            + shear_m_s * R::splat(settings.wind_stirring * shared_m);
    }
    for j in 0..stage.layers() {
        let first = stage.first_column(j);
        // Eliminate from the shallow end, substitute back from the drain end; unknowns are rises.
        let mut flow_in = R::splat(0.0);
        let mut kept = R::splat(0.0);
        for c in first..columns {
            let i = c * stride + j;
            let right = if c + 1 < columns {
                let a = stage.sideways.at::<R>(i) * strength[c];
                (a, a * (temps[i + stride] - temps[i]))
            } else {
                (R::splat(0.0), R::splat(0.0))
            };
            // `kept`: what the eliminated neighbour adds to this cell's own store.
            let store = stage.volume.at::<R>(i) + kept;
            let pivot = R::splat(1.0) / (store + right.0);
            let driven = flow_in + right.1;
            follow[c] = right.0 * pivot;
            rise[c] = driven * pivot;
            kept = right.0 * (store * pivot);
            flow_in = follow[c] * driven - right.1;
        }
        let mut x = R::splat(0.0);
        for c in (first..columns).rev() {
            x = rise[c] + follow[c] * x;
            temps[c * stride + j] += x;
        }
    }
}
