//! This morning's question: where does each pond stand, what comes, and which comes out when?
//!
//! The order is the flow of trust: past and forecast make members, members make water, water makes animals, animals make money,
//! money under the farm's limits makes a decision.

use ensemble::{DayTable, MembersAir, PondRun, Start, run};
use farm::{Farm, PondCard};
use plan::{Decision, Learn, Settings, decide};
use stock::{Crop, Hidden, StockParams, Stocking};
use units::{Day, Instant, Watch};
use weather::{
    Climate, DailyForecast, ForecastSkill, IssuedForecast, Library, MemberNews, Members, Morning, Past, SeasonWindow,
};

use crate::answer::{ForecastUsed, Note, Outlook};
use crate::binding::{Bound, bound};
use crate::foresee::{Foreseen, SignalPond, signals};
use crate::hidden::{Known, WeighedSample, animals, wind_factor};
use crate::limits::{RainChances, Setting, limits, work_starts};
use crate::lived::{Lived, ground, live, nudge, schedule};
use crate::past::{FarmPast, PastError};
use crate::ponds::{PondModel, PondModelError, pond_model};
use crate::report::{Reporting, report};
use crate::response::{Response, StepInputs};
use crate::tables::{TablePond, cells, tables};
use crate::worth::{PondToday, Streams};

/// What is asked this morning.
pub struct MorningAsk<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its past.
    pub past: &'a FarmPast,
    /// The morning.
    pub on: Day,
    /// The clock hour taken for "now".
    pub now_hour: i32,
    /// The forecast, if there is one.
    pub forecast: Option<&'a IssuedForecast>,
    /// How many members.
    pub members: usize,
    /// Yesterday's decision, for what changed.
    pub yesterday: Option<&'a Decision>,
}

/// Why a morning cannot be answered.
#[derive(Debug, Clone, PartialEq)]
pub enum OutlookError {
    /// The past cannot be used.
    Past(PastError),
    /// A pond cannot be run.
    Pond(PondModelError),
    /// Every pond is out.
    NothingLeft,
    /// The morning lies after the last day on which a pond may be caught.
    SeasonOver {
        /// That last day.
        last_catch: Day,
    },
    /// The morning lies before a pond was stocked.
    BeforeStocking {
        /// The pond's name.
        pond: String,
        /// When it was stocked.
        on: Day,
    },
    /// Members cannot be drawn.
    Members(weather::MembersError),
    /// The tables and limits do not fit each other.
    Plan(plan::DecideFault),
    /// Somebody asked to stop.
    Stopped,
}

/// Days of library before today and after the season's end: joins reach ten days to either side.
const LIBRARY_MARGIN_DAYS: i32 = 12;
/// Longest stretch planned for, days.
const DAYS_MOST: i32 = 120;

/// Answers the morning.
pub fn outlook(ask: &MorningAsk, watch: &Watch) -> Result<Outlook, OutlookError> {
    let (farm, past, on) = (ask.farm, ask.past, ask.on);
    let in_water = ponds_in_water(farm, on)?;
    let last = Day(farm.season.last_catch.0.min(on.0 + DAYS_MOST));
    if last < on {
        return Err(OutlookError::SeasonOver { last_catch: last });
    }
    let climate = past.climate(on).map_err(OutlookError::Past)?;
    let (skill, forecast) = forecast_in_use(ask, &climate);
    let window = window(on, last, &skill);
    let (library, left_out) = past.library(window, Some(on)).map_err(OutlookError::Past)?;
    let members = draw_members(ask, &climate, &skill, &forecast, &library, last)?;
    let ponds = stand(ask, &climate, &in_water)?;
    let days = (last.0 - on.0 + 1) as usize;
    let tables_by_pond = water(ask, &climate, &ponds, &members, &library, days, watch).ok_or(OutlookError::Stopped)?;
    let hidden = hidden_values(past.seed, ask.members, &ponds);
    let rain = ponds.iter().map(|pond| rain_chances(pond.card, &members, &library, days)).collect::<Vec<_>>();
    let answer = weigh(
        ask,
        &climate,
        &ponds,
        &tables_by_pond,
        &hidden,
        &members,
        &library,
        &forecast,
        &skill,
        &rain,
        days,
        watch,
    )?;
    let mut notes = notes(ask, left_out, &ponds, &climate);
    notes.extend(farm.assumed.iter().map(|assumed| Note::Assumed {
        key: assumed.key.to_owned(),
        of: assumed.of.clone(),
        value: assumed.value.clone(),
    }));
    Ok(report(&Reporting {
        ask,
        ponds: &ponds,
        tables_by_pond: &tables_by_pond,
        hidden: &hidden,
        weighed: &answer,
        library: &library,
        forecast_used: ask
            .forecast
            .map(|issued| used(issued, &forecast, past.place.day_start(on).plus_hours(i64::from(ask.now_hour)))),
        notes,
        days,
    }))
}

fn used(issued: &IssuedForecast, daily: &DailyForecast, now: Instant) -> ForecastUsed {
    ForecastUsed {
        issued: issued.issued,
        age_h: (now.0 - issued.issued.0) as f64 / 3600.0,
        last_day: daily.issued.plus(daily.days.len() as i32 - 1),
    }
}

/// A pond this morning, with all that was needed to say so.
pub struct Standing<'a> {
    /// Its place among the farm's ponds.
    pub index: usize,
    /// As its grower knows it.
    pub card: &'a PondCard,
    /// Ready to run.
    pub model: PondModel,
    /// Its season so far.
    pub lived: Lived,
    /// How far the latest reading lay from the model, K, when there was one.
    pub reading_off_c: Option<f64>,
    /// Its animals.
    pub crop: Crop,
    /// Rate of death of the usual animal, per day.
    pub hazard_per_d: f64,
    /// Samples and told figures.
    pub known: Known,
}

impl Standing<'_> {
    /// As the valuer needs it.
    pub fn today(&self, on: Day) -> PondToday {
        PondToday {
            crop: self.crop.clone(),
            warm_days: self.lived.warm_days.last().copied().unwrap_or(0.0),
            days: f64::from(on.0 - self.card.stocking.on.0),
            depths: self.model.depths,
            lead_h: f64::from(self.model.ways[0].lead_hours),
            lead_fuel_l: self.model.lead_fuel_l,
        }
    }
}

fn ponds_in_water(farm: &Farm, on: Day) -> Result<Vec<usize>, OutlookError> {
    let in_water: Vec<usize> =
        (0..farm.ponds.len()).filter(|&pond| farm.ponds[pond].harvested.is_none_or(|day| day > on)).collect();
    if in_water.is_empty() {
        return Err(OutlookError::NothingLeft);
    }
    match in_water.iter().map(|&pond| &farm.ponds[pond]).find(|card| card.stocking.on > on) {
        Some(card) => Err(OutlookError::BeforeStocking { pond: card.name.clone(), on: card.stocking.on }),
        None => Ok(in_water),
    }
}

/// The forecast as days in a row, and how good such a one is believed to be.
fn forecast_in_use(ask: &MorningAsk, climate: &Climate) -> (ForecastSkill, DailyForecast) {
    let believed = ForecastSkill::default_daily();
    let said = ask.forecast.and_then(|issued| {
        let first = ask.past.place.standard_day(issued.issued).0.min(ask.on);
        DailyForecast::of(&issued.days, first, climate)
    });
    match said {
        Some(daily) => (believed.first_leads(daily.days.len()), daily),
        None => {
            // Nothing said: a forecast of the climate's own middle, known to see nothing.
            let sd = believed.anomaly_sd_c();
            let blind = ForecastSkill::new(vec![sd], sd, 0.0).expect("one lead, as wrong as the climate itself");
            (blind, DailyForecast { issued: ask.on, days: vec![climate.mean_c(ask.on)] })
        }
    }
}

/// The part of each past year that members may walk through.
pub fn window(on: Day, last: Day, skill: &ForecastSkill) -> SeasonWindow {
    let mut first = on.plus(-LIBRARY_MARGIN_DAYS);
    // Days after the 28th do not stand in every month.
    while first.ymd().2 > 28 {
        first = first.plus(-1);
    }
    let (_, month, day) = first.ymd();
    let n_days = last.0 - first.0 + 1 + skill.n_leads() as i32 + LIBRARY_MARGIN_DAYS;
    SeasonWindow { month, day, n_days: n_days as usize }
}

fn draw_members(
    ask: &MorningAsk,
    climate: &Climate,
    skill: &ForecastSkill,
    forecast: &DailyForecast,
    library: &Library,
    last: Day,
) -> Result<Members, OutlookError> {
    let known = Past::new(library, climate, Some(ask.on));
    let morning = Morning { today: ask.on, last, forecast, skill, climate, library, past: &known, seed: ask.past.seed };
    let ids = 0..ask.members as u32;
    let news = MemberNews::new(ask.past.seed, ids.clone(), climate, skill, forecast.issued, last);
    Members::draw(&morning, ids, &news).map_err(OutlookError::Members)
}

/// Each pond's season so far, drawn to its readings and samples.
fn stand<'a>(ask: &MorningAsk<'a>, climate: &Climate, in_water: &[usize]) -> Result<Vec<Standing<'a>>, OutlookError> {
    in_water
        .iter()
        .map(|&index| {
            let card = &ask.farm.ponds[index];
            let model = pond_model(ask.farm, card).map_err(OutlookError::Pond)?;
            let mut lived = live(ask.past, climate, card, &model, ask.on);
            let reading_off_c = settle(&mut lived, card, &model, ask, climate);
            let params = StockParams::default();
            let stocking = Stocking {
                count: card.stocking.count,
                weight_g: card.stocking.mean_weight_g,
                per_ha: card.stocking.count / (card.shape.area_m2 / 10_000.0),
                substrate_fraction: card.substrate,
            };
            let samples = card
                .samples
                .iter()
                .filter(|sample| sample.on <= ask.on)
                .filter_map(|sample| {
                    let day = usize::try_from(sample.on.0 - card.stocking.on.0).ok()?;
                    let warm_days = *lived.warm_days.get(day)?;
                    Some(WeighedSample { warm_days, mean_weight_g: sample.mean_weight_g, counted: sample.counted })
                })
                .collect();
            let season_days = f64::from(ask.farm.season.last_catch.0 - card.stocking.on.0).max(1.0);
            let survival_told = ask.farm.season.survival_told.map(|alive| (alive, season_days.min(110.0)));
            Ok(Standing {
                index,
                card,
                crop: Crop::new(&stocking, &params),
                hazard_per_d: params.survival.hazard_per_d(card.stocking.mean_weight_g),
                known: Known { samples, survival_told },
                model,
                lived,
                reading_off_c,
            })
        })
        .collect()
}

fn settle(lived: &mut Lived, card: &PondCard, model: &PondModel, ask: &MorningAsk, climate: &Climate) -> Option<f64> {
    let midnight_c = {
        let ground = ground(climate, model);
        let schedule = schedule(card, model, &ground, ask.on, 1);
        lived.water.bottom_mean(schedule.stage(0))
    };
    nudge(lived, card, ask.past, ask.on, midnight_c)
}

/// Every pond's water under every member, day by day.
fn water(
    ask: &MorningAsk,
    climate: &Climate,
    ponds: &[Standing],
    members: &Members,
    library: &Library,
    days: usize,
    watch: &Watch,
) -> Option<Vec<DayTable>> {
    let grounds: Vec<_> = ponds.iter().map(|pond| ground(climate, &pond.model)).collect();
    let schedules: Vec<_> = ponds
        .iter()
        .zip(&grounds)
        .map(|(pond, ground)| schedule(pond.card, &pond.model, ground, ask.on, days))
        .collect();
    let winds: Vec<Vec<f64>> = ponds
        .iter()
        .map(|pond| {
            let of = |member| wind_factor(ask.past.seed, member, pond.index, &pond.card.wind_factor);
            (0..ask.members as u32).map(of).collect()
        })
        .collect();
    let runs: Vec<PondRun> = ponds
        .iter()
        .enumerate()
        .map(|(p, pond)| PondRun {
            basin: &pond.model.basin,
            schedule: &schedules[p],
            start: Start::Water(&pond.lived.water),
            wind_factor: &winds[p],
        })
        .collect();
    let (hours, _) = run(&runs, &MembersAir { members, library }, 24 * days, watch)?;
    let dawn_hour = ask.past.dawn_hour(ask.on);
    Some(
        hours
            .iter()
            .zip(ponds)
            .map(|(hours, pond)| DayTable::from_hours(hours, dawn_hour, &pond.lived.tally))
            .collect(),
    )
}

fn hidden_values(seed: u64, members: usize, ponds: &[Standing]) -> Vec<Vec<Hidden>> {
    ponds
        .iter()
        .map(|pond| {
            let of = |member| animals(seed, member, pond.index, &pond.crop, pond.hazard_per_d, &pond.known);
            (0..members as u32).map(of).collect()
        })
        .collect()
}

/// What rain lets through on each coming day, over the members.
fn rain_chances(card: &PondCard, members: &Members, library: &Library, days: usize) -> RainChances {
    let rain_mm = |member: usize, day: usize| -> f64 {
        let donor = members.donor(member, day).library_day;
        (0..24).map(|hour| library.air(donor, hour).rain_mm).sum()
    };
    let closed = |by_mm: Option<f64>, for_days: u32| -> Vec<f64> {
        let Some(by_mm) = by_mm else { return Vec::new() };
        let mut open = vec![0.0; days];
        for member in 0..members.len() {
            let mut shut_until = 0;
            for (day, open) in open.iter_mut().enumerate() {
                if rain_mm(member, day) >= by_mm {
                    shut_until = day + 1 + for_days as usize;
                }
                if day >= shut_until {
                    *open += 1.0;
                }
            }
        }
        open.iter().map(|count| count / members.len() as f64).collect()
    };
    let rule = &card.after_rain;
    RainChances {
        bank_open: closed(rule.bank_closed_by_mm, rule.bank_closed_days),
        outlet_free: closed(rule.outlet_drowned_by_mm, rule.outlet_drowned_days),
    }
}

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
}

fn weigh(
    ask: &MorningAsk,
    climate: &Climate,
    ponds: &[Standing],
    tables_by_pond: &[DayTable],
    hidden: &[Vec<Hidden>],
    members: &Members,
    library: &Library,
    forecast: &DailyForecast,
    skill: &ForecastSkill,
    rain: &[RainChances],
    days: usize,
    watch: &Watch,
) -> Result<Weighed, OutlookError> {
    let farm = ask.farm;
    let table_ponds: Vec<TablePond> = ponds
        .iter()
        .enumerate()
        .map(|(p, pond)| TablePond {
            card: pond.card,
            today: pond.today(ask.on),
            table: &tables_by_pond[p],
            hidden: &hidden[p],
        })
        .collect();
    let streams = Streams::of(farm, crop_kg(&table_ponds, farm.choices.keep_level));
    let cells = cells(farm, &table_ponds, &streams, days);
    let tables = tables(&table_ponds, &streams, &cells, farm.choices.cold_mark_c, farm.choices.keep_level);
    let setting_ponds: Vec<_> = ponds.iter().map(|pond| (pond.index, pond.model.ways.clone())).collect();
    let (first_light, daylight_hours) = light(ask, days);
    let limits = limits(
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
        forecast,
        skill,
        climate,
        cold_mark_c: farm.choices.cold_mark_c,
        follow_mark_c: farm.choices.follow_mark_c,
    };
    let mornings = days.min(members.n_mornings());
    let (signals, guard_signals) = signals(&foreseen, mornings);
    let settings = Settings {
        guard_chance: farm.choices.guard_chance,
        guard_signals,
        // The farm's weight is 1 for plain expected value; the plan's is what comes on top of that.
        risk_weight: farm.choices.risk_weight - 1.0,
        groups: (0..members.len())
            .map(|member| (members.donor(member, 0).library_day / library.window().n_days) as u32)
            .collect(),
        ..Settings::default()
    };
    let yesterday = ask.yesterday.map(|decision| plan::Yesterday { decision, days_since: 1 });
    let decision = decide(&tables, &signals, &limits, &settings, Learn::Now, yesterday.as_ref(), watch)
        .map_err(OutlookError::Plan)?;
    let names = signals.kinds().iter().map(|kind| kind.key.clone()).collect();
    let bound = bound(&tables, &limits, settings.risk_weight, watch);
    Ok(Weighed { cells, decision, tables, limits, signals: names, bound })
}

/// The crop's mass for sharing it out among forms: what is kept in the share of futures the grower set, grown on for three weeks,
/// so that promised forms do not overflow. More than that goes to the last form.
fn crop_kg(ponds: &[TablePond], keep_level: f64) -> f64 {
    const GROWN_ON: f64 = 1.1;
    let members = ponds.first().map_or(0, |pond| pond.hidden.len());
    let mut sums: Vec<f64> = (0..members)
        .map(|member| {
            let mass = |pond: &TablePond| {
                let today = &pond.today;
                today.crop.standing(today.warm_days, today.days, 0.0, &pond.hidden[member]).mass_kg
            };
            ponds.iter().map(mass).sum()
        })
        .collect();
    sums.sort_by(f64::total_cmp);
    let place = ((keep_level * members as f64).ceil() as usize).clamp(1, members.max(1)) - 1;
    GROWN_ON * sums.get(place).copied().unwrap_or(0.0)
}

/// First light by day as a clock hour, and hours of light from then on.
fn light(ask: &MorningAsk, days: usize) -> (Vec<i32>, Vec<f64>) {
    let place = &ask.past.place;
    (0..days as i32)
        .map(|day| {
            let day = ask.on.plus(day);
            let noon = weather::sun::solar_noon(day, place);
            let length_h = weather::sun::day_length_h(place.latitude_deg, day.day_of_year());
            // Civil twilight adds about half an hour to either end in middle latitudes.
            let dawn = Instant(noon.0 - ((0.5 * length_h + 0.5) * 3600.0) as i64);
            let (_, second) = place.zone.day_and_second(dawn);
            let first = work_starts(ask.farm, f64::from(second) / 3600.0);
            let dusk_h = f64::from(second) / 3600.0 + length_h + 1.0;
            (first, (dusk_h - f64::from(first)).max(1.0))
        })
        .unzip()
}

/// How each pond's dawns follow the air, from the members' own water.
pub fn responses(tables: &[DayTable], members: &Members, days: usize) -> Vec<Response> {
    tables
        .iter()
        .map(|table| {
            let mut steps = Vec::with_capacity(members.len() * days);
            for member in 0..members.len() {
                for day in 1..days {
                    let step = StepInputs {
                        day: members.today().plus(day as i32),
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

fn notes(ask: &MorningAsk, left_out: usize, ponds: &[Standing], climate: &Climate) -> Vec<Note> {
    let mut notes = Vec::new();
    let first = ponds.iter().map(|pond| pond.card.stocking.on).min().unwrap_or(ask.on);
    let (_, last) = ask.past.days_lived(first, ask.on.plus(-1), climate);
    if last.is_none_or(|last| last < ask.on.plus(-2)) {
        notes.push(Note::SeasonNotSeen { last: last.unwrap_or(first.plus(-1)) });
    }
    if left_out > 0 {
        notes.push(Note::YearsLeftOut(left_out));
    }
    match ask.forecast {
        None => notes.push(Note::NoForecast),
        Some(issued) => {
            let now = ask.past.place.day_start(ask.on).plus_hours(i64::from(ask.now_hour));
            let age_h = (now.0 - issued.issued.0) as f64 / 3600.0;
            if age_h > 36.0 {
                notes.push(Note::OldForecast { age_h });
            }
        }
    }
    notes
}
