//! The search itself: choose one job for each pond so that the scores add up to the most.
//!
//! Depth first over ponds. At a node every remaining pond offers its best job that still fits; their sum with what is placed
//! bounds the branch from above, because fitting jobs only become fewer. The pond that loses most is decided next, best job
//! first. Three things come before it, each of which often ends the matter: all ponds' best jobs together; a greedy plan
//! bettered pond by pond; and dropping every job that cannot be part of anything better than that plan. When the tree stays
//! large, the plan is bettered by two ponds at a time, and prices on what is shared sharpen the bound and drop more jobs ([`super::explore`]).

use units::Watch;

use super::beginning::{better_by_twos, greedy};
use super::explore::explore;
use super::fit::Fit;
use super::score::{BARRED, Score};

/// Stands for leaving a pond in the water.
pub(super) const LEAVE: u32 = u32::MAX;

/// Scores of every job of every pond; `None` bars a job.
pub(super) struct Scores<'a> {
    /// By pond, in the order of [`super::Choices`].
    pub of: &'a [Vec<Score>],
    /// By pond, the score of leaving it.
    pub left: &'a [Score],
}

/// What was found.
#[derive(Debug, Clone)]
pub(super) struct Found {
    /// By pond, index of the job or [`LEAVE`].
    pub picks: Vec<u32>,
    pub total: Score,
    /// Nothing better exists; of a search told what is worth telling: nothing that is better by as much.
    pub proved: bool,
    /// No picks score higher than this.
    pub bound: Score,
    /// Nodes looked at.
    pub nodes: u64,
    /// Looks taken.
    pub looks: u64,
}

/// How hard to look, and from where.
#[derive(Debug, Clone, Copy)]
pub(super) struct Effort<'e> {
    /// Looks after which the best plan in hand is given.
    pub looks_most: u64,
    /// Picks that may be begun with, if they fit.
    pub start: Option<&'e [u32]>,
    /// Only what betters the plan in hand by more than this is looked for.
    pub least_gain: Score,
}

/// Nodes after which prices are worth their time.
const NODES_BEFORE_PRICES: u64 = 200;

/// The best picks. Leaving every pond is always possible, so there is always an answer (a barred leave is only taken when
/// nothing else is possible).
pub(super) fn search<'a>(scores: &Scores<'_>, fit: &mut Fit<'a>, effort: &Effort<'_>, watch: &Watch) -> Found {
    let looks_before = fit.looks;
    let looks_most = looks_before.saturating_add(effort.looks_most);
    let ponds = scores.of.len();
    let tops: Vec<(Score, u32)> = (0..ponds).map(|pond| top(scores, pond)).collect();
    let ceiling: Score = tops.iter().map(|top| top.0).sum();
    let picks: Vec<u32> = tops.iter().map(|top| top.1).collect();
    if place_all(&picks, fit) {
        return Found {
            picks,
            total: ceiling,
            proved: true,
            bound: ceiling,
            nodes: 1,
            looks: fit.looks - looks_before,
        };
    }
    let mut best = greedy(scores, &tops, effort.start, fit);
    best.bound = ceiling;
    best.total += effort.least_gain;
    let mut tree = Tree::new(plain_lists(scores, &tops, best.total), 0, best, fit, watch);
    tree.run(NODES_BEFORE_PRICES, looks_most);
    best = tree.best;
    if !best.proved && fit.looks < looks_most && !watch.asked_to_stop() {
        let total = better_by_twos(scores, &tops, &mut best.picks, looks_most, fit);
        best.total = best.total.max(total);
        best = explore(scores, best, fit, looks_most, watch);
    }
    best.looks += fit.looks - looks_before;
    best.total = best.picks.iter().enumerate().map(|(pond, &pick)| scores.at(pond, pick)).sum();
    if best.proved {
        best.bound = best.total + effort.least_gain;
    }
    best
}

impl Scores<'_> {
    pub fn at(&self, pond: usize, pick: u32) -> Score {
        match pick {
            LEAVE => self.left[pond],
            pick => self.of[pond][pick as usize],
        }
    }
}

/// By pond, the jobs that could be part of something better than what is in hand.
fn plain_lists(scores: &Scores<'_>, tops: &[(Score, u32)], in_hand: Score) -> Vec<Vec<Candidate>> {
    // With this job the sum of the ponds' bests falls by what the job is below its pond's best.
    let slack = tops.iter().map(|top| top.0).sum::<Score>() - in_hand;
    let list = |pond: usize| {
        let top = tops[pond].0;
        let jobs = scores.of[pond].iter().enumerate().filter(|job| top - job.1 < slack);
        let mut list: Vec<Candidate> =
            jobs.map(|(index, &key)| Candidate { key, score: key, pick: index as u32 }).collect();
        if top - scores.left[pond] < slack {
            list.push(Candidate { key: scores.left[pond], score: scores.left[pond], pick: LEAVE });
        }
        list
    };
    (0..tops.len()).map(list).collect()
}

/// A pond's best pick taken alone, unchecked.
fn top(scores: &Scores<'_>, pond: usize) -> (Score, u32) {
    let mut best = (scores.left[pond], LEAVE);
    for (index, &score) in scores.of[pond].iter().enumerate() {
        if score > best.0 {
            best = (score, index as u32);
        }
    }
    best
}

/// Places the picks one after another; false, with nothing placed, when they do not fit together.
pub(super) fn place_all(picks: &[u32], fit: &mut Fit<'_>) -> bool {
    let choices = fit.choices;
    fit.clear();
    for (pond, &pick) in picks.iter().enumerate().filter(|pick| *pick.1 != LEAVE) {
        let choice = &choices.of[pond][pick as usize];
        if !fit.joins(pond, choice) {
            fit.clear();
            return false;
        }
        fit.place(pond, choice);
    }
    fit.clear();
    true
}

/// A job that may still be part of something better.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate {
    /// Its score less the price of what it uses.
    key: Score,
    score: Score,
    pick: u32,
}

impl Candidate {
    pub fn new(scores: &Scores<'_>, pond: usize, pick: u32, key: Score) -> Candidate {
        Candidate { key, score: scores.at(pond, pick), pick }
    }
}

/// The plain depth-first tree.
pub(super) struct Tree<'t, 'a> {
    fit: &'t mut Fit<'a>,
    /// By pond, best key first.
    lists: Vec<Vec<Candidate>>,
    base: Score,
    pub best: Found,
    picks: Vec<u32>,
    nodes_most: u64,
    looks_most: u64,
    pub nodes: u64,
    watch: &'t Watch,
    gave_up: bool,
}

impl<'t, 'a> Tree<'t, 'a> {
    /// A tree over these jobs. A schedule's score is at most `base` and its jobs' keys; `best` is what is to be bettered.
    pub fn new(
        mut lists: Vec<Vec<Candidate>>,
        base: Score,
        best: Found,
        fit: &'t mut Fit<'a>,
        watch: &'t Watch,
    ) -> Tree<'t, 'a> {
        for list in &mut lists {
            list.sort_by_key(|candidate| std::cmp::Reverse(candidate.key));
        }
        let picks = vec![LEAVE; lists.len()];
        Tree { fit, lists, base, best, picks, nodes_most: 0, looks_most: 0, nodes: 0, watch, gave_up: false }
    }

    /// Looks through the tree: at most so many nodes of it, and until the fit has looked so often.
    pub fn run(&mut self, nodes_most: u64, looks_most: u64) {
        (self.nodes_most, self.looks_most) = (nodes_most, looks_most);
        self.fit.clear();
        let ponds = self.lists.len();
        let remaining: Vec<usize> = (0..ponds).collect();
        let from = vec![0; ponds];
        self.descend(&remaining, &from, self.base, 0);
        self.best.proved = !self.gave_up;
        self.best.nodes += self.nodes;
        self.fit.clear();
    }

    /// Decides the remaining ponds. `from` is where each list's first fitting job may be; `placed_key` and `placed_score`
    /// are the sums over the ponds decided.
    fn descend(&mut self, remaining: &[usize], from: &[usize], placed_key: Score, placed_score: Score) {
        self.nodes += 1;
        let is_spent = self.nodes > self.nodes_most || self.fit.looks > self.looks_most;
        if is_spent || (self.nodes.is_multiple_of(64) && self.watch.asked_to_stop()) {
            self.gave_up = true;
            return;
        }
        if remaining.is_empty() {
            if placed_score > self.best.total {
                self.best.total = placed_score;
                self.best.picks.copy_from_slice(&self.picks);
            }
            return;
        }
        let mut from = from.to_vec();
        let mut bound = placed_key;
        for &pond in remaining {
            bound += self.lists[pond].first().map_or(BARRED, |first| first.key);
        }
        // The pond that loses most against its unhindered best is decided next; the loss of each tightens the bound at once.
        let mut most: Option<(Score, usize)> = None;
        for &pond in remaining {
            let Some(top) = self.lists[pond].first().map(|first| first.key) else { return };
            let Some(key) = self.first_fitting(pond, &mut from, bound) else { return };
            bound += key - top;
            if bound <= self.best.total {
                return;
            }
            let loss = top - key;
            if most.is_none_or(|most| loss > most.0) {
                most = Some((loss, pond));
            }
        }
        let (_, pond) = most.expect("a pond remains");
        self.branch(pond, remaining, &mut from, bound, placed_key, placed_score);
    }

    /// Moves a pond's place in its list to its first job that fits and could still lead to something better.
    fn first_fitting(&mut self, pond: usize, from: &mut [usize], bound: Score) -> Option<Score> {
        let choices = self.fit.choices;
        let top = self.lists[pond].first()?.key;
        loop {
            let candidate = *self.lists[pond].get(from[pond])?;
            if bound + candidate.key - top <= self.best.total {
                return None;
            }
            if candidate.pick == LEAVE || self.fit.joins(pond, &choices.of[pond][candidate.pick as usize]) {
                return Some(candidate.key);
            }
            from[pond] += 1;
        }
    }

    fn branch(
        &mut self,
        pond: usize,
        remaining: &[usize],
        from: &mut [usize],
        bound: Score,
        placed_key: Score,
        placed_score: Score,
    ) {
        let choices = self.fit.choices;
        let rest: Vec<usize> = remaining.iter().copied().filter(|&other| other != pond).collect();
        let first_key = self.lists[pond][from[pond]].key;
        for index in from[pond]..self.lists[pond].len() {
            let Candidate { key, score, pick } = self.lists[pond][index];
            if bound - first_key + key <= self.best.total || self.gave_up {
                return;
            }
            if pick == LEAVE {
                self.picks[pond] = LEAVE;
                self.descend(&rest, from, placed_key + key, placed_score + score);
                continue;
            }
            let choice = &choices.of[pond][pick as usize];
            if index > from[pond] && !self.fit.joins(pond, choice) {
                continue;
            }
            self.picks[pond] = pick;
            self.fit.place(pond, choice);
            self.descend(&rest, from, placed_key + key, placed_score + score);
            self.fit.take_back();
        }
    }
}
