//! What head, suction margin, flow and power of a pump are reckoned from.

use crate::hydraulics::liquid::Liquid;
use serde::{Deserialize, Serialize};

/// What is known of a pump's hydraulics beyond its gauges.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hydraulics {
    /// The liquid whose boiling, density and viscosity are taken for the pump's own.
    pub reckoned_as: Liquid,
    /// Inside diameter of the pipe at the suction gauge, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub suction_bore_mm: Option<f64>,
    /// Inside diameter of the pipe at the discharge gauge, mm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub discharge_bore_mm: Option<f64>,
    /// Head lost in the suction line at usual flow, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub suction_loss_m: Option<f64>,
    /// A flow meter is fitted.
    #[serde(default)]
    pub flow_meter: bool,
    /// A thermometer is fitted in the suction line.
    #[serde(default)]
    pub thermometer: bool,
    /// The pump's curve.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub curve: Option<PumpCurve>,
}

/// A pump's curve as its maker or a test gives it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PumpCurve {
    /// Speed it holds for, rpm.
    pub speed_rpm: f64,
    /// Where it comes from: maker's sheet, test.
    pub basis: String,
    /// Points, the smallest flow first.
    pub points: Vec<CurvePoint>,
}

/// A point of a pump's curve.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// Flow, m³/h.
    pub flow_m3_h: f64,
    /// Total head, m.
    pub head_m: f64,
    /// NPSH required, m.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub npsh_required_m: Option<f64>,
    /// Power at the shaft with cold water, kW.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shaft_power_kw: Option<f64>,
}
