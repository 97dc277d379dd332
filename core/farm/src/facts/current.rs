//! What holds now: corrections followed, forks shown until a person settles them.
//!
//! A pure function of the facts in the order of their numbers. A fact that corrects another takes its place; two that correct
//! the same one both stand (a fork). A `settle` names the one that holds, and the others known by then fall away; one that
//! arrives later, typed against an entry that fell, opens the fork again. Of two settlements the later number holds.

use std::collections::BTreeMap;

use super::Kept;

/// One entry of the log: its first fact, what holds now, and all that was said on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry<'a> {
    /// The fact that began it: who, when, and what was typed at first.
    pub first: &'a Kept,
    /// What holds now: one fact, or several while it is a fork. Never empty.
    pub heads: Vec<&'a Kept>,
    /// All its facts, settlements among them, in order of number.
    pub history: Vec<&'a Kept>,
}

impl<'a> Entry<'a> {
    /// Whether several corrections wait for a person.
    pub fn is_fork(&self) -> bool {
        self.heads.len() > 1
    }
    /// Whether more than the first fact was said.
    pub fn is_mended(&self) -> bool {
        self.history.len() > 1
    }
    /// The one fact that holds; `None` for a fork and for an entry that was struck out.
    pub fn settled(&self) -> Option<&'a Kept> {
        match self.heads.as_slice() {
            [one] if !one.fact.strikes() => Some(one),
            _ => None,
        }
    }
    /// Whether it was struck out.
    pub fn is_struck(&self) -> bool {
        self.heads.iter().all(|head| head.fact.strikes())
    }
}

/// The entries of the log, in the order in which they were begun. `facts` stand in order of number. A correction whose target is
/// not among them stands as an entry of its own; a settlement without its entry is passed over.
pub fn current(facts: &[Kept]) -> Vec<Entry<'_>> {
    let place: BTreeMap<&str, usize> = facts.iter().enumerate().map(|(at, kept)| (kept.fact.id.as_str(), at)).collect();
    let parents: Vec<Option<usize>> = facts
        .iter()
        .map(|kept| {
            let at = *place.get(kept.fact.corrects.as_deref()?)?;
            let target = &facts[at].fact;
            let fits = kept.fact.kind == "settle" || (target.kind == kept.fact.kind && target.kind != "settle");
            (fits && target.farm == kept.fact.farm).then_some(at)
        })
        .collect();
    let mut groups: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for at in 0..facts.len() {
        let root = root_of(at, &parents);
        if facts[root].fact.kind != "settle" {
            groups.entry(root).or_default().push(at);
        }
    }
    groups.into_iter().map(|(root, members)| entry(facts, &parents, &place, root, &members)).collect()
}

/// The fact that began the entry. Facts that correct each other in a ring (no honest device makes one) begin with the first.
fn root_of(at: usize, parents: &[Option<usize>]) -> usize {
    let (mut here, mut least, mut steps) = (at, at, 0);
    while let Some(parent) = parents[here] {
        (here, least, steps) = (parent, least.min(parent), steps + 1);
        if steps > parents.len() {
            return ring(here, parents);
        }
    }
    here
}

/// The first fact of the ring that `here` lies on.
fn ring(here: usize, parents: &[Option<usize>]) -> usize {
    let (mut at, mut least) = (here, here);
    while let Some(parent) = parents[at].filter(|&parent| parent != here) {
        (at, least) = (parent, least.min(parent));
    }
    least
}

fn entry<'a>(
    facts: &'a [Kept],
    parents: &[Option<usize>],
    place: &BTreeMap<&str, usize>,
    root: usize,
    members: &[usize],
) -> Entry<'a> {
    let mut heads: Vec<usize> = Vec::new();
    // Facts that something later took the place of, before or after they arrived.
    let mut replaced: Vec<usize> =
        members.iter().filter(|&&at| at != root && !settles(facts, at)).filter_map(|&at| parents[at]).collect();
    replaced.sort_unstable();
    for &at in members {
        if settles(facts, at) {
            let winner = facts[at].fact.text("winner").and_then(|id| place.get(id)).copied();
            // Only one of its own entry can win.
            if let Some(winner) = winner.filter(|winner| members.contains(winner) && !settles(facts, *winner)) {
                heads = vec![winner];
            }
            continue;
        }
        if let Some(parent) = parents[at].filter(|_| at != root) {
            heads.retain(|&head| head != parent);
        }
        // A correction that came before its target already stands in its place.
        let overtaken = replaced.binary_search(&at).is_ok()
            && members.iter().any(|&other| other < at && parents[other] == Some(at) && !settles(facts, other));
        if !overtaken {
            heads.push(at);
        }
    }
    if heads.is_empty() {
        heads.push(root);
    }
    heads.sort_unstable();
    let of = |at: &usize| &facts[*at];
    Entry { first: &facts[root], heads: heads.iter().map(of).collect(), history: members.iter().map(of).collect() }
}

fn settles(facts: &[Kept], at: usize) -> bool {
    facts[at].fact.kind == "settle"
}
