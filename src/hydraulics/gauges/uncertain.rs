//! A value with how well it is known.

use super::error::{CannotCompute, finite};
use crate::{formula::Formula, word};

/// How uncertainties are combined.
pub const UNCERTAINTY: Formula = Formula {
    name: word!("root sum of squares of first-order terms, 95 % by k = 2"),
    source: "JCGM 100:2008 (GUM), 5.1.2 with note 2 of 5.1.3, and 6.2 (clauses from memory)",
};

/// A value and the half width of its interval of about 95 % (the expanded uncertainty with k = 2).
///
/// Both numbers are finite and the half width is never negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertain {
    value: f64,
    half_width: f64,
}

impl Uncertain {
    /// A value and the half width of its 95 % interval, in the value's unit.
    ///
    /// # Errors
    /// `NotFinite` where either is no number, `OutOfRange` where the half width is negative.
    pub fn new(value: f64, half_width: f64) -> Result<Self, CannotCompute> {
        Self::named(word!("The value"), value, half_width)
    }

    /// A value taken as known, such as a bore from a drawing.
    ///
    /// # Errors
    /// `NotFinite` where it is no number.
    pub fn exact(value: f64) -> Result<Self, CannotCompute> {
        Self::new(value, 0.0)
    }

    /// A value that lies anywhere within a limit of error, as an instrument's class states it.
    ///
    /// GUM 4.3.7: evenly spread within ± `limit`, the standard uncertainty is `limit`/√3; the half
    /// width is twice that, 1.15 × `limit`. A little wide for one reading alone, so that the sum of several holds its 95 %.
    ///
    /// # Errors
    /// As [`Uncertain::new`].
    pub fn within_limit(value: f64, limit: f64) -> Result<Self, CannotCompute> {
        Self::new(value, 2.0 * limit / 3.0_f64.sqrt())
    }

    pub(super) fn named(
        quantity: &'static str,
        value: f64,
        half_width: f64,
    ) -> Result<Self, CannotCompute> {
        finite(quantity, value)?;
        super::error::within(
            word!("The half width of an uncertainty"),
            half_width,
            (0.0, f64::MAX),
            word!("Enter it without a minus sign."),
        )?;
        finite(quantity, value.abs() + half_width)?;
        Ok(Self { value, half_width })
    }

    /// The value itself.
    pub fn value(self) -> f64 {
        self.value
    }

    /// Half the width of the interval of about 95 %, in the value's unit.
    pub fn half_width(self) -> f64 {
        self.half_width
    }

    /// Lower end of the interval.
    pub fn lower(self) -> f64 {
        self.value - self.half_width
    }

    /// Upper end of the interval.
    pub fn upper(self) -> f64 {
        self.value + self.half_width
    }

    /// The same quantity in another unit, or a known multiple of it.
    ///
    /// # Errors
    /// `NotFinite` where the factor or the result is no number.
    pub fn scaled(self, factor: f64) -> Result<Self, CannotCompute> {
        finite(word!("The factor"), factor)?;
        Self::new(self.value * factor, self.half_width * factor.abs())
    }

    /// Any computation with independent inputs.
    ///
    /// The value is `f` of the values. Each input's term is half the change of `f` over that input's
    /// own interval (GUM 5.1.3, note 2); the half width is the root of the sum of their squares. An
    /// input that enters `f` twice counts once, as it must. `quantity` begins the words of an error.
    ///
    /// # Errors
    /// `NotFinite` where `f` gives no number at the values or at the ends of an interval.
    pub fn combine<const N: usize>(
        quantity: &'static str,
        inputs: [Self; N],
        f: impl Fn([f64; N]) -> f64,
    ) -> Result<Self, CannotCompute> {
        let values = inputs.map(Self::value);
        let mut sum_of_squares = 0.0;
        for (i, input) in inputs.iter().enumerate() {
            let mut at = values;
            at[i] = input.lower();
            let low = finite(quantity, f(at))?;
            at[i] = input.upper();
            let high = finite(quantity, f(at))?;
            sum_of_squares += ((high - low) / 2.0).powi(2);
        }
        Self::named(quantity, f(values), sum_of_squares.sqrt())
    }
}
