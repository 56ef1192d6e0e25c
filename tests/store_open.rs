//! Making, opening, refusing, copying.

mod store_support;

use lantern_ring::store::{Store, StoreError};
use rusqlite::Connection;
use std::{fs, path::Path, sync::atomic::AtomicBool};
use store_support::*;
use uuid::Uuid;

const VISIT: Uuid = Uuid::from_u128(7);

fn raw(path: &Path, sql: &str) {
    Connection::open(path)
        .and_then(|conn| conn.execute_batch(sql))
        .unwrap();
}

#[test]
fn a_store_in_use_is_refused_with_those_words() {
    let t = new_store(1);
    let error = Store::open(&t.path).unwrap_err();
    assert_eq!(
        error.to_string(),
        "this store is in use by another Lantern Ring; close that one first"
    );
    drop(t.store);
    Store::open(&t.path).unwrap();
}

#[test]
fn a_store_can_not_be_written_by_another_program_meanwhile() {
    let t = new_store(1);
    let other = Connection::open(&t.path).unwrap();
    let refused = other.execute_batch("PRAGMA busy_timeout = 0; CREATE TABLE x (y)");
    assert!(refused.is_err());
}

#[test]
fn a_store_that_is_not_there_is_not_made_by_opening_it() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("none.lantern");
    let error = Store::open(&path).unwrap_err();
    assert!(matches!(error, StoreError::Missing(_)), "{error}");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
}

#[test]
fn a_store_is_not_made_over_another_file() {
    let t = new_store(1);
    drop(t.store);
    let before = fs::read(&t.path).unwrap();
    let error = Store::create(&t.path, &mut world(2)).unwrap_err();
    assert!(matches!(error, StoreError::Exists(_)), "{error}");
    assert_eq!(fs::read(&t.path).unwrap(), before);

    let letter = t.dir.path().join("letter.txt");
    fs::write(&letter, "Dear planner, ".repeat(100)).unwrap();
    for error in [
        Store::create(&letter, &mut world(2)).unwrap_err(),
        Store::open_or_create(&letter, &mut world(2)).unwrap_err(),
    ] {
        assert!(
            matches!(error, StoreError::Exists(_) | StoreError::NotAStore(_)),
            "{error}"
        );
    }
    assert_eq!(
        fs::read(&letter).unwrap(),
        "Dear planner, ".repeat(100).as_bytes()
    );
}

#[test]
fn a_folder_that_is_not_there_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("no/a.lantern");
    let error = Store::create(&path, &mut world(1)).unwrap_err().to_string();
    assert!(
        error.contains("a.lantern") && error.contains("folder"),
        "{error}"
    );
}

#[test]
fn a_file_of_another_kind_is_refused_and_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let text = dir.path().join("a.txt");
    fs::write(
        &text,
        "not a database, and longer than a header of 100 bytes: ".repeat(5),
    )
    .unwrap();
    let other = dir.path().join("other.db");
    raw(&other, "CREATE TABLE t (x); INSERT INTO t VALUES (1)");
    let empty = dir.path().join("empty");
    fs::write(&empty, "").unwrap();
    for path in [text, other, empty] {
        let before = fs::read(&path).unwrap();
        let error = Store::open(&path).unwrap_err();
        assert!(matches!(error, StoreError::NotAStore(_)), "{error}");
        assert_eq!(fs::read(&path).unwrap(), before);
    }
}

#[test]
fn a_store_from_a_newer_version_is_refused_with_those_words() {
    let t = new_store(1);
    drop(t.store);
    raw(&t.path, "PRAGMA user_version = 99");
    let error = Store::open(&t.path).unwrap_err();
    assert!(matches!(
        error,
        StoreError::Newer {
            found: 99,
            known: 3
        }
    ));
    let words = error.to_string();
    assert!(
        words.contains("newer version") && words.contains("update"),
        "{words}"
    );
}

#[test]
fn a_store_cut_short_is_told_to_be_damaged() {
    let mut t = new_store(1);
    for hours in 0..50 {
        t.append(made(entry(VISIT, "P-1", leak(), hours, 40)));
    }
    drop(t.store);
    let whole = fs::read(&t.path).unwrap();
    fs::write(&t.path, &whole[..whole.len() / 2]).unwrap();
    let outcome = Store::open(&t.path).and_then(|store| {
        let report = store.verify(&mut |_| (), &AtomicBool::new(false))?;
        assert!(!report.is_clean());
        Ok(())
    });
    if let Err(error) = outcome {
        assert!(matches!(error, StoreError::Damaged(_)), "{error}");
    }
}

#[test]
fn a_store_is_made_where_there_is_none_and_opened_where_there_is() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.lantern");
    fs::write(&path, "").unwrap();
    let made = Store::open_or_create(&path, &mut world(1))
        .unwrap()
        .origin();
    let opened = Store::open_or_create(&path, &mut world(2))
        .unwrap()
        .origin();
    assert_eq!(made, opened);
}

#[test]
fn a_backup_holds_everything_and_writes_under_a_name_of_its_own() {
    let mut t = new_store(1);
    let kept = t.append(made(entry(VISIT, "P-1", leak(), 1, 40)));
    let copy = t.dir.path().join("copy.lantern");
    t.store.backup_to(&copy).unwrap();
    let error = t.store.backup_to(&copy).unwrap_err();
    assert!(matches!(error, StoreError::Exists(_)), "{error}");
    t.append(made(entry(VISIT, "P-1", leak(), 2, 41)));

    let mut restored = Store::open(&copy).unwrap();
    assert!(restored.is_backup() && !t.store.is_backup());
    assert_eq!(
        restored.read().records_of(t.store.origin(), 1, 9).unwrap(),
        [kept]
    );
    let report = restored
        .verify(&mut |_| (), &AtomicBool::new(false))
        .unwrap();
    assert!(report.is_clean(), "{:?}", report.faults);
    let mut batch = restored.write().unwrap();
    let error = batch
        .append(&mut t.world, "T", opened(VISIT, "P-1"))
        .unwrap_err();
    assert!(matches!(error, StoreError::NeedsNewOrigin), "{error}");
    drop(batch);

    restored.new_origin(&mut t.world).unwrap();
    let mut batch = restored.write().unwrap();
    let first = add(&mut batch, &mut t.world, opened(VISIT, "P-1"));
    batch.commit().unwrap();
    assert_ne!(first.record().origin, t.store.origin());
    assert_eq!(first.record().seq, 1);
    assert_eq!(
        restored.read().own_origins().unwrap(),
        [t.store.origin(), restored.origin()]
    );
    drop(restored);
    assert!(!Store::open(&copy).unwrap().is_backup());
}

#[test]
fn after_a_checkpoint_the_one_file_holds_everything() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    t.store.checkpoint().unwrap();
    let copy = t.dir.path().join("copied.lantern");
    fs::copy(&t.path, &copy).unwrap();
    assert_eq!(
        Store::open(&copy).unwrap().read().visits(9).unwrap().len(),
        1
    );
}
