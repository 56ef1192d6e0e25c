//! How large a bearing is, what rolls in it and what is around it: what grease by its size is reckoned from.

use serde::{Deserialize, Serialize};
use std::ops::RangeInclusive;

/// Size of a rolling bearing, as it stands on its drawing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BearingSize {
    /// Bore, mm, within [`BearingSize::BORE_MM`].
    pub bore_mm: f64,
    /// Outside diameter, mm, within [`BearingSize::OUTSIDE_MM`], more than the bore.
    pub outside_mm: f64,
    /// Width, mm, within [`BearingSize::WIDTH_MM`].
    pub width_mm: f64,
    /// What rolls in it.
    pub rolling: Rolling,
}

impl BearingSize {
    /// Bores that bearings have, mm.
    pub const BORE_MM: RangeInclusive<f64> = 3.0..=1_000.0;
    /// Outside diameters that bearings have, mm.
    pub const OUTSIDE_MM: RangeInclusive<f64> = 5.0..=2_000.0;
    /// Widths that bearings have, mm.
    pub const WIDTH_MM: RangeInclusive<f64> = 1.0..=1_000.0;
}

/// What rolls in a bearing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rolling {
    /// Balls.
    Ball,
    /// Cylindrical rollers or needles.
    Cylindrical,
    /// Tapered or spherical rollers.
    TaperedOrSpherical,
}

/// How clean it is around a bearing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Dirt {
    /// Clean, or light dust that does not harm.
    #[default]
    Light,
    /// Much dust that does not harm.
    Heavy,
    /// Light dust that grinds.
    LightAbrasive,
    /// Much dust that grinds.
    HeavyAbrasive,
}

/// How damp it is around a bearing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Moisture {
    /// Below 80 % relative humidity.
    #[default]
    Dry,
    /// 80 to 90 %.
    Damp,
    /// Water condenses now and then.
    Condensing,
    /// Water on the housing.
    Wet,
}
