//! Glycol in water and seawater.

use crate::support::{Row, Seen, given, number, rows, to_digits, within_percent};
use lantern_ring::hydraulics::liquid::Liquid;

fn grid(name: &str) -> Vec<Row> {
    let all = rows("liquids_mixtures_grid.csv");
    assert_eq!(all.len(), 60);
    all.into_iter()
        .filter(|row| row["liquid"].starts_with(name))
        .collect()
}

/// Source: CoolProp 8.0.0 INCOMP::MEG and MPG (Melinder 2010), computed. The same coefficients: it shows that they are
/// evaluated as published. The saturation pressures there are Raoult's law too, so that agreement says nothing of how
/// good that law is here.
#[test]
fn glycol_in_water_is_what_another_implementation_of_the_same_formulas_gives() {
    let (mut covered, mut without_pressure) = (0, 0);
    for (name, of) in [
        (
            "ethylene glycol/water",
            (|percent| Liquid::EthyleneGlycolWater { percent }) as fn(f64) -> Liquid,
        ),
        ("propylene glycol/water", |percent| {
            Liquid::PropyleneGlycolWater { percent }
        }),
    ] {
        for row in grid(name) {
            let liquid = of(100.0 * given(&row, "mass_fraction"));
            let t = given(&row, "T_C");
            let density = liquid.density_kg_m3(t).unwrap().value;
            to_digits(density, given(&row, "rho_kgm3"), 6);
            let viscosity = liquid.viscosity_pa_s(t).unwrap().value;
            to_digits(1e3 * viscosity, given(&row, "mu_mPas"), 5);
            match number(&row, "psat_kPa") {
                Some(source) => {
                    let pressure = liquid.saturation_pressure_pa(t).unwrap().value;
                    to_digits(pressure / 1e3, source, 5);
                }
                // Water's formula begins at 0 °C, there and here.
                None => {
                    assert!(liquid.saturation_pressure_pa(t).is_err());
                    without_pressure += 1;
                }
            }
            covered += 1;
        }
    }
    assert_eq!((covered, without_pressure), (48, 4));
}

/// Source: water by IAPWS, an outside check of Melinder's polynomials where the glycol vanishes. The polynomials are
/// fitted over all mixtures and are worst at this end.
#[test]
fn glycol_in_water_without_glycol_is_nearly_water() {
    for liquid in [
        Liquid::EthyleneGlycolWater { percent: 0.0 },
        Liquid::PropyleneGlycolWater { percent: 0.0 },
    ] {
        for t in [5.0, 20.0, 60.0, 100.0] {
            let water = Liquid::Water;
            let (ours, waters) = (
                liquid.saturation_pressure_pa(t).unwrap().value,
                water.saturation_pressure_pa(t).unwrap().value,
            );
            within_percent(ours, waters, 1e-9);
            let density = water.density_kg_m3(t).unwrap().value;
            within_percent(liquid.density_kg_m3(t).unwrap().value, density, 0.1);
            let viscosity = water.viscosity_pa_s(t).unwrap().value;
            within_percent(liquid.viscosity_pa_s(t).unwrap().value, viscosity, 2.0);
        }
    }
}

/// Source: CoolProp 8.0.0 INCOMP::MITSW (a fit to Sharqawy et al. 2010), computed, at 35 g/kg; density also against
/// IAPWS-08 by `iapws` 1.5.5 from 10 to 80 °C.
#[test]
fn seawater_states_how_far_it_is_from_a_second_source() {
    let sea = Liquid::Seawater {
        salinity_g_kg: 35.0,
    };
    let (mut pressure, mut density, mut viscosity) = (Seen::none(), Seen::none(), Seen::none());
    let mut cross_checked = 0;
    for row in grid("seawater") {
        let t = given(&row, "T_C");
        let p = sea.saturation_pressure_pa(t).unwrap().value;
        let rho = sea.density_kg_m3(t).unwrap().value;
        let mu = sea.viscosity_pa_s(t).unwrap().value;
        pressure.compare(t, p / 1e3, given(&row, "psat_kPa"));
        density.compare(t, rho, given(&row, "rho_kgm3"));
        viscosity.compare(t, 1e3 * mu, given(&row, "mu_mPas"));
        if let Some(iapws) = number(&row, "rho_crosscheck_kgm3") {
            // Sharqawy et al. state 0.1 %; IAPWS-08 is itself beyond its range where it is hottest.
            within_percent(rho, iapws, if t <= 70.0 { 0.05 } else { 0.15 });
            cross_checked += 1;
        }
    }
    assert_eq!((pressure.count, cross_checked), (12, 8));
    pressure.is_stated_by(&sea.saturation_pressure_pa(20.0).unwrap(), 0.1);
    density.is_stated_by(&sea.density_kg_m3(20.0).unwrap(), 0.01);
    viscosity.is_stated_by(&sea.viscosity_pa_s(20.0).unwrap(), 0.1);
}

#[test]
fn mixtures_name_their_approximation_and_pure_liquids_have_none() {
    for liquid in crate::support::one_of_each() {
        let property = liquid.saturation_pressure_pa(20.0).unwrap();
        let mixture = liquid.kind().concentration().is_some();
        assert_eq!(
            property.approximate.is_some_and(|a| a.contains("Raoult")),
            mixture,
            "{liquid}"
        );
    }
}
