//! What is written down of buyers: their orders, what was handed out to sell, sold and paid.

use super::Input;

pub(super) static INPUTS: &[Input] = &[];
