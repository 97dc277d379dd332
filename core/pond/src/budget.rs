//! The heat accounts of one pond: what came in by each way, for each member, over any number of hours.

use units::Real;

/// Heat that has entered the pond (water and floor together) since the account was opened, J, by way. Negative has left.
/// Sums are f64 for every member in both forms of the kernel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget<R: Real> {
    /// Sun kept by water and floor.
    pub sun_j: R::Sums,
    /// Through the surface without the sun: longwave, contact, vapour, rain's own warmth.
    pub surface_j: R::Sums,
    /// Of `surface_j`: longwave (as first asked in each step; the parts add up to the whole within the step's correction).
    pub longwave_j: R::Sums,
    /// Of `surface_j`: by vapour.
    pub latent_j: R::Sums,
    /// From the ground below the floor's layers.
    pub ground_j: R::Sums,
    /// With water that came or went: rain's and inflow's, overflow's, evaporated and seeped water's, counted from 0 C.
    pub carried_j: R::Sums,
    /// With floor that was flooded or left dry as the level moved, and columns that fell dry, counted from 0 C.
    pub exposed_j: R::Sums,
    /// Water that has left as vapour, m.
    pub evaporated_m: R::Sums,
}

impl<R: Real> Default for Budget<R> {
    fn default() -> Budget<R> {
        let none = R::no_sums();
        Budget {
            sun_j: none,
            surface_j: none,
            longwave_j: none,
            latent_j: none,
            ground_j: none,
            carried_j: none,
            exposed_j: none,
            evaporated_m: none,
        }
    }
}

impl<R: Real> Budget<R> {
    /// All heat that came in for one member, J: what the pond's heat must have changed by.
    pub fn total_j(&self, member: usize) -> f64 {
        [&self.sun_j, &self.surface_j, &self.ground_j, &self.carried_j, &self.exposed_j]
            .into_iter()
            .map(|sums| R::sum_of(sums, member))
            .sum()
    }
    /// Depth that one member's pond has lost to the air, m.
    pub fn evaporated_m(&self, member: usize) -> f64 {
        R::sum_of(&self.evaporated_m, member)
    }
}
