//! Water by the international formulations, in kelvin: IAPWS-IF97 for saturation and volume, IAPWS 2008 for viscosity.

use super::model::Model;
use super::property::{Deviation, Ground, Quantity};
use crate::{formula::Formula, word};

/// Saturation pressure and temperature of water.
pub const WATER_SATURATION: Formula = Formula {
    name: word!("IAPWS-IF97 region 4, saturation line of water"),
    source: "IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, eqs. 30 and 31",
};

/// Density of water on its saturation line.
pub const WATER_DENSITY: Formula = Formula {
    name: word!("IAPWS-IF97 region 1, volume of liquid water, at its saturation pressure"),
    source: "IAPWS R7-97(2012), Revised Release on the IAPWS Industrial Formulation 1997, eq. 7",
};

/// Viscosity of water on its saturation line.
pub const WATER_VISCOSITY: Formula = Formula {
    name: word!(
        "IAPWS 2008 viscosity of water, without the critical enhancement, at the density of the saturated liquid"
    ),
    source: "IAPWS R12-08, Release on the IAPWS Formulation 2008 for the Viscosity of Ordinary Water Substance, eqs. 10 to 12",
};

const LOW_C: f64 = 0.0;
const HIGH_C: f64 = 200.0;

/// Specific gas constant of water in IF97, J/(kg·K).
const GAS_CONSTANT_J_KG_K: f64 = 461.526;

/// Region 4: n1 to n10 of table 34.
const SATURATION: [f64; 10] = [
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
];

/// Region 1: I, J, n of table 2, without the eight terms of I = 0, which add nothing to the volume.
const VOLUME: [(i32, i32, f64); 26] = [
    (1, -9, 0.00028319080123804),
    (1, -7, -0.00060706301565874),
    (1, -1, -0.018990068218419),
    (1, 0, -0.032529748770505),
    (1, 1, -0.021841717175414),
    (1, 3, -5.283835796993e-5),
    (2, -3, -0.00047184321073267),
    (2, 0, -0.00030001780793026),
    (2, 1, 4.7661393906987e-5),
    (2, 3, -4.4141845330846e-6),
    (2, 17, -7.2694996297594e-16),
    (3, -4, -3.1679644845054e-5),
    (3, 0, -2.8270797985312e-6),
    (3, 6, -8.5205128120103e-10),
    (4, -5, -2.2425281908e-6),
    (4, -2, -6.5171222895601e-7),
    (4, 10, -1.4341729937924e-13),
    (5, -8, -4.0516996860117e-7),
    (8, -11, -1.2734301741641e-9),
    (8, -6, -1.7424871230634e-10),
    (21, -29, -6.8762131295531e-19),
    (23, -31, 1.4478307828521e-20),
    (29, -38, 2.6335781662795e-23),
    (30, -39, -1.1947622640071e-23),
    (31, -40, 1.8228094581404e-24),
    (32, -41, -9.3537087292458e-26),
];

/// Viscosity in the limit of zero density: H of table 1.
const VISCOSITY_DILUTE: [f64; 4] = [1.67752, 2.20462, 0.6366564, -0.241605];

/// Viscosity's part by density: i, j, H of table 2.
const VISCOSITY_DENSE: [(i32, i32, f64); 21] = [
    (0, 0, 0.520094),
    (1, 0, 0.0850895),
    (2, 0, -1.08374),
    (3, 0, -0.289555),
    (0, 1, 0.222531),
    (1, 1, 0.999115),
    (2, 1, 1.88797),
    (3, 1, 1.26613),
    (5, 1, 0.120573),
    (0, 2, -0.281378),
    (1, 2, -0.906851),
    (2, 2, -0.772479),
    (3, 2, -0.489837),
    (4, 2, -0.25704),
    (0, 3, 0.161913),
    (1, 3, 0.257399),
    (0, 4, -0.0325372),
    (3, 4, 0.0698452),
    (4, 5, 0.00872102),
    (3, 6, -0.00435673),
    (5, 6, -0.000593264),
];

pub struct Water;

impl Model for Water {
    fn ground(&self, quantity: Quantity) -> Ground {
        let (formula, percent, against) = match quantity {
            Quantity::SaturationPressure | Quantity::SaturationTemperature => {
                (WATER_SATURATION, 0.02, "IAPWS-95 in CoolProp 8.0.0")
            }
            Quantity::Density => (WATER_DENSITY, 0.002, "IAPWS-95 in CoolProp 8.0.0"),
            Quantity::Viscosity => (
                WATER_VISCOSITY,
                0.006,
                "IAPWS 2008 with IAPWS-95 densities in CoolProp 8.0.0",
            ),
        };
        Ground {
            formula,
            approximate: None,
            deviation: Some(Deviation {
                percent,
                from_c: 0.01,
                to_c: 200.0,
                against,
            }),
            low_c: LOW_C,
            high_c: HIGH_C,
        }
    }

    fn saturation_pressure_pa(&self, temperature_k: f64) -> f64 {
        saturation_pressure_pa(temperature_k)
    }

    fn saturation_temperature_k(&self, pressure_pa: f64) -> f64 {
        saturation_temperature_k(pressure_pa)
    }

    fn density_kg_m3(&self, temperature_k: f64) -> f64 {
        saturated_density_kg_m3(temperature_k)
    }

    fn viscosity_pa_s(&self, temperature_k: f64) -> f64 {
        viscosity_pa_s(temperature_k, saturated_density_kg_m3(temperature_k))
    }
}

/// IF97 eq. 30, 273.15 to 647.096 K.
pub fn saturation_pressure_pa(temperature_k: f64) -> f64 {
    let n = &SATURATION;
    let theta = temperature_k + n[8] / (temperature_k - n[9]);
    let a = theta * theta + n[0] * theta + n[1];
    let b = n[2] * theta * theta + n[3] * theta + n[4];
    let c = n[5] * theta * theta + n[6] * theta + n[7];
    1e6 * (2.0 * c / (-b + (b * b - 4.0 * a * c).sqrt())).powi(4)
}

/// IF97 eq. 31, 611.213 Pa to 22.064 MPa.
fn saturation_temperature_k(pressure_pa: f64) -> f64 {
    let n = &SATURATION;
    let beta = (pressure_pa / 1e6).powf(0.25);
    let e = beta * beta + n[2] * beta + n[5];
    let f = n[0] * beta * beta + n[3] * beta + n[6];
    let g = n[1] * beta * beta + n[4] * beta + n[7];
    let d = 2.0 * g / (-f - (f * f - 4.0 * e * g).sqrt());
    let sum = n[9] + d;
    (sum - (sum * sum - 4.0 * (n[8] + n[9] * d)).sqrt()) / 2.0
}

/// IF97 eq. 7, region 1: 273.15 to 623.15 K, from the saturation pressure to 100 MPa. m³/kg.
fn specific_volume_m3_kg(temperature_k: f64, pressure_pa: f64) -> f64 {
    let (reduced_pressure, tau) = (pressure_pa / 16.53e6, 1386.0 / temperature_k);
    let slope: f64 = VOLUME
        .iter()
        .map(|&(i, j, n)| {
            -n * f64::from(i) * (7.1 - reduced_pressure).powi(i - 1) * (tau - 1.222).powi(j)
        })
        .sum();
    GAS_CONSTANT_J_KG_K * temperature_k / pressure_pa * reduced_pressure * slope
}

fn saturated_density_kg_m3(temperature_k: f64) -> f64 {
    1.0 / specific_volume_m3_kg(temperature_k, saturation_pressure_pa(temperature_k))
}

/// IAPWS 2008 eqs. 10 to 12, with the critical enhancement of eq. 14 left out as the release allows away from the
/// critical point.
fn viscosity_pa_s(temperature_k: f64, density_kg_m3: f64) -> f64 {
    let (warmth, density) = (temperature_k / 647.096, density_kg_m3 / 322.0);
    let dilute: f64 = (0..)
        .zip(VISCOSITY_DILUTE)
        .map(|(i, h)| h / warmth.powi(i))
        .sum();
    let dense: f64 = VISCOSITY_DENSE
        .iter()
        .map(|&(i, j, h)| h * (1.0 / warmth - 1.0).powi(i) * (density - 1.0).powi(j))
        .sum();
    1e-6 * 100.0 * warmth.sqrt() / dilute * (density * dense).exp()
}

#[cfg(test)]
mod tests {
    //! The releases' own verification values, most of them beyond the range that the liquid answers for.

    use super::*;
    use serde_json::Value;

    fn rows(block: &str) -> Vec<Value> {
        let text = include_str!("../../../tests/data/reference/water_iapws_verification.json");
        let all: Value = serde_json::from_str(text).unwrap();
        all[block]["rows"].as_array().unwrap().clone()
    }

    /// The releases print nine digits; half of the last place is at most 5e-9 of the value.
    fn as_printed(computed: f64, printed: f64, relative: f64) {
        assert!(
            ((computed - printed) / printed).abs() <= relative,
            "{computed} is not {printed}"
        );
    }

    fn number(row: &Value, field: &str) -> f64 {
        row[field].as_f64().unwrap()
    }

    #[test]
    fn region_4_gives_table_35() {
        let rows = rows("region4_psat_T");
        assert_eq!(rows.len(), 3);
        for row in rows {
            let pressure_pa = saturation_pressure_pa(number(&row, "T_K"));
            as_printed(pressure_pa / 1e6, number(&row, "p_MPa_printed"), 5e-9);
        }
    }

    #[test]
    fn region_4_backwards_gives_table_36() {
        let rows = rows("region4_tsat_p");
        assert_eq!(rows.len(), 3);
        for row in rows {
            let temperature_k = saturation_temperature_k(1e6 * number(&row, "p_MPa"));
            as_printed(temperature_k, number(&row, "T_K_printed"), 5e-9);
        }
    }

    #[test]
    fn region_1_gives_the_volumes_of_table_5() {
        let rows = rows("region1_v");
        assert_eq!(rows.len(), 3);
        for row in rows {
            let volume = specific_volume_m3_kg(number(&row, "T_K"), 1e6 * number(&row, "p_MPa"));
            as_printed(volume, number(&row, "v_printed"), 5e-9);
        }
    }

    #[test]
    fn viscosity_gives_the_releases_table_4() {
        let rows = rows("viscosity");
        assert_eq!(rows.len(), 5);
        for row in rows {
            let viscosity = viscosity_pa_s(number(&row, "T_K"), number(&row, "rho"));
            // Six decimals of µPa·s are printed.
            let printed = number(&row, "mu_uPas_printed");
            as_printed(1e6 * viscosity, printed, 0.5e-6 / printed + 1e-12);
        }
    }
}
