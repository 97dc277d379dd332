//! What is written down of packs, treatments, what falls due and losses.

use super::Input;

pub(super) static INPUTS: &[Input] = &[];
