//! Old data opens: for every version a store that was written by it, with its records in plain text beside it.

mod store_support;

use lantern_ring::{
    plant::PumpId,
    record::{Body, Deed, Hash, PackTaken, PhotoTaken, TagAdopted},
    store::{DeedsOf, Picture, Store},
};
use std::{fs, path::PathBuf, sync::atomic::AtomicBool};
use store_support::*;
use uuid::Uuid;

const VISIT: Uuid = Uuid::from_u128(7);

fn fixture(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/store")
        .join(name)
}

fn records_as_lines(store: &Store) -> Vec<u8> {
    let read = store.read();
    let mut lines = Vec::new();
    for device in read.origins().unwrap() {
        for sealed in read.records_of(device.origin, 1, u32::MAX).unwrap() {
            lines.extend_from_slice(sealed.bytes());
            lines.push(b'\n');
        }
    }
    lines
}

/// What every version's fixture holds, whatever was added since.
fn holds_what_was_written(name: &str) {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join(format!("{name}.lantern"));
    fs::copy(fixture(&format!("{name}.lantern")), &path).unwrap();
    let store = Store::open(&path).unwrap();
    let lines = fs::read(fixture(&format!("{name}.jsonl"))).unwrap();
    assert_eq!(
        String::from_utf8(records_as_lines(&store)).unwrap(),
        String::from_utf8(lines).unwrap()
    );
    let report = store.verify(&mut |_| (), &AtomicBool::new(false)).unwrap();
    assert!(report.is_clean(), "{:?}", report.faults);
    let read = store.read();
    let p1: PumpId = pump("P-1");
    assert_eq!(read.latest_entries(&p1).unwrap().len(), 2);
    assert_eq!(read.history(&p1, leak(), 10).unwrap().len(), 2);
    assert_eq!(read.visits(10).unwrap().len(), 1);
    assert_eq!(read.adopted_tags().unwrap().len(), 1);
    assert!(read.current_pack().unwrap().is_some());
    assert!(read.has_photo(Hash::of(b"a picture")).unwrap());
    assert_eq!(
        read.setting("operator").unwrap().as_deref(),
        Some("T. Tester")
    );
    let deeds = read.deeds(DeedsOf::Pump(&p1), 10).unwrap();
    assert_eq!(deeds.len(), usize::from(name != "v1"));
}

#[test]
fn a_store_of_version_1_opens_with_everything_in_it() {
    holds_what_was_written("v1");
}

#[test]
fn a_store_of_version_2_opens_with_everything_in_it() {
    holds_what_was_written("v2");
}

#[test]
fn a_store_of_version_3_opens_with_everything_in_it() {
    holds_what_was_written("v3");
}

/// Writes the present version's fixture. Run it once when a version is made, and again only while that version has
/// not been given to anybody: a store that is out there must open for good.
#[test]
#[ignore = "writes into tests/data"]
fn write_the_fixture() {
    let mut t = new_store(1);
    let mut batch = t.store.write().unwrap();
    let sha256 = batch.put_pack(b"{\"id\":\"invented\"}").unwrap();
    let plant = "invented".parse().unwrap();
    let pack = PackTaken {
        plant,
        version: 1,
        sha256,
    };
    add(&mut batch, &mut t.world, Body::PackTaken(pack));
    add(&mut batch, &mut t.world, opened(VISIT, "P-1"));
    let wrong = add(
        &mut batch,
        &mut t.world,
        made(entry(VISIT, "P-1", leak(), 0, 300)),
    );
    let right = entry(VISIT, "P-1", leak(), 0, 70);
    add(&mut batch, &mut t.world, amended(wrong.record().id, right));
    add(
        &mut batch,
        &mut t.world,
        made(entry(VISIT, "P-1", heat(), 1, 40)),
    );
    let undone = add(
        &mut batch,
        &mut t.world,
        made(entry(VISIT, "P-1", heat(), 2, 95)),
    );
    add(&mut batch, &mut t.world, withdrawn(undone.record().id));
    add(
        &mut batch,
        &mut t.world,
        made(passed_over(VISIT, "P-1", leak(), 3)),
    );
    let bytes = b"a picture".to_vec();
    let photo = Hash::of(&bytes);
    let picture = Picture {
        bytes,
        width_px: 4,
        height_px: 3,
    };
    batch.put_photo(photo, &picture).unwrap();
    let taken = PhotoTaken {
        visit: VISIT,
        pump: pump("P-1"),
        check: Some(leak()),
        finding: None,
        photo,
        taken_at: Some("2026-03-02T07:00:00".into()),
        marks: Vec::new(),
        words: "drips from the gland".into(),
    };
    add(&mut batch, &mut t.world, Body::PhotoTaken(taken));
    let tag = TagAdopted {
        pump: pump("P-1"),
        code: "4006381333931".into(),
    };
    add(&mut batch, &mut t.world, Body::TagAdopted(tag));
    add(&mut batch, &mut t.world, closed(VISIT));
    let skipped = Deed::StopSkipped {
        run: VISIT,
        pump: pump("P-1"),
        reason: "isolated".into(),
    };
    add(&mut batch, &mut t.world, Body::Done(skipped));
    batch.set("operator", "T. Tester").unwrap();
    batch.commit().unwrap();
    t.store.checkpoint().unwrap();
    let lines = records_as_lines(&t.store);
    drop(t.store);
    fs::create_dir_all(fixture("")).unwrap();
    fs::copy(&t.path, fixture("v3.lantern")).unwrap();
    fs::write(fixture("v3.jsonl"), lines).unwrap();
}
