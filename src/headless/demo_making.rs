//! The demo: two devices' histories walked through the one door, and the planner's store that took the older part in.

use super::{Ended, Refusal, args};
use crate::{
    app::{
        App, AttachPhoto, BeginRound, CloseVisit, EndRound, Enter, Import, MakeBundle, OpenVisit,
        PauseRound, Progress, PutRight, ResumeRound, SetOperator, SkipStop, TurnPump, UNNAMED,
    },
    demo::{self, DemoLog, DemoVisit},
    plant::Plant,
    record::{HowFound, Stamp},
    sys::{self, StillWorld, plant_folder},
};
use std::{
    io::{self, Write},
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

const MS_PER_MINUTE: i64 = 60_000;
/// What it takes from setting out on a round to its first pump, ms.
const MS_TO_SET_OUT: i64 = 120_000;

/// When somebody enters what the paper log says, on the first day before the first round, ms after midnight.
const LOG_ENTERED_MS: i64 = 5 * 3_600_000;
/// Who does.
const LOG_ENTERED_BY: &str = "Lubrication / H";

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

/// Makes the demo's folder: the planner's store, each device's store, and two bundles a device.
pub fn make(
    plant: &Plant,
    folder: &Path,
    days: u32,
    seed: u64,
    out: &mut dyn Write,
) -> Result<(), Refusal> {
    let made = sys::folder_whole(folder, |part| {
        fill(plant, part, days, seed).map_err(NotMade::Refused)
    });
    let entries = made.map_err(|error| match error {
        NotMade::Refused(refusal) => refusal,
        NotMade::Folder(error) if error.kind() == io::ErrorKind::AlreadyExists => {
            Refusal::FolderInUse(folder.to_owned())
        }
        NotMade::Folder(error) => Refusal::file(folder, error),
    })?;
    let bundle = |number| {
        folder
            .join(bundle_name(number, "latest"))
            .display()
            .to_string()
    };
    writeln!(
        out,
        "{}: {days} days of history, {entries} entries; {} and {} hold the last {} days",
        folder.join(STORE).display(),
        bundle(1),
        bundle(2),
        days.min(DAYS_TO_COME)
    )?;
    Ok(())
}

enum NotMade {
    Refused(Refusal),
    Folder(io::Error),
}

impl From<io::Error> for NotMade {
    fn from(error: io::Error) -> Self {
        Self::Folder(error)
    }
}

/// Fills the folder and gives the number of entries.
fn fill(plant: &Plant, folder: &Path, days: u32, seed: u64) -> Result<usize, Refusal> {
    let mut devices = [
        Device::new(plant, folder, 1, seed)?,
        Device::new(plant, folder, 2, seed)?,
    ];
    let sent_at = START.utc_ms + i64::from(days.saturating_sub(DAYS_TO_COME)) * MS_PER_DAY;
    let mut sent = false;
    devices[0].enter_log(demo::log(plant, seed, START, days))?;
    let visits: Vec<_> = demo::history(plant, seed, START, days).collect();
    for day in visits.chunk_by(|one, next| day_of(one) == day_of(next)) {
        if !sent && day.iter().any(|visit| visit.at.utc_ms >= sent_at) {
            for device in &mut devices {
                device.send("older")?;
            }
            sent = true;
        }
        for device in &mut devices {
            device.walk(day)?;
        }
    }
    let entries: usize = visits.iter().map(|visit| visit.entries.len()).sum();
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
    Ok(entries)
}

fn bundle_name(device: u8, name: &str) -> String {
    format!("device-{device}-{name}.{}", crate::exchange::EXTENSION)
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
        self.folder.join(bundle_name(self.number, name))
    }

    fn send(&mut self, name: &str) -> Result<(), Refusal> {
        let path = self.bundle(name);
        self.app.perform(MakeBundle {
            path,
            everything: false,
        })?;
        Ok(())
    }

    /// What is known of the time before, so that hours and greasings can be reckoned from it.
    fn enter_log(&mut self, log: DemoLog) -> Result<(), Refusal> {
        self.world.set_now(Stamp {
            utc_ms: START.utc_ms + LOG_ENTERED_MS,
            ..START
        });
        self.app.together(|app| {
            app.perform(SetOperator(LOG_ENTERED_BY.to_owned()))?;
            for (pump, runs, at) in log.turned {
                app.perform(TurnPump {
                    pump,
                    runs,
                    turned_at: Some(at),
                })?;
            }
            for (pump, what, at) in log.greased {
                app.perform(PutRight {
                    pump,
                    visit: None,
                    finding: None,
                    what,
                    done_at: Some(at),
                })?;
            }
            Ok(())
        })
    }

    /// One transaction a day: the disk is waited for once, not at each of its thousand entries.
    fn walk(&mut self, day: &[DemoVisit]) -> Result<(), Refusal> {
        let (world, number) = (&self.world, self.number);
        self.app.together(|app| {
            let own = day.iter().filter(|demo| demo.device + 1 == number);
            own.cloned().try_for_each(|demo| visit(app, world, demo))
        })
    }
}

fn day_of(visit: &DemoVisit) -> i64 {
    (visit.at.utc_ms - START.utc_ms).div_euclid(MS_PER_DAY)
}

fn visit(app: &mut App, world: &StillWorld, demo: DemoVisit) -> Result<(), Refusal> {
    let walk = demo.walk.clone().unwrap_or_default();
    let before = Stamp {
        utc_ms: demo.at.utc_ms - MS_TO_SET_OUT,
        ..demo.at
    };
    world.set_now(before);
    if let Some(other) = &walk.begun_by {
        app.perform(SetOperator(other.clone()))?;
        let run = app.perform(BeginRound(demo.round.clone()))?;
        app.perform(PauseRound(run))?;
    }
    if app.operator() != demo.by && demo.by != UNNAMED {
        app.perform(SetOperator(demo.by))?;
    }
    let begun = walk
        .begins
        .then(|| app.perform(BeginRound(demo.round.clone())));
    if let Some(run) = begun.transpose()?
        && walk.begun_by.is_some()
    {
        app.perform(ResumeRound(run))?;
    }
    world.set_now(demo.at);
    let visit = app.perform(OpenVisit {
        pump: demo.pump.clone(),
        running: demo.running,
        found: HowFound::Scanned,
        round: Some(demo.round.clone()),
    })?;
    if let Some(runs) = demo.turned {
        world.pass(MS_PER_MINUTE);
        app.perform(TurnPump {
            pump: demo.pump.clone(),
            runs,
            turned_at: None,
        })?;
    }
    let enter_all = |app: &mut App, entries: Vec<_>| {
        entries.into_iter().try_for_each(|(check, entered)| {
            world.pass(MS_PER_ENTRY);
            let enter = Enter {
                visit,
                check,
                entered,
            };
            app.perform(enter).map(|_| ())
        })
    };
    enter_all(app, demo.entries)?;
    for right in demo.put_right {
        world.pass(2 * MS_PER_MINUTE);
        app.perform(PutRight {
            pump: demo.pump.clone(),
            visit: Some(visit),
            finding: None,
            what: right.what,
            done_at: None,
        })?;
        world.pass(right.wait_minutes * MS_PER_MINUTE);
        enter_all(app, right.again)?;
    }
    if let Some(photo) = demo.photo {
        let (picture, marks, words) = (photo.jpeg, photo.marks, photo.words);
        app.perform(AttachPhoto {
            visit,
            check: Some(photo.check),
            picture,
            marks,
            words,
        })?;
    }
    app.perform(CloseVisit { visit })?;
    if let Some(rest) = walk.ends {
        let run = app.walk_under_way(&demo.round)?.run;
        if let Some((pump, reason)) = walk.passes_over {
            app.perform(SkipStop { run, pump, reason })?;
        }
        let rest = Some(rest);
        app.perform(EndRound { run, rest })?;
    }
    Ok(())
}
