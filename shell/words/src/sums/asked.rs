//! What is asked, for a terminal.

use season::farm::inputs::Input;
use season::sums::Sum;

use super::{example, hint};
use crate::morning::Lines;

/// A sum with its questions, for one who does not know it yet.
pub fn asked(sum: &Sum) -> String {
    let mut out = Lines::default();
    out.wrapped(sum.question);
    out.blank();
    out.text.push_str(&questions(sum.inputs));
    out.blank();
    out.line("Example:");
    out.line(&format!("  {}", example(sum)));
    out.text
}

/// What is asked, a question to a line.
pub fn questions(inputs: &[Input]) -> String {
    let mut out = Lines::default();
    let mut one = |of: &Input| out.hanging(&format!("  {:<15} ", of.name()), &format!("{} {}", of.question, hint(of)));
    inputs.iter().for_each(&mut one);
    out.text
}
