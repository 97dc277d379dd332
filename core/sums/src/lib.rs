//! The sums done at the pond: each one formula with its questions, its working, its range and its source.
//!
//! [`SUMS`] is the one table: the page, the command, the manual and the checks are made from it. A sum reads what a person typed in
//! any unit ([`Sum::read`]), and gives [`Worked`]: answers, the steps that lead to them, and what to beware of. It keeps nothing and
//! knows no farm. Words for what is wrong are made elsewhere; questions and names of steps stand here, beside the formula they belong to.

mod given;
mod harvest;
mod money;
mod nursery;
mod stock_sums;
mod table;
mod tanks;
mod water;
mod water_work;

#[cfg(test)]
mod tests;

pub use given::{Given, Slip};
pub use table::{Caution, Group, Line, Mark, Measure, Remark, Sum, Weight, Worked};
pub use units::t_95;

/// Every sum, in the order of the manual.
pub static SUMS: [&[Sum]; 7] =
    [water::SUMS, water_work::SUMS, nursery::SUMS, tanks::SUMS, stock_sums::SUMS, harvest::SUMS, money::SUMS];

/// Every sum, in the order of the manual.
pub fn sums() -> impl Iterator<Item = &'static Sum> {
    SUMS.iter().copied().flatten()
}

/// The sum of this name.
pub fn sum(name: &str) -> Option<&'static Sum> {
    sums().find(|sum| sum.name == name)
}
