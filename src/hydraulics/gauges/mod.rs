//! From gauge readings to head, suction margin, flow and power.
//!
//! - [`Uncertain`]: a value with the half width of its 95 % interval; [`Scale`] and [`FlowMeter`] make one of a reading
//! - [`total_head`], [`npsh_available_from_gauge`], [`npsh_available_from_level`]: what the gauges mean
//! - [`npsh_margin`], [`lowest_suction_gauge_pressure_pa`], [`highest_temperature`]: how far from boiling
//! - [`Curve`]: the pump's own curve, and the flow it tells of a head
//! - [`Curve::at_speed`], [`hydraulic_power_w`], [`motor_power`], [`pump_efficiency`]
//! - [`implausible`]: what cannot be so, and what to look at next
//!
//! Heights are above the pump's datum (shaft centre line of a horizontal pump) and gauge lines are
//! taken as full of the pumped liquid. Nothing here controls equipment or overrules the plant's procedures.

mod curve;
mod error;
mod flow;
mod head;
mod instrument;
mod monotone_cubic;
mod npsh;
mod npsh_limits;
mod plausible;
mod power;
mod speed;
mod uncertain;

pub use curve::{CURVE, Curve, CurveFault, CurvePoint, HIGHEST_DROOP_SHARE};
pub use error::CannotCompute;
pub use flow::{FLOW_FROM_HEAD, FlowFromHead, WIDEST_TELLING_SHARE, WORN_PUMP_CAUTION};
pub use head::{
    Gauges, PipeFlow, Reading, TOTAL_HEAD, TotalHead, VelocityHead, WhenUnknown, total_head,
};
pub use instrument::{FlowMeter, FlowMeterError, INSTRUMENT_CLASS, Scale};
pub use npsh::{
    NPSH_AVAILABLE, NPSH_MARGIN, NpshAvailable, NpshMargin, PumpedLiquid, SuctionGauge,
    SuctionLevel, npsh_available_from_gauge, npsh_available_from_level, npsh_margin,
};
pub use npsh_limits::{
    HIGHEST_TEMPERATURE, HighestTemperature, KeptMargin, LOWEST_SUCTION_PRESSURE,
    highest_temperature, lowest_suction_gauge_pressure_pa,
};
pub use plausible::{Facts, Implausible, PLAUSIBILITY, implausible};
pub use power::{
    AmpsCaution, HYDRAULIC_POWER, MOTOR_POWER, MotorPower, MotorReading, PART_LOAD_POWER_FACTOR,
    PUMP_EFFICIENCY, PowerFactor, hydraulic_power_w, motor_power, pump_efficiency,
};
pub use speed::AFFINITY_LAWS;
pub use uncertain::{UNCERTAINTY, Uncertain};

/// Standard gravity, m/s² (CGPM 1901; ISO 80000-3).
pub const STANDARD_GRAVITY_M_S2: f64 = 9.806_65;
