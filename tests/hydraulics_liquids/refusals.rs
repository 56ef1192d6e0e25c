//! What can't be given, and in which words.

use crate::support::one_of_each;
use lantern_ring::hydraulics::liquid::{Liquid, LiquidError, LiquidKind, Quantity};

#[test]
fn beyond_its_range_a_liquid_says_the_range_and_gives_no_number() {
    let refused = Liquid::Water.saturation_pressure_pa(210.0).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "saturation pressure of water can't be given at 210 °C: its formula holds from 0 to 200 °C. Enter a value \
         within that range, or check the liquid set for this pump"
    );
    let refused = Liquid::Methanol.viscosity_pa_s(70.0).unwrap_err();
    assert!(
        refused.to_string().contains("from -97.68 to 64.7 °C"),
        "{refused}"
    );
    let refused = Liquid::Water.saturation_temperature_c(500.0).unwrap_err();
    assert!(refused.to_string().contains("from 611.22 to"), "{refused}");
    for liquid in one_of_each() {
        let (low, high) = liquid.range(Quantity::SaturationPressure).unwrap();
        for outside in [low - 0.001, high + 0.001] {
            assert!(matches!(
                liquid.saturation_pressure_pa(outside),
                Err(LiquidError::OutOfRange { value, .. }) if value == outside
            ));
        }
        for pressure in [0.0, -1e5, 1e12] {
            assert!(matches!(
                liquid.saturation_temperature_c(pressure),
                Err(LiquidError::OutOfRange { unit: "Pa", .. })
            ));
        }
    }
}

#[test]
fn glycol_in_water_isnt_answered_for_below_its_freezing_point() {
    // Melinder's freezing point of 30 % ethylene glycol is -14.6 °C.
    let brine = Liquid::EthyleneGlycolWater { percent: 30.0 };
    brine.density_kg_m3(-14.0).unwrap();
    assert!(brine.density_kg_m3(-15.0).is_err());
    assert!(brine.saturation_pressure_pa(-1.0).is_err());
}

#[test]
fn what_isnt_a_number_is_refused_without_showing_it() {
    for liquid in one_of_each() {
        for asked in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            for answer in [
                liquid.saturation_pressure_pa(asked),
                liquid.saturation_temperature_c(asked),
                liquid.density_kg_m3(asked),
                liquid.viscosity_pa_s(asked),
            ] {
                let refused = answer.unwrap_err();
                assert!(matches!(refused, LiquidError::NotFinite { .. }));
                let words = refused.to_string();
                assert!(words.contains("is not a number") && !words.contains("NaN"));
            }
        }
    }
}

#[test]
fn an_impossible_concentration_is_refused_wherever_it_is_met() {
    for percent in [-0.1, 60.1, f64::NAN, f64::INFINITY] {
        let liquid = Liquid::EthyleneGlycolWater { percent };
        let refused = liquid.density_kg_m3(20.0).unwrap_err();
        assert!(matches!(
            refused,
            LiquidError::ConcentrationOutOfRange { .. }
        ));
        assert!(liquid.range(Quantity::Density).is_err());
        assert_eq!(
            Liquid::new(LiquidKind::EthyleneGlycolWater, Some(percent)),
            Err(refused)
        );
    }
    assert!(matches!(
        Liquid::new(LiquidKind::Seawater, None),
        Err(LiquidError::ConcentrationMissing {
            field: "salinity_g_kg",
            ..
        })
    ));
    assert!(matches!(
        Liquid::new(LiquidKind::Water, Some(1.0)),
        Err(LiquidError::ConcentrationUnexpected { .. })
    ));
}
