//! What outlasts a restart: the last pages of the answer, shown with their age while the new one is reckoned, and each morning's plan,
//! so that the next morning can say what changed.
//!
//! The pages are kept as they were drawn, under the version and the looks of the program that drew them; another program's are
//! dropped. The plan is kept as values, under its own version.

use std::collections::BTreeMap;
use std::time::Duration;

use season::answer::{Outlook, PondDay};
use season::plan::{Decision, GuardReport, Job, PondHours, PondPlan, Schedule, Spread, Take};
use serde_json::{Value, json};
use store::{KeptAnswer, StoreError};
use units::Day;

use crate::assets;
use crate::record::Record;
use crate::served::Served;

/// Version of the kept plan.
const PLAN_VERSION: u64 = 1;

/// Pages drawn before the program was started.
pub struct Before {
    /// The page, drawn.
    pub page: String,
    /// The day it speaks of, as the mast had it.
    pub day: String,
    /// How long ago it was drawn.
    pub age: Duration,
    /// Nothing has been recorded since.
    pub complete: bool,
}

/// The looks and the version of this program: pages of another are not shown.
fn looks() -> String {
    format!("{} {}", env!("CARGO_PKG_VERSION"), assets::style())
}

/// Under which question a morning's plan is kept.
pub fn question(on: Day) -> String {
    format!("plan {on}")
}

/// Keeps an answer's pages in place of the last ones, and its plan for tomorrow.
///
/// # Errors
/// When the record cannot be written.
pub fn keep(
    record: &Record,
    facts: &Served,
    outlook: &Outlook,
    pages: &BTreeMap<String, String>,
) -> Result<(), StoreError> {
    let day = words::page_morning::mast_day(outlook, facts.manner);
    let pages = json!({ "looks": looks(), "day": day, "pages": pages });
    record.store().replace_answer(&row(record, facts, outlook, "pages".to_owned(), &pages)?)?;
    record.store().replace_answer(&row(record, facts, outlook, question(outlook.on), &plan_body(outlook))?)
}

/// Keeps the plan that was read when it was accepted. The morning's own is replaced whenever something is recorded later in the day,
/// the acceptance itself first of all: the report of the year must tell what stood before the person who decided.
///
/// # Errors
/// When the record cannot be written.
pub fn keep_accepted(record: &Record, facts: &Served, outlook: &Outlook, acceptance: &str) -> Result<(), StoreError> {
    let question = accepted_question(acceptance);
    record.store().replace_answer(&row(record, facts, outlook, question, &plan_body(outlook))?)
}

fn accepted_question(acceptance: &str) -> String {
    format!("accepted {acceptance}")
}

fn row(
    record: &Record,
    facts: &Served,
    outlook: &Outlook,
    question: String,
    body: &Value,
) -> Result<KeptAnswer, StoreError> {
    Ok(KeptAnswer {
        farm: facts.id.clone(),
        question,
        made_ms: record.now_ms(),
        seed: outlook.seed,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        facts_digest: record.store().facts_digest(&facts.id)?,
        body: body.to_string(),
    })
}

/// What a day of catch was expected to bring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// The day of catch.
    pub day: Day,
    /// What was expected, coins.
    pub mean_coins: f64,
    /// Its lower end, one in twenty, coins; the mean where it was not kept.
    pub p05_coins: f64,
}

/// What was expected of each day of catch of a pond when a plan was accepted, else by the last answer of that morning; nothing where
/// neither was kept.
///
/// # Errors
/// When the record cannot be read.
pub fn expected(
    record: &Record,
    farm: &str,
    (acceptance, on): (&str, Day),
    pond: &str,
) -> Result<Vec<Worth>, StoreError> {
    let of = |question: &str| record.store().last_answer(farm, question);
    let kept = match of(&accepted_question(acceptance))? {
        Some(kept) => Some(kept),
        None => of(&question(on))?,
    };
    let Some(kept) = kept else { return Ok(Vec::new()) };
    let body: Value = serde_json::from_str(&kept.body).unwrap_or(Value::Null);
    let ponds = body["ponds"].as_array().map_or(&[][..], Vec::as_slice);
    let days = ponds.iter().find(|one| one["pond"].as_str() == Some(pond)).and_then(|one| one["days"].as_array());
    let one = |row: &Value| {
        let (day, mean_coins) = (Day::parse(row[0].as_str()?)?, row[1].as_f64()?);
        Some(Worth { day, mean_coins, p05_coins: row[2].as_f64().unwrap_or(mean_coins) })
    };
    Ok(days.map_or(&[][..], Vec::as_slice).iter().filter_map(one).collect())
}

/// A page of the last answer that was kept; `None` when there is none that this program can show.
pub fn before(record: &Record, farm: &str, page: &str) -> Option<Before> {
    let kept = record.store().last_answer(farm, "pages").ok()??;
    let body: Value = serde_json::from_str(&kept.body).ok()?;
    if body["looks"].as_str()? != looks() {
        return None;
    }
    let age_ms = u64::try_from(record.now_ms() - kept.made_ms).unwrap_or(0);
    Some(Before {
        page: body["pages"][page].as_str()?.to_owned(),
        day: body["day"].as_str()?.to_owned(),
        age: Duration::from_millis(age_ms),
        complete: record.store().facts_digest(farm).ok()? == kept.facts_digest,
    })
}

fn plan_body(outlook: &Outlook) -> Value {
    let job = |job: &Job| {
        let (kind, day, more) = match job.take {
            Take::Whole { day } => ("whole", day, json!(null)),
            Take::TwoDays { first_day, first_share } => ("two_days", first_day, json!(first_share)),
            Take::LargeFirst { seine_day, day } => ("large_first", seine_day, json!(day)),
        };
        json!({ "way": job.way, "take": kind, "day": day, "more": more, "start": job.start_hour, "end": job.end_hour })
    };
    let ponds: Vec<Value> = outlook
        .ponds
        .iter()
        .zip(&outlook.plan.decision.ponds)
        // What each day of catch was expected to bring is held against what came, when the season is over.
        .map(|(pond, plan)| {
            let day = |day: &PondDay| json!([day.day.to_string(), day.worth_mean.round(), day.worth_p05.round()]);
            let days: Vec<Value> = pond.days.iter().map(day).collect();
            let mass_kg = [pond.mass_kg.low, pond.mass_kg.middle, pond.mass_kg.high];
            json!({ "pond": pond.name, "job": plan.planned.as_ref().map(job), "days": days, "mass_kg": mass_kg })
        })
        .collect();
    json!({
        "version": PLAN_VERSION,
        "ponds": ponds,
        "signals": outlook.plan.signals,
        "expected": outlook.plan.decision.expected_signals,
    })
}

/// Days back in which an answer is looked for in which a pond still stood, d.
const STOOD_D: i32 = 7;

/// What was thought to be in a pond by the last answer of a day in which it still stood, or of the last days before, kg: low, likely, high.
pub fn mass_kg(record: &Record, farm: &str, on: Day, pond: &str) -> Option<(f64, f64, f64)> {
    let of = |day: Day| {
        let kept = record.store().last_answer(farm, &question(day)).ok()??;
        let body: Value = serde_json::from_str(&kept.body).ok()?;
        let its = body["ponds"].as_array()?.iter().find(|its| its["pond"].as_str() == Some(pond))?;
        let kg = |place: usize| its["mass_kg"][place].as_f64();
        Some((kg(0)?, kg(1)?, kg(2)?))
    };
    (0..=STOOD_D).find_map(|days| of(on.plus(-days)))
}

/// Yesterday's decision, as far as what changed since needs it; `None` when none was kept.
pub fn yesterday(record: &Record, facts: &Served) -> Option<Decision> {
    let kept = record.store().last_answer(&facts.id, &question(facts.on.plus(-1))).ok()??;
    read_plan(&serde_json::from_str(&kept.body).ok()?, facts)
}

fn read_plan(body: &Value, facts: &Served) -> Option<Decision> {
    if body["version"].as_u64()? != PLAN_VERSION {
        return None;
    }
    // In the order of today's tables: the ponds still in the water, by name.
    let in_water = facts.farm.ponds.iter().filter(|card| card.harvested.is_none_or(|day| day > facts.on));
    let kept = body["ponds"].as_array()?;
    let ponds = in_water
        .enumerate()
        .map(|(pond, card)| {
            let its = kept.iter().find(|its| its["pond"].as_str() == Some(&card.name));
            PondPlan {
                pond,
                planned: its.and_then(|its| read_job(&its["job"], pond)),
                catch_share: Vec::new(),
                loss_chance: Vec::new(),
                mark_chance: 0.0,
                hours: PondHours::default(),
            }
        })
        .collect();
    let expected = body["expected"].as_array()?.iter().map(|pair| Some((pair[0].as_f64()?, pair[1].as_f64()?)));
    let nothing = Spread::default();
    Some(Decision {
        today: Vec::new(),
        ponds,
        worth: nothing,
        optimism: 0.0,
        fixed: nothing,
        fixed_dates: Schedule::default(),
        fixed_proved: true,
        fixed_beyond: Some(0.0),
        ceiling: nothing,
        candidates: Vec::new(),
        runner_up: None,
        guard: GuardReport {
            binds: false,
            cost: 0.0,
            cost_standard_error: 0.0,
            today_without: Vec::new(),
            plan_without: Schedule::default(),
            beyond: Vec::new(),
        },
        flips: Vec::new(),
        changed: None,
        expected_signals: expected.collect::<Option<_>>()?,
        stranded: Vec::new(),
        positions: (0, 0),
    })
}

fn read_job(job: &Value, pond: usize) -> Option<Job> {
    let whole = |value: &Value| value.as_u64().and_then(|n| usize::try_from(n).ok());
    let hour = |value: &Value| value.as_i64().and_then(|n| i32::try_from(n).ok());
    let day = whole(&job["day"])?;
    let take = match job["take"].as_str()? {
        "whole" => Take::Whole { day },
        "two_days" => Take::TwoDays { first_day: day, first_share: job["more"].as_f64()? },
        "large_first" => Take::LargeFirst { seine_day: day, day: whole(&job["more"])? },
        _ => return None,
    };
    Some(Job { pond, way: whole(&job["way"])?, take, start_hour: hour(&job["start"])?, end_hour: hour(&job["end"])? })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kept_job_is_read_as_it_was() {
        for take in [
            r#"{"way":1,"take":"whole","day":3,"more":null,"start":20,"end":90}"#,
            r#"{"way":0,"take":"two_days","day":3,"more":0.5,"start":-4,"end":90}"#,
            r#"{"way":0,"take":"large_first","day":3,"more":9,"start":20,"end":90}"#,
        ] {
            let job = read_job(&serde_json::from_str(take).expect("JSON"), 2).expect("a job");
            assert_eq!((job.pond, job.take.first_low_day() >= 3, job.end_hour), (2, true, 90), "{take}");
        }
        let odd = json!({ "way": 0, "take": "by moonlight", "day": 3, "start": 0, "end": 1 });
        assert_eq!(read_job(&odd, 0), None);
    }
}
