//! `warmspell serve`: the pages, for this machine and for phones on the farm's own network.

use std::io::{IsTerminal, Write};
use std::net::TcpListener;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use clap::Args;
use season::FarmPast;
use store::Store;
use units::Day;
use web::{Patience, Record, Served, Server, Shipped};
use words::figures::Manner;

use super::Told;
use super::of_morning::{MorningArgs, forecast_of, morning_of};
use crate::files;

mod ways;

/// Where the pages are served unless another address is named.
const ADDRESS: &str = "127.0.0.1:8337";

/// The farm's pages in a browser: this morning, each pond, the harvest plan.
#[derive(Debug, Args)]
pub struct ServeArgs {
    /// The farm's file; the sample farm when left out. May be given more than once
    #[arg(long, value_name = "FARM.toml")]
    pub farm: Vec<PathBuf>,
    /// Address and port to listen on; 0.0.0.0:8337 lets phones on the same network ask to be let in, each by a number that the
    /// page People shows
    #[arg(long, value_name = "ADDRESS:PORT", default_value = ADDRESS)]
    pub address: String,
    /// Serve by https as well, at the next port, with a certificate of the farm's own: phones that trust it keep the pages without
    /// signal
    #[arg(long)]
    pub https: bool,
    /// The record; warmspell.db in your data folder when left out
    #[arg(long, value_name = "FILE")]
    pub store: Option<PathBuf>,
    /// A name by which other devices reach this machine, as farm.local; may be given more than once
    #[arg(long, value_name = "NAME")]
    pub host: Vec<String>,
    /// The morning, as 2020-09-15; the farm file's own morning, or today, when left out
    #[arg(long, value_name = "DATE")]
    pub on: Option<String>,
    /// How many futures are weighed
    #[arg(long, value_name = "N", default_value_t = 300)]
    pub members: usize,
    /// Seed of the draws
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Show metres, kilograms and degrees Celsius
    #[arg(long)]
    pub metric: bool,
    /// Open the page in this machine's browser
    #[arg(long)]
    pub open: bool,
}

impl Default for ServeArgs {
    fn default() -> ServeArgs {
        ServeArgs {
            farm: Vec::new(),
            address: ADDRESS.to_owned(),
            https: false,
            store: None,
            host: Vec::new(),
            on: None,
            members: 300,
            seed: 1,
            metric: false,
            open: false,
        }
    }
}

/// Serves until Ctrl-C.
pub fn run(args: &ServeArgs, today: Day) -> Told {
    match serve(args, today) {
        Ok(()) => Told::default(),
        Err(why) => Told::could_not(why),
    }
}

fn serve(args: &ServeArgs, today: Day) -> Result<(), String> {
    let mut farms = Vec::new();
    let named: Vec<Option<&PathBuf>> =
        if args.farm.is_empty() { vec![None] } else { args.farm.iter().map(Some).collect() };
    for farm in named {
        let mut served = served(args, farm, today)?;
        // Two farms of one name still have two addresses.
        let first = served.id.clone();
        let mut next = 2;
        while farms.iter().any(|other: &Served| other.id == served.id) {
            served.id = format!("{first}-{next}");
            next += 1;
        }
        farms.push(served);
    }
    let (listener, at) = listen(&args.address)?;
    let address =
        format!("http://{}:{}/", if at.ip().is_unspecified() { "127.0.0.1".to_owned() } else { host(&at) }, at.port());
    let (path, record) = record(args.store.as_ref())?;
    let ways::Found { hosts, ways, secure } = ways::found(args, at, &path, today)?;
    let lock = ways.lock.as_ref().map(|lock| lock.base.clone());
    let for_phones = ways.for_phones.clone();
    let server = Server::new(farms, hosts, Some(record), Some(shipped(args)?))
        .map_err(|error| words::store::error(&path, &error))?;
    let server = server.reached(ways, Patience::default()).looked(|record, found| {
        if let Err(error) = found {
            remark(&words::store::error(record.store().path(), error));
        }
    });
    remark(&words::serve::standing(&address, for_phones.as_deref()));
    if let Some(base) = lock {
        remark(&words::serve::secure(&base));
    }
    if args.open {
        open_browser(&address);
    }
    server.run(listener, secure).map_err(|error| words::serve::ended(&error))
}

/// The record named, or the one in the usual place; made when it is not there.
fn record(named: Option<&PathBuf>) -> Result<(PathBuf, Record), String> {
    let path = match named {
        Some(path) => path.clone(),
        None => super::record::usual_place().ok_or_else(|| words::store::no_home().to_owned())?,
    };
    let store = Store::open(&path, crate::now_ms()).map_err(|error| words::store::error(&path, &error))?;
    Ok((path, Record::new(store, crate::now_ms)))
}

fn host(at: &std::net::SocketAddr) -> String {
    match at.ip() {
        std::net::IpAddr::V4(ip) => ip.to_string(),
        std::net::IpAddr::V6(ip) => format!("[{ip}]"),
    }
}

fn listen(address: &str) -> Result<(TcpListener, std::net::SocketAddr), String> {
    let listener = TcpListener::bind(address).map_err(|error| words::serve::no_address(address, &error))?;
    let at = listener.local_addr().map_err(|error| words::serve::no_address(address, &error))?;
    Ok((listener, at))
}

/// What farms described on the pages lean on.
pub(super) fn shipped(args: &ServeArgs) -> Result<Shipped, String> {
    // A date that cannot be read was told of when the first farm was.
    let on = args.on.as_deref().and_then(Day::parse);
    Ok(Shipped {
        donors: files::shipped_donors()?,
        pasts: vec![files::shipped_past()],
        places: files::PLACES,
        seed: args.seed,
        members: args.members,
        on,
        is_metric: args.metric,
    })
}

/// One farm with its past and forecast.
pub(super) fn served(args: &ServeArgs, farm: Option<&PathBuf>, today: Day) -> Result<Served, String> {
    let read = files::farm(farm.map(PathBuf::as_path))?;
    let plan = MorningArgs { on: args.on.clone(), ..MorningArgs::default() };
    let on = morning_of(&plan, &read.farm, today)?;
    if !(16..=5000).contains(&args.members) {
        return Err(words::serve::members(args.members));
    }
    let mut remarks = read.remarks.clone();
    let history = read.history(&mut remarks)?;
    let forecast = forecast_of(&plan, &read, on, &mut remarks)?;
    let donors = read.donors()?;
    let follows_clock = args.on.is_none() && read.farm.morning.is_none();
    for line in &remarks {
        remark(line);
    }
    let past = FarmPast::new(&read.farm, &history, &donors.record, args.seed)
        .map_err(|error| words::trouble::outlook(&season::OutlookError::Past(error)))?;
    let manner = if args.metric || !read.us_customary() { Manner::Metric } else { Manner::UsCustomary };
    Ok(Served {
        id: Served::id_of(&read.farm.name),
        is_sample: farm.is_none(),
        lent_past_km: None,
        file: read.text().to_owned(),
        farm: read.farm,
        past,
        forecast,
        on,
        follows_clock,
        now_hour: super::of_morning::MORNING_HOUR,
        members: args.members,
        manner,
        text: None,
    })
}

fn remark(line: &str) {
    // A closed stderr loses the remark, not the pages.
    let _ = writeln!(std::io::stderr(), "{line}");
}

/// Whether a person sits before this machine: a terminal and a display.
pub fn someone_is_here() -> bool {
    let display =
        ["DISPLAY", "WAYLAND_DISPLAY"].iter().any(|name| std::env::var_os(name).is_some_and(|v| !v.is_empty()));
    std::io::stdout().is_terminal() && (display || cfg!(any(windows, target_os = "macos")))
}

/// Asks the desktop to open the page; a desktop that cannot is no fault, since the address has been told.
fn open_browser(address: &str) {
    let opener = if cfg!(windows) {
        "explorer"
    } else if cfg!(target_os = "macos") {
        "open"
    } else {
        "xdg-open"
    };
    let _ = Command::new(opener).arg(address).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
}
