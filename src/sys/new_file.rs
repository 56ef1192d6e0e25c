//! A file that appears under its name whole, or not at all.

use std::{
    fs::{self, File},
    io,
    path::{Path, PathBuf},
};

/// A file in the making, beside the place where it shall be; removed when dropped.
#[derive(Debug)]
pub struct NewFile {
    part: PathBuf,
}

impl NewFile {
    /// Begins a file that shall be `path`: an empty one with `.part` after its name. One left by a process that died is replaced.
    ///
    /// # Errors
    /// The folder is not there or can't be written.
    pub fn beside(path: &Path) -> io::Result<Self> {
        let mut name = path.as_os_str().to_owned();
        name.push(".part");
        let part = PathBuf::from(name);
        File::create(&part)?;
        Ok(Self { part })
    }

    /// Where it is written meanwhile.
    pub fn path(&self) -> &Path {
        &self.part
    }

    /// Gives it its name, once its bytes are on the disk.
    ///
    /// # Errors
    /// `AlreadyExists` where another file took the name; that one is left as it is.
    pub fn publish(self, path: &Path) -> io::Result<()> {
        File::open(&self.part)?.sync_all()?;
        match fs::hard_link(&self.part, path) {
            Ok(()) => {}
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => return Err(error),
            // Memory sticks have file systems without links; there only a rename can do it.
            Err(_) if path.exists() => return Err(io::ErrorKind::AlreadyExists.into()),
            Err(_) => fs::rename(&self.part, path)?,
        }
        sync_folder_of(path)
    }

    /// Gives it the name of whatever stands there, once its bytes are on the disk.
    ///
    /// # Errors
    /// As the file system says; then what stands there is as it was.
    pub fn replace(self, path: &Path) -> io::Result<()> {
        File::open(&self.part)?.sync_all()?;
        fs::rename(&self.part, path)?;
        sync_folder_of(path)
    }
}

impl Drop for NewFile {
    fn drop(&mut self) {
        // Nothing can be done about a file that can't be removed, and it hides nothing.
        let _ = fs::remove_file(&self.part);
    }
}

/// A new name is only sure once its folder is on the disk too; Windows has no way to ask for that.
fn sync_folder_of(path: &Path) -> io::Result<()> {
    if cfg!(windows) {
        return Ok(());
    }
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => File::open(folder)?.sync_all(),
        _ => File::open(".")?.sync_all(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_file_appears_whole_and_never_over_another() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a");
        let file = NewFile::beside(&path).unwrap();
        fs::write(file.path(), "one").unwrap();
        assert!(!path.exists());
        file.publish(&path).unwrap();
        let second = NewFile::beside(&path).unwrap();
        fs::write(second.path(), "two").unwrap();
        let error = second.publish(&path).unwrap_err();
        assert_eq!(error.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read(&path).unwrap(), b"one");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }
}
