//! What holds for every liquid at every temperature it answers for.

use crate::support::one_of_each;
use lantern_ring::hydraulics::liquid::{Liquid, Quantity};
use proptest::prelude::*;

fn any_liquid() -> impl Strategy<Value = Liquid> {
    prop_oneof![
        proptest::sample::select(one_of_each()),
        (0.0..=60.0).prop_map(|percent| Liquid::EthyleneGlycolWater { percent }),
        (0.0..=60.0).prop_map(|percent| Liquid::PropyleneGlycolWater { percent }),
        (0.0..=120.0).prop_map(|salinity_g_kg| Liquid::Seawater { salinity_g_kg }),
    ]
}

fn at(liquid: Liquid, quantity: Quantity, share: f64) -> f64 {
    let (low, high) = liquid.range(quantity).unwrap();
    (low + (high - low) * share).clamp(low, high)
}

proptest! {
    #[test]
    fn saturation_pressure_rises_with_temperature(liquid in any_liquid(), a in 0.0..=1.0, b in 0.0..=1.0) {
        let (cold, hot) = (f64::min(a, b), f64::max(a, b));
        prop_assume!(hot - cold > 1e-6);
        let pressure = |share| {
            liquid.saturation_pressure_pa(at(liquid, Quantity::SaturationPressure, share)).unwrap().value
        };
        prop_assert!(pressure(cold) < pressure(hot));
    }

    #[test]
    fn saturation_temperature_turns_saturation_pressure_around(liquid in any_liquid(), share in 0.0..=1.0) {
        let t = at(liquid, Quantity::SaturationPressure, share);
        let pressure = liquid.saturation_pressure_pa(t).unwrap().value;
        let back = liquid.saturation_temperature_c(pressure).unwrap().value;
        // IF97's two directions are consistent to a few millionths of a kelvin; the others to rounding.
        prop_assert!((back - t).abs() < 1e-5, "{t} came back as {back}");
    }

    #[test]
    fn saturation_pressure_turns_saturation_temperature_around(liquid in any_liquid(), share in 0.0..=1.0) {
        let pressure = at(liquid, Quantity::SaturationTemperature, share);
        let t = liquid.saturation_temperature_c(pressure).unwrap().value;
        let back = liquid.saturation_pressure_pa(t).unwrap().value;
        prop_assert!((back / pressure - 1.0).abs() < 1e-6, "{pressure} came back as {back}");
    }

    #[test]
    fn every_property_within_its_range_is_finite_and_positive(liquid in any_liquid(), share in 0.0..=1.0) {
        for quantity in [Quantity::SaturationPressure, Quantity::Density, Quantity::Viscosity] {
            let t = at(liquid, quantity, share);
            let property = match quantity {
                Quantity::Density => liquid.density_kg_m3(t),
                Quantity::Viscosity => liquid.viscosity_pa_s(t),
                _ => liquid.saturation_pressure_pa(t),
            };
            let value = property.unwrap().value;
            prop_assert!(value.is_finite() && value > 0.0, "{quantity:?} {value}");
        }
    }

    #[test]
    fn whatever_is_asked_is_answered_with_a_number_or_refused(liquid in any_liquid(), asked in proptest::num::f64::ANY) {
        for answer in [
            liquid.saturation_pressure_pa(asked),
            liquid.saturation_temperature_c(asked),
            liquid.density_kg_m3(asked),
            liquid.viscosity_pa_s(asked),
        ] {
            prop_assert!(answer.is_err() || answer.unwrap().value.is_finite());
        }
    }

    #[test]
    fn glycol_and_salt_lower_the_saturation_pressure(share in 0.01..=1.0, t in 0.0..=100.0) {
        let water = Liquid::Water.saturation_pressure_pa(t).unwrap().value;
        for mixture in [
            Liquid::EthyleneGlycolWater { percent: 60.0 * share },
            Liquid::PropyleneGlycolWater { percent: 60.0 * share },
            Liquid::Seawater { salinity_g_kg: 120.0 * share },
        ] {
            prop_assert!(mixture.saturation_pressure_pa(t).unwrap().value < water);
        }
    }
}

#[test]
fn both_ends_of_every_range_are_answered() {
    for liquid in one_of_each() {
        let ends = |quantity| <[f64; 2]>::from(liquid.range(quantity).unwrap());
        for t in ends(Quantity::SaturationPressure) {
            liquid.saturation_pressure_pa(t).unwrap();
        }
        for pressure in ends(Quantity::SaturationTemperature) {
            let t = liquid.saturation_temperature_c(pressure).unwrap().value;
            liquid.saturation_pressure_pa(t).unwrap();
        }
        for t in ends(Quantity::Density) {
            liquid.density_kg_m3(t).unwrap();
        }
        for t in ends(Quantity::Viscosity) {
            liquid.viscosity_pa_s(t).unwrap();
        }
    }
}
