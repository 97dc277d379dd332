//! Opening the file, and who may touch it when: one writer, many readers.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use crate::error::StoreError;
use crate::schema;

/// How a store is opened.
#[derive(Debug, Clone, Copy)]
pub struct Opening {
    /// A file that is not there is made.
    pub make: bool,
    /// How long another program's lock is waited for, ms.
    pub wait_ms: u64,
}

impl Default for Opening {
    fn default() -> Opening {
        Opening { make: true, wait_ms: 5000 }
    }
}

/// The season's record. May be shared between threads; every call waits for the disk.
#[derive(Debug)]
pub struct Store {
    path: PathBuf,
    opening: Opening,
    writer: Mutex<(FileMark, Connection)>,
    readers: Mutex<Vec<(FileMark, Connection)>>,
}

/// Which file stands under the name: a restore may move one that is damaged aside and put another in its place, and whoever has the
/// first open would go on writing into it. `None` where the system tells no such mark; there an open file cannot be moved.
type FileMark = Option<(u64, u64)>;

#[cfg(unix)]
fn mark_of(found: &std::fs::Metadata) -> FileMark {
    use std::os::unix::fs::MetadataExt;
    Some((found.dev(), found.ino()))
}

#[cfg(not(unix))]
fn mark_of(_found: &std::fs::Metadata) -> FileMark {
    None
}

/// A connection, and the file it was opened on.
fn marked(path: &Path, opening: Opening) -> Result<(FileMark, Connection), StoreError> {
    let connection = connect(path, opening)?;
    let found = std::fs::metadata(path).map_err(|error| StoreError::of_file(&error, path))?;
    Ok((mark_of(&found), connection))
}

impl Store {
    /// Opens a file, makes it if it is not there, brings it to the newest version and looks quickly whether it is whole.
    ///
    /// # Errors
    /// Says plainly when it cannot be used; the file is then as it was.
    pub fn open(path: &Path, now_ms: i64) -> Result<Store, StoreError> {
        Store::open_with(path, now_ms, Opening::default())
    }

    /// As [`Store::open`], with a choice of manner.
    pub fn open_with(path: &Path, now_ms: i64, opening: Opening) -> Result<Store, StoreError> {
        match std::fs::metadata(path) {
            Ok(found) if found.is_dir() => return Err(StoreError::NotAStore),
            Ok(found) if found.permissions().readonly() => return Err(StoreError::ReadOnly),
            Ok(_) => {}
            Err(error) if error.kind() == std::io::ErrorKind::NotFound && opening.make => {
                if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
                    std::fs::create_dir_all(folder).map_err(|error| StoreError::of_file(&error, folder))?;
                }
            }
            Err(error) => return Err(StoreError::of_file(&error, path)),
        }
        let (mark, mut writer) = marked(path, opening)?;
        // Judged before anything is written, so that another program's file stays as it is.
        schema::version(&writer)?;
        let mode: String = writer.pragma_update_and_check(None, "journal_mode", "wal", |row| row.get(0))?;
        if mode != "wal" {
            return Err(StoreError::Locked);
        }
        schema::migrate(&mut writer, now_ms)?;
        let store = Store {
            path: path.to_owned(),
            opening,
            writer: Mutex::new((mark, writer)),
            readers: Mutex::new(Vec::new()),
        };
        store.quick_check()?;
        Ok(store)
    }

    /// Where the file lies.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Folds what was written since into the one file and empties the file beside it, so that a copy of the one file is the whole record. Called where the
    /// program ends; what cannot be folded in stays where it is, as safe as before.
    pub fn fold_in(&self) {
        locked(&self.readers).clear();
        let writer = locked(&self.writer);
        let _folded = writer.1.query_row("pragma wal_checkpoint(truncate)", [], |_| Ok(()));
    }

    /// The store's epoch: made with the file and anew at every restore. Read afresh at each exchange.
    pub fn epoch(&self) -> Result<String, StoreError> {
        self.read(|connection| Ok(connection.query_row("select epoch from store", [], |row| row.get(0))?))
    }

    /// A new id of 32 hexadecimal digits, for rows the program itself makes.
    pub fn new_id(&self) -> Result<String, StoreError> {
        self.read(|connection| Ok(connection.query_row("select lower(hex(randomblob(16)))", [], |row| row.get(0))?))
    }

    /// Looks through what people typed and who may come in. Logger rows, forecasts and photos wait for the full check: a record of
    /// ten seasons must open at once.
    fn quick_check(&self) -> Result<(), StoreError> {
        self.read(|connection| {
            for table in ["store", "farm", "person", "device", "session", "season", "batch", "fact", "differing"] {
                let found: String =
                    connection.query_row(&format!("pragma quick_check('{table}')"), [], |row| row.get(0))?;
                if found != "ok" {
                    return Err(StoreError::Damaged(found));
                }
            }
            Ok(())
        })
    }

    /// Looks through the whole file. May take minutes on a large one; writing goes on meanwhile.
    pub fn full_check(&self) -> Result<(), StoreError> {
        self.read(|connection| {
            let found: String = connection.query_row("pragma integrity_check(1)", [], |row| row.get(0))?;
            if found != "ok" {
                return Err(StoreError::Damaged(found));
            }
            let mut loose = connection.prepare("pragma foreign_key_check")?;
            if loose.exists([])? {
                return Err(StoreError::Damaged("a row points at one that is not there".to_owned()));
            }
            Ok(())
        })?;
        self.check_chain()
    }

    /// The file that stands under the name now; an error when there is none.
    fn mark_now(&self) -> Result<FileMark, StoreError> {
        std::fs::metadata(&self.path)
            .map(|found| mark_of(&found))
            .map_err(|error| StoreError::of_file(&error, &self.path))
    }

    /// Runs a reading. Readings do not wait for a writing.
    pub(crate) fn read<T>(&self, ask: impl FnOnce(&Connection) -> Result<T, StoreError>) -> Result<T, StoreError> {
        // A file that is gone for the moment can still be read by who has it open.
        let now = self.mark_now();
        let spare = {
            let mut readers = locked(&self.readers);
            if let Ok(now) = now {
                readers.retain(|(mark, _)| *mark == now);
            }
            readers.pop()
        };
        let reader = match spare {
            Some(reader) => reader,
            None => {
                let reader = marked(&self.path, Opening { make: false, ..self.opening })?;
                reader.1.pragma_update(None, "query_only", true)?;
                reader
            }
        };
        let answer = ask(&reader.1);
        locked(&self.readers).push(reader);
        answer
    }

    /// Runs a writing: wholly on the disk when it returns, or not at all.
    pub(crate) fn write<T>(
        &self,
        act: impl FnOnce(&Transaction<'_>) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let mut writer = locked(&self.writer);
        // A file that was moved or deleted is still open to us: writing would go on into a file that nobody finds again.
        if self.mark_now()? != writer.0 {
            let other = marked(&self.path, Opening { make: false, ..self.opening })?;
            if schema::version(&other.1)? != schema::newest_version() {
                return Err(StoreError::NotAStore);
            }
            *writer = other;
        }
        let work = writer.1.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let done = act(&work)?;
        work.commit()?;
        Ok(done)
    }

    pub(crate) fn writer(&self) -> MutexGuard<'_, (FileMark, Connection)> {
        locked(&self.writer)
    }
}

/// A panic elsewhere leaves the connection usable: its transaction was rolled back when it was dropped.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A connection that waits for the disk at every commit and keeps the schema's promises.
pub(crate) fn connect(path: &Path, opening: Opening) -> Result<Connection, StoreError> {
    let mut flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    if opening.make {
        flags |= OpenFlags::SQLITE_OPEN_CREATE;
    }
    let connection = Connection::open_with_flags(path, flags)?;
    connection.busy_timeout(Duration::from_millis(opening.wait_ms))?;
    // WAL with `normal` may lose acknowledged rows at a power cut, which no killed process shows.
    connection.pragma_update(None, "synchronous", "full")?;
    connection.pragma_update(None, "foreign_keys", true)?;
    connection.set_prepared_statement_cache_capacity(64);
    Ok(connection)
}
