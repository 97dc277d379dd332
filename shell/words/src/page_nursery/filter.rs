//! Whether a tank's filter is ripe, in words, and what nitrite does until it is.

use season::nursery::{AMMONIA_CLEAR_MG_L, AMMONIA_MOST_MG_L, NITRITE_MOST_MG_L};
use season::tanks::{AGAIN_D, FilterSeen, LOADED_MG_L, NitrogenOutlook, NurseryOutlook, TankOutlook};

use crate::figures::day_short;

/// What the readings say of a tank's filter; `None` of a tank without one.
pub fn ripe(tank: &TankOutlook) -> Option<String> {
    let said = match tank.filter {
        FilterSeen::Without => return None,
        FilterSeen::NotRead => {
            "not called ripe: ammonia and nitrite were not read together yet. Read both in one entry".to_owned()
        }
        FilterSeen::Idle { on } => format!(
            "not called ripe: clear on {}, but there was nothing to take. Put in ammonia to {LOADED_MG_L:.0} to 3 mg/L, enter it, and read both a day later",
            day_short(on)
        ),
        FilterSeen::Once { on } => format!(
            "not yet: clear on {}. A second clear reading {AGAIN_D} days later or more, {AMMONIA_CLEAR_MG_L} mg/L or less of both, calls it ripe",
            day_short(on)
        ),
        FilterSeen::Ripe { first, again } => format!("ripe: clear on {} and {}", day_short(first), day_short(again)),
        FilterSeen::Unripe { on } => format!("no: not clear on {}", day_short(on)),
    };
    let ahead = tank.nitrogen.as_ref().map_or(String::new(), |ahead| format!(". {}", course(ahead)));
    Some(format!("{said}{ahead}"))
}

fn course(ahead: &NitrogenOutlook) -> String {
    let (day, mg_l) = ahead.nitrite_peak;
    let peak = match () {
        () if mg_l < 0.1 => "As fed now nitrite stays below 0.1 mg/L".to_owned(),
        () if day == ahead.from => "As fed now nitrite falls from here".to_owned(),
        () if mg_l > 10.0 => format!("As fed now nitrite would pass 10 mg/L and peak about {}", day_short(day)),
        () => format!("As fed now nitrite may peak near {mg_l:.1} mg/L about {}", day_short(day)),
    };
    let kills = match mg_l > NITRITE_MOST_MG_L {
        true => ": feed less and change water so that it stays below 1",
        false => "",
    };
    match ahead.clear_from {
        Some(day) if day == ahead.from => format!("{peak}{kills}"),
        Some(day) => format!("{peak}{kills}; both clear from about {}, or half as long again", day_short(day)),
        None => format!("{peak}{kills}; not clear within six weeks as fed now: the filter is too small for this feed"),
    }
}

/// How long the fullest tank bears it without a filter.
pub fn without(nursery: &NurseryOutlook) -> Option<String> {
    let hours = |tank: &TankOutlook| tank.dead_filter_h.filter(|hours| hours.is_finite());
    let soonest = nursery.tanks.iter().filter_map(|tank| Some((tank, hours(tank)?)));
    let (tank, hours) = soonest.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let name = &tank.tank.name;
    Some(match hours {
        h if h < 1.0 => {
            format!("As fed today {name} stands at the limit for ammonia already: it bears no failing filter.")
        }
        h => format!(
            "As fed today, ammonia in {name} passes {AMMONIA_MOST_MG_L:.0} mg/L about {} after its filter has died.",
            crate::figures::span(h)
        ),
    })
}
