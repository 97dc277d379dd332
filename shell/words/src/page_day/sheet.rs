//! The sheet: steps with their cautions, what is due, checks, calls, briefing.

use season::day::{DaySheet, DueKind, IceOrder, StepKind, WaysOut, Who};
use season::farm::{Farm, Form};

use super::{at, lasting};
use crate::drain::{fuel, rate};
use crate::figures::{Manner, clock, day_short, depth, mass, stopped};
use crate::page_harvest::degrees_fine;

/// Before what can hurt.
pub const CARE: &str = "Care";
/// Above the gear to be laid out.
pub const CHECKS: &str = "Laid out tonight";
/// Above whom to call.
pub const CALLS: &str = "Call list";
/// Above the half page for helpers.
pub const BRIEFING: &str = "For everybody who comes";
/// Which rules hold.
pub const ASKS: &str = "These are reminders. Your inspector, code official or licensed trade has the last word.";

/// One line of the day: when, what, what can hurt there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// When.
    pub at: String,
    /// What.
    pub what: String,
    /// Care.
    pub care: Vec<&'static str>,
}

const BANK: &str = "Life vests on, never alone, a throw line at hand. Keep clear of the inlet: it pulls.";
const FUMES: &str =
    "Generator and pump engines run outside and far from doors and trucks. Let them cool before refuelling.";
const POWER: &str =
    "Cords and plugs off wet ground, on a circuit that trips. Switch off and tag before anybody goes into the water.";
const LIGHTS: &str = "Lights up before people go in. Count heads in, count them out.";
const MUD: &str = "Mud holds: keep moving; if stuck, lie back and call, nobody pulls alone.";
const SPINES: &str = "Spines and claws stab. Puncture-proof gloves; wash and cover every cut. A slow lump or spreading redness: see a doctor and say you \
     work with prawns.";
const LIFT: &str = "Two to a tub. A basket from the legs, 10 kg (22 lb) at most.";
const PROBE: &str = "Probe the thickest prawns; cold to the hand is not cold. When no ice floats, load no more.";
const KNIVES: &str = "One to a board, cut away from you, cut-proof glove on the other hand. Floor drained and rough.";
const COLD: &str = "Dry clothes at hand, ten minutes in the warm each hour. Whoever shivers or fumbles stops.";

/// On killing by cold: plain, once.
pub fn humane() -> &'static str {
    "Prawns are killed by the cold, quickly: small batches into slurry that is really at 32 °F (0 °C) and deep enough to cover them at once, never \
     warmed again, never headed alive, never left to dry or to suffocate in a heap. Not everybody holds cold alone to be a humane stun, and some \
     places have rules on it: ask yours."
}

/// The day hour by hour.
pub fn steps(sheet: &DaySheet, manner: Manner) -> Vec<Line> {
    let has_pumps = sheet.ways_out.running() > 0;
    sheet
        .steps
        .iter()
        .map(|step| Line {
            at: at(sheet.on, step.at_h, manner),
            what: what(&step.what, sheet, manner),
            care: care(&step.what, has_pumps),
        })
        .collect()
}

fn what(step: &StepKind, sheet: &DaySheet, manner: Manner) -> String {
    let sure = sheet.sure();
    match step {
        StepKind::Opens => opens(&sheet.ways_out, manner),
        StepKind::ChillWater => "Fill the slurry tubs with clean water and begin to chill it; cover the ice. It saves near half of it.".to_owned(),
        StepKind::Come([water, bank, table]) => format!("Everybody is here: {water} at the water, {bank} on the bank, {table} at the table."),
        StepKind::SeiningDepth(stage_m) => {
            format!("Water stands at {}; shut drain and pumps. Net in, along the long side, lead line on the floor.", depth(*stage_m, manner))
        }
        StepKind::LetDown => "The net is through. Let the water on down.".to_owned(),
        StepKind::Gather => "The edges fall bare. Gather from the edges inward, small sweeps, no basket longer than a quarter of an hour.".to_owned(),
        StepKind::Dip(stage_m) => format!("Last water, {} by the drain: dip it, aerator on, no faster than the bank takes it.", depth(*stage_m, manner)),
        StepKind::HoldLast(until_h) => {
            stopped(format!("Shut the drain, pumps off: the last water is held for dipping until {}", at(sheet.on, *until_h, manner)))
        }
        StepKind::LetLast => "Let the last water go.".to_owned(),
        StepKind::Dry => "The last water is gone. What lies in the mud is for ice at once or thrown out, never alive.".to_owned(),
        StepKind::KeepShut => "The day is too short for the rest. Drain and pumps stay shut over night, aerator on; what is left swims and is caught another \
             day, never past the cold mark."
            .to_owned(),
        StepKind::LastOut if leaves(sheet) => {
            "Likely the last basket of the day. What is left stays in its water, aerator on; look for those that lie on the mud.".to_owned()
        }
        StepKind::LastOut => "Likely the last basket is out. Walk the floor: puddles, footprints.".to_owned(),
        StepKind::AllIced => format!("Likely all is on ice. Each batch stays {:.0} min, then three probes at 35.6 °F (2 °C) or below.", sheet.dwell_min),
        StepKind::Finish => {
            let tails = match sure.told.tails_kg.middle > 0.5 {
                true => format!("heading of {} and packing are", mass(sure.told.tails_kg.middle, manner)),
                false => "packing is".to_owned(),
            };
            format!("Likely {tails} done; cold store shut and read. Scale against tubs: the day's weights must close within 2 in 100.")
        }
        StepKind::ShiftEnds => "The shift ends. What is not headed stays on ice, drained, and is sold whole.".to_owned(),
        StepKind::SecondWalk if leaves(sheet) => "First light: level, screens, aerator, animals at the edge. What is left is caught, today or on the \
             day you choose, never past the cold mark; then the second walk of the puddles."
            .to_owned(),
        StepKind::SecondWalk => "Second walk of the puddles, and write down what it brings. No live animal is left or let go; outlet screened; heads and \
             shells buried or composted as your rules say; borrowed gear washed and back."
            .to_owned(),
    }
}

fn opens(ways: &WaysOut, manner: Manner) -> String {
    let extra = ways.extra_m3_h.map(|m3_h| format!("one more pump of {}", rate(m3_h, manner)));
    let pumps: Vec<String> = ways.pumps.iter().map(|name| format!("the {name}")).chain(extra).collect();
    let pumps = pumps.join(" and ");
    match (ways.has_drain, ways.running() == 0) {
        (true, true) => "Open the drain. Look at its screen, then at every hour when somebody is up.".to_owned(),
        (true, false) => format!("Open the drain, start {pumps}. Screens, fuel, prime."),
        (false, _) => format!("Start {pumps}. Fuel, prime, intake clear of mud."),
    }
}

/// A part worth a day of its own likely stays in the water.
pub fn leaves(sheet: &DaySheet) -> bool {
    let told = &sheet.sure().told;
    told.left_kg.middle + told.stranded_kg.middle > 0.1 * sheet.mass_kg.middle
}

fn care(step: &StepKind, has_pumps: bool) -> Vec<&'static str> {
    match step {
        StepKind::Opens if has_pumps => vec![BANK, FUMES, POWER],
        StepKind::Opens => vec![BANK],
        StepKind::Come(_) => vec![LIGHTS],
        StepKind::SeiningDepth(_) => vec![SPINES, LIFT],
        StepKind::Gather => vec![MUD],
        StepKind::AllIced => vec![PROBE],
        StepKind::Finish => vec![KNIVES, COLD],
        _ => Vec::new(),
    }
}

/// The level by the hour: nothing finer is read off a stick. Two hours apart while there are many.
pub fn levels(sheet: &DaySheet, manner: Manner) -> Vec<[String; 2]> {
    let every = sheet.levels.len().div_ceil(24).max(1);
    let last = sheet.levels.len().saturating_sub(1);
    let kept = sheet.levels.iter().enumerate().filter(|(place, _)| place % every == 0 || *place == last);
    kept.map(|(_, &(hour, stage_m))| [at(sheet.on, hour, manner), depth(stage_m, manner)]).collect()
}

/// The order of ice for the day: the one figure that is ordered, wherever it is told.
fn ice_order(sheet: &DaySheet, manner: Manner) -> String {
    match sheet.ice_order() {
        Some(order) if order.order_kg < 0.5 => "none, what is there does".to_owned(),
        Some(order) => mass(order.order_kg, manner),
        None => mass(sheet.ice_need_kg(), manner),
    }
}

/// What is due before the day.
pub fn due_rows(farm: &Farm, sheet: &DaySheet, manner: Manner) -> Vec<[String; 2]> {
    sheet
        .due
        .iter()
        .map(|due| {
            let what = match due.what {
                DueKind::SoftShells => "Sample for soft shells. If one in ten is soft, think of a day or two later, never past the cold mark.".to_owned(),
                DueKind::Hired(place) => format!("Confirm: {}.", farm.gear.hired.get(place).map_or("", |hired| hired.name.as_str())),
                DueKind::Ice => format!("Order ice: {} for the day.", ice_order(sheet, manner)),
                DueKind::SecondSupplier => "Ask a second place for ice, in case.".to_owned(),
                DueKind::Crew => "Call the crew; write down who surely comes.".to_owned(),
                DueKind::StandIns => "Name a stand-in for the lead and for the scale.".to_owned(),
                DueKind::Buyers => "Tell buyers the day, the hour, and how much of each form.".to_owned(),
                DueKind::ColdRoom => {
                    let told = &sheet.sure().told;
                    format!("Book the cold room, for about {}.", mass(told.whole_kg.high + told.tails_kg.high, manner))
                }
                DueKind::Screens => "Clean and try screens, pumps, generator; spare screen and fuel at the pond.".to_owned(),
                DueKind::Receiving => "Look at the ditch or creek below: room for the water, not above the drain.".to_owned(),
                DueKind::Fuel => fuel_due(sheet, manner),
                DueKind::LastFeed => "Last feed. Unfed for a day they foul less and live longer.".to_owned(),
                DueKind::Gear => "Lay out gear; test the scale with its weight, the probes in melting ice.".to_owned(),
            };
            // What is over stands there to be looked at: was it done?
            let is_past = due.by.0 < sheet.today;
            let what = if is_past { format!("(past) {what}") } else { what };
            [format!("{}, {}", day_short(due.by.0), clock(3600 * due.by.1, manner)), what]
        })
        .collect()
}

/// Gear and ice, to be ticked off.
pub fn checks(sheet: &DaySheet, manner: Manner) -> Vec<String> {
    let need_kg = sheet.ice_need_kg();
    let mut all = vec![
        format!("{} baskets, wet, {} in each at most", sheet.baskets.0, mass(sheet.baskets.1, manner)),
        format!("ice: {}, covered; shovel", mass(need_kg, manner)),
        "net with its lead line, spare; dip nets; level stick".to_owned(),
        "slurry tubs with lids and plugs; three probes, checked in melting ice".to_owned(),
        "scale and its test weight; tags, markers, paper tallies".to_owned(),
        "drinking-quality water for the last rinse; hoses".to_owned(),
        "gloves against punctures, cut-proof gloves, waders, aprons, dry clothes".to_owned(),
        "life vests, throw line, first aid, eye wash, lights, phone on somebody at all times".to_owned(),
        format!("two ways of aeration; pump, generator outside{}", fuel_check(sheet.ways_out.fuel_l, manner)),
        "names for the night's watch, at drain, pumps and bank: who is awake until when, who next".to_owned(),
        "table, knives, boards, bags, labels; bins for heads".to_owned(),
    ];
    if let Some((load, _)) = &sheet.live {
        all.push(format!("live tanks filled, at {}, oxygen on and tried", degrees_fine(load.water_c, manner)));
    }
    all
}

/// Fuel for the way down, where pumps burn any.
fn fuel_check(fuel_l: Option<(f64, f64)>, manner: Manner) -> String {
    match fuel_l {
        None => ", fuel".to_owned(),
        Some((needed_l, store_l)) if needed_l > store_l => format!(
            "; fuel: about {} for the way down, {} more than is in store",
            fuel(needed_l, manner),
            fuel(needed_l - store_l, manner)
        ),
        Some((needed_l, _)) => format!("; fuel: about {} for the way down", fuel(needed_l, manner)),
    }
}

fn fuel_due(sheet: &DaySheet, manner: Manner) -> String {
    let (needed_l, store_l) = sheet.ways_out.fuel_l.unwrap_or_default();
    format!(
        "Have {} more of fuel than is in store: the way down burns about {}.",
        fuel(needed_l - store_l, manner),
        fuel(needed_l, manner)
    )
}

/// Whom to call, with what to say.
pub fn calls(farm: &Farm, sheet: &DaySheet, manner: Manner) -> Vec<[String; 2]> {
    let everybody = sheet.crews.iter().find(|crew| crew.who == Who::Everybody).map_or(0, |crew| crew.crew.len());
    let come = sheet.sure().crew.first().map_or(sheet.begins_h, |one| one.hand.from_h);
    let mut rows = vec![
        ["Crew".to_owned(), stopped(format!("{everybody} may come; be here at {}", at(sheet.on, come, manner)))],
        ["Ice".to_owned(), stopped(format!("{} by {}", ice_order(sheet, manner), at(sheet.on, come, manner)))],
    ];
    for ceiling in &farm.orders.ceilings {
        let (form, kg) = match ceiling.form {
            Form::Live => ("alive", sheet.sure().told.live_kg.middle),
            Form::Whole | Form::Piece => ("whole on ice", sheet.sure().told.whole_kg.middle),
            Form::Tails => ("tails, whole weight", sheet.sure().told.tails_kg.middle),
        };
        if kg > 0.5 {
            rows.push([
                "Buyers".to_owned(),
                stopped(format!(
                    "likely {} {form}, in nine days of ten from {}",
                    mass(kg, manner),
                    at(sheet.on, sheet.sure().told.iced_h.high, manner)
                )),
            ]);
        }
    }
    rows.extend(farm.gear.hired.iter().map(|hired| [hired.name.clone(), "confirmed?".to_owned()]));
    rows
}

/// Half a page for those who come for the first time.
pub fn briefing() -> [&'static str; 6] {
    [
        "Sign in with the lead, sign out when you go. Go nowhere alone.",
        "You do what the lead gives you. Deep water, mud, knives, scale and ice tubs are for those who know them.",
        "Gloves on. Spines and claws stab: wash every cut, have it covered, tell the lead.",
        "A basket never waits in the sun: from water to ice in a quarter of an hour.",
        "Lift with the legs, two to a tub. Rest when it is your turn, drink, keep dry and warm.",
        "Allergic to shrimp or crab? Tell the lead now and stay away from steam and table.",
    ]
}

/// The order first, then what it rests on: where the ice goes, the farm's own rule, what can be there.
pub fn ice_rows(sheet: &DaySheet, manner: Manner) -> Vec<[String; 2]> {
    let ice = &sheet.ice;
    let several = sheet.ice_order().is_some_and(|order| order.need_kg > sheet.ice_need_kg() + 0.5);
    let order = if several { "THE ORDER, all ponds of the day" } else { "THE ORDER" };
    let rule =
        if sheet.ice_rule_kg > ice.all_kg() { "your own rule, which is more" } else { "your own rule, for comparison" };
    let rows = [
        ("cooling the tubs' water", ice.water_kg),
        ("cooling the prawns", ice.prawns_kg),
        ("warmth through the tubs", ice.let_in_kg),
        ("lifted out with each batch", ice.lifted_kg),
        ("bedding and packing", ice.pack_kg),
        ("melts on the way, a quarter on top", ice.margin_kg),
        ("needed here, by the heat", ice.all_kg()),
        (rule, sheet.ice_rule_kg),
        ("can be there", sheet.ice_have_kg),
    ];
    let rows = rows.into_iter().map(|(name, kg)| [name.to_owned(), mass(kg, manner)]);
    // What lies there already is not ordered again.
    let there_kg = sheet.ice_order().map_or(0.0, |order| (order.need_kg - order.order_kg).max(0.0));
    let there = (there_kg > 0.5).then(|| ["of the need, there already".to_owned(), mass(there_kg, manner)]);
    [[order.to_owned(), ice_order(sheet, manner)]].into_iter().chain(there).chain(rows).collect()
}

/// Ice to order, day by day, for all ponds of the plan.
pub fn ice_order_rows(sheet: &DaySheet, manner: Manner) -> Vec<[String; 2]> {
    let row = |of: &IceOrder| {
        let mut said = match (of.need_kg > 0.5, of.order_kg > 0.5) {
            (true, true) => format!("needs {}; order {}", mass(of.need_kg, manner), mass(of.order_kg, manner)),
            (true, false) => format!("needs {}; what is there does", mass(of.need_kg, manner)),
            _ => format!("order {} ahead: more is needed later than can be had in a day", mass(of.order_kg, manner)),
        };
        if of.short_kg > 0.5 {
            said.push_str(&format!(
                "; {} cannot be had: a second supplier, or less to come out",
                mass(of.short_kg, manner)
            ));
        }
        [day_short(of.day), said]
    };
    sheet.ice_orders.iter().map(row).collect()
}

/// The live tanks through their night.
pub fn live_rows(sheet: &DaySheet, manner: Manner) -> Vec<[String; 2]> {
    let Some((load, end)) = &sheet.live else { return Vec::new() };
    let mut rows = vec![
        [
            "load".to_owned(),
            format!("{:.0} g to the litre of water; usual most {:.0}", load.load_g_l(), load.most_g_l(end.hour)),
        ],
        ["oxygen they use".to_owned(), format!("{:.0} g an hour", load.at(0.0).oxygen_g_h)],
        [
            format!("ammonia after {}", lasting(end.hour)),
            format!("{:.1} mg/L, un-ionized {:.2}", end.ammonia_mg_l, end.free_ammonia_mg_l),
        ],
        ["tempering".to_owned(), "3 °C (5 °F) an hour down, 2 °C (4 °F) up, at most".to_owned()],
        ["look".to_owned(), "every two hours: oxygen, warmth, dead ones out at once".to_owned()],
    ];
    if let Some(until_h) = sheet.live_good_until_h {
        rows.push(["change water or cool by".to_owned(), at(sheet.on, sheet.begins_h + until_h, manner)]);
    }
    rows
}
