//! A damaged store is what `verify` and `rebuild` are for: neither may need what is damaged.

mod headless_support;

use headless_support::{make_store, run};
use rusqlite::Connection;

#[test]
fn a_store_whose_plant_is_damaged_can_be_verified_and_rebuilt() {
    let folder = tempfile::tempdir().unwrap();
    make_store(folder.path(), "a.lantern");
    let store = folder.path().join("a.lantern");
    let tampered = Connection::open(&store).unwrap();
    tampered
        .execute_batch("UPDATE pack SET bytes = zeroblob(9)")
        .unwrap();
    drop(tampered);
    let told = run(folder.path(), &["verify", "a.lantern"]);
    assert!(told.out.contains("the bytes of pack"), "{told:?}");
    run(folder.path(), &["rebuild", "a.lantern"]).ended(0);
}

#[test]
fn a_store_whose_tables_are_gone_is_told_and_mended() {
    let folder = tempfile::tempdir().unwrap();
    make_store(folder.path(), "a.lantern");
    let store = folder.path().join("a.lantern");
    let tampered = Connection::open(&store).unwrap();
    tampered
        .execute_batch("DROP TABLE adopted_tag; DROP TABLE pack_taken")
        .unwrap();
    drop(tampered);
    let told = run(folder.path(), &["verify", "a.lantern"]);
    assert!(told.out.contains("adopted_tag"), "{told:?}");
    assert_ne!(told.code, 0);
    run(folder.path(), &["rebuild", "a.lantern"]).ended(0);
    let mended = run(folder.path(), &["verify", "a.lantern"]).ended(0);
    assert!(mended.out.contains("all as written"), "{mended:?}");
}
