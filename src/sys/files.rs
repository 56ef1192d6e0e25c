//! Files written whole or not at all.

use super::NewFile;
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
    let part = NewFile::beside(path)?;
    let mut file = File::options().write(true).open(part.path())?;
    let written = write(&mut file)?;
    part.replace(path)?;
    Ok(written)
}

/// Makes a folder with all in it, or nothing: `write` fills another one beside it, which then gets its name. An empty
/// folder of that name is replaced, and what a process that died left beside it.
///
/// # Errors
/// `AlreadyExists` where something is there already, what `write` says, or the file system.
pub fn folder_whole<T, E: From<io::Error>>(
    folder: &Path,
    write: impl FnOnce(&Path) -> Result<T, E>,
) -> Result<T, E> {
    match fs::remove_dir(folder) {
        Err(_) if folder.exists() => Err(io::Error::from(io::ErrorKind::AlreadyExists))?,
        _ => {}
    }
    let mut name = OsString::from(folder);
    name.push(".part");
    let part = Path::new(&name);
    match fs::remove_dir_all(part) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error)?,
        _ => {}
    }
    fs::create_dir_all(part)?;
    let done = write(part).and_then(|done| {
        fs::rename(part, folder)?;
        Ok(done)
    });
    if done.is_err() {
        // The first error is the one to tell; what is left over is removed next time.
        let _ = fs::remove_dir_all(part);
    }
    done
}

/// Makes a folder and those it lies in, where they are not there.
///
/// # Errors
/// As the file system says.
pub fn make_folder(folder: &Path) -> io::Result<()> {
    fs::create_dir_all(folder)
}

/// Removes all that is in a folder of this program's own, and the folder.
///
/// # Errors
/// As the file system says; none where it is not there.
pub fn empty_folder(folder: &Path) -> io::Result<()> {
    match fs::remove_dir_all(folder) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

/// Keeps so many files of a folder of this program's own, those written last, and removes the others.
///
/// # Errors
/// As the file system says; none where the folder is not there.
pub fn keep_newest(folder: &Path, most: usize) -> io::Result<()> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        entries => entries?,
    };
    let mut files = Vec::new();
    for entry in entries {
        let entry = entry?;
        files.push((entry.metadata()?.modified()?, entry.path()));
    }
    files.sort();
    for (_, path) in files.iter().rev().skip(most) {
        fs::remove_file(path)?;
    }
    Ok(())
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

    #[test]
    fn a_folder_is_made_with_all_in_it_or_not_at_all() {
        let parent = tempfile::tempdir().unwrap();
        let folder = parent.path().join("a/demo");
        let failed: io::Result<()> = folder_whole(&folder, |part| {
            fs::write(part.join("half"), "half")?;
            Err(io::Error::other("no"))
        });
        assert!(failed.is_err());
        assert_eq!(fs::read_dir(folder.parent().unwrap()).unwrap().count(), 0);
        fs::create_dir(&folder).unwrap();
        let full = |part: &Path| fs::write(part.join("full"), "full");
        folder_whole(&folder, full).unwrap();
        assert_eq!(fs::read(folder.join("full")).unwrap(), b"full");
        let again = folder_whole(&folder, full).unwrap_err();
        assert_eq!(again.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read_dir(folder.parent().unwrap()).unwrap().count(), 1);
    }

    #[test]
    fn of_many_files_the_newest_stay() {
        let folder = tempfile::tempdir().unwrap();
        let start = std::time::SystemTime::UNIX_EPOCH;
        for hour in [3_u64, 1, 4, 2] {
            let path = folder.path().join(hour.to_string());
            fs::write(&path, "bundle").unwrap();
            let file = File::options().write(true).open(path).unwrap();
            file.set_modified(start + std::time::Duration::from_secs(hour * 3600))
                .unwrap();
        }
        keep_newest(folder.path(), 2).unwrap();
        let mut left: Vec<_> = fs::read_dir(folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        left.sort();
        assert_eq!(left, ["3", "4"]);
        keep_newest(folder.path(), 9).unwrap();
        keep_newest(&folder.path().join("none"), 0).unwrap();
        empty_folder(folder.path()).unwrap();
        assert!(!folder.path().exists());
        empty_folder(folder.path()).unwrap();
    }
}
