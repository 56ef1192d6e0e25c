//! Facts are never changed.

mod store_support;

use lantern_ring::{
    record::{Body, Hash, PackTaken},
    store::{NewReceipt, ReceiptCounts, ReceiptId, Store, StoreError, Taken, WhySetAside},
};
use rusqlite::Connection;
use store_support::*;
use uuid::Uuid;

const VISIT: Uuid = Uuid::from_u128(7);

fn receipt(store: &mut Store, name: &str) -> ReceiptId {
    let mut batch = store.write().unwrap();
    let id = batch.put_receipt(&new_receipt(name)).unwrap();
    batch.commit().unwrap();
    id
}

fn new_receipt(name: &str) -> NewReceipt {
    NewReceipt {
        sha256: Hash::of(name.as_bytes()),
        file_name: name.into(),
        origin: None,
        at: stamp(5),
    }
}

fn take(store: &mut Store, sealed: &lantern_ring::record::Sealed, receipt: ReceiptId) -> Taken {
    let mut batch = store.write().unwrap();
    let taken = batch.take_in(sealed, receipt).unwrap();
    batch.commit().unwrap();
    taken
}

#[test]
fn a_record_can_not_be_changed_deleted_or_replaced_in_the_file() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    drop(t.store);
    let conn = Connection::open(&t.path).unwrap();
    for (sql, words) in [
        ("UPDATE journal SET signed_by = 'another'", "never changed"),
        ("DELETE FROM journal", "never deleted"),
        (
            "INSERT OR REPLACE INTO journal SELECT * FROM journal",
            "never replaced",
        ),
        (
            "INSERT OR REPLACE INTO journal SELECT origin, seq + 1, id, kind, utc_ms, offset_min, signed_by, bytes, hash FROM journal",
            "never replaced",
        ),
    ] {
        let error = conn.execute_batch(sql).unwrap_err().to_string();
        assert!(error.contains(words), "{sql}: {error}");
    }
}

#[test]
fn a_record_that_came_before_is_known_and_one_that_contradicts_is_set_aside() {
    let mut t = new_store(1);
    let from = receipt(&mut t.store, "a");
    let first = foreign(9, 1, 100, 1, opened(VISIT, "P-1"));
    let same_place = foreign(9, 1, 101, 1, opened(VISIT, "P-2"));
    let same_id = foreign(9, 2, 100, 1, opened(VISIT, "P-3"));
    assert_eq!(take(&mut t.store, &first, from), Taken::New);
    assert_eq!(take(&mut t.store, &first, from), Taken::Known);
    for _ in 0..2 {
        assert_eq!(
            take(&mut t.store, &same_place, from),
            Taken::SetAside(WhySetAside::SamePlace)
        );
        assert_eq!(
            take(&mut t.store, &same_id, from),
            Taken::SetAside(WhySetAside::SameId)
        );
    }
    let read = t.store.read();
    assert_eq!(read.record(first.record().id).unwrap(), Some(first));
    let aside = read.set_aside().unwrap();
    let hashes: Vec<_> = aside.iter().map(|row| row.hash).collect();
    assert_eq!(hashes, [same_place.hash(), same_id.hash()]);
    assert_eq!(aside[0].bytes, same_place.bytes());
    assert_eq!(read.visits(9).unwrap().len(), 1);
}

#[test]
fn a_sequence_number_too_large_to_keep_is_refused() {
    let mut t = new_store(1);
    let from = receipt(&mut t.store, "a");
    let record = foreign(9, u64::MAX, 100, 1, opened(VISIT, "P-1"));
    let error = t.store.write().unwrap().take_in(&record, from).unwrap_err();
    assert!(
        matches!(error, StoreError::SeqTooLarge(u64::MAX)),
        "{error}"
    );
    assert_eq!(
        t.store
            .read()
            .known(record.record().origin, u64::MAX)
            .unwrap(),
        None
    );
}

#[test]
fn gaps_in_what_another_device_sent_are_told() {
    let mut t = new_store(1);
    t.append(opened(VISIT, "P-1"));
    let from = receipt(&mut t.store, "a");
    for seq in [2, 3, 7] {
        take(
            &mut t.store,
            &foreign(9, seq, seq.into(), 1, opened(VISIT, "P-1")),
            from,
        );
    }
    let read = t.store.read();
    let device = read
        .origins()
        .unwrap()
        .into_iter()
        .find(|row| !row.is_own)
        .unwrap();
    assert_eq!(device.highest_seq, 7);
    assert_eq!(read.gaps(device.origin).unwrap(), [1..=1, 4..=6]);
    assert_eq!(read.gaps(t.store.origin()).unwrap(), []);
    assert_eq!(read.origins().unwrap().len(), 2);
    assert_eq!(read.last_before(device.origin, 7).unwrap(), Some(3));
    assert_eq!(read.last_before(device.origin, 2).unwrap(), None);
}

#[test]
fn a_file_has_one_receipt_that_tells_what_it_brought() {
    let mut t = new_store(1);
    let mut batch = t.store.write().unwrap();
    let id = batch.put_receipt(&new_receipt("a.lrbundle")).unwrap();
    let wrong = foreign(9, 1, 100, 1, made(entry(VISIT, "P-1", leak(), 1, 300)));
    let right = amended(wrong.record().id, entry(VISIT, "P-1", leak(), 1, 70));
    for record in [
        &wrong,
        &foreign(9, 2, 101, 1, right),
        &foreign(9, 3, 102, 1, made(entry(VISIT, "P-2", leak(), 1, 40))),
    ] {
        assert_eq!(batch.take_in(record, id).unwrap(), Taken::New);
    }
    let counts = ReceiptCounts {
        new: 3,
        known: 0,
        set_aside: 0,
        photos: 1,
    };
    batch.count_receipt(id, counts).unwrap();
    batch.commit().unwrap();

    let read = t.store.read();
    let kept = read.receipt_of(Hash::of(b"a.lrbundle")).unwrap().unwrap();
    assert_eq!((kept.id, kept.counts), (id, counts));
    assert_eq!(read.receipts().unwrap(), [kept]);
    let brought: Vec<_> = read
        .arrivals(id)
        .unwrap()
        .into_iter()
        .map(|row| (row.pump.to_string(), row.entries))
        .collect();
    assert_eq!(brought, [("P-1".to_owned(), 1), ("P-2".to_owned(), 1)]);
    assert_eq!(read.entries_of_receipt(id).unwrap().len(), 2);

    let error = t
        .store
        .write()
        .unwrap()
        .put_receipt(&new_receipt("a.lrbundle"))
        .unwrap_err();
    assert!(
        error
            .to_string()
            .contains("already taken in, as 'a.lrbundle'"),
        "{error}"
    );
}

#[test]
fn the_pack_in_force_is_the_one_this_store_took_last() {
    let mut t = new_store(1);
    assert_eq!(t.store.read().current_pack().unwrap(), None);
    let from = receipt(&mut t.store, "a");
    let taken = |version, sha256| {
        Body::PackTaken(PackTaken {
            plant: "kestrel-ness".parse().unwrap(),
            version,
            sha256,
        })
    };
    for (version, json) in [(2, "{\"two\":2}"), (1, "{\"one\":1}")] {
        let mut batch = t.store.write().unwrap();
        let sha256 = batch.put_pack(json.as_bytes()).unwrap();
        add(&mut batch, &mut t.world, taken(version, sha256));
        batch.commit().unwrap();
    }
    // Another device's newer one is not here, and would not be this store's choice if it were.
    take(
        &mut t.store,
        &foreign(9, 1, 100, 9, taken(3, Hash::of(b"three"))),
        from,
    );
    let now = t.store.read().current_pack().unwrap().unwrap();
    assert_eq!(
        (now.version, now.bytes.as_slice()),
        (1, b"{\"one\":1}".as_slice())
    );
    assert_eq!(t.store.read().pack(now.sha256).unwrap(), Some(now.bytes));
}
