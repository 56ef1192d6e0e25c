//! Running the program as a user would, and looking at what it left.
#![allow(dead_code)] // Each test file uses its own part of this.

use lantern_ring::{
    record::{Body, Hash, Origin},
    store::Store,
};
use std::{
    collections::BTreeMap,
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Stdio},
};

/// What a run of the program said.
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// The same, once it ended with this code.
    #[track_caller]
    pub fn ended(self, code: i32) -> Self {
        assert_eq!(self.code, code, "{self:?}");
        self
    }

    /// It was refused: nothing on standard output, and all these words in what it says.
    #[track_caller]
    pub fn refused(self, words: &[&str]) {
        assert_eq!(self.code, 1, "{self:?}");
        assert_eq!(self.out, "", "{self:?}");
        for word in words {
            assert!(self.err.contains(word), "no '{word}' in {}", self.err);
        }
    }
}

/// The program, to be run in a folder.
pub fn program(folder: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lantern-ring"));
    command.current_dir(folder).args(words);
    command
}

pub fn run(folder: &Path, words: &[&str]) -> Ran {
    run_with(folder, words, "")
}

/// Runs it with this on standard input.
pub fn run_with(folder: &Path, words: &[&str], input: &str) -> Ran {
    let mut command = program(folder, words);
    command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    stdin.write_all(input.as_bytes()).unwrap();
    drop(stdin);
    let output = child.wait_with_output().unwrap();
    Ran {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// The demo plant's folder.
pub fn plant() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant")
}

/// Makes a store of the demo plant.
pub fn make_store(folder: &Path, name: &str) {
    run(folder, &["make-store", plant().to_str().unwrap(), name]).ended(0);
}

/// Everything recorded in a store: each origin's records, byte by byte, and the photos they name.
#[derive(Debug, PartialEq)]
pub struct Content {
    pub records: BTreeMap<Origin, Vec<Vec<u8>>>,
    pub photos: BTreeMap<Hash, Vec<u8>>,
}

pub fn content(path: &Path) -> Content {
    let store = Store::open(path).unwrap();
    let reader = store.read();
    let mut content = Content {
        records: BTreeMap::new(),
        photos: BTreeMap::new(),
    };
    for row in reader.origins().unwrap() {
        let sealed = reader.records_of(row.origin, 1, u32::MAX).unwrap();
        for record in &sealed {
            if let Body::PhotoTaken(taken) = &record.record().body {
                let picture = reader.photo(taken.photo).unwrap().unwrap();
                assert_eq!(Hash::of(&picture.bytes), taken.photo);
                content.photos.insert(taken.photo, picture.bytes);
            }
        }
        let bytes = sealed.iter().map(|record| record.bytes().to_vec());
        content.records.insert(row.origin, bytes.collect());
    }
    content
}

/// One row of a table of checks: the check, what is entered, the verdict it comes to.
pub struct Row {
    pub check: String,
    pub entered: String,
    pub verdict: String,
}

/// The table of a pump.
pub fn table(pump: &str) -> Vec<Row> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/headless");
    let text = std::fs::read_to_string(folder.join(format!("{pump}.tsv"))).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#'));
    rows.map(|line| {
        let mut cells = line.split('\t').map(str::to_owned);
        let row = Row {
            check: cells.next().unwrap(),
            entered: cells.next().unwrap(),
            verdict: cells.next().unwrap(),
        };
        assert_eq!(cells.next(), None);
        row
    })
    .collect()
}

/// A line of an entries file.
pub fn line(pump: &str, row: &Row) -> String {
    let (check, entered) = (&row.check, &row.entered);
    format!(r#"{{"pump":"{pump}","running":"running","check":"{check}","entered":{entered}}}"#)
}
