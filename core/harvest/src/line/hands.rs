//! Who takes what: each free hand the task farthest down the line of its own place, else where help is needed most.

use super::{EMPTY, Line, NONE, Queue, Stopped};
use crate::day::Day;
use crate::draws::Luck;
use crate::hands::freshness;
use crate::line::events::What;
use crate::task::{Post, Task};

/// Share of whole weight that is washed and packed of what is headed.
pub(super) const TAIL_SHARE: f64 = 0.45;
/// Tasks from the net to ice: what is out of the water is put away before anybody goes home.
const TO_ICE: u32 = Task::Carry.bit() | Post::Bank.tasks();

#[derive(Debug, Clone, Copy)]
pub(crate) struct HandNow {
    tasks: u32,
    post: Post,
    pace: f64,
    from_h: f64,
    until_h: f64,
    pub(crate) is_free: bool,
    pub(super) at: Task,
    last_post: Post,
    rests_h: f64,
    /// What the hand has taken up.
    pub(super) load: Queue,
    pub(super) kg: f64,
    pub(super) took_h: f64,
}

impl Line {
    pub(super) fn begin_hands(&mut self, day: &Day) {
        self.hands.clear();
        for hand in &day.hands {
            let from_h = hand.from_h.max(self.now_h);
            self.events.push(from_h, What::Comes, self.hands.len() as u32, 0);
            self.hands.push(HandNow {
                tasks: hand.kind.tasks(),
                post: hand.post,
                pace: hand.pace,
                from_h: hand.from_h,
                until_h: hand.until_h,
                is_free: false,
                at: Task::Walk,
                last_post: hand.post,
                rests_h: from_h + day.means.break_every_h,
                load: EMPTY,
                kg: 0.0,
                took_h: 0.0,
            });
        }
    }

    pub(super) fn hand_out(&mut self, day: &Day, luck: Luck) {
        if !self.hands.iter().any(|hand| hand.is_free) {
            return;
        }
        let mut ready = self.ready(day);
        for place in 0..self.hands.len() {
            if self.hands[place].is_free
                && let Some(task) = self.choice(place, ready)
            {
                self.start(day, luck, place, task);
                ready = self.ready(day);
            }
        }
        if self.haul_due(day) {
            self.haul(day, luck);
        }
    }

    fn choice(&self, place: usize, ready: u32) -> Option<Task> {
        let hand = &self.hands[place];
        let mut mask = ready & hand.tasks;
        if self.now_h >= hand.until_h {
            mask &= if self.in_air > 0 { TO_ICE } else { 0 };
        }
        let of = |tasks: u32| {
            let mask = mask & tasks;
            (mask != 0).then(|| Task::ALL[31 - mask.leading_zeros() as usize])
        };
        let own = of(hand.post.tasks());
        if own.is_some() || mask == 0 {
            return own;
        }
        // A head taken off now is a basket that waits in the air, or a haul that waits for its hands.
        let table = (self.in_air == 0 && (hand.post != Post::Water || self.water.over)).then_some(Post::Table.tasks());
        of(Post::Bank.tasks()).or_else(|| of(Post::Water.tasks())).or_else(|| table.and_then(of))
    }

    /// Tasks for which there is work and a place, but the haul, which needs several hands.
    fn ready(&mut self, day: &Day) -> u32 {
        let mut ready = self.water_ready(day);
        for task in &Task::ALL[Task::Carry as usize..=Task::Store as usize] {
            if self.queues[*task as usize].count > 0 {
                ready |= task.bit();
            }
        }
        if ready & Task::Load.bit() != 0 && self.tub_for(day).is_none() {
            ready &= !Task::Load.bit();
        }
        for (task, &places) in day.means.places.iter().enumerate() {
            if places > 0 && self.busy[task] >= places {
                ready &= !(1 << task);
            }
        }
        ready
    }

    /// Hours that a hand takes for a go, and the next draw of that task.
    fn takes_h(&mut self, day: &Day, luck: Luck, place: usize, task: Task, kg: f64) -> f64 {
        let hand = &self.hands[place];
        let pace = hand.pace * freshness(self.now_h - hand.from_h, day.means.tires_per_h);
        let go = self.goes[task as usize];
        self.goes[task as usize] += 1;
        let plain_h = self.per_go_h[task as usize] + kg * self.per_kg_h[task as usize];
        plain_h * luck.longer(task, go) / pace
    }

    pub(super) fn start(&mut self, day: &Day, luck: Luck, place: usize, task: Task) {
        let mut load = EMPTY;
        let mut kg = 0.0;
        match task {
            Task::Seine | Task::Walk => {}
            Task::Bag | Task::Gather | Task::Dip => {
                let (basket, taken_kg) = self.take(day, task);
                load.push(&mut self.baskets, basket);
                kg = taken_kg;
            }
            Task::Carry => {
                for _ in 0..day.means.carried.max(1) {
                    if self.queues[task as usize].first != NONE {
                        let basket = self.leave(task);
                        load.push(&mut self.baskets, basket);
                    }
                }
            }
            _ => {
                let basket = self.leave(task);
                load.push(&mut self.baskets, basket);
                kg = self.baskets[basket as usize].kg * if self.is_tails(task, basket) { TAIL_SHARE } else { 1.0 };
                if task == Task::Load {
                    self.pour_into(day, basket);
                }
            }
        }
        if task == Task::Walk {
            self.water.walked = true;
        }
        let hours = self.takes_h(day, luck, place, task, kg);
        self.set_to(day, place, task, hours, load, kg);
    }

    fn set_to(&mut self, day: &Day, place: usize, task: Task, hours: f64, load: Queue, kg: f64) {
        self.busy[task as usize] += 1;
        self.lived.waits[task as usize].busy_h += hours;
        let now_h = self.now_h;
        let hand = &mut self.hands[place];
        let walk_h = if hand.last_post == task.post() { 0.0 } else { day.means.over_h };
        (hand.is_free, hand.at, hand.last_post) = (false, task, task.post());
        (hand.load, hand.kg, hand.took_h) = (load, kg, hours);
        self.events.push(now_h + walk_h + hours, What::Done, place as u32, 0);
    }

    /// Pulls the net with the hands that stand free.
    fn haul(&mut self, day: &Day, luck: Luck) {
        let can = |hand: &HandNow| {
            hand.tasks & Task::Seine.bit() != 0 && self.now_h < hand.until_h && self.now_h >= hand.from_h
        };
        let ours = self.hands.iter().filter(|hand| can(hand) && hand.post == Post::Water).count();
        let all = self.hands.iter().filter(|hand| can(hand)).count();
        let free = self.hands.iter().filter(|hand| can(hand) && hand.is_free).count();
        let most = day.means.haul_hands.max(2) as usize;
        // Those of the water pull it, were they only two; with fewer everybody who may.
        let needed = if ours >= 2 { ours.min(most) } else { all.min(most) };
        if needed < 2 || free < needed {
            return;
        }
        let pulling = free.min(most);
        let first = self.hands.iter().position(|hand| can(hand) && hand.is_free).expect("counted above");
        let hours = self.takes_h(day, luck, first, Task::Seine, 0.0) * most as f64 / pulling as f64;
        let mut left = pulling;
        for post in [Post::Water, Post::Bank, Post::Table] {
            for place in 0..self.hands.len() {
                let hand = &self.hands[place];
                let may = hand.tasks & Task::Seine.bit() != 0 && self.now_h < hand.until_h;
                if left > 0 && hand.post == post && hand.is_free && may {
                    self.set_to(day, place, Task::Seine, hours, EMPTY, 0.0);
                    left -= 1;
                }
            }
        }
        self.water.pulling = pulling as u32;
        self.water.haul_luck = luck.haul;
    }

    /// After a task: rests when that is due and nothing lies in the air, or long overdue.
    pub(super) fn free(&mut self, day: &Day, place: usize) {
        let (now_h, in_air) = (self.now_h, self.in_air);
        let means = &day.means;
        let hand = &mut self.hands[place];
        let due = means.break_h > 0.0 && now_h >= hand.rests_h && now_h < hand.until_h;
        if due && (in_air == 0 || now_h >= hand.rests_h + 0.5 * means.break_every_h) {
            hand.rests_h = now_h + means.break_h + means.break_every_h;
            self.events.push(now_h + means.break_h, What::Rested, place as u32, 0);
        } else {
            hand.is_free = true;
        }
    }

    pub(super) fn unblock(&mut self) {
        let Stopped { baskets_h, ice_h, store_h } = &mut self.lived.stopped;
        for (sum, since) in [baskets_h, ice_h, store_h].into_iter().zip(&mut self.water.stopped_since) {
            if since.is_finite() {
                *sum += (self.now_h - *since).max(0.0);
                *since = f64::INFINITY;
            }
        }
    }
}
