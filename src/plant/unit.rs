//! Units that entries, limits and gauges are written in.
//!
//! A number is kept in the unit it was read in; comparing two units goes
//! through SI. Conversion factors: NIST SP 811 (2008), appendix B.

use crate::say;
use serde::{Deserialize, Serialize};
use std::{fmt, str::FromStr};

/// What a unit measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Pressure, gauge or difference; SI Pa.
    Pressure,
    /// Temperature; SI K.
    Temperature,
    /// Vibration velocity, RMS; SI m/s.
    Velocity,
    /// Volume flow; SI m³/s.
    Flow,
    /// Electric current; SI A.
    Current,
    /// Counted rate; SI 1/s.
    Rate,
    /// Share of a whole; SI 1.
    Fraction,
    /// Step on an ordered scale; no SI unit.
    Step,
    /// Length; SI m.
    Length,
    /// Turning speed; SI 1/s.
    Turning,
}

macro_rules! units {
    ($($(#[$doc:meta])* $name:ident, $key:literal, $symbol:expr, $quantity:ident, $factor:expr, $offset:expr;)*) => {
        /// A unit of measure.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
        pub enum Unit {
            $($(#[$doc])* #[serde(rename = $key)] $name,)*
        }

        impl Unit {
            /// Every unit.
            pub const ALL: &[Unit] = &[$(Unit::$name,)*];

            /// The unit as it is written in files.
            pub fn key(self) -> &'static str {
                match self { $(Unit::$name => $key,)* }
            }

            /// The unit as it is shown to people, in the language spoken now where it has a word in it.
            pub fn symbol(self) -> &'static str {
                match self { $(Unit::$name => $symbol,)* }
            }

            /// What it measures.
            pub fn quantity(self) -> Quantity {
                match self { $(Unit::$name => Quantity::$quantity,)* }
            }

            /// SI value = value × factor + offset.
            fn factor_and_offset(self) -> (f64, f64) {
                match self { $(Unit::$name => ($factor, $offset),)* }
            }
        }
    };
}

units! {
    /// bar.
    Bar, "bar", "bar", Pressure, 1e5, 0.0;
    /// kilopascal.
    KPa, "kPa", "kPa", Pressure, 1e3, 0.0;
    /// pound-force per square inch.
    Psi, "psi", "psi", Pressure, 6_894.757_293_168_361, 0.0;
    /// degree Celsius.
    Celsius, "degC", "°C", Temperature, 1.0, 273.15;
    /// degree Fahrenheit.
    Fahrenheit, "degF", "°F", Temperature, 5.0 / 9.0, 459.67 * 5.0 / 9.0;
    /// millimetre per second, RMS.
    MmPerS, "mm/s", "mm/s", Velocity, 1e-3, 0.0;
    /// inch per second, RMS.
    InPerS, "in/s", "in/s", Velocity, 0.0254, 0.0;
    /// litre per minute.
    LPerMin, "L/min", "L/min", Flow, 1e-3 / 60.0, 0.0;
    /// millilitre per minute.
    MlPerMin, "mL/min", "mL/min", Flow, 1e-6 / 60.0, 0.0;
    /// cubic metre per hour.
    M3PerH, "m3/h", "m³/h", Flow, 1.0 / 3600.0, 0.0;
    /// US gallon per minute.
    Gpm, "gpm", "gpm", Flow, 3.785_411_784e-3 / 60.0, 0.0;
    /// ampere.
    Ampere, "A", "A", Current, 1.0, 0.0;
    /// drops per minute.
    DropsPerMin, "drops/min", say!("drops/min"), Rate, 1.0 / 60.0, 0.0;
    /// per cent of a glass, tank or bottle.
    Percent, "%", "%", Fraction, 0.01, 0.0;
    /// step on an ordered scale, 0 the least.
    Step, "step", "", Step, 1.0, 0.0;
    /// revolution per minute.
    Rpm, "rpm", say!("rpm"), Turning, 1.0 / 60.0, 0.0;
    /// millimetre.
    Mm, "mm", "mm", Length, 1e-3, 0.0;
}

/// A unit that is not known, with the known ones in the message.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", say!("the unit '{unit}' is not known; use one of {known}", unit = _0, known = known_units()))]
pub struct UnknownUnit(pub String);

fn known_units() -> String {
    let keys: Vec<_> = Unit::ALL.iter().map(|unit| unit.key()).collect();
    keys.join(", ")
}

impl Unit {
    /// A value in this unit, in SI.
    pub fn to_si(self, value: f64) -> f64 {
        let (factor, offset) = self.factor_and_offset();
        value * factor + offset
    }

    /// An SI value, in this unit.
    pub fn from_si(self, si: f64) -> f64 {
        let (factor, offset) = self.factor_and_offset();
        (si - offset) / factor
    }

    /// A value in this unit, in another unit of the same quantity; `None` where they measure different things.
    ///
    /// The same unit gives the value back to the last bit, so that a reading typed as the limit is the limit.
    pub fn convert(self, value: f64, to: Unit) -> Option<f64> {
        if self == to {
            Some(value)
        } else if self.quantity() == to.quantity() {
            Some(to.from_si(self.to_si(value)))
        } else {
            None
        }
    }

    /// A difference of two values in this unit, in another unit of the same quantity; `None` where they measure
    /// different things. Ten degrees Celsius warmer is 18 degrees Fahrenheit warmer.
    pub fn convert_difference(self, difference: f64, to: Unit) -> Option<f64> {
        let same = self.quantity() == to.quantity();
        let factor = self.factor_and_offset().0 / to.factor_and_offset().0;
        same.then_some(if self == to {
            difference
        } else {
            difference * factor
        })
    }
}

impl FromStr for Unit {
    type Err = UnknownUnit;
    fn from_str(text: &str) -> Result<Self, UnknownUnit> {
        Unit::ALL
            .iter()
            .copied()
            .find(|unit| unit.key() == text)
            .ok_or_else(|| UnknownUnit(text.to_owned()))
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: NIST SP 811 (2008), appendix B.8 (psi, in/s, gal/min) and the exact definitions of °C and °F.
    #[test]
    fn units_convert_by_published_factors() {
        for (value, from, to, expected) in [
            (1.0, Unit::Psi, Unit::KPa, 6.894757),
            (1.0, Unit::Bar, Unit::KPa, 100.0),
            (212.0, Unit::Fahrenheit, Unit::Celsius, 100.0),
            (-40.0, Unit::Fahrenheit, Unit::Celsius, -40.0),
            (1.0, Unit::InPerS, Unit::MmPerS, 25.4),
            (1.0, Unit::Gpm, Unit::LPerMin, 3.785412),
        ] {
            let got = from.convert(value, to).expect("same quantity");
            assert!(
                (got - expected).abs() <= 1e-6 * expected.abs(),
                "{value} {from} is {got} {to}"
            );
        }
    }

    #[test]
    fn different_quantities_do_not_convert() {
        assert_eq!(Unit::Bar.convert(1.0, Unit::Celsius), None);
        assert_eq!(Unit::Bar.convert_difference(1.0, Unit::Celsius), None);
    }

    #[test]
    fn a_difference_of_temperatures_has_no_zero_to_shift() {
        let got = Unit::Celsius.convert_difference(10.0, Unit::Fahrenheit);
        assert!(got.is_some_and(|by| (by - 18.0).abs() < 1e-12), "{got:?}");
        assert_eq!(Unit::Bar.convert_difference(1.5, Unit::KPa), Some(150.0));
    }

    #[test]
    fn every_unit_reads_back_from_its_key() {
        for unit in Unit::ALL {
            assert_eq!(unit.key().parse(), Ok(*unit));
        }
        assert!("bars".parse::<Unit>().is_err());
    }
}
