//! Carrying between stores: copies, restored stores, files in the way. What the laws of merging say of records is in
//! `store_merge.rs` and `exchange_bundle/`.

mod app_support;

use app_support::{create, world};
use lantern_ring::{
    app::{App, AppError, CloseVisit, Enter, Import, MakeBundle, OpenVisit, Progress},
    check::{Entered, RunningState},
    plant::{CheckId, PumpId},
    record::HowFound,
};
use std::{fs, path::PathBuf};

/// One visit with one entry; a store that is a backup takes its new name by it.
fn visit(app: &mut App, words: &str) {
    let pump: PumpId = "ST-104A".parse().unwrap();
    let check: CheckId = "remark@pump".parse().unwrap();
    let opened = OpenVisit {
        pump,
        running: RunningState::Running,
        found: HowFound::Chosen,
        round: None,
    };
    let visit = app.perform(opened).unwrap();
    app.perform(Enter {
        visit,
        check,
        entered: Entered::Words {
            text: words.to_owned(),
        },
    })
    .unwrap();
    app.perform(CloseVisit { visit }).unwrap();
}

fn send(app: &mut App, path: PathBuf) -> Result<lantern_ring::app::BundleMade, AppError> {
    app.perform(MakeBundle {
        path,
        everything: false,
    })
}

fn take_in(app: &mut App, path: PathBuf) -> lantern_ring::app::Imported {
    app.perform(Import {
        path,
        progress: Progress::default(),
    })
    .unwrap()
}

fn remarks(app: &App) -> Vec<String> {
    let rows = app.entries(None, 100).unwrap();
    let mut words: Vec<_> = rows
        .into_iter()
        .map(|row| match row.entry.entered {
            Entered::Words { text } => text,
            other => panic!("{other:?}"),
        })
        .collect();
    words.sort();
    words
}

#[test]
fn a_restored_store_loses_nothing_of_what_it_wrote_under_its_old_name() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let mut device = create(&at("device.lantern"), world(0, 1));
    visit(&mut device, "before the backup");
    device.backup(&at("copy.lantern")).unwrap();
    let old_name = device.store().origin();
    drop(device);

    let mut restored = App::open(&at("copy.lantern"), Box::new(world(24, 2))).unwrap();
    visit(&mut restored, "after the restore");
    assert_ne!(restored.store().origin(), old_name);
    assert_eq!(restored.waiting().unwrap().entries, 2);

    let first = send(&mut restored, at("1.lrbundle")).unwrap();
    assert!(
        first.left > 0,
        "what was written under the new name is told to be left"
    );
    let second = send(&mut restored, at("2.lrbundle")).unwrap();
    assert_eq!(second.left, 0);
    assert!(matches!(
        send(&mut restored, at("3.lrbundle")),
        Err(AppError::NothingToSend)
    ));

    let mut planner = create(&at("planner.lantern"), world(0, 3));
    take_in(&mut planner, at("2.lrbundle"));
    take_in(&mut planner, at("1.lrbundle"));
    assert_eq!(
        remarks(&planner),
        ["after the restore", "before the backup"]
    );
}

#[test]
fn a_store_copied_by_hand_takes_a_new_name_once_its_twin_is_seen() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let mut device = create(&at("device.lantern"), world(0, 1));
    visit(&mut device, "shared");
    drop(device);
    fs::copy(at("device.lantern"), at("twin.lantern")).unwrap();

    let mut twin = App::open(&at("twin.lantern"), Box::new(world(24, 2))).unwrap();
    visit(&mut twin, "by the twin");
    send(&mut twin, at("twin.lrbundle")).unwrap();
    let mut device = App::open(&at("device.lantern"), Box::new(world(24, 3))).unwrap();
    let shared_name = device.store().origin();
    visit(&mut device, "by the device");

    let imported = take_in(&mut device, at("twin.lrbundle"));
    assert!(
        imported.copied && imported.to_string().contains("copy of this store"),
        "{imported}"
    );
    assert!(
        imported.receipt.counts.set_aside > 0,
        "the twin's record in the same place is kept aside"
    );
    assert_ne!(device.store().origin(), shared_name);
    visit(&mut device, "under the new name");
    assert!(remarks(&device).contains(&"under the new name".to_owned()));
}

#[test]
fn a_bundle_is_written_over_a_bundle_and_over_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let mut device = create(&at("device.lantern"), world(0, 1));
    visit(&mut device, "one");
    fs::write(at("photo.jpg"), b"somebody's photo").unwrap();
    for taken in ["device.lantern", "photo.jpg"] {
        let before = fs::read(at(taken)).unwrap();
        let refused = send(&mut device, at(taken)).unwrap_err().to_string();
        assert!(
            refused.contains("is no bundle") && refused.contains("another name"),
            "{refused}"
        );
        assert!(
            fs::read(at(taken)).unwrap() == before,
            "{taken} was touched"
        );
    }
    send(&mut device, at("out.lrbundle")).unwrap();
    visit(&mut device, "two");
    send(&mut device, at("out.lrbundle")).unwrap();
}

#[test]
fn a_bundle_that_can_not_be_written_moves_no_pointer() {
    let folder = tempfile::tempdir().unwrap();
    let mut device = create(&folder.path().join("device.lantern"), world(0, 1));
    visit(&mut device, "one");
    let waiting = device.waiting().unwrap();
    fs::write(folder.path().join("file"), b"").unwrap();
    assert!(send(&mut device, folder.path().join("file/out.lrbundle")).is_err());
    assert_eq!(device.waiting().unwrap(), waiting);
}
