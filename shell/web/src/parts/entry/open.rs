//! Which fields of an entry's form stand open at once, in the order in which they are typed.

use farm::facts::{Field, Form};

/// Fields that stand open at once; the others one tap away.
const FIRST: [&str; 29] = [
    "pond",
    "chore",
    "tank",
    "hatchery",
    "ordered",
    "comes",
    "said",
    "per_1000",
    "claimed",
    "counts",
    "sample_weight",
    "all_weight",
    "dead",
    "end",
    "temperature",
    "depth",
    "oxygen",
    "feed",
    "left",
    "deaths",
    "predators",
    "predator_count",
    "aerator_hours",
    "stocked",
    "caught",
    "empty",
    "mean_weight",
    "counted",
    "text",
];

/// Of a tank these stand open too: in a pond they are rarely read.
const OF_A_TANK: [&str; 3] = ["ammonia", "ph", "nitrite"];

/// What stands open of animals counted out of a tank, in the order of the work: what, how many, where to.
const OF_COUNTED: [&str; 10] =
    ["tank", "grade", "counts", "sample_weight", "all_weight", "each", "pond", "to_tank", "dead", "tank_empty"];

/// What stands open of a harvest day's entries, in the order of the work.
const OF_A_BASKET: [&str; 6] = ["pond", "weight", "tare", "to", "tub", "by_hand"];
const OF_A_MOVE: [&str; 8] = ["pond", "out_of", "out_tub", "out_empty", "into", "into_tub", "weight", "form_of"];
const OF_COLD: [&str; 8] = ["place", "tub", "temperature", "ice_seen", "ice", "oxygen", "deaths", "action"];
const OF_THE_EDGE: [&str; 5] = ["pond", "stage", "passes", "stranded", "in_water"];
const OF_THE_WATCH: [&str; 7] = ["pond", "opened", "stage", "screen", "pump", "fuel_left", "who_watches"];
/// What stands open of money.
const OF_A_COST: [&str; 6] = ["cost_for", "cost", "pond", "how_much", "to_whom", "paid_or_owed"];
const OF_GEAR: [&str; 5] = ["thing", "cost", "salvage", "life", "pond"];
const OF_A_BUDGET: [&str; 4] = ["account", "meant", "pond", "in_month"];

/// What stands open of the sale's entries.
const OF_AN_ORDER: [&str; 9] = ["buyer", "contact", "rank", "sold_as", "size", "amount", "pieces", "price", "day_from"];
const OF_TELLING: [&str; 4] = ["buyer", "day", "slot", "answer"];
const OF_HANDING: [&str; 7] = ["table", "sold_as", "size", "amount", "pieces", "price", "handed_back"];
const OF_A_SALE: [&str; 8] = ["table", "sold_as", "size", "amount", "tare", "pieces", "price", "sell_again"];
const OF_MONEY: [&str; 4] = ["paid", "paid_by", "paid_for", "given_back"];
const OF_THE_CLOSE: [&str; 7] = ["pond", "all_out", "none_left", "second_walk", "heads", "gear_back", "reason"];
const OF_PEOPLE: [&str; 3] = ["came", "gone", "here"];
const OF_AN_OVERFLOW: [&str; 3] = ["pond", "over", "seen_leaving"];

/// What stands open of packs, treatments, what falls due and losses.
const OF_A_PACK: [&str; 8] = ["lot", "pack_form", "frozen", "packs", "net", "pieces", "packed", "kept_at"];
const OF_A_TREATMENT: [&str; 5] = ["pond", "product", "dose", "wait", "against"];
const OF_DUE: [&str; 6] = ["due_kind", "due_name", "due_on", "again", "office", "done_on"];
const OF_A_LOSS: [&str; 7] = ["pond", "cause", "began", "ended", "lost_count", "lost_weight", "text"];

/// The names of the fields that stand open, in the order in which they are typed.
fn open_names(kind: &str) -> impl Iterator<Item = &'static &'static str> {
    let (names, more): (&'static [&str], &'static [&str]) = match kind {
        "counted_out" => (&OF_COUNTED, &[]),
        "tank" => (&FIRST, &OF_A_TANK),
        "basket" => (&OF_A_BASKET, &[]),
        "moved" => (&OF_A_MOVE, &[]),
        "cold" => (&OF_COLD, &[]),
        "edge" => (&OF_THE_EDGE, &[]),
        "watch" => (&OF_THE_WATCH, &[]),
        "closed" => (&OF_THE_CLOSE, &[]),
        "asked" => (&OF_AN_ORDER, &["day_until"]),
        "told" => (&OF_TELLING, &[]),
        "handed" => (&OF_HANDING, &[]),
        "sale" => (&OF_A_SALE, &[]),
        "paid" => (&OF_MONEY, &[]),
        "cost" => (&OF_A_COST, &[]),
        "gear_bought" => (&OF_GEAR, &[]),
        "budget" => (&OF_A_BUDGET, &[]),
        "people" => (&OF_PEOPLE, &[]),
        "overflow" => (&OF_AN_OVERFLOW, &[]),
        "pack" => (&OF_A_PACK, &[]),
        "treatment" => (&OF_A_TREATMENT, &[]),
        "due" => (&OF_DUE, &[]),
        "loss" => (&OF_A_LOSS, &[]),
        _ => (&FIRST, &[]),
    };
    names.iter().chain(more)
}

/// The fields that stand open.
pub fn first(asked: &Form) -> impl Iterator<Item = &Field> {
    open_names(asked.kind).filter_map(|name| asked.fields.iter().find(|field| field.name == *name))
}

/// Whether a field stands open at once.
pub fn is_first(asked: &Form, name: &str) -> bool {
    open_names(asked.kind).any(|open| *open == name)
}
