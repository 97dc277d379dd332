use super::*;
use crate::facts::Happened;
use crate::read_farm;

const HAZEL_BEND: &str = include_str!("../../../../../samples/hazel-bend/farm.toml");

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// The sample farm with one pond, stocked on a day.
fn bend(stocked: &str, harvested: Option<&str>) -> Farm {
    let mut farm = read_farm(HAZEL_BEND).expect("the sample reads");
    farm.ponds.truncate(1);
    farm.ponds[0].stocking =
        Stocking { on: day(stocked), count: 10_000.0, mean_weight_g: 0.35, count_either_way: None };
    farm.ponds[0].harvested = harvested.map(day);
    farm
}

struct Log(Vec<Kept>, Zone);

impl Log {
    fn new() -> Log {
        Log(Vec::new(), bend("2011-05-27", None).place.zone)
    }
    /// Enters something at noon; its number and mark.
    fn enter(&mut self, seq: i64, kind: &str, on: &str, typed: &str) -> String {
        self.mend(seq, kind, on, typed, None)
    }
    fn mend(&mut self, seq: i64, kind: &str, on: &str, typed: &str, corrects: Option<&str>) -> String {
        let id = format!("{seq:032x}");
        let pairs = typed.split(';').filter_map(|pair| pair.split_once('='));
        let mut fact = Fact {
            id: id.clone(),
            farm: "hazel-bend".to_owned(),
            device: "phone".to_owned(),
            person: "ann".to_owned(),
            kind: kind.to_owned(),
            form: 1,
            happened: Happened { at: self.1.instant(day(on), 43_200), offset_s: -14_400 },
            typed_ms: 0,
            corrects: corrects.map(str::to_owned),
            typed: pairs.map(|(key, text)| (key.trim().to_owned(), text.trim().to_owned())).collect(),
            values: BTreeMap::new(),
        };
        let read = fact.read();
        assert!(read.slips.is_empty(), "{typed}: {:?}", read.slips);
        self.0.push(Kept { seq, received_ms: 0, clock_off_ms: 0, fact });
        id
    }
    fn lots(&self, farm: &Farm) -> Vec<Lot> {
        lots(&[FileSaid { seq: 0, farm }], &self.0, &self.1)
    }
    fn days(&self, farm: &Farm) -> Vec<(String, Option<String>)> {
        self.lots(farm).iter().map(|lot| (lot.stocking.on.to_string(), lot.out.map(|out| out.to_string()))).collect()
    }
    fn seasons(&self, farm: &Farm) -> Vec<(Option<String>, String, Option<String>)> {
        let spells = spells(&self.lots(farm), &self.0, &self.1);
        spells.into_iter().map(|s| (s.name, s.starts.to_string(), s.ends.map(|day| day.to_string()))).collect()
    }
}

fn pairs(all: &[(&str, Option<&str>)]) -> Vec<(String, Option<String>)> {
    all.iter().map(|(on, out)| ((*on).to_owned(), out.map(str::to_owned))).collect()
}

#[test]
fn a_pond_holds_two_batches_in_a_season() {
    let farm = bend("2011-05-27", None);
    let mut log = Log::new();
    log.enter(1, "catch", "2011-07-30", "pond=willow;caught=100 kg;mean_weight=20 g;empty=no");
    log.enter(2, "catch", "2011-08-01", "pond=willow;caught=20 kg;mean_weight=20 g;empty=yes");
    log.enter(3, "stocked", "2011-08-04", "pond=willow;stocked=4000;mean_weight=2 g");
    assert_eq!(log.days(&farm), pairs(&[("2011-05-27", Some("2011-08-01")), ("2011-08-04", None)]));
    let lots = log.lots(&farm);
    assert_eq!(lots[0].caught_kg, Some(120.0));
    assert!((lots[0].caught_count.expect("counted") - 6000.0).abs() < 1e-6 && lots[0].is_counted_whole);
    assert_eq!((lots[1].caught_kg, lots[1].stocking.count), (None, 4000.0));
    assert_eq!(log.seasons(&farm), [(None, "2011-05-27".to_owned(), None)]);
}

#[test]
fn a_stocking_without_a_last_catch_says_that_the_pond_was_empty() {
    let farm = bend("2011-05-27", None);
    let mut log = Log::new();
    log.enter(1, "stocked", "2011-08-04", "pond=willow;stocked=4000;mean_weight=2 g");
    assert_eq!(log.days(&farm), pairs(&[("2011-05-27", Some("2011-08-04")), ("2011-08-04", None)]));
    assert!(log.lots(&farm)[0].is_out_guessed);
    // The catch of before, entered afterwards.
    log.enter(2, "catch", "2011-08-02", "pond=willow;empty=yes");
    assert_eq!(log.days(&farm)[0].1.as_deref(), Some("2011-08-02"));
    assert!(!log.lots(&farm)[0].is_out_guessed);
}

#[test]
fn entries_hold_in_whatever_order_they_arrive() {
    let farm = bend("2011-05-27", None);
    let all = [
        ("catch", "2011-08-01", "pond=willow;caught=20 kg;empty=yes"),
        ("stocked", "2011-08-04", "pond=willow;stocked=4000;mean_weight=2 g"),
        ("catch", "2011-10-05", "pond=willow;caught=80 kg;empty=yes"),
    ];
    let mut seen = Vec::new();
    for order in [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]] {
        let mut log = Log::new();
        for (at, which) in order.into_iter().enumerate() {
            let (kind, on, typed) = all[which];
            log.enter(at as i64 + 1, kind, on, typed);
        }
        let what: Vec<_> = log.lots(&farm).into_iter().map(|lot| (lot.stocking, lot.out, lot.caught_kg)).collect();
        seen.push(what);
    }
    assert_eq!(seen[0].len(), 2);
    assert_eq!((seen[0][0].2, seen[0][1].2), (Some(20.0), Some(80.0)));
    assert!(seen.iter().all(|other| *other == seen[0]), "{seen:?}");
}

#[test]
fn what_is_struck_out_or_mended_no_longer_tells() {
    let farm = bend("2011-05-27", None);
    let mut log = Log::new();
    let first = log.enter(1, "stocked", "2011-08-04", "pond=willow;stocked=4000;mean_weight=2 g");
    log.mend(2, "stocked", "2011-08-06", "pond=willow;stocked=4500;mean_weight=2 g", Some(&first));
    let lots = log.lots(&farm);
    assert_eq!((lots[1].stocking.on, lots[1].stocking.count), (day("2011-08-06"), 4500.0));
    assert_eq!(lots[1].id, first, "a mended batch keeps its mark");
    log.mend(3, "stocked", "2011-08-06", "struck=yes", Some(&format!("{:032x}", 2)));
    assert_eq!(log.days(&farm), pairs(&[("2011-05-27", None)]));
}

#[test]
fn a_file_taken_later_mends_and_one_of_the_next_year_begins_anew() {
    let (early, moved) = (bend("2011-05-27", None), bend("2011-05-30", None));
    let (out, next) = (bend("2011-05-30", Some("2011-10-04")), bend("2012-05-20", None));
    let zone = early.place.zone.clone();
    let told = |files: &[&Farm]| {
        let said: Vec<_> = files.iter().zip(1..).map(|(farm, seq)| FileSaid { seq, farm }).collect();
        let lots = lots(&said, &[], &zone);
        let spells = spells(&lots, &[], &zone);
        (lots.iter().map(|lot| (lot.stocking.on.to_string(), lot.out.map(|out| out.to_string()))).collect(), spells)
    };
    let (days, _): (Vec<_>, _) = told(&[&early, &moved, &out]);
    assert_eq!(days, pairs(&[("2011-05-30", Some("2011-10-04"))]));
    let (days, seasons) = told(&[&early, &moved, &out, &next]);
    assert_eq!(days, pairs(&[("2011-05-30", Some("2011-10-04")), ("2012-05-20", None)]));
    let ends: Vec<_> = seasons.iter().map(|spell| (spell.starts, spell.ends)).collect();
    assert_eq!(ends, [(day("2011-05-30"), Some(day("2011-10-04"))), (day("2012-05-20"), None)]);
    // Nobody said that it came out: the next year's file tells that it had, by the last day of catch.
    let (days, seasons) = told(&[&early, &next]);
    assert_eq!(days, pairs(&[("2011-05-27", Some("2011-10-31")), ("2012-05-20", None)]));
    assert_eq!(seasons.len(), 2);
}

#[test]
fn seasons_begin_and_end_as_they_are_told_and_may_run_over_new_year() {
    let farm = bend("2011-10-15", None);
    let mut log = Log::new();
    log.enter(1, "catch", "2012-03-20", "pond=willow;caught=200 kg;empty=yes");
    assert_eq!(log.seasons(&farm), [(None, "2011-10-15".to_owned(), None)]);
    log.enter(2, "season_over", "2012-03-25", "");
    log.enter(3, "season", "2012-04-02", "name=Second;last_catch=2012-10-31");
    log.enter(4, "stocked", "2012-05-01", "pond=willow;stocked=9000;mean_weight=0.3 g");
    let second = (Some("Second".to_owned()), "2012-04-02".to_owned(), None);
    assert_eq!(log.seasons(&farm), [(None, "2011-10-15".to_owned(), Some("2012-03-25".to_owned())), second]);
    let mut laid = farm.clone();
    lay_lots(&mut laid, 0, &log.0);
    assert_eq!((laid.ponds[0].stocking.on, laid.ponds[0].harvested), (day("2012-05-01"), None));
    assert_eq!(laid.season.last_catch, day("2012-10-31"));
    assert!(laid.ponds[0].samples.is_empty() && laid.ponds[0].readings.is_empty(), "of the animals before");
}

#[test]
fn a_farm_without_entries_is_left_as_it_was_written() {
    let farm = read_farm(HAZEL_BEND).expect("the sample reads");
    let mut laid = farm.clone();
    lay_lots(&mut laid, 0, &[]);
    assert_eq!(laid, farm);
    let mut log = Log::new();
    log.enter(1, "catch", "2011-09-20", "pond=willow;caught=20 kg;empty=no");
    lay_lots(&mut laid, 0, &log.0);
    let taken = std::mem::take(&mut laid.ponds[0].taken);
    assert_eq!(laid, farm, "a first seining leaves the pond in the plan");
    assert_eq!(
        taken,
        [Taken { on: day("2011-09-20"), live_kg: 20.0, by_baskets: false }],
        "and its weight is off what stands in it"
    );
}

#[test]
fn what_came_out_is_told_day_by_day_once() {
    let farm = bend("2011-05-27", None);
    let taken = |log: &Log| {
        let mut laid = farm.clone();
        lay_lots(&mut laid, 0, &log.0);
        let one = |of: &Taken| (of.on.to_string()[8..].to_owned(), of.live_kg.round() as i64, of.by_baskets);
        laid.ponds[0].taken.iter().map(one).collect::<Vec<_>>()
    };
    let mut log = Log::new();
    log.enter(1, "catch", "2011-09-20", "pond=willow;caught=5 kg");
    log.enter(2, "basket", "2011-09-12", "pond=willow;weight=12 kg;tare=2 kg;to=chill");
    log.enter(3, "catch", "2011-09-20", "pond=willow;caught=2 kg");
    assert_eq!(
        taken(&log),
        [("12".to_owned(), 10, true), ("20".to_owned(), 7, false)],
        "in order of day, two of a day together"
    );
    // Baskets of a day of which the catch was entered are that catch, weighed that day.
    log.enter(4, "basket", "2011-09-20", "pond=willow;weight=8 kg;to=live");
    assert_eq!(taken(&log)[1], ("20".to_owned(), 7, true));
    let on = |day_text: &str, by_baskets| Taken { on: day(day_text), live_kg: 1.0, by_baskets };
    let morning = day("2011-09-20");
    assert!(on("2011-09-20", false).counts_on(morning) && on("2011-09-19", true).counts_on(morning));
    assert!(!on("2011-09-20", true).counts_on(morning), "the harvest day takes its own baskets off");
    assert!(!on("2011-09-21", false).counts_on(morning), "what is dated ahead says nothing yet");
}

const NORTH: &str = "tank=North;pond=willow;counts=412 398 431;sample_weight=160 g;all_weight=2.4 kg";

#[test]
fn what_is_counted_out_of_tanks_is_the_stocking_and_shows_its_delivery() {
    let farm = bend("2011-05-27", Some("2011-09-20"));
    let mut log = Log::new();
    log.enter(1, "delivery", "2012-03-20", "claimed=60,000;papers=health paper 17");
    log.enter(2, "delivery", "2011-03-20", "claimed=50,000");
    log.enter(3, "counted_out", "2012-05-20", NORTH);
    let first = log.lots(&farm).pop().expect("a lot");
    // 2.4 kg of 160 g samples: 15 times the mean of 413.67.
    assert_eq!((first.stocking.on, first.stocking.count), (day("2012-05-20"), 6205.0));
    assert!((first.stocking.mean_weight_g - 480.0 / 1241.0).abs() < 1e-12);
    let either = first.stocking.count_either_way.expect("three samples");
    log.enter(4, "counted_out", "2012-05-22", "tank=West;pond=willow;each=795;mean_weight=0.8 g;grade=upper");
    log.enter(5, "counted_out", "2012-05-22", "tank=West;to_tank=East;each=400;grade=lower");
    let lots = log.lots(&farm);
    let both = lots.last().expect("a lot");
    assert_eq!((lots.len(), both.stocking.on, both.stocking.count), (2, day("2012-05-20"), 7000.0));
    assert_eq!(both.stocking.count_either_way, Some(either), "one by one adds no doubt");
    let tanks: Vec<(&str, Option<&str>)> =
        both.from.iter().map(|from| (from.tank.as_str(), from.grade.as_deref())).collect();
    assert_eq!(tanks, [("North", None), ("West", Some("upper"))]);
    let delivery = both.from[1].delivery.clone().expect("a delivery");
    assert_eq!(delivery, (day("2012-03-20"), Some("health paper 17".to_owned())));
    // A mending of a count mends the stocking.
    log.mend(6, "counted_out", "2012-05-22", "struck=yes", Some(&format!("{:032x}", 4)));
    assert_eq!(log.lots(&farm).last().map(|lot| lot.stocking.count), Some(6205.0));
}

#[test]
fn a_number_that_a_person_entered_for_the_whole_pond_holds_and_names_its_tanks() {
    let farm = bend("2011-05-27", Some("2011-09-20"));
    for said_first in [false, true] {
        let mut log = Log::new();
        let (a, b) = if said_first { (2, 1) } else { (1, 2) };
        log.enter(a, "counted_out", "2012-05-20", NORTH);
        log.enter(b, "stocked", "2012-05-21", "pond=willow;stocked=9000;mean_weight=0.3 g");
        log.0.sort_by_key(|kept| kept.seq);
        let lots = log.lots(&farm);
        let lot = lots.last().expect("a lot");
        assert_eq!((lots.len(), lot.stocking.count, lot.from.len()), (2, 9000.0, 1), "said first: {said_first}");
        assert_eq!(lot.stocking.count_either_way, None);
    }
    let mut log = Log::new();
    log.enter(1, "stocked", "2012-05-21", "pond=willow;stocked=9000;mean_weight=0.3 g");
    let fact = &mut log.0[0].fact;
    fact.form = 2;
    for (key, text) in [("from_tanks", "North, Middle"), ("either_way", "300")] {
        fact.typed.insert(key.to_owned(), text.to_owned());
    }
    assert!(fact.read().slips.is_empty());
    let lot = log.lots(&farm).pop().expect("a lot");
    assert_eq!(lot.from.iter().map(|from| from.tank.as_str()).collect::<Vec<_>>(), ["North", "Middle"]);
    assert_eq!(lot.stocking.count_either_way, Some(300.0));
}

#[test]
fn a_farm_file_taken_again_does_not_undo_a_count_at_the_tanks() {
    let farm = bend("2012-05-20", None);
    let mut log = Log::new();
    log.enter(1, "counted_out", "2012-05-20", NORTH);
    let said = [0, 2].map(|seq| FileSaid { seq, farm: &farm });
    let lots = lots(&said, &log.0, &log.1);
    assert_eq!((lots.len(), lots[0].stocking.count), (1, 6205.0));
}

#[test]
fn baskets_are_a_ponds_catch_where_nobody_entered_one() {
    let farm = bend("2011-05-27", None);
    let mut log = Log::new();
    log.enter(1, "basket", "2011-09-20", "pond=willow;weight=12 kg;tare=2 kg;to=chill");
    log.enter(2, "basket", "2011-09-20", "pond=willow;weight=8 kg;to=live");
    let lot = |log: &Log| log.lots(&farm)[0].clone();
    let kg = |log: &Log| lot(log).caught_kg.expect("weighed");
    assert!((kg(&log) - 18.0).abs() < 1e-9);
    assert_eq!(lot(&log).out, None, "nobody said that it is empty");
    log.enter(3, "closed", "2011-09-20", "pond=willow;all_out=yes;none_left=no");
    assert_eq!(lot(&log).out, None, "animals are left");
    log.enter(4, "closed", "2011-09-21", "pond=willow;all_out=yes;none_left=yes;second_walk=1 kg");
    assert_eq!(lot(&log).out, Some(day("2011-09-20")));
    assert!((kg(&log) - 19.0).abs() < 1e-9);
    assert!(!lot(&log).is_counted_whole && !lot(&log).is_out_guessed);
    // A catch entered in the days after is the baskets', with what else it says; one that only says "empty" takes nothing from them.
    log.enter(5, "catch", "2011-09-22", "pond=willow;empty=yes");
    assert!((kg(&log) - 19.0).abs() < 1e-9);
    assert_eq!(lot(&log).out, Some(day("2011-09-22")));
    log.enter(6, "catch", "2011-09-21", "pond=willow;caught=18.5 kg;mean_weight=30 g");
    assert!((kg(&log) - 18.5).abs() < 1e-9);
    // Catches of weeks before are not theirs.
    let mut early = Log::new();
    early.enter(1, "catch", "2011-09-01", "pond=willow;caught=5 kg;mean_weight=30 g");
    early.enter(2, "basket", "2011-09-20", "pond=willow;weight=8 kg;to=live");
    assert!((kg(&early) - 13.0).abs() < 1e-9);
    // Nor are those of a week after.
    early.enter(3, "catch", "2011-09-27", "pond=willow;caught=7 kg;mean_weight=30 g");
    assert!((kg(&early) - 20.0).abs() < 1e-9);
}
