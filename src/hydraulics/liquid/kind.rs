//! Which liquids there are.

use crate::{say, word};
use serde::{Deserialize, Serialize};
use std::fmt;

/// The liquids whose properties are known, without a mixture's concentration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LiquidKind {
    /// Fresh water.
    Water,
    /// Ethanol, without water.
    Ethanol,
    /// Methanol, without water.
    Methanol,
    /// Toluene.
    Toluene,
    /// Benzene.
    Benzene,
    /// n-Hexane.
    NHexane,
    /// n-Heptane.
    NHeptane,
    /// Acetone.
    Acetone,
    /// Ammonia, without water.
    Ammonia,
    /// Propane.
    Propane,
    /// Ethylene glycol, without water.
    EthyleneGlycol,
    /// Ethylene glycol in water.
    EthyleneGlycolWater,
    /// Propylene glycol in water.
    PropyleneGlycolWater,
    /// Seawater.
    Seawater,
}

/// How a mixture's concentration is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concentration {
    /// Its field in files.
    pub field: &'static str,
    /// Its unit in words.
    pub unit: &'static str,
    /// The lowest its formulas hold for.
    pub low: f64,
    /// The highest its formulas hold for.
    pub high: f64,
}

/// Melinder's formulas hold from 0 to 60 % of glycol by mass.
const GLYCOL: Concentration = Concentration {
    field: "percent",
    unit: word!("% by mass"),
    low: 0.0,
    high: 60.0,
};

/// The seawater formulas are published up to 150 g/kg and more, but were compared with a second source up to 120 only.
const SALT: Concentration = Concentration {
    field: "salinity_g_kg",
    unit: "g/kg",
    low: 0.0,
    high: 120.0,
};

impl LiquidKind {
    /// Every kind of liquid.
    pub const ALL: &[LiquidKind] = &[
        LiquidKind::Water,
        LiquidKind::Ethanol,
        LiquidKind::Methanol,
        LiquidKind::Toluene,
        LiquidKind::Benzene,
        LiquidKind::NHexane,
        LiquidKind::NHeptane,
        LiquidKind::Acetone,
        LiquidKind::Ammonia,
        LiquidKind::Propane,
        LiquidKind::EthyleneGlycol,
        LiquidKind::EthyleneGlycolWater,
        LiquidKind::PropyleneGlycolWater,
        LiquidKind::Seawater,
    ];

    /// As it is written in files, for example `ethylene_glycol_water`.
    pub fn key(self) -> &'static str {
        match self {
            LiquidKind::Water => "water",
            LiquidKind::Ethanol => "ethanol",
            LiquidKind::Methanol => "methanol",
            LiquidKind::Toluene => "toluene",
            LiquidKind::Benzene => "benzene",
            LiquidKind::NHexane => "n_hexane",
            LiquidKind::NHeptane => "n_heptane",
            LiquidKind::Acetone => "acetone",
            LiquidKind::Ammonia => "ammonia",
            LiquidKind::Propane => "propane",
            LiquidKind::EthyleneGlycol => "ethylene_glycol",
            LiquidKind::EthyleneGlycolWater => "ethylene_glycol_water",
            LiquidKind::PropyleneGlycolWater => "propylene_glycol_water",
            LiquidKind::Seawater => "seawater",
        }
    }

    /// As people say it, for example "ethylene glycol in water".
    pub fn words(self) -> &'static str {
        match self {
            LiquidKind::Water => say!("water"),
            LiquidKind::Ethanol => say!("ethanol"),
            LiquidKind::Methanol => say!("methanol"),
            LiquidKind::Toluene => say!("toluene"),
            LiquidKind::Benzene => say!("benzene"),
            LiquidKind::NHexane => say!("n-hexane"),
            LiquidKind::NHeptane => say!("n-heptane"),
            LiquidKind::Acetone => say!("acetone"),
            LiquidKind::Ammonia => say!("ammonia"),
            LiquidKind::Propane => say!("propane"),
            LiquidKind::EthyleneGlycol => say!("ethylene glycol"),
            LiquidKind::EthyleneGlycolWater => say!("ethylene glycol in water"),
            LiquidKind::PropyleneGlycolWater => say!("propylene glycol in water"),
            LiquidKind::Seawater => say!("seawater"),
        }
    }

    /// How its concentration is given; nothing for a pure liquid.
    pub fn concentration(self) -> Option<Concentration> {
        match self {
            LiquidKind::EthyleneGlycolWater | LiquidKind::PropyleneGlycolWater => Some(GLYCOL),
            LiquidKind::Seawater => Some(SALT),
            _ => None,
        }
    }
}

impl fmt::Display for LiquidKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}
