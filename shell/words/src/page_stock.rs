//! What is in a pond, in words: number, weights, sizes, how it is come by; and a sample as it was weighed.

use season::answer::{Band, PondOutlook};
use season::crops::CropMet;
use season::grow::Form;
use season::in_pond::{InPond, SampleMet, SizeBand};
use season::sampling::SampleTold;

use crate::figures::{Manner, animal, count, day, day_short, mass};
use crate::page_explain::{Behind, Explained, OF_CROP};

/// Caption of the forms.
pub const FORMS: &str = "By sex and form";
/// Column heads of the forms.
pub const FORM_HEADS: [&str; 2] = ["Form", "Of 100 animals"];
/// Column heads of the sizes.
pub const SIZE_HEADS: [&str; 3] = ["One weighs", "Of 100 animals", "Of 100 pounds"];
/// The same in kilograms.
pub const SIZE_HEADS_METRIC: [&str; 3] = ["One weighs", "Of 100 animals", "Of 100 kg"];
/// Way to the samples.
pub const TO_SAMPLES: &str = "The samples, one by one";
/// Title of the page of samples.
pub const SAMPLES: &str = "Samples";
/// When there is none.
pub const NO_SAMPLES: &str = "No sample has been weighed in this pond since it was stocked.";
/// Way to a new sample.
pub const WEIGH: &str = "Weigh a sample";
/// Label of the wanted precision.
pub const WITHIN: &str = "How near should the mean be?";
/// Precisions offered, in 100.
pub const WITHINS: [u32; 4] = [3, 5, 10, 15];
/// Button beside it.
pub const SHOW: &str = "Show";
/// Caption of a sample's sizes.
pub const CLASSES: &str = "As weighed, by size";
/// Heads of a sample's sizes.
pub const CLASS_HEADS: [&str; 3] = ["One weighs", "Animals", "Of the weight"];
/// Above the crops that came out.
pub const CROPS: &str = "Expected, and what came";
/// How the estimate is made.
pub const OF_STOCK: &str = "A thousand possible ponds, weighed again by everything seen (a particle filter after Chopin 2002). On made-up ponds whose truth \
    is known its bands hold 8 in 10.";
/// On every page that shows it.
pub const NOT_NUMBERS: &str =
    "Weights tell how heavy they are, not how many there are. How many is seen when the pond is drained.";

fn about(of: &Band, say: impl Fn(f64) -> String) -> String {
    format!("{} ({} to {})", say(of.middle), say(of.low), say(of.high))
}

/// Alive.
pub fn alive(of: &InPond) -> String {
    about(&of.number, count)
}

/// Mean weight.
pub fn weight(of: &InPond, manner: Manner) -> String {
    let mean = &of.mean_weight_g;
    format!("{} (mean {} to {} g)", animal(mean.middle, manner), mean.low.round(), mean.high.round())
}

/// Mass.
pub fn in_all(of: &InPond, manner: Manner) -> String {
    about(&of.mass_kg, |kg| mass(kg, manner))
}

fn in_hundred(of: &Band) -> String {
    about(of, |share| format!("{:.0}", 100.0 * share))
}

/// One row of the size classes.
pub fn size_row(of: &SizeBand) -> [String; 3] {
    [class(of.from_g, of.to_g), in_hundred(&of.number_fraction), in_hundred(&of.weight_fraction)]
}

fn class(from_g: f64, to_g: f64) -> String {
    match (from_g > 0.0, to_g.is_finite()) {
        (false, true) => format!("under {to_g:.0} g"),
        (true, false) => format!("{from_g:.0} g and more"),
        (false, false) => "any".to_owned(),
        (true, true) => format!("{from_g:.0} to {to_g:.0} g"),
    }
}

/// One row of the forms.
pub fn form_row((form, share): &(Form, Band)) -> [String; 2] {
    let name = match form {
        Form::VirginFemale => "Females, virgin",
        Form::ReproductiveFemale => "Females, berried or open",
        Form::OrangeClaw => "Males, orange claw",
        Form::SmallMale => "Males, small",
        Form::BlueClaw => "Males, blue claw",
    };
    [name.to_owned(), in_hundred(share)]
}

/// A sample beside what was expected of it.
pub fn sample_met(of: &SampleMet) -> String {
    let (low, high) = (of.expected_g.low.round(), of.expected_g.high.round());
    let met = format!(
        "{}: {:.1} g, of {}; expected {low} to {high} g.",
        day_short(of.on),
        of.seen_g,
        count(f64::from(of.counted))
    );
    match of.outside() {
        far if far > 1.0 => {
            format!("{met} So far off that it may be mistyped: it counts for little until you look at it.")
        }
        far if far > 0.0 => format!("{met} A surprise: the estimate has moved towards it."),
        _ => met,
    }
}

/// A crop beside what was expected.
pub fn crop_met(of: &CropMet, manner: Manner) -> String {
    let [number, weight, kg] = &of.expected;
    let from = if of.is_seen { "from all that was recorded of it" } else { "from its stocking alone" };
    let mut said = format!(
        "Out on {}: {} came; expected {}, {from}.",
        day(of.out),
        mass(of.came_kg, manner),
        about(kg, |kg| mass(kg, manner))
    );
    if let Some(came) = of.came_count {
        let alive = 100.0 * came / of.stocked_count.max(1.0);
        said += &format!(
            " {} animals came, {alive:.0} in 100 of those stocked; expected {}.",
            count(came),
            about(number, count)
        );
    }
    if let Some(came_g) = of.came_g {
        said += &format!(" They weighed {came_g:.1} g; expected {:.0} to {:.0} g.", weight.low, weight.high);
    }
    said
}

/// What was seen of the animals, in a sentence.
pub fn seen(of: &InPond) -> String {
    let many = |n: usize, one: &str, several: &str| match n {
        1 => format!("1 {one}"),
        n => format!("{n} {several}"),
    };
    let mut parts = Vec::new();
    if !of.samples.is_empty() {
        parts.push(many(of.samples.len(), "sample weighed", "samples weighed"));
    }
    if of.looks.0 > 0 {
        parts.push(format!("{} for dead, {} seen", many(of.looks.0, "look", "looks"), count(of.looks.1)));
    }
    if of.feeds > 0 {
        parts.push(many(of.feeds, "feed looked at", "feeds looked at"));
    }
    if of.crops_taught > 0 {
        parts.push(many(of.crops_taught, "weighed crop of this farm", "weighed crops of this farm"));
    }
    if parts.is_empty() {
        "Nothing has been seen of these animals since they were stocked.".to_owned()
    } else {
        format!("From {}.", parts.join("; "))
    }
}

/// What was caught of them so far, where anything was.
pub fn taken(of: &InPond, manner: Manner) -> Option<String> {
    let one = |(on, kg): &(units::Day, f64)| format!("{} on {}", mass(*kg, manner), day(*on));
    let all: Vec<String> = of.taken.iter().map(one).collect();
    (!all.is_empty()).then(|| format!("Caught so far: {}. It is off the figures here.", all.join(", ")))
}

impl Behind<'_> {
    /// The number.
    pub fn in_pond_number(&self, pond: &PondOutlook) -> Explained {
        let of = &pond.stock;
        Explained {
            how: format!(
                "Those stocked, less the deaths that such ponds have shown by this day and less what was caught; the count may be off by a tenth. {NOT_NUMBERS} Dead that \
                 were seen, and feed that was left, narrow it a little. In brackets: 8 in 10 lie between."
            ),
            from: vec![
                self.stocked(pond),
                ("seen", seen(of)),
                ("alive of 100 stocked", in_hundred(&of.alive_fraction)),
            ],
            method: OF_STOCK,
            off: off(of),
        }
    }

    /// Weight, sizes and mass.
    pub fn in_pond_weight(&self, pond: &PondOutlook) -> Explained {
        let of = &pond.stock;
        Explained {
            how: "Growth by the warmth of every day since stocking, drawn towards the samples; a gear may take heavier or lighter animals than the pond holds, \
                by a tenth or more, however many are weighed. Mass is number times weight. In brackets: 8 in 10 lie between."
                .to_owned(),
            from: vec![
                self.stocked(pond),
                ("seen", seen(of)),
                ("growth against the usual", about(&of.growth_factor, |factor| format!("{factor:.2}"))),
                self.weather(),
            ],
            method: OF_CROP,
            off: off(of),
        }
    }
}

fn off(of: &InPond) -> String {
    match of.crops.last() {
        Some(crop) => crop_met(crop, Manner::Metric),
        None => "No crop of this pond has been weighed yet: the catch will tell.".to_owned(),
    }
}

/// A sample in a sentence.
pub fn told(of: &SampleTold) -> String {
    let mut said = format!("{} animals, mean {:.1} g", of.counted, of.mean_g);
    if let Some(either) = of.either_way_g {
        said += &format!(
            ": between {:.1} and {:.1} g, 95 times in 100, for animals that this gear takes",
            of.mean_g - either,
            of.mean_g + either
        );
    }
    let spread = format!("{:.0} % of the mean", 100.0 * of.spread_fraction);
    let own = if of.is_usual_spread { "taken as usual, since they were not weighed one by one" } else { "as weighed" };
    format!("{said}. They differ by {spread} (coefficient of variation), {own}.")
}

/// How many more to weigh.
pub fn more(of: &SampleTold, within: u32) -> String {
    let needed = of.needed(f64::from(within) / 100.0);
    match needed.saturating_sub(of.counted) {
        0 => format!("Enough for the mean within {within} % either way: {needed} would do."),
        more => format!("For the mean within {within} % either way weigh {more} more, {needed} in all."),
    }
}

/// What a gear favours: a warning beside every sample.
pub fn gear(caught_by: &str) -> &'static str {
    match caught_by {
        "seine" => {
            "Seine: slow, soft and hiding animals escape it; it has read high in other ponds. Same net, same place, same hour, each time."
        }
        "cast net" => {
            "Cast net: it takes what is active where it falls, and has read a tenth low in shrimp ponds. Same net, same places, same hour, each time."
        }
        "trap" => {
            "Trap: it takes hungry animals, and large males keep others out. A second gear tells more than more traps."
        }
        "hand" => {
            "By hand: it takes what sits at the edge. A second gear tells more than more animals from the same place."
        }
        _ => "How they were caught is not told: each gear takes some animals more than others.",
    }
}

/// One row of a sample's sizes.
pub fn class_row(&(from_g, to_g, animals, share): &(f64, f64, usize, f64)) -> [String; 3] {
    [class(from_g, to_g), animals.to_string(), format!("{:.0} in 100", 100.0 * share)]
}

/// Animals of a sample by form, in a sentence.
pub fn forms_told(forms: &[u32; 6]) -> String {
    let [blue, orange, small, virgin, berried, open] = forms;
    format!(
        "Males: {blue} blue claw, {orange} orange claw, {small} small. Females: {virgin} virgin, {berried} berried, {open} open."
    )
}

/// A precision offered.
pub fn within(within: u32) -> String {
    format!("within {within} %")
}

#[cfg(test)]
mod tests {
    use super::*;
    use season::farm::facts::Weighing;
    use season::sampling::sample_told;

    #[test]
    fn a_sample_says_how_many_more() {
        let told_ = sample_told(&Weighing::default(), Some((21.0, 50)), &[]).expect("a mean");
        assert!(more(&told_, 5).contains("more"), "{}", more(&told_, 5));
        assert!(more(&told_, 15).starts_with("Enough"), "{}", more(&told_, 15));
        assert!(told(&told_).contains("taken as usual"), "{}", told(&told_));
    }

    #[test]
    fn a_far_sample_is_questioned_and_a_near_one_is_not() {
        let met = |seen_g: f64| SampleMet {
            on: units::Day(15_000),
            seen_g,
            counted: 50,
            expected_g: Band { low: 20.0, middle: 25.0, high: 31.0 },
        };
        assert!(sample_met(&met(250.0)).contains("mistyped"));
        assert!(sample_met(&met(33.0)).contains("surprise"));
        assert!(sample_met(&met(26.0)).ends_with("expected 20 to 31 g."));
    }

    #[test]
    fn size_classes_name_their_edges() {
        let share = Band { low: 0.2, middle: 0.254, high: 0.31 };
        let row = |from_g: f64, to_g: f64| {
            size_row(&SizeBand { from_g, to_g, number_fraction: share, weight_fraction: share })
        };
        assert_eq!(row(0.0, 22.0), ["under 22 g", "25 (20 to 31)", "25 (20 to 31)"]);
        assert_eq!(row(22.0, 45.0)[0], "22 to 45 g");
        assert_eq!(row(45.0, f64::INFINITY)[0], "45 g and more");
    }
}
