//! A disk without room: what can't be kept is told, what was kept stays, and with room again all goes on.
#![cfg(target_os = "linux")]

mod app_support;
mod full_disk_support;

use app_support::{create, world};
use full_disk_support::on_a_small_disk;
use lantern_ring::{
    app::{App, AppError, Arrive, Enter, MakeBundle, SetOperator},
    check::Entered,
    plant::{CheckId, PumpId},
    record::HowFound,
};
use std::{fs, path::Path, sync::atomic::AtomicBool};
use uuid::Uuid;

/// More entries than fit into what the store's files have left in their last pages.
const MANY: u32 = 500;

fn pump() -> PumpId {
    "ST-104A".parse().unwrap()
}

fn leak_off() -> CheckId {
    "leak_off@seal_de".parse().unwrap()
}

fn arrived(folder: &Path) -> (App, Uuid) {
    let mut app = create(&folder.join("device.lantern"), world(0, 1));
    app.perform(SetOperator("Shift A".to_owned())).unwrap();
    let visit = app.perform(Arrive {
        pump: pump(),
        found: HowFound::Scanned,
        round: None,
    });
    (app, visit.unwrap())
}

fn count(app: &mut App, visit: Uuid, drops: u32) -> Result<(), AppError> {
    let entered = Entered::Count {
        drops,
        seconds: 60.0,
    };
    let check = leak_off();
    app.perform(Enter {
        visit,
        check,
        entered,
    })
    .map(|_| ())
}

fn drops_kept(app: &App) -> Vec<u32> {
    let rows = app.store().read().history(&pump(), leak_off(), MANY);
    let drops = rows
        .unwrap()
        .into_iter()
        .map(|row| match row.entry.entered {
            Entered::Count { drops, .. } => drops,
            other => panic!("{other:?}"),
        });
    let mut drops: Vec<_> = drops.collect();
    drops.sort_unstable();
    drops
}

#[test]
fn an_entry_that_finds_no_room_is_told_and_those_before_it_are_kept() {
    on_a_small_disk(
        "an_entry_that_finds_no_room_is_told_and_those_before_it_are_kept",
        |disk| {
            let (mut app, visit) = arrived(disk.folder());
            count(&mut app, visit, 0).unwrap();
            disk.fill();
            let (drops, refused) = (1..MANY)
                .find_map(|drops| Some((drops, count(&mut app, visit, drops).err()?)))
                .expect("no room");
            let said = refused.to_string();
            assert!(
                said.contains("the disk is full, so this was not saved"),
                "{said}"
            );
            assert_eq!(drops_kept(&app), (0..drops).collect::<Vec<_>>());

            disk.free();
            count(&mut app, visit, drops).unwrap();
            assert_eq!(drops_kept(&app), (0..=drops).collect::<Vec<_>>());
            let report = app.store().verify(&mut |_| (), &AtomicBool::new(false));
            assert!(report.unwrap().is_clean());
        },
    );
}

#[test]
fn a_bundle_that_finds_no_room_leaves_no_half_of_a_file_and_is_made_once_there_is_room() {
    on_a_small_disk(
        "a_bundle_that_finds_no_room_leaves_no_half_of_a_file_and_is_made_once_there_is_room",
        |disk| {
            let (mut app, visit) = arrived(disk.folder());
            for drops in 0..20 {
                count(&mut app, visit, drops).unwrap();
            }
            let out = disk.folder().join("out");
            fs::create_dir(&out).unwrap();
            disk.fill();
            let make = || MakeBundle {
                path: out.join("a.lrbundle"),
                everything: false,
            };
            let refused = app.perform(make()).unwrap_err().to_string();
            assert!(refused.contains("make room"), "{refused}");
            assert_eq!(fs::read_dir(&out).unwrap().count(), 0);

            disk.free();
            let made = app.perform(make()).unwrap();
            assert!(made.records >= 20 && made.left == 0);
        },
    );
}

#[test]
fn a_store_on_a_full_disk_says_why_it_cannot_go_on_and_goes_on_with_room_again() {
    on_a_small_disk(
        "a_store_on_a_full_disk_says_why_it_cannot_go_on_and_goes_on_with_room_again",
        |disk| {
            let (app, visit) = arrived(disk.folder());
            drop(app);
            disk.fill();
            let store = disk.folder().join("device.lantern");
            let refused = match App::open(&store, Box::new(world(1, 2))) {
                Err(refused) => refused,
                Ok(mut app) => (0..MANY)
                    .find_map(|drops| count(&mut app, visit, drops).err())
                    .expect("no room"),
            };
            assert!(
                refused.to_string().contains("the disk is full"),
                "{refused}"
            );
            disk.free();
            let mut app = App::open(&store, Box::new(world(1, 2))).unwrap();
            count(&mut app, visit, 1).unwrap();
        },
    );
}
