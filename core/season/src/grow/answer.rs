//! What a stocking comes to, as numbers.

use stock::Form;

use super::question::GrowInput;
use super::water::Bottom;

/// What should be said with the answer.
#[derive(Debug, Clone, PartialEq)]
pub enum GrowRemark {
    /// A value outside the range of the crops the model was fitted to.
    OutsideFit {
        /// Which input.
        input: GrowInput,
        /// What was given.
        value: f64,
        /// The range.
        fitted: (f64, f64),
    },
    /// Which columns stood for the water at the bottom.
    Columns(Vec<Bottom>),
    /// The water was given as daily means: nights are colder than it shows.
    DailyMeans,
    /// Sizes hold for 90 to 130 days.
    SizesOutOfSeason,
}

/// A value at the middle of the unknowns, and the band that holds eight in ten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Every unknown at its middle.
    pub likely: f64,
    /// One in ten lies below.
    pub low: f64,
    /// One in ten lies above.
    pub high: f64,
}

/// One form of animal in the harvest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FormShare {
    /// Which.
    pub form: Form,
    /// Share of the animals.
    pub number_fraction: f64,
    /// Share of the weight.
    pub mass_fraction: f64,
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// Tail as a share of whole weight.
    pub tail_fraction: f64,
}

/// One grade by count to the pound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GradeShare {
    /// Key of the grade.
    pub key: &'static str,
    /// Fewest whole animals to the pound; 0 for the heaviest grade.
    pub count_from_per_lb: f64,
    /// Most whole animals to the pound; `None` for the lightest grade.
    pub count_to_per_lb: Option<f64>,
    /// Share of the animals.
    pub number_fraction: f64,
    /// Share of the weight.
    pub mass_fraction: f64,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct GrowAnswer {
    /// Days from stocking to harvest.
    pub days: f64,
    /// Days at the best temperature that would have grown as much.
    pub warm_days: f64,
    /// Mean water, °C.
    pub water_mean_c: f64,
    /// Coldest hour, °C.
    pub water_low_c: f64,
    /// Mean weight, g.
    pub mean_weight_g: Spread,
    /// Share of the stocked animals alive at harvest.
    pub survival: Spread,
    /// Share that the cold alone has left alive.
    pub cold_survival: Spread,
    /// Live weight harvested, kg/ha.
    pub yield_kg_ha: Spread,
    /// Weights between which eight in ten animals lie, g.
    pub animal_range_g: (f64, f64),
    /// Whole animals to the pound at the likely mean.
    pub count_per_lb: f64,
    /// Tails as a share of whole weight.
    pub tail_fraction: f64,
    /// By sex and form.
    pub forms: Vec<FormShare>,
    /// By count to the pound, heaviest first.
    pub grades: Vec<GradeShare>,
    /// What should be said with it.
    pub remarks: Vec<GrowRemark>,
}
