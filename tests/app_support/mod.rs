//! A store of the demo plant in a world that stands still, for tests of the door.
#![allow(dead_code)] // Each test file uses its own part of this.

use lantern_ring::{
    app::App,
    plant::Plant,
    record::Stamp,
    sys::{StillWorld, plant_folder},
};
use std::path::Path;

/// An hour.
pub const HOUR_MS: i64 = 3_600_000;

/// A world so many hours after the tests' beginning.
pub fn world(hours: i64, seed: u64) -> StillWorld {
    StillWorld::at(stamp(hours), seed)
}

/// A time so many hours after the tests' beginning.
pub fn stamp(hours: i64) -> Stamp {
    Stamp {
        utc_ms: 1_790_000_000_000 + hours * HOUR_MS,
        offset_min: 60,
    }
}

/// The demo plant, to be changed before a store is made of it.
pub fn demo_plant() -> Plant {
    plant_folder(&Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant")).unwrap()
}

/// A store of the demo plant.
pub fn create(path: &Path, world: StillWorld) -> App {
    create_of(path, demo_plant(), world)
}

/// A store of a plant.
pub fn create_of(path: &Path, plant: Plant, world: StillWorld) -> App {
    App::create(path, plant, Box::new(world)).unwrap()
}
