//! The container against outside readers and writers of ZIP: Python's zipfile and Info-ZIP's unzip.

use super::{crafted::Crafted, support::*};
use std::{
    io::Cursor,
    path::Path,
    process::{Command, Output},
};

/// Runs a tool; tells where it is not installed, so that a skipped check is seen as such.
fn run(tool: &str, arguments: &[&str], file: &Path) -> Option<Output> {
    match Command::new(tool).args(arguments).arg(file).output() {
        Ok(output) => Some(output),
        Err(error) => {
            eprintln!("SKIPPED: {tool} can't be run here ({error})");
            None
        }
    }
}

fn good_bundle(folder: &Path) -> std::path::PathBuf {
    let file = folder.join("good.lrbundle");
    std::fs::write(&file, small_bundle()).unwrap();
    file
}

fn assert_success(output: &Output) -> String {
    assert!(output.status.success(), "{output:?}");
    String::from_utf8(output.stdout.clone()).unwrap()
}

#[test]
fn pythons_zipfile_reads_a_bundle() {
    let folder = tempfile::tempdir().unwrap();
    let file = good_bundle(folder.path());
    let Some(tested) = run("python3", &["-m", "zipfile", "-t"], &file) else {
        return;
    };
    assert!(assert_success(&tested).contains("Done testing"));

    let script = r#"
import hashlib, json, sys, zipfile
z = zipfile.ZipFile(sys.argv[1])
m = json.loads(z.read("manifest.json"))
r = z.read("records.jsonl")
p = m["photos"][0]["sha256"]
print(m["version"], len(r.splitlines()) == m["records"]["count"],
      hashlib.sha256(r).hexdigest() == m["records"]["sha256"],
      hashlib.sha256(z.read(f"photos/{p}.jpg")).hexdigest() == p,
      [i.compress_type for i in z.infolist()], {i.date_time for i in z.infolist()},
      [i.flag_bits for i in z.infolist()], len(z.comment))
"#;
    let read = run("python3", &["-c", script], &file).unwrap();
    assert_eq!(
        assert_success(&read).trim(),
        "1 True True True [0, 8, 0] {(1980, 1, 1, 0, 0, 0)} [0, 0, 0] 0"
    );
}

#[test]
fn unzip_reads_a_bundle() {
    let folder = tempfile::tempdir().unwrap();
    let file = good_bundle(folder.path());
    if let Some(tested) = run("unzip", &["-t"], &file) {
        assert!(assert_success(&tested).contains("No errors detected"));
    }
}

#[test]
fn a_bundle_packed_by_pythons_zipfile_is_taken() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("python.lrbundle");
    let script = r#"
import sys, zipfile
source = zipfile.ZipFile(sys.argv[1])
with zipfile.ZipFile(sys.argv[2], "w") as out:
    for info in source.infolist():
        out.writestr(info.filename, source.read(info), info.compress_type)
"#;
    let good = good_bundle(folder.path());
    let good = good.to_str().unwrap();
    let Some(packed) = run("python3", &["-c", script, good], &file) else {
        return;
    };
    assert_success(&packed);
    let bytes = std::fs::read(&file).unwrap();
    let (records, photos) = small();
    let unpacked = unpack(Cursor::new(bytes)).unwrap();
    assert_eq!(unpacked.staged, Memory { records, photos });
}

/// The crafted files of the other tests must be wrong only where they say, so the form must be sound.
#[test]
fn pythons_zipfile_reads_a_crafted_bundle() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("crafted.lrbundle");
    std::fs::write(&file, Crafted::of(&small_bundle()).build()).unwrap();
    if let Some(tested) = run("python3", &["-m", "zipfile", "-t"], &file) {
        assert!(assert_success(&tested).contains("Done testing"));
    }
}
