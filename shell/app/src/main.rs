//! warmspell: which pond comes out when, and what waiting costs.
//!
//! Exit codes: 0 the question was answered, 1 the answer is no, 2 it could not be answered. Answers go to stdout, remarks to
//! stderr. A closed pipe (as of `| head`) is a success: whoever reads has read enough.

mod commands;
mod files;
mod waiting;

use std::io::Write;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use commands::Told;
use units::{Day, Zone};

/// Brings a crop of freshwater prawns out alive before the cold: when each pond's water must start down, and what waiting costs.
#[derive(Debug, Parser)]
#[command(name = "warmspell", version, after_help = "Without a command: this morning's page for the sample farm.")]
struct Line {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Plan(commands::plan::PlanArgs),
    Grow(commands::grow::GrowArgs),
    Replay(commands::replay::ReplayArgs),
    Water(commands::water::WaterArgs),
    Weather(commands::weather::WeatherArgs),
}

fn main() -> ExitCode {
    let line = Line::parse();
    let told = match line.command {
        None => commands::plan::run(&commands::plan::PlanArgs::default(), today()),
        Some(Command::Plan(args)) => commands::plan::run(&args, today()),
        Some(Command::Grow(args)) => commands::grow::run(&args),
        Some(Command::Replay(args)) => commands::replay::run(&args),
        Some(Command::Water(args)) => commands::water::run(&args),
        Some(Command::Weather(args)) => commands::weather::run(&args),
    };
    say(&told)
}

/// Today by this machine's clock, in UTC: the one place that reads the time.
fn today() -> Day {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    let seconds = since.map_or(0, |since| since.as_secs() as i64);
    Zone::utc().day_and_second(units::Instant(seconds)).0
}

fn say(told: &Told) -> ExitCode {
    for note in &told.notes {
        // Remarks are lost with a closed stderr; the answer is not.
        let _ = writeln!(std::io::stderr(), "{note}");
    }
    let mut out = std::io::stdout().lock();
    match out.write_all(told.answer.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => ExitCode::from(told.code),
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "The answer could not be written: {error}");
            ExitCode::from(2)
        }
    }
}
