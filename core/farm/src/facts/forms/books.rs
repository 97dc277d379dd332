//! Forms of money: costs, gear that lasts, what was meant to be spent.

use super::shape::{Form, NOTE, POND_OR_FARM, STRUCK, field, one};

pub(super) const FORMS: &[Form] = &[
    // Money that was spent or is owed; of the whole farm where no pond is named. When it is paid later, the entry is mended with the day.
    one(
        "cost",
        &[
            field("cost_for", "log.cost_for").must(),
            field("cost", "log.cost").must(),
            POND_OR_FARM,
            field("how_much", "log.how_much"),
            field("to_whom", "log.to_whom"),
            field("paid_or_owed", "log.paid_or_owed"),
            field("paid_on", "log.paid_on"),
            NOTE,
            STRUCK,
        ],
    ),
    // What lasts longer than a season: it wears out in equal parts over its years.
    one(
        "gear_bought",
        &[
            field("thing", "log.thing").must(),
            field("cost", "log.cost").must(),
            field("salvage", "log.salvage"),
            field("life", "log.life"),
            POND_OR_FARM,
            field("tied_up", "log.tied_up").in_unit("fraction", 1.0),
            field("to_whom", "log.to_whom"),
            field("paid_or_owed", "log.paid_or_owed"),
            field("paid_on", "log.paid_on"),
            field("gone_on", "log.gone_on"),
            field("gone_for", "log.gone_for"),
            NOTE,
            STRUCK,
        ],
    ),
    // What is meant to be spent or earned in a season. The last line of one account, pond and month holds.
    one(
        "budget",
        &[
            field("account", "log.account").must(),
            field("meant", "log.meant").must(),
            POND_OR_FARM,
            field("in_month", "log.in_month"),
            field("meant_weight", "log.meant_weight").in_unit("kg", 1.0),
            field("meant_survival", "log.meant_survival").in_unit("fraction", 1.0),
            NOTE,
            STRUCK,
        ],
    ),
];
