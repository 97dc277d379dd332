//! Made-up market days, for an outside solver: `cargo run -p checks --example markets`. One line of JSON each: the market, and how ours shares it out.

use books::allocate::{Class, Limits, SoldAs, Wanted, allocate};
use chance::{Purpose, Stream};

/// Draws of this example alone.
const MARKETS: Purpose = Purpose(0xA110_0001);

fn list(values: impl Iterator<Item = f64>) -> String {
    format!("[{}]", values.map(|value| value.to_string()).collect::<Vec<_>>().join(","))
}

fn main() {
    for market in 0..200 {
        let mut stream = Stream::new(11, market, MARKETS);
        let mut between = |least: f64, most: f64| least + stream.uniform() * (most - least);
        let classes: Vec<Class> = (0..2 + market % 6)
            .map(|_| {
                let weight_kg = between(0.0, 120.0);
                Class {
                    weight_kg,
                    mean_weight_g: between(12.0, 70.0),
                    live_kg: weight_kg * between(0.0, 1.0),
                    tail_fraction: between(0.42, 0.5),
                }
            })
            .collect();
        let orders: Vec<Wanted> = (0..3 + market % 17)
            .map(|_| {
                let sold_as = [SoldAs::Live, SoldAs::Whole, SoldAs::Tails][between(0.0, 3.0) as usize];
                let from_g = between(0.0, 40.0);
                Wanted {
                    sold_as,
                    from_g,
                    to_g: from_g + between(10.0, 60.0),
                    amount: between(0.0, 60.0),
                    pays_coins: between(500.0, 3500.0).round(),
                    rank: between(0.0, 3.0) as u32,
                }
            })
            .collect();
        let limits = Limits { headed_kg: between(0.0, 80.0), live_kg: between(0.0, 80.0) };
        let shared = allocate(&classes, &orders, limits);
        let sold_as = |order: &Wanted| match order.sold_as {
            SoldAs::Live => 0.0,
            SoldAs::Whole => 1.0,
            _ => 2.0,
        };
        println!(
            "{{\"kg\":{},\"g\":{},\"live\":{},\"tails\":{},\"as\":{},\"from\":{},\"to\":{},\"amount\":{},\"pays\":{},\"rank\":{},\"headed\":{},\"tanks\":{},\"given\":{}}}",
            list(classes.iter().map(|one| one.weight_kg)),
            list(classes.iter().map(|one| one.mean_weight_g)),
            list(classes.iter().map(|one| one.live_kg)),
            list(classes.iter().map(|one| one.tail_fraction)),
            list(orders.iter().map(sold_as)),
            list(orders.iter().map(|one| one.from_g)),
            list(orders.iter().map(|one| one.to_g)),
            list(orders.iter().map(|one| one.amount)),
            list(orders.iter().map(|one| one.pays_coins)),
            list(orders.iter().map(|one| f64::from(one.rank))),
            limits.headed_kg,
            limits.live_kg,
            list(shared.given.iter().copied()),
        );
    }
}
