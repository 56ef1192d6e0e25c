//! A disk that is really full: a small one in memory, in a namespace of the test's own.
#![allow(dead_code, reason = "each test program uses its own part")]

use std::{
    env,
    fs::{self, File},
    io::{ErrorKind, Write},
    path::{Path, PathBuf},
    process::Command,
};

/// Where the small disk is, in the process that has one.
const DISK: &str = "LANTERN_RING_SMALL_DISK";

/// In `unshare`: a disk of 16 MiB on the folder named first, then the program that follows.
const WITH_DISK: &str = r#"mount -t tmpfs -o size=16m tmpfs "$0" && exec "$@""#;

/// Does this on a small disk: runs the test of this name anew in a process that has one. Skipped where the system lets
/// no user mount one.
pub fn on_a_small_disk(test: &str, work: impl FnOnce(&SmallDisk)) {
    if let Some(folder) = env::var_os(DISK) {
        return work(&SmallDisk(folder.into()));
    }
    let folder = tempfile::tempdir().expect("a folder");
    let inside = |program: &Path| {
        let mut unshare = Command::new("unshare");
        unshare.args([
            "--user",
            "--map-root-user",
            "--mount",
            "sh",
            "-c",
            WITH_DISK,
        ]);
        unshare.arg(folder.path()).arg(program);
        unshare
    };
    let tried = inside(Path::new("true")).output();
    if !tried.is_ok_and(|tried| tried.status.success()) {
        eprintln!("skipped: this system lets no test mount a disk of its own");
        return;
    }
    let own = env::current_exe().expect("this program");
    let ended = inside(&own)
        .args(["--exact", test, "--nocapture", "--test-threads=1"])
        .env(DISK, folder.path())
        .output()
        .expect("started");
    let told = [ended.stdout, ended.stderr].concat();
    let told = String::from_utf8_lossy(&told);
    assert!(ended.status.success(), "on a small disk: {told}");
    // A name that is no test's would do nothing, and well.
    assert!(told.contains("1 passed"), "{told}");
}

/// The small disk.
pub struct SmallDisk(PathBuf);

impl SmallDisk {
    /// Its folder.
    pub fn folder(&self) -> &Path {
        &self.0
    }

    /// Takes all the room there is.
    pub fn fill(&self) {
        let mut filler = File::create(self.filler()).expect("a file");
        for size in [1 << 16, 1] {
            let bytes = vec![7; size];
            let full = loop {
                if let Err(full) = filler.write_all(&bytes) {
                    break full;
                }
            };
            assert_eq!(full.kind(), ErrorKind::StorageFull);
        }
    }

    /// Gives it back.
    pub fn free(&self) {
        fs::remove_file(self.filler()).expect("removed");
    }

    fn filler(&self) -> PathBuf {
        self.0.join("filler")
    }
}
