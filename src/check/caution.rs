//! What to mind before hands, eyes or ears go somewhere.

use super::RunningState;
use crate::{
    plant::{CheckKind, Pump, SuctionSource},
    say,
};

/// Metal hotter than this hurts within ten seconds of touch.
///
/// ECMA-287, short-period touch limit of metal, read at second hand; from memory ISO 13732-1
/// puts the burn threshold of bare metal for 10 s at about the same.
const HOT_METAL_C: f64 = 55.0;

/// A caution, said in one sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Caution {
    /// Coming near a pump that runs.
    Approach,
    /// Coming near a pump whose liquid can hurt.
    ApproachHazard,
    /// A shaft that turns.
    Turning,
    /// Hot liquid by a shaft that turns.
    HotAndTurning,
    /// Hazardous liquid by a shaft that turns.
    HazardAndTurning,
    /// A seal of a pump that stands, its liquid hot.
    HotStanding,
    /// A seal of a pump that stands, its liquid hazardous.
    HazardStanding,
    /// A bearing of a pump that runs.
    HotBearing,
    /// A pump on standby starts by itself.
    MayStart,
    /// Electricity.
    Electric,
    /// Hot oil, pipes and cooler.
    HotOil,
    /// A gauge or strainer on a line with hazardous liquid.
    HazardLine,
    /// A gauge or strainer on a hot line.
    HotLine,
    /// Somebody may be working at the pump.
    AtWork,
    /// The mouth of a sump or well.
    OpenSump,
    /// A vent that lets out liquid, air or steam.
    Vent,
}

impl Caution {
    /// Every caution.
    pub const ALL: &[Caution] = &[
        Caution::Approach,
        Caution::ApproachHazard,
        Caution::Turning,
        Caution::HotAndTurning,
        Caution::HazardAndTurning,
        Caution::HotStanding,
        Caution::HazardStanding,
        Caution::HotBearing,
        Caution::MayStart,
        Caution::Electric,
        Caution::HotOil,
        Caution::HazardLine,
        Caution::HotLine,
        Caution::AtWork,
        Caution::OpenSump,
        Caution::Vent,
    ];

    /// The caution in one sentence.
    pub fn sentence(self) -> &'static str {
        match self {
            Caution::Approach => say!("Look and listen before you step close."),
            Caution::ApproachHazard => {
                say!(
                    "Hazardous liquid: stop at a distance, look for spray and vapour, and wear what your plant requires before you step close."
                )
            }
            Caution::Turning => {
                say!(
                    "Turning shaft: keep hands, sleeves, rags and tools clear of shaft and coupling."
                )
            }
            Caution::HotAndTurning => {
                say!(
                    "Hot liquid at a turning shaft: stay out of the line of a spray and keep hands and sleeves clear."
                )
            }
            Caution::HazardAndTurning => {
                say!(
                    "Hazardous liquid at a turning shaft: look only, wear what your plant requires, and stay out of the line of a spray."
                )
            }
            Caution::HotStanding => {
                say!(
                    "Hot liquid stands in this pump: touch nothing wet, and keep clear of the shaft, which can start to turn."
                )
            }
            Caution::HazardStanding => {
                say!(
                    "Hazardous liquid stands in this pump: look only, wear what your plant requires, and keep clear of the shaft, which can start to turn."
                )
            }
            Caution::HotBearing => {
                say!(
                    "Bearings can burn: bring the back of the hand near first, touch only if that is bearable, and keep sleeves clear of the shaft."
                )
            }
            Caution::MayStart => {
                say!("This pump can start without warning: keep clear of shaft and coupling.")
            }
            Caution::Electric => {
                say!(
                    "Read the fitted ammeter only: open no panel and measure nothing inside one unless you are licensed to."
                )
            }
            Caution::HotOil => say!("Oil lines and cooler can be hot: read, do not touch."),
            Caution::HazardLine => {
                say!(
                    "Hazardous liquid in this line: open no vent, drain or strainer for a reading."
                )
            }
            Caution::HotLine => say!("Hot line: read without touching pipe or strainer."),
            Caution::AtWork => {
                say!(
                    "This pump may be opened or worked on: stay outside barriers, touch no lock or tag."
                )
            }
            Caution::Vent => {
                say!(
                    "Vent only as your plant's procedure has it: slowly, face turned away, out of the line of what comes."
                )
            }
            Caution::OpenSump => {
                say!("Stay behind the rail at the sump and never climb in for a reading.")
            }
        }
    }
}

/// What to mind at a check of this pump in this state.
pub(super) fn caution(kind: CheckKind, pump: &Pump, running: RunningState) -> Option<Caution> {
    let hazard = pump.hazard.is_some();
    let hot = is_hot(pump);
    if running == RunningState::OutOfService {
        return (kind == CheckKind::Surroundings).then_some(Caution::AtWork);
    }
    match kind {
        CheckKind::Surroundings if hazard => Some(Caution::ApproachHazard),
        CheckKind::Surroundings | CheckKind::Noise => Some(Caution::Approach),
        CheckKind::LeakOff
        | CheckKind::GlandHeat
        | CheckKind::GlandSquare
        | CheckKind::LanternRingPressure
        | CheckKind::SealLeak
        | CheckKind::SealFeedFlow
        | CheckKind::SealFeedPressure => Some(at_turning_seal(hazard, hot)),
        CheckKind::StaticLeak => Some(at_standing_seal(hazard, hot)),
        CheckKind::BearingHeat
        | CheckKind::BearingTemperature
        | CheckKind::BearingVibration
        | CheckKind::VibrationVelocity => Some(Caution::HotBearing),
        CheckKind::OilLevel
        | CheckKind::OilerLevel
        | CheckKind::OilLook
        | CheckKind::GreaseCup
        | CheckKind::GreaseLook
        | CheckKind::CouplingGuard
        | CheckKind::Foundation => Some(near_shaft(running)),
        CheckKind::FeedOilPressure
        | CheckKind::FeedOilTemperature
        | CheckKind::FeedOilFilterDrop
        | CheckKind::FeedOilReservoir
        | CheckKind::CoolingWater
        | CheckKind::OilHeater => Some(Caution::HotOil),
        CheckKind::GlandAir | CheckKind::LeakOffSides => Some(at_turning_seal(hazard, hot)),
        CheckKind::CasingHeat if hazard || hot => at_line(hazard, hot),
        CheckKind::CasingHeat => Some(Caution::HotBearing),
        CheckKind::VentTest if hazard => Some(Caution::HazardLine),
        CheckKind::VentTest => Some(Caution::Vent),
        CheckKind::Rotation | CheckKind::ShaftSpeed | CheckKind::Coupling => {
            Some(near_shaft(running))
        }
        CheckKind::SuctionPressure
        | CheckKind::DischargePressure
        | CheckKind::GaugeSwing
        | CheckKind::Flow
        | CheckKind::LiquidTemperature
        | CheckKind::ValvePosition
        | CheckKind::StrainerDrop
        | CheckKind::LinedUp
        | CheckKind::Primed => at_line(hazard, hot),
        CheckKind::SuctionLevel | CheckKind::SuctionSurface => match pump.suction {
            SuctionSource::Flooded { .. } => at_line(hazard, hot),
            _ => Some(Caution::OpenSump),
        },
        CheckKind::MotorCurrent | CheckKind::CurrentSwing | CheckKind::PhaseCurrents => {
            Some(Caution::Electric)
        }
        CheckKind::Delivery
        | CheckKind::JustStarted
        | CheckKind::AfterWork
        | CheckKind::AfterGreasing
        | CheckKind::DriverTripped
        | CheckKind::AmbientTemperature
        | CheckKind::Remark => None,
    }
}

/// A hand may go to the gland: the pump's liquid neither burns nor harms.
pub fn gland_may_be_touched(pump: &Pump) -> bool {
    pump.hazard.is_none() && !is_hot(pump)
}

fn is_hot(pump: &Pump) -> bool {
    pump.liquid_temperature_c >= HOT_METAL_C
}

fn at_turning_seal(hazard: bool, hot: bool) -> Caution {
    match (hazard, hot) {
        (true, _) => Caution::HazardAndTurning,
        (false, true) => Caution::HotAndTurning,
        (false, false) => Caution::Turning,
    }
}

fn at_standing_seal(hazard: bool, hot: bool) -> Caution {
    match (hazard, hot) {
        (true, _) => Caution::HazardStanding,
        (false, true) => Caution::HotStanding,
        (false, false) => Caution::MayStart,
    }
}

fn near_shaft(running: RunningState) -> Caution {
    match running {
        RunningState::Standby => Caution::MayStart,
        _ => Caution::Turning,
    }
}

fn at_line(hazard: bool, hot: bool) -> Option<Caution> {
    match (hazard, hot) {
        (true, _) => Some(Caution::HazardLine),
        (false, true) => Some(Caution::HotLine),
        (false, false) => None,
    }
}
