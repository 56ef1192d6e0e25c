//! What is pumped: saturation pressure, density and viscosity by temperature.
//!
//! | liquid | saturation pressure | density | viscosity |
//! | --- | --- | --- | --- |
//! | water, 0 to 200 °C | [`WATER_SATURATION`] | [`WATER_DENSITY`] | [`WATER_VISCOSITY`] |
//! | ten pure liquids | [`PURE_SATURATION`] | [`PURE_DENSITY`] | [`PURE_VISCOSITY`] |
//! | glycol in water | [`GLYCOL_SATURATION`] | [`GLYCOL_DENSITY`] | [`GLYCOL_VISCOSITY`] |
//! | seawater | [`SEAWATER_SATURATION`] | [`SEAWATER_DENSITY`] | [`SEAWATER_VISCOSITY`] |
//!
//! Density and viscosity are those of the liquid at its saturation pressure (mixtures: at ordinary pressure).
//! At 20 °C, pressing water to 100 bar makes it about 0.5 % denser; that is left out.
//!
//! Each formula's range is enforced: outside it there is an error that names the range, never a number.

mod error;
mod glycol;
mod kind;
mod model;
mod property;
mod pure;
mod seawater;
mod water;
mod written;

pub use error::LiquidError;
pub use glycol::{GLYCOL_DENSITY, GLYCOL_SATURATION, GLYCOL_VISCOSITY};
pub use kind::{Concentration, LiquidKind};
pub use property::{Deviation, Property, Quantity};
pub use pure::{PURE_DENSITY, PURE_SATURATION, PURE_VISCOSITY};
pub use seawater::{SEAWATER_DENSITY, SEAWATER_SATURATION, SEAWATER_VISCOSITY};
pub use water::{WATER_DENSITY, WATER_SATURATION, WATER_VISCOSITY};

use crate::language;
use glycol::GlycolWater;
use model::{Model, ZERO_CELSIUS_K};
use property::Ground;
use seawater::Seawater;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A liquid. In files: `{ kind = "water" }`, `{ kind = "ethylene_glycol_water", percent = 30 }`,
/// `{ kind = "seawater", salinity_g_kg = 35 }`; other fields, missing and impossible concentrations are refused.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "written::Written", into = "written::Written")]
pub enum Liquid {
    /// Fresh water.
    Water,
    /// Ethanol, without water.
    Ethanol,
    /// Methanol, without water.
    Methanol,
    /// Toluene.
    Toluene,
    /// Benzene.
    Benzene,
    /// n-Hexane.
    NHexane,
    /// n-Heptane.
    NHeptane,
    /// Acetone.
    Acetone,
    /// Ammonia, without water.
    Ammonia,
    /// Propane.
    Propane,
    /// Ethylene glycol, without water.
    EthyleneGlycol,
    /// Ethylene glycol in water.
    EthyleneGlycolWater {
        /// Glycol, percent of the mixture's mass, 0 to 60.
        percent: f64,
    },
    /// Propylene glycol in water.
    PropyleneGlycolWater {
        /// Glycol, percent of the mixture's mass, 0 to 60.
        percent: f64,
    },
    /// Seawater.
    Seawater {
        /// Salt, g in a kg of seawater, 0 to 120; the open ocean has about 35.
        salinity_g_kg: f64,
    },
}

impl Liquid {
    /// A liquid of a kind, with its concentration if it is a mixture and without one if it isn't.
    ///
    /// # Errors
    ///
    /// When a concentration is missing, has no place, or is outside the range that
    /// [`LiquidKind::concentration`] tells.
    pub fn new(kind: LiquidKind, concentration: Option<f64>) -> Result<Liquid, LiquidError> {
        let given = match (kind.concentration(), concentration) {
            (None, None) => 0.0,
            (Some(_), Some(given)) => given,
            (None, Some(_)) => {
                return Err(LiquidError::ConcentrationUnexpected {
                    liquid: kind,
                    field: "concentration",
                });
            }
            (Some(taken), None) => {
                return Err(LiquidError::ConcentrationMissing {
                    liquid: kind,
                    field: taken.field,
                    low: taken.low,
                    high: taken.high,
                    unit: taken.unit,
                });
            }
        };
        let liquid = Liquid::of(kind, given);
        liquid.sound()?;
        Ok(liquid)
    }

    fn of(kind: LiquidKind, concentration: f64) -> Liquid {
        match kind {
            LiquidKind::Water => Liquid::Water,
            LiquidKind::Ethanol => Liquid::Ethanol,
            LiquidKind::Methanol => Liquid::Methanol,
            LiquidKind::Toluene => Liquid::Toluene,
            LiquidKind::Benzene => Liquid::Benzene,
            LiquidKind::NHexane => Liquid::NHexane,
            LiquidKind::NHeptane => Liquid::NHeptane,
            LiquidKind::Acetone => Liquid::Acetone,
            LiquidKind::Ammonia => Liquid::Ammonia,
            LiquidKind::Propane => Liquid::Propane,
            LiquidKind::EthyleneGlycol => Liquid::EthyleneGlycol,
            LiquidKind::EthyleneGlycolWater => Liquid::EthyleneGlycolWater {
                percent: concentration,
            },
            LiquidKind::PropyleneGlycolWater => Liquid::PropyleneGlycolWater {
                percent: concentration,
            },
            LiquidKind::Seawater => Liquid::Seawater {
                salinity_g_kg: concentration,
            },
        }
    }

    /// Which liquid it is, without its concentration.
    pub fn kind(self) -> LiquidKind {
        match self {
            Liquid::Water => LiquidKind::Water,
            Liquid::Ethanol => LiquidKind::Ethanol,
            Liquid::Methanol => LiquidKind::Methanol,
            Liquid::Toluene => LiquidKind::Toluene,
            Liquid::Benzene => LiquidKind::Benzene,
            Liquid::NHexane => LiquidKind::NHexane,
            Liquid::NHeptane => LiquidKind::NHeptane,
            Liquid::Acetone => LiquidKind::Acetone,
            Liquid::Ammonia => LiquidKind::Ammonia,
            Liquid::Propane => LiquidKind::Propane,
            Liquid::EthyleneGlycol => LiquidKind::EthyleneGlycol,
            Liquid::EthyleneGlycolWater { .. } => LiquidKind::EthyleneGlycolWater,
            Liquid::PropyleneGlycolWater { .. } => LiquidKind::PropyleneGlycolWater,
            Liquid::Seawater { .. } => LiquidKind::Seawater,
        }
    }

    /// A mixture's concentration, in the unit that [`LiquidKind::concentration`] tells.
    pub fn concentration(self) -> Option<f64> {
        match self {
            Liquid::EthyleneGlycolWater { percent } | Liquid::PropyleneGlycolWater { percent } => {
                Some(percent)
            }
            Liquid::Seawater { salinity_g_kg } => Some(salinity_g_kg),
            _ => None,
        }
    }

    /// Absolute pressure at which the liquid boils at `temperature_c`, Pa. It rises with temperature.
    ///
    /// # Errors
    ///
    /// As all properties: [`LiquidError::OutOfRange`] outside the formula's range, which the error and
    /// [`Liquid::range`] tell; [`LiquidError::NotFinite`] for what isn't a number;
    /// [`LiquidError::ConcentrationOutOfRange`] for a mixture that can't be.
    pub fn saturation_pressure_pa(self, temperature_c: f64) -> Result<Property, LiquidError> {
        self.by_temperature(Quantity::SaturationPressure, temperature_c)
    }

    /// Temperature at which the liquid boils at an absolute pressure, °C: [`Liquid::saturation_pressure_pa`] turned
    /// around. Its range is the saturation pressures at the ends of that one's.
    ///
    /// # Errors
    ///
    /// As [`Liquid::saturation_pressure_pa`].
    pub fn saturation_temperature_c(self, pressure_pa: f64) -> Result<Property, LiquidError> {
        let quantity = Quantity::SaturationTemperature;
        self.within(quantity, pressure_pa)?;
        let model = self.model();
        let ground = model.ground(quantity);
        let temperature_c = model.saturation_temperature_k(pressure_pa) - ZERO_CELSIUS_K;
        // Rounding at the very ends must not give a temperature that the other way then refuses.
        Ok(property(
            ground,
            temperature_c.clamp(ground.low_c, ground.high_c),
        ))
    }

    /// Density of the liquid at `temperature_c` and its saturation pressure (mixtures: ordinary pressure), kg/m³.
    ///
    /// # Errors
    ///
    /// As [`Liquid::saturation_pressure_pa`].
    pub fn density_kg_m3(self, temperature_c: f64) -> Result<Property, LiquidError> {
        self.by_temperature(Quantity::Density, temperature_c)
    }

    /// Dynamic viscosity of the liquid at `temperature_c` and its saturation pressure (mixtures: ordinary pressure), Pa·s.
    ///
    /// # Errors
    ///
    /// As [`Liquid::saturation_pressure_pa`].
    pub fn viscosity_pa_s(self, temperature_c: f64) -> Result<Property, LiquidError> {
        self.by_temperature(Quantity::Viscosity, temperature_c)
    }

    /// From which to which value a quantity can be asked, both included: °C, for the saturation temperature Pa absolute.
    ///
    /// # Errors
    ///
    /// [`LiquidError::ConcentrationOutOfRange`] for a mixture that can't be.
    pub fn range(self, quantity: Quantity) -> Result<(f64, f64), LiquidError> {
        self.sound()?;
        let model = self.model();
        let ground = model.ground(quantity);
        Ok(match quantity {
            Quantity::SaturationTemperature => (
                model.saturation_pressure_pa(ground.low_c + ZERO_CELSIUS_K),
                model.saturation_pressure_pa(ground.high_c + ZERO_CELSIUS_K),
            ),
            _ => (ground.low_c, ground.high_c),
        })
    }

    fn by_temperature(
        self,
        quantity: Quantity,
        temperature_c: f64,
    ) -> Result<Property, LiquidError> {
        self.within(quantity, temperature_c)?;
        let model = self.model();
        let temperature_k = temperature_c + ZERO_CELSIUS_K;
        let value = match quantity {
            Quantity::Density => model.density_kg_m3(temperature_k),
            Quantity::Viscosity => model.viscosity_pa_s(temperature_k),
            Quantity::SaturationPressure | Quantity::SaturationTemperature => {
                model.saturation_pressure_pa(temperature_k)
            }
        };
        Ok(property(model.ground(quantity), value))
    }

    /// The value asked by is a number within the formula's range.
    fn within(self, quantity: Quantity, value: f64) -> Result<(), LiquidError> {
        let (asked_by, unit) = quantity.asked_by();
        if !value.is_finite() {
            return Err(LiquidError::NotFinite {
                liquid: self.kind(),
                quantity,
                asked_by,
            });
        }
        let (low, high) = self.range(quantity)?;
        if !(low..=high).contains(&value) {
            return Err(LiquidError::OutOfRange {
                liquid: self,
                quantity,
                value,
                low,
                high,
                unit,
            });
        }
        Ok(())
    }

    /// A mixture's concentration is one its formulas hold for. The variants are open, so each question asks again.
    fn sound(self) -> Result<(), LiquidError> {
        match (self.kind().concentration(), self.concentration()) {
            (Some(taken), Some(given)) if !(taken.low..=taken.high).contains(&given) => {
                Err(LiquidError::ConcentrationOutOfRange {
                    liquid: self.kind(),
                    field: taken.field,
                    low: taken.low,
                    high: taken.high,
                    unit: taken.unit,
                })
            }
            _ => Ok(()),
        }
    }

    fn model(self) -> Box<dyn Model> {
        match self {
            Liquid::Water => Box::new(water::Water),
            Liquid::Ethanol => Box::new(pure::ETHANOL),
            Liquid::Methanol => Box::new(pure::METHANOL),
            Liquid::Toluene => Box::new(pure::TOLUENE),
            Liquid::Benzene => Box::new(pure::BENZENE),
            Liquid::NHexane => Box::new(pure::N_HEXANE),
            Liquid::NHeptane => Box::new(pure::N_HEPTANE),
            Liquid::Acetone => Box::new(pure::ACETONE),
            Liquid::Ammonia => Box::new(pure::AMMONIA),
            Liquid::Propane => Box::new(pure::PROPANE),
            Liquid::EthyleneGlycol => Box::new(pure::ETHYLENE_GLYCOL),
            Liquid::EthyleneGlycolWater { percent } => Box::new(GlycolWater {
                glycol: &glycol::ETHYLENE,
                mass_fraction: percent / 100.0,
            }),
            Liquid::PropyleneGlycolWater { percent } => Box::new(GlycolWater {
                glycol: &glycol::PROPYLENE,
                mass_fraction: percent / 100.0,
            }),
            Liquid::Seawater { salinity_g_kg } => Box::new(Seawater {
                salinity: salinity_g_kg / 1000.0,
            }),
        }
    }
}

fn property(ground: Ground, value: f64) -> Property {
    Property {
        value,
        formula: ground.formula,
        approximate: ground.approximate,
        deviation: ground.deviation,
    }
}

impl fmt::Display for Liquid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.concentration(), self.kind().concentration()) {
            (Some(given), Some(taken)) => {
                write!(
                    f,
                    "{} ({} {})",
                    self.kind(),
                    language::number(given),
                    language::word(taken.unit)
                )
            }
            _ => write!(f, "{}", self.kind()),
        }
    }
}
