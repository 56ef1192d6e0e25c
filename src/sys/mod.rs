//! The world, injected: clock, ids, files.

mod lock;
mod new_file;
mod plant_folder;
pub mod staging;

pub use lock::FileLock;
pub use new_file::NewFile;
pub use plant_folder::plant_folder;

use crate::record::Stamp;
use uuid::Uuid;

/// Where time and new ids come from.
pub trait World: Send {
    /// The time now, as the device's clock has it.
    fn now(&mut self) -> Stamp;
    /// A new UUIDv7 for this time.
    fn new_id(&mut self) -> Uuid;
}

/// The device's own clock and random numbers.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealWorld;

impl World for RealWorld {
    fn now(&mut self) -> Stamp {
        let now = chrono::Local::now();
        Stamp {
            utc_ms: now.timestamp_millis(),
            offset_min: i16::try_from(now.offset().local_minus_utc() / 60).unwrap_or(0),
        }
    }

    fn new_id(&mut self) -> Uuid {
        Uuid::now_v7()
    }
}

/// A world of its own: time that moves when told to, ids from a seed. For the demo's history and for tests.
#[derive(Clone, Debug)]
pub struct StillWorld {
    now: Stamp,
    state: u64,
}

impl StillWorld {
    /// A world at this time, with ids from this seed.
    pub fn at(now: Stamp, seed: u64) -> Self {
        Self { now, state: seed }
    }

    /// Moves its time.
    pub fn set_now(&mut self, now: Stamp) {
        self.now = now;
    }

    fn next(&mut self) -> u64 {
        // SplitMix64 (Steele, Lea, Flood 2014): well mixed even from small seeds.
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
}

impl World for StillWorld {
    fn now(&mut self) -> Stamp {
        self.now
    }

    fn new_id(&mut self) -> Uuid {
        let mut random = [0; 10];
        random[..8].copy_from_slice(&self.next().to_be_bytes());
        random[8..].copy_from_slice(&self.next().to_be_bytes()[..2]);
        let millis = u64::try_from(self.now.utc_ms).unwrap_or(0);
        uuid::Builder::from_unix_timestamp_millis(millis, &random).into_uuid()
    }
}
