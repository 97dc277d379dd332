//! Time of the best dates: a farm of the sample's size, one member of it, and twelve ponds over a hundred days.
//!
//! `cargo bench -p plan --bench dates`

// A bench or tool stands outside the core: it may read the clock and files.
#![allow(clippy::disallowed_methods)]

#[path = "../tests/farms/large.rs"]
mod large;

use std::time::Instant;

use large::{Large, large};
use plan::{Ask, Choices, Scratch};
use units::Watch;

const COUNT: u32 = 10;

fn main() {
    let watch = Watch::new();
    for (name, ponds, days, members, summary) in
        [("4 ponds x 70 days, 300 members", 4, 70, 300, false), ("the same, pounds summarised", 4, 70, 300, true)]
    {
        let mut fixed = Vec::new();
        let mut making = Vec::new();
        let mut single = Vec::new();
        let (mut nodes, mut unproved) = (0, 0);
        for number in 0..COUNT {
            let Large { tables, limits, members } = large(number, ponds, days, members, summary);
            let ask = Ask::exact(&members, 0.5);
            let mut scratch = Scratch::default();
            let begin = Instant::now();
            let choices = Choices::new(&limits, &tables.parts, tables.rows());
            making.push(begin.elapsed().as_secs_f64());
            choices.best_fixed(&tables, &ask, &mut scratch, &watch);
            let begin = Instant::now();
            let dates = choices.best_fixed(&tables, &ask, &mut scratch, &watch);
            fixed.push(begin.elapsed().as_secs_f64());
            nodes = nodes.max(dates.nodes);
            unproved += u32::from(!dates.proved);
            for &member in &members {
                let begin = Instant::now();
                let dates = choices.best_for_member(&tables, member, 0.0, &mut scratch, &watch);
                single.push(begin.elapsed().as_secs_f64());
                unproved += u32::from(!dates.proved);
            }
        }
        say(&format!("{name}: listing the jobs"), making);
        say(&format!("{name}: fixed dates (at most {nodes} nodes)"), fixed);
        say(&format!("{name}: one member ({unproved} not proved)"), single);
    }
    let (mut times, mut nodes) = (Vec::new(), 0);
    for number in 0..10 {
        let Large { tables, limits, members } = large(number, 12, 100, 5, false);
        let ask = Ask::exact(&members, 0.5);
        let begin = Instant::now();
        let dates = plan::best_fixed(&tables, &limits, &ask, &watch).expect("the farm is sound");
        times.push(begin.elapsed().as_secs_f64());
        eprintln!(
            "  {number}: {:.4} s, {} nodes, left {:?}, proved {}",
            times[number as usize], dates.nodes, dates.left, dates.proved
        );
        nodes = nodes.max(dates.nodes);
    }
    say(&format!("12 ponds x 100 days (at most {nodes} nodes)"), times);
}

fn say(what: &str, mut seconds: Vec<f64>) {
    seconds.sort_by(f64::total_cmp);
    let at = |share: f64| 1.0e6 * seconds[((seconds.len() - 1) as f64 * share) as usize];
    let mean = 1.0e6 * seconds.iter().sum::<f64>() / seconds.len() as f64;
    println!(
        "{what}: mean {mean:.0} us, median {:.0} us, nine in ten under {:.0} us, worst {:.0} us",
        at(0.5),
        at(0.9),
        at(1.0)
    );
}
