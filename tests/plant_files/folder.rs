//! A plant folder on disk.

use crate::files::{good_files, good_plant};
use lantern_ring::sys::plant_folder;
use std::fs;

#[test]
fn a_folder_is_read_and_an_over_large_or_unreadable_file_is_told() {
    let folder = tempfile::tempdir().expect("folder");
    for (name, text) in good_files() {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().expect("parent")).expect("folder");
        fs::write(path, text).expect("file");
    }
    assert_eq!(plant_folder(folder.path()).expect("no fault"), good_plant());

    fs::write(
        folder.path().join("pumps/huge.toml"),
        vec![b'#'; 4 * 1024 * 1024 + 1],
    )
    .expect("file");
    fs::write(folder.path().join("rounds/latin.toml"), b"# caf\xe9").expect("file");
    let told: Vec<_> = plant_folder(folder.path())
        .expect_err("refused")
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        told,
        [
            "pumps/huge.toml: is too large: at most 4194304 bytes; split it into several files",
            "rounds/latin.toml: is no UTF-8 text: byte 5 can't be read; save it as UTF-8",
        ]
    );

    let nowhere = plant_folder(&folder.path().join("nowhere")).expect_err("refused");
    assert!(
        nowhere[0].to_string().contains("is no folder"),
        "{}",
        nowhere[0]
    );
}

#[test]
fn a_folder_named_like_a_file_is_told() {
    let folder = tempfile::tempdir().expect("folder");
    fs::create_dir_all(folder.path().join("pumps/odd.toml")).expect("folder");
    let faults = plant_folder(folder.path()).expect_err("refused");
    assert_eq!(
        faults[0].to_string(),
        "pumps/odd.toml: is no plain file; take it out"
    );
}
