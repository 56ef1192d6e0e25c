//! The store: one SQLite file with the journal, what is derived from it, and what is kept beside it.
//!
//! [`Store::write`] begins a [`Batch`], one transaction; [`Store::read`] gives a [`Reader`] with every
//! question that can be asked. The journal is append-only; everything shown is derived from it alone
//! (`sql/projections.sql`) and depends on which records are there, not on the order they came in.
//!
//! Lists of the newest go by the time an entry was seen, then sequence number, then origin: a total order that every
//! store agrees on, and no better than the devices' clocks. What a check comes to now ("latest") does not trust one
//! device's clock against its own order: see the table `latest` in `sql/projections.sql`.

mod backup;
mod batch;
mod codec;
mod corrections;
mod deeds;
mod entry;
mod error;
mod lists;
mod open;
mod past;
mod project;
mod query;
mod read;
mod remedies;
mod rows;
mod spans;
mod together;
mod verify;
mod visits;

pub use batch::Batch;
pub use error::{Result, StoreError};
pub use rows::*;
pub use spans::Span;
pub use together::Together;
pub use verify::{Fault, VerifyProgress, VerifyReport};

use crate::{record::Origin, sys::FileLock};
use rusqlite::Connection;
use std::path::{Path, PathBuf};

/// An open store. No other process can open it meanwhile.
#[derive(Debug)]
pub struct Store {
    // Closed before the lock is let go: fields are dropped in this order.
    conn: Connection,
    path: PathBuf,
    origin: Origin,
    is_backup: bool,
    /// How many [`Together`] are going on, one inside the other.
    together: u32,
    _lock: FileLock,
}

/// Questions to a store, or to a batch not yet kept.
#[derive(Clone, Copy, Debug)]
pub struct Reader<'c> {
    conn: &'c Connection,
    origin: Origin,
}

impl Store {
    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The name it writes under.
    pub fn origin(&self) -> Origin {
        self.origin
    }

    /// It was opened from a backup: nothing can be written under its origin, see [`Store::new_origin`].
    pub fn is_backup(&self) -> bool {
        self.is_backup
    }

    /// Begins to ask.
    pub fn read(&self) -> Reader<'_> {
        Reader {
            conn: &self.conn,
            origin: self.origin,
        }
    }

    /// Drops what is shown and derives it again from the journal.
    ///
    /// # Errors
    /// `DamagedRecord` where a record is not what was written; then nothing is changed.
    pub fn rebuild(&mut self) -> Result<()> {
        let part = self.part()?;
        project::rebuild(&part)?;
        part.commit()
    }

    /// Moves everything written into the one file, so that copying it copies all: on pause, on exit, before a backup.
    ///
    /// # Errors
    /// `DiskFull`.
    pub fn checkpoint(&self) -> Result<()> {
        self.conn
            .query_row("PRAGMA wal_checkpoint(TRUNCATE)", [], |_| Ok(()))?;
        Ok(())
    }
}
