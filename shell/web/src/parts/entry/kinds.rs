//! Which kinds of entry there are, and who may write and mend them.

use farm::facts::market::MARKET_KINDS;
use farm::facts::{DAY_KINDS, MONEY_KINDS};

use crate::who::{self, May};

/// Kinds a person types.
pub const KINDS: [&str; 15] = [
    "reading",
    "feed",
    "deaths",
    "predators",
    "overflow",
    "aerator",
    "chore",
    "sample",
    "stocked",
    "catch",
    "delivery",
    "tank",
    "counted_out",
    "weather_note",
    "note",
];

/// Kinds that have pages of their own for being written, and are mended in the log by the owner.
const OWNERS: [&str; 6] = ["season", "season_over", "order", "asked", "due", "loss"];

/// Of packs and ponds, what anybody who works here may write.
const OF_PACKS: [&str; 2] = ["pack", "treatment"];

/// Whether whoever asks may write an entry of this kind: what is agreed with a hatchery or a buyer is the owner's, and so is the farm's money.
pub fn may_enter(kind: &str) -> bool {
    let owners = matches!(kind, "order" | "asked" | "due" | "loss") || MONEY_KINDS.contains(&kind);
    is_work(kind) || (owners && who::now().may == May::All)
}

/// Whether anybody who works here may write it: [`KINDS`], and those of a harvest day and of the sale, which have pages of their own.
pub fn is_work(kind: &str) -> bool {
    KINDS.contains(&kind)
        || OF_PACKS.contains(&kind)
        || DAY_KINDS.contains(&kind)
        || (MARKET_KINDS.contains(&kind) && kind != "asked")
}

/// Whether the morning is reckoned anew with it: of a harvest day's entries only that a pond's water was let go, of sales and money none.
pub fn moves_the_morning(kind: &str) -> bool {
    let of_money = MARKET_KINDS.contains(&kind) || MONEY_KINDS.contains(&kind);
    let of_papers = matches!(kind, "pack" | "treatment" | "due" | "loss");
    (!DAY_KINDS.contains(&kind) || matches!(kind, "watch" | "closed")) && !of_money && !of_papers
}

/// Whether whoever asks may mend an entry of this kind.
pub fn may_mend(kind: &str) -> bool {
    is_work(kind) || ((OWNERS.contains(&kind) || MONEY_KINDS.contains(&kind)) && who::now().may == May::All)
}

/// Of [`KINDS`], those that are of tanks: a farm without any is not offered them.
pub const OF_TANKS: [&str; 3] = ["delivery", "tank", "counted_out"];
