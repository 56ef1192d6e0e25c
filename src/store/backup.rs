//! A copy of the store to keep elsewhere.

use super::{Result, Store, StoreError, open::IS_BACKUP};
use crate::sys::NewFile;
use rusqlite::{Connection, OpenFlags};
use std::path::Path;

impl Store {
    /// Writes a copy of everything to a new file. Whoever opens the copy is told that it is one ([`Store::is_backup`]).
    ///
    /// # Errors
    /// `Exists` where there is a file of that name, `DiskFull`, `NotWritable`, `Io`; then no file of that name is made.
    pub fn backup_to(&self, path: &Path) -> Result<()> {
        let io = |what: &str, source| StoreError::Io {
            what: format!("the backup {} {what}", path.display()),
            source,
        };
        if path.exists() {
            return Err(StoreError::Exists(path.to_owned()));
        }
        self.checkpoint()?;
        let file = NewFile::beside(path).map_err(|error| {
            io(
                "can't be made; check that its folder is there and may be written to",
                error,
            )
        })?;
        self.conn.execute(
            "VACUUM INTO ?1",
            [file.path().to_str().ok_or_else(|| {
                StoreError::NotWritable("the name of the backup is not valid text".to_owned())
            })?],
        )?;
        mark_as_backup(file.path())?;
        match file.publish(path) {
            Err(error) if error.kind() == std::io::ErrorKind::AlreadyExists => {
                Err(StoreError::Exists(path.to_owned()))
            }
            published => published.map_err(|error| io("could not be finished", error)),
        }
    }
}

fn mark_as_backup(path: &Path) -> Result<()> {
    let copy = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    copy.execute(
        "INSERT INTO setting (name, value) VALUES (?1, 'yes') ON CONFLICT DO NOTHING",
        [IS_BACKUP],
    )?;
    copy.close().map_err(|(_, error)| error)?;
    Ok(())
}
