//! What every liquid's formulas offer. Nothing here checks a range: `Liquid` does, before it asks.

use super::property::{Ground, Quantity};

pub const ZERO_CELSIUS_K: f64 = 273.15;

/// One liquid's formulas, in kelvin.
pub trait Model {
    /// What a quantity rests on, and from which to which temperature it holds.
    fn ground(&self, quantity: Quantity) -> Ground;

    fn saturation_pressure_pa(&self, temperature_k: f64) -> f64;

    /// Of the boiling liquid.
    fn density_kg_m3(&self, temperature_k: f64) -> f64;

    /// Of the boiling liquid.
    fn viscosity_pa_s(&self, temperature_k: f64) -> f64;

    /// The saturation pressure turned around. It rises with temperature, so that halving always finds the one place.
    fn saturation_temperature_k(&self, pressure_pa: f64) -> f64 {
        let ground = self.ground(Quantity::SaturationPressure);
        let mut low_k = ground.low_c + ZERO_CELSIUS_K;
        let mut high_k = ground.high_c + ZERO_CELSIUS_K;
        // 60 halvings of a few hundred kelvin end below the last bit.
        for _ in 0..60 {
            let middle_k = low_k + (high_k - low_k) / 2.0;
            if self.saturation_pressure_pa(middle_k) < pressure_pa {
                low_k = middle_k;
            } else {
                high_k = middle_k;
            }
        }
        low_k + (high_k - low_k) / 2.0
    }
}
