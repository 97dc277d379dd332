//! Which kind of entry asks for which fields, in every version there ever was.
//!
//! A version is never edited once it has been used at a pond: a change is a new row. A phone may come back after a year with
//! entries typed into an old form, and they are read as they were meant.

mod books;
mod harvest;
mod market;
mod packs;
mod shape;

pub use shape::{Field, Form};
use shape::{MG_L, NOTE, POND, POND_OR_FARM, STRUCK, field, one};

/// Every form, the versions of a kind in order.
pub const FORMS: &[Form] = &joined::<COUNT>();

/// The forms by what they are of.
const GROUPS: [&[Form]; 5] = [SEASON, harvest::FORMS, market::FORMS, packs::FORMS, books::FORMS];
const COUNT: usize = {
    let (mut count, mut group) = (0, 0);
    while group < GROUPS.len() {
        count += GROUPS[group].len();
        group += 1;
    }
    count
};

const fn joined<const N: usize>() -> [Form; N] {
    let mut all = [SEASON[0]; N];
    let (mut at, mut group) = (0, 0);
    while group < GROUPS.len() {
        let mut form = 0;
        while form < GROUPS[group].len() {
            all[at] = GROUPS[group][form];
            at += 1;
            form += 1;
        }
        group += 1;
    }
    all
}

/// Ponds, tanks and the farm itself.
const SEASON: &[Form] = &[
    one("farm", &[field("text", "log.text").must(), STRUCK]),
    // The set-up's answers so far, kept as they are typed: a farm file that may still be wrong.
    one("setup", &[field("text", "log.text").must(), STRUCK]),
    // A file that the farm's own file names: its name there, and the digest its bytes are kept under.
    one("farm_file", &[field("name", "log.file").must(), field("photo", "log.photo").must(), STRUCK]),
    one("farm_away", &[field("away", "log.away").must(), NOTE]),
    Form {
        kind: "reading",
        version: 1,
        fields: &[
            POND,
            field("end", "log.end"),
            field("depth", "log.depth").in_unit("m", 1.0),
            field("temperature", "log.temperature").in_unit("c", 1.0),
            field("oxygen", "log.oxygen").in_unit("mg_l", MG_L),
            field("ph", "log.ph"),
            field("ammonia", "log.ammonia").in_unit("mg_l", MG_L),
            field("nitrite", "log.nitrite").in_unit("mg_l", MG_L),
            field("alkalinity", "log.alkalinity").in_unit("mg_l", MG_L),
            field("secchi", "log.secchi").in_unit("m", 1.0),
            field("stage", "log.stage").in_unit("m", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &["temperature", "oxygen", "ph", "ammonia", "nitrite", "alkalinity", "secchi", "stage"],
    },
    one(
        "feed",
        &[POND, field("feed", "log.feed").must().in_unit("kg", 1.0), field("feed_kind", "log.feed_kind"), NOTE, STRUCK],
    ),
    // What was left of it says how much they want; what was given says nothing of the pond.
    Form {
        kind: "feed",
        version: 2,
        fields: &[
            POND,
            field("feed", "log.feed").must().in_unit("kg", 1.0),
            field("left", "log.left"),
            field("feed_kind", "log.feed_kind"),
            NOTE,
            STRUCK,
        ],
        any_of: &[],
    },
    one("deaths", &[POND, field("deaths", "log.deaths").must().in_unit("count", 1.0), NOTE, STRUCK]),
    one(
        "predators",
        &[
            POND,
            field("predators", "log.predators").must(),
            field("predator_count", "log.predator_count").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
    ),
    one("aerator", &[POND, field("aerator_hours", "log.aerator_hours").must().in_unit("h", 1.0), NOTE, STRUCK]),
    one("chore", &[POND, field("chore", "log.chore").must(), NOTE, STRUCK]),
    one("weather_note", &[field("text", "log.text").must(), STRUCK]),
    one("photo", &[POND_OR_FARM, field("photo", "log.photo").must(), NOTE, STRUCK]),
    one(
        "sample",
        &[
            POND,
            field("mean_weight", "log.mean_weight").must().in_unit("g", 1000.0),
            field("counted", "log.counted").must().in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
    ),
    // Weights one by one, by form where it is known, or by bucketfuls; or only the mean, as before.
    Form {
        kind: "sample",
        version: 2,
        fields: &[
            POND,
            field("caught_by", "log.caught_by"),
            field("weights", "log.weights"),
            field("buckets", "log.buckets"),
            field("blue_claw", "log.weights"),
            field("orange_claw", "log.weights"),
            field("small_male", "log.weights"),
            field("virgin", "log.weights"),
            field("berried", "log.weights"),
            field("open_female", "log.weights"),
            field("mean_weight", "log.mean_weight").in_unit("g", 1000.0),
            field("counted", "log.counted").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &[
            "weights",
            "buckets",
            "blue_claw",
            "orange_claw",
            "small_male",
            "virgin",
            "berried",
            "open_female",
            "mean_weight",
        ],
    },
    one(
        "logger",
        &[POND, field("file", "log.file").must(), field("rows", "log.rows").in_unit("count", 1.0), NOTE, STRUCK],
    ),
    // The file itself lies under its digest; its readings lie with the record, not in the entry.
    Form {
        kind: "logger",
        version: 2,
        fields: &[
            POND,
            field("end", "log.end"),
            field("depth", "log.depth").in_unit("m", 1.0),
            field("file", "log.file").must(),
            field("digest", "log.digest").must(),
            field("rows", "log.rows").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &[],
    },
    one("plan_accepted", &[field("text", "log.text").must(), NOTE, STRUCK]),
    // The days on which each pond is to be caught, as the program wrote them: these count as told and ordered.
    Form {
        kind: "plan_accepted",
        version: 2,
        fields: &[field("text", "log.text").must(), field("catches", "log.catches"), NOTE, STRUCK],
        any_of: &[],
    },
    // Postlarvae as they were ordered; what the hatchery says later is a correction of it.
    one(
        "order",
        &[
            field("hatchery", "log.hatchery").must(),
            field("ordered", "log.ordered").must().in_unit("count", 1.0),
            field("comes", "log.comes").must(),
            field("said", "log.said"),
            field("per_1000", "log.price_thousand"),
            field("deposit", "log.deposit"),
            field("deposit_by", "log.deposit_by"),
            field("claim_hours", "log.claim_hours").in_unit("h", 1.0),
            field("promised", "log.promised"),
            NOTE,
            STRUCK,
        ],
    ),
    // Postlarvae as they came: what was sold, what was counted, what was dead.
    one(
        "delivery",
        &[
            field("claimed", "log.claimed").must().in_unit("count", 1.0),
            field("counts", "log.counts"),
            field("sample_weight", "log.sample_weight").in_unit("g", 1000.0),
            field("all_weight", "log.all_weight").in_unit("g", 1000.0),
            field("dead", "log.dead").in_unit("count", 1.0),
            field("mean_weight", "log.young_weight").in_unit("g", 1000.0),
            field("papers", "log.papers"),
            NOTE,
            STRUCK,
        ],
    ),
    Form {
        kind: "tank",
        version: 1,
        fields: &[
            field("tank", "log.tank").must(),
            field("temperature", "log.temperature").in_unit("c", 1.0),
            field("oxygen", "log.oxygen").in_unit("mg_l", MG_L),
            field("ph", "log.ph"),
            field("ammonia", "log.ammonia").in_unit("mg_l", MG_L),
            field("nitrite", "log.nitrite").in_unit("mg_l", MG_L),
            field("deaths", "log.deaths").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &["temperature", "oxygen", "ph", "ammonia", "nitrite", "deaths"],
    },
    // One grade out of one tank into one pond or tank: by samples of weight or of volume, or one by one.
    Form {
        kind: "counted_out",
        version: 1,
        fields: &[
            field("tank", "log.tank").must(),
            field("grade", "log.grade"),
            POND_OR_FARM,
            field("to_tank", "log.to_tank"),
            field("counts", "log.counts"),
            field("sample_weight", "log.sample_weight").in_unit("g", 1000.0),
            field("all_weight", "log.all_weight").in_unit("g", 1000.0),
            field("sample_volume", "log.sample_volume").in_unit("l", 1000.0),
            field("all_volume", "log.all_volume").in_unit("l", 1000.0),
            field("each", "log.each").in_unit("count", 1.0),
            field("mean_weight", "log.young_weight").in_unit("g", 1000.0),
            field("dead", "log.dead_at_it").in_unit("count", 1.0),
            field("tank_empty", "log.tank_empty"),
            NOTE,
            STRUCK,
        ],
        any_of: &["counts", "each"],
    },
    // What went into a pond on the day it happened, and what came out of it.
    one(
        "stocked",
        &[
            POND,
            field("stocked", "log.stocked").must().in_unit("count", 1.0),
            field("mean_weight", "log.stocked_weight").must().in_unit("g", 1000.0),
            NOTE,
            STRUCK,
        ],
    ),
    // With the tanks they came from, and how far off the count may be.
    Form {
        kind: "stocked",
        version: 2,
        fields: &[
            POND,
            field("stocked", "log.stocked").must().in_unit("count", 1.0),
            field("either_way", "log.either_way").in_unit("count", 1.0),
            field("mean_weight", "log.stocked_weight").must().in_unit("g", 1000.0),
            field("from_tanks", "log.from_tanks"),
            NOTE,
            STRUCK,
        ],
        any_of: &[],
    },
    Form {
        kind: "catch",
        version: 1,
        fields: &[
            POND,
            field("caught", "log.caught").in_unit("kg", 1.0),
            field("empty", "log.empty"),
            field("mean_weight", "log.mean_weight").in_unit("g", 1000.0),
            field("counted", "log.counted").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &["caught", "empty"],
    },
    one("season", &[field("name", "log.season").must(), field("last_catch", "log.last_catch"), NOTE, STRUCK]),
    one("season_over", &[NOTE, STRUCK]),
    one("forecast", &[field("text", "log.text").must(), NOTE, STRUCK]),
    one("note", &[POND_OR_FARM, field("text", "log.text").must(), STRUCK]),
    one("settle", &[field("winner", "log.winner").must(), NOTE]),
];

/// The form of a kind in one of its versions.
pub fn form(kind: &str, version: u32) -> Option<&'static Form> {
    FORMS.iter().find(|form| form.kind == kind && form.version == version)
}

/// The form that pages show today.
pub fn newest_form(kind: &str) -> Option<&'static Form> {
    FORMS.iter().filter(|form| form.kind == kind).max_by_key(|form| form.version)
}
