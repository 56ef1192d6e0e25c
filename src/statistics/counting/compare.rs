//! Two counts side by side: before and after a remedy.

use super::{
    Count, CountingError,
    tails::{binomial_at_least, binomial_low, tail_beyond},
};
use crate::{formula::Formula, word};

/// How [`compare`] reckons.
pub const COMPARISON: Formula = Formula {
    name: word!(
        "exact conditional test of two Poisson rates: given both counts' sum, the later is binomial; p is twice the smaller tail, the ratio's limits are Clopper and Pearson's"
    ),
    source: "J. Przyborowski and H. Wilenski, Biometrika 31 (1940) 313; C. J. Clopper and E. S. Pearson, Biometrika 26 (1934) 404; from memory, values checked against R's poisson.test",
};

/// What became of a rate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// The later rate is lower, beyond what chance explains at the level asked for.
    Fell,
    /// The later rate is higher, beyond what chance explains at the level asked for.
    Rose,
    /// Chance alone can explain the difference. That does not show the rates to be the same.
    NoDifferenceShown,
}

/// Two counts compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Comparison {
    /// The verdict at the level asked for.
    pub change: Change,
    /// Rate after over rate before; `None` where no drop was counted before.
    pub ratio: Option<f64>,
    /// Lower limit of the ratio.
    pub ratio_low: f64,
    /// Upper limit of the ratio; `None` where there is none, as when no drop was counted before.
    pub ratio_high: Option<f64>,
    /// Chance of so great a difference either way, were the rates equal.
    pub p_value: f64,
    /// Chance of as few drops after, or fewer, were the rates equal.
    pub p_fell: f64,
    /// Chance of as many drops after, or more, were the rates equal.
    pub p_rose: f64,
}

/// Compares the count after with the count before at a `level` of chance, such as 0.05, above 0 to 0.5.
///
/// The ratio's interval has confidence 1 − `level`, and agrees with the verdict: it leaves out 1 where the rate fell
/// or rose. Errors: [`CountingError::NoTime`], [`CountingError::TooManyDrops`], [`CountingError::ErrorRate`].
pub fn compare(before: Count, after: Count, level: f64) -> Result<Comparison, CountingError> {
    let (before, after) = (before.checked()?, after.checked()?);
    let tail = tail_beyond(1.0 - level, 2).map_err(|_| CountingError::ErrorRate { rate: level })?;
    let share = |of: Count| of.seconds / (before.seconds + after.seconds);
    let drops = before.drops + after.drops;
    // As few after as there were is as many before as there were: each tail is summed where it is small.
    let p_rose = binomial_at_least(after.drops, drops, share(after));
    let p_fell = binomial_at_least(before.drops, drops, share(before));
    let p_value = (2.0 * p_fell.min(p_rose)).min(1.0);
    let change = match (p_value <= level, p_fell < p_rose) {
        (false, _) => Change::NoDifferenceShown,
        (true, true) => Change::Fell,
        (true, false) => Change::Rose,
    };
    Ok(Comparison {
        change,
        ratio: (before.drops > 0).then(|| {
            f64::from(after.drops) / after.seconds * before.seconds / f64::from(before.drops)
        }),
        ratio_low: ratio_low(after, before, tail),
        ratio_high: (before.drops > 0).then(|| 1.0 / ratio_low(before, after, tail)),
        p_value,
        p_fell,
        p_rose,
    })
}

/// Lower limit of `one`'s rate over `other`'s: from the share of the drops that are `one`'s.
fn ratio_low(one: Count, other: Count, tail: f64) -> f64 {
    let share = binomial_low(one.drops, one.drops + other.drops, tail);
    share / (1.0 - share) * other.seconds / one.seconds
}
