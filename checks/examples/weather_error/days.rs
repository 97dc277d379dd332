//! Days of lows and highs made into hours, against the hours that were.

use std::path::Path;

use chance::{Purpose, Stream};
use units::Instant;
use weather::moist::dew_point_c;
use weather::{
    DailyRecord, DayExtremes, DonorRecord, Normals, TimedExtreme, between_parton_logan_1981, hours_for_days,
    usual_times,
};

use crate::{Errors, Measured, read};

pub fn disaggregation(of: &Measured, folder_of_donors: &Path) {
    let donors = ["greensboro.csv", "kennedy.csv"].map(|name| (name, read(folder_of_donors, name)));
    let files: Vec<(&str, &[u8])> = donors.iter().map(|(name, bytes)| (*name, bytes.as_slice())).collect();
    let donors = DonorRecord::read(&files).expect("donors").0;
    let wind = of.days.iter().flat_map(|d| (0..24).map(move |i| d.1 + i));
    let usual = |i: usize| donors.usual_wind_m_s(of.record.start.plus_hours(i as i64), &of.place);
    let wind = Errors::of(wind.filter_map(|i| Some(usual(i) - of.record.hours[i].wind_m_s?)));
    println!("wind usual at the nearest lender, hours {wind} m/s");
    let lenders = donors.for_place(&of.place);
    let first = of.days[0].0;
    let n_days = (of.days[of.days.len() - 1].0.0 - first.0 + 1) as usize;
    let mut record = DailyRecord { first, low_c: vec![None; n_days], high_c: vec![None; n_days] };
    for &(day, from) in &of.days {
        let (low, high) = of.extremes(from);
        let at = (day.0 - first.0) as usize;
        (record.low_c[at], record.high_c[at]) = (Some(low), Some(high));
    }
    let normals = Normals::of(&record).expect("days");
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for i in 0..of.days.len() {
        match runs.last_mut() {
            Some(run) if of.days[run.1].0.0 + 1 == of.days[i].0.0 => run.1 = i,
            _ => runs.push((i, i)),
        }
    }
    runs.retain(|run| run.1 - run.0 >= 5);
    let mut score = Score::default();
    for &(a, b) in &runs {
        let days: Vec<DayExtremes> = (a..=b).map(|i| record.day(of.days[i].0).expect("whole")).collect();
        let start = of.place.day_start(days[0].day);
        let curve = between_parton_logan_1981(&usual_times(&days, &of.place), start, 24 * days.len(), &of.place);
        let extremes = night_and_day(of, a, b);
        let at_usual = at_usual_times(of, &extremes, &days);
        let course = |timed: &[TimedExtreme]| between_parton_logan_1981(timed, start, 24 * days.len(), &of.place);
        let (timed, sequence) = (course(&extremes), course(&at_usual));
        for member in 0..8 {
            let mut stream = Stream::new(11, member, Purpose(1));
            let air = hours_for_days(&days, &normals, &lenders, &mut stream);
            score.run(of, a, b, &air, (member == 0).then_some([&curve, &sequence, &timed]));
        }
    }
    score.print();
}

/// The low of each night (six in the evening to noon) and the high of each day (six to nine in the evening), as a forecast
/// names them, at the hours they really came.
fn night_and_day(of: &Measured, a: usize, b: usize) -> Vec<TimedExtreme> {
    let mut timed = Vec::new();
    for i in a..=b {
        let (day, from) = of.days[i];
        let night = if i > a { from - 6..from + 12 } else { from..from + 12 };
        let low = night.min_by(|&p, &q| of.air(p).total_cmp(&of.air(q))).expect("hours");
        let high = (from + 6..from + 21).max_by(|&p, &q| of.air(p).total_cmp(&of.air(q))).expect("hours");
        for (hour, is_high) in [(low, false), (high, true)] {
            let at = Instant(of.place.day_start(day).plus_hours(hour as i64 - from as i64).0 + 1800);
            timed.push(TimedExtreme { at, air_temp_c: of.air(hour), is_high });
        }
    }
    timed
}

/// The same values at their usual times.
fn at_usual_times(of: &Measured, timed: &[TimedExtreme], days: &[DayExtremes]) -> Vec<TimedExtreme> {
    let usual = usual_times(days, &of.place);
    usual.iter().zip(timed).map(|(u, t)| TimedExtreme { air_temp_c: t.air_temp_c, ..*u }).collect()
}

#[derive(Default)]
struct Score {
    lent: [Errors; 3],
    /// Calendar days at usual times; nights and days at usual times; the same at true times.
    curves: [[Errors; 3]; 3],
    dew: Errors,
    sun_days: Errors,
    longwave: Errors,
    longwave_days: Errors,
    made: Vec<[f64; 5]>,
    real: Vec<[f64; 5]>,
}

impl Score {
    fn run(&mut self, of: &Measured, a: usize, b: usize, air: &weather::AirSeries, curves: Option<[&Vec<f64>; 3]>) {
        let add = |errors: &mut [Errors; 3], made: &[f64], real: &[f64], front: bool| {
            made.iter().zip(real).for_each(|(m, r)| errors[0].add(m - r));
            errors[1].add((made.iter().sum::<f64>() - real.iter().sum::<f64>()) / 24.0);
            if front {
                made.iter().zip(real).for_each(|(m, r)| errors[2].add(m - r));
            }
        };
        for i in a..=b {
            let from = of.days[i].1;
            let at = 24 * (i - a);
            let hours = &air.hours[at..at + 24];
            let real: Vec<f64> = (0..24).map(|h| of.air(from + h)).collect();
            let front = of.is_front(i);
            add(&mut self.lent, &hours.iter().map(|h| h.air_temp_c).collect::<Vec<_>>(), &real, front);
            for (k, curve) in curves.into_iter().flatten().enumerate() {
                add(&mut self.curves[k], &curve[at..at + 24], &real, front);
            }
            let (mut sun, mut sky_sum, mut made, mut seen) = (0.0, 0.0, [0.0; 5], [0.0; 5]);
            for (h, hour) in hours.iter().enumerate() {
                let part = &of.record.hours[from + h];
                let dew = dew_point_c(hour.vapour_pressure_hpa);
                let real_dew = dew_point_c(of.vapour(from + h));
                self.dew.add(dew - real_dew);
                let (s, l) = (part.shortwave_w_m2.unwrap_or(0.0), part.longwave_w_m2.unwrap_or(hour.longwave_w_m2));
                sun += hour.shortwave_w_m2 - s;
                sky_sum += hour.longwave_w_m2 - l;
                self.longwave.add(hour.longwave_w_m2 - l);
                let wind = part.wind_m_s.unwrap_or(0.0);
                for (sum, value) in made.iter_mut().zip([
                    hour.wind_m_s,
                    dew,
                    hour.shortwave_w_m2,
                    hour.longwave_w_m2,
                    hour.rain_mm * 24.0,
                ]) {
                    *sum += value / 24.0;
                }
                for (sum, value) in seen.iter_mut().zip([wind, real_dew, s, l, part.rain_mm.unwrap_or(0.0) * 24.0]) {
                    *sum += value / 24.0;
                }
            }
            self.sun_days.add(sun * 0.0036);
            self.longwave_days.add(sky_sum / 24.0);
            self.made.push(made);
            self.real.push(seen);
        }
    }

    fn print(&self) {
        let [calendar, usual, timed] = self.curves;
        for (name, errors) in [
            ("lending days", self.lent),
            ("curve, calendar days", calendar),
            ("curve, night and day", usual),
            ("same at true hours", timed),
        ] {
            println!("hourly air, {name:20} all {} | day mean {} | front days {}", errors[0], errors[1], errors[2]);
        }
        println!("lent dew point, hours      {} K", self.dew);
        println!("lent sun, days             {} MJ/m2/d", self.sun_days);
        println!("lent longwave, hours       {} W/m2; day means {}", self.longwave, self.longwave_days);
        for (k, name) in ["wind m/s", "dew point C", "sun W/m2", "longwave W/m2", "rain mm/d"].iter().enumerate() {
            println!("day means of {name:14} made {} | measured {}", spread(&self.made, k), spread(&self.real, k));
        }
    }
}

fn spread(days: &[[f64; 5]], k: usize) -> String {
    let mut values: Vec<f64> = days.iter().map(|day| day[k]).collect();
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let variance = values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / n;
    let lag = values.windows(2).map(|p| (p[0] - mean) * (p[1] - mean)).sum::<f64>() / n / variance;
    values.sort_by(f64::total_cmp);
    let at = |p: f64| values[((values.len() - 1) as f64 * p) as usize];
    format!("mean {mean:.2} sd {:.2} p05 {:.2} p95 {:.2} next day {lag:.2}", variance.sqrt(), at(0.05), at(0.95))
}
