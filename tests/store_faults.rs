//! Flipped bits are found, whether or not SQLite's own check sees them.

mod store_support;

use lantern_ring::{
    record::{Body, Hash, PackTaken, PhotoTaken},
    store::{Fault, NewReceipt, Picture, Store, StoreError, VerifyReport},
};
use rusqlite::{Connection, types::Value};
use std::{
    fs,
    path::{Path, PathBuf},
    sync::atomic::AtomicBool,
};
use store_support::*;
use tempfile::TempDir;
use uuid::Uuid;

const VISIT: Uuid = Uuid::from_u128(7);

fn verify(path: &Path) -> Result<VerifyReport, StoreError> {
    Store::open(path)?.verify(&mut |_| (), &AtomicBool::new(false))
}

/// A closed store with a little of everything.
fn sample() -> (TempDir, PathBuf) {
    let mut t = new_store(1);
    let mut batch = t.store.write().unwrap();
    let sha256 = batch.put_pack(b"{\"plant\":1}").unwrap();
    let plant = "kestrel-ness".parse().unwrap();
    let pack = PackTaken {
        plant,
        version: 1,
        sha256,
    };
    add(&mut batch, &mut t.world, Body::PackTaken(pack));
    let bytes: Vec<u8> = (0..20_000_u32).map(|i| (i * i % 251) as u8).collect();
    let photo = Hash::of(&bytes);
    let picture = Picture {
        bytes,
        width_px: 200,
        height_px: 100,
    };
    batch.put_photo(photo, &picture).unwrap();
    add(&mut batch, &mut t.world, opened(VISIT, "P-1"));
    let wrong = add(
        &mut batch,
        &mut t.world,
        made(entry(VISIT, "P-1", leak(), 0, 300)),
    );
    let right = entry(VISIT, "P-1", leak(), 0, 30);
    add(&mut batch, &mut t.world, amended(wrong.record().id, right));
    for hours in 1..20 {
        add(
            &mut batch,
            &mut t.world,
            made(entry(VISIT, "P-1", heat(), hours, 95)),
        );
    }
    let taken = PhotoTaken {
        visit: VISIT,
        pump: pump("P-1"),
        check: Some(leak()),
        finding: None,
        photo,
        taken_at: None,
        marks: Vec::new(),
        words: String::new(),
    };
    add(&mut batch, &mut t.world, Body::PhotoTaken(taken));
    add(&mut batch, &mut t.world, closed(VISIT));
    let file = NewReceipt {
        sha256: Hash::of(b"file"),
        file_name: "a.lrbundle".into(),
        origin: None,
        at: stamp(1),
    };
    let receipt = batch.put_receipt(&file).unwrap();
    for id in [100, 101] {
        let record = foreign(9, 1, id, 1, made(entry(VISIT, "P-2", leak(), 1, 40)));
        batch.take_in(&record, receipt).unwrap();
    }
    batch.commit().unwrap();
    drop(t.store);
    (t.dir, t.path)
}

/// Runs SQL as another program would, with the triggers gone for the time.
fn tamper(path: &Path, sql: &str) {
    let conn = Connection::open(path).unwrap();
    let triggers: Vec<(String, String)> = conn
        .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")
        .unwrap()
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    for (name, _) in &triggers {
        conn.execute_batch(&format!("DROP TRIGGER {name}")).unwrap();
    }
    conn.execute_batch(&format!("PRAGMA foreign_keys = OFF; {sql}"))
        .unwrap();
    for (_, sql) in &triggers {
        conn.execute_batch(sql).unwrap();
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn a_sound_store_is_found_sound() {
    let (_dir, path) = sample();
    let store = Store::open(&path).unwrap();
    let mut last = None;
    let report = store
        .verify(
            &mut |progress| last = Some(progress),
            &AtomicBool::new(false),
        )
        .unwrap();
    assert!(report.is_clean(), "{:?}", report.faults);
    assert_eq!((report.records, report.photos), (26, 1));
    let last = last.unwrap();
    assert_eq!((last.done, last.total), (27, 27));
}

#[test]
fn verifying_can_be_stopped_and_then_does_not_say_that_all_is_well() {
    let (_dir, path) = sample();
    let store = Store::open(&path).unwrap();
    let report = store.verify(&mut |_| (), &AtomicBool::new(true)).unwrap();
    assert!(report.cancelled && !report.is_clean());
}

/// Every third byte of a record's bytes and every byte of its hash, the bit moving along so that all eight are met many times.
#[test]
fn a_flipped_bit_in_any_byte_of_a_record_or_its_hash_is_found() {
    let (_dir, path) = sample();
    let conn = Connection::open(&path).unwrap();
    let (bytes, hash): (Vec<u8>, Vec<u8>) = conn
        .query_row("SELECT bytes, hash FROM journal WHERE seq = 4", [], |row| {
            Ok((row.get(0)?, row.get(1)?))
        })
        .unwrap();
    conn.execute_batch("DROP TRIGGER journal_keeps_what_is_written")
        .unwrap();
    for (column, whole, step) in [("bytes", &bytes, 3), ("hash", &hash, 1)] {
        for at in (0..whole.len()).step_by(step) {
            let mut flipped = whole.clone();
            flipped[at] ^= 1 << (at % 8);
            let set = format!(
                "UPDATE journal SET {column} = x'{}' WHERE seq = 4",
                hex(&flipped)
            );
            conn.execute_batch(&set).unwrap();
            let sound: String = conn
                .query_row("PRAGMA integrity_check", [], |row| row.get(0))
                .unwrap();
            assert_eq!(sound, "ok", "SQLite's own check sees nothing of this");
            conn.execute_batch("PRAGMA wal_checkpoint").unwrap();
            let copy = path.with_extension("copy");
            fs::copy(&path, &copy).unwrap();
            let report = verify(&copy).unwrap();
            let told = report
                .faults
                .iter()
                .any(|fault| matches!(fault, Fault::Record { seq: 4, .. }));
            assert!(told, "{column} byte {at}: {:?}", report.faults);
        }
        let back = format!(
            "UPDATE journal SET {column} = x'{}' WHERE seq = 4",
            hex(whole)
        );
        conn.execute_batch(&back).unwrap();
    }
}

#[test]
fn a_damaged_record_is_not_shown_as_if_it_were_whole() {
    let (_dir, path) = sample();
    tamper(
        &path,
        "UPDATE journal SET bytes = CAST(replace(CAST(bytes AS TEXT), '\"drops\":30', '\"drops\":31') AS BLOB)",
    );
    let store = Store::open(&path).unwrap();
    let error = store.read().latest_entry(&pump("P-1"), leak()).unwrap_err();
    assert!(
        matches!(error, StoreError::DamagedRecord { seq: 4, .. }),
        "{error}"
    );
}

#[test]
fn every_kind_of_tampering_is_found() {
    for (sql, words) in [
        (
            "UPDATE journal SET signed_by = 'X' WHERE seq = 3",
            "column signed_by",
        ),
        (
            "UPDATE journal SET utc_ms = utc_ms + 1 WHERE seq = 3",
            "column utc_ms",
        ),
        (
            "UPDATE journal SET offset_min = 0 WHERE seq = 3",
            "column offset_min",
        ),
        ("UPDATE journal SET kind = 'x' WHERE seq = 3", "column kind"),
        (
            "UPDATE journal SET id = zeroblob(16) WHERE seq = 3",
            "column id",
        ),
        (
            "UPDATE journal SET seq = 99 WHERE seq = 26",
            "not what was written",
        ),
        ("DELETE FROM journal WHERE seq = 3", "are missing"),
        ("UPDATE photo SET bytes = zeroblob(9)", "bytes of photo"),
        ("UPDATE pack SET bytes = zeroblob(9)", "bytes of pack"),
        ("UPDATE set_aside SET bytes = zeroblob(9)", "set aside"),
        ("UPDATE set_aside SET seq = 5", "set aside"),
        ("UPDATE entry SET verdict = 1 WHERE seq = 5", "table entry"),
        ("DELETE FROM latest", "table latest"),
        (
            "INSERT INTO withdrawal SELECT record, record FROM entry LIMIT 1",
            "table withdrawal",
        ),
        ("UPDATE visit SET closed_ms = NULL", "table visit"),
        ("DELETE FROM receipt", "not there"),
        ("CREATE TABLE other (x)", "the table other"),
        ("DROP INDEX entry_by_check", "the index entry_by_check"),
        ("DROP VIEW effective_photo", "the view effective_photo"),
    ] {
        let (_dir, path) = sample();
        // The last record of this store is its 25th; one of another device is its first.
        let sql = sql.replace("seq = 26", "seq = 25");
        tamper(&path, &sql);
        let report = verify(&path).unwrap();
        let told: Vec<_> = report.faults.iter().map(ToString::to_string).collect();
        assert!(
            told.iter().any(|fault| fault.contains(words)),
            "{sql}: {told:?}"
        );
    }
}

#[test]
fn a_missing_trigger_is_found() {
    let (_dir, path) = sample();
    let conn = Connection::open(&path).unwrap();
    conn.execute_batch("DROP TRIGGER journal_drops_nothing")
        .unwrap();
    drop(conn);
    let told = verify(&path).unwrap().faults[0].to_string();
    assert!(told.contains("the trigger journal_drops_nothing"), "{told}");
}

#[test]
fn rebuild_mends_what_is_shown() {
    let (_dir, path) = sample();
    tamper(&path, "DELETE FROM latest; UPDATE entry SET verdict = 0");
    assert!(!verify(&path).unwrap().is_clean());
    Store::open(&path).unwrap().rebuild().unwrap();
    assert!(verify(&path).unwrap().is_clean());
}

/// Everything that verifying answers for.
fn facts(path: &Path) -> rusqlite::Result<Vec<Vec<Value>>> {
    let conn = Connection::open(path)?;
    let mut rows = Vec::new();
    for sql in [
        "SELECT origin, seq, id, kind, utc_ms, offset_min, signed_by, bytes, hash FROM journal ORDER BY 1, 2",
        "SELECT sha256, bytes FROM photo ORDER BY 1",
        "SELECT sha256, bytes FROM pack ORDER BY 1",
        "SELECT hash, origin, seq, id, bytes FROM set_aside ORDER BY 1",
        "SELECT * FROM entry ORDER BY 1",
        "SELECT * FROM latest ORDER BY 1, 2",
        "SELECT * FROM visit ORDER BY 1",
        "SELECT * FROM photo_use ORDER BY 1",
        "SELECT * FROM effective_entry ORDER BY 1",
    ] {
        let mut statement = conn.prepare(sql)?;
        let columns = statement.column_count();
        let read = statement.query_map([], |row| (0..columns).map(|i| row.get(i)).collect())?;
        rows.extend(read.collect::<rusqlite::Result<Vec<Vec<Value>>>>()?);
    }
    Ok(rows)
}

/// Bits all over the file: what verifying calls clean reads as it was written.
#[test]
fn a_flipped_bit_in_the_file_is_found_or_changes_nothing() {
    let (dir, path) = sample();
    let whole = fs::read(&path).unwrap();
    let written = facts(&path).unwrap();
    let copy = dir.path().join("flipped.lantern");
    let mut found = 0;
    let step = whole.len() / 300;
    let tried: Vec<usize> = (0..whole.len()).step_by(step).chain(0..100).collect();
    for &at in &tried {
        let mut flipped = whole.clone();
        flipped[at] ^= 1 << (at % 8);
        fs::write(&copy, &flipped).unwrap();
        match verify(&copy) {
            Ok(report) if report.is_clean() => {
                assert_eq!(facts(&copy).as_ref(), Ok(&written), "byte {at}");
            }
            _ => found += 1,
        }
    }
    // Most bytes of so small a file are unused space in its pages.
    assert!(found * 10 > tried.len(), "{found} of {}", tried.len());
}

/// The bytes of the journal where they lie in the file.
#[test]
fn a_flipped_bit_where_a_record_lies_in_the_file_is_found() {
    let (dir, path) = sample();
    let whole = fs::read(&path).unwrap();
    let conn = Connection::open(&path).unwrap();
    let copy = dir.path().join("flipped.lantern");
    let mut statement = conn.prepare("SELECT bytes, hash FROM journal").unwrap();
    let records: Vec<(Vec<u8>, Vec<u8>)> = statement
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
        .unwrap()
        .collect::<Result<_, _>>()
        .unwrap();
    drop(statement);
    drop(conn);
    let mut tried = 0;
    for (i, (bytes, hash)) in records.iter().enumerate() {
        for part in [bytes, hash] {
            // Splitting a page leaves copies in its unused space; all of them are flipped. A record that spills to
            // an overflow page does not lie in one piece and is not met here.
            let copies: Vec<usize> = whole
                .windows(part.len())
                .enumerate()
                .filter_map(|(start, window)| (window == part).then_some(start))
                .collect();
            if copies.is_empty() {
                continue;
            }
            for at in (i % 7..part.len()).step_by(37) {
                let mut flipped = whole.clone();
                for start in &copies {
                    flipped[start + at] ^= 1 << (at % 8);
                }
                fs::write(&copy, &flipped).unwrap();
                let report = verify(&copy).unwrap();
                assert!(!report.is_clean(), "byte {at} of record {i}");
                tried += 1;
            }
        }
    }
    assert!(tried > 200, "{tried}");
}
