//! Limits and entries in few words, for the tests of judging.

use lantern_ring::{
    check::Entered,
    judge::Previous,
    plant::{Limits, Unit},
};
use serde_json::json;

/// Limits with these bounds.
pub fn limits(check: &str, unit: Unit, bounds: serde_json::Value) -> Limits {
    let mut limits = json!({
        "pump": "P-1", "check": check, "version": 1, "unit": unit, "basis": "test",
    });
    for (name, bound) in bounds.as_object().expect("an object of bounds") {
        limits[name] = bound.clone();
    }
    serde_json::from_value(limits).expect("limits")
}

/// A number read off.
pub fn number(value: f64, unit: Unit) -> Entered {
    Entered::Number { value, unit }
}

/// The entry before.
pub fn before(value: f64, unit: Unit, hours_before: f64) -> Previous {
    Previous {
        record: uuid::Uuid::nil(),
        value,
        unit,
        hours_before,
    }
}
