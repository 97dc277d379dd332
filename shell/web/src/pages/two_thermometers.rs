//! A reading written by hand and a logger's at the same place, depth and hour, further apart than two thermometers in one water:
//! said on the pond's page, and on the morning when it is that morning's.

use farm::AlongPond;
use farm::facts::{Entry, Kept, current};
use maud::{Markup, html};
use store::{Asked, At, Quantity, StoreError};
use units::{Day, Instant};
use words::page_apart::{self as say, Apart, Logger};

use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Two thermometers in one water lie further apart than this hardly ever, K: three standard deviations of a difference of two
/// readings, each 0.4 K in doubt as a figure of the water around it (`season::learn`, docs/model/readings.md).
const APART_MOST_K: f64 = 1.7;
/// Depths that count as one, m: half a foot.
const SAME_DEPTH_M: f64 = 0.153;
/// A logger's reading is of the same moment within this, s.
const SAME_TIME_S: i64 = 1800;
/// Days back to which a pond's page tells them: older readings teach the water no more.
const DAYS_BACK: i32 = 14;

/// What is said on a pond's page.
pub fn of_pond(site: &Site, facts: &Served, pond: &str) -> Markup {
    told(site, facts, &[pond], facts.on.plus(-DAYS_BACK))
}

/// What is said on the morning, of its own day's readings.
pub fn of_morning(site: &Site, facts: &Served) -> Markup {
    let ponds: Vec<&str> = facts.farm.ponds.iter().map(|pond| pond.id.as_str()).collect();
    told(site, facts, &ponds, facts.on)
}

fn told(site: &Site, facts: &Served, ponds: &[&str], from: Day) -> Markup {
    let Some(record) = site.record() else { return html! {} };
    let found = waiting(|| {
        let mut found = Vec::new();
        for pond in ponds {
            found.extend(apart(record, facts, pond, facts.farm.place.zone.instant(from, 0))?);
        }
        Ok::<_, StoreError>(found)
    });
    let found = match found {
        Ok(found) => found,
        Err(error) => return html! { p.trouble { (words::store::error(record.store().path(), &error)) } },
    };
    html! {
        @for (id, one) in &found {
            div.trouble role="status" {
                @for sentence in say::sentences(one, &facts.farm.place.zone, facts.manner) { p { (sentence) } }
                p.onward { a.mend href=(format!("/f/{}/log/{id}/mend", facts.id)) { (say::MEND) } }
                @if one.logger.file.is_some() { p.onward { a.mend href=(format!("/f/{}/log", facts.id)) { (say::TAKE_BACK) } } }
            }
        }
    }
}

/// Readings by hand of a pond from a moment on that a logger beside them contradicts, with the fact to mend; the latest first.
fn apart(record: &Record, facts: &Served, pond: &str, from: Instant) -> Result<Vec<(String, Apart)>, StoreError> {
    let mut spots = record.store().logged_spots(&facts.id)?;
    spots.retain(|spot| spot.pond == pond && spot.quantity == Quantity::Temperature);
    let Some(card) = facts.farm.ponds.iter().find(|card| card.id == pond).filter(|_| !spots.is_empty()) else {
        return Ok(Vec::new());
    };
    let mut written =
        record.store().facts_linked(&facts.id, Asked { pond: Some(pond), from: Some(from), ..Asked::default() })?;
    record.with_names(&facts.id, &mut written)?;
    let entries = current(&written);
    let mut found = Vec::new();
    for hand in entries.iter().filter_map(Entry::settled).filter(|kept| kept.fact.kind == "reading") {
        let Some(&hand_c) = hand.fact.values.get("temperature") else { continue };
        let depth_m = hand.fact.values.get("depth").copied().unwrap_or(farm::facts::DEPTH_NOT_TOLD_M);
        let here = spots
            .iter()
            .find(|spot| place_of(&spot.place) == hand.fact.end() && (spot.depth_m - depth_m).abs() <= SAME_DEPTH_M);
        let Some(spot) = here else { continue };
        let at = hand.fact.happened.at;
        let spot_at = At { farm: &facts.id, pond, quantity: spot.quantity, place: &spot.place, depth_m: spot.depth_m };
        let rows = record.store().readings(spot_at, (Instant(at.0 - SAME_TIME_S), Instant(at.0 + SAME_TIME_S + 1)))?;
        let nearest = rows.into_iter().min_by_key(|(when, _)| (when.0 - at.0).abs());
        let Some((logged_at, logged_c)) = nearest.filter(|(_, logged_c)| (logged_c - hand_c).abs() > APART_MOST_K)
        else {
            continue;
        };
        let (file, by) = file_of(record, facts, pond)?;
        let logger = Logger { at: logged_at, temp_c: logged_c, file, by };
        let person = hand.fact.person.clone();
        found.push((
            hand.fact.id.clone(),
            Apart { pond: card.name.clone(), end: hand.fact.end(), depth_m, person, at, hand_c, logger },
        ));
    }
    found.sort_by_key(|(_, one)| std::cmp::Reverse(one.at));
    Ok(found)
}

/// The pond's one logger file that holds, and who brought it; of several nobody knows here which it was.
fn file_of(record: &Record, facts: &Served, pond: &str) -> Result<(Option<String>, Option<String>), StoreError> {
    let mut brought =
        record.store().facts_linked(&facts.id, Asked { pond: Some(pond), kind: Some("logger"), ..Asked::default() })?;
    record.with_names(&facts.id, &mut brought)?;
    let entries = current(&brought);
    let live: Vec<&Kept> = entries.iter().filter_map(Entry::settled).collect();
    Ok(match live[..] {
        [one] => (one.fact.text("file").map(str::to_owned), Some(one.fact.person.clone())),
        _ => (None, None),
    })
}

fn place_of(name: &str) -> AlongPond {
    match name {
        "shallow" => AlongPond::Shallow,
        "middle" => AlongPond::Middle,
        _ => AlongPond::Deep,
    }
}
