//! What truly came of a policy's jobs, and the two policies that need no mornings: the best calendar and the clairvoyant.

use ensemble::DayTable;
use farm::Farm;
use plan::{Ask, Choices, Job, Scratch, Tables, calendar_limits};
use stock::Hidden;
use units::Watch;

use super::truth::{Stage, TrueYear};
use super::year::limits_of;
use super::{CALENDAR, CLAIRVOYANT, ReplayAsk, Season};
use crate::limits::RainChances;
use crate::tables::{Cells, TablePond, tables};

/// The calendar from earlier years, and the clairvoyant of this one.
pub fn calendar_and_clairvoyant(ask: &ReplayAsk, stage: &Stage, farm: &Farm, y: usize, seasons: &mut [Season]) {
    let of = &stage.years[y];
    let all: Vec<usize> = (0..farm.ponds.len()).collect();
    let ways: Vec<_> = all.iter().map(|&p| (p, stage.ponds[p].model.ways.clone())).collect();
    let rain: Vec<_> = all.iter().map(|_| RainChances { bank_open: Vec::new(), outlet_free: Vec::new() }).collect();
    let limits = calendar_limits(&limits_of(ask, farm, of.first, stage.days, &ways, &rain));
    // Earlier years by the same day count from their own first morning.
    let earlier = true_tables(stage, farm, &stage.years[..y]);
    let members: Vec<usize> = (0..earlier.members()).collect();
    let choices = Choices::new(&limits, &earlier.parts, earlier.rows());
    let ask_dates = Ask::exact(&members, 0.0);
    let calendar = choices.best_fixed(&earlier, &ask_dates, &mut Scratch::default(), &Watch::new());
    let own = true_tables(stage, farm, &stage.years[y..=y]);
    for season in seasons {
        season.settle(stage, farm, of, CALENDAR, &calendar.schedule.jobs);
        let best = choices.best_for_member(&own, season.draw, 0.0, &mut Scratch::default(), &Watch::new());
        season.settle(stage, farm, of, CLAIRVOYANT, &best.schedule.jobs);
    }
}

/// What truly happened in some years, as tables: a member for each year and draw.
fn true_tables(stage: &Stage, farm: &Farm, years: &[TrueYear]) -> Tables {
    let cells = Cells::end_to_end(years.iter().map(|year| &year.cells));
    let hidden: Vec<Vec<Hidden>> =
        (0..farm.ponds.len()).map(|p| years.iter().flat_map(|year| year.hidden[p].iter().copied()).collect()).collect();
    let none = DayTable::empty(stage.days, cells.members());
    let ponds: Vec<TablePond> = (0..farm.ponds.len())
        .map(|p| TablePond {
            card: &farm.ponds[p],
            today: stage.ponds[p].today(&farm.ponds[p], farm.ponds[p].stocking.on.plus(90), 0, 0.0),
            table: &none,
            hidden: &hidden[p],
        })
        .collect();
    // The crossing table is not looked at: the guard binds only policies that watch.
    tables(&ponds, &stage.streams, &cells, f64::MIN, farm.choices.keep_level)
}

impl Season {
    /// Looks up what a policy's jobs truly brought.
    pub fn settle(&mut self, stage: &Stage, farm: &Farm, of: &TrueYear, policy: usize, jobs: &[Option<Job>]) {
        let tables = true_tables(stage, farm, std::slice::from_ref(of));
        let member = self.draw;
        let mut total = 0.0;
        for (p, job) in jobs.iter().enumerate() {
            let Some(job) = job else {
                // Left in the water until the season's end: what is alive and found then, which may be nothing.
                total += tables.worth.at(p, stage.days - 1, member);
                self.lost[policy] |= tables.loss_fraction.at(p, stage.days - 1, member) >= 0.2;
                continue;
            };
            let cost = stage.ponds[p].model.ways.get(job.way).map_or(0.0, |way| way.cost_coins);
            total += brought(&tables, p, job, member) - cost;
            let last = job.take.last_day().min(stage.days - 1);
            self.lost[policy] |= tables.loss_fraction.at(p, last, member) >= 0.2;
            self.catch_days[p][policy] = Some(last);
        }
        self.worth[policy] = total;
    }
}

fn brought(tables: &Tables, p: usize, job: &Job, member: usize) -> f64 {
    use plan::Take;
    match (job.take, tables.parts[p]) {
        (Take::Whole { day }, _) => tables.worth.at(p, day, member),
        (Take::TwoDays { first_day, first_share }, _) => {
            let second = (first_day + 1).min(tables.days() - 1);
            first_share * tables.worth.at(p, first_day, member)
                + (1.0 - first_share) * tables.worth.at(p, second, member)
        }
        (Take::LargeFirst { seine_day, day }, Some(rows)) => {
            tables.worth.at(rows.large, seine_day, member) + tables.worth.at(rows.rest, day, member)
        }
        (Take::LargeFirst { day, .. }, None) => tables.worth.at(p, day, member),
    }
}
