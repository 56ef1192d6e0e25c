//! The pressure of the air by altitude.

use crate::{formula::Formula, say, word};

/// Pressure of the standard atmosphere.
pub const STANDARD_ATMOSPHERE: Formula = Formula {
    name: word!(
        "U.S. Standard Atmosphere 1976, lowest layer: p = 101 325 Pa × (288.15 K / (288.15 K − 6.5 K/km × H))^−5.2559, H the geopotential altitude. A standard day's pressure: the weather moves it by a few percent"
    ),
    source: "U.S. Standard Atmosphere 1976, NOAA/NASA/USAF, eqs. 18 and 33a",
};

/// The lowest site altitude answered for, m.
pub const LOWEST_ALTITUDE_M: f64 = -1000.0;
/// The highest site altitude answered for, m. The standard goes on; no plant stands above.
pub const HIGHEST_ALTITUDE_M: f64 = 5000.0;

const SEA_LEVEL_PA: f64 = 101_325.0;
const SEA_LEVEL_K: f64 = 288.15;
const LAPSE_K_M: f64 = 0.0065;
const EARTH_RADIUS_M: f64 = 6_356_766.0;
const GRAVITY_M_S2: f64 = 9.80665;
const AIR_KG_KMOL: f64 = 28.9644;
/// The standard's own, a little below today's value.
const GAS_CONSTANT_J_KMOL_K: f64 = 8314.32;

/// Why the pressure of the air can't be given.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AtmosphereError {
    /// Beyond the altitudes answered for.
    #[error("{}", say!(
        "The pressure of the air can't be given at {altitude_m} m: the site's altitude must be from {lowest_altitude_m} to {highest_altitude_m} m above sea level. Set it in metres",
        altitude_m, lowest_altitude_m = LOWEST_ALTITUDE_M, highest_altitude_m = HIGHEST_ALTITUDE_M
    ))]
    OutOfRange {
        /// What was asked, m.
        altitude_m: f64,
    },
    /// Not a number.
    #[error("{}", say!(
        "The pressure of the air can't be given: the site's altitude is not a number. Set it in metres above sea level"
    ))]
    NotFinite,
}

/// Absolute pressure of the air on a standard day at a geometric altitude above sea level, as maps and surveys give it.
///
/// By [`STANDARD_ATMOSPHERE`], from [`LOWEST_ALTITUDE_M`] to [`HIGHEST_ALTITUDE_M`].
pub fn atmospheric_pressure_pa(altitude_m: f64) -> Result<f64, AtmosphereError> {
    if !altitude_m.is_finite() {
        return Err(AtmosphereError::NotFinite);
    }
    if !(LOWEST_ALTITUDE_M..=HIGHEST_ALTITUDE_M).contains(&altitude_m) {
        return Err(AtmosphereError::OutOfRange { altitude_m });
    }
    let geopotential_m = EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m);
    let exponent = GRAVITY_M_S2 * AIR_KG_KMOL / (GAS_CONSTANT_J_KMOL_K * LAPSE_K_M);
    let temperature_k = SEA_LEVEL_K - LAPSE_K_M * geopotential_m;
    Ok(SEA_LEVEL_PA * (temperature_k / SEA_LEVEL_K).powf(exponent))
}
