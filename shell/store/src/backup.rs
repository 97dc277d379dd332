//! A copy taken while the program runs, and the way back.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use units::Watch;

use crate::error::StoreError;
use crate::file::{Opening, Store, connect};
use crate::schema;

/// What a restore did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The new epoch.
    pub epoch: String,
    /// Facts that are there now.
    pub facts: i64,
    /// Where what stood before was put; `None` when nothing stood there.
    pub before: Option<PathBuf>,
}

/// Pages copied between two looks at the watch.
const PAGES: i32 = 2000;

impl Store {
    /// Looks through the whole file, then copies it as it stands at this moment into a new file. Writing goes on meanwhile. The
    /// copy gets its name only once it is whole and on the disk.
    pub fn back_up(&self, to: &Path, watch: &Watch) -> Result<(), StoreError> {
        if to.exists() {
            return Err(StoreError::InTheWay);
        }
        self.full_check()?;
        let part = beside(to, "part");
        let copied = self.read(|source| {
            // A reading held open fixes what is copied, whatever is written meanwhile.
            source.execute_batch("begin; select count(*) from sqlite_schema")?;
            let copied = copy(source, &part, watch);
            source.execute_batch("commit")?;
            copied
        });
        let kept = copied.and_then(|()| on_disk(&part)).and_then(|()| {
            // `hard_link` refuses a name that was taken meanwhile; a rename would write over it.
            fs::hard_link(&part, to).or_else(|_| fs::rename(&part, to)).map_err(|error| StoreError::of_file(&error, to))
        });
        let _ = fs::remove_file(&part);
        kept
    }

    /// Puts a backup in the place of the store at `path`: wholly or not at all, with a new epoch, also beneath a running program.
    /// What stood there is kept in a file beside it, named with `now_ms`.
    pub fn restore(path: &Path, from: &Path, now_ms: i64, watch: &Watch) -> Result<Restored, StoreError> {
        let ready = beside(path, "restoring");
        let _ = fs::remove_file(&ready);
        if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            fs::create_dir_all(folder).map_err(|error| StoreError::of_file(&error, folder))?;
        }
        let restored = prepare(from, &ready, now_ms, watch).and_then(|(epoch, facts)| {
            let before = put_in_place(path, &ready, now_ms, watch)?;
            Ok(Restored { epoch, facts, before })
        });
        gone(&ready);
        restored
    }
}

/// A copy of the backup, checked, brought to the newest version, with an epoch of its own.
fn prepare(from: &Path, ready: &Path, now_ms: i64, watch: &Watch) -> Result<(String, i64), StoreError> {
    fs::metadata(from).map_err(|error| StoreError::of_file(&error, from))?;
    let source = Connection::open_with_flags(from, rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY)?;
    if schema::version(&source)? == 0 {
        return Err(StoreError::NotAStore);
    }
    copy(&source, ready, watch)?;
    let store = Store::open_with(ready, now_ms, Opening { make: false, ..Opening::default() })?;
    store.full_check()?;
    store.write(|work| Ok(work.execute("update store set epoch = lower(hex(randomblob(16)))", []).map(drop)?))?;
    Ok((store.epoch()?, store.last_seq()?))
}

/// Overwrites the store in one transaction of its own, so that a program that has it open goes on with what is there now.
fn put_in_place(path: &Path, ready: &Path, now_ms: i64, watch: &Watch) -> Result<Option<PathBuf>, StoreError> {
    let source = connect(ready, Opening { make: false, ..Opening::default() })?;
    if !path.exists() {
        copy(&source, path, watch)?;
        on_disk(path)?;
        return Ok(None);
    }
    let aside = beside(path, &format!("before-restore-{now_ms}"));
    match Store::open_with(path, now_ms, Opening { make: false, ..Opening::default() }) {
        Ok(standing) => {
            let kept = standing.read(|old| copy(old, &aside, &Watch::new())).and_then(|()| on_disk(&aside));
            if let Err(error) = kept {
                // Half a copy would look like what stood before, and fill the disk.
                gone(&aside);
                return Err(error);
            }
            let mut writer = standing.writer();
            let whole = Backup::new(&source, &mut writer.1)?;
            match whole.step(-1)? {
                StepResult::Done => Ok(Some(aside)),
                _ => Err(StoreError::Locked),
            }
        }
        // What cannot be opened cannot be overwritten from within either: it is moved aside, with its journal.
        Err(StoreError::NotAStore | StoreError::Damaged(_)) => {
            moved(path, &aside)?;
            if let Err(error) = copy(&source, path, watch).and_then(|()| on_disk(path)) {
                // What stood under the name stands there again: damaged, but not gone.
                gone(path);
                moved(&aside, path)?;
                return Err(error);
            }
            Ok(Some(aside))
        }
        Err(error) => Err(error),
    }
}

/// Takes a store's file away, with its journal. What was never made is no fault.
fn gone(path: &Path) {
    for ending in ["", "-wal", "-shm"] {
        let _ = fs::remove_file(format!("{}{ending}", path.display()));
    }
}

/// Gives a store's file another name, with its journal.
fn moved(from: &Path, to: &Path) -> Result<(), StoreError> {
    for ending in ["", "-wal", "-shm"] {
        let (old, new) = (format!("{}{ending}", from.display()), format!("{}{ending}", to.display()));
        if Path::new(&old).exists() {
            fs::rename(&old, &new).map_err(|error| StoreError::of_file(&error, from))?;
        }
    }
    Ok(())
}

fn copy(source: &Connection, to: &Path, watch: &Watch) -> Result<(), StoreError> {
    // Made here first: the system says plainly why it cannot be, where SQLite only says that it cannot be opened.
    fs::File::options().create(true).append(true).open(to).map_err(|error| StoreError::of_file(&error, to))?;
    let mut target = Connection::open(to)?;
    let backup = Backup::new(source, &mut target)?;
    let mut told = 0;
    loop {
        if watch.asked_to_stop() {
            return Err(StoreError::Stopped);
        }
        match backup.step(PAGES)? {
            StepResult::Done => break,
            StepResult::More => {}
            _ => return Err(StoreError::Locked),
        }
        let progress = backup.progress();
        let (total, done) = (progress.pagecount.max(0) as u64, (progress.pagecount - progress.remaining).max(0) as u64);
        watch.expect(total);
        watch.advance(done.saturating_sub(told));
        told = done;
    }
    Ok(())
}

/// Waits until the file is on the disk.
pub(crate) fn on_disk(path: &Path) -> Result<(), StoreError> {
    fs::File::options()
        .write(true)
        .open(path)
        .and_then(|file| file.sync_all())
        .map_err(|error| StoreError::of_file(&error, path))
}

/// A file of another ending beside this one.
pub(crate) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().map(std::ffi::OsStr::to_owned).unwrap_or_default();
    name.push(format!(".{ending}"));
    path.with_file_name(name)
}
