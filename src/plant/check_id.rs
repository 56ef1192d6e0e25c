//! Which check is meant: its kind and its place on the pump.

use crate::say;
use serde::{Deserialize, Serialize};
use std::{fmt, str::FromStr};

macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$item_doc:meta])* $item:ident = $key:literal,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub enum $name {
            $($(#[$item_doc])* #[serde(rename = $key)] $item,)*
        }

        impl $name {
            /// Every one of them.
            pub const ALL: &[$name] = &[$($name::$item,)*];

            /// As it is written in files.
            pub fn key(self) -> &'static str {
                match self { $($name::$item => $key,)* }
            }

            /// The one of this key.
            pub(crate) fn from_key(key: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|item| item.key() == key)
            }
        }
    };
}

words! {
    /// What is looked at, felt, counted or read.
    CheckKind {
        /// What lies, drips, steams or smells around the pump.
        Surroundings = "surroundings",
        /// Noise of the running pump.
        Noise = "noise",
        /// Drops leaving a packed stuffing box.
        LeakOff = "leak_off",
        /// Heat of the gland by the back of the hand.
        GlandHeat = "gland_heat",
        /// Gland square to the shaft.
        GlandSquare = "gland_square",
        /// Pressure of the liquid fed to the lantern ring.
        LanternRingPressure = "lantern_ring_pressure",
        /// Drops leaving a mechanical seal.
        SealLeak = "seal_leak",
        /// Flow of the liquid fed to a mechanical seal.
        SealFeedFlow = "seal_feed_flow",
        /// Pressure of the liquid fed to a mechanical seal.
        SealFeedPressure = "seal_feed_pressure",
        /// Drops leaving the seal or gland of a pump that stands.
        StaticLeak = "static_leak",
        /// Heat of a bearing housing by hand.
        BearingHeat = "bearing_heat",
        /// Temperature of a bearing housing by thermometer.
        BearingTemperature = "bearing_temperature",
        /// Vibration of a bearing housing by hand.
        BearingVibration = "bearing_vibration",
        /// Vibration velocity of a bearing housing by meter, RMS.
        VibrationVelocity = "vibration_velocity",
        /// Oil level in a sight glass.
        OilLevel = "oil_level",
        /// Oil level in a bottle oiler.
        OilerLevel = "oiler_level",
        /// How the oil looks.
        OilLook = "oil_look",
        /// Turns left on a grease cup.
        GreaseCup = "grease_cup",
        /// Grease at a fitting: clean, fresh, pushed out.
        GreaseLook = "grease_look",
        /// Pressure of forced-feed oil.
        FeedOilPressure = "feed_oil_pressure",
        /// Temperature of forced-feed oil after the cooler.
        FeedOilTemperature = "feed_oil_temperature",
        /// Pressure drop over the forced-feed oil filter.
        FeedOilFilterDrop = "feed_oil_filter_drop",
        /// Level in the forced-feed oil reservoir.
        FeedOilReservoir = "feed_oil_reservoir",
        /// Cooling water to the oil cooler.
        CoolingWater = "cooling_water",
        /// What the oil reservoir's heater does.
        OilHeater = "oil_heater",
        /// Pressure at the suction gauge.
        SuctionPressure = "suction_pressure",
        /// Pressure at the discharge gauge.
        DischargePressure = "discharge_pressure",
        /// Pressure drop over a strainer.
        StrainerDrop = "strainer_drop",
        /// Motor current.
        MotorCurrent = "motor_current",
        /// Level in the sump or tank the pump takes from.
        SuctionLevel = "suction_level",
        /// Coupling guard in place.
        CouplingGuard = "coupling_guard",
        /// Foundation bolts and grout.
        Foundation = "foundation",
        /// Valves as they must stand for a standby start.
        LinedUp = "lined_up",
        /// Casing full of liquid, no air.
        Primed = "primed",
        /// Temperature of the air round the pump.
        AmbientTemperature = "ambient_temperature",
        /// Flow through the pump, by a meter.
        Flow = "flow",
        /// Temperature of the liquid, by a thermometer in the suction.
        LiquidTemperature = "liquid_temperature",
        /// How a gauge's pointer stands.
        GaugeSwing = "gauge_swing",
        /// How the ammeter's pointer stands.
        CurrentSwing = "current_swing",
        /// What leaves a vent opened a little.
        VentTest = "vent_test",
        /// How far a valve stands open.
        ValvePosition = "valve_position",
        /// Shaft turning the way of the arrow.
        Rotation = "rotation",
        /// Speed of the shaft.
        ShaftSpeed = "shaft_speed",
        /// Heat of the casing by hand.
        CasingHeat = "casing_heat",
        /// Surface of the liquid the pump takes from.
        SuctionSurface = "suction_surface",
        /// Air drawn in at a gland.
        GlandAir = "gland_air",
        /// Where round a gland the drops leave.
        LeakOffSides = "leak_off_sides",
        /// Wear of the coupling.
        Coupling = "coupling",
        /// The motor's three phases against each other, by those who may measure them.
        PhaseCurrents = "phase_currents",
        /// Whether the pump delivers since its start.
        Delivery = "delivery",
        /// Started within the hour.
        JustStarted = "just_started",
        /// First run after work on pump, motor, cable or pipes.
        AfterWork = "after_work",
        /// A bearing became hot within hours of greasing.
        AfterGreasing = "after_greasing",
        /// The driver tripped on overload since the last visit.
        DriverTripped = "driver_tripped",
        /// Anything else, in words.
        Remark = "remark",
    }
}

words! {
    /// Where on the pump.
    Place {
        /// The whole pump.
        Pump = "pump",
        /// Pump bearing, drive end.
        PumpDe = "pump_de",
        /// Pump bearing, non-drive end.
        PumpNde = "pump_nde",
        /// Driver bearing, drive end.
        DriverDe = "driver_de",
        /// Driver bearing, non-drive end.
        DriverNde = "driver_nde",
        /// Stuffing box or seal, drive end (the only one of an overhung pump).
        SealDe = "seal_de",
        /// Stuffing box or seal, non-drive end.
        SealNde = "seal_nde",
        /// Suction side.
        Suction = "suction",
        /// Discharge side.
        Discharge = "discharge",
        /// The driver.
        Driver = "driver",
        /// The forced-feed oil skid.
        OilSkid = "oil_skid",
    }
}

/// One check of a pump, written `kind@place`, for example `bearing_heat@pump_de`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct CheckId {
    /// What is looked at.
    pub kind: CheckKind,
    /// Where.
    pub place: Place,
}

/// A check that is not known.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", say!(
    "the check '{check}' is not known; write kind@place, for example leak_off@seal_de or bearing_heat@pump_de",
    check = _0
))]
pub struct UnknownCheck(pub String);

impl CheckId {
    /// The check of this kind at this place.
    pub const fn new(kind: CheckKind, place: Place) -> Self {
        Self { kind, place }
    }
}

impl FromStr for CheckId {
    type Err = UnknownCheck;
    fn from_str(text: &str) -> Result<Self, UnknownCheck> {
        text.split_once('@')
            .and_then(|(kind, place)| {
                Some(Self::new(
                    CheckKind::from_key(kind)?,
                    Place::from_key(place)?,
                ))
            })
            .ok_or_else(|| UnknownCheck(text.to_owned()))
    }
}

impl TryFrom<String> for CheckId {
    type Error = UnknownCheck;
    fn try_from(text: String) -> Result<Self, UnknownCheck> {
        text.parse()
    }
}

impl From<CheckId> for String {
    fn from(id: CheckId) -> String {
        id.to_string()
    }
}

impl fmt::Display for CheckId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}@{}", self.kind.key(), self.place.key())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_reads_back_from_its_text() {
        for &kind in CheckKind::ALL {
            for &place in Place::ALL {
                let id = CheckId::new(kind, place);
                assert_eq!(id.to_string().parse(), Ok(id));
            }
        }
    }

    #[test]
    fn an_unknown_check_says_how_to_write_one() {
        let error = "leakoff".parse::<CheckId>().unwrap_err().to_string();
        assert!(
            error.contains("'leakoff'") && error.contains("kind@place"),
            "{error}"
        );
    }
}
