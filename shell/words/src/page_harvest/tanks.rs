//! Live tanks in sentences: what is held, and why.

use farm::facts::{Beyond, ColdOf, LIVE_OXYGEN_LEAST_MG_L, LiveTank};
use units::{Instant, Zone};

use super::degrees_fine;
use super::night::when_at;
use super::total;
use crate::figures::Manner;

/// Above what is held, where animals are sold.
pub const HELD: &str = "Look at the tank first";

/// A live tank whose animals are held: how much, why, and what frees them. `kg` of them are still there.
pub fn tank_held(tank: &LiveTank, now: Instant, zone: &Zone, manner: Manner) -> String {
    let name = tank.name.as_deref().map_or(String::new(), |name| {
        let bare = name.trim();
        // What somebody called "Tank 1" is not called tank twice.
        let shown = bare.to_lowercase().strip_prefix("tank ").map_or(bare, |rest| &bare[bare.len() - rest.len()..]);
        format!(" {shown}")
    });
    let why: Vec<String> = tank.beyond.iter().map(|one| beyond(*one, now, zone, manner)).collect();
    format!(
        "Live tank{name}: {} is held. {} It is shared out to nobody until the tank is read within its limits again, or until it is moved.",
        total(tank.held_kg, manner),
        why.join(" ")
    )
}

/// Live tanks that nobody has read for hours.
pub fn tanks_unread(kg: f64, hours: f64, manner: Manner) -> String {
    format!(
        "The live tanks hold {} by what is written, and nobody has written a look at them for {}: oxygen, warmth and dead every two hours, the night through.",
        total(kg, manner),
        crate::figures::span(hours)
    )
}

fn beyond(one: Beyond, now: Instant, zone: &Zone, manner: Manner) -> String {
    let (least, most) = ColdOf::Live.limits_c();
    match one {
        Beyond::Temperature(c, at) => format!(
            "At {} it was {}, and {} to {} is right.",
            when_at(at, now, zone, manner),
            degrees_fine(c, manner),
            degrees_fine(least, manner),
            degrees_fine(most, manner)
        ),
        Beyond::Oxygen(mg_l, at) => format!(
            "At {} its oxygen was {mg_l:.1} mg/L, and {LIVE_OXYGEN_LEAST_MG_L:.0} or more is right.",
            when_at(at, now, zone, manner)
        ),
        Beyond::Load(most_kg) => format!("It may hold {}: more is in it.", total(most_kg, manner)),
    }
}
