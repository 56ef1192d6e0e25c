//! The ten pure liquids beside water, by the correlations of Perry's handbook.

use super::model::{Model, ZERO_CELSIUS_K};
use super::property::{Deviation, Ground, Quantity};
use crate::{formula::Formula, word};

/// Saturation pressure of the pure liquids beside water.
pub const PURE_SATURATION: Formula = Formula {
    name: word!("ln(p/Pa) = C1 + C2/T + C3 ln T + C4 T^C5"),
    source: "Perry's Chemical Engineers' Handbook, 8th ed. (2007), table 2-8",
};

/// Density of the pure liquids beside water, at saturation.
pub const PURE_DENSITY: Formula = Formula {
    name: word!("ρ/(mol/m³) = C1 / C2^(1 + (1 − T/C3)^C4)"),
    source: "Perry's Chemical Engineers' Handbook, 8th ed. (2007), table 2-32",
};

/// Viscosity of the pure liquids beside water, at saturation.
pub const PURE_VISCOSITY: Formula = Formula {
    name: word!("ln(μ/(Pa·s)) = C1 + C2/T + C3 ln T + C4 T^C5"),
    source: "Perry's Chemical Engineers' Handbook, 8th ed. (2007), table 2-313",
};

const REFERENCE: &str = "the liquid's reference equations in CoolProp 8.0.0";

/// One correlation: its coefficients, the temperatures it holds for, what it was compared with.
pub struct Correlation<const N: usize> {
    c: [f64; N],
    low_k: f64,
    high_k: f64,
    deviation: Option<Deviation>,
}

/// One pure liquid.
pub struct Pure {
    kg_kmol: f64,
    saturation: Correlation<5>,
    density: Correlation<4>,
    viscosity: Correlation<5>,
}

const fn correlation<const N: usize>(
    c: [f64; N],
    (low_k, high_k): (f64, f64),
    deviation: Option<Deviation>,
) -> Correlation<N> {
    Correlation {
        c,
        low_k,
        high_k,
        deviation,
    }
}

/// The largest difference from the reference equations, percent, rounded up to a tenth, and between which °C.
const fn seen(percent: f64, from_c: f64, to_c: f64) -> Option<Deviation> {
    Some(Deviation {
        percent,
        from_c,
        to_c,
        against: REFERENCE,
    })
}

pub const ETHANOL: Pure = Pure {
    kg_kmol: 46.06844,
    saturation: correlation(
        [73.304, -7122.3, -7.1424, 2.8853e-6, 2.0],
        (159.05, 514.0),
        seen(1.8, -20.0, 200.0),
    ),
    density: correlation(
        [1628.8, 0.27469, 514.0, 0.23178],
        (159.05, 514.0),
        seen(1.0, -20.0, 200.0),
    ),
    viscosity: correlation(
        [7.875, 781.98, -3.0418, 0.0, 0.0],
        (200.0, 440.0),
        seen(3.2, -20.0, 160.0),
    ),
};

pub const METHANOL: Pure = Pure {
    kg_kmol: 32.04186,
    saturation: correlation(
        [82.718, -6904.5, -8.8622, 7.4664e-6, 2.0],
        (175.47, 512.5),
        seen(5.6, -20.0, 200.0),
    ),
    density: correlation(
        [2326.7, 0.27073, 512.5, 0.24713],
        (175.47, 512.5),
        seen(0.5, -20.0, 200.0),
    ),
    viscosity: correlation(
        [-25.317, 1789.2, 2.069, 0.0, 0.0],
        (175.47, 337.85),
        seen(4.9, -20.0, 60.0),
    ),
};

pub const TOLUENE: Pure = Pure {
    kg_kmol: 92.13842,
    saturation: correlation(
        [76.945, -6729.8, -8.179, 5.3017e-6, 2.0],
        (178.18, 591.75),
        seen(2.2, -20.0, 200.0),
    ),
    density: correlation(
        [879.2, 0.27136, 591.75, 0.29241],
        (178.18, 591.75),
        seen(0.3, -20.0, 200.0),
    ),
    viscosity: correlation(
        [-226.08, 6805.7, 37.542, -0.060853, 1.0],
        (178.18, 383.78),
        seen(2.3, -20.0, 110.0),
    ),
};

pub const BENZENE: Pure = Pure {
    kg_kmol: 78.11184,
    saturation: correlation(
        [83.107, -6486.2, -9.2194, 6.9844e-6, 2.0],
        (278.68, 562.05),
        seen(0.5, 10.0, 200.0),
    ),
    density: correlation(
        [1025.9, 0.26666, 562.05, 0.28394],
        (278.68, 562.05),
        seen(0.3, 10.0, 200.0),
    ),
    viscosity: correlation(
        [7.5117, 294.68, -2.794, 0.0, 0.0],
        (278.68, 545.0),
        seen(3.3, 10.0, 200.0),
    ),
};

pub const N_HEXANE: Pure = Pure {
    kg_kmol: 86.17536,
    saturation: correlation(
        [104.65, -6995.5, -12.702, 1.2381e-5, 2.0],
        (177.83, 507.6),
        seen(1.7, -20.0, 200.0),
    ),
    density: correlation(
        [708.24, 0.26411, 507.6, 0.27537],
        (177.83, 507.6),
        seen(0.3, -20.0, 200.0),
    ),
    viscosity: correlation(
        [-6.3276, 640.0, -0.694, 5.6884e21, -10.0],
        (174.65, 406.08),
        seen(11.9, -20.0, 130.0),
    ),
};

pub const N_HEPTANE: Pure = Pure {
    kg_kmol: 100.20194,
    saturation: correlation(
        [87.829, -6996.4, -9.8802, 7.2099e-6, 2.0],
        (182.57, 540.2),
        seen(0.5, -20.0, 200.0),
    ),
    density: correlation(
        [612.59, 0.26211, 540.2, 0.28141],
        (182.57, 540.2),
        seen(0.7, -20.0, 200.0),
    ),
    viscosity: correlation(
        [-9.4622, 877.07, -0.23445, 1.4022e22, -10.0],
        (180.15, 432.16),
        seen(13.5, -20.0, 150.0),
    ),
};

pub const ACETONE: Pure = Pure {
    kg_kmol: 58.07914,
    saturation: correlation(
        [69.006, -5599.6, -7.0985, 6.2237e-6, 2.0],
        (178.45, 508.2),
        seen(2.5, -20.0, 200.0),
    ),
    density: correlation(
        [1233.2, 0.25886, 508.2, 0.2913],
        (178.45, 508.2),
        seen(0.3, -20.0, 200.0),
    ),
    viscosity: correlation([-14.918, 1023.4, 0.5961, 0.0, 0.0], (190.0, 329.44), None),
};

pub const AMMONIA: Pure = Pure {
    kg_kmol: 17.03052,
    saturation: correlation(
        [90.483, -4669.7, -11.607, 0.017194, 1.0],
        (195.41, 405.65),
        seen(1.2, -60.0, 100.0),
    ),
    density: correlation(
        [3538.3, 0.25443, 405.65, 0.2888],
        (195.41, 405.65),
        seen(0.4, -60.0, 100.0),
    ),
    viscosity: correlation(
        [-6.743, 598.3, -0.7341, -3.69e-27, 10.0],
        (195.41, 393.15),
        seen(2.5, -60.0, 100.0),
    ),
};

pub const PROPANE: Pure = Pure {
    kg_kmol: 44.09562,
    saturation: correlation(
        [59.078, -3492.6, -6.0669, 1.0919e-5, 2.0],
        (85.47, 369.83),
        seen(0.5, -60.0, 90.0),
    ),
    density: correlation(
        [1375.7, 0.27453, 369.83, 0.29359],
        (85.47, 369.83),
        seen(0.6, -60.0, 90.0),
    ),
    viscosity: correlation(
        [-17.156, 646.25, 1.1101, -7.3439e-11, 4.0],
        (85.47, 360.0),
        seen(4.3, -60.0, 80.0),
    ),
};

pub const ETHYLENE_GLYCOL: Pure = Pure {
    kg_kmol: 62.06784,
    saturation: correlation(
        [84.09, -10411.0, -8.1976, 1.6536e-18, 6.0],
        (260.15, 720.0),
        Some(Deviation {
            percent: 3.4,
            from_c: 100.0,
            to_c: 200.0,
            against: "the Antoine equation of Landolt-Börnstein, New Series IV/20",
        }),
    ),
    density: correlation([1315.0, 0.25125, 720.0, 0.21868], (260.15, 720.0), None),
    viscosity: correlation(
        [-20.515, 2468.5, 1.2435, 2499800000000.0, -5.0],
        (260.15, 576.0),
        None,
    ),
};

/// e^(C1 + C2/T + C3 ln T + C4 T^C5), the form that both pressures and viscosities are printed for.
fn exponential([c1, c2, c3, c4, c5]: [f64; 5], temperature_k: f64) -> f64 {
    (c1 + c2 / temperature_k + c3 * temperature_k.ln() + c4 * temperature_k.powf(c5)).exp()
}

impl Model for Pure {
    fn ground(&self, quantity: Quantity) -> Ground {
        match quantity {
            Quantity::SaturationPressure | Quantity::SaturationTemperature => {
                self.saturation.ground(PURE_SATURATION)
            }
            Quantity::Density => self.density.ground(PURE_DENSITY),
            Quantity::Viscosity => self.viscosity.ground(PURE_VISCOSITY),
        }
    }

    fn saturation_pressure_pa(&self, temperature_k: f64) -> f64 {
        exponential(self.saturation.c, temperature_k)
    }

    fn density_kg_m3(&self, temperature_k: f64) -> f64 {
        let [c1, c2, critical_k, c4] = self.density.c;
        // At the critical point itself rounding may leave a trace below zero, which has no such power.
        let distance = (1.0 - temperature_k / critical_k).max(0.0);
        self.kg_kmol / 1e3 * c1 / c2.powf(1.0 + distance.powf(c4))
    }

    fn viscosity_pa_s(&self, temperature_k: f64) -> f64 {
        exponential(self.viscosity.c, temperature_k)
    }
}

impl<const N: usize> Correlation<N> {
    fn ground(&self, formula: Formula) -> Ground {
        Ground {
            formula,
            approximate: None,
            deviation: self.deviation,
            low_c: self.low_k - ZERO_CELSIUS_K,
            high_c: self.high_k - ZERO_CELSIUS_K,
        }
    }
}
