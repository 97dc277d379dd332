//! The outlook for programs: every figure behind the page, so that others can check the choice.

use season::answer::{Band, Note, Outlook, PondOutlook, Task, TaskKind};
use season::crops::CropMet;
use season::in_pond::{InPond, SampleMet, SizeBand};
use season::plan::{Job, Spread, Take};
use serde_json::{Value, json};
use units::Day;

const SCHEMA: &str = "warmspell.plan";
const VERSION: u32 = 1;

/// The whole outlook. Money in units of the currency (not coins), temperatures in °C, weights in g and kg.
pub fn outlook(of: &Outlook) -> String {
    let coins = of.currency.coins_per_unit() as f64;
    let decision = &of.plan.decision;
    let mut top = serde_json::Map::new();
    let mut put = |key: &str, value: Value| top.insert(key.to_owned(), value);
    put("farm", json!(of.farm));
    put("on", json!(of.on.to_string()));
    put("now_hour", json!(of.now_hour));
    put("currency", json!(of.currency.code()));
    put("seed", json!(of.seed));
    put("members", json!(of.members));
    put(
        "past_years",
        json!({"first": of.past_years.0, "last": of.past_years.1, "count": of.past_years.2, "invented": of.past_is_invented}),
    );
    put("forecast", of.forecast.map_or(Value::Null, |f| json!({"age_h": f.age_h, "last_day": f.last_day.to_string()})));
    put("cold_mark_c", json!(of.cold_mark_c));
    put("follow_mark_c", json!(of.follow_mark_c));
    put("guard_chance", json!(of.guard_chance));
    let tasks =
        |tasks: &[Task]| tasks.iter().map(|task| json!({"by": at(task.by), "task": task_value(&task.what)})).collect();
    put("tasks", tasks(&of.tasks));
    put("coming_tasks", tasks(&of.coming));
    put("decision", decision.today.iter().map(|job| job_value(of, job)).collect());
    put("plan", decision.ponds.iter().filter_map(|pond| pond.planned.as_ref()).map(|job| job_value(of, job)).collect());
    put("worth", spread(&decision.worth, coins));
    put("fixed_worth", spread(&decision.fixed, coins));
    put("fixed_dates", jobs(of, &decision.fixed_dates.jobs));
    put("fixed_proved", json!(decision.fixed_proved));
    put("fixed_at_most_better", json!(decision.fixed_beyond.map(|beyond| beyond / coins)));
    put("ceiling", spread(&decision.ceiling, coins));
    put("optimism", json!(decision.optimism / coins));
    let runner_up = decision.runner_up.as_ref();
    put("runner_up", runner_up.map_or(Value::Null, |r| r.starts.iter().map(|job| job_value(of, job)).collect()));
    put("difference", json!(runner_up.map(|r| r.difference / coins)));
    put("standard_error", json!(runner_up.map(|r| r.standard_error / coins)));
    put("toss_up", json!(runner_up.map(|r| r.toss_up)));
    put("guard_cost", json!(decision.guard.cost / coins));
    put("guard_binds", json!(decision.guard.binds));
    put("plan_without_guard", jobs(of, &decision.guard.plan_without.jobs));
    put("candidates", decision.candidates.iter().map(|c| json!({
        "starts": c.starts.iter().map(|job| job_value(of, job)).collect::<Vec<_>>(),
        "worth": spread(&c.worth, coins), "behind": c.behind / coins, "standard_error": c.standard_error / coins,
        "guarded": c.guarded,
    })).collect());
    put(
        "flips",
        decision
            .flips
            .iter()
            .map(|flip| {
                json!({
                    "signal": of.plan.signals.get(flip.signal), "change": flip.change,
                    "to": flip.to.iter().map(|job| job_value(of, job)).collect::<Vec<_>>(),
                })
            })
            .collect(),
    );
    put("limits", of.limits.iter().map(|limit| json!({"limit": limit.0, "amounts": limit.1})).collect());
    put("binding", binding(of, coins));
    put("ponds", of.ponds.iter().map(|pond| pond_value(pond, coins, of.on)).collect());
    put("notes", of.notes.iter().map(note).collect());
    crate::commands::versioned(SCHEMA, VERSION, top)
}

fn binding(of: &Outlook, coins: f64) -> Value {
    let one = |(limit, more, gain): &(_, _, f64)| json!({ "limit": words::morning::limit_words(limit), "ponds_more": more, "cost": gain / coins });
    of.plan.binding.iter().map(one).collect()
}

fn at(moment: (Day, i32)) -> Value {
    json!(format!("{}T{:02}:00", moment.0, moment.1))
}

fn spread(of: &Spread, coins: f64) -> Value {
    json!({"mean": of.mean / coins, "standard_error": of.standard_error / coins, "p05": of.p05 / coins})
}

fn band(of: &Band) -> Value {
    json!({"p10": of.low, "p50": of.middle, "p90": of.high})
}

fn jobs(of: &Outlook, jobs: &[Option<Job>]) -> Value {
    jobs.iter().flatten().map(|job| job_value(of, job)).collect()
}

fn job_value(of: &Outlook, job: &Job) -> Value {
    let day = |day: usize| of.on.plus(day as i32).to_string();
    let start = (of.on.plus(job.start_hour.div_euclid(24)), job.start_hour.rem_euclid(24));
    let (kind, days) = match job.take {
        Take::Whole { day: d } => ("whole", vec![day(d)]),
        Take::TwoDays { first_day, .. } => ("two_days", vec![day(first_day), day(first_day + 1)]),
        Take::LargeFirst { seine_day, day: d } => ("large_first", vec![day(seine_day), day(d)]),
    };
    json!({
        "pond": of.ponds.get(job.pond).map(|pond| pond.name.as_str()),
        "start": at(start), "way": job.way, "take": kind, "catch_days": days,
    })
}

fn pond_value(pond: &PondOutlook, coins: f64, on: units::Day) -> Value {
    json!({
        "name": pond.name,
        "measured": pond.measured.map(|(_, depth_m, temp_c)| json!({"depth_m": depth_m, "temp_c": temp_c})),
        "modelled_c": pond.modelled_c,
        "taught": pond.taught.as_ref().map(|taught| json!({
            "wind_said": taught.wind_said,
            "wind": band(&taught.wind),
            "off_c": taught.off_c(),
            "readings": taught.met.iter().map(|met| json!({"at": units::Zone::utc().stamp(met.at), "depth_m": met.depth_m, "read_c": met.read_c, "expected_c": met.expected_c, "sd_c": met.sd_c})).collect::<Vec<_>>(),
        })),
        "lead_hours": pond.lead_h,
        "lead_told": pond.lead_told,
        "count": band(&pond.count),
        "mean_weight_g": band(&pond.mean_weight_g),
        "in_pond": in_pond(&pond.stock),
        "mass_kg": band(&pond.mass_kg),
        "feed_kg": band(&pond.feed.kg),
        "feed": words::feed::today(&pond.feed, words::figures::Manner::Metric),
        "oxygen_dawn_mg_l": pond.oxygen.told.as_ref().map(|told| band(&told.mg_l)),
        "oxygen": words::oxygen::tonight(&pond.oxygen, on, words::figures::Manner::Metric),
        "ammonia": words::chemistry::today(&pond.chemistry),
        "planned": pond.planned.map(|p| json!({"start": at(p.start), "catch_day": p.catch_day.to_string(), "second_day": p.second_day.map(|d| d.to_string())})),
        "in_hand_h": {"likely": pond.in_hand_likely_h, "one_in_ten": pond.in_hand_one_in_ten_h},
        "free_until": pond.free_until.map(at),
        "still_out_until": pond.still_out_until.map(at),
        "mark_chance": pond.mark_chance,
        "dawns": pond.dawns.iter().map(|d| json!({"date": d.day.to_string(), "water_c": band(&d.water_c), "coldest_c": d.coldest_c, "mark_chance": d.mark_chance, "slow_chance": d.slow_chance})).collect::<Vec<_>>(),
        "days": pond.days.iter().map(|d| json!({
            "date": d.day.to_string(), "start": at(d.start), "worth_mean": d.worth_mean / coins, "worth_p05": d.worth_p05 / coins,
            "loss_chance": d.loss_chance, "mark_chance": d.mark_chance, "cold_cost": d.cold_cost / coins,
            "mean_weight_g": d.mean_weight_g, "caught_kg": d.caught_kg,
        })).collect::<Vec<_>>(),
    })
}

fn task_value(task: &TaskKind) -> Value {
    match task {
        TaskKind::StartDown { pond, has_drain, pumps, catch_day } => {
            json!({"start_down": pond, "open_drain": has_drain, "pumps": pumps, "catch_day": catch_day.to_string()})
        }
        TaskKind::GoesDown { pond } => json!({"goes_down_without_a_day": pond}),
        TaskKind::OrderIce { kg, for_day } => json!({"order_ice_kg": kg, "for": for_day.to_string()}),
        TaskKind::FetchFuel { pond, fuel_l } => json!({"fetch_fuel_l": fuel_l, "for": pond}),
        TaskKind::BookColdRoom { for_day } => json!({"book_cold_room_for": for_day.to_string()}),
        TaskKind::Tell { for_day } => json!({"tell_people_of": for_day.to_string()}),
        TaskKind::Seine { pond } => json!({"seine": pond}),
        TaskKind::NewForecast { age_h } => json!({"new_forecast": true, "age_h": age_h}),
        TaskKind::ReadWater { pond } => json!({"read_water": pond}),
    }
}

fn note(note: &Note) -> Value {
    match note {
        Note::Assumed { key, of, value } => json!({"assumed": key, "of": of, "value": value}),
        Note::YearsLeftOut(many) => json!({"past_seasons_left_out": many}),
        Note::SeasonNotSeen { last } => json!({"record_ends": last.to_string()}),
        Note::NoForecast => json!({"no_forecast": true}),
        Note::ReadingAhead { pond, on } => json!({"reading_ahead": pond, "date": on.to_string()}),
        Note::Overflowed { pond, on } => json!({"ran_over": pond, "date": on.to_string()}),
        Note::ForecastFar { day, said_c, usual_c } => {
            json!({"forecast_far": {"date": day.to_string(), "said_c": said_c, "usual_c": usual_c}})
        }
        Note::OldForecast { age_h } => json!({"forecast_age_h": age_h}),
        Note::Left { pond, by } => {
            json!({"left": pond, "by": by.iter().map(words::morning::limit_words).collect::<Vec<_>>()})
        }
        Note::GoesDownBy { pond, has_drain, pumps } => {
            json!({"goes_down_by": {"pond": pond, "drain": has_drain, "pumps": pumps}})
        }
        Note::Yielded { kept, asked } => json!({"limits_kept_in": kept, "asked": asked}),
        Note::ReadingFar { pond, off_c } => json!({"reading_far": pond, "off_c": off_c}),
        Note::CannotBeSaved { pond } => json!({"cannot_be_saved": pond}),
    }
}

/// What is in a pond, from all that was recorded of its animals.
fn in_pond(of: &InPond) -> Value {
    let size = |size: &SizeBand| {
        let to = size.to_g.is_finite().then_some(size.to_g);
        json!({"from_g": size.from_g, "to_g": to, "number_fraction": band(&size.number_fraction),
            "weight_fraction": band(&size.weight_fraction)})
    };
    let sample = |sample: &SampleMet| {
        json!({"on": sample.on.to_string(), "mean_weight_g": sample.seen_g, "counted": sample.counted,
            "expected_g": band(&sample.expected_g)})
    };
    let crop = |crop: &CropMet| {
        let [number, weight_g, mass_kg] = &crop.expected;
        json!({"stocked": crop.stocked.to_string(), "out": crop.out.to_string(), "stocked_count": crop.stocked_count,
            "came_kg": crop.came_kg, "came_count": crop.came_count, "came_g": crop.came_g, "expected_number": band(number),
            "expected_weight_g": band(weight_g), "expected_mass_kg": band(mass_kg), "seen": crop.is_seen})
    };
    let forms = ["virgin_female", "reproductive_female", "orange_claw", "small_male", "blue_claw"];
    let shares: serde_json::Map<String, Value> =
        forms.iter().zip(&of.forms).map(|(name, (_, share))| ((*name).to_owned(), band(share))).collect();
    json!({
        "number": band(&of.number), "mean_weight_g": band(&of.mean_weight_g), "mass_kg": band(&of.mass_kg),
        "growth_factor": band(&of.growth_factor), "alive_fraction": band(&of.alive_fraction), "plan_stands_on_it": of.is_seen,
        "sizes": of.sizes.iter().map(size).collect::<Vec<_>>(), "forms": shares,
        "samples": of.samples.iter().map(sample).collect::<Vec<_>>(),
        "looks": of.looks.0, "dead_seen": of.looks.1, "feeds": of.feeds, "crops_taught": of.crops_taught,
        "crops": of.crops.iter().map(crop).collect::<Vec<_>>(),
    })
}
