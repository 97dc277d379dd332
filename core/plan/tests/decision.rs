//! The whole decision on a made-up farm of four ponds: what it may say and must not.

mod toys;

use chance::{Purpose, Stream};
use plan::recourse::Signals;
use plan::{Decision, FitSettings, Learn, Limits, Settings, Tables, Yesterday, check, decide, fit_rule};
use toys::{Autumn, Morning};
use units::Watch;

/// A morning of late season: the anomaly and the known parts of the days ahead as given.
fn morning(autumn: &Autumn, day: usize, anomaly: f64, ahead: f64) -> Morning {
    let mut stream = Stream::new(12, 0, Purpose(3));
    let mut now = autumn.start(&mut stream);
    while now.day < day {
        now = autumn.step(&now, &mut stream);
    }
    now.anomaly = anomaly;
    now.ahead = [ahead; toys::REACH];
    now
}

struct Case {
    tables: Tables,
    signals: Signals,
    limits: Limits,
}

fn case(now: &Morning, members: usize) -> Case {
    let (tables, signals, limits) = Autumn::four().tables(now, members, 21);
    Case { tables, signals, limits }
}

impl Case {
    fn decide(&self, settings: &Settings, learn: Learn, yesterday: Option<&Yesterday>) -> Decision {
        let watch = Watch::default();
        decide(&self.tables, &self.signals, &self.limits, settings, learn, yesterday, &watch)
            .expect("the case is sound")
    }
    /// Chance of the cold mark by a day, straight from the table.
    fn mark(&self, pond: usize, day: usize) -> f64 {
        let crossed = self.tables.crossing.of(pond, day);
        crossed.iter().filter(|&&c| c).count() as f64 / crossed.len() as f64
    }
}

fn warm_and_cold() -> [(&'static str, Case); 3] {
    let autumn = Autumn::four();
    [
        ("early", case(&morning(&autumn, 10, 0.0, 0.0), 120)),
        ("late", case(&morning(&autumn, 36, 0.0, 0.0), 120)),
        ("front", case(&morning(&autumn, 36, -2.0, -1.2), 120)),
    ]
}

#[test]
fn the_plan_keeps_every_limit_and_the_floor_and_ceiling_hold() {
    for (name, case) in warm_and_cold() {
        let decision = case.decide(&Settings::default(), Learn::Now, None);
        let members: Vec<usize> = (0..case.tables.members()).collect();
        let schedule = decision.schedule();
        assert_eq!(check(&schedule, &case.tables, &case.limits, &members), Vec::new(), "{name}");
        assert!(schedule.jobs.iter().all(Option::is_some), "{name}");
        for job in &decision.today {
            assert_eq!(schedule.jobs[job.pond].as_ref(), Some(job), "{name}: today's start is in the plan");
            assert!(job.start_hour < case.limits.now_hour + 24, "{name}");
        }
        let started = |job: &&plan::Job| job.start_hour < case.limits.now_hour + 24;
        assert_eq!(schedule.jobs.iter().flatten().filter(started).count(), decision.today.len(), "{name}");
        let error = 3.0 * decision.worth.standard_error.hypot(decision.fixed.standard_error);
        assert!(decision.fixed.mean <= decision.worth.mean + error, "{name}: {decision:?}");
        assert!(decision.worth.mean <= decision.ceiling.mean + error, "{name}: {decision:?}");
        assert!(decision.worth.p05 < decision.worth.mean, "{name}");
        for pond in &decision.ponds {
            let total: f64 = pond.catch_share.iter().sum();
            assert!((total - 1.0).abs() < 1e-9, "{name}: shares of days sum to {total}");
        }
    }
}

#[test]
fn nothing_is_started_early_and_all_that_can_be_is_before_a_front() {
    let [(_, early), _, (_, front)] = warm_and_cold();
    let calm = early.decide(&Settings::default(), Learn::Now, None);
    assert!(calm.today.is_empty(), "{:?}", calm.today);
    let hurried = front.decide(&Settings::default(), Learn::Now, None);
    assert!(!hurried.today.is_empty(), "{:?}", hurried.candidates);
}

#[test]
fn no_plan_leaves_a_pond_full_into_more_than_the_guard_allows() {
    for (name, case) in warm_and_cold() {
        let settings = Settings::default();
        let guarded = case.decide(&settings, Learn::Now, None);
        for pond in guarded.ponds.iter().filter(|pond| pond.mark_chance > 0.1 + 1e-9) {
            // Then no way of bringing all ponds out has less exposure: the exact dates agree.
            let job = pond.planned.expect("all come out");
            let exact = guarded.fixed_dates.jobs[pond.pond].expect("all come out");
            assert!(case.mark(pond.pond, exact.take.first_low_day()) >= 0.1, "{name}: {job:?} against {exact:?}");
        }
        let free = case.decide(&Settings { guard_chance: None, ..settings }, Learn::Now, None);
        assert!(!free.guard.binds && free.guard.cost == 0.0, "{name}");
        assert_eq!(guarded.guard.today_without, free.today, "{name}: the plan without the guard is the unguarded plan");
        let chances = |decision: &Decision| decision.ponds.iter().map(|pond| pond.mark_chance).sum::<f64>();
        assert!(chances(&guarded) <= chances(&free) + 1e-9, "{name}");
        assert!(guarded.guard.cost >= 0.0, "{name}");
    }
    // A world in which the mark is met long before cold does harm: the guard must bind and cost something.
    let autumn = Autumn::four();
    let mut strict = case(&morning(&autumn, 20, 0.0, 0.0), 120);
    let (ponds, days, members) = (4, strict.tables.days(), 120);
    strict.tables.crossing =
        plan::Grid::from_fn(ponds, days, members, |_, day, member| day > 4 && member % 5 == 0 || day > 12);
    let bound = strict.decide(&Settings::default(), Learn::Now, None);
    let free = strict.decide(&Settings { guard_chance: None, ..Settings::default() }, Learn::Now, None);
    assert!(bound.guard.binds, "{:?}", bound.guard);
    assert!(bound.guard.cost > 0.0, "{:?}", bound.guard);
    assert!(!bound.today.is_empty() && free.today.is_empty(), "{:?} {:?}", bound.today, free.today);
    assert_eq!(bound.guard.today_without, free.today);
}

#[test]
fn hours_follow_from_the_marks_and_the_leads() {
    let [_, (_, mut late), _] = warm_and_cold();
    // Every member meets the mark at the dawn of day 9, but a tenth and one more at the dawn of day 6.
    late.tables.crossing =
        plan::Grid::from_fn(4, late.tables.days(), 120, |_, day, member| day >= 9 || (member <= 12 && day >= 6));
    let decision = late.decide(&Settings::default(), Learn::Now, None);
    for pond in &decision.ponds {
        let lead_h = late.limits.ponds[pond.pond].ways[0].lead_hours;
        assert!(pond.hours.lead_h == f64::from(lead_h) && pond.hours.catch_h > 0.0, "pond {}", pond.pond);
        // 13 of 120 is more than a tenth, so the last day within the guard is day 5.
        assert_eq!(pond.hours.still_out_hour, Some(24 * 5 + 6 - lead_h), "pond {}", pond.pond);
        let planned = pond.planned.expect("all come out");
        assert_eq!(pond.hours.free_until_hour, Some(planned.start_hour));
    }
    // A crew that needs two days' warning is what one must decide by where the water needs less.
    let crew = plan::Notice { kind: plan::NoticeKind::Crew, hours: 48, gear: None };
    late.limits.notices.push(crew);
    let decision = late.decide(&Settings::default(), Learn::Now, None);
    for pond in &decision.ponds {
        let planned = pond.planned.expect("all come out");
        let warned = 24 * planned.take.last_day() as i32 + 6 - 48;
        assert_eq!(pond.hours.free_until_hour, Some(planned.start_hour.min(warned)), "pond {}", pond.pond);
    }
}

#[test]
fn yesterdays_dates_stand_in_a_toss_up_and_what_moved_is_said() {
    let [_, (_, late), (_, front)] = warm_and_cold();
    let before = late.decide(&Settings::default(), Learn::Now, None);
    // The same morning asked again: nothing moved, nothing surprised.
    let same = Yesterday { decision: &before, days_since: 0 };
    let again = late.decide(&Settings::default(), Learn::Now, Some(&same));
    let changed = again.changed.as_ref().expect("yesterday was given");
    assert_eq!(again.schedule(), before.schedule());
    assert!(changed.moved.is_empty() && changed.gain == 0.0, "{changed:?}");
    // A front that nobody saw: the dates move, by more than their error, or the exposure does.
    let after = front.decide(&Settings::default(), Learn::Now, Some(&same));
    let changed = after.changed.as_ref().expect("yesterday was given");
    assert!(!changed.moved.is_empty(), "{changed:?}");
    // The next morning, drawn as yesterday's members expected: surprises are few sds.
    let autumn = Autumn::four();
    let mut stream = Stream::new(5, 1, Purpose(8));
    let next = autumn.step(&morning(&autumn, 36, 0.0, 0.0), &mut stream);
    let tomorrow = case(&next, 120);
    let then = Yesterday { decision: &before, days_since: 1 };
    let moved_on = tomorrow.decide(&Settings::default(), Learn::Now, Some(&then));
    let surprises = &moved_on.changed.expect("yesterday was given").signals;
    assert_eq!(surprises.len(), tomorrow.signals.kinds().len());
    for &(kind, difference) in surprises {
        assert!(difference.abs() < 5.0 * before.expected_signals[kind].1, "{kind}: {difference}");
    }
}

/// One pond that takes a day, whose catch brings 1000 on `peak`, `ahead` more on the day after it, 900 on others; each cell
/// is off by 30 up or down, evenly within both folds.
fn flat_top(peak: usize, ahead: f64) -> Case {
    let (days, members) = (12, 64);
    let autumn = Autumn::one(1);
    let now = Morning { day: autumn.days - days, ..autumn.start(&mut Stream::new(1, 1, Purpose(1))) };
    let (mut tables, signals, limits) = autumn.tables(&now, members, 2);
    tables.worth = plan::Grid::from_fn(1, days, members, |_, day, member| {
        let off = if (member / 2 + day) % 2 == 0 { 30.0 } else { -30.0 };
        let brings = if day == peak {
            1000.0
        } else if day == peak + 1 {
            1000.0 + ahead
        } else {
            900.0
        };
        brings + off
    });
    tables.crossing = plan::Grid::filled(1, days, members, false);
    // Signals that tell nothing.
    let signals = Signals::new(signals.kinds().to_vec(), days, members);
    Case { tables, signals, limits }
}

#[test]
fn a_lead_smaller_than_its_error_moves_nothing() {
    // A peak of one day is not what days lend each other: each is fitted alone.
    let settings = Settings { fit: FitSettings { keep: 0.0, ..FitSettings::default() }, ..Settings::default() };
    let catch_day = |decision: &Decision| decision.ponds[0].planned.map(|job| job.take.last_day());
    // (day planned yesterday, lead of the day after it, whether yesterday's day stands)
    for (peak, ahead, stands) in [(6, 1.0, true), (6, 40.0, false), (1, 1.0, true), (1, 40.0, false)] {
        let before = flat_top(peak, -50.0).decide(&settings, Learn::Now, None);
        assert_eq!(catch_day(&before), Some(peak));
        let case = flat_top(peak, ahead);
        let without = case.decide(&settings, Learn::Now, None);
        assert_eq!(catch_day(&without), Some(peak + 1), "without yesterday the better day wins");
        let yesterday = Yesterday { decision: &before, days_since: 0 };
        let after = case.decide(&settings, Learn::Now, Some(&yesterday));
        let expected = if stands { peak } else { peak + 1 };
        assert_eq!(catch_day(&after), Some(expected), "peak {peak}, ahead {ahead}");
        // The start for day 1 is due this morning: there the move itself is in question.
        assert_eq!(after.today.len(), usize::from(peak == 1 && stands), "peak {peak}, ahead {ahead}");
        let changed = after.changed.as_ref().expect("yesterday was given");
        assert_eq!(changed.moved.is_empty(), stands, "peak {peak}, ahead {ahead}");
        if peak == 1 {
            let second = after.runner_up.as_ref().expect("there are two moves");
            assert_eq!(second.toss_up, stands, "{second:?}");
            assert!((second.difference - if stands { -ahead } else { ahead }).abs() < 1e-6, "{second:?}");
        }
    }
}

#[test]
fn the_guard_is_also_kept_on_later_mornings() {
    // Calm tables, and a forecaster who from morning 3 on sees the mark more likely than the guard allows.
    let mut case = flat_top(6, -50.0);
    let mut kinds = case.signals.kinds().to_vec();
    let mark = kinds.len();
    kinds.push(plan::SignalKind { key: "mark_chance".to_string(), pond: Some(0), marks: Vec::new() });
    case.signals = Signals::new(kinds, case.tables.days(), case.tables.members());
    for day in 3..case.tables.days() {
        case.signals.of_mut(day, mark).fill(0.2);
    }
    let settings = Settings { guard_signals: vec![Some(mark)], ..Settings::default() };
    let decision = case.decide(&settings, Learn::Now, None);
    assert!((decision.ponds[0].catch_share[4] - 1.0).abs() < 1e-9, "{:?}", decision.ponds[0].catch_share);
    assert!((decision.guard.cost - 100.0).abs() < 1e-6 && decision.guard.binds, "{:?}", decision.guard);
    let free = case.decide(&Settings { guard_chance: None, ..settings }, Learn::Now, None);
    assert_eq!(free.ponds[0].planned.map(|job| job.take.last_day()), Some(6));
}

#[test]
fn a_colder_forecast_is_what_would_change_a_wait() {
    let autumn = Autumn::four();
    let late = case(&morning(&autumn, 36, 2.0, 0.0), 300);
    let decision = late.decide(&Settings { guard_chance: None, ..Settings::default() }, Learn::Now, None);
    assert!(decision.today.is_empty(), "{:?}", decision.today);
    let key = |signal: usize| late.signals.kinds()[signal].key.as_str();
    let told: Vec<_> = decision.flips.iter().map(|flip| (key(flip.signal), flip.change)).collect();
    let loss = decision.flips.iter().find(|flip| key(flip.signal).starts_with("loss"));
    assert!(loss.is_some_and(|flip| flip.change > 0.0 && !flip.to.is_empty()), "{told:?}");
}

#[test]
fn the_same_question_has_the_same_answer_to_the_bit() {
    let [_, (_, late), _] = warm_and_cold();
    let once = late.decide(&Settings::default(), Learn::Now, None);
    let twice = late.decide(&Settings::default(), Learn::Now, None);
    assert_eq!(format!("{once:?}"), format!("{twice:?}"));
}

#[test]
fn a_kept_rule_decides_like_the_one_fitted_this_morning() {
    let autumn = Autumn::four();
    let start = morning(&autumn, 30, 0.0, 0.0);
    let wide = case(&start, 600);
    let settings = Settings { guard_chance: None, ..Settings::default() };
    let rule = fit_rule(&wide.tables, &wide.signals, &wide.limits, &settings, &Watch::default()).expect("sound");
    let mut stream = Stream::new(12, 4, Purpose(3));
    let mut now = start;
    for _ in 0..4 {
        now = autumn.step(&now, &mut stream);
    }
    let later = case(&now, 200);
    let rule = rule.later(4);
    let kept = later.decide(&settings, Learn::Kept(&rule), None);
    let from = later.decide(&settings, Learn::From(&rule), None);
    let now = later.decide(&settings, Learn::Now, None);
    assert_eq!(kept.optimism, 0.0, "nothing was fitted");
    for other in [&kept, &from] {
        let apart = (other.worth.mean - now.worth.mean).abs();
        assert!(apart < 0.02 * now.worth.mean, "{} against {}", other.worth.mean, now.worth.mean);
    }
}

#[test]
fn twelve_ponds_come_out_by_the_window() {
    let few = Autumn::four();
    let ponds = (0..12).map(|i| toys::ToyPond { worth: 30.0 + 8.0 * i as f64, ..few.ponds[i % 4].clone() }).collect();
    let many = Autumn { ponds, ..few };
    let (tables, signals, limits) = many.tables(&morning(&many, 20, 0.0, 0.0), 64, 3);
    let settings = Settings { fit: FitSettings::default(), ..Settings::default() };
    let decision = decide(&tables, &signals, &limits, &settings, Learn::Now, None, &Watch::default()).expect("sound");
    let members: Vec<usize> = (0..64).collect();
    assert_eq!(check(&decision.schedule(), &tables, &limits, &members), Vec::new());
    assert!(decision.positions.1 < 6 && decision.positions.0 <= settings.positions_most, "{:?}", decision.positions);
    let error = 3.0 * decision.worth.standard_error.hypot(decision.fixed.standard_error);
    assert!(decision.fixed.mean <= decision.worth.mean + error, "{:?} {:?}", decision.fixed, decision.worth);
    assert!(decision.fixed_proved && decision.fixed_beyond == Some(0.0));
    // Cut short, the answer still keeps every limit, and says that it was.
    let short = Settings { looks_most: 1, ..settings };
    let cut = decide(&tables, &signals, &limits, &short, Learn::Now, None, &Watch::default()).expect("sound");
    assert_eq!(check(&cut.schedule(), &tables, &limits, &members), Vec::new());
    assert!(!cut.fixed_proved && cut.fixed_beyond.is_none_or(|beyond| beyond > 0.0), "{:?}", cut.fixed_beyond);
}
