//! What stands below the answer: how it was made, what could not be done, and the caution.

use season::answer::{Note, Outlook};
use season::plan;

use super::first::{forecast_far, reading_far};
use super::lines::Lines;
use crate::figures::{Manner, day, span};

/// How the page was made, and what a person should know of it.
pub(super) fn notes(out: &mut Lines, outlook: &Outlook, manner: Manner) {
    let (first, last, many) = outlook.past_years;
    let invented = if outlook.past_is_invented { " (an invented past: a record moved in time)" } else { "" };
    out.wrapped(&format!(
        "Made from {} futures out of {many} past seasons, {first} to {last}{invented}; seed {}.",
        outlook.members, outlook.seed
    ));
    let mut assumed = 0;
    for note in &outlook.notes {
        match say_note(note, manner) {
            // Said at the top already.
            Some(_) if said_at_the_top(note) => {}
            Some(sentence) => out.wrapped(&sentence),
            None => assumed += 1,
        }
    }
    if assumed > 0 {
        out.wrapped(&format!(
            "{assumed} figures not given in the farm file were taken from the table of inputs; --json lists them."
        ));
    }
}

/// Whether the page has it in its first lines.
fn said_at_the_top(note: &Note) -> bool {
    matches!(note, Note::Left { .. } | Note::CannotBeSaved { .. } | Note::ReadingFar { .. } | Note::ForecastFar { .. })
}

pub(crate) fn say_note(note: &Note, manner: Manner) -> Option<String> {
    Some(match note {
        Note::Assumed { .. } => return None,
        Note::YearsLeftOut(1) => "One past season was left out for missing days.".to_owned(),
        Note::YearsLeftOut(many) => format!("{many} past seasons were left out for missing days."),
        Note::SeasonNotSeen { last } => format!(
            "The weather record ends on {} {}: the days since then are taken as usual for the place. Bring a record that goes on to now.",
            day(*last),
            last.ymd().0
        ),
        Note::NoForecast => {
            "Without a forecast no front can be seen coming: give the newest one, on the page or with --forecast FILE."
                .to_owned()
        }
        Note::OldForecast { age_h } => {
            format!("The forecast is {} old. Fetch a newer one before you act.", span(*age_h))
        }
        Note::Left { pond, by } => {
            let by: Vec<String> = by.iter().map(|limit| limit_words(limit).to_owned()).collect();
            format!(
                "{pond} cannot come out beside the others: what stands in its way is {}. Find more, or give up another pond's day.",
                listed(&by)
            )
        }
        Note::GoesDownBy { pond, has_drain, pumps } => goes_down_by(pond, *has_drain, pumps),
        Note::Yielded { kept: Some(kept), asked } => format!(
            "A day's hands, ice and tanks hold in {:.0} futures of 10 by this plan, where you asked for {:.0}: at that a pond would be \
             left in the water, or left for the cold weeks. Look for more hands and ice.",
            10.0 * kept,
            10.0 * asked
        ),
        Note::Yielded { kept: None, .. } => {
            "This plan takes more in a day than the farm's hands, ice and tanks can: otherwise a pond \
             would be left in the water, or for the cold weeks. Find more of them, let a pond take two days, or work late."
                .to_owned()
        }
        Note::ReadingAhead { pond, on } => format!(
            "A reading in {pond} is dated {}, after this morning: it was left aside. Mend its date if it was taken before.",
            day(*on)
        ),
        Note::Overflowed { pond, on } => format!(
            "Water ran over {pond} on {}: how many prawns are left in it is less sure since then, and the plan reckons with that. Look at what is left of \
             the feed, and for dead and stray animals below the bank.",
            day(*on)
        ),
        Note::ReadingFar { pond, off_c } => reading_far(pond, *off_c, manner),
        Note::ForecastFar { day, said_c, usual_c } => forecast_far(*day, *said_c, *usual_c, manner),
        Note::CannotBeSaved { pond } => format!(
            "{pond} cannot be brought out ahead of the cold within the limits named. This is the best that is left; start it as \
             soon as anyone can, and take the shallow end first."
        ),
    })
}

fn goes_down_by(pond: &str, has_drain: bool, pumps: &[String]) -> String {
    let drain = has_drain.then(|| "its drain".to_owned());
    let by: Vec<String> = drain.into_iter().chain(pumps.iter().map(|pump| format!("the {pump}"))).collect();
    let alone = if by.len() == 1 { " alone" } else { "" };
    format!(
        "{pond}'s water goes down while another pond holds a pump that it is emptied with as a rule: {pond} is reckoned with {}{alone}. \
         Where the pumps stand otherwise, write the water shut at the pond that has none.",
        listed(&by)
    )
}

/// "a, b and c".
pub(super) fn listed(words: &[String]) -> String {
    match words {
        [] => "not known".to_owned(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A limit as a grower would name it.
pub fn limit_words(limit: &plan::Limit) -> &'static str {
    use plan::{DayKind, Limit, NoticeKind, StoreKind};
    match limit {
        Limit::LeadTime => "the time its water takes to go down",
        Limit::StartHour => "that nobody is there at the hour to start it",
        Limit::Gear(_) => "pumps or the generator in use elsewhere",
        Limit::Fuel => "fuel",
        Limit::Daylight => "hours of daylight",
        Limit::Workday => "days without work",
        Limit::CatchesPerDay => "the ponds that can be caught on one day",
        Limit::Day(DayKind::Pounds) => "the pounds that can be handled in a day",
        Limit::Day(DayKind::Heading) => "the pounds that can be headed in a day",
        Limit::Day(DayKind::Hands) => "hands",
        Limit::Day(DayKind::Baskets) => "baskets",
        Limit::Day(DayKind::Ice) => "ice",
        Limit::Day(DayKind::Buyers) => "what buyers take in a day",
        Limit::Store(StoreKind::ColdStore) => "room in the cold store",
        Limit::Store(StoreKind::LiveTanks) => "room in the live tanks",
        Limit::Order(_) => "what buyers take in all",
        Limit::Notice(NoticeKind::Ice) => "the notice that ice needs",
        Limit::Notice(NoticeKind::Crew) => "the notice that helpers need",
        Limit::Notice(NoticeKind::Buyers) => "the notice that buyers need",
        Limit::Notice(NoticeKind::Gear) => "the notice that hired gear needs",
        Limit::Bank => "a bank too soft after rain",
        Limit::Receiving => "high water at the outlet",
        Limit::Locked => "a day promised already",
        Limit::Closed => "days closed to it",
        Limit::Guard => "the guard against cold water",
        Limit::Started => "water already going down another way",
        Limit::NotOffered | Limit::Left => "that it is not offered another way out",
    }
}

/// The caution that stands at the end.
pub(super) fn caution(out: &mut Lines, outlook: &Outlook) {
    out.blank();
    // Beside what is to be started tonight.
    if outlook.ponds.iter().any(|pond| !super::pond_lines::oxygen_lines(pond, outlook.on, Manner::Metric).is_empty()) {
        out.wrapped(crate::oxygen::CARE);
    }
    out.wrapped(
        "Care: keep engines and generators out of closed places and cords out of water; nobody works alone at the drain or in cold \
         mud. Local codes and licensed people have the last word.",
    );
}
