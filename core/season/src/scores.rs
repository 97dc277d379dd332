//! How good the mornings' forecasts were: what was called for each dawn against the thermometer.
//!
//! Model     plain counts and means over pairs of a called dawn and the reading that came: the middle's error and its size, the same of
//!           water that stays as it was read that morning (persistence), how often the reading lay within the band, the quantiles'
//!           loss, and the squared error of the chances.
//! Units     °C, K, days; chances and shares from 0 to 1.
//! Range     any number of pairs; none gives no score rather than a perfect one.
//! Source    Brier (1950), Monthly Weather Review 78, 1-3; Koenker and Bassett (1978), Econometrica 46, 33-50 (the loss of a
//!           quantile); values by an outside program in `checks/values/forecast_scores.csv`.
//! Left out  the doubt of a score from neighbouring dawns, which are alike; the reading's own error.

use std::collections::{BTreeMap, BTreeSet};

use units::{Day, Instant};

use crate::answer::Band;

/// A reading counts for a dawn when it was taken at most so long before or after, s.
pub const NEAR_DAWN_S: i64 = 2 * 3600;
const DAY_S: i64 = 86_400;
/// Chances are counted in these groups: up to one in ten, in four, in two, three in four, and above.
pub const CHANCE_GROUPS: [f64; 5] = [0.1, 0.25, 0.5, 0.75, 1.0];
/// Mornings, and dawns that were read, from which on something can be said: a week (our judgement; fewer are one spell of weather).
pub const MORNINGS_ENOUGH: usize = 7;
/// Chances from which on what came of them is held against them (our judgement).
pub const CHANCES_ENOUGH: usize = 20;
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
    /// Marks, °C, each with the chance of lying below it.
    pub below: [Option<(f64, f64)>; 2],
}

/// Whether as many readings lay within the bands as should.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BandsHeld {
    /// Fewer readings than can tell.
    TooFew,
    /// Fewer within than chance leaves room for.
    TooFewWithin,
    /// About as many as were said.
    AsSaid,
    /// More within than chance leaves room for.
    TooManyWithin,
}

/// Share of readings that a band should hold.
pub const BAND_SHARE: f64 = 0.8;
/// Readings from which on the bands are judged (our judgement).
pub const BANDS_ENOUGH: usize = 20;
/// Standard errors off from which on a band is called wrong (our judgement).
const BANDS_OFF: f64 = 1.5;

impl Scores {
    /// Readings within, below and above the bands, over all leads.
    pub fn held(&self) -> [usize; 3] {
        self.leads.iter().fold([0; 3], |[within, colder, warmer], lead| {
            [within + lead.within, colder + lead.colder, warmer + lead.warmer]
        })
    }

    /// Whether that is as it should be. The readings of a dawn stand together and neighbouring dawns are alike: no more independent
    /// readings are counted than there are dawns.
    pub fn bands_held(&self) -> BandsHeld {
        if self.count < BANDS_ENOUGH {
            return BandsHeld::TooFew;
        }
        let share = self.held()[0] as f64 / self.count as f64;
        let standard_error = (BAND_SHARE * (1.0 - BAND_SHARE) / self.dawns.clamp(1, self.count) as f64).sqrt();
        match (share - BAND_SHARE) / standard_error {
            off if off < -BANDS_OFF => BandsHeld::TooFewWithin,
            off if off > BANDS_OFF => BandsHeld::TooManyWithin,
            _ => BandsHeld::AsSaid,
        }
    }

    /// Whether enough mornings and enough dawns speak for something to be said.
    pub fn are_enough(&self) -> bool {
        self.mornings >= MORNINGS_ENOUGH && self.dawns >= MORNINGS_ENOUGH
    }
}

impl Called {
    /// Days from the morning to the dawn.
    pub fn lead_days(&self) -> i32 {
        self.dawn.0 - self.on.0
    }
}

/// A thermometer's reading of a pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Read {
    /// When.
    pub at: Instant,
    /// At the drain end, where the last animals gather.
    pub is_deep: bool,
    /// °C.
    pub temp_c: f64,
}

/// A called dawn and what came.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// What was called.
    pub called: Called,
    /// What the thermometer said, °C.
    pub came_c: f64,
    /// What it had said at dawn of the morning of the call, °C; `None` when nobody read it then.
    pub stood_c: Option<f64>,
}

/// Calls beside water that stays as it was read, over the dawns for which both can be told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Dawns.
    pub count: usize,
    /// Mean size of the likely value's error, K.
    pub off_k: f64,
    /// Mean size of the error had the water stayed as it was on the morning of the call, K.
    pub stayed_off_k: f64,
}

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
    /// Beside water that stays as it was; `None` when no morning of a call had a reading of its own.
    pub beside: Option<Beside>,
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
    /// Days whose dawn was read.
    pub dawns: usize,
    /// By days ahead, nearest first; leads without a pair are left out.
    pub leads: Vec<LeadScore>,
    /// By group of chance, lowest first; empty groups are left out.
    pub chances: Vec<ChanceScore>,
    /// Mean squared error of the chances; `None` when none was called.
    pub brier: Option<f64>,
    /// The same had each dawn been given the share that came in the end: what is easy to beat afterwards only.
    pub brier_of_share: Option<f64>,
}

/// Pairs each called dawn with the reading taken near it, if any was: of those at the drain end, or else of all, the nearest; of two as
/// near, the earlier. Near dawn the column is mixed, so any depth speaks for the bottom. The dawn of the morning of the call is taken
/// whole days before, which the sun keeps to within some minutes.
pub fn pairs(called: &[Called], readings: &[Read]) -> Vec<Pair> {
    let mut sorted = readings.to_vec();
    sorted.sort_by(|a, b| a.at.cmp(&b.at).then(a.temp_c.total_cmp(&b.temp_c)));
    let near = |at: i64| {
        let from = sorted.partition_point(|reading| reading.at.0 < at - NEAR_DAWN_S);
        let near = sorted[from..].iter().take_while(|reading| reading.at.0 <= at + NEAR_DAWN_S);
        near.min_by_key(|reading| (!reading.is_deep, (reading.at.0 - at).abs())).map(|reading| reading.temp_c)
    };
    let pair = |called: &Called| {
        let came_c = near(called.at.0)?;
        Some(Pair { called: *called, came_c, stood_c: near(called.at.0 - DAY_S * i64::from(called.lead_days())) })
    };
    called.iter().filter_map(pair).collect()
}

/// Scores pairs in any order.
pub fn score(pairs: &[Pair]) -> Scores {
    let mut by_lead: BTreeMap<i32, Vec<&Pair>> = BTreeMap::new();
    for pair in pairs {
        by_lead.entry(pair.called.lead_days()).or_default().push(pair);
    }
    let days = |of: fn(&Pair) -> Day| pairs.iter().map(of).collect::<BTreeSet<Day>>().len();
    let chances: Vec<(f64, bool)> = pairs
        .iter()
        .flat_map(|pair| pair.called.below.into_iter().flatten().map(|(mark_c, chance)| (chance, pair.came_c < mark_c)))
        .collect();
    let share = mean(chances.iter().map(|&(_, came)| f64::from(u8::from(came))));
    Scores {
        count: pairs.len(),
        mornings: days(|pair| pair.called.on),
        dawns: days(|pair| pair.called.dawn),
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
    let off = |pair: &Pair| pair.called.water_c.middle - pair.came_c;
    let colder = pairs.iter().filter(|pair| pair.came_c < pair.called.water_c.low).count();
    let warmer = pairs.iter().filter(|pair| pair.came_c > pair.called.water_c.high).count();
    let both: Vec<(f64, f64)> = pairs
        .iter()
        .filter_map(|pair| pair.stood_c.map(|stood_c| (off(pair).abs(), (stood_c - pair.came_c).abs())))
        .collect();
    LeadScore {
        lead_days,
        count: pairs.len(),
        too_warm_k: mean(pairs.iter().map(|pair| off(pair))).unwrap_or_default(),
        off_k: mean(pairs.iter().map(|pair| off(pair).abs())).unwrap_or_default(),
        within: pairs.len() - colder - warmer,
        colder,
        warmer,
        loss_k: mean(pairs.iter().map(|pair| quantile_loss(pair.called.water_c, pair.came_c))).unwrap_or_default(),
        beside: mean(both.iter().map(|(ours, _)| *ours)).map(|off_k| Beside {
            count: both.len(),
            off_k,
            stayed_off_k: mean(both.iter().map(|(_, stayed)| *stayed)).unwrap_or_default(),
        }),
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
mod tests;
