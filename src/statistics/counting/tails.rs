//! Exact tails of the Poisson and binomial laws, and the roots that turn tails into limits.
//!
//! Tails come from the incomplete gamma and beta functions. Their quantiles are found here by halving, because the
//! library's own, a few Newton steps, is not a number for some counts at high confidence (one drop at 1e-6).

use super::CountingError;
use statrs::function::{
    beta::beta_reg,
    gamma::{gamma_lr, gamma_ur},
};

/// The tail on each side of a two-sided interval, or the tail of a one-sided one.
pub(super) fn tail_beyond(confidence: f64, sides: u8) -> Result<f64, CountingError> {
    if (0.5..1.0).contains(&confidence) {
        Ok((1.0 - confidence) / f64::from(sides))
    } else {
        Err(CountingError::Confidence { confidence })
    }
}

/// P(N ≤ `drops`) for a Poisson count of the given mean.
pub(super) fn poisson_at_most(drops: u32, mean: f64) -> f64 {
    if mean > 0.0 {
        gamma_ur(f64::from(drops) + 1.0, mean)
    } else {
        1.0
    }
}

/// P(N ≥ `drops`) for a Poisson count of the given mean.
pub(super) fn poisson_at_least(drops: u32, mean: f64) -> f64 {
    match drops {
        0 => 1.0,
        _ if mean > 0.0 => gamma_lr(f64::from(drops), mean),
        _ => 0.0,
    }
}

/// P(X ≥ `hits`) of `trials` at chance `chance` each.
pub(super) fn binomial_at_least(hits: u32, trials: u32, chance: f64) -> f64 {
    match hits {
        0 => 1.0,
        _ if hits > trials => 0.0,
        _ => beta_reg(f64::from(hits), f64::from(trials - hits) + 1.0, chance),
    }
}

/// The greatest mean that a count of `drops` still gainsays with probability `tail`: the lower limit.
pub(super) fn poisson_low(drops: u32, tail: f64) -> f64 {
    let drops_f = f64::from(drops);
    where_it_reaches(|mean| poisson_at_least(drops, mean) >= tail, 0.0, drops_f)
}

/// The least mean that a count of `drops` gainsays with probability `tail`: the upper limit.
pub(super) fn poisson_high(drops: u32, tail: f64) -> f64 {
    let enough = |mean: f64| poisson_at_most(drops, mean) <= tail;
    let mut high = f64::from(drops) + 1.0;
    while !enough(high) {
        high *= 2.0;
    }
    where_it_reaches(enough, 0.0, high)
}

/// The greatest chance that `hits` of `trials` still gainsay with probability `tail` (Clopper and Pearson 1934).
pub(super) fn binomial_low(hits: u32, trials: u32, tail: f64) -> f64 {
    if hits == 0 {
        return 0.0;
    }
    where_it_reaches(|p| binomial_at_least(hits, trials, p) >= tail, 0.0, 1.0)
}

/// Where `reached` turns true between `low`, where it is not, and `high`, where it is; to the last digit.
fn where_it_reaches(reached: impl Fn(f64) -> bool, mut low: f64, mut high: f64) -> f64 {
    // 200 halvings pass the last digit of any limit of a count; fewer where the ends meet before.
    for _ in 0..200 {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if reached(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}
