//! What falls due by the grower's own days, and what was lost. Pure folds over the entries; nothing is claimed to be satisfied.

use units::{Currency, Day, Instant, Money};

use super::{Fact, Kept};
use crate::facts::packs::holding;

/// Days before the day it falls due that it is shown, unless the grower says otherwise, d.
const WARN_D: f64 = 30.0;

/// How often it comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Again {
    /// Once.
    Once,
    /// Every month.
    Month,
    /// Every quarter.
    Quarter,
    /// Every year.
    Year,
}

/// Something that falls due.
#[derive(Debug, Clone, PartialEq)]
pub struct Due {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// Of which kind, by the word of the entry.
    pub kind: String,
    /// What it is called.
    pub name: Option<String>,
    /// The day that was entered.
    pub on: Day,
    /// Whether it comes again.
    pub again: Again,
    /// Whom to ask.
    pub office: Option<String>,
    /// Shown so many days before.
    pub warn_d: i32,
    /// Done last on.
    pub done_on: Option<Day>,
    /// What was noted.
    pub note: Option<String>,
}

impl Due {
    /// The day it falls due next; `None` when it came once and the grower has entered that it was done. What was done less than half a turn before a
    /// day counts for that day, what was done earlier does not.
    pub fn next(&self) -> Option<Day> {
        let months = match self.again {
            Again::Once => return if self.done_on.is_some() { None } else { Some(self.on) },
            Again::Month => 1,
            Again::Quarter => 3,
            Again::Year => 12,
        };
        let Some(done) = self.done_on else { return Some(self.on) };
        let half_d = months * 15;
        (0..MOST_TURNS).map(|turn| months_on(self.on, turn * months)).find(|day| done.0 < day.0 - half_d)
    }
    /// Whether it is to be shown on a day: near, or past.
    pub fn is_near(&self, today: Day) -> bool {
        self.next().is_some_and(|on| on.0 - today.0 <= self.warn_d)
    }
}

/// Turns that are looked ahead: a month's for fifty years.
const MOST_TURNS: i32 = 600;

/// The same day so many months later, or the last of that month.
pub fn months_on(day: Day, months: i32) -> Day {
    let (year, month, of_month) = day.ymd();
    let all = i32::from(year) * 12 + i32::from(month) - 1 + months;
    let (year, month) = (all.div_euclid(12) as i16, all.rem_euclid(12) as i8 + 1);
    (1..=of_month).rev().find_map(|of_month| Day::new(year, month, of_month)).unwrap_or(day)
}

/// What falls due, the nearest first, what was done for good last.
pub fn dues(facts: &[Kept]) -> Vec<Due> {
    let one = |(id, fact): (String, &Fact)| {
        let text = |name: &str| fact.text(name).map(str::to_owned);
        let day = |name: &str| fact.text(name).and_then(Day::parse);
        Some(Due {
            id,
            head: fact.id.clone(),
            kind: text("due_kind")?,
            name: text("due_name"),
            on: day("due_on")?,
            again: match fact.text("again") {
                Some("month") => Again::Month,
                Some("quarter") => Again::Quarter,
                Some("year") => Again::Year,
                _ => Again::Once,
            },
            office: text("office"),
            warn_d: fact.values.get("warn").copied().unwrap_or(WARN_D).round() as i32,
            done_on: day("done_on"),
            note: text("note"),
        })
    };
    let mut all: Vec<Due> = holding(facts, "due").into_iter().filter_map(one).collect();
    all.sort_by_key(|due| (due.next().is_none(), due.next().unwrap_or(due.on), due.id.clone()));
    all
}

/// A loss as it was entered.
#[derive(Debug, Clone, PartialEq)]
pub struct Loss {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// When it was entered as happened.
    pub at: Instant,
    /// Who entered it.
    pub person: String,
    /// Which pond; `None` for the farm.
    pub pond: Option<String>,
    /// What took them, by the word of the entry.
    pub cause: String,
    /// First day.
    pub began: Day,
    /// Last day.
    pub ended: Day,
    /// Animals.
    pub lost_count: Option<f64>,
    /// Weight, kg.
    pub lost_kg: Option<f64>,
    /// Worth by the grower's own reckoning.
    pub worth: Option<Money>,
    /// What was seen and done.
    pub text: Option<String>,
    /// Who was told.
    pub reported: Option<String>,
    /// Policy or case.
    pub policy: Option<String>,
    /// Digest of its photo.
    pub photo: Option<String>,
    /// The last day as typed, where it lies before the first.
    pub ended_before: Option<Day>,
    /// Names of fields that hold something that cannot be read, with what was typed.
    pub unread: Vec<(&'static str, String)>,
}

/// Losses, the latest first.
pub fn losses(facts: &[Kept], currency: &Currency) -> Vec<Loss> {
    let one = |(id, fact): (String, &Fact)| {
        let text = |name: &str| fact.text(name).map(str::to_owned);
        let began = fact.text("began").and_then(Day::parse)?;
        let ended = fact.text("ended").and_then(Day::parse).unwrap_or(began);
        Some(Loss {
            id,
            head: fact.id.clone(),
            at: fact.happened.at,
            person: fact.person.clone(),
            pond: text("pond"),
            cause: text("cause")?,
            began,
            ended: ended.max(began),
            lost_count: fact.values.get("lost_count").copied().filter(|count| *count >= 0.0),
            lost_kg: fact.values.get("lost_weight").copied().filter(|kg| *kg >= 0.0),
            worth: fact.values.get("worth").map(|worth| Money::from_computed(worth * currency.coins_per_unit() as f64)),
            text: text("text"),
            reported: text("reported"),
            policy: text("policy"),
            photo: text("photo"),
            ended_before: (ended < began).then_some(ended),
            unread: ["ended", "lost_count", "lost_weight", "worth"]
                .into_iter()
                .filter_map(|name| Some((name, text(name)?)))
                .filter(|(name, typed)| match *name {
                    "ended" => Day::parse(typed).is_none(),
                    _ => fact.values.get(*name).is_none_or(|value| *value < 0.0),
                })
                .collect(),
        })
    };
    let mut all: Vec<Loss> = holding(facts, "loss").into_iter().filter_map(one).collect();
    all.sort_by(|a, b| (b.began, &b.id).cmp(&(a.began, &a.id)));
    all
}

#[cfg(test)]
mod tests;
