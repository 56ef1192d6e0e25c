//! What a property comes back as: its value with what it rests on.

use crate::{formula::Formula, say, word};

/// What can be asked of a liquid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Absolute pressure at which the liquid boils at a temperature, Pa.
    SaturationPressure,
    /// Temperature at which the liquid boils at an absolute pressure, °C.
    SaturationTemperature,
    /// Density of the boiling liquid at a temperature, kg/m³.
    Density,
    /// Dynamic viscosity of the boiling liquid at a temperature, Pa·s.
    Viscosity,
}

impl Quantity {
    /// Every quantity.
    pub const ALL: &[Quantity] = &[
        Quantity::SaturationPressure,
        Quantity::SaturationTemperature,
        Quantity::Density,
        Quantity::Viscosity,
    ];

    /// As people say it, for example "saturation pressure".
    pub fn words(self) -> &'static str {
        match self {
            Quantity::SaturationPressure => say!("saturation pressure"),
            Quantity::SaturationTemperature => say!("saturation temperature"),
            Quantity::Density => say!("density"),
            Quantity::Viscosity => say!("viscosity"),
        }
    }

    /// What it is asked by: a temperature in °C, or an absolute pressure in Pa.
    pub(super) fn asked_by(self) -> (&'static str, &'static str) {
        match self {
            Quantity::SaturationTemperature => (word!("absolute pressure"), "Pa"),
            _ => (word!("temperature"), "°C"),
        }
    }
}

/// How far a formula was from another source, where both could be asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviation {
    /// The largest difference seen, percent of the other source's value, never negative.
    pub percent: f64,
    /// The lowest temperature compared, °C.
    pub from_c: f64,
    /// The highest temperature compared, °C.
    pub to_c: f64,
    /// The other source.
    pub against: &'static str,
}

/// A value with what it rests on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Property {
    /// The value, in the unit its function names. Always finite.
    pub value: f64,
    /// The formula and its publication.
    pub formula: Formula,
    /// What is simplified, by its name, where the formula isn't the liquid's own.
    pub approximate: Option<&'static str>,
    /// How far the formula was from another source; nothing where there was none to compare with.
    /// For a saturation temperature: of the saturation pressure it turns around.
    pub deviation: Option<Deviation>,
}

/// What a property rests on, and the temperatures it holds for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ground {
    pub formula: Formula,
    pub approximate: Option<&'static str>,
    pub deviation: Option<Deviation>,
    pub low_c: f64,
    pub high_c: f64,
}
