//! How long a lot may be sold as fresh, by its form.
//!
//! Model     hours since the catch against three marks: sell by, warn from, stop
//! Units     h
//! Range     chilled: kept in melting ice; frozen: kept frozen through; alive: in aerated water at 20 to 22 °C
//! Source    docs/model/trace.md. Common practice, laid on what was read of this animal: mushiness sets in 4 to 8 days whole on ice
//!           (Kirschnik and others), 3 days in Hawaii (Flick), softening marked after 3 days (collagen); whole prime to 6 and acceptable to 12 days
//!           (Ninan and others); headed at once as long or longer; alive 24 h in open tanks, 42 h in sealed boxes. Frozen: memory of public
//!           storage advice for crustaceans, 6 to 18 months
//! Left out  how warm it was on the way: a lot that was warm has no clock, and the inspector has the last word on every one

use farm::Farm;
use farm::facts::market::SoldAs;
use farm::facts::{PackForm, working_day};
use units::Instant;

use crate::trace::LotName;

#[cfg(test)]
mod tests;

/// The forms that have a clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Keeps {
    /// Alive.
    Live,
    /// Whole, on ice.
    Whole,
    /// Tails, on ice.
    Tails,
    /// Frozen.
    Frozen,
}

impl Keeps {
    /// Every form.
    pub const ALL: [Keeps; 4] = [Keeps::Live, Keeps::Whole, Keeps::Tails, Keeps::Frozen];

    /// Of a pack.
    pub fn of_pack(form: PackForm, is_frozen: bool) -> Keeps {
        match form {
            _ if is_frozen => Keeps::Frozen,
            PackForm::Whole => Keeps::Whole,
            PackForm::Tails => Keeps::Tails,
            PackForm::Live => Keeps::Live,
        }
    }
    /// Of a line of the sale that is not frozen.
    pub fn of_sale(form: SoldAs) -> Keeps {
        match form {
            SoldAs::Live => Keeps::Live,
            SoldAs::Whole | SoldAs::Piece | SoldAs::Seconds => Keeps::Whole,
            SoldAs::Tails => Keeps::Tails,
        }
    }
    /// Its marks, hours since the catch.
    pub fn marks(self) -> Marks {
        match self {
            Keeps::Live => Marks { sell_by_h: 12.0, warn_h: 24.0, stop_h: 42.0 },
            Keeps::Whole => Marks { sell_by_h: 48.0, warn_h: 72.0, stop_h: 96.0 },
            Keeps::Tails => Marks { sell_by_h: 72.0, warn_h: 96.0, stop_h: 120.0 },
            Keeps::Frozen => Marks { sell_by_h: 183.0 * 24.0, warn_h: 365.0 * 24.0, stop_h: 548.0 * 24.0 },
        }
    }
}

/// Whole or tails that are to be frozen go into the freezer within this, h since the catch: common practice.
pub const FREEZE_BY_H: f64 = 24.0;

/// The marks of a form, h since the catch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marks {
    /// At its best until then.
    pub sell_by_h: f64,
    /// From then on every buyer is told its age.
    pub warn_h: f64,
    /// From then on it is no longer sold as fresh (of frozen: as first quality).
    pub stop_h: f64,
}

/// How fresh it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fresh {
    /// At its best.
    Good,
    /// Sell it first.
    First,
    /// Near its end: tell its age.
    Late,
    /// Not to be sold as fresh any more.
    Over,
}

/// A lot's clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// As what it is kept.
    pub keeps: Keeps,
    /// When it began.
    pub since: Instant,
    /// Its age, h; nothing before it began.
    pub age_h: f64,
    /// How fresh.
    pub fresh: Fresh,
    /// When the next mark is reached; `None` when it is over.
    pub next: Option<Instant>,
    /// When it is over.
    pub stops: Instant,
}

/// The clock of what was caught at a moment.
pub fn clock(keeps: Keeps, since: Instant, now: Instant) -> Clock {
    let marks = keeps.marks();
    let at = |hours: f64| Instant(since.0 + (3600.0 * hours) as i64);
    let age_h = ((now.0 - since.0) as f64 / 3600.0).max(0.0);
    let (fresh, next) = match age_h {
        age if age < marks.sell_by_h => (Fresh::Good, Some(at(marks.sell_by_h))),
        age if age < marks.warn_h => (Fresh::First, Some(at(marks.warn_h))),
        age if age < marks.stop_h => (Fresh::Late, Some(at(marks.stop_h))),
        _ => (Fresh::Over, None),
    };
    Clock { keeps, since, age_h, fresh, next, stops: at(marks.stop_h) }
}

/// The clock of a lot by the day in its own name, begun with the working day: nothing of it was caught earlier. `None` when its name tells no day.
pub fn of_lot(farm: &Farm, lot: &str, keeps: Keeps, now: Instant) -> Option<Clock> {
    let on = LotName::day_of(&farm::facts::lot_name(lot))?;
    Some(clock(keeps, working_day(on, &farm.place.zone).0, now))
}
