//! Median, median absolute deviation.

use super::{TrendError, check_enough, check_values};
use crate::{formula::Formula, word};

/// The median and the scaled median absolute deviation.
pub const MEDIAN_MAD: Formula = Formula {
    name: word!("median and scaled median absolute deviation, 1.4826 · median |x − median x|"),
    source: "Hampel (1974), The influence curve and its role in robust estimation, JASA 69:383 (from memory)",
};

/// What a median absolute deviation is multiplied by to estimate a normal standard deviation: 1 / Φ⁻¹(3/4).
pub const MAD_TO_SIGMA: f64 = 1.482_602_218_505_602;

/// Centre and spread of values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// The median.
    pub centre: f64,
    /// The median absolute deviation scaled by [`MAD_TO_SIGMA`]; 0 where at least half of the values are equal.
    pub sigma: f64,
    /// How many values it was taken from.
    pub entries: usize,
}

/// The median; of an even number of values the mean of the two in the middle.
///
/// # Errors
/// [`TrendError::TooFew`] without a value, [`TrendError::NotUsable`] for one that is not finite.
pub fn median(values: &[f64]) -> Result<f64, TrendError> {
    check_enough(word!("A median"), values.len(), 1)?;
    check_values(values)?;
    Ok(median_in_place(&mut values.to_vec()))
}

/// The median absolute deviation from the median, not scaled.
///
/// # Errors
/// As [`median`].
pub fn mad(values: &[f64]) -> Result<f64, TrendError> {
    let centre = median(values)?;
    let mut deviations: Vec<f64> = values.iter().map(|value| (value - centre).abs()).collect();
    Ok(median_in_place(&mut deviations))
}

/// Median and scaled median absolute deviation.
///
/// # Errors
/// As [`median`].
pub fn spread(values: &[f64]) -> Result<Spread, TrendError> {
    Ok(Spread {
        centre: median(values)?,
        sigma: mad(values)? * MAD_TO_SIGMA,
        entries: values.len(),
    })
}

/// The median of at least one usable value; reorders them.
pub(crate) fn median_in_place(values: &mut [f64]) -> f64 {
    let upper = values.len() / 2;
    let is_even = values.len().is_multiple_of(2);
    let (below, middle, _) = values.select_nth_unstable_by(upper, f64::total_cmp);
    match below.iter().copied().max_by(f64::total_cmp) {
        Some(lower) if is_even => (lower + *middle) / 2.0,
        _ => *middle,
    }
}
