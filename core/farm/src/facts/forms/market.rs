//! Forms of buyers: what they asked for, what they were told, what was handed to a table, sold and paid.

use super::shape::Form;

pub(super) const FORMS: &[Form] = &[];
