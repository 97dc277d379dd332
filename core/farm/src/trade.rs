//! What buyers take and pay, what things cost, and on which days one works and sells.

use units::Day;

use crate::farm::Days;

/// The form in which prawns are sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// Alive, by weight.
    Live,
    /// Chilled, heads on, by weight.
    Whole,
    /// Tails, shell on, by weight of the tails.
    Tails,
    /// Heads on, by the piece.
    Piece,
}

/// Prices.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// One row for each form and size class; within a form the classes do not overlap.
    pub rows: Vec<Price>,
    /// Weight of tails over weight of whole prawns, 0 to 1; `None` leaves it to the model's curve by size.
    pub tail_yield: Option<f64>,
}

impl Prices {
    /// The row for a form and a weight (of the whole animal; of the tail when the form is tails), g.
    pub fn of(&self, form: Form, weight_g: f64) -> Option<&Price> {
        self.rows.iter().find(|row| row.form == form && row.from_g <= weight_g && weight_g < row.to_g)
    }
}

/// What one size class brings in one form.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// The form.
    pub form: Form,
    /// Smallest weight of one piece, g (of the tail for tails).
    pub from_g: f64,
    /// Weight of one piece the class stops short of, g; infinite at the top.
    pub to_g: f64,
    /// What it brings.
    pub pays: Pays,
    /// The size class as typed, for showing; empty for all sizes.
    pub class: String,
}

/// Coins by weight or by the piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pays {
    /// Coins per kg.
    PerKg(f64),
    /// Coins for one.
    Each(f64),
}

/// What buyers will take, by form.
#[derive(Debug, Clone, PartialEq)]
pub struct Orders {
    /// One row for each form with a ceiling; a form without a row has none.
    pub ceilings: Vec<Ceiling>,
    /// Kilograms the farm can rinse, chill, head and pack in a day.
    pub processing_kg_day: f64,
}

/// How much of a form can be sold.
#[derive(Debug, Clone, PartialEq)]
pub struct Ceiling {
    /// The form.
    pub form: Form,
    /// Most on one day, kg of that form.
    pub kg_day: Option<f64>,
    /// Most over the season, kg of that form.
    pub kg_total: Option<f64>,
    /// Hours of notice the buyers need.
    pub notice_h: f64,
    /// Already sold, kg of that form.
    pub sold_kg: f64,
}

/// A buyer with a standing order: so much at every catch.
#[derive(Debug, Clone, PartialEq)]
pub struct StandingBuyer {
    /// The name.
    pub name: String,
    /// The form.
    pub form: Form,
    /// Weights of one animal that suit, g (of the tail for tails): least, and what it stops short of.
    pub size_g: (f64, f64),
    /// The size as typed; empty for all sizes.
    pub size: String,
    /// kg of the form, or pieces, at each catch.
    pub amount: f64,
    /// The price agreed; `None` leaves it to the price list.
    pub pays: Option<Pays>,
    /// How they are reached.
    pub contact: Option<String>,
    /// Weekdays on which they can take it, Monday first.
    pub weekdays: [bool; 7],
}

/// How a sale day goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SaleDay {
    /// Hour at which the first buyer may come, h.
    pub opens_h: f64,
    /// One pick-up slot, h.
    pub slot_h: f64,
    /// Buyers in one slot.
    pub slot_buyers: u32,
    /// Hour at which what is not sold is headed or frozen, h.
    pub unsold_h: f64,
}

/// Days to work and to sell.
#[derive(Debug, Clone, PartialEq)]
pub struct Calendar {
    /// Whether a harvest may fall on a weekday, Monday first.
    pub workdays: [bool; 7],
    /// Days without work.
    pub holidays: Vec<Days>,
    /// Weekdays with a sale at the bank or a market stand, Monday first.
    pub sale_weekdays: [bool; 7],
    /// Further sale days.
    pub sale_days: Vec<Day>,
}

impl Calendar {
    /// Whether a harvest may fall on the day.
    pub fn works(&self, day: Day) -> bool {
        self.workdays[usize::from(day.weekday())] && !self.holidays.iter().any(|days| days.contains(day))
    }
    /// Whether prawns are sold at the bank or a stand on the day.
    pub fn sells(&self, day: Day) -> bool {
        self.sale_weekdays[usize::from(day.weekday())] || self.sale_days.contains(&day)
    }
}

/// Costs, in coins.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    /// A kg of feed.
    pub feed_kg: f64,
    /// An hour of one aerator kilowatt.
    pub power_kwh: f64,
    /// A hand-hour.
    pub hand_h: f64,
    /// A litre of fuel.
    pub fuel_l: f64,
    /// A kg of ice.
    pub ice_kg: f64,
    /// Bags, boxes and labels per kg sold.
    pub packing_kg: f64,
}
