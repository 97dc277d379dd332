//! What is asked of a stocking, in which range, and why it may not be answered.

use farm::observed::Observed;

/// Which ponds survival is taken from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PondKind {
    /// A usual pond.
    #[default]
    Usual,
    /// Well nursed animals, substrate and netting, as research ponds have them.
    Research,
    /// A first year, or a pond rich in predators.
    FirstYear,
}

/// The water the animals live in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GrowWater<'a> {
    /// One temperature throughout, °C.
    Steady(f64),
    /// A course of temperatures, as a run of the water writes it.
    Read(&'a Observed),
}

/// The question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowQuestion<'a> {
    /// Animals stocked per hectare of water.
    pub stocked_per_ha: f64,
    /// Mean weight when stocked, g.
    pub weight_g: f64,
    /// Surface of added substrate as a share of the bottom.
    pub substrate_fraction: f64,
    /// Days from stocking to harvest; `None` takes all the water there is.
    pub days: Option<f64>,
    /// The water.
    pub water: GrowWater<'a>,
    /// Which ponds survival is taken from.
    pub pond: PondKind,
    /// Seed of the band.
    pub seed: u64,
}

/// What was asked about, to name it in an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrowInput {
    /// Animals per hectare.
    StockedPerHa,
    /// Weight when stocked.
    Weight,
    /// Substrate.
    Substrate,
    /// Days.
    Days,
    /// Water temperature.
    Water,
}

/// Least and greatest value that is answered, and the range the models were fitted to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GrowRange {
    /// Which input.
    pub input: GrowInput,
    /// Refused below and above.
    pub answered: (f64, f64),
    /// Remarked on below and above.
    pub fitted: (f64, f64),
}

/// Ranges in the units of [`GrowQuestion`].
pub const GROW_RANGES: [GrowRange; 5] = [
    GrowRange { input: GrowInput::StockedPerHa, answered: (100.0, 1_000_000.0), fitted: (15_000.0, 120_000.0) },
    GrowRange { input: GrowInput::Weight, answered: (0.005, 60.0), fitted: (0.1, 5.0) },
    GrowRange { input: GrowInput::Substrate, answered: (0.0, 5.0), fitted: (0.0, 1.0) },
    GrowRange { input: GrowInput::Days, answered: (1.0, 366.0), fitted: (60.0, 180.0) },
    GrowRange { input: GrowInput::Water, answered: (0.0, 42.0), fitted: (20.0, 33.0) },
];

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq)]
pub enum GrowError {
    /// A value nobody means.
    Absurd {
        /// Which input.
        input: GrowInput,
        /// What was given.
        value: f64,
        /// What is answered.
        answered: (f64, f64),
    },
    /// Days are needed with steady water.
    NoDays,
    /// The water ends too soon.
    WaterEndsAfter {
        /// Days asked.
        asked: f64,
        /// Whole days the water lasts.
        held: f64,
    },
    /// The water has a gap too long to bridge.
    WaterGap {
        /// Line after the gap.
        line: usize,
        /// Hours without a reading.
        hours: f64,
    },
    /// No column has a reading.
    NoReadings,
}
