//! One process at a time.

use std::{
    fs::{File, OpenOptions, TryLockError},
    io,
    path::Path,
};

/// Held while its file is ours; let go when dropped, and by the system when the process dies.
#[derive(Debug)]
pub struct FileLock {
    _file: File,
}

impl FileLock {
    /// Takes the lock of this file, making the file where there is none; `None` where another holds it.
    ///
    /// Where the system has no such locks (Android, Rust below 1.98) it is given without one: there the
    /// store's own exclusive mode is the only guard.
    ///
    /// # Errors
    /// The file can't be made or opened.
    pub fn take(path: &Path) -> io::Result<Option<Self>> {
        let file = OpenOptions::new()
            .write(true)
            .create(true)
            .truncate(false)
            .open(path)?;
        match file.try_lock() {
            Ok(()) => Ok(Some(Self { _file: file })),
            Err(TryLockError::WouldBlock) => Ok(None),
            Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Unsupported => {
                Ok(Some(Self { _file: file }))
            }
            Err(TryLockError::Error(error)) => Err(error),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lock_is_held_until_it_is_dropped() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("x.lock");
        let first = FileLock::take(&path).unwrap();
        assert!(first.is_some());
        assert!(FileLock::take(&path).unwrap().is_none());
        drop(first);
        assert!(FileLock::take(&path).unwrap().is_some());
    }
}
