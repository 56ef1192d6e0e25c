//! A device that things are put right with, for tests of the door.
#![allow(dead_code)] // Each test file uses its own part of this.

use crate::app_support::{create_of, demo_plant, world};
use lantern_ring::{
    app::{App, AppError, Enter, OpenVisit, ProofNow, PutRight, RemediesOf, SetOperator},
    check::{Entered, RunningState},
    judge::Verdict,
    plant::{CheckId, Place, Plant, PumpId},
    record::HowFound,
    remedy::{Remedy, Turn},
    sys::StillWorld,
};
use std::path::PathBuf;
use tempfile::TempDir;
use uuid::Uuid;

/// A minute.
pub const MINUTE_MS: i64 = 60_000;
/// The count of a gland's drops.
pub const LEAK_OFF: &str = "leak_off@seal_de";

/// A device with its clock.
pub struct Device {
    pub app: App,
    pub world: StillWorld,
    pub path: PathBuf,
    pub folder: TempDir,
}

/// A device of the demo plant.
pub fn device() -> Device {
    device_of(demo_plant())
}

/// A device of a plant.
pub fn device_of(plant: Plant) -> Device {
    let folder = tempfile::tempdir().unwrap();
    let world = world(0, 1);
    let path = folder.path().join("device.lantern");
    let mut app = create_of(&path, plant, world.clone());
    app.perform(SetOperator("Shift A".to_owned())).unwrap();
    Device {
        app,
        world,
        path,
        folder,
    }
}

pub fn pump(id: &str) -> PumpId {
    id.parse().unwrap()
}

pub fn check(id: &str) -> CheckId {
    id.parse().unwrap()
}

pub fn nuts(turn: Turn, flats: &[u8]) -> Remedy {
    Remedy::GlandNuts {
        place: Place::SealDe,
        turn,
        flats: flats.to_vec(),
    }
}

pub fn count(drops: u32) -> Entered {
    Entered::Count {
        drops,
        seconds: 60.0,
    }
}

impl Device {
    pub fn open(&mut self, id: &str, running: RunningState) -> Uuid {
        let open = OpenVisit {
            pump: pump(id),
            running,
            found: HowFound::Scanned,
            round: None,
        };
        self.app.perform(open).unwrap()
    }

    pub fn arrive(&mut self, id: &str) -> Uuid {
        self.open(id, RunningState::Running)
    }

    pub fn enter(&mut self, visit: Uuid, id: &str, entered: Entered) -> Verdict {
        let check = check(id);
        let enter = Enter {
            visit,
            check,
            entered,
        };
        self.app.perform(enter).unwrap().judgement.verdict
    }

    pub fn put_right(&mut self, id: &str, what: Remedy) -> Result<(Uuid, Vec<String>), AppError> {
        let right = PutRight {
            pump: pump(id),
            visit: None,
            finding: None,
            what,
            done_at: None,
        };
        let taken = self.app.perform(right)?;
        Ok((taken.remedy, taken.warnings))
    }

    pub fn refused(&mut self, id: &str, what: Remedy) -> String {
        let before = self
            .app
            .remedies_of(RemediesOf::Pump(&pump(id)))
            .unwrap()
            .len();
        let why = self.put_right(id, what).unwrap_err().to_string();
        let after = self
            .app
            .remedies_of(RemediesOf::Pump(&pump(id)))
            .unwrap()
            .len();
        assert_eq!(before, after, "nothing was written down");
        why
    }

    /// The proof of the gland's count, of a remedy.
    pub fn proof(&mut self, remedy: Uuid, of: &str) -> ProofNow {
        let now = self.app.remedy_now(remedy).unwrap();
        let of = check(of);
        now.proofs
            .into_iter()
            .find(|proof| proof.proof.check == of)
            .unwrap()
    }

    pub fn minutes(&self, minutes: i64) {
        self.world.pass(minutes * MINUTE_MS);
    }
}
