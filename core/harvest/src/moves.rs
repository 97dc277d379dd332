//! What would help: hands moved, a limit lifted, how much can truly be carried, what to take first.
//!
//! Model     rival days lived under the same draws; the worth of a day in hours, so that pounds and an evening can be weighed
//! Units     hours, kg
//! Range     as the line's
//! Source    steepest descent over single moves; what a kilogram left or spoilt counts in hours is our choice
//! Left out  two moves that help only together

use crate::day::{Day, Future};
use crate::draws::Draws;
use crate::falling_water::FallingWater;
use crate::line::{Line, Lived};
use crate::rates::CHILL_HARD_H;
use crate::task::{Post, Task};
use crate::told::at_share;

/// Hours that a kilogram counts which is left in the pond or in the mud.
const LOST_H_KG: f64 = 0.1;
/// Hours that a kilogram counts which lay too long before ice.
const SPOILT_H_KG: f64 = 0.05;
/// Hours that a kilogram counts which is on ice but not packed.
const UNDONE_H_KG: f64 = 0.01;
/// Futures that rival days are lived under: enough to tell an hour's quarter.
const FUTURES: usize = 48;

/// How bad a day is, h: its end, and what was lost, spoilt, undone.
pub fn worth_h(lived: &Lived) -> f64 {
    let late_kg: f64 = lived.out_kg[(60.0 * CHILL_HARD_H) as usize..].iter().sum();
    lived.finish_h
        + LOST_H_KG * (lived.left_kg + lived.stranded_kg)
        + SPOILT_H_KG * (late_kg + lived.turned_kg)
        + UNDONE_H_KG * lived.undone_kg
}

/// What matters of rival days: means over some futures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Means {
    pub(crate) worth_h: f64,
    finish_h: f64,
    /// Out of the pond and cold or alive.
    home_kg: f64,
    late_kg: f64,
}

pub(crate) fn means(line: &mut Line, day: &Day, futures: &[Future], draws: &Draws) -> Means {
    let futures = &futures[..futures.len().min(FUTURES)];
    let n = futures.len().max(1) as f64;
    let mut sum = Means::default();
    for (member, future) in futures.iter().enumerate() {
        let lived = line.live(day, future, draws, member);
        sum.worth_h += worth_h(lived) / n;
        sum.finish_h += lived.finish_h / n;
        sum.home_kg += (lived.live_kg + lived.whole_kg + lived.tails_kg + lived.undone_kg) / n;
        sum.late_kg += lived.out_kg[(60.0 * CHILL_HARD_H) as usize..].iter().sum::<f64>() / n;
    }
    sum
}

/// A hand moved from one place to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// Which hand.
    pub hand: usize,
    /// From.
    pub from: Post,
    /// To.
    pub to: Post,
    /// The day ends so much earlier, mean, h.
    pub earlier_h: f64,
    /// So much more is out of the pond and cold or alive, mean, kg.
    pub more_kg: f64,
    /// So much less lies too long before ice, mean, kg.
    pub less_late_kg: f64,
}

/// Moves hands one by one while that helps, four times at most; `day` is left with the best places.
pub fn best_posts(line: &mut Line, day: &mut Day, futures: &[Future], draws: &Draws) -> Vec<Moved> {
    /// Less of a gain is not worth a move, h.
    const GAIN_H: f64 = 0.1;
    let mut moves = Vec::new();
    let mut now = means(line, day, futures, draws);
    for _ in 0..4 {
        let mut best: Option<(usize, Post, Means)> = None;
        for from in Post::ALL {
            // Hands of one kind at one place are alike: the first of each is tried.
            let mut tried = Vec::new();
            for hand in 0..day.hands.len() {
                // In deep water and mud nobody stands alone.
                let there = day.hands.iter().filter(|hand| hand.post == Post::Water).count();
                if from == Post::Water && there <= 2 {
                    continue;
                }
                let alike = (day.hands[hand].kind, day.hands[hand].from_h.to_bits(), day.hands[hand].until_h.to_bits());
                if day.hands[hand].post != from || tried.contains(&alike) {
                    continue;
                }
                tried.push(alike);
                for to in Post::ALL.into_iter().filter(|&to| to != from) {
                    day.hands[hand].post = to;
                    let then = means(line, day, futures, draws);
                    day.hands[hand].post = from;
                    if then.worth_h < best.as_ref().map_or(now.worth_h - GAIN_H, |best| best.2.worth_h) {
                        best = Some((hand, to, then));
                    }
                }
            }
        }
        let Some((hand, to, then)) = best else { break };
        let from = std::mem::replace(&mut day.hands[hand].post, to);
        moves.push(Moved {
            hand,
            from,
            to,
            earlier_h: now.finish_h - then.finish_h,
            more_kg: then.home_kg - now.home_kg,
            less_late_kg: now.late_kg - then.late_kg,
        });
        now = then;
    }
    moves
}

/// A limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Relaxed {
    /// Half as many baskets again.
    Baskets,
    /// Baskets filled half as full.
    HalfFull,
    /// Ice for everything.
    Ice,
    /// One more grown hand.
    Hand,
    /// A second scale.
    Scale,
    /// One more tub.
    Tub,
    /// Room in the cold store for everything.
    Store,
    /// The water held an hour longer for the net.
    Seining,
    /// The last water an hour earlier.
    Water,
}

/// A limit and what it costs: how much earlier the day would end, and how much more come home, without it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Without {
    /// Which.
    pub limit: Relaxed,
    /// Better by, as the worth of a day, h.
    pub better_h: f64,
    /// Earlier, mean, h.
    pub earlier_h: f64,
    /// More out of the pond and cold or alive, mean, kg.
    pub more_kg: f64,
    /// Less too long before ice, mean, kg.
    pub less_late_kg: f64,
}

/// Which limits bind, the dearest first: each lifted alone under the same draws. Those that cost less than six minutes are left out.
pub fn relaxed(line: &mut Line, day: &Day, futures: &[Future], draws: &Draws) -> Vec<Without> {
    const COSTS_H: f64 = 0.1;
    let now = means(line, day, futures, draws);
    let all = [
        Relaxed::Baskets,
        Relaxed::HalfFull,
        Relaxed::Ice,
        Relaxed::Hand,
        Relaxed::Scale,
        Relaxed::Tub,
        Relaxed::Store,
        Relaxed::Seining,
        Relaxed::Water,
    ];
    let mut found: Vec<Without> = all
        .into_iter()
        .map(|limit| {
            let then = means(line, &lifted(day, limit), futures, draws);
            Without {
                limit,
                better_h: now.worth_h - then.worth_h,
                earlier_h: now.finish_h - then.finish_h,
                more_kg: then.home_kg - now.home_kg,
                less_late_kg: now.late_kg - then.late_kg,
            }
        })
        .filter(|without| without.better_h > COSTS_H)
        .collect();
    found.sort_by(|a, b| b.better_h.total_cmp(&a.better_h));
    found
}

fn lifted(day: &Day, limit: Relaxed) -> Day {
    let mut other = day.clone();
    let means = &mut other.means;
    match limit {
        Relaxed::Baskets => means.baskets += means.baskets.div_ceil(2),
        Relaxed::HalfFull => means.basket_kg *= 0.5,
        Relaxed::Ice => means.ice_kg = 1e9,
        Relaxed::Hand => {
            let times = day
                .hands
                .iter()
                .fold((f64::MAX, f64::MIN), |(from, until), hand| (from.min(hand.from_h), until.max(hand.until_h)));
            let post =
                Post::ALL.into_iter().min_by_key(|&post| day.hands.iter().filter(|hand| hand.post == post).count());
            let post = post.unwrap_or(Post::Bank);
            other.hands.push(crate::Hand::new(crate::HandKind::Helper, times.0, times.1, post));
        }
        Relaxed::Scale => means.places[Task::Weigh as usize] += 1,
        Relaxed::Tub => means.tubs += 1,
        Relaxed::Store => means.store_kg = 1e9,
        Relaxed::Seining => other.course = day.course.held(day.course.seine_h.1, 1.0),
        Relaxed::Water => other.course = sooner(&day.course, 1.0),
    }
    other
}

/// The last water so much earlier, never before the seining is over.
fn sooner(course: &FallingWater, by_h: f64) -> FallingWater {
    let by_h = by_h.min((course.dip_from_h - course.seine_h.1).max(0.0));
    let fall_h = course.dip_from_h - course.seine_h.1;
    let faster = |hour: f64| match hour {
        hour if hour <= course.seine_h.1 || fall_h <= 0.0 => hour,
        hour if hour <= course.dip_from_h => course.seine_h.1 + (hour - course.seine_h.1) * (1.0 - by_h / fall_h),
        hour => hour - by_h,
    };
    FallingWater {
        at_h: course.at_h.iter().map(|&hour| faster(hour)).collect(),
        dip_from_h: course.dip_from_h - by_h,
        dry_h: course.dry_h - by_h,
        ..course.clone()
    }
}

/// What hands, baskets and ice can truly carry on the day.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Carried {
    /// So many kilograms are home and packed in eight futures of ten when everybody goes home.
    pub packed_kg: f64,
    /// So many are out of the water and on ice in eight of ten.
    pub on_ice_kg: f64,
}

/// How many kilograms today's hands and ice can carry, were there enough in the pond: the most of which, in eight futures of ten, hardly
/// anything is left in the water, lies too long or is still undone by the end of the shift.
pub fn carried(line: &mut Line, day: &Day, futures: &[Future], draws: &Draws) -> Carried {
    const SERVED: f64 = 0.8;
    const SMALL: f64 = 0.03;
    const ROUNDS: u32 = 7;
    let futures = &futures[..futures.len().min(FUTURES)];
    let ends_h = day.hands.iter().map(|hand| hand.until_h).fold(0.0, f64::max);
    let mut holds = |kg: f64, is_packed: bool| {
        let mut short: Vec<f64> = Vec::with_capacity(futures.len());
        for (member, future) in futures.iter().enumerate() {
            let lived = line.live(day, &Future { mass_kg: kg, ..*future }, draws, member);
            let left = lived.left_kg + lived.stranded_kg + if is_packed { lived.undone_kg } else { 0.0 };
            let late = if is_packed { lived.finish_h - ends_h } else { lived.iced_h - ends_h };
            short.push(if late > 0.5 { 1.0 } else { left / kg });
        }
        at_share(&mut short, SERVED) <= SMALL
    };
    let mut most = |is_packed: bool| {
        let (mut low, mut high) = (0.0, 5000.0);
        for _ in 0..ROUNDS + 3 {
            let middle = if low == 0.0 && high > 200.0 { high / 4.0 } else { 0.5 * (low + high) };
            if holds(middle, is_packed) { low = middle } else { high = middle }
        }
        low
    };
    Carried { packed_kg: most(true), on_ice_kg: most(false) }
}

/// A part of what could be taken: a pond, or an end of one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// What is in it, kg.
    pub kg: f64,
    /// The coldest that its water comes to before it could be taken later, °C.
    pub coldest_c: f64,
    /// It is promised.
    pub is_promised: bool,
}

/// In which order parts are taken when not all can be: below the cold mark first, the coldest of them leading; then what is promised; then
/// the rest from cold to warm. Gives for each, in that order, its place and how much of it can be taken.
pub fn takes_first(parts: &[Part], cold_mark_c: f64, can_carry_kg: f64) -> Vec<(usize, f64)> {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    let rank = |part: &Part| match (part.coldest_c < cold_mark_c, part.is_promised) {
        (true, _) => 0,
        (false, true) => 1,
        (false, false) => 2,
    };
    order.sort_by(|&a, &b| {
        rank(&parts[a]).cmp(&rank(&parts[b])).then(parts[a].coldest_c.total_cmp(&parts[b].coldest_c)).then(a.cmp(&b))
    });
    let mut left_kg = can_carry_kg;
    order
        .into_iter()
        .map(|place| {
            let kg = parts[place].kg.min(left_kg);
            left_kg -= kg;
            (place, kg)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cold_parts_come_first_then_promised_ones() {
        let part = |kg, coldest_c, is_promised| Part { kg, coldest_c, is_promised };
        let parts =
            [part(100.0, 18.0, false), part(80.0, 15.2, false), part(60.0, 19.0, true), part(50.0, 14.0, false)];
        let got = takes_first(&parts, 15.6, 170.0);
        assert_eq!(got, [(3, 50.0), (1, 80.0), (2, 40.0), (0, 0.0)]);
    }

    #[test]
    fn the_last_water_is_sooner_and_the_seining_as_it_was() {
        let course = FallingWater::even((7.0, 8.0), 11.0, 12.0, 0.8, 0.3);
        let sooner = sooner(&course, 1.0);
        assert_eq!((sooner.seine_h, sooner.dip_from_h, sooner.dry_h), ((7.0, 8.0), 10.0, 11.0));
        assert!((sooner.bare_at(9.0) - course.bare_at(9.5)).abs() < 1e-12);
    }
}
