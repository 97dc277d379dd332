//! The two extremes of knowledge on the same lattice: dates fixed today, and a clairvoyant.

use super::board::Lattice;
use super::value::Waiting;

/// The best fixed dates.
#[derive(Debug, Clone, PartialEq)]
pub struct Fixed {
    /// Openings taken, by index, in the order of their mornings.
    pub openings: Vec<usize>,
    /// Worth in each member.
    pub worth: Vec<f64>,
}

/// The dates that are best in the mean of `weight` when none may be changed later. Exact over the lattice.
pub fn fixed(waiting: &Waiting, lattice: &Lattice, weight: &[f64]) -> Fixed {
    let total: f64 = weight.iter().sum();
    let mean: Vec<f64> = (0..waiting.board.openings.len())
        .map(|o| waiting.worth_of(o as u32).iter().zip(weight).map(|(worth, w)| worth * w).sum::<f64>() / total)
        .collect();
    let openings = best_line(lattice, &mean, 0, lattice.root);
    let mut worth = vec![0.0; waiting.members()];
    for &opening in &openings {
        worth.iter_mut().zip(waiting.worth_of(opening as u32)).for_each(|(sum, worth)| *sum += worth);
    }
    Fixed { openings, worth }
}

/// The openings whose values sum to most from one position of one morning to the end.
pub(crate) fn best_line(lattice: &Lattice, value: &[f64], morning: usize, from: u32) -> Vec<usize> {
    let mut next = vec![0.0; lattice.layers.last().map_or(0, |layer| layer.positions.len())];
    let mut picks: Vec<Vec<usize>> = Vec::with_capacity(lattice.layers.len());
    for layer in lattice.layers[morning..].iter().rev().skip(1) {
        let mut here = vec![0.0; layer.positions.len()];
        let mut pick = vec![0; layer.positions.len()];
        for &p in &layer.order {
            let position = &layer.positions[p as usize];
            let mut best = position.pass.map_or(f64::NEG_INFINITY, |pass| next[pass as usize]);
            for (i, &(opening, to)) in position.moves.iter().enumerate() {
                let worth = value[opening as usize] + here[to as usize];
                if worth > best {
                    best = worth;
                    pick[p as usize] = i + 1;
                }
            }
            here[p as usize] = best;
        }
        picks.push(pick);
        next = here;
    }
    picks.reverse();
    let mut openings = Vec::new();
    let mut p = from;
    for (layer, picks) in lattice.layers[morning..].iter().zip(&picks) {
        loop {
            let position = &layer.positions[p as usize];
            match (picks[p as usize], position.pass) {
                (0, Some(pass)) => {
                    p = pass;
                    break;
                }
                (0, None) => return openings,
                (i, _) => {
                    let (opening, to) = position.moves[i - 1];
                    openings.push(opening as usize);
                    p = to;
                }
            }
        }
    }
    openings
}

/// What a clairvoyant makes of each member.
pub fn clairvoyant(waiting: &Waiting, lattice: &Lattice) -> Vec<f64> {
    let m = waiting.members();
    let mut next = vec![0.0; m * lattice.layers.last().map_or(0, |layer| layer.positions.len())];
    for layer in lattice.layers.iter().rev().skip(1) {
        let mut here = vec![f64::NEG_INFINITY; m * layer.positions.len()];
        for &p in &layer.order {
            let position = &layer.positions[p as usize];
            let at = p as usize * m;
            let mut best = vec![f64::NEG_INFINITY; m];
            if let Some(pass) = position.pass {
                best.copy_from_slice(&next[pass as usize * m..(pass as usize + 1) * m]);
            }
            for &(opening, to) in &position.moves {
                let after = &here[to as usize * m..(to as usize + 1) * m];
                for ((best, worth), after) in best.iter_mut().zip(waiting.worth_of(opening)).zip(after) {
                    *best = best.max(worth + after);
                }
            }
            here[at..at + m].copy_from_slice(&best);
        }
        next = here;
    }
    let root = lattice.root as usize * m;
    next[root..root + m].to_vec()
}
