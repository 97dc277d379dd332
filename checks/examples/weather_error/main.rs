//! How far each weather stand-in is from measured hours.
//!
//! `cargo run --release -p checks --example weather_error -- FOLDER` with a folder that holds hourly records with measured heat
//! radiation (`va_reservoir_2015_2020_apr_nov.csv`), a typical year with sky cover (`greensboro_tmy3.csv`) and a long daily record
//! (`piedmont_daily_1930_2020.csv`). The figures stand in docs/model/weather.md. Measured files stay outside the repository.

use std::path::Path;

use units::{Day, Zone};
use weather::longwave::{cloud_from_sun, cloud_of_cover_kasten_czeplak_1980, sky_unsworth_monteith_1975 as sky};
use weather::moist::{dew_point_c, pressure_fao56, saturation_bolton_1980};
use weather::{HourLabel, HourlyForm, HourlyRecord, PartHour, Place, complete, read_daily, read_hourly, sun};

mod days;

use days::disaggregation;

/// Errors gathered: count, sum, sum of squares.
#[derive(Default, Clone, Copy)]
struct Errors {
    n: f64,
    sum: f64,
    squares: f64,
}

impl Errors {
    fn add(&mut self, error: f64) {
        self.n += 1.0;
        self.sum += error;
        self.squares += error * error;
    }
    fn of(errors: impl IntoIterator<Item = f64>) -> Errors {
        let mut all = Errors::default();
        errors.into_iter().for_each(|error| all.add(error));
        all
    }
}

impl std::fmt::Display for Errors {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "bias {:+.2} rmse {:.2} (n {})", self.sum / self.n, (self.squares / self.n).sqrt(), self.n)
    }
}

/// Measured hours of one place, cut to whole standard days that hold real readings.
struct Measured {
    place: Place,
    record: HourlyRecord,
    clear: Vec<f64>,
    days: Vec<(Day, usize)>,
}

fn measured(record: HourlyRecord, place: Place) -> Measured {
    let clear = sun::clear_sky_hours(record.start, record.hours.len(), &place);
    let first = place.standard_day(record.start).0;
    let last = place.standard_day(record.end()).0;
    let mut days = Vec::new();
    let mut left_out = 0;
    for number in first.0..=last.0 {
        let day = Day(number);
        let Ok(from) = usize::try_from(place.day_start(day).hours_since(record.start)) else { continue };
        let Some(hours) = record.hours.get(from..from + 24) else { continue };
        let whole = hours.iter().all(|h| h.air_temp_c.is_some() && h.vapour_pressure_hpa.is_some());
        // Stretches filled by straight lines in the source show as sun by night.
        let dark_sun = (0..24).any(|i| clear[from + i] == 0.0 && hours[i].shortwave_w_m2.is_some_and(|s| s > 30.0));
        if whole && !dark_sun {
            days.push((day, from));
        } else {
            left_out += usize::from(hours.iter().any(|h| h.line > 0));
        }
    }
    println!("{} whole days, {left_out} left out (holes, or sun by night)", days.len());
    Measured { place, record, clear, days }
}

impl Measured {
    fn get(&self, at: usize, of: fn(&PartHour) -> Option<f64>) -> f64 {
        of(&self.record.hours[at]).expect("whole days only")
    }
    fn air(&self, at: usize) -> f64 {
        self.get(at, |h| h.air_temp_c)
    }
    fn vapour(&self, at: usize) -> f64 {
        self.get(at, |h| h.vapour_pressure_hpa)
    }
    fn extremes(&self, from: usize) -> (f64, f64) {
        (0..24).map(|i| self.air(from + i)).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)))
    }
    /// Days whose high is at least 6 K below that of the day before, or whose low falls 8 K by the next day.
    fn is_front(&self, at: usize) -> bool {
        let (day, from) = self.days[at];
        let before = at.checked_sub(1).map(|b| self.days[b]).filter(|b| b.0.0 + 1 == day.0);
        let after = self.days.get(at + 1).filter(|b| b.0.0 == day.0 + 1);
        let (low, high) = self.extremes(from);
        before.is_some_and(|b| self.extremes(b.1).1 - high >= 6.0)
            || after.is_some_and(|a| low - self.extremes(a.1).0 >= 8.0)
    }
}

fn read(folder: &Path, name: &str) -> Vec<u8> {
    std::fs::read(folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn virginia(folder: &Path) -> Measured {
    let form = HourlyForm { zone: Some(Zone::utc()), label: Some(HourLabel::End) };
    let record = read_hourly(&read(folder, "va_reservoir_2015_2020_apr_nov.csv"), &form).expect("hours").value;
    let zone = Zone::parse("-05:00").expect("an offset");
    measured(record, Place { latitude_deg: 37.30768, longitude_deg: -79.83707, elevation_m: 507.0, zone })
}

fn longwave_and_humidity(of: &Measured) {
    let sun: Vec<f64> = of.record.hours.iter().map(|h| h.shortwave_w_m2.unwrap_or(0.0)).collect();
    let cloud = cloud_from_sun(&sun, &of.clear).expect("sun");
    let (mut seen, mut none, mut means, mut clear_nights) = <(Errors, Errors, Errors, Errors)>::default();
    let (mut range_hours, mut range_days, mut dew, mut vapour, mut sun_days) =
        <(Errors, Errors, Errors, Errors, Errors)>::default();
    let mut mean_sun = Errors::default();
    for &(day, from) in &of.days {
        let (low, high) = of.extremes(from);
        let above = sun::extraterrestrial_mj_m2_d(of.place.latitude_deg, day.day_of_year());
        let guessed = sun::from_range_mj_m2_d(0.16, high - low, above);
        let truth = (0..24).map(|i| sun[from + i]).sum::<f64>() * 0.0036;
        sun_days.add(guessed - truth);
        mean_sun.add(truth);
        let clear_mj = (0..24).map(|i| of.clear[from + i]).sum::<f64>() * 0.0036;
        let day_cloud = (1.0 - guessed / clear_mj).clamp(0.0, 0.85);
        let (mut sum, mut count, mut range_sum) = (0.0, 0.0, 0.0);
        for i in from..from + 24 {
            let (air, e) = (of.air(i), of.vapour(i));
            let low_vapour = saturation_bolton_1980(low);
            dew.add(low.min(air) - dew_point_c(e));
            vapour.add(low_vapour.min(saturation_bolton_1980(air)) - e);
            let Some(real) = of.record.hours[i].longwave_w_m2 else { continue };
            let error = sky(air, e, cloud[i]) - real;
            seen.add(error);
            none.add(sky(air, e, 0.0) - real);
            let range_error = sky(air, e, day_cloud) - real;
            range_hours.add(range_error);
            if of.clear[i] == 0.0 && cloud[i] < 0.1 {
                clear_nights.add(error);
            }
            (sum, count, range_sum) = (sum + error, count + 1.0, range_sum + range_error);
        }
        if count == 24.0 {
            means.add(sum / 24.0);
            range_days.add(range_sum / 24.0);
        }
    }
    println!("longwave, cloud from measured sun, hours   {seen} W/m2");
    println!("  day means                                {means}");
    println!("  nights between clear dusk and dawn       {clear_nights}");
    println!("longwave, cloud ignored, hours             {none}");
    println!("longwave, cloud from range, hours          {range_hours}");
    println!("  day means                                {range_days}");
    println!("dew point = day's low, hours               {dew} K");
    println!("  as vapour pressure                       {vapour} hPa");
    println!("sun from range, days                       {sun_days} MJ/m2/d, mean {:.1}", mean_sun.sum / mean_sun.n);
}

fn holes(of: &Measured) {
    for hours in [1, 3, 6] {
        let mut errors = [Errors::default(); 4];
        for (n, &(day, from)) in of.days.iter().enumerate().filter(|(n, _)| n % 3 == 0) {
            // Three days about the hole must be whole.
            let whole = n > 0 && n + 1 < of.days.len();
            if !whole || of.days[n - 1].0.0 + 1 != day.0 || of.days[n + 1].0.0 != day.0 + 1 {
                continue;
            }
            let slice = HourlyRecord {
                start: of.place.day_start(Day(day.0 - 1)),
                hours: of.record.hours[from - 24..from + 48].to_vec(),
                place: None,
            };
            let Ok(truth) = complete(&slice, &of.place, None, None) else { continue };
            let first = 24 + (n * 7) % (25 - hours);
            let mut holed = slice.clone();
            holed.hours[first..first + hours].fill(PartHour::default());
            let filled = complete(&holed, &of.place, None, None).expect("short").value;
            for i in first..first + hours {
                let (a, b) = (&filled.hours[i], &truth.value.hours[i]);
                errors[0].add(a.air_temp_c - b.air_temp_c);
                errors[1].add(a.vapour_pressure_hpa - b.vapour_pressure_hpa);
                errors[2].add(a.wind_m_s - b.wind_m_s);
                errors[3].add(a.shortwave_w_m2 - b.shortwave_w_m2);
            }
        }
        let [air, vapour, wind, sun] = errors;
        println!("hole of {hours} h: air {air} K; vapour {vapour} hPa; wind {wind} m/s; sun {sun} W/m2");
    }
}

fn typical_year(folder: &Path) {
    let text = String::from_utf8(read(folder, "greensboro_tmy3.csv")).expect("text");
    let mut table = "time,air_temp_c,dew_point_c,shortwave_w_m2,cloud_fraction,pressure_hpa\n".to_owned();
    for line in text.lines().filter(|line| line.as_bytes()[0].is_ascii_digit()) {
        let cells: Vec<&str> = line.split(',').collect();
        let (month, day) = (&cells[0][..2], &cells[0][3..5]);
        let cover = cells[4].parse::<f64>().expect("tenths") / 10.0;
        table +=
            &format!("2001-{month}-{day}T{},{},{},{},{cover},{}\n", cells[1], cells[5], cells[6], cells[2], cells[8]);
    }
    let zone = Zone::parse("-05:00").expect("an offset");
    let form = HourlyForm { zone: Some(zone.clone()), label: Some(HourLabel::End) };
    let record = read_hourly(table.as_bytes(), &form).expect("hours").value;
    let of = measured(record, Place { latitude_deg: 36.1, longitude_deg: -79.95, elevation_m: 273.0, zone });
    let sun: Vec<f64> = of.record.hours.iter().map(|h| h.shortwave_w_m2.unwrap_or(0.0)).collect();
    let seen = cloud_from_sun(&sun, &of.clear).expect("sun");
    let (mut hours, mut days, mut sky_hours) = <(Errors, Errors, Errors)>::default();
    let mut by_cover = [Errors::default(); 11];
    for &(_, from) in &of.days {
        let (mut sum, mut truth) = (0.0, 0.0);
        for i in from..from + 24 {
            let cover = of.get(i, |h| h.cloud_fraction);
            let cloud = cloud_of_cover_kasten_czeplak_1980(cover);
            let made = of.clear[i] * (1.0 - cloud);
            (sum, truth) = (sum + made, truth + sun[i]);
            if of.clear[i] > 150.0 {
                hours.add(made - sun[i]);
                by_cover[(cover * 10.0).round() as usize].add(seen[i]);
                sky_hours.add(sky(of.air(i), of.vapour(i), cloud) - sky(of.air(i), of.vapour(i), seen[i]));
            }
        }
        days.add((sum - truth) * 0.0036);
    }
    println!("sun from cover, bright hours               {hours} W/m2");
    println!("  days                                     {days} MJ/m2/d");
    println!("longwave from cover less from sun, by day  {sky_hours} W/m2");
    for (tenths, cloud) in by_cover.iter().enumerate() {
        let law = cloud_of_cover_kasten_czeplak_1980(tenths as f64 / 10.0);
        println!("  cover {tenths:2}/10: sun missing {:.2}, by the law {law:.2} (n {})", cloud.sum / cloud.n, cloud.n);
    }
    let pressure = of.days.iter().flat_map(|d| (0..24).map(move |i| d.1 + i));
    let pressure = Errors::of(pressure.map(|i| pressure_fao56(273.0) - of.get(i, |h| h.pressure_hpa)));
    println!("pressure from elevation                    {pressure} hPa");
}

fn daily_holes(folder: &Path) {
    let bytes = read(folder, "piedmont_daily_1930_2020.csv");
    let text = String::from_utf8(bytes.clone()).expect("text");
    let truth = read_daily(&bytes).expect("days").value;
    let lines: Vec<&str> = text.lines().collect();
    for hole in [1, 2, 3] {
        let kept = lines.iter().enumerate().filter(|(i, _)| *i < 2 || (i % 50) >= hole || *i + 60 > lines.len());
        let holed: String = kept.map(|(_, line)| format!("{line}\n")).collect();
        let filled = read_daily(holed.as_bytes()).expect("days").value;
        let (mut low, mut high) = <(Errors, Errors)>::default();
        for (i, line) in lines.iter().enumerate().filter(|(i, _)| *i > 2 && (i % 50) < hole && *i + 60 <= lines.len()) {
            let Some(day) = line.split(',').next().and_then(Day::parse) else { continue };
            let _ = i;
            if let (Some(a), Some(b)) = (filled.day(day), truth.day(day)) {
                low.add(a.low_c - b.low_c);
                high.add(a.high_c - b.high_c);
            }
        }
        println!("daily hole of {hole}: low {low} K; high {high} K");
    }
}

fn main() {
    let Some(folder) = std::env::args().nth(1) else {
        println!("not run: give the folder that holds the measured records");
        return;
    };
    let folder = Path::new(&folder);
    let samples = Path::new(env!("CARGO_MANIFEST_DIR")).join("../samples/donors");
    println!("== Virginia, hours of April to November");
    let virginia = virginia(folder);
    longwave_and_humidity(&virginia);
    holes(&virginia);
    println!("== typical year");
    typical_year(folder);
    println!("== long daily record");
    daily_holes(folder);
    println!("== days to hours, Virginia from lenders in Greensboro and New York, 8 draws");
    disaggregation(&virginia, &samples);
}
