//! How fresh what lies on a table is, and what is sold first.

use season::freshness::{Clock, Fresh};
use season::trace::AtTable;
use units::{Instant, Zone};

use super::{amount, good};
use crate::figures::{Manner, stopped};
use crate::page_trace::{keeps, warning};

/// Head of what lies on the tables past its best.
pub const AGEING: &str = "On the tables: sell these first";
/// Which lot a line is of.
pub const LOT: &str = "From which lot (the oldest first)";
/// A lot that was not named.
pub const NO_LOT: &str = "No lot named";
/// What has no clock.
pub const NO_CLOCK: &str =
    "No lot with a day of catch was named when it was handed out, so nobody can say how old it is. Ask the lead.";
/// The units of an age, as the script writes them anew: hours, days, months.
pub const AGE_UNITS: &str = "h|days|months";

/// After an age.
pub const OLD: &str = "old.";

/// On a good of a table: nothing while all of it is at its best.
pub fn on_good(fresh: Fresh) -> &'static str {
    match fresh {
        Fresh::Good => "",
        Fresh::First => "sell first",
        Fresh::Late => "tell its age",
        Fresh::Over => "not as fresh",
    }
}

/// A lot to choose: its name and what is left of it.
pub fn lot_choice(one: &AtTable, manner: Manner) -> String {
    let left = amount(one.good.sold_as, one.left, manner);
    format!("{}, {left}", one.lot.as_deref().unwrap_or(NO_LOT))
}

/// What stands before the age: the lot and as what it is kept.
pub fn before_age(lot: Option<&str>, clock: &Clock) -> String {
    format!("{}. {}: ", lot.unwrap_or(NO_LOT), keeps(clock.keeps))
}

/// A lot on the board; `None` while it is at its best.
pub fn ageing(one: &AtTable, zone: &Zone, manner: Manner) -> Option<String> {
    let said = warning(one.clock.as_ref()?, zone, manner)?;
    let lot = one.lot.as_deref().unwrap_or(NO_LOT);
    let left = amount(one.good.sold_as, one.left, manner);
    Some(format!("{}: {}, {lot}, {left} left. {said}", one.table, good(&one.good)))
}

/// As of when the clocks stand where no script reckons them anew.
pub fn as_of(now: Instant, zone: &Zone, manner: Manner) -> String {
    stopped(format!("Ages as of {}", crate::page_trace::moment(now, zone, manner)))
}
