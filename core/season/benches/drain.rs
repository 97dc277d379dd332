//! What a person waits for at an emptying pond: `cargo bench -p season --bench drain`.
//!
//! One pond's way down worked back and followed by the clock; and the whole answer with its water under 300 members and three other
//! courses, once the morning's draws are there.

// A bench reads the clock.
#![allow(clippy::disallowed_methods)]

use std::time::Instant;

use farm::read_farm;
use season::drain::{SeineWish, Wish, drain};
use season::pond::drawdown::backwards::{Seine, Wanted, solve};
use season::pond::drawdown::{Reservoir, SCREEN, Way, Works};
use season::pond::{Levee, Shape};
use season::weather::{DonorRecord, read_daily, read_forecast_table};
use season::{FarmPast, MorningAsk, answer_from, draw};
use units::Watch;

const FARM: &str = include_str!("../../../samples/hazel-bend/farm.toml");
const HISTORY: &[u8] = include_bytes!("../../../samples/hazel-bend/history.csv");
const FORECAST: &[u8] = include_bytes!("../../../samples/hazel-bend/forecast.csv");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../samples/donors/kennedy.csv")),
];
const REPEATS: usize = 15;

/// Least, middle and most of some repeats, ms.
fn say(what: &str, mut work: impl FnMut()) {
    let mut took: Vec<f64> = (0..REPEATS)
        .map(|_| {
            let begin = Instant::now();
            work();
            1e3 * begin.elapsed().as_secs_f64()
        })
        .collect();
    took.sort_by(f64::total_cmp);
    println!("{what:56} {:8.2} ms (least {:.2}, most {:.2})", took[REPEATS / 2], took[0], took[REPEATS - 1]);
}

fn by_the_clock() {
    let shape = Shape::from_levee(&Levee::paced(100.0, 40.0, 1.0, 2.1), 12).expect("a pond");
    let held = Reservoir::new(&shape);
    let pipe = Way::Pipe { diameter_m: 0.2, length_m: 15.0, height_m: 0.0, screen_fraction: SCREEN };
    let works = Works::plain(vec![pipe]);
    let wanted = Wanted {
        now_h: 0.0,
        from_m: 2.1,
        open_h: None,
        seine: Some(Seine { stage_m: 1.7, at_h: 54.5, held_h: 3.0 }),
        catch_m: 0.4,
        catch_at_h: 78.5,
        hands_h: (5.0, 22.0),
        after_h: 6.0,
    };
    say("one pond, two levels worked back and followed", || {
        let opening = solve(&held, &works, &wanted);
        assert!(opening.short.is_empty());
    });
}

fn whole() {
    let farm = read_farm(FARM).expect("the sample reads");
    let forecast = read_forecast_table(FORECAST, &farm.place.zone).expect("its forecast reads").value;
    let history = read_daily(HISTORY).expect("the record reads").value;
    let donors = DonorRecord::read(&DONORS).expect("the donors read").0;
    let past = FarmPast::new(&farm, &history, &donors, 1).expect("the record covers the farm");
    let ask = MorningAsk {
        farm: &farm,
        past: &past,
        on: farm.morning.as_ref().expect("the sample carries its morning").on,
        now_hour: 7,
        forecast: Some(&forecast),
        members: 300,
        yesterday: None,
        until_proved: false,
    };
    let watch = Watch::new();
    let drawn = draw(&ask, &watch).expect("drawn");
    let outlook = answer_from(&ask, &drawn, &watch).expect("answered");
    for (pond, card) in farm.ponds.iter().enumerate() {
        say(&format!("{}, 300 members, with three other courses", card.name), || {
            let told = drain(&ask, &drawn, &outlook, pond, &Wish::default(), &watch).expect("told");
            assert!(told.water.is_some());
        });
    }
    let seine = Wish { seine: SeineWish::Held { held_h: 3.0, at: None }, ..Wish::default() };
    say("Quarry with the net first", || {
        assert!(drain(&ask, &drawn, &outlook, 1, &seine, &watch).is_ok());
    });
}

fn main() {
    by_the_clock();
    whole();
}
