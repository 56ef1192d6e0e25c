//! The files the tests begin from.

use lantern_ring::plant::{Plant, files::assemble};
use std::{fs, path::Path};

/// The files of a small plant without a fault.
pub fn good_files() -> Vec<(String, String)> {
    [
        "plant.toml",
        "pumps/stock.toml",
        "limits/stock.toml",
        "rounds/all.toml",
    ]
    .map(|name| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("tests/data/plant")
            .join(name);
        (
            name.to_owned(),
            fs::read_to_string(path).expect("test data"),
        )
    })
    .into()
}

/// The plant they make.
pub fn good_plant() -> Plant {
    assemble(&good_files()).expect("no fault")
}

/// The faults after one change to one file.
pub fn faults_with(file: &str, from: &str, to: &str) -> Vec<String> {
    let mut files = good_files();
    let text = &mut files
        .iter_mut()
        .find(|(name, _)| name == file)
        .expect("file")
        .1;
    assert!(text.contains(from), "the test data has no '{from}'");
    *text = text.replacen(from, to, 1);
    let faults = assemble(&files).expect_err("it must be refused");
    faults.iter().map(ToString::to_string).collect()
}

/// One change to one file gives this one fault.
#[track_caller]
pub fn one_fault(file: &str, from: &str, to: &str, told: &str) {
    assert_eq!(faults_with(file, from, to), [told]);
}
