//! The demo: two devices' histories walked through the one door, and the planner's store that took the older part in.

use super::{Ended, Refusal, args};
use crate::{
    app::{
        App, AttachPhoto, CloseVisit, Enter, Import, MakeBundle, OpenVisit, Progress, SetOperator,
        UNNAMED,
    },
    demo::{self, DemoVisit},
    plant::Plant,
    record::{HowFound, Stamp},
    sys::{self, StillWorld, plant_folder},
};
use std::{
    io::Write,
    path::{Path, PathBuf},
};

/// Midnight of the demo's first day, 2026-08-26 at +00:00.
const START: Stamp = Stamp {
    utc_ms: 1_787_702_400_000,
    offset_min: 0,
};

const MS_PER_DAY: i64 = 24 * 3_600_000;

/// Days at the end that the planner has not got yet: they are in the two bundles to take in.
const DAYS_TO_COME: u32 = 7;

/// What an entry takes at the pump, ms.
const MS_PER_ENTRY: i64 = 20_000;

/// Name of the demo's store in its folder.
pub const STORE: &str = "kestrel-ness.lantern";

/// A device of the demo with its own clock.
struct Device {
    app: App,
    world: StillWorld,
    folder: PathBuf,
    number: u8,
}

pub fn make_demo(task: &args::MakeDemo, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let plant = plant_folder(&task.plant).map_err(Refusal::Plant)?;
    make(&plant, &task.out, task.days, task.seed, out)?;
    Ok(Ended::Well)
}

/// Makes the demo's files in a folder: the planner's store, each device's store, and two bundles a device.
pub fn make(
    plant: &Plant,
    folder: &Path,
    days: u32,
    seed: u64,
    out: &mut dyn Write,
) -> Result<(), Refusal> {
    sys::make_folder(folder).map_err(|error| Refusal::file(folder, error))?;
    let mut devices = [
        Device::new(plant, folder, 1, seed)?,
        Device::new(plant, folder, 2, seed)?,
    ];
    let sent_at = START.utc_ms + i64::from(days.saturating_sub(DAYS_TO_COME)) * MS_PER_DAY;
    let mut sent = false;
    let mut entries = 0;
    for visit in demo::history(plant, seed, START, days) {
        if !sent && visit.at.utc_ms >= sent_at {
            for device in &mut devices {
                device.send("older")?;
            }
            sent = true;
        }
        entries += visit.entries.len();
        devices[usize::from(visit.device.min(1))].walk(visit)?;
    }
    let older: Vec<_> = devices
        .iter()
        .map(|device| device.bundle("older"))
        .filter(|_| sent)
        .collect();
    for device in &mut devices {
        device.send("latest")?;
    }
    let end = Stamp {
        utc_ms: START.utc_ms + i64::from(days) * MS_PER_DAY,
        ..START
    };
    let planner = StillWorld::at(end, seed.wrapping_add(3));
    let store = folder.join(STORE);
    let mut app = App::create(&store, plant.clone(), Box::new(planner))?;
    for path in older {
        app.perform(Import {
            path,
            progress: Progress::default(),
        })?;
    }
    writeln!(
        out,
        "{}: {days} days of history, {entries} entries; {} and {} hold the last {DAYS_TO_COME} days",
        store.display(),
        devices[0].bundle("latest").display(),
        devices[1].bundle("latest").display()
    )?;
    Ok(())
}

impl Device {
    fn new(plant: &Plant, folder: &Path, number: u8, seed: u64) -> Result<Self, Refusal> {
        let world = StillWorld::at(START, seed.wrapping_add(u64::from(number)));
        let store = folder.join(format!("device-{number}.lantern"));
        let app = App::create(&store, plant.clone(), Box::new(world.clone()))?;
        Ok(Self {
            app,
            world,
            folder: folder.to_owned(),
            number,
        })
    }

    fn bundle(&self, name: &str) -> PathBuf {
        self.folder.join(format!(
            "device-{}-{name}.{}",
            self.number,
            crate::exchange::EXTENSION
        ))
    }

    fn send(&mut self, name: &str) -> Result<(), Refusal> {
        let path = self.bundle(name);
        self.app.perform(MakeBundle {
            path,
            everything: false,
        })?;
        Ok(())
    }

    fn walk(&mut self, demo: DemoVisit) -> Result<(), Refusal> {
        self.world.set_now(demo.at);
        if self.app.operator() != demo.by && demo.by != UNNAMED {
            self.app.perform(SetOperator(demo.by))?;
        }
        let visit = self.app.perform(OpenVisit {
            pump: demo.pump,
            running: demo.running,
            found: HowFound::Scanned,
            round: Some(demo.round),
        })?;
        for (check, entered) in demo.entries {
            self.world.pass(MS_PER_ENTRY);
            self.app.perform(Enter {
                visit,
                check,
                entered,
            })?;
        }
        if let Some(photo) = demo.photo {
            let (picture, marks, words) = (photo.jpeg, photo.marks, photo.words);
            self.app.perform(AttachPhoto {
                visit,
                check: Some(photo.check),
                picture,
                marks,
                words,
            })?;
        }
        self.app.perform(CloseVisit { visit })?;
        Ok(())
    }
}
