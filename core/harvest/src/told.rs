//! Many futures of one day, told together.

use crate::day::{Day, Future};
use crate::draws::Draws;
use crate::line::{Line, Lived, MINUTES, Stopped};
use crate::rates::{CHILL_HARD_H, CHILL_WANTED_H};
use crate::task::TASKS;

/// One in ten below, half below, nine in ten below.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Band {
    /// One in ten lies below.
    pub low: f64,
    /// Half lie below.
    pub middle: f64,
    /// Nine in ten lie below.
    pub high: f64,
}

/// The value below which a share of some lies, in any order.
pub(crate) fn at_share(values: &mut [f64], share: f64) -> f64 {
    values.sort_by(f64::total_cmp);
    let place = share * (values.len().max(1) - 1) as f64;
    let (below, part) = (place.floor() as usize, place.fract());
    match values.get(below) {
        Some(low) => low + part * (values[(below + 1).min(values.len() - 1)] - low),
        None => 0.0,
    }
}

impl Band {
    /// Of values in any order.
    pub fn of(mut values: Vec<f64>) -> Band {
        let mut at = |share| at_share(&mut values, share);
        Band { low: at(0.1), middle: at(0.5), high: at(0.9) }
    }
}

/// What waits for a task.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WaitTold {
    /// Baskets, mean.
    pub count: f64,
    /// Mean wait of one, h.
    pub mean_h: f64,
    /// The longest of a day, mean of all futures, h.
    pub most_h: f64,
    /// Hours of hands, mean.
    pub busy_h: f64,
}

/// A day, told from many futures.
#[derive(Debug, Clone, PartialEq)]
pub struct DayTold {
    /// Everything is done, clock hour.
    pub finish_h: Band,
    /// The last basket is out of the water.
    pub out_h: Band,
    /// The last basket is on ice.
    pub iced_h: Band,
    /// Caught, kg.
    pub caught_kg: Band,
    /// Into live tanks, kg.
    pub live_kg: Band,
    /// Meant alive and chilled for its time in the air, kg.
    pub turned_kg: Band,
    /// In the cold store whole, kg.
    pub whole_kg: Band,
    /// In the cold store as tails, kg of whole weight.
    pub tails_kg: Band,
    /// Everything that is alive in tanks, packed or still on ice, kg of whole weight.
    pub home_kg: Band,
    /// Sorted out, kg.
    pub culled_kg: Band,
    /// Left in the water, kg.
    pub left_kg: Band,
    /// Left lying, kg.
    pub stranded_kg: Band,
    /// Picked up by hand, kg.
    pub picked_kg: Band,
    /// On ice but not packed when everybody had gone, kg.
    pub undone_kg: Band,
    /// Of that, waiting to be headed, kg.
    pub unheaded_kg: Band,
    /// By task.
    pub waits: [WaitTold; TASKS],
    /// Mean hours that work at the water stood still.
    pub stopped: Stopped,
    /// Minutes from water to slurry of half and of nine tenths of what was chilled.
    pub to_ice_min: (f64, f64),
    /// Share of what was chilled that took longer than is wanted, and longer than may be.
    pub over_wanted: f64,
    /// See `over_wanted`.
    pub over_hard: f64,
}

/// Lives every future.
pub fn live_all(line: &mut Line, day: &Day, futures: &[Future], draws: &Draws) -> Vec<Lived> {
    futures.iter().enumerate().map(|(member, future)| line.live(day, future, draws, member).clone()).collect()
}

/// Tells some futures together; zeros for none.
pub fn tell(lived: &[Lived]) -> DayTold {
    let band = |of: fn(&Lived) -> f64| Band::of(lived.iter().map(of).collect());
    let n = lived.len().max(1) as f64;
    let mean = |of: &dyn Fn(&Lived) -> f64| lived.iter().map(of).sum::<f64>() / n;
    let mut waits = [WaitTold::default(); TASKS];
    for (task, told) in waits.iter_mut().enumerate() {
        let (count, sum_h) = (mean(&|one| f64::from(one.waits[task].count)), mean(&|one| one.waits[task].sum_h));
        *told = WaitTold {
            count,
            mean_h: if count > 0.0 { sum_h / count } else { 0.0 },
            most_h: mean(&|one| one.waits[task].most_h),
            busy_h: mean(&|one| one.waits[task].busy_h),
        };
    }
    let mut out_kg = [0.0; MINUTES];
    for one in lived {
        out_kg.iter_mut().zip(&one.out_kg).for_each(|(sum, kg)| *sum += kg);
    }
    let all_kg = out_kg.iter().sum::<f64>().max(1e-9);
    let over = |hours: f64| out_kg[(60.0 * hours).round() as usize..].iter().sum::<f64>() / all_kg;
    DayTold {
        finish_h: band(|one| one.finish_h),
        out_h: band(|one| one.out_h),
        iced_h: band(|one| one.iced_h),
        caught_kg: band(|one| one.caught_kg),
        live_kg: band(|one| one.live_kg),
        turned_kg: band(|one| one.turned_kg),
        whole_kg: band(|one| one.whole_kg),
        tails_kg: band(|one| one.tails_kg),
        home_kg: band(|one| one.live_kg + one.whole_kg + one.tails_kg + one.undone_kg),
        culled_kg: band(|one| one.culled_kg),
        left_kg: band(|one| one.left_kg),
        stranded_kg: band(|one| one.stranded_kg),
        picked_kg: band(|one| one.picked_kg),
        undone_kg: band(|one| one.undone_kg),
        unheaded_kg: band(|one| one.unheaded_kg),
        waits,
        stopped: Stopped {
            baskets_h: mean(&|one| one.stopped.baskets_h),
            ice_h: mean(&|one| one.stopped.ice_h),
            store_h: mean(&|one| one.stopped.store_h),
        },
        to_ice_min: (minute_of(&out_kg, 0.5 * all_kg), minute_of(&out_kg, 0.9 * all_kg)),
        over_wanted: over(CHILL_WANTED_H),
        over_hard: over(CHILL_HARD_H),
    }
}

/// The minute within which so many kilograms were on ice.
fn minute_of(out_kg: &[f64; MINUTES], wanted_kg: f64) -> f64 {
    let mut sum_kg = 0.0;
    for (minute, kg) in out_kg.iter().enumerate() {
        if sum_kg + kg >= wanted_kg && *kg > 0.0 {
            return minute as f64 + (wanted_kg - sum_kg) / kg;
        }
        sum_kg += kg;
    }
    0.0
}
