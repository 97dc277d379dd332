//! Decisions on random small farms with every kind of limit: what is shown can be done.

mod farms;

use chance::{Purpose, Stream};
use plan::recourse::{SignalKind, Signals};
use plan::{Ask, Learn, Limit, Settings, Yesterday, best_fixed, check, decide};
use units::Watch;

/// One signal that tells nothing of worth, and one that tells the member's mean worth of the days to come.
fn signals(farm: &farms::Farm, number: u32) -> Signals {
    let (days, members) = (farm.limits.days, farm.tables.members());
    let kind = |key: &str| SignalKind { key: key.to_string(), pond: None, marks: vec![0.0] };
    let mut signals = Signals::new(vec![kind("noise"), kind("told")], days, members);
    let mut stream = Stream::new(4, number, Purpose(5));
    for day in 0..days {
        for member in 0..members {
            signals.of_mut(day, 0)[member] = stream.normal();
            let later = (day..days).map(|day| farm.tables.worth.at(0, day, member)).sum::<f64>();
            signals.of_mut(day, 1)[member] = later / (days - day) as f64;
        }
    }
    signals
}

#[test]
fn what_is_shown_can_be_done_on_random_farms() {
    let watch = Watch::default();
    let (mut started, mut fewer) = (0, 0);
    for number in 0..400 {
        let farm = farms::farm(number);
        let told = signals(&farm, number);
        let all: Vec<usize> = (0..farm.tables.members()).collect();
        let settings = Settings { risk_weight: farm.risk_weight, guard_chance: None, ..Settings::default() };
        let decision = decide(&farm.tables, &told, &farm.limits, &settings, Learn::Now, None, &watch);
        let decision = decision.unwrap_or_else(|fault| panic!("farm {number}: {fault:?}"));
        let schedule = decision.schedule();
        let broken = check(&schedule, &farm.tables, &farm.limits, &all);
        let bad: Vec<_> = broken.iter().filter(|broken| broken.limit != Limit::Left).collect();
        assert!(bad.is_empty(), "farm {number}: {bad:?} in {schedule:?}");
        for job in &decision.today {
            assert_eq!(schedule.jobs[job.pond].as_ref(), Some(job), "farm {number}: today's start is planned");
            assert!(farm.limits.ponds[job.pond].started.is_none(), "farm {number}: it was going already");
        }
        started += decision.today.len();
        let ask = Ask::exact(&all, farm.risk_weight);
        let exact = best_fixed(&farm.tables, &farm.limits, &ask, &watch).expect("the farm is sound");
        fewer += usize::from(broken.len() > exact.left.len());
        // Asked again with its own answer as yesterday's, the plan stands.
        let yesterday = Yesterday { decision: &decision, days_since: 0 };
        let again = decide(&farm.tables, &told, &farm.limits, &settings, Learn::Now, Some(&yesterday), &watch);
        assert_eq!(again.map(|again| again.schedule()), Ok(schedule), "farm {number}");
    }
    assert!(started > 50, "only {started} starts were seen");
    assert_eq!(fewer, 0, "farms of 400 that leave more ponds than they must");
}
