//! Signals: what a grower could know of the coming water on a later morning of a member's season, and nothing more.
//!
//! Model     the pond's fitted response to air, carried through that morning's forecast of lows and highs
//! Units     °C, chances 0 to 1
//! Range     mornings of the members' span
//! Source    our own; what such signals are worth: docs/model/recourse.md
//! Left out  what a forecast says beside lows and highs

use ensemble::DayTable;
use plan::{SignalKind, Signals};
use units::Day;
use weather::{Climate, DailyForecast, ForecastSkill, Members};

use crate::response::{Response, StepInputs, of_year};

/// One pond as the signals need it.
pub struct SignalPond<'a> {
    /// Its water under every member.
    pub table: &'a DayTable,
    /// How its dawns follow the air.
    pub response: &'a Response,
    /// Days from opening to the end of the catch, rounded up.
    pub out_days: usize,
}

/// Everything the signals are made from.
pub struct Foreseen<'a> {
    /// Ponds in the order of the tables.
    pub ponds: &'a [SignalPond<'a>],
    /// The members.
    pub members: &'a Members,
    /// Today's forecast.
    pub forecast: &'a DailyForecast,
    /// How good forecasts are believed to be.
    pub skill: &'a ForecastSkill,
    /// The days of the year, for how wrong forecasts are in their season.
    pub climate: &'a Climate,
    /// The cold mark, °C.
    pub cold_mark_c: f64,
    /// The mark below which animals no longer follow, °C.
    pub follow_mark_c: f64,
}

/// The signals, and for each pond the one that the guard watches.
pub fn signals(of: &Foreseen, mornings: usize) -> (Signals, Vec<Option<usize>>) {
    let marks = vec![of.follow_mark_c, 0.5 * (of.follow_mark_c + of.cold_mark_c), of.cold_mark_c];
    let common = |key: &str, marks: &[f64]| SignalKind { key: key.to_owned(), pond: None, marks: marks.to_vec() };
    let mut kinds = vec![
        common("dawn_now", &marks),
        common("dawn_low_1_3", &marks),
        common("dawn_low_4_10", &marks),
        common("dawn_mean_1_5", &[]),
        // What the forecaster would expect the cold to reach: degree-days below where animals slow down and die.
        common("cold_1_4", &[]),
        common("cold_1_10", &[]),
    ];
    let first_guard = kinds.len();
    for pond in 0..of.ponds.len() {
        kinds.push(SignalKind { key: "mark_chance".to_owned(), pond: Some(pond), marks: Vec::new() });
    }
    let members = of.members.len();
    let mut out = Signals::new(kinds, mornings, members);
    let place: Vec<[f64; 2]> = (0..=mornings + AHEAD).map(|day| of_year(of.members.today().plus(day as i32))).collect();
    for morning in 0..mornings {
        let ahead = Ahead { errors: errors(of, morning), place: &place[morning..] };
        for member in 0..members {
            let seen = see(of, &ahead, member, morning);
            for (kind, value) in seen.common.into_iter().enumerate() {
                out.of_mut(morning, kind)[member] = value;
            }
            for (pond, chance) in seen.mark_chance.into_iter().enumerate() {
                out.of_mut(morning, first_guard + pond)[member] = chance;
            }
        }
    }
    (out, (0..of.ponds.len()).map(|pond| Some(first_guard + pond)).collect())
}

/// Signals all ponds share.
const COMMON: usize = 6;

struct Seen {
    common: [f64; COMMON],
    mark_chance: Vec<f64>,
}

/// Days ahead that a signal looks.
const AHEAD: usize = 10;

/// What is the same for every member of a morning.
struct Ahead<'a> {
    /// How far off each coming dawn may be, by pond, K.
    errors: Vec<[f64; AHEAD]>,
    /// Place in the year of each coming day, this morning's first.
    place: &'a [[f64; 2]],
}

/// How far off foreseen dawns may be: the air's error and the response's own, carried on from day to day.
fn errors(of: &Foreseen, morning: usize) -> Vec<[f64; AHEAD]> {
    let today = of.members.today().plus(morning as i32);
    let of_pond = |pond: &SignalPond| {
        let mut error_c = 0.0;
        std::array::from_fn(|ahead| {
            let lead = ahead + 1;
            error_c = pond.response.error_c(error_c, air_error_c(of, today.plus(lead as i32), lead));
            error_c
        })
    };
    of.ponds.iter().map(of_pond).collect()
}

fn see(of: &Foreseen, on: &Ahead, member: usize, morning: usize) -> Seen {
    let air = |lead: usize| -> (f64, f64) {
        let pair = if morning == 0 {
            let since = of.members.today().0 - of.forecast.issued.0;
            of.forecast.days[(lead + since as usize).min(of.forecast.days.len() - 1)]
        } else {
            of.members.later_c(member, morning, lead.min(of.members.n_leads() - 1))
        };
        (pair.low, pair.high)
    };
    let n = of.ponds.len() as f64;
    let mut common = [0.0; COMMON];
    let mut mark_chance = Vec::with_capacity(of.ponds.len());
    for (pond, errors) in of.ponds.iter().zip(&on.errors) {
        let now_c = f64::from(pond.table.dawns_c(morning)[member]);
        let course = course(pond, now_c, on.place, &air);
        let lowest = |days: std::ops::Range<usize>| course[days].iter().copied().fold(f64::MAX, f64::min);
        common[0] += now_c / n;
        common[1] += lowest(0..3) / n;
        common[2] += lowest(3..AHEAD) / n;
        common[3] += course[..5].iter().sum::<f64>() / 5.0 / n;
        let slow_c = 0.5 * (of.follow_mark_c + of.cold_mark_c);
        let cold: [f64; AHEAD] = std::array::from_fn(|ahead| expected_below(slow_c, course[ahead], errors[ahead]));
        common[4] += cold[..4].iter().sum::<f64>() / n;
        common[5] += cold.iter().sum::<f64>() / n;
        let reach = (pond.out_days + 1).min(AHEAD);
        let chance =
            course[..reach].iter().zip(errors).map(|(&dawn_c, &error_c)| below(of.cold_mark_c, dawn_c, error_c));
        mark_chance.push(chance.fold(if now_c < of.cold_mark_c { 1.0 } else { 0.0 }, f64::max));
    }
    Seen { common, mark_chance }
}

/// Coming dawns, from tomorrow on.
fn course(pond: &SignalPond, now_c: f64, place: &[[f64; 2]], air: &dyn Fn(usize) -> (f64, f64)) -> [f64; AHEAD] {
    let mut dawn_c = now_c;
    let mut high_before_c = air(0).1;
    std::array::from_fn(|ahead| {
        let lead = ahead + 1;
        let (low_c, high_c) = air(lead);
        dawn_c = pond.response.next(&StepInputs { of_year: place[lead], dawn_before_c: dawn_c, high_before_c, low_c });
        high_before_c = high_c;
        dawn_c
    })
}

/// How wrong a forecast of a day's low and high is, K: the mean of the two.
fn air_error_c(of: &Foreseen, day: Day, lead: usize) -> f64 {
    let error = of.skill.error_c(lead.min(of.skill.n_leads() - 1), of.climate.sd_c(day));
    0.5 * (error.low + error.high)
}

/// Chance that a normal of this mean and spread lies below a mark.
fn below(mark: f64, mean: f64, sd: f64) -> f64 {
    let z = (mark - mean) / sd.max(1e-6);
    // Logistic stand-in for the normal, within 0.01 (a signal needs no more).
    1.0 / (1.0 + units::exp((-1.702 * z).clamp(-60.0, 60.0)))
}

/// Expected depth below a mark of a normal of this mean and spread, K.
fn expected_below(mark: f64, mean: f64, sd: f64) -> f64 {
    // Integral of the logistic stand-in of `below`.
    let width = sd.max(1e-6) / 1.702;
    let z = ((mark - mean) / width).clamp(-60.0, 60.0);
    width * units::ln(1.0 + units::exp(z))
}
