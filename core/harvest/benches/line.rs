//! A rehearsal of the harvest day: 300 futures under three crews, one entry taken in, the best places for hands.
//!
//! `cargo bench -p harvest --bench line`. Prints the fastest and the middle of several runs on one core; nothing is held to them. With
//! `-- FILE` a tandem line is timed as well and written there as the peer in `checks/peers/line` reads it.

// A bench stands outside the core: it may read the clock, the arguments and files.
#![allow(clippy::disallowed_methods)]

use std::time::Instant;

use harvest::{
    Buyers, Day, DayWater, Draws, FallingWater, Future, Hand, HandKind, Heard, Line, Means, Post, Rates, Standing,
    Strands, TASKS, Task, Unit, best_posts, carried, learn, live_all, relaxed, tell,
};
use std::sync::Arc;

const MEMBERS: u32 = 300;
const RUNS: usize = 9;

fn crew(water: usize, bank: usize, table: usize) -> Vec<Hand> {
    let at = |post, n| std::iter::repeat_n(Hand::new(HandKind::Helper, 6.5, 15.5, post), n);
    at(Post::Water, water).chain(at(Post::Bank, bank)).chain(at(Post::Table, table)).collect()
}

/// A day of the sample farm's size: 300 kg, twelve baskets.
fn day(hands: Vec<Hand>) -> Day {
    Day {
        course: FallingWater::even((7.0, 9.0), 11.0, f64::INFINITY, 0.8, 0.3),
        water: Arc::new(DayWater::even(&[25.0])),
        strands: Strands { warm_share: 0.1, ..Strands::default() },
        hands,
        means: Means { baskets: 12, ice_kg: 500.0, live_room_kg: 60.0, ..Means::default() },
        buyers: Buyers { live_kg: 36.0, whole_kg: 200.0, tails_kg: 80.0 },
        rates: Rates::default(),
        standing: None,
    }
}

fn futures() -> Vec<Future> {
    (0..MEMBERS)
        .map(|member| Future {
            mass_kg: 240.0 + 0.4 * f64::from(member),
            weight_g: 36.0,
            member: member as usize,
            strands_uneven: 1.0,
            culled_share: 0.03,
            dwell_h: [0.3; 2],
        })
        .collect()
}

fn timed<T>(name: &str, mut of: impl FnMut() -> T) {
    let mut times: Vec<f64> = (0..RUNS)
        .map(|_| {
            let begin = Instant::now();
            std::hint::black_box(of());
            1000.0 * begin.elapsed().as_secs_f64()
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{name}: {:.1} ms fastest, {:.1} middle of {RUNS}", times[0], times[RUNS / 2]);
}

fn main() {
    let futures = futures();
    let crews = [day(crew(3, 2, 1)), day(crew(2, 2, 0)), day(crew(3, 3, 2))];
    let mut line = Line::new();
    let draws = Draws::new(1, 0..MEMBERS, &crews[0].rates);
    timed("draws of 300 futures", || Draws::new(1, 0..MEMBERS, &crews[0].rates));
    timed("300 futures x 3 crews, draws with them", || {
        let draws = Draws::new(1, 0..MEMBERS, &crews[0].rates);
        crews.iter().map(|day| tell(&live_all(&mut line, day, &futures, &draws))).collect::<Vec<_>>()
    });
    let standing = Standing {
        hour: 9.5,
        hauls: 2,
        waiting: vec![(Task::Sort, 9.0, 9.4)],
        in_tubs_kg: 30.0,
        ice_used_kg: 110.0,
        done: Buyers { live_kg: 36.0, whole_kg: 24.0, tails_kg: 0.0 },
        caught_kg: 99.0,
        ..Standing::default()
    };
    timed("300 futures anew after one entry", || {
        let heard = Heard { task: Task::Sort, goes: 1, kg: 9.0, weight_g: 36.0, hand_h: 0.2 };
        let rates = learn(&crews[0].rates, &[heard]);
        let now = Day { rates, standing: Some(standing.clone()), ..crews[0].clone() };
        tell(&live_all(&mut line, &now, &futures, &draws))
    });
    timed("best places for hands", || best_posts(&mut line, &mut crews[0].clone(), &futures, &draws));
    timed("which limits bind", || relaxed(&mut line, &crews[0], &futures, &draws));
    timed("how much can be carried", || carried(&mut line, &crews[0], &futures, &draws));
    if let Some(path) = std::env::args().skip(1).find(|arg| !arg.starts_with("--")) {
        tandem(&path);
    }
}

/// Baskets of the tandem line.
const BASKETS: usize = 20_000;

/// Three places in a row, one hand each, with baskets that come as they will: unload, pack, store. The peer lives the same arrivals and
/// the same times.
fn tandem(path: &str) {
    let mut rates = Rates::default();
    for task in Task::ALL {
        let rate = rates.get_mut(task);
        (rate.unit, rate.value, rate.unknown) = (Unit::HoursEach, 1.0, 0.0);
    }
    let mut means = Means { break_h: 0.0, tires_per_h: 0.0, over_h: 0.0, places: [0; TASKS], ..Means::default() };
    for task in [Task::Unload, Task::Pack, Task::Store] {
        means.places[task as usize] = 1;
    }
    let day = Day {
        course: FallingWater::even((0.0, 0.0), 0.0, f64::INFINITY, 0.8, 0.3),
        water: Arc::new(DayWater::even(&[25.0])),
        strands: Strands::default(),
        // More hands than places: each place has one at work whenever something waits there, and nobody walks between.
        hands: vec![Hand::new(HandKind::Helper, -1.0, 1e9, Post::Table); 2]
            .into_iter()
            .chain([Hand::new(HandKind::Helper, -1.0, 1e9, Post::Bank)])
            .collect(),
        means,
        buyers: Buyers::default(),
        rates,
        standing: None,
    };
    let mut stream = chance::Stream::new(5, 0, chance::Purpose(1));
    let mut exponential = |mean: f64| -mean * units::ln(stream.uniform());
    let mut at_h = 0.0;
    let arrivals: Vec<(f64, f64)> = (0..BASKETS)
        .map(|_| {
            at_h += exponential(0.13);
            (at_h, 1.0)
        })
        .collect();
    let each = BASKETS.next_power_of_two();
    let mut longer = vec![0.0_f32; TASKS * each];
    let mut lines = String::new();
    for (task, mean) in [(Task::Unload, 0.08), (Task::Pack, 0.1), (Task::Store, 0.05)] {
        longer[task as usize * each..][..each].iter_mut().for_each(|one| *one = exponential(mean) as f32);
    }
    for (place, (at_h, _)) in arrivals.iter().enumerate() {
        let of = |task: Task| longer[task as usize * each + place];
        lines += &format!("{at_h} {} {} {}\n", of(Task::Unload), of(Task::Pack), of(Task::Store));
    }
    std::fs::write(path, lines).expect("the tandem's file can be written");
    let draws = Draws::given(longer);
    let mut line = Line::new();
    let mut last = None;
    let begin = Instant::now();
    for _ in 0..RUNS {
        last = Some(line.fed(&day, &draws, &arrivals, Task::Unload).clone());
    }
    let lived = last.expect("lived");
    let waits = [Task::Unload, Task::Pack, Task::Store].map(|task| {
        let waits = lived.waits[task as usize];
        waits.sum_h / f64::from(waits.count)
    });
    println!("tandem_finish_h {:.4}", lived.finish_h);
    println!("tandem_waits_h {:.5} {:.5} {:.5}", waits[0], waits[1], waits[2]);
    println!("tandem_ms {:.2}", 1000.0 * begin.elapsed().as_secs_f64() / RUNS as f64);
}
