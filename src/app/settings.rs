//! What the device works by: its plant, who signs, how the window looks.

use super::{App, AppError, Command, Register, sound::LONGEST_NAME};
use crate::{
    plant::Plant,
    record::{Body, PackTaken},
    store::Store,
};
use std::sync::Arc;

/// Take in a plant's register, limits and rounds.
#[derive(Clone, Debug)]
pub struct TakePlant(pub Plant);

/// Signs records where nobody gave a name.
pub const UNNAMED: &str = "unnamed";

pub(super) const OPERATOR: &str = "operator";

/// What the window remembers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Preference {
    /// Dark theme: `true` or `false`.
    Dark,
    /// Text size: 1.0 to 1.5.
    TextScale,
    /// Whose work the window is set up for: `operator` or `planner`.
    Side,
    /// A counted drop is felt and heard: `true` or `false`.
    Tick,
    /// The language spoken, by its code: `en`, `de`, `es`.
    Language,
}

/// Remember how the window shall be.
#[derive(Clone, Debug)]
pub struct SetPreference {
    /// What.
    pub preference: Preference,
    /// Its value as text.
    pub value: String,
}

/// Say who signs from now on; 1 to 60 characters.
#[derive(Clone, Debug)]
pub struct SetOperator(pub String);

impl Command for TakePlant {
    type Outcome = Arc<Register>;

    fn perform(self, app: &mut App) -> Result<Arc<Register>, AppError> {
        let plant = self.0;
        let faults = plant.check();
        if !faults.is_empty() {
            return Err(AppError::BadPlant(faults));
        }
        if let Some(register) = &app.register
            && register.plant().id != plant.id
        {
            return Err(AppError::OtherPlant {
                here: register.plant().id.clone(),
                there: plant.id,
            });
        }
        let register = Arc::new(Register::new(plant, app.store.read().adopted_tags()?)?);
        let json = serde_json::to_vec(register.plant()).map_err(AppError::PackUnreadable)?;
        let mut batch = app.store.write()?;
        let taken = PackTaken {
            plant: register.plant().id.clone(),
            version: register.plant().version,
            sha256: batch.put_pack(&json)?,
        };
        batch.append(app.world.as_mut(), &app.operator, Body::PackTaken(taken))?;
        batch.commit()?;
        app.register = Some(register.clone());
        Ok(register)
    }
}

impl Command for SetOperator {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let name = self.0.trim();
        if name.is_empty() || name.chars().count() > LONGEST_NAME {
            return Err(AppError::BadOperator);
        }
        let mut batch = app.store.write()?;
        batch.set(OPERATOR, name)?;
        batch.commit()?;
        name.clone_into(&mut app.operator);
        Ok(())
    }
}

impl Preference {
    fn key(self) -> &'static str {
        match self {
            Preference::Dark => "dark",
            Preference::TextScale => "text_scale",
            Preference::Side => "side",
            Preference::Tick => "tick",
            Preference::Language => "language",
        }
    }
}

impl Command for SetPreference {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let mut batch = app.store.write()?;
        batch.set(self.preference.key(), &self.value)?;
        Ok(batch.commit()?)
    }
}

impl App {
    /// What the window remembers, where it was set.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn preference(&self, preference: Preference) -> Result<Option<String>, AppError> {
        Ok(self.store.read().setting(preference.key())?)
    }

    /// The device's name as its bundles carry it.
    pub fn device(&self) -> String {
        format!("device {}", self.device_digits())
    }

    /// What tells the device from others: digits of its origin.
    pub fn device_digits(&self) -> String {
        let origin = self.store.origin().0.simple().to_string();
        // The last digits: a UUIDv7 begins with the time, which devices set up together share.
        origin[origin.len() - 4..].to_owned()
    }

    pub(super) fn kept_operator(store: &Store) -> Result<String, AppError> {
        Ok(store
            .read()
            .setting(OPERATOR)?
            .unwrap_or_else(|| UNNAMED.to_owned()))
    }
}
