//! Ponds of the sample emptied: the plan's hours come from here, marks stand in order, thin water cools, a wish moves the answer.

use season::drain::question::understand;
use season::drain::{Drain, DrainError, OutletHour, SeineWish, Wish, drain};
use season::pond::drawdown::What;
use season::pond::drawdown::backwards::Short;
use season::{MorningAsk, answer_from, draw};
use units::{Day, Watch};

use crate::sample::{MEMBERS, Sample, hazel_bend};

/// One question of the sample's own morning for each wish, the pond by its place.
fn asked(sample: &Sample, wishes: &[(usize, Wish)]) -> Vec<Result<Drain, DrainError>> {
    let past = sample.past().expect("a past");
    let ask = MorningAsk {
        farm: &sample.farm,
        past: &past,
        on: sample.own_morning(),
        now_hour: 7,
        forecast: Some(&sample.forecast),
        members: MEMBERS,
        yesterday: None,
        until_proved: false,
    };
    let watch = Watch::new();
    let drawn = draw(&ask, &watch).expect("drawn");
    let outlook = answer_from(&ask, &drawn, &watch).expect("answered");
    for pond in &outlook.ponds {
        if let Some(planned) = pond.planned.filter(|planned| !planned.parts) {
            let told = drain(&ask, &drawn, &outlook, pond.index, &Wish::default(), &watch).expect("told");
            let planned_h = f64::from(planned.start.0.0 - ask.on.0) * 24.0 + f64::from(planned.start.1);
            // The plan counts whole hours and first light rounded up; nobody opens at night in either.
            assert!(
                (told.opening.start_h - planned_h).abs() <= 2.0,
                "{}: {} against {planned_h}",
                pond.name,
                told.opening.start_h
            );
            assert!(told.is_planned && told.catch_day == planned.catch_day);
        }
    }
    wishes.iter().map(|(pond, wish)| drain(&ask, &drawn, &outlook, *pond, wish, &watch)).collect()
}

fn one(sample: &Sample, pond: usize, wish: Wish) -> Drain {
    asked(sample, &[(pond, wish)]).remove(0).expect("answered")
}

fn day(text: &str) -> Day {
    Day::parse(text).expect("a date")
}

#[test]
fn a_pond_goes_down_in_order_and_its_thin_water_cools() {
    let told = one(&hazel_bend(), 1, Wish { catch_day: Some(day("2011-10-02")), ..Wish::default() });
    let course = &told.opening.course;
    assert!(told.opening.short.is_empty(), "{:?}", told.opening.short);
    assert!(
        course.steps.windows(2).all(|pair| pair[0].at_h < pair[1].at_h && pair[0].stage_m >= pair[1].stage_m - 1e-9)
    );
    assert!(course.steps.windows(2).all(|pair| pair[0].bare_fraction <= pair[1].bare_fraction + 1e-9));
    assert!(course.steps.windows(2).all(|pair| pair[1].at_h - pair[0].at_h <= 0.25 + 1e-9));
    let caught_h = told.opening.start_h + course.hours_of(What::CatchDepth).expect("caught");
    assert!((caught_h - told.wanted.catch_at_h).abs() < 0.1 || caught_h < told.wanted.catch_at_h, "{caught_h}");
    // The grower's own day and a night, whatever the pipe's sum says.
    let took_h = course.hours_of(What::CatchDepth).expect("caught");
    assert!((took_h - 24.0).abs() < 0.3, "{took_h}");
    let water = told.water.as_ref().expect("within the days drawn");
    assert!(water.lowest_c.low <= water.lowest_c.middle && water.mark_chance <= water.slow_chance);
    // The shallow end falls bare before the drain end, and the same night in a pond left full is milder.
    let dry = |place: usize| water.hours.iter().position(|hour| hour.places[place].is_none()).unwrap_or(usize::MAX);
    assert!(dry(0) < dry(1) && dry(1) < dry(2));
    let full =
        hazel_bend().answer().ponds[1].dawns.iter().find(|dawn| dawn.day == told.catch_day).expect("its dawn").water_c;
    assert!(water.at_catch_c.middle < full.middle - 1.0, "{:?} drained, {full:?} full", water.at_catch_c);
}

#[test]
fn two_levels_are_kept_and_the_first_is_held() {
    let held = SeineWish::Held { held_h: 3.0, at: None };
    let told = one(&hazel_bend(), 1, Wish { seine: held, ..Wish::default() });
    let course = &told.opening.course;
    let (from_h, to_h) = course.held().expect("held");
    assert!(to_h - from_h >= 3.0 - 0.05, "{from_h} to {to_h}");
    let middle = 0.5 * (from_h + to_h);
    assert!((course.stage_m(middle) - told.seining_m.expect("a depth")).abs() < 0.01);
    assert!(
        course
            .steps
            .iter()
            .filter(|step| step.at_h > from_h + 0.3 && step.at_h < to_h - 0.3)
            .all(|step| !step.open.contains(&true))
    );
    let light_h = told.opening.start_h + from_h;
    assert!((5.0..8.5).contains(&light_h.rem_euclid(24.0)), "seining depth stands at first light: {light_h}");
}

#[test]
fn what_cannot_be_is_told_and_what_is_wished_is_done() {
    let sample = hazel_bend();
    let on = sample.own_morning();
    let blocked = Wish { blocked_fraction: 0.5, catch_day: Some(on.plus(1)), ..Wish::default() };
    let high = Wish { outlet_water_m: Some(1.5), ..Wish::default() };
    let opened = Wish { open_at: Some((on.plus(1), Some(16.0))), extra_m3_h: Some(60.0), ..Wish::default() };
    let late = Wish { catch_day: Some(day("2011-12-24")), ..Wish::default() };
    let no_pumps = Wish { pumps: Some(Vec::new()), ..Wish::default() };
    let told = asked(&sample, &[(1, blocked), (3, high), (1, opened), (1, late), (2, no_pumps)]);
    let blocked = told[0].as_ref().expect("told");
    assert!(
        matches!(blocked.opening.short[..], [Short::Late { late_h, extra_m3_h: Some(_), .. }] if late_h > 10.0),
        "{:?}",
        blocked.opening.short
    );
    let high = told[1].as_ref().expect("told");
    assert!(matches!(high.opening.short[..], [Short::Never { by_outlet: true, .. }]), "{:?}", high.opening.short);
    assert!(high.opening.course.hours_of(What::Stalls).is_some());
    let opened = told[2].as_ref().expect("told");
    assert_eq!(opened.opening.start_h, 40.0);
    assert!(opened.opening.course.hours_of(What::CatchDepth).expect("caught") < 20.0, "the pump helps");
    assert!(matches!(told[3], Err(DrainError::DayOutside { .. })));
    assert!(matches!(told[4], Err(DrainError::NoWay)), "Lower has no drain");
}

#[test]
fn a_ditch_that_rises_by_the_hour_stops_the_drain_and_runs_in() {
    let sample = hazel_bend();
    let on = sample.own_morning();
    let row = |hour: f64, height_m: f64| OutletHour { day: None, hour, height_m };
    let rising =
        Wish { catch_day: Some(on.plus(4)), outlet_hours: vec![row(4.0, 0.3), row(10.0, 0.9)], ..Wish::default() };
    let still = Wish { outlet_hours: Vec::new(), ..rising.clone() };
    let told = asked(&sample, &[(1, rising), (1, still)]);
    let (rising, still) = (told[0].as_ref().expect("told"), told[1].as_ref().expect("told"));
    let turns_h = rising.opening.start_h + rising.opening.course.hours_of(What::RunsBackward).expect("it runs in");
    let of_catch_day_h = turns_h - 96.0;
    assert!((4.0..10.0).contains(&of_catch_day_h), "while it rises past the pond: {of_catch_day_h}");
    let after = |told: &Drain| told.opening.course.stage_m(turns_h + 1.5 - told.opening.start_h);
    assert!(after(rising) > after(still) + 0.1, "the pond fills again");
    assert_eq!(still.opening.course.hours_of(What::RunsBackward), None);
}

#[test]
fn a_level_read_on_the_stick_starts_the_sum_anew() {
    let sample = hazel_bend();
    let tomorrow = sample.own_morning().plus(1);
    let low = Wish { level_m: Some(1.0), catch_day: Some(tomorrow), ..Wish::default() };
    let told = one(&sample, 1, low);
    assert!(told.opening.short.is_empty() && told.from_m == 1.0, "{:?}", told.opening.short);
    let took_h = told.opening.course.hours_of(What::CatchDepth).expect("caught");
    assert!((4.0..14.0).contains(&took_h), "a part of the day and night from full: {took_h}");
    assert_eq!(told.by_member.as_ref().map(season::drain::PlaceTable::members), Some(MEMBERS));
}

#[test]
fn well_water_warms_a_cold_pool() {
    let mut sample = hazel_bend();
    let more = &mut sample.farm.ponds[1].emptying.more;
    (more.well_m3_h, more.well_c) = (Some(40.0), Some(22.0));
    // An early cold spell, so that the well is the warmer.
    for day in &mut sample.forecast.days {
        (day.low_c, day.high_c) = (Some(4.0), Some(14.0));
    }
    let wishes = [(1, Wish::default()), (1, Wish { well: true, ..Wish::default() })];
    let told = asked(&sample, &wishes);
    let coldest = |told: &Result<Drain, DrainError>| {
        told.as_ref().expect("told").water.as_ref().expect("its water").lowest_c.middle
    };
    let told_if =
        told[0].as_ref().expect("told").ifs.iter().find(|one| matches!(one.what, season::drain::IfWhat::Well(..)));
    let gain_k = told_if.expect("it is offered").warmer_k;
    assert!(gain_k > 0.3 && (coldest(&told[1]) - coldest(&told[0]) - gain_k).abs() < 1e-9, "{gain_k}");
}

#[test]
fn what_is_typed_becomes_a_wish_or_is_named() {
    let sample = hazel_bend();
    let card = &sample.farm.ponds[1];
    let on = sample.own_morning();
    let typed =
        [("day", "2011-10-03"), ("at", "9:30"), ("seine", "2 h"), ("blocked", "25 %"), ("outlet_water", "2 ft")];
    let (wish, _) = understand(card, on, &typed).expect("understood");
    assert_eq!((wish.catch_day, wish.catch_at_h), (Some(day("2011-10-03")), Some(9.5)));
    assert_eq!(wish.seine, SeineWish::Held { held_h: 2.0, at: None });
    assert!((wish.outlet_water_m.expect("told") - 0.6096).abs() < 1e-9 && wish.blocked_fraction == 0.25);
    // Two pumps are named for Lower, none for Willow.
    assert!(understand(&sample.farm.ponds[2], on, &[("pumps", "2")]).is_ok());
    for (name, text) in
        [("at", "soup"), ("depth", "40 ft"), ("well", "yes"), ("blocked", "120 %"), ("colour", "green"), ("pumps", "9")]
    {
        let slips = understand(card, on, &[(name, text)]).expect_err("refused");
        assert_eq!(slips[0].name, name, "{text}");
    }
}
