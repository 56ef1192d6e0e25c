//! The one door for change.
//!
//! Faces build a [`Command`] and hand it to [`App::perform`]; one transaction holds the records, their projections
//! and whatever pointer moved. Questions never change anything; they are the other methods of [`App`], and those
//! of [`Register`] where the store is not needed.

mod air;
mod arrive;
mod attach;
mod carry;
mod checklist;
mod command;
mod due;
mod error;
mod find;
mod findings;
mod first;
mod followed;
mod handover;
mod hours;
mod import;
mod lists;
mod procedures;
mod progress;
mod register;
mod remedies;
mod room;
mod rounds;
mod settings;
mod sound;
mod visit;
mod whereabouts;
mod working;

pub use arrive::Arrive;
pub use attach::AttachPhoto;
pub use carry::{BundleMade, MakeBundle, Waiting};
pub use checklist::{CheckState, Checklist, Standing};
pub use command::Command;
pub use due::{DueNow, EVENED_OVER_DAYS, GroupHours, PumpDue};
pub use error::AppError;
pub use find::{AdoptTag, CodeInView, Found};
pub use findings::{Followed, FoundBy, Listed};
pub use first::StoreTaken;
pub use followed::{CloseFinding, HandFinding, Note, OpenFinding, PhotographFinding, SeeFinding};
pub use handover::{
    ChangedOver, Handover, HandoverChoices, HandoverOf, ProcedureGone, SHIFT_HOURS,
    SheetNotWritten, Turned, WalkBegun,
};
pub use hours::TurnPump;
pub use import::{Import, Imported};
pub use procedures::{BeginProcedure, GoOn, Needs, NotHere, Offer, ProcedureRun, Went};
pub use progress::Progress;
pub use register::Register;
pub use remedies::{
    GlandNow, GreaseBySize, ProofMade, ProofNow, ProofStanding, PutRight, RemediesOf, RemedyNow,
    RemedyRow, RemedyTaken, TakeBackRemedy, ToMind,
};
pub use rounds::{
    BeginRound, Due, EndRound, Left, LeftOut, PauseRound, ResumeRound, RoundNow, SkipStop, Stage,
    Stop, StopStanding, Walk,
};
pub use settings::{Preference, SetOperator, SetPreference, TakePlant, UNNAMED};
pub use sound::Unsound;
pub use visit::{Amend, CloseVisit, Enter, EntryTaken, OpenVisit, SeeRunning, Withdraw};
pub use whereabouts::{AtStep, HalfCount, HalfFinding, KeptPage, Whereabouts};

use crate::{plant::Plant, record::Stamp, store::Store, sys::World};
use std::{path::Path, sync::Arc};

/// An open store with the plant it holds.
pub struct App {
    store: Store,
    world: Box<dyn World>,
    register: Option<Arc<Register>>,
    operator: String,
}

impl App {
    /// Makes a store with a plant in it.
    ///
    /// # Errors
    /// Where there is a store already, or the plant can't be used.
    pub fn create(path: &Path, plant: Plant, mut world: Box<dyn World>) -> Result<Self, AppError> {
        // A plant that can't be used must not leave an empty store behind.
        Register::new(plant.clone(), Vec::new())?;
        let store = Store::create(path, world.as_mut())?;
        let mut app = Self::over(store, world)?;
        app.perform(TakePlant(plant))?;
        Ok(app)
    }

    /// Opens a store.
    ///
    /// # Errors
    /// Where it is none, is in use, or was written by a newer version.
    pub fn open(path: &Path, world: Box<dyn World>) -> Result<Self, AppError> {
        Self::over(Store::open(path)?, world)
    }

    fn over(store: Store, world: Box<dyn World>) -> Result<Self, AppError> {
        let operator = Self::kept_operator(&store)?;
        let mut app = Self {
            store,
            world,
            register: None,
            operator,
        };
        app.register = app.load_register()?;
        Ok(app)
    }

    fn load_register(&self) -> Result<Option<Arc<Register>>, AppError> {
        let reader = self.store.read();
        let Some(pack) = reader.current_pack()? else {
            return Ok(None);
        };
        let plant: Plant = serde_json::from_slice(&pack.bytes).map_err(AppError::PackUnreadable)?;
        Ok(Some(Arc::new(Register::new(
            plant,
            reader.adopted_tags()?,
        )?)))
    }

    /// Does one thing, whole or not at all.
    ///
    /// # Errors
    /// A sentence that says what is wrong and what to do; nothing has changed then.
    pub fn perform<C: Command>(&mut self, command: C) -> Result<C::Outcome, AppError> {
        self.own_name()?;
        command.perform(self)
    }

    /// A store opened from a backup must not write under the name of the one it was made from.
    fn own_name(&mut self) -> Result<(), AppError> {
        if self.store.is_backup() {
            self.store.new_origin(self.world.as_mut())?;
        }
        Ok(())
    }

    /// Does several things, all or none: what `work` performs is kept when it ends well, and nothing of it where it
    /// ends with an error. A face may show as saved only what this has returned. May run inside another.
    ///
    /// # Errors
    /// What `work` says, or the store when it could not keep it; nothing has changed then.
    pub fn together<T, E: From<AppError>>(
        &mut self,
        work: impl FnOnce(&mut Self) -> Result<T, E>,
    ) -> Result<T, E> {
        self.own_name()?;
        let before = (self.register.clone(), self.operator.clone());
        let begun = self.store.begin_together().map_err(AppError::from)?;
        let done = work(self);
        let ended = self.store.end_together(begun, done.is_ok());
        if done.is_err() || ended.is_err() {
            (self.register, self.operator) = before;
        }
        // Why the work failed says more than what followed from it.
        let done = done?;
        ended.map_err(AppError::from)?;
        Ok(done)
    }

    /// The register of the plant taken last.
    ///
    /// # Errors
    /// Where no plant has been taken yet.
    pub fn register(&self) -> Result<Arc<Register>, AppError> {
        self.register.clone().ok_or(AppError::NoPlant)
    }

    /// Who signs.
    pub fn operator(&self) -> &str {
        &self.operator
    }

    /// The store, for questions.
    pub fn store(&self) -> &Store {
        &self.store
    }

    /// The time now, by the device's clock.
    pub fn now(&mut self) -> Stamp {
        self.world.now()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sys::{StillWorld, plant_folder};

    #[test]
    fn what_goes_together_and_fails_leaves_neither_plant_nor_operator_changed() {
        let folder = tempfile::tempdir().unwrap();
        let start = Stamp {
            utc_ms: 0,
            offset_min: 0,
        };
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
        let plant = plant_folder(&demo).unwrap();
        let mut newer = plant.clone();
        newer.version += 1;
        let path = folder.path().join("a.lantern");
        let mut app =
            App::create(&path, plant.clone(), Box::new(StillWorld::at(start, 1))).unwrap();
        let changes = |app: &mut App, end: Result<(), AppError>| {
            app.together(|app| {
                app.perform(SetOperator("T. Tester".to_owned()))?;
                app.perform(TakePlant(newer.clone()))?;
                assert_eq!(app.operator(), "T. Tester");
                end
            })
        };
        let state = |app: &App| {
            let version = app.register().unwrap().plant().version;
            (app.operator().to_owned(), version)
        };
        let before = state(&app);
        changes(&mut app, Err(AppError::BadOperator)).unwrap_err();
        assert_eq!(state(&app), before);
        drop(app);
        let mut app = App::open(&path, Box::new(StillWorld::at(start, 2))).unwrap();
        assert_eq!(state(&app), before, "nothing of it was kept");
        changes(&mut app, Ok(())).unwrap();
        let after = ("T. Tester".to_owned(), plant.version + 1);
        assert_eq!(state(&app), after);
        drop(app);
        let app = App::open(&path, Box::new(StillWorld::at(start, 3))).unwrap();
        assert_eq!(state(&app), after);
    }
}
