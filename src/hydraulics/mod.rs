//! What the gauges mean: liquids, head, suction margin, flow, power.
//!
//! Pure. SI units throughout (Pa absolute unless named gauge, K only where named, m, m³/s, W), named in the argument.

pub mod atmosphere;
pub mod gauges;
pub mod liquid;

/// A number with six figures: what arithmetic leaves beyond them nobody reads.
fn six_figures(value: f64) -> f64 {
    const FIGURES: i32 = 6;
    let before_point = value.abs().log10().floor();
    if !before_point.is_finite() {
        return value;
    }
    let scale = 10_f64.powi(FIGURES - 1 - before_point as i32);
    let rounded = (value * scale).round() / scale;
    if rounded.is_finite() { rounded } else { value }
}
