//! What is written down of packs, treatments, what falls due and losses.

use units::measure::Kind;

use super::{Input, Takes, ask, size};

pub(super) static INPUTS: &[Input] = &[
    ask("pack.lot", Takes::Text, "Which lot stands on it?", "As on the label: pond, day of the catch, tub."),
    ask("pack.form", Takes::Words(&["whole", "tails", "live"]), "What is in it?", "Whole with head and shell."),
    ask("pack.frozen", Takes::YesNo, "Is it frozen?", "Frozen through, not only cold.").then("it is not frozen"),
    size("pack.packs", Kind::Count, "How many packs like this?", "Made at one time, of one lot.")
        .range("1", "20,000")
        .usual("1", "500")
        .assume("1", "an entry is at least one pack"),
    size("pack.net", Kind::Mass, "What does one weigh, without box, wrapper, ice and drip?", "`5 lb` or `2 kg`.")
        .range("0.01 lb", "2000 lb")
        .usual("0.2 lb", "100 lb")
        .then("its weight is not told"),
    size("pack.pieces", Kind::Count, "How many pieces are in one?", "If it is sold by the piece.")
        .range("1", "100,000")
        .then("they are not counted"),
    ask("pack.packed", Takes::Date, "On which day was it packed?", "As 2021-10-04.").then("the day of the entry"),
    ask("pack.use_by", Takes::Date, "Use by which day?", "As your inspector says for this form.")
        .then("none stands on it"),
    ask("pack.caught_on", Takes::Date, "On which day was it caught?", "As 2021-10-04.")
        .then("the day in the lot's own name"),
    ask("pack.of_lots", Takes::Text, "Which lots were mixed in it?", "Their names, a comma between.")
        .then("it is of its own lot alone"),
    ask("pack.kept_at", Takes::Text, "Where is it kept?", "Cold store, freezer, shelf.").then("it is not noted"),
    ask("treatment.product", Takes::Text, "Which product went in?", "As it says on the label, lime and salt too."),
    ask("treatment.dose", Takes::Text, "How much?", "As weighed or measured: `50 lb`, `2 l`.").then("it is not noted"),
    ask("treatment.batch", Takes::Text, "Which batch of it?", "As it says on the bag or bottle.")
        .then("it is not noted"),
    ask(
        "treatment.wait",
        Takes::Quantity(Kind::Duration, Some("d")),
        "How long before anything may be caught to eat?",
        "As its label or whoever prescribed it says: `14 days`; 0 when it says none.",
    )
    .range("0 h", "400 days")
    .usual("0 h", "90 days"),
    ask("treatment.against", Takes::Text, "Against what?", "In your own words.").then("it is not noted"),
    ask("treatment.advised_by", Takes::Text, "Who advised it?", "Name, and where to reach them.")
        .then("it is not noted"),
    ask(
        "due.kind",
        Takes::Words(&[
            "stocking permit",
            "discharge permit",
            "processing licence",
            "sales licence",
            "scale inspection",
            "sales tax",
            "insurance",
            "records",
            "other",
        ]),
        "What falls due?",
        "Records: until when a batch of them is kept.",
    ),
    ask("due.name", Takes::Text, "What is it called where you are?", "As on the paper, with its number.")
        .then("the general name is shown"),
    ask("due.on", Takes::Date, "By which day?", "As 2021-04-15."),
    ask("due.again", Takes::Words(&["once", "month", "quarter", "year"]), "Does it come again?", "How often.")
        .assume("once", "until somebody says so"),
    ask("due.office", Takes::Text, "Who is asked about it?", "Office, name, telephone.").then("nobody is named"),
    ask(
        "due.warn",
        Takes::Quantity(Kind::Duration, Some("d")),
        "How long before is it to be shown in the morning?",
        "`30 days`.",
    )
    .range("0 h", "400 days")
    .assume("30 days", "an office answers within a month (common practice)"),
    ask("due.done_on", Takes::Date, "On which day was it done last?", "As 2021-04-12.").then("it is open"),
    ask(
        "loss.cause",
        Takes::Words(&["cold", "low oxygen", "disease", "flood", "theft", "predators", "spray drift", "other"]),
        "What took them?",
        "Best guess: it can be mended.",
    ),
    ask("loss.began", Takes::Date, "On which day was it first seen?", "As 2021-10-04."),
    ask("loss.ended", Takes::Date, "On which day was it over?", "As 2021-10-06.").then("the day it was first seen"),
    size("loss.count", Kind::Count, "How many animals were lost?", "Count or best guess.")
        .range("0", "20,000,000")
        .usual("1", "100,000")
        .then("they are not counted"),
    size("loss.weight", Kind::Mass, "What weight was lost?", "As weighed, or best guess.")
        .range("0 lb", "100,000 lb")
        .usual("1 lb", "10,000 lb")
        .then("it is not weighed"),
    ask("loss.worth", Takes::Amount, "What is it worth, by your own reckoning?", "In the farm's currency.")
        .range("0", "100,000,000")
        .then("no worth is named"),
    ask("loss.text", Takes::Text, "What was seen, and what was done?", "In your own words, with hours.")
        .then("nothing is told"),
    ask("loss.reported", Takes::Text, "Who was told, and when?", "Insurer, adviser, police, plant health office.")
        .then("nobody is named"),
    ask("loss.policy", Takes::Text, "Which policy or case is it?", "Its number.").then("none is named"),
];
