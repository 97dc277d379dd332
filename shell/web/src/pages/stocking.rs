//! `/f/{farm}/ponds/{pond}/stocking`: may animals go into this pond, by its forecast, its last readings and the tank they come from.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::current;
use maud::{Markup, html};
use season::OutlookError;
use season::nursery::temper;
use season::stocking_day::{StockingDay, is_unstocked, stocking_day, unstocked};
use season::sums::{Given, Sum, Weight, Worked, sum};
use season::tanks::{NurseryOutlook, TankOutlook};
use store::Asked;
use units::{Day, Watch};
use words::page_stocking::{self as say, Filled, May};

use super::sums::encoded;
use super::{missing, nursery, sent};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses::row;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/ponds/{pond}/stocking", get(show))
}

/// Where the question about a pond is answered.
pub fn address(farm: &str, pond: &str) -> String {
    format!("/f/{farm}/ponds/{pond}/stocking")
}

/// The ponds that are not stocked yet, each with the way to its question; nothing when all are.
pub fn ways(facts: &Served) -> Markup {
    let ponds = unstocked(&facts.farm, facts.on);
    html! {
        @if !ponds.is_empty() {
            section.part aria-labelledby="h-can" {
                h2 id="h-can" { (say::CAN_THEY) }
                ul.places { @for at in ponds { li { (way(facts, at)) } } }
            }
        }
    }
}

/// The way to one pond's question.
pub fn way(facts: &Served, pond: usize) -> Markup {
    let card = &facts.farm.ponds[pond];
    html! { a.button href=(address(&facts.id, &card.id)) aria-label=(format!("{}: {}", card.name, say::CAN_THEY)) { (card.name) } }
}

type Fields = Vec<(String, String)>;

fn field<'a>(asked: &'a Fields, name: &str) -> &'a str {
    asked.iter().find(|(key, _)| key == name).map_or("", |(_, text)| text.as_str())
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, pond)): Path<(String, String)>,
    Query(asked): Query<Fields>,
) -> Response {
    let Some(desk) = site.desk(&farm) else { return missing() };
    let facts = desk.facts();
    let Some(at) = facts.farm.ponds.iter().position(|card| card.id == pond) else { return missing() };
    let card = &facts.farm.ponds[at];
    let body = match is_unstocked(card, facts.on) {
        false => html! { section.answer { h1 { (card.name) } p.reason { (say::STOCKED) } } },
        true => waiting(|| match found(&site, &facts, at, &asked) {
            Ok(found) => body(&facts, &found),
            Err(error) => {
                html! { section.answer { h1 { (card.name) } p.trouble { (words::trouble::outlook(&error)) } } }
            }
        }),
    };
    let frame = Frame::of(&facts, say::CAN_THEY, Here::Pond);
    sent(framed(&frame, html! { article.one-pond.of-sums { (body) } }))
}

/// All that the page says.
pub struct Found {
    of: StockingDay,
    nursery: NurseryOutlook,
    tank: Option<usize>,
    /// Every value with where it is from.
    pub filled: Vec<Filled>,
    worked: Option<Worked>,
}

impl Found {
    fn tank(&self) -> Option<&TankOutlook> {
        self.tank.map(|at| &self.nursery.tanks[at])
    }
}

/// What is known of a pond's stocking, with the tank and the fish that were asked about.
///
/// # Errors
/// When its water cannot be reckoned.
pub fn found(site: &Site, facts: &Served, pond: usize, asked: &Fields) -> Result<Found, OutlookError> {
    let of = stocking_day(&facts.ask(None), pond, &Watch::new())?;
    let nursery = nursery::of(site, facts);
    // Without a word the fullest tank is meant, if any holds animals.
    let named = nursery.tanks.iter().position(|tank| tank.tank.name == field(asked, "tank"));
    let full = |tank: &&TankOutlook| tank.held.count > 0.0;
    let fullest = nursery.tanks.iter().filter(full).max_by(|a, b| a.held.count.total_cmp(&b.held.count));
    let fullest = fullest.and_then(|one| nursery.tanks.iter().position(|tank| tank.tank.name == one.tank.name));
    let tank = if field(asked, "tank") == "bag" { None } else { named.or(fullest) };
    let fish = match field(asked, "fish") {
        "" => fish_entered(site, facts, pond).map_or(("", None), |(word, on)| (word, Some(on))),
        said => (said, None),
    };
    let filled = say::filled(&of, &facts.farm, tank.map(|at| &nursery.tanks[at]), fish, facts.manner);
    let worked = rule().and_then(|sum| worked(sum, &filled));
    Ok(Found { of, nursery, tank, filled, worked })
}

/// Days for which a seine haul speaks, d.
const SEINED_D: i32 = 14;

/// What a seine showed of fish in the pond, as entered of late among predators: none where 0 were counted.
fn fish_entered(site: &Site, facts: &Served, pond: usize) -> Option<(&'static str, Day)> {
    let (record, zone) = (site.record()?, &facts.farm.place.zone);
    let from = Some(zone.instant(facts.on.plus(-SEINED_D), 0));
    let asked = Asked { kind: Some("predators"), from, ..Asked::default() };
    let all = record.store().facts_linked(&facts.id, asked).ok()?;
    let entries = current(&all);
    let of_fish = entries.iter().filter_map(|entry| entry.settled()).filter(|kept| {
        kept.fact.pond() == Some(facts.farm.ponds[pond].id.as_str())
            && kept.fact.text("predators").is_some_and(|text| text.to_lowercase().contains("fish"))
    });
    let last = of_fish.max_by_key(|kept| (kept.fact.happened.at, kept.seq))?;
    let word = if last.fact.values.get("predator_count") == Some(&0.0) { "none" } else { "some" };
    Some((word, zone.day_and_second(last.fact.happened.at).0)).filter(|(_, on)| *on <= facts.on)
}

fn rule() -> Option<&'static Sum> {
    sum("stocking")
}

/// The rule on what is known. Where pH was never read it is asked as if it were harmless, so that the cold and the fish are refused all the same.
fn worked(sum: &'static Sum, filled: &[Filled]) -> Option<Worked> {
    let known = |name: &str| filled.iter().any(|one| one.name == name && !one.typed.is_empty());
    let mut typed: Vec<(&str, &str)> = filled.iter().map(|one| (one.name, one.typed.as_str())).collect();
    if !known("ph") {
        typed.retain(|(name, _)| *name != "ph" && *name != "ammonia");
        typed.push(("ph", HARMLESS_PH));
    }
    sum.read(&typed).ok().map(|given: Given| sum.work(&given))
}

const HARMLESS_PH: &str = "7.5";

/// The sum's page with every value filled in, and the pond it is of.
fn sum_address(facts: &Served, found: &Found) -> String {
    let values = found.filled.iter().filter(|one| !one.typed.is_empty());
    let values: String = values.map(|one| format!("{}={}&", one.name, encoded(&one.typed))).collect();
    let tank = found.tank().map_or("bag", |tank| tank.tank.name.as_str());
    let card = &facts.farm.ponds[found.of.pond];
    format!("/f/{}/sums/stocking?{values}of={}&of_tank={}", facts.id, card.id, encoded(tank))
}

fn body(facts: &Served, found: &Found) -> Markup {
    let (manner, card) = (facts.manner, &facts.farm.ponds[found.of.pond]);
    let may = say::may(found.worked.as_ref(), &found.filled);
    let remarks = |weight: Weight| {
        let all = found.worked.iter().flat_map(|worked| &worked.remarks);
        all.filter(move |remark| remark.weight == weight).map(|remark| remark.says)
    };
    html! {
        section.answer {
            h1 { (say::headline(may, &card.name)) }
            div.why {
                @for said in remarks(Weight::Stop) { p.trouble { (said) } }
                @if let Some(said) = say::missing(&found.filled) { p.odd { (said) } }
                @for said in remarks(Weight::Watch) { p.odd { (said) } }
                p.reason { (say::mornings_say(&found.of, manner)) }
                p.onward {
                    @if may != May::No {
                        @if facts.farm.tanks.is_empty() {
                            a.mend href=(format!("/f/{}/log/new?kind=stocked&pond={}", facts.id, card.id)) { (say::ENTER) }
                        } @else {
                            a.mend href=(format!("/f/{}/log/new?kind=counted_out&pond={}", facts.id, card.id)) { (say::COUNT_OUT) }
                        }
                        " "
                    }
                    a.mend href=(format!("/f/{}/log/new?pond={}", facts.id, card.id)) { (say::READ) }
                }
            }
        }
        section.part aria-labelledby="h-goes" {
            h2 id="h-goes" { (say::GOES_BY) }
            dl.rows { @for one in &found.filled { div { dt { (one.what) } dd { (one.said) } } } }
            p { a.mend href=(format!("/f/{}/log/new?kind=predators&pond={}&predators=fish", facts.id, card.id)) { (say::SEINED) } }
            p { a.mend href=(sum_address(facts, found)) { (say::SUM) } }
        }
        section.part aria-labelledby="h-mornings" {
            h2 id="h-mornings" { (say::MORNINGS_TITLE) }
            div.wide tabindex="0" role="group" aria-label=(say::MORNINGS_TITLE) {
                table.mornings {
                    thead { tr { @for head in say::MORNING_HEADS { th scope="col" { (head) } } } }
                    tbody { @for cells in say::mornings(&found.of, manner) { (row(&cells)) } }
                }
            }
            p.legend { (say::rests_on(&found.of, &facts.farm, manner)) }
        }
        @if may != May::No { (tempering(facts, found)) }
        (questions(facts, found))
        details.working { summary { (words::page_nursery::HOW) } p { (say::METHOD) } @if let Some(sum) = rule() { p { (sum.holds) } p { (sum.source) } } }
        p.caution { (words::page_winter::RULES) }
    }
}

/// The timetable from their own water to the pond's.
fn tempering(facts: &Served, found: &Found) -> Markup {
    let pond_c = found.of.dawns.first().map_or(say::BAG_C, |dawn| dawn.water_c.middle);
    let ph = found.tank().and_then(|tank| tank.read.ph).zip(found.of.chemistry.ph.map(|read| read.value));
    let steps = temper(say::tank_c(found.tank()), pond_c, ph);
    let last_min = steps.last().map_or(0.0, |step| step.at_min);
    html! {
        section.part aria-labelledby="h-temper" {
            h2 id="h-temper" { (say::TEMPER) }
            @if let Some(said) = found.worked.as_ref().and_then(|worked| say::minutes(worked, &found.of, last_min, facts.manner)) { p { (said) } }
            ol { @for step in &steps { li { (words::page_nursery::step(step, facts.manner)) } } }
            p.legend { (words::page_nursery::TEMPER_SAYS) }
        }
    }
}

fn questions(facts: &Served, found: &Found) -> Markup {
    let tank = found.tank().map_or("bag", |tank| tank.tank.name.as_str());
    let tanks = facts.farm.tanks.iter().map(|tank| (tank.name.as_str(), tank.name.as_str()));
    let fish = found.filled.iter().find(|one| one.name == "fish").map_or("", |one| one.typed.as_str());
    html! {
        section.part aria-labelledby="h-ask" {
            h2 id="h-ask" { (say::ASK) }
            form.entry.setup-form method="get" {
                (chips("tank", say::FROM, tanks.chain([("bag", say::BAG)]), tank))
                (chips("fish", say::FISH, say::FISH_WORDS.into_iter(), fish))
                button.main type="submit" { (say::ANEW) }
            }
        }
    }
}

fn chips<'a>(name: &str, asks: &str, all: impl Iterator<Item = (&'a str, &'a str)>, chosen: &str) -> Markup {
    html! {
        fieldset.chips {
            legend { (asks) }
            @for (value, label) in all {
                label.chip { input type="radio" name=(name) value=(value) checked[value == chosen]; span { (label) } }
            }
        }
    }
}
