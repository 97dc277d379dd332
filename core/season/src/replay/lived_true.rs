//! One pond through a true year: every hidden wind side by side.

use ensemble::{DayTable, PondRun, Start, run};
use pond::Water;
use stock::DayTally;
use units::{Day, Watch};
use weather::{AirSeries, Climate};

use super::ReplayAsk;
use super::truth::{LivedDraw, StagePond};
use crate::lived::{as_air, ground, schedule};

/// A pond's true year.
pub struct LivedTrue {
    /// By draw, the season so far at each morning.
    pub lived: Vec<LivedDraw>,
    /// The pond at the middle wind on each morning.
    pub states: Vec<Water<f64>>,
    /// Its animals' water at each midnight, °C.
    pub middle_c: Vec<f64>,
    /// Days from the first morning by draw.
    pub table: DayTable,
}

/// One pond's true year: its draws side by side, and one more at the middle wind whose state is kept for every morning.
pub fn live_true(
    pond: &StagePond,
    card: &farm::PondCard,
    climate: &Climate,
    (air, stocked_hour): (&AirSeries, usize),
    stocked: Day,
    first: Day,
    days: usize,
    wind_log: &[f64],
    ask: &ReplayAsk,
) -> LivedTrue {
    let draws = wind_log.len();
    let ground = ground(climate, &pond.model);
    let before = (first.0 - stocked.0) as usize;
    let start_c = 0.5 * (climate.mean_c(stocked).low + climate.mean_c(stocked).high) + 1.5;
    let median = card.wind_factor.median;
    let mut wind: Vec<f64> = wind_log.iter().map(|log| median * units::exp(*log)).collect();
    wind.push(median);
    let repeated = Repeated { air, members: draws + 1, from_hour: 0 };
    let run_of = |from_day: usize, n_days: usize, start: Start| {
        let part = schedule(card, &pond.model, &ground, stocked.plus(from_day as i32), n_days + 1);
        let pond = PondRun { basin: &pond.model.basin, schedule: &part, start, wind_factor: &wind };
        let air = Repeated { from_hour: stocked_hour + 24 * from_day, ..repeated };
        let (mut tables, mut ends) =
            run(&[pond], &air, 24 * n_days, &Watch::new()).expect("nobody asked this run to stop");
        (tables.remove(0), ends.remove(0))
    };
    let profile = [(0.0, start_c)];
    let (early, mut states) = run_of(0, before, Start::Profile(&profile, &ground, f64::from(stocked.day_of_year())));
    let dawn_hour = ask.past.dawn_hour(first);
    let mut tallies: Vec<DayTally<f64>> = vec![DayTally::new(start_c); draws];
    let mut warm: Vec<f64> = vec![0.0; draws];
    let feed = |table: &ensemble::HourTable, day: usize, draw: usize, tally: &mut DayTally<f64>| {
        for hour in 0..24 {
            let at = 24 * day + hour;
            tally.hour(table.animals_c(draw, at), table.coldest_c(draw, at), hour == dawn_hour);
        }
        tally.end_day()
    };
    for (draw, tally) in tallies.iter_mut().enumerate() {
        for day in 0..before {
            warm[draw] += feed(&early, day, draw, tally).warm_days;
        }
    }
    let mut out = LivedTrue {
        lived: vec![LivedDraw { warm_days: Vec::new(), midnight_c: Vec::new(), tally: Vec::new() }; draws],
        states: Vec::new(),
        middle_c: Vec::new(),
        table: DayTable::empty(days, draws),
    };
    for day in 0..days {
        let (hours, next) = run_of(before + day, 1, Start::Each(&states));
        out.states.push(states[draws].clone());
        out.middle_c.push(hours.animals_c(draws, 0));
        for draw in 0..draws {
            let lived = &mut out.lived[draw];
            lived.warm_days.push(warm[draw]);
            lived.midnight_c.push(hours.animals_c(draw, 0));
            lived.tally.push(tallies[draw]);
            let row = feed(&hours, 0, draw, &mut tallies[draw]);
            warm[draw] += row.warm_days;
            out.table.set_row(day, draw, &row);
        }
        states = next;
    }
    out
}

/// The same air for several winds.
#[derive(Clone, Copy)]
struct Repeated<'a> {
    air: &'a AirSeries,
    members: usize,
    from_hour: usize,
}

impl ensemble::AirSource for Repeated<'_> {
    fn members(&self) -> usize {
        self.members
    }
    fn air(&self, _first: usize, hour: usize) -> pond::Air<units::Lanes> {
        pond::Air::same(&as_air(&self.air.hours[self.from_hour + hour]))
    }
}
