//! Work that comes round, as far as it is due today.
//!
//! Model     due so many days after it was last entered, or after stocking; the most overdue for its rhythm first
//! Units     days
//! Range     ponds in the water whose water does not go down within a day
//! Source    rhythms: common practice (`farm::Chore`)
//! Left out  weather, hands

use farm::{Chore, PondCard};
use units::Day;

use crate::answer::FeedWhy;
use crate::report::Reporting;

/// Work due in some ponds.
#[derive(Debug, Clone, PartialEq)]
pub struct ChoreDue {
    /// What.
    pub chore: Chore,
    /// Where, the longest overdue first.
    pub ponds: Vec<PondDue>,
}

/// One pond where it is due.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PondDue {
    /// Its place among the farm's ponds.
    pub index: usize,
    /// When it was last entered; `None` when it never was since stocking.
    pub last: Option<Day>,
    /// Days since then or since stocking.
    pub since_d: i32,
}

/// Never entered presses no more than so many rhythms missed: a season's silence is a habit, not a debt.
const NEVER_MOST: f64 = 1.5;
/// Hours before the water goes down in which nothing comes round any more.
const GOING_DOWN_H: i32 = 24;

/// What is due today, most pressing first. `feeding` says of each pond of the question why it is fed or not.
pub fn due(of: &Reporting, feeding: &[FeedWhy]) -> Vec<ChoreDue> {
    let today = of.ask.on;
    let stays = |p: &usize| {
        let start = of.weighed.decision.ponds[*p].planned.map(|job| job.start_hour);
        start.is_none_or(|start| start - of.ask.now_hour > GOING_DOWN_H)
    };
    let ponds: Vec<(usize, bool)> = (0..of.ponds.len())
        .filter(stays)
        .map(|p| (of.ponds[p].index, !matches!(feeding[p], FeedWhy::Small | FeedWhy::Cold | FeedWhy::LowOxygen { .. })))
        .collect();
    let mut all: Vec<(f64, ChoreDue)> =
        Chore::ALL.into_iter().filter_map(|chore| due_of(chore, &of.ask.farm.ponds, &ponds, today)).collect();
    // A stable sort: of those that press alike the one named first stays first.
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.into_iter().map(|(_, due)| due).collect()
}

/// One kind of work: how much it presses, and where.
fn due_of(chore: Chore, cards: &[PondCard], ponds: &[(usize, bool)], today: Day) -> Option<(f64, ChoreDue)> {
    let mut due: Vec<PondDue> = ponds
        .iter()
        .filter(|(_, fed)| *fed || chore != Chore::Tray)
        .map(|&(index, _)| {
            let last = last_done(chore, &cards[index], today);
            PondDue { index, last, since_d: today.0 - last.unwrap_or(cards[index].stocking.on).0 }
        })
        .filter(|due| due.since_d >= chore.every_d())
        .collect();
    let presses = |due: &PondDue| {
        let rhythms = f64::from(due.since_d) / f64::from(chore.every_d());
        if due.last.is_none() { rhythms.min(NEVER_MOST) } else { rhythms }
    };
    due.sort_by(|a, b| presses(b).total_cmp(&presses(a)));
    let most = presses(due.first()?);
    Some((most, ChoreDue { chore, ponds: due }))
}

/// When it was last done since stocking, as far as it was entered by this day.
fn last_done(chore: Chore, card: &PondCard, today: Day) -> Option<Day> {
    let samples = card.samples.iter().map(|sample| (Chore::Sample, sample.on));
    let seen = card.seen.iter().filter_map(|seen| seen.on.map(|on| (Chore::Secchi, on)));
    let all = card.done.iter().copied().chain(samples).chain(seen.filter(|(_, on)| *on > card.stocking.on));
    all.filter(|&(of, on)| of == chore && on >= card.stocking.on && on <= today).map(|(_, on)| on).max()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cards() -> Vec<PondCard> {
        let mut ponds =
            farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample farm").ponds;
        for pond in &mut ponds {
            (pond.samples, pond.seen, pond.done) = (Vec::new(), Vec::new(), Vec::new());
            pond.stocking.on = Day(100);
        }
        ponds
    }

    fn found(chore: Chore, cards: &[PondCard], today: i32) -> Option<(f64, Vec<usize>)> {
        let due = due_of(chore, cards, &[(0, true), (1, true), (2, false)], Day(today))?;
        Some((due.0, due.1.ponds.iter().map(|pond| pond.index).collect()))
    }

    #[test]
    fn work_is_due_a_rhythm_after_it_was_last_done() {
        let mut cards = cards();
        assert_eq!(found(Chore::Nets, &cards, 106), None, "not a week since stocking");
        cards[1].done = vec![(Chore::Nets, Day(99))];
        assert_eq!(found(Chore::Nets, &cards, 106), None, "done before stocking, it is counted from stocking");
        assert_eq!(found(Chore::Nets, &cards, 107), Some((1.0, vec![0, 1, 2])));
        cards[0].done = vec![(Chore::Nets, Day(110)), (Chore::Mow, Day(118))];
        cards[1].done = vec![(Chore::Nets, Day(99)), (Chore::Nets, Day(130))];
        assert_eq!(
            found(Chore::Nets, &cards, 112).map(|due| due.1),
            Some(vec![1, 2]),
            "done before stocking, or later, is not done"
        );
        // Of three weeks past a week's rhythm and never entered, what was once done presses more.
        assert_eq!(found(Chore::Nets, &cards, 131), Some((3.0, vec![0, 2])));
        assert_eq!(found(Chore::Tray, &cards, 120).map(|due| due.1), Some(vec![0, 1]), "the third is not fed");
    }

    #[test]
    fn samples_and_disks_are_done_by_being_entered() {
        let mut cards = cards();
        cards[0].samples.push(farm::Sample {
            on: Day(120),
            mean_weight_g: 20.0,
            counted: 50,
            ..farm::Sample::default()
        });
        cards[1].seen.push(farm::Seen { on: Some(Day(125)), secchi_m: 0.4, plants: 0.0, below_full_m: 0.0 });
        assert_eq!(found(Chore::Sample, &cards, 126).map(|due| due.1), Some(vec![1, 2]));
        assert_eq!(found(Chore::Secchi, &cards, 126).map(|due| due.1), Some(vec![0, 2]));
    }
}
