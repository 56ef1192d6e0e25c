//! Entries felt by hand: ordered steps, and what they are worth in degrees.
//!
//! A step felt (cool, warm, hot …) says which of two is more, not by how much. So no mean is ever taken of steps: only
//! their order is used. What a step of one operator's hand is worth in degrees is learnt from entries made together
//! with a thermometer, for that operator alone. A hand is no measuring instrument, and a hot or moving part is never
//! touched for the sake of an entry.

mod calibration;
mod direction;

pub use calibration::{
    Calibration, FEEL_TO_CELSIUS, FEWEST_IN_STEP, FEWEST_PAIRS, FeltAndMeasured, StepWorth,
    calibrate, isotonic,
};
pub use direction::{FEEL_DIRECTION, FeelLook, Felt, look_at_feel};

use super::trend::TrendError;
use crate::say;

/// Why something cannot be said of what was felt, and what would allow it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum FeelError {
    /// A step that the scale does not have.
    #[error("{}", say!(
        "Entry {entry}: step {step} is not on a scale of {steps} steps. Correct or leave out that entry.",
        entry, step, steps
    ))]
    NoSuchStep {
        /// Position among what was given, counted from 1.
        entry: usize,
        /// The step given, counted from 0.
        step: u8,
        /// How many steps the scale has.
        steps: u8,
    },
    /// A thermometer value that no thermometer shows.
    #[error("{}", say!(
        "Entry {entry}: {celsius} °C is not a temperature to calibrate by. Correct or leave out that entry.",
        entry, celsius
    ))]
    NoTemperature {
        /// Position among what was given, counted from 1.
        entry: usize,
        /// The temperature given.
        celsius: f64,
    },
    /// Too few entries with both a felt step and a thermometer value.
    #[error("{}", say!(
        "Feel against thermometer needs at least {need} pairs by one operator, in steps felt at least twice; there are {have}. Take a thermometer along and make both entries.",
        need, have
    ))]
    TooFewPairs {
        /// Pairs there are.
        have: usize,
        /// Pairs it needs.
        need: usize,
    },
    /// The thermometer does not rise with what was felt.
    #[error("{}", say!(
        "What this operator felt does not rise with the thermometer, so it is worth no temperature. Read the thermometer instead."
    ))]
    NotRising,
    /// What was felt cannot be looked at as a series.
    #[error(transparent)]
    Series(#[from] TrendError),
}
