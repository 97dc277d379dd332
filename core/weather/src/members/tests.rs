use units::{LANES, Real};

use super::*;
use crate::air::{DailyRecord, DayExtremes};
use crate::forecast::{Luck, issue_forecast};
use crate::library::SeasonWindow;
use crate::made_up::{self, WINDOW};

/// Sixty known years, and a year to be lived.
struct World {
    library: Library,
    climate: Climate,
    past: Past,
    season: Vec<DayExtremes>,
    skill: ForecastSkill,
}

const YEAR: i16 = 2021;

fn world_of(record: &DailyRecord, window: SeasonWindow) -> World {
    let library = made_up::library(record, window);
    let start = window.start(YEAR).expect("a date");
    let climate = Climate::fit(record, Some(start)).expect("long enough");
    let past = Past::new(&library, &climate, Some(start));
    let season = record.span(start, start.plus(window.n_days as i32 - 1)).expect("whole");
    World { library, climate, past, season, skill: ForecastSkill::default_daily() }
}

fn world() -> World {
    world_of(&made_up::record(61, 21, 0), WINDOW)
}

impl World {
    fn forecast(&self, today: Day) -> DailyForecast {
        let luck = Luck { seed: 3, id: 0 };
        issue_forecast(&self.season, &self.climate, &self.skill, today, luck).expect("inside the season")
    }

    fn morning<'a>(&'a self, forecast: &'a DailyForecast, last: Day) -> Morning<'a> {
        Morning {
            today: forecast.issued,
            last,
            forecast,
            skill: &self.skill,
            climate: &self.climate,
            library: &self.library,
            past: &self.past,
            seed: 8,
        }
    }

    fn news(&self, ids: Range<u32>) -> MemberNews {
        let first = self.season[0].day;
        MemberNews::new(8, ids, &self.climate, &self.skill, first, first.plus(240))
    }

    fn standard(&self, day: Day, value: LowHigh) -> LowHigh {
        value.minus(self.climate.mean_c(day)).with(self.climate.sd_c(day), |a, sd| a / sd)
    }
}

fn date(text: &str) -> Day {
    Day::parse(text).expect("a date")
}

fn mean_and_variance(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let values: Vec<f64> = values.collect();
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, values.iter().map(|v| (v - mean) * (v - mean)).sum::<f64>() / (n - 1.0))
}

#[test]
fn a_member_alone_is_the_member_in_a_crowd() {
    let world = world();
    let forecast = world.forecast(date("2021-08-20"));
    let morning = world.morning(&forecast, date("2021-10-31"));
    let crowd = Members::draw(&morning, 0..50, &world.news(0..50)).expect("inside the window");
    for id in [0, 17, 49] {
        let alone = Members::draw(&morning, id..id + 1, &world.news(id..id + 1)).expect("inside the window");
        let member = id as usize;
        for hour in [0, 7, 30, 400, 24 * crowd.n_days() - 1] {
            let first = member / LANES * LANES;
            let row = crowd.air_lanes(&world.library, first, hour);
            let single = alone.air_lanes(&world.library, 0, hour);
            assert_eq!(row.air_temp_c.0[member - first].to_bits(), single.air_temp_c.0[0].to_bits());
            assert_eq!(row.longwave_w_m2.0[member - first].to_bits(), single.longwave_w_m2.0[0].to_bits());
            assert_eq!(row.wind_m_s.0[member - first].to_bits(), single.wind_m_s.0[5].to_bits());
            let plain = crowd.air(&world.library, member, hour);
            assert!((row.air_temp_c.lane(member - first) - plain.air_temp_c).abs() < 1e-5);
        }
        for day in 0..crowd.n_days() {
            assert_eq!(crowd.low_high_c(member, day), alone.low_high_c(0, day));
            assert_eq!(crowd.donor(member, day), alone.donor(0, day));
        }
        for (m, lead) in [(1, 0), (20, 14), (72, 3)] {
            assert_eq!(crowd.later_c(member, m, lead), alone.later_c(0, m, lead));
        }
    }
}

#[test]
fn a_replayed_morning_never_reads_later_years() {
    let mut record = made_up::record(61, 21, 0);
    let draw = |record: &DailyRecord| {
        let world = world_of(record, WINDOW);
        let start = date("1995-05-01");
        let climate = Climate::fit(record, Some(start)).expect("long enough");
        let past = Past::new(&world.library, &climate, Some(start));
        assert_eq!(past.n_seasons(), 34);
        let season = record.span(start, start.plus(239)).expect("whole");
        let today = date("1995-08-20");
        let forecast =
            issue_forecast(&season, &climate, &world.skill, today, Luck { seed: 1, id: 0 }).expect("covered");
        let news = MemberNews::new(8, 0..20, &climate, &world.skill, today, today.plus(60));
        let morning =
            Morning { last: today.plus(60), climate: &climate, past: &past, ..world.morning(&forecast, today) };
        Members::draw(&morning, 0..20, &news).expect("inside the window")
    };
    let before = draw(&record);
    let donors = (0..20).flat_map(|m| (0..70).map(move |d| (m, d))).map(|(m, d)| before.donor(m, d).library_day);
    assert!(donors.max().expect("some") < 34 * 240, "the 34 seasons to 1994");
    // From the last day the morning's own forecast reaches on, everything turns tropical.
    for i in (date("1995-09-05").0 - record.first.0) as usize..record.low_c.len() {
        record.low_c[i] = Some(25.0);
        record.high_c[i] = Some(38.0);
    }
    assert_eq!(before, draw(&record));
}

#[test]
fn tomorrows_forecasts_have_todays_for_a_mean() {
    let world = world();
    let forecast = world.forecast(date("2021-09-10"));
    let morning = world.morning(&forecast, date("2021-10-10"));
    let n = 2000;
    let members = Members::draw(&morning, 0..n, &world.news(0..n)).expect("inside the window");
    for later in [1, 4, 8] {
        for lead in [0, 1, 3, 6] {
            let (day, age) = (forecast.issued.plus((later + lead) as i32), later + lead);
            let values = (0..members.len()).map(|m| world.standard(day, members.later_c(m, later, lead)).low);
            let (mean, variance) = mean_and_variance(values);
            let said = world.standard(day, forecast.days[age]).low;
            let revised = world.skill.seen_share(lead) - world.skill.seen_share(age);
            // Four standard errors; donors of 60 years in 11 shifts are no 2000 independent ones, and high skill of the
            // years' own mean leaves 1 / sqrt(60) of the donors' share.
            let slack = 4.0 * (revised / f64::from(n)).sqrt() + 0.15 * (1.0 - world.skill.seen_share(age)) * 0.5;
            assert!((mean - said).abs() < slack, "{later} {lead}: {mean} against {said}");
            assert!((variance / revised - 1.0).abs() < 0.2, "{later} {lead}: {variance} against {revised}");
        }
    }
}

#[test]
fn tomorrows_forecast_is_todays_moved_toward_the_members_truth() {
    let world = world();
    let issued = date("2021-09-10");
    // Far from the usual, so that a wrong weight of what was said shows.
    let far =
        |lead: i32| world.climate.mean_c(issued.plus(lead)).plus(world.climate.sd_c(issued.plus(lead)).times(-2.0));
    let forecast = DailyForecast { issued, days: (0..15).map(far).collect() };
    let morning = world.morning(&forecast, date("2021-09-20"));
    let n = 1000;
    let members = Members::draw(&morning, 0..n, &world.news(0..n)).expect("inside the window");
    for lead in [0, 2, 5, 8, 12] {
        let day = issued.plus(1 + lead as i32);
        let (u, u_before) = (world.skill.information(lead), world.skill.information(lead + 1));
        let off = (0..members.len()).map(|m| {
            let truth = world.standard(day, members.low_high_c(m, 1 + lead)).low;
            let expected = ((1.0 + u_before) * -2.0 + (u - u_before) * truth) / (1.0 + u);
            world.standard(day, members.later_c(m, 1, lead)).low - expected
        });
        let (mean, variance) = mean_and_variance(off);
        let noise = (u - u_before) / ((1.0 + u) * (1.0 + u));
        assert!(mean.abs() < 4.0 * (noise / f64::from(n)).sqrt(), "{lead}: {mean}");
        // Timing makes the noise uneven, so wider than a normal's sampling error.
        assert!((variance / noise - 1.0).abs() < 0.25, "{lead}: {variance} against {noise}");
    }
}

#[test]
fn blocks_are_joined_where_the_days_before_were_alike() {
    let world = world();
    let forecast = world.forecast(date("2021-08-01"));
    let morning = world.morning(&forecast, date("2021-11-30"));
    let members = Members::draw(&morning, 0..150, &world.news(0..150)).expect("inside the window");
    let window = WINDOW.n_days;
    let last_three = |day: usize| {
        (1..4).map(|back| world.past.standard[day - back]).flat_map(|pair| pair.map(f64::from)).collect::<Vec<_>>()
    };
    let apart = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum::<f64>();
    let (mut joins, mut days, mut alike, mut chance) = (0.0, 0.0, 0.0, 0.0);
    for member in 0..members.len() {
        for day in 15..members.n_days() {
            days += 1.0;
            let (old, new) = (members.donor(member, day - 1).library_day, members.donor(member, day).library_day);
            if new == old + 1 {
                continue;
            }
            joins += 1.0;
            assert_ne!(old / window, new / window, "a join leads to another year");
            let (_, place) = WINDOW.place(forecast.issued.plus(day as i32)).expect("inside");
            assert!(((new % window) as i32 - place).abs() <= 10, "{member} {day}");
            if old % window >= 3 {
                alike += apart(&last_three(old + 1), &last_three(new));
                chance += apart(&last_three(old + 1), &last_three((new + 7 * window) % world.past.standard.len()));
            }
        }
    }
    // Blocks of 20 days; a few ends of seasons come on top.
    assert!((15.0..22.0).contains(&(days / joins)), "{}", days / joins);
    assert!(alike < 0.35 * chance, "{alike} against {chance} for another year's same day");
}

#[test]
fn a_members_forecaster_is_as_good_as_believed() {
    let world = world();
    let forecast = world.forecast(date("2021-08-01"));
    let morning = world.morning(&forecast, date("2021-10-30"));
    let members = Members::draw(&morning, 0..200, &world.news(0..200)).expect("inside the window");
    for lead in [0, 1, 3, 5, 10, 14] {
        let (mut xy, mut xx, mut yy, mut n) = (0.0, 0.0, 0.0, 0.0f64);
        for member in 0..members.len() {
            for later in (25..75).step_by(10) {
                let day = forecast.issued.plus((later + lead) as i32);
                let truth = world.standard(day, members.low_high_c(member, later + lead)).low;
                let said = world.standard(day, members.later_c(member, later, lead)).low;
                (xy, xx, yy, n) =
                    (xy + (truth - said) * said, xx + (truth - said) * (truth - said), yy + said * said, n + 1.0);
            }
        }
        let unseen = 1.0 - world.skill.seen_share(lead);
        assert!((xx / n / unseen - 1.0).abs() < 0.15, "lead {lead}: {} against {unseen}", xx / n);
        assert!((xy / (xx * yy).sqrt()).abs() < 0.1, "lead {lead}: {}", xy / (xx * yy).sqrt());
    }
}

#[test]
fn spread_grows_from_the_forecasts_error_to_the_climates() {
    let world = world();
    let forecast = world.forecast(date("2021-09-10"));
    let morning = world.morning(&forecast, date("2021-10-30"));
    let n = 1000;
    let members = Members::draw(&morning, 0..n, &world.news(0..n)).expect("inside the window");
    for lead in [0, 1, 3, 5, 10, 20, 40] {
        let day = forecast.issued.plus(lead as i32);
        let said = forecast.days.get(lead).map_or(LowHigh::default(), |&said| world.standard(day, said));
        for high in [false, true] {
            let pick = |value: LowHigh| if high { value.high } else { value.low };
            let values = (0..members.len()).map(|m| pick(world.standard(day, members.low_high_c(m, lead))));
            let (mean, variance) = mean_and_variance(values);
            let unseen = 1.0 - world.skill.seen_share(lead);
            // 60 years: a standard error of 0.13 of a climate's mean, 0.18 of its variance (11 dates soften it).
            assert!((mean - pick(said)).abs() < 0.3 * unseen + 0.1 * unseen.sqrt(), "{lead} {high}: {mean} {said:?}");
            assert!((variance / unseen - 1.0).abs() < 0.35, "{lead} {high}: {variance} against {unseen}");
        }
    }
}

#[test]
fn where_skill_ends_a_member_is_its_donor_moved_for_good() {
    let world = world();
    let forecast = world.forecast(date("2021-08-20"));
    let morning = world.morning(&forecast, date("2021-11-15"));
    let members = Members::draw(&morning, 0..40, &world.news(0..40)).expect("inside the window");
    let mut settled = 0;
    for member in 0..members.len() {
        for day in 0..members.n_days() - 1 {
            let donor = members.donor(member, day);
            let window = WINDOW.n_days as i32;
            let (_, place) = WINDOW.place(forecast.issued.plus(day as i32)).expect("inside");
            let apart = (donor.library_day as i32 % window - place).abs();
            assert!(apart <= 10 + members.n_days() as i32, "{apart}");
            if day < 15 {
                assert!(!donor.settled);
                continue;
            }
            if !(donor.settled && members.donor(member, day + 1).library_day == donor.library_day + 1) {
                continue;
            }
            settled += 1;
            for hour in [8, 15, 20] {
                let air = members.air(&world.library, member, 24 * day + hour);
                let theirs = world.library.air(donor.library_day, hour);
                let moved = air.air_temp_c - theirs.air_temp_c;
                // The shifts of low and high differ a little, and what may be left of a jump is under 0.05 K.
                assert!((moved - donor.lasting_shift_c).abs() < 0.2, "{member} {day}: {moved} {donor:?}");
                assert_eq!((air.wind_m_s, air.shortwave_w_m2), (theirs.wind_m_s, theirs.shortwave_w_m2));
            }
        }
    }
    // Four days in five: a join takes two or three days to settle, every twenty days.
    assert!(settled as f64 > 0.75 * 40.0 * (members.n_days() - 16) as f64, "{settled}");
}

#[test]
fn hours_have_the_lows_and_highs_of_their_days_and_no_steps() {
    let world = world();
    let forecast = world.forecast(date("2021-09-01"));
    let morning = world.morning(&forecast, date("2021-10-31"));
    let members = Members::draw(&morning, 0..30, &world.news(0..30)).expect("inside the window");
    let (mut worst_step, mut worst_low): (f64, f64) = (0.0, 0.0);
    let mut square = 0.0;
    for member in 0..members.len() {
        let temps: Vec<f64> =
            (0..24 * members.n_days()).map(|hour| members.air(&world.library, member, hour).air_temp_c).collect();
        worst_step = temps.windows(2).map(|two| (two[1] - two[0]).abs()).fold(worst_step, f64::max);
        for (day, hours) in temps.chunks(24).enumerate().take(members.n_days() - 1).skip(1) {
            // The library's lows stand at 06 h sharp, between two hours' middles.
            let dawn = 0.5 * (hours[5] + hours[6]);
            let off = dawn - members.low_high_c(member, day).low;
            worst_low = worst_low.max(off.abs());
            square += off * off;
        }
    }
    assert!(worst_step < 7.0, "{worst_step}");
    assert!(worst_low < 3.0, "{worst_low}");
    let rms = (square / 30.0 / (members.n_days() - 2) as f64).sqrt();
    // Half an hour of the way down and half an hour of the way up meet at the low.
    assert!(rms < 0.7, "{rms}");
}

#[test]
fn an_older_forecast_counts_as_older() {
    let world = world();
    let forecast = world.forecast(date("2021-09-01"));
    let today = date("2021-09-04");
    let morning = Morning { today, ..world.morning(&forecast, date("2021-10-01")) };
    let n = 600;
    let members = Members::draw(&morning, 0..n, &world.news(0..n)).expect("inside the window");
    let values = (0..members.len()).map(|m| world.standard(today, members.low_high_c(m, 0)).low);
    let (mean, variance) = mean_and_variance(values);
    let unseen = 1.0 - world.skill.seen_share(3);
    assert!((variance / unseen - 1.0).abs() < 0.25, "{variance} against {unseen}");
    assert!((mean - world.standard(today, forecast.days[3]).low).abs() < 0.15);
    // So old that it says nothing: climate.
    let today = date("2021-09-25");
    let morning = Morning { today, last: today.plus(10), ..morning };
    let members = Members::draw(&morning, 0..20, &world.news(0..20)).expect("inside the window");
    assert_eq!(members.n_days(), 26);
}

#[test]
fn a_season_over_new_year_is_lived_like_any_other() {
    let window = SeasonWindow { month: 11, day: 1, n_days: 200 };
    let world = world_of(&made_up::record(62, 22, 182), window);
    let forecast = world.forecast(date("2022-03-01"));
    let morning = world.morning(&forecast, date("2022-04-30"));
    let news = MemberNews::new(8, 0..64, &world.climate, &world.skill, forecast.issued, date("2022-05-01"));
    let members = Members::draw(&morning, 0..64, &news).expect("inside the window");
    let day = 40;
    let (mean, _) = mean_and_variance((0..64).map(|m| members.low_high_c(m, day).low));
    let expected = made_up::mean_c(forecast.issued.plus(day as i32), 182).low;
    assert!((mean - expected).abs() < 2.0, "{mean} against {expected}");
}

#[test]
fn what_cannot_be_drawn_is_said() {
    let world = world();
    let forecast = world.forecast(date("2021-08-20"));
    let good = world.morning(&forecast, date("2021-10-31"));
    let news = world.news(0..4);
    let empty = DailyForecast { issued: forecast.issued, days: vec![] };
    let nobody = Past { n_seasons: 1, ..world.past.clone() };
    let day = |text| date(text);
    let wide = MemberNews::new(8, 0..4, &world.climate, &world.skill, day("2021-01-01"), day("2022-01-01"));
    for (morning, refused) in [
        (
            Morning { last: day("2021-08-19"), ..good },
            MembersError::Horizon { today: good.today, last: day("2021-08-19") },
        ),
        (Morning { today: day("2021-08-19"), ..good }, MembersError::NotYetIssued { issued: forecast.issued }),
        (Morning { forecast: &empty, ..good }, MembersError::NothingSaid),
        (Morning { past: &nobody, ..good }, MembersError::FewSeasons { known: 1 }),
        (Morning { last: day("2021-12-24"), ..good }, MembersError::OutsideWindow { day: day("2022-01-08") }),
    ] {
        assert_eq!(Members::draw(&morning, 0..4, &wide), Err(refused));
    }
    assert_eq!(Members::draw(&good, 0..5, &news), Err(MembersError::NewsNotCovered));
    for (first, last) in [("2021-08-21", "2021-12-31"), ("2021-08-01", "2021-10-30")] {
        let short = MemberNews::new(8, 0..4, &world.climate, &world.skill, day(first), day(last));
        assert_eq!(Members::draw(&good, 0..4, &short), Err(MembersError::NewsNotCovered), "{first} {last}");
    }
    let reach = Morning { last: day("2021-12-21"), ..good };
    assert!(Members::draw(&reach, 0..4, &wide).is_ok(), "ten days past the window are lent by its last days");
}
