//! The evening before, on the sample farm.

use std::sync::LazyLock;

use season::answer::{Outlook, TaskKind};
use season::day::{DayError, DaySheet, DayWish, DueKind, StepKind, Who, rehearse};
use season::harvest::HoldFor;
use season::{Drawn, FarmPast, MorningAsk, answer_from, draw};
use units::Watch;

use crate::sample::{Sample, hazel_bend};

pub struct Morning {
    pub sample: Sample,
    pub past: FarmPast,
    pub drawn: Drawn,
    pub outlook: Outlook,
}

pub fn ask<'a>(sample: &'a Sample, past: &'a FarmPast) -> MorningAsk<'a> {
    MorningAsk {
        farm: &sample.farm,
        past,
        on: sample.own_morning(),
        now_hour: 7,
        forecast: Some(&sample.forecast),
        members: 64,
        yesterday: None,
        until_proved: false,
    }
}

pub static MORNING: LazyLock<Morning> = LazyLock::new(|| {
    let (sample, watch) = (hazel_bend(), Watch::new());
    let past = sample.past().expect("a past");
    let drawn = draw(&ask(&sample, &past), &watch).expect("drawn");
    let outlook = answer_from(&ask(&sample, &past), &drawn, &watch).expect("an answer");
    Morning { sample, past, drawn, outlook }
});

fn of(pond: usize, wish: &DayWish) -> Result<DaySheet, DayError> {
    let Morning { sample, past, drawn, outlook } = &*MORNING;
    rehearse(&ask(sample, past), drawn, outlook, pond, wish)
}

fn sheet(pond: usize, wish: &DayWish) -> DaySheet {
    of(pond, wish).expect("a sheet")
}

#[test]
fn every_pond_has_its_day_with_those_alone_who_surely_come() {
    for pond in 0..4 {
        let sheet = sheet(pond, &DayWish::default());
        assert!(sheet.is_planned, "{}", sheet.pond);
        let [everybody, sure] = &sheet.crews[..] else { panic!("everybody and the sure ones") };
        assert_eq!((everybody.who, sure.who), (Who::Everybody, Who::Sure));
        // Two owners and the one helper who comes whatever happens; the choir of four may come.
        assert_eq!(sure.crew.len(), 3);
        assert!(everybody.crew.len() >= sure.crew.len() + 4);
        let home = |crew: &season::day::CrewDay| crew.told.home_kg.middle;
        assert!(home(everybody) >= home(sure) - 1.0, "{}: more hands bring no less home", sheet.pond);
        assert!(home(everybody) <= everybody.told.caught_kg.middle + 1.0, "{}: nor more than is caught", sheet.pond);
        assert!(everybody.carries.on_ice_kg >= sure.carries.on_ice_kg, "{}", sheet.pond);
        assert!(sheet.steps.windows(2).all(|pair| pair[0].at_h <= pair[1].at_h));
        assert!(sheet.steps.iter().any(|step| step.what == StepKind::Opens && step.at_h == sheet.opens_h));
        assert!(sheet.opens_h < sheet.begins_h && sheet.holds.len() <= 3);
        let kinds: Vec<DueKind> = sheet.due.iter().map(|due| due.what).collect();
        for wanted in [
            DueKind::SoftShells,
            DueKind::Ice,
            DueKind::SecondSupplier,
            DueKind::Crew,
            DueKind::LastFeed,
            DueKind::Screens,
        ] {
            assert!(kinds.contains(&wanted), "{wanted:?}");
        }
        assert!(sheet.due.iter().all(|due| due.by.0 <= sheet.on));
        // Fuel is fetched where the way down burns more than is in store, and nowhere else.
        let is_short = sheet.ways_out.fuel_l.is_some_and(|(needed_l, store_l)| needed_l > store_l);
        assert_eq!(kinds.contains(&DueKind::Fuel), is_short, "{}", sheet.pond);
        assert_eq!(is_short, sheet.pond == "Lower", "54 hours of 1 gal, and 30 gal in store: {:?}", sheet.ways_out);
    }
}

#[test]
fn what_is_asked_changes_the_day_it_is_asked_of_and_no_other() {
    let (plain, many) = (sheet(0, &DayWish::default()), sheet(0, &DayWish { hands: Some(9), ..DayWish::default() }));
    assert_eq!(many.crews.len(), 3);
    assert_eq!(many.asked().crew.len(), 9);
    assert_eq!(plain.crews[..], many.crews[..2], "the others live the same draws");
    assert!(many.asked().told.iced_h.middle <= many.sure().told.iced_h.middle);
    // Without ice nothing is chilled: only what goes alive comes out, and ice is what binds.
    let dry = sheet(0, &DayWish { ice_kg: Some(0.0), ..DayWish::default() });
    assert!(
        dry.sure().told.whole_kg.middle < 30.0
            && dry.sure().told.left_kg.middle + dry.sure().told.stranded_kg.middle > 50.0
    );
    assert!(dry.sure().told.stopped.ice_h > 0.25, "work at the water stood still for ice");
    // One more pump on Lower, which has no drain: it may start later; without the second one it must start sooner.
    let lower = |wish: &DayWish| sheet(2, wish);
    let own = lower(&DayWish::default());
    let more = lower(&DayWish { extra_m3_h: Some(120.0), ..DayWish::default() });
    assert!(more.opens_h > own.opens_h + 5.0, "{} {}", more.opens_h, own.opens_h);
    let one = lower(&DayWish { pumps: Some(1), on: Some(own.on.plus(2)), ..DayWish::default() });
    let two = lower(&DayWish { on: Some(own.on.plus(2)), ..DayWish::default() });
    assert!(one.opens_h < two.opens_h - 5.0 && one.ways_out.pumps.len() == 1, "{} {}", one.opens_h, two.opens_h);
    // A later start moves the day with it.
    let later = sheet(0, &DayWish { start_h: Some(plain.begins_h + 2.0), ..DayWish::default() });
    assert!(later.opens_h >= plain.opens_h && later.ends_h > plain.ends_h + 1.9);
}

#[test]
fn a_hold_for_dipping_stands_among_the_hours_and_pumps_that_are_not_there_are_told() {
    let wish = |pumps| DayWish { hands: Some(3), pumps, ..DayWish::default() };
    let sheets: Vec<DaySheet> = (0..4).map(|pond| sheet(pond, &wish(None))).collect();
    for sheet in &sheets {
        let held: Vec<_> = sheet.holds.iter().filter(|hold| hold.why == HoldFor::Dipping).collect();
        let until_h = held.iter().map(|hold| hold.from_h + hold.for_h).reduce(f64::max);
        let shown = sheet.steps.iter().find_map(|step| match step.what {
            StepKind::HoldLast(until_h) => Some((step.at_h, until_h)),
            _ => None,
        });
        let is_within = held.first().is_some_and(|hold| hold.from_h < sheet.ends_h);
        assert_eq!(shown.map(|(from_h, _)| from_h), held.first().filter(|_| is_within).map(|hold| hold.from_h));
        if let (Some((_, shown_h)), Some(until_h)) = (shown, until_h) {
            assert!((shown_h - until_h).abs() < 1e-9, "{}", sheet.pond);
            let let_go = sheet.steps.iter().find(|step| step.what == StepKind::LetLast).map(|step| step.at_h);
            assert!(let_go.is_none_or(|at_h| at_h == shown_h) && (let_go.is_some() || shown_h >= sheet.ends_h));
        }
    }
    assert!(sheets.iter().any(|sheet| sheet.steps.iter().any(|step| matches!(step.what, StepKind::HoldLast(_)))));
    // Lower has two pumps named for it, Willow none.
    let (lower, willow) = (sheet(2, &wish(Some(5))).ways_out, sheet(0, &wish(Some(5))).ways_out);
    assert_eq!((lower.asked_count, lower.there_count, lower.running()), (Some(5), 2, 2));
    assert_eq!((willow.there_count, willow.running()), (0, 0));
    assert_eq!(sheet(2, &wish(Some(1))).ways_out.pumps.len(), 1);
}

#[test]
fn a_day_beyond_the_season_and_a_crew_of_none_are_refused() {
    let Morning { past, drawn, outlook, .. } = &*MORNING;
    let beyond = DayWish { on: Some(outlook.on.plus(400)), ..DayWish::default() };
    assert!(matches!(of(0, &beyond), Err(DayError::DayOutside { first, .. }) if first == outlook.on));
    assert_eq!(of(9, &DayWish::default()), Err(DayError::NoPond));
    let mut sample = hazel_bend();
    (sample.farm.crew.owners, sample.farm.crew.helpers) = (0, [0; 7]);
    sample.farm.line.groups.clear();
    let found = rehearse(&ask(&sample, past), drawn, outlook, 0, &DayWish::default());
    assert_eq!(found, Err(DayError::Nobody));
}

#[test]
fn of_two_ponds_on_a_day_the_colder_leads_and_no_more_is_taken_than_can_be_carried() {
    let Morning { sample, past, drawn, outlook } = &*MORNING;
    assert!(sheet(0, &DayWish::default()).first.is_empty(), "alone on its day");
    let mut both = outlook.clone();
    both.ponds[1].planned = both.ponds[0].planned;
    let sheet = rehearse(&ask(sample, past), drawn, &both, 0, &DayWish::default()).expect("a sheet");
    assert_eq!(sheet.first.len(), 2);
    let carries = sheet.sure().carries.on_ice_kg;
    let (all, taken) = sheet.first.iter().fold((0.0, 0.0), |(all, taken), one| (all + one.kg, taken + one.taken_kg));
    assert!((taken - carries.min(all)).abs() < 1e-6, "{taken} of {all}, carries {carries}");
    assert!(sheet.first.iter().all(|one| one.coldest_c.is_finite() && !one.is_promised), "{:?}", sheet.first);
    // Buyers who were told of one of them turn the order where neither lies below the cold mark.
    let second = sheet.first[1].index;
    let mut sample = hazel_bend();
    sample.farm.ponds[second].announced = vec![sheet.on];
    sample.farm.choices.cold_mark_c = 5.0;
    let told = rehearse(&ask(&sample, past), drawn, &both, 0, &DayWish::default()).expect("a sheet");
    assert_eq!((told.first[0].index, told.first[0].is_promised), (second, true));
}

#[test]
fn ice_is_ordered_for_every_day_of_the_plan_and_what_cannot_be_had_is_told() {
    let Morning { sample, past, drawn, outlook } = &*MORNING;
    let orders = sheet(0, &DayWish::default()).ice_orders;
    let days: Vec<_> = outlook.ponds.iter().filter_map(|pond| Some(pond.planned?.catch_day)).collect();
    assert!(days.iter().all(|day| orders.iter().any(|order| order.day == *day && order.need_kg > 0.0)), "{orders:?}");
    // The morning's page asks for the same, and for nothing else.
    let told = outlook.tasks.iter().chain(&outlook.coming).filter_map(|task| match task.what {
        TaskKind::OrderIce { kg, for_day } => Some((for_day, kg)),
        _ => None,
    });
    let mut asked: Vec<_> = told.collect();
    asked.sort_by_key(|(day, _)| *day);
    let ordered: Vec<_> = orders.iter().filter(|one| one.order_kg > 0.5).map(|one| (one.day, one.order_kg)).collect();
    assert!(!asked.is_empty());
    assert_eq!(asked, ordered);
    for order in &orders {
        assert!(order.order_kg <= sample.farm.cold.ice_daily_kg + 1e-9 && order.short_kg <= order.need_kg);
    }
    let (need, ordered) = orders.iter().fold((0.0, 0.0), |(need, all), one| (need + one.need_kg, all + one.order_kg));
    assert!(ordered + sample.farm.cold.ice_kg + orders.iter().map(|one| one.short_kg).sum::<f64>() >= need - 1e-6);
    // A tenth as much a day: days before are used as well, and it does not do.
    let mut poor = hazel_bend();
    poor.farm.cold.ice_daily_kg = 0.1 * sample.farm.cold.ice_daily_kg;
    let few = rehearse(&ask(&poor, past), drawn, outlook, 0, &DayWish::default()).expect("a sheet").ice_orders;
    assert!(few.len() > orders.len(), "{few:?}");
    assert!(few.iter().map(|one| one.short_kg).sum::<f64>() > orders.iter().map(|one| one.short_kg).sum::<f64>());
}
