//! The ten pure liquids beside water.

use crate::support::{Row, Seen, given, number, percent_off, pure_liquid, rows, to_digits};
use lantern_ring::hydraulics::liquid::{Liquid, LiquidError, Property, Quantity};

type Ask = fn(Liquid, f64) -> Result<Property, LiquidError>;

/// ln y = C1 + C2/T + C3 ln T + C4 T^C5.
fn dippr_101(row: &Row, t_k: f64) -> f64 {
    let c = |name| given(row, name);
    (c("c1") + c("c2") / t_k + c("c3") * t_k.ln() + c("c4") * t_k.powf(c("c5"))).exp()
}

/// ρ/(mol/m³) = C1 / C2^(1 + (1 - T/C3)^C4).
fn dippr_105_kg_m3(row: &Row, t_k: f64) -> f64 {
    let c = |name| given(row, name);
    let moles = c("c1") / c("c2").powf(1.0 + (1.0 - t_k / c("c3")).max(0.0).powf(c("c4")));
    moles * c("MW_g_mol") / 1e3
}

fn antoine(row: &Row, t_k: f64) -> f64 {
    let exponent = given(row, "c1") - given(row, "c2") / (t_k + given(row, "c3"));
    match row["equation"].starts_with("log10") {
        true => 10f64.powf(exponent),
        false => exponent.exp(),
    }
}

fn follows(row: &Row, quantity: Quantity, ask: Ask, formula: fn(&Row, f64) -> f64) {
    let liquid = pure_liquid(&row["liquid"]);
    let (low_k, high_k) = (given(row, "Tmin_K"), given(row, "Tmax_K"));
    let (low_c, high_c) = liquid.range(quantity).unwrap();
    assert!((low_c + 273.15 - low_k).abs() < 1e-9 && (high_c + 273.15 - high_k).abs() < 1e-9);
    for step in 0..=10 {
        let t_c = (low_c + (high_c - low_c) * f64::from(step) / 10.0).min(high_c);
        let computed = ask(liquid, t_c).unwrap().value;
        assert!(percent_off(computed, formula(row, t_c + 273.15)) < 1e-6);
    }
    for outside in [low_c - 0.01, high_c + 0.01] {
        assert!(matches!(
            ask(liquid, outside),
            Err(LiquidError::OutOfRange { .. })
        ));
    }
}

/// Source: Perry's 8th ed. tables 2-8, 2-32 and 2-313, read in `chemicals` 1.5.2.
#[test]
fn pure_liquids_follow_the_printed_coefficients_within_the_printed_range_and_refuse_outside() {
    let (mut pressure, mut density) = (0, 0);
    for row in rows("liquids_coefficients.csv") {
        if row["equation"].starts_with("DIPPR101") {
            follows(
                &row,
                Quantity::SaturationPressure,
                Liquid::saturation_pressure_pa,
                dippr_101,
            );
            pressure += 1;
        } else if row["equation"].starts_with("DIPPR105") {
            follows(
                &row,
                Quantity::Density,
                Liquid::density_kg_m3,
                dippr_105_kg_m3,
            );
            density += 1;
        }
    }
    let viscosities = rows("liquids_viscosity_coefficients.csv");
    for row in &viscosities {
        follows(row, Quantity::Viscosity, Liquid::viscosity_pa_s, dippr_101);
    }
    assert_eq!((pressure, density, viscosities.len()), (10, 10, 10));
}

/// Not computed by the tool: the 19 Antoine rows (Poling 5th ed., Landolt-Börnstein IV/20), which hold for narrower
/// ranges. Here they are a second opinion, each within its own range.
#[test]
fn antoine_equations_of_other_handbooks_agree() {
    let mut compared = 0;
    let mut furthest: (f64, String) = (0.0, String::new());
    for row in rows("liquids_coefficients.csv") {
        if row["equation"].starts_with("DIPPR") {
            continue;
        }
        let liquid = pure_liquid(&row["liquid"]);
        // Ammonia's Antoine equation begins 2 K below its melting point, where there is nothing to compare.
        let lowest_k = liquid.range(Quantity::SaturationPressure).unwrap().0 + 273.15;
        let (low_k, high_k) = (given(&row, "Tmin_K").max(lowest_k), given(&row, "Tmax_K"));
        for step in 0..=10 {
            let t_k = low_k + (high_k - low_k) * f64::from(step) / 10.0;
            let computed = liquid.saturation_pressure_pa(t_k - 273.15).unwrap().value;
            let off = percent_off(computed, antoine(&row, t_k));
            if off > furthest.0 {
                furthest = (off, row["liquid"].clone());
            }
        }
        compared += 1;
    }
    assert_eq!(compared, 19);
    assert_eq!(furthest.1, "ethylene glycol");
    assert!(furthest.0 < 3.9, "{furthest:?}");
}

/// Source: `chemicals`' own evaluation of Perry's coefficients, computed, six digits.
#[test]
fn pure_liquids_are_what_another_implementation_of_the_same_correlations_gives() {
    let (mut pressures, mut densities, mut refused) = (0, 0, Vec::new());
    for row in rows("liquids_saturation_grid.csv") {
        let (liquid, t) = (pure_liquid(&row["liquid"]), given(&row, "T_C"));
        if let Some(source) = number(&row, "psat_kPa_DIPPR101_Perry") {
            let computed = liquid.saturation_pressure_pa(t).unwrap().value / 1e3;
            to_digits(computed, source, 6);
            pressures += 1;
        }
        let source = given(&row, "rho_kgm3_DIPPR105_Perry");
        match liquid.density_kg_m3(t) {
            Ok(computed) => {
                to_digits(computed.value, source, 6);
                densities += 1;
            }
            Err(_) => refused.push(format!("{liquid} {t}")),
        }
    }
    // Not covered: ethylene glycol at -20 °C, below its melting point and the correlations' 260.15 K. The grid carries
    // the density on to it; the tool refuses.
    assert_eq!(refused, ["ethylene glycol -20"]);
    assert_eq!((pressures, densities), (213, 213));
}

/// Source: CoolProp 8.0.0 reference equations, computed. Ethylene glycol has none there, and acetone no viscosity.
#[test]
fn pure_liquids_state_how_far_they_are_from_reference_equations() {
    let columns: [(Ask, &str, f64); 3] = [
        (
            Liquid::saturation_pressure_pa,
            "psat_kPa_CoolProp8.0.0",
            1e-3,
        ),
        (Liquid::density_kg_m3, "rho_satliq_kgm3_CoolProp", 1.0),
        (Liquid::viscosity_pa_s, "mu_mPas_CoolProp", 1e3),
    ];
    let grid = rows("liquids_saturation_grid.csv");
    assert_eq!(grid.len(), 214);
    let mut tally = Vec::new();
    for (ask, column, scale) in columns {
        let (mut compared, mut refused, mut without) = (0, 0, 0);
        for same in grid.chunk_by(|a, b| a["liquid"] == b["liquid"]) {
            let liquid = pure_liquid(&same[0]["liquid"]);
            let mut seen = Seen::none();
            for row in same {
                let t = given(row, "T_C");
                match (number(row, column), ask(liquid, t)) {
                    (None, _) => without += 1,
                    (Some(source), Ok(property)) => {
                        seen.compare(t, scale * property.value, source);
                    }
                    (Some(_), Err(_)) => refused += 1,
                }
            }
            compared += seen.count;
            let stated = ask(liquid, 25.0).unwrap();
            if seen.count > 0 {
                seen.is_stated_by(&stated, 0.1);
            } else {
                let coolprop =
                    |d: lantern_ring::hydraulics::liquid::Deviation| d.against.contains("CoolProp");
                assert!(!stated.deviation.is_some_and(coolprop), "{liquid}");
            }
        }
        tally.push((compared, refused, without));
    }
    // Refused: viscosities above the range of Perry's correlations, from methanol's 64.7 °C to propane's 86.85 °C.
    assert_eq!(tally, [(191, 0, 23), (191, 0, 23), (128, 40, 46)]);
}

/// Source: Antoine equation of Landolt-Börnstein IV/20, computed; the only second source at hand for this liquid.
#[test]
fn ethylene_glycol_states_how_far_it_is_from_a_second_handbook() {
    let mut seen = Seen::none();
    for row in rows("liquids_saturation_grid.csv") {
        if let ("ethylene glycol", Some(source)) = (
            row["liquid"].as_str(),
            number(&row, "psat_kPa_Antoine_LandoltB"),
        ) {
            let t = given(&row, "T_C");
            let computed = Liquid::EthyleneGlycol.saturation_pressure_pa(t).unwrap();
            seen.compare(t, computed.value / 1e3, source);
        }
    }
    assert_eq!(seen.count, 11);
    seen.is_stated_by(
        &Liquid::EthyleneGlycol.saturation_pressure_pa(25.0).unwrap(),
        0.1,
    );
}
