//! Animals in live tanks that are to be looked at before anybody is sold any: what is held, why, and the way to the station.

use farm::facts::market::Pool;
use maud::{Markup, html};
use words::page_harvest as say;

use crate::market_read::Known;
use crate::served::Served;

/// What is held; nothing when every tank is well or nothing alive is left to be sold.
pub fn held(facts: &Served, known: &Known) -> Markup {
    let now = facts.farm.place.zone.instant(facts.on, 3600 * facts.now_hour);
    let left_kg = known.supply.of(Pool::Live) - known.market.sold_kg(Pool::Live);
    let tanks: Vec<_> = known.tanks.iter().filter(|tank| !tank.beyond.is_empty()).collect();
    html! {
        @if !tanks.is_empty() && left_kg > 1e-6 {
            section.part #held aria-labelledby="h-held" {
                h2 id="h-held" { (say::HELD) }
                @for tank in tanks { p.trouble { (say::tank_held(tank, now, &facts.farm.place.zone, facts.manner)) } }
                p { a.mend href=(format!("/f/{}/harvest/cold", facts.id)) { (say::EVERY_STATION[2].1) } }
            }
        }
    }
}
