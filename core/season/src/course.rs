//! One pond's own picture: the cut water of this morning, its dawns since stocking, what its readings said, its size classes.

use ensemble::{DayTable, MembersAir};
use farm::{Farm, Form, PondCard};
use pond::{Stage, Water};
use stock::Mixture;
use units::{Day, Instant, Watch};
use weather::{Climate, Library, Members};

use crate::answer::Dawn;
use crate::lived::Lived;
use crate::outlook::{MorningAsk, run_ponds, schedules};
use crate::past::FarmPast;
use crate::standing::Standing;

/// What a pond's own page shows beside the morning's answer.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Course {
    /// Water of this morning by column and depth: the mean over members at the hour of "now".
    pub cut: Vec<CutCell>,
    /// Day of the first entry of `dawns_c`.
    pub stocked: Day,
    /// The animals' modelled water at each dawn from stocking to yesterday, °C, from the weather that was; readings do not move it.
    pub dawns_c: Vec<f64>,
    /// Every dawn from tomorrow to the season's end.
    pub ahead: Vec<Dawn>,
    /// Every reading taken near dawn of such a day, beside that line.
    pub misses: Vec<Miss>,
    /// Hours of emptying and of catching that stand between the cold mark and the last start.
    pub lead_h: f64,
    /// See `lead_h`.
    pub catch_h: f64,
    /// The crop by the size classes that buyers pay for, smallest first.
    pub sizes: Vec<SizeShare>,
}

/// One cell of the pond cut along its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutCell {
    /// Where it begins and ends along the pond, 0 the shallow end, 1 the drain end.
    pub along: (f64, f64),
    /// Its upper and lower edge below the surface, m.
    pub depth_m: (f64, f64),
    /// Its water, °C.
    pub temp_c: f64,
}

/// A reading beside the modelled water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// When it was taken.
    pub at: Instant,
    /// Reading less modelled, K.
    pub off_c: f64,
}

/// A size class and the part of the crop in it.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeShare {
    /// From this weight of one animal, g.
    pub from_g: f64,
    /// To this; infinite at the top.
    pub to_g: f64,
    /// Part of the animals, 0 to 1.
    pub number_fraction: f64,
    /// Part of their weight, 0 to 1.
    pub weight_fraction: f64,
}

/// Hours from dawn within which a reading speaks of the dawn: by the sun's clock, 3 to 9, when the column is mixed and any depth speaks for it.
const NEAR_DAWN_H: std::ops::Range<f64> = 3.0..9.0;

/// This morning's water by column and depth, for each pond: the members run from midnight to the hour of "now", and their mean.
pub fn cuts(
    ask: &MorningAsk,
    climate: &Climate,
    ponds: &[Standing],
    members: &Members,
    library: &Library,
    watch: &Watch,
) -> Option<Vec<Vec<CutCell>>> {
    let hours = usize::try_from(ask.now_hour.clamp(1, 24)).expect("between 1 and 24");
    let (schedules, air) = (schedules(ask, climate, ponds, 1), MembersAir { members, library });
    let (_, ends) = run_ponds(ask, ponds, &schedules, &air, hours, watch)?;
    Some(ends.iter().zip(&schedules).map(|(ends, schedule)| cut(ends, schedule.stage_after(hours - 1))).collect())
}

/// The wet cells of a pond with the mean of the members' water, from the shallow end on and from the surface down.
fn cut(ends: &[Water<f64>], stage: &Stage) -> Vec<CutCell> {
    let columns = stage.columns();
    let along = |column: usize| column as f64 / columns as f64;
    let mut cells = Vec::new();
    for column in 0..columns {
        let mut top_m = 0.0;
        for cell in 0..stage.cells(column) {
            let place = column * stage.stride() + cell;
            let sum: f64 = ends.iter().map(|water| water.temps[place]).sum();
            let bottom_m = 2.0 * stage.middle_m(column, cell) - top_m;
            cells.push(CutCell {
                along: (along(column), along(column + 1)),
                depth_m: (top_m, bottom_m),
                temp_c: sum / ends.len() as f64,
            });
            top_m = bottom_m;
        }
    }
    cells
}

/// Hours left to start, in the middle future and one year in ten: first light of the first dawn below the mark, less `needs_h` (now,
/// emptying, catching). `None` where so many futures never meet the mark.
pub fn in_hand(table: &DayTable, cold_mark_c: f64, first_light_h: &[f64], needs_h: f64) -> [Option<f64>; 2] {
    let meets = |member: usize| {
        let cold = |&day: &usize| f64::from(table.dawns_c(day)[member]) < cold_mark_c;
        (0..table.days().min(first_light_h.len())).find(cold).map_or(f64::INFINITY, |day| first_light_h[day] - needs_h)
    };
    let mut hours: Vec<f64> = (0..table.members()).map(meets).collect();
    hours.sort_by(f64::total_cmp);
    [0.5, 0.1].map(|share| {
        let at = (share * hours.len() as f64).floor() as usize;
        hours.get(at.min(hours.len().saturating_sub(1))).copied().filter(|hours| hours.is_finite())
    })
}

/// Each reading near a dawn that the pond has lived through, beside the modelled dawn.
pub fn misses(lived: &Lived, card: &PondCard, past: &FarmPast) -> Vec<Miss> {
    let beside = |reading: &farm::Reading| {
        NEAR_DAWN_H.contains(&weather::sun::solar_hour(reading.at, &past.place)).then_some(())?;
        let (day, _) = past.place.standard_day(reading.at);
        let modelled_c = lived.dawns_c.get(usize::try_from(day.0 - card.stocking.on.0).ok()?)?;
        Some(Miss { at: reading.at, off_c: reading.temp_c - modelled_c })
    };
    card.readings.iter().filter_map(beside).collect()
}

/// Weights at which some price for whole animals changes, ascending, g.
pub fn size_limits(farm: &Farm) -> Vec<f64> {
    let mut limits_g: Vec<f64> = farm
        .prices
        .rows
        .iter()
        .filter(|row| row.form != Form::Tails)
        .flat_map(|row| [row.from_g, row.to_g])
        .filter(|limit_g| limit_g.is_finite() && *limit_g > 0.0)
        .collect();
    limits_g.sort_by(f64::total_cmp);
    limits_g.dedup();
    limits_g
}

/// The crop by size limits.
pub fn sizes(limits_g: &[f64], mixture: &Mixture, mean_weight_g: f64) -> Vec<SizeShare> {
    let edges: Vec<f64> = [0.0].into_iter().chain(limits_g.iter().copied()).chain([f64::INFINITY]).collect();
    let above = |limit_g: f64| match limit_g.is_finite() {
        true => (mixture.number_above(mean_weight_g, limit_g), mixture.weight_above(mean_weight_g, limit_g)),
        false => (0.0, 0.0),
    };
    edges
        .windows(2)
        .map(|edge| {
            let (low, high) = (above(edge[0]), above(edge[1]));
            SizeShare {
                from_g: edge[0],
                to_g: edge[1],
                number_fraction: low.0 - high.0,
                weight_fraction: low.1 - high.1,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_classes_hold_the_whole_crop() {
        let farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample farm");
        let mixture = Mixture::new(30_000.0, 0.0);
        let classes = sizes(&size_limits(&farm), &mixture, 30.0);
        assert!(classes.len() > 2, "{classes:?}");
        let sum = |of: fn(&SizeShare) -> f64| classes.iter().map(of).sum::<f64>();
        assert!((sum(|class| class.number_fraction) - 1.0).abs() < 1e-9);
        assert!((sum(|class| class.weight_fraction) - 1.0).abs() < 1e-9);
        // Heavier animals are a greater part of the weight than of the number.
        let top = classes.last().expect("one class");
        assert!(top.weight_fraction > top.number_fraction && top.to_g.is_infinite(), "{top:?}");
    }
}
