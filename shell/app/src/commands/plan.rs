//! `warmspell plan`: the morning's page for any farm and day; without a farm, for the sample that comes with the program.

use std::path::{Path, PathBuf};

use clap::Args;
use farm::{Farm, Morning};
use season::answer::Outlook;
use season::weather::{DailyRecord, DonorRecord, IssuedForecast};
use season::{FarmPast, MorningAsk, outlook};
use units::{Day, Instant, Watch};
use words::figures::Manner;

use super::Told;
use crate::files::{self, Donors, FarmFiles};
use crate::waiting::with_progress;

mod as_json;
pub(super) mod from_record;

/// Which pond comes out when, and what waiting costs.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct PlanArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    pub farm: Option<PathBuf>,
    /// The morning, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
    /// The clock hour taken for now, 0 to 23; this hour for today, 7 for any other morning and with --store, when left out
    #[arg(long, value_name = "HOUR")]
    pub now: Option<i32>,
    /// A forecast file: a plain table, or what the public weather service gives
    #[arg(long, value_name = "FILE")]
    pub forecast: Option<PathBuf>,
    /// Answer as the pages do, with what this record holds: readings, forecast, and what an accepted plan has ordered and told
    #[arg(long, value_name = "FILE", conflicts_with = "until_proved")]
    pub store: Option<PathBuf>,
    /// With --store: a farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", requires = "store", conflicts_with = "farm")]
    pub of: Option<String>,
    /// How many futures are weighed
    #[arg(long, value_name = "N", default_value_t = 300)]
    pub members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Where many ponds share few hands: try dates until the best are proved, which can take many minutes
    #[arg(long)]
    pub until_proved: bool,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    pub metric: bool,
    /// Print the answer for a program
    #[arg(long)]
    pub json: bool,
}

impl Default for PlanArgs {
    fn default() -> PlanArgs {
        PlanArgs {
            farm: None,
            on: None,
            now: None,
            forecast: None,
            store: None,
            of: None,
            members: 300,
            seed: 1,
            until_proved: false,
            metric: false,
            json: false,
        }
    }
}

const EXAMPLES: &str = "Examples:
  warmspell plan
  warmspell plan --farm FARM.toml --on 2020-09-20
  warmspell plan --farm FARM.toml --on 2020-09-20 --forecast forecast.csv --json
  warmspell plan --store warmspell.db --of hazel-bend

Without --store the farm file alone is read: nothing is then known of readings entered or plans accepted on the pages.

The farm file is described key by key in docs/farm-file.md.";

/// Answers on the command line.
pub fn run(args: &PlanArgs, now: Instant) -> Told {
    match answer(args, now) {
        Ok(told) => told,
        Err(why) => Told::could_not(why),
    }
}

fn answer(args: &PlanArgs, now: Instant) -> Result<Told, String> {
    if (args.now).is_some_and(|hour| !(0..24).contains(&hour)) {
        return Err(no_hour(args.now.unwrap_or_default()));
    }
    if !(16..=5000).contains(&args.members) {
        return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", args.members));
    }
    if let Some(path) = &args.store {
        return from_record::answer(args, path, now);
    }
    let read = files::farm(args.farm.as_deref())?;
    let (on, now_hour) = moment(args, &read.farm, now)?;
    let mut remarks = read.remarks.clone();
    let history = read.history(&mut remarks)?;
    let forecast = forecast_of(args, &read, on, &mut remarks)?;
    let Donors { record: donors } = read.donors()?;
    let outlook = ask(args, &read.farm, (on, now_hour), &history, &donors, forecast.as_ref())?;
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    Ok(Told::answer(said(args, &outlook, manner), remarks))
}

fn said(args: &PlanArgs, outlook: &Outlook, manner: Manner) -> String {
    if args.json { as_json::outlook(outlook) } else { words::morning::page(outlook, manner) }
}

fn no_hour(hour: i32) -> String {
    format!("--now is {hour}: it is a clock hour from 0 to 23.")
}

fn ask(
    args: &PlanArgs,
    farm: &Farm,
    (on, now_hour): (Day, i32),
    history: &DailyRecord,
    donors: &DonorRecord,
    forecast: Option<&IssuedForecast>,
) -> Result<Outlook, String> {
    let past = FarmPast::new(farm, history, donors, args.seed)
        .map_err(|error| words::trouble::outlook(&season::OutlookError::Past(error)))?;
    let question = MorningAsk {
        farm,
        past: &past,
        on,
        now_hour,
        forecast,
        members: args.members,
        yesterday: None,
        until_proved: args.until_proved,
    };
    with_progress("weighing the coming weeks", |watch: &Watch| outlook(&question, watch))
        .map_err(|error| words::trouble::outlook(&error))
}

/// Clock hour taken for "now" on a morning that is asked for by name.
pub(super) const MORNING_HOUR: i32 = 7;

/// The day and clock hour asked about: by the farm's own clock where neither the command nor the farm file names a morning.
pub(super) fn moment(args: &PlanArgs, farm: &Farm, now: Instant) -> Result<(Day, i32), String> {
    let (today, second) = farm.place.zone.day_and_second(now);
    let on = morning_of(args, farm, today)?;
    let named = args.on.is_some() || farm.morning.is_some();
    let hour = args.now.unwrap_or(if named { MORNING_HOUR } else { second / 3600 });
    if (0..24).contains(&hour) { Ok((on, hour)) } else { Err(no_hour(hour)) }
}

/// The day asked for; the farm's own; today.
pub(super) fn morning_of(args: &PlanArgs, farm: &Farm, today: Day) -> Result<Day, String> {
    match (&args.on, &farm.morning) {
        (Some(text), _) => Day::parse(text)
            .ok_or_else(|| format!("--on {text}: this is no date. Write it as 2020-09-15 (year-month-day).")),
        (None, Some(Morning { on, .. })) => Ok(*on),
        (None, None) => Ok(today),
    }
}

/// The forecast named; else the farm's own for its own morning.
pub(super) fn forecast_of(
    args: &PlanArgs,
    read: &FarmFiles,
    on: Day,
    remarks: &mut Vec<String>,
) -> Result<Option<IssuedForecast>, String> {
    let forecast = match (&args.forecast, &read.farm.morning) {
        (Some(path), _) => Some(read.forecast_at(path, remarks)?),
        (None, Some(Morning { on: own, forecast: Some(name) })) if *own == on => {
            Some(read.own_forecast(Path::new(name), remarks)?)
        }
        _ => None,
    };
    if let Some(forecast) = &forecast {
        not_later(forecast, &read.farm, on)?;
    }
    Ok(forecast)
}

/// Refuses what could not have been known on the morning asked for.
fn not_later(forecast: &IssuedForecast, farm: &Farm, on: Day) -> Result<(), String> {
    let (issued, _) = farm.place.zone.day_and_second(forecast.issued);
    if issued > on { Err(words::trouble::forecast_too_new(issued, on)) } else { Ok(()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn farm() -> Farm {
        files::farm(None).expect("the sample reads").farm
    }

    #[test]
    fn now_is_the_farms_own_hour_unless_a_morning_is_named() {
        let mut farm = farm();
        // 2011-10-01T02:30 in UTC is half past ten in the evening of the day before at the farm.
        let now = Instant(1_317_436_200);
        let day = |text| Day::parse(text).expect("a date");
        let plain = PlanArgs::default();
        assert_eq!(moment(&plain, &farm, now), Ok((day("2011-09-28"), 7)), "the sample's own morning");
        farm.morning = None;
        assert_eq!(moment(&plain, &farm, now), Ok((day("2011-09-30"), 22)));
        let named = PlanArgs { on: Some("2011-09-20".to_owned()), ..PlanArgs::default() };
        assert_eq!(moment(&named, &farm, now), Ok((day("2011-09-20"), 7)));
        let hour = PlanArgs { now: Some(5), ..PlanArgs::default() };
        assert_eq!(moment(&hour, &farm, now), Ok((day("2011-09-30"), 5)));
        assert!(moment(&PlanArgs { now: Some(24), ..PlanArgs::default() }, &farm, now).is_err());
    }

    #[test]
    fn a_forecast_of_a_later_day_is_refused() {
        let read = files::farm(None).expect("the sample reads");
        let own = read.farm.morning.as_ref().expect("its morning").on;
        let says = read.own_forecast(Path::new("forecast.csv"), &mut Vec::new()).expect("its forecast");
        assert_eq!(not_later(&says, &read.farm, own), Ok(()));
        let why = not_later(&says, &read.farm, own.plus(-3)).expect_err("refused");
        assert!(why.contains("Wednesday 28 September") && why.contains("Sunday 25 September"), "{why}");
    }
}
