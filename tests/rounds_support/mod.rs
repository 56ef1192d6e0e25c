//! A device of the demo plant on which rounds are walked.
#![allow(dead_code)] // Each test file uses its own part of this.

#[path = "../app_support/mod.rs"]
pub mod app_support;

use app_support::{create, world};
use lantern_ring::{
    app::{
        App, Arrive, BeginRound, CloseVisit, Enter, Import, MakeBundle, Progress, RoundNow,
        SetOperator, Stop, Walk,
    },
    check::Entered,
    plant::{CheckId, PumpId, RoundId},
    record::HowFound,
    sys::StillWorld,
};
use tempfile::TempDir;
use uuid::Uuid;

pub struct Device {
    pub app: App,
    pub world: StillWorld,
    folder: TempDir,
}

pub fn device(name: &str, seed: u64) -> Device {
    let folder = tempfile::tempdir().unwrap();
    let world = world(0, seed);
    let mut app = create(&folder.path().join("device.lantern"), world.clone());
    app.perform(SetOperator(name.to_owned())).unwrap();
    Device { app, world, folder }
}

pub fn stock() -> RoundId {
    "stock".parse().unwrap()
}

impl Device {
    pub fn stops(&self) -> Vec<PumpId> {
        let register = self.app.register().unwrap();
        register.plant().round(&stock()).unwrap().stops.clone()
    }

    pub fn begin(&mut self) -> Uuid {
        self.app.perform(BeginRound(stock())).unwrap()
    }

    pub fn arrive(&mut self, pump: &PumpId, round: Option<RoundId>) -> Uuid {
        self.world.pass(60_000);
        let arrive = Arrive {
            pump: pump.clone(),
            found: HowFound::Scanned,
            round,
        };
        self.app.perform(arrive).unwrap()
    }

    pub fn enter(&mut self, visit: Uuid, check: CheckId, entered: Entered) {
        self.app
            .perform(Enter {
                visit,
                check,
                entered,
            })
            .unwrap();
    }

    pub fn leave(&mut self, visit: Uuid) {
        self.app.perform(CloseVisit { visit }).unwrap();
    }

    /// Comes, says why the first check is not made, and leaves.
    pub fn visit(&mut self, pump: &PumpId, round: Option<RoundId>) {
        let visit = self.arrive(pump, round);
        let first = self.app.checklist(visit).unwrap().checks[0].check.id;
        self.enter(visit, first, lamp_out());
        self.leave(visit);
    }

    pub fn stop(&self, run: Uuid, pump: &PumpId) -> Stop {
        let walk = self.walk(run);
        walk.stops
            .into_iter()
            .find(|stop| stop.pump == *pump)
            .unwrap()
    }

    pub fn of_stock(&mut self) -> RoundNow {
        let rounds = self.app.rounds_now().unwrap();
        rounds.into_iter().find(|now| now.round == stock()).unwrap()
    }

    pub fn walk(&self, run: Uuid) -> Walk {
        self.app.walk(run).unwrap()
    }

    pub fn visited(&self, run: Uuid) -> usize {
        self.walk(run).made()
    }

    pub fn send_to(&mut self, planner: &mut Device) {
        let path = self.folder.path().join("out.lrbundle");
        self.app
            .perform(MakeBundle {
                path: path.clone(),
                everything: true,
            })
            .unwrap();
        planner
            .app
            .perform(Import {
                path,
                progress: Progress::default(),
            })
            .unwrap();
    }
}

pub fn lamp_out() -> Entered {
    Entered::NotChecked {
        reason: "lamp out".to_owned(),
    }
}
