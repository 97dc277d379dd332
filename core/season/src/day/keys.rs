//! Names for programs.

use harvest::Relaxed;

use super::{DueKind, StepKind};

/// A step by name.
pub fn step_key(step: &StepKind) -> &'static str {
    match step {
        StepKind::Opens => "opens",
        StepKind::ChillWater => "chill_water",
        StepKind::Come(_) => "come",
        StepKind::SeiningDepth(_) => "net",
        StepKind::LetDown => "let_down",
        StepKind::Gather => "gather",
        StepKind::HoldLast(_) => "hold_last",
        StepKind::LetLast => "let_last",
        StepKind::Dip(_) => "dip",
        StepKind::Dry => "dry",
        StepKind::KeepShut => "keep_shut",
        StepKind::LastOut => "last_out",
        StepKind::AllIced => "all_iced",
        StepKind::Finish => "finish",
        StepKind::ShiftEnds => "shift_ends",
        StepKind::SecondWalk => "second_walk",
    }
}

/// What is due by name.
pub fn due_key(due: DueKind) -> &'static str {
    match due {
        DueKind::SoftShells => "soft_shells",
        DueKind::Hired(_) => "hired",
        DueKind::Ice => "ice",
        DueKind::SecondSupplier => "second_supplier",
        DueKind::Crew => "crew",
        DueKind::StandIns => "stand_ins",
        DueKind::Buyers => "buyers",
        DueKind::ColdRoom => "cold_room",
        DueKind::Screens => "screens",
        DueKind::Receiving => "receiving",
        DueKind::Fuel => "fuel",
        DueKind::LastFeed => "last_feed",
        DueKind::Gear => "gear",
    }
}

/// A limit by name.
pub fn limit_key(limit: Relaxed) -> &'static str {
    match limit {
        Relaxed::Baskets => "baskets",
        Relaxed::HalfFull => "full_baskets",
        Relaxed::Ice => "ice",
        Relaxed::Hand => "hands",
        Relaxed::Scale => "scale",
        Relaxed::Tub => "tubs",
        Relaxed::Store => "cold_store",
        Relaxed::Seining => "time_for_the_net",
        Relaxed::Water => "water",
    }
}
