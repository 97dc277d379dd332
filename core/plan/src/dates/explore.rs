//! Branch and bound with prices, for farms whose ponds are much in each other's way.
//!
//! At a node the prices are bettered for the jobs still in question; jobs that cannot be part of anything better than the plan
//! in hand are dropped; when few combinations remain the plain tree finishes them, else the pond with the fewest jobs left is
//! decided, best job first, and the others' jobs that no longer fit beside it are dropped.

use units::Watch;

use super::beginning::better;
use super::fit::Fit;
use super::prices::{Effort, Pricing};
use super::score::{BARRED, Score};
use super::search::{Candidate, Found, LEAVE, Scores, Tree};
use super::shared::{One, Shared};

const AT_ROOT: Effort = Effort { rounds: 250, patience: 8 };
const BELOW: Effort = Effort { rounds: 16, patience: 4 };
/// Combinations below which the plain tree is quicker than new prices.
const FEW: f64 = 600.0;

/// Betters `best` and says whether it is proved.
pub(super) fn explore<'a>(
    scores: &Scores<'_>,
    best: Found,
    fit: &mut Fit<'a>,
    looks_most: u64,
    watch: &Watch,
) -> Found {
    let tops: Vec<Score> = (0..scores.of.len())
        .map(|pond| scores.of[pond].iter().copied().max().unwrap_or(BARRED).max(scores.left[pond]))
        .collect();
    let mut lists = hopeful(scores, &tops, best.total, fit);
    let shared = Shared::new(&mut lists, fit);
    let pricing = Pricing::new(&shared, fit.choices);
    let nodes = best.nodes;
    let mut search = Explorer {
        scores,
        tops: tops.iter().sum(),
        pricing,
        fit,
        best,
        nodes,
        first_node: nodes + 1,
        looks_most,
        watch,
        gave_up: false,
    };
    let mut prices = vec![0.0; shared.offered.len()];
    search.node(lists, &mut prices, AT_ROOT);
    search.best.nodes = search.nodes;
    search.best.looks = search.pricing.looks;
    search.best.proved = !search.gave_up;
    search.best
}

/// By pond, the jobs that could be part of something better than what is in hand and stand by themselves.
fn hopeful(scores: &Scores<'_>, tops: &[Score], in_hand: Score, fit: &mut Fit<'_>) -> Vec<Vec<One>> {
    let choices = fit.choices;
    let slack = tops.iter().sum::<Score>() - in_hand;
    fit.clear();
    let mut lists = Vec::with_capacity(tops.len());
    for (pond, all) in scores.of.iter().enumerate() {
        let mut list = Vec::new();
        for (index, &score) in all.iter().enumerate() {
            if tops[pond] - score < slack && score > BARRED && fit.joins(pond, &choices.of[pond][index]) {
                list.push(One::new(index as u32, (score - tops[pond]) as f64));
            }
        }
        if tops[pond] - scores.left[pond] < slack {
            list.push(One::new(LEAVE, (scores.left[pond] - tops[pond]) as f64));
        }
        lists.push(list);
    }
    lists
}

struct Explorer<'e, 'a> {
    scores: &'e Scores<'e>,
    /// Sum of the ponds' bests.
    tops: Score,
    pricing: Pricing<'e>,
    fit: &'e mut Fit<'a>,
    best: Found,
    nodes: u64,
    /// The number of the root.
    first_node: u64,
    /// Looks of fit and prices together after which it gives up.
    looks_most: u64,
    watch: &'e Watch,
    gave_up: bool,
}

impl Explorer<'_, '_> {
    fn node(&mut self, mut lists: Vec<Vec<One>>, prices: &mut Vec<f64>, effort: Effort) {
        self.nodes += 1;
        if self.gave_up || self.is_spent() || self.watch.asked_to_stop() {
            self.gave_up = true;
            return;
        }
        let is_root = self.nodes == self.first_node;
        let mut keys = Vec::new();
        let mut base = 0;
        for _ in 0..4 {
            if lists.iter().any(Vec::is_empty) {
                return;
            }
            let target = (self.best.total - self.tops) as f64;
            self.pricing.better(prices, &lists, target, effort);
            if self.nodes % 32 == 1 {
                self.repair();
            }
            base = self.pricing.exact(prices, &lists, self.scores, &mut keys);
            if is_root {
                let bound = base + keys.iter().map(|keys| top(keys)).sum::<Score>();
                // Of jobs already dropped, none is part of anything better than what is in hand.
                self.best.bound = self.best.bound.min(bound.max(self.best.total));
            }
            let before = combinations(&lists);
            if !self.drop_hopeless(&mut lists, &mut keys, base) {
                return;
            }
            if combinations(&lists) <= FEW || combinations(&lists) > 0.5 * before {
                break;
            }
        }
        if combinations(&lists) <= FEW {
            self.finish(&lists, &keys, base);
        } else {
            self.branch(&lists, &keys, base, prices);
        }
    }

    fn is_spent(&self) -> bool {
        self.fit.looks.saturating_add(self.pricing.looks) > self.looks_most
    }

    /// Drops jobs whose bound is no better than the plan in hand; false when nothing can be better.
    fn drop_hopeless(&mut self, lists: &mut [Vec<One>], keys: &mut [Vec<Score>], base: Score) -> bool {
        let bound = base + keys.iter().map(|keys| top(keys)).sum::<Score>();
        for (list, keys) in lists.iter_mut().zip(keys) {
            let least = self.best.total - bound + top(keys);
            let mut kept = keys.iter().map(|&key| key > least);
            list.retain(|_| kept.next().expect("a key for each job"));
            keys.retain(|&key| key > least);
            if list.is_empty() {
                return false;
            }
        }
        true
    }

    /// Makes a plan of the picks the prices led to, as far as they fit together, and keeps it if it is better.
    fn repair(&mut self) {
        let choices = self.fit.choices;
        if self.pricing.picks.len() < self.scores.of.len() {
            return;
        }
        let mut picks = vec![LEAVE; self.pricing.picks.len()];
        self.fit.clear();
        for (pond, &pick) in self.pricing.picks.iter().enumerate().filter(|pick| *pick.1 != LEAVE) {
            let choice = &choices.of[pond][pick as usize];
            if self.fit.joins(pond, choice) {
                self.fit.place(pond, choice);
                picks[pond] = pick;
            }
        }
        let total = better(self.scores, &mut picks, self.fit);
        if total > self.best.total {
            self.best.total = total;
            self.best.picks = picks;
        }
    }

    fn finish(&mut self, lists: &[Vec<One>], keys: &[Vec<Score>], base: Score) {
        let of_pond = |pond: usize| {
            let pairs = lists[pond].iter().zip(&keys[pond]);
            pairs.map(|(one, &key)| Candidate::new(self.scores, pond, one.pick, key)).collect()
        };
        let candidates = (0..lists.len()).map(of_pond).collect();
        let best = self.best.clone();
        let mut tree = Tree::new(candidates, base, best, self.fit, self.watch);
        tree.run(u64::MAX, self.looks_most.saturating_sub(self.pricing.looks));
        self.nodes += tree.nodes;
        self.gave_up |= !tree.best.proved;
        self.best = tree.best;
    }

    fn branch(&mut self, lists: &[Vec<One>], keys: &[Vec<Score>], base: Score, prices: &[f64]) {
        let open = (0..lists.len()).filter(|&pond| lists[pond].len() > 1);
        let pond = open.min_by_key(|&pond| lists[pond].len()).expect("many combinations need a pond with two jobs");
        let mut order: Vec<usize> = (0..lists[pond].len()).collect();
        order.sort_by_key(|&place| std::cmp::Reverse(keys[pond][place]));
        let others: Score =
            base + (0..lists.len()).filter(|&other| other != pond).map(|other| top(&keys[other])).sum::<Score>();
        for place in order {
            if others + keys[pond][place] <= self.best.total || self.gave_up {
                return;
            }
            if let Some(child) = self.with(lists, pond, lists[pond][place]) {
                self.node(child, &mut prices.to_vec(), BELOW);
            }
        }
    }

    /// The lists with one pond decided and the others' jobs that no longer fit dropped; none when a pond has none left.
    fn with(&mut self, lists: &[Vec<One>], decided: usize, one: One) -> Option<Vec<Vec<One>>> {
        let choices = self.fit.choices;
        let mut child = lists.to_vec();
        child[decided] = vec![one];
        self.fit.clear();
        for (pond, list) in child.iter().enumerate() {
            if let [one] = list[..]
                && one.pick != LEAVE
            {
                let choice = &choices.of[pond][one.pick as usize];
                if !self.fit.joins(pond, choice) {
                    return None;
                }
                self.fit.place(pond, choice);
            }
        }
        for (pond, list) in child.iter_mut().enumerate().filter(|(_, list)| list.len() > 1) {
            list.retain(|one| one.pick == LEAVE || self.fit.joins(pond, &choices.of[pond][one.pick as usize]));
            if list.is_empty() {
                return None;
            }
        }
        Some(child)
    }
}

/// The highest key.
fn top(keys: &[Score]) -> Score {
    keys.iter().copied().max().unwrap_or(BARRED)
}

fn combinations(lists: &[Vec<One>]) -> f64 {
    lists.iter().map(|list| list.len() as f64).product()
}
