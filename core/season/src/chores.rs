//! Work that comes round, as far as it is due today.
//!
//! Model     due so many days after it was last entered, or after stocking; the most overdue for its rhythm first. The rhythm is the farm
//!           file's; else the middle gap of the pond's own log, once it shows enough of them; else the usual one
//! Units     days
//! Range     ponds in the water whose water does not go down within a day
//! Source    usual rhythms: common practice (`farm::Chore`)
//! Left out  weather, hands

use farm::{Chore, Farm, PondCard};
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
    /// Days after which it comes round here.
    pub every_d: i32,
    /// Who says so.
    pub by: RhythmBy,
}

/// Where a rhythm comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RhythmBy {
    /// The farm's file.
    Told,
    /// The pond's own entries.
    OwnLog,
    /// Common practice.
    Usual,
}

/// Gaps between entries from which on the middle one tells a rhythm.
const GAPS_LEAST: usize = 3;
/// A log's rhythm is no longer than so many usual ones: beyond, it tells of work forgotten.
const OWN_MOST: i32 = 3;

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
        Chore::ALL.into_iter().filter_map(|chore| due_of(chore, of.ask.farm, &ponds, today)).collect();
    // A stable sort: of those that press alike the one named first stays first.
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.into_iter().map(|(_, due)| due).collect()
}

/// One kind of work: how much it presses, and where.
fn due_of(chore: Chore, farm: &Farm, ponds: &[(usize, bool)], today: Day) -> Option<(f64, ChoreDue)> {
    let mut due: Vec<PondDue> = ponds
        .iter()
        .filter(|(_, fed)| *fed || chore != Chore::Tray)
        .map(|&(index, _)| {
            let card = &farm.ponds[index];
            let done = days_done(chore, card, today);
            let (every_d, by) = rhythm(chore, farm, &done);
            let last = done.last().copied();
            PondDue { index, last, since_d: today.0 - last.unwrap_or(card.stocking.on).0, every_d, by }
        })
        .filter(|due| due.since_d >= due.every_d)
        .collect();
    let presses = |due: &PondDue| {
        let rhythms = f64::from(due.since_d) / f64::from(due.every_d);
        if due.last.is_none() { rhythms.min(NEVER_MOST) } else { rhythms }
    };
    due.sort_by(|a, b| presses(b).total_cmp(&presses(a)));
    let most = presses(due.first()?);
    Some((most, ChoreDue { chore, ponds: due }))
}

/// After how many days work comes round in a pond, and who says so.
fn rhythm(chore: Chore, farm: &Farm, done: &[Day]) -> (i32, RhythmBy) {
    if let Some((_, days)) = farm.rhythms.iter().find(|(told, _)| *told == chore) {
        return (*days, RhythmBy::Told);
    }
    let mut gaps: Vec<i32> = done.windows(2).map(|pair| pair[1].0 - pair[0].0).collect();
    if gaps.len() < GAPS_LEAST {
        return (chore.every_d(), RhythmBy::Usual);
    }
    gaps.sort_unstable();
    (gaps[gaps.len() / 2].clamp(1, OWN_MOST * chore.every_d()), RhythmBy::OwnLog)
}

/// The days on which it was done since stocking, as far as they were entered by this day; each once, in order.
fn days_done(chore: Chore, card: &PondCard, today: Day) -> Vec<Day> {
    let samples = card.samples.iter().map(|sample| (Chore::Sample, sample.on));
    let seen = card.seen.iter().filter_map(|seen| seen.on.map(|on| (Chore::Secchi, on)));
    let all = card.done.iter().copied().chain(samples).chain(seen.filter(|(_, on)| *on > card.stocking.on));
    let mut days: Vec<Day> =
        all.filter(|&(of, on)| of == chore && on >= card.stocking.on && on <= today).map(|(_, on)| on).collect();
    days.sort_unstable();
    days.dedup();
    days
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bend() -> Farm {
        let mut farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample farm");
        for pond in &mut farm.ponds {
            (pond.samples, pond.seen, pond.done) = (Vec::new(), Vec::new(), Vec::new());
            pond.stocking.on = Day(100);
        }
        farm
    }

    fn found(chore: Chore, farm: &Farm, today: i32) -> Option<(f64, Vec<usize>)> {
        let due = due_of(chore, farm, &[(0, true), (1, true), (2, false)], Day(today))?;
        Some((due.0, due.1.ponds.iter().map(|pond| pond.index).collect()))
    }

    #[test]
    fn work_is_due_a_rhythm_after_it_was_last_done() {
        let mut farm = bend();
        assert_eq!(found(Chore::Nets, &farm, 106), None, "not a week since stocking");
        farm.ponds[1].done = vec![(Chore::Nets, Day(99))];
        assert_eq!(found(Chore::Nets, &farm, 106), None, "done before stocking, it is counted from stocking");
        assert_eq!(found(Chore::Nets, &farm, 107), Some((1.0, vec![0, 1, 2])));
        farm.ponds[0].done = vec![(Chore::Nets, Day(110)), (Chore::Mow, Day(118))];
        farm.ponds[1].done = vec![(Chore::Nets, Day(99)), (Chore::Nets, Day(130))];
        assert_eq!(
            found(Chore::Nets, &farm, 112).map(|due| due.1),
            Some(vec![1, 2]),
            "done before stocking, or later, is not done"
        );
        // Of three weeks past a week's rhythm and never entered, what was once done presses more.
        assert_eq!(found(Chore::Nets, &farm, 131), Some((3.0, vec![0, 2])));
        assert_eq!(found(Chore::Tray, &farm, 120).map(|due| due.1), Some(vec![0, 1]), "the third is not fed");
    }

    #[test]
    fn samples_and_disks_are_done_by_being_entered() {
        let mut farm = bend();
        farm.ponds[0].samples.push(farm::Sample {
            on: Day(120),
            mean_weight_g: 20.0,
            counted: 50,
            ..farm::Sample::default()
        });
        farm.ponds[1].seen.push(farm::Seen { on: Some(Day(125)), secchi_m: 0.4, plants: 0.0, below_full_m: 0.0 });
        assert_eq!(found(Chore::Sample, &farm, 126).map(|due| due.1), Some(vec![1, 2]));
        assert_eq!(found(Chore::Secchi, &farm, 126).map(|due| due.1), Some(vec![0, 2]));
    }

    #[test]
    fn a_rhythm_is_the_farms_own_word_or_what_its_log_shows() {
        let mut farm = bend();
        let every = |farm: &Farm, today: i32| {
            let due = due_of(Chore::Nets, farm, &[(0, true)], Day(today))?;
            Some((due.1.ponds[0].every_d, due.1.ponds[0].by))
        };
        farm.ponds[0].done = [104, 107, 110, 110, 114].map(|day| (Chore::Nets, Day(day))).into();
        assert_eq!(every(&farm, 116), None, "three days have not gone by");
        assert_eq!(every(&farm, 117), Some((3, RhythmBy::OwnLog)));
        farm.ponds[0].done.truncate(3);
        assert_eq!(every(&farm, 116), None, "two gaps are no rhythm: the usual week holds");
        assert_eq!(every(&farm, 117), Some((7, RhythmBy::Usual)));
        farm.ponds[0].done = [100, 150, 200, 250].map(|day| (Chore::Nets, Day(day))).into();
        assert_eq!(every(&farm, 271), Some((21, RhythmBy::OwnLog)), "forgotten work is no rhythm of fifty days");
        farm.rhythms = vec![(Chore::Nets, 5)];
        assert_eq!(every(&farm, 255), Some((5, RhythmBy::Told)));
    }
}
