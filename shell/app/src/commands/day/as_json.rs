//! A harvest day for a program. Hours are the clock's on the day of the catch, negative before its midnight.

use season::answer::Band;
use season::day::{CrewDay, DaySheet, Group, Who, due_key, limit_key, step_key};
use season::harvest::{self, Post, Task};
use serde_json::{Map, Value, json};

const SCHEMA: &str = "warmspell.day";
const VERSION: u32 = 1;

pub(super) fn sheet(of: &DaySheet) -> String {
    let mut top = Map::new();
    let mut put = |key: &str, value: Value| top.insert(key.to_owned(), value);
    put("farm", json!(of.farm));
    put("pond", json!(of.pond));
    put("today", json!(of.today.to_string()));
    put("day", json!(of.on.to_string()));
    put("is_planned", json!(of.is_planned));
    put("futures", json!(of.members));
    put("opens_h", json!(of.opens_h));
    put("begins_h", json!(of.begins_h));
    put("ends_h", json!(of.ends_h));
    put("pumps", json!(of.ways_out.pumps));
    put("extra_pump_m3_h", json!(of.ways_out.extra_m3_h));
    put("fuel_needed_and_in_store_l", json!(of.ways_out.fuel_l));
    put("levels", of.levels.iter().map(|(at_h, stage_m)| json!({"at_h": at_h, "stage_m": stage_m})).collect());
    put("holds", of.holds.iter().map(|hold| json!({"from_h": hold.from_h, "for_h": hold.for_h})).collect());
    put("mass_kg", band(of.mass_kg));
    put("mean_weight_g", band(of.weight_g));
    put("water_c", band(of.water_c));
    put("bare_c", band(of.bare_c));
    put(
        "buyers_kg",
        json!({"live": of.buyers.live_kg, "whole": of.buyers.whole_kg, "tails_whole_weight": of.buyers.tails_kg}),
    );
    put(
        "ice_kg",
        json!({"order": of.ice_order().map_or(of.ice_need_kg(), |order| order.order_kg), "by_heat": of.ice.all_kg(), "by_rule": of.ice_rule_kg, "there": of.ice_have_kg}),
    );
    put("dwell_min", json!(of.dwell_min));
    put("crews", of.crews.iter().map(crew_day).collect());
    put("steps", of.steps.iter().map(|step| json!({"at_h": step.at_h, "what": step_key(&step.what)})).collect());
    let due = of.due.iter().map(|due| json!({"by": due.by.0.to_string(), "hour": due.by.1, "what": due_key(due.what)}));
    put("due", due.collect());
    super::super::versioned(SCHEMA, VERSION, top)
}

fn band(of: Band) -> Value {
    json!({"low": of.low, "middle": of.middle, "high": of.high})
}

fn told(of: harvest::Band) -> Value {
    json!({"low": of.low, "middle": of.middle, "high": of.high})
}

fn crew_day(of: &CrewDay) -> Value {
    let who = match of.who {
        Who::Everybody => "everybody",
        Who::Sure => "sure",
        Who::Asked => "asked",
    };
    let day = &of.told;
    let hands = of.crew.iter().map(|one| {
        let group = match &one.group {
            Group::Owner => "owner",
            Group::Helper => "helper",
            Group::Named(name) => name.as_str(),
            Group::Asked => "asked",
        };
        json!({"group": group, "post": post(one.hand.post), "from_h": one.hand.from_h, "until_h": one.hand.until_h, "is_sure": one.hand.sure})
    });
    let binds = of.binds.iter().map(|one| {
        json!({"limit": limit_key(one.limit), "earlier_h": one.earlier_h, "more_kg": one.more_kg, "less_late_kg": one.less_late_kg})
    });
    let waits = Task::ALL.into_iter().zip(&day.waits).filter(|(_, waits)| waits.busy_h > 0.0).map(|(task, waits)| {
        json!({"task": words::page_day::task(task), "baskets": waits.count, "mean_h": waits.mean_h, "longest_h": waits.most_h, "hand_h": waits.busy_h})
    });
    json!({
        "who": who, "hands": hands.collect::<Vec<_>>(), "finish_h": told(day.finish_h), "out_h": told(day.out_h),
        "iced_h": told(day.iced_h), "caught_kg": told(day.caught_kg), "live_kg": told(day.live_kg), "turned_kg": told(day.turned_kg),
        "whole_kg": told(day.whole_kg), "tails_whole_weight_kg": told(day.tails_kg), "left_kg": told(day.left_kg),
        "stranded_kg": told(day.stranded_kg), "undone_kg": told(day.undone_kg), "unheaded_kg": told(day.unheaded_kg),
        "to_ice_min": {"half": day.to_ice_min.0, "nine_tenths": day.to_ice_min.1},
        "over_15_min": day.over_wanted, "over_30_min": day.over_hard, "binds": binds.collect::<Vec<_>>(),
        "carries_kg": {"on_ice": of.carries.on_ice_kg, "packed": of.carries.packed_kg}, "waits": waits.collect::<Vec<_>>(),
    })
}

fn post(of: Post) -> &'static str {
    match of {
        Post::Water => "water",
        Post::Bank => "bank",
        Post::Table => "table",
    }
}
