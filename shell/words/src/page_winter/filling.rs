//! Water for filling, source by source: how long it takes, whether it may be drawn, what it carries.

use season::farm::{Source, SourceKind};
use season::filling::{FillPlan, LONGEST_D, SEEPAGE_MM_D};

use crate::figures::{Manner, count};

/// Head of the part.
pub const FILLING: &str = "Filling the pond";
/// No source is described.
pub const NO_SOURCE: &str = "How long filling takes is not told: describe in the set-up where the water comes from and how much it gives (`[[source]]` in the farm file).";
/// What holds for every source.
pub const FISH_LAST: &str = "A week before stocking seine the whole pond three times, and look by lamp after dark along the edge. Do not stock a pond that has fish: \
     drain it and fill again, or have it treated by one who is licensed to.";
/// Where the figures come from.
pub const FILLING_SAYS: &str = "Evaporation by Hargreaves from this place's climate; a quarter inch (6 mm) a day seeps; rain is not counted on. What sources carry: common practice.";

/// How many days before stocking filling begins at the latest, where it must be full when it is fertilized, d.
const FULL_BEFORE_D: f64 = 14.0;

/// Days before stocking on which filling begins, with this plan: the usual, or earlier for a slow source.
pub fn begins_before_d(plan: Option<&FillPlan>, usual_d: i32) -> i32 {
    let days = plan.and_then(FillPlan::quickest_d);
    days.map_or(usual_d, |days| usual_d.max((FULL_BEFORE_D + days).ceil() as i32))
}

/// The rows: first the water it takes, then each source: its name, its time, and what to mind of it.
pub fn filling_rows(plan: &FillPlan, manner: Manner) -> Vec<(String, String, Option<String>)> {
    let (evaporates, seeps) = match manner {
        Manner::UsCustomary => {
            (format!("{:.2} in", plan.evaporation_mm_d / 25.4), format!("{:.2} in", SEEPAGE_MM_D / 25.4))
        }
        Manner::Metric => (format!("{:.0} mm", plan.evaporation_mm_d), format!("{SEEPAGE_MM_D:.0} mm")),
    };
    let water =
        format!("{}; {evaporates} a day evaporates then, {seeps} seeps (our guess)", volume(plan.volume_m3, manner));
    let mut rows = vec![("Water it takes".to_owned(), water, None)];
    for filling in &plan.by_source {
        let lost = format!("{} of it lost on the way", volume(filling.lost_m3, manner));
        let time = match filling.days {
            Some(days) if days < 1.0 => format!("within a day, {lost}"),
            Some(days) if days < 1.5 => format!("about a day, {lost}"),
            Some(days) => format!("about {days:.0} days, {lost}"),
            None => {
                format!("never full within {LONGEST_D:.0} days: evaporation and seepage take what it gives, or nearly")
            }
        };
        rows.push(match &filling.source {
            Some(source) => (
                format!("{}, {}", source.name, kind(source.kind)),
                format!("{time}, at {} for {:.0} h a day.", flow(source, manner), source.hours_per_day),
                Some(format!("{} {}", drawn(source), carries(source.kind))),
            ),
            None => ("All that are not forbidden, together".to_owned(), format!("{time}."), None),
        });
    }
    rows
}

fn volume(m3: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary if m3 > 600.0 => format!("{:.2} acre-feet", m3 / 1233.48),
        Manner::UsCustomary => format!("{} gallons", count(m3 * 264.172)),
        Manner::Metric => format!("{} m³", count(m3)),
    }
}

fn flow(source: &Source, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{} gallons a minute", count(source.rate_m3_h * 264.172 / 60.0)),
        Manner::Metric => format!("{} m³/h", count(source.rate_m3_h)),
    }
}

fn kind(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::River => "river or creek",
        SourceKind::Well => "well",
        SourceKind::Pond => "another pond",
        SourceKind::Runoff => "runoff",
    }
}

/// Whether it may be drawn: what was told, and whose word it is.
fn drawn(source: &Source) -> &'static str {
    match source.may_be_drawn {
        Some(true) => "You noted that it may be drawn; your authority for water has the last word.",
        Some(false) => "You noted that it may not be drawn: leave it.",
        None => "Whether it may be drawn is not noted: ask your authority for water first, and note its answer.",
    }
}

/// What it brings along, and what helps.
fn carries(kind: SourceKind) -> &'static str {
    match kind {
        SourceKind::River => {
            "It carries wild fish with eggs and fry, insects and silt: only through a fine sock (half a millimetre or finer), looked at daily and mended, never round it; \
             not while it runs brown or after fields above were sprayed."
        }
        SourceKind::Well => {
            "It brings no fish, but hardly any oxygen, gas and often iron: let it fall over boards or a screen, let rust settle, and test hardness, ammonia and pH before you rely on it. \
             It may be cold."
        }
        SourceKind::Pond => {
            "It carries that pond's fish, eggs, sickness and bloom: through a fine sock (half a millimetre or finer), and not from a pond whose animals are sick."
        }
        SourceKind::Runoff => {
            "It carries insect poison, manure, silt and fish from ditches: traces of some sprays kill prawns. Not within weeks of spraying, never the first flush after a dry spell, \
             and through a fine sock; where you do not know what was sprayed, do not use it."
        }
    }
}

#[cfg(test)]
mod tests {
    use season::filling::Filling;

    use super::*;

    fn plan(days: Option<f64>, may_be_drawn: Option<bool>) -> FillPlan {
        let source = Source {
            name: "Creek".to_owned(),
            kind: SourceKind::River,
            rate_m3_h: 45.0,
            hours_per_day: 10.0,
            may_be_drawn,
        };
        let by_source = vec![Filling { source: Some(source), days, lost_m3: 300.0 }];
        FillPlan { volume_m3: 2466.96, evaporation_mm_d: 5.08, by_source }
    }

    #[test]
    fn a_slow_source_begins_earlier_and_a_forbidden_one_says_nothing_of_it() {
        assert_eq!(begins_before_d(None, 18), 18);
        assert_eq!(begins_before_d(Some(&plan(Some(3.2), None)), 18), 18);
        assert_eq!(begins_before_d(Some(&plan(Some(20.4), None)), 18), 35);
        assert_eq!(begins_before_d(Some(&plan(Some(20.4), Some(false))), 18), 18);
    }

    #[test]
    fn a_source_says_its_time_its_leave_and_what_it_carries() {
        let rows = filling_rows(&plan(Some(6.0), None), Manner::UsCustomary);
        assert_eq!(rows[0].1, "2.00 acre-feet; 0.20 in a day evaporates then, 0.25 in seeps (our guess)");
        let (time, minds) = (&rows[1].1, rows[1].2.as_deref().expect("what to mind"));
        assert!(time.starts_with("about 6 days, ") && time.ends_with("200 gallons a minute for 10 h a day."), "{time}");
        assert!(minds.contains("ask your authority") && minds.contains("fine sock"), "{minds}");
        let never = filling_rows(&plan(None, Some(false)), Manner::Metric);
        assert!(never[1].1.starts_with("never full"));
        assert!(never[1].2.as_deref().is_some_and(|minds| minds.contains("leave it")));
    }
}
