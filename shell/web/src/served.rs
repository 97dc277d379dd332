//! A farm as the pages are given it: read, checked, and ready to be asked about.

use std::sync::Arc;

use farm::Farm;
use season::day::{DayError, DaySheet, DayWish, Rehearsal, rehearsal, rehearse};
use season::plan::Decision;
use season::weather::IssuedForecast;
use season::{Drawn, FarmPast, MorningAsk, OutlookError, answer::Outlook, answer_from, draw};
use units::{Day, Instant, Watch};
use words::figures::Manner;

/// One farm and everything its morning is reckoned from.
#[derive(Debug, Clone)]
pub struct Served {
    /// Short name in addresses: small letters, digits and dashes.
    pub id: String,
    /// The farm.
    pub farm: Farm,
    /// Its past.
    pub past: FarmPast,
    /// Its forecast, if there is one.
    pub forecast: Option<IssuedForecast>,
    /// The morning.
    pub on: Day,
    /// The morning is today's by the farm's own clock, and changes with it; not one that was asked for by name.
    pub follows_clock: bool,
    /// The clock hour taken for now.
    pub now_hour: i32,
    /// How many futures are weighed.
    pub members: usize,
    /// The sample farm, which may be thrown away.
    pub is_sample: bool,
    /// How far away its past was measured, km, where that is a shipped record and not one of its own.
    pub lent_past_km: Option<f64>,
    /// The units its people read.
    pub manner: Manner,
    /// The farm file it was first read from.
    pub file: String,
    /// The text of its file and the name of its past, where they were recorded on the pages.
    pub text: Option<Described>,
}

/// What a farm described on the pages was opened from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Described {
    /// The farm file.
    pub text: String,
    /// Its past: the digest of a file that was brought, or the name of a shipped record.
    pub past: String,
}

impl Served {
    /// A short name made from the farm's own: "Hazel Bend" is `hazel-bend`.
    pub fn id_of(name: &str) -> String {
        let mut id = String::new();
        for letter in name.chars() {
            if letter.is_ascii_alphanumeric() {
                id.push(letter.to_ascii_lowercase());
            } else if !id.is_empty() && !id.ends_with('-') {
                id.push('-');
            }
        }
        let id = id.trim_end_matches('-');
        if id.is_empty() { "farm".to_owned() } else { id.to_owned() }
    }

    /// Today by a farm's own clock; never before its last pond was stocked, since there is nothing to harvest before.
    pub fn today(farm: &Farm, now_ms: i64) -> Day {
        let today = farm.place.zone.day_and_second(Instant(now_ms.div_euclid(1000))).0;
        farm.ponds.iter().map(|pond| pond.stocking.on).fold(today, Day::max)
    }

    /// Whether another day has come than the one these facts are of.
    pub fn is_over(&self, now_ms: i64) -> bool {
        self.follows_clock && Served::today(&self.farm, now_ms) != self.on
    }

    /// The morning's question.
    pub fn ask<'a>(&'a self, yesterday: Option<&'a Decision>) -> MorningAsk<'a> {
        MorningAsk {
            farm: &self.farm,
            past: &self.past,
            on: self.on,
            now_hour: self.now_hour,
            forecast: self.forecast.as_ref(),
            members: self.members,
            yesterday,
            until_proved: false,
        }
    }

    /// Rehearses a harvest day of a pond, by its place, from the morning's own draws.
    ///
    /// # Errors
    /// Whatever `season` refuses.
    pub fn rehearse(
        &self,
        drawn: &Drawn,
        outlook: &Outlook,
        pond: usize,
        wish: &DayWish,
    ) -> Result<DaySheet, DayError> {
        rehearse(&self.ask(None), drawn, outlook, pond, wish)
    }

    /// The same with what it was lived from.
    ///
    /// # Errors
    /// Whatever `season` refuses.
    pub fn rehearsal(
        &self,
        drawn: &Drawn,
        outlook: &Outlook,
        pond: usize,
        wish: &DayWish,
    ) -> Result<Rehearsal, DayError> {
        rehearsal(&self.ask(None), drawn, outlook, pond, wish)
    }

    /// Reckons the morning with what yesterday's answer was, from what was drawn before if that still fits; gives what was drawn for the next question.
    ///
    /// # Errors
    /// Whatever `season` refuses.
    pub fn reckon(
        &self,
        before: Option<Arc<Drawn>>,
        yesterday: Option<&Decision>,
        watch: &Watch,
    ) -> Result<(Outlook, Arc<Drawn>), OutlookError> {
        let ask = self.ask(yesterday);
        let drawn = match before {
            Some(drawn) if drawn.fits(&ask) => drawn,
            _ => Arc::new(draw(&ask, watch)?),
        };
        Ok((answer_from(&ask, &drawn, watch)?, drawn))
    }
}

#[cfg(test)]
mod tests {
    use super::Served;

    #[test]
    fn names_become_addresses() {
        for (name, id) in [("Hazel Bend", "hazel-bend"), ("  Río--Manso ", "r-o-manso"), ("...", "farm"), ("A1", "a1")]
        {
            assert_eq!(Served::id_of(name), id);
        }
    }
}
