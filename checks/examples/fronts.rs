//! Prints the page on fronts: `checks/fronts/run` writes it to docs/model/fronts.md.

use checks::fronts::{Front, Outcome, run};
use stock::cold::{FINISH_BEFORE_C, GatherParams, gather};

fn main() {
    println!(
        "| pond | mean depth, m | wind, m/s | air after the front | dawn before | 2nd dawn | 3rd | 4th | lowest | lowest anywhere | hours below {FINISH_BEFORE_C} °C | follow the water on the coldest of these dawns | alive | alive, band |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|---|---|---|");
    for (name, volume_fraction) in [("full", 1.0), ("half the water", 0.5), ("3/10", 0.3), ("1/10", 0.1)] {
        for wind_m_s in [2.0, 5.0] {
            for (air, colder_k) in [("45 °F nights", 0.0), ("40 °F nights", 5.0 / 1.8)] {
                let front = Front { volume_fraction, wind_m_s, colder_k };
                println!("{}", row(name, &front, air, &run(&front)));
            }
        }
    }
}

fn row(name: &str, front: &Front, air: &str, found: &Outcome) -> String {
    let [second, third, fourth] = found.dawns_c;
    let follow = gather(&GatherParams::OUR_GUESS, second.min(third).min(fourth), 0.0, 1.0).following_fraction;
    // 1.5 K either way holds nine in ten.
    let (worst, best) = (found.alive(1.5), found.alive(-1.5));
    format!(
        "| {name} | {:.2} | {} | {air} | {:.1} | {second:.1} | {third:.1} | {fourth:.1} | {:.1} | {:.1} | {} | {:.0} % | {:.0} % | {:.0} to {:.0} % |",
        found.mean_depth_m,
        front.wind_m_s,
        found.before_c,
        found.lowest_c,
        found.lowest_anywhere_c,
        found.cold_h,
        100.0 * follow,
        100.0 * found.alive(0.0),
        100.0 * worst,
        100.0 * best
    )
}
