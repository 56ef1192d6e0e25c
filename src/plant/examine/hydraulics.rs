//! What is reckoned from: bores, losses, curve.

use super::Log;
use crate::{
    plant::{CurvePoint, Hydraulics, PumpCurve},
    say,
};

pub fn examine(known: &Hydraulics, log: &mut Log<'_>) {
    for (name, bore_mm) in [
        ("suction_bore_mm", known.suction_bore_mm),
        ("discharge_bore_mm", known.discharge_bore_mm),
    ] {
        if let Some(bore_mm) = bore_mm {
            log.above_zero(&format!("hydraulics.{name}"), bore_mm, 5_000.0);
        }
    }
    if let Some(loss_m) = known.suction_loss_m {
        log.within("hydraulics.suction_loss_m", loss_m, 0.0..=50.0);
    }
    if let Some(curve) = &known.curve {
        examine_curve(curve, log);
    }
}

fn examine_curve(curve: &PumpCurve, log: &mut Log<'_>) {
    const FIELD: &str = "hydraulics.curve";
    log.text(&format!("{FIELD}.basis"), &curve.basis, 200);
    log.above_zero(&format!("{FIELD}.speed_rpm"), curve.speed_rpm, 30_000.0);
    if curve.points.len() < 2 {
        log.field(
            &format!("{FIELD}.points"),
            say!(
                "must be two or more, is {count}",
                count = curve.points.len()
            ),
        );
    }
    for (index, point) in curve.points.iter().enumerate() {
        let field = |name| format!("{FIELD}.points[{index}].{name}");
        log.within(&field("flow_m3_h"), point.flow_m3_h, 0.0..=100_000.0);
        log.within(&field("head_m"), point.head_m, 0.0..=5_000.0);
        if let Some(npsh_m) = point.npsh_required_m {
            log.above_zero(&field("npsh_required_m"), npsh_m, 100.0);
        }
        if let Some(power_kw) = point.shaft_power_kw {
            log.above_zero(&field("shaft_power_kw"), power_kw, 50_000.0);
        }
    }
    let given = |of: fn(&CurvePoint) -> Option<f64>| curve.points.iter().filter_map(of).count();
    for (name, times) in [
        ("npsh_required_m", given(|point| point.npsh_required_m)),
        ("shaft_power_kw", given(|point| point.shaft_power_kw)),
    ] {
        if times == 1 {
            log.field(
                &format!("{FIELD}.points"),
                say!(
                    "give {name} at one point only; give it at one more, or at none",
                    name
                ),
            );
        }
    }
    for (index, pair) in curve.points.windows(2).enumerate() {
        let field = |name| format!("{FIELD}.points[{}].{name}", index + 1);
        if pair[1].flow_m3_h <= pair[0].flow_m3_h {
            log.field(
                &field("flow_m3_h"),
                say!(
                    "must be above the flow of the point before ({before}), is {flow}",
                    before = pair[0].flow_m3_h,
                    flow = pair[1].flow_m3_h
                ),
            );
        }
        if pair[1].head_m >= pair[0].head_m {
            log.field(
                &field("head_m"),
                say!(
                    "must be below the head of the point before ({before}), is {head}: flow can't be told from a head that comes twice",
                    before = pair[0].head_m, head = pair[1].head_m
                ),
            );
        }
    }
}
