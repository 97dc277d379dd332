//! Many seasons, their figures, and each fault's first sight: `cargo run --release -p sim --example seasons -- FIRST COUNT`.

use std::process::ExitCode;

use sim::{FAULTS, Fault, Lived, live};

fn main() -> ExitCode {
    let mut args = std::env::args().skip(1).filter_map(|text| text.parse::<u64>().ok());
    let (first, count) = (args.next().unwrap_or(1), args.next().unwrap_or(1000));
    let mut all = Lived::default();
    let mut failed = 0;
    for seed in first..first + count {
        match live(seed, Fault::None) {
            Ok(one) => {
                all.entries += one.entries;
                all.forks += one.forks;
                all.exchanges += one.exchanges;
                all.lost += one.lost;
                all.ends += one.ends;
                all.restores += one.restores;
                all.gone += one.gone;
            }
            Err(broken) => {
                failed += 1;
                println!("seed {}: {}", broken.seed, broken.what);
                if failed == 1 {
                    println!("{}", broken.last.join("\n"));
                }
            }
        }
    }
    println!(
        "{count} seasons from seed {first}: {} entries, {} exchanges answered, {} requests and answers lost, the program ended {} times, {} restores, {} tabs gone, {} forks shown; {failed} seasons failed",
        all.entries, all.exchanges, all.lost, all.ends, all.restores, all.gone, all.forks
    );
    for fault in FAULTS {
        let seen = (1..=200).find_map(|seed| live(seed, fault).err());
        match seen {
            Some(broken) => println!("{fault:?}: seen at seed {}: {}", broken.seed, broken.what),
            None => {
                println!("{fault:?}: not seen in 200 seasons");
                failed += 1;
            }
        }
    }
    if failed == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
