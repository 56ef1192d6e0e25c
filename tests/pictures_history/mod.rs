//! What was entered before the pictures are taken.

pub mod camera;

use crate::window_support::MORNING;
use lantern_ring::{
    app::{App, AttachPhoto, CloseVisit, Enter, MakeBundle, OpenVisit, SetOperator},
    check::{self, Entered, RunningState},
    demo,
    plant::{CheckKind, Plant, PumpId, Unit},
    record::{HowFound, Stamp},
    sys::StillWorld,
};
use std::path::{Path, PathBuf};

const DAY_MS: i64 = 24 * 3_600_000;

/// Days of generated history, of which the last few are walked.
const DAYS: u32 = 90;
const WALKED_DAYS: i64 = 4;

/// Walks the last days of one device's generated history after weeks in which a bearing of this pump grew warmer, and
/// writes a bundle of it all.
pub fn walked(folder: &Path, plant: &Plant, pump: &PumpId) -> (App, PathBuf) {
    let start = Stamp {
        utc_ms: MORNING.utc_ms - i64::from(DAYS) * DAY_MS,
        ..MORNING
    };
    let world = StillWorld::at(start, 5);
    let store = folder.join("operator.lantern");
    let mut app = App::create(&store, plant.clone(), Box::new(world.clone())).expect("a store");
    let first = MORNING.utc_ms - WALKED_DAYS * DAY_MS;
    read_a_bearing(&mut app, &world, plant, pump);
    let visits = demo::history(plant, 1, start, DAYS);
    for visit in visits.filter(|visit| visit.at.utc_ms >= first) {
        world.set_now(visit.at);
        app.perform(SetOperator(visit.by)).expect("a name");
        let opened = app.perform(OpenVisit {
            pump: visit.pump,
            running: visit.running,
            found: HowFound::Scanned,
            round: Some(visit.round),
        });
        let opened = opened.expect("a visit");
        for (check, entered) in visit.entries {
            world.pass(20_000);
            app.perform(Enter {
                visit: opened,
                check,
                entered,
            })
            .expect("an entry");
        }
        if let Some(photo) = visit.photo {
            app.perform(AttachPhoto {
                visit: opened,
                check: Some(photo.check),
                picture: photo.jpeg,
                marks: photo.marks,
                words: photo.words,
            })
            .expect("a photo");
        }
        app.perform(CloseVisit { visit: opened }).expect("closed");
    }
    let path = folder.join("device-1.lrbundle");
    app.perform(MakeBundle {
        path: path.clone(),
        everything: false,
    })
    .expect("a bundle");
    (app, path)
}

/// Reads the first thermometer of a pump once a day until the walk begins: level for weeks, then rising, and never twice
/// the same.
fn read_a_bearing(app: &mut App, world: &StillWorld, plant: &Plant, pump: &PumpId) {
    const RISING_DAYS: i64 = 24;
    app.perform(SetOperator("Jun Vale".to_owned()))
        .expect("a name");
    let checks = check::list(plant.pump(pump).expect("the pump"), RunningState::Running);
    let check = checks
        .iter()
        .find(|check| check.id.kind == CheckKind::BearingTemperature)
        .expect("a thermometer")
        .id;
    for day in 0..i64::from(DAYS) - WALKED_DAYS {
        world.set_now(Stamp {
            utc_ms: MORNING.utc_ms - (i64::from(DAYS) - day) * DAY_MS,
            ..MORNING
        });
        let visit = app
            .perform(OpenVisit {
                pump: pump.clone(),
                running: RunningState::Running,
                found: HowFound::Scanned,
                round: None,
            })
            .expect("a visit");
        let rise = (day - i64::from(DAYS) + WALKED_DAYS + RISING_DAYS).max(0) as f64 * 0.4;
        let swing = ((day * 7) % 11) as f64 * 0.3;
        app.perform(Enter {
            visit,
            check,
            entered: Entered::Number {
                value: ((47.0 + rise + swing) * 10.0).round() / 10.0,
                unit: Unit::Celsius,
            },
        })
        .expect("an entry");
        app.perform(CloseVisit { visit }).expect("closed");
    }
}
