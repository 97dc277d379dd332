//! This morning's question: where does each pond stand, what comes, and which comes out when?
//!
//! The order is the flow of trust: past and forecast make members, members make water, water makes animals, animals make money,
//! money under the farm's limits makes a decision.

use ensemble::{AirSource, DayTable, MembersAir, PondRun, Ran, Start, run};
use farm::{Farm, PondCard};
use plan::Decision;
use pond::{Schedule, Water};
use stock::Hidden;
use units::{Day, Instant, LANES, Real, Watch};
use weather::{
    Climate, DailyForecast, ForecastSkill, IssuedForecast, Library, MemberNews, Members, Morning, Past, SeasonWindow,
};

use crate::answer::{ForecastUsed, Note, Outlook};
use crate::course::cuts;
use crate::drawn::{Basis, Drawn};
use crate::hidden::{animals, seen_animals, wind_factor};
use crate::limits::RainChances;
use crate::lived::{ground, schedule};
use crate::oxygen::Mixing;
use crate::past::{FarmPast, PastError};
use crate::ponds::PondModelError;
use crate::report::{Reporting, report};
use crate::standing::{Standing, ponds_in_water, stand};
use crate::weigh::weigh;

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
    /// Whether the search for dates goes on until they are proved the best, or for minutes: only for a dozen ponds and more.
    pub until_proved: bool,
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
/// Shortest part of a past year members can walk through, days: more than three times the reach of a join.
const WINDOW_LEAST_DAYS: i32 = 31;
/// Longest stretch planned for, days.
const DAYS_MOST: i32 = 120;

/// Answers the morning.
pub fn outlook(ask: &MorningAsk, watch: &Watch) -> Result<Outlook, OutlookError> {
    answer(ask, &draw(ask, watch)?, watch)
}

/// All of a morning that hands, ice, prices and choices do not change: the members' weather, every pond's water, the animals'
/// unknowns.
///
/// # Errors
/// When the morning cannot be answered or somebody asked to stop.
pub fn draw(ask: &MorningAsk, watch: &Watch) -> Result<Drawn, OutlookError> {
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
    let ponds = stand(ask, &climate, &in_water, &MembersAir { members: &members, library: &library })?;
    let days = (last.0 - on.0 + 1) as usize;
    let (tables_by_pond, mixing) =
        water(ask, &climate, &ponds, &members, &library, days, watch).ok_or(OutlookError::Stopped)?;
    let cuts = cuts(ask, &climate, &ponds, &members, &library, watch).ok_or(OutlookError::Stopped)?;
    let hidden = hidden_values(past.seed, ask.members, &ponds);
    let night_wind_m_s = night_wind(&MembersAir { members: &members, library: &library }, days);
    let rain = ponds.iter().map(|pond| rain_chances(&pond.card, &members, &library, days)).collect();
    let basis = Basis::of(ask);
    Ok(Drawn {
        basis,
        climate,
        skill,
        forecast,
        library,
        left_out,
        members,
        ponds,
        tables_by_pond,
        cuts,
        mixing,
        night_wind_m_s,
        hidden,
        rain,
        days,
    })
}

/// Answers the morning from what was drawn for it, or for another that differs in nothing drawn (see [`Drawn::fits`]). What does
/// not fit is drawn anew.
///
/// # Errors
/// As [`outlook`].
pub fn answer(ask: &MorningAsk, drawn: &Drawn, watch: &Watch) -> Result<Outlook, OutlookError> {
    if !drawn.fits(ask) {
        return answer(ask, &draw(ask, watch)?, watch);
    }
    let ponds = &drawn.ponds;
    let weighed = weigh(ask, drawn, watch)?;
    let mut notes = notes(ask, drawn.left_out, ponds, &drawn.climate);
    notes.extend(ask.farm.assumed.iter().map(|assumed| Note::Assumed {
        key: assumed.key.to_owned(),
        of: assumed.of.clone(),
        value: assumed.value.clone(),
    }));
    let now = ask.past.place.day_start(ask.on).plus_hours(i64::from(ask.now_hour));
    Ok(report(&Reporting {
        ask,
        ponds,
        tables_by_pond: &drawn.tables_by_pond,
        cuts: &drawn.cuts,
        mixing: &drawn.mixing,
        night_wind_m_s: drawn.night_wind_m_s,
        hidden: &drawn.hidden,
        weighed: &weighed,
        library: &drawn.library,
        forecast_used: ask.forecast.map(|issued| used(issued, &drawn.forecast, now)),
        notes,
        days: drawn.days,
    }))
}

fn used(issued: &IssuedForecast, daily: &DailyForecast, now: Instant) -> ForecastUsed {
    ForecastUsed {
        issued: issued.issued,
        age_h: (now.0 - issued.issued.0) as f64 / 3600.0,
        last_day: daily.issued.plus(daily.days.len() as i32 - 1),
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
    SeasonWindow { month, day, n_days: n_days.max(WINDOW_LEAST_DAYS) as usize }
}

/// Members from this morning to `last`, with the past they walk through.
pub(crate) fn drawn_members(
    ask: &MorningAsk,
    climate: &Climate,
    last: Day,
) -> Result<(Members, Library), OutlookError> {
    let (skill, forecast) = forecast_in_use(ask, climate);
    let (library, _) = ask.past.library(window(ask.on, last, &skill), Some(ask.on)).map_err(OutlookError::Past)?;
    let members = draw_members(ask, climate, &skill, &forecast, &library, last)?;
    Ok((members, library))
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

/// Hours from this midnight that are the coming night.
const NIGHT_H: std::ops::Range<usize> = 20..30;

/// Mean wind of the coming night over the members, m/s.
fn night_wind(air: &MembersAir, days: usize) -> f64 {
    let hours = NIGHT_H.start..NIGHT_H.end.min(24 * days);
    let (mut sum, mut n) = (0.0, 0.0);
    for hour in hours {
        for first in (0..air.members()).step_by(LANES) {
            let wind_m_s = air.air(first, hour).wind_m_s;
            let here = LANES.min(air.members() - first);
            sum += (0..here).map(|lane| wind_m_s.lane(lane)).sum::<f64>();
            n += here as f64;
        }
    }
    sum / n
}

/// Every pond's water under every member, day by day, and how deep it is mixed through the coming night.
fn water(
    ask: &MorningAsk,
    climate: &Climate,
    ponds: &[Standing],
    members: &Members,
    library: &Library,
    days: usize,
    watch: &Watch,
) -> Option<(Vec<DayTable>, Vec<Mixing>)> {
    let (schedules, air) = (schedules(ask, climate, ponds, days), MembersAir { members, library });
    let (hours, _) = run_ponds(ask, ponds, &schedules, &air, 24 * days, watch)?;
    let dawn_hour = ask.past.dawn_hour(ask.on);
    let mixing = hours.iter().zip(&schedules).map(|(hours, schedule)| Mixing::new(hours, schedule.stage(0)));
    let table = |(hours, pond): (_, &Standing)| DayTable::from_hours(hours, dawn_hour, &pond.lived.tally);
    Some((hours.iter().zip(ponds).map(table).collect(), mixing.collect()))
}

/// Levels, light and ground of each pond from this morning on.
pub(crate) fn schedules(ask: &MorningAsk, climate: &Climate, ponds: &[Standing], days: usize) -> Vec<Schedule> {
    let of = |pond: &Standing| schedule(&pond.card, &pond.model, &ground(climate, &pond.model), ask.on, days);
    ponds.iter().map(of).collect()
}

/// Runs the ponds from this midnight for `hours` under every member: from what their readings taught, or from the season as reckoned.
pub(crate) fn run_ponds(
    ask: &MorningAsk,
    ponds: &[Standing],
    schedules: &[Schedule],
    air: &MembersAir,
    hours: usize,
    watch: &Watch,
) -> Option<Ran> {
    let (states, winds): (Vec<_>, Vec<_>) = ponds.iter().map(|pond| members_start(ask, pond)).unzip();
    let runs: Vec<PondRun> = ponds
        .iter()
        .enumerate()
        .map(|(p, pond)| PondRun {
            basin: &pond.model.basin,
            schedule: &schedules[p],
            start: if states[p].is_empty() { Start::Water(&pond.lived.water) } else { Start::Each(&states[p]) },
            wind_factor: &winds[p],
        })
        .collect();
    run(&runs, air, hours, watch)
}

/// Each member's water at this midnight, where there is something taught; and its wind, taught or as the grower believes.
pub(crate) fn members_start(ask: &MorningAsk, pond: &Standing) -> (Vec<Water<f64>>, Vec<f64>) {
    let members = 0..ask.members;
    let taught = |member: usize| pond.taught.as_ref().map(|taught| taught.of_member(member).clone());
    let states: Vec<Water<f64>> = members.clone().filter_map(taught).collect();
    let believed = |member: usize| wind_factor(ask.past.seed, member as u32, pond.index, &pond.card.wind_factor);
    let winds =
        members.map(|member| states.get(member).map_or_else(|| believed(member), |own| own.wind_factor)).collect();
    (states, winds)
}

fn hidden_values(seed: u64, members: usize, ponds: &[Standing]) -> Vec<Vec<Hidden>> {
    ponds
        .iter()
        .map(|pond| {
            // What was caught is off the estimate's states already.
            let unseen = |member| animals(seed, member, pond.index, pond.hazard_per_d, &pond.known);
            let of = |member| match pond.is_seen {
                true => seen_animals(seed, member, &pond.estimate),
                false => pond.caught.off(&pond.crop, unseen(member)),
            };
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

fn notes(ask: &MorningAsk, left_out: usize, ponds: &[Standing], climate: &Climate) -> Vec<Note> {
    let mut notes = Vec::new();
    let first = ponds.iter().map(|pond| pond.card.stocking.on).min().unwrap_or(ask.on);
    let (_, last) = ask.past.days_lived(first, ask.on.plus(-1), climate);
    if last.is_none_or(|last| last < ask.on.plus(-2)) {
        notes.push(Note::SeasonNotSeen { last: last.unwrap_or_else(|| ask.past.last_day()) });
    }
    notes.extend(ponds.iter().filter_map(|pond| {
        let days = pond.card.readings.iter().map(|reading| ask.past.place.standard_day(reading.at).0);
        let on = days.filter(|day| *day > ask.on).min()?;
        Some(Note::ReadingAhead { pond: pond.card.name.clone(), on })
    }));
    notes.extend(ponds.iter().filter_map(|pond| {
        let on = pond.card.overflowed.iter().copied().rfind(|day| *day <= ask.on)?;
        Some(Note::Overflowed { pond: pond.card.name.clone(), on })
    }));
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
            notes.extend(far_off(issued, climate));
        }
    }
    notes
}

/// Deviations from the usual beyond which a forecast is doubted: a lifetime of days holds hardly one (normal tails).
const FORECAST_DEVIATIONS: f64 = 4.5;

/// The first value of a forecast that the place hardly knows.
fn far_off(issued: &IssuedForecast, climate: &Climate) -> Option<Note> {
    issued.days.iter().find_map(|said| {
        let (mean, sd) = (climate.mean_c(said.day), climate.sd_c(said.day));
        let far = |value: Option<f64>, usual_c: f64, sd_c: f64| {
            let said_c = value.filter(|value| (value - usual_c).abs() > FORECAST_DEVIATIONS * sd_c)?;
            Some(Note::ForecastFar { day: said.day, said_c, usual_c })
        };
        far(said.low_c, mean.low, sd.low).or_else(|| far(said.high_c, mean.high, sd.high))
    })
}
