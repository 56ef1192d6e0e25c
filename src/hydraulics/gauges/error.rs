//! Why something cannot be computed, and which entry would allow it.

use crate::hydraulics::six_figures as shown;

/// What stands in the way of a result.
///
/// The words name the result, the fault and the entry that would help, so that they can be shown as they are.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CannotCompute {
    /// An entry is not there.
    #[error("{result} cannot be computed without {missing}. {remedy}")]
    Missing {
        /// What was asked for.
        result: &'static str,
        /// What is not there.
        missing: &'static str,
        /// The entry that would allow it.
        remedy: &'static str,
    },
    /// A number that is no number, or a result too large to be one.
    #[error(
        "{quantity} is not a finite number. Check the entries it comes from and enter them again."
    )]
    NotFinite {
        /// The quantity.
        quantity: &'static str,
    },
    /// A quantity that must be more than zero is not.
    #[error("{quantity} is {}, but must be more than zero. {remedy}", shown(*.value))]
    NotPositive {
        /// The quantity, with its unit.
        quantity: &'static str,
        /// What it was.
        value: f64,
        /// What to do.
        remedy: &'static str,
    },
    /// A quantity stands outside the only range it can have.
    #[error("{quantity} is {}, but must be {}. {remedy}", shown(*.value), range(*.lowest, *.highest))]
    OutOfRange {
        /// The quantity, with its unit.
        quantity: &'static str,
        /// What it was.
        value: f64,
        /// Lowest it may be.
        lowest: f64,
        /// Highest it may be.
        highest: f64,
        /// What to do.
        remedy: &'static str,
    },
    /// A pressure at or below perfect vacuum.
    #[error(
        "The absolute pressure {place} comes to {pressure_pa:.0} Pa, and no pressure can be zero or less. Read the gauge again, and check its unit and the site's atmospheric pressure."
    )]
    NoAbsolutePressure {
        /// Where the pressure is.
        place: &'static str,
        /// What it came to, Pa absolute.
        pressure_pa: f64,
    },
    /// The uncertainty swallows the value, so that a ratio with it says nothing.
    #[error(
        "{quantity} is known no better than plus or minus itself, too poorly to divide by. Read it again with a finer instrument."
    )]
    TooUncertain {
        /// The quantity.
        quantity: &'static str,
    },
    /// A flow the pump's curve does not reach.
    #[error(
        "The curve runs from {} to {} m³/s and says nothing at {} m³/s. Check the flow, or enter more of the maker's curve.",
        shown(*.first_m3_s),
        shown(*.last_m3_s),
        shown(*.flow_m3_s)
    )]
    OffTheCurve {
        /// The flow asked for, m³/s.
        flow_m3_s: f64,
        /// First flow of the curve, m³/s.
        first_m3_s: f64,
        /// Last flow of the curve, m³/s.
        last_m3_s: f64,
    },
    /// The liquid's properties could not be had.
    #[error("At {} °C the liquid's properties are not known: {why}", shown(*.temperature_c))]
    Liquid {
        /// Temperature asked for, °C.
        temperature_c: f64,
        /// What the liquid's own error says.
        why: String,
    },
}

/// From where to where; nothing is said of an end that only keeps numbers finite.
fn range(lowest: f64, highest: f64) -> String {
    if highest == f64::MAX {
        format!("{} or more", shown(lowest))
    } else {
        format!("from {} to {}", shown(lowest), shown(highest))
    }
}

/// The number, if it is one.
pub(super) fn finite(quantity: &'static str, value: f64) -> Result<f64, CannotCompute> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(CannotCompute::NotFinite { quantity })
    }
}

/// The number, if it is one and more than zero.
pub(super) fn positive(
    quantity: &'static str,
    value: f64,
    remedy: &'static str,
) -> Result<f64, CannotCompute> {
    if finite(quantity, value)? > 0.0 {
        Ok(value)
    } else {
        Err(CannotCompute::NotPositive {
            quantity,
            value,
            remedy,
        })
    }
}

/// The number, if it is one between two bounds, both included.
pub(super) fn within(
    quantity: &'static str,
    value: f64,
    (lowest, highest): (f64, f64),
    remedy: &'static str,
) -> Result<f64, CannotCompute> {
    if (lowest..=highest).contains(&finite(quantity, value)?) {
        Ok(value)
    } else {
        Err(CannotCompute::OutOfRange {
            quantity,
            value,
            lowest,
            highest,
            remedy,
        })
    }
}

/// The entry, if it is there.
pub(super) fn present<T: Copy>(
    entry: Option<T>,
    result: &'static str,
    missing: &'static str,
    remedy: &'static str,
) -> Result<T, CannotCompute> {
    entry.ok_or(CannotCompute::Missing {
        result,
        missing,
        remedy,
    })
}
