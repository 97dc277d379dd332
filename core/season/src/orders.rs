//! The order of postlarvae: what was agreed with the hatchery, what is due when, and what a count at the door says of it.
//!
//! Model     orders as entered, each mended by what the hatchery says later; dates worked forward from the day they come
//! Units     animals, units of the farm's currency, h
//! Range     orders whose animals come within a year, or came within [`OLD_D`]
//! Source    docs/model/orders.md; the steps are common practice
//! Left out  what the hatchery's own terms say beyond the hours of a claim: the grower reads them

use farm::Farm;
use farm::facts::{Kept, current};
use sums::{Given, Slip};
use units::{Day, Instant};

use crate::past::FarmPast;
use crate::tanks::Delivery;
use crate::winter::{INPUTS, Nursing, understand};

#[cfg(test)]
mod tests;
mod turns;

pub use turns::{Second, TURNS, Turn, TurnKind, Turns, TurnsAsk, turns};

/// An order whose animals came, or should have come, this long ago is another season's, d.
pub const OLD_D: i32 = 120;
/// An order for a day further ahead than this is mistyped or of another year, d.
const AHEAD_D: i32 = 400;
/// A delivery this many days from the day agreed is taken for the order's, d.
const NEAR_D: i32 = 30;
/// Hours within which a claim is made where the order does not say (common practice: within a day).
pub const CLAIM_USUAL_H: f64 = 24.0;

/// What the hatchery says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Said {
    /// Asked for; not confirmed.
    Asked,
    /// The day is confirmed.
    Confirmed,
    /// They will not come.
    Lost,
}

/// An order as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// Mark of its first entry.
    pub id: String,
    /// Mark of the entry that holds.
    pub head: String,
    /// Who sells.
    pub hatchery: String,
    /// Postlarvae.
    pub count: f64,
    /// The day they come.
    pub comes: Day,
    /// The day and the number of the first entry.
    pub first: (Day, f64),
    /// What the hatchery said last.
    pub said: Said,
    /// Price of a thousand, units of the currency.
    pub per_1000: Option<f64>,
    /// Deposit, units of the currency.
    pub deposit: Option<f64>,
    /// The day by which it is paid.
    pub deposit_by: Option<Day>,
    /// Hours after arrival within which a claim must be made; `None` when it was not said.
    pub claim_h: Option<f64>,
    /// What was promised with them, as typed.
    pub papers: Option<String>,
}

/// The orders that matter now, in order of the day they come; lost ones among them.
pub fn placed(facts: &[Kept], today: Day) -> Vec<Placed> {
    let entries = current(facts);
    let mut all: Vec<Placed> = entries
        .iter()
        .filter(|entry| entry.first.fact.kind == "order")
        .filter_map(|entry| one(entry.first, entry.settled()?))
        .filter(|order| (-OLD_D..=AHEAD_D).contains(&(order.comes.0 - today.0)))
        .collect();
    all.sort_by(|a, b| (a.comes, &a.id).cmp(&(b.comes, &b.id)));
    all
}

fn one(first: &Kept, head: &Kept) -> Option<Placed> {
    let fact = &head.fact;
    let value = |name: &str| fact.values.get(name).copied();
    let day = |kept: &Kept, name: &str| kept.fact.text(name).and_then(Day::parse);
    let (comes, count) = (day(head, "comes")?, value("ordered")?);
    let said = match fact.text("said") {
        Some("confirmed") => Said::Confirmed,
        Some("lost") => Said::Lost,
        _ => Said::Asked,
    };
    Some(Placed {
        id: first.fact.id.clone(),
        head: fact.id.clone(),
        hatchery: fact.text("hatchery").unwrap_or_default().to_owned(),
        count,
        comes,
        first: (day(first, "comes").unwrap_or(comes), first.fact.values.get("ordered").copied().unwrap_or(count)),
        said,
        per_1000: value("per_1000"),
        deposit: value("deposit"),
        deposit_by: day(head, "deposit_by"),
        claim_h: value("claim_hours"),
        papers: fact.text("promised").map(str::to_owned),
    })
}

impl Placed {
    /// What the whole order costs, units of the currency, where a price was said.
    pub fn price(&self) -> Option<f64> {
        Some(self.per_1000? * self.count / 1000.0)
    }
    /// The delivery that answers it: the nearest within [`NEAR_D`] days that lies no nearer to another order.
    pub fn came<'a>(&self, orders: &[Placed], deliveries: &'a [Delivery]) -> Option<&'a Delivery> {
        let away = |order: &Placed, one: &Delivery| (one.on.0 - order.comes.0).abs();
        let is_own = |one: &&Delivery| {
            let nearest = orders.iter().min_by_key(|order| away(order, one));
            away(self, one) <= NEAR_D && nearest.is_none_or(|nearest| nearest.id == self.id)
        };
        deliveries.iter().filter(is_own).min_by_key(|one| away(self, one))
    }
    /// What is due, in order of days; what a day is told for stands first among those of one day.
    pub fn steps(&self) -> Vec<(Day, Step)> {
        let mut all: Vec<(Day, Step)> = STEPS.iter().map(|(before, step)| (self.comes.plus(-before), *step)).collect();
        if self.deposit.is_some_and(|money| money > 0.0) {
            all.push((self.deposit_by.unwrap_or(self.comes.plus(-DEPOSIT_D)), Step::Deposit));
        }
        all.sort_by_key(|(day, _)| *day);
        all
    }
}

/// Something due before the animals come, or on the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// The deposit is paid.
    Deposit,
    /// Permits and health papers are asked for.
    Papers,
    /// The biofilter is started.
    Filter,
    /// The hatchery confirms day and hour.
    Confirm,
    /// Tanks are filled, warmed and aired.
    Fill,
    /// Scale, sample nets, thermometers, pH, salt of the bags' water are at hand.
    Gear,
    /// They come: count before they are shared out.
    Count,
}

/// A deposit whose day was not said is paid this long before, d (our guess: hatcheries differ).
pub(crate) const DEPOSIT_D: i32 = 60;

/// Steps with how many days before the animals come: common practice.
const STEPS: [(i32, Step); 6] = [
    (45, Step::Papers),
    (Nursing::USUAL.filter_days, Step::Filter),
    (10, Step::Confirm),
    (3, Step::Fill),
    (1, Step::Gear),
    (0, Step::Count),
];

/// What a delivery gives a claim to.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// Animals on the hatchery's paper.
    pub claimed: f64,
    /// Animals ordered, where an order was entered.
    pub ordered: Option<f64>,
    /// Alive by the farm's own count, and how far that may be off; `None` without a count.
    pub alive: Option<(f64, f64)>,
    /// Dead on arrival.
    pub dead: f64,
    /// Fewer alive than paid for.
    pub short: Option<f64>,
    /// The count can tell that: it lies beyond what the count may be off.
    pub is_told: bool,
    /// Money for the missing, units of the currency, where a price was said.
    pub worth: Option<f64>,
    /// The last moment for it.
    pub until: Instant,
    /// That moment stands in the order; otherwise it is what is common.
    pub is_until_said: bool,
}

/// What may be claimed of a delivery that came at a moment.
pub fn claim(delivery: &Delivery, came_at: Instant, order: Option<&Placed>) -> Claim {
    let hours = order.and_then(|order| order.claim_h);
    let short = delivery.short();
    let alive = delivery.counted.map(|count| (delivery.alive(), count.either_way));
    let missing = short.map(|(short, _)| short.max(0.0));
    let per_1000 = order.and_then(|order| order.per_1000);
    Claim {
        claimed: delivery.claimed,
        ordered: order.map(|order| order.count),
        alive,
        dead: delivery.dead,
        short: missing,
        is_told: short.is_some_and(|(_, is_told)| is_told),
        worth: missing.zip(per_1000).map(|(missing, per_1000)| missing * per_1000 / 1000.0),
        until: Instant(came_at.0 + (3600.0 * hours.unwrap_or(CLAIM_USUAL_H)) as i64),
        is_until_said: hours.is_some(),
    }
}

/// Juveniles that an order comes to. The reserve of an order is not counted on: it is there for what goes wrong.
pub fn juveniles(postlarvae: f64, nursing: &Nursing) -> f64 {
    postlarvae * nursing.survival * nursing.carried
}

/// Questions of the winter plan that the turns of an order ask again.
pub const ASKED: [&str; 7] =
    ["nursing", "last_catch", "juvenile_weight", "prices", "juvenile_cost", "other_costs", "risk"];

/// What is asked about an order: so many postlarvae that come on a day, with what was typed of [`ASKED`]. Where no cost of a juvenile was
/// typed, the order's own price stands for it.
///
/// # Errors
/// Everything that is wrong.
pub fn asked<'a>(
    farm: &'a Farm,
    past: &'a FarmPast,
    (count, comes, per_1000): (f64, Day, Option<f64>),
    typed: &[(&str, &str)],
) -> Result<TurnsAsk<'a>, Vec<Slip>> {
    let given = Given::read(INPUTS, typed)?;
    let days = given.get("nursing") as i32;
    let stocked = comes.plus(days).to_string();
    let told = |name: &str| typed.iter().any(|(known, text)| *known == name && !text.trim().is_empty());
    let survival = if days == 0 { 1.0 } else { Nursing::USUAL.survival };
    let cost = per_1000.map(|price| format!("{:.6}", price / 1000.0 / (survival * Nursing::USUAL.carried)));
    let mut all: Vec<(&str, &str)> = typed.iter().copied().filter(|(name, _)| ASKED.contains(name)).collect();
    all.extend([("first", stocked.as_str()), ("last", stocked.as_str())]);
    // The first last day of catch after they come: a late order does not move the autumn.
    let own = farm.season.last_catch;
    let year = comes.ymd().0;
    let last_catch = if own.in_year(year) > comes { own.in_year(year) } else { own.in_year(year + 1) };
    let last_catch = last_catch.to_string();
    if !told("last_catch") {
        all.retain(|(name, _)| *name != "last_catch");
        all.push(("last_catch", &last_catch));
    }
    if let Some(cost) = cost.as_deref().filter(|_| !told("juvenile_cost")) {
        all.retain(|(name, _)| *name != "juvenile_cost");
        all.push(("juvenile_cost", cost));
    }
    let understood = understand(farm, past, 0, comes, &all)?;
    Ok(TurnsAsk { winter: understood.ask, nursing: understood.nursing, count, comes })
}
