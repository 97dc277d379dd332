//! Chances that were given, and what came of them.

use season::scores::{CHANCES_ENOUGH, ChanceScore, Scores};

use super::{capital, number};
use crate::figures::odds;

/// Caption of the table of chances.
pub const CHANCE_TABLE: &str = "Chance given for a dawn below a cold mark, and how often it came";
/// Column heads of that table.
pub const CHANCE_HEADS: [&str; 4] = ["Chance given", "Times", "On average", "Came"];

/// Before what came of each group.
const INTRO: &str = "How often a dawn came below one of the two cold marks, by the chance that had been given for it:";

/// What came of the chances, or how many are missing.
pub fn chances(scores: &Scores) -> Vec<String> {
    let given: usize = scores.chances.iter().map(|group| group.count).sum();
    if given < CHANCES_ENOUGH {
        return vec![format!(
            "A chance for a dawn below a mark was given and read {}; from {CHANCES_ENOUGH} on we hold against it what came.",
            if given == 1 { "once".to_owned() } else { format!("{} times", number(given)) }
        )];
    }
    let mut said = vec![INTRO.to_owned()];
    said.extend(scores.chances.iter().map(chance));
    if let (Some(ours), Some(alike)) = (scores.brier, scores.brier_of_share) {
        let came: usize = scores.chances.iter().map(|group| group.came).sum();
        let share = odds(came as f64 / given as f64);
        // Where it never or always came, nothing is easier to call than what came.
        if came > 0 && came < given {
            said.push(match ours < alike {
                true => format!(
                    "Taken together they told cold dawns from others: giving every dawn the same chance, {share}, would have been worse."
                ),
                false => format!(
                    "Taken together they told cold dawns from others no better than giving every dawn the same chance, {share}."
                ),
            });
        }
    }
    said
}

fn chance(of: &ChanceScore) -> String {
    let came = match of.came {
        0 => "it never came".to_owned(),
        came if came == of.count => "it came each time".to_owned(),
        1 => "it came once".to_owned(),
        came => format!("it came {came} times"),
    };
    let times = if of.count == 1 { "once".to_owned() } else { format!("{} times", of.count) };
    format!("{}, given {times}: {came}.", capital(&group(of)))
}

/// A group of chances as one says it.
fn group(group: &ChanceScore) -> String {
    let share = |part: f64| match part {
        p if p < 0.2 => "1 in 10",
        p if p < 0.4 => "1 in 4",
        p if p < 0.6 => "1 in 2",
        _ => "3 in 4",
    };
    match group.above {
        above if above <= 0.0 => format!("{} or less", share(group.up_to)),
        above if group.up_to >= 1.0 => format!("more than {}", share(above)),
        above => format!("more than {}, up to {}", share(above), share(group.up_to)),
    }
}

/// A row of the table of chances.
pub fn chance_row(of: &ChanceScore) -> [String; 4] {
    [capital(&group(of)), of.count.to_string(), odds(of.called), format!("{} of {}", of.came, of.count)]
}
