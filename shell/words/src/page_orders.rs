//! What the pages of the order say: what was agreed, what is due, what a late, short or lost delivery does, what may be claimed.

use season::orders::{CLAIM_USUAL_H, Claim, Placed, Said, Second, Step, Turn, TurnKind, Turns};
use season::tanks::Delivery;
use units::{Currency, Day, Instant, Zone};

use crate::figures::{Manner, animal, day_short, grouped, mass, money, money_apart, odds, stopped};
use crate::page_winter::density;

/// Name of the page.
pub const TITLE: &str = "Postlarvae ordered";
/// No order is entered.
pub const NONE: &str = "No postlarvae are ordered";
/// What to do about it.
pub const NONE_SAYS: &str = "Enter the order once you have asked a hatchery, and mend the entry when it says something else: a confirmed day, another day, fewer, none. Order before winter: lots are promised early.";
/// Way to the entry.
pub const ENTER: &str = "Enter an order";
/// Way to the entry of what came.
pub const ENTER_CAME: &str = "Enter what came";
/// Way to the mending of an order.
pub const MEND: &str = "The hatchery says something new";
/// Way to the winter plan.
pub const TO_WINTER: &str = "How many, and for which day?";
/// Head of what was agreed.
pub const AGREED: &str = "What was agreed";
/// Head of what is due.
pub const DUE: &str = "What is due, and when";
/// Below it.
pub const DUE_SAYS: &str = "Common practice; the hatchery's own terms go before it. Whether animals of this kind may be brought in and kept is your state's or province's to say: ask before you pay.";
/// A day that is past.
pub const PAST: &str = "past";
/// Way to what may become of it.
pub const TO_TURNS: &str = "What if it comes late, short, or not at all?";
/// Name of that page.
pub const TURNS_TITLE: &str = "Late, short, or not at all";
/// Above its table.
pub const SIDE_BY_SIDE: &str = "The whole farm, side by side";
/// Heads of that table.
pub const HEADS: [&str; 7] =
    ["What happens", "Against as ordered", "Left, on average", "Stocked", "Catch", "Weight of one", "How closely"];
/// Below the table.
pub const TABLE_SAYS: &str = "Fewer animals are stocked thinner in all ponds. A deposit that is not paid back comes on top. Money is what is left after animals, feed, air and the catch, the mean of the past years.";
/// Head of what is said of a second order.
pub const SECOND: &str = "A second order";
/// Above the questions.
pub const ASK: &str = "Ask it your way";
/// Button.
pub const WORK_OUT: &str = "Look at the past years again";
/// How it is worked out.
pub const HOW: &str = "How it is worked out";
/// The method in words.
pub const METHOD: &str = "Every pond lives through the same past years as in the winter plan, once for each of these turns, with the same draws of what nobody knows of the animals: only the turn differs. Days of stocking are looked at week by week.";
/// Back to the order.
pub const TO_ORDER: &str = "Back to the order";
/// Name of the claim's page.
pub const CLAIM_TITLE: &str = "Claim sheet";
/// Way to it.
pub const TO_CLAIM: &str = "Claim sheet, to print or send";
/// Head of the claim on the order's page.
pub const CAME: &str = "What came of it";
/// Nothing came yet that could be claimed for.
pub const NOTHING_CAME: &str = "Nothing came yet that a claim could be made for. Enter what came, with your own count.";
/// Above the samples.
pub const SAMPLES: &str = "Samples as they were written down";
/// For a hand.
pub const SIGNED: &str = "Counted by, day and hour:";
/// What a claim rests on.
pub const CLAIM_SAYS: &str = "The range of the count holds ninety-five times in a hundred. Keep the dead, iced and bagged, the bags with their labels, and a photo of both until the hatchery has answered.";

/// The answer about one order.
pub fn headline(order: &Placed, came: Option<&Delivery>, today: Day) -> String {
    let number = grouped(order.count);
    let day = day_short(order.comes);
    match (came, order.said) {
        (Some(came), _) => format!("{} came on {}", grouped(came.claimed), day_short(came.on)),
        (None, Said::Lost) => format!("The {number} will not come"),
        (None, _) if order.comes < today => format!("{number} were to come on {day}: nothing is entered"),
        (None, Said::Asked) => format!("{number} are asked for {day}: not confirmed"),
        (None, Said::Confirmed) => match order.comes.0 - today.0 {
            0 => format!("{number} come today"),
            1 => format!("{number} come tomorrow"),
            days => format!("{number} come on {day}, in {days} days"),
        },
    }
}

/// What has changed since the order was first entered.
pub fn changed(order: &Placed) -> Option<String> {
    let (day, count) = order.first;
    let days = order.comes.0 - day.0;
    let mut said = Vec::new();
    if days != 0 {
        let apart = if days > 0 { "later" } else { "sooner" };
        let unit = if days.abs() == 1 { "day" } else { "days" };
        said.push(format!("{} {unit} {apart} than first agreed ({})", days.abs(), day_short(day)));
    }
    let missing = count - order.count;
    if missing > 0.0 {
        said.push(format!("{} fewer than the {} first ordered", grouped(missing), grouped(count)));
    } else if missing < 0.0 {
        said.push(format!("{} more than the {} first ordered", grouped(-missing), grouped(count)));
    }
    (!said.is_empty()).then(|| stopped(said.join("; ")))
}

fn whole_units(units: f64, currency: Currency) -> String {
    let coins = units * currency.coins_per_unit() as f64;
    money(coins, 1.0, currency)
}

/// What was agreed: name and value.
pub fn rows(order: &Placed, currency: Currency) -> Vec<(&'static str, String)> {
    let said = match order.said {
        Said::Asked => "asked for, not confirmed",
        Said::Confirmed => "confirmed",
        Said::Lost => "will not come",
    };
    let mut rows = vec![
        ("Hatchery", order.hatchery.clone()),
        ("Postlarvae", grouped(order.count)),
        ("Day", format!("{} {}, {said}", day_short(order.comes), order.comes.ymd().0)),
    ];
    if let (Some(each), Some(all)) = (order.per_1000, order.price()) {
        rows.push((
            "Price",
            format!("{} a thousand, {} in all", whole_units(each, currency), whole_units(all, currency)),
        ));
    }
    if let Some(deposit) = order.deposit {
        rows.push(("Paid down", whole_units(deposit, currency)));
    }
    rows.push((
        "A claim must reach them",
        match order.claim_h {
            Some(hours) => format!("within {}", hours_said(hours)),
            None => format!("ask: nothing is noted; {} is common", hours_said(CLAIM_USUAL_H)),
        },
    ));
    rows.push((
        "Papers promised",
        order.papers.clone().unwrap_or_else(|| "none noted: ask for health papers".to_owned()),
    ));
    rows
}

fn hours_said(hours: f64) -> String {
    if hours == 1.0 { "1 hour".to_owned() } else { format!("{hours:.0} hours") }
}

/// A step's own words.
pub fn step(step: Step) -> &'static str {
    match step {
        Step::Deposit => "The deposit is due.",
        Step::Papers => {
            "Ask for the health papers and the permit, if your state or province wants one; read what the terms say of dead and missing."
        }
        Step::Filter => "Start the biofilter: six weeks to run in, ammonia and nitrite read as it goes.",
        Step::Confirm => "Call the hatchery: day, hour, number, age, how warm and salty the bags' water is.",
        Step::Fill => "Tanks filled, free of chlorine, warmed and aired; netting in.",
        Step::Gear => "At hand: a scale for grams, sample nets and bowls, thermometers, pH and ammonia kits, salt.",
        Step::Count => "They come: count samples before they are shared out, note the dead, temper them slowly.",
    }
}

/// What happened, as the head of a row.
pub fn turn(kind: TurnKind) -> String {
    match kind {
        TurnKind::AsOrdered => "As ordered".to_owned(),
        TurnKind::Late(7) => "A week late".to_owned(),
        TurnKind::Late(days) => format!("{} weeks late", days / 7),
        TurnKind::Short(0.1) => "A tenth short".to_owned(),
        TurnKind::Short(0.25) => "A quarter short".to_owned(),
        TurnKind::Short(0.5) => "Half of it".to_owned(),
        TurnKind::Short(share) => format!("{:.0} % short", 100.0 * share),
        TurnKind::Lost => "Not at all".to_owned(),
    }
}

/// A row of the table.
pub fn turn_row(one: &Turn, as_ordered: f64, manner: Manner, currency: Currency) -> [String; 7] {
    let known = 0.02 * as_ordered.abs().max(1.0);
    let apart = money_apart(one.net_coins, as_ordered, known, currency);
    let against = match one.kind {
        TurnKind::AsOrdered => String::new(),
        // Judged by what stands in the table, so that no two like figures are told apart.
        _ if apart.abs() < 1.0 => "about the same".to_owned(),
        _ if apart > 0.0 => format!("{} more", money(apart, known, currency)),
        _ => format!("{} less", money(-apart, known, currency)),
    };
    let stocked = one.on.map_or("nothing".to_owned(), day_short);
    let left = money(one.net_coins, known, currency);
    let grown = |said: String| if one.on.is_some() { said } else { String::new() };
    // What it costs first: a phone shows no more without a sweep.
    [
        turn(one.kind),
        against,
        left,
        stocked,
        grown(mass(one.caught_kg, manner)),
        grown(animal(one.mean_weight_g, manner)),
        grown(density(one.per_ha, manner)),
    ]
}

/// The answer of the page of turns, in a sentence.
pub fn turns_headline(turns: &Turns, currency: Currency) -> String {
    let net = |wanted: TurnKind| turns.turns.iter().find(|one| one.kind == wanted).map(|one| one.net_coins);
    let Some(whole) = net(TurnKind::AsOrdered) else { return TURNS_TITLE.to_owned() };
    let known = 0.02 * whole.abs().max(1.0);
    let told = |kind: TurnKind| {
        let apart = money_apart(net(kind)?, whole, known, currency);
        let sum = money(apart.abs(), known, currency);
        let said = match apart {
            _ if apart.abs() < 1.0 => "about the same".to_owned(),
            _ if apart > 0.0 => format!("about {sum} more"),
            _ => format!("about {sum} less"),
        };
        Some(format!("{}: {said}", turn(kind)))
    };
    let kinds = [TurnKind::Late(14), TurnKind::Short(0.25), TurnKind::Lost];
    kinds.into_iter().filter_map(told).collect::<Vec<_>>().join(". ")
}

/// Until when a second order is worth it.
pub fn second(second: &Second, nursing_d: i32, loss_chance_most: f64) -> Vec<String> {
    let day = |on: Day| format!("{} {}", day_short(on), on.ymd().0);
    let comes = |on: Day| {
        if nursing_d > 0 {
            format!(
                "postlarvae that come by {}, raised {nursing_d} days and stocked by {}",
                day(on.plus(-nursing_d)),
                day(on)
            )
        } else {
            format!("juveniles stocked by {}", day(on))
        }
    };
    let Some(worth) = second.worth_until else {
        return vec!["On no day looked at does a second order bring in more than it lays out.".to_owned()];
    };
    let more = if worth == second.looked_until { " or later: no later day was looked at" } else { "" };
    let mut said = vec![format!("It brings in more than it lays out with {}{more}.", comes(worth))];
    match second.within_until {
        Some(within) if within < worth => said.push(format!(
            "To end below what was laid out no oftener than {}, it must be {}.",
            odds(loss_chance_most),
            comes(within)
        )),
        Some(_) => {}
        None => said.push(format!(
            "On none of these days does it keep to your limit of {} to end below what was laid out.",
            odds(loss_chance_most)
        )),
    }
    if nursing_d > 0 {
        said.push(format!(
            "Juveniles bought already nursed save the {nursing_d} days in the tanks, at their own price: ask again with what one of them costs."
        ));
    }
    said
}

/// Days of a season that is over before anything could grow.
pub fn from_years((n, first, last): (usize, i16, i16)) -> String {
    format!("From {n} past years, {first} to {last}.")
}

/// What may be claimed, in sentences; the first is the answer.
pub fn claim(claim: &Claim, now: Instant, zone: &Zone, manner: Manner, currency: Currency) -> Vec<String> {
    let mut said = Vec::new();
    match (claim.alive, claim.short) {
        (Some((alive, either_way)), Some(short)) if claim.is_told => {
            said.push(format!("{} fewer came alive than were paid for.", grouped(short.round())));
            if either_way.is_finite() {
                said.push(format!(
                    "Own count of the living: {}, more or less by {}.",
                    grouped(alive.round()),
                    grouped(either_way.round())
                ));
            }
        }
        (Some((_, either_way)), Some(short)) if short > 0.0 && either_way.is_finite() => said.push(format!(
            "{} seem to be missing, which lies within what the count may be off ({}): no claim for number rests on it.",
            grouped(short.round()),
            grouped(either_way.round())
        )),
        (Some((_, either_way)), Some(_)) if either_way.is_finite() => {
            said.push("As many came alive as were paid for.".to_owned())
        }
        (Some(_), _) => said.push(
            "One sample alone says nothing of how sure the count is: no claim for number rests on it.".to_owned(),
        ),
        (None, _) => said.push("They were not counted here: only the dead can be claimed for.".to_owned()),
    }
    if claim.dead > 0.0 {
        said.push(format!("Dead on arrival: {}.", grouped(claim.dead)));
    }
    if let Some(ordered) = claim.ordered.filter(|ordered| *ordered != claim.claimed) {
        said.push(format!("Ordered were {}, the paper says {}.", grouped(ordered), grouped(claim.claimed)));
    }
    if let (Some(worth), true) = (claim.worth, claim.is_told) {
        said.push(format!("At the price agreed the missing are worth {}.", whole_units(worth, currency)));
    }
    let until = crate::page_log::moment(claim.until, zone, manner);
    let left_h = (claim.until.0 - now.0) as f64 / 3600.0;
    let by = if claim.is_until_said { "by the terms of the order" } else { "as is common; the order names no time" };
    said.push(if left_h > 0.0 {
        format!("It must reach the hatchery by {until} ({by}): {} left.", crate::figures::span(left_h))
    } else {
        format!("The time for a claim ended at {until} ({by}). Tell them all the same.")
    });
    said
}

/// A line of the claim's sheet: name and value.
pub fn claim_rows(
    delivery: &Delivery,
    order: Option<&Placed>,
    came: Instant,
    zone: &Zone,
    manner: Manner,
) -> Vec<(&'static str, String)> {
    let mut rows = Vec::new();
    if let Some(order) = order {
        rows.push(("Hatchery", order.hatchery.clone()));
        rows.push((
            "Ordered",
            format!("{} for {} {}", grouped(order.count), day_short(order.comes), order.comes.ymd().0),
        ));
    }
    rows.push(("Came", crate::page_log::moment(came, zone, manner)));
    rows.push(("On the paper", grouped(delivery.claimed)));
    rows.push(("Dead on arrival", grouped(delivery.dead)));
    if let Some(papers) = &delivery.papers {
        rows.push(("Papers", papers.clone()));
    }
    rows
}

/// The whole answer about turns, for a terminal.
pub fn turns_page(turns: &Turns, nursing_d: i32, loss_chance_most: f64, manner: Manner, currency: Currency) -> String {
    let mut out = crate::morning::Lines::default();
    out.wrapped(&stopped(turns_headline(turns, currency)));
    out.blank();
    let whole = turns.turns.first().map_or(0.0, |one| one.net_coins);
    let mut line = |cells: [String; 7]| {
        let [what, against, left, stocked, caught, weight, density] = cells;
        let text = format!("  {what:<16}{against:<20}{left:>16}  {stocked:<12}{caught:>10}  {weight:<24}{density}");
        out.line(text.trim_end());
    };
    line(HEADS.map(str::to_owned));
    turns.turns.iter().for_each(|one| line(turn_row(one, whole, manner, currency)));
    out.blank();
    for said in second(&turns.second, nursing_d, loss_chance_most) {
        out.wrapped(&said);
    }
    out.wrapped(TABLE_SAYS);
    out.wrapped(METHOD);
    out.wrapped(&from_years(turns.years));
    out.text
}
