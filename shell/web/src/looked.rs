//! Whether the record's file is whole: looked through from end to end behind the pages' back, at the start, once a day and before each
//! backup. That it is damaged stands on every page until it is whole again.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use axum::extract::{Request, State};
use axum::middleware::Next;
use axum::response::Response;
use store::StoreError;
use units::Instant;
use words::page_files as say;

use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// Between two looks of a program that runs on.
const AGAIN: Duration = Duration::from_secs(24 * 3600);
/// Before the next look when the file could not be looked through.
const SOON: Duration = Duration::from_secs(600);

/// What the last look found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Look {
    /// Not looked yet, or looking for the first time.
    #[default]
    Looking,
    /// Whole from end to end.
    Whole {
        /// When, ms since 1970.
        at_ms: i64,
    },
    /// Damaged, or it could not be read through.
    Wrong {
        /// What was found.
        error: StoreError,
        /// The epoch of the record it was found in, if that could be read.
        epoch: Option<String>,
    },
}

/// The last look at the record's file.
#[derive(Debug, Default)]
pub struct Looked(Mutex<Look>);

impl Looked {
    fn open(&self) -> MutexGuard<'_, Look> {
        // A poisoned lock still holds a whole look: it is replaced, never edited.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
    /// What it found.
    pub fn last(&self) -> Look {
        self.open().clone()
    }
}

/// Called after each look with what it found.
pub type Heard = fn(&Record, &Result<(), StoreError>);

impl Record {
    /// Looks through the whole file; minutes on a large one. Writing goes on meanwhile.
    ///
    /// # Errors
    /// When it is damaged or cannot be read.
    pub fn look_through(&self) -> Result<(), StoreError> {
        let found = self.store().full_check();
        self.note_look(&found);
        found
    }

    /// Notes what a look found that was made for another reason.
    pub fn note_look(&self, found: &Result<(), StoreError>) {
        let look = match found {
            Ok(()) => Look::Whole { at_ms: self.now_ms() },
            Err(error @ (StoreError::Damaged(_) | StoreError::NotAStore | StoreError::Other(_))) => {
                Look::Wrong { error: error.clone(), epoch: self.store().epoch().ok() }
            }
            // Locked or away for the moment: nothing was found.
            Err(_) => return,
        };
        *self.looked().open() = look;
    }

    /// What is wrong with the file, if anything is. One that was restored since is another.
    pub fn damage(&self) -> Option<StoreError> {
        let Look::Wrong { error, epoch } = self.looked().last() else { return None };
        match self.store().epoch() {
            Ok(now) if epoch.as_ref() != Some(&now) => {
                *self.looked().open() = Look::Looking;
                None
            }
            _ => Some(error),
        }
    }
}

/// Looks through the record now and once a day, in a thread of its own.
pub fn begin(record: Arc<Record>, heard: Heard) {
    std::thread::spawn(move || {
        loop {
            let found = record.look_through();
            heard(&record, &found);
            let looked = matches!(found, Ok(()) | Err(StoreError::Damaged(_)));
            std::thread::park_timeout(if looked { AGAIN } else { SOON });
        }
    });
}

tokio::task_local! {
    /// What is wrong with the record's file, for the frame of a page.
    static DAMAGE: StoreError;
}

/// Lets every page know of a damaged record.
pub async fn tell(State(site): State<Arc<Site>>, request: Request, next: Next) -> Response {
    let wrong = site.record().filter(|record| matches!(record.looked().last(), Look::Wrong { .. }));
    match wrong.and_then(|record| waiting(|| record.damage())) {
        Some(damage) => DAMAGE.scope(damage, next.run(request)).await,
        None => next.run(request).await,
    }
}

/// What is wrong with the record's file, within a request.
pub fn damage() -> Option<StoreError> {
    DAMAGE.try_with(Clone::clone).ok()
}

/// What the last look found, in a sentence; a damage stands above every page already.
pub fn said(record: &Record, facts: &Served) -> Option<String> {
    match record.looked().last() {
        Look::Looking => Some(say::LOOKING.to_owned()),
        Look::Whole { at_ms } => {
            Some(say::whole(Instant(at_ms.div_euclid(1000)), &facts.farm.place.zone, facts.manner))
        }
        Look::Wrong { .. } => None,
    }
}

#[cfg(test)]
mod tests {
    use store::{FarmRow, Store};
    use units::Watch;

    use super::*;

    #[test]
    fn a_damage_stands_until_another_record_is_in_its_place() {
        let folder = std::env::temp_dir().join(format!("warmspell-looked-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        let (path, backup) = (folder.join("a.db"), folder.join("backup.db"));
        let record = Record::new(Store::open(&path, 1).expect("a record"), || 7000);
        let row = FarmRow { id: "bend".to_owned(), name: "Bend".to_owned(), made_ms: 1, is_sample: false };
        record.store().keep_farm(&row).expect("a farm");
        assert_eq!(record.looked().last(), Look::Looking);
        record.look_through().expect("whole");
        assert_eq!((record.looked().last(), record.damage()), (Look::Whole { at_ms: 7000 }, None));
        record.store().back_up(&backup, &Watch::new()).expect("a backup");
        // Held by another program for a moment: nothing was found, and nothing is said.
        record.note_look(&Err(StoreError::Locked));
        assert_eq!(record.damage(), None);
        let damaged = StoreError::Damaged("a page".to_owned());
        record.note_look(&Err(damaged.clone()));
        assert_eq!((record.damage(), record.damage()), (Some(damaged.clone()), Some(damaged)));
        // By the command, beneath the running program.
        Store::restore(&path, &backup, 9000, &Watch::new()).expect("restored");
        assert_eq!((record.damage(), record.looked().last()), (None, Look::Looking));
        let _ = std::fs::remove_dir_all(&folder);
    }
}
