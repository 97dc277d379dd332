//! Forms of packs, treatments, what falls due and losses.

use super::shape::{Form, NOTE, POND, POND_OR_FARM, STRUCK, field, one};

pub(super) const FORMS: &[Form] = &[
    // Packs made alike at one time: each bears the lot.
    one(
        "pack",
        &[
            field("lot", "pack.lot").must(),
            field("pack_form", "pack.form").must(),
            field("frozen", "pack.frozen"),
            field("packs", "pack.packs").in_unit("count", 1.0),
            field("net", "pack.net").in_unit("kg", 1.0),
            field("pieces", "pack.pieces").in_unit("count", 1.0),
            field("packed", "pack.packed"),
            field("use_by", "pack.use_by"),
            POND_OR_FARM,
            field("caught_on", "pack.caught_on"),
            field("tub", "log.tub"),
            field("of_lots", "pack.of_lots"),
            field("kept_at", "pack.kept_at"),
            NOTE,
            STRUCK,
        ],
    ),
    one(
        "treatment",
        &[
            POND,
            field("product", "treatment.product").must(),
            field("dose", "treatment.dose"),
            field("batch", "treatment.batch"),
            field("wait", "treatment.wait").must().in_unit("d", PER_DAY),
            field("against", "treatment.against"),
            field("advised_by", "treatment.advised_by"),
            NOTE,
            STRUCK,
        ],
    ),
    // What falls due, with the grower's own day; a correction carries it on or says that it was done.
    one(
        "due",
        &[
            field("due_kind", "due.kind").must(),
            field("due_name", "due.name"),
            field("due_on", "due.on").must(),
            field("again", "due.again"),
            field("office", "due.office"),
            field("warn", "due.warn").in_unit("d", PER_DAY),
            field("done_on", "due.done_on"),
            NOTE,
            STRUCK,
        ],
    ),
    one(
        "loss",
        &[
            POND_OR_FARM,
            field("cause", "loss.cause").must(),
            field("began", "loss.began").must(),
            field("ended", "loss.ended"),
            field("lost_count", "loss.count").in_unit("count", 1.0),
            field("lost_weight", "loss.weight").in_unit("kg", 1.0),
            field("worth", "loss.worth"),
            field("text", "loss.text"),
            field("reported", "loss.reported"),
            field("policy", "loss.policy"),
            field("photo", "log.photo"),
            NOTE,
            STRUCK,
        ],
    ),
];

/// A duration is read in hours.
const PER_DAY: f64 = 1.0 / 24.0;
