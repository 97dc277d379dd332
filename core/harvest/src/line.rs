//! One day of one future, event by event.
//!
//! Model     a discrete-event simulation: hands as servers with several skills, baskets as jobs, tubs as batches, empty baskets as
//!           what limits work under way. Hands take the task farthest down the line of their own place, else help out elsewhere
//! Units     clock hours of the day, kg of whole weight
//! Range     to 64 hands and 64 tubs, a day
//! Source    event scheduling over a binary heap, as in any text on simulation (Law, Simulation Modeling and Analysis; memory).
//!           Held to M/M/1, M/M/c, Little's law and a tandem of known throughput in `checks/tests/line.rs`
//! Left out  two hands at one basket; a second pond on the same day; a haul's sizes: the large net first

mod bank;
mod events;
mod hands;
mod water;

use crate::day::{Day, Future};
use crate::draws::{Draws, Luck};
use crate::rates::Unit;
use crate::task::{TASKS, Task};
use events::{Event, Events, What};
use hands::HandNow;
use water::Water;

/// Minutes counted one by one in the record of time out of water; the last stands for all beyond.
pub const MINUTES: usize = 64;

/// How long baskets waited for a task.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Waits {
    /// How many.
    pub count: u32,
    /// Hours together.
    pub sum_h: f64,
    /// The longest, h.
    pub most_h: f64,
    /// Hours of hands at it.
    pub busy_h: f64,
}

/// Hours for which work at the water stood still, by cause.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stopped {
    /// No empty basket.
    pub baskets_h: f64,
    /// No ice for more.
    pub ice_h: f64,
    /// No room in the cold store.
    pub store_h: f64,
}

/// How one future's day went.
#[derive(Debug, Clone, PartialEq)]
pub struct Lived {
    /// The last thing is done.
    pub finish_h: f64,
    /// The last basket left the water or the floor.
    pub out_h: f64,
    /// The last basket is on ice or in a live tank.
    pub iced_h: f64,
    /// The last haul was in.
    pub hauled_h: f64,
    /// Caught in all, kg.
    pub caught_kg: f64,
    /// In live tanks.
    pub live_kg: f64,
    /// Meant alive, but too long out of the water: chilled.
    pub turned_kg: f64,
    /// In the cold store whole.
    pub whole_kg: f64,
    /// In the cold store as tails, in kg of whole weight.
    pub tails_kg: f64,
    /// Sorted out.
    pub culled_kg: f64,
    /// Left in the water.
    pub left_kg: f64,
    /// Left lying on the floor.
    pub stranded_kg: f64,
    /// Picked up by hand.
    pub picked_kg: f64,
    /// On ice, but not packed or headed when everybody had gone.
    pub undone_kg: f64,
    /// Of that, waiting to be headed.
    pub unheaded_kg: f64,
    /// By task.
    pub waits: [Waits; TASKS],
    /// Work at the water stood still.
    pub stopped: Stopped,
    /// Kilograms by whole minutes from water to slurry.
    pub out_kg: [f64; MINUTES],
    /// The longest from water to slurry, h.
    pub out_most_h: f64,
}

impl Default for Lived {
    fn default() -> Lived {
        Lived {
            finish_h: 0.0,
            out_h: 0.0,
            iced_h: 0.0,
            hauled_h: 0.0,
            caught_kg: 0.0,
            live_kg: 0.0,
            turned_kg: 0.0,
            whole_kg: 0.0,
            tails_kg: 0.0,
            culled_kg: 0.0,
            left_kg: 0.0,
            stranded_kg: 0.0,
            picked_kg: 0.0,
            undone_kg: 0.0,
            unheaded_kg: 0.0,
            waits: [Waits::default(); TASKS],
            stopped: Stopped::default(),
            out_kg: [0.0; MINUTES],
            out_most_h: 0.0,
        }
    }
}

/// What becomes of a basket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Live,
    Whole,
    Tails,
}

#[derive(Debug, Clone, Copy)]
pub(crate) struct Basket {
    kg: f64,
    /// Lifted out of the water.
    since_h: f64,
    /// Hours in the air while carried and weighed; between these a basket for live sale stands in water.
    air_h: f64,
    /// Began to wait.
    waits_h: f64,
    form: Form,
    /// The tub it is in.
    tub: u32,
    /// The next in the same queue.
    next: u32,
}

pub(crate) const NONE: u32 = u32::MAX;

#[derive(Debug, Clone, Copy)]
pub(crate) struct Queue {
    first: u32,
    last: u32,
    count: u32,
}

const EMPTY: Queue = Queue { first: NONE, last: NONE, count: 0 };

#[derive(Debug, Clone, Copy)]
pub(crate) struct Tub {
    kg: f64,
    /// Baskets being emptied into it.
    loading: u32,
    /// Closed to more, or cold and being emptied.
    closed: bool,
    /// Number of the batch, so that a batch's closing does not close the next.
    batch: u32,
    held: Queue,
}

/// One day at work. Made once and lived many times: nothing is allocated after the first days have shown how much room is needed.
#[derive(Debug, Default)]
pub struct Line {
    events: Events,
    baskets: Vec<Basket>,
    hands: Vec<HandNow>,
    tubs: Vec<Tub>,
    queues: [Queue; TASKS],
    busy: [u32; TASKS],
    goes: [usize; TASKS],
    /// Hours for a kilogram and hours for a go at a fresh grown hand's pace in this future.
    per_kg_h: [f64; TASKS],
    per_go_h: [f64; TASKS],
    water: Water,
    now_h: f64,
    empty: i64,
    /// Baskets out of the water and not yet on ice.
    in_air: u32,
    ice_left_kg: f64,
    store_left_kg: f64,
    live_left_kg: f64,
    taken: [f64; 3],
    lived: Lived,
}

impl Default for Queue {
    fn default() -> Queue {
        EMPTY
    }
}

impl Line {
    /// Room for a day of usual size.
    pub fn new() -> Line {
        Line { baskets: Vec::with_capacity(512), events: Events::with_room(512), ..Line::default() }
    }

    /// How many events there was room for and how many baskets: unchanged while nothing is allocated.
    pub fn room(&self) -> (usize, usize) {
        (self.events.room(), self.baskets.capacity())
    }

    /// Lives one future's day.
    pub fn live(&mut self, day: &Day, future: &Future, draws: &Draws, member: usize) -> &Lived {
        self.begin(day, future, draws.of(member));
        self.go(day, future, draws.of(member));
        self.end(day, future);
        &self.lived
    }

    /// Lives a day whose baskets come to a task at given hours, each of `kg`, in a form that ends there: for holding the simulation
    /// to what is known of queues. Waits are counted as on any day.
    pub fn fed(&mut self, day: &Day, draws: &Draws, arrivals: &[(f64, f64)], first: Task) -> &Lived {
        let future = Future {
            mass_kg: 0.0,
            weight_g: 35.0,
            member: 0,
            strands_uneven: 0.0,
            culled_share: 0.0,
            dwell_h: [0.0; 2],
        };
        self.begin(day, &future, draws.of(0));
        (self.water.over, self.water.walked) = (true, true);
        for &(at_h, kg) in arrivals {
            let basket = self.make(kg, at_h, Form::Whole);
            self.events.push(at_h, What::Arrives, basket, first as u32);
        }
        self.go(day, &future, draws.of(0));
        &self.lived
    }

    fn begin(&mut self, day: &Day, future: &Future, luck: Luck) {
        self.events.clear();
        self.baskets.clear();
        self.queues = [EMPTY; TASKS];
        self.busy = [0; TASKS];
        self.goes = [0; TASKS];
        self.lived = Lived::default();
        self.in_air = 0;
        for task in Task::ALL {
            let rate = day.rates.get(task);
            // A pace is a speed for some rates and a time for others: the draw makes either slower or quicker alike.
            let slower = units::exp(rate.unknown * luck.pace[task as usize]);
            let (per_kg, per_go) = match rate.unit {
                Unit::KgPerHour => (slower / rate.value, 0.0),
                Unit::HoursEach => (0.0, slower * rate.value),
                Unit::SecondsEach => (slower * rate.value / 3.6 / future.weight_g, 0.0),
            };
            (self.per_kg_h[task as usize], self.per_go_h[task as usize]) = (per_kg, per_go);
        }
        let means = &day.means;
        self.tubs.clear();
        self.tubs.extend((0..means.tubs).map(|_| Tub { kg: 0.0, loading: 0, closed: false, batch: 0, held: EMPTY }));
        self.empty = i64::from(means.baskets);
        self.ice_left_kg = means.ice_kg;
        self.store_left_kg = means.store_kg;
        self.live_left_kg = means.live_room_kg.min(day.buyers.live_kg);
        self.taken = [0.0; 3];
        self.now_h = day.standing.as_ref().map_or(f64::NEG_INFINITY, |standing| standing.hour);
        self.begin_hands(day);
        self.begin_water(day, future);
        self.take_up(day);
    }

    fn go(&mut self, day: &Day, future: &Future, luck: Luck) {
        while let Some(Event { at_h, what, a, b }) = self.events.pop() {
            self.now_h = at_h.max(self.now_h);
            match what {
                What::Comes | What::Rested => self.hands[a as usize].is_free = true,
                What::Done => self.done(day, future, a as usize),
                What::Arrives => self.join(Task::ALL[b as usize], a),
                What::BasketBack => self.empty += 1,
                What::TubCloses => self.close_tub(day, future, a as usize, b),
                What::TubCold => self.tub_cold(a as usize),
                What::Water => self.water_moves(day, future),
            }
            self.hand_out(day, luck);
        }
    }

    fn end(&mut self, day: &Day, future: &Future) {
        self.water_moves(day, future);
        self.lived.left_kg = self.water.left_kg();
        self.lived.stranded_kg = self.water.lying_kg;
        self.unblock();
        let held: f64 = self.tubs.iter().map(|tub| self.sum_kg(tub.held, |_| true)).sum();
        let waiting: f64 = Task::ALL.iter().map(|&task| self.waiting_kg(task)).sum();
        self.lived.undone_kg = held + waiting;
        self.lived.unheaded_kg = self.waiting_kg(Task::Head) + self.unheaded_in_tubs_kg();
    }

    pub(crate) fn make(&mut self, kg: f64, since_h: f64, form: Form) -> u32 {
        self.baskets.push(Basket { kg, since_h, air_h: 0.0, waits_h: since_h, form, tub: 0, next: NONE });
        (self.baskets.len() - 1) as u32
    }

    /// A basket begins to wait for a task.
    pub(crate) fn join(&mut self, task: Task, basket: u32) {
        self.baskets[basket as usize].waits_h = self.now_h;
        let Line { queues, baskets, .. } = self;
        queues[task as usize].push(baskets, basket);
    }

    /// The first that waits for a task is taken up.
    pub(crate) fn leave(&mut self, task: Task) -> u32 {
        let Line { queues, baskets, .. } = self;
        let basket = queues[task as usize].pop(baskets);
        let waited_h = (self.now_h - self.baskets[basket as usize].waits_h).max(0.0);
        let waits = &mut self.lived.waits[task as usize];
        waits.count += 1;
        waits.sum_h += waited_h;
        waits.most_h = waits.most_h.max(waited_h);
        basket
    }

    fn waiting_kg(&self, task: Task) -> f64 {
        self.sum_kg(self.queues[task as usize], |_| true)
    }

    fn unheaded_in_tubs_kg(&self) -> f64 {
        let of = |tub: &Tub| self.sum_kg(tub.held, |basket| basket.form == Form::Tails);
        self.tubs.iter().map(of).sum::<f64>()
            + self.sum_kg(self.queues[Task::Unload as usize], |b| b.form == Form::Tails)
    }

    fn sum_kg(&self, queue: Queue, counts: impl Fn(&Basket) -> bool) -> f64 {
        let (mut at, mut kg) = (queue.first, 0.0);
        while at != NONE {
            let basket = &self.baskets[at as usize];
            kg += if counts(basket) { basket.kg } else { 0.0 };
            at = basket.next;
        }
        kg
    }
}

impl Queue {
    pub(crate) fn push(&mut self, baskets: &mut [Basket], basket: u32) {
        baskets[basket as usize].next = NONE;
        match self.last {
            NONE => self.first = basket,
            last => baskets[last as usize].next = basket,
        }
        self.last = basket;
        self.count += 1;
    }

    pub(crate) fn pop(&mut self, baskets: &mut [Basket]) -> u32 {
        let basket = self.first;
        self.first = baskets[basket as usize].next;
        if self.first == NONE {
            self.last = NONE;
        }
        self.count -= 1;
        basket
    }
}

#[cfg(test)]
mod tests;
