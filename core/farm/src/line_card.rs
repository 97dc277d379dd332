//! The harvest day as a person writes it down: own paces, tubs, scales, groups of helpers. What is not written is `None`.

use crate::farm::Days;

/// Own figures of the harvest day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LineCard {
    /// Hours of one haul.
    pub haul_h: Option<f64>,
    /// Hands that pull it.
    pub haul_hands: Option<u32>,
    /// Most hauls.
    pub hauls: Option<u32>,
    /// Share of what swims that comes with one haul.
    pub haul_share: Option<f64>,
    /// Picked up by one hand, kg/h.
    pub gather_kg_h: Option<f64>,
    /// Dipped by one hand, kg/h.
    pub dip_kg_h: Option<f64>,
    /// Hours from the water to the scale.
    pub carry_h: Option<f64>,
    /// Rinsed by one hand, kg/h.
    pub rinse_kg_h: Option<f64>,
    /// Sorted by one hand, kg/h.
    pub sort_kg_h: Option<f64>,
    /// Hours to weigh a basket.
    pub weigh_h: Option<f64>,
    /// Scales.
    pub scales: Option<u32>,
    /// Slurry tubs.
    pub tubs: Option<u32>,
    /// Prawns in one, kg.
    pub tub_kg: Option<f64>,
    /// Into slurry by one hand, kg/h.
    pub load_kg_h: Option<f64>,
    /// Hours to head one prawn.
    pub head_h: Option<f64>,
    /// Tails washed by one hand, kg/h.
    pub wash_kg_h: Option<f64>,
    /// Packed by one hand, kg/h.
    pub pack_kg_h: Option<f64>,
    /// Helpers beside the crew.
    pub groups: Vec<Group>,
}

/// Helpers that are alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they are called.
    pub name: String,
    /// How many.
    pub count: u32,
    /// What kind.
    pub kind: GroupKind,
    /// Clock hour of coming; `None` with everybody.
    pub from_h: Option<f64>,
    /// Clock hour of going.
    pub until_h: Option<f64>,
    /// They surely come.
    pub sure: bool,
    /// Only on these days; on any when none are named.
    pub days: Vec<Days>,
}

/// What kind of help.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroupKind {
    /// Grown, has done it before.
    Helper,
    /// Grown, for the first time.
    FirstTimer,
    /// A volunteer.
    Volunteer,
    /// Under age.
    Minor,
}
