//! What runs instead of dripping: a pool in a cup, and drops as volume by the plant's convention.

use super::{CountingError, checked_seconds};
use crate::{formula::Formula, word};

/// How [`stream_ml_per_min`] reckons.
pub const POOL: Formula = Formula {
    name: word!("volume in the cup over time"),
    source: "common practice, no source",
};

/// How drops become millilitres.
pub const DROP_VOLUME: Formula = Formula {
    name: word!("drops over the plant's drops per mL"),
    source: "the plant's own convention; 20 drops to 1 mL is the metric drop, 16 to 1 mL is used in valve tests. A drop's true size varies with liquid, lip and rate",
};

const MOST_ML: f64 = 1e6;

/// A stream caught in a cup.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StreamRate {
    /// Volume over time, mL/min.
    pub ml_per_min: f64,
    /// The same were the cup read too high by all it may be, mL/min; not below 0.
    pub low_ml_per_min: f64,
    /// The same were the cup read too low by all it may be, mL/min.
    pub high_ml_per_min: f64,
}

/// The rate of a stream of which `ml` ran into a cup in `seconds`, the cup read to within `reading_within_ml`.
///
/// Errors: [`CountingError::NoTime`], [`CountingError::Volume`].
pub fn stream_ml_per_min(
    ml: f64,
    reading_within_ml: f64,
    seconds: f64,
) -> Result<StreamRate, CountingError> {
    let minutes = checked_seconds(seconds)? / 60.0;
    let readable = 0.0..=MOST_ML;
    if !readable.contains(&ml) || !readable.contains(&reading_within_ml) {
        return Err(CountingError::Volume {
            ml,
            reading_within_ml,
        });
    }
    Ok(StreamRate {
        ml_per_min: ml / minutes,
        low_ml_per_min: (ml - reading_within_ml).max(0.0) / minutes,
        high_ml_per_min: (ml + reading_within_ml) / minutes,
    })
}

/// A rate in drops as mL/min, by the plant's `drops_per_ml`, from 1 to 1000.
///
/// Errors: [`CountingError::NoDropVolume`] where the plant states none, [`CountingError::DropVolume`],
/// [`CountingError::NotARate`].
pub fn drops_to_ml_per_min(
    drops_per_min: f64,
    drops_per_ml: Option<f64>,
) -> Result<f64, CountingError> {
    Ok(checked_rate(drops_per_min)? / stated(drops_per_ml)?)
}

/// A rate in mL/min as drops per minute, by the plant's `drops_per_ml`. Errors as [`drops_to_ml_per_min`].
pub fn ml_to_drops_per_min(
    ml_per_min: f64,
    drops_per_ml: Option<f64>,
) -> Result<f64, CountingError> {
    Ok(checked_rate(ml_per_min)? * stated(drops_per_ml)?)
}

fn stated(drops_per_ml: Option<f64>) -> Result<f64, CountingError> {
    let drops_per_ml = drops_per_ml.ok_or(CountingError::NoDropVolume)?;
    if (1.0..=1000.0).contains(&drops_per_ml) {
        Ok(drops_per_ml)
    } else {
        Err(CountingError::DropVolume { drops_per_ml })
    }
}

fn checked_rate(per_min: f64) -> Result<f64, CountingError> {
    // The bound keeps a product with a thousand drops per mL finite.
    if (0.0..=1e300).contains(&per_min) {
        Ok(per_min)
    } else {
        Err(CountingError::NotARate { per_min })
    }
}
