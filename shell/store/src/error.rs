//! What can truly go wrong with the file.

use std::path::Path;

use rusqlite::ErrorCode;

/// Why the store could not do what was asked. Nothing that was acknowledged is lost by any of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StoreError {
    /// The disk is full.
    Full,
    /// The file or its folder may only be read.
    ReadOnly,
    /// Another program holds the file.
    Locked,
    /// There is no such file.
    Missing,
    /// The file is not one of ours.
    NotAStore,
    /// The file was written by a newer program.
    Newer {
        /// Version of the file.
        file: u32,
        /// Newest version this program knows.
        program: u32,
    },
    /// The file is damaged; the first thing found.
    Damaged(String),
    /// The file to be written is there already.
    InTheWay,
    /// An archive cannot be read; where, and why.
    BadArchive(String),
    /// A fact or row cannot be kept as it is: which field.
    BadRow(&'static str),
    /// The call was asked to stop: nothing of it was kept.
    Stopped,
    /// Something else, in the words of the system.
    Other(String),
}

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> StoreError {
        let text = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => StoreError::Full,
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => StoreError::ReadOnly,
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked | ErrorCode::FileLockingProtocolFailed) => {
                StoreError::Locked
            }
            Some(ErrorCode::NotADatabase) => StoreError::NotAStore,
            Some(ErrorCode::DatabaseCorrupt) => StoreError::Damaged(text),
            Some(ErrorCode::OperationInterrupted) => StoreError::Stopped,
            _ => StoreError::Other(text),
        }
    }
}

impl StoreError {
    /// An error of the file system.
    pub(crate) fn of_file(error: &std::io::Error, path: &Path) -> StoreError {
        use std::io::ErrorKind;
        match error.kind() {
            ErrorKind::NotFound => StoreError::Missing,
            ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => StoreError::ReadOnly,
            ErrorKind::StorageFull => StoreError::Full,
            ErrorKind::AlreadyExists => StoreError::InTheWay,
            _ => StoreError::Other(format!("{}: {error}", path.display())),
        }
    }
}
