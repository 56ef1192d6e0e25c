//! How a device gets its plant, and a changed one, from a copy of another device's store.

use super::{App, AppError, TakePlant, settings::OPERATOR};
use crate::{plant::Plant, store::Store, sys::World};
use std::path::Path;

/// What was taken from a copy of another device's store.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StoreTaken {
    /// All of it: this device had no plant.
    WentOver,
    /// Its plant, which is newer than the one this device had.
    Plant {
        /// The plant's name.
        name: String,
        /// Its version.
        version: u32,
    },
}

impl App {
    /// Opens a store that waits for a plant, making it where there is none.
    ///
    /// # Errors
    /// Where it can't be made or opened.
    pub fn waiting_for_plant(path: &Path, mut world: Box<dyn World>) -> Result<Self, AppError> {
        Self::over(Store::open_or_create(path, world.as_mut())?, world)
    }

    /// Takes over what a copy of another device's store is for. A device without a plant goes over to the copy, which is
    /// written to `own`: its plant, history and limits, under a name of this device's own and signed by nobody yet. A
    /// device that has a plant takes the copy's where it is newer, and nothing else.
    ///
    /// # Errors
    /// Where `other` is no store, or has no plant, another plant than this device's or none that is newer; where there is
    /// a file `own`.
    pub fn take_store(&mut self, other: &Path, own: &Path) -> Result<StoreTaken, AppError> {
        let theirs = Store::open(other)?;
        let Some(pack) = theirs.read().current_pack()? else {
            return Err(AppError::NoPlant);
        };
        let Some(register) = &self.register else {
            self.go_over(&theirs, own)?;
            return Ok(StoreTaken::WentOver);
        };
        let here = register.plant();
        let plant: Plant = serde_json::from_slice(&pack.bytes).map_err(AppError::PackUnreadable)?;
        if plant.id == here.id && plant.version <= here.version {
            return Err(AppError::PlantNotNewer {
                name: here.name.clone(),
                here: here.version,
                there: plant.version,
            });
        }
        let (name, version) = (plant.name.clone(), plant.version);
        self.perform(TakePlant(plant))?;
        Ok(StoreTaken::Plant { name, version })
    }

    fn go_over(&mut self, theirs: &Store, own: &Path) -> Result<(), AppError> {
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

        let taken = phone.take_store(&path("copy.lantern"), &path("own.lantern"));
        assert!(matches!(taken, Ok(StoreTaken::WentOver)), "{taken:?}");
        assert_eq!(phone.register().unwrap().plant().id, demo().id);
        assert_eq!(phone.operator(), UNNAMED);
        assert_ne!(phone.store().origin(), office.store().origin());
        assert_eq!(phone.store().path(), path("own.lantern"));

        let again = phone.take_store(&path("copy.lantern"), &path("third.lantern"));
        let not_newer = matches!(
            again,
            Err(AppError::PlantNotNewer {
                here: 1,
                there: 1,
                ..
            })
        );
        assert!(not_newer, "{again:?}");
        assert!(!path("third.lantern").exists());
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
                .take_store(&path(other), &path("own.lantern"))
                .unwrap_err();
            assert!(!path("own.lantern").exists(), "{other}");
            assert!(
                matches!(phone.register(), Err(AppError::NoPlant)),
                "{other}"
            );
        }
    }

    #[test]
    fn a_device_with_a_plant_takes_a_newer_one_of_the_same_id_and_keeps_its_own_records_and_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = |name: &str| folder.path().join(name);
        let office = |version, id: &str| {
            let mut plant = demo();
            plant.version = version;
            plant.id = id.parse().unwrap();
            let name = path(&format!("{id}-{version}.lantern"));
            drop(App::create(&name, plant, world(version.into())).unwrap());
            name
        };
        let id = demo().id;
        let (third, second) = (office(3, id.as_str()), office(2, id.as_str()));
        let other = office(9, "elsewhere");
        let mut phone = App::create(&path("phone.lantern"), demo(), world(7)).unwrap();
        phone.perform(SetOperator("Jun Vale".to_owned())).unwrap();
        let origin = phone.store().origin();

        let taken = phone.take_store(&third, &path("own.lantern")).unwrap();
        let name = demo().name;
        assert_eq!(taken, StoreTaken::Plant { name, version: 3 });
        assert_eq!(phone.register().unwrap().plant().version, 3);
        assert!(!path("own.lantern").exists());
        assert_eq!(
            (phone.store().origin(), phone.operator()),
            (origin, "Jun Vale")
        );
        for older in [&second, &third] {
            let refused = phone.take_store(older, &path("own.lantern"));
            let refused = refused.unwrap_err().to_string();
            assert!(refused.contains("version 3"), "{refused}");
        }
        let refused = phone.take_store(&other, &path("own.lantern"));
        assert!(
            matches!(refused, Err(AppError::OtherPlant { .. })),
            "{refused:?}"
        );
        drop(phone);
        let phone = App::open(&path("phone.lantern"), world(8)).unwrap();
        assert_eq!(phone.register().unwrap().plant().version, 3);
    }
}
