//! warmspell: which pond comes out when, and what waiting costs.
//!
//! Exit codes: 0 the question was answered, 1 the answer is no, 2 it could not be answered. Answers go to stdout, remarks to
//! stderr. A closed pipe (as of `| head`) is a success: whoever reads has read enough.

mod commands;
mod files;
mod waiting;

use std::io::Write;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Parser, Subcommand};
use commands::Told;
use units::{Day, Instant, Zone};

/// Brings a crop of freshwater prawns out alive before the cold: when each pond's water must start down, and what waiting costs.
#[derive(Debug, Parser)]
#[command(
    name = "warmspell",
    version,
    after_help = "Without a command: this morning's page for the sample farm; at a desktop it also opens in the browser."
)]
struct Line {
    /// Without a command: print the morning's page and end
    #[arg(long)]
    print: bool,
    /// Without a command: print in metres, kilograms and degrees Celsius
    #[arg(long)]
    metric: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    Backup(commands::record::BackupArgs),
    Books(commands::books::BooksArgs),
    Drain(commands::drain::DrainArgs),
    Day(commands::day::DayArgs),
    Export(commands::record::ExportArgs),
    Import(commands::record::ImportArgs),
    Log(commands::logger::LogArgs),
    Plan(commands::plan::PlanArgs),
    Restore(commands::record::RestoreArgs),
    Grow(commands::grow::GrowArgs),
    Promised(commands::promised::PromisedArgs),
    Replay(commands::replay::ReplayArgs),
    Scores(commands::scores::ScoresArgs),
    Serve(commands::serve::ServeArgs),
    Sum(commands::sum::SumArgs),
    Trace(commands::trace::TraceArgs),
    Water(commands::water::WaterArgs),
    Weather(commands::weather::WeatherArgs),
    Winter(commands::winter::WinterArgs),
    Order(commands::order::OrderArgs),
}

fn main() -> ExitCode {
    let line = Line::try_parse().unwrap_or_else(|error| without_dashes(error).exit());
    let told = match line.command {
        None => morning(line.print, line.metric),
        Some(Command::Backup(args)) => commands::record::backup(&args, now_ms()),
        Some(Command::Books(args)) => commands::books::run(&args, now()),
        Some(Command::Drain(args)) => commands::drain::run(&args, now()),
        Some(Command::Day(args)) => commands::day::run(&args, now()),
        Some(Command::Export(args)) => commands::record::export(&args, now_ms()),
        Some(Command::Import(args)) => commands::record::import(&args, now_ms()),
        Some(Command::Log(args)) => commands::logger::run(&args, now_ms()),
        Some(Command::Restore(args)) => commands::record::restore(&args, now_ms()),
        Some(Command::Plan(args)) => commands::plan::run(&args, now()),
        Some(Command::Grow(args)) => commands::grow::run(&args),
        Some(Command::Promised(args)) => commands::promised::run(&args, now()),
        Some(Command::Replay(args)) => commands::replay::run(&args),
        Some(Command::Scores(args)) => commands::scores::run(&args, now_ms()),
        Some(Command::Serve(args)) => commands::serve::run(&args, today()),
        Some(Command::Sum(args)) => commands::sum::run(&args),
        Some(Command::Trace(args)) => commands::trace::run(&args, now()),
        Some(Command::Water(args)) => commands::water::run(&args),
        Some(Command::Weather(args)) => commands::weather::run(&args),
        Some(Command::Order(args)) => commands::order::run(&args),
        Some(Command::Winter(args)) => commands::winter::run(&args, today()),
    };
    say(&told)
}

/// Where a command takes questions as KEY=VALUE, `--hands` means `hands=`: that is a better hint than the usual one.
fn without_dashes(mut error: clap::Error) -> clap::Error {
    let asks = error.get(ContextKind::Usage).is_some_and(|usage| usage.to_string().contains("KEY=VALUE"));
    let named = match error.get(ContextKind::InvalidArg) {
        Some(ContextValue::String(named)) if asks && error.kind() == ErrorKind::UnknownArgument => {
            named.trim_start_matches('-').split('=').next().unwrap_or_default().to_owned()
        }
        _ => return error,
    };
    let tip = format!("questions are asked without dashes, as {named}=...");
    error.insert(ContextKind::Suggested, ContextValue::StyledStrs(vec![tip.into()]));
    error
}

/// The morning in print; where somebody sits before the machine, then also as pages in the browser.
fn morning(print_only: bool, metric: bool) -> Told {
    let of = commands::of_morning::MorningArgs { metric, ..Default::default() };
    let told = commands::plan::run(&commands::plan::PlanArgs { of, ..Default::default() }, now());
    if print_only || told.code != 0 || !commands::serve::someone_is_here() {
        return told;
    }
    say(&told);
    commands::serve::run(&commands::serve::ServeArgs { open: true, metric, ..Default::default() }, today())
}

/// Now by this machine's clock, ms since 1970: the one place that reads the time.
fn now_ms() -> i64 {
    let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH);
    since.map_or(0, |since| since.as_millis() as i64)
}

/// Now, as a moment.
fn now() -> Instant {
    Instant(now_ms().div_euclid(1000))
}

/// Today, in UTC.
fn today() -> Day {
    Zone::utc().day_and_second(now()).0
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metres_can_be_asked_for_without_a_command() {
        let line = Line::try_parse_from(["warmspell", "--print", "--metric"]).expect("understood");
        assert!(line.print && line.metric && line.command.is_none());
    }
}
