//! A morning's question asked of both sample farms, as a person would ask it.

use farm::{Farm, read_farm};
use season::answer::{Note, Outlook};
use season::weather::{DailyRecord, DonorRecord, ForecastDay, IssuedForecast, read_daily, read_forecast_table};
use season::{FarmPast, MorningAsk, OutlookError, outlook};
use units::{Day, Watch};

const HAZEL_BEND: &str = include_str!("../../../samples/hazel-bend/farm.toml");
const RIO_MANSO: &str = include_str!("../../../samples/rio-manso/farm.toml");
const HISTORY: &[u8] = include_bytes!("../../../samples/hazel-bend/history.csv");
const HAZEL_BEND_SAYS: &[u8] = include_bytes!("../../../samples/hazel-bend/forecast.csv");
const RIO_MANSO_SAYS: &[u8] = include_bytes!("../../../samples/rio-manso/forecast.csv");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../samples/donors/kennedy.csv")),
];

/// Few members: these tests hold the answer's form and sense, not its figures.
const MEMBERS: usize = 48;

struct Sample {
    farm: Farm,
    history: DailyRecord,
    donors: DonorRecord,
    forecast: IssuedForecast,
}

fn sample(text: &str, says: &[u8]) -> Sample {
    let farm = read_farm(text).expect("the sample reads");
    let forecast = read_forecast_table(says, &farm.place.zone).expect("its forecast reads").value;
    Sample {
        history: read_daily(HISTORY).expect("the record reads").value,
        donors: DonorRecord::read(&DONORS).expect("the donors read").0,
        farm,
        forecast,
    }
}

fn hazel_bend() -> Sample {
    sample(HAZEL_BEND, HAZEL_BEND_SAYS)
}

impl Sample {
    fn own_morning(&self) -> Day {
        self.farm.morning.as_ref().expect("a sample carries its morning").on
    }

    fn ask(&self, on: Day, forecast: Option<&IssuedForecast>) -> Result<Outlook, OutlookError> {
        let past = FarmPast::new(&self.farm, &self.history, &self.donors, 1).map_err(OutlookError::Past)?;
        let ask =
            MorningAsk { farm: &self.farm, past: &past, on, now_hour: 7, forecast, members: MEMBERS, yesterday: None };
        outlook(&ask, &Watch::new())
    }

    fn answer(&self) -> Outlook {
        self.ask(self.own_morning(), Some(&self.forecast)).expect("a sample is answered")
    }
}

#[test]
fn both_samples_are_answered_in_full() {
    for sample in [hazel_bend(), sample(RIO_MANSO, RIO_MANSO_SAYS)] {
        let answer = sample.answer();
        assert_eq!(answer.ponds.len(), sample.farm.ponds.len());
        assert_eq!(answer.past_is_invented, sample.farm.weather.history_moved_days != 0);
        for pond in &answer.ponds {
            let left =
                answer.notes.iter().any(|note| matches!(note, Note::Left { pond: name, .. } if *name == pond.name));
            assert!(pond.planned.is_some() || left, "{} is neither planned nor said to be left", pond.name);
            assert_eq!(pond.dawns.len(), 10, "{}", pond.name);
            for dawn in &pond.dawns {
                let water = dawn.water_c;
                assert!(water.low <= water.middle && water.middle <= water.high, "{}: {water:?}", pond.name);
                assert!((2.0..36.0).contains(&water.middle), "{}: {water:?}", pond.name);
                assert!(dawn.mark_chance <= dawn.slow_chance, "the cold mark lies below the mark of following");
            }
            assert!(pond.count.low < pond.count.high && pond.mean_weight_g.middle > 10.0);
            for day in &pond.days {
                assert!(day.worth_p05 <= day.worth_mean, "{}: {day:?}", pond.name);
                assert!((0.0..=1.0).contains(&day.loss_chance) && day.cold_cost >= 0.0);
            }
            if let Some(planned) = pond.planned {
                let hours = (planned.catch_day.0 - planned.start.0.0) * 24 + 7 - planned.start.1;
                assert!(planned.parts || f64::from(hours) + 1.0 >= pond.lead_h, "{}: too late a start", pond.name);
            }
        }
    }
}

#[test]
fn the_same_question_has_the_same_answer_on_any_number_of_threads() {
    let sample = hazel_bend();
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(|| sample.answer())
    };
    assert!(on(1) == on(3), "one thread and three do not agree");
}

#[test]
fn a_colder_forecast_never_leaves_more_hours() {
    let sample = hazel_bend();
    let colder = |by_c: f64| {
        let days = sample.forecast.days.iter().map(|day| ForecastDay {
            low_c: day.low_c.map(|low| low - by_c),
            high_c: day.high_c.map(|high| high - by_c),
            ..*day
        });
        let forecast = IssuedForecast { days: days.collect(), ..sample.forecast.clone() };
        sample.ask(sample.own_morning(), Some(&forecast)).expect("answered")
    };
    let (mild, cold) = (colder(0.0), colder(8.0));
    for (mild, cold) in mild.ponds.iter().zip(&cold.ponds) {
        let hours = |hours: Option<f64>| hours.unwrap_or(f64::INFINITY);
        assert!(hours(cold.in_hand_likely_h) <= hours(mild.in_hand_likely_h), "{}", mild.name);
        assert!(cold.dawns[6].water_c.middle < mild.dawns[6].water_c.middle - 1.0, "{}", mild.name);
        let chance =
            |pond: &season::answer::PondOutlook| pond.dawns.iter().map(|dawn| dawn.mark_chance).fold(0.0, f64::max);
        assert!(chance(cold) >= chance(mild));
    }
}

#[test]
fn without_a_forecast_it_says_so_and_answers() {
    let sample = hazel_bend();
    let answer = sample.ask(sample.own_morning(), None).expect("answered");
    assert!(answer.notes.contains(&Note::NoForecast) && answer.forecast.is_none());
    assert!(answer.ponds.iter().any(|pond| pond.planned.is_some()));
    let told = sample.answer();
    let spread = |answer: &Outlook| answer.ponds[0].dawns[3].water_c.high - answer.ponds[0].dawns[3].water_c.low;
    assert!(spread(&answer) > spread(&told), "a forecast narrows the coming dawns");
}

#[test]
fn a_farm_past_saving_still_gets_the_best_there_is() {
    let mut sample = hazel_bend();
    for day in &mut sample.forecast.days {
        (day.low_c, day.high_c) = (Some(-6.0), Some(2.0));
    }
    for reading in sample.farm.ponds.iter_mut().flat_map(|card| &mut card.readings) {
        reading.temp_c = 13.0;
    }
    let answer = sample.answer();
    assert!(answer.ponds.iter().any(|pond| pond.planned.is_some()), "there is still a plan");
    let truth = answer.notes.iter().any(|note| matches!(note, Note::CannotBeSaved { .. } | Note::Left { .. }));
    assert!(truth, "and the plain truth: {:?}", answer.notes);
}

#[test]
fn what_cannot_be_answered_is_said() {
    let sample = hazel_bend();
    let stocked = sample.farm.ponds[0].stocking.on;
    let last = sample.farm.season.last_catch;
    let refused = |on: Day| sample.ask(on, None).expect_err("refused");
    assert!(matches!(refused(stocked.plus(-3)), OutlookError::BeforeStocking { .. }));
    assert!(matches!(refused(last.plus(1)), OutlookError::SeasonOver { last_catch } if last_catch == last));

    let mut out = hazel_bend();
    let on = out.own_morning();
    out.farm.ponds.iter_mut().for_each(|card| card.harvested = Some(on.plus(-1)));
    assert!(matches!(out.ask(on, None), Err(OutlookError::NothingLeft)));

    let mut short = hazel_bend();
    short.history.low_c.truncate(900);
    short.history.high_c.truncate(900);
    assert!(matches!(short.ask(on, None), Err(OutlookError::Past(_))), "three years of record are too few");

    let watch = Watch::new();
    watch.ask_to_stop();
    let past = FarmPast::new(&sample.farm, &sample.history, &sample.donors, 1).expect("a past");
    let ask =
        MorningAsk { farm: &sample.farm, past: &past, on, now_hour: 7, forecast: None, members: 16, yesterday: None };
    assert!(matches!(outlook(&ask, &watch), Err(OutlookError::Stopped)));
}
