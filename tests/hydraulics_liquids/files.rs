//! How liquids stand in files.

use crate::support::one_of_each;
use lantern_ring::hydraulics::liquid::{Liquid, LiquidKind};
use serde::{Deserialize, Serialize};

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Pumped {
    liquid: Liquid,
}

fn read(liquid: &str) -> Result<Liquid, String> {
    toml::from_str::<Pumped>(&format!("liquid = {liquid}"))
        .map(|pumped| pumped.liquid)
        .map_err(|error| error.to_string())
}

#[test]
fn liquids_read_as_they_are_written() {
    assert_eq!(read(r#"{ kind = "water" }"#), Ok(Liquid::Water));
    assert_eq!(
        read(r#"{ kind = "ethylene_glycol_water", percent = 30 }"#),
        Ok(Liquid::EthyleneGlycolWater { percent: 30.0 })
    );
    assert_eq!(
        read(r#"{ kind = "seawater", salinity_g_kg = 35.5 }"#),
        Ok(Liquid::Seawater {
            salinity_g_kg: 35.5
        })
    );
}

#[test]
fn every_liquid_survives_toml_and_json() {
    let all = one_of_each();
    assert_eq!(all.len(), 14);
    for liquid in all {
        let pumped = Pumped { liquid };
        let toml = toml::to_string(&pumped).unwrap();
        assert_eq!(toml::from_str::<Pumped>(&toml).unwrap(), pumped);
        let json = serde_json::to_string(&pumped).unwrap();
        assert_eq!(serde_json::from_str::<Pumped>(&json).unwrap(), pumped);
    }
}

#[test]
fn keys_are_what_files_say() {
    for kind in LiquidKind::ALL {
        let written = serde_json::to_string(kind).unwrap();
        assert_eq!(written, format!("\"{}\"", kind.key()));
    }
}

#[test]
fn fields_that_have_no_place_or_are_missing_are_refused() {
    for (liquid, word) in [
        (r#"{ kind = "mercury" }"#, "mercury"),
        (r#"{ kind = "water", colour = "blue" }"#, "colour"),
        (
            r#"{ kind = "water", percent = 30 }"#,
            "water takes no `percent`",
        ),
        (
            r#"{ kind = "seawater", percent = 3 }"#,
            "seawater takes no `percent`",
        ),
        (
            r#"{ kind = "propylene_glycol_water" }"#,
            "needs `percent`, from 0 to 60 % by mass",
        ),
        (
            r#"{ kind = "propylene_glycol_water", percent = 61 }"#,
            "must be a number from 0 to 60 % by mass",
        ),
        (
            r#"{ kind = "seawater", salinity_g_kg = nan }"#,
            "must be a number from 0 to 120 g/kg",
        ),
        (r#"{ percent = 30 }"#, "kind"),
        (r#""water""#, "kind"),
    ] {
        let refused = read(liquid).unwrap_err();
        assert!(
            refused.contains(word) || word == "kind",
            "{liquid}: {refused}"
        );
    }
}
