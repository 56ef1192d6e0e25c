//! Why a liquid's property can't be given.

use super::{Liquid, LiquidKind, Quantity};
use crate::{hydraulics::six_figures, language, say};

/// Why a liquid's property can't be given. Nothing is ever carried beyond a formula's range.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LiquidError {
    /// Asked outside the formula's range.
    #[error("{}", say!(
        "{quantity} of {liquid} can't be given at {value} {unit}: its formula holds from {low} to {high} {unit}. Enter a value within that range, or check the liquid set for this pump",
        quantity = quantity.words(), liquid, value = six_figures(*value), unit, low = hundredths(*low, f64::ceil), high = hundredths(*high, f64::floor)
    ))]
    OutOfRange {
        /// The liquid.
        liquid: Liquid,
        /// What was asked of it.
        quantity: Quantity,
        /// By what value, in `unit`.
        value: f64,
        /// The lowest value allowed, in `unit`.
        low: f64,
        /// The highest value allowed, in `unit`.
        high: f64,
        /// °C for temperatures, Pa for absolute pressures.
        unit: &'static str,
    },
    /// Asked with something that isn't a number.
    #[error("{}", say!(
        "{quantity} of {liquid} can't be given: the {asked_by} is not a number. Enter the {asked_by}",
        quantity = quantity.words(), liquid, asked_by = language::word(asked_by)
    ))]
    NotFinite {
        /// The liquid.
        liquid: LiquidKind,
        /// What was asked of it.
        quantity: Quantity,
        /// What it was asked by: "temperature" or "absolute pressure".
        asked_by: &'static str,
    },
    /// A mixture needs its concentration.
    #[error("{}", say!(
        "{liquid} needs `{field}`, from {low} to {high} {unit}: set it where the liquid is set",
        liquid, field, low, high, unit = language::word(unit)
    ))]
    ConcentrationMissing {
        /// The liquid.
        liquid: LiquidKind,
        /// The field to set.
        field: &'static str,
        /// The lowest concentration allowed, in `unit`.
        low: f64,
        /// The highest concentration allowed, in `unit`.
        high: f64,
        /// Its unit.
        unit: &'static str,
    },
    /// A concentration where there is nothing to mix.
    #[error("{}", say!("{liquid} takes no `{field}`: leave it out, or set another kind of liquid", liquid, field))]
    ConcentrationUnexpected {
        /// The liquid.
        liquid: LiquidKind,
        /// The field to leave out.
        field: &'static str,
    },
    /// A concentration its formulas don't hold for.
    #[error("{}", say!(
        "`{field}` of {liquid} must be a number from {low} to {high} {unit}: set it where the liquid is set",
        field, liquid, low, high, unit = language::word(unit)
    ))]
    ConcentrationOutOfRange {
        /// The liquid.
        liquid: LiquidKind,
        /// The field to set.
        field: &'static str,
        /// The lowest concentration allowed, in `unit`.
        low: f64,
        /// The highest concentration allowed, in `unit`.
        high: f64,
        /// Its unit.
        unit: &'static str,
    },
}

/// An end of a range in hundredths, rounded so that what is shown is itself allowed.
fn hundredths(end: f64, inwards: fn(f64) -> f64) -> f64 {
    // What is whole hundredths but for the last bits stays.
    let whole = (100.0 * end).round();
    let shown = if (100.0 * end - whole).abs() < 1e-6 {
        whole
    } else {
        inwards(100.0 * end)
    };
    shown / 100.0
}
