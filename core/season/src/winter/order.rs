//! Worked back from a stocking: how many postlarvae to order, for which day, with how much tank and how many weeks of heat.

use units::Day;

/// How the animals are raised until they are stocked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nursing {
    /// Days in the tanks, d.
    pub days: i32,
    /// Share that lives through them.
    pub survival: f64,
    /// Share that lives through carrying and stocking.
    pub carried: f64,
    /// How much more is ordered, to be safe.
    pub reserve: f64,
    /// Postlarvae to the square metre of substrate.
    pub per_m2: f64,
    /// Square metres of substrate in a cubic metre of tank.
    pub substrate_m2_m3: f64,
    /// Days a biofilter is run in before they come, d.
    pub filter_days: i32,
}

impl Nursing {
    /// 430 to the square metre of netting gave 78 % in 56 to 60 days (Coyle and others 2003); 20.5 m² in 1.9 m³ there; the filter six
    /// weeks (memory: four to six); carrying and reserve are our guesses.
    pub const USUAL: Nursing = Nursing {
        days: 60,
        survival: 0.78,
        carried: 0.97,
        reserve: 0.05,
        per_m2: 430.0,
        substrate_m2_m3: 10.8,
        filter_days: 42,
    };
}

/// Work on the pond before stocking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    /// Dry it out, mend it, take its depths, test its soil.
    Mend,
    /// Screens, drain and netting.
    Screens,
    /// Fill it.
    Fill,
    /// Green it.
    Fertilise,
    /// Look for fish, and at the animals in the tanks.
    Look,
    /// Count them out.
    CountOut,
    /// Stock.
    Stock,
}

/// Days before stocking on which the pond begins to fill, d.
const FILL_D: i32 = 18;

/// The work on a pond, with how many days before stocking it is begun: filling and greening two to three weeks (extension advice), the
/// rest common practice.
pub const PREPARATION: [(i32, Work); 7] = [
    (60, Work::Mend),
    (24, Work::Screens),
    (FILL_D, Work::Fill),
    (14, Work::Fertilise),
    (7, Work::Look),
    (1, Work::CountOut),
    (0, Work::Stock),
];

/// What to order and by when each thing is begun.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Order {
    /// Postlarvae to order.
    pub postlarvae: f64,
    /// The day they come.
    pub arrive: Day,
    /// The day the biofilter is started.
    pub filter_from: Day,
    /// The day the pond begins to fill.
    pub fill_from: Day,
    /// Substrate in the tanks, m².
    pub substrate_m2: f64,
    /// Water in the tanks, m³.
    pub tank_m3: f64,
    /// Weeks the tanks are heated: from the filter's start to stocking.
    pub heated_weeks: f64,
}

/// Works back from so many juveniles to be stocked on a day.
pub fn order(juveniles: f64, stock_on: Day, nursing: &Nursing) -> Order {
    let postlarvae = (juveniles / (nursing.survival * nursing.carried) * (1.0 + nursing.reserve)).ceil();
    let arrive = stock_on.plus(-nursing.days);
    let filter_from = arrive.plus(-nursing.filter_days);
    let substrate_m2 = postlarvae / nursing.per_m2;
    Order {
        postlarvae,
        arrive,
        filter_from,
        fill_from: stock_on.plus(-FILL_D),
        substrate_m2,
        tank_m3: substrate_m2 / nursing.substrate_m2_m3,
        heated_weeks: f64::from(stock_on.0 - filter_from.0) / 7.0,
    }
}
