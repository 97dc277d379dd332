//! What the animals cost: an hour of the day tally, and one pond, day and member of the worth.
//!
//! `cargo bench -p stock` prints nanoseconds; nothing is held to them.

use std::hint::black_box;
use std::time::Instant;

use stock::{Crop, DayTally, HIDDEN_DRAWS, Hidden, StockParams, Stocking};
use units::{LANES, Lanes, Real};

/// Fastest of several runs, in nanoseconds for each of `count` things done.
fn best_ns(count: usize, mut run: impl FnMut()) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..7 {
        // The bench reads the clock because time is what it measures.
        #[allow(clippy::disallowed_methods)]
        let start = Instant::now();
        run();
        best = best.min(start.elapsed().as_nanos() as f64 / count as f64);
    }
    best
}

fn tally_ns(base_c: f64) -> f64 {
    let hours = 24 * 200;
    let water: Vec<Lanes> = (0..48)
        .map(|hour| {
            let mut row = Lanes::splat(base_c);
            for member in 0..LANES {
                row.set_lane(member, base_c + 0.1 * member as f64 + 2.0 * units::sin(f64::from(hour) / 7.6));
            }
            row
        })
        .collect();
    best_ns(hours * LANES, || {
        let mut tally = DayTally::new(water[0]);
        for hour in 0..hours {
            tally.hour(black_box(water[hour % 48]), black_box(water[(hour + 1) % 48]), hour % 24 == 6);
            if hour % 24 == 23 {
                black_box(tally.end_day());
            }
        }
    })
}

fn main() {
    println!("day tally, warm water:  {:6.2} ns a member-hour", tally_ns(25.0));
    println!("day tally, cold water:  {:6.2} ns a member-hour", tally_ns(14.0));
    let stocking = Stocking { count: 11_000.0, weight_g: 0.4, per_ha: 59_000.0, substrate_fraction: 0.5 };
    let crop = Crop::new(&stocking, &StockParams::default());
    let members: Vec<Hidden> =
        (0..300).map(|k| Hidden::from_normals([f64::from(k % 7) / 4.0 - 0.8; HIDDEN_DRAWS])).collect();
    let limits_g = [15.1, 22.7, 30.2, 45.4];
    let worth = best_ns(members.len() * 80, || {
        let mut shares = [0.0; 5];
        for day in 0..80 {
            for hidden in &members {
                let (warm_days, days) = (60.0 + 0.5 * f64::from(day), 70.0 + f64::from(day));
                let animals = crop.standing(black_box(warm_days), days, 0.01 * f64::from(day % 9), hidden);
                crop.mass_shares(animals.mean_weight_g, &limits_g, hidden, &mut shares);
                black_box((animals, shares));
            }
        }
    });
    println!("standing and 5 sizes:   {worth:6.1} ns a pond, day and member");
    let gathered = best_ns(members.len() * 80, || {
        for day in 0..80 {
            for hidden in &members {
                black_box(crop.gathered(black_box(14.0 + 0.1 * f64::from(day)), hidden));
            }
        }
    });
    println!("gathering:              {gathered:6.1} ns a pond, day and member");
    let made = best_ns(10, || {
        for _ in 0..10 {
            black_box(Crop::new(black_box(&stocking), &StockParams::default()));
        }
    });
    println!("a crop's tables:        {:6.2} ms once a pond", made / 1e6);
}
