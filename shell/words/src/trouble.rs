//! Why a morning, a season or a file could not be answered, and what to do about it.

use std::path::Path;

use season::plan::DecideFault;
use season::weather::{ClimateError, DonorError, MembersError, Refusal, WeatherForm};
use season::{OutlookError, PastError, PondModelError};

use units::Day;

use crate::figures::day;

/// A file's content, or a sentence about why it could not be read.
pub fn read<T>(path: &Path, result: std::io::Result<T>) -> Result<T, String> {
    result.map_err(|error| {
        let name = path.display();
        match error.kind() {
            std::io::ErrorKind::NotFound => format!("{name}: there is no such file. Check its name and folder."),
            std::io::ErrorKind::PermissionDenied => format!("{name}: this machine does not let you read it."),
            std::io::ErrorKind::InvalidData => {
                format!("{name}: this is not plain text. Save it as text (UTF-8) and try again.")
            }
            std::io::ErrorKind::IsADirectory => format!("{name}: this is a folder. Name the file itself."),
            _ => format!("{name}: it could not be read ({error})."),
        }
    })
}

/// A file that could not be written.
pub fn not_written(path: &Path, error: &std::io::Error) -> String {
    let name = path.display();
    match error.kind() {
        _ if path.is_dir() => format!("{name}: this is a folder. Name a file to write, such as {name}/water.csv"),
        std::io::ErrorKind::NotFound => format!("{name}: there is no such folder. Make it first, or name another."),
        std::io::ErrorKind::PermissionDenied => format!("{name}: this machine does not let you write there."),
        std::io::ErrorKind::StorageFull => format!("{name}: the disk is full; nothing was written."),
        _ => format!("{name}: it could not be written ({error})."),
    }
}

/// A weather file of another kind than is wanted.
pub fn wrong_form(name: &str, form: WeatherForm, wanted: &str) -> String {
    let found = match form {
        WeatherForm::DailyTable | WeatherForm::GhcnFixed | WeatherForm::GhcnCommas => "daily lows and highs",
        WeatherForm::HourlyTable => "a table of hours",
        WeatherForm::Epw => "a typical year of hours",
        WeatherForm::ServiceForecast | WeatherForm::ForecastTable => "a forecast",
    };
    format!("{name}: this holds {found}, but {wanted} is wanted here.")
}

/// A weather file that was refused.
pub fn weather(name: &str, refusal: &Refusal) -> String {
    let why = crate::weather::refusal(refusal, &units::Zone::utc());
    format!("{name}: {why}. To see what is in it: warmspell weather {name}")
}

/// How many oddities a file had.
pub fn findings(name: &str, many: usize) -> String {
    let (count, verb) = if many == 1 { ("one oddity".to_owned(), "was") } else { (format!("{many} oddities"), "were") };
    format!("{name}: {count} {verb} found and dealt with. To see them: warmspell weather {name}")
}

/// Donor records that cannot lend.
pub fn donors(error: &DonorError) -> String {
    match error {
        DonorError::None => "The folder of hourly records named in the farm file is empty.".to_owned(),
        DonorError::Unread { name, .. } => {
            format!("{name}: no hourly weather could be read from it. Try: warmspell weather {name}")
        }
        DonorError::NoPlace { name } => format!(
            "{name}: it does not say where it was measured. Add lines '# latitude_deg: 36.1', '# longitude_deg: -79.9' and \
             '# elevation_m: 270' at its top."
        ),
        DonorError::TooFewDays { name, days, least } => {
            format!("{name}: it has {days} whole days; at least {least} are needed to lend from.")
        }
        DonorError::NoCloud => "None of the hourly records has cloud or sun. At least one must.".to_owned(),
    }
}

/// A forecast that nobody could have had on the morning asked for.
pub fn forecast_too_new(issued: Day, on: Day) -> String {
    format!(
        "The forecast was issued on {}, after the morning asked for ({}). Give one from that morning or before, or none.",
        day(issued),
        day(on)
    )
}

/// Why a morning could not be answered.
pub fn outlook(error: &OutlookError) -> String {
    match error {
        OutlookError::Past(error) => past(error),
        OutlookError::Pond(PondModelError::Shape { pond, error }) => {
            format!("{pond}: its figures do not make a pond. {}", shape(error))
        }
        OutlookError::Pond(PondModelError::NeverEmpty { pond }) => format!(
            "{pond}: nothing named in the farm file ever empties it to catch depth. Name its outlet or pumps, or how long it takes \
             to empty (empties_in)."
        ),
        OutlookError::NothingLeft => {
            "Every pond is out: there is nothing to plan until one is stocked again.".to_owned()
        }
        OutlookError::SeasonOver { last_catch } => format!(
            "The last day a catch can be is {}, by the farm's own set-up (season.last_catch in its file). Set it later, or ask for an earlier day.",
            day(*last_catch)
        ),
        OutlookError::BeforeStocking { pond, on } => {
            format!("{pond} is only stocked on {}. Ask for that day or a later one.", day(*on))
        }
        OutlookError::Members(error) => members(error),
        OutlookError::Plan(DecideFault::TooManyPonds) => "More than 32 ponds cannot be planned together.".to_owned(),
        OutlookError::Plan(_) => {
            "The plan could not be made: a figure is out of all bounds. Check prices and counts in the farm file."
                .to_owned()
        }
        OutlookError::Stopped => "Stopped, as asked. Nothing was changed.".to_owned(),
    }
}

/// Why a weather history cannot be used.
pub fn past(error: &PastError) -> String {
    match error {
        PastError::Climate(ClimateError::TooShort { days, wanted }) => format!(
            "The weather history has {days} whole days; at least {wanted} (five years) are needed. Ask the nearest station for its \
             daily lows and highs."
        ),
        PastError::Climate(ClimateError::YearNotCovered { hole_days }) => format!(
            "The weather history says nothing of {hole_days} days of the year running. Add a record that covers the whole year."
        ),
        PastError::FewSeasons { found } => format!(
            "Only {found} past seasons are whole for these weeks; at least {} are needed. Fill the gaps in the history file: \
             warmspell weather FILE lists them.",
            season::SEASONS_LEAST
        ),
    }
}

fn members(error: &MembersError) -> String {
    match error {
        MembersError::FewSeasons { known } => {
            format!("Only {known} whole seasons came before this morning. Choose a later day or a longer history.")
        }
        MembersError::NotYetIssued { .. } => {
            "The forecast was issued after this morning. Give one from this morning or before, or ask for a later day."
                .to_owned()
        }
        MembersError::NothingSaid => "The forecast says nothing of any coming day. Give another, or none.".to_owned(),
        MembersError::Horizon { last, .. } => {
            format!("Too few days are left to plan: the season's last catch is {}.", day(*last))
        }
        MembersError::OutsideWindow { .. } | MembersError::NewsNotCovered => {
            "The past seasons and the forecast do not reach over the days from this morning to the season's last catch. Ask for \
             another morning, or give another forecast."
                .to_owned()
        }
    }
}

/// The record knows no farm of this short name.
pub fn no_such_farm(id: &str) -> String {
    format!(
        "The record holds no farm \"{id}\" that was described on the pages. Its short name stands in their addresses, after /f/."
    )
}

/// A farm of the record cannot be opened.
pub fn farm_not_opened(id: &str) -> String {
    format!("The farm \"{id}\" cannot be opened as it stands in the record. Its set-up page says what is wrong.")
}

fn shape(error: &season::ShapeError) -> String {
    use season::ShapeError as E;
    match error {
        E::NotPositive { value, .. } => format!("One of its figures is {value}: it must be above nothing."),
        E::ShallowEndDeeper { shallow_m, deep_m } => {
            format!("The shallow end ({shallow_m:.2} m) is deeper than the drain end ({deep_m:.2} m). Swap them.")
        }
        E::BanksMeet { width_m, slope, depth_m } => format!(
            "With banks of {slope} to 1 and {width_m:.1} m across, the banks would meet at {depth_m:.2} m. Check width, depth and \
             slope."
        ),
        E::AreaIncreasesDownward { row, area_m2, above_m2 } => format!(
            "In its table of depth and area, row {} has {area_m2:.0} m² below {above_m2:.0} m²: a pond narrows downward.",
            row + 1
        ),
        _ => "Check its area, length, width and depths against each other.".to_owned(),
    }
}
