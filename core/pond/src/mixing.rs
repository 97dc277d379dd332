//! Mixing up and down: by wind against the water's layering, and by overturn where denser water lies on lighter.
//!
//! Model     Henderson-Sellers' diffusivity; unstable water merged to its volume mean; sinking water takes in a little of the
//!           lighter-layered water under it.
//! Units     m2/s, m, degrees C.
//! Range     ponds and small lakes; latitudes beyond 5 degrees (nearer the equator they are taken as 5).
//! Source    Henderson-Sellers (1985), Appl. Math. Modelling 9, 441-446 (memory); entrainment by convection at a fifth of the
//!           driving flux: Deardorff, Willis & Lilly (1969), J. Fluid Mech. 35, 7-31, and later convection work (memory).
//! Left out  seiches and the waves between layers; what a heavy rain stirs.

use crate::stage::{Table, Volumes};
use units::Real;

/// Diffusion of heat in still water, m2/s.
const MOLECULAR_M2_S: f64 = 1.4e-7;
const KARMAN: f64 = 0.4;

/// Wind's part of the mixing at each interface in one hour: how strong, and how much layering it takes to stop it.
#[inline(always)]
pub(crate) fn wind_at_interfaces<R: Real>(
    wind_m_s: R,
    latitude_deg: f64,
    depths_m: &Table,
    damping: &Table,
    strength: &mut [R],
    stopping: &mut [R],
) {
    // Wind at 2 m. Below 0.05 m/s nothing is left of it at any depth.
    let wind_2m = (wind_m_s * R::splat(0.79)).max(R::splat(0.05));
    let surface_m_s = wind_2m * R::splat(1.2e-3);
    let sine = units::sin(latitude_deg.abs().max(5.0).to_radians());
    let fade_per_m = (wind_2m.ln() * R::splat(-1.84)).exp() * R::splat(6.6 * sine.sqrt());
    for j in 1..depths_m.len() {
        let depth_m = depths_m.at::<R>(j);
        // Held above 1e-6 so that single precision can square it and divide by it.
        let left = (-(fade_per_m * depth_m)).max(R::splat(-13.8)).exp();
        let friction = surface_m_s * left;
        let reach = depth_m * R::splat(KARMAN);
        strength[j] = friction * reach * damping.at::<R>(j);
        stopping[j] = R::splat(40.0) * (reach * reach) / (friction * friction);
    }
}

/// Diffusivity at an interface from the wind's part there and the water's stability (N2, 1/s2).
#[inline(always)]
pub(crate) fn henderson_sellers_1985<R: Real>(
    background_m2_s: f64,
    strength: R,
    stopping: R,
    stability_per_s2: R,
) -> R {
    let one = R::splat(1.0);
    let root = (one + stopping * stability_per_s2.max(R::splat(0.0))).sqrt() - one;
    // Ri = root / 20, and 37 Ri^2 = 37/400 root^2.
    R::splat(MOLECULAR_M2_S + background_m2_s) + strength / (one + R::splat(0.0925) * (root * root))
}

/// Heat that water sinking from a cooled surface hands down through its lower edge, W/m2: a part of what drives it. Sun
/// counts against the loss, so there is none by day until the surface loses more than the sun brings.
#[inline(always)]
pub(crate) fn convective_entrainment<R: Real>(part: f64, surface_gain_w_m2: R) -> R {
    (-surface_gain_w_m2).max(R::splat(0.0)) * R::splat(part)
}

/// Order of waters by how light they are, cheap: the distance above the heaviest temperature; below it, the distance above
/// at which water is equally light (within 1 % of that distance).
#[inline(always)]
pub(crate) fn order_c<R: Real>(water_c: R) -> R {
    let t = water_c - R::splat(crate::water_properties::HEAVIEST_C);
    t.max(t * (t * R::splat(0.0105) - R::splat(1.0)))
}

/// Whether any member has denser water lying on lighter.
#[inline(always)]
pub(crate) fn any_unstable<R: Real>(temps: &[R]) -> bool {
    let mut worst = R::splat(0.0);
    let mut above = order_c(temps[0]);
    for j in 1..temps.len() {
        let here = order_c(temps[j]);
        worst = worst.max(here - above);
        above = here;
    }
    R::splat(0.0).any_less(worst)
}

/// Room for one column's sweeps.
#[derive(Clone, Debug)]
pub(crate) struct Pools<R: Real> {
    joined: Vec<R>,
}

impl<R: Real> Pools<R> {
    pub(crate) fn new(cells: usize) -> Pools<R> {
        Pools { joined: vec![R::splat(0.0); cells] }
    }
}

/// Overturns a column: a sweep down that carries a growing pool of mixed water, a sweep up that does the same from below,
/// and both once more when the first round's pools have unsettled others.
///
/// A column that is stable comes back as it went in, to the bit, so a member does not feel its neighbours. The interfaces
/// that were overturned are those with equal temperatures on both sides.
#[inline(always)]
pub(crate) fn overturn<R: Real>(temps: &mut [R], volumes: Volumes<'_>, pools: &mut Pools<R>) {
    for _ in 0..2 {
        if !any_unstable(temps) {
            return;
        }
        sweep_down(temps, volumes, pools);
        // The sweep up waits on every cell in turn; asking again costs less, and most nights it is not needed.
        if !any_unstable(temps) {
            return;
        }
        sweep_up(temps, volumes, pools);
    }
}

/// Overturns what is cooled from above: the sweep down alone.
#[inline(always)]
pub(crate) fn overturn_from_above<R: Real>(temps: &mut [R], volumes: Volumes<'_>, pools: &mut Pools<R>) {
    if any_unstable(temps) {
        sweep_down(temps, volumes, pools);
    }
}

/// A pool meets the next cell: joins it when `upper` is the denser or they are the same, else the cell starts a new pool.
#[inline(always)]
fn meet<R: Real>(pool: &mut (R, R), here: R, here_m3: R, upper: R, lower: R) -> R {
    let (none, one) = (R::splat(0.0), R::splat(1.0));
    let both_m3 = pool.1 + here_m3;
    let mixed = pool.0 + (here - pool.0) * (here_m3 / both_m3);
    let join = order_c(upper).if_less(order_c(lower), one, upper.if_equal(lower, one, none));
    pool.0 = join.if_equal(one, mixed, here);
    pool.1 = join.if_equal(one, both_m3, here_m3);
    join
}

#[inline(always)]
fn sweep_down<R: Real>(temps: &mut [R], volumes: Volumes<'_>, pools: &mut Pools<R>) {
    let n = temps.len();
    let (joined, volumes) = (&mut pools.joined[..n], volumes.first(n));
    let one = R::splat(1.0);
    let mut pool = (temps[0], volumes.at::<R>(0));
    for j in 1..n {
        let here = temps[j];
        let upper = pool.0;
        joined[j] = meet(&mut pool, here, volumes.at(j), upper, here);
        temps[j] = pool.0;
    }
    // Every cell takes its pool's last temperature.
    let mut settled = temps[n - 1];
    for j in (0..n - 1).rev() {
        settled = joined[j + 1].if_equal(one, settled, temps[j]);
        temps[j] = settled;
    }
}

#[inline(always)]
fn sweep_up<R: Real>(temps: &mut [R], volumes: Volumes<'_>, pools: &mut Pools<R>) {
    let n = temps.len();
    let (joined, volumes) = (&mut pools.joined[..n], volumes.first(n));
    let one = R::splat(1.0);
    let mut pool = (temps[n - 1], volumes.at::<R>(n - 1));
    for j in (0..n - 1).rev() {
        let here = temps[j];
        let lower = pool.0;
        joined[j] = meet(&mut pool, here, volumes.at(j), here, lower);
        temps[j] = pool.0;
    }
    let mut settled = temps[0];
    for j in 1..n {
        settled = joined[j - 1].if_equal(one, settled, temps[j]);
        temps[j] = settled;
    }
}

/// The exact overturn, for reference: pools adjacent cells as long as any pool is denser than the one below it.
pub fn overturn_exact(temps: &mut [f64], volumes: &[f64]) {
    let mut pools: Vec<(f64, f64, usize)> = Vec::new();
    for (&temp, &volume) in temps.iter().zip(volumes) {
        let mut pool = (temp, volume, 1);
        while let Some(&(above, above_m3, count)) = pools.last() {
            if order_c(above) >= order_c(pool.0) {
                break;
            }
            let both = above_m3 + pool.1;
            pool = ((above * above_m3 + pool.0 * pool.1) / both, both, count + pool.2);
            pools.pop();
        }
        pools.push(pool);
    }
    let mut j = 0;
    for (temp, _, count) in pools {
        for _ in 0..count {
            temps[j] = temp;
            j += 1;
        }
    }
}

#[cfg(test)]
mod tests;
