use super::*;
use crate::made_up;

struct World {
    climate: Climate,
    truth: Vec<DayExtremes>,
}

/// Gaussian weather of 240 years and its own climate.
fn world() -> World {
    let record = made_up::record(240, 11, 0);
    let climate = Climate::fit(&record, None).expect("long enough");
    let truth = record.span(record.first, record.last()).expect("whole");
    World { climate, truth }
}

impl World {
    fn standard(&self, day: Day) -> LowHigh {
        standard_anomaly(&self.climate, &self.truth[(day.0 - self.truth[0].day.0) as usize])
    }

    fn forecast(&self, skill: &ForecastSkill, issued: Day) -> Vec<LowHigh> {
        let luck = Luck { seed: 9, id: 4 };
        let forecast = issue_forecast(&self.truth, &self.climate, skill, issued, luck).expect("inside the truth");
        let in_sd = |(lead, said): (usize, &LowHigh)| {
            let day = issued.plus(lead as i32);
            said.minus(self.climate.mean_c(day)).with(self.climate.sd_c(day), |a, sd| a / sd)
        };
        forecast.days.iter().enumerate().map(in_sd).collect()
    }

    /// Mornings far enough apart to be nearly independent.
    fn mornings(&self) -> impl Iterator<Item = Day> {
        let first = self.truth[0].day;
        (0..(self.truth.len() as i32 - 40) / 7).map(move |i| first.plus(20 + 7 * i))
    }
}

#[derive(Default)]
struct Moments {
    n: f64,
    xy: f64,
    xx: f64,
    yy: f64,
}

impl Moments {
    fn add(&mut self, x: f64, y: f64) {
        self.n += 1.0;
        self.xy += x * y;
        self.xx += x * x;
        self.yy += y * y;
    }
    fn correlation(&self) -> f64 {
        self.xy / (self.xx * self.yy).sqrt()
    }
}

#[test]
fn a_forecast_is_a_conditional_mean() {
    let world = world();
    let skill = ForecastSkill::default_daily();
    let mut error_and_forecast: Vec<[Moments; 2]> = (0..skill.n_leads()).map(|_| Default::default()).collect();
    let mut n = 0.0;
    for morning in world.mornings() {
        n += 1.0;
        for (lead, said) in world.forecast(&skill, morning).into_iter().enumerate() {
            let error = world.standard(morning.plus(lead as i32)).minus(said);
            error_and_forecast[lead][0].add(error.low, said.low);
            error_and_forecast[lead][1].add(error.high, said.high);
        }
    }
    for (lead, pair) in error_and_forecast.iter().enumerate() {
        let seen = skill.seen_share(lead);
        for m in pair {
            // Four standard errors of a correlation; neighbouring mornings share a little.
            assert!(m.correlation().abs() < 4.0 * 1.2 / f64::sqrt(n), "lead {lead}: {}", m.correlation());
            // Error variance 1 - r and forecast variance r, each within five standard errors and the climate's own 2 %.
            assert!((m.xx / m.n - (1.0 - seen)).abs() < 0.09 * (1.0 - seen) + 0.01, "lead {lead}: {}", m.xx / m.n);
            assert!((m.yy / m.n - seen).abs() < 0.09 * seen + 0.01, "lead {lead}: {}", m.yy / m.n);
            assert!(m.yy / m.n < 1.03, "a forecast spreads no further than the climate");
        }
    }
}

#[test]
fn revisions_do_not_know_of_each_other() {
    let world = world();
    let skill = ForecastSkill::default_daily();
    // For one target day, and for the next one: revisions of successive mornings.
    let mut same: Vec<Moments> = (0..10).map(|_| Moments::default()).collect();
    let mut next: Vec<Moments> = (0..10).map(|_| Moments::default()).collect();
    let mut level: Vec<Moments> = (0..10).map(|_| Moments::default()).collect();
    let mut n = 0.0;
    for target in world.mornings().step_by(4) {
        n += 1.0;
        let said = |lead: usize, day: Day| world.forecast(&skill, day.plus(-(lead as i32)))[lead].low;
        let line: Vec<f64> = (0..12).map(|lead| said(lead, target)).collect();
        let line_next: Vec<f64> = (0..13).map(|lead| said(lead, target.plus(1))).collect();
        for lead in 0..10 {
            let (late, early) = (line[lead] - line[lead + 1], line[lead + 1] - line[lead + 2]);
            same[lead].add(late, early);
            // The morning before `late`'s, about the next day.
            next[lead].add(late, line_next[lead + 2] - line_next[lead + 3]);
            level[lead].add(late, line[lead + 1]);
        }
    }
    let limit = 4.0 * 1.2 / f64::sqrt(n);
    for lead in 0..10 {
        assert!(same[lead].correlation().abs() < limit, "lead {lead}: {}", same[lead].correlation());
        assert!(level[lead].correlation().abs() < limit, "lead {lead}: {}", level[lead].correlation());
        // Not exactly nothing: a forecaster who read neighbouring days together would do a little better.
        assert!(next[lead].correlation().abs() < limit + 0.05, "lead {lead}: {}", next[lead].correlation());
    }
}

#[test]
fn what_is_called_one_in_ten_comes_one_time_in_ten() {
    let world = world();
    let skill = ForecastSkill::default_daily();
    let tenth = chance::inverse_normal(0.1);
    for lead in [1, 5, 10] {
        let (mut came, mut n) = (0.0, 0.0f64);
        for morning in world.mornings() {
            let said = world.forecast(&skill, morning)[lead];
            let mark = said.low + tenth * (1.0 - skill.seen_share(lead)).sqrt();
            came += f64::from(u8::from(world.standard(morning.plus(lead as i32)).low < mark));
            n += 1.0;
        }
        let standard_error = f64::sqrt(0.09 / n);
        assert!((came / n - 0.1).abs() < 4.0 * standard_error, "lead {lead}: {}", came / n);
    }
}

#[test]
fn timing_goes_wrong_where_the_weather_turns() {
    let world = world();
    let errors = |timing: f64| {
        let skill = ForecastSkill::default_daily();
        let skill = ForecastSkill::new(skill.error_sd_c().to_vec(), skill.anomaly_sd_c(), timing).expect("in order");
        // Sums of squared errors and counts on calm and on turning days.
        let mut parts = [(0.0, 0.0); 2];
        for morning in world.mornings() {
            let target = morning.plus(5);
            let slope = 0.5 * (world.standard(target.plus(1)).low - world.standard(target.plus(-1)).low);
            let error = world.standard(target).low - world.forecast(&skill, morning)[5].low;
            let part = &mut parts[usize::from(slope.abs() > 0.8)];
            part.0 += error * error;
            part.1 += 1.0;
        }
        parts.map(|(sum, n)| sum / n)
    };
    let [calm, turning] = errors(0.0);
    assert!((turning / calm - 1.0).abs() < 0.12, "{turning} {calm}");
    let [calm, turning] = errors(24.0);
    assert!(turning > 1.4 * calm, "{turning} {calm}");
}

#[test]
fn a_morning_asked_alone_says_what_it_says_in_a_row() {
    let world = world();
    let skill = ForecastSkill::default_daily();
    let issued = world.truth[200].day;
    let luck = Luck { seed: 1, id: 2 };
    let ask = |truth: &[DayExtremes], luck| issue_forecast(truth, &world.climate, &skill, issued, luck);
    let whole = ask(&world.truth, luck).expect("covered");
    let least = ask(&world.truth[199..200 + skill.n_leads() + 1], luck).expect("covered");
    assert_eq!(whole, least);
    assert_ne!(whole, ask(&world.truth, Luck { seed: 1, id: 3 }).expect("covered"));
    assert_ne!(whole, ask(&world.truth, Luck { seed: 2, id: 2 }).expect("covered"));
    let refused = Err(ForecastError::TruthNotCovered { from: issued.plus(-1), to: issued.plus(15) });
    assert_eq!(ask(&world.truth[200..260], luck), refused);
    assert_eq!(ask(&world.truth[150..200 + skill.n_leads()], luck), refused);
    assert_eq!(ask(&[], luck), refused);
}

#[test]
fn a_services_days_become_leads() {
    let climate = Climate::fit(&made_up::record(40, 12, 0), None).expect("long enough");
    let issued = Day::parse("2010-09-10").expect("a date");
    let usual = |lead: i32| climate.mean_c(issued.plus(lead));
    let say = |lead: i32, low: Option<f64>, high: Option<f64>| ForecastDay {
        low_c: low.map(|above| usual(lead).low + above),
        high_c: high.map(|above| usual(lead).high + above),
        ..ForecastDay::silent(issued.plus(lead))
    };
    let above = |days: &[ForecastDay]| {
        let forecast = DailyForecast::of(days, issued, &climate).expect("something");
        let days = forecast.days.iter().enumerate();
        days.map(|(lead, said)| said.minus(usual(lead as i32))).collect::<Vec<_>>()
    };
    let yesterday = say(-1, Some(9.0), Some(9.0));
    let whole = [yesterday, say(0, Some(1.0), Some(2.0)), say(1, Some(3.0), Some(4.0)), say(3, Some(5.0), None)];
    let got = above(&whole);
    assert_eq!(got.len(), 2, "day 2 is missing, so day 3 is not read");
    assert!((got[1].low - 3.0).abs() < 1e-9 && (got[1].high - 4.0).abs() < 1e-9);

    // No low today, and a high alone tomorrow: about half of it, in standard deviations, goes for the low.
    let sd = climate.sd_c(issued.plus(1));
    let got = above(&[yesterday, say(1, None, Some(4.0))]);
    let low = 4.0 / sd.high * climate.chain().low_high_correlation * sd.low;
    assert!((got[1].low - low).abs() < 1e-9 && (got[1].high - 4.0).abs() < 1e-9, "{got:?}");
    assert!((0.5..0.8).contains(&(got[0].high / got[1].high)), "{got:?}");

    assert_eq!(DailyForecast::of(&[yesterday], issued, &climate), None);
    assert_eq!(DailyForecast::of(&[say(2, Some(1.0), None)], issued, &climate), None);
}
