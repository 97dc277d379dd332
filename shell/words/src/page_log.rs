//! What the log's pages say: the entries, the forms they are typed into, the phone's own waiting entries.

use farm::facts::{Fact, FactRead, UnreadWhy, read_typed};
use farm::inputs::log_inputs;
use units::{Currency, Day, Instant, Zone};

use crate::figures::{Manner, clock, day_short};

mod names;
mod outbox;

pub use names::{field, kind, money_for, paid_or_owed};
pub use outbox::*;

/// Name of the page.
pub const LOG: &str = "The log";
/// When there is none yet.
pub const EMPTY: &str = "Nothing is written yet. What you write at the pond stands here, newest first.";
/// Way to a new entry.
pub const NEW: &str = "Write an entry";
/// Kinds of entry, before the links to their forms.
pub const KINDS: &str = "What do you write down?";
/// Way to older entries.
pub const OLDER: &str = "Older entries";
/// Way to the mending of an entry.
pub const MEND: &str = "Mend";
/// Title of the mending page.
pub const MEND_TITLE: &str = "Mend an entry";
/// What mending does.
pub const MEND_HINT: &str =
    "The first entry stays readable with who wrote it and when. What you write here holds from now on.";
/// Before the earlier words of an entry.
pub const BEFORE: &str = "Written before";
/// An entry that counts no more.
pub const STRUCK: &str = "Struck out: counts no more.";
/// Two corrections of one entry.
pub const FORK: &str =
    "Mended twice, by people who did not see each other's mending. Neither counts until you choose one.";
/// Choice of one of them.
pub const HOLDS: &str = "This one holds";
/// Above entries whose second sending did not agree with the first.
pub const DIFFERS: &str = "Sent twice, with different words";
/// What to do about it.
pub const DIFFERS_HINT: &str =
    "Both are kept; the first one counts. Mend it if the second is right, then put this away.";
/// The first of the two.
pub const DIFFERS_FIRST: &str = "Counts";
/// The second.
pub const DIFFERS_SECOND: &str = "Came later";
/// Puts the pair away.
pub const SEEN: &str = "I have seen to it";
/// Button of the form.
pub const KEEP: &str = "Keep";
/// Above the errors of a form.
pub const LOOK_AGAIN: &str = "Look again, please. Nothing is kept yet.";
/// Further fields.
pub const MORE: &str = "More to note";
/// Question for the moment.
pub const WHEN: &str = "When was it?";
/// A moment that cannot be read.
pub const WHEN_WRONG: &str = "Write the day and time as 2020-09-12T06:40.";
/// Unit beside a number.
pub const UNIT: &str = "Unit";
/// Strikes out.
pub const STRIKE: &str = "Strike this entry out";
/// A form that was kept before with other words.
pub const USED: &str = "This form was kept before, with other words. Press Keep again to keep this as one more entry.";
/// No record was named.
pub const NOT_KEPT: &str = "This server was started without a record: nothing can be written down.";
/// The pond is not the farm's.
pub const NO_POND: &str = "Choose a pond.";
/// Money that cannot be counted by the farm's coins.
pub fn money_unread(why: UnreadWhy, currency: Currency) -> String {
    match why {
        UnreadWhy::Fork => FORK.to_owned(),
        UnreadWhy::Figure => "Its money, or what it is for, cannot be read: write it anew.".to_owned(),
        UnreadWhy::Currency => {
            format!("This farm reckons in {}: write the amount in {}.", currency.code(), currency.code())
        }
        UnreadWhy::FinerThanCoin => match currency.coins_per_unit() {
            1 => format!("{} has no coin smaller than one: write a whole number.", currency.code()),
            coins => format!(
                "{} has no coin that small: write it with at most {} digits behind the point.",
                currency.code(),
                coins.ilog10()
            ),
        },
        UnreadWhy::EndsDearer => "It cannot be worth more at the end than it cost: look at both.".to_owned(),
    }
}

/// An amount of money that cannot be read, said by the phone.
pub const MONEY_TYPED: &str =
    "An amount of money is written with a point, such as 120.50; a comma stands only between thousands, such as 1,200.";
/// Nothing is chosen yet.
pub const CHOOSE: &str = "Choose";
/// Question for a pond that may be left out.
pub const WHOLE_FARM: &str = "The whole farm";

/// An end of the pond.
pub fn end(word: &str) -> &str {
    match word {
        "deep" => "Deep",
        "middle" => "Middle",
        "shallow" => "Shallow",
        other => other,
    }
}

/// A catch after which nothing is left in the pond.
const POND_EMPTY: &str = "the pond is empty";
/// A catch that left animals in it.
const POND_NOT_EMPTY: &str = "the pond is not empty yet";
/// Nothing is left in the tank.
const TANK_EMPTY: &str = "the tank is empty";
/// Some are left in it.
const TANK_NOT_EMPTY: &str = "the tank is not empty yet";
/// How a sample was caught.
pub fn caught_by(word: &str) -> &str {
    match word {
        "seine" => "Seine",
        "cast net" => "Cast net",
        "trap" => "Trap",
        "hand" => "By hand",
        other => other,
    }
}

/// What was left of a feed.
pub fn left(word: &str) -> &str {
    match word {
        "none" => "Nothing",
        "some" => "Less than half",
        "most" => "Half or more",
        other => other,
    }
}

/// Above the box that takes many.
pub const MANY: &str = "Or many at once, a space between";
/// Opens the boxes for animals by form.
pub const BY_FORM: &str = "By sex and form";
/// Opens the box for bucketfuls.
pub const BY_BUCKET: &str = "By bucketfuls";
/// Opens the boxes for a mean.
pub const ONLY_MEAN: &str = "I have only the mean";
/// What the hatchery says of an order.
pub fn said(word: &str) -> &str {
    match word {
        "asked" => "Asked for",
        "confirmed" => "Confirmed",
        "lost" => "Will not come",
        other => other,
    }
}

/// An entry as crew may read it: without the money of an order.
pub fn without_money(fact: &Fact) -> Fact {
    let mut fact = fact.clone();
    if fact.kind == "order" {
        fact.typed.retain(|name, _| !matches!(name.as_str(), "per_1000" | "deposit" | "deposit_by"));
    }
    // Who buys is asked of the owner: what was agreed, what was paid down, how they are reached.
    if fact.kind == "asked" {
        fact.typed.retain(|name, _| !matches!(name.as_str(), "price" | "deposit" | "deposit_by" | "contact"));
    }
    if fact.kind == "loss" {
        fact.typed.retain(|name, _| name != "worth");
    }
    fact
}

/// What to mind when weighing.
pub const WEIGH_HINT: &str = "Weigh what the net brings, small ones too, without choosing. Spines and claws prick: wear gloves, and see a doctor the same day when a wound reddens or you run a fever.";

/// A grade.
pub fn grade(word: &str) -> &str {
    match word {
        "upper" => "Upper, large",
        "lower" => "Lower, small",
        "ungraded" => "Not graded",
        other => other,
    }
}

/// A tank that the farm does not have.
pub fn no_tank(name: &str) -> String {
    format!("{name} is not one of your tanks: choose one.")
}

/// Of what is counted out: the pond it goes into.
pub const INTO_POND: &str = "Into which pond";
/// Of what is counted out: a pond and a tank at once.
pub const ONE_PLACE: &str = "Choose a pond or a tank, not both: each place is an entry of its own.";
/// Of what is counted out: it goes into no pond.
pub const NO_POND_HERE: &str = "No pond";
/// Of what is counted out: it goes into no tank.
pub const NO_TANK_HERE: &str = "No tank";
/// Dead, of what is counted out.
pub const DEAD_AT_IT: &str = "Died at it";

/// A yes or a no.
pub fn yes_no(word: &str) -> &str {
    match word {
        "yes" => "Yes",
        "no" => "No",
        other => other,
    }
}

/// What stands under a field as its hint.
pub fn hint(input: &str) -> &'static str {
    log_inputs().find(|row| row.key == input).map_or("", |row| row.about)
}

/// Units a number may be typed in: as shown, as written. The first is the person's own.
pub fn units(field: &str, manner: Manner) -> &'static [(&'static str, &'static str)] {
    let us = manner == Manner::UsCustomary;
    match field {
        "temperature" if us => &[("°F", "F"), ("°C", "C")],
        "temperature" => &[("°C", "C"), ("°F", "F")],
        "depth" | "secchi" | "stage" if us => &[("in", "in"), ("ft", "ft"), ("cm", "cm"), ("m", "m")],
        "depth" | "secchi" | "stage" => &[("cm", "cm"), ("m", "m"), ("in", "in"), ("ft", "ft")],
        "oxygen" | "ammonia" | "nitrite" | "alkalinity" => &[("mg/L", "mg/L")],
        "feed" | "caught" | "weight" | "tare" | "ice" | "second_walk" if us => &[("lb", "lb"), ("kg", "kg")],
        "feed" | "caught" | "weight" | "tare" | "ice" | "second_walk" => &[("kg", "kg"), ("lb", "lb")],
        "net" | "lost_weight" if us => &[("lb", "lb"), ("kg", "kg"), ("oz", "oz"), ("g", "g")],
        "net" | "lost_weight" => &[("kg", "kg"), ("g", "g"), ("lb", "lb"), ("oz", "oz")],
        "wait" | "warn" => &[("days", "d")],
        "amount" if us => &[("lb", "lb"), ("kg", "kg")],
        "amount" => &[("kg", "kg"), ("lb", "lb")],
        "their_tank" if us => &[("gal", "gal"), ("L", "L")],
        "their_tank" => &[("L", "L"), ("gal", "gal")],
        "their_tank_temperature" if us => &[("°F", "F"), ("°C", "C")],
        "their_tank_temperature" => &[("°C", "C"), ("°F", "F")],
        "meant_weight" if us => &[("lb", "lb"), ("kg", "kg")],
        "meant_weight" => &[("kg", "kg"), ("lb", "lb")],
        "meant_survival" | "tied_up" => &[("%", "%")],
        "sample_weight" => &[("g", "g"), ("oz", "oz")],
        "all_weight" => &[("g", "g"), ("kg", "kg"), ("lb", "lb")],
        "mean_weight" => &[("g", "g"), ("oz", "oz")],
        "sample_volume" | "all_volume" if us => &[("gal", "gal"), ("L", "L"), ("mL", "mL")],
        "sample_volume" | "all_volume" => &[("L", "L"), ("mL", "mL"), ("gal", "gal")],
        name if farm::facts::WEIGHT_LISTS.contains(&name) => &[("g", "g"), ("oz", "oz")],
        "aerator_hours" | "claim_hours" | "fuel_left" => &[("hours", "h"), ("minutes", "min")],
        _ => &[],
    }
}

/// An entry's words as typed, in one line.
pub fn typed(fact: &Fact, pond_name: &dyn Fn(&str) -> String) -> String {
    if matches!(fact.kind.as_str(), "farm" | "forecast") {
        return String::new();
    }
    // Its days; the whole of it, hour by hour, stands in the record and in the report of the year.
    if fact.kind == "plan_accepted" {
        return fact.text("text").and_then(|text| text.lines().next()).unwrap_or_default().trim().to_owned();
    }
    let mut said: Vec<String> = Vec::new();
    if let Some(pond) = fact.pond() {
        said.push(pond_name(pond));
    }
    if let Some(end_word) = fact.text("end") {
        said.push(format!("{} end", end(end_word).to_lowercase()));
    }
    for (name, text) in fact.typed.iter().filter(|(_, text)| !text.trim().is_empty()) {
        match name.as_str() {
            // Marks are for the program; a person reads the rest.
            "receipt" | "of_order" | "takes_back" => {}
            "sold_as" | "rank" | "answer" | "bears" | "hauls" | "paid_by" | "paid_for" => {
                said.push(crate::page_sale::word(name, text.trim()).to_lowercase());
            }
            "empty" => said.push(if text.trim() == "yes" { POND_EMPTY } else { POND_NOT_EMPTY }.to_owned()),
            "pond" | "end" | "struck" | "winner" | "digest" | "photo" => {}
            "grade" => said.push(grade(text.trim()).to_lowercase()),
            "tank_empty" => said.push(if text.trim() == "yes" { TANK_EMPTY } else { TANK_NOT_EMPTY }.to_owned()),
            "to_tank" => said.push(format!("into tank {}", text.trim())),
            "away" | "name" => said.push(text.trim().to_owned()),
            "chore" => said.push(chore(text.trim())),
            "to" | "into" | "out_of" => {
                said.push(format!(
                    "{} {}",
                    field(name).to_lowercase(),
                    crate::page_harvest::place_word(text.trim()).to_lowercase()
                ));
            }
            "place" => said.push(crate::page_harvest::cold_word(text.trim()).to_lowercase()),
            "said" => said.push(self::said(text.trim()).to_lowercase()),
            "cost_for" | "account" => said.push(money_for(text.trim()).to_lowercase()),
            "paid_or_owed" => said.push(paid_or_owed(text.trim()).to_lowercase()),
            "thing" | "how_much" => said.push(text.trim().to_owned()),
            "comes" => said.push(format!("for {}", text.trim())),
            "text" | "note" => said.push(text.trim().to_owned()),
            "depth" => said.push(format!("{} down", text.trim())),
            _ => said.push(format!("{} {}", field(name).to_lowercase().replace("ph", "pH"), text.trim())),
        }
    }
    said.join(", ")
}

/// Work as it was done; a word of a later program as it stands.
fn chore(word: &str) -> String {
    season::farm::Chore::parse(word).map_or(word, |chore| crate::chores::short(chore)).to_lowercase()
}

/// When something happened, by the farm's clock.
pub fn moment(at: Instant, zone: &Zone, manner: Manner) -> String {
    let (day, second) = zone.day_and_second(at);
    format!("{} {}, {}", day_short(day), year(day), clock(second, manner))
}

/// When a kept page was made.
pub fn made(at: Instant, zone: &Zone, manner: Manner) -> String {
    crate::figures::stopped(format!("Out of reach: this page is as it was on {}", moment(at, zone, manner)))
}

fn year(day: Day) -> i32 {
    day.ymd().0.into()
}

/// Who wrote it and when.
pub fn by(fact: &Fact, zone: &Zone, manner: Manner) -> String {
    let written = moment(Instant(fact.typed_ms.div_euclid(1000)), zone, manner);
    let device = if fact.device == "this-machine" { "at the farm's own machine" } else { "on a phone" };
    format!("Written {written}, by {} {device}.", fact.person)
}

/// All that is wrong with an entry, figures out of bounds too.
pub fn slips(fact: &Fact) -> Vec<String> {
    let FactRead { slips, .. } = read_typed(&fact.kind, fact.form, &fact.typed);
    slips.iter().map(|slip| format!("{}: {}", field(&slip.field), crate::store::slip(slip))).collect()
}

/// What is wrong with an entry that was kept as typed; empty when all was read.
pub fn remarks(fact: &Fact) -> Vec<String> {
    let FactRead { slips, .. } = read_typed(&fact.kind, fact.form, &fact.typed);
    let hard = slips.iter().filter(|slip| !crate::page_odd::may_be_kept(slip));
    hard.map(|slip| format!("{}: {}", field(&slip.field), crate::store::slip(slip))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use farm::facts::newest_form;
    use units::measure;

    #[test]
    fn every_unit_offered_is_one_that_is_read() {
        for kind in [
            "reading",
            "feed",
            "aerator",
            "sample",
            "stocked",
            "catch",
            "order",
            "delivery",
            "tank",
            "counted_out",
            "basket",
            "moved",
            "cold",
            "edge",
            "watch",
            "closed",
            "asked",
            "handed",
            "sale",
            "people",
            "overflow",
        ] {
            for one in newest_form(kind).expect("a form").fields {
                for manner in [Manner::UsCustomary, Manner::Metric] {
                    for (_, written) in units(one.name, manner) {
                        // Each item of a list is read by a row of its own.
                        let key = if one.input == "log.weights" { "log.weight_each" } else { one.input };
                        let farm::inputs::Takes::Quantity(quantity, bare) =
                            log_inputs().find(|input| input.key == key).expect("an input").takes
                        else {
                            panic!("{} takes no unit", one.name)
                        };
                        let read = measure::read(&format!("5 {written}"), quantity, bare);
                        assert!(read.is_ok(), "{} in {written}: {read:?}", one.name);
                    }
                }
            }
        }
    }
}
