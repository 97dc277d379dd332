use season::answer::{
    Band, ForecastUsed, JointPlan, Note, Outlook, Planned, PondDay, PondOutlook, ReadingMet, Task, TaskKind, TaughtBy,
};
use season::plan::{DayKind, Decision, Flip, GuardReport, Limit, Schedule, Spread};
use units::{Currency, Day, Instant};

use super::{Lines, answer, page};
use crate::figures::Manner;
use crate::page_plan::reasons;

#[test]
fn sentences_break_before_the_edge() {
    let mut lines = Lines::default();
    lines.wrapped(&"word ".repeat(40));
    assert!(lines.text.lines().count() > 1);
    assert!(lines.text.lines().all(|line| line.chars().count() <= 78), "{}", lines.text);
    assert_eq!(lines.text.split_whitespace().count(), 40);
}

#[test]
fn a_label_keeps_its_sentence_beside_it() {
    let mut lines = Lines::default();
    lines.hanging("In hand      ", &"word ".repeat(30));
    let (first, rest) = lines.text.split_once('\n').expect("two lines");
    assert!(first.starts_with("In hand      word") && rest.starts_with("             word"), "{}", lines.text);
    assert!(lines.text.lines().all(|line| line.chars().count() <= 78), "{}", lines.text);
}

const ON: &str = "2011-09-28";

fn on(days: i32) -> Day {
    Day::parse(ON).expect("a date").plus(days)
}

/// A pond caught in three days whose worth falls by `per_day` coins a day, and of which cold takes `cold` coins.
pub(crate) fn pond(name: &str, worth: f64, per_day: f64, cold: f64) -> PondOutlook {
    let line = |day: i32| PondDay {
        day: on(day),
        start: (on(day - 1), 20),
        worth_mean: worth - per_day * f64::from(day - 3),
        worth_p05: 0.5 * worth,
        loss_chance: 0.02,
        mark_chance: 0.0,
        cold_cost: cold,
        mean_weight_g: 35.0,
        caught_kg: 250.0,
    };
    PondOutlook {
        stock: season::in_pond::InPond::default(),
        name: name.to_owned(),
        index: 0,
        measured: Some((Instant(0), 0.6, 23.0)),
        measured_deep: true,
        measured_clock_s: 6 * 3600 + 35 * 60,
        modelled_c: 23.0,
        taught: None,
        dawns: Vec::new(),
        count: Band::default(),
        mean_weight_g: Band { low: 30.0, middle: 35.0, high: 40.0 },
        mass_kg: Band::default(),
        feed: crate::feed::tests::FED,
        chemistry: season::chemistry::ChemistryToday::default(),
        oxygen: crate::oxygen::tests::UNREAD,
        animals_g: (13.0, 59.0),
        lead_h: 36.0,
        lead_told: true,
        going_down: None,
        planned: Some(Planned { start: (on(2), 20), catch_day: on(3), second_day: None, parts: false }),
        days: (3..14).map(line).collect(),
        in_hand_likely_h: None,
        in_hand_one_in_ten_h: None,
        free_until: Some((on(2), 18)),
        still_out_until: None,
        mark_chance: 0.0,
        course: season::course::Course::default(),
    }
}

fn morning(ponds: Vec<PondOutlook>) -> Outlook {
    let worth = Spread { mean: 1_000_000.0, standard_error: 5_000.0, p05: 800_000.0 };
    let decision = Decision {
        today: Vec::new(),
        ponds: Vec::new(),
        worth,
        optimism: 0.0,
        fixed: worth,
        fixed_dates: Schedule::default(),
        fixed_proved: true,
        fixed_beyond: Some(0.0),
        ceiling: worth,
        candidates: Vec::new(),
        runner_up: None,
        guard: GuardReport {
            binds: false,
            cost: 0.0,
            cost_standard_error: 0.0,
            today_without: Vec::new(),
            plan_without: Schedule::default(),
            beyond: Vec::new(),
        },
        flips: Vec::new(),
        changed: None,
        expected_signals: Vec::new(),
        stranded: Vec::new(),
        positions: (1, 6),
    };
    Outlook {
        farm: "Hazel Bend".to_owned(),
        currency: Currency::parse("USD").expect("a code"),
        on: on(0),
        now_hour: 7,
        forecast: None,
        seed: 1,
        members: 16,
        past_years: (1950, 2010, 61),
        past_is_invented: false,
        tasks: Vec::new(),
        coming: Vec::new(),
        chores: Vec::new(),
        ponds,
        crops: Vec::new(),
        done: Vec::new(),
        plan: JointPlan { decision, worth, signals: vec!["dawn_now".to_owned()], binding: Vec::new() },
        cold_mark_c: 15.5,
        follow_mark_c: 20.0,
        guard_chance: Some(0.1),
        limits: Vec::new(),
        notes: Vec::new(),
    }
}

fn said(outlook: &Outlook) -> Vec<String> {
    answer(outlook, Manner::UsCustomary)
}

#[test]
fn a_pond_left_in_the_water_is_the_first_thing_said() {
    let mut heron = pond("Heron", 1_200_000.0, 10_000.0, 0.0);
    heron.planned = None;
    let mut outlook = morning(vec![pond("Willow", 600_000.0, 10_000.0, 0.0), heron]);
    outlook.notes.push(Note::Left { pond: "Heron".to_owned(), by: vec![Limit::Day(DayKind::Ice)] });
    let first = &said(&outlook)[0];
    assert!(
        first.starts_with("Heron is left in the water by this plan: it would have brought about $12,000."),
        "{first}"
    );
    assert!(first.contains("What stands in its way is ice.") && first.contains("saved by more ice"), "{first}");
    // Once is enough.
    assert_eq!(page(&outlook, Manner::UsCustomary).matches("What stands in its way").count(), 1);
}

#[test]
fn cold_that_cannot_be_outrun_is_said_and_waiting_is_not_offered() {
    let lost = morning(vec![pond("Willow", 100_000.0, 20_000.0, 400_000.0)]);
    let lines = said(&lost);
    assert_eq!(
        lines[0],
        "Most of the crop in Willow will be lost to cold whatever is done; start now: each day costs about $200."
    );
    assert!(!lines.iter().any(|line| line.contains("still wait")), "{lines:?}");
    let well = said(&morning(vec![pond("Willow", 400_000.0, 20_000.0, 10_000.0)]));
    assert!(!well[0].contains("lost to cold") && well.iter().any(|line| line.contains("still wait")), "{well:?}");
}

#[test]
fn a_reading_far_from_the_reckoning_is_shouted() {
    let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
    outlook.notes.push(Note::ReadingFar { pond: "Willow".to_owned(), off_c: -5.0 });
    let first = &said(&outlook)[0];
    assert!(
        first.starts_with("The reading in Willow and the reckoning are 9 °F apart, the reading colder: read again."),
        "{first}"
    );
}

#[test]
fn nothing_is_told_twice() {
    let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0), pond("Quarry", 400_000.0, 20_000.0, 0.0)]);
    outlook.ponds[0].planned.as_mut().expect("planned").start = (on(0), 20);
    outlook.ponds[0].free_until = Some((on(0), 20));
    outlook.ponds[1].free_until = Some((on(0), 19));
    let start = TaskKind::StartDown { pond: "Willow".to_owned(), has_drain: true, pumps: Vec::new(), catch_day: on(3) };
    outlook.tasks.push(Task { by: (on(0), 20), what: start });
    let unread = |pond: &str| Task { by: (on(0), 7), what: TaskKind::ReadWater { pond: pond.to_owned() } };
    outlook.tasks.extend([unread("Willow"), unread("Quarry")]);
    let lines = said(&outlook);
    let all = lines.join("\n");
    assert!(
        lines[0].ends_with("Read the water at dawn in Willow and Quarry: the last reading is missing or old."),
        "{all}"
    );
    assert!(!all.contains("Willow's water must start") && all.contains("Quarry's water must start"), "{all}");
    assert!(!all.contains("still wait"), "waiting ends today: {all}");
}

#[test]
fn a_difference_no_thermometer_can_tell_changes_nothing() {
    let with = |change: f64| {
        let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
        outlook.forecast = Some(ForecastUsed { issued: Instant(0), age_h: 3.0, last_day: on(6) });
        outlook.plan.decision.flips = vec![Flip { signal: 0, change, to: Vec::new() }];
        said(&outlook).join("\n")
    };
    assert!(with(-0.1).contains("No likely change"), "{}", with(-0.1));
    assert!(with(-2.0).contains("water this morning 4 °F colder"), "{}", with(-2.0));
}

#[test]
fn the_plan_comes_before_the_ponds_and_readings_name_their_end() {
    let outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
    let text = page(&outlook, Manner::UsCustomary);
    assert!(text.find("--- The plan") < text.find("--- Willow"), "{text}");
    assert!(text.contains("measured 73 °F at the drain end, 2.0 ft down, at 6:35 a.m."), "{text}");
    assert!(text.contains("too cold to follow") && text.contains("too slow to follow the water"), "{text}");
    assert!(text.contains("Moving the dates later"), "{text}");
    let mut nothing = outlook;
    nothing.plan.decision.worth.mean = 0.0;
    assert!(!page(&nothing, Manner::UsCustomary).contains("Moving the dates later"));
}

#[test]
fn waiting_a_day_costs_or_brings_as_the_figures_say() {
    let text = |per_day: f64| page(&morning(vec![pond("Willow", 400_000.0, per_day, 0.0)]), Manner::UsCustomary);
    let (falls, rises) = (text(40_000.0), text(-40_000.0));
    assert!(falls.contains("a day later it costs about $400") && !falls.contains("brings about"), "{falls}");
    assert!(rises.contains("a day later it brings about $400 more") && !rises.contains("costs about"), "{rises}");
}

#[test]
fn the_last_start_is_named_only_where_it_comes_after_the_free_wait() {
    let latest = |last: Option<(Day, i32)>| {
        let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
        outlook.ponds[0].still_out_until = last;
        said(&outlook).join(" ").contains("At the very latest")
    };
    assert!(latest(Some((on(5), 18))) && !latest(Some((on(1), 18))) && !latest(None));
}

#[test]
fn hours_in_hand_and_the_time_to_empty_are_said_with_where_they_come_from() {
    let text = |change: &dyn Fn(&mut PondOutlook)| {
        let mut willow = pond("Willow", 400_000.0, 20_000.0, 0.0);
        change(&mut willow);
        let text = page(&morning(vec![willow]), Manner::UsCustomary);
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let out = text(&|pond| (pond.in_hand_likely_h, pond.in_hand_one_in_ten_h) = (Some(30.0), Some(-4.0)));
    assert!(out.contains("one year in ten none left"), "{out}");
    assert!(out.contains(", as you remember it"), "{out}");
    assert!(text(&|pond| pond.lead_told = false).contains("reckoned from its shape and drain"));
}

#[test]
fn how_the_page_was_made_is_said_in_numbers_that_fit() {
    let with = |note: Note| {
        let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
        outlook.notes.push(note);
        page(&outlook, Manner::UsCustomary).replace('\n', " ")
    };
    let one = with(Note::YearsLeftOut(1));
    assert!(one.contains("One past season was left out"), "{one}");
    let seven = with(Note::YearsLeftOut(7));
    assert!(seven.contains("7 past seasons were left out"), "{seven}");
    let kept = with(Note::Yielded { kept: Some(0.65), asked: 0.8 });
    assert!(kept.contains("hold in 6 futures of 10 by this plan, where you asked for 8"), "{kept}");
    let ahead = with(Note::ReadingAhead { pond: "Willow".to_owned(), on: on(2) });
    assert!(ahead.contains("is dated Friday 30 September, after this morning: it was left aside"), "{ahead}");
}

#[test]
fn a_forecast_says_how_old_it_is() {
    let text = |age_h: f64| {
        let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
        outlook.forecast = Some(ForecastUsed { issued: Instant(0), age_h, last_day: on(6) });
        said(&outlook).join(" ")
    };
    assert!(text(3.0).contains("The forecast is 3 hours old and reaches to Tuesday 4 October."), "{}", text(3.0));
    assert!(text(-2.0).contains("The forecast was issued later this day"), "{}", text(-2.0));
}

#[test]
fn what_a_thermometer_taught_is_said_with_its_range() {
    let mut willow = pond("Willow", 400_000.0, 20_000.0, 0.0);
    let met = |expected_c: f64| ReadingMet { at: Instant(0), depth_m: 0.6, read_c: 20.0, expected_c, sd_c: 0.5 };
    let wind = Band { low: 0.41, middle: 0.57, high: 0.77 };
    willow.taught = Some(TaughtBy { met: vec![met(21.0), met(19.0)], wind_said: 0.5, wind });
    let text = page(&morning(vec![willow]), Manner::UsCustomary).replace('\n', " ");
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains(
            "taught by 2 readings, which were 2 °F off what was expected; of the station's wind 0.57 reaches it (0.41 to 0.77; \
             you said 0.50)"
        ),
        "{text}"
    );
}

#[test]
fn a_start_names_the_drain_and_the_pumps_that_were_reckoned_with() {
    let told = |has_drain: bool, pumps: &[&str]| {
        let outlook = morning(vec![pond("Heron", 400_000.0, 20_000.0, 0.0)]);
        let pumps = pumps.iter().map(|name| (*name).to_owned()).collect();
        let what = TaskKind::StartDown { pond: "Heron".to_owned(), has_drain, pumps, catch_day: on(3) };
        super::say_task(&outlook, &Task { by: (on(0), 20), what }, Manner::UsCustomary)
    };
    assert!(told(true, &[]).starts_with("Open Heron's drain at 8 p.m."));
    assert!(told(true, &["trash pump"]).starts_with("Open Heron's drain and start the trash pump at"));
    assert!(
        told(false, &["trash pump", "small pump"]).starts_with("Start the trash pump and the small pump on Heron at")
    );
}

#[test]
fn a_plan_sets_going_what_must_be_ordered_later_in_order_of_the_hour() {
    let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
    outlook.ponds[0].planned.as_mut().expect("planned").start = (on(2), 20);
    outlook.coming = vec![
        Task { by: (on(1), 8), what: TaskKind::OrderIce { kg: 100.0, for_day: on(3) } },
        Task { by: (on(3), 8), what: TaskKind::Tell { for_day: on(5) } },
    ];
    let days = crate::page_plan::sets_going(&outlook, Manner::UsCustomary);
    let place = |text: &str| {
        let found = days.iter().enumerate().find_map(|(day, set)| {
            Some((day, set.lines.iter().position(|line| line.contains(text))?, set.heading.as_str()))
        });
        found.unwrap_or_else(|| panic!("{text}: {days:?}"))
    };
    let (ice, start) = (place("Order ice by 8 a.m.:"), place("Willow's water starts down at 8 p.m.;"));
    assert!(ice.2.starts_with("Tomorrow, ") && ice.0 < start.0, "{days:?}");
    assert!(start.0 < place("Tell helpers and buyers by 8 a.m.:").0, "{days:?}");
    assert!(days.iter().all(|set| !set.lines.is_empty()));
    let headings: std::collections::BTreeSet<&str> = days.iter().map(|set| set.heading.as_str()).collect();
    assert_eq!(headings.len(), days.len(), "each day once: {days:?}");
    let last = days.iter().find(|set| set.lines.iter().any(|line| line.contains("to catch, rinse and chill")));
    assert!(
        last.expect("the catch").lines.last().expect("lines").contains("to catch"),
        "the catch stands last on its day"
    );
}

#[test]
fn of_two_last_starts_the_earlier_is_told() {
    let last = |in_hand_h: Option<f64>, out: Option<(Day, i32)>| {
        let mut willow = pond("Willow", 400_000.0, 20_000.0, 0.0);
        (willow.in_hand_one_in_ten_h, willow.still_out_until) = (in_hand_h, out);
        super::last_safe_start(&morning(vec![willow.clone()]), &willow)
    };
    assert_eq!(last(Some(30.5), None), Some((on(1), 13)), "now is 7");
    assert_eq!(last(Some(30.5), Some((on(1), 8))), Some((on(1), 8)));
    assert_eq!(last(Some(2.0), Some((on(1), 8))), Some((on(0), 9)));
    assert_eq!(last(None, None), None);
}

#[test]
fn without_a_forecast_nothing_is_said_of_its_changes() {
    let text = said(&morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)])).join(" ");
    assert!(text.contains("A forecast could change what to do today: there is none."), "{text}");
    assert!(!text.contains("No likely change"), "{text}");
}

#[test]
fn a_pond_in_parts_is_told_the_risk_of_what_is_left() {
    let mut willow = pond("Willow", 400_000.0, 20_000.0, 0.0);
    willow.planned = Some(Planned { start: (on(5), 20), catch_day: on(3), second_day: Some(on(6)), parts: true });
    willow.days[3].loss_chance = 0.25;
    let text = page(&morning(vec![willow]), Manner::UsCustomary).replace('\n', " ");
    assert!(
        text.contains("Willow: left until Tuesday, cold has taken a fifth or more with a chance of 1 in 4."),
        "{text}"
    );
}

#[test]
fn a_choice_that_was_not_proved_says_so() {
    let mut outlook = morning(vec![pond("Willow", 400_000.0, 20_000.0, 0.0)]);
    let said = |outlook: &Outlook| (page(outlook, Manner::UsCustomary).replace("\n", " "), reasons(outlook).join(" "));
    let (printed, shown) = said(&outlook);
    assert!(!printed.contains("could be tried") && !shown.contains("could be tried"), "{printed}");
    let decision = &mut outlook.plan.decision;
    (decision.fixed_proved, decision.fixed_beyond) = (false, Some(121_001.0));
    let (printed, shown) = said(&outlook);
    let sentence = "could be tried: none can bring more than $1,300 beyond what these bring.";
    assert!(shown.contains(sentence), "{shown}");
    assert!(printed.contains("could be tried: none can bring"), "{printed}");
    outlook.plan.decision.fixed_beyond = None;
    assert!(said(&outlook).1.contains("might still bring a pond out"), "{}", said(&outlook).1);
}
