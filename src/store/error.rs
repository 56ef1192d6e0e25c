//! What can go wrong with a store, in sentences.

use crate::record::{BadRecord, Hash, Origin};
use std::{io, path::PathBuf};

/// Why a store could not do what was asked. Nothing that was written before is lost by any of these.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// No file there.
    #[error("there is no store at {}; check the path, or make a new store there", .0.display())]
    Missing(PathBuf),
    /// A file is already there.
    #[error("{} is already there and was left as it is; choose another name", .0.display())]
    Exists(PathBuf),
    /// Another process has it open.
    #[error("this store is in use by another Lantern Ring; close that one first")]
    InUse,
    /// Another kind of file.
    #[error("{} is not a Lantern Ring store, or its first page is damaged; choose another file, or open a backup", .0.display())]
    NotAStore(PathBuf),
    /// Made by a later program.
    #[error(
        "this store was written by a newer version of Lantern Ring (store version {found}, this program knows up to {known}); update Lantern Ring to open it"
    )]
    Newer {
        /// Version of the store.
        found: i64,
        /// Latest version known here.
        known: i64,
    },
    /// The file's pages contradict each other.
    #[error(
        "the store's file is damaged ({0}); copy it away, then run verify on it or open a backup"
    )]
    Damaged(String),
    /// One record's bytes are not what was written.
    #[error("record {seq} of origin {} in the store is damaged ({why}); run verify to see how much is, or open a backup", origin.0)]
    DamagedRecord {
        /// Device that wrote it.
        origin: Origin,
        /// Its place there.
        seq: u64,
        /// What does not agree.
        why: String,
    },
    /// The SQLite library can lose data.
    #[error(
        "this program was built with SQLite {0}, which can lose data; build it with 3.51.3 or later"
    )]
    OldSqlite(String),
    /// No room.
    #[error(
        "the disk is full, so this was not saved; everything saved before is safe. Free some space and try again"
    )]
    DiskFull,
    /// The file or its folder can't be written.
    #[error("the store can't be written ({0}); check that its folder and file may be written to")]
    NotWritable(String),
    /// It was opened from a backup and still has the name of the store it was made from.
    #[error(
        "this store is a backup; it needs an origin of its own before anything is written in it"
    )]
    NeedsNewOrigin,
    /// Bytes and hash do not belong together.
    #[error("the bytes given as {0} are others; nothing was stored")]
    HashMismatch(Hash),
    /// A record that is none, or has a number that can't be written.
    #[error(transparent)]
    BadRecord(#[from] BadRecord),
    /// A sequence number past 2⁶³.
    #[error(
        "the sequence number {0} is larger than a store can keep; the file it came from is wrong"
    )]
    SeqTooLarge(u64),
    /// The same file was taken in before.
    #[error("this file was already taken in, as '{0}'; nothing was changed")]
    AlreadyTakenIn(String),
    /// An earlier step of the batch failed, so it can't be kept.
    #[error("an earlier step failed, so nothing of this was saved; try again")]
    BatchFailed,
    /// The disk or the system.
    #[error("{what} ({source})")]
    Io {
        /// What was tried, as the start of a sentence.
        what: String,
        /// What the system says.
        source: io::Error,
    },
    /// Anything else SQLite says.
    #[error(
        "the store could not do that ({0}); nothing was changed. Run verify if it happens again"
    )]
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
