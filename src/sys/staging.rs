//! A folder for what is not yet taken in.

use std::{
    fs::{self, File},
    io::{self, BufRead, BufReader, BufWriter, Write},
    path::{Path, PathBuf},
};

const LINES: &str = "lines";

/// A folder for what is not yet taken in; it goes, with all in it, when this is dropped.
///
/// Lines go into one file, other content into files by name.
#[derive(Debug)]
pub struct StagingFolder {
    folder: PathBuf,
    lines: BufWriter<File>,
}

impl StagingFolder {
    /// Makes the folder, after removing what a killed process left there. So the folder must be one that only one
    /// process uses at a time: a store's own.
    ///
    /// # Errors
    /// As the file system says.
    pub fn create(folder: &Path) -> io::Result<Self> {
        match fs::remove_dir_all(folder) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
        fs::create_dir(folder)?;
        let folder = folder.to_owned();
        let lines = BufWriter::new(File::create_new(folder.join(LINES))?);
        Ok(Self { folder, lines })
    }

    /// Adds a line; `line` has no line feed in it.
    ///
    /// # Errors
    /// As the file system says.
    pub fn append_line(&mut self, line: &[u8]) -> io::Result<()> {
        self.lines.write_all(line)?;
        self.lines.write_all(b"\n")
    }

    /// The lines added so far, in order, each without its line feed.
    ///
    /// # Errors
    /// As the file system says.
    pub fn lines(&mut self) -> io::Result<impl Iterator<Item = io::Result<Vec<u8>>> + use<>> {
        self.lines.flush()?;
        let lines = File::open(self.folder.join(LINES))?;
        Ok(BufReader::with_capacity(1 << 16, lines).split(b'\n'))
    }

    /// Writes a file; `name` is a plain file name.
    ///
    /// # Errors
    /// `InvalidInput` if `name` is a path or names the lines; else as the file system says.
    pub fn put(&self, name: &str, content: &[u8]) -> io::Result<()> {
        fs::write(self.place(name)?, content)
    }

    /// Reads a file that was [`put`](Self::put).
    ///
    /// # Errors
    /// As `put`.
    pub fn get(&self, name: &str) -> io::Result<Vec<u8>> {
        fs::read(self.place(name)?)
    }

    fn place(&self, name: &str) -> io::Result<PathBuf> {
        let plain = Path::new(name).file_name().is_some_and(|file| file == name);
        if !plain || name == LINES {
            let what = format!("'{name}' can't be the name of a staged file");
            return Err(io::Error::new(io::ErrorKind::InvalidInput, what));
        }
        Ok(self.folder.join(name))
    }
}

impl Drop for StagingFolder {
    fn drop(&mut self) {
        // What can't be removed now is removed by the next `create`.
        let _ = fs::remove_dir_all(&self.folder);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_staged_reads_back_and_goes_when_dropped() {
        let parent = tempfile::tempdir().unwrap();
        let mut staging = StagingFolder::create(&parent.path().join("staging")).unwrap();
        staging.append_line(b"one").unwrap();
        staging.append_line(b"").unwrap();
        staging.put("a.jpg", b"picture").unwrap();
        let lines: Vec<_> = staging.lines().unwrap().map(Result::unwrap).collect();
        assert_eq!(lines, [b"one".to_vec(), b"".to_vec()]);
        assert_eq!(staging.get("a.jpg").unwrap(), b"picture");
        drop(staging);
        assert_eq!(fs::read_dir(parent.path()).unwrap().count(), 0);
    }

    #[test]
    fn what_a_killed_process_left_is_gone_at_the_next_start() {
        let parent = tempfile::tempdir().unwrap();
        let killed = StagingFolder::create(&parent.path().join("staging")).unwrap();
        killed.put("left", b"over").unwrap();
        std::mem::forget(killed);
        let staging = StagingFolder::create(&parent.path().join("staging")).unwrap();
        assert!(staging.get("left").is_err());
    }

    #[test]
    fn nothing_is_staged_outside_the_folder() {
        let parent = tempfile::tempdir().unwrap();
        let staging = StagingFolder::create(&parent.path().join("staging")).unwrap();
        for name in ["../out", "/out", "a/b", "..", ".", "", LINES] {
            let refused = staging.put(name, b"x").unwrap_err();
            assert_eq!(refused.kind(), io::ErrorKind::InvalidInput, "{name}");
        }
    }
}
