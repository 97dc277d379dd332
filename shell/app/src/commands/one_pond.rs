//! What commands about one pond of a morning are asked alike, and how its question is made.

use std::path::PathBuf;

use clap::Args;
use season::farm::Farm;
use season::{FarmPast, MorningAsk};
use units::Instant;
use words::figures::Manner;

use super::plan::{PlanArgs, forecast_of, from_record, moment};
use crate::files::{self, Donors};

/// Which pond, of which farm, on which morning
#[derive(Debug, Args)]
pub struct OnePondArgs {
    /// Which pond, by its name
    #[arg(value_name = "POND")]
    pond: Option<String>,
    /// What differs from the farm's own description, as day=2020-10-03; all of it is explained by --ask
    #[arg(value_name = "KEY=VALUE")]
    given: Vec<String>,
    /// The farm's file; the sample farm when left out
    #[arg(long, value_name = "FARM.toml")]
    farm: Option<PathBuf>,
    /// The morning it is asked on, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    on: Option<String>,
    /// The clock hour taken for now, 0 to 23
    #[arg(long, value_name = "HOUR")]
    now: Option<i32>,
    /// A forecast file: a plain table, or what the public weather service gives
    #[arg(long, value_name = "FILE")]
    forecast: Option<PathBuf>,
    /// Answer as the pages do, with what this record holds
    #[arg(long, value_name = "FILE")]
    store: Option<PathBuf>,
    /// With --store: a farm described on the pages, by its short name in their addresses
    #[arg(long, value_name = "NAME", requires = "store", conflicts_with = "farm")]
    of: Option<String>,
    /// How many futures are lived through
    #[arg(long, value_name = "N", default_value_t = 300)]
    members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
    /// Tell what can be asked, and end
    #[arg(long)]
    pub ask: bool,
    /// Print in metres, kilograms and degrees Celsius
    #[arg(long)]
    metric: bool,
    /// Print the answer for a program
    #[arg(long)]
    pub json: bool,
}

/// A question about one pond: the morning, the pond's place, what was typed, the units to answer in.
pub struct OnePond<'a> {
    /// The morning.
    pub morning: &'a MorningAsk<'a>,
    /// The pond's place among the farm's.
    pub pond: usize,
    /// What differs, as typed.
    pub typed: Vec<(&'a str, &'a str)>,
    /// Units of the answer.
    pub manner: Manner,
}

impl OnePondArgs {
    /// Makes the question, from the record or from files, and has it answered; remarks come with what the files said.
    ///
    /// # Errors
    /// Why it cannot be asked, or what `answer` refuses.
    pub fn answered<T>(
        &self,
        now: Instant,
        answer: impl FnOnce(&OnePond, &mut Vec<String>) -> Result<T, String>,
    ) -> Result<(T, Vec<String>), String> {
        if !(16..=5000).contains(&self.members) {
            return Err(format!("--members is {}: 16 to 5000 futures can be weighed.", self.members));
        }
        let as_plan = PlanArgs {
            farm: self.farm.clone(),
            on: self.on.clone(),
            now: self.now,
            forecast: self.forecast.clone(),
            store: self.store.clone(),
            of: self.of.clone(),
            members: self.members,
            seed: self.seed,
            ..PlanArgs::default()
        };
        let typed = pairs(&self.given)?;
        let mut remarks = Vec::new();
        if let Some(path) = &self.store {
            let facts = from_record::facts_at(&as_plan, path, now)?;
            let morning = facts.ask(None);
            let pond = self.pond_of(morning.farm)?;
            let manner = if self.metric { Manner::Metric } else { facts.manner };
            let told = answer(&OnePond { morning: &morning, pond, typed, manner }, &mut remarks)?;
            return Ok((told, remarks));
        }
        let read = files::farm(self.farm.as_deref())?;
        let pond = self.pond_of(&read.farm)?;
        let (on, now_hour) = moment(&as_plan, &read.farm, now)?;
        remarks.clone_from(&read.remarks);
        let history = read.history(&mut remarks)?;
        let forecast = forecast_of(&as_plan, &read, on, &mut remarks)?;
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
        let told = answer(&OnePond { morning: &morning, pond, typed, manner }, &mut remarks)?;
        Ok((told, remarks))
    }

    fn pond_of(&self, farm: &Farm) -> Result<usize, String> {
        let names: Vec<&str> = farm.ponds.iter().map(|card| card.name.as_str()).collect();
        let names = names.join(", ");
        let wanted = self.pond.as_deref().ok_or_else(|| format!("Name a pond: {names}."))?;
        let found = farm.ponds.iter().position(|card| card.name.eq_ignore_ascii_case(wanted) || card.id == wanted);
        found.ok_or_else(|| format!("{wanted}: the farm has no such pond. It has {names}."))
    }
}

/// `KEY=VALUE` as two.
///
/// # Errors
/// The first that is none.
pub fn pairs(given: &[String]) -> Result<Vec<(&str, &str)>, String> {
    let mut typed = Vec::with_capacity(given.len());
    for text in given {
        let (key, value) = text.split_once('=').ok_or_else(|| words::sums::no_pair(text))?;
        typed.push((key.trim(), value.trim()));
    }
    Ok(typed)
}
