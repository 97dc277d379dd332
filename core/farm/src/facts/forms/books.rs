//! Forms of money: costs, gear that lasts, what was meant to be spent.

use super::shape::Form;

pub(super) const FORMS: &[Form] = &[];
