//! Packs as they were made, and what was put into ponds.
//!
//! Pure folds over the entries. A lot is pond, day of catch and tub; what was mixed is a lot of its own that names its parents.

use units::{Day, Instant, Zone};

use super::{Fact, Kept, current};

/// What is in a pack.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PackForm {
    /// Whole.
    Whole,
    /// Tails.
    Tails,
    /// Alive.
    Live,
}

impl PackForm {
    /// By the word of an entry.
    pub fn parse(word: &str) -> Option<PackForm> {
        match word {
            "whole" => Some(PackForm::Whole),
            "tails" => Some(PackForm::Tails),
            "live" => Some(PackForm::Live),
            _ => None,
        }
    }
}

/// Packs that were made alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Pack {
    /// Mark of its first entry.
    pub id: String,
    /// When it was entered as happened.
    pub at: Instant,
    /// Who entered it.
    pub person: String,
    /// Its lot, in capitals.
    pub lot: String,
    /// Lots that were mixed in it, in capitals; empty when it is of its own lot alone.
    pub of_lots: Vec<String>,
    /// What is in it.
    pub form: PackForm,
    /// Frozen.
    pub is_frozen: bool,
    /// How many of them.
    pub packs: u32,
    /// Net weight of one, kg.
    pub net_kg: Option<f64>,
    /// Pieces in one.
    pub piece_count: Option<f64>,
    /// Day packed.
    pub packed: Day,
    /// Use by.
    pub use_by: Option<Day>,
    /// Pond, if the entry names one.
    pub pond: Option<String>,
    /// Day of the catch, if the entry names one.
    pub caught: Option<Day>,
    /// Tub it came from.
    pub tub: Option<String>,
    /// Where it is kept.
    pub kept_at: Option<String>,
}

/// A treatment of a pond.
#[derive(Debug, Clone, PartialEq)]
pub struct Treatment {
    /// Mark of its first entry.
    pub id: String,
    /// When.
    pub at: Instant,
    /// The farm's day of it.
    pub on: Day,
    /// Who entered it.
    pub person: String,
    /// Which pond.
    pub pond: String,
    /// Product.
    pub product: String,
    /// Amount, as typed.
    pub dose: Option<String>,
    /// Batch of it.
    pub batch: Option<String>,
    /// Days to wait before anything is caught to eat.
    pub wait_d: i32,
    /// Against what.
    pub against: Option<String>,
    /// Who advised it.
    pub advised_by: Option<String>,
}

impl Treatment {
    /// The first day on which anything may be caught again.
    pub fn free_from(&self) -> Day {
        self.on.plus(self.wait_d)
    }
    /// Whether its waiting days reach into a day.
    pub fn reaches(&self, day: Day) -> bool {
        self.on <= day && day < self.free_from()
    }
}

/// A lot as it is compared: capitals, no space around it.
pub fn lot_name(text: &str) -> String {
    text.trim().to_uppercase()
}

/// The entries of one kind that hold, each with its first mark.
pub(super) fn holding<'a>(facts: &'a [Kept], kind: &str) -> Vec<(String, &'a Fact)> {
    current(facts)
        .iter()
        .filter(|entry| entry.first.fact.kind == kind)
        .filter_map(|entry| Some((entry.first.fact.id.clone(), &entry.settled()?.fact)))
        .collect()
}

/// Packs by the order in which they were entered.
pub fn packs(facts: &[Kept], zone: &Zone) -> Vec<Pack> {
    holding(facts, "pack").into_iter().filter_map(|(id, fact)| pack(id, fact, zone)).collect()
}

fn pack(id: String, fact: &Fact, zone: &Zone) -> Option<Pack> {
    let at = fact.happened.at;
    let day = |name: &str| fact.text(name).and_then(Day::parse);
    let text = |name: &str| fact.text(name).map(str::to_owned);
    let of_lots = fact.text("of_lots").unwrap_or_default().split([',', ';', '\n']);
    Some(Pack {
        id,
        at,
        person: fact.person.clone(),
        lot: lot_name(fact.text("lot")?),
        of_lots: of_lots.map(lot_name).filter(|lot| !lot.is_empty()).collect(),
        form: PackForm::parse(fact.text("pack_form")?)?,
        is_frozen: matches!(fact.text("frozen"), Some("yes" | "true")),
        packs: fact.values.get("packs").map_or(1, |count| *count as u32),
        net_kg: fact.values.get("net").copied(),
        piece_count: fact.values.get("pieces").copied(),
        packed: day("packed").unwrap_or_else(|| zone.day_and_second(at).0),
        use_by: day("use_by"),
        pond: text("pond"),
        caught: day("caught_on"),
        tub: text("tub"),
        kept_at: text("kept_at"),
    })
}

/// Treatments by day.
pub fn treatments(facts: &[Kept], zone: &Zone) -> Vec<Treatment> {
    let one = |(id, fact): (String, &Fact)| {
        let text = |name: &str| fact.text(name).map(str::to_owned);
        let at = fact.happened.at;
        Some(Treatment {
            id,
            at,
            on: zone.day_and_second(at).0,
            person: fact.person.clone(),
            pond: text("pond")?,
            product: text("product")?,
            dose: text("dose"),
            batch: text("batch"),
            // A part of a day is waited out.
            wait_d: fact.values.get("wait")?.ceil() as i32,
            against: text("against"),
            advised_by: text("advised_by"),
        })
    };
    let mut all: Vec<Treatment> = holding(facts, "treatment").into_iter().filter_map(one).collect();
    all.sort_by(|a, b| (a.at, &a.id).cmp(&(b.at, &b.id)));
    all
}

/// The treatment of a pond whose waiting days reach furthest beyond a day of catch; `None` when none does.
pub fn waits<'a>(treatments: &'a [Treatment], pond: &str, catch: Day) -> Option<&'a Treatment> {
    let own = treatments.iter().filter(|one| one.pond == pond && one.reaches(catch));
    own.max_by_key(|one| one.free_from())
}

#[cfg(test)]
mod tests;
