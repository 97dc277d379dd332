//! What must be known before anything else: a pond left in the water, cold that cannot be outrun, a reading that cannot be right.

use season::answer::{Note, Outlook, PondDay, PondOutlook};
use season::plan::{DayKind, Limit, NoticeKind, StoreKind};

use super::notes::{limit_words, listed};
use units::Day;

use crate::figures::{Manner, day, degrees, degrees_apart, money};
use crate::page_plan::worth_known_to;

/// The gravest first; empty on most mornings.
pub(crate) fn first_of_all(outlook: &Outlook, manner: Manner) -> Vec<String> {
    let left = outlook.ponds.iter().filter(|pond| pond.planned.is_none()).map(|pond| left_in(outlook, pond));
    let cold = outlook.ponds.iter().filter_map(|pond| cold_on(outlook, pond));
    let far = outlook.notes.iter().filter_map(|note| match note {
        Note::ReadingFar { pond, off_c } => Some(reading_far(pond, *off_c, manner)),
        Note::ForecastFar { day, said_c, usual_c } => Some(forecast_far(*day, *said_c, *usual_c, manner)),
        _ => None,
    });
    left.chain(cold).chain(far).collect()
}

/// A reading that lies too far from the reckoned water to be taken as it is.
pub(super) fn reading_far(pond: &str, off_c: f64, manner: Manner) -> String {
    let side = if off_c > 0.0 { "warmer" } else { "colder" };
    format!(
        "The reading in {pond} and the reckoning are {} apart, the reading {side}: read again. If it is true, the dates below may \
         be wrong: take the pond for the colder of the two.",
        degrees_apart(off_c.abs(), manner)
    )
}

/// A forecast that can hardly be of this place, or in the unit its file says.
pub(super) fn forecast_far(when: Day, said_c: f64, usual_c: f64, manner: Manner) -> String {
    format!(
        "The forecast says {} for {} where {} is usual: look whether it is for this place and in the unit it says before you act \
         on this page.",
        degrees(said_c, manner),
        day(when),
        degrees(usual_c, manner)
    )
}

/// Its best day by itself.
fn best(pond: &PondOutlook) -> Option<&PondDay> {
    pond.days.iter().max_by(|a, b| a.worth_mean.total_cmp(&b.worth_mean))
}

fn left_in(outlook: &Outlook, pond: &PondOutlook) -> String {
    let name = &pond.name;
    let Some(best) = best(pond) else {
        return format!(
            "{name} is left in the water: no day is left on which its water can be down. Start it now all the same, set the \
             season's last catch later, or seine what can be had from the full pond."
        );
    };
    let would = if best.worth_mean > 0.0 {
        let known = worth_known_to(best.worth_mean, best.worth_p05).max(100.0);
        format!("it would have brought about {}", money(best.worth_mean, known, outlook.currency))
    } else {
        "it would bring no more than it costs to catch".to_owned()
    };
    let by = outlook.notes.iter().find_map(|note| match note {
        Note::Left { pond, by } if pond == name && !by.is_empty() => Some(by),
        _ => None,
    });
    let Some(by) = by else {
        return format!("{name} is left in the water by this plan: {would}.");
    };
    let ways: Vec<String> = by.iter().map(|limit| limit_words(limit).to_owned()).collect();
    let mut saves: Vec<String> = by.iter().map(|limit| what_saves(limit).to_owned()).collect();
    saves.dedup();
    format!(
        "{name} is left in the water by this plan: {would}. What stands in its way is {}. It would be saved by {}, or by giving it \
         another pond's day.",
        listed(&ways),
        saves.join(" or ")
    )
}

/// What lifts a limit, as a grower could go and get it.
fn what_saves(limit: &Limit) -> &'static str {
    match limit {
        Limit::LeadTime => "one more pump",
        Limit::StartHour => "somebody there at night to start it",
        Limit::Gear(_) | Limit::Notice(NoticeKind::Gear) => "one more pump or generator",
        Limit::Fuel => "more fuel",
        Limit::Daylight => "more hands or lights, to be done within the day",
        Limit::Workday => "working on a day off",
        Limit::CatchesPerDay => "a second crew",
        Limit::Day(DayKind::Hands | DayKind::Heading) => "more helpers",
        Limit::Day(DayKind::Ice) | Limit::Notice(NoticeKind::Ice) => "more ice, or ice sooner",
        Limit::Day(DayKind::Baskets) => "more baskets",
        Limit::Day(DayKind::Pounds) => "handling more in a day, or taking it over two days",
        Limit::Day(DayKind::Buyers) | Limit::Order(_) | Limit::Notice(NoticeKind::Buyers) => "one more buyer",
        Limit::Store(StoreKind::ColdStore) => "more room in a cold store",
        Limit::Store(StoreKind::LiveTanks) => "selling fewer alive",
        Limit::Notice(NoticeKind::Crew) => "helpers who come at short notice",
        Limit::Bank => "a way to the bank that bears after rain",
        Limit::Receiving => "pumping over the high water",
        Limit::Locked | Limit::Closed => "freeing a day that is promised or closed",
        Limit::Guard => "a higher guard chance",
        Limit::Started | Limit::NotOffered | Limit::Left => "another way to empty it",
    }
}

/// Whether cold takes more than is left of a pond even on its best day.
fn mostly_lost(pond: &PondOutlook) -> bool {
    best(pond).is_some_and(|best| best.cold_cost > best.worth_mean.max(0.0) && best.cold_cost > 0.0)
}

/// Whether there is nothing to wait for with a pond: cold has it or is likely to.
pub(super) fn cold_has_it(outlook: &Outlook, pond: &PondOutlook) -> bool {
    let beyond = |note: &Note| matches!(note, Note::CannotBeSaved { pond: name } if *name == pond.name);
    mostly_lost(pond) || outlook.notes.iter().any(beyond)
}

fn cold_on(outlook: &Outlook, pond: &PondOutlook) -> Option<String> {
    let planned = pond.planned?;
    if !cold_has_it(outlook, pond) {
        return None;
    }
    let name = &pond.name;
    let plain = if mostly_lost(pond) {
        format!("Most of the crop in {name} will be lost to cold whatever is done; start now")
    } else {
        format!("{name} can no longer be brought out ahead of the cold with any safety; start now")
    };
    let at = pond.days.iter().position(|line| line.day == planned.catch_day);
    let cost = at.and_then(|at| Some(pond.days[at].worth_mean - pond.days.get(at + 1)?.worth_mean));
    let said = cost.map(|coins| money(coins, 5000.0_f64.min(coins.abs().max(100.0)), outlook.currency));
    Some(match (cost, said) {
        (Some(coins), Some(said)) if coins > 0.0 && said.contains(|digit: char| ('1'..='9').contains(&digit)) => {
            format!("{plain}: each day costs about {said}.")
        }
        _ => format!("{plain}, and take the shallow end first."),
    })
}
