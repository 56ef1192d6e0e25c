//! Glycol in water: density and viscosity by Melinder's polynomials, saturation pressure by Raoult's law.

use super::model::{Model, ZERO_CELSIUS_K};
use super::property::{Ground, Quantity};
use super::water;
use crate::{formula::Formula, word};

/// Saturation pressure of glycol in water.
pub const GLYCOL_SATURATION: Formula = Formula {
    name: word!(
        "Raoult's law: p = x(water) × p(water), x the mole fraction, p(water) by IAPWS-IF97"
    ),
    source: "Raoult's law as in any text of physical chemistry; IAPWS R7-97(2012) for water",
};

/// Density of glycol in water.
pub const GLYCOL_DENSITY: Formula = Formula {
    name: word!("Melinder's polynomial in temperature and mass fraction"),
    source: "Melinder (2010), Properties of Secondary Working Fluids for Indirect Systems, IIR, as CoolProp carries it",
};

/// Viscosity of glycol in water.
pub const GLYCOL_VISCOSITY: Formula = Formula {
    name: word!("Melinder's polynomial for ln(viscosity) in temperature and mass fraction"),
    source: "Melinder (2010), Properties of Secondary Working Fluids for Indirect Systems, IIR, as CoolProp carries it",
};

const RAOULT: &str = word!(
    "Raoult's law for an ideal mixture, glycol taken as not volatile. Its own error was not measured: no measured vapour pressures were at hand to compare with"
);
const UNPRESSED: &str =
    word!("Melinder's values at ordinary pressure, taken as those of the boiling liquid");

const WATER_KG_KMOL: f64 = 18.015268;

/// Melinder's polynomial: row i, column j multiplies (T - base)^i (x - base)^j.
type Polynomial = [[f64; 6]; 4];

/// One glycol's coefficients.
pub struct Glycol {
    molar_mass_kg_kmol: f64,
    base_k: f64,
    base_fraction: f64,
    /// The freezing point by concentration alone, K.
    freezing_k: [f64; 6],
    /// kg/m³.
    density: Polynomial,
    /// A thousandth of ln(viscosity in mPa·s).
    viscosity: Polynomial,
}

pub const ETHYLENE: Glycol = Glycol {
    molar_mass_kg_kmol: 62.06784,
    base_k: 304.878,
    base_fraction: 0.308462,
    freezing_k: [257.9, -80.8, -133.4, -72.93, 100.6, 11.4],
    density: [
        [1034.0, 131.1, 0.749, -106.2, -96.23, 489.1],
        [-0.4781, -0.6876, 0.7855, 1.229, -7.211, 0.0],
        [-2.692e-3, 4.805e-3, -3.995e-3, -1.153e-2, 0.0, 0.0],
        [4.725e-6, 1.69e-6, 4.982e-5, 0.0, 0.0, 0.0],
    ],
    viscosity: [
        [4.705e-4, 2.471e-3, 3.328e-5, 1.659e-3, 3.089e-3, -1.865e-2],
        [-2.55e-5, -1.171e-5, 1.086e-5, 3.157e-6, 1.831e-5, 0.0],
        [1.782e-7, 1.052e-7, 1.051e-7, 4.063e-7, 0.0, 0.0],
        [-7.669e-10, -1.634e-9, -6.475e-9, 0.0, 0.0, 0.0],
    ],
};

pub const PROPYLENE: Glycol = Glycol {
    molar_mass_kg_kmol: 76.09442,
    base_k: 305.8583,
    base_fraction: 0.307031,
    freezing_k: [259.9, -66.31, -109.4, -228.3, -340.9, 146.5],
    density: [
        [1018.0, 76.04, -24.98, -155.0, -113.1, 234.2],
        [-0.5406, -0.945, 0.27, 2.829, -2.221, 0.0],
        [-2.666e-3, 5.541e-3, -4.018e-3, -7.175e-3, 0.0, 0.0],
        [1.347e-5, -1.343e-5, 3.376e-5, 0.0, 0.0, 0.0],
    ],
    viscosity: [
        [6.837e-4, 3.328e-3, 5.453e-4, -3.9e-3, -1.587e-3, 3.564e-2],
        [-3.045e-5, -3.984e-5, -8.6e-7, 1.054e-4, 4.475e-5, 0.0],
        [2.525e-7, 4.332e-7, -1.593e-7, -1.589e-6, 0.0, 0.0],
        [-1.399e-9, -1.86e-9, -4.465e-10, 0.0, 0.0, 0.0],
    ],
};

/// A glycol at a mass fraction from 0 to 0.6.
pub struct GlycolWater {
    pub glycol: &'static Glycol,
    pub mass_fraction: f64,
}

impl GlycolWater {
    fn water_mole_fraction(&self) -> f64 {
        let water = (1.0 - self.mass_fraction) / WATER_KG_KMOL;
        water / (water + self.mass_fraction / self.glycol.molar_mass_kg_kmol)
    }

    fn freezing_c(&self) -> f64 {
        let x = self.mass_fraction - self.glycol.base_fraction;
        in_powers(&self.glycol.freezing_k, x) - ZERO_CELSIUS_K
    }

    fn by(&self, polynomial: &Polynomial, temperature_k: f64) -> f64 {
        let x = self.mass_fraction - self.glycol.base_fraction;
        let rows = polynomial.map(|row| in_powers(&row, x));
        in_powers(&rows, temperature_k - self.glycol.base_k)
    }
}

/// Horner's rule: c₀ + c₁x + c₂x² …
fn in_powers(coefficients: &[f64], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

impl Model for GlycolWater {
    fn ground(&self, quantity: Quantity) -> Ground {
        let (formula, approximate) = match quantity {
            Quantity::SaturationPressure | Quantity::SaturationTemperature => {
                (GLYCOL_SATURATION, RAOULT)
            }
            Quantity::Density => (GLYCOL_DENSITY, UNPRESSED),
            Quantity::Viscosity => (GLYCOL_VISCOSITY, UNPRESSED),
        };
        let boiling = formula == GLYCOL_SATURATION;
        Ground {
            formula,
            approximate: Some(approximate),
            // The only other source carries the same coefficients and the same law.
            deviation: None,
            // Water's own formula begins at 0 °C, the polynomials where the mixture begins to freeze.
            low_c: if boiling { 0.0 } else { self.freezing_c() },
            high_c: 100.0,
        }
    }

    fn saturation_pressure_pa(&self, temperature_k: f64) -> f64 {
        self.water_mole_fraction() * water::saturation_pressure_pa(temperature_k)
    }

    fn density_kg_m3(&self, temperature_k: f64) -> f64 {
        self.by(&self.glycol.density, temperature_k)
    }

    fn viscosity_pa_s(&self, temperature_k: f64) -> f64 {
        1e-3 * (1e3 * self.by(&self.glycol.viscosity, temperature_k)).exp()
    }
}
