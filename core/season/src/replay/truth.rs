//! What truly happened in every year: weather, water at every hidden wind, and what each pond would have brought on each day.

use chance::{Purpose, Stream};
use ensemble::{DayTable, Followed, KeptWater, MembersAir, PondRun, SeasonsAir, Splice, Start, WindLevels, run};
use pond::{Basin, Schedule, Water};
use stock::{Crop, DayTally, Hidden, StockParams, Stocking};
use units::{Day, Watch};
use weather::{AirSeries, Climate, DayExtremes, ForecastSkill, Library, SeasonWindow};

use super::ReplayAsk;
use super::lived_true::live_true;
use super::moved::farm_in;
use crate::lived::{ground, schedule_of};
use crate::outlook::{OutlookError, window};
use crate::ponds::{PondModel, pond_model};
use crate::tables::{Cells, TablePond, cells};
use crate::worth::{PondToday, Streams};

/// Days after the last stocking at which mornings begin: before that nobody harvests.
const FIRST_MORNING_AFTER_DAYS: i32 = 88;
/// Logarithm between the winds that water is kept at.
const WIND_STEP: f64 = 0.35;

const TRUE_HOURS: Purpose = Purpose(0x5EA5_2001);
const HIDDEN_VALUES: Purpose = Purpose(0x5EA5_2002);
const HIDDEN_POND: Purpose = Purpose(0x5EA5_2100);

/// One past year as it was.
pub struct TrueYear {
    /// The year the season began in.
    pub year: i16,
    /// First morning.
    pub first: Day,
    /// Low and high from the day before the first morning on, past the last.
    pub days: Vec<DayExtremes>,
    /// By pond and draw: the season so far at each morning.
    pub lived: Vec<Vec<LivedDraw>>,
    /// By pond: the state of the pond at the middle wind on each morning.
    pub states: Vec<Vec<Water<f64>>>,
    /// By pond and morning: animals' water at the middle wind at that midnight, °C.
    pub middle_c: Vec<Vec<f64>>,
    /// Cells by pond, day from the first morning, draw.
    pub cells: Cells,
    /// Hidden values by pond and draw.
    pub hidden: Vec<Vec<Hidden>>,
    /// Logarithm of the wind factor over the middle one, by pond and draw.
    pub wind_log: Vec<Vec<f64>>,
    /// Cold alive share by pond, day, draw of a pond left full.
    pub alive: Vec<Vec<Vec<f64>>>,
}

/// A draw's season at each morning.
#[derive(Clone)]
pub struct LivedDraw {
    /// Warm days since stocking by morning.
    pub warm_days: Vec<f64>,
    /// Animals' water at that midnight, °C.
    pub midnight_c: Vec<f64>,
    /// Habit and dose at that midnight.
    pub tally: Vec<DayTally<f64>>,
}

/// One pond's unchanging parts.
pub struct StagePond {
    /// The model.
    pub model: PondModel,
    /// Its animals.
    pub crop: Crop,
    /// Usual rate of death, per day.
    pub hazard_per_d: f64,
    /// Water of every season of the library at three winds.
    pub winds: WindLevels,
    /// How members pass over to it.
    pub splice: Splice,
}

/// Everything that does not change from year to year.
pub struct Stage {
    /// The window of mornings and what members may walk through.
    pub window: SeasonWindow,
    /// Past seasons, hours as the planner draws them.
    pub library: Library,
    /// Ponds.
    pub ponds: Vec<StagePond>,
    /// Years that are whole.
    pub years: Vec<TrueYear>,
    /// Shares of forms.
    pub streams: Streams,
    /// Days from the first morning to the last catch, both counted.
    pub days: usize,
    /// Forecasts as they truly are.
    pub true_skill: ForecastSkill,
    /// Forecasts as the planner believes them.
    pub believed: ForecastSkill,
    /// Days of a morning's members that the kernel runs.
    run_days: usize,
}

/// Standard deviation of daily mean anomalies that goes with a world's errors, K: September to November on the 91-year piedmont
/// record (docs/model/members.md). In other seasons errors grow and shrink with the anomalies.
const MEAN_ANOMALY_SD_C: f64 = 3.6;

/// Forecast skill of a world: its errors are those of daily means, and lows and highs share the same part of what can be seen.
fn skill(ask: &ReplayAsk) -> ForecastSkill {
    let errors = ask.world.error_sd_c.iter().map(|error| error.min(MEAN_ANOMALY_SD_C)).collect();
    ForecastSkill::new(errors, MEAN_ANOMALY_SD_C, ask.world.timing_sd_h_at_5_days)
        .expect("a world's errors grow with lead and stay in bounds")
}

impl Stage {
    /// Runs what is common to all years.
    pub fn new(ask: &ReplayAsk) -> Result<Stage, OutlookError> {
        let base = farm_in(ask.farm, 2021);
        let first = base
            .ponds
            .iter()
            .map(|card| card.stocking.on)
            .max()
            .expect("a farm has ponds")
            .plus(FIRST_MORNING_AFTER_DAYS);
        let last = base.season.last_catch;
        let days = (last.0 - first.0 + 1).max(1) as usize;
        let believed = skill(ask);
        let true_skill = believed.scaled(ask.error_factor, ask.timing_factor).unwrap_or_else(|_| believed.clone());
        let window = window(first, last, &believed);
        let (library, _) = ask.past.library(window, None).map_err(OutlookError::Past)?;
        let climate = Climate::fit(&ask.past.record, None)
            .map_err(|error| OutlookError::Past(crate::PastError::Climate(error)))?;
        let mut ponds = Vec::new();
        for card in &ask.farm.ponds {
            let model = pond_model(ask.farm, card).map_err(OutlookError::Pond)?;
            let params = StockParams::default();
            let stocking = Stocking {
                count: card.stocking.count,
                weight_g: card.stocking.mean_weight_g,
                per_ha: card.stocking.count / (card.shape.area_m2 / 10_000.0),
                substrate_fraction: card.substrate,
            };
            let memory_h = 24.0 * crate::thin::memory_d(model.depths.full_m);
            ponds.push(StagePond {
                crop: Crop::new(&stocking, &params),
                hazard_per_d: params.survival.hazard_per_d(card.stocking.mean_weight_g),
                winds: keep(ask, &model, card, &library, &climate, window),
                splice: Splice { memory_h },
                model,
            });
        }
        let crop_kg: f64 =
            ponds.iter().map(|pond| 1.2 * pond.crop.standing(70.0, 115.0, 0.0, &Hidden::MIDDLE).mass_kg).sum();
        let streams = Streams::of(ask.farm, crop_kg);
        let run_days = if ask.without_shortcuts { days } else { RUN_DAYS };
        let mut stage =
            Stage { window, library, ponds, years: Vec::new(), streams, days, true_skill, believed, run_days };
        stage.years = true_years(ask, &stage, &climate);
        Ok(stage)
    }

    /// Whether a year (by its place) is asked for and has enough years before it.
    pub fn replayed(&self, ask: &ReplayAsk, y: usize) -> bool {
        let year = self.years[y].year;
        (ask.years.0..=ask.years.1).contains(&year)
            && self.library.years().iter().filter(|&&known| known < year).count() >= 20
    }
}

/// Every season of the library through one pond at three winds.
fn keep(
    ask: &ReplayAsk,
    model: &PondModel,
    card: &farm::PondCard,
    library: &Library,
    climate: &Climate,
    window: SeasonWindow,
) -> WindLevels {
    let seasons: Vec<usize> = (0..library.years().len()).collect();
    let first = window.start(2021).expect("the window begins on a date that stands in every year");
    let card = farm_in(ask.farm, 2021).ponds.into_iter().find(|moved| moved.name == card.name).expect("the same ponds");
    let ground = ground(climate, model);
    let start_c = {
        let mean = climate.mean_c(first);
        0.5 * (mean.low + mean.high) + 2.0
    };
    let at = |basin: &pond::Basin, factor: f64| {
        let schedule = schedule_of(&card, basin, &ground, first, window.n_days);
        let wind = vec![card.wind_factor.median * factor; seasons.len()];
        let pond = PondRun {
            basin,
            schedule: &schedule,
            start: Start::Profile(&[(0.0, start_c)], &ground, f64::from(first.day_of_year())),
            wind_factor: &wind,
        };
        let air = SeasonsAir { library, seasons: &seasons };
        let (tables, _) = run(&[pond], &air, 24 * window.n_days, &Watch::new()).expect("nobody asked this run to stop");
        KeptWater::new(&tables[0])
    };
    let step = units::exp(WIND_STEP);
    let kept = [1.0 / step, 1.0, step].map(|factor| at(&model.basin, factor));
    WindLevels { kept, step_log: WIND_STEP, twin: at(&model.twin, 1.0) }
}

fn true_years(ask: &ReplayAsk, stage: &Stage, climate: &Climate) -> Vec<TrueYear> {
    use rayon::prelude::*;
    stage.library.years().par_iter().filter_map(|&year| true_year(ask, stage, climate, year)).collect()
}

/// Lives one year; `None` when its days are not whole.
fn true_year(ask: &ReplayAsk, stage: &Stage, climate: &Climate, year: i16) -> Option<TrueYear> {
    let farm = farm_in(ask.farm, year);
    let last_stocked = farm.ponds.iter().map(|card| card.stocking.on).max()?;
    let first = last_stocked.plus(FIRST_MORNING_AFTER_DAYS);
    let reach = (stage.days + stage.true_skill.n_leads() + 2) as i32;
    let days = ask.past.record.span(first.plus(-1), first.plus(reach)).ok()?;
    let draws = ask.world.draws_per_year;
    let mut out = TrueYear {
        year,
        first,
        days,
        lived: Vec::new(),
        states: Vec::new(),
        middle_c: Vec::new(),
        cells: cells(&farm, &[], &stage.streams, 0),
        hidden: Vec::new(),
        wind_log: Vec::new(),
        alive: Vec::new(),
    };
    let mut day_tables = Vec::new();
    let first_stocked = farm.ponds.iter().map(|card| card.stocking.on).min()?;
    let whole = ask.past.record.span(first_stocked, first.plus(reach)).ok()?;
    let air = true_air(ask, &whole, year);
    for (p, pond) in stage.ponds.iter().enumerate() {
        let card = &farm.ponds[p];
        let stocked = card.stocking.on;
        let (hidden, wind_log) = hidden_draws(ask, year, p, draws);
        let from_hour = 24 * (stocked.0 - first_stocked.0) as usize;
        let told = live_true(pond, card, climate, (&air, from_hour), stocked, first, stage.days, &wind_log, ask);
        let table = told.table;
        out.alive.push(alive(&table, &hidden, stage.days));
        out.lived.push(told.lived);
        out.states.push(told.states);
        out.middle_c.push(told.middle_c);
        out.hidden.push(hidden);
        out.wind_log.push(wind_log);
        day_tables.push(table);
    }
    // Every draw has its own past: its cells are valued one draw at a time.
    out.cells = true_cells(stage, &farm, &out, &day_tables, draws);
    Some(out)
}

/// Hours of the true year: one hidden draw for wind, cloud and dew point, the same for every pond.
fn true_air(ask: &ReplayAsk, days: &[DayExtremes], year: i16) -> AirSeries {
    let mut stream = Stream::new(ask.world.seed, year as u32, TRUE_HOURS);
    weather::hours_for_days(days, &ask.past.normals, &ask.past.lenders, &mut stream)
}

fn hidden_draws(ask: &ReplayAsk, year: i16, pond: usize, draws: usize) -> (Vec<Hidden>, Vec<f64>) {
    let world = ask.world;
    (0..draws)
        .map(|draw| {
            let id = year as u32 * 1000 + draw as u32;
            let mut farm = Stream::new(world.seed, id, HIDDEN_VALUES);
            let (growth, cold, sizes, severity) = (farm.normal(), farm.normal(), farm.normal(), farm.normal());
            let mut own = Stream::new(world.seed, id, Purpose(HIDDEN_POND.0 + pond as u32));
            let (hazard, wind) = (own.normal(), own.normal());
            let hidden = Hidden {
                growth_factor: units::exp(world.growth_factor_sd_log * growth),
                hazard_factor: units::exp(world.hazard_sd_log * hazard),
                cold_shift_k: world.cold_shift_sd_c * cold,
                orange_claw_extra: stock::sizes::SHARE_SD * sizes,
                gather_severity: units::exp(stock::cold::GATHER_LN_SD * severity),
                ..Hidden::MIDDLE
            };
            (hidden, world.wind_factor_sd_log * wind)
        })
        .unzip()
}

/// Share that a pond left full has alive after the cold of each day, by day and draw.
fn alive(table: &DayTable, hidden: &[Hidden], days: usize) -> Vec<Vec<f64>> {
    (0..days)
        .map(|day| {
            let share = |(draw, hidden): (usize, &Hidden)| {
                stock::cold::alive_fraction(
                    table.at(day, draw).dose_max * stock::cold::dose_factor(hidden.cold_shift_k),
                )
            };
            hidden.iter().enumerate().map(share).collect()
        })
        .collect()
}

fn true_cells(stage: &Stage, farm: &farm::Farm, of: &TrueYear, tables: &[DayTable], draws: usize) -> Cells {
    let by_draw: Vec<Cells> = (0..draws)
        .map(|draw| {
            let one: Vec<DayTable> = tables.iter().map(|table| table.only(draw)).collect();
            let hidden: Vec<Vec<Hidden>> = of.hidden.iter().map(|hidden| vec![hidden[draw]]).collect();
            let ponds: Vec<TablePond> = stage
                .ponds
                .iter()
                .enumerate()
                .map(|(p, pond)| TablePond {
                    card: &farm.ponds[p],
                    today: pond.today(&farm.ponds[p], of.first, 0, of.lived[p][draw].warm_days[0]),
                    table: &one[p],
                    hidden: &hidden[p],
                })
                .collect();
            cells(farm, &ponds, &stage.streams, stage.days)
        })
        .collect();
    Cells::side_by_side(&by_draw)
}

impl StagePond {
    /// As the valuer needs it on a morning.
    pub fn today(&self, card: &farm::PondCard, first: Day, morning: usize, warm_days: f64) -> PondToday {
        PondToday {
            crop: self.crop.clone(),
            warm_days,
            days: f64::from(first.0 + morning as i32 - card.stocking.on.0),
            depths: self.model.depths,
            lead_h: f64::from(self.model.ways[0].lead_hours),
            lead_fuel_l: self.model.lead_fuel_l,
        }
    }
}

/// Days of the members that the kernel runs before kept water takes over (what fewer would cost: docs/numerics/reuse.md).
pub const RUN_DAYS: usize = 10;

/// Water of the ponds left under the members of a morning, at the middle wind, from the common start: hours of the kernel, then
/// kept water with what the twins make of the difference.
pub fn run_members(
    stage: &Stage,
    farm: &farm::Farm,
    climate: &Climate,
    true_year: &TrueYear,
    morning: usize,
    members: &weather::Members,
    left: &[usize],
) -> Vec<ensemble::HourTable> {
    let all_days = stage.days - morning;
    let run_days = stage.run_days.min(all_days);
    let today = true_year.first.plus(morning as i32);
    let air = MembersAir { members, library: &stage.library };
    let grounds: Vec<_> = left.iter().map(|&p| ground(climate, &stage.ponds[p].model)).collect();
    let winds: Vec<Vec<f64>> = left.iter().map(|&p| vec![farm.ponds[p].wind_factor.median; members.len()]).collect();
    let run_from = |basins: &[&Basin], starts: &[&Water<f64>], schedules: &[Schedule], days: usize| {
        let ponds: Vec<PondRun> = (0..left.len())
            .map(|i| PondRun {
                basin: basins[i],
                schedule: &schedules[i],
                start: Start::Water(starts[i]),
                wind_factor: &winds[i],
            })
            .collect();
        run(&ponds, &air, 24 * days, &Watch::new()).expect("nobody asked this run to stop").0
    };
    let schedules = |basins: &[&Basin], days: usize| -> Vec<Schedule> {
        (0..left.len()).map(|i| schedule_of(&farm.ponds[left[i]], basins[i], &grounds[i], today, days + 1)).collect()
    };
    let basins: Vec<&Basin> = left.iter().map(|&p| &stage.ponds[p].model.basin).collect();
    let starts: Vec<&Water<f64>> = left.iter().map(|&p| &true_year.states[p][morning]).collect();
    let own = schedules(&basins, run_days);
    let tables = run_from(&basins, &starts, &own, run_days);
    if run_days == all_days {
        return tables;
    }
    let twins: Vec<&Basin> = left.iter().map(|&p| &stage.ponds[p].model.twin).collect();
    let rough = schedules(&twins, all_days);
    let recut: Vec<Water<f64>> =
        (0..left.len()).map(|i| starts[i].recut(own[i].stage(0), twins[i], rough[i].stage(0))).collect();
    let twin_tables = run_from(&twins, &recut.iter().collect::<Vec<_>>(), &rough, all_days);
    let follow = |(i, &p): (usize, &usize)| {
        let pond = &stage.ponds[p];
        let (kept, twin_kept) = (&pond.winds.kept[1], &pond.winds.twin);
        let memory_h = pond.splice.memory_h;
        Followed { run: &tables[i], kept, twin: &twin_tables[i], twin_kept, members, memory_h }.hours()
    };
    left.iter().enumerate().map(follow).collect()
}
