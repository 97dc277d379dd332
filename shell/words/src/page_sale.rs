//! What the pages of buyers and of the sale table say.

/// A word of an entry of the sale, as a person reads it.
pub fn word<'a>(field: &str, word: &'a str) -> &'a str {
    match (field, word) {
        ("sold_as", "live") => "Live",
        ("sold_as", "whole") => "Whole",
        ("sold_as", "tails") => "Tails",
        ("sold_as", "piece") => "By the piece",
        ("sold_as", "seconds") => "Seconds",
        ("rank", "standing") => "Standing buyer",
        ("rank", "ordered") => "Order",
        ("rank", "walk_up") => "Walk-up",
        ("rank", "waiting") => "Waiting list",
        ("answer", "yes") => "Takes it",
        ("answer", "no") => "Cannot take that day",
        ("answer", "no_answer") => "Told, no answer yet",
        ("answer", "called_off") => "Called off",
        ("answer", "came") => "Came",
        ("answer", "not_come") => "Did not come",
        ("hauls" | "bears", "buyer") => "The buyer",
        ("hauls" | "bears", "farm") => "The farm",
        ("bears", "shared") => "Shared",
        ("paid_by", "cash") => "Cash",
        ("paid_by", "card") => "Card",
        ("paid_by", "transfer") => "Transfer",
        ("paid_by", "other") => "Otherwise",
        ("paid_for", "sale") => "What was bought",
        ("paid_for", "deposit") => "Deposit",
        (_, other) => other,
    }
}
