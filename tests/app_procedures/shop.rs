//! A device at the pumps.

use crate::{
    app_support::{create, world},
    procedure_support,
};
use lantern_ring::{
    app::{
        App, AppError, Arrive, BeginProcedure, GoOn, Import, MakeBundle, ProcedureRun, Progress,
        SetOperator, Went,
    },
    check::Entered,
    plant::PumpId,
    procedure::{Asks, Run, What},
    record::HowFound,
    sys::StillWorld,
};
use std::path::PathBuf;
use tempfile::TempDir;
use uuid::Uuid;

pub const A: &str = "RW-101A";
pub const B: &str = "RW-101B";

pub struct Device {
    pub app: App,
    pub world: StillWorld,
    pub folder: TempDir,
    seed: u64,
}

pub fn device(name: &str, seed: u64) -> Device {
    device_at(name, seed, 0)
}

/// A device whose clock is so many hours off.
pub fn device_at(name: &str, seed: u64, hours: i64) -> Device {
    let folder = tempfile::tempdir().unwrap();
    let world = world(hours, seed);
    let mut app = create(&folder.path().join("device.lantern"), world.clone());
    app.perform(SetOperator(name.to_owned())).unwrap();
    Device {
        app,
        world,
        folder,
        seed,
    }
}

pub fn pump(id: &str) -> PumpId {
    id.parse().unwrap()
}

pub fn step_id(device: &Device, run: Uuid) -> String {
    device.run(run).step().expect("a step").1.id.clone()
}

impl Device {
    pub fn begin(&mut self, procedure: &str, at: &str, partner: Option<&str>) -> Uuid {
        let begin = BeginProcedure {
            procedure: procedure.to_owned(),
            pump: pump(at),
            partner: partner.map(pump),
        };
        self.app.perform(begin).unwrap()
    }

    pub fn run(&self, run: Uuid) -> Run {
        self.procedure_run(run).run
    }

    pub fn procedure_run(&self, run: Uuid) -> ProcedureRun {
        self.app.procedure_run(run).unwrap()
    }

    pub fn go_on(&mut self, run: Uuid, what: What) -> Result<Went, AppError> {
        self.world.pass(1_000);
        self.app.perform(GoOn { run, what })
    }

    /// Enters something at the step there is now.
    pub fn enter(&mut self, run: Uuid, entered: Entered) -> Result<Went, AppError> {
        let step = self.run(run).step().expect("a step").0;
        let entered = Some(entered);
        self.go_on(run, What::StepDone { step, entered })
    }

    pub fn bad_entry(&self, run: Uuid) -> Entered {
        procedure_support::bad_entry(&self.run(run)).expect("something bad")
    }

    pub fn begin_wait(&mut self, run: Uuid) {
        let (step, _) = self.run(run).step().expect("a step");
        let begun = What::WaitBegun {
            step,
            deadline_ms: 0,
        };
        self.go_on(run, begun).unwrap();
    }

    /// Does the step there is now as it should be, waiting for as long as it asks.
    pub fn step_on(&mut self, run: Uuid) {
        for what in procedure_support::good(&self.run(run)) {
            let now_ms = self.app.now().utc_ms;
            if let Some(Asks::Wait(deadline_ms)) = self.run(run).now(now_ms).map(|now| now.asks) {
                self.world.pass((deadline_ms - now_ms).max(0));
            }
            self.go_on(run, what).unwrap();
        }
    }

    /// Goes on until the step of this id is to be done.
    pub fn walk_to(&mut self, run: Uuid, id: &str) {
        while step_id(self, run) != id {
            self.step_on(run);
        }
    }

    /// Goes on until every step is done.
    pub fn walk_on(&mut self, run: Uuid) {
        while self.run(run).step().is_some() {
            self.step_on(run);
        }
    }

    pub fn sign_as(&mut self, name: &str) {
        self.app.perform(SetOperator(name.to_owned())).unwrap();
    }

    pub fn arrive(&mut self, at: &str, found: HowFound) -> Uuid {
        let arrive = Arrive {
            pump: pump(at),
            found,
            round: None,
        };
        self.app.perform(arrive).unwrap()
    }

    /// As after a kill: nothing is kept but the store.
    pub fn kill_and_reopen(&mut self) {
        let elsewhere = self.folder.path().join("elsewhere.lantern");
        let other = create(&elsewhere, world(0, self.seed + 1_000));
        drop(std::mem::replace(&mut self.app, other));
        let path = self.folder.path().join("device.lantern");
        self.app = App::open(&path, Box::new(self.world.clone())).unwrap();
        std::fs::remove_file(elsewhere).unwrap();
    }

    pub fn bundle(&mut self) -> PathBuf {
        let path = self.folder.path().join("out.lrbundle");
        let make = MakeBundle {
            path: path.clone(),
            everything: true,
        };
        self.app.perform(make).unwrap();
        path
    }

    pub fn send_to(&mut self, other: &mut Device) {
        let import = Import {
            path: self.bundle(),
            progress: Progress::default(),
        };
        other.app.perform(import).unwrap();
    }
}
