//! Baselines, slopes and the days left to a limit.
//!
//! Everything here is made of medians and ranks, so that a few wild entries move nothing. Times are in days (any day
//! zero will do), values in whatever unit the caller's check has. Two entries at one time are both kept; they only say
//! nothing about the slope between them.
//!
//! The intervals and p values hold for entries made independently of each other. Rounds some hours apart come near
//! that; a recorder's value every five minutes does not, and is to be thinned first.

use crate::{language, say, word};

mod baseline;
mod inversions;
mod kendall;
mod line;
mod look;
mod proposal;
mod reach;
mod remedy;
mod robust;
mod sample;
mod series;
mod slopes;

pub use baseline::{
    AMBIENT_LINE, AmbientLine, Baseline, FEWEST_FOR_AMBIENT, FEWEST_FOR_BASELINE, Reading, Score,
    ScoreBasis, baselines_by_state,
};
pub use kendall::{Direction, FEWEST_FOR_TREND, MANN_KENDALL, MannKendall, mann_kendall};
pub use line::{RobustLine, THEIL_SEN, theil_sen};
pub use look::{Look, Question, look};
pub use proposal::{
    FEWEST_FOR_PROPOSAL, LIMITS_FROM_HISTORY, LimitProposal, Sigmas, propose_limits,
};
pub use reach::{FARTHEST_DAYS, Limit, Reach, Side, TIME_TO_LIMIT};
pub use remedy::{Change, ChangeWord, HODGES_LEHMANN, NEAREST_PER_SIDE, change_after};
pub use robust::{MAD_TO_SIGMA, MEDIAN_MAD, Spread, mad, median, spread};
pub use series::{ONE_MOMENT_DAYS, Point, Series, Window};

/// Why something cannot be computed, and what would allow it.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TrendError {
    /// A time or value is not a number, infinite, or of a size no gauge shows.
    #[error("{}", say!(
        "Entry {entry}: its {what} is not a usable number. Correct or leave out that entry.",
        entry, what = language::word(what)
    ))]
    NotUsable {
        /// Position among what was given, counted from 1.
        entry: usize,
        /// `time`, `value` or `ambient value`.
        what: &'static str,
    },
    /// Fewer entries than the method needs.
    #[error("{}", say!(
        "{what} needs at least {need} entries; there are {have}. Make more entries.",
        what = language::word(what), need, have
    ))]
    TooFew {
        /// What was to be computed.
        what: &'static str,
        /// Entries there are.
        have: usize,
        /// Entries it needs.
        need: usize,
    },
    /// All entries were made at the same time.
    #[error("{}", say!("All entries were made at one time, so they show no slope. Make an entry later."))]
    OneMoment,
    /// The values do not differ, so nothing can be measured in their spread.
    #[error("{}", say!(
        "At least half of the values are equal, so they have no spread to measure by. Read to a finer step, or set the limit by hand."
    ))]
    NoSpread,
    /// A confidence must lie strictly between 0 and 1.
    #[error("{}", say!(
        "A confidence of {confidence} cannot be used. Give one between 0 and 1, such as 0.95.",
        confidence
    ))]
    BadConfidence {
        /// What was given.
        confidence: f64,
    },
    /// An argument that is none of the above is out of its range.
    #[error("{}", say!(
        "{what} cannot be used as given. {remedy}",
        what = language::word(what), remedy = language::word(remedy)
    ))]
    BadArgument {
        /// Which argument.
        what: &'static str,
        /// What to give.
        remedy: &'static str,
    },
}

/// Largest magnitude of a value: far above any reading, far below where arithmetic overflows.
const LARGEST_VALUE: f64 = 1e100;

/// Whether a value can be reckoned with without ever reaching infinity.
pub(crate) fn usable(value: f64) -> bool {
    value.abs() <= LARGEST_VALUE
}

pub(crate) fn check_values(values: &[f64]) -> Result<(), TrendError> {
    match values.iter().position(|value| !usable(*value)) {
        Some(i) => Err(TrendError::NotUsable {
            entry: i + 1,
            what: word!("value"),
        }),
        None => Ok(()),
    }
}

pub(crate) fn check_enough(what: &'static str, have: usize, need: usize) -> Result<(), TrendError> {
    if have < need {
        return Err(TrendError::TooFew { what, have, need });
    }
    Ok(())
}

/// The two-sided normal quantile of a confidence: 1.96 for 0.95.
pub(crate) fn two_sided_z(confidence: f64) -> Result<f64, TrendError> {
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(TrendError::BadConfidence { confidence });
    }
    Ok(std::f64::consts::SQRT_2 * statrs::function::erf::erfc_inv(1.0 - confidence))
}
