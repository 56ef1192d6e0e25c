use crate::{say, statistics::counting::CountingError};

/// Why there is no chart, and what would allow one.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ChartError {
    /// All values of the baseline are equal.
    #[error("{}", say!(
        "the baseline's values are all {location}, so no drift can be told from their scatter; take readings with a finer gauge, or give the gauge's own step as the scale",
        location
    ))]
    NoScatter {
        /// The value they all have.
        location: f64,
    },
    /// A baseline that isn't numbers.
    #[error("{}", say!(
        "a baseline of {location} with scatter {scale} can't be used; take it anew from good readings",
        location, scale
    ))]
    Baseline {
        /// The location given.
        location: f64,
        /// The scale given.
        scale: f64,
    },
    /// A value that isn't a reading, or too far away for its baseline.
    #[error("{}", say!(
        "value {index} of the row, {value}, is no reading for this baseline; leave it out",
        index, value
    ))]
    Value {
        /// Which, from 0.
        index: usize,
        /// The value given.
        value: f64,
    },
    /// A count that can't be used.
    #[error("{}", say!("count {index} of the row: {why}", index, why = source))]
    Count {
        /// Which, from 0.
        index: usize,
        /// What is wrong with it.
        source: CountingError,
    },
    /// A weight outside 0 to 1.
    #[error("{}", say!("a weight of {weight} can't be used; give one above 0 and at most 1, such as 0.1", weight))]
    Weight {
        /// The weight given.
        weight: f64,
    },
    /// A limit, reference or decision value that is none.
    #[error("{}", say!(
        "{value} can't be a chart's limit or reference; give a number above 0 and at most 1000, as a published design has it",
        value
    ))]
    DesignValue {
        /// The value given.
        value: f64,
    },
    /// Two rates between which no counts can choose.
    #[error("{}", say!(
        "rates of {good_per_min} and {bad_per_min} per minute give no chart; give a good and a bad rate that differ by 5 % or more, both above 0",
        good_per_min, bad_per_min
    ))]
    Rates {
        /// The rate while nothing is wrong, per minute.
        good_per_min: f64,
        /// The rate to be called, per minute.
        bad_per_min: f64,
    },
    /// A run length nobody can ask for.
    #[error("{}", say!(
        "an in-control run length of {arl} can't be asked for; give one from 2 to a million counts, such as 500",
        arl
    ))]
    RunLength {
        /// The run length given.
        arl: f64,
    },
}
