//! One pond, one hour: shape and physics.
//!
//! A [`Shape`] becomes a [`Basin`]; for each hour (or for as long as the level barely changes) the basin gives a [`Stage`],
//! the tables that all members share; [`hour()`] takes the [`Water`] from one hour to the next under an hour's [`Air`] and
//! keeps the heat accounts in a [`Budget`]. The kernel is generic over [`units::Real`]: `f64` for one pond to be trusted,
//! [`units::Lanes`] for members side by side.
//!
//! One pond for a day, in f64:
//!
//! ```
//! use pond::{Air, Basin, Budget, Conditions, Levee, Scratch, Shape, Water, hour};
//!
//! let shape = Shape::from_levee(&Levee::paced(60.0, 30.0, 1.1, 2.0), 6).expect("a pond");
//! let basin = Basin::new(shape, 34.7);
//! let ground = basin.ground(17.0, 11.0);
//! let stage = basin.stage(&Conditions {
//!     level_m: 2.0,
//!     attenuation_per_m: 2.0,
//!     plants: 0.0,
//!     ground_deep_c: ground.deep_c(274.0),
//! });
//! let mut water = Water::start(&basin, &stage, &[(0.0, 22.0), (2.0, 21.0)], &ground, 274.0).with_wind(0.5);
//! let mut budget = Budget::default();
//! let mut scratch = Scratch::new(&basin);
//! let before_j = water.heat_j(&stage, 0);
//! for of_day in 0..24 {
//!     let sun = 700.0 * (1.0 - f64::from(of_day - 12).abs() / 6.0).max(0.0);
//!     let air = Air {
//!         air_temp_c: 12.0,
//!         vapour_pressure_hpa: 9.0,
//!         wind_m_s: 4.0,
//!         shortwave_w_m2: sun,
//!         longwave_w_m2: 290.0,
//!         pressure_hpa: 990.0,
//!         rain_m: 0.0,
//!     };
//!     hour(&basin, &stage, None, &air, &mut water, &mut budget, &mut scratch);
//! }
//! assert!(water.mean(&stage) < 21.5);
//! let change_j = water.heat_j(&stage, 0) - before_j;
//! assert!((change_j - budget.total_j(0)).abs() < 1e-4 * change_j.abs());
//! ```
//!
//! A row of members is the same with `Water<Lanes>`, `Air<Lanes>` and so on; see [`hour()`] for how to give it wide
//! instructions.

mod basin;
mod bed;
mod budget;
pub mod chemistry;
pub mod drawdown;
mod heat;
mod hour;
mod level;
mod light;
mod mixing;
pub mod oxygen;
mod schedule;
mod shape;
mod sideways;
mod stage;
mod water;
mod water_properties;

pub use basin::{Basin, Grid, Settings};
pub use bed::{Ground, LAYERS};
pub use budget::Budget;
pub use heat::{Air, Fluxes, Surface, vaporisation_j_kg, vapour_pressure_hpa};
pub use hour::{Next, Scratch, hour, is_settled};
pub use level::{Draw, DrawnFrom, Flows, LevelChange};
pub use light::{attenuation_from_secchi, plants_from_canopy};
pub use mixing::overturn_exact;
pub use schedule::Schedule;
pub use shape::{Column, DepthArea, FREEBOARD_M, Figure, Levee, MAX_COLUMNS, Shape, ShapeError, check_volumes};
pub use stage::{Conditions, DRY_M, Stage, Table};
pub use water::{LAYERED_K, Water};
pub use water_properties::{DENSITY_KG_M3, HEAT_CAPACITY_J_KG_K, HEAT_CAPACITY_J_M3_K, HEAVIEST_C, lightness_kg_m3};
