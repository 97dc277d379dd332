//! What each tank holds after animals were counted out of it, into it, or where they were.
//!
//! Model     between counts a tank lives as `nursery` says; at a count its number falls by what went out and what died at it; a count of
//!           what stays takes the place of what was reckoned
//! Units     animals, g
//! Range     one delivery
//! Source    arithmetic
//! Left out  the spread of weights: after one grade went out ungraded animals keep the mean of what is left

use nursery::{Kept, raise};
use units::Day;

use super::DAYS;
use super::entered::{Moved, MovedTo};

/// What a tank holds since animals last went in or out.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// The day.
    pub since: Day,
    /// Animals then.
    pub count: f64,
    /// Their mean weight then, g.
    pub weight_g: f64,
    /// More or less by this, 95 times in 100, where they were counted then.
    pub either_way: Option<f64>,
    /// They were counted then, all of them.
    pub is_counted: bool,
    /// Counted out of it so far.
    pub went: f64,
    /// Dead seen since they were counted; of a tank that was not counted 0.
    pub dead_since: f64,
    /// More was counted out of it than it can have held.
    pub is_too_many: bool,
}

/// Counted out beyond this part of what was reckoned to be in a tank is too many: the share that came and the model may be off by that.
const TOO_MANY: f64 = 1.3;
/// Lightest and heaviest mean that may be left after a grade went out, against what was reckoned.
const LEFT_WEIGHT: (f64, f64) = (0.3, 2.0);

impl Held {
    /// As the delivery left it.
    pub(super) fn arrived(since: Day, count: f64, weight_g: f64) -> Held {
        Held {
            since,
            count,
            weight_g,
            either_way: None,
            is_counted: false,
            went: 0.0,
            dead_since: 0.0,
            is_too_many: false,
        }
    }
    /// Lives on to a day.
    fn live(&mut self, model: &nursery::Tank, kept: &Kept, on: Day) {
        let days = (on.0 - self.since.0).clamp(0, DAYS as i32) as u32;
        if days > 0 && self.count > 0.0 {
            let last = raise(model, kept, self.count, self.weight_g, days).days[days as usize];
            (self.count, self.weight_g, self.is_counted, self.either_way) =
                (last.count, last.mean_weight_g, false, None);
        }
        self.since = self.since.max(on);
    }
    fn goes(&mut self, one: &Moved) {
        let gone = one.count + one.dead;
        self.is_too_many |= gone > TOO_MANY * self.count + 1.0;
        let left = if one.is_emptied { 0.0 } else { (self.count - gone).max(0.0) };
        if let Some(weight_g) = one.mean_weight_g.filter(|_| left > 0.0) {
            let rest_g = (self.count * self.weight_g - one.count * weight_g) / left;
            self.weight_g = rest_g.clamp(LEFT_WEIGHT.0 * self.weight_g, LEFT_WEIGHT.1 * self.weight_g);
        }
        (self.count, self.is_counted, self.either_way) = (left, false, None);
        self.went += one.count;
    }
    /// Counted where it is: the first of a day takes the place of what was reckoned, further grades of that day come to it.
    fn stays(&mut self, one: &Moved) {
        let before = if self.is_counted { self.count } else { 0.0 };
        let weight_g = one.mean_weight_g.unwrap_or(self.weight_g);
        let both = |a: Option<f64>, b: Option<f64>| Some((a?.powi(2) + b?.powi(2)).sqrt());
        self.either_way = if self.is_counted { both(self.either_way, one.either_way) } else { one.either_way };
        self.mix(before, one.count, weight_g);
        self.is_counted = true;
    }
    fn comes(&mut self, one: &Moved, weight_g: f64) {
        let was_empty = self.count <= 0.0;
        self.mix(self.count, one.count, weight_g);
        self.is_counted = was_empty;
        self.either_way = one.either_way.filter(|_| was_empty);
    }
    fn mix(&mut self, before: f64, more: f64, weight_g: f64) {
        let all = before + more;
        if all > 0.0 {
            self.weight_g = (before * self.weight_g + more * weight_g) / all;
        }
        self.count = all;
    }
}

/// Every tank after all that was counted, in the order of `names`.
pub(super) fn fold(
    mut held: Vec<Held>,
    moves: &[Moved],
    names: &[&str],
    models: &[nursery::Tank],
    kept: &[Kept],
) -> Vec<Held> {
    let place = |name: &str| names.iter().position(|known| *known == name);
    for one in moves {
        let Some(from) = place(&one.tank) else { continue };
        held[from].live(&models[from], &kept[from], one.on);
        let weight_g = one.mean_weight_g.unwrap_or(held[from].weight_g);
        match &one.to {
            MovedTo::Stays => held[from].stays(one),
            _ => held[from].goes(one),
        }
        if let MovedTo::Tank(name) = &one.to
            && let Some(to) = place(name)
        {
            held[to].live(&models[to], &kept[to], one.on);
            held[to].comes(one, weight_g);
        }
    }
    held
}
