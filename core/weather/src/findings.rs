//! What was odd in a file, line by line, and what was done about it.

use units::{Day, Instant};

/// A value read, with everything odd that was met on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Read<T> {
    /// What was read.
    pub value: T,
    /// What was odd, in file order.
    pub findings: Vec<Finding>,
}

/// One odd thing in a file.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Line in the file, 1 for the first; for something missing, the line it is missing after; 0 for the file as a whole.
    pub line: usize,
    /// Column (or key) as the file names it; empty when the whole line is meant.
    pub column: String,
    /// The text as written; empty when there was none.
    pub text: String,
    /// What is wrong.
    pub what: What,
    /// What was done.
    pub done: Done,
}

/// What is wrong.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A column that no reader knows.
    UnknownColumn,
    /// A column without a single value.
    EmptyColumn,
    /// A cell without a value.
    Blank,
    /// The value of this line is missing or was not believed.
    NoValue,
    /// Text where a number belongs.
    NotANumber,
    /// Text where a date or time belongs.
    NotATime,
    /// Bytes that are not text.
    NotText,
    /// More or fewer cells than the header has columns.
    CellCount {
        /// Cells on the line.
        found: usize,
        /// Columns in the header.
        expected: usize,
    },
    /// Outside anything the air has done.
    OutOfBounds {
        /// The value, in the unit of the header.
        value: f64,
        /// Least believable.
        least: f64,
        /// Most believable.
        most: f64,
    },
    /// Far from what this place knows at that time of year.
    FarFromSeason {
        /// The value, °C.
        value_c: f64,
        /// The usual value of that time of year, °C.
        usual_c: f64,
        /// How many usual deviations away.
        deviations: f64,
    },
    /// The day's minimum is above its maximum.
    LowAboveHigh {
        /// Minimum, °C.
        low_c: f64,
        /// Maximum, °C.
        high_c: f64,
    },
    /// Dew point above the air temperature.
    DewAboveAir {
        /// Dew point, °C.
        dew_point_c: f64,
        /// Air temperature, °C.
        air_temp_c: f64,
    },
    /// More sun than a clear sky gives.
    SunAboveSky {
        /// As read, W/m².
        value_w_m2: f64,
        /// Most that sun could give, W/m².
        most_w_m2: f64,
    },
    /// Sun a little below zero, as instruments read at night.
    SunBelowZero {
        /// Readings.
        values: usize,
        /// The least, W/m².
        least_w_m2: f64,
    },
    /// The middle of the sunny hours is far from the sun's own noon: wrong zone, wrong end of the hour, or a wrong clock.
    SunOffNoon {
        /// Minutes the file's noon is late.
        minutes: f64,
    },
    /// A typical year made of months of several years; dates were laid into one.
    TypicalYear {
        /// The year used for all.
        year: i16,
    },
    /// The same reading for very many hours.
    Stuck {
        /// Hours on end.
        hours: usize,
    },
    /// The same day or hour a second time.
    Repeated {
        /// Line that had it first.
        first_line: usize,
    },
    /// Earlier than the line before it.
    OutOfOrder,
    /// Days without a line.
    MissingDays {
        /// First missing day.
        from: Day,
        /// How many.
        days: usize,
    },
    /// Hours without a line or without this value.
    MissingHours {
        /// First missing hour.
        from: Instant,
        /// How many.
        hours: usize,
    },
    /// A clock time that the autumn change shows twice.
    ClockShownTwice {
        /// Whether the second of the two was taken.
        second: bool,
    },
    /// A clock time that the spring change skips.
    ClockSkipped,
    /// Several lines fell into one hour.
    LinesInHour {
        /// How many.
        lines: usize,
    },
    /// The source's own mark of doubt on the value.
    QualityMark(char),
    /// A unit no reader knows.
    UnknownUnit,
    /// Numbers that would be believed in another unit (a column headed °C that holds °F).
    LooksLikeOtherUnit {
        /// How many values stand outside belief.
        values: usize,
    },
    /// A part of the file this program does not use.
    NotUsed,
    /// Something the file should say and does not; what was assumed stands in the finding's text.
    NotSaid,
    /// Not given for any hour; made from other columns.
    MadeFrom(Made),
}

/// What stands in for a quantity the file does not have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Made {
    /// Vapour pressure: dew point taken as the lowest temperature of the night.
    DewFromNightLow,
    /// Pressure from elevation.
    PressureFromElevation,
    /// Pressure at the station from that at sea level.
    PressureFromSeaLevel,
    /// Sun from cloud.
    SunFromCloud,
    /// Sun from the day's range of temperature.
    SunFromRange,
    /// Heat radiation of the sky from air, vapour and the cloud column.
    LongwaveFromCloud,
    /// Heat radiation of the sky from air, vapour and cloud seen in the sun.
    LongwaveFromSun,
    /// Heat radiation of the sky from air, vapour and cloud guessed from the day's range.
    LongwaveFromRange,
    /// No rain given: none assumed.
    NoRain,
    /// No wind given: the mean of the donor record.
    WindFromDonors,
}

/// How far a stand-in was from measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredError {
    /// Mean of made less measured.
    pub bias: f64,
    /// Root of the mean square of made less measured.
    pub rmse: f64,
    /// Unit of both, and over what they are taken.
    pub unit: ErrorUnit,
}

/// Unit of a measured error and the span of each comparison.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ErrorUnit {
    /// K of dew point, each hour.
    DewPointHours,
    /// hPa, each hour.
    PressureHours,
    /// MJ/m² of sun, each day.
    SunDays,
    /// W/m², each hour.
    FluxHours,
    /// m/s, each hour.
    WindHours,
}

impl Made {
    /// Its error where it could be measured: the figures of docs/model/weather.md. `None` where no measured record has both.
    pub fn measured(self) -> Option<MeasuredError> {
        let (bias, rmse, unit) = match self {
            Made::DewFromNightLow => (0.5, 3.4, ErrorUnit::DewPointHours),
            Made::PressureFromElevation => (-5.5, 8.4, ErrorUnit::PressureHours),
            Made::SunFromCloud => (-0.6, 2.8, ErrorUnit::SunDays),
            Made::SunFromRange => (-0.2, 4.1, ErrorUnit::SunDays),
            Made::LongwaveFromSun => (2.7, 24.2, ErrorUnit::FluxHours),
            Made::LongwaveFromRange => (-4.8, 26.4, ErrorUnit::FluxHours),
            Made::WindFromDonors => (0.7, 1.5, ErrorUnit::WindHours),
            Made::PressureFromSeaLevel | Made::LongwaveFromCloud | Made::NoRain => return None,
        };
        Some(MeasuredError { bias, rmse, unit })
    }
}

/// What was done about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Done {
    /// Used as it stands.
    Kept,
    /// Not used.
    Dropped,
    /// Replaced; a single value is told, a stretch is not.
    Filled(Option<f64>),
    /// Left open: an answer that needs it will be refused.
    LeftOpen,
    /// The first of several was used.
    FirstUsed,
    /// The later of several was used.
    LaterUsed,
    /// Put into its place by time.
    Sorted,
    /// Averaged (rain: summed).
    Averaged,
    /// Held at the nearest value that can be.
    Held(f64),
}

/// Why nothing, or not the part asked for, could be read.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// No line with data.
    Empty,
    /// No reader knows this form.
    UnknownForm,
    /// No header line where one belongs.
    NoHeader {
        /// Line where it was looked for.
        line: usize,
    },
    /// A column that is needed is not there.
    NoColumn {
        /// Line of the header.
        line: usize,
        /// The names that would do.
        wanted: &'static str,
    },
    /// So many values of a column lie outside anything the air has done that its unit must be another than its name says.
    OtherUnit {
        /// Line of the header.
        line: usize,
        /// The column as written.
        column: String,
        /// Values outside.
        outside: usize,
        /// All values of the column.
        of: usize,
    },
    /// Two columns give the same thing.
    TwoColumns {
        /// Line of the header.
        line: usize,
        /// The first, as written.
        first: String,
        /// The second, as written.
        second: String,
    },
    /// Not one line could be used.
    NoUsableLine {
        /// First line that failed.
        line: usize,
        /// Its text.
        text: String,
    },
    /// A stretch too long to fill where it matters.
    Hole {
        /// Line after which it begins (0: before the first).
        line: usize,
        /// What is missing.
        quantity: Quantity,
        /// Its first hour.
        from: Instant,
        /// Hours missing.
        hours: usize,
        /// The longest that would have been filled.
        most: usize,
    },
    /// A quantity no line gives, and nothing to make it from.
    Never(Quantity),
    /// The span asked for is not in the file.
    OutsideFile {
        /// First moment of the file.
        start: Instant,
        /// Its end.
        end: Instant,
    },
    /// The file is of another kind than the one needed here.
    OtherKind,
    /// Broken JSON.
    Json {
        /// Line.
        line: usize,
        /// Column.
        column: usize,
    },
    /// A key that is needed is not there.
    NoKey(&'static str),
    /// A span of years too long to be meant (a mistyped year).
    SpanTooLong {
        /// Line of the outlying time.
        line: usize,
        /// As written.
        text: String,
    },
}

/// A quantity of the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Quantity {
    /// Air temperature.
    AirTemp,
    /// Humidity.
    Humidity,
    /// Wind.
    Wind,
    /// Sun.
    Shortwave,
    /// Heat radiation of the sky.
    Longwave,
    /// Cloud.
    Cloud,
    /// Pressure.
    Pressure,
    /// Rain.
    Rain,
    /// Pressure reduced to the sea.
    SeaLevelPressure,
    /// Dew point.
    DewPoint,
    /// Chance of rain.
    RainChance,
    /// The day's minimum.
    Low,
    /// The day's maximum.
    High,
}

impl Finding {
    /// A finding about one cell.
    pub fn cell(line: usize, column: &str, text: &str, what: What, done: Done) -> Finding {
        Finding { line, column: column.to_owned(), text: clipped(text), what, done }
    }
    /// A finding about a whole line, or about the lack of one.
    pub fn line(line: usize, what: What, done: Done) -> Finding {
        Finding { line, column: String::new(), text: String::new(), what, done }
    }
}

/// The text as written, cut at a length that still fits a report.
pub(crate) fn clipped(text: &str) -> String {
    const MOST: usize = 60;
    if text.chars().count() <= MOST { text.to_owned() } else { text.chars().take(MOST - 1).chain(['…']).collect() }
}
