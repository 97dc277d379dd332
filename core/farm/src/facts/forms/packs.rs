//! Forms of packs, treatments, what falls due and losses.

use super::shape::Form;

pub(super) const FORMS: &[Form] = &[];
