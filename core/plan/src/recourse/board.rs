//! The waiting problem laid bare: openings that bring each pond out, what they take up, and every position that can arise.
//!
//! An *opening* is one start of one pond on one morning, with its catch day. A *slot* is anything of which there is only so much on
//! one day or part of a day: a catch, a pump, pounds, hands. A *position* is a morning, the ponds still full, and what the
//! running jobs have taken of the slots that could still be contested; positions that cannot differ in what follows are one.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// One start that brings one pond out.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Index of the pond.
    pub pond: usize,
    /// The last morning on which it can still be decided.
    pub morning: usize,
    /// Hour of the start, from midnight of day 0.
    pub start_hour: i32,
    /// Day of the catch.
    pub catch_day: usize,
    /// What it takes: slot and amount.
    pub takes: Vec<(u32, f64)>,
}

/// Everything the rule needs to know of the limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// Number of ponds, at most 32.
    pub ponds: usize,
    /// Number of mornings on which something can be decided.
    pub mornings: usize,
    /// All openings, in any order.
    pub openings: Vec<Opening>,
    /// How much of each slot there is.
    pub room: Vec<f64>,
    /// What is already taken of slots by jobs that run or are locked.
    pub taken: Vec<(u32, f64)>,
    /// Ponds still full on morning 0.
    pub full: Vec<usize>,
    /// The order in which the ponds are looked at when there are more of them than `window`.
    pub order: Vec<usize>,
    /// Only the first so many full ponds in `order` may be started: what keeps many ponds tractable.
    pub window: usize,
}

/// One position: see the module's words.
#[derive(Debug, Clone)]
pub(crate) struct Position {
    /// Ponds still full, a bit each.
    pub full: u32,
    /// Moves that keep as many ponds as possible within reach: opening, and the position after it on the same morning.
    pub moves: Vec<(u32, u32)>,
    /// The position on the next morning when nothing more is started; `None` when a start is forced.
    pub pass: Option<u32>,
    /// How many slots are held: a small number marks the position that stands for all with the same ponds.
    held: usize,
}

/// The positions of one morning.
#[derive(Debug, Clone, Default)]
pub(crate) struct Layer {
    pub positions: Vec<Position>,
    /// Positions by number of ponds still full, fewest first, so that every move leads to one already valued.
    pub order: Vec<u32>,
}

/// All positions that can arise, morning by morning; the last layer is the end.
#[derive(Debug, Clone)]
pub struct Lattice {
    pub(crate) layers: Vec<Layer>,
    /// Position of the first morning from which everything starts.
    pub(crate) root: u32,
    /// For each opening, which of its pond's openings of its morning it is, by catch day.
    pub(crate) nth: Vec<u32>,
}

/// What sums of amounts may be off.
const SLACK: f64 = 1e-6;

type Key = (u32, Vec<(u32, u64)>);

impl Board {
    /// The openings that must be decided on each morning, by index into `openings`.
    pub(crate) fn openings_by_morning(&self) -> Vec<Vec<u32>> {
        let mut by_morning = vec![Vec::new(); self.mornings];
        for (index, opening) in self.openings.iter().enumerate() {
            if opening.morning < self.mornings {
                by_morning[opening.morning].push(index as u32);
            }
        }
        by_morning
    }

    /// Of the ponds in `full`, those that may be started: the first `window` in the order.
    fn startable(&self, full: u32) -> u32 {
        if full.count_ones() as usize <= self.window {
            return full;
        }
        let mut mask = 0;
        for &pond in self.order.iter().filter(|&&pond| full >> pond & 1 == 1).take(self.window) {
            mask |= 1 << pond;
        }
        mask
    }

    /// For each slot, the morning after the last one on which each pond's openings could want it, and how much.
    fn wants(&self) -> Vec<Vec<(usize, usize, f64)>> {
        let mut wants: Vec<Vec<(usize, usize, f64)>> = vec![Vec::new(); self.room.len()];
        for opening in &self.openings {
            for &(slot, amount) in &opening.takes {
                match wants[slot as usize].iter_mut().find(|want| want.0 == opening.pond) {
                    Some(want) => {
                        want.1 = want.1.max(opening.morning + 1);
                        want.2 = want.2.max(amount);
                    }
                    None => wants[slot as usize].push((opening.pond, opening.morning + 1, amount)),
                }
            }
        }
        wants
    }

    /// Lists every position that can arise from the first morning on.
    pub fn lattice(&self) -> Lattice {
        self.lattice_within(usize::MAX).expect("there is no bound")
    }

    /// As [`Board::lattice`], or `None` when there are more than `most` positions.
    pub fn lattice_within(&self, most: usize) -> Option<Lattice> {
        Builder { board: self, wants: self.wants(), by_morning: self.openings_by_morning(), most }.build()
    }

    /// Forgets slots that cannot run short whatever is started.
    pub(crate) fn drop_idle_slots(&mut self) {
        let wants = self.wants();
        let taken =
            |slot: usize| self.taken.iter().filter(|held| held.0 as usize == slot).map(|held| held.1).sum::<f64>();
        let mut place = vec![None; self.room.len()];
        let mut room = Vec::new();
        for slot in 0..self.room.len() {
            let wanted: f64 = wants[slot].iter().map(|want| want.2).sum();
            if wanted > 0.0 && wanted + taken(slot) > self.room[slot] + SLACK {
                place[slot] = Some(room.len() as u32);
                room.push(self.room[slot]);
            }
        }
        let keep = |takes: &mut Vec<(u32, f64)>| {
            takes.retain_mut(|take| {
                place[take.0 as usize].is_some_and(|slot| {
                    take.0 = slot;
                    take.1 > 0.0
                })
            });
        };
        self.openings.iter_mut().for_each(|opening| keep(&mut opening.takes));
        keep(&mut self.taken);
        self.room = room;
    }
}

/// Where each key of a list stands, by a digest of the key: comparing whole keys at every step of a search cost a fifth of a replay.
#[derive(Default)]
struct Index {
    first: BTreeMap<u64, u32>,
    /// For each place, the place before it with the same digest.
    before: Vec<Option<u32>>,
}

impl Index {
    fn of(keys: &[Key]) -> Index {
        let mut index = Index::default();
        for (i, key) in keys.iter().enumerate() {
            let before = index.first.insert(digest(key), i as u32);
            index.before.push(before);
        }
        index
    }

    /// The place of a key in the list, where it is put if it is new.
    fn place(&mut self, key: Key, keys: &mut Vec<Key>) -> u32 {
        let new = keys.len() as u32;
        match self.first.entry(digest(&key)) {
            Entry::Vacant(entry) => {
                entry.insert(new);
                self.before.push(None);
            }
            Entry::Occupied(mut entry) => {
                let mut at = Some(*entry.get());
                while let Some(place) = at {
                    if keys[place as usize] == key {
                        return place;
                    }
                    at = self.before[place as usize];
                }
                self.before.push(Some(entry.insert(new)));
            }
        }
        keys.push(key);
        new
    }
}

/// FNV-1a over the words of a key (Fowler, Noll & Vo; RFC 9923).
fn digest(key: &Key) -> u64 {
    let words = key.1.iter().flat_map(|&(slot, bits)| [u64::from(slot), bits]);
    std::iter::once(u64::from(key.0)).chain(words).fold(0xcbf2_9ce4_8422_2325, |sum, word| {
        // Words of numbers differ mostly in their high bits: bring them down before multiplying.
        (sum ^ word ^ (word >> 32)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

struct Builder<'a> {
    board: &'a Board,
    wants: Vec<Vec<(usize, usize, f64)>>,
    by_morning: Vec<Vec<u32>>,
    most: usize,
}

impl Builder<'_> {
    fn build(&self) -> Option<Lattice> {
        let full = self.board.full.iter().fold(0u32, |mask, &pond| mask | 1 << pond);
        let mut here: Vec<Key> = vec![(full, self.trimmed(0, full, &self.board.taken))];
        let mut layers = Vec::with_capacity(self.board.mornings + 1);
        let mut size = 0;
        for morning in 0..self.board.mornings {
            let room = self.most.saturating_sub(size);
            let (layer, next) = self.layer(morning, here, room)?;
            size += layer.positions.len();
            layers.push(layer);
            here = next;
        }
        let positions = here
            .iter()
            .map(|key| Position { full: key.0, moves: Vec::new(), pass: None, held: key.1.len() })
            .collect::<Vec<_>>();
        layers.push(Layer { order: (0..positions.len() as u32).collect(), positions });
        let mut lattice = Lattice { layers, root: 0, nth: self.nth() };
        lattice.keep_ponds_within_reach();
        Some(lattice)
    }

    fn nth(&self) -> Vec<u32> {
        let mut nth = vec![0; self.board.openings.len()];
        for list in &self.by_morning {
            let mut sorted: Vec<u32> = list.clone();
            let place =
                |o: &u32| (self.board.openings[*o as usize].pond, self.board.openings[*o as usize].catch_day, *o);
            sorted.sort_unstable_by_key(place);
            for pair in sorted.windows(2) {
                let same = place(&pair[0]).0 == place(&pair[1]).0;
                nth[pair[1] as usize] = if same { nth[pair[0] as usize] + 1 } else { 0 };
            }
        }
        nth
    }

    /// What is held, without the slots that nobody could run short of from `morning` on.
    fn trimmed(&self, morning: usize, full: u32, taken: &[(u32, f64)]) -> Vec<(u32, u64)> {
        let mut held: Vec<(u32, u64)> = taken
            .iter()
            .filter(|&&(slot, amount)| {
                let wanted: f64 = self.wants[slot as usize]
                    .iter()
                    .filter(|&&(pond, until, _)| full >> pond & 1 == 1 && until > morning)
                    .map(|want| want.2)
                    .sum();
                wanted > 0.0 && wanted + amount > self.board.room[slot as usize] + SLACK
            })
            .map(|&(slot, amount)| (slot, amount.to_bits()))
            .collect();
        held.sort_unstable();
        held
    }

    fn layer(&self, morning: usize, mut keys: Vec<Key>, most: usize) -> Option<(Layer, Vec<Key>)> {
        let mut index = Index::of(&keys);
        let (mut next_index, mut next) = (Index::default(), Vec::new());
        let mut layer = Layer::default();
        let mut at = 0;
        while at < keys.len() {
            if keys.len() > most {
                return None;
            }
            let (full, held) = keys[at].clone();
            let taken: Vec<(u32, f64)> = held.iter().map(|&(slot, bits)| (slot, f64::from_bits(bits))).collect();
            let startable = self.board.startable(full);
            let mut moves = Vec::new();
            for &w in &self.by_morning[morning] {
                let opening = &self.board.openings[w as usize];
                if startable >> opening.pond & 1 == 0 {
                    continue;
                }
                if let Some(after) = self.place(&taken, &opening.takes) {
                    let rest = full & !(1 << opening.pond);
                    let key = (rest, self.trimmed(morning, rest, &after));
                    moves.push((w, index.place(key, &mut keys)));
                }
            }
            let key = (full, self.trimmed(morning + 1, full, &taken));
            let pass = next_index.place(key, &mut next);
            layer.positions.push(Position { full, moves, pass: Some(pass), held: held.len() });
            at += 1;
        }
        layer.order = (0..layer.positions.len() as u32).collect();
        layer.order.sort_by_key(|&p| {
            let position = &layer.positions[p as usize];
            (position.full.count_ones(), position.full, position.held, p)
        });
        Some((layer, next))
    }

    /// What is held after `takes`, or `None` when a slot has not room enough.
    fn place(&self, taken: &[(u32, f64)], takes: &[(u32, f64)]) -> Option<Vec<(u32, f64)>> {
        let mut after = taken.to_vec();
        for &(slot, amount) in takes {
            let before = after.iter_mut().find(|held| held.0 == slot);
            let held = before.as_ref().map_or(0.0, |held| held.1);
            if held + amount > self.board.room[slot as usize] + SLACK {
                return None;
            }
            match before {
                Some(place) => place.1 += amount,
                None => after.push((slot, amount)),
            }
        }
        Some(after)
    }
}

impl Lattice {
    /// Drops every move or pass after which fewer ponds can still be brought out than could be before it.
    fn keep_ponds_within_reach(&mut self) {
        let mut after: Vec<u32> = vec![0; self.layers.last().map_or(0, |layer| layer.positions.len())];
        for layer in self.layers.iter_mut().rev().skip(1) {
            let mut reach = vec![0u32; layer.positions.len()];
            for &p in &layer.order {
                let position = &mut layer.positions[p as usize];
                let waiting = position.pass.map_or(0, |pass| after[pass as usize]);
                let best = position.moves.iter().map(|&(_, to)| 1 + reach[to as usize]).fold(waiting, u32::max);
                position.moves.retain(|&(_, to)| 1 + reach[to as usize] == best);
                if waiting < best {
                    position.pass = None;
                }
                reach[p as usize] = best;
            }
            after = reach;
        }
    }

    /// Number of positions in all.
    pub fn size(&self) -> usize {
        self.layers.iter().map(|layer| layer.positions.len()).sum()
    }
}
