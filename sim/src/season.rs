//! One season from its first day to its quiet end.

mod events;
mod quiet;

use std::collections::BTreeMap;

use chance::{Purpose, Stream};
use serde_json::Value;

use crate::fault::Fault;
use crate::judge::Typed;
use crate::phone::Phone;
use crate::script::{Asked, Script};
use crate::server::{Folder, Server};

/// When seasons begin, ms since 1970.
const BEGIN_MS: i64 = 1_590_000_000_000;
const SEASON: Purpose = Purpose(0x5e45);

/// What a season saw.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Lived {
    /// Entries that a phone had kept.
    pub entries: usize,
    /// Exchanges that the farm answered.
    pub exchanges: u32,
    /// Requests and answers that were lost, late or doubled.
    pub lost: u32,
    /// Times the farm's program was ended.
    pub ends: u32,
    /// Times a backup took the record's place.
    pub restores: u32,
    /// Times a phone or a tab was gone.
    pub gone: u32,
    /// Entries with several corrections at the end.
    pub forks: usize,
    /// All that happened, in a number.
    pub digest: u64,
}

/// A season that did not end as it must.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    /// The seed that shows it.
    pub seed: u64,
    /// What was wrong.
    pub what: String,
    /// What happened last.
    pub last: Vec<String>,
}

/// Something between a phone and the farm.
#[derive(Debug, Clone)]
enum Air {
    Asking { phone: usize, by: Option<u64>, is_photo: bool, body: String },
    Answering { by: u64, value: Value },
}

struct Season {
    luck: Stream,
    now_ms: i64,
    script: Script,
    server: Server,
    phones: Vec<Phone>,
    waiting: Vec<Asked>,
    air: Vec<Air>,
    /// Phones whose tabs wait for an answer that is in the air.
    listening: BTreeMap<u64, usize>,
    typed: Typed,
    /// Corrections and settlements, and what they speak of.
    corrections: BTreeMap<String, String>,
    tabs: u64,
    marks: u64,
    /// Length of a note: in some seasons pages of the log fill quickly.
    note: usize,
    lived: Lived,
    last: Vec<String>,
}

/// Lives a season.
///
/// # Errors
/// What did not hold at its end, or on the way.
pub fn live(seed: u64, fault: Fault) -> Result<Lived, Broken> {
    let broken = |what: String, last: &[String]| Broken { seed, what, last: last.to_vec() };
    let mut season = Season::new(seed, fault).map_err(|what| broken(what, &[]))?;
    let done = season.pass().and_then(|()| season.quieten()).and_then(|()| season.judged());
    done.map_err(|what| broken(what, &season.last))?;
    (season.lived.ends, season.lived.restores) = (season.server.ends, season.server.restores);
    season.lived.entries = season.typed.kept.len();
    Ok(season.lived.clone())
}

impl Season {
    fn new(seed: u64, fault: Fault) -> Result<Season, String> {
        let mut luck = Stream::new(seed, 0, SEASON);
        let server = Server::new(Folder::new(&format!("{seed}-{fault:?}"))?, fault, BEGIN_MS)?;
        let phones = (0..2 + luck.below(3)).map(Phone::new).collect();
        let note = if luck.below(4) == 0 { 1900 } else { 0 };
        Ok(Season {
            luck,
            now_ms: BEGIN_MS,
            script: Script::new(&fault.sender()?)?,
            server,
            phones,
            waiting: Vec::new(),
            air: Vec::new(),
            listening: BTreeMap::new(),
            typed: Typed::default(),
            corrections: BTreeMap::new(),
            tabs: 0,
            marks: 0,
            note,
            lived: Lived::default(),
            last: Vec::new(),
        })
    }

    /// Writes down what happened: for the digest, and the last of it for whoever looks for the reason.
    fn note(&mut self, what: &str) {
        let line = format!("{} {what}", self.now_ms - BEGIN_MS);
        for byte in line.bytes() {
            self.lived.digest = (self.lived.digest ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
        if self.last.len() >= 60 {
            self.last.remove(0);
        }
        self.last.push(line);
    }

    fn chance(&mut self, percent: usize) -> bool {
        self.luck.below(100) < percent
    }

    /// The phone of a tab, while the tab is open.
    fn phone_of(&self, tab: u64) -> Option<usize> {
        self.phones.iter().position(|phone| phone.tabs.contains(&tab))
    }
}
