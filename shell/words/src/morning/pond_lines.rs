//! One pond's lines on the printed page: water now and to come, animals, hours.

use season::answer::{PondOutlook, TaughtBy};
use season::oxygen::Air;
use units::Day;

use super::lines::Lines;
use super::{band, in_hand};
use crate::figures::{Manner, animal, bare, clock, count, day_short, degrees, degrees_apart, depth, mass, odds, span};
use crate::oxygen;

/// Everything of one pond.
pub(super) fn pond_lines(out: &mut Lines, pond: &PondOutlook, on: Day, manner: Manner) {
    out.line(&format!("--- {} {}", pond.name, "-".repeat(68usize.saturating_sub(pond.name.chars().count()))));
    let measured = match &pond.measured {
        Some((_, depth_m, temp_c)) => {
            let end = if pond.measured_deep { "at the drain end" } else { "away from the drain end" };
            let hour = clock(pond.measured_clock_s, manner);
            format!("measured {} {end}, {} down, at {hour}", degrees(*temp_c, manner), depth(*depth_m, manner))
        }
        None => "not measured since yesterday".to_owned(),
    };
    out.line(&format!("Water now    {measured}"));
    out.line(&format!("             modelled {} at the bottom", degrees(pond.modelled_c, manner)));
    if let Some(taught) = &pond.taught {
        out.hanging("             ", &taught_by(taught, manner));
    }
    out.line(&format!(
        "{:<12} {:>7} {:<17} {:<18} below the cold mark",
        "Dawns", "likely", "(8 of 10)", "too cold to follow"
    ));
    for dawn in &pond.dawns {
        let between = format!("({} to {})", bare(dawn.water_c.low, manner), degrees(dawn.water_c.high, manner));
        let chance = |chance: f64| if chance > 0.0 { odds(chance) } else { "-".to_owned() };
        let (slow, mark) = (chance(dawn.slow_chance), chance(dawn.mark_chance));
        out.line(&format!(
            "  {} {:>7} {between:<17} {slow:<18} {mark}",
            day_short(dawn.day),
            degrees(dawn.water_c.middle, manner)
        ));
    }
    out.line(&format!("Animals      {} alive, as far as anyone can know", band(&pond.count, count)));
    out.line(&format!(
        "             mean {} ({} to {} g); most weigh {:.0} to {:.0} g",
        animal(pond.mean_weight_g.middle, manner),
        pond.mean_weight_g.low.round(),
        pond.mean_weight_g.high.round(),
        pond.animals_g.0,
        pond.animals_g.1
    ));
    out.line(&format!("             {} in all", band(&pond.mass_kg, |kg| mass(kg, manner))));
    out.hanging("Feed         ", &crate::feed::today(&pond.feed, manner));
    for said in oxygen_lines(pond, on, manner) {
        out.hanging("Oxygen       ", &said);
    }
    let told = if pond.lead_told { "as you remember it" } else { "reckoned from its shape and drain" };
    out.line(&format!("To empty     {}, {told}", span(pond.lead_h)));
    out.hanging("In hand      ", &in_hand(pond));
    out.blank();
}

/// Oxygen tonight, of a pond that needs somebody: air to be started or read for, a dawn that was too low, or a night that turns it over.
pub(super) fn oxygen_lines(pond: &PondOutlook, on: Day, manner: Manner) -> Vec<String> {
    let needs = !matches!(pond.oxygen.air, Air::Enough | Air::Unread);
    let low = oxygen::low_dawn(pond, manner);
    let tonight = needs.then(|| format!("tonight {}", oxygen::tonight(&pond.oxygen, on, manner)));
    let turned = oxygen::turned(&pond.oxygen, manner).map(|said| format!("if it turns over: {said}"));
    low.into_iter().chain(tonight).chain(turned).collect()
}

/// What the thermometer has taught, in a sentence.
pub(crate) fn taught_by(taught: &TaughtBy, manner: Manner) -> String {
    let (many, were) = match taught.met.len() {
        1 => ("one reading".to_owned(), "was"),
        many => (format!("{many} readings"), "were"),
    };
    let share = |share: f64| format!("{share:.2}");
    format!(
        "taught by {many}, which {were} {} off what was expected; of the station's wind {} reaches it ({} to {}; you said {})",
        degrees_apart(taught.off_c(), manner),
        share(taught.wind.middle),
        share(taught.wind.low),
        share(taught.wind.high),
        share(taught.wind_said)
    )
}

#[cfg(test)]
mod tests {
    use season::answer::Band;
    use season::oxygen::OxygenTonight;

    use super::*;
    use crate::morning::tests::pond;
    use crate::oxygen::tests::UNREAD;

    #[test]
    fn only_a_pond_that_needs_somebody_tonight_gets_a_line_of_oxygen() {
        let on = Day(14_999);
        let said = |air: Air| {
            let oxygen = OxygenTonight { air, ..UNREAD };
            oxygen_lines(&PondOutlook { oxygen, ..pond("Lower", 1.0, 1.0, 1.0) }, on, Manner::UsCustomary)
        };
        assert!(said(Air::Enough).is_empty() && said(Air::Unread).is_empty());
        let holds = Band { low: 3.4, middle: 4.2, high: 5.0 };
        for air in [Air::Start { by: (on, 22), holds }, Air::ReadAtDusk, Air::NoAerator { needed_kw: 1.0 }] {
            let lines = said(air);
            assert!(lines.len() == 1 && lines[0].starts_with("tonight "), "{lines:?}");
        }
        let mut low = pond("Lower", 1.0, 1.0, 1.0);
        low.feed.low_dawn_mg_l = Some(1.8);
        let lines = oxygen_lines(&low, on, Manner::Metric);
        assert!(lines.len() == 1 && lines[0].contains("oxygen was 1.8 mg/L at dawn"), "{lines:?}");
    }
}
