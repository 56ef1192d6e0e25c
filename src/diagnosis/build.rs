//! How a pump is built, as far as it decides which troubles it can have.

use serde::{Deserialize, Serialize};

/// One feature of a build.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Feature {
    /// A stuffing box with packing.
    Packed,
    /// The lantern ring is fed.
    LanternRing,
    /// A mechanical seal.
    Mechanical,
    /// Liquid is fed to the mechanical seal from outside.
    SealFeed,
    /// A bearing with an oil bath or bottle oiler.
    Oil,
    /// A bearing with grease.
    Grease,
    /// A bearing fed with oil by a skid.
    ForcedFeed,
    /// The skid has a water cooler.
    Cooler,
    /// The skid has a heater.
    OilHeater,
    /// The skid has a filter with a gauge.
    OilFilter,
    /// Liquid stands above the pump.
    Flooded,
    /// The pump lifts its liquid.
    Lift,
    /// The casing hangs in the liquid.
    Sump,
    /// The liquid can be near boiling at the suction: hot, or volatile.
    HotLiquid,
    /// A strainer in the suction.
    SuctionStrainer,
    /// A filter or strainer in the discharge.
    DischargeFilter,
}

/// The features of one pump.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Build(Vec<Feature>);

impl Build {
    /// A pump with these features; order and repetition mean nothing.
    pub fn new(features: impl IntoIterator<Item = Feature>) -> Self {
        Self(features.into_iter().collect())
    }

    /// It has this feature.
    pub fn has(&self, feature: Feature) -> bool {
        self.0.contains(&feature)
    }
}
