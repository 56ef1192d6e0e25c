//! Why something cannot be computed, and which entry would allow it.

use crate::{hydraulics::six_figures as shown, language, say};

/// What stands in the way of a result.
///
/// The words name the result, the fault and the entry that would help, so that they can be shown as they are.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum CannotCompute {
    /// An entry is not there.
    #[error("{}", say!(
        "{result} cannot be computed without {missing}. {remedy}",
        result = language::word(result), missing = language::word(missing), remedy = language::word(remedy)
    ))]
    Missing {
        /// What was asked for.
        result: &'static str,
        /// What is not there.
        missing: &'static str,
        /// The entry that would allow it.
        remedy: &'static str,
    },
    /// A number that is no number, or a result too large to be one.
    #[error("{}", say!(
        "{quantity} is not a finite number. Check the entries it comes from and enter them again.",
        quantity = language::word(quantity)
    ))]
    NotFinite {
        /// The quantity.
        quantity: &'static str,
    },
    /// A quantity that must be more than zero is not.
    #[error("{}", say!(
        "{quantity} is {value}, but must be more than zero. {remedy}",
        quantity = language::word(quantity), value = shown(*value), remedy = language::word(remedy)
    ))]
    NotPositive {
        /// The quantity, with its unit.
        quantity: &'static str,
        /// What it was.
        value: f64,
        /// What to do.
        remedy: &'static str,
    },
    /// A quantity stands outside the only range it can have.
    #[error("{}", out_of_range(quantity, *.value, (*.lowest, *.highest), remedy))]
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
    #[error("{}", say!(
        "The absolute pressure {place} comes to {pressure} Pa, and no pressure can be zero or less. Read the gauge again, and check its unit and the site's atmospheric pressure.",
        place = language::word(place), pressure = format!("{pressure_pa:.0}")
    ))]
    NoAbsolutePressure {
        /// Where the pressure is.
        place: &'static str,
        /// What it came to, Pa absolute.
        pressure_pa: f64,
    },
    /// The uncertainty swallows the value, so that a ratio with it says nothing.
    #[error("{}", say!(
        "{quantity} is known no better than plus or minus itself, too poorly to divide by. Read it again with a finer instrument.",
        quantity = language::word(quantity)
    ))]
    TooUncertain {
        /// The quantity.
        quantity: &'static str,
    },
    /// A flow the pump's curve does not reach.
    #[error("{}", say!(
        "The curve runs from {first} to {last} m³/s and says nothing at {flow} m³/s. Check the flow, or enter more of the maker's curve.",
        first = shown(*first_m3_s), last = shown(*last_m3_s), flow = shown(*flow_m3_s)
    ))]
    OffTheCurve {
        /// The flow asked for, m³/s.
        flow_m3_s: f64,
        /// First flow of the curve, m³/s.
        first_m3_s: f64,
        /// Last flow of the curve, m³/s.
        last_m3_s: f64,
    },
    /// The liquid's properties could not be had.
    #[error("{}", say!(
        "At {temperature} °C the liquid's properties are not known: {why}",
        temperature = shown(*temperature_c), why
    ))]
    Liquid {
        /// Temperature asked for, °C.
        temperature_c: f64,
        /// What the liquid's own error says.
        why: String,
    },
}

/// Nothing is said of an end that only keeps numbers finite.
fn out_of_range(quantity: &str, value: f64, (lowest, highest): (f64, f64), remedy: &str) -> String {
    let (quantity, remedy) = (language::word(quantity), language::word(remedy));
    let (value, lowest) = (shown(value), shown(lowest));
    if highest == f64::MAX {
        say!(
            "{quantity} is {value}, but must be {lowest} or more. {remedy}",
            quantity,
            value,
            lowest,
            remedy
        )
    } else {
        say!(
            "{quantity} is {value}, but must be from {lowest} to {highest}. {remedy}",
            quantity,
            value,
            lowest,
            highest = shown(highest),
            remedy
        )
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
