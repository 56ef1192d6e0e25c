//! Checks in the words of the people at the pump.

mod answer;
mod feel;
mod how;

pub use answer::{choice, yes_no};
pub use feel::{FeelStep, feel_step, feel_steps};
pub use how::how_to;

use super::RunningState;
use crate::plant::{CheckId, CheckKind, Place};

/// The check's name without its place, for example "Leak-off".
pub fn name(kind: CheckKind) -> &'static str {
    match kind {
        CheckKind::Surroundings => "Surroundings",
        CheckKind::Noise => "Noise",
        CheckKind::LeakOff => "Leak-off",
        CheckKind::GlandHeat => "Gland heat",
        CheckKind::GlandSquare => "Gland square",
        CheckKind::LanternRingPressure => "Lantern ring pressure",
        CheckKind::SealLeak => "Seal leak",
        CheckKind::SealFeedFlow => "Seal feed flow",
        CheckKind::SealFeedPressure => "Seal feed pressure",
        CheckKind::StaticLeak => "Leak at standstill",
        CheckKind::BearingHeat => "Bearing heat",
        CheckKind::BearingTemperature => "Bearing temperature",
        CheckKind::BearingVibration => "Bearing vibration by hand",
        CheckKind::VibrationVelocity => "Vibration",
        CheckKind::OilLevel => "Oil level",
        CheckKind::OilerLevel => "Oiler level",
        CheckKind::OilLook => "Look of the oil",
        CheckKind::GreaseCup => "Grease cup",
        CheckKind::GreaseLook => "Look of the grease",
        CheckKind::FeedOilPressure => "Oil pressure",
        CheckKind::FeedOilTemperature => "Oil temperature",
        CheckKind::FeedOilFilterDrop => "Oil filter drop",
        CheckKind::FeedOilReservoir => "Oil reservoir level",
        CheckKind::CoolingWater => "Cooling water",
        CheckKind::OilHeater => "Oil heater",
        CheckKind::SuctionPressure => "Suction pressure",
        CheckKind::DischargePressure => "Discharge pressure",
        CheckKind::StrainerDrop => "Strainer drop",
        CheckKind::MotorCurrent => "Motor current",
        CheckKind::SuctionLevel => "Suction level",
        CheckKind::CouplingGuard => "Coupling guard",
        CheckKind::Foundation => "Foundation",
        CheckKind::LinedUp => "Lined up",
        CheckKind::Primed => "Primed",
        CheckKind::Flow => "Flow",
        CheckKind::LiquidTemperature => "Liquid temperature",
        CheckKind::GaugeSwing => "Gauge pointer",
        CheckKind::CurrentSwing => "Ammeter pointer",
        CheckKind::VentTest => "Vent",
        CheckKind::ValvePosition => "Valve",
        CheckKind::Rotation => "Direction of turning",
        CheckKind::ShaftSpeed => "Shaft speed",
        CheckKind::CasingHeat => "Casing heat",
        CheckKind::SuctionSurface => "Surface at the suction",
        CheckKind::GlandAir => "Air at the gland",
        CheckKind::LeakOffSides => "Side of the leak-off",
        CheckKind::Coupling => "Coupling",
        CheckKind::PhaseCurrents => "Phase currents",
        CheckKind::Delivery => "Delivery",
        CheckKind::JustStarted => "Just started",
        CheckKind::AfterWork => "Work before this run",
        CheckKind::AfterGreasing => "Hot since greased",
        CheckKind::DriverTripped => "Driver tripped",
        CheckKind::Remark => "Remark",
    }
}

/// The check with its place, for example "Leak-off, packing drive end".
///
/// The place is left out where the name already says it.
pub fn title(id: CheckId) -> String {
    let name = name(id.kind);
    match place(id) {
        Some(place) => format!("{name}, {place}"),
        None => name.to_owned(),
    }
}

/// Where the check is, in words that follow its name; `None` where the name says it.
fn place(id: CheckId) -> Option<&'static str> {
    let packed = matches!(
        id.kind,
        CheckKind::LeakOff
            | CheckKind::GlandHeat
            | CheckKind::GlandSquare
            | CheckKind::LanternRingPressure
            | CheckKind::GlandAir
            | CheckKind::LeakOffSides
    );
    match (id.place, id.kind) {
        (Place::Pump, _)
        | (Place::Suction, CheckKind::SuctionPressure | CheckKind::SuctionLevel)
        | (Place::Suction, CheckKind::LiquidTemperature | CheckKind::SuctionSurface)
        | (Place::Discharge, CheckKind::DischargePressure | CheckKind::Flow)
        | (Place::Driver, CheckKind::MotorCurrent | CheckKind::CurrentSwing)
        | (Place::Driver, CheckKind::Rotation | CheckKind::ShaftSpeed)
        | (Place::Driver, CheckKind::PhaseCurrents | CheckKind::DriverTripped) => None,
        (Place::SealDe, _) if packed => Some("packing drive end"),
        (Place::SealNde, _) if packed => Some("packing non-drive end"),
        (Place::SealDe, _) => Some("seal drive end"),
        (Place::SealNde, _) => Some("seal non-drive end"),
        (Place::PumpDe, _) => Some("pump drive end"),
        (Place::PumpNde, _) => Some("pump non-drive end"),
        (Place::DriverDe, _) => Some("driver drive end"),
        (Place::DriverNde, _) => Some("driver non-drive end"),
        (Place::Suction, _) => Some("suction"),
        (Place::Discharge, _) => Some("discharge"),
        (Place::Driver, _) => Some("driver"),
        (Place::OilSkid, _) => Some("oil skid"),
    }
}

/// A place in as few letters as a drawing has room for, for example "Pump DE".
pub fn short_place(place: Place) -> &'static str {
    match place {
        Place::Pump => "Pump",
        Place::PumpDe => "Pump DE",
        Place::PumpNde => "Pump NDE",
        Place::DriverDe => "Driver DE",
        Place::DriverNde => "Driver NDE",
        Place::SealDe => "Seal DE",
        Place::SealNde => "Seal NDE",
        Place::Suction => "Suction",
        Place::Discharge => "Discharge",
        Place::Driver => "Driver",
        Place::OilSkid => "Oil skid",
    }
}

/// What the pump is doing, for example "standby".
pub fn running_state(state: RunningState) -> &'static str {
    match state {
        RunningState::Running => "running",
        RunningState::Standby => "standby",
        RunningState::OutOfService => "out of service",
    }
}
