//! What a sum is, and what it gives.

use farm::inputs::{Input, Takes};
use units::measure::Kind;

use crate::given::Given;

/// One pond-side sum.
#[derive(Debug)]
pub struct Sum {
    /// Its name in commands and addresses.
    pub name: &'static str,
    /// Where it stands.
    pub group: Group,
    /// The question it answers.
    pub question: &'static str,
    /// What it asks.
    pub inputs: &'static [Input],
    /// The formula, in the names of its inputs and steps.
    pub formula: &'static str,
    /// Where it holds, and what it leaves out.
    pub holds: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How well the source is known.
    pub mark: Mark,
    /// What can hurt.
    pub cautions: &'static [Caution],
    /// An example: name and what one types.
    pub example: &'static [(&'static str, &'static str)],
    /// The sum itself.
    pub(crate) work: fn(&Given) -> Worked,
}

/// Where a sum stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// What is in the water.
    Water,
    /// Filling, emptying, air.
    PondWork,
    /// Postlarvae and juveniles.
    Nursery,
    /// What is in the pond, and its feed.
    Stock,
    /// Ice, cold, live tanks, hands.
    Harvest,
    /// Prices and costs.
    Money,
}

impl Group {
    /// In the order of the manual.
    pub const ALL: [Group; 6] =
        [Group::Water, Group::PondWork, Group::Nursery, Group::Stock, Group::Harvest, Group::Money];
}

/// How well a source is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Arithmetic or a definition.
    Definition,
    /// A published value or equation that was read.
    Published,
    /// Published; recalled, not read again.
    Memory,
    /// What is commonly done; no source.
    CommonPractice,
}

/// What can hurt where a sum is put to work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Caution {
    /// Lime, chlorine, thiosulphate and the like.
    Chemicals,
    /// Electricity beside water.
    Electricity,
    /// Engines and their fumes.
    Engines,
    /// Cold mud and open drains.
    Drains,
    /// Oxygen under pressure.
    Oxygen,
    /// Knives, spines, ice.
    Hands,
}

/// How a value is told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// In the kind's own unit; told in the first unit to those who read metres, in the second to those who read feet.
    Of(Kind, &'static str, &'static str),
    /// A bare number and what follows it.
    Plain(&'static str),
    /// A whole number.
    Pieces(&'static str),
    /// A part of one.
    Share,
    /// Hours since midnight.
    Clock,
    /// Money.
    Money,
    /// Money for one kilogram.
    MoneyPerKg,
}

/// One value with its name.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Its name for programs.
    pub key: &'static str,
    /// What it is.
    pub says: &'static str,
    /// The value, in the unit of `measure`.
    pub value: f64,
    /// How it is told.
    pub measure: Measure,
}

/// How much a remark weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// To be known.
    Note,
    /// To be watched.
    Watch,
    /// Not to be done.
    Stop,
}

/// Something to be told with the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Remark {
    /// How much it weighs.
    pub weight: Weight,
    /// What is to be told.
    pub says: &'static str,
}

/// What a sum comes to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worked {
    /// The answers, the main one first.
    pub answers: Vec<Line>,
    /// What leads to them, in order.
    pub steps: Vec<Line>,
    /// What is to be told.
    pub remarks: Vec<Remark>,
}

impl Worked {
    /// The value of an answer or step.
    pub fn value(&self, key: &str) -> Option<f64> {
        self.answers.iter().chain(&self.steps).find(|line| line.key == key).map(|line| line.value)
    }

    /// Whether it must not be done.
    pub fn is_refused(&self) -> bool {
        self.remarks.iter().any(|remark| remark.weight == Weight::Stop)
    }

    pub(crate) fn answer(mut self, key: &'static str, says: &'static str, value: f64, measure: Measure) -> Worked {
        self.answers.push(Line { key, says, value, measure });
        self
    }

    pub(crate) fn step(mut self, key: &'static str, says: &'static str, value: f64, measure: Measure) -> Worked {
        self.steps.push(Line { key, says, value, measure });
        self
    }

    pub(crate) fn note(mut self, says: &'static str) -> Worked {
        self.remarks.push(Remark { weight: Weight::Note, says });
        self
    }

    pub(crate) fn watch(mut self, when: bool, says: &'static str) -> Worked {
        self.remarks.extend(when.then_some(Remark { weight: Weight::Watch, says }));
        self
    }

    pub(crate) fn stop(mut self, when: bool, says: &'static str) -> Worked {
        self.remarks.extend(when.then_some(Remark { weight: Weight::Stop, says }));
        self
    }
}

pub(crate) const MG_L: Measure = Measure::Of(Kind::MassPerVolume, "mg/l", "mg/l");
pub(crate) const MASS: Measure = Measure::Of(Kind::Mass, "kg", "lb");
pub(crate) const GRAMS: Measure = Measure::Of(Kind::Mass, "g", "g");
pub(crate) const VOLUME: Measure = Measure::Of(Kind::Volume, "m3", "gal");
pub(crate) const HOURS: Measure = Measure::Of(Kind::Duration, "h", "h");
pub(crate) const MINUTES: Measure = Measure::Of(Kind::Duration, "min", "min");
pub(crate) const DEGREES: Measure = Measure::Of(Kind::Temperature, "°C", "°F");
pub(crate) const AREA: Measure = Measure::Of(Kind::Area, "m2", "sq ft");
pub(crate) const TO_THE_AREA: Measure = Measure::Of(Kind::MassPerArea, "kg/ha", "lb/ac");

/// From kilograms in a cubic metre to milligrams in a litre.
pub(crate) const MG_L_PER_KG_M3: f64 = 1000.0;

/// A question for a quantity; the unit is the person's own.
pub(crate) const fn of(key: &'static str, kind: Kind, question: &'static str, about: &'static str) -> Input {
    Input::asked(key, Takes::Quantity(kind, None), question, about)
}

/// A question for something dissolved; a number alone is mg/L.
pub(crate) const fn mg_l(key: &'static str, question: &'static str, about: &'static str) -> Input {
    Input::asked(key, Takes::Quantity(Kind::MassPerVolume, Some("mg/l")), question, about)
}
