//! On the bank and at the table: what follows on what, and tubs as batches.

use super::{EMPTY, Form, Line, MINUTES, NONE};
use crate::day::{Day, Future};
use crate::line::events::What;
use crate::rates::LIVE_MOST_H;
use crate::task::Task;

impl Line {
    /// A hand is done: what it had goes on.
    pub(super) fn done(&mut self, day: &Day, future: &Future, place: usize) {
        let hand = &mut self.hands[place];
        let (task, mut load, took_h) = (hand.at, hand.load, hand.took_h);
        hand.load = EMPTY;
        self.busy[task as usize] -= 1;
        self.lived.finish_h = self.now_h;
        if task == Task::Seine {
            self.hauled(day);
        }
        while load.first != NONE {
            let basket = load.pop(&mut self.baskets);
            self.on(day, future, task, basket, took_h);
        }
        self.free(day, place);
        if task.post() == crate::task::Post::Water {
            self.water_moves(day, future);
        }
    }

    fn on(&mut self, day: &Day, future: &Future, task: Task, basket: u32, took_h: f64) {
        let form = self.baskets[basket as usize].form;
        let next = match task {
            Task::Bag | Task::Gather | Task::Dip => {
                self.lived.out_h = self.now_h;
                // A basket stands in the water while it is filled from net or basin; one that goes along the floor does not.
                if task != Task::Gather {
                    self.baskets[basket as usize].since_h = self.now_h;
                }
                Task::Carry
            }
            Task::Carry => {
                self.baskets[basket as usize].air_h += took_h;
                // Animals for live sale are picked out at the net and set down in water at the bank: no rinse, no table.
                if form == Form::Live { Task::Weigh } else { Task::Rinse }
            }
            Task::Rinse => Task::Sort,
            Task::Sort => {
                let kg = &mut self.baskets[basket as usize].kg;
                self.lived.culled_kg += *kg * future.culled_share;
                *kg *= 1.0 - future.culled_share;
                Task::Weigh
            }
            Task::Weigh if form == Form::Live && self.baskets[basket as usize].air_h + took_h <= LIVE_MOST_H => {
                Task::Live
            }
            Task::Weigh => {
                if form == Form::Live {
                    self.turn(day, basket);
                }
                Task::Load
            }
            Task::Live => {
                self.lived.live_kg += self.baskets[basket as usize].kg;
                self.put_away(day);
                return;
            }
            Task::Load => {
                self.loaded(day, future, basket);
                return;
            }
            Task::Unload => {
                self.unloaded(basket);
                if form == Form::Tails { Task::Head } else { Task::Pack }
            }
            Task::Head => Task::Wash,
            Task::Wash => Task::Pack,
            Task::Pack => Task::Store,
            Task::Store => {
                let kg = self.baskets[basket as usize].kg;
                match form {
                    Form::Tails => self.lived.tails_kg += kg,
                    Form::Live | Form::Whole => self.lived.whole_kg += kg,
                }
                return;
            }
            Task::Seine | Task::Walk => return,
        };
        self.join(next, basket);
    }

    pub(super) fn is_tails(&self, task: Task, basket: u32) -> bool {
        matches!(task, Task::Wash | Task::Pack) && self.baskets[basket as usize].form == Form::Tails
    }

    /// Too long in the air to be sold alive: it is chilled.
    fn turn(&mut self, day: &Day, basket: u32) {
        let kg = self.baskets[basket as usize].kg;
        self.baskets[basket as usize].form = Form::Whole;
        self.lived.turned_kg += kg;
        self.ice_left_kg -= kg * day.means.ice_per_kg;
        self.store_left_kg -= kg;
        self.live_left_kg += kg;
        self.taken[Form::Live as usize] -= kg;
        self.taken[Form::Whole as usize] += kg;
    }

    fn put_away(&mut self, day: &Day) {
        self.in_air -= 1;
        self.lived.iced_h = self.now_h;
        self.events.push(self.now_h + day.means.back_h, What::BasketBack, 0, 0);
    }

    /// The open tub into which the next basket fits: the one that was begun first.
    pub(super) fn tub_for(&self, day: &Day) -> Option<usize> {
        let basket = self.queues[Task::Load as usize].first;
        if basket == NONE {
            return None;
        }
        let kg = self.baskets[basket as usize].kg;
        let fits = |tub: &super::Tub| !tub.closed && (tub.kg == 0.0 || tub.kg + kg <= day.means.tub_kg);
        let begun = self.tubs.iter().position(|tub| fits(tub) && tub.kg > 0.0);
        begun.or_else(|| self.tubs.iter().position(fits))
    }

    /// Room is kept from the moment a hand begins to pour. Called with the basket still at the head of its queue or just taken.
    pub(super) fn pour_into(&mut self, day: &Day, basket: u32) {
        let kg = self.baskets[basket as usize].kg;
        let fits = |tub: &super::Tub| !tub.closed && (tub.kg == 0.0 || tub.kg + kg <= day.means.tub_kg);
        let begun = self.tubs.iter().position(|tub| fits(tub) && tub.kg > 0.0);
        let tub =
            begun.or_else(|| self.tubs.iter().position(fits)).expect("a task is given only where a tub stands open");
        if self.tubs[tub].kg == 0.0 {
            let batch = self.tubs[tub].batch;
            self.events.push(self.now_h + day.means.tub_open_h, What::TubCloses, tub as u32, batch);
        }
        self.tubs[tub].kg += kg;
        self.tubs[tub].loading += 1;
        self.baskets[basket as usize].tub = tub as u32;
    }

    fn loaded(&mut self, day: &Day, future: &Future, basket: u32) {
        let Line { tubs, baskets, .. } = self;
        let (tub, kg) = (baskets[basket as usize].tub as usize, baskets[basket as usize].kg);
        tubs[tub].held.push(baskets, basket);
        tubs[tub].loading -= 1;
        let out_h = self.now_h - self.baskets[basket as usize].since_h;
        self.lived.out_kg[((60.0 * out_h) as usize).min(MINUTES - 1)] += kg;
        self.lived.out_most_h = self.lived.out_most_h.max(out_h);
        self.put_away(day);
        let batch = self.tubs[tub].batch;
        if self.tubs[tub].closed {
            if self.tubs[tub].loading == 0 {
                let dwell_h = future.dwell_from(day.water.by_drain_c(self.now_h, future.member));
                self.events.push(self.now_h + dwell_h, What::TubCold, tub as u32, batch);
            }
        } else if self.tubs[tub].kg + 0.5 * day.means.basket_kg > day.means.tub_kg {
            self.close_tub(day, future, tub, batch);
        }
    }

    /// No more goes into a batch. A closing that was meant for an earlier batch does nothing.
    pub(super) fn close_tub(&mut self, day: &Day, future: &Future, tub: usize, batch: u32) {
        let closes = &mut self.tubs[tub];
        if closes.closed || closes.batch != batch || closes.kg == 0.0 {
            return;
        }
        closes.closed = true;
        if closes.loading == 0 {
            let dwell_h = future.dwell_from(day.water.by_drain_c(self.now_h, future.member));
            self.events.push(self.now_h + dwell_h, What::TubCold, tub as u32, batch);
        }
    }

    pub(super) fn tub_cold(&mut self, tub: usize) {
        while self.tubs[tub].held.first != NONE {
            let Line { tubs, baskets, .. } = self;
            let basket = tubs[tub].held.pop(baskets);
            baskets[basket as usize].tub = tub as u32;
            self.join(Task::Unload, basket);
        }
    }

    fn unloaded(&mut self, basket: u32) {
        let (tub, kg) = (self.baskets[basket as usize].tub as usize, self.baskets[basket as usize].kg);
        let tub = &mut self.tubs[tub];
        tub.kg -= kg;
        // Sums of parts leave a crumb.
        if tub.kg < 1e-6 {
            (tub.kg, tub.closed) = (0.0, false);
            tub.batch += 1;
        }
    }
}
