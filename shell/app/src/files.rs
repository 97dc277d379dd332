//! Files of a farm: read from disk, or taken from the samples that stand within the program.

use std::path::{Path, PathBuf};

use farm::{Farm, read_farm};
use season::weather::HourlyForm;
use season::weather::{DailyRecord, DonorRecord, IssuedForecast, Weather, WeatherForm, read_any};

const HAZEL_BEND: &str = include_str!("../../../samples/hazel-bend/farm.toml");
const HAZEL_BEND_HISTORY: &[u8] = include_bytes!("../../../samples/hazel-bend/history.csv");
const HAZEL_BEND_FORECAST: &[u8] = include_bytes!("../../../samples/hazel-bend/forecast.csv");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../samples/donors/kennedy.csv")),
];

/// Towns for the set-up's first page.
pub const PLACES: &str = include_str!("../../../samples/places/places.csv");

/// The name under which a farm file asks for the record that comes with the program.
const PIEDMONT: &str = "piedmont";

/// The daily record that comes with the program; a farm file asks for it as `shipped:piedmont`.
pub fn shipped_past() -> web::ShippedPast {
    web::ShippedPast { name: PIEDMONT, bytes: HAZEL_BEND_HISTORY, latitude_deg: 34.68, longitude_deg: -82.84 }
}

/// The hourly records that come with the program.
pub fn shipped_donors() -> Result<DonorRecord, String> {
    DonorRecord::read(&DONORS).map(|(record, _)| record).map_err(|error| words::trouble::donors(&error))
}

/// Donors ready to lend.
pub struct Donors {
    /// The records.
    pub record: DonorRecord,
}

/// A farm with the place its files are looked for.
pub struct FarmFiles {
    /// The farm.
    pub farm: Farm,
    /// The text it was read from.
    text: String,
    /// Folder of its file; `None` for the sample within the program.
    folder: Option<PathBuf>,
    /// What a person should know of the reading.
    pub remarks: Vec<String>,
}

/// Reads a farm file, or the sample farm.
pub fn farm(path: Option<&Path>) -> Result<FarmFiles, String> {
    let (text, name, folder) = match path {
        None => (HAZEL_BEND.to_owned(), "the sample farm".to_owned(), None),
        Some(path) => {
            let text = words::trouble::read(path, std::fs::read_to_string(path))?;
            (text, path.display().to_string(), Some(path.parent().unwrap_or(Path::new("")).to_owned()))
        }
    };
    let farm = read_farm(&text).map_err(|reasons| {
        reasons.iter().map(|reason| words::farm::reason(&name, reason)).collect::<Vec<_>>().join("\n")
    })?;
    let remarks = farm.doubts.iter().map(|doubt| words::farm::doubt(&name, doubt)).collect();
    Ok(FarmFiles { farm, text, folder, remarks })
}

impl FarmFiles {
    /// The text of its file.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The daily record of past years.
    pub fn history(&self, remarks: &mut Vec<String>) -> Result<DailyRecord, String> {
        let name = &self.farm.weather.history;
        let bytes = match &self.folder {
            Some(folder) if name != "shipped:piedmont" => bytes(&folder.join(name))?,
            _ => HAZEL_BEND_HISTORY.to_vec(),
        };
        self.daily(&bytes, name, remarks)
    }

    /// A daily record named on the command line.
    pub fn history_at(&self, path: &Path, remarks: &mut Vec<String>) -> Result<DailyRecord, String> {
        self.daily(&bytes(path)?, &path.display().to_string(), remarks)
    }

    fn daily(&self, bytes: &[u8], name: &str, remarks: &mut Vec<String>) -> Result<DailyRecord, String> {
        match self.read(bytes, name, remarks)? {
            (_, Weather::Daily(record)) => Ok(record),
            (form, _) => Err(words::trouble::wrong_form(name, form, "daily lows and highs of past years")),
        }
    }

    /// A forecast named by the farm file.
    pub fn own_forecast(&self, name: &Path, remarks: &mut Vec<String>) -> Result<IssuedForecast, String> {
        match &self.folder {
            None => self.forecast(HAZEL_BEND_FORECAST, "forecast.csv", remarks),
            Some(folder) => self.forecast_at(&folder.join(name), remarks),
        }
    }

    /// A forecast named on the command line.
    pub fn forecast_at(&self, path: &Path, remarks: &mut Vec<String>) -> Result<IssuedForecast, String> {
        self.forecast(&bytes(path)?, &path.display().to_string(), remarks)
    }

    fn forecast(&self, bytes: &[u8], name: &str, remarks: &mut Vec<String>) -> Result<IssuedForecast, String> {
        match self.read(bytes, name, remarks)? {
            (_, Weather::Forecast(forecast)) => Ok(forecast),
            (form, _) => Err(words::trouble::wrong_form(name, form, "a forecast")),
        }
    }

    fn read(&self, bytes: &[u8], name: &str, remarks: &mut Vec<String>) -> Result<(WeatherForm, Weather), String> {
        let form = HourlyForm { zone: Some(self.farm.place.zone.clone()), label: None };
        let (form, read) = read_any(bytes, name, &form).map_err(|refusal| words::trouble::weather(name, &refusal))?;
        if !read.findings.is_empty() {
            remarks.push(words::trouble::findings(name, read.findings.len()));
        }
        Ok((form, read.value))
    }

    /// Hourly records that lend wind, dew point, cloud and rain: the farm's own, or those within the program.
    pub fn donors(&self) -> Result<Donors, String> {
        let own = match (&self.farm.weather.donors, &self.folder) {
            (Some(name), Some(folder)) => Some(folder.join(name)),
            _ => None,
        };
        let files: Vec<(String, Vec<u8>)> = match own {
            None => DONORS.iter().map(|(name, bytes)| ((*name).to_owned(), bytes.to_vec())).collect(),
            Some(folder) => {
                let mut paths: Vec<PathBuf> = words::trouble::read(&folder, std::fs::read_dir(&folder))?
                    .filter_map(|entry| entry.ok().map(|entry| entry.path()))
                    .filter(|path| path.is_file())
                    .collect();
                paths.sort();
                paths
                    .iter()
                    .map(|path| Ok((path.display().to_string(), bytes(path)?)))
                    .collect::<Result<_, String>>()?
            }
        };
        let named: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
        let (record, _) = DonorRecord::read(&named).map_err(|error| words::trouble::donors(&error))?;
        Ok(Donors { record })
    }

    /// Whether the file itself speaks in feet, pounds and degrees Fahrenheit.
    pub fn us_customary(&self) -> bool {
        // The person's own units: those the file's areas are typed in.
        self.text
            .lines()
            .filter_map(|line| line.split_once('='))
            .any(|(key, value)| key.trim() == "area" && value.contains("ac"))
    }
}

/// A file's bytes, or why not.
pub fn bytes(path: &Path) -> Result<Vec<u8>, String> {
    words::trouble::read(path, std::fs::read(path))
}
