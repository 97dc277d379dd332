//! What is written down of the farm's money.

use units::measure::Kind;

use super::{Input, Takes, ask, size};

/// What money is spent on, and what the owner's own hours are worth.
pub(crate) const COSTS: &[&str] = &[
    "postlarvae",
    "nursery",
    "feed",
    "fertilizer",
    "power",
    "fuel",
    "ice",
    "packing",
    "hands",
    "repairs",
    "licences",
    "transport",
    "selling",
    "interest",
    "other",
    "own_hours",
    "land",
    "insurance",
    "taxes",
];

/// What can be budgeted: every cost, wear and the interest of money tied up, and what sales bring.
pub(crate) const ACCOUNTS: &[&str] = &[
    "postlarvae",
    "nursery",
    "feed",
    "fertilizer",
    "power",
    "fuel",
    "ice",
    "packing",
    "hands",
    "repairs",
    "licences",
    "transport",
    "selling",
    "interest",
    "other",
    "own_hours",
    "land",
    "insurance",
    "taxes",
    "wear",
    "tied_up",
    "sales",
];

const fn money(key: &'static str, question: &'static str, about: &'static str) -> Input {
    ask(key, Takes::Amount, question, about).range("0", "1,000,000,000,000")
}

pub(super) static INPUTS: &[Input] = &[
    ask(
        "log.cost_for",
        Takes::Words(COSTS),
        "What was it for?",
        "`own_hours` are your own unpaid hours, at what they are worth to you.",
    ),
    money("log.cost", "How much money is it?", "In the farm's currency, as `120` or `$120.50`."),
    ask("log.how_much", Takes::Text, "How much of it was it?", "In your own words: `40 bags of 50 lb`, `12 h`.")
        .then("no amount is noted"),
    ask("log.to_whom", Takes::Text, "Whom was it bought from?", "As it says on the bill.").then("nobody is named"),
    ask(
        "log.paid_or_owed",
        Takes::Words(&["paid", "owed", "back"]),
        "Is it paid?",
        "`owed` while the bill is open; `back` when money came back to you.",
    )
    .assume("paid", "until somebody says that it is owed"),
    ask(
        "log.paid_on",
        Takes::Date,
        "On which day was it paid?",
        "As 2021-06-30. Mend the entry when an open bill is paid.",
    )
    .then("what is paid was paid on the day of the entry"),
    ask("log.thing", Takes::Text, "What was bought?", "A pump, a pond dug, a tank, land."),
    money("log.salvage", "What will it still be worth at the end?", "After its years.").assume("0", "nothing"),
    ask("log.life", Takes::Number, "How many years will it last?", "Until it is replaced.")
        .range("0.5", "100")
        .usual("1", "40")
        .then("it does not wear, as land does not"),
    size(
        "log.tied_up",
        Kind::Share,
        "What would its money earn elsewhere, in a year?",
        "As `6 %`. It is shown as a cost, and no coin of it is booked.",
    )
    .range("0 %", "100 %")
    .usual("0 %", "20 %")
    .then("no interest is reckoned"),
    ask("log.gone_on", Takes::Date, "On which day was it sold or scrapped?", "As 2021-06-30.")
        .then("it is still there"),
    money("log.gone_for", "What was it sold for?", "Nothing when it was scrapped.").assume("0", "scrapped"),
    ask(
        "log.account",
        Takes::Words(ACCOUNTS),
        "What is it for?",
        "`sales` for what the catch is meant to bring; all others are costs.",
    ),
    money("log.meant", "How much money is meant?", "For the season, in the farm's currency."),
    ask("log.in_month", Takes::Date, "In which month?", "Any day of it, as 2021-06-15.")
        .then("it is not told by month"),
    size("log.meant_weight", Kind::Mass, "How much is meant to be sold for it?", "Whole weight; with sales only.")
        .range("0 lb", "2,000,000 lb")
        .then("no price is reckoned from it"),
    size(
        "log.meant_survival",
        Kind::Share,
        "What share of the stocked is meant to live to the catch?",
        "With sales only.",
    )
    .range("0 %", "100 %")
    .then("survival is not held against a plan"),
];
