//! What the gauges mean: liquids, head, suction margin, flow, power.
//!
//! Pure. SI units throughout (Pa absolute unless named gauge, K only where named, m, m³/s, W), named in the argument.

pub mod atmosphere;
pub mod gauges;
pub mod liquid;
