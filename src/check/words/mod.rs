//! Checks in the words of the people at the pump.

mod answer;
mod feel;
mod how;

pub use answer::{choice, yes_no};
pub use feel::{FeelStep, feel_step, feel_steps};
pub use how::how_to;

use super::RunningState;
use crate::{
    plant::{CheckId, CheckKind, Place},
    say,
};

/// The check's name without its place, for example "Leak-off".
pub fn name(kind: CheckKind) -> &'static str {
    match kind {
        CheckKind::Surroundings => say!("Surroundings"),
        CheckKind::Noise => say!("Noise"),
        CheckKind::LeakOff => say!("Leak-off"),
        CheckKind::GlandHeat => say!("Gland heat"),
        CheckKind::GlandSquare => say!("Gland square"),
        CheckKind::LanternRingPressure => say!("Lantern ring pressure"),
        CheckKind::SealLeak => say!("Seal leak"),
        CheckKind::SealFeedFlow => say!("Seal feed flow"),
        CheckKind::SealFeedPressure => say!("Seal feed pressure"),
        CheckKind::StaticLeak => say!("Leak at standstill"),
        CheckKind::BearingHeat => say!("Bearing heat"),
        CheckKind::BearingTemperature => say!("Bearing temperature"),
        CheckKind::BearingVibration => say!("Bearing vibration by hand"),
        CheckKind::VibrationVelocity => say!("Vibration"),
        CheckKind::OilLevel => say!("Oil level"),
        CheckKind::OilerLevel => say!("Oiler level"),
        CheckKind::OilLook => say!("Look of the oil"),
        CheckKind::GreaseCup => say!("Grease cup"),
        CheckKind::GreaseLook => say!("Look of the grease"),
        CheckKind::FeedOilPressure => say!("Oil pressure"),
        CheckKind::FeedOilTemperature => say!("Oil temperature"),
        CheckKind::FeedOilFilterDrop => say!("Oil filter drop"),
        CheckKind::FeedOilReservoir => say!("Oil reservoir level"),
        CheckKind::CoolingWater => say!("Cooling water"),
        CheckKind::OilHeater => say!("Oil heater"),
        CheckKind::SuctionPressure => say!("Suction pressure"),
        CheckKind::DischargePressure => say!("Discharge pressure"),
        CheckKind::StrainerDrop => say!("Strainer drop"),
        CheckKind::MotorCurrent => say!("Motor current"),
        CheckKind::SuctionLevel => say!("Suction level"),
        CheckKind::CouplingGuard => say!("Coupling guard"),
        CheckKind::Foundation => say!("Foundation"),
        CheckKind::LinedUp => say!("Lined up"),
        CheckKind::Primed => say!("Primed"),
        CheckKind::AmbientTemperature => say!("Air temperature"),
        CheckKind::Flow => say!("Flow"),
        CheckKind::LiquidTemperature => say!("Liquid temperature"),
        CheckKind::GaugeSwing => say!("Gauge pointer"),
        CheckKind::CurrentSwing => say!("Ammeter pointer"),
        CheckKind::VentTest => say!("a check" => "Vent"),
        CheckKind::ValvePosition => say!("Valve"),
        CheckKind::Rotation => say!("Direction of turning"),
        CheckKind::ShaftSpeed => say!("Shaft speed"),
        CheckKind::CasingHeat => say!("Casing heat"),
        CheckKind::SuctionSurface => say!("Surface at the suction"),
        CheckKind::GlandAir => say!("Air at the gland"),
        CheckKind::LeakOffSides => say!("Side of the leak-off"),
        CheckKind::Coupling => say!("Coupling"),
        CheckKind::PhaseCurrents => say!("Phase currents"),
        CheckKind::Delivery => say!("Delivery"),
        CheckKind::JustStarted => say!("Just started"),
        CheckKind::AfterWork => say!("Work before this run"),
        CheckKind::AfterGreasing => say!("Hot since greased"),
        CheckKind::DriverTripped => say!("Driver tripped"),
        CheckKind::Remark => say!("Remark"),
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

/// The check with its place in as few letters as where something was put right is told in: "Leak-off, Seal DE".
pub fn short_title(id: CheckId) -> String {
    let name = name(id.kind);
    match place(id) {
        Some(_) => format!("{name}, {}", short_place(id.place)),
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
        (Place::SealDe, _) if packed => Some(say!("packing drive end")),
        (Place::SealNde, _) if packed => Some(say!("packing non-drive end")),
        (Place::SealDe, _) => Some(say!("seal drive end")),
        (Place::SealNde, _) => Some(say!("seal non-drive end")),
        (Place::PumpDe, _) => Some(say!("pump drive end")),
        (Place::PumpNde, _) => Some(say!("pump non-drive end")),
        (Place::DriverDe, _) => Some(say!("driver drive end")),
        (Place::DriverNde, _) => Some(say!("driver non-drive end")),
        (Place::Suction, _) => Some(say!("suction")),
        (Place::Discharge, _) => Some(say!("discharge")),
        (Place::Driver, _) => Some(say!("driver")),
        (Place::OilSkid, _) => Some(say!("oil skid")),
    }
}

/// A place in as few letters as a drawing has room for, for example "Pump DE".
pub fn short_place(place: Place) -> &'static str {
    match place {
        Place::Pump => say!("Pump"),
        Place::PumpDe => say!("Pump DE"),
        Place::PumpNde => say!("Pump NDE"),
        Place::DriverDe => say!("Driver DE"),
        Place::DriverNde => say!("Driver NDE"),
        Place::SealDe => say!("Seal DE"),
        Place::SealNde => say!("Seal NDE"),
        Place::Suction => say!("Suction"),
        Place::Discharge => say!("Discharge"),
        Place::Driver => say!("Driver"),
        Place::OilSkid => say!("Oil skid"),
    }
}

/// What the pump is doing, for example "standby".
pub fn running_state(state: RunningState) -> &'static str {
    match state {
        RunningState::Running => say!("of a pump" => "running"),
        RunningState::Standby => say!("of a pump" => "standby"),
        RunningState::OutOfService => say!("of a pump" => "out of service"),
    }
}
