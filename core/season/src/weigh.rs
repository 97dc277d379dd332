//! From water to a decision: animals, money, limits, what could be foreseen, and the choice.

use ensemble::DayTable;
use farm::Farm;
use plan::{Decision, Learn, Settings, decide};
use units::{Day, Instant, Watch};
use weather::{Members, Place};

use crate::binding::{Bound, bound};
use crate::drawn::Drawn;
use crate::foresee::{Foreseen, SignalPond, signals};
use crate::limits::{Setting, limits, work_starts};
use crate::outlook::{MorningAsk, OutlookError};
use crate::response::{Response, StepInputs, of_year};
use crate::tables::{TablePond, cells, tables};
use crate::worth::Streams;
use crate::yielding::{Yielded, made_to_yield};

/// Looks of a morning's search for dates. A farm of four ponds needs a fiftieth of them; where a dozen share few hands the search may end
/// before the best is proved, and the answer says so.
const MORNING_LOOKS: u64 = 120_000_000;

/// The decision with the tables it was made from.
pub struct Weighed {
    /// Cells by pond, day, member.
    pub cells: crate::tables::Cells,
    /// The decision.
    pub decision: Decision,
    /// The tables.
    pub tables: plan::Tables,
    /// The limits.
    pub limits: plan::Limits,
    /// Names of the signals.
    pub signals: Vec<String>,
    /// What binds.
    pub bound: Bound,
    /// How far a day's limits had to yield so that no pond is given up.
    pub yielded: Option<Yielded>,
}

/// Weighs the morning: cells, tables, limits and signals, and from them the decision.
pub fn weigh(ask: &MorningAsk, drawn: &Drawn, watch: &Watch) -> Result<Weighed, OutlookError> {
    let Drawn { ponds, tables_by_pond, hidden, members, library, rain, days, .. } = drawn;
    let days = *days;
    let farm = ask.farm;
    let table_ponds: Vec<TablePond> = ponds
        .iter()
        .enumerate()
        .map(|(p, pond)| TablePond {
            card: &pond.card,
            today: pond.today(ask.on),
            table: &tables_by_pond[p],
            hidden: &hidden[p],
        })
        .collect();
    let streams = Streams::of(farm, crop_kg(&table_ponds, farm.choices.keep_level));
    let cells = cells(farm, &table_ponds, &streams, days);
    let tables_at = |keep: f64| tables(&table_ponds, &streams, &cells, farm.choices.cold_mark_c, keep);
    let mut tables = tables_at(farm.choices.keep_level);
    let setting_ponds: Vec<_> = ponds.iter().map(|pond| (pond.index, pond.model.ways.clone())).collect();
    let (first_light, daylight_hours) = light(farm, &ask.past.place, ask.on, days);
    let mut limits = limits(
        farm,
        &Setting {
            today: ask.on,
            now_hour: ask.now_hour,
            days,
            first_light,
            daylight_hours,
            ponds: &setting_ponds,
            rain,
        },
    );
    let yielded = made_to_yield(&mut limits, &mut tables, &tables_at, watch);
    let (signals, guard_signals) = foresee(ask, drawn);
    let settings = Settings {
        guard_chance: farm.choices.guard_chance,
        guard_signals,
        // The farm's weight is 1 for plain expected value; the plan's is what comes on top of that.
        risk_weight: farm.choices.risk_weight - 1.0,
        groups: (0..members.len())
            .map(|member| (members.donor(member, 0).library_day / library.window().n_days) as u32)
            .collect(),
        looks_most: if ask.until_proved { plan::LOOKS_MOST } else { MORNING_LOOKS },
        ..Settings::default()
    };
    let yesterday = ask.yesterday.map(|decision| plan::Yesterday { decision, days_since: 1 });
    let decision = decide(&tables, &signals, &limits, &settings, Learn::Now, yesterday.as_ref(), watch)
        .map_err(OutlookError::Plan)?;
    let names = signals.kinds().iter().map(|kind| kind.key.clone()).collect();
    let bound = bound(&tables, &limits, &decision.fixed_dates, &settings, watch);
    Ok(Weighed { cells, decision, tables, limits, signals: names, bound, yielded })
}

/// What could be foreseen on each morning, and the signals the guard watches.
fn foresee(ask: &MorningAsk, drawn: &Drawn) -> (plan::Signals, Vec<Option<usize>>) {
    let Drawn { ponds, tables_by_pond, members, days, .. } = drawn;
    let days = *days;
    let responses = responses(tables_by_pond, members, days);
    let signal_ponds: Vec<SignalPond> = ponds
        .iter()
        .zip(tables_by_pond)
        .zip(&responses)
        .map(|((pond, table), response)| SignalPond {
            table,
            response,
            out_days: (f64::from(pond.model.ways[0].lead_hours) / 24.0).ceil() as usize,
        })
        .collect();
    let foreseen = Foreseen {
        ponds: &signal_ponds,
        members,
        forecast: &drawn.forecast,
        skill: &drawn.skill,
        climate: &drawn.climate,
        cold_mark_c: ask.farm.choices.cold_mark_c,
        follow_mark_c: ask.farm.choices.follow_mark_c,
    };
    let mornings = days.min(members.n_mornings());
    signals(&foreseen, mornings)
}

/// The crop's mass for sharing it out among forms: the most that the ponds will hold before the season ends, kept in the share of
/// futures the grower set, so that promised forms do not overflow. More than that goes to the last form.
fn crop_kg(ponds: &[TablePond], keep_level: f64) -> f64 {
    const EVERY_DAYS: usize = 5;
    let members = ponds.first().map_or(0, |pond| pond.hidden.len());
    let most = |pond: &TablePond, member: usize| {
        let (today, table) = (&pond.today, pond.table);
        let (mut warm_days, mut most) = (today.warm_days, 0.0_f64);
        for day in 0..table.days() {
            if day % EVERY_DAYS == 0 {
                let days = today.days + day as f64;
                most = most.max(today.crop.standing(warm_days, days, 0.0, &pond.hidden[member]).mass_kg);
            }
            warm_days += table.at(day, member).warm_days;
        }
        most
    };
    let mut sums: Vec<f64> = (0..members).map(|member| ponds.iter().map(|pond| most(pond, member)).sum()).collect();
    sums.sort_by(f64::total_cmp);
    let place = ((keep_level * members as f64).ceil() as usize).clamp(1, members.max(1)) - 1;
    sums.get(place).copied().unwrap_or(0.0)
}

/// First light by day as a clock hour, and hours of light from then on.
pub fn light(farm: &Farm, place: &Place, today: Day, days: usize) -> (Vec<i32>, Vec<f64>) {
    (0..days as i32)
        .map(|day| {
            let day = today.plus(day);
            let noon = weather::sun::solar_noon(day, place);
            let length_h = weather::sun::day_length_h(place.latitude_deg, day.day_of_year());
            // Civil twilight adds about half an hour to either end in middle latitudes.
            let dawn = Instant(noon.0 - ((0.5 * length_h + 0.5) * 3600.0) as i64);
            let (_, second) = place.zone.day_and_second(dawn);
            let first = work_starts(farm, f64::from(second) / 3600.0);
            let dusk_h = f64::from(second) / 3600.0 + length_h + 1.0;
            (first, (dusk_h - f64::from(first)).max(1.0))
        })
        .unzip()
}

/// How each pond's dawns follow the air, from the members' own water.
pub fn responses(tables: &[DayTable], members: &Members, days: usize) -> Vec<Response> {
    let place: Vec<[f64; 2]> = (0..days).map(|day| of_year(members.today().plus(day as i32))).collect();
    tables
        .iter()
        .map(|table| {
            let mut steps = Vec::with_capacity(members.len() * days);
            for member in 0..members.len() {
                for day in 1..days {
                    let step = StepInputs {
                        of_year: place[day],
                        dawn_before_c: f64::from(table.dawns_c(day - 1)[member]),
                        high_before_c: members.low_high_c(member, day - 1).high,
                        low_c: members.low_high_c(member, day).low,
                    };
                    steps.push((step, f64::from(table.dawns_c(day)[member])));
                }
            }
            Response::fit(&steps).unwrap_or_else(Response::nothing_known)
        })
        .collect()
}
