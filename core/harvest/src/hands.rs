//! Hands: who comes, from when to when, what they may do and how fast.
//!
//! Model     a pace against a measured grown hand; it tires; a break after every two hours
//! Units     hours of the day's clock; shares
//! Range     shifts of up to 14 h
//! Source    fatigue, cold hands and breaks to 0.75 to 0.85 over a shift, half the pace until measured: common practice. What
//!           young people may do is for local labour law to say; the list here only leaves out what is dangerous everywhere
//! Left out  skill beyond these kinds, heat, rain

use crate::task::{Post, Task};

/// What kind of hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HandKind {
    /// Works here all season.
    Owner,
    /// A grown helper who has done it before.
    Helper,
    /// A grown helper on the first day.
    FirstTimer,
    /// A volunteer.
    Volunteer,
    /// Under age.
    Minor,
}

/// Why a task is not given to somebody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AllowedBy {
    /// They may do it.
    Yes,
    /// Deep water or mud: only people who know it.
    Water,
    /// Knives and sharp tables.
    Knife,
    /// It has to be learnt first: what is soft or dead, what the scale says.
    Learnt,
}

impl HandKind {
    /// All kinds.
    pub const ALL: [HandKind; 5] =
        [HandKind::Owner, HandKind::Helper, HandKind::FirstTimer, HandKind::Volunteer, HandKind::Minor];

    /// Whether this kind may do a task, and if not, why.
    pub fn may(self, task: Task) -> AllowedBy {
        use HandKind::*;
        match (self, task) {
            (Owner | Helper, _) => AllowedBy::Yes,
            (Minor, Task::Seine | Task::Gather | Task::Dip | Task::Bag | Task::Walk) => AllowedBy::Water,
            (Minor, Task::Head | Task::Wash) => AllowedBy::Knife,
            (Volunteer, Task::Seine | Task::Dip | Task::Bag | Task::Walk) => AllowedBy::Water,
            (Volunteer, Task::Head) => AllowedBy::Knife,
            (FirstTimer | Volunteer | Minor, Task::Sort | Task::Weigh) => AllowedBy::Learnt,
            (Volunteer | Minor, Task::Load | Task::Unload) => AllowedBy::Learnt,
            _ => AllowedBy::Yes,
        }
    }

    /// Pace against a grown hand who knows the work, until measured.
    pub fn pace(self) -> f64 {
        match self {
            HandKind::Owner | HandKind::Helper => 1.0,
            HandKind::FirstTimer | HandKind::Volunteer | HandKind::Minor => 0.5,
        }
    }

    pub(crate) fn tasks(self) -> u32 {
        Task::ALL.iter().filter(|task| self.may(**task) == AllowedBy::Yes).map(|task| task.bit()).sum()
    }
}

/// One hand on the day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hand {
    /// What kind.
    pub kind: HandKind,
    /// Clock hour of coming.
    pub from_h: f64,
    /// Clock hour of going home.
    pub until_h: f64,
    /// Where they stand; they help elsewhere while there is nothing to do.
    pub post: Post,
    /// They surely come.
    pub sure: bool,
    /// Pace against a grown hand; [`HandKind::pace`] until measured.
    pub pace: f64,
}

impl Hand {
    /// A hand of a kind for a shift, at a place.
    pub fn new(kind: HandKind, from_h: f64, until_h: f64, post: Post) -> Hand {
        Hand { kind, from_h, until_h, post, sure: true, pace: kind.pace() }
    }
}

/// Least share of the fresh pace that is left to a tired hand.
const TIRED_LEAST: f64 = 0.75;

/// Share of the fresh pace after some hours.
pub(crate) fn freshness(hours: f64, tires_per_h: f64) -> f64 {
    (1.0 - tires_per_h * hours.max(0.0)).max(TIRED_LEAST)
}
