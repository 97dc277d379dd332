//! How near a run comes to thermometers: misses, daily range, cool spells.

use farm::observed::{Observed, Place, Spot, When};
use units::{Day, Instant, Zone};

use super::course::Course;

/// Misses of a run, model minus thermometer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// How many pairs.
    pub n: usize,
    /// Root of the mean squared miss, K.
    pub rmse_k: f64,
    /// Mean miss, K: positive is too warm.
    pub bias_k: f64,
}

impl Fit {
    /// Of misses in K; `None` without any.
    pub fn of(misses: impl IntoIterator<Item = f64>) -> Option<Fit> {
        let (mut n, mut sum, mut square) = (0_usize, 0.0, 0.0);
        for miss in misses {
            n += 1;
            sum += miss;
            square += miss * miss;
        }
        (n > 0).then(|| Fit { n, rmse_k: (square / n as f64).sqrt(), bias_k: sum / n as f64 })
    }
}

/// Which hour of the day counts as dawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Dawn {
    /// 06 h by the sun at this longitude.
    Sun {
        /// East positive.
        longitude_deg: f64,
    },
    /// An hour of the basin's clock.
    Clock {
        /// Seconds since midnight.
        second: i32,
    },
}

impl Dawn {
    /// Whether a moment is the one nearest to dawn on a grid of whole hours.
    pub fn is_at(self, at: Instant, zone: &Zone) -> bool {
        let off = match self {
            Dawn::Sun { longitude_deg } => {
                let place = weather::Place { latitude_deg: 0.0, longitude_deg, elevation_m: 0.0, zone: Zone::utc() };
                ((weather::sun::solar_hour(at, &place) - 6.0) * 3600.0).round() as i64
            }
            Dawn::Clock { second } => i64::from(zone.day_and_second(at).1) - i64::from(second),
        };
        (off + 1800).rem_euclid(86_400) < 3600
    }
}

/// One thermometer and the model beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Which column of the readings.
    pub column: usize,
    /// The reading's row.
    pub row: usize,
    /// When.
    pub when: When,
    /// Thermometer, C.
    pub observed_c: f64,
    /// Model, C.
    pub modelled_c: f64,
}

/// Misses at one place and depth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpotScore {
    /// Where.
    pub spot: Spot,
    /// All readings.
    pub all: Option<Fit>,
    /// Readings at dawn.
    pub dawn: Option<Fit>,
}

/// Misses at one place, all its depths together.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceScore {
    /// Where along the slope.
    pub place: Place,
    /// All depths, all readings.
    pub all: Option<Fit>,
    /// Thermometers from the surface to 1 m, each counted singly, at dawn.
    pub dawn_upper: Option<Fit>,
    /// Mean daily range of the upper metre.
    pub range: Option<Range>,
    /// Cool spells found in the readings.
    pub spells: Vec<Spell>,
}

/// Mean daily range (highest less lowest reading of a day) of the mean of the thermometers between 0.25 and 1 m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// Days with a reading every hour.
    pub days: usize,
    /// Thermometers, K.
    pub observed_k: f64,
    /// Model, K.
    pub modelled_k: f64,
}

/// A stretch of 2 to 4 days over which the upper metre fell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spell {
    /// The dawn (or day) it starts from.
    pub from: Day,
    /// The dawn (or day) it ends at.
    pub to: Day,
    /// Thermometers, K, positive is a fall.
    pub observed_fall_k: f64,
    /// Model over the same days.
    pub modelled_fall_k: f64,
}

/// Least fall that counts as a cool spell, K (our choice: about three times the reading error of a cheap logger).
pub const SPELL_LEAST_K: f64 = 1.0;

/// Pairs every reading after `first` with the model; readings outside the run are left out.
pub fn pairs(observed: &Observed, course: &Course, zone: &Zone, first: Instant) -> Vec<Pair> {
    let mut pairs = Vec::new();
    for (row, reading) in observed.rows.iter().enumerate() {
        if starts(reading.when, zone) < first {
            continue;
        }
        for (column, &observed_c) in reading.temps_c.iter().enumerate() {
            let modelled_c = course.mean_or_moment(reading.when, zone, column);
            if let (Some(observed_c), Some(modelled_c)) = (observed_c, modelled_c) {
                pairs.push(Pair { column, row, when: reading.when, observed_c, modelled_c });
            }
        }
    }
    pairs
}

/// The moment a reading begins to stand for.
pub fn starts(when: When, zone: &Zone) -> Instant {
    match when {
        When::At(at) => at,
        When::MeanOf(day) => zone.instant(day, 0),
    }
}

/// Daily means are read as dawns: there is one a day.
pub fn is_dawn(when: When, zone: &Zone, dawn: Dawn) -> bool {
    match when {
        When::At(at) => dawn.is_at(at, zone),
        When::MeanOf(_) => false,
    }
}

/// By place and depth.
pub fn by_spot(spots: &[Spot], pairs: &[Pair], zone: &Zone, dawn: Dawn) -> Vec<SpotScore> {
    let score = |(column, &spot): (usize, &Spot)| SpotScore {
        spot,
        all: Fit::of(pairs.iter().filter(|pair| pair.column == column).map(miss)),
        dawn: Fit::of(pairs.iter().filter(|pair| pair.column == column && is_dawn(pair.when, zone, dawn)).map(miss)),
    };
    spots.iter().enumerate().map(score).collect()
}

/// By place.
pub fn by_place(spots: &[Spot], pairs: &[Pair], zone: &Zone, dawn: Dawn) -> Vec<PlaceScore> {
    let mut scores = Vec::new();
    for place in Place::ALL {
        let of_place = |pair: &&Pair| spots[pair.column].place == place;
        if !spots.iter().any(|spot| spot.place == place) {
            continue;
        }
        let upper = pairs.iter().filter(of_place).filter(|pair| spots[pair.column].depth_m <= UPPER_M.1);
        let mean = upper_means(spots, pairs, place);
        scores.push(PlaceScore {
            place,
            all: Fit::of(pairs.iter().filter(of_place).map(miss)),
            dawn_upper: Fit::of(upper.filter(|pair| is_dawn(pair.when, zone, dawn)).map(miss)),
            range: daily_range(&mean, zone),
            spells: spells(&mean, zone, dawn),
        });
    }
    scores
}

fn miss(pair: &Pair) -> f64 {
    pair.modelled_c - pair.observed_c
}

/// Depths whose mean is called the upper metre. The thermometer at the very surface is left out: sun heats it.
pub const UPPER_M: (f64, f64) = (0.2, 1.05);

/// Columns of a place that make up the upper metre; all of them where none lies within.
pub fn upper_columns(spots: &[Spot], place: Place) -> Vec<usize> {
    let of = |within: bool| {
        spots
            .iter()
            .enumerate()
            .filter(|(_, spot)| spot.place == place)
            .filter(|(_, spot)| !within || (UPPER_M.0..=UPPER_M.1).contains(&spot.depth_m))
            .map(|(column, _)| column)
            .collect::<Vec<_>>()
    };
    let upper = of(true);
    if upper.is_empty() { of(false) } else { upper }
}

/// Mean of the upper metre at each time where all its thermometers read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Upper {
    /// When.
    pub when: When,
    /// Thermometers, C.
    pub observed_c: f64,
    /// Model, C.
    pub modelled_c: f64,
}

fn upper_means(spots: &[Spot], pairs: &[Pair], place: Place) -> Vec<Upper> {
    let columns = upper_columns(spots, place);
    let mut means = Vec::new();
    // Pairs stand in order of rows.
    for group in pairs.chunk_by(|one, other| one.row == other.row) {
        let chosen: Vec<&Pair> = group.iter().filter(|pair| columns.contains(&pair.column)).collect();
        if chosen.len() == columns.len() && !chosen.is_empty() {
            let n = chosen.len() as f64;
            means.push(Upper {
                when: chosen[0].when,
                observed_c: chosen.iter().map(|pair| pair.observed_c).sum::<f64>() / n,
                modelled_c: chosen.iter().map(|pair| pair.modelled_c).sum::<f64>() / n,
            });
        }
    }
    means
}

fn day_of(when: When, zone: &Zone) -> Day {
    match when {
        When::At(at) => zone.day_and_second(at).0,
        When::MeanOf(day) => day,
    }
}

fn daily_range(means: &[Upper], zone: &Zone) -> Option<Range> {
    let span = |day: &[Upper], of: fn(&Upper) -> f64| {
        let high = day.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        high - day.iter().map(of).fold(f64::INFINITY, f64::min)
    };
    let (mut days, mut observed_k, mut modelled_k) = (0_usize, 0.0, 0.0);
    for day in means.chunk_by(|one, other| day_of(one.when, zone) == day_of(other.when, zone)) {
        // A day with holes has no known range; clock changes make days of 23 hours.
        if day.len() >= 23 {
            days += 1;
            observed_k += span(day, |upper| upper.observed_c);
            modelled_k += span(day, |upper| upper.modelled_c);
        }
    }
    let n = days as f64;
    (days > 0).then(|| Range { days, observed_k: observed_k / n, modelled_k: modelled_k / n })
}

/// Finds cool spells in the readings: from one dawn to a dawn 2 to 4 days on, the largest falls first, none overlapping, each of
/// at least [`SPELL_LEAST_K`]. From dawn to dawn the day's own rise and fall drops out.
fn spells(means: &[Upper], zone: &Zone, dawn: Dawn) -> Vec<Spell> {
    let daily = means.iter().any(|upper| matches!(upper.when, When::MeanOf(_)));
    let dawns: Vec<(Day, &Upper)> = means
        .iter()
        .filter(|upper| daily || is_dawn(upper.when, zone, dawn))
        .map(|upper| (day_of(upper.when, zone), upper))
        .collect();
    let mut falls = Vec::new();
    for (i, (from, before)) in dawns.iter().enumerate() {
        for (to, after) in dawns[i + 1..].iter().take_while(|(to, _)| to.0 - from.0 <= 4) {
            let fall = before.observed_c - after.observed_c;
            if to.0 - from.0 >= 2 && fall >= SPELL_LEAST_K {
                let modelled_fall_k = before.modelled_c - after.modelled_c;
                falls.push(Spell { from: *from, to: *to, observed_fall_k: fall, modelled_fall_k });
            }
        }
    }
    // Equal falls: the shorter spell.
    falls.sort_by(|one, other| {
        other
            .observed_fall_k
            .total_cmp(&one.observed_fall_k)
            .then((one.to.0 - one.from.0).cmp(&(other.to.0 - other.from.0)))
    });
    let mut kept: Vec<Spell> = Vec::new();
    for fall in falls {
        if kept.iter().all(|known| fall.to <= known.from || fall.from >= known.to) {
            kept.push(fall);
        }
    }
    kept.sort_by_key(|spell| spell.from);
    kept
}
