//! Tubs and live tanks one by one: what is in each, and whether it may be sold from.
//!
//! Model     what was weighed in less what was weighed out, from the last time it was written down as empty; a live tank is held while the
//!           last temperature or the last oxygen read in it lies beyond its limits, or while it holds more than it may
//! Units     kg, °C, mg/L
//! Range     the days of one harvest, in order
//! Source    limits: [`ColdOf::limits_c`] and [`LIVE_OXYGEN_LEAST_MG_L`]
//! Left out  which tank a line of a sale was taken from: what is held stays held until it is moved or read again

use units::Instant;

use super::{Cold, ColdOf, DayRecord, LIVE_OXYGEN_LEAST_MG_L, Place, Written};

/// A tub or a tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Tub {
    /// Its name as it was typed last; `None` of what was written without one.
    pub name: Option<String>,
    /// What is in it, kg; below nothing when more was taken out than put in.
    pub held_kg: f64,
    /// More came out than was in it, kg: the most that was ever missing.
    pub over_kg: f64,
    /// It was written down as empty while so much was in it by what was written, kg.
    pub lost_kg: f64,
    /// When something was put in last.
    pub last_in: Option<Instant>,
    /// When that was typed, ms since 1970: tells what was read of the tub in the same minute before it from what was read after.
    pub last_in_typed_ms: i64,
    /// When something was taken out last.
    pub last_out: Option<Instant>,
}

/// Words before a name that say no more than what the thing is.
const BARE: [&str; 4] = ["livetank", "tank", "tub", "live"];

/// A name as it is told from others: `Tank 1`, `tank 1` and `1` are one.
fn key(name: &str) -> String {
    let bare: String = name.chars().filter(|one| one.is_alphanumeric()).flat_map(char::to_lowercase).collect();
    let short = BARE.iter().find_map(|word| bare.strip_prefix(word)).filter(|rest| !rest.is_empty());
    short.unwrap_or(&bare).to_owned()
}

/// Whether two names mean one tub or tank; without a name both are none.
pub fn same_tub(a: Option<&str>, b: Option<&str>) -> bool {
    a.map(key).unwrap_or_default() == b.map(key).unwrap_or_default()
}

impl Tub {
    /// Whether something was written of it after the last that was put in.
    pub fn is_after_last_in(&self, written: &Written) -> bool {
        self.last_in.is_none_or(|last| (written.at, written.typed_ms) >= (last, self.last_in_typed_ms))
    }
}

/// What happened to a tub.
enum Step {
    In(f64),
    Out(f64, bool),
}

/// Every tub or tank of a place with what is in it, in order of name. `days` in any order.
pub fn tubs(days: &[DayRecord], place: Place) -> Vec<Tub> {
    let mut steps: Vec<(&Written, Option<&str>, Step)> = Vec::new();
    for day in days {
        for basket in day.baskets.iter().filter(|basket| basket.to == place) {
            steps.push((&basket.written, basket.written.tub.as_deref(), Step::In(basket.net_kg)));
        }
        for moved in &day.moved {
            // Out first: what goes from tank to tank is in one of them.
            if moved.from == place {
                let out = Step::Out(moved.weight_kg, moved.out_empty);
                steps.push((&moved.written, moved.out_tub.as_deref(), out));
            }
            if moved.to == place {
                steps.push((&moved.written, moved.into_tub.as_deref(), Step::In(moved.weight_kg)));
            }
        }
    }
    steps.sort_by(|(a, ..), (b, ..)| a.before(b));
    let mut found: Vec<Tub> = Vec::new();
    for (written, name, step) in steps {
        // Without a name it came out of the only one there is.
        let only = (found.len() == 1 && name.is_none() && matches!(step, Step::Out(..))).then_some(0);
        let at = only.or(found.iter().position(|tub| same_tub(tub.name.as_deref(), name))).unwrap_or_else(|| {
            found.push(Tub {
                name: name.map(str::to_owned),
                held_kg: 0.0,
                over_kg: 0.0,
                lost_kg: 0.0,
                last_in: None,
                last_in_typed_ms: 0,
                last_out: None,
            });
            found.len() - 1
        });
        let tub = &mut found[at];
        match step {
            Step::In(kg) => {
                (tub.held_kg, tub.last_in) = (tub.held_kg + kg, Some(written.at));
                tub.last_in_typed_ms = written.typed_ms;
            }
            Step::Out(kg, is_empty) => {
                let left_kg = tub.held_kg - kg;
                tub.over_kg = tub.over_kg.max(-left_kg);
                if is_empty {
                    tub.lost_kg += left_kg.max(0.0);
                }
                (tub.held_kg, tub.last_out) = (if is_empty { 0.0 } else { left_kg }, Some(written.at));
            }
        }
    }
    found.sort_by(|a, b| a.name.cmp(&b.name));
    found
}

/// What of a live tank is beyond its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beyond {
    /// Too cold or too warm, °C, and when it was read.
    Temperature(f64, Instant),
    /// Too little oxygen, mg/L, and when it was read.
    Oxygen(f64, Instant),
    /// It holds more than it may, kg.
    Load(f64),
}

/// A live tank with animals in it.
#[derive(Debug, Clone, PartialEq)]
pub struct LiveTank {
    /// Its name; `None` of animals that were written down without one.
    pub name: Option<String>,
    /// What is in it, kg.
    pub held_kg: f64,
    /// Why its animals are held; empty when nothing holds them.
    pub beyond: Vec<Beyond>,
}

/// Live tanks that hold animals. `most_kg` is what one may hold; animals without a tank's name are judged by readings without one, and by
/// those of a tank that nothing is known to be in.
pub fn live_tanks(days: &[DayRecord], most_kg: Option<f64>) -> Vec<LiveTank> {
    let all = tubs(days, Place::Live);
    let mut colds: Vec<_> = days.iter().flat_map(|day| &day.colds).filter(|cold| cold.of == ColdOf::Live).collect();
    colds.sort_by(|a, b| a.written.before(&b.written));
    let is_known = |name: Option<&str>| all.iter().any(|tub| tub.held_kg > 0.0 && same_tub(tub.name.as_deref(), name));
    let one = |tub: &Tub| {
        let name = tub.name.as_deref();
        let is_own = |of: Option<&str>| {
            same_tub(of, name) || (of.is_none() && all.len() == 1) || (name.is_none() && !is_known(of))
        };
        let (least, most) = ColdOf::Live.limits_c();
        let warm = last_bad(&colds, is_own, |cold| cold.temp_c, |c| !(least..=most).contains(&c));
        let air = last_bad(&colds, is_own, |cold| cold.oxygen_mg_l, |mg_l| mg_l < LIVE_OXYGEN_LEAST_MG_L);
        // A hair for what a conversion leaves.
        let load = most_kg.filter(|most| name.is_some() && tub.held_kg > most * 1.000_001);
        let beyond = [
            warm.map(|(c, at)| Beyond::Temperature(c, at)),
            air.map(|(mg_l, at)| Beyond::Oxygen(mg_l, at)),
            load.map(Beyond::Load),
        ];
        LiveTank { name: tub.name.clone(), held_kg: tub.held_kg, beyond: beyond.into_iter().flatten().collect() }
    };
    all.iter().filter(|tub| tub.held_kg > 0.0).map(one).collect()
}

/// The last value read in a tank, where it is a bad one. A look without a tank's name counts against every tank while it is bad and nothing
/// newer is known of that one; a good one frees none that has a name of its own.
fn last_bad(
    colds: &[&Cold],
    is_own: impl Fn(Option<&str>) -> bool,
    read: impl Fn(&Cold) -> Option<f64>,
    is_bad: impl Fn(f64) -> bool,
) -> Option<(f64, Instant)> {
    let last = |pick: &dyn Fn(Option<&str>) -> bool| {
        let mut of = colds.iter().rev().filter(|cold| pick(cold.written.tub.as_deref()));
        of.find_map(|cold| Some((read(cold)?, cold.written.at)))
    };
    let (own, loose) = (last(&is_own), last(&|of| of.is_none() && !is_own(of)));
    let loose = loose.filter(|(value, at)| is_bad(*value) && own.is_none_or(|(_, then)| *at > then));
    loose.or(own.filter(|(value, _)| is_bad(*value)))
}
