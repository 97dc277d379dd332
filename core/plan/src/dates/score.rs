//! The one number by which schedules are compared, in whole steps so that sums are exact and ties are ties.
//!
//! From the heaviest part to the lightest: ponds left in the water, chance beyond the guard, money, and then the order among
//! equals: earliest days first, the lower pond before the higher, the grower's first way before the second. Each part is
//! additive over ponds and cannot reach into the part above, so one addition and one comparison do for all of them.
//!
//! Money counts in sixty-fourths of the smallest coin. Schedules that differ by less are equals.

use crate::limits::EXPOSURE_STEPS;

/// A score; larger is better.
pub(crate) type Score = i128;

/// Most ponds and days for which the parts stay apart.
pub(crate) const PONDS_MOST: usize = 64;
/// See [`PONDS_MOST`].
pub(crate) const DAYS_MOST: usize = 511;

const MONEY_STEPS_PER_COIN: f64 = 64.0;
const MONEY_SHIFT: u32 = 46;
const BAD_SHIFT: u32 = 96;
const DAY_SHIFT: u32 = 31;
const ORDER_SHIFT: u32 = 10;

/// A pond left outweighs any exposure of all ponds.
const LEFT_BAD: i128 = (PONDS_MOST * EXPOSURE_STEPS as usize) as i128;

/// The score of a job that is barred: worse than leaving every pond, and still a number that can be summed over ponds.
pub(crate) const BARRED: Score = Score::MIN / 128;

/// Coins to the nearest sixty-fourth, as a float whose sums with its like are exact.
pub(crate) fn to_steps(coins: f64) -> f64 {
    // Adding a number this large leaves no bits below the unit: the usual way of rounding without a branch.
    const SHIFT: f64 = 6_755_399_441_055_744.0;
    (coins * MONEY_STEPS_PER_COIN + SHIFT) - SHIFT
}

/// Money in steps, exposure and order together.
#[inline]
pub(crate) fn score(money_steps: f64, exposure: u16, order: i64) -> Score {
    (i128::from(money_steps as i64) << MONEY_SHIFT) - (i128::from(exposure) << BAD_SHIFT) - i128::from(order)
}

/// The score of leaving a pond that ought to come out.
pub(crate) fn left_score() -> Score {
    -(LEFT_BAD << BAD_SHIFT)
}

/// The place among equals of a choice: smaller is preferred.
pub(crate) fn order(ponds: usize, pond: usize, day: usize, rank: usize) -> i64 {
    let day = day as i64;
    (day << DAY_SHIFT) + ((day * (ponds - pond) as i64) << ORDER_SHIFT) + rank.min(15) as i64
}

/// The money in a sum of scores, in coins.
pub(crate) fn coins(total: Score) -> f64 {
    // Order only ever takes away, and less than one step.
    let without_bad = total - (bad_part(total) << BAD_SHIFT);
    let steps = (without_bad + (1 << MONEY_SHIFT) - 1) >> MONEY_SHIFT;
    steps as f64 / MONEY_STEPS_PER_COIN
}

/// By how many coins a bound lies above a total; none when it also leaves fewer ponds or less exposure open.
pub(crate) fn beyond(bound: Score, total: Score) -> Option<f64> {
    (bad_part(bound) == bad_part(total)).then(|| (coins(bound) - coins(total)).max(0.0))
}

fn bad_part(total: Score) -> i128 {
    (total + (1 << (BAD_SHIFT - 1))) >> BAD_SHIFT
}

/// Ponds left and exposure steps in a sum of scores.
pub(crate) fn left_and_exposure(total: Score) -> (usize, u32) {
    let bad = -bad_part(total);
    ((bad / LEFT_BAD) as usize, (bad % LEFT_BAD) as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_do_not_reach_into_each_other() {
        let most_steps = to_steps(crate::COINS_MOST);
        let worst_order = order(PONDS_MOST, 0, DAYS_MOST, 15);
        // Every pond as poor and late as can be is still better than one step of exposure more.
        let poor = score(-most_steps, 0, worst_order) * PONDS_MOST as i128;
        let rich = score(most_steps, 0, 0) * (PONDS_MOST as i128 - 1) + score(most_steps, 1, 0);
        assert!(poor > rich);
        let exposed = score(0.0, EXPOSURE_STEPS, 0) * (PONDS_MOST as i128 - 1);
        assert!(exposed + poor > left_score() + rich);
        // One step of money outweighs any order.
        assert!(score(1.0, 0, worst_order) + score(0.0, 0, worst_order) * 63 > 0);
        assert_eq!(left_and_exposure(left_score() * 2 + exposed + poor), (2, 63 * u32::from(EXPOSURE_STEPS)));
    }

    #[test]
    fn a_barred_job_is_never_made_up_for() {
        let most = score(to_steps(crate::COINS_MOST), 0, 0) * PONDS_MOST as i128;
        assert!(BARRED + most < BARRED / 2);
        assert!(left_score() * PONDS_MOST as i128 - most > BARRED / 2);
        assert!(BARRED.checked_mul(PONDS_MOST as i128).and_then(|sum| sum.checked_sub(most)).is_some());
    }

    #[test]
    fn money_comes_back() {
        for (money, exposure) in [(0.0, 0), (123.25, 0), (-987_654_321.015_625, 700), (1.0e11, 1000)] {
            let total = score(to_steps(money), exposure, order(12, 3, 99, 2));
            assert_eq!(coins(total), money, "{money}");
            assert_eq!(left_and_exposure(total), (0, u32::from(exposure)));
        }
    }
}
