//! The order in which an hour happens.
//!
//! Model     in every step: fluxes from the top cell; up-and-down mixing with floor and surface, solved twice, the second
//!           time with the mixing and flux of a half-way state that has been overturned; the floor; exchange between
//!           columns; overturn. After the last step the level moves.
//! Units     degrees C, seconds, m3 K (heat over the heat capacity of water by volume).
//! Range     steps of 1 minute to 1 hour; every part is stable at any of them.
//! Source    docs/numerics/pond.md: step, order, error.
//! Left out  weather within the hour.

use crate::basin::Basin;
use crate::bed::LAYERS;
use crate::budget::Budget;
use crate::heat::{Air, Fluxes, Surface};
use crate::level::LevelChange;
use crate::mixing::{
    Pools, any_unstable, convective_entrainment, henderson_sellers_1985, overturn, overturn_from_above,
    wind_at_interfaces,
};
use crate::sideways;
use crate::stage::Stage;
use crate::water::Water;
use crate::water_properties::{HEAT_CAPACITY_J_M3_K, lightness_kg_m3};
use units::Real;

/// Working space of the hour, made once for a basin and used for every hour.
#[derive(Clone, Debug)]
pub struct Scratch<R: Real> {
    pub(crate) follow: Vec<R>,
    pub(crate) rise: Vec<R>,
    pub(crate) mean: Vec<R>,
    pub(crate) ahead: Vec<R>,
    into_floor: Vec<R>,
    floor_rise: Vec<R>,
    pools: Pools<R>,
    strength: Vec<R>,
    stopping: Vec<R>,
    gap_strength: Vec<R>,
    gap_follow: Vec<R>,
    gap_rise: Vec<R>,
}

impl<R: Real> Scratch<R> {
    /// For this basin.
    pub fn new(basin: &Basin) -> Scratch<R> {
        let cells = || vec![R::splat(0.0); basin.cells_max() + 1];
        let columns = || vec![R::splat(0.0); basin.columns()];
        Scratch {
            follow: cells(),
            rise: cells(),
            mean: cells(),
            ahead: cells(),
            into_floor: cells(),
            floor_rise: vec![R::splat(0.0); basin.cells_max() * LAYERS],
            pools: Pools::new(basin.cells_max() + 1),
            strength: cells(),
            stopping: cells(),
            gap_strength: columns(),
            gap_follow: columns(),
            gap_rise: columns(),
        }
    }
}

/// Where the level goes at the end of an hour.
#[derive(Clone, Copy, Debug)]
pub struct Next<'a> {
    /// The next hour's tables.
    pub stage: &'a Stage,
    /// How the water gets there, from [`LevelChange::new`].
    pub change: &'a LevelChange,
}

/// One hour of one pond, for every member of `R`. Nothing is allocated.
///
/// `stage` holds the hour's tables, `next` the change of level at its end (none while the level stays). `water` and `budget`
/// go forward. Call it from a function marked `#[target_feature(enable = "avx512f")]` (or avx2): everything here is inlined
/// into that function and becomes instructions of that width, with the same bits.
#[inline(always)]
pub fn hour<R: Real>(
    basin: &Basin,
    stage: &Stage,
    next: Option<Next<'_>>,
    air: &Air<R>,
    water: &mut Water<R>,
    budget: &mut Budget<R>,
    scratch: &mut Scratch<R>,
) {
    let settings = basin.settings();
    let surface = Surface::new(settings, air, water.wind_factor, water.sun_factor, stage.sun_kept());
    wind_at_interfaces(
        surface.wind_m_s,
        basin.latitude_deg(),
        &stage.interface_m,
        &stage.damping,
        &mut scratch.strength,
        &mut scratch.stopping,
    );
    let mut tally = Tally::new();
    let rain_m_s = air.rain_m * R::splat(1.0 / 3600.0);
    for _ in 0..basin.steps_per_hour() {
        for c in 0..stage.columns() {
            if stage.cells(c) > 0 {
                column_step(basin, stage, c, &surface, rain_m_s, water, &mut tally, scratch);
            }
        }
        if stage.columns() > 1 {
            let s = &mut *scratch;
            sideways::exchange(
                settings,
                stage,
                surface.shear_m_s,
                &mut water.temps,
                &mut s.gap_strength,
                &mut s.gap_follow,
                &mut s.gap_rise,
            );
        }
        for c in 0..stage.columns() {
            let (base, n) = (c * stage.stride(), stage.cells(c));
            if n > 0 {
                overturn(&mut water.temps[base..base + n], stage.volumes(c), &mut scratch.pools);
            }
        }
    }
    let vapour_m = tally.close(stage, budget, surface.net_sun_w_m2);
    water.unspent_m += air.rain_m - vapour_m;
    if let Some(next) = next {
        next.change.apply(stage, next.stage, water, budget, scratch);
        water.unspent_m -= R::splat(next.change.surface_m);
    }
}

/// An hour's heat by way, before it goes to the wide sums. Heat in m3 K.
struct Tally<R: Real> {
    surface: R,
    longwave: R,
    latent: R,
    ground: R,
    vapour_m3: R,
    sun: R,
}

impl<R: Real> Tally<R> {
    #[inline(always)]
    fn new() -> Tally<R> {
        let none = R::splat(0.0);
        Tally { surface: none, longwave: none, latent: none, ground: none, vapour_m3: none, sun: none }
    }

    /// Adds the hour to the budget and returns the depth that left as vapour, m.
    #[inline(always)]
    fn close(&self, stage: &Stage, budget: &mut Budget<R>, net_sun_w_m2: R) -> R {
        let joule = R::splat(HEAT_CAPACITY_J_M3_K);
        (self.surface * joule).add_to(&mut budget.surface_j);
        (self.longwave * joule).add_to(&mut budget.longwave_j);
        (self.latent * joule).add_to(&mut budget.latent_j);
        (self.ground * joule).add_to(&mut budget.ground_j);
        (self.sun * net_sun_w_m2 * joule).add_to(&mut budget.sun_j);
        let surface_m2: f64 = (0..stage.columns()).map(|c| stage.surface_m2(c)).sum();
        let vapour_m = self.vapour_m3 * R::splat(if surface_m2 > 0.0 { 1.0 / surface_m2 } else { 0.0 });
        vapour_m.add_to(&mut budget.evaporated_m);
        vapour_m
    }
}

/// One step of one column: surface, sun, mixing, floor.
#[inline(always)]
fn column_step<R: Real>(
    basin: &Basin,
    stage: &Stage,
    c: usize,
    surface: &Surface<R>,
    rain_m_s: R,
    water: &mut Water<R>,
    tally: &mut Tally<R>,
    s: &mut Scratch<R>,
) {
    let settings = basin.settings();
    let (base, n) = (c * stage.stride(), stage.cells(c));
    let deep_c = R::splat(stage.conditions().ground_deep_c);
    let temps = &mut water.temps[base..base + n];
    let bed = &mut water.bed[base * LAYERS..(base + n) * LAYERS];
    for j in 0..n {
        let light = stage.floor_sun.at::<R>(base + j) * surface.net_sun_w_m2;
        let layers = &bed[j * LAYERS..(j + 1) * LAYERS];
        s.into_floor[j] =
            basin.bed.up(layers, temps[j], light, deep_c, &mut s.floor_rise[j * LAYERS..(j + 1) * LAYERS]);
    }
    let whole = Pass { basin, stage, base, n, surface, rain_m_s };
    // First solve: mixing and flux of the state as it is. It only says where the step is going.
    let flux = surface.over(settings, temps[0], temps[0]);
    whole.solve::<false>(temps, &flux, s);
    let mut x = R::splat(0.0);
    for j in 0..n {
        x = s.rise[j] + s.follow[j] * x;
        s.ahead[j] = temps[j] + x;
    }
    overturn_from_above(&mut s.ahead[..n], stage.volumes(c), &mut s.pools);
    // Second solve: mixing and flux of the half-way state, and free mixing wherever the copy overturned.
    let middle_c = (temps[0] + s.ahead[0]) * R::splat(0.5);
    let flux = surface.over(settings, middle_c, middle_c + flux.skin_c - temps[0]);
    whole.solve::<true>(temps, &flux, s);
    let top = stage.top.at::<R>(c);
    let applied = flux.net_w_m2()
        + surface.rain_w_m2(rain_m_s, middle_c)
        + whole.slope(&flux) * (temps[0] - middle_c + R::splat(0.5) * s.rise[0]);
    tally.surface += applied * top;
    tally.longwave += flux.longwave_w_m2 * top;
    tally.latent += flux.latent_w_m2 * top;
    tally.vapour_m3 +=
        Surface::evaporation_m_s(flux.latent_w_m2, flux.skin_c) * R::splat(settings.step_s * stage.surface_m2(c));
    let mut ground = R::splat(0.0);
    let mut x = R::splat(0.0);
    for j in 0..n {
        x = s.rise[j] + s.follow[j] * x;
        temps[j] += x;
        let rises = &s.floor_rise[j * LAYERS..(j + 1) * LAYERS];
        let from_deep = basin.bed.down(&mut bed[j * LAYERS..(j + 1) * LAYERS], x, deep_c, rises);
        ground += from_deep * stage.ring.at::<R>(base + j);
    }
    tally.ground += ground;
    tally.sun += R::splat(stage.column_sun[c]);
}

/// What the two solves of a column's step have in common.
struct Pass<'a, R: Real> {
    basin: &'a Basin,
    stage: &'a Stage,
    base: usize,
    n: usize,
    surface: &'a Surface<R>,
    rain_m_s: R,
}

impl<R: Real> Pass<'_, R> {
    /// How the whole flux, with rain, changes with the top cell's temperature.
    #[inline(always)]
    fn slope(&self, flux: &Fluxes<R>) -> R {
        flux.slope_w_m2_k - self.rain_m_s * R::splat(HEAT_CAPACITY_J_M3_K)
    }

    /// Eliminates from the bottom up. Leaves the rise of the top cell in `s.rise[0]` and, for every other cell, the two
    /// numbers that give its rise from that of the cell above: `s.rise[j] + s.follow[j] * x`.
    ///
    /// Mixing is that of the state as it is; in the second solve that of half-way to `s.ahead`, with free mixing at the
    /// interfaces that overturned there, and the flux is that of the middle of the step.
    #[inline(always)]
    fn solve<const SECOND: bool>(&self, temps: &[R], flux: &Fluxes<R>, s: &mut Scratch<R>) {
        let (stage, base, n) = (self.stage, self.base, self.n);
        let settings = self.basin.settings();
        let felt = R::splat(self.basin.bed.felt_w_m2_k());
        let sun_w_m2 = self.surface.net_sun_w_m2;
        let (temps, ahead, into_floor) = (&temps[..n], &s.ahead[..n], &s.into_floor[..n]);
        let (strength, stopping) = (&s.strength[..n], &s.stopping[..n]);
        let (follow, rise) = (&mut s.follow[..n], &mut s.rise[..n]);
        let state = |j: usize| if SECOND { (temps[j] + ahead[j]) * R::splat(0.5) } else { temps[j] };
        let entraining = convective_entrainment(settings.entrainment, flux.net_w_m2() + sun_w_m2);
        let mut kept = R::splat(0.0);
        let mut flow_in = R::splat(0.0);
        let mut light_here = lightness_kg_m3(state(n - 1));
        for j in (1..n).rev() {
            let i = base + j;
            let light_above = lightness_kg_m3(state(j - 1));
            let stability = (light_above - light_here) * stage.layering.at::<R>(i);
            light_here = light_above;
            let mut mixing = henderson_sellers_1985(settings.background_m2_s, strength[j], stopping[j], stability);
            if SECOND {
                mixing = ahead[j - 1].if_equal(ahead[j], R::splat(settings.overturn_m2_s), mixing);
            }
            let a = mixing * stage.conduct.at::<R>(i);
            let ring = stage.ring.at::<R>(i);
            let store = stage.volume.at::<R>(i) + ring * felt + kept;
            let mut from_above = a * (temps[j - 1] - temps[j]);
            if SECOND && j >= 2 {
                // The lower edge of sinking water takes in some of what lies below; never more than levels the two.
                let least = (ahead[j - 1] - ahead[j]).max(R::splat(0.0)) * stage.volume.at::<R>(i);
                let taken = (entraining * stage.interface.at::<R>(i)).min(least);
                from_above = ahead[j - 2].if_equal(ahead[j - 1], from_above + taken, from_above);
            }
            let driven = flow_in + from_above + stage.sun.at::<R>(i) * sun_w_m2 - ring * into_floor[j];
            let pivot = R::splat(1.0) / (store + a);
            follow[j] = a * pivot;
            rise[j] = driven * pivot;
            kept = a * (store * pivot);
            flow_in = follow[j] * driven - from_above;
        }
        let top = stage.top.at::<R>(self.base / stage.stride());
        let ring = stage.ring.at::<R>(base);
        let top_c = state(0);
        let slope = self.slope(flux);
        let net = flux.net_w_m2() + self.surface.rain_w_m2(self.rain_m_s, top_c) + slope * (temps[0] - top_c);
        let felt_slope = slope * R::splat(if SECOND { 0.5 } else { 1.0 });
        let store = stage.volume.at::<R>(base) + ring * felt + kept - top * felt_slope;
        let driven = flow_in + top * net + stage.sun.at::<R>(base) * sun_w_m2 - ring * into_floor[0];
        rise[0] = driven / store;
        // So that the walk down can treat the top cell as any other.
        follow[0] = R::splat(0.0);
    }
}

/// Whether a member's water lies in stable layers everywhere; for tests.
pub fn is_settled(stage: &Stage, water: &Water<f64>) -> bool {
    (0..stage.columns()).all(|c| {
        let base = c * stage.stride();
        stage.cells(c) == 0 || !any_unstable(&water.temps[base..base + stage.cells(c)])
    })
}
