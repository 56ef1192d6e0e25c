//! Files written whole or not at all.

use std::{
    ffi::OsString,
    fs::{self, File},
    io,
    path::Path,
};

/// Writes a file whole or not at all: into a new file beside it, synced, then renamed over it. Makes its folder where
/// there is none.
///
/// # Errors
/// What `write` says, or the file system; then the file is as it was.
pub fn write_whole<T, E: From<io::Error>>(
    path: &Path,
    write: impl FnOnce(&mut File) -> Result<T, E>,
) -> Result<T, E> {
    if let Some(folder) = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
    {
        fs::create_dir_all(folder)?;
    }
    let mut name = OsString::from(path);
    name.push(".part");
    let part = Path::new(&name);
    let written = File::create(part).map_err(E::from).and_then(|mut file| {
        let written = write(&mut file)?;
        file.sync_all()?;
        Ok(written)
    });
    let done = written.and_then(|written| {
        fs::rename(part, path)?;
        Ok(written)
    });
    if done.is_err() {
        // The first error is the one to tell; a left-over part is written over next time.
        let _ = fs::remove_file(part);
    }
    done
}

/// Makes a folder and those above it, where they are not there.
///
/// # Errors
/// As the file system says.
pub fn make_folder(folder: &Path) -> io::Result<()> {
    fs::create_dir_all(folder)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    #[test]
    fn a_write_that_fails_leaves_the_file_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/list.txt");
        write_whole(&path, |file| file.write_all(b"first")).unwrap();
        let failed: io::Result<()> = write_whole(&path, |file| {
            file.write_all(b"half")?;
            Err(io::Error::other("no"))
        });
        assert!(failed.is_err());
        assert_eq!(fs::read(&path).unwrap(), b"first");
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
    }
}
