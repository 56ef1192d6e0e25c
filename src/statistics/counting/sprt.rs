//! Wald's sequential test of one rate against another.

use super::CountingError;
use crate::{formula::Formula, word};

/// How [`Sprt`] decides.
pub const SPRT: Formula = Formula {
    name: word!(
        "sequential probability ratio test: n·ln(λ1/λ0) − (λ1 − λ0)·t against ln((1 − β)/α) and ln(β/(1 − α))"
    ),
    source: "A. Wald, Sequential Analysis (1947), ch. 3; from memory",
};

/// One of the two rates a test chooses between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hypothesis {
    /// The rate named first.
    Rate0,
    /// The rate named second.
    Rate1,
}

/// Wald's sequential test between two rates, for either order of them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sprt {
    rate0_per_min: f64,
    rate1_per_min: f64,
    accept1_from: f64,
    accept0_to: f64,
}

impl Sprt {
    /// The test by Wald's own lines: chance `alpha` of choosing rate 1 where rate 0 is true, `beta` the other way.
    ///
    /// Wald's lines keep the two error rates together (their sum), each alone only up to α/(1 − β) and β/(1 − α).
    /// Rates above 0 and different; error rates above 0 and below 0.5; else [`CountingError::SameRates`],
    /// [`CountingError::ErrorRate`].
    pub fn new(
        rate0_per_min: f64,
        rate1_per_min: f64,
        alpha: f64,
        beta: f64,
    ) -> Result<Self, CountingError> {
        for rate in [alpha, beta] {
            if !(rate > 0.0 && rate < 0.5) {
                return Err(CountingError::ErrorRate { rate });
            }
        }
        let usable = |rate: f64| rate > 0.0 && rate.is_finite();
        let told_apart = (rate1_per_min / rate0_per_min).ln().abs();
        if !usable(rate0_per_min)
            || !usable(rate1_per_min)
            || !told_apart.is_finite()
            || told_apart < 1e-6
        {
            return Err(CountingError::SameRates {
                rate0_per_min,
                rate1_per_min,
            });
        }
        Ok(Self {
            rate0_per_min,
            rate1_per_min,
            accept1_from: ((1.0 - beta) / alpha).ln(),
            accept0_to: (beta / (1.0 - alpha)).ln(),
        })
    }

    /// The test by lines a little further apart, at −ln α and ln β, that keep each error rate by itself, and whenever
    /// and however often one looks (Ville's inequality).
    pub fn strict(
        rate0_per_min: f64,
        rate1_per_min: f64,
        alpha: f64,
        beta: f64,
    ) -> Result<Self, CountingError> {
        Ok(Self {
            accept1_from: -alpha.ln(),
            accept0_to: beta.ln(),
            ..Self::new(rate0_per_min, rate1_per_min, alpha, beta)?
        })
    }

    /// Logarithm of how much likelier rate 1 makes this count than rate 0 does.
    ///
    /// Times outside the range of a count give the number all the same; it is finite for finite seconds up to 1e300.
    pub(super) fn log_likelihood_ratio(&self, drops: u32, seconds: f64) -> f64 {
        f64::from(drops) * self.per_drop()
            - (self.rate1_per_min - self.rate0_per_min) * seconds / 60.0
    }

    /// The rate this count is enough to choose, if it is.
    ///
    /// Errors: [`CountingError::NoTime`], [`CountingError::TooManyDrops`].
    pub fn choice(&self, drops: u32, seconds: f64) -> Result<Option<Hypothesis>, CountingError> {
        super::Count { drops, seconds }.checked()?;
        Ok(self.choice_at(drops, seconds))
    }

    pub(super) fn choice_at(&self, drops: u32, seconds: f64) -> Option<Hypothesis> {
        let ratio = self.log_likelihood_ratio(drops, seconds);
        if ratio >= self.accept1_from {
            Some(Hypothesis::Rate1)
        } else if ratio <= self.accept0_to {
            Some(Hypothesis::Rate0)
        } else {
            None
        }
    }

    /// When, after `drops` and no more, the lower of the two rates is chosen, s; not positive where it was at once.
    pub(super) fn chosen_in_silence_s(&self, drops: u32) -> f64 {
        let (line, fall_per_min) = if self.rate1_per_min < self.rate0_per_min {
            (self.accept1_from, self.rate0_per_min - self.rate1_per_min)
        } else {
            (-self.accept0_to, self.rate1_per_min - self.rate0_per_min)
        };
        let minutes = (line + f64::from(drops) * self.per_drop().abs()) / fall_per_min;
        // A hair later, so that rounding leaves the count on the line's far side.
        minutes * 60.0 * (1.0 + 1e-12)
    }

    /// What one drop adds to the logarithm of the likelihood ratio: ln(λ1/λ0).
    pub fn per_drop(&self) -> f64 {
        (self.rate1_per_min / self.rate0_per_min).ln()
    }
}
