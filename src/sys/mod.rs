//! The world, injected: clock, ids, files.

mod files;
mod lock;
mod new_file;
mod plant_folder;
pub mod staging;

pub use files::{empty_folder, folder_whole, keep_newest, make_folder, write_whole};
pub use lock::FileLock;
pub use new_file::NewFile;
pub use plant_folder::plant_folder;

use crate::record::Stamp;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
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
///
/// A clone is the same world, so that whoever handed one over can still move its time.
#[derive(Clone, Debug)]
pub struct StillWorld {
    inner: Arc<Mutex<Inner>>,
}

#[derive(Debug)]
struct Inner {
    now: Stamp,
    state: u64,
}

impl StillWorld {
    /// A world at this time, with ids from this seed.
    pub fn at(now: Stamp, seed: u64) -> Self {
        Self {
            inner: Arc::new(Mutex::new(Inner { now, state: seed })),
        }
    }

    /// Moves its time.
    pub fn set_now(&self, now: Stamp) {
        self.inner().now = now;
    }

    /// Lets time pass.
    pub fn pass(&self, ms: i64) {
        self.inner().now.utc_ms += ms;
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        // Time and a number are whole whatever happened to another holder.
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Inner {
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
        self.inner().now
    }

    fn new_id(&mut self) -> Uuid {
        let mut inner = self.inner();
        let mut random = [0; 10];
        random[..8].copy_from_slice(&inner.next().to_be_bytes());
        random[8..].copy_from_slice(&inner.next().to_be_bytes()[..2]);
        let millis = u64::try_from(inner.now.utc_ms).unwrap_or(0);
        uuid::Builder::from_unix_timestamp_millis(millis, &random).into_uuid()
    }
}

/// Time since this was first asked: counts up evenly, whatever is done to the clock.
pub fn monotonic() -> std::time::Duration {
    static START: std::sync::OnceLock<std::time::Instant> = std::sync::OnceLock::new();
    START.get_or_init(std::time::Instant::now).elapsed()
}
