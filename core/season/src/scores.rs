//! How good the mornings' forecasts were: what was called for each dawn against the thermometer.
//!
//! Model     plain counts and means over pairs of a called dawn and the reading that came: the middle's error and its size, how
//!           often the reading lay within the band, the quantiles' loss, and the squared error of the chances.
//! Units     °C, K, days; chances and shares from 0 to 1.
//! Range     any number of pairs; none gives no score rather than a perfect one.
//! Source    Brier (1950), Monthly Weather Review 78, 1-3; Koenker and Bassett (1978), Econometrica 46, 33-50 (the loss of a
//!           quantile); values by an outside program in `checks/values/forecast_scores.csv`.
//! Left out  the doubt of a score from neighbouring dawns, which are alike; the reading's own error.

use std::collections::BTreeMap;

use units::{Day, Instant};

use crate::answer::Band;

/// A reading counts for a dawn when it was taken at most so long before or after, s.
pub const NEAR_DAWN_S: i64 = 2 * 3600;
/// Chances are counted in these groups: up to one in ten, in four, in two, three in four, and above.
pub const CHANCE_GROUPS: [f64; 5] = [0.1, 0.25, 0.5, 0.75, 1.0];
/// The shares of futures below a band's three numbers.
const LEVELS: [f64; 3] = [0.1, 0.5, 0.9];

/// What one morning said of one dawn of one pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Called {
    /// The morning.
    pub on: Day,
    /// The dawn's day.
    pub dawn: Day,
    /// The moment of that dawn.
    pub at: Instant,
    /// Bottom water, °C.
    pub water_c: Band,
    /// Mark, °C, and the chance of lying below it.
    pub below: Option<(f64, f64)>,
}

impl Called {
    /// Days from the morning to the dawn.
    pub fn lead_days(&self) -> i32 {
        self.dawn.0 - self.on.0
    }
}

/// A called dawn and the reading that came, °C.
pub type Pair = (Called, f64);

/// How far off the dawns of one lead were.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeadScore {
    /// Days ahead.
    pub lead_days: i32,
    /// Dawns called so far ahead that have a reading.
    pub count: usize,
    /// Mean of the likely value less the reading, K: above zero when the water came colder than called.
    pub too_warm_k: f64,
    /// Mean size of that difference, K.
    pub off_k: f64,
    /// Readings within the band (its ends count).
    pub within: usize,
    /// Readings below the band.
    pub colder: usize,
    /// Readings above the band.
    pub warmer: usize,
    /// Mean loss of the three quantiles, K.
    pub loss_k: f64,
}

/// What came of chances of one group.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ChanceScore {
    /// Chances above this ...
    pub above: f64,
    /// ... and up to this.
    pub up_to: f64,
    /// Dawns given such a chance.
    pub count: usize,
    /// Mean chance called.
    pub called: f64,
    /// How often it came.
    pub came: usize,
}

/// The whole score.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Scores {
    /// Pairs scored.
    pub count: usize,
    /// Mornings they were called on.
    pub mornings: usize,
    /// By days ahead, nearest first; leads without a pair are left out.
    pub leads: Vec<LeadScore>,
    /// By group of chance, lowest first; empty groups are left out.
    pub chances: Vec<ChanceScore>,
    /// Mean squared error of the chances; `None` when none was called.
    pub brier: Option<f64>,
    /// The same had each dawn been given the share that came in the end: what is easy to beat afterwards only.
    pub brier_of_share: Option<f64>,
}

/// Pairs each called dawn with the reading taken nearest to it, if any was near enough; of two as near, the earlier. `readings`: moment
/// and °C, in any order. Near dawn the column is mixed, so any depth and place speaks for the bottom.
pub fn pairs(called: &[Called], readings: &[(Instant, f64)]) -> Vec<Pair> {
    let mut sorted = readings.to_vec();
    sorted.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    called
        .iter()
        .filter_map(|called| {
            let from = sorted.partition_point(|reading| reading.0.0 < called.at.0 - NEAR_DAWN_S);
            let near = sorted[from..].iter().take_while(|reading| reading.0.0 <= called.at.0 + NEAR_DAWN_S);
            let nearest = near.min_by_key(|reading| (reading.0.0 - called.at.0).abs())?;
            Some((*called, nearest.1))
        })
        .collect()
}

/// Scores pairs in any order.
pub fn score(pairs: &[Pair]) -> Scores {
    let mut by_lead: BTreeMap<i32, Vec<&Pair>> = BTreeMap::new();
    for pair in pairs {
        by_lead.entry(pair.0.lead_days()).or_default().push(pair);
    }
    let mut mornings: Vec<Day> = pairs.iter().map(|(called, _)| called.on).collect();
    mornings.sort_unstable();
    mornings.dedup();
    let chances: Vec<(f64, bool)> = pairs
        .iter()
        .filter_map(|(called, came_c)| called.below.map(|(mark_c, chance)| (chance, *came_c < mark_c)))
        .collect();
    let share = mean(chances.iter().map(|&(_, came)| f64::from(u8::from(came))));
    Scores {
        count: pairs.len(),
        mornings: mornings.len(),
        leads: by_lead.iter().map(|(&lead_days, pairs)| lead(lead_days, pairs)).collect(),
        chances: groups(&chances),
        brier: brier(&chances),
        brier_of_share: share
            .and_then(|share| brier(&chances.iter().map(|&(_, came)| (share, came)).collect::<Vec<_>>())),
    }
}

/// Mean loss of the quantiles of `LEVELS`, K.
pub fn quantile_loss(band: Band, came_c: f64) -> f64 {
    let said = [band.low, band.middle, band.high];
    let loss = |(&level, said_c): (&f64, f64)| {
        let short = came_c - said_c;
        if short >= 0.0 { level * short } else { (level - 1.0) * short }
    };
    LEVELS.iter().zip(said).map(loss).sum::<f64>() / LEVELS.len() as f64
}

/// Mean squared error of chances; `None` for none.
pub fn brier(chances: &[(f64, bool)]) -> Option<f64> {
    mean(chances.iter().map(|&(chance, came)| {
        let off = chance - f64::from(u8::from(came));
        off * off
    }))
}

fn lead(lead_days: i32, pairs: &[&Pair]) -> LeadScore {
    let off = |pair: &&&Pair| pair.0.water_c.middle - pair.1;
    let count_of = |which: &dyn Fn(&Pair) -> bool| pairs.iter().filter(|pair| which(pair)).count();
    let colder = count_of(&|(called, came_c)| *came_c < called.water_c.low);
    let warmer = count_of(&|(called, came_c)| *came_c > called.water_c.high);
    LeadScore {
        lead_days,
        count: pairs.len(),
        too_warm_k: mean(pairs.iter().map(|pair| off(&pair))).unwrap_or_default(),
        off_k: mean(pairs.iter().map(|pair| off(&pair).abs())).unwrap_or_default(),
        within: pairs.len() - colder - warmer,
        colder,
        warmer,
        loss_k: mean(pairs.iter().map(|(called, came_c)| quantile_loss(called.water_c, *came_c))).unwrap_or_default(),
    }
}

fn groups(chances: &[(f64, bool)]) -> Vec<ChanceScore> {
    let mut above = -1.0;
    let mut found = Vec::new();
    for up_to in CHANCE_GROUPS {
        let group: Vec<_> = chances.iter().filter(|(chance, _)| *chance > above && *chance <= up_to).collect();
        if let Some(called) = mean(group.iter().map(|(chance, _)| *chance)) {
            let came = group.iter().filter(|(_, came)| *came).count();
            found.push(ChanceScore { above: f64::max(above, 0.0), up_to, count: group.len(), called, came });
        }
        above = up_to;
    }
    found
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (sum, count) = values.fold((0.0, 0usize), |(sum, count), value| (sum + value, count + 1));
    (count > 0).then(|| sum / count as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn called(on: i32, lead: i32, band: [f64; 3], chance: f64) -> Called {
        Called {
            on: Day(on),
            dawn: Day(on + lead),
            at: Instant(i64::from(on + lead) * 86_400 + 11 * 3600),
            water_c: Band { low: band[0], middle: band[1], high: band[2] },
            below: Some((14.0, chance)),
        }
    }

    #[test]
    fn nothing_is_scored_as_nothing() {
        assert_eq!(score(&[]), Scores::default());
        assert_eq!(brier(&[]), None);
    }

    #[test]
    fn figures_that_can_be_done_by_hand() {
        let pairs = [
            (called(0, 1, [17.0, 18.0, 19.0], 0.1), 17.5), // half a degree too warm, within
            (called(1, 1, [16.0, 17.0, 18.0], 0.2), 13.5), // three and a half too warm, colder than the band, below the mark
            (called(1, 2, [16.0, 17.0, 18.0], 0.6), 18.5), // one and a half too cold, warmer than the band
        ];
        let scores = score(&pairs);
        assert_eq!((scores.count, scores.mornings), (3, 2));
        let one = scores.leads[0];
        assert_eq!((one.lead_days, one.count, one.within, one.colder, one.warmer), (1, 2, 1, 1, 0));
        assert!((one.too_warm_k - 2.0).abs() < 1e-12 && (one.off_k - 2.0).abs() < 1e-12);
        let two = scores.leads[1];
        assert_eq!((two.lead_days, two.warmer), (2, 1));
        assert!((two.too_warm_k + 1.5).abs() < 1e-12 && (two.off_k - 1.5).abs() < 1e-12);
        // (0.1² + 0.8² + 0.6²) / 3; a third came, so the share's own is 1/3 · 2/3.
        assert!((scores.brier.unwrap() - 1.01 / 3.0).abs() < 1e-12);
        assert!((scores.brier_of_share.unwrap() - 2.0 / 9.0).abs() < 1e-12);
        let groups: Vec<_> = scores.chances.iter().map(|group| (group.up_to, group.count, group.came)).collect();
        assert_eq!(groups, [(0.1, 1, 0), (0.25, 1, 1), (0.75, 1, 0)]);
    }

    #[test]
    fn the_nearest_reading_counts_and_a_far_one_does_not() {
        let dawn = called(0, 1, [1.0, 2.0, 3.0], 0.0);
        let at = |minutes: i64| Instant(dawn.at.0 + 60 * minutes);
        let found = |readings: &[(Instant, f64)]| pairs(&[dawn], readings).first().map(|pair| pair.1);
        assert_eq!(found(&[(at(90), 9.0), (at(-20), 7.0), (at(30), 8.0)]), Some(7.0));
        assert_eq!(found(&[(at(120), 9.0)]), Some(9.0));
        assert_eq!(found(&[(at(121), 9.0), (at(-121), 9.0)]), None);
    }

    #[test]
    fn losses_are_those_of_an_outside_program() {
        let text = include_str!("../../../checks/values/forecast_scores.csv");
        let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
        let mut count = 0;
        for row in rows {
            let cells: Vec<f64> = row.split(',').map(|cell| cell.parse().expect("a number")).collect();
            let [low, middle, high, came_c, chance, came, loss_k, squared] = cells[..] else { panic!("{row}") };
            let found = quantile_loss(Band { low, middle, high }, came_c);
            assert!((found - loss_k).abs() < 1e-9, "{row}: {found}");
            let found = brier(&[(chance, came > 0.5)]).unwrap();
            assert!((found - squared).abs() < 1e-9, "{row}: {found}");
            count += 1;
        }
        assert!(count >= 20, "{count} rows");
    }
}
