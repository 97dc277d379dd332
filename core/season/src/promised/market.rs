//! What is common to all catches of a farm: size classes, orders as they are shared out, what a day can do.

use books::allocate::{self, Class, Limits, Wanted};
use farm::facts::market::SoldAs;
use farm::{Farm, Form, Pays};
use harvest::Task;
use units::Day;

use super::Buyer;
use crate::day::means::rates;

/// Days that a form keeps from the catch to the pick-up: whole, seconds and by the piece; tails. Live as long as the farm's tanks hold.
const KEEPS_WHOLE_D: i32 = 3;
const KEEPS_TAILS_D: i32 = 6;
/// Share of a day's hands that may stand at the heading table: our guess, the rest catches and carries.
const HEADING_SHARE: f64 = 0.5;

/// Sells what as in the room that shares out.
fn form(sold_as: SoldAs) -> allocate::SoldAs {
    match sold_as {
        SoldAs::Live => allocate::SoldAs::Live,
        SoldAs::Whole | SoldAs::Seconds => allocate::SoldAs::Whole,
        SoldAs::Tails => allocate::SoldAs::Tails,
        SoldAs::Piece => allocate::SoldAs::Piece,
    }
}

/// Limits nearer than this are one, g.
const SAME_G: f64 = 1e-6;

fn rising(limits_g: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut limits_g: Vec<f64> = limits_g.collect();
    limits_g.sort_by(f64::total_cmp);
    limits_g.dedup_by(|a, b| (*a - *b).abs() < SAME_G);
    limits_g
}

/// What is common to all catches of a farm.
pub(super) struct Market<'a> {
    pub farm: &'a Farm,
    pub buyers: &'a [Buyer],
    /// Limits between size classes, g of the whole animal, rising.
    pub limits_g: Vec<f64>,
    /// For each class the place of the one it is shown in: classes that a size of whole animals names.
    shown_in: Vec<usize>,
    /// For each buyer of this once the pick-up day that they count upon, where a planned catch gives it.
    held: Vec<Option<Day>>,
    pub tail_fraction: f64,
}

impl<'a> Market<'a> {
    pub(super) fn new(farm: &'a Farm, buyers: &'a [Buyer]) -> Market<'a> {
        let tail_fraction = farm.prices.tail_yield.unwrap_or(stock::Mixture::new(45_000.0, 0.0).tail_fraction());
        let whole = |is_tails: bool, g: f64| if is_tails { g / tail_fraction } else { g };
        let listed =
            farm.prices.rows.iter().flat_map(|row| [row.from_g, row.to_g].map(|g| (row.form == Form::Tails, g)));
        let asked =
            buyers.iter().flat_map(|one| [one.size_g.0, one.size_g.1].map(|g| (one.good.sold_as == SoldAs::Tails, g)));
        let real = |(_, g): &(bool, f64)| *g > 0.0 && g.is_finite();
        let all: Vec<(bool, f64)> = listed.chain(asked).filter(real).collect();
        let limits_g = rising(all.iter().map(|(is_tails, g)| whole(*is_tails, *g)));
        // A limit of tails is a size of whole animals that nobody named. Where only tails have sizes, theirs are all there is to tell.
        let named = rising(all.iter().filter(|(is_tails, _)| !is_tails).map(|(_, g)| *g));
        let named = if named.is_empty() { limits_g.clone() } else { named };
        let below = |at: usize| if at == 0 { 0.0 } else { limits_g[at - 1] };
        let shown = |at: usize| named.iter().filter(|limit| **limit <= below(at) + SAME_G).count();
        let shown_in = (0..=limits_g.len()).map(shown).collect();
        Market { farm, buyers, shown_in, limits_g, held: vec![None; buyers.len()], tail_fraction }
    }

    /// With the planned days of catch: who was told of one of them, and did not refuse, waits for that one.
    pub(super) fn of_days(mut self, planned: impl Iterator<Item = Day> + Clone) -> Self {
        let held = |buyer: &Buyer| {
            let comes = |day: &Day| planned.clone().any(|on| self.pick_up(buyer, on) == Some(*day));
            buyer.counted_on().filter(|_| !buyer.is_standing).find(comes)
        };
        self.held = self.buyers.iter().map(held).collect();
        self
    }

    /// The classes that are shown: their ends, g, and the classes in each.
    pub(super) fn shown(&self) -> Vec<(f64, f64, Vec<usize>)> {
        let mut shown: Vec<(f64, f64, Vec<usize>)> = Vec::new();
        for (class, place) in self.shown_in.iter().enumerate() {
            let (low, high) = self.ends(class);
            match shown.get_mut(*place) {
                Some((_, to, classes)) => (*to, _) = (high, classes.push(class)),
                None => shown.push((low, high, vec![class])),
            }
        }
        shown
    }

    /// Ends of a class, g.
    pub(super) fn ends(&self, class: usize) -> (f64, f64) {
        let low = if class == 0 { 0.0 } else { self.limits_g[class - 1] };
        (low, self.limits_g.get(class).copied().unwrap_or(f64::INFINITY))
    }

    pub(super) fn class(&self, at: usize, kg: f64, live_kg: f64) -> Class {
        let (low, high) = self.ends(at);
        let high = if high.is_finite() { high } else { low * 1.3 + 10.0 };
        Class { weight_kg: kg, mean_weight_g: 0.5 * (low + high), live_kg, tail_fraction: self.tail_fraction }
    }

    pub(super) fn wanted(&self, buyer: &Buyer, amount: f64) -> Wanted {
        let whole = |g: f64| if buyer.good.sold_as == SoldAs::Tails { g / self.tail_fraction } else { g };
        // Without a price it is still an order: it is filled after those that pay.
        let pays_coins = match buyer.pays {
            Some(Pays::PerKg(coins) | Pays::Each(coins)) => coins.max(1e-3),
            None => 1e-3,
        };
        // Limits and sizes come from the same texts: a hair keeps a class on its side.
        let (from_g, to_g) = (whole(buyer.size_g.0) - 1e-6, whole(buyer.size_g.1) - 1e-6);
        Wanted { sold_as: form(buyer.good.sold_as), from_g, to_g, amount, pays_coins, rank: buyer.rank as u32 }
    }

    pub(super) fn limits(&self, on: Day, mean_weight_g: f64) -> Limits {
        let farm = self.farm;
        let hours = rates(farm).hours(Task::Head, 1.0, mean_weight_g.max(1.0));
        let hand_h = f64::from(farm.crew.hands(on)) * farm.crew.hours_per_day * HEADING_SHARE;
        let headed_kg = if hours > 0.0 { hand_h / hours } else { f64::INFINITY };
        let tanks = f64::from(farm.cold.live_tanks) * farm.cold.live_tank_m3 * farm.cold.live_kg_m3;
        Limits { headed_kg: headed_kg.min(farm.orders.processing_kg_day).min(1e9), live_kg: tanks }
    }

    /// Whether what is caught on a day can fill the order of the buyer at this place.
    pub(super) fn suits(&self, at: usize, on: Day) -> bool {
        let pick_up = self.pick_up(&self.buyers[at], on);
        pick_up.is_some() && (self.held[at].is_none() || self.held[at] == pick_up)
    }

    /// The day on which a buyer fetches what is caught on a day: that day, or the first on which they take it while it keeps. Who refused
    /// the day of the catch is not counted upon for it.
    pub(super) fn pick_up(&self, buyer: &Buyer, on: Day) -> Option<Day> {
        if buyer.refused(on) {
            return None;
        }
        (0..=self.keeps_d(buyer.good.sold_as)).map(|days| on.plus(days)).find(|day| buyer.takes_on(*day))
    }

    /// Days that a form keeps after the catch.
    fn keeps_d(&self, sold_as: SoldAs) -> i32 {
        let keeps_d = match sold_as {
            SoldAs::Live => self.farm.cold.live_nights as i32,
            SoldAs::Tails => KEEPS_TAILS_D,
            _ => KEEPS_WHOLE_D,
        };
        keeps_d.max(0)
    }

    /// Whether what was caught on a day keeps in this form until today.
    pub(super) fn keeps(&self, sold_as: SoldAs, caught: Day, today: Day) -> bool {
        today <= caught.plus(self.keeps_d(sold_as))
    }

    /// The day from today on on which the buyer at this place fetches what was caught on a day and lies on ice: one they count upon, else the first
    /// on which they take it. Who counts upon the day of a coming catch is served by that one.
    pub(super) fn iced(&self, at: usize, caught: Day, today: Day) -> Option<Day> {
        let buyer = &self.buyers[at];
        if self.held[at].is_some() || buyer.refused(caught) {
            return None;
        }
        let last = caught.plus(self.keeps_d(buyer.good.sold_as));
        let takes = |day: &Day| today <= *day && *day <= last && buyer.takes_on(*day);
        let told = buyer.counted_on().find(|day| takes(day));
        told.or_else(|| (0..=(last.0 - today.0)).map(|days| today.plus(days)).find(takes))
    }
}
