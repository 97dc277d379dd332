//! What commands about one pond of a morning are asked alike, and how its question is made.

use clap::Args;
use season::MorningAsk;
use season::day::LiveOrder;
use season::farm::Farm;
use season::farm::facts::{Treatment, waits};
use season::promised::{buyers, live_orders};
use units::{Day, Instant};
use words::figures::Manner;

use super::of_morning::MorningArgs;
use super::plan::from_record;

/// Which pond, of which farm, on which morning
#[derive(Debug, Args)]
pub struct OnePondArgs {
    /// Which pond, by its name
    #[arg(value_name = "POND")]
    pond: Option<String>,
    /// What differs from the farm's own description, as day=2020-10-03; all of it is explained by --ask
    #[arg(value_name = "KEY=VALUE")]
    given: Vec<String>,
    #[command(flatten)]
    of: MorningArgs,
    /// Tell what can be asked, and end
    #[arg(long)]
    pub ask: bool,
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
    /// Treatments as the record holds them; none from files.
    pub treatments: Vec<Treatment>,
    /// What is ordered alive by the record; nothing from files.
    pub live_orders: Vec<LiveOrder>,
    /// Units of the answer.
    pub manner: Manner,
}

impl OnePond<'_> {
    /// A treatment whose waiting days reach into a catch of the pond on a day, in words.
    pub fn waits(&self, on: Day) -> Option<String> {
        let card = &self.morning.farm.ponds[self.pond];
        let one = waits(&self.treatments, &card.id, on)?;
        Some(words::page_trace::wait_reaches(&card.name, one, on))
    }
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
        self.of.looked_at()?;
        let typed = pairs(&self.given)?;
        if let Some(path) = &self.of.store {
            let mut remarks = Vec::new();
            let record = from_record::record_at(path)?;
            let facts = from_record::facts_of(&self.of, &record, now)?;
            let read = web::pages::treated::entered(&record, &facts);
            let treatments = read.map_err(|error| words::store::error(path, &error))?;
            let morning = facts.ask(None);
            let pond = self.pond_of(morning.farm)?;
            let manner = if self.of.metric { Manner::Metric } else { facts.manner };
            let (market, _) = record.market(&facts).map_err(|error| words::store::error(path, &error))?;
            let live_orders = live_orders(&buyers(&facts.farm, &market));
            let asked = OnePond { morning: &morning, pond, typed, treatments, live_orders, manner };
            let told = answer(&asked, &mut remarks)?;
            return Ok((told, remarks));
        }
        self.of.asked_of_files(now, |morning, manner, remarks| {
            let pond = self.pond_of(morning.farm)?;
            let (treatments, live_orders) = (Vec::new(), Vec::new());
            answer(&OnePond { morning, pond, typed, treatments, live_orders, manner }, remarks)
        })
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
