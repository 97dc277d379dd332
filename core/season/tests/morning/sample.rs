//! The shipped samples, ready to be asked.

use farm::{Farm, read_farm};
use season::answer::Outlook;
use season::weather::{DailyRecord, DonorRecord, IssuedForecast, read_daily, read_forecast_table};
use season::{FarmPast, MorningAsk, OutlookError, outlook};
use units::{Day, Watch};

pub const HAZEL_BEND: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
pub const RIO_MANSO: &str = include_str!("../../../../samples/rio-manso/farm.toml");
const HISTORY: &[u8] = include_bytes!("../../../../samples/hazel-bend/history.csv");
pub const HAZEL_BEND_SAYS: &[u8] = include_bytes!("../../../../samples/hazel-bend/forecast.csv");
pub const RIO_MANSO_SAYS: &[u8] = include_bytes!("../../../../samples/rio-manso/forecast.csv");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../../samples/donors/kennedy.csv")),
];

/// Few members: these tests hold the answer's form and sense, not its figures.
pub const MEMBERS: usize = 48;

pub struct Sample {
    pub farm: Farm,
    pub history: DailyRecord,
    pub donors: DonorRecord,
    pub forecast: IssuedForecast,
}

pub fn sample(text: &str, says: &[u8]) -> Sample {
    let farm = read_farm(text).expect("the sample reads");
    let forecast = read_forecast_table(says, &farm.place.zone).expect("its forecast reads").value;
    Sample {
        history: read_daily(HISTORY).expect("the record reads").value,
        donors: DonorRecord::read(&DONORS).expect("the donors read").0,
        farm,
        forecast,
    }
}

pub fn hazel_bend() -> Sample {
    sample(HAZEL_BEND, HAZEL_BEND_SAYS)
}

impl Sample {
    pub fn own_morning(&self) -> Day {
        self.farm.morning.as_ref().expect("a sample carries its morning").on
    }

    pub fn past(&self) -> Result<FarmPast, OutlookError> {
        FarmPast::new(&self.farm, &self.history, &self.donors, 1).map_err(OutlookError::Past)
    }

    pub fn ask(&self, on: Day, forecast: Option<&IssuedForecast>) -> Result<Outlook, OutlookError> {
        let past = self.past()?;
        let ask = MorningAsk {
            farm: &self.farm,
            past: &past,
            on,
            now_hour: 7,
            forecast,
            members: MEMBERS,
            yesterday: None,
            until_proved: false,
        };
        outlook(&ask, &Watch::new())
    }

    pub fn answer(&self) -> Outlook {
        self.ask(self.own_morning(), Some(&self.forecast)).expect("a sample is answered")
    }
}
