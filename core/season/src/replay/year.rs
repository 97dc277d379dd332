//! One autumn, morning by morning, under every policy.

use ensemble::{DayTable, HourTable, Spliced};
use farm::Farm;
use plan::{Ask, Choices, Job, Learn, Limits, Locked, Scratch, Settings, Started, Tables, decide};
use units::{Day, Watch};
use weather::{Climate, DailyForecast, Luck, MemberNews, Members, Morning, Past, issue_forecast};

use super::beliefs::Beliefs;
use super::moved::farm_in;
use super::score::{LEADS, Told};
use super::settle::calendar_and_clairvoyant;
use super::standing::{QUIET_DAYS, QUIET_STEP, Standing, first_act};
use super::truth::{Stage, TrueYear, run_members};
use super::{FIXED, HIDDEN_KNOWN, OURS, ReplayAsk, Season};
use crate::foresee::{Foreseen, SignalPond, signals};
use crate::limits::{RainChances, Setting, limits};
use crate::outlook::OutlookError;
use crate::tables::{TablePond, cells, tables};
use crate::weigh::{light, responses};

/// What a year gave.
pub struct YearOut {
    /// Its seasons, one for each hidden draw.
    pub seasons: Vec<Season>,
    /// Chances told, and what happened.
    pub told: Told,
}

/// The clock hour of every decision.
const NOW_HOUR: i32 = 7;

/// What all seasons of a year share on a morning.
pub struct MorningOf<'a> {
    /// The question.
    pub ask: &'a ReplayAsk<'a>,
    /// What does not change.
    pub stage: &'a Stage,
    /// The farm, its dates moved.
    pub farm: &'a Farm,
    /// The year as it was.
    pub of: &'a TrueYear,
    climate: &'a Climate,
    morning: usize,
    /// The planner's members.
    pub members: Members,
    forecast: DailyForecast,
    /// Ponds any policy still has in the water, and their hours.
    left: Vec<usize>,
    hours: Vec<HourTable>,
    rain: Vec<RainChances>,
}

/// Lives one year again under every draw and policy.
pub fn live_again(ask: &ReplayAsk, stage: &Stage, y: usize) -> Result<YearOut, OutlookError> {
    let of = &stage.years[y];
    let farm = farm_in(ask.farm, of.year);
    let climate = Climate::fit(&ask.past.record, Some(of.first))
        .map_err(|error| OutlookError::Past(crate::PastError::Climate(error)))?;
    let past = Past::new(&stage.library, &climate, Some(of.first));
    let draws = ask.world.draws_per_year;
    let n = farm.ponds.len();
    let mut seasons: Vec<Season> = (0..draws)
        .map(|draw| Season {
            year: of.year,
            draw,
            worth: [0.0; 5],
            lost: [false; 5],
            catch_days: vec![[None; 5]; n],
            believed: 0.0,
        })
        .collect();
    calendar_and_clairvoyant(ask, stage, &farm, y, &mut seasons);
    let mut told = Told::default();
    // Fixed each morning, hidden known, ours.
    let fresh = Standing::fresh(n);
    let mut standing: Vec<[Standing; 3]> = (0..draws).map(|_| [fresh.clone(), fresh.clone(), fresh.clone()]).collect();
    let last = of.first.plus(stage.days as i32 - 1);
    let ids = 0..ask.world.members as u32;
    let seed = ask.past.seed ^ (of.year as u64) << 20;
    let news = MemberNews::new(seed, ids.clone(), &climate, &stage.believed, of.first, last);
    for morning in 0..stage.days {
        for each in standing.iter_mut().flatten() {
            each.bring_out(morning);
        }
        let left: Vec<usize> = (0..n).filter(|&p| standing.iter().flatten().any(|each| !each.out[p])).collect();
        if left.is_empty() {
            break;
        }
        if standing.iter().flatten().all(|each| !each.looks_on(morning)) {
            continue;
        }
        let today = of.first.plus(morning as i32);
        let luck = Luck { seed: ask.world.seed, id: of.year as u32 };
        let forecast = issue_forecast(&of.days, &climate, &stage.true_skill, today, luck)
            .expect("the true year reaches past the last forecast");
        let drawn = Morning {
            today,
            last,
            forecast: &forecast,
            skill: &stage.believed,
            climate: &climate,
            library: &stage.library,
            past: &past,
            seed,
        };
        let members = Members::draw(&drawn, ids.clone(), &news).map_err(OutlookError::Members)?;
        let hours = run_members(stage, &farm, &climate, of, morning, &members, &left);
        let rain = left.iter().map(|_| RainChances { bank_open: Vec::new(), outlet_free: Vec::new() }).collect();
        let this =
            MorningOf { ask, stage, farm: &farm, of, climate: &climate, morning, members, forecast, left, hours, rain };
        for draw in 0..draws {
            this.decide_all(draw, &mut standing[draw], &mut told)?;
        }
    }
    for (season, each) in seasons.iter_mut().zip(&standing) {
        for (standing, policy) in each.iter().zip([FIXED, HIDDEN_KNOWN, OURS]) {
            season.settle(stage, &farm, of, policy, &standing.jobs);
        }
        season.believed = each[2].believed;
    }
    Ok(YearOut { seasons, told })
}

impl MorningOf<'_> {
    /// Lets the three watching policies act on one draw's season.
    fn decide_all(&self, draw: usize, standing: &mut [Standing; 3], told: &mut Told) -> Result<(), OutlookError> {
        let own = Beliefs::priors(self);
        let known = Beliefs::truth(self, draw);
        let morning = self.morning;
        let [fixed, hidden_known, ours] = standing;
        if fixed.looks_on(morning) || ours.looks_on(morning) {
            let weighed = self.weigh(draw, &own);
            told.add(self, draw, &weighed.alive);
            if fixed.looks_on(morning) {
                let (started, first_act) = self.best_fixed(&weighed, fixed);
                fixed.follow(started, morning);
                fixed.looks = self.look_again(first_act);
            }
            self.decide(&weighed, ours)?;
        }
        if hidden_known.looks_on(morning) {
            let weighed = self.weigh(draw, &known);
            self.decide(&weighed, hidden_known)?;
        }
        Ok(())
    }

    /// The morning on which a plan is looked at again whose first act comes at this hour.
    fn look_again(&self, first_act: Option<i32>) -> usize {
        let quiet = !self.ask.without_shortcuts && first_act.is_some_and(|hour| hour >= 24 * QUIET_DAYS);
        self.morning + if quiet { QUIET_STEP } else { 1 }
    }

    /// Tables, signals and chances of one draw's morning under some beliefs.
    fn weigh(&self, draw: usize, beliefs: &Beliefs) -> WeighedMorning {
        let (stage, of, morning) = (self.stage, self.of, self.morning);
        let days = stage.days - morning;
        let dawn_hour = self.ask.past.dawn_hour(of.first);
        let day_tables: Vec<DayTable> = self
            .left
            .iter()
            .zip(&self.hours)
            .map(|(&p, hours)| {
                let lived = &of.lived[p][draw];
                let off_c = lived.midnight_c[morning] - of.middle_c[p][morning];
                let spliced = Spliced {
                    run: hours,
                    winds: &stage.ponds[p].winds,
                    members: &self.members,
                    splice: stage.ponds[p].splice,
                    dawn_hour,
                    days,
                };
                spliced.days(&beliefs.wind_log[p], off_c, &lived.tally[morning])
            })
            .collect();
        let ponds: Vec<TablePond> = self
            .left
            .iter()
            .zip(&day_tables)
            .map(|(&p, table)| TablePond {
                card: &self.farm.ponds[p],
                today: stage.ponds[p].today(
                    &self.farm.ponds[p],
                    of.first,
                    morning,
                    of.lived[p][draw].warm_days[morning],
                ),
                table,
                hidden: &beliefs.hidden[p],
            })
            .collect();
        let cells = cells(self.farm, &ponds, &stage.streams, days);
        let choices = &self.farm.choices;
        let tables = tables(&ponds, &stage.streams, &cells, choices.cold_mark_c, choices.keep_level);
        let responses = responses(&day_tables, &self.members, days);
        let signal_ponds: Vec<SignalPond> = self
            .left
            .iter()
            .zip(day_tables.iter().zip(&responses))
            .map(|(&p, (table, response))| SignalPond {
                table,
                response,
                out_days: (f64::from(stage.ponds[p].model.ways[0].lead_hours) / 24.0).ceil() as usize,
            })
            .collect();
        let foreseen = Foreseen {
            ponds: &signal_ponds,
            members: &self.members,
            forecast: &self.forecast,
            skill: &stage.believed,
            climate: self.climate,
            cold_mark_c: choices.cold_mark_c,
            follow_mark_c: choices.follow_mark_c,
        };
        let (signals, guard_signals) = signals(&foreseen, days.min(self.members.n_mornings()));
        let alive = beliefs.alive(&self.left, &day_tables);
        WeighedMorning { tables, signals, guard_signals, alive }
    }

    fn limits(&self, standing: &Standing) -> Limits {
        let ponds: Vec<_> = self.left.iter().map(|&p| (p, self.stage.ponds[p].model.ways.clone())).collect();
        let mut limits = limits_of(
            self.ask,
            self.farm,
            self.of.first.plus(self.morning as i32),
            self.stage.days - self.morning,
            &ponds,
            &self.rain,
        );
        limits.now_hour = NOW_HOUR;
        for (pond, &p) in limits.ponds.iter_mut().zip(&self.left) {
            if let Some(job) = &standing.jobs[p] {
                let day = job.take.last_day() as i32 - self.morning as i32;
                pond.started = Some(Started { start_hour: job.start_hour - 24 * self.morning as i32, way: job.way });
                pond.locked = Some(Locked { day: day.max(0) as usize, way: Some(job.way) });
            }
        }
        limits
    }

    /// Ponds a policy has already out are kept from the tables by closing every day.
    fn bound(&self, standing: &Standing) -> Limits {
        let mut limits = self.limits(standing);
        for (pond, &p) in limits.ponds.iter_mut().zip(&self.left) {
            if standing.out[p] {
                pond.closed = vec![true];
                pond.started = None;
                pond.locked = None;
                pond.left_coins = Some(0.0);
            }
        }
        limits
    }

    /// What the best fixed dates start before tomorrow, and the hour of their first act.
    fn best_fixed(&self, weighed: &WeighedMorning, standing: &Standing) -> (Vec<(usize, Job)>, Option<i32>) {
        let limits = self.bound(standing);
        let choices = Choices::new(&limits, &weighed.tables.parts, weighed.tables.rows());
        let members: Vec<usize> = (0..weighed.tables.members()).collect();
        let ask = Ask::exact(&members, 0.0);
        let dates = choices.best_fixed(&weighed.tables, &ask, &mut Scratch::default(), &Watch::new());
        let tomorrow = 24 + NOW_HOUR;
        let first = first_act(&limits, &dates.schedule.jobs);
        let due = |job: &Job| first_act(&limits, &[Some(*job)]).is_some_and(|hour| hour < tomorrow);
        let started =
            self.left.iter().zip(dates.schedule.jobs).filter_map(|(&p, job)| Some((p, job.filter(due)?))).collect();
        (started, first)
    }

    /// Lets this program's advice act.
    fn decide(&self, weighed: &WeighedMorning, standing: &mut Standing) -> Result<(), OutlookError> {
        if !standing.looks_on(self.morning) {
            return Ok(());
        }
        let limits = self.bound(standing);
        let settings = Settings {
            guard_chance: self.farm.choices.guard_chance,
            guard_signals: weighed.guard_signals.clone(),
            risk_weight: self.farm.choices.risk_weight - 1.0,
            groups: self.groups(),
            brief: true,
            ..Settings::default()
        };
        let decision = decide(&weighed.tables, &weighed.signals, &limits, &settings, Learn::Now, None, &Watch::new())
            .map_err(OutlookError::Plan)?;
        if self.morning == 0 {
            standing.believed = decision.worth.mean;
        }
        let planned: Vec<Option<Job>> = decision.ponds.iter().map(|pond| pond.planned).collect();
        standing.follow(decision.today.iter().map(|job| (self.left[job.pond], *job)).collect(), self.morning);
        standing.looks = self.look_again(first_act(&limits, &planned));
        Ok(())
    }

    /// For each member its past year: what a rule could learn by heart.
    fn groups(&self) -> Vec<u32> {
        let n_days = self.stage.window.n_days;
        (0..self.members.len()).map(|m| (self.members.donor(m, 0).library_day / n_days) as u32).collect()
    }
}

struct WeighedMorning {
    tables: Tables,
    signals: plan::Signals,
    guard_signals: Vec<Option<usize>>,
    /// Share alive after cold in a pond left full, `[pond left][day][member]`.
    alive: Vec<Vec<Vec<f64>>>,
}

/// The limits of a morning, for any policy.
pub fn limits_of(
    ask: &ReplayAsk,
    farm: &Farm,
    today: Day,
    days: usize,
    ponds: &[(usize, Vec<plan::Way>)],
    rain: &[RainChances],
) -> Limits {
    let (first_light, daylight_hours) = light(farm, &ask.past.place, today, days);
    limits(farm, &Setting { today, now_hour: NOW_HOUR, days, first_light, daylight_hours, ponds, rain })
}

impl Told {
    /// Adds the chances told on a morning for ponds left full, against what then happened to them.
    fn add(&mut self, of: &MorningOf, draw: usize, alive: &[Vec<Vec<f64>>]) {
        for (pond, &p) in of.left.iter().enumerate() {
            for (place, &lead) in LEADS.iter().enumerate() {
                let day = of.morning + lead;
                if day >= of.stage.days {
                    continue;
                }
                let members = &alive[pond][place];
                let chance = members.iter().filter(|&&alive| alive <= 0.8).count() as f64 / members.len() as f64;
                self.note(place, chance, of.of.alive[p][day][draw] <= 0.8);
            }
        }
    }
}
