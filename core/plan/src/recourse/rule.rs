//! The rule: on each morning, for each set of ponds still full, what starting one of them now is worth over waiting.

use super::signals::Shape;

/// What the rule knows of one question: "these ponds are full; start this one now?"
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Answer {
    /// Ponds still full, a bit each.
    pub full: u32,
    /// The pond asked about.
    pub pond: u32,
    /// Which of its openings of that morning, by catch day.
    pub nth: u32,
    /// Level and slopes of the advantage of starting over waiting.
    pub slopes: Vec<f64>,
}

/// A fitted rule. It can be kept and used on later mornings with other members.
#[derive(Debug, Clone, PartialEq)]
pub struct Rule {
    pub(crate) shape: Shape,
    /// Answers by morning, sorted by (full, pond, nth).
    pub(crate) mornings: Vec<Vec<Answer>>,
}

impl Rule {
    pub(crate) fn new(shape: Shape, mornings: usize) -> Rule {
        Rule { shape, mornings: vec![Vec::new(); mornings] }
    }

    /// Number of mornings the rule speaks of.
    pub fn mornings(&self) -> usize {
        self.mornings.len()
    }

    pub(crate) fn slopes(&self, morning: usize, full: u32, pond: u32, nth: u32) -> Option<&[f64]> {
        let answers = self.mornings.get(morning)?;
        let at = answers.binary_search_by_key(&(full, pond, nth), |a| (a.full, a.pond, a.nth)).ok()?;
        Some(&answers[at].slopes)
    }

    /// The rule as it stands `days` mornings later, for tables that begin later.
    pub fn later(mut self, days: usize) -> Rule {
        self.mornings.drain(..days.min(self.mornings.len()));
        self
    }
}

/// `level + slopes x features` for all members; `features` is feature outermost, `n_members` innermost.
pub(crate) fn scores(slopes: &[f64], own: &[usize], features: &[f64], n_members: usize, into: &mut Vec<f64>) {
    into.clear();
    into.resize(n_members, slopes[0]);
    for (&slope, &feature) in slopes[1..].iter().zip(own) {
        let x = &features[feature * n_members..(feature + 1) * n_members];
        into.iter_mut().zip(x).for_each(|(score, x)| *score += slope * x);
    }
}

impl Rule {
    /// What a change of one signal, others held, adds to the advantage of a start on the first morning.
    pub(crate) fn slope_change(&self, full: u32, pond: usize, nth: u32, kind: usize, now: f64, change: f64) -> f64 {
        let Some(slopes) = self.slopes(0, full, pond as u32, nth) else { return 0.0 };
        let own = slopes[1..].iter().zip(&self.shape.of_pond[pond]);
        own.map(|(slope, &index)| (slope, &self.shape.features[index]))
            .filter(|(_, feature)| feature.kind == kind)
            .map(|(slope, feature)| slope * (feature.value(now + change) - feature.value(now)))
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rule_kept_for_two_days_speaks_of_the_day_two_on() {
        let shape = Shape { features: Vec::new(), of_pond: vec![Vec::new()] };
        let mut rule = Rule::new(shape, 4);
        for morning in 0..4 {
            rule.mornings[morning].push(Answer { full: 1, pond: 0, nth: 0, slopes: vec![morning as f64] });
        }
        let level = |rule: &Rule, morning| rule.slopes(morning, 1, 0, 0).map(|slopes| slopes[0]);
        assert_eq!(level(&rule, 2), Some(2.0));
        let later = rule.later(2);
        assert_eq!((level(&later, 0), level(&later, 1), level(&later, 2)), (Some(2.0), Some(3.0), None));
        assert_eq!(later.later(9).mornings(), 0);
    }
}
