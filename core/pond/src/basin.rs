//! A pond as the hours see it: its shape, its cells, the ground under it, and the settings of the physics.

use crate::bed::{BedSolve, Ground};
use crate::shape::Shape;
use crate::stage::{Conditions, Stage};

/// Every constant of the physics that is not fixed by nature, with where it comes from. The defaults are the ones the
/// scores were made with; change one to see what it is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Share of sun turned back by bare water: 0.07 (0.06 to 0.10; memory).
    pub albedo: f64,
    /// Share of sun that plants at the surface hand back to the air: 0.25 (an effective number for two weedy ponds).
    pub plant_shade: f64,
    /// Transfer of heat and vapour by wind, per unit of wind at 10 m: 1.5e-3, the value of Hicks (1972, Boundary-Layer
    /// Meteorol. 3, 201-213; memory) for waters of all sizes (1.1e-3 to 1.6e-3 by others).
    pub wind_transfer: f64,
    /// Transfer by free convection, m/s per K^(1/3): 1.5e-3 (warm-plate law 1.39e-3 to 1.56e-3; Adams, Cosler & Helfrich
    /// 1990 combine it with wind as here).
    pub free_transfer: f64,
    /// Conductance of the skin that does not depend on wind or cooling, W/m2/K: 150 (our guess).
    pub skin_floor_w_m2_k: f64,
    /// Whether the surface has a skin cooler than the water below it (Saunders 1967, Katsaros 1977). Off for tests.
    pub skin: bool,
    /// Part of the surface's loss that sinking water hands down through its lower edge: 0.2 (convection in the laboratory and
    /// the air; memory). Nothing is taken from it for one pond.
    pub entrainment: f64,
    /// Mixing that never stops, m2/s, on top of molecular 1.4e-7: none in sheltered water (0 to 1e-6 elsewhere).
    pub background_m2_s: f64,
    /// Mixing where the water overturns within a step, m2/s.
    pub overturn_m2_s: f64,
    /// Friction of a current between columns: 0.01 (memory).
    pub current_drag: f64,
    /// Length over which such a current is mixed, m: 20 (5 to 60; our guess).
    pub current_length_m: f64,
    /// Sideways stirring by wind, in shear velocities times depth: 6 (1 to 20; the form of Elder 1959).
    pub wind_stirring: f64,
    /// Conductivity of the ground, W/m/K: 1.0 (0.8 to 1.5).
    pub ground_conductivity_w_m_k: f64,
    /// Contact of water and floor, W/m2/K: 50 (200 makes no difference).
    pub floor_contact_w_m2_k: f64,
    /// Seconds in a step: 1200. 3600 does a third of the work at three times the error (0.02 K at dawn); see
    /// docs/numerics/pond.md.
    pub step_s: f64,
}

impl Default for Settings {
    fn default() -> Settings {
        Settings {
            albedo: 0.07,
            plant_shade: 0.25,
            wind_transfer: 1.5e-3,
            free_transfer: 1.5e-3,
            skin_floor_w_m2_k: 150.0,
            skin: true,
            background_m2_s: 0.0,
            overturn_m2_s: 1e-2,
            current_drag: 0.01,
            current_length_m: 20.0,
            wind_stirring: 6.0,
            ground_conductivity_w_m_k: 1.0,
            floor_contact_w_m2_k: 50.0,
            entrainment: 0.2,
            step_s: 1200.0,
        }
    }
}

/// Thickness of the cells from the surface down, m.
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    /// The first cells.
    pub first_m: Vec<f64>,
    /// Every further one.
    pub rest_m: f64,
}

impl Grid {
    /// For ponds: two cells of 5 cm, four of 10, the rest 12.5.
    pub fn pond() -> Grid {
        Grid { first_m: vec![0.05, 0.05, 0.1, 0.1, 0.1, 0.1], rest_m: 0.125 }
    }
    /// For lakes: as ponds to 0.5 m, then six cells of 25 cm, the rest 50.
    pub fn lake() -> Grid {
        Grid { first_m: vec![0.05, 0.05, 0.1, 0.1, 0.1, 0.1, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25], rest_m: 0.5 }
    }
    /// Cells of one thickness, for tests.
    pub fn even(thick_m: f64) -> Grid {
        Grid { first_m: Vec::new(), rest_m: thick_m }
    }
    /// Every cell cut in two, for tests.
    #[must_use]
    pub fn halved(&self) -> Grid {
        let first_m = self.first_m.iter().flat_map(|&thick_m| [0.5 * thick_m, 0.5 * thick_m]).collect();
        Grid { first_m, rest_m: 0.5 * self.rest_m }
    }
    /// Nominal thickness of a cell, m.
    pub fn thick_m(&self, cell: usize) -> f64 {
        self.first_m.get(cell).copied().unwrap_or(self.rest_m)
    }
}

/// One pond, ready to be simulated.
#[derive(Clone, Debug, PartialEq)]
pub struct Basin {
    pub(crate) shape: Shape,
    pub(crate) grid: Grid,
    pub(crate) latitude_deg: f64,
    pub(crate) settings: Settings,
    pub(crate) cells_max: usize,
    pub(crate) bed: BedSolve,
}

impl Basin {
    /// A pond of this shape at this latitude (degrees, north positive), with cells to suit its depth: those of a lake when
    /// it is deeper than 4 m.
    pub fn new(shape: Shape, latitude_deg: f64) -> Basin {
        let grid = if shape.full_m() > 4.0 { Grid::lake() } else { Grid::pond() };
        Basin::with(shape, latitude_deg, grid, Settings::default())
    }

    /// A pond with its own cells and settings. The step must be a whole part of an hour.
    pub fn with(shape: Shape, latitude_deg: f64, grid: Grid, settings: Settings) -> Basin {
        let steps = 3600.0 / settings.step_s;
        assert!((steps - steps.round()).abs() < 1e-9 && steps >= 1.0, "the step divides the hour");
        let mut cells_max = 0;
        let mut depth_m = 0.0;
        while depth_m < shape.top_m() {
            depth_m += grid.thick_m(cells_max);
            cells_max += 1;
        }
        let bed = BedSolve::new(settings.step_s, settings.ground_conductivity_w_m_k, settings.floor_contact_w_m2_k);
        Basin { shape, grid, latitude_deg, settings, cells_max, bed }
    }

    /// Its shape.
    pub fn shape(&self) -> &Shape {
        &self.shape
    }
    /// Its cells.
    pub fn grid(&self) -> &Grid {
        &self.grid
    }
    /// Degrees, north positive.
    pub fn latitude_deg(&self) -> f64 {
        self.latitude_deg
    }
    /// The constants in use.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }
    /// Columns, from the shallow end to the drain end.
    pub fn columns(&self) -> usize {
        self.shape.columns().len()
    }
    /// Most cells a column may have, at the highest stage.
    pub fn cells_max(&self) -> usize {
        self.cells_max
    }
    /// Steps in an hour.
    pub fn steps_per_hour(&self) -> usize {
        (3600.0 / self.settings.step_s).round() as usize
    }
    /// The tables of one hour: geometry at a water level, light, ground. Build it outside the hour loop and keep it while
    /// the level barely changes; [`Schedule`](crate::Schedule) does that.
    pub fn stage(&self, conditions: &Conditions) -> Stage {
        Stage::new(self, conditions)
    }
    /// A ground with the climate's figures and the warm season of this latitude.
    pub fn ground(&self, mean_c: f64, half_range_c: f64) -> Ground {
        Ground { mean_c, half_range_c, warmest_day: if self.latitude_deg < 0.0 { 24.0 } else { 205.0 } }
    }
}
