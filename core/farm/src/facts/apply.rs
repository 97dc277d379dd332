//! What was recorded, laid into the farm that the engine reads.

use std::collections::BTreeMap;

use units::Day;

use super::{BEFORE_STOCKING_D, Entry, Kept, current};
use crate::chore::Chore;
use crate::farm::Farm;
use crate::pond_card::{Caught, ChemistryRead, DeadSeen, Fed, FeedLeft, OxygenRead, PondCard, Reading, Sample, Seen};

/// Depth of a thermometer that was not told, m: the default of `log.depth`, 18 in.
pub const DEPTH_NOT_TOLD_M: f64 = 0.4572;

/// The farm with all that was recorded since its file was written: thermometer readings, weighed samples, dead seen, feed left, what was seen of light
/// and level, and the days that the plan accepted last has told and ordered for. A fork and an entry that was struck out are left out until a person settles them: one reading fewer costs little, a
/// mistyped one much. Facts of ponds that the farm does not have change nothing.
pub fn apply(farm: &Farm, facts: &[Kept]) -> Farm {
    let mut farm = farm.clone();
    let entries = current(facts);
    let mut by_pond: BTreeMap<&str, Vec<&Kept>> = BTreeMap::new();
    for kept in entries.iter().filter_map(Entry::settled) {
        if let Some(pond) = kept.fact.pond() {
            by_pond.entry(pond).or_default().push(kept);
        }
    }
    let accepted = entries.iter().filter_map(Entry::settled).filter(|kept| kept.fact.kind == "plan_accepted");
    let accepted = accepted.max_by_key(|kept| kept.seq);
    let told = accepted.map(|kept| kept.fact.text("catches").unwrap_or_default());
    let zone = farm.place.zone.clone();
    let accepted_on = accepted.map(|kept| zone.day_and_second(kept.fact.happened.at).0);
    for pond in &mut farm.ponds {
        for kept in by_pond.get(pond.id.as_str()).into_iter().flatten() {
            let day = zone.day_and_second(kept.fact.happened.at).0;
            // Of animals that were in the pond before, and came out.
            let of_these =
                day >= pond.stocking.on.plus(if kept.fact.kind == "reading" { -BEFORE_STOCKING_D } else { 0 });
            if !of_these {
                continue;
            }
            match kept.fact.kind.as_str() {
                "reading" => reading(pond, kept, day),
                "sample" => sample(pond, kept, day),
                "deaths" => dead(pond, kept, day),
                "overflow" => pond.overflowed.push(day),
                "feed" => fed(pond, kept, day),
                "watch" => let_go(pond, kept),
                "chore" => pond.done.extend(kept.fact.text("chore").and_then(Chore::parse).map(|chore| (chore, day))),
                _ => {}
            }
        }
        pond.announced = told.map(|told| caught_on(told, &pond.id)).unwrap_or_default();
        pond.announced.retain(|&day| day > pond.stocking.on);
        pond.announced_on = accepted_on;
        pond.readings.sort_by_key(|reading| reading.at);
        pond.oxygen.sort_by_key(|read| read.at);
        pond.chemistry.sort_by_key(|read| read.at);
        pond.done.sort_by_key(|done| done.1);
        pond.samples.sort_by_key(|sample| sample.on);
        pond.dead.sort_by_key(|dead| dead.on);
        pond.overflowed.sort_unstable();
        pond.fed.sort_by_key(|fed| fed.on);
    }
    farm
}

/// A pond's days in what an accepted plan says of its catches; what cannot be read says nothing.
fn caught_on(told: &str, pond: &str) -> Vec<Day> {
    let words = told.split(',').map(|one| one.split_whitespace());
    let of_pond = words.filter_map(|mut words| (words.next() == Some(pond)).then_some(words));
    of_pond.flatten().filter_map(Day::parse).collect()
}

/// The farm's own file as it holds now: the last one recorded, and the last of a fork.
pub fn farm_text(facts: &[Kept]) -> Option<&str> {
    farm_said(facts).map(|(_, text)| text)
}

/// The farm's own file as it holds now, with the number under which it was taken.
pub fn farm_said(facts: &[Kept]) -> Option<(i64, &str)> {
    let entries = current(facts);
    let heads = entries.iter().filter(|entry| entry.first.fact.kind == "farm").flat_map(|entry| entry.heads.iter());
    let last = heads.filter(|head| !head.fact.strikes()).max_by_key(|head| head.seq)?;
    last.fact.typed.get("text").map(|text| (last.seq, text.as_str()))
}

/// Since when its water goes down: the first opening since it was last shut. Held water goes on down later.
fn let_go(pond: &mut PondCard, kept: &Kept) {
    match kept.fact.text("opened") {
        Some("opened") => pond.draining_since = pond.draining_since.or(Some(kept.fact.happened.at)),
        Some("shut") => (pond.draining_since, pond.draining_read) = (None, None),
        _ => {}
    }
    let at = kept.fact.happened.at;
    let is_newer =
        pond.draining_since.is_some_and(|since| since <= at) && pond.draining_read.is_none_or(|(read, _)| read <= at);
    if let Some(below_m) = kept.fact.values.get("stage").copied().filter(|_| is_newer) {
        pond.draining_read = Some((at, below_m));
    }
}

fn reading(pond: &mut PondCard, kept: &Kept, day: Day) {
    let value = |name: &str| kept.fact.values.get(name).copied();
    if let Some(temp_c) = value("temperature") {
        let depth_m = value("depth").unwrap_or(DEPTH_NOT_TOLD_M);
        pond.readings.push(Reading { at: kept.fact.happened.at, place: kept.fact.end(), depth_m, temp_c });
    }
    if let Some(mg_l) = value("oxygen") {
        let depth_m = value("depth").unwrap_or(DEPTH_NOT_TOLD_M);
        pond.oxygen.push(OxygenRead { at: kept.fact.happened.at, mg_l, depth_m });
    }
    let (ph, ammonia_mg_l, nitrite_mg_l) = (value("ph"), value("ammonia"), value("nitrite"));
    if ph.is_some() || ammonia_mg_l.is_some() || nitrite_mg_l.is_some() {
        let (at, temp_c) = (kept.fact.happened.at, value("temperature"));
        pond.chemistry.push(ChemistryRead { at, ph, ammonia_mg_l, nitrite_mg_l, temp_c });
    }
    pond.done.extend(ammonia_mg_l.map(|_| (Chore::Tests, day)));
    pond.done.extend(value("secchi").map(|_| (Chore::Secchi, day)));
    if value("secchi").is_some() || value("stage").is_some() {
        // What held all season now holds from the day of stocking to the first day something else was seen.
        for row in pond.seen.iter_mut().filter(|row| row.on.is_none()) {
            row.on = Some(pond.stocking.on);
        }
        let at = pond.seen.iter().position(|row| row.on == Some(day)).unwrap_or_else(|| {
            let before = pond.seen.partition_point(|row| row.on < Some(day));
            let row = between(&pond.seen, before, day);
            pond.seen.insert(before, row);
            before
        });
        let row = &mut pond.seen[at];
        row.secchi_m = value("secchi").unwrap_or(row.secchi_m);
        row.below_full_m = value("stage").map_or(row.below_full_m, |stage_m| stage_m.max(0.0));
    }
}

/// What the rows on both sides say of a day: linear between them, held beyond.
fn between(rows: &[Seen], before: usize, day: Day) -> Seen {
    let (left, right) = (before.checked_sub(1).and_then(|at| rows.get(at)), rows.get(before));
    let (left, right) = match (left, right) {
        (Some(left), Some(right)) => (left, right),
        (Some(one), None) | (None, Some(one)) => (one, one),
        (None, None) => return Seen { on: Some(day), secchi_m: 0.4, plants: 0.0, below_full_m: 0.0 },
    };
    let days = |row: &Seen| f64::from(row.on.map_or(day.0, |on| on.0));
    let span_d = days(right) - days(left);
    let part = if span_d > 0.0 { (f64::from(day.0) - days(left)) / span_d } else { 0.0 };
    let mix = |from: f64, to: f64| from + part * (to - from);
    Seen {
        on: Some(day),
        secchi_m: mix(left.secchi_m, right.secchi_m),
        plants: mix(left.plants, right.plants),
        below_full_m: mix(left.below_full_m, right.below_full_m),
    }
}

fn sample(pond: &mut PondCard, kept: &Kept, day: Day) {
    let value = |name: &str| kept.fact.values.get(name).copied();
    if let (Some(mean_weight_g), Some(counted)) = (value("mean_weight"), value("counted")) {
        let by = match kept.fact.text("caught_by") {
            Some("seine") => Caught::Seine,
            Some("cast net") => Caught::CastNet,
            Some("trap") => Caught::Trap,
            Some("hand") => Caught::Hand,
            _ => Caught::NotTold,
        };
        let orange_and_others =
            value("orange_claws").zip(value("others")).map(|(orange, others)| (orange as u32, others as u32));
        pond.samples.push(Sample {
            on: day,
            mean_weight_g,
            counted: counted as u32,
            error_fraction: value("error_fraction"),
            by,
            orange_and_others,
            is_of_file: false,
        });
    }
}

/// A look for dead animals.
fn dead(pond: &mut PondCard, kept: &Kept, day: Day) {
    pond.dead.extend(kept.fact.values.get("deaths").map(|&count| DeadSeen { on: day, count }));
}

/// A feed, where somebody saw what was left.
fn fed(pond: &mut PondCard, kept: &Kept, day: Day) {
    let left = match kept.fact.text("left") {
        Some("none") => FeedLeft::None,
        Some("some") => FeedLeft::Some,
        Some("most") => FeedLeft::Most,
        _ => return,
    };
    pond.fed.extend(kept.fact.values.get("feed").map(|&kg| Fed { on: day, given_kg: kg, left }));
}
