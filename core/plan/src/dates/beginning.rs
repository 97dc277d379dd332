//! A plan in hand before the search begins, and how one is bettered a pond or two at a time.

use super::fit::Fit;
use super::score::Score;
use super::search::{Found, LEAVE, Scores, place_all};

/// The best job of a pond that fits beside the others' picks; `keys` rank the jobs.
fn best_fitting(keys: &[Score], left: Score, pond: usize, fit: &mut Fit<'_>) -> (Score, u32) {
    let choices = fit.choices;
    let mut best = (left, LEAVE);
    for (index, &key) in keys.iter().enumerate() {
        if key > best.0 && fit.joins(pond, &choices.of[pond][index]) {
            best = (key, index as u32);
        }
    }
    best
}

/// One pond after another takes the best that still fits, in several orders, and so does what may be begun with; each is then
/// bettered, and the best of them kept.
pub(super) fn greedy(scores: &Scores<'_>, tops: &[(Score, u32)], start: Option<&[u32]>, fit: &mut Fit<'_>) -> Found {
    let ponds = tops.len();
    let mut best: Option<Found> = None;
    let mut by_top: Vec<usize> = (0..ponds).collect();
    by_top.sort_by_key(|&pond| std::cmp::Reverse(tops[pond].0));
    let orders = [(0..ponds).collect(), (0..ponds).rev().collect(), by_top];
    let mut keep = |mut picks: Vec<u32>, fit: &mut Fit<'_>| {
        let total = better(scores, &mut picks, fit);
        if best.as_ref().is_none_or(|best| total > best.total) {
            best = Some(Found { picks, total, proved: false, bound: total, nodes: 0, looks: 0 });
        }
    };
    if let Some(start) = start.filter(|start| place_all(start, fit)) {
        keep(start.to_vec(), fit);
    }
    for order in orders {
        let mut picks = vec![LEAVE; ponds];
        fit.clear();
        for &pond in &order {
            let (_, pick) = best_fitting(&scores.of[pond], scores.left[pond], pond, fit);
            picks[pond] = pick;
            if pick != LEAVE {
                fit.place(pond, &fit.choices.of[pond][pick as usize]);
            }
        }
        keep(picks, fit);
    }
    best.expect("three orders were tried")
}

/// Lets each pond in turn take its best job beside all others, until none gains; returns the total.
pub(super) fn better(scores: &Scores<'_>, picks: &mut [u32], fit: &mut Fit<'_>) -> Score {
    let mut is_moving = true;
    while is_moving {
        is_moving = false;
        for pond in 0..picks.len() {
            fit.clear();
            for (other, &pick) in picks.iter().enumerate().filter(|&(other, &pick)| other != pond && pick != LEAVE) {
                fit.place(other, &fit.choices.of[other][pick as usize]);
            }
            let (score, pick) = best_fitting(&scores.of[pond], scores.left[pond], pond, fit);
            if score > scores.at(pond, picks[pond]) {
                picks[pond] = pick;
                is_moving = true;
            }
        }
    }
    fit.clear();
    picks.iter().enumerate().map(|(pond, &pick)| scores.at(pond, pick)).sum()
}

/// Takes two ponds out and puts them back as well as can be beside the others, for every two ponds, until none gains;
/// returns the total.
pub(super) fn better_by_twos(
    scores: &Scores<'_>,
    tops: &[(Score, u32)],
    picks: &mut [u32],
    looks_most: u64,
    fit: &mut Fit<'_>,
) -> Score {
    let by_score = |pond: usize| {
        let mut order: Vec<u32> = (0..scores.of[pond].len() as u32).collect();
        order.sort_by_key(|&pick| std::cmp::Reverse(scores.at(pond, pick)));
        order
    };
    let orders: Vec<Vec<u32>> = (0..picks.len()).map(by_score).collect();
    let pairs: Vec<[usize; 2]> = (0..picks.len()).flat_map(|b| (0..b).map(move |a| [a, b])).collect();
    let (mut idle, mut at) = (0, 0);
    while idle < pairs.len() && fit.looks < looks_most {
        let pair = pairs[at];
        (at, idle) = ((at + 1) % pairs.len(), idle + 1);
        fit.clear();
        for (pond, &pick) in picks.iter().enumerate().filter(|pick| !pair.contains(&pick.0) && *pick.1 != LEAVE) {
            fit.place(pond, &fit.choices.of[pond][pick as usize]);
        }
        let in_hand = scores.at(pair[0], picks[pair[0]]) + scores.at(pair[1], picks[pair[1]]);
        if let Some(two) = best_two(scores, tops[pair[1]].0, pair, pair.map(|pond| &orders[pond][..]), in_hand, fit) {
            (picks[pair[0]], picks[pair[1]], idle) = (two[0], two[1], 0);
        }
    }
    fit.clear();
    picks.iter().enumerate().map(|(pond, &pick)| scores.at(pond, pick)).sum()
}

/// The best jobs of two ponds beside those placed; none when no two bring more than those in hand.
fn best_two(
    scores: &Scores<'_>,
    top_of_second: Score,
    [first, second]: [usize; 2],
    [of_first, of_second]: [&[u32]; 2],
    mut in_hand: Score,
    fit: &mut Fit<'_>,
) -> Option<[u32; 2]> {
    let choices = fit.choices;
    let mut best = None;
    for &one in of_first {
        if scores.at(first, one) + top_of_second <= in_hand {
            break;
        }
        let choice = &choices.of[first][one as usize];
        if !fit.joins(first, choice) {
            continue;
        }
        fit.place(first, choice);
        for &other in of_second {
            let both = scores.at(first, one) + scores.at(second, other);
            if both <= in_hand {
                break;
            }
            if fit.joins(second, &choices.of[second][other as usize]) {
                (in_hand, best) = (both, Some([one, other]));
                break;
            }
        }
        fit.take_back();
    }
    best
}
