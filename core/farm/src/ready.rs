//! From a farm as typed to a farm ready to use, or every reason why not.

mod line;
mod pond;
mod told;
mod trade;
mod work;

#[cfg(test)]
mod tests;

use units::{Day, Zone};

pub(crate) use trade::size_class;

use crate::clerk::{Clerk, Desk};
use crate::farm::{Choices, Doubt, DoubtKind, Farm, Morning, Place, Season, WeatherFiles};
use crate::pond_card::PondCard;
use crate::reasons::{Reason, Wrong};
use crate::typed::FarmTyped;

/// Farthest a clock's own longitude lies from the farm's without a remark, degrees: three hours.
const CLOCK_APART_DEG: f64 = 45.0;

/// Reads a farm file.
///
/// # Errors
/// Every reason found, in order of line.
pub fn read_farm(text: &str) -> Result<Farm, Vec<Reason>> {
    FarmTyped::read(text)?.ready()
}

/// A farm file looked through from end to end.
#[derive(Debug, Clone, PartialEq)]
pub struct Examined {
    /// The farm, when nothing is wrong.
    pub farm: Option<Farm>,
    /// What is wrong, in order of line.
    pub reasons: Vec<Reason>,
    /// What is odd, in order of line.
    pub doubts: Vec<Doubt>,
}

impl FarmTyped {
    /// The farm ready to use.
    ///
    /// # Errors
    /// Every reason found, in order of line.
    pub fn ready(&self) -> Result<Farm, Vec<Reason>> {
        let examined = self.examined();
        examined.farm.ok_or(examined.reasons)
    }

    /// All that can be said of it: the farm, when nothing is wrong; what is wrong; what is odd, whether or not it can be used.
    pub fn examined(&self) -> Examined {
        let mut clerk = Clerk::default();
        let top = Desk::top(&self.top);
        // Money and clock come first: other values lean on them.
        clerk.currency = clerk.currency(&top, "currency");
        let name = clerk.text(&top, "name").unwrap_or_default();
        let place = place(&mut clerk, &top);
        clerk.zone = place.as_ref().map(|place| place.zone.clone());
        let weather = weather(&mut clerk, &top);
        let season = season(&mut clerk, &top);
        let last_catch = season.as_ref().map(|season| season.last_catch);
        let gear = work::gear(&mut clerk, &top);
        let tanks = work::tanks(&mut clerk, &top);
        let sources = work::sources(&mut clerk, &top);
        let pace_m = clerk.number(&top, "pace");
        let ponds = pond::ponds(&mut clerk, &top, &gear, pace_m, last_catch);
        let told = told::told(&mut clerk, &top);
        let mut crew = work::crew(&mut clerk, &top);
        let line = line::line(&mut clerk, &top);
        let cold = work::cold(&mut clerk, &top);
        let selling = clerk.section(&top, "selling");
        let calendar = work::calendar(&mut clerk, &top, &selling);
        let rhythms = work::rhythms(&mut clerk, &top);
        let sale_day = trade::sale_day(&mut clerk, &selling);
        let (orders, prices) = trade::selling(&mut clerk, &top, &selling);
        let buyers = trade::buyers(&mut clerk, &top);
        let costs = trade::costs(&mut clerk, &top);
        let mut choices = choices(&mut clerk, &top);
        let morning = morning(&mut clerk, &top, last_catch, &ponds);
        let told = told.lean(&mut clerk, &top, &ponds, &mut crew, &mut choices);
        clerk.no_other_keys(&top);
        clerk.reasons.sort_by_key(|reason| reason.line);
        clerk.doubts.sort_by_key(|doubt| doubt.line);
        let (assumed, doubts) = (clerk.assumed, clerk.doubts.clone());
        let farm = match (place, season, clerk.currency) {
            (Some(place), Some(season), Some(currency)) if clerk.reasons.is_empty() => Some(Farm {
                name,
                currency,
                place,
                weather,
                morning,
                season,
                ponds,
                crops: Vec::new(),
                gear,
                tanks,
                sources,
                crew,
                line,
                cold,
                orders,
                buyers,
                sale_day,
                calendar,
                rhythms,
                prices,
                costs,
                choices,
                told,
                assumed,
                doubts,
            }),
            _ => None,
        };
        Examined { farm, reasons: clerk.reasons, doubts: clerk.doubts }
    }
}

fn place(clerk: &mut Clerk, top: &Desk<'_>) -> Option<Place> {
    let desk = clerk.section(top, "place");
    let latitude_deg = clerk.number(&desk, "latitude");
    let longitude_deg = clerk.number(&desk, "longitude");
    let elevation_m = clerk.number(&desk, "elevation");
    let zone_name = clerk.text(&desk, "time_zone");
    clerk.no_other_keys(&desk);
    let zone_name = zone_name?;
    match Zone::parse(&zone_name) {
        Ok(zone) => {
            clock_and_longitude(clerk, &desk, &zone, longitude_deg);
            Some(Place { latitude_deg, longitude_deg, elevation_m, zone, zone_name })
        }
        Err(_) => {
            clerk.refuse(&desk, "time_zone", Wrong::UnknownZone);
            None
        }
    }
}

/// Clocks keep within three hours of the sun nearly everywhere: beyond that a sign was slipped, or the wrong zone named.
fn clock_and_longitude(clerk: &mut Clerk, desk: &Desk<'_>, zone: &Zone, longitude_deg: f64) {
    // The turn of 2024: no summer time in the north; an hour of it in the south is within the three.
    let clock_deg = f64::from(zone.offset_s(units::Instant(1_704_067_200))) / 240.0;
    let apart = |longitude_deg: f64| {
        let apart = (clock_deg - longitude_deg).rem_euclid(360.0);
        apart.min(360.0 - apart)
    };
    if apart(longitude_deg) > CLOCK_APART_DEG {
        let exchanged = apart(-longitude_deg) <= CLOCK_APART_DEG;
        clerk.doubt(desk, "longitude", DoubtKind::ClockAndLongitude { clock_deg, exchanged });
    }
}

fn weather(clerk: &mut Clerk, top: &Desk<'_>) -> WeatherFiles {
    let desk = clerk.section(top, "weather");
    let history = clerk.text(&desk, "history").unwrap_or_default();
    let moved_h = clerk.quantity(&desk, "history_moved").unwrap_or(0.0);
    if moved_h % 24.0 != 0.0 {
        clerk.refuse(&desk, "history_moved", Wrong::NotWhole);
    }
    let donors = clerk.text(&desk, "donors");
    clerk.no_other_keys(&desk);
    WeatherFiles { history, history_moved_days: (moved_h / 24.0) as i32, donors }
}

fn season(clerk: &mut Clerk, top: &Desk<'_>) -> Option<Season> {
    let desk = clerk.section(top, "season");
    let last_catch = clerk.day(&desk, "last_catch");
    let survival_told = clerk.quantity(&desk, "survival");
    clerk.no_other_keys(&desk);
    Some(Season { last_catch: last_catch?, survival_told })
}

fn choices(clerk: &mut Clerk, top: &Desk<'_>) -> Choices {
    let desk = clerk.section(top, "choices");
    let guard = clerk.yes_no(&desk, "guard");
    let chance = clerk.number(&desk, "guard_chance");
    let choices = Choices {
        cold_mark_c: clerk.number(&desk, "cold_mark"),
        follow_mark_c: clerk.number(&desk, "follow_mark"),
        guard_chance: guard.then_some(chance),
        keep_level: clerk.number(&desk, "keep_level"),
        risk_weight: clerk.number(&desk, "risk_weight"),
    };
    clerk.no_other_keys(&desk);
    choices
}

fn morning(clerk: &mut Clerk, top: &Desk<'_>, last_catch: Option<Day>, ponds: &[PondCard]) -> Option<Morning> {
    if !top.has("morning") {
        return None;
    }
    let desk = clerk.section(top, "morning");
    let on = clerk.day(&desk, "on");
    let forecast = clerk.text(&desk, "forecast");
    clerk.no_other_keys(&desk);
    let on = match on {
        Some(on) => on,
        None if desk.has("on") => return None,
        None => {
            // A section without its one line says nothing.
            clerk.refuse(&desk, "on", Wrong::Missing);
            return None;
        }
    };
    clerk.follows(&desk, "on", on, "stocked.on", ponds.iter().map(|pond| pond.stocking.on).min());
    clerk.precedes(&desk, "on", on, "season.last_catch", last_catch);
    Some(Morning { on, forecast })
}

impl Clerk {
    /// Refuses a day that lies before another which it must not precede.
    fn follows(&mut self, desk: &Desk<'_>, key: &str, day: Day, other: &'static str, than: Option<Day>) {
        if let Some(than) = than.filter(|&than| day < than) {
            self.refuse(desk, key, Wrong::Before { key: other, day: than.to_string() });
        }
    }
    /// Refuses a day that lies after another which it must not follow.
    fn precedes(&mut self, desk: &Desk<'_>, key: &str, day: Day, other: &'static str, than: Option<Day>) {
        if let Some(than) = than.filter(|&than| day > than) {
            self.refuse(desk, key, Wrong::After { key: other, day: than.to_string() });
        }
    }
}
