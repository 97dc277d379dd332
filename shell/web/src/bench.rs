//! The bench: files that were brought in and looked at, until they are taken or given up. They lie in memory only; a server that
//! ends forgets them, and nothing of the record depends on them.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use farm::logger::{Layout, NotALogger, Sheet, Taken, decode};
use sheets::SheetError;
use store::{LoggedTaken, StoreError};
use units::Watch;

use crate::sending::Passing;

/// Files held at once; the oldest that is not being kept goes first.
const FILES_MOST: usize = 6;
/// Bytes of all of them.
const BYTES_MOST: usize = 500 << 20;

/// What a look at a file gave.
#[derive(Debug, Clone)]
pub struct Looked {
    /// How it is laid out.
    pub layout: Layout,
    /// What was read.
    pub taken: Taken,
    /// How much of that the record has.
    pub compared: LoggedTaken,
}

/// How far the keeping of a file is.
#[derive(Debug, Clone)]
pub enum State {
    /// It was only looked at.
    Lying,
    /// It is being kept.
    Working,
    /// It is in the record.
    Kept(LoggedTaken),
    /// It could not be kept.
    Refused(StoreError),
}

/// Choices under which a file was looked at, and what that gave.
type Cached = Option<(String, Result<Arc<Looked>, NotALogger>)>;

/// One file.
pub struct Held {
    /// Its name in addresses.
    pub token: String,
    /// The farm.
    pub farm: String,
    /// Its own name.
    pub name: String,
    /// Its media type.
    pub media: &'static str,
    /// As it came.
    pub bytes: Vec<u8>,
    /// Its sheets; a text is one.
    pub sheets: Vec<Sheet>,
    /// How far the keeping is, and the way to stop it.
    pub watch: Watch,
    looked: Mutex<Cached>,
    state: Mutex<State>,
}

fn open<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Held {
    /// A file as it was received.
    ///
    /// # Errors
    /// When it is a workbook that cannot be read.
    pub fn new(token: String, farm: &str, name: &str, bytes: Vec<u8>) -> Result<Held, SheetError> {
        let (media, sheets) = if sheets::is_workbook(&bytes) {
            ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", sheets::read(&bytes)?)
        } else {
            ("text/csv", vec![Sheet { name: String::new(), text: decode(&bytes).into_owned() }])
        };
        Ok(Held {
            token,
            farm: farm.to_owned(),
            name: short_name(name),
            media,
            bytes,
            sheets,
            watch: Watch::new(),
            looked: Mutex::default(),
            state: Mutex::new(State::Lying),
        })
    }

    /// What a look under these choices gives; a second look under the same is not reckoned again.
    ///
    /// # Errors
    /// When the record cannot be asked.
    pub fn look(
        &self,
        key: &str,
        look: impl FnOnce() -> Result<Result<Looked, NotALogger>, StoreError>,
    ) -> Result<Result<Arc<Looked>, NotALogger>, StoreError> {
        if let Some((_, known)) = open(&self.looked).as_ref().filter(|(known, _)| known == key) {
            return Ok(known.clone());
        }
        let fresh = look()?.map(Arc::new);
        *open(&self.looked) = Some((key.to_owned(), fresh.clone()));
        Ok(fresh)
    }

    /// The last look, when it was under these choices.
    pub fn last_look(&self, key: &str) -> Option<Arc<Looked>> {
        let looked = open(&self.looked);
        looked.as_ref().filter(|(known, _)| known == key).and_then(|(_, look)| look.clone().ok())
    }

    /// How far it is.
    pub fn state(&self) -> State {
        open(&self.state).clone()
    }

    /// Begins to keep it, once: false when that was begun before and was not stopped.
    pub fn begin(&self) -> bool {
        let mut state = open(&self.state);
        let idle = matches!(*state, State::Lying);
        if idle {
            *state = State::Working;
        }
        idle
    }

    /// It is done with.
    pub fn end(&self, done: Result<LoggedTaken, StoreError>) {
        *open(&self.state) = match done {
            Ok(taken) => State::Kept(taken),
            Err(error) => State::Refused(error),
        };
    }
}

/// The last part of a path, of a length that can be shown.
fn short_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or(name).trim();
    let plain: String = last.chars().filter(|letter| !letter.is_control()).take(80).collect();
    if plain.is_empty() { "logger.csv".to_owned() } else { plain }
}

/// All files that are held.
#[derive(Default)]
pub struct Bench {
    held: Mutex<Vec<Arc<Held>>>,
}

impl Bench {
    /// Lays a file down.
    pub fn lay(&self, file: Held) {
        let mut held = open(&self.held);
        held.push(Arc::new(file));
        let weight = |held: &[Arc<Held>]| held.iter().map(|one| one.bytes.len()).sum::<usize>();
        while held.len() > FILES_MOST || (held.len() > 1 && weight(&held) > BYTES_MOST) {
            // One that is being kept is not taken out from under its thread's page; the newest stays in any case.
            let Some(oldest) = held[..held.len() - 1].iter().position(|one| !matches!(one.state(), State::Working))
            else {
                break;
            };
            held.remove(oldest);
        }
    }
    /// A farm's file by its name in addresses.
    pub fn find(&self, farm: &str, token: &str) -> Option<Arc<Held>> {
        open(&self.held).iter().find(|one| one.token == token && one.farm == farm).cloned()
    }
}

/// Backups that were looked through and wait for a person's second step. Two at most: each is a whole record.
#[derive(Default)]
pub struct Candidates {
    held: Mutex<Vec<(String, Arc<Passing>)>>,
}

impl Candidates {
    /// Lays one down.
    pub fn lay(&self, token: String, file: Passing) {
        let mut held = open(&self.held);
        held.push((token, Arc::new(file)));
        if held.len() > 2 {
            held.remove(0);
        }
    }
    /// One by its name in addresses.
    pub fn find(&self, token: &str) -> Option<Arc<Passing>> {
        open(&self.held).iter().find(|(known, _)| known == token).map(|(_, file)| Arc::clone(file))
    }
    /// Lays one back that was taken and could not be used: it need not be sent once more.
    pub fn lay_back(&self, token: String, file: Arc<Passing>) {
        open(&self.held).push((token, file));
    }
    /// Takes one away: it is used once.
    pub fn take(&self, token: &str) -> Option<Arc<Passing>> {
        let mut held = open(&self.held);
        let at = held.iter().position(|(known, _)| known == token)?;
        Some(held.remove(at).1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_goes_first_but_never_one_that_is_being_kept() {
        let bench = Bench::default();
        for n in 0..FILES_MOST + 2 {
            bench.lay(Held::new(n.to_string(), "bend", "C:\\data\\a.csv", b"x".to_vec()).expect("a text"));
            if n == 0 {
                assert!(bench.find("bend", "0").expect("held").begin());
            }
        }
        assert!(bench.find("bend", "0").is_some_and(|one| !one.begin() && one.name == "a.csv"));
        assert!(bench.find("bend", "1").is_none());
        assert!(bench.find("other", "3").is_none(), "a farm sees its own alone");
    }
}
