//! Watching a long job, and stopping it.

use std::sync::{
    Arc,
    atomic::{AtomicBool, AtomicU32, Ordering},
};

/// How far a long job has come, shared between the one who does it and the one who watches.
#[derive(Clone, Debug, Default)]
pub struct Progress {
    permille: Arc<AtomicU32>,
    cancelled: Arc<AtomicBool>,
}

impl Progress {
    /// How far, 0 to 1.
    pub fn fraction(&self) -> f32 {
        self.permille.load(Ordering::Relaxed) as f32 / 1000.0
    }

    /// Says how far, 0 to 1.
    pub fn set(&self, fraction: f64) {
        self.permille.store(
            (fraction.clamp(0.0, 1.0) * 1000.0) as u32,
            Ordering::Relaxed,
        );
    }

    /// Asks the job to stop; it leaves nothing half done.
    pub fn cancel(&self) {
        self.cancelled.store(true, Ordering::Relaxed);
    }

    /// The flag that says somebody asked the job to stop.
    pub fn cancel_flag(&self) -> &AtomicBool {
        &self.cancelled
    }

    /// Somebody asked the job to stop.
    pub fn is_cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}
