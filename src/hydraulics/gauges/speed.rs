//! The affinity laws: one pump at another speed.

use super::{
    error::{CannotCompute, positive},
    head::surely_positive,
    uncertain::Uncertain,
};
use crate::{formula::Formula, word};

/// How a pump changes with its speed.
pub const AFFINITY_LAWS: Formula = Formula {
    name: word!("Q ∝ n, H ∝ n², P ∝ n³; NPSHr ∝ n² to a higher speed and n^1.5 to a lower one"),
    source: "DOE-HDBK-1012/3-92, equations 3-23 to 3-25; NPSHr: D. B. Andrews, Lawrence Pumps newsletter 4/3, March 2007",
};

/// The exponent of NPSH required with speed: the one of the two in use that asks for more.
pub(super) fn npsh_required_exponent(ratio: f64) -> f64 {
    if ratio < 1.0 { 1.5 } else { 2.0 }
}

/// From one speed of a pump to another, with the same impeller and liquid.
///
/// Duties move along with the speed: a flow at the first speed becomes the flow of the same place on
/// the curve at the second. Efficiency is taken to stay, which holds less well the further the speeds are apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpeedRatio {
    from_rpm: Uncertain,
    to_rpm: Uncertain,
}

impl SpeedRatio {
    /// From one speed to another, rpm.
    ///
    /// # Errors
    /// `NotPositive`, `TooUncertain` for a speed that is not surely more than zero.
    pub fn new(from_rpm: Uncertain, to_rpm: Uncertain) -> Result<Self, CannotCompute> {
        for speed in [from_rpm, to_rpm] {
            positive(
                word!("The pump's speed (rpm)"),
                speed.value(),
                word!("Enter the speed from the plate or a tachometer."),
            )?;
            surely_positive(word!("The pump's speed"), speed)?;
        }
        Ok(Self { from_rpm, to_rpm })
    }

    /// Flow at the new speed, in the unit it is given in.
    ///
    /// # Errors
    /// `NotFinite` where it is beyond numbers.
    pub fn flow(&self, flow: Uncertain) -> Result<Uncertain, CannotCompute> {
        self.by_power(word!("Flow at the new speed"), flow, |_| 1.0)
    }

    /// Head at the new speed, in the unit it is given in.
    ///
    /// # Errors
    /// `NotFinite` where it is beyond numbers.
    pub fn head(&self, head: Uncertain) -> Result<Uncertain, CannotCompute> {
        self.by_power(word!("Head at the new speed"), head, |_| 2.0)
    }

    /// Power at the new speed, in the unit it is given in.
    ///
    /// # Errors
    /// `NotFinite` where it is beyond numbers.
    pub fn power(&self, power: Uncertain) -> Result<Uncertain, CannotCompute> {
        self.by_power(word!("Power at the new speed"), power, |_| 3.0)
    }

    /// NPSH required at the new speed, in the unit it is given in: an estimate, since makers differ on the exponent.
    ///
    /// # Errors
    /// `NotFinite` where it is beyond numbers.
    pub fn npsh_required(&self, npsh_required: Uncertain) -> Result<Uncertain, CannotCompute> {
        self.by_power(
            word!("NPSH required at the new speed"),
            npsh_required,
            npsh_required_exponent,
        )
    }

    fn by_power(
        &self,
        quantity: &'static str,
        at_old_speed: Uncertain,
        exponent: impl Fn(f64) -> f64,
    ) -> Result<Uncertain, CannotCompute> {
        Uncertain::combine(
            quantity,
            [at_old_speed, self.from_rpm, self.to_rpm],
            |[x, from, to]| x * (to / from).powf(exponent(to / from)),
        )
    }
}
