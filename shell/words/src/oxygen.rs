//! Oxygen tonight in words.

use season::answer::PondOutlook;
use season::farm::AeratorKind;
use season::oxygen::nights::Rests;
use season::oxygen::{Air, DawnTold, LIMIT_MG_L, OxygenTonight};
use units::Day;

use crate::figures::{Manner, clock, day_short, depth, odds, weekday};
use crate::page_explain::{Behind, Explained};

/// Row of the coming night's oxygen.
pub const OXYGEN: &str = "Oxygen tonight";
/// Row of what an overturn would bring.
pub const TURNED: &str = "If it turns over";
/// The caution beside what is said of aerators.
pub const CARE: &str = "Current kills at the water: shut off and lock off before anyone touches or wades to an aerator; ground-fault protected circuits (GFCI) only. \
    Local code and a licensed electrician decide.";
/// Without a reading.
const NOT_KNOWN: &str = "not known: no dawn was read in the last three days; an evening alone says too little";
/// So far below the limit, an aerator is said to be short, mg/L.
const SHORT_MG_L: f64 = 0.5;

/// The row: where dawn will stand, and what an aerator would make of it.
pub fn tonight(oxygen: &OxygenTonight, on: Day, manner: Manner) -> String {
    let Some(told) = &oxygen.told else {
        return NOT_KNOWN.to_owned();
    };
    let mut said = vec![dawn(told)];
    if told.by.rests == Rests::LastDawn {
        said.push("Here the dawn before has told more than the evening, so that is what is told.".to_owned());
    }
    said.extend(air(oxygen, told, on, manner));
    said.join(" ")
}

/// The row of an overturn; `None` when there is nothing to say.
pub fn turned(oxygen: &OxygenTonight, manner: Manner) -> Option<String> {
    let over = oxygen.overturn.as_ref()?;
    let below = match over.lower_mg_l {
        Some(mg_l) => format!("with the {mg_l:.1} read deep down"),
        None => format!("if nothing is left below {}", depth(over.night.warm_m, manner)),
    };
    Some(format!("{}; dawn then stands near {:.1} {below}", odds(over.night.chance), over.left_mg_l))
}

/// A dawn that was too low, with what to do at once; `None` when none was read.
pub fn low_dawn(pond: &PondOutlook, manner: Manner) -> Option<String> {
    let mg_l = pond.feed.low_dawn_mg_l?;
    let air = match pond.oxygen.aerator_kw > 0.0 {
        true => format!("Start its {} now", aerator(&pond.oxygen, manner)),
        false => "Bring air to it now: an aerator, a pump that throws water up, or fresh water let in".to_owned(),
    };
    Some(format!(
        "{}: oxygen was {mg_l:.1} mg/L at dawn. {air}, give no feed, and read again every two hours until it is above 4 mg/L.",
        pond.name
    ))
}

/// What is to be started in this pond, by when.
pub fn start(pond: &PondOutlook, on: Day, manner: Manner) -> Option<String> {
    let Air::Start { by, holds } = pond.oxygen.air else { return None };
    let oxygen = &pond.oxygen;
    let now = oxygen.told.as_ref().and_then(|told| told.from).is_some_and(|(_, mg_l)| mg_l <= LIMIT_MG_L);
    let when = if now { "now".to_owned() } else { format!("by {}", at(by, on, manner)) };
    let more = match holds.low < LIMIT_MG_L - SHORT_MG_L {
        true => " It may not be enough: have more air at hand.",
        false => "",
    };
    Some(format!(
        "Start {}'s {} {when}, and keep it on until two hours after sunrise and above 4 mg/L.{more}",
        pond.name,
        aerator(oxygen, manner)
    ))
}

fn dawn(told: &DawnTold) -> String {
    let of = &told.mg_l;
    let low = if told.mg_l.low < LIMIT_MG_L || told.low_chance >= 0.05 {
        format!("; {} below {LIMIT_MG_L:.0}", odds(told.low_chance))
    } else {
        String::new()
    };
    format!("about {:.1} mg/L at dawn ({:.1} to {:.1}){low}.", of.middle, of.low, of.high)
}

fn air(oxygen: &OxygenTonight, told: &DawnTold, on: Day, manner: Manner) -> Option<String> {
    Some(match oxygen.air {
        Air::Unread => return None,
        Air::Enough => "No more air is needed.".to_owned(),
        Air::ReadAtDusk if oxygen.aerator_kw > 0.0 => {
            format!("Read again at dusk: then this says when to start the {}.", kind(oxygen.aerator_kind))
        }
        Air::ReadAtDusk => "Read again at dusk. This pond has no aerator: have one at hand.".to_owned(),
        Air::Start { by, holds } => {
            let now = told.from.is_some_and(|(_, mg_l)| mg_l <= LIMIT_MG_L);
            let from = if now { "from now".to_owned() } else { format!("from {}", at(by, on, manner)) };
            let kind = kind(oxygen.aerator_kind);
            format!("With the {kind} {from} about {:.1} ({:.1} to {:.1}).", holds.middle, holds.low, holds.high)
        }
        Air::NoAerator { needed_kw } => format!(
            "This pond has no aerator: about {} of {} would hold {LIMIT_MG_L:.0} in 9 futures of 10.",
            power(needed_kw, manner),
            kind(oxygen.aerator_kind)
        ),
    })
}

/// An hour of this day or another.
fn at((day, hour): (Day, i32), on: Day, manner: Manner) -> String {
    let hour_said = clock(hour * 3600, manner);
    match day.0 - on.0 {
        0 => hour_said,
        1 if hour < 8 => format!("{hour_said} tonight"),
        _ => format!("{hour_said} on {}", weekday(day)),
    }
}

fn power(kw: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.1} hp", kw / 0.7457).replace(".0 hp", " hp"),
        Manner::Metric => format!("{kw:.1} kW").replace(".0 kW", " kW"),
    }
}

fn kind(kind: AeratorKind) -> &'static str {
    match kind {
        AeratorKind::Paddlewheel => "paddlewheel",
        AeratorKind::Propeller => "propeller aerator",
        AeratorKind::Pump => "pump aerator",
        AeratorKind::Bubbles => "bubble aerator",
    }
}

fn aerator(oxygen: &OxygenTonight, manner: Manner) -> String {
    format!("{} {}", power(oxygen.aerator_kw, manner), kind(oxygen.aerator_kind))
}

/// Whether the caution stands beside these ponds: something electric is to be started or may be.
pub fn minds_current(ponds: &[PondOutlook]) -> bool {
    ponds.iter().any(|pond| matches!(pond.oxygen.air, Air::Start { .. } | Air::ReadAtDusk | Air::NoAerator { .. }))
}

/// How it is reckoned.
const HOW: &str = "Read at dusk at the bottom by the drain, again three hours later, and at dawn. Two guesses, weighed by how far off each was on this pond's earlier nights: the dawns before; and the evening's last reading, less what earlier nights \
    used, with what the air gives by the wind. Two evening readings in the dark move that use by their own fall. The aerator brings in its rating, less by the oxygen already there. Whether the water turns over \
    comes from its warmth in every future; the readings are of one water.";
/// Where that comes from.
const METHOD: &str = "Our own, scored on two observed ponds full of plants: from two evening readings it was 1.0 mg/L off on average, the dawn before 1.3, the published two-reading line (Boyd, Romaire \
    and Johnston 1978) 2.0. Exchange by Cole and Caraco (1998), the aerator by the standard transfer test; 3 mg/L: Mississippi State University.";

impl Behind<'_> {
    /// The coming night's oxygen.
    pub fn oxygen(&self, pond: &PondOutlook) -> Explained {
        let oxygen = &pond.oxygen;
        let mut from = Vec::new();
        if let Some(told) = &oxygen.told {
            let read =
                told.from.map_or("none".to_owned(), |(when, mg_l)| format!("{mg_l:.1} mg/L, {}", self.moment(when)));
            from.push(("this evening", read));
            from.extend(
                told.last_dawn.map(|(day, mg_l)| ("last dawn read", format!("{mg_l:.1} mg/L, {}", day_short(day)))),
            );
            from.push(("use by night", format!("{:.2} mg/L an hour", told.by.use_mg_l_h)));
        }
        if oxygen.aerator_kw > 0.0 {
            let rated = oxygen.aerator_kind.rated_kg_kwh();
            from.push(("aerator", format!("{}, {rated:.1} kg of oxygen for each kWh", aerator(oxygen, self.manner))));
        }
        let off = match oxygen.told.as_ref().map(|told| &told.by).filter(|by| by.judged > 0) {
            None => {
                "No night of this pond could be judged yet; the spread is that of the two observed ponds.".to_owned()
            }
            Some(by) => format!(
                "On {} of this pond's nights it was {:.1} mg/L off on average; the dawn before, {:.1}.",
                by.judged, by.missed_mg_l, by.dawn_before_missed_mg_l
            ),
        };
        Explained { how: HOW.to_owned(), from, method: METHOD, off }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use season::answer::Band;
    use season::oxygen::Overturn;
    use season::oxygen::nights::Projected;

    use super::*;

    /// A pond of which nothing was read.
    pub(crate) const UNREAD: OxygenTonight = OxygenTonight {
        dawn: (Day(15_000), 6),
        told: None,
        overturn: None,
        air: Air::Unread,
        aerator_kw: 1.5,
        aerator_kind: AeratorKind::Paddlewheel,
    };

    fn told(low: f64, middle: f64, high: f64) -> DawnTold {
        let by = Projected {
            dawn_mg_l: middle,
            sd_mg_l: 0.8,
            rests: Rests::Evening,
            from: Some((20.0, 6.0)),
            last_dawn: None,
            use_mg_l_h: 0.3,
            judged: 0,
            missed_mg_l: 0.0,
            dawn_before_missed_mg_l: 0.0,
        };
        DawnTold {
            mg_l: Band { low, middle, high },
            low_chance: 0.17,
            by,
            from: Some((units::Instant(0), 6.0)),
            last_dawn: None,
        }
    }

    #[test]
    fn tonight_says_where_dawn_stands() {
        let on = Day(14_999);
        let say =
            |air: Air, told: Option<DawnTold>| tonight(&OxygenTonight { air, told, ..UNREAD }, on, Manner::UsCustomary);
        assert!(say(Air::Unread, None).starts_with("not known"));
        assert_eq!(
            say(Air::Enough, Some(told(4.0, 5.0, 6.0))),
            "about 5.0 mg/L at dawn (4.0 to 6.0); 1 in 6 below 3. No more air is needed."
        );
        let holds = Band { low: 3.4, middle: 4.2, high: 5.0 };
        let started = say(Air::Start { by: (Day(15_000), 1), holds }, Some(told(2.4, 3.6, 4.8)));
        assert!(started.ends_with("With the paddlewheel from 1 a.m. tonight about 4.2 (3.4 to 5.0)."), "{started}");
        let none = say(Air::NoAerator { needed_kw: 0.7457 }, Some(told(2.0, 3.0, 4.0)));
        assert!(none.contains("about 1 hp of paddlewheel"), "{none}");
        let bare = OxygenTonight { air: Air::ReadAtDusk, told: Some(told(2.0, 3.0, 4.0)), aerator_kw: 0.0, ..UNREAD };
        assert!(tonight(&bare, on, Manner::Metric).ends_with("This pond has no aerator: have one at hand."));
    }

    #[test]
    fn what_is_to_be_started_is_said_with_its_hour() {
        let on = Day(14_999);
        let pond = |air: Air, evening_mg_l: f64| {
            let told = DawnTold { from: Some((units::Instant(0), evening_mg_l)), ..told(2.4, 3.6, 4.8) };
            let oxygen = OxygenTonight { air, told: Some(told), ..UNREAD };
            PondOutlook { oxygen, ..crate::morning::tests::pond("Lower", 1.0, 1.0, 1.0) }
        };
        let holds = Band { low: 3.4, middle: 4.2, high: 5.0 };
        let said = |air: Air, mg_l: f64| start(&pond(air, mg_l), on, Manner::UsCustomary);
        assert_eq!(said(Air::Enough, 6.0), None);
        assert_eq!(
            said(Air::Start { by: (on, 22), holds }, 6.0).expect("a start"),
            "Start Lower's 2 hp paddlewheel by 10 p.m., and keep it on until two hours after sunrise and above 4 mg/L."
        );
        let poor = said(Air::Start { by: (on, 22), holds: Band { low: 1.9, ..holds } }, 2.8).expect("a start");
        assert!(poor.contains("paddlewheel now, and") && poor.ends_with("have more air at hand."), "{poor}");
    }

    #[test]
    fn an_overturn_is_told_with_what_it_brings_up() {
        let night = Overturn { chance: 0.33, upper_fraction: 0.6, warm_m: 0.9144 };
        let over = |lower_mg_l| {
            let overturn = Some(season::oxygen::Overturned { night, left_mg_l: 2.9, lower_mg_l });
            OxygenTonight { overturn, ..UNREAD }
        };
        let said = turned(&over(None), Manner::UsCustomary).expect("said");
        assert_eq!(said, "1 in 3; dawn then stands near 2.9 if nothing is left below 3.0 ft");
        assert!(turned(&over(Some(1.2)), Manner::Metric).expect("said").ends_with("with the 1.2 read deep down"));
        assert_eq!(turned(&UNREAD, Manner::Metric), None);
    }
}
