//! Back: baskets of the tub, the pond's stocking, what was fed and put in, the postlarvae and who sold them.

use std::collections::{BTreeMap, BTreeSet};

use farm::facts::{
    Basket, FromTank, Kept, Lot, Moved, Place, Treatment, current, harvest_day, lot_name, same_tub, working_day_of,
};
use units::{Day, Instant, Zone};

use super::{Known, TraceAsk, lot_names};
use crate::labels::lot;

/// A delivery so many days before a stocking may be what went in, d.
const BEFORE_STOCKING_D: i32 = 150;
/// What lies in a tub is moved on or sold within so many days, d.
const IN_TUB_D: i32 = 3;
/// An order's day may be so far from the day they came, d.
const ORDER_D: i32 = 30;

/// Baskets of one lot.
#[derive(Debug, Clone, PartialEq)]
pub struct Tubs {
    /// The lot that pond, day and tub come to.
    pub lot: String,
    /// The pond.
    pub pond: String,
    /// The working day.
    pub on: Day,
    /// As typed; empty when no tub was named.
    pub tub: String,
    /// Baskets, in order of time.
    pub baskets: Vec<Basket>,
}

/// What was moved from one tub into another: the lot it was of, and the lot of which it became part.
#[derive(Debug, Clone, PartialEq)]
pub struct MovedOn {
    /// The lot it was of.
    pub from: String,
    /// The lot it became part of.
    pub into: String,
    /// When.
    pub at: Instant,
    /// What was moved, kg; of a tub that holds several ponds' animals, of all of them together.
    pub weight_kg: f64,
}

/// What is known of the catch.
#[derive(Debug, Clone, PartialEq)]
pub struct Caught {
    /// Live weight of what was kept, kg.
    pub weight_kg: f64,
    /// Thrown away at the scale: dead, soft, waste, kg.
    pub thrown_kg: f64,
    /// Baskets.
    pub baskets: usize,
    /// First and last of them.
    pub span: (Instant, Instant),
    /// No basket names this tub: these are all of the pond's day.
    pub is_of_day: bool,
}

/// One feed over a season.
#[derive(Debug, Clone, PartialEq)]
pub struct Fed {
    /// As on the bag; empty when it was not noted.
    pub kind: String,
    /// All of it, kg.
    pub weight_kg: f64,
    /// First and last day.
    pub span: (Day, Day),
}

/// Postlarvae that came.
#[derive(Debug, Clone, PartialEq)]
pub struct Came {
    /// The day.
    pub on: Day,
    /// Animals, as sold.
    pub count: Option<f64>,
    /// Papers, as typed.
    pub papers: Option<String>,
    /// Who sold them, by the order that fits.
    pub hatchery: Option<String>,
    /// Followed through the tanks; else it only came before the stocking.
    pub is_followed: bool,
}

/// Where a lot comes from: a pond's catch of a day.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Its lot.
    pub lot: String,
    /// The pond's short name.
    pub pond: String,
    /// Day of the catch.
    pub on: Day,
    /// Tub; empty for the whole day.
    pub tub: String,
    /// The catch; `None` when no basket was written down.
    pub caught: Option<Caught>,
    /// What was stocked.
    pub stocked: Option<Lot>,
    /// Deliveries of postlarvae.
    pub came: Vec<Came>,
    /// Feeds from stocking to catch.
    pub feeds: Vec<Fed>,
    /// Treatments from stocking to catch.
    pub treatments: Vec<Treatment>,
}

impl Source {
    /// Tanks it came from.
    pub fn tanks(&self) -> &[FromTank] {
        self.stocked.as_ref().map_or(&[], |lot| &lot.from)
    }
}

/// What went into baskets that were thrown away, or into the others, kg.
fn weight_of(baskets: &[&Basket], is_thrown: bool) -> f64 {
    let thrown = |basket: &Basket| matches!(basket.to, Place::Dead | Place::Waste);
    baskets
        .iter()
        .filter(|basket| thrown(basket) == is_thrown)
        .map(|basket| basket.net_kg)
        .fold(0.0, |sum, kg| sum + kg)
}

/// Baskets by pond, working day and tub.
pub(super) fn tubs(facts: &[Kept], zone: &Zone) -> Vec<Tubs> {
    let mut days: Vec<Day> = facts
        .iter()
        .filter(|kept| kept.fact.kind == "basket")
        .map(|kept| working_day_of(kept.fact.happened.at, zone))
        .collect();
    days.sort_unstable();
    days.dedup();
    let own: Vec<Kept> =
        facts.iter().filter(|kept| matches!(kept.fact.kind.as_str(), "basket" | "settle")).cloned().collect();
    let mut all: BTreeMap<(Day, String, String), Vec<Basket>> = BTreeMap::new();
    for on in days {
        for basket in harvest_day(&own, zone, on, None).baskets {
            let Some(pond) = basket.written.pond.clone() else { continue };
            let tub = lot_name(basket.written.tub.as_deref().unwrap_or_default());
            all.entry((on, pond, tub)).or_default().push(basket);
        }
    }
    let made = |((on, pond, tub), baskets): ((Day, String, String), Vec<Basket>)| Tubs {
        lot: lot(&pond, on, &tub),
        pond,
        on,
        tub,
        baskets,
    };
    all.into_iter().map(made).collect()
}

/// What was moved from one tub or tank into another: the lot it was of, and the lot of which it became part. A tub's lot is the last that was
/// weighed into it by then, of any pond unless the move names one; one that holds nothing but what was moved is named for where it came from.
pub(super) fn mixed(facts: &[Kept], zone: &Zone, tubs: &[Tubs]) -> Vec<MovedOn> {
    let moved = |kept: &&Kept| matches!(kept.fact.kind.as_str(), "moved" | "settle");
    let own: Vec<Kept> = facts.iter().filter(moved).cloned().collect();
    let days: BTreeSet<Day> = own.iter().map(|kept| working_day_of(kept.fact.happened.at, zone)).collect();
    let mut moves: Vec<Moved> = days.into_iter().flat_map(|on| harvest_day(&own, zone, on, None).moved).collect();
    moves.sort_by_key(|one| one.written.at);
    let mut made: Vec<(Day, String, String, String)> = Vec::new();
    let mut all = Vec::new();
    for one in &moves {
        let (Some(out), Some(into)) = (&one.out_tub, &one.into_tub) else { continue };
        let by = working_day_of(one.written.at, zone);
        let of_pond = |pond: &str| one.written.pond.as_deref().is_none_or(|own| own == pond);
        // The lots that lay in a tub of this name on the last day anything came into it.
        let in_tub = |tub: &str| -> Vec<(Day, String, String)> {
            // As the board tells tubs apart: `Tub 1` and `1` are one.
            let is_it = |name: &str| same_tub(Some(name), Some(tub));
            let weighed = tubs.iter().filter(|of| is_it(&of.tub) && of_pond(&of.pond));
            let weighed = weighed.map(|of| (of.on, of.pond.clone(), of.lot.clone()));
            let came = made.iter().filter(|(_, pond, name, _)| is_it(name) && of_pond(pond));
            let came = came.map(|(on, pond, _, lot)| (*on, pond.clone(), lot.clone()));
            let lay: Vec<_> = weighed.chain(came).filter(|(on, ..)| *on <= by).collect();
            let last = lay.iter().map(|(on, ..)| *on).max();
            lay.into_iter().filter(|(on, ..)| Some(*on) == last).collect()
        };
        let (at, weight_kg) = (one.written.at, one.weight_kg);
        let there: Vec<_> = in_tub(into).into_iter().filter(|(on, ..)| by.0 - on.0 <= IN_TUB_D).collect();
        for (on, pond, from) in in_tub(out) {
            if there.is_empty() {
                let name = lot(&pond, on, &lot_name(into));
                made.push((on, pond, into.clone(), name.clone()));
                all.push(MovedOn { from, into: name, at, weight_kg });
            } else {
                let on = |name: &String| MovedOn { from: from.clone(), into: name.clone(), at, weight_kg };
                all.extend(there.iter().map(|(.., name)| on(name)));
            }
        }
    }
    all.retain(|one| one.from != one.into);
    all
}

/// Where lots come from: by their own names, or by the pack that names pond and day.
pub(super) fn sources(ask: &TraceAsk<'_>, known: &Known, lots: &[String]) -> Vec<Source> {
    let mut all = Vec::new();
    for name in lots {
        let mut places: Vec<(String, Day, String)> =
            lot_names(ask.farm, name).into_iter().map(|one| (one.pond, one.on, one.tub)).collect();
        if places.is_empty() {
            let said = known.packs.iter().filter(|pack| pack.lot == *name);
            let said = said.filter_map(|pack| Some((pack.pond.clone()?, pack.caught?, pack.tub.clone())));
            places.extend(said.map(|(pond, on, tub)| (pond, on, lot_name(tub.as_deref().unwrap_or_default()))));
            places.sort();
            places.dedup();
        }
        all.extend(places.into_iter().map(|(pond, on, tub)| source(ask, known, name, (pond, on, tub))));
    }
    all
}

fn source(ask: &TraceAsk<'_>, known: &Known, name: &str, (pond, on, tub): (String, Day, String)) -> Source {
    let of_day: Vec<&Tubs> = known.tubs.iter().filter(|tubs| tubs.pond == pond && tubs.on == on).collect();
    let of_tub: Vec<&&Tubs> = of_day.iter().filter(|tubs| tub.is_empty() || tubs.tub == tub).collect();
    let is_of_day = of_tub.is_empty();
    let baskets: Vec<&Basket> = match is_of_day {
        true => of_day.iter().flat_map(|tubs| &tubs.baskets).collect(),
        false => of_tub.iter().flat_map(|tubs| &tubs.baskets).collect(),
    };
    let times = || baskets.iter().map(|basket| basket.written.at);
    let caught = times().min().zip(times().max()).map(|span| Caught {
        weight_kg: weight_of(&baskets, false),
        thrown_kg: weight_of(&baskets, true),
        baskets: baskets.len(),
        span,
        is_of_day,
    });
    let stocked = ask.stocked.iter().filter(|lot| lot.pond == pond && lot.stocking.on <= on);
    let stocked = stocked.max_by_key(|lot| lot.stocking.on).cloned();
    let from = stocked.as_ref().map_or(Day(on.0 - 365), |lot| lot.stocking.on);
    let spans = |day: Day| from <= day && day <= on;
    Source {
        lot: name.to_owned(),
        caught,
        came: stocked.as_ref().map_or(Vec::new(), |lot| came(ask, lot)),
        feeds: feeds(ask, &pond, &spans),
        treatments: known.treatments.iter().filter(|one| one.pond == pond && spans(one.on)).cloned().collect(),
        stocked,
        pond,
        on,
        tub,
    }
}

fn feeds(ask: &TraceAsk<'_>, pond: &str, spans: &dyn Fn(Day) -> bool) -> Vec<Fed> {
    let zone = &ask.farm.place.zone;
    let mut all: BTreeMap<String, Fed> = BTreeMap::new();
    for kept in current(ask.facts).iter().filter_map(|entry| entry.settled()) {
        let (fact, day) = (&kept.fact, zone.day_and_second(kept.fact.happened.at).0);
        let Some(kg) = fact.values.get("feed").copied().filter(|_| fact.kind == "feed") else { continue };
        if fact.pond() != Some(pond) || !spans(day) {
            continue;
        }
        let kind = fact.text("feed_kind").unwrap_or_default().to_owned();
        let fed = all.entry(kind.clone()).or_insert(Fed { kind, weight_kg: 0.0, span: (day, day) });
        fed.weight_kg += kg;
        fed.span = (fed.span.0.min(day), fed.span.1.max(day));
    }
    all.into_values().collect()
}

/// The deliveries that its tanks held; where no tank is named, those that came before it went in.
fn came(ask: &TraceAsk<'_>, lot: &Lot) -> Vec<Came> {
    let zone = &ask.farm.place.zone;
    let heads = || current(ask.facts).into_iter().filter_map(|entry| entry.settled()).collect::<Vec<_>>();
    let followed: Vec<Day> = lot.from.iter().filter_map(|from| from.delivery.as_ref().map(|(day, _)| *day)).collect();
    let orders: Vec<(Day, String)> = heads()
        .iter()
        .filter(|kept| kept.fact.kind == "order")
        .filter_map(|kept| Some((Day::parse(kept.fact.text("comes")?)?, kept.fact.text("hatchery")?.to_owned())))
        .collect();
    let mut all = Vec::new();
    for kept in heads().into_iter().filter(|kept| kept.fact.kind == "delivery") {
        let on = zone.day_and_second(kept.fact.happened.at).0;
        let is_followed = followed.contains(&on);
        let may_be = (0..=BEFORE_STOCKING_D).contains(&(lot.stocking.on.0 - on.0));
        if !(is_followed || followed.is_empty() && may_be) {
            continue;
        }
        let apart = |day: &Day| (day.0 - on.0).abs();
        let order = orders.iter().filter(|(day, _)| apart(day) <= ORDER_D).min_by_key(|(day, _)| apart(day));
        all.push(Came {
            on,
            count: kept.fact.values.get("claimed").copied(),
            papers: kept.fact.text("papers").map(str::to_owned),
            hatchery: order.map(|(_, hatchery)| hatchery.clone()),
            is_followed,
        });
    }
    all
}
