//! Which entries show which signs.

use crate::{
    diagnosis::Sign,
    plant::{CheckKind as K, Place},
};

/// How an entry shows a sign.
pub(super) enum By {
    /// Below a bound of its limits.
    Below,
    /// Above a bound of its limits, or felt as out of limits.
    Above,
    /// One of these words was chosen.
    Word(&'static [&'static str]),
    /// Answered so.
    Answer(bool),
}

/// A sign, the checks that show it and at which place; at any where none is named.
pub(super) struct Shown(pub Sign, pub &'static [K], pub Option<Place>, pub By);

const SUCTION: Option<Place> = Some(Place::Suction);
const DISCHARGE: Option<Place> = Some(Place::Discharge);

/// The signs that one entry alone shows, present or absent.
pub(super) const SHOWN: &[Shown] = &[
    Shown(Sign::SuctionLow, &[K::SuctionPressure], None, By::Below),
    Shown(Sign::SuctionHigh, &[K::SuctionPressure], None, By::Above),
    Shown(
        Sign::DischargeHigh,
        &[K::DischargePressure],
        None,
        By::Above,
    ),
    Shown(Sign::LevelLow, &[K::SuctionLevel], None, By::Below),
    Shown(Sign::LiquidHot, &[K::LiquidTemperature], None, By::Above),
    Shown(
        Sign::StrainerDropHigh,
        &[K::StrainerDrop],
        SUCTION,
        By::Above,
    ),
    Shown(
        Sign::FilterDropHigh,
        &[K::StrainerDrop],
        DISCHARGE,
        By::Above,
    ),
    Shown(
        Sign::VibrationHigh,
        &[K::BearingVibration, K::VibrationVelocity],
        None,
        By::Above,
    ),
    Shown(
        Sign::BearingHot,
        &[K::BearingHeat, K::BearingTemperature],
        None,
        By::Above,
    ),
    Shown(Sign::GlandHot, &[K::GlandHeat], None, By::Above),
    Shown(Sign::LanternLow, &[K::LanternRingPressure], None, By::Below),
    Shown(Sign::SealFeedFlowLow, &[K::SealFeedFlow], None, By::Below),
    Shown(
        Sign::SealFeedPressureLow,
        &[K::SealFeedPressure],
        None,
        By::Below,
    ),
    Shown(Sign::OilLow, &[K::OilLevel, K::OilerLevel], None, By::Below),
    Shown(Sign::ReservoirLow, &[K::FeedOilReservoir], None, By::Below),
    Shown(Sign::OilPressureLow, &[K::FeedOilPressure], None, By::Below),
    Shown(Sign::OilTempHigh, &[K::FeedOilTemperature], None, By::Above),
    Shown(Sign::OilTempLow, &[K::FeedOilTemperature], None, By::Below),
    Shown(
        Sign::OilFilterDropHigh,
        &[K::FeedOilFilterDrop],
        None,
        By::Above,
    ),
    Shown(Sign::NoiseGravel, &[K::Noise], None, By::Word(&["crackle"])),
    Shown(Sign::NoiseSqueal, &[K::Noise], None, By::Word(&["squeal"])),
    Shown(Sign::NoiseKnock, &[K::Noise], None, By::Word(&["knock"])),
    Shown(Sign::NoiseRumble, &[K::Noise], None, By::Word(&["rumble"])),
    Shown(Sign::NoiseHiss, &[K::Noise], None, By::Word(&["hiss"])),
    Shown(Sign::NoiseHum, &[K::Noise], None, By::Word(&["hum"])),
    Shown(
        Sign::DischargeSwinging,
        &[K::GaugeSwing],
        DISCHARGE,
        By::Word(&["swings", "swings_wildly"]),
    ),
    Shown(
        Sign::SuctionSwinging,
        &[K::GaugeSwing],
        SUCTION,
        By::Word(&["swings", "swings_wildly"]),
    ),
    Shown(
        Sign::AmpsSwinging,
        &[K::CurrentSwing],
        None,
        By::Word(&["swings", "swings_wildly"]),
    ),
    Shown(
        Sign::SurfaceSwirl,
        &[K::SuctionSurface],
        None,
        By::Word(&["swirling"]),
    ),
    Shown(
        Sign::SurfaceAirCore,
        &[K::SuctionSurface],
        None,
        By::Word(&["air_core"]),
    ),
    Shown(
        Sign::VentLiquid,
        &[K::VentTest],
        None,
        By::Word(&["liquid"]),
    ),
    Shown(
        Sign::VentBubbles,
        &[K::VentTest],
        None,
        By::Word(&["bubbles"]),
    ),
    Shown(Sign::VentAir, &[K::VentTest], None, By::Word(&["air"])),
    Shown(
        Sign::VentVapour,
        &[K::VentTest],
        None,
        By::Word(&["vapour"]),
    ),
    Shown(
        Sign::SuctionValvePart,
        &[K::ValvePosition],
        SUCTION,
        By::Word(&["part_open", "shut"]),
    ),
    Shown(
        Sign::DischargeValveShut,
        &[K::ValvePosition],
        DISCHARGE,
        By::Word(&["shut"]),
    ),
    Shown(
        Sign::PhaseMissing,
        &[K::PhaseCurrents],
        None,
        By::Word(&["one_missing"]),
    ),
    Shown(
        Sign::PhasesUneven,
        &[K::PhaseCurrents],
        None,
        By::Word(&["uneven"]),
    ),
    Shown(Sign::OilDark, &[K::OilLook], None, By::Word(&["dark"])),
    Shown(Sign::OilMilky, &[K::OilLook], None, By::Word(&["milky"])),
    Shown(Sign::OilFoam, &[K::OilLook], None, By::Word(&["foam"])),
    Shown(
        Sign::OilGlitter,
        &[K::OilLook],
        None,
        By::Word(&["glitter"]),
    ),
    Shown(
        Sign::GreaseCupEmpty,
        &[K::GreaseCup],
        None,
        By::Word(&["empty"]),
    ),
    Shown(
        Sign::GreasePushedOut,
        &[K::GreaseLook],
        None,
        By::Word(&["pushed_out"]),
    ),
    Shown(Sign::GreaseDry, &[K::GreaseLook], None, By::Word(&["dry"])),
    Shown(
        Sign::GreaseWhitish,
        &[K::GreaseLook],
        None,
        By::Word(&["whitish"]),
    ),
    Shown(
        Sign::CoolingWaterNone,
        &[K::CoolingWater],
        None,
        By::Word(&["none", "weak"]),
    ),
    Shown(
        Sign::CoolingWaterFull,
        &[K::CoolingWater],
        None,
        By::Word(&["cold_return"]),
    ),
    Shown(
        Sign::CoolingWaterHot,
        &[K::CoolingWater],
        None,
        By::Word(&["hot_return"]),
    ),
    Shown(
        Sign::FoundationLoose,
        &[K::Foundation],
        None,
        By::Word(&["cracked", "loose_bolt"]),
    ),
    Shown(
        Sign::CouplingWorn,
        &[K::Coupling],
        None,
        By::Word(&["worn"]),
    ),
    Shown(
        Sign::CouplingLoose,
        &[K::Coupling],
        None,
        By::Word(&["loose"]),
    ),
    Shown(
        Sign::NeverDelivered,
        &[K::Delivery],
        None,
        By::Word(&["never"]),
    ),
    Shown(
        Sign::DeliveredThenLost,
        &[K::Delivery],
        None,
        By::Word(&["lost"]),
    ),
    Shown(
        Sign::ComesAndGoes,
        &[K::Delivery],
        None,
        By::Word(&["comes_and_goes"]),
    ),
    Shown(
        Sign::JustStarted,
        &[K::JustStarted],
        None,
        By::Word(&["yes"]),
    ),
    Shown(
        Sign::AfterMaintenance,
        &[K::AfterWork],
        None,
        By::Word(&["yes"]),
    ),
    Shown(
        Sign::HotAfterGreasing,
        &[K::AfterGreasing],
        None,
        By::Word(&["yes"]),
    ),
    Shown(
        Sign::DriverTripped,
        &[K::DriverTripped],
        None,
        By::Answer(true),
    ),
    Shown(Sign::RotationWrong, &[K::Rotation], None, By::Answer(false)),
    Shown(
        Sign::LeakOffOneSided,
        &[K::LeakOffSides],
        None,
        By::Word(&["one_side"]),
    ),
    Shown(Sign::GlandAir, &[K::GlandAir], None, By::Answer(true)),
    Shown(
        Sign::GlandCocked,
        &[K::GlandSquare],
        None,
        By::Answer(false),
    ),
    Shown(Sign::CasingNotFilled, &[K::Primed], None, By::Answer(false)),
];
