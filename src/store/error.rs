//! What can go wrong with a store, in sentences.

use crate::record::{BadRecord, Hash, Origin};
use crate::say;
use std::{io, path::PathBuf};

/// Why a store could not do what was asked. Nothing that was written before is lost by any of these.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No file there.
    #[error("{}", say!(
        "there is no store at {file}; check the path, or make a new store there",
        file = _0.display()
    ))]
    Missing(PathBuf),
    /// A file is already there.
    #[error("{}", say!(
        "{file} is already there and was left as it is; choose another name",
        file = _0.display()
    ))]
    Exists(PathBuf),
    /// Another process has it open.
    #[error("{}", say!("this store is in use by another Lantern Ring; close that one first"))]
    InUse,
    /// Another kind of file.
    #[error("{}", say!(
        "{file} is not a Lantern Ring store, or its first page is damaged; choose another file, or open a backup",
        file = _0.display()
    ))]
    NotAStore(PathBuf),
    /// Made by a later program.
    #[error("{}", say!(
        "this store was written by a newer version of Lantern Ring (store version {found}, this program knows up to {known}); update Lantern Ring to open it",
        found,
        known
    ))]
    Newer {
        /// Version of the store.
        found: i64,
        /// Latest version known here.
        known: i64,
    },
    /// The file's pages contradict each other.
    #[error("{}", say!(
        "the store's file is damaged ({why}); copy it away, then run verify on it or open a backup",
        why = _0
    ))]
    Damaged(String),
    /// One record's bytes are not what was written.
    #[error("{}", say!(
        "record {seq} of origin {origin} in the store is damaged ({why}); run verify to see how much is, or open a backup",
        seq,
        origin = origin.0,
        why
    ))]
    DamagedRecord {
        /// Device that wrote it.
        origin: Origin,
        /// Its place there.
        seq: u64,
        /// What does not agree.
        why: String,
    },
    /// The SQLite library can lose data.
    #[error("{}", say!(
        "this program was built with SQLite {version}, which can lose data; build it with 3.51.3 or later",
        version = _0
    ))]
    OldSqlite(String),
    /// No room.
    #[error("{}", say!(
        "the disk is full, so this was not saved; everything saved before is safe. Free some space and try again"
    ))]
    DiskFull,
    /// The file or its folder can't be written.
    #[error("{}", say!(
        "the store can't be written ({why}); check that its folder and file may be written to",
        why = _0
    ))]
    NotWritable(String),
    /// It was opened from a backup and still has the name of the store it was made from.
    #[error("{}", say!(
        "this store is a backup; it needs an origin of its own before anything is written in it"
    ))]
    NeedsNewOrigin,
    /// Bytes and hash do not belong together.
    #[error("{}", say!("the bytes given as {hash} are others; nothing was stored", hash = _0))]
    HashMismatch(Hash),
    /// A record that is none, or has a number that can't be written.
    #[error(transparent)]
    BadRecord(#[from] BadRecord),
    /// A sequence number past 2⁶³.
    #[error("{}", say!(
        "the sequence number {number} is larger than a store can keep; the file it came from is wrong",
        number = _0
    ))]
    SeqTooLarge(u64),
    /// The same file was taken in before.
    #[error("{}", say!(
        "this file was already taken in, as '{name}'; nothing was changed",
        name = _0
    ))]
    AlreadyTakenIn(String),
    /// An earlier step of the batch failed, so it can't be kept.
    #[error("{}", say!("an earlier step failed, so nothing of this was saved; try again"))]
    BatchFailed,
    /// The disk or the system.
    #[error("{}", say!("{what} ({source})", what, source))]
    Io {
        /// What was tried, as the start of a sentence.
        what: String,
        /// What the system says.
        source: io::Error,
    },
    /// Anything else SQLite says.
    #[error("{}", say!(
        "the store could not do that ({why}); nothing was changed. Run verify if it happens again",
        why = _0
    ))]
    Sqlite(rusqlite::Error),
}

/// Result of store work.
pub type Result<T> = std::result::Result<T, StoreError>;

impl From<rusqlite::Error> for StoreError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode as Code;
        match error.sqlite_error_code() {
            Some(Code::DiskFull) => Self::DiskFull,
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => Self::InUse,
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => Self::Damaged(error.to_string()),
            Some(Code::ReadOnly | Code::CannotOpen | Code::PermissionDenied) => {
                Self::NotWritable(error.to_string())
            }
            _ => match error {
                rusqlite::Error::IntegralValueOutOfRange(..)
                | rusqlite::Error::FromSqlConversionFailure(..)
                | rusqlite::Error::InvalidColumnType(..) => Self::Damaged(error.to_string()),
                other => Self::Sqlite(other),
            },
        }
    }
}
