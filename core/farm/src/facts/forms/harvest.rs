//! Forms of a harvest day: each basket on the scale, what is moved on after it, cold as it is read, the water's edge, the night's watch, the close.

use super::shape::{Form, MG_L, NOTE, POND, POND_OR_FARM, STRUCK, field, one};

pub(super) const FORMS: &[Form] = &[
    one(
        "basket",
        &[
            POND,
            field("weight", "log.scale").must().in_unit("kg", 1.0),
            field("tare", "log.tare").in_unit("kg", 1.0),
            field("to", "log.to").must(),
            field("tub", "log.tub"),
            field("count", "log.basket_count").in_unit("count", 1.0),
            field("by_hand", "log.by_hand"),
            NOTE,
            STRUCK,
        ],
    ),
    one(
        "moved",
        &[
            POND_OR_FARM,
            field("out_of", "log.out_of").must(),
            field("into", "log.into").must(),
            field("weight", "log.moved").must().in_unit("kg", 1.0),
            field("form_of", "log.form_of"),
            field("tub", "log.tub"),
            NOTE,
            STRUCK,
        ],
    ),
    Form {
        kind: "cold",
        version: 1,
        fields: &[
            POND_OR_FARM,
            field("place", "log.cold_of").must(),
            field("tub", "log.tub"),
            field("temperature", "log.cold").in_unit("c", 1.0),
            field("ice_seen", "log.ice_seen"),
            field("ice", "log.ice").in_unit("kg", 1.0),
            field("oxygen", "log.oxygen").in_unit("mg_l", MG_L),
            field("deaths", "log.deaths").in_unit("count", 1.0),
            field("action", "log.action"),
            NOTE,
            STRUCK,
        ],
        any_of: &["temperature", "ice_seen", "ice", "oxygen", "deaths"],
    },
    Form {
        kind: "edge",
        version: 1,
        fields: &[
            POND,
            field("stage", "log.stage").in_unit("m", 1.0),
            field("passes", "log.passes").in_unit("count", 1.0),
            field("stranded", "log.stranded"),
            field("in_water", "log.in_water").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &["stage", "passes", "stranded", "in_water"],
    },
    Form {
        kind: "watch",
        version: 1,
        fields: &[
            POND,
            field("opened", "log.opened"),
            field("stage", "log.stage").in_unit("m", 1.0),
            field("screen", "log.screen"),
            field("pump", "log.pump"),
            field("fuel_left", "log.fuel_left").in_unit("h", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &["opened", "stage", "screen", "pump", "fuel_left"],
    },
    one(
        "closed",
        &[
            POND,
            field("all_out", "log.all_out").must(),
            field("none_left", "log.none_left"),
            field("second_walk", "log.second_walk").in_unit("kg", 1.0),
            field("heads", "log.heads"),
            field("reason", "log.reason"),
            NOTE,
            STRUCK,
        ],
    ),
    // With the names of those who watch.
    Form {
        kind: "watch",
        version: 2,
        fields: &[
            POND,
            field("opened", "log.opened"),
            field("stage", "log.stage").in_unit("m", 1.0),
            field("screen", "log.screen"),
            field("pump", "log.pump"),
            field("fuel_left", "log.fuel_left").in_unit("h", 1.0),
            field("who_watches", "log.who_watches"),
            NOTE,
            STRUCK,
        ],
        any_of: &["opened", "stage", "screen", "pump", "fuel_left", "who_watches"],
    },
    // With the gear that was lent.
    one(
        "closed",
        &[
            POND,
            field("all_out", "log.all_out").must(),
            field("none_left", "log.none_left"),
            field("second_walk", "log.second_walk").in_unit("kg", 1.0),
            field("heads", "log.heads"),
            field("gear_back", "log.gear_back"),
            field("reason", "log.reason"),
            NOTE,
            STRUCK,
        ],
    )
    .version(2),
    // Who is at the pond, by name or by number.
    Form {
        kind: "people",
        version: 1,
        fields: &[
            field("came", "log.came"),
            field("gone", "log.gone"),
            field("here", "log.here").in_unit("count", 1.0),
            NOTE,
            STRUCK,
        ],
        any_of: &["came", "gone", "here"],
    },
    // With the tub it came out of and the one it went into: one word for both said neither.
    one(
        "moved",
        &[
            POND_OR_FARM,
            field("out_of", "log.out_of").must(),
            field("out_tub", "log.out_tub"),
            field("out_empty", "log.out_empty"),
            field("into", "log.into").must(),
            field("into_tub", "log.into_tub"),
            field("weight", "log.moved").must().in_unit("kg", 1.0),
            field("form_of", "log.form_of"),
            NOTE,
            STRUCK,
        ],
    )
    .version(2),
    // Water over the bank or the screens: from then on nobody knows how many are in the pond.
    one("overflow", &[POND, field("over", "log.over").must(), field("seen_leaving", "log.seen_leaving"), NOTE, STRUCK]),
];
