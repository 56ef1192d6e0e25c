//! Seawater: density and viscosity by Sharqawy, Lienhard and Zubair, saturation pressure by Raoult's law.

use super::model::{Model, ZERO_CELSIUS_K};
use super::property::{Deviation, Ground, Quantity};
use super::water;
use crate::{formula::Formula, word};

/// Saturation pressure of seawater.
pub const SEAWATER_SATURATION: Formula = Formula {
    name: word!(
        "Raoult's law: p = x(water) × p(water), x the mole fraction beside the ions of sea salt, p(water) by IAPWS-IF97"
    ),
    source: "Raoult's law as in any text of physical chemistry; mean molar mass of sea salt 31.4038 g/mol by the Reference Composition (Millero et al. 2008); IAPWS R7-97(2012) for water",
};

/// Density of seawater.
pub const SEAWATER_DENSITY: Formula = Formula {
    name: word!("Polynomial in temperature and salinity"),
    source: "Sharqawy, Lienhard, Zubair (2010), Desalination and Water Treatment 16, 354-380, eq. 8",
};

/// Viscosity of seawater.
pub const SEAWATER_VISCOSITY: Formula = Formula {
    name: word!("Viscosity of water by 1 + A S + B S², A and B polynomials in temperature"),
    source: "Sharqawy, Lienhard, Zubair (2010), Desalination and Water Treatment 16, 354-380, eqs. 22 and 23",
};

const RAOULT: &str =
    word!("Raoult's law for an ideal mixture, the salt taken as its ions and as not volatile");
const UNPRESSED: &str = word!(
    "values at ordinary pressure, above 100 °C at saturation, taken as those of the boiling liquid"
);

const WATER_G_MOL: f64 = 18.015268;
const SEA_SALT_G_MOL: f64 = 31.4038;

/// Seawater at a salinity in kg of salt in a kg of seawater.
pub struct Seawater {
    pub salinity: f64,
}

impl Model for Seawater {
    fn ground(&self, quantity: Quantity) -> Ground {
        let (formula, approximate, percent) = match quantity {
            Quantity::SaturationPressure | Quantity::SaturationTemperature => {
                (SEAWATER_SATURATION, RAOULT, 0.3)
            }
            Quantity::Density => (SEAWATER_DENSITY, UNPRESSED, 0.02),
            Quantity::Viscosity => (SEAWATER_VISCOSITY, UNPRESSED, 0.8),
        };
        Ground {
            formula,
            approximate: Some(approximate),
            deviation: Some(Deviation {
                percent,
                from_c: 10.0,
                to_c: 120.0,
                against: "MIT seawater in CoolProp 8.0.0, at 35 g/kg only",
            }),
            low_c: 0.0,
            // Published up to 180 °C; compared with a second source up to 120 °C only.
            high_c: 120.0,
        }
    }

    fn saturation_pressure_pa(&self, temperature_k: f64) -> f64 {
        let water = (1.0 - self.salinity) / WATER_G_MOL;
        let mole_fraction = water / (water + self.salinity / SEA_SALT_G_MOL);
        mole_fraction * water::saturation_pressure_pa(temperature_k)
    }

    fn density_kg_m3(&self, temperature_k: f64) -> f64 {
        let (t, s) = (temperature_k - ZERO_CELSIUS_K, self.salinity);
        let water = 999.9 + t * (2.034e-2 + t * (-6.162e-3 + t * (2.261e-5 - t * 4.657e-8)));
        let salt = 802.0 + t * (-2.001 + t * (1.677e-2 - t * 3.060e-5));
        water + s * salt - 1.613e-5 * s * s * t * t
    }

    fn viscosity_pa_s(&self, temperature_k: f64) -> f64 {
        let (t, s) = (temperature_k - ZERO_CELSIUS_K, self.salinity);
        let water = 4.2844e-5 + 1.0 / (0.157 * (t + 64.993).powi(2) - 91.296);
        let a = 1.541 + 1.998e-2 * t - 9.52e-5 * t * t;
        let b = 7.974 - 7.561e-2 * t + 4.724e-4 * t * t;
        water * (1.0 + a * s + b * s * s)
    }
}
