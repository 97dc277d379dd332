//! What the page of a pond's stocking day says: may they go in, what it goes by, how slowly.

use season::chemistry::{AMMONIA_AGE_D, PH_AGE_D, Read};
use season::farm::Farm;
use season::stocking_day::{MORNINGS, StockingDay};
use season::sums::{Weight, Worked};
use season::tanks::TankOutlook;
use units::{Day, Instant, Zone};

use crate::figures::{Manner, bare, clock, day_short, degrees, odds};

/// Name of the page, and the way to it.
pub const CAN_THEY: &str = "Can they go in?";
/// Head of the coming mornings.
pub const MORNINGS_TITLE: &str = "The coming mornings at the bottom";
/// Heads of their table.
pub const MORNING_HEADS: [&str; 3] = ["Morning", "Water at dawn", "Too cold"];
/// Head of what it goes by.
pub const GOES_BY: &str = "What this goes by";
/// Head of the tempering.
pub const TEMPER: &str = "Into the pond's water, slowly";
/// Head of the questions.
pub const ASK: &str = "From where, and did you seine?";
/// Question for the tank.
pub const FROM: &str = "Which water do they come from?";
/// Bags or a hauling tank.
pub const BAG: &str = "Bags or hauling tank";
/// Question for fish.
pub const FISH: &str = "Did a seine show fish in the pond?";
/// Way to the entry of what the seine showed.
pub const SEINED: &str = "Enter what the seine showed: fish, and how many, 0 for none";
/// Button.
pub const ANEW: &str = "Work it out";
/// Way to the sum with all values filled in.
pub const SUM: &str = "See the sum, and change a figure";
/// Way to the entry of a count out of a tank.
pub const COUNT_OUT: &str = "They go in: count them out of a tank";
/// Way to the entry of a stocking.
pub const ENTER: &str = "They go in: enter the stocking";
/// Way to a reading.
pub const READ: &str = "Log a reading of this pond";
/// The pond holds animals.
pub const STOCKED: &str = "This pond holds animals already.";
/// Warmth of bags on the road, °C, where nobody read them.
pub const BAG_C: f64 = 22.0;
/// Oxygen of this many days ago is no longer this morning's, d.
const OXYGEN_AGE_D: f64 = 1.5;
/// How it is worked out.
pub const METHOD: &str = "The pond's water is followed from three weeks back, drawn to its thermometer, and on under every future that the forecast and past years \
     leave open. The rule is asked about the coldest morning: of those to come, what one in ten lies below; or a colder one that was read in the last three days. \
     The rule itself is the sum of the same name, and no other.";

/// Answers to the question about fish, as the sum knows them.
pub const FISH_WORDS: [(&str, &str); 3] = [("none", "None"), ("some", "Some"), ("not-looked", "Not looked yet")];

/// Where a value comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// The sum's name for it.
    pub name: &'static str,
    /// As one types it; empty where it is not known.
    pub typed: String,
    /// What it is.
    pub what: &'static str,
    /// Value and where it is from.
    pub said: String,
    /// It is missing, or too old to go by.
    pub is_weak: bool,
}

/// A tank, or bags, as what they come from.
pub fn tank_c(tank: Option<&TankOutlook>) -> f64 {
    tank.map_or(BAG_C, |tank| tank.water_c)
}

/// Every value of the sum from the pond's forecast and record.
pub fn filled(
    of: &StockingDay,
    farm: &Farm,
    tank: Option<&TankOutlook>,
    (fish, seined): (&str, Option<Day>),
    manner: Manner,
) -> Vec<Filled> {
    let zone = &farm.place.zone;
    let (chemistry, oxygen) = (&of.chemistry, of.oxygen);
    let mut all = Vec::new();
    if let Some((c, morning)) = of.dawn_c() {
        let from = match (morning, of.dawn_read) {
            (None, Some(read)) => format!("as read {}", moment(read.at, zone, manner)),
            (Some(day), _) => format!("one future in ten is colder, {}: {}", day_short(day), spoken(of, zone, manner)),
            _ => String::new(),
        };
        all.push(Filled {
            name: "dawn",
            typed: warmth(c, manner),
            what: "Coldest dawn",
            said: format!("{}; {from}", degrees(c, manner)),
            is_weak: false,
        });
    }
    let (water_c, ph) = (tank_c(tank), tank.and_then(|tank| tank.read.ph));
    let from = match tank {
        None => "usual on the road: read it in the bag".to_owned(),
        Some(tank) => match (tank.read.temp_c, tank.read.on) {
            (Some(_), Some(on)) => format!("{}, as read by {}", tank.tank.name, day_short(on)),
            _ => format!("{}, as it is kept: not read", tank.tank.name),
        },
    };
    all.push(Filled {
        name: "tank",
        typed: warmth(water_c, manner),
        what: "Their own water",
        said: format!("{}; {from}", degrees(water_c, manner)),
        is_weak: tank.is_none_or(|tank| tank.read.temp_c.is_none()),
    });
    let afternoon = chemistry.afternoon_ph;
    let ph_read = afternoon.or(chemistry.ph);
    let kind = if afternoon.is_some() { "" } else { "; not of a recent afternoon, when it is highest" };
    all.push(value("ph", "pH", ph_read, |v| format!("{v:.1}"), (PH_AGE_D, kind), (zone, manner)));
    all.last_mut().expect("just put").is_weak |= afternoon.is_none();
    if let Some(ph) = ph {
        let typed = format!("{ph:.1}");
        let said = format!("{typed}; {}", tank.map_or("", |tank| tank.tank.name.as_str()));
        all.push(Filled { name: "tank_ph", typed, what: "pH of their own water", said, is_weak: false });
    }
    let total = chemistry.ammonia.map(|ammonia| ammonia.total);
    all.push(value("ammonia", "Total ammonia", total, mg_l, (AMMONIA_AGE_D, ""), (zone, manner)));
    let kind = if of.is_oxygen_of_dawn { "" } else { "; not of a dawn, when it is lowest" };
    all.push(value("oxygen", "Oxygen", oxygen, mg_l, (OXYGEN_AGE_D, kind), (zone, manner)));
    all.last_mut().expect("just put").is_weak |= !of.is_oxygen_of_dawn;
    let fish_said = FISH_WORDS.iter().find(|(word, _)| *word == fish).unwrap_or(&FISH_WORDS[2]);
    all.push(Filled {
        name: "fish",
        typed: fish_said.0.to_owned(),
        what: "Wild fish",
        said: match seined {
            Some(on) => format!("{}; as entered for {}", fish_said.1.to_lowercase(), day_short(on)),
            None => fish_said.1.to_lowercase(),
        },
        is_weak: fish_said.0 == "not-looked",
    });
    all
}

fn mg_l(value: f64) -> String {
    format!("{value:.2} mg/L")
}

/// A temperature as one types it.
fn warmth(celsius: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{} F", bare(celsius, manner)),
        Manner::Metric => format!("{} C", bare(celsius, manner)),
    }
}

fn value(
    name: &'static str,
    what: &'static str,
    read: Option<Read>,
    typed: impl Fn(f64) -> String,
    (age_most_d, kind): (f64, &str),
    (zone, manner): (&Zone, Manner),
) -> Filled {
    let Some(read) = read else {
        return Filled {
            name,
            typed: String::new(),
            what,
            said: "never read: read it first".to_owned(),
            is_weak: true,
        };
    };
    let is_old = read.age_d > age_most_d;
    let old = if is_old { "; too long ago: read it again" } else { "" };
    let typed = typed(read.value);
    let said = format!("{typed}; read {}{kind}{old}", moment(read.at, zone, manner));
    Filled { name, typed, what, said, is_weak: is_old }
}

fn moment(at: Instant, zone: &Zone, manner: Manner) -> String {
    let (day, second) = zone.day_and_second(at);
    format!("{} at {}", day_short(day), clock(second, manner))
}

/// Which forecast the mornings rest on.
fn spoken(of: &StockingDay, zone: &Zone, manner: Manner) -> String {
    match of.forecast {
        Some(issued) => format!("forecast of {} and past years", moment(issued, zone, manner)),
        None => "past years alone, no forecast".to_owned(),
    }
}

/// What the water of the mornings rests on.
pub fn rests_on(of: &StockingDay, farm: &Farm, manner: Manner) -> String {
    let taught = match of.is_taught {
        true => "drawn to this pond's own thermometer",
        false => "no thermometer of this pond has been read of late: read it at dawn, by the drain",
    };
    crate::figures::stopped(format!("{}; {taught}", capital(&spoken(of, &farm.place.zone, manner))))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// The rows of the coming mornings.
pub fn mornings(of: &StockingDay, manner: Manner) -> Vec<[String; 3]> {
    let row = |dawn: &season::stocking_day::MorningWater| {
        let band = &dawn.water_c;
        let likely =
            format!("{} ({} to {})", degrees(band.middle, manner), bare(band.low, manner), bare(band.high, manner));
        let cold = if dawn.cold_chance < 0.01 { "-".to_owned() } else { odds(dawn.cold_chance) };
        [day_short(dawn.day), likely, cold]
    };
    of.dawns.iter().map(row).collect()
}

/// What the mornings say, in a sentence.
pub fn mornings_say(of: &StockingDay, manner: Manner) -> String {
    let coldest = of.dawns.iter().map(|dawn| dawn.water_c.middle).fold(f64::INFINITY, f64::min);
    let warm = of.dawns.iter().filter(|dawn| dawn.cold_chance < 0.1).count();
    format!(
        "The coldest of the next {MORNINGS} likely has {}; {warm} of them stay at {} or more in nine futures of ten.",
        degrees(coldest, manner),
        degrees(20.0, manner)
    )
}

/// May they go in?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum May {
    /// It kills.
    No,
    /// Something must be read first.
    Unknown,
    /// They can, and had better wait.
    Wait,
    /// Yes.
    Yes,
}

/// The answer from the sum's remarks, and from what is missing.
pub fn may(worked: Option<&Worked>, filled: &[Filled]) -> May {
    let has = |weight: Weight| worked.is_some_and(|worked| worked.remarks.iter().any(|one| one.weight == weight));
    match () {
        () if has(Weight::Stop) => May::No,
        () if worked.is_none() || filled.iter().any(|one| one.is_weak && one.name != "tank") => May::Unknown,
        () if has(Weight::Watch) => May::Wait,
        () => May::Yes,
    }
}

/// The headline.
pub fn headline(may: May, pond: &str) -> String {
    match may {
        May::No => format!("{pond}: do not stock"),
        May::Unknown => format!("{pond}: read first, then say"),
        May::Wait => format!("{pond}: wait if you can"),
        May::Yes => format!("{pond}: they can go in"),
    }
}

/// What is to be read first, in a sentence; `None` when all is known.
pub fn missing(filled: &[Filled]) -> Option<String> {
    let weak: Vec<&str> = filled.iter().filter(|one| one.is_weak && one.name != "tank").map(|one| one.what).collect();
    (!weak.is_empty())
        .then(|| format!("Not known well enough: {}.", weak.join(", ").to_lowercase().replace("ph", "pH")))
}

/// How long it takes: by tomorrow's water, and at the coldest that this goes by.
pub fn minutes(worked: &Worked, of: &StockingDay, steps_min: f64, manner: Manner) -> Option<String> {
    let hours = worked.answers.iter().find(|line| line.key == "minutes")?.value;
    let (first, (coldest_c, _)) = (of.dawns.first()?, of.dawn_c()?);
    Some(format!(
        "Into {}, as tomorrow's dawn likely is: {steps_min:.0} minutes or more. At the coldest this goes by, {}: at least {:.0}.",
        degrees(first.water_c.middle, manner),
        degrees(coldest_c, manner),
        (60.0 * hours).ceil()
    ))
}

/// Where a value of the filled sum is from, above its form.
pub fn filled_from(pond: &str, on: Day) -> String {
    format!("Filled in for {pond} on {}; change what you know better:", day_short(on))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled(weak: &[&'static str]) -> Vec<Filled> {
        let one = |name: &'static str| Filled {
            name,
            typed: String::new(),
            what: "pH",
            said: String::new(),
            is_weak: weak.contains(&name),
        };
        ["dawn", "tank", "ph", "fish"].map(one).into()
    }

    fn worked(typed: &[(&str, &str)]) -> Worked {
        let sum = season::sums::sum("stocking").expect("the sum");
        sum.work(&sum.read(typed).expect("it reads"))
    }

    #[test]
    fn what_kills_is_refused_even_where_something_is_not_known() {
        let cold = worked(&[("dawn", "15 C"), ("tank", "24 C"), ("ph", "8"), ("fish", "none")]);
        let good = worked(&[("dawn", "22 C"), ("tank", "24 C"), ("ph", "8"), ("fish", "none")]);
        let cool = worked(&[("dawn", "18 C"), ("tank", "22 C"), ("ph", "8"), ("fish", "none")]);
        assert_eq!(may(Some(&cold), &filled(&["ph"])), May::No);
        assert_eq!(may(Some(&good), &filled(&["ph"])), May::Unknown);
        assert_eq!(may(Some(&good), &filled(&["tank"])), May::Yes, "a tank's own figure stands in");
        assert_eq!(may(Some(&cool), &filled(&[])), May::Wait);
        assert_eq!(may(None, &filled(&[])), May::Unknown);
        assert_eq!(missing(&filled(&["ph"])), Some("Not known well enough: pH.".to_owned()));
    }
}
