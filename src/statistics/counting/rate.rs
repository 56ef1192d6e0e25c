//! A rate from a count, with the limits the count allows.

use super::{
    Count, CountingError,
    tails::{poisson_high, poisson_low, tail_beyond},
};
use crate::{formula::Formula, word};

/// How [`rate_per_min`] reckons.
pub const RATE: Formula = Formula {
    name: word!(
        "exact Poisson limits: half of chi-square quantiles with 2n and 2n + 2 degrees of freedom, over the time"
    ),
    source: "F. Garwood, Fiducial limits for the Poisson distribution, Biometrika 28 (1936) 437",
};

/// A rate with its limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rate {
    /// Drops over time, per minute.
    pub per_min: f64,
    /// Lower limit, per minute; 0 for a count of zero.
    pub low_per_min: f64,
    /// Upper limit, per minute.
    pub high_per_min: f64,
    /// The share of such intervals that hold the true rate, at least.
    pub confidence: f64,
}

/// The rate of `drops` in `seconds` with its two-sided interval, half of what `confidence` leaves on either side.
///
/// `confidence` is from 0.5 to below 1. Errors: [`CountingError::NoTime`], [`CountingError::TooManyDrops`],
/// [`CountingError::Confidence`].
pub fn rate_per_min(drops: u32, seconds: f64, confidence: f64) -> Result<Rate, CountingError> {
    let count = Count { drops, seconds }.checked()?;
    let tail = tail_beyond(confidence, 2)?;
    Ok(Rate {
        per_min: f64::from(drops) / count.minutes(),
        low_per_min: poisson_low(drops, tail) / count.minutes(),
        high_per_min: poisson_high(drops, tail) / count.minutes(),
        confidence,
    })
}

/// The rate that is hardly exceeded, per minute: the one-sided upper limit. Errors as [`rate_per_min`].
pub fn rate_at_most_per_min(
    drops: u32,
    seconds: f64,
    confidence: f64,
) -> Result<f64, CountingError> {
    let count = Count { drops, seconds }.checked()?;
    Ok(poisson_high(drops, tail_beyond(confidence, 1)?) / count.minutes())
}
