//! The day told again as it goes: the rehearsed day, with what was entered since, lived on from now.
//!
//! Model     where everything stands is the day's own record; what is not entered as moved on goes on at the table's usual pace. Futures with
//!           less in the pond than is caught already are dropped. Paces are learnt from runs of baskets and from a table that never
//!           stood empty; the water's course is moved to the level last read, or held as long as somebody wrote that it is
//! Units     h of the clock on the day of the catch, kg
//! Range     from the first basket on
//! Source    `harvest::learn`; a run ends where nothing comes for a quarter of an hour: our choice
//! Left out  what lies in the net, which counts as water; who stands where now, which nobody enters

use farm::facts::{Basket, DayRecord, Place};
use harvest::{Buyers, Day, DayTold, Draws, FallingWater, Future, Heard, Line, Standing, Task};
use units::{Instant, Zone};

use super::{DaySheet, Who};

/// Without a basket for so long a run is over, s.
const RUN_S: i64 = 900;
/// Mean time between two baskets below which they were not weighed one by one, s.
const BASKET_LEAST_S: i64 = 10;
/// Baskets that a run must have to teach anything.
const RUN_BASKETS: usize = 4;
/// Reading of the water that moves its course: newer than this, s.
const READ_S: i64 = 4 * 3600;
/// Whole weight for a kilogram of tails where the farm has not weighed its own: the middle of 0.42 to 0.50 (docs/model/selling.md).
const WHOLE_FOR_TAILS: f64 = 1.0 / 0.46;

/// A rehearsed day with what it was lived from.
#[derive(Debug, Clone)]
pub struct Rehearsal {
    /// The sheet.
    pub sheet: DaySheet,
    pub(super) days: Vec<(Who, Day)>,
    pub(super) futures: Vec<Future>,
    pub(super) draws: Draws,
    /// Level of the full pond above its lowest floor, m.
    pub full_m: f64,
    /// The whole way down with its holds, from the opening on.
    pub(super) whole: FallingWater,
}

/// The water as it stands against the rehearsed course.
struct WaterNow {
    course: FallingWater,
    later_h: f64,
    is_guessed: bool,
    level_is_odd: bool,
    is_held: bool,
}

/// What was heard of the day so far, and what it means.
#[derive(Debug, Clone, PartialEq)]
pub struct Again {
    /// Clock hour at which it is told.
    pub hour: f64,
    /// The day from now on.
    pub told: DayTold,
    /// Hands it is lived with.
    pub hands: usize,
    /// They are those who are written as here.
    pub hands_are_counted: bool,
    /// Tasks whose pace was learnt today: slower than rehearsed by this factor.
    pub slower: Vec<(Task, f64)>,
    /// The water is later than rehearsed by so much, h; before it below nothing.
    pub water_later_h: f64,
    /// No level was read: it is taken to stand at the net's depth since the first basket.
    pub water_is_guessed: bool,
    /// The level read last is one that the rehearsed way down never comes to: it is not in these hours.
    pub level_is_odd: bool,
    /// It is held.
    pub is_held: bool,
    /// Ice left by what was entered, else by the rule, kg; and whether it was entered.
    pub ice_left_kg: f64,
    /// See `ice_left_kg`.
    pub ice_is_entered: bool,
    /// At the table waiting to be headed, kg.
    pub at_table_kg: f64,
    /// Nothing was entered as moved on: tubs and table are taken at their usual pace.
    pub moves_are_guessed: bool,
    /// Futures that agree with what is caught.
    pub agree: usize,
}

impl Rehearsal {
    /// Tells the day again at a moment. `None` outside its working hours or with nothing weighed.
    pub fn again(&self, record: &DayRecord, now: Instant, zone: &Zone) -> Option<Again> {
        let midnight = zone.instant(self.sheet.on, 0);
        let hour_of = |at: Instant| (at.0 - midnight.0) as f64 / 3600.0;
        let hour = hour_of(now);
        let (who, rehearsed) = self.days.iter().find(|(who, _)| *who == Who::Everybody)?;
        debug_assert!(*who == Who::Everybody);
        if record.baskets.is_empty() || !(0.0..36.0).contains(&hour) {
            return None;
        }
        let mut day = rehearsed.clone();
        let here = record.here();
        if here > 0 && here < day.hands.len() {
            // Those who are sure and may do most stay: a name says nothing of its kind.
            day.hands.sort_by_key(|hand| (!hand.sure, hand.kind));
            day.hands.truncate(here);
        }
        let last_h = day.hands.iter().map(|hand| hand.until_h).fold(0.0, f64::max);
        // Whoever is still here at the end of the shift stays until it is done, three hours more at the most.
        if hour > last_h - 0.5 {
            day.hands.iter_mut().for_each(|hand| hand.until_h = hand.until_h.max(hour + 3.0));
        }
        let water = self.water(&day.course, record, now, &hour_of);
        day.course = water.course;
        let heard = self.heard(record, &day, &hour_of, now);
        let rates = harvest::learn(&day.rates, &heard);
        let slower = heard
            .iter()
            .map(|one| (one.task, rates.hours(one.task, 1.0, 35.0) / day.rates.hours(one.task, 1.0, 35.0)))
            .collect();
        day.rates = rates;
        let (standing, at_table_kg, moves_are_guessed, ice) = self.standing(record, &day, hour, &hour_of);
        let caught_kg = standing.caught_kg;
        day.standing = Some(standing);
        let agree: Vec<usize> =
            (0..self.futures.len()).filter(|&member| self.futures[member].mass_kg >= caught_kg).collect();
        let futures: Vec<Future> = (0..self.futures.len())
            .map(|member| match agree.len() {
                // More is caught than any future held: nothing says how much more there is.
                0 => Future { mass_kg: caught_kg, ..self.futures[member] },
                n => self.futures[agree[member % n]],
            })
            .collect();
        let told = harvest::tell(&harvest::live_all(&mut Line::new(), &day, &futures, &self.draws));
        Some(Again {
            hour,
            told,
            hands: day.hands.len(),
            hands_are_counted: here > 0,
            slower,
            water_later_h: water.later_h,
            water_is_guessed: water.is_guessed,
            level_is_odd: water.level_is_odd,
            is_held: water.is_held,
            ice_left_kg: (self.sheet.ice_there_kg - ice.0).max(0.0),
            ice_is_entered: ice.1,
            at_table_kg,
            moves_are_guessed,
            agree: agree.len(),
        })
    }

    /// The course from the level last read, and from a hold that was written down.
    fn water(
        &self,
        course: &FallingWater,
        record: &DayRecord,
        now: Instant,
        hour_of: &dyn Fn(Instant) -> f64,
    ) -> WaterNow {
        let said = record.watched.iter().rfind(|look| look.opened.is_some() && look.written.at <= now);
        let is_held = said.is_some_and(|look| matches!(look.opened.as_deref(), Some("held" | "shut")));
        let held_from_h = said.filter(|_| is_held).map(|look| hour_of(look.written.at));
        let read = record.water().filter(|(_, at)| *at <= now && now.0 - at.0 < READ_S);
        let mut later_h = 0.0;
        let mut moved = course.clone();
        // Whoever weighs baskets has net or basin at work, whatever hour was rehearsed.
        let first_h = record.baskets.first().map_or(f64::INFINITY, |one| hour_of(one.written.at));
        let is_guessed = read.is_none() && first_h < course.seine_h.0;
        if is_guessed {
            later_h = first_h - course.seine_h.0;
            moved = course.moved(later_h);
        }
        let late_h = read.map(|(below_m, at)| self.whole.later_h(hour_of(at), self.full_m - below_m));
        if let Some(by_h) = late_h.flatten() {
            later_h = by_h;
            moved = course.moved(by_h);
        }
        if let Some(from_h) = held_from_h {
            // A hold that was rehearsed delays nothing, nor does the time before the level was read.
            let since_h = read.map_or(from_h, |(_, at)| hour_of(at).max(from_h));
            let stands_h = self.whole.moved(later_h).stands_until(since_h);
            let for_h = hour_of(now) - stands_h;
            if for_h > 0.0 {
                moved = moved.held(stands_h, for_h);
                later_h += for_h;
            }
        }
        WaterNow { course: moved, later_h, is_guessed, level_is_odd: late_h == Some(None), is_held }
    }

    /// Work that the entries timed.
    fn heard(&self, record: &DayRecord, day: &Day, hour_of: &dyn Fn(Instant) -> f64, now: Instant) -> Vec<Heard> {
        let at_post = |post| day.hands.iter().filter(|hand| hand.post == post).map(|hand| hand.pace).sum::<f64>();
        let in_water = at_post(harvest::Post::Water).max(1.0);
        let weight_g = self.sheet.weight_g.middle;
        let mut heard: Vec<Heard> = Vec::new();
        for (by_hand, task) in [(true, Task::Gather), (false, Task::Bag)] {
            let runs = runs(&record.baskets, by_hand);
            let goes: usize = runs.iter().map(|run| run.len() - 1).sum();
            if goes + 1 < RUN_BASKETS {
                continue;
            }
            let kg: f64 = runs.iter().flat_map(|run| &run[1..]).map(|basket| basket.net_kg).sum();
            let of = |run: &Vec<&Basket>| {
                let last = run.len() - 1;
                hour_of(run[last].written.at) - hour_of(run[0].written.at)
            };
            let hand_h: f64 = in_water * runs.iter().map(of).sum::<f64>();
            let goes = goes as u32;
            // Whoever fills baskets carries them as well: the filling's share of both.
            let own_h = day.rates.hours(task, kg, weight_g);
            let carry_h = f64::from(goes) * day.rates.hours(Task::Carry, 1.0, weight_g) / f64::from(day.means.carried);
            let share = if task == Task::Bag { own_h / (own_h + carry_h) } else { 1.0 };
            heard.push(Heard { task, goes, kg, weight_g, hand_h: share * hand_h });
        }
        heard.extend(self.headed(record, day, hour_of, now));
        heard
    }

    /// Heading, where the table never stood empty since the first came to it.
    fn headed(&self, record: &DayRecord, day: &Day, hour_of: &dyn Fn(Instant) -> f64, now: Instant) -> Option<Heard> {
        let at_table =
            day.hands.iter().filter(|hand| hand.post == harvest::Post::Table).map(|hand| hand.pace).sum::<f64>();
        let tails: Vec<_> = record.moved.iter().filter(|one| one.from == Place::Table && one.is_tails).collect();
        let last = tails.iter().map(|one| one.written.at).max()?;
        let to_it = record.baskets.iter().filter(|one| one.to == Place::Table).map(|one| (one.written.at, one.net_kg));
        let moved = record.moved.iter().filter(|one| one.to == Place::Table).map(|one| (one.written.at, one.weight_kg));
        let came: Vec<(Instant, f64)> = to_it.chain(moved).filter(|(at, _)| *at <= now).collect();
        let first = came.iter().map(|(at, _)| *at).min()?;
        let tails_kg: f64 = tails.iter().map(|one| one.weight_kg).sum();
        let whole_kg = WHOLE_FOR_TAILS * tails_kg;
        let came_kg: f64 = came.iter().map(|(_, kg)| kg).sum();
        let hand_h = at_table.max(1.0) * (hour_of(last) - hour_of(first));
        let was_busy = came_kg > 1.15 * whole_kg;
        let heard = Heard {
            task: Task::Head,
            goes: tails.len() as u32,
            kg: whole_kg,
            weight_g: self.sheet.weight_g.middle,
            hand_h,
        };
        (was_busy && hand_h > 0.25).then_some(heard)
    }

    /// Where everything is: the standing, what lies at the table, whether moves are guessed, ice used and whether that was entered.
    fn standing(
        &self,
        record: &DayRecord,
        day: &Day,
        hour: f64,
        hour_of: &dyn Fn(Instant) -> f64,
    ) -> (Standing, f64, bool, (f64, bool)) {
        let means = &day.means;
        let left_tubs = record.moved.iter().any(|one| one.from == Place::Chill);
        let chill_kg = record.held_kg(Place::Chill).max(0.0);
        let at_table_kg = (record.weighed_to_kg(Place::Table) + moved_whole(record, |one| one.to == Place::Table)
            - WHOLE_FOR_TAILS * moved_tails(record)
            - moved_whole(record, |one| one.from == Place::Table && one.to != Place::Waste))
        .max(0.0);
        let room_kg = f64::from(means.tubs) * means.tub_kg;
        // What went to the tubs so long ago that it is cold, and was never written out of them, is taken on at the table's pace.
        let dwell_h = self.sheet.dwell_min / 60.0 + means.tub_open_h;
        let cold_kg: f64 = record
            .baskets
            .iter()
            .filter(|one| one.to == Place::Chill && hour - hour_of(one.written.at) > dwell_h)
            .map(|one| one.net_kg)
            .sum();
        let guessed = !left_tubs && chill_kg > 0.0 && cold_kg > 0.0;
        let (done_kg, rest_kg) =
            if guessed { self.at_usual_pace(record, day, hour, cold_kg, hour_of) } else { (0.0, 0.0) };
        let in_tubs_kg = (chill_kg - done_kg - rest_kg).clamp(0.0, room_kg);
        let over_kg = (chill_kg - done_kg - rest_kg - in_tubs_kg).max(0.0);
        let whole_share = share(day.buyers.whole_kg, day.buyers.whole_kg + day.buyers.tails_kg);
        let basket_kg = means.basket_kg.max(0.5);
        let mut waiting = Vec::new();
        let mut queue = |task: Task, kg: f64| {
            let count = (kg / basket_kg).ceil().max(0.0) as usize;
            (0..count).for_each(|at| waiting.push((task, (kg - basket_kg * at as f64).min(basket_kg), hour)));
        };
        queue(Task::Head, at_table_kg + (1.0 - whole_share) * (rest_kg + over_kg));
        queue(Task::Pack, whole_share * (rest_kg + over_kg));
        let stored_tails_kg = WHOLE_FOR_TAILS * moved_tails(record);
        let entered_kg = record.ice_kg();
        let chilled_kg = record.weighed_to_kg(Place::Chill) + record.weighed_to_kg(Place::Table);
        // What was put in and nobody entered melts all the same.
        let ice_kg = entered_kg.max(chilled_kg * means.ice_per_kg);
        // The line counts ice for what waits and what is in the tubs itself.
        let counted_kg = (at_table_kg + rest_kg + over_kg) * means.ice_per_kg;
        let whole_kg = (record.held_kg(Place::Store).max(0.0) + record.held_kg(Place::Sold).max(0.0)
            - moved_tails(record)
            + whole_share * done_kg)
            .max(0.0);
        let standing = Standing {
            hour,
            hauls: self.hauls(record, day, hour),
            in_net_kg: 0.0,
            waiting,
            in_tubs_kg,
            ice_used_kg: (ice_kg - counted_kg).max(0.0),
            done: Buyers {
                live_kg: record.weighed_to_kg(Place::Live),
                whole_kg,
                tails_kg: stored_tails_kg + (1.0 - whole_share) * done_kg,
            },
            caught_kg: record.caught_kg(),
        };
        (standing, at_table_kg, guessed, (ice_kg, entered_kg > 0.0))
    }

    /// Of what is cold: done by now at the usual pace of those at the table, and the rest.
    fn at_usual_pace(
        &self,
        record: &DayRecord,
        day: &Day,
        hour: f64,
        cold_kg: f64,
        hour_of: &dyn Fn(Instant) -> f64,
    ) -> (f64, f64) {
        let first =
            record.baskets.iter().find(|one| one.to == Place::Chill).map_or(hour, |one| hour_of(one.written.at));
        let since_h = (hour - first - self.sheet.dwell_min / 60.0).max(0.0);
        let at_table =
            day.hands.iter().filter(|hand| hand.post == harvest::Post::Table).map(|hand| hand.pace).sum::<f64>();
        let each = |task| day.rates.hours(task, 1.0, self.sheet.weight_g.middle);
        let tails = 1.0 - share(day.buyers.whole_kg, day.buyers.whole_kg + day.buyers.tails_kg);
        let h_kg = each(Task::Pack) + tails * (each(Task::Head) + each(Task::Wash));
        let done_kg = (since_h * at_table / h_kg.max(1e-6)).min(cold_kg);
        (done_kg, cold_kg - done_kg)
    }

    /// Hauls done: as entered, else as many as the day had time for.
    fn hauls(&self, record: &DayRecord, day: &Day, hour: f64) -> u32 {
        let entered = record.edges.iter().rev().find_map(|edge| edge.pass_count);
        let (from_h, until_h) = day.course.seine_h;
        let part = ((hour - from_h) / (until_h - from_h).max(0.1)).clamp(0.0, 1.0);
        entered.map_or((part * f64::from(day.means.hauls_most)).floor() as u32, |count| count as u32)
    }
}

fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 1.0 }
}

fn moved_whole(record: &DayRecord, of: impl Fn(&farm::facts::Moved) -> bool) -> f64 {
    record.moved.iter().filter(|one| !one.is_tails && of(one)).map(|one| one.weight_kg).sum()
}

fn moved_tails(record: &DayRecord) -> f64 {
    record.moved.iter().filter(|one| one.is_tails && one.from == Place::Table).map(|one| one.weight_kg).sum()
}

/// Runs of baskets of one kind with less than a quarter of an hour between them; of two at the least.
fn runs(baskets: &[Basket], by_hand: bool) -> Vec<Vec<&Basket>> {
    let mut runs: Vec<Vec<&Basket>> = Vec::new();
    for basket in baskets.iter().filter(|basket| basket.by_hand == by_hand) {
        let goes_on =
            |run: &Vec<&Basket>| run.last().is_some_and(|last| basket.written.at.0 - last.written.at.0 < RUN_S);
        match runs.last_mut().filter(|run| goes_on(run)) {
            Some(run) => run.push(basket),
            None => runs.push(vec![basket]),
        }
    }
    // A list typed in one go tells no hours.
    let span_s = |run: &[&Basket]| run[run.len() - 1].written.at.0 - run[0].written.at.0;
    runs.retain(|run| run.len() >= 2 && span_s(run) >= BASKET_LEAST_S * (run.len() as i64 - 1));
    runs
}
