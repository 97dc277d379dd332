//! The tank of one who takes prawns alive, beside the usual loads.

use farm::facts::market::Order;
use harvest::live::{TOO_WARM_C, usual_most_g_l};

/// Below this nearly all die within a day when cooled fast, °C: docs/model/cold.md (Kuhn & Flick).
pub const COLD_C: f64 = 14.0;
/// Hours for which a buyer's tank is looked at: what is sold alive is mostly eaten within a day.
const HELD_H: f64 = 24.0;

/// What of a tank is unusual.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tank {
    /// Grams to a litre, where the tank is known.
    pub load_g_l: Option<f64>,
    /// The usual most with pure oxygen for a day, g/L.
    pub most_g_l: f64,
    /// Water that the order takes at that load, L.
    pub least_l: f64,
    /// Too cold to live in.
    pub is_cold: bool,
    /// Too warm to be loaded.
    pub is_warm: bool,
}

/// Looks at the tank of an order.
pub fn tank(order: &Order) -> Tank {
    let most_g_l = usual_most_g_l(true, HELD_H);
    Tank {
        load_g_l: order.their_tank_l.filter(|litres| *litres > 0.0).map(|litres| 1000.0 * order.amount / litres),
        most_g_l,
        least_l: 1000.0 * order.amount / most_g_l,
        is_cold: order.their_tank_c.is_some_and(|celsius| celsius < COLD_C),
        is_warm: order.their_tank_c.is_some_and(|celsius| celsius >= TOO_WARM_C),
    }
}
