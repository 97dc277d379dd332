//! What is written down of the farm's money.

use super::Input;

pub(super) static INPUTS: &[Input] = &[];
