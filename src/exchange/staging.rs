//! Where an unpacked bundle waits until it is taken in.

use crate::{
    record::{Hash, Sealed},
    say,
    sys::staging::StagingFolder,
};
use std::io;

/// Where an unpacked bundle waits until it is taken in, on disk or, for tests, in memory.
pub trait Staging {
    /// Adds a record.
    ///
    /// # Errors
    /// Where there is no room.
    fn put_record(&mut self, record: &Sealed) -> io::Result<()>;

    /// Adds a photo.
    ///
    /// # Errors
    /// Where there is no room.
    fn put_photo(&mut self, name: Hash, jpeg: &[u8]) -> io::Result<()>;

    /// The records in the order they were put.
    ///
    /// # Errors
    /// Where they can't be read back.
    fn records(&mut self) -> io::Result<impl Iterator<Item = io::Result<Sealed>>>;

    /// A photo's bytes.
    ///
    /// # Errors
    /// Where it can't be read back.
    fn photo(&self, name: Hash) -> io::Result<Vec<u8>>;
}

impl Staging for StagingFolder {
    fn put_record(&mut self, record: &Sealed) -> io::Result<()> {
        self.append_line(record.bytes())
    }

    fn put_photo(&mut self, name: Hash, jpeg: &[u8]) -> io::Result<()> {
        self.put(&name.to_string(), jpeg)
    }

    fn records(&mut self) -> io::Result<impl Iterator<Item = io::Result<Sealed>>> {
        let damaged = |error| io::Error::new(io::ErrorKind::InvalidData, error);
        Ok(self
            .lines()?
            .map(move |line| Sealed::from_bytes(line?).map_err(damaged)))
    }

    fn photo(&self, name: Hash) -> io::Result<Vec<u8>> {
        let jpeg = self.get(&name.to_string())?;
        if Hash::of(&jpeg) == name {
            return Ok(jpeg);
        }
        let what = say!("the photo {name} was damaged while it waited", name);
        Err(io::Error::new(io::ErrorKind::InvalidData, what))
    }
}
