//! Forms of buyers: what they asked for, what they were told, what was handed to a table, sold and paid.
//!
//! Every line has one form of sale and one price with its unit: whole and tails are two lines.

use super::shape::{Form, NOTE, STRUCK, field, one};

pub(super) const FORMS: &[Form] = &[
    // A buyer's order. What becomes of it is told by later entries that name its mark.
    Form {
        kind: "asked",
        version: 1,
        fields: &[
            field("buyer", "log.buyer").must(),
            field("contact", "log.contact"),
            field("rank", "log.rank"),
            field("served_first", "log.served_first"),
            field("sold_as", "log.sold_as").must(),
            field("size", "log.size"),
            field("amount", "log.amount").in_unit("kg", 1.0),
            field("pieces", "log.pieces").in_unit("count", 1.0),
            field("price", "log.price"),
            field("day_from", "log.day_from"),
            field("day_until", "log.day_until"),
            field("deposit_asked", "log.deposit_asked"),
            field("their_tank", "log.their_tank").in_unit("l", 1000.0),
            field("their_tank_temperature", "log.their_tank_temperature").in_unit("c", 1.0),
            field("hauls", "log.hauls"),
            field("bears", "log.bears"),
            NOTE,
            STRUCK,
        ],
        any_of: &["amount", "pieces"],
    },
    // A buyer was told of a day, and what came of it.
    one(
        "told",
        &[
            field("of_order", "log.of_order").must(),
            field("buyer", "log.buyer"),
            field("day", "log.told_day").must(),
            field("slot", "log.slot"),
            field("answer", "log.answer"),
            NOTE,
            STRUCK,
        ],
    ),
    // Stock given to a table to sell, or counted back from it.
    Form {
        kind: "handed",
        version: 1,
        fields: &[
            field("table", "log.table").must(),
            field("sold_as", "log.sold_as").must(),
            field("size", "log.size"),
            field("amount", "log.amount").in_unit("kg", 1.0),
            field("pieces", "log.pieces").in_unit("count", 1.0),
            field("price", "log.price"),
            field("lot", "log.lot"),
            field("handed_back", "log.handed_back"),
            NOTE,
            STRUCK,
        ],
        any_of: &["amount", "pieces"],
    },
    // One line sold: one form, one size, one price.
    Form {
        kind: "sale",
        version: 1,
        fields: &[
            field("table", "log.table").must(),
            field("receipt", "log.receipt"),
            field("of_order", "log.of_order"),
            field("buyer", "log.buyer"),
            field("sold_as", "log.sold_as").must(),
            field("size", "log.size"),
            field("amount", "log.amount").in_unit("kg", 1.0),
            field("tare", "log.tare_sold").in_unit("kg", 1.0),
            field("drained", "log.drained"),
            field("pieces", "log.pieces").in_unit("count", 1.0),
            field("price", "log.price").must(),
            field("lot", "log.lot"),
            // The mark of the line that this one takes back; its amount is what came back.
            field("takes_back", "log.takes_back"),
            field("sell_again", "log.sell_again"),
            NOTE,
            STRUCK,
        ],
        any_of: &["amount", "pieces"],
    },
    // Money in, or given back.
    one(
        "paid",
        &[
            field("paid", "log.paid").must(),
            field("paid_by", "log.paid_by"),
            field("paid_for", "log.paid_for"),
            field("given_back", "log.given_back"),
            field("receipt", "log.receipt"),
            field("of_order", "log.of_order"),
            field("buyer", "log.buyer"),
            field("table", "log.table"),
            NOTE,
            STRUCK,
        ],
    ),
];
