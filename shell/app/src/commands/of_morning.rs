//! What commands about a morning are asked alike: which farm, on which morning, how many futures; and how the question is made from files.

use std::path::{Path, PathBuf};

use clap::Args;
use farm::{Farm, Morning};
use season::weather::IssuedForecast;
use season::{FarmPast, MorningAsk};
use units::{Day, Instant};
use words::figures::Manner;

use crate::files::{self, Donors, FarmFiles};

/// Which farm, on which morning, by how many futures
#[derive(Debug, Clone, Args)]
pub struct MorningArgs {
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    pub farm: Option<PathBuf>,
    /// The morning it is asked on, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
    /// The clock hour taken for now, 0 to 23; this hour for today, 7 for any other morning and with --store, when left out
    #[arg(long, value_name = "HOUR")]
    pub now: Option<i32>,
    /// A forecast file: a plain table, or what the public weather service gives
    #[arg(long, value_name = "FILE")]
    pub forecast: Option<PathBuf>,
    /// Answer as the pages do, with what this record holds: readings, forecast, orders, and what an accepted plan has ordered and told
    #[arg(long, value_name = "FILE")]
    pub store: Option<PathBuf>,
    /// With --store: a farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", requires = "store", conflicts_with = "farm")]
    pub of: Option<String>,
    /// How many futures are lived through
    #[arg(long, value_name = "N", default_value_t = 300)]
    pub members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    pub metric: bool,
}

impl Default for MorningArgs {
    fn default() -> MorningArgs {
        let (farm, on, now, forecast, store, of) = (None, None, None, None, None, None);
        MorningArgs { farm, on, now, forecast, store, of, members: 300, seed: 1, metric: false }
    }
}

impl MorningArgs {
    /// Refuses what no morning can be asked with.
    ///
    /// # Errors
    /// Which option, and what it takes.
    pub fn looked_at(&self) -> Result<(), String> {
        if let Some(hour) = self.now.filter(|hour| !(0..24).contains(hour)) {
            return Err(no_hour(hour));
        }
        if !(16..=5000).contains(&self.members) {
            return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", self.members));
        }
        Ok(())
    }

    /// Makes the question from the farm's files alone and has it answered; remarks come with what the files said.
    ///
    /// # Errors
    /// Why it cannot be asked, or what `answer` refuses.
    pub fn asked_of_files<T>(
        &self,
        now: Instant,
        answer: impl FnOnce(&MorningAsk, Manner, &mut Vec<String>) -> Result<T, String>,
    ) -> Result<(T, Vec<String>), String> {
        let read = files::farm(self.farm.as_deref())?;
        let (on, now_hour) = moment(self, &read.farm, now)?;
        let mut remarks = read.remarks.clone();
        let history = read.history(&mut remarks)?;
        let forecast = forecast_of(self, &read, on, &mut remarks)?;
        let Donors { record: donors } = read.donors()?;
        let past =
            FarmPast::new(&read.farm, &history, &donors, self.seed).map_err(|error| words::trouble::past(&error))?;
        let morning = MorningAsk {
            farm: &read.farm,
            past: &past,
            on,
            now_hour,
            forecast: forecast.as_ref(),
            members: self.members,
            yesterday: None,
            until_proved: false,
        };
        let manner = if self.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
        let told = answer(&morning, manner, &mut remarks)?;
        Ok((told, remarks))
    }
}

fn no_hour(hour: i32) -> String {
    format!("--now is {hour}: it is a clock hour from 0 to 23.")
}

/// Clock hour taken for "now" on a morning that is asked for by name.
pub const MORNING_HOUR: i32 = 7;

/// The day and clock hour asked about: by the farm's own clock where neither the command nor the farm file names a morning.
pub fn moment(args: &MorningArgs, farm: &Farm, now: Instant) -> Result<(Day, i32), String> {
    let (today, second) = farm.place.zone.day_and_second(now);
    let on = morning_of(args, farm, today)?;
    let named = args.on.is_some() || farm.morning.is_some();
    let hour = args.now.unwrap_or(if named { MORNING_HOUR } else { second / 3600 });
    if (0..24).contains(&hour) { Ok((on, hour)) } else { Err(no_hour(hour)) }
}

/// The day asked for; the farm's own; today.
pub fn morning_of(args: &MorningArgs, farm: &Farm, today: Day) -> Result<Day, String> {
    match (&args.on, &farm.morning) {
        (Some(text), _) => Day::parse(text)
            .ok_or_else(|| format!("--on {text}: this is no date. Write it as 2020-09-15 (year-month-day).")),
        (None, Some(Morning { on, .. })) => Ok(*on),
        (None, None) => Ok(today),
    }
}

/// The forecast named; else the farm's own for its own morning.
pub fn forecast_of(
    args: &MorningArgs,
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
        let plain = MorningArgs::default();
        assert_eq!(moment(&plain, &farm, now), Ok((day("2011-09-28"), 7)), "the sample's own morning");
        farm.morning = None;
        assert_eq!(moment(&plain, &farm, now), Ok((day("2011-09-30"), 22)));
        let named = MorningArgs { on: Some("2011-09-20".to_owned()), ..MorningArgs::default() };
        assert_eq!(moment(&named, &farm, now), Ok((day("2011-09-20"), 7)));
        let hour = MorningArgs { now: Some(5), ..MorningArgs::default() };
        assert_eq!(moment(&hour, &farm, now), Ok((day("2011-09-30"), 5)));
        assert!(moment(&MorningArgs { now: Some(24), ..MorningArgs::default() }, &farm, now).is_err());
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
