//! A harvest day: ice, cold and live tanks against published and independent values; the simulated line against what is known of queues.

use std::sync::Arc;

use chance::{Purpose, Stream};
use checks::{Row, read};
use harvest::{
    Buyers, Day, DayWater, Draws, FallingWater, Hand, HandKind, Line, Lived, Means, Post, Rates, Strands, TASKS, Task,
    Unit, chill, ice, live,
};

fn slurry(prawns_kg: f64, prawns_c: f64, water_kg: f64, water_c: f64) -> ice::Slurry {
    ice::Slurry {
        prawns_kg,
        prawns_c,
        water_kg,
        water_c,
        tub_kj_k: 0.0,
        leak_w_k: 3.0,
        air_c: 25.0,
        hours: 3.0,
        ice_c: 0.0,
        wanted_c: 1.0,
    }
}

fn load(prawns_kg: f64, water_l: f64, water_c: f64, ph: f64) -> live::LiveLoad {
    live::LiveLoad {
        prawns_kg,
        water_l,
        water_c,
        air_c: water_c,
        leak_w_k: 0.0,
        ph,
        changed_per_h: 0.0,
        has_oxygen: true,
    }
}

fn ours(row: Row) -> f64 {
    let [a, b, c, d] =
        ["a", "b", "c", "d"].map(|column| if row.text(column).is_empty() { 0.0 } else { row.number(column) });
    match row.text("quantity") {
        "short_rule_kg" => ice::short_rule_kg(a, b),
        "ice_kg" => slurry(a, b, c, d).ice_kg(),
        "settles_c" => ice::Slurry { hours: 0.0, ..slurry(a, b, c, 16.0) }.settles_c(d),
        "melts_kg" => ice::melts_kg(a, b, c),
        "ammonia_mg_l" => load(a, b, 21.0, 7.2).at(c).ammonia_mg_l,
        "free_ammonia_mg_l" => load(a, b, 21.0, d).at(c).free_ammonia_mg_l,
        "loads" => {
            let load = load(a, 1000.0, b, 7.2);
            let allowed = load.load_g_l() <= load.most_g_l(c) && b < live::TOO_WARM_C;
            f64::from(u8::from(allowed))
        }
        "head_kg_h" => {
            let mut rates = Rates::default();
            rates.get_mut(Task::Head).value = b;
            1.0 / rates.hours(Task::Head, 1.0, a)
        }
        "core_left" => chill::core_left(a, b),
        "chill_min" => 60.0 * chill::hours(a / 2000.0, b, c, d),
        other => panic!("{other} is not known here"),
    }
}

#[test]
fn ice_cold_and_live_tanks_meet_what_was_published() {
    let mut missed = Vec::new();
    for row in read("harvest.csv").rows() {
        let (found, expected, tolerance) = (ours(row), row.number("expected"), row.number("tolerance"));
        let off = match row.text("per") {
            "share" => (found / expected - 1.0).abs(),
            _ => (found - expected).abs(),
        };
        if off > tolerance {
            missed.push(format!("{} ({}): {found} for {expected}", row.text("quantity"), row.text("source")));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

/// A day on which only what is fed to it happens: `hands` of the table that never tire, no limits.
fn bare_day(hands: usize) -> Day {
    let mut rates = Rates::default();
    for task in Task::ALL {
        let rate = rates.get_mut(task);
        (rate.unit, rate.value, rate.unknown) = (Unit::HoursEach, 1.0, 0.0);
    }
    Day {
        course: FallingWater::even((0.0, 0.0), 0.0, f64::INFINITY, 0.8, 0.3),
        water: Arc::new(DayWater::even(&[25.0])),
        strands: Strands::default(),
        hands: vec![Hand::new(HandKind::Helper, -1.0, 1e9, Post::Table); hands],
        means: Means { break_h: 0.0, tires_per_h: 0.0, over_h: 0.0, places: [0; TASKS], ..Means::default() },
        buyers: Buyers::default(),
        rates,
        standing: None,
    }
}

/// Exponential times between arrivals of a mean, and exponential or steady service of one task.
fn fed(hands: usize, between_h: f64, service_h: f64, spread: bool, count: usize, seed: u64) -> (Lived, f64) {
    let mut stream = Stream::new(seed, 0, Purpose(1));
    let mut exponential = |mean: f64| -mean * stream.uniform().ln();
    let mut at_h = 0.0;
    let arrivals: Vec<(f64, f64)> = (0..count)
        .map(|_| {
            at_h += exponential(between_h);
            (at_h, 1.0)
        })
        .collect();
    let each = count.next_power_of_two();
    let mut longer = vec![0.0_f32; TASKS * each];
    let services = &mut longer[Task::Store as usize * each..][..each];
    services.iter_mut().for_each(|one| *one = if spread { exponential(service_h) as f32 } else { service_h as f32 });
    let lived = Line::new().fed(&bare_day(hands), &Draws::given(longer), &arrivals, Task::Store).clone();
    (lived, at_h)
}

/// Mean wait over ten runs of so many arrivals, and its standard error.
fn wait_h(hands: usize, between_h: f64, service_h: f64, spread: bool) -> (f64, f64) {
    const RUNS: u64 = 10;
    let waits: Vec<f64> = (0..RUNS)
        .map(|seed| {
            let lived = fed(hands, between_h, service_h, spread, 30_000, seed).0;
            let waits = lived.waits[Task::Store as usize];
            assert_eq!(waits.count, 30_000);
            waits.sum_h / f64::from(waits.count)
        })
        .collect();
    let mean = waits.iter().sum::<f64>() / RUNS as f64;
    let variance = waits.iter().map(|wait| (wait - mean) * (wait - mean)).sum::<f64>() / (RUNS - 1) as f64;
    (mean, (variance / RUNS as f64).sqrt())
}

/// Erlang's chance of waiting among c servers, load a = rate x service.
fn erlang_c(servers: usize, load: f64) -> f64 {
    let mut blocked = 1.0;
    for n in 1..=servers {
        blocked = load * blocked / (n as f64 + load * blocked);
    }
    let busy = load / servers as f64;
    blocked / (1.0 - busy * (1.0 - blocked))
}

/// Waits of M/M/1 and M/M/c: rho s/(1 - rho) and C s/(c - a). Source: Erlang (1917); any text on queues (Gross & Harris; memory).
#[test]
fn hands_at_one_task_wait_as_erlang_says() {
    for (hands, busy) in [(1, 0.5), (1, 0.8), (3, 0.7), (5, 0.85)] {
        let service_h = 0.1;
        let load = busy * hands as f64;
        let expected = erlang_c(hands, load) * service_h / (hands as f64 - load);
        let (mean, error) = wait_h(hands, service_h / load, service_h, true);
        // Four standard errors of the runs themselves; a run's first arrivals find nobody waiting, which is under 1 in 300.
        assert!(
            (mean - expected).abs() < 4.0 * error + expected / 300.0,
            "{hands} hands: {mean} +- {error}, {expected}"
        );
        assert!(error < 0.05 * expected, "the runs tell something");
    }
    // One hand whose every go takes the same: half the wait (Pollaczek & Khinchine).
    let (mean, error) = wait_h(1, 0.125, 0.1, false);
    let expected = 0.8 * 0.1 / (2.0 * 0.2);
    assert!((mean - expected).abs() < 4.0 * error + expected / 300.0, "{mean} +- {error}, {expected}");
}

/// Little's law: what is there on average is the rate of coming times the time each stays. It holds of any run that begins and ends
/// empty: hours of waiting and work together over the run's length, on both ways of counting.
#[test]
fn what_is_there_is_the_rate_times_the_stay() {
    let (lived, last_h) = fed(2, 0.06, 0.1, true, 20_000, 3);
    let waits = lived.waits[Task::Store as usize];
    let stay_h = (waits.sum_h + waits.busy_h) / f64::from(waits.count);
    let rate = f64::from(waits.count) / last_h;
    // For M/M/2 with rho = 5/6: L = 2 rho / (1 - rho²).
    let rho: f64 = 0.1 / 0.06 / 2.0;
    let expected = 2.0 * rho / (1.0 - rho * rho);
    let there = rate * stay_h;
    assert!((there / expected - 1.0).abs() < 0.08, "{there}, {expected}");
    assert!((waits.busy_h / lived.finish_h / 2.0 - rho).abs() < 0.02, "hands are busy as the load says");
}

/// Two places in a row with steady times: the last is done after the first came, one way through, and one go of the slower place for
/// each of the others. Source: flow of jobs through two machines, Johnson (1954); memory.
#[test]
fn a_line_runs_at_the_pace_of_its_slowest_place() {
    for (wash_h, pack_h) in [(0.1, 0.2), (0.2, 0.1), (0.15, 0.15)] {
        let mut day = bare_day(0);
        day.hands = [Post::Bank, Post::Table].map(|post| Hand::new(HandKind::Helper, -1.0, 1e9, post)).to_vec();
        day.rates.get_mut(Task::Unload).value = wash_h;
        day.rates.get_mut(Task::Pack).value = pack_h;
        day.rates.get_mut(Task::Store).value = 0.0;
        // One place each: a hand with nothing to do cannot help, which is not in the formula.
        (day.means.places[Task::Unload as usize], day.means.places[Task::Pack as usize]) = (1, 1);
        let count = 200;
        let arrivals = vec![(0.0, 1.0); count];
        let draws = Draws::given(vec![1.0; TASKS * 256]);
        let mut line = Line::new();
        let lived = line.fed(&day, &draws, &arrivals, Task::Unload);
        let expected = wash_h + pack_h + (count - 1) as f64 * wash_h.max(pack_h);
        assert!((lived.finish_h - expected).abs() < 1e-6, "{wash_h} {pack_h}: {} for {expected}", lived.finish_h);
    }
}
