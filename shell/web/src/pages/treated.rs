//! Treatments whose waiting days reach into a catch: said in the morning, with the plan and on the evening before.

use farm::facts::{Treatment, treatments, waits};
use maud::{Markup, html};
use season::answer::Outlook;
use store::{Asked, StoreError};
use units::Day;
use words::page_trace as say;

use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Treatments as entered, the waiting days of which may still run. None where the record cannot be read: the log says so.
fn known(site: &Site, facts: &Served) -> Vec<Treatment> {
    let Some(record) = site.record() else { return Vec::new() };
    waiting(|| entered(record, facts)).unwrap_or_default()
}

/// Treatments as entered.
///
/// # Errors
/// When the record cannot be read.
pub fn entered(record: &Record, facts: &Served) -> Result<Vec<Treatment>, StoreError> {
    let asked = Asked { kind: Some("treatment"), ..Asked::default() };
    let found = record.store().facts_linked(&facts.id, asked)?;
    Ok(treatments(&found, &facts.farm.place.zone))
}

fn of(facts: &Served, known: &[Treatment], pond: usize, catch: Day) -> Option<String> {
    let card = facts.farm.ponds.get(pond)?;
    Some(say::wait_reaches(&card.name, waits(known, &card.id, catch)?, catch))
}

/// What reaches into a pond's catch on a day.
pub fn said(site: &Site, facts: &Served, pond: usize, catch: Day) -> Option<String> {
    of(facts, &known(site, facts), pond, catch)
}

/// What reaches into the catches of the plan.
pub fn of_morning(site: &Site, facts: &Served, outlook: &Outlook) -> Markup {
    let known = known(site, facts);
    let planned = outlook.ponds.iter().filter_map(|pond| Some((pond.index, pond.planned?.catch_day)));
    let said: Vec<String> = planned.filter_map(|(pond, catch)| of(facts, &known, pond, catch)).collect();
    html! { @for sentence in &said { p.trouble { (sentence) } } }
}
