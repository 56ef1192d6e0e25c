//! Counted drops: rates with their exact intervals, and when enough has been counted.
//!
//! Drops are taken to fall independently at a steady rate (a Poisson process). Drops from one steady drip fall more
//! evenly than that, so intervals and error rates then err on the careful side.

mod band_test;
mod compare;
mod error;
mod rate;
mod sprt;
mod stream;
mod tails;

pub use band_test::{Answer, BAND_TEST, Band, BandTest, Place, Plan};
pub use compare::{COMPARISON, Change, Comparison, compare};
pub use error::CountingError;
pub use rate::{RATE, Rate, rate_at_most_per_min, rate_per_min};
pub use sprt::{Hypothesis, SPRT, Sprt};
pub use stream::{
    DROP_VOLUME, POOL, StreamRate, drops_to_ml_per_min, ml_to_drops_per_min, stream_ml_per_min,
};

/// Most drops taken as one count: nobody counts more, and the exact tails below are proved up to here.
pub const MOST_DROPS: u32 = 10_000;
/// Shortest time taken as one count, s.
pub const SHORTEST_S: f64 = 0.001;
/// Longest time taken as one count, s: about three years, as when hours in service are counted over.
pub const LONGEST_S: f64 = 1e8;

/// Drops counted over a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    /// Drops seen, 0 to [`MOST_DROPS`].
    pub drops: u32,
    /// Time watched, s, from [`SHORTEST_S`] to [`LONGEST_S`].
    pub seconds: f64,
}

impl Count {
    pub(in crate::statistics) fn checked(self) -> Result<Self, CountingError> {
        checked_seconds(self.seconds)?;
        if self.drops > MOST_DROPS {
            return Err(CountingError::TooManyDrops { drops: self.drops });
        }
        Ok(self)
    }

    pub(in crate::statistics) fn minutes(self) -> f64 {
        self.seconds / 60.0
    }
}

fn checked_seconds(seconds: f64) -> Result<f64, CountingError> {
    if (SHORTEST_S..=LONGEST_S).contains(&seconds) {
        Ok(seconds)
    } else {
        Err(CountingError::NoTime { seconds })
    }
}
