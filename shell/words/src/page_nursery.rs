//! What the page of the tanks says: what came, how it is shared out, feed and water of each tank, when they are ready, and what to do first when
//! something fails.

use season::nursery::{AMMONIA_MOST_MG_L, FREE_AMMONIA_MOST_MG_L, NITRITE_MOST_MG_L, Step};
use season::tanks::{Delivery, NurseryOutlook, READY_G, TankOutlook};
use units::{Currency, Day};

use crate::figures::{Manner, count, day_short, degrees, grouped, money};

mod cards;
mod filter;
mod moved;

pub use cards::CARDS;
pub use filter::{ripe, without};
pub use moved::moved;

/// Name of the page.
pub const TITLE: &str = "Tanks";
/// The farm names no tanks.
pub const NO_TANKS: &str = "No tanks are described yet. Name them in the set-up, with how much water each holds and how much netting hangs in it.";
/// Way to the set-up.
pub const TO_SETUP: &str = "Describe the tanks";
/// Way to the set-up of water for filling.
pub const TO_SETUP_WATER: &str = "Describe the water";
/// Way to the entry of a delivery.
pub const ENTER_DELIVERY: &str = "Enter what came";
/// Way to the entry of a reading.
pub const ENTER_READING: &str = "Log a reading";
/// Head of the delivery.
pub const CAME: &str = "What came";
/// Head of the sharing out.
pub const SHARED: &str = "Shared out over the tanks";
/// What it goes by.
pub const SHARED_SAYS: &str =
    "So that all sit equally close: by netting, bottom and walls. Count by weight or by bags, not by eye.";
/// Head of what was counted out.
pub const COUNTED_OUT: &str = "Graded and counted out";
/// What it does.
pub const COUNTED_OUT_SAYS: &str = "Each entry lowers its tank. Into a pond it is that pond's stocking, with the count's own doubt, and the pond's lot shows these tanks and their \
     delivery. Into the same tank it says what stays.";
/// Way to the entry of animals counted out of a tank.
pub const COUNT_OUT: &str = "Grade, count out";
/// Head of the tempering.
pub const TEMPER: &str = "Into the tank's water, slowly";
/// What it goes by.
pub const TEMPER_SAYS: &str = "At most 1 °C (2 °F) in ten minutes and half a pH in fifteen, twenty minutes at the least: float the bags, then blend. Common practice.";
/// Way to the sum that says whether they may go into the pond.
pub const MAY_THEY: &str = "May they go into the pond now?";
/// Head of the cards.
pub const MISHAPS: &str = "When something fails";
/// Rows of a tank.
pub const ANIMALS: &str = "Animals";
/// Weight of one.
pub const WEIGHT: &str = "Weight of one";
/// Feed of the day.
pub const FEED: &str = "Feed today";
/// Ammonia.
pub const AMMONIA: &str = "Ammonia";
/// Filter.
pub const FILTER: &str = "Filter and new water";
/// Whether the filter is ripe.
pub const RIPE: &str = "Is the filter ripe?";
/// Oxygen.
pub const OXYGEN: &str = "Oxygen used";
/// Heat.
pub const HEAT: &str = "Heat";
/// Ready.
pub const READY: &str = "Ready to stock";
/// How it is worked out.
pub const HOW: &str = "How it is worked out";
/// The method in words.
pub const METHOD: &str = "Growth follows the water's warmth and falls with crowding on the bottom; deaths rise with crowding on all that they can \
     sit on: our fit to published tank trials, weight within 30 %. Feed is a share of their weight that falls as they grow (recalled; watch what is \
     left over). A part of the feed's protein becomes ammonia; a ripe filter takes more the more there is, up to 0.6 grams to the square metre in a day. A \
     filter is called ripe by two clear readings two days apart or more: ammonia and nitrite both at half a milligram or less while there was something to take. Until \
     then nitrite peaks after ammonia: the second step ripens on what the first one makes. Its days may be off by half.";
/// Caution beside tanks.
pub const CARE: &str = "Water and electricity: unplug before you reach in, and keep every line on a breaker that trips on leakage (GFCI). A licensed \
     electrician does the wiring.";

/// The answer.
pub fn headline(nursery: &NurseryOutlook) -> String {
    let ready = nursery.tanks.iter().filter_map(|tank| tank.ready.0).max();
    let holds = nursery.tanks.iter().any(|tank| tank.held.count > 0.0);
    let troubled: Vec<&str> =
        nursery.tanks.iter().filter(|tank| is_troubled(tank)).map(|tank| tank.tank.name.as_str()).collect();
    match (holds, ready) {
        (false, _) if nursery.delivery.is_some() && !nursery.moves.is_empty() => "Every tank is counted out".to_owned(),
        (false, _) => "Nothing is in the tanks".to_owned(),
        (true, _) if !troubled.is_empty() => format!("Bad water: {}", troubled.join(", ")),
        (true, Some(day)) => format!("Ready to stock about {}", day_short(day)),
        (true, None) => "Not ready to stock within their days".to_owned(),
    }
}

/// Whether what was read last in a tank is beyond what should not be passed.
pub fn is_troubled(tank: &TankOutlook) -> bool {
    tank.read.ammonia_mg_l.is_some_and(|mg_l| mg_l > AMMONIA_MOST_MG_L)
        || tank.read.free_mg_l(tank.water_c).is_some_and(|mg_l| mg_l > FREE_AMMONIA_MOST_MG_L)
        || tank.read.nitrite_mg_l.is_some_and(|mg_l| mg_l > NITRITE_MOST_MG_L)
        || tank.read.oxygen_mg_l.is_some_and(|mg_l| mg_l < OXYGEN_LEAST_MG_L)
}

/// Oxygen that should not be undercut in a tank, mg/L: memory.
const OXYGEN_LEAST_MG_L: f64 = 4.0;

/// A delivery in sentences; the second is for the hatchery.
pub fn came(delivery: &Delivery) -> Vec<String> {
    let mut said = vec![format!("On {} {} were sold.", day_short(delivery.on), grouped(delivery.claimed))];
    match delivery.counted {
        Some(own) if own.either_way.is_finite() => said.push(format!(
            "Your own count is {}, more or less by {} ninety-five times in a hundred; {} came dead.",
            grouped(own.number.round()),
            grouped(own.either_way.round()),
            grouped(delivery.dead)
        )),
        Some(own) => said.push(format!(
            "Your own count is {} from one sample, which says nothing about how sure it is: count three or more.",
            grouped(own.number.round())
        )),
        None => said
            .push("They were not counted here: weigh and count a few samples before they are shared out.".to_owned()),
    }
    match delivery.short() {
        Some((short, true)) => said.push(format!(
            "{} fewer came alive than were paid for, more than the count may be off. Tell the hatchery today, with the samples and a \
             photo: most ask for it within hours.",
            grouped(short.round())
        )),
        Some((short, false)) if short > 0.0 => {
            said.push("What is missing lies within what the count may be off: no claim rests on it.".to_owned());
        }
        _ => {}
    }
    if let Some(papers) = &delivery.papers {
        said.push(format!("Papers: {papers}."));
    } else {
        said.push("No papers are noted: ask for the health papers, and keep them.".to_owned());
    }
    said
}

/// A delivery before the last one.
pub fn earlier(delivery: &Delivery) -> String {
    format!(
        "Earlier, on {}: {} were sold. The tanks' figures go by the last delivery alone.",
        day_short(delivery.on),
        grouped(delivery.claimed)
    )
}

/// A tank's rows.
pub fn rows(tank: &TankOutlook, manner: Manner, power: Option<(f64, Currency)>) -> Vec<(&'static str, String)> {
    let today = &tank.today;
    let grams = |kg: f64| if kg < 1.0 { format!("{:.0} g", 1000.0 * kg) } else { format!("{kg:.1} kg") };
    let mut rows = Vec::new();
    let held = &tank.held;
    if held.count > 0.0 {
        rows.push((ANIMALS, animals(tank)));
        let (low, high) = (0.7 * today.mean_weight_g, 1.3 * today.mean_weight_g);
        rows.push((WEIGHT, format!("{:.2} g ({low:.2} to {high:.2} g)", today.mean_weight_g)));
        rows.push((
            FEED,
            match is_troubled(tank) {
                true => "none until the water is good again".to_owned(),
                false => format!("{} in four meals or more, siphon what is left", grams(today.feed_kg)),
            },
        ));
        rows.push((READY, ready(tank)));
    }
    if held.count <= 0.0 && held.went > 0.0 {
        rows.push((ANIMALS, animals(tank)));
    }
    rows.push((AMMONIA, ammonia(tank, manner)));
    rows.extend(ripe(tank).map(|said| (RIPE, said)));
    if held.count > 0.0 {
        rows.push((FILTER, filter(tank, manner)));
    }
    if held.count > 0.0 {
        rows.push((OXYGEN, oxygen(tank)));
    }
    // What power costs is the owner's to read.
    let cost = power.filter(|(coins, _)| *coins > 0.0);
    let cost = cost.map_or(String::new(), |(coins, currency)| {
        let day = tank.heat_kwh * coins;
        format!(", {} a day", money(day, (0.05 * day).max(1.0), currency))
    });
    rows.push((
        HEAT,
        format!(
            "about {:.0} kWh a day{cost} to hold {} in a room of {}; a floating cover saves about half",
            tank.heat_kwh,
            degrees(tank.water_c, manner),
            degrees(20.0, manner)
        ),
    ));
    rows
}

/// Oxygen in a day: a quarter to a half of the feed's weight for the animals and what else breathes, 4.57 of each part of nitrogen for the filter
/// (recalled handbook figures; docs/model/nursery.md).
fn oxygen(tank: &TankOutlook) -> String {
    let filter_kg = 4.57 * tank.today.waste.nitrogen_kg;
    let grams = |share: f64| 1000.0 * (share * tank.today.feed_kg + filter_kg);
    format!(
        "about {} to {} g a day by animals and filter, up to {} g where feed rots: air for twice that, and a second blower",
        grouped(grams(0.25).round()),
        grouped(grams(0.5).round()),
        grouped(grams(1.0).round())
    )
}

fn animals(tank: &TankOutlook) -> String {
    let held = &tank.held;
    let went =
        if held.went > 0.0 { format!("; {} were counted out", grouped(held.went.round())) } else { String::new() };
    let many = match held.is_too_many {
        true => ". More was counted out than it can have held: look at the entries in the log",
        false => "",
    };
    if held.count <= 0.0 {
        return format!("none left{went}{many}");
    }
    let dead =
        if tank.read.dead > 0.0 { format!("; {} were seen dead", grouped(tank.read.dead)) } else { String::new() };
    let alive = tank.today.count.min((held.count - tank.read.dead).max(0.0));
    let about = grouped((alive / 10.0).floor() * 10.0);
    let either = held.either_way.filter(|either| *either >= 0.5);
    let either = either.map_or(String::new(), |either| format!(", more or less by {}", grouped(either.round())));
    match held.is_counted {
        true => {
            format!(
                "about {about} of {} counted {}{either}{dead}{went}{many}",
                grouped(held.count.round()),
                day_short(held.since)
            )
        }
        false if held.went > 0.0 => format!("about {about}{dead}{went}{many}"),
        false => format!("about {about} of {}{dead}{many}", grouped(held.count.round())),
    }
}

fn ready(tank: &TankOutlook) -> String {
    match tank.ready {
        (Some(likely), Some(late)) => {
            format!("at {READY_G} g, about {}; by {} if they grow a third slower", day_short(likely), day_short(late))
        }
        (Some(likely), None) => format!("at {READY_G} g, about {}; later if they grow slower", day_short(likely)),
        _ => format!("not at {READY_G} g within the days looked at: too many in the tank, or too cold"),
    }
}

fn ammonia(tank: &TankOutlook, manner: Manner) -> String {
    let read = &tank.read;
    let on = read.on.map_or(String::new(), |on| format!(" ({})", day_short(on)));
    let mut said = Vec::new();
    if let Some(mg_l) = read.ammonia_mg_l {
        said.push(format!("{mg_l:.2} mg/L read{on}"));
    }
    if let Some(free) = read.free_mg_l(tank.water_c) {
        said.push(format!("of it {free:.3} un-ionized"));
    }
    if let Some(mg_l) = read.nitrite_mg_l {
        said.push(format!("nitrite {mg_l:.2}"));
    }
    if let Some(mg_l) = read.oxygen_mg_l {
        said.push(format!("oxygen {mg_l:.1}"));
    }
    if let Some(c) = read.temp_c {
        said.push(degrees(c, manner));
    }
    if let Some(on) = read.unread {
        said.push(format!("an entry of {} holds a figure that cannot be read: mend it in the log", day_short(on)));
    }
    if read.temp_c.is_some_and(|c| c != tank.water_c) {
        said.push("no postlarva lives in that: look at the thermometer and the unit".to_owned());
    }
    if said.is_empty() {
        said.push("nothing was read yet".to_owned());
    }
    let what = match () {
        () if read.oxygen_mg_l.is_some_and(|mg_l| mg_l < OXYGEN_LEAST_MG_L) => {
            ". Oxygen is too low: more air now, and no feed until it is above 5"
        }
        () if is_troubled(tank) => {
            ". Too high: no feed today, change water at the tank's own warmth, and read again in two hours"
        }
        () => "",
    };
    format!("{}{what}", said.join(", "))
}

fn filter(tank: &TankOutlook, manner: Manner) -> String {
    let until = match tank.too_little_from {
        Some(day) => format!("enough until about {}, once the filter is ripe", day_short(day)),
        None => "enough to the end, once the filter is ripe".to_owned(),
    };
    let volume = |m3: f64| match manner {
        Manner::UsCustomary => format!("{} gallons", count(m3 * 264.172)),
        Manner::Metric => format!("{} litres", count(m3 * 1000.0)),
    };
    match tank.change_m3 {
        Some(m3) if m3 > 1.05 * tank.tank.changed_m3_d + 1e-6 => {
            format!("{until}; today's feed wants {} of new water", volume(m3))
        }
        Some(_) => until,
        None => format!("{until}; the new water holds too much ammonia itself"),
    }
}

/// A step of the tempering.
pub fn step(step: &Step, manner: Manner) -> String {
    let ph = step.ph.map_or(String::new(), |ph| format!(", pH {ph:.1}"));
    format!("after {:.0} minutes {}{ph}", step.at_min, degrees(step.temp_c, manner))
}

/// What stands under the heading when animals are in the tanks.
pub fn since(delivery: &Delivery, today: Day) -> String {
    format!("Day {} in the tanks.", today.0 - delivery.on.0)
}
