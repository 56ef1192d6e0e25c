//! How a liquid is written in files: `{ kind = "seawater", salinity_g_kg = 35 }`.

use super::{Liquid, LiquidError, LiquidKind};
use serde::{Deserialize, Serialize};

/// The fields as they stand in a file; which of them a kind takes is seen when it is read.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Written {
    kind: LiquidKind,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    percent: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    salinity_g_kg: Option<f64>,
}

impl TryFrom<Written> for Liquid {
    type Error = LiquidError;

    fn try_from(written: Written) -> Result<Liquid, LiquidError> {
        let takes = written.kind.concentration().map(|taken| taken.field);
        let given = [
            ("percent", written.percent),
            ("salinity_g_kg", written.salinity_g_kg),
        ];
        for (field, value) in given {
            if value.is_some() && takes != Some(field) {
                return Err(LiquidError::ConcentrationUnexpected {
                    liquid: written.kind,
                    field,
                });
            }
        }
        Liquid::new(written.kind, written.percent.or(written.salinity_g_kg))
    }
}

impl From<Liquid> for Written {
    fn from(liquid: Liquid) -> Written {
        let mut written = Written {
            kind: liquid.kind(),
            percent: None,
            salinity_g_kg: None,
        };
        match liquid {
            Liquid::EthyleneGlycolWater { percent } | Liquid::PropyleneGlycolWater { percent } => {
                written.percent = Some(percent);
            }
            Liquid::Seawater { salinity_g_kg } => written.salinity_g_kg = Some(salinity_g_kg),
            _ => {}
        }
        written
    }
}
