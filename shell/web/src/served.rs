//! A farm as the pages are given it: read, checked, and ready to be asked about.

use farm::Farm;
use season::weather::IssuedForecast;
use season::{FarmPast, MorningAsk, OutlookError, answer::Outlook, outlook};
use units::{Day, Watch};
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
    /// The clock hour taken for now.
    pub now_hour: i32,
    /// How many futures are weighed.
    pub members: usize,
    /// The sample farm, which may be thrown away.
    pub is_sample: bool,
    /// The units its people read.
    pub manner: Manner,
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

    /// Reckons the morning.
    ///
    /// # Errors
    /// Whatever `season` refuses.
    pub fn reckon(&self, watch: &Watch) -> Result<Outlook, OutlookError> {
        let ask = MorningAsk {
            farm: &self.farm,
            past: &self.past,
            on: self.on,
            now_hour: self.now_hour,
            forecast: self.forecast.as_ref(),
            members: self.members,
            yesterday: None,
        };
        outlook(&ask, watch)
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
