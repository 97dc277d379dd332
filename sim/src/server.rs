//! The farm's end: the real record on a real file, the real exchange, and ends in the midst of a writing.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chance::Stream;
use farm::facts::{Fact, Kept};
use serde_json::{Value, json};
use store::{Exchange, FarmRow, Insert, Store};
use units::Watch;
use web::Who;

use crate::cut::{Bytes, End};
use crate::fault::Fault;

/// The farm's short name.
pub const FARM: &str = "bend";

/// A folder of its own, gone afterwards; in memory where the system offers that, since a season waits for the disk hundreds of times.
#[derive(Debug)]
pub struct Folder(PathBuf);

impl Folder {
    /// Makes it anew.
    ///
    /// # Errors
    /// Of the file system.
    pub fn new(name: &str) -> Result<Folder, String> {
        let memory = Path::new("/dev/shm");
        let root = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
        let path = root.join(format!("warmspell-sim-{}-{name}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).map_err(|error| error.to_string())?;
        Ok(Folder(path))
    }

    /// A file in it.
    pub fn file(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// A copy of the record, and what was typed on the farm's own pages before it was made.
#[derive(Debug)]
struct Backup {
    path: PathBuf,
    made_ms: i64,
    forms: BTreeSet<String>,
}

/// The farm's program with its record.
pub struct Server {
    folder: Folder,
    store: Option<Store>,
    fault: Fault,
    backups: Vec<Backup>,
    /// Entries that were answered for, by the epoch of the answer.
    answered: BTreeMap<String, BTreeSet<String>>,
    /// Marks of entries typed on the farm's own pages that must be there.
    pub forms: BTreeSet<String>,
    /// How often it was ended, and how often restored.
    pub ends: u32,
    /// How often a backup took the record's place.
    pub restores: u32,
    marks: u64,
}

fn said(error: impl std::fmt::Debug) -> String {
    format!("the record: {error:?}")
}

impl Server {
    /// A new record.
    ///
    /// # Errors
    /// When it cannot be made.
    pub fn new(folder: Folder, fault: Fault, now_ms: i64) -> Result<Server, String> {
        let store = Store::open(&folder.0.join("a.db"), now_ms).map_err(said)?;
        let row = FarmRow { id: FARM.to_owned(), name: "Bend".to_owned(), made_ms: now_ms, is_sample: false };
        store.keep_farm(&row).map_err(said)?;
        Ok(Server {
            folder,
            store: Some(store),
            fault,
            backups: Vec::new(),
            answered: BTreeMap::new(),
            forms: BTreeSet::new(),
            ends: 0,
            restores: 0,
            marks: 0,
        })
    }

    fn path(&self) -> PathBuf {
        self.folder.0.join("a.db")
    }

    /// Whether it runs.
    pub fn is_up(&self) -> bool {
        self.store.is_some()
    }

    /// The record, when it runs.
    ///
    /// # Errors
    /// When it does not.
    pub fn store(&self) -> Result<&Store, String> {
        self.store.as_ref().ok_or_else(|| "the farm's program does not run".to_owned())
    }

    /// Everything that is kept.
    ///
    /// # Errors
    /// When the record cannot be read.
    pub fn facts(&self) -> Result<Vec<Kept>, String> {
        self.store()?.facts(FARM).map_err(said)
    }

    /// Starts again and holds what is there against what was answered for.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn start(&mut self, now_ms: i64) -> Result<(), String> {
        self.store = Some(Store::open(&self.path(), now_ms).map_err(said)?);
        let facts = self.facts()?;
        crate::judge::gapless(&facts.iter().map(|kept| kept.seq).collect::<Vec<_>>())?;
        let there: BTreeSet<&str> = facts.iter().map(|kept| kept.fact.id.as_str()).collect();
        let epoch = self.store()?.epoch().map_err(said)?;
        match self.answered.get(&epoch).and_then(|ids| ids.iter().find(|id| !there.contains(id.as_str()))) {
            Some(id) => Err(format!("entry {id} was answered for and is gone after a start")),
            None => Ok(()),
        }
    }

    /// Ends while nothing is written.
    pub fn stop(&mut self) {
        self.ends += 1;
        let now = Bytes::of(&self.path());
        self.store = None;
        // A program that is killed tidies nothing up.
        let _ = now.put(&self.path());
    }

    /// Does some writing, and with `end` is ended in the midst of it.
    fn writing<T>(
        &mut self,
        end: Option<End>,
        luck: &mut Stream,
        act: impl FnOnce(&mut Server) -> Result<T, String>,
    ) -> Result<T, String> {
        let Some(end) = end else { return act(self) };
        let before = Bytes::of(&self.path());
        let done = act(self)?;
        let after = Bytes::of(&self.path());
        self.ends += 1;
        self.store = None;
        before.cut(&after, end, luck).put(&self.path()).map_err(|error| error.to_string())?;
        Ok(done)
    }

    /// An exchange; `None` when there is nobody to answer, or it ends before it has.
    ///
    /// # Errors
    /// When the record cannot be used.
    pub fn exchange(
        &mut self,
        who: &Who,
        body: &str,
        now_ms: i64,
        end: Option<End>,
        luck: &mut Stream,
    ) -> Result<Option<(u16, Value)>, String> {
        if !self.is_up() {
            return Ok(None);
        }
        let body = self.spoilt(body)?;
        let answer = self.writing(end, luck, |server| {
            Ok(web::exchange::answer(server.store()?, FARM, who, body.as_bytes(), now_ms))
        })?;
        if end.is_some() && self.fault != Fault::AnswersBeforeDisk {
            return Ok(None);
        }
        let mut value: Value = serde_json::from_str(&answer.body).map_err(|error| error.to_string())?;
        if self.fault == Fault::EpochReadLater && luck.below(12) == 0 && self.is_up() {
            self.restore(now_ms, None, luck)?;
            value["epoch"] = json!(self.store()?.epoch().map_err(said)?);
        }
        self.note(&value);
        if self.fault == Fault::MarksNotKnown {
            self.own_marks_again(&mut value);
        }
        Ok(Some((answer.status, value)))
    }

    fn note(&mut self, value: &Value) {
        let epoch = value["epoch"].as_str().unwrap_or_default().to_owned();
        let ids = self.answered.entry(epoch).or_default();
        for one in value["answers"].as_array().into_iter().flatten() {
            if let (Some("made" | "already_had"), Some(id)) = (one["answer"].as_str(), one["id"].as_str()) {
                ids.insert(id.to_owned());
            }
        }
    }

    /// Bytes of a photo.
    ///
    /// # Errors
    /// When the record cannot be used.
    pub fn photo(
        &mut self,
        bytes: &str,
        now_ms: i64,
        end: Option<End>,
        luck: &mut Stream,
    ) -> Result<Option<(u16, Value)>, String> {
        if !self.is_up() {
            return Ok(None);
        }
        let digest = self.writing(end, luck, |server| {
            server.store()?.keep_blob("image/jpeg", bytes.as_bytes(), now_ms).map_err(said)
        })?;
        Ok(if end.is_some() { None } else { Some((200, json!({ "digest": digest }))) })
    }

    /// An entry typed on the farm's own page.
    ///
    /// # Errors
    /// When the record cannot be used.
    pub fn form(&mut self, fact: Fact, now_ms: i64, end: Option<End>, luck: &mut Stream) -> Result<(), String> {
        if !self.is_up() {
            return Ok(());
        }
        let id = fact.id.clone();
        self.writing(end, luck, |server| {
            let exchange = Exchange { device: "this-machine", now_ms, device_ms: Some(now_ms) };
            let answers = server.store()?.insert(&[fact], exchange).map_err(said)?;
            if matches!(answers[..], [Insert::Made { .. }]) { Ok(()) } else { Err(format!("{answers:?}")) }
        })?;
        if end.is_none() {
            self.forms.insert(id);
        }
        Ok(())
    }

    /// Makes a backup.
    ///
    /// # Errors
    /// When it cannot be made.
    pub fn back_up(&mut self, now_ms: i64) -> Result<(), String> {
        let path = self.folder.0.join(format!("backup-{}.db", self.backups.len()));
        self.store()?.back_up(&path, &Watch::new()).map_err(said)?;
        self.backups.push(Backup { path, made_ms: now_ms, forms: self.forms.clone() });
        Ok(())
    }

    /// Brings back a backup of the last 25 days, if there is one; with `end` it is ended in the midst of it.
    ///
    /// # Errors
    /// When it cannot be brought back.
    pub fn restore(&mut self, now_ms: i64, end: Option<End>, luck: &mut Stream) -> Result<bool, String> {
        let fresh: Vec<usize> =
            (0..self.backups.len()).filter(|&n| now_ms - self.backups[n].made_ms < 25 * 86_400_000).collect();
        if fresh.is_empty() || !self.is_up() {
            return Ok(false);
        }
        let (from, made_before) = {
            let backup = &self.backups[fresh[luck.below(fresh.len())]];
            (backup.path.clone(), backup.forms.clone())
        };
        if self.fault == Fault::EpochKept {
            self.store = None;
            std::fs::copy(&from, self.path()).map_err(|error| error.to_string())?;
        } else {
            self.writing(end, luck, |server| {
                Store::restore(&server.path(), &from, now_ms, &Watch::new()).map_err(said).map(drop)
            })?;
        }
        // Typed on the farm's own pages since: kept aside with the record that stood there, and gone from this one.
        self.forms.retain(|id| made_before.contains(id));
        self.restores += 1;
        if self.fault == Fault::EpochKept {
            // What was answered for is not held against the start: the fault is to be seen by its harm to the phones' entries.
            self.answered.clear();
            self.start(now_ms)?;
        }
        Ok(true)
    }

    /// A body as a farm with a fault takes it.
    fn spoilt(&mut self, body: &str) -> Result<String, String> {
        if !matches!(self.fault, Fault::MarksNotKnown | Fault::OneCorrection) {
            return Ok(body.to_owned());
        }
        let mut value: Value = serde_json::from_str(body).map_err(|error| error.to_string())?;
        let corrected: Vec<(String, String)> = match self.fault {
            Fault::OneCorrection => {
                self.facts()?.into_iter().filter_map(|kept| Some((kept.fact.corrects?, kept.fact.id))).collect()
            }
            _ => Vec::new(),
        };
        for fact in value["facts"].as_array_mut().into_iter().flatten() {
            self.marks += 1;
            let id = fact["id"].as_str().unwrap_or_default().to_owned();
            if self.fault == Fault::MarksNotKnown {
                fact["id"] = json!(format!("{}{:08}", &id[..24], self.marks));
            } else if corrected.iter().any(|(of, by)| fact["corrects"].as_str() == Some(of) && *by != id) {
                fact["corrects"] = Value::Null;
            }
        }
        Ok(value.to_string())
    }

    fn own_marks_again(&self, value: &mut Value) {
        for one in value["answers"].as_array_mut().into_iter().flatten() {
            let id = one["id"].as_str().unwrap_or_default().get(..24).unwrap_or_default().to_owned();
            one["id"] = json!(format!("{id}00000000"));
        }
    }
}
