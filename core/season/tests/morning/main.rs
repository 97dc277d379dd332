//! A morning's question asked of both sample farms, as a person would ask it.

use season::answer::{Note, Outlook, TaskKind};
use season::plan::Limit;
use season::weather::{ForecastDay, IssuedForecast};
use season::{FarmPast, MorningAsk, OutlookError, outlook};
use units::{Day, Watch};

mod course;
mod crops;
mod day;
mod day_again;
mod drain;
mod feeding;
mod filling;
mod kept;
mod orders;
mod oxygen;
mod promised;
mod readings;
mod sample;
mod winter;

use sample::{RIO_MANSO, RIO_MANSO_SAYS, Sample, hazel_bend, sample};

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
    let ask = MorningAsk {
        farm: &sample.farm,
        past: &past,
        on,
        now_hour: 7,
        forecast: None,
        members: 16,
        yesterday: None,
        until_proved: false,
    };
    assert!(matches!(outlook(&ask, &watch), Err(OutlookError::Stopped)));
}

/// One pond of the sample by itself, the others taken out yesterday.
fn only(pond: usize) -> Sample {
    let mut sample = hazel_bend();
    let on = sample.own_morning();
    for (index, card) in sample.farm.ponds.iter_mut().enumerate() {
        card.harvested = (index != pond).then(|| on.plus(-1));
    }
    sample
}

fn left_by(answer: &Outlook) -> Vec<Limit> {
    let left = answer.notes.iter().filter_map(|note| match note {
        Note::Left { by, .. } => Some(by.clone()),
        _ => None,
    });
    left.flatten().collect()
}

#[test]
fn ponds_that_are_out_are_named_and_left_alone() {
    let answer = only(1).answer();
    assert_eq!(answer.ponds.iter().map(|pond| pond.name.as_str()).collect::<Vec<_>>(), ["Quarry"]);
    let mut done: Vec<&str> = answer.done.iter().map(|(name, _)| name.as_str()).collect();
    done.sort_unstable();
    assert_eq!(done, ["Heron", "Lower", "Willow"]);
}

#[test]
fn a_wind_that_is_not_known_widens_the_coming_dawns() {
    let spread = |sd_log: f64| {
        let mut sample = only(2);
        sample.farm.ponds[2].wind_factor.sd_log = sd_log;
        let band = sample.answer().ponds[0].dawns[2].water_c;
        band.high - band.low
    };
    let (known, unknown) = (spread(0.0), spread(0.8));
    assert!(unknown > 1.1 * known, "{known} K with the wind known, {unknown} K without");
}

#[test]
fn a_sample_from_the_net_moves_the_animals() {
    let weighing = |factor: f64| {
        let mut sample = only(0);
        sample.farm.ponds[0].samples.iter_mut().for_each(|sample| sample.mean_weight_g *= factor);
        let answer = sample.answer();
        (answer.ponds[0].mean_weight_g.middle, answer.ponds[0].days[6].worth_mean)
    };
    let (light, usual) = (weighing(0.8), weighing(1.0));
    assert!((usual.0 / 35.0 - 1.0).abs() < 0.12, "34 g eight days ago: {} g now", usual.0);
    assert!((0.75..0.9).contains(&(light.0 / usual.0)) && light.1 < 0.9 * usual.1, "{light:?} {usual:?}");
}

#[test]
fn what_waiting_risks_grows_with_the_autumn() {
    let answer = hazel_bend().answer();
    for pond in &answer.ponds {
        let (first, last) = (pond.days.first().expect("days"), pond.days.last().expect("days"));
        assert!(pond.days.windows(2).all(|pair| pair[0].mark_chance <= pair[1].mark_chance), "{}", pond.name);
        assert!(first.mark_chance < 0.1 && last.mark_chance > 0.6, "{}: {first:?} {last:?}", pond.name);
        assert!(first.loss_chance < 0.25 && last.loss_chance > 0.3, "{}: {first:?} {last:?}", pond.name);
        assert!(last.cold_cost > first.cold_cost && last.worth_mean < first.worth_mean, "{}", pond.name);
        assert!(last.mean_weight_g > first.mean_weight_g, "{}: they grow a little still", pond.name);
        // Hours in hand: one year in ten has fewer than is likely.
        let hours = |hours: Option<f64>| hours.unwrap_or(f64::INFINITY);
        assert!(hours(pond.in_hand_one_in_ten_h) <= hours(pond.in_hand_likely_h), "{}", pond.name);
    }
}

#[test]
fn the_guard_keeps_ponds_from_the_mark() {
    let with = |guard: Option<f64>| {
        let mut sample = hazel_bend();
        sample.farm.choices.guard_chance = guard;
        let answer = sample.answer();
        answer.ponds.iter().map(|pond| pond.mark_chance).fold(0.0, f64::max)
    };
    let (guarded, free) = (with(Some(0.05)), with(None));
    assert!(guarded <= free, "{guarded} guarded, {free} without");
}

#[test]
fn a_days_pounds_are_pounds_and_yield_before_a_pond_is_given_up() {
    // A single pond caught in one day: what is handled daily is kept to in eight futures of ten, or the page says that it is not.
    let sample = only(0);
    let answer = sample.answer();
    let planned = answer.ponds[0].planned.expect("planned");
    let caught_kg = answer.ponds[0].days.iter().find(|day| day.day == planned.catch_day).expect("its day").caught_kg;
    let handled = |kg_day: f64| {
        let mut sample = only(0);
        sample.farm.orders.processing_kg_day = kg_day;
        let answer = sample.answer();
        let yielded = answer.notes.iter().find_map(|note| match note {
            Note::Yielded { kept, asked } => Some((*kept, *asked)),
            _ => None,
        });
        (answer.ponds[0].planned.is_some(), left_by(&answer), yielded)
    };
    assert_eq!(handled(1.5 * caught_kg), (true, vec![], None));
    let (planned, by, yielded) = handled(1.03 * caught_kg);
    let eased = yielded.and_then(|(kept, asked)| Some(kept? < asked));
    assert!(planned && by.is_empty() && eased == Some(true), "{by:?} {yielded:?}");
    assert_eq!(handled(0.3 * caught_kg), (true, vec![], Some((None, 0.8))), "the day runs over");
    // Hands, likewise: nobody but the owners, an hour a day.
    let mut sample = only(0);
    sample.farm.crew.helpers = [0; 7];
    sample.farm.crew.hours_per_day = 3.5;
    let answer = sample.answer();
    let runs_over = answer.notes.iter().any(|note| matches!(note, Note::Yielded { kept: None, .. }));
    assert!(answer.ponds[0].planned.is_some() && runs_over, "{:?}", answer.notes);
}

#[test]
fn rain_closes_banks_and_rivers() {
    let closed = |pond: usize, change: &dyn Fn(&mut farm::AfterRain)| {
        let mut sample = only(pond);
        change(&mut sample.farm.ponds[pond].after_rain);
        let answer = sample.answer();
        (answer.ponds[0].planned.is_some(), left_by(&answer))
    };
    // A bank that closes after any day, wet or dry, never bears a truck; one that asks for a flood always does.
    let bank = |mm: f64| closed(0, &|rain| (rain.bank_closed_by_mm, rain.bank_closed_days) = (Some(mm), 1));
    let (planned, by) = bank(0.0);
    assert!(!planned && by.contains(&Limit::Bank), "{by:?}");
    assert_eq!(bank(2000.0), (true, vec![]));
    let outlet = |mm: f64| closed(0, &|rain| (rain.outlet_drowned_by_mm, rain.outlet_drowned_days) = (Some(mm), 1));
    let (planned, by) = outlet(0.0);
    assert!(!planned && by.contains(&Limit::Receiving), "{by:?}");
    // A shower now and then does not bar every day, nor does a month's closing after each leave one.
    assert!(closed(0, &|rain| (rain.bank_closed_by_mm, rain.bank_closed_days) = (Some(20.0), 1)).0);
    let long = closed(0, &|rain| (rain.bank_closed_by_mm, rain.bank_closed_days) = (Some(0.2), 60));
    assert!(long.1.contains(&Limit::Bank) || long.0, "{long:?}");
}

#[test]
fn an_old_forecast_is_called_old() {
    let sample = hazel_bend();
    let later = sample.own_morning().plus(3);
    let answer = sample.ask(later, Some(&sample.forecast)).expect("answered");
    let age = answer.notes.iter().find_map(|note| match note {
        Note::OldForecast { age_h } => Some(*age_h),
        _ => None,
    });
    assert!(age.is_some_and(|age_h| (66.0..84.0).contains(&age_h)), "{age:?}");
    let fresh = sample.answer();
    assert!(!fresh.notes.iter().any(|note| matches!(note, Note::OldForecast { .. })));
    assert!(fresh.forecast.is_some_and(|used| used.age_h < 36.0));
}

#[test]
fn the_last_days_of_the_season_are_still_answered() {
    let sample = only(0);
    let last = sample.farm.season.last_catch;
    for days_left in 0..5 {
        let answer = sample.ask(last.plus(-days_left), None);
        assert!(answer.is_ok(), "{days_left} days before the last catch: {:?}", answer.err());
    }
}

#[test]
fn a_forecast_that_the_place_has_never_had_is_doubted() {
    let far = |factor: f64, offset: f64| {
        let mut sample = hazel_bend();
        for day in &mut sample.forecast.days {
            day.low_c = day.low_c.map(|low_c| factor * low_c + offset);
        }
        sample.answer().notes.iter().any(|note| matches!(note, Note::ForecastFar { .. }))
    };
    assert!(!far(1.0, 0.0));
    // Fahrenheit in a column of Celsius, and a hard frost in September in the hills.
    assert!(far(1.8, 32.0) && far(1.0, -30.0));
}

#[test]
fn a_worn_forecast_makes_a_task_and_one_of_today_does_not() {
    let sample = hazel_bend();
    let asked = |days: i32| {
        let answer = sample.ask(sample.own_morning().plus(days), Some(&sample.forecast)).expect("answered");
        answer.tasks.iter().any(|task| matches!(task.what, TaskKind::NewForecast { .. }))
    };
    assert!(!asked(0) && !asked(2) && asked(4));
}

#[test]
fn tasks_begin_before_the_next_mornings_page_and_water_is_read_last() {
    let sample = hazel_bend();
    let last = sample.farm.season.last_catch;
    for (on, forecast) in [(sample.own_morning(), Some(&sample.forecast)), (last.plus(-5), None)] {
        let answer = sample.ask(on, forecast).expect("answered");
        let at = |task: &season::answer::Task| (task.by.0.0 - on.0) * 24 + task.by.1;
        assert!(answer.tasks.iter().all(|task| at(task) < 24 + 7), "{:?}", answer.tasks);
        let read = |task: &season::answer::Task| matches!(task.what, TaskKind::ReadWater { .. });
        assert!(answer.tasks.is_sorted_by_key(read), "{:?}", answer.tasks);
        assert!(answer.coming.iter().all(|task| task.by.0 > on) && answer.coming.is_sorted_by_key(|task| task.by));
        // Whoever is to come is told of every catch, now or on its day.
        let planned = answer.ponds.iter().filter_map(|pond| pond.planned);
        for catch in planned.flat_map(|planned| [Some(planned.catch_day), planned.second_day]).flatten() {
            let told = |task: &&season::answer::Task| task.what == TaskKind::Tell { for_day: catch };
            assert_eq!(
                answer.tasks.iter().chain(&answer.coming).filter(told).count(),
                1,
                "{catch}: {:?}",
                answer.coming
            );
        }
    }
}

#[test]
fn water_is_told_to_start_on_the_morning_it_must_and_not_before() {
    let sample = hazel_bend();
    let (mut told, mut parts) = (0, 0);
    for days in [0, 2, 5, 8] {
        let on = sample.own_morning().plus(days);
        let answer = sample.ask(on, Some(&sample.forecast).filter(|_| days == 0)).expect("answered");
        for pond in &answer.ponds {
            let Some(planned) = pond.planned else { continue };
            let hours = (planned.start.0.0 - on.0) * 24 + planned.start.1;
            // A pond taken in parts is opened for the day of the rest, not for the day its large animals are seined.
            let emptied = if planned.parts { planned.second_day } else { Some(planned.catch_day) };
            let starts = answer.tasks.iter().filter_map(|task| match &task.what {
                TaskKind::StartDown { pond: name, catch_day, .. } if *name == pond.name => Some((task.by, *catch_day)),
                _ => None,
            });
            let wanted: Vec<_> =
                (hours < 24 + 7).then(|| (planned.start, emptied.expect("a day"))).into_iter().collect();
            assert_eq!(starts.collect::<Vec<_>>(), wanted, "{} on {on}", pond.name);
            told += wanted.len();
            parts += usize::from(planned.parts);
        }
    }
    assert!(told > 1, "these mornings start no water");
    assert!(parts > 0, "these mornings take no pond in parts");
}
