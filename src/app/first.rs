//! A device that has no plant yet, and how it gets one.

use super::{App, AppError, settings::OPERATOR};
use crate::{store::Store, sys::World};
use std::path::Path;

impl App {
    /// Opens a store that waits for a plant, making it where there is none.
    ///
    /// # Errors
    /// Where it can't be made or opened.
    pub fn waiting_for_plant(path: &Path, mut world: Box<dyn World>) -> Result<Self, AppError> {
        Self::over(Store::open_or_create(path, world.as_mut())?, world)
    }

    /// Goes over to a copy of another device's store, which is written to `own`: its plant, history and limits, under a
    /// name of this device's own and signed by nobody yet.
    ///
    /// # Errors
    /// Where this device has a plant already, `other` is no store or has no plant, or there is a file `own`.
    pub fn go_over(&mut self, other: &Path, own: &Path) -> Result<(), AppError> {
        if let Some(register) = &self.register {
            return Err(AppError::HasPlant(register.plant().name.clone()));
        }
        let theirs = Store::open(other)?;
        if theirs.read().current_pack()?.is_none() {
            return Err(AppError::NoPlant);
        }
        theirs.backup_to(own)?;
        let mut store = Store::open(own)?;
        store.new_origin(self.world.as_mut())?;
        let mut batch = store.write()?;
        // Whoever made the copy did not make the entries that follow.
        batch.set(OPERATOR, super::UNNAMED)?;
        batch.commit()?;
        self.store = store;
        self.operator = Self::kept_operator(&self.store)?;
        self.register = self.load_register()?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        app::{SetOperator, UNNAMED},
        record::Stamp,
        sys::{StillWorld, plant_folder},
    };

    fn world(seed: u64) -> Box<dyn World> {
        let start = Stamp {
            utc_ms: 0,
            offset_min: 0,
        };
        Box::new(StillWorld::at(start, seed))
    }

    fn demo() -> crate::plant::Plant {
        plant_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant")).unwrap()
    }

    #[test]
    fn a_device_without_a_plant_goes_over_to_a_copy_under_its_own_name_and_nobodys_signature() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name);
        let mut office = App::create(&path("office.lantern"), demo(), world(1)).unwrap();
        office
            .perform(SetOperator("P. Planner".to_owned()))
            .unwrap();
        office.backup(&path("copy.lantern")).unwrap();
        let mut phone = App::waiting_for_plant(&path("waiting.lantern"), world(2)).unwrap();
        assert!(matches!(phone.register(), Err(AppError::NoPlant)));

        phone
            .go_over(&path("copy.lantern"), &path("own.lantern"))
            .unwrap();
        assert_eq!(phone.register().unwrap().plant().id, demo().id);
        assert_eq!(phone.operator(), UNNAMED);
        assert_ne!(phone.store().origin(), office.store().origin());
        assert_eq!(phone.store().path(), path("own.lantern"));

        let again = phone.go_over(&path("copy.lantern"), &path("third.lantern"));
        assert!(matches!(again, Err(AppError::HasPlant(_))), "{again:?}");
        drop(phone);
        let phone = App::open(&path("own.lantern"), world(3)).unwrap();
        assert_eq!(phone.operator(), UNNAMED);
    }

    #[test]
    fn what_is_no_store_or_has_no_plant_leaves_the_device_waiting() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name);
        let mut phone = App::waiting_for_plant(&path("waiting.lantern"), world(2)).unwrap();
        std::fs::write(path("letter.lantern"), "Dear planner").unwrap();
        drop(App::waiting_for_plant(&path("empty.lantern"), world(3)).unwrap());
        for other in ["letter.lantern", "empty.lantern", "nowhere.lantern"] {
            phone
                .go_over(&path(other), &path("own.lantern"))
                .unwrap_err();
            assert!(!path("own.lantern").exists(), "{other}");
            assert!(
                matches!(phone.register(), Err(AppError::NoPlant)),
                "{other}"
            );
        }
    }
}
