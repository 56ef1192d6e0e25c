//! The demo plant and a few limits, for the tests of remedies.
#![allow(dead_code)]

use lantern_ring::plant::{Limits, Plant, Pump, PumpId, files::assemble};
use lantern_ring::remedy::hours::{Ran, RunEvent};
use std::{fs, path::Path};

pub const HOUR_MS: i64 = 3_600_000;
pub const DAY_MS: i64 = 24 * HOUR_MS;

pub fn demo() -> Plant {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    let mut files = Vec::new();
    for folder in ["", "pumps", "limits", "rounds"] {
        for entry in fs::read_dir(root.join(folder)).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "toml") {
                let name = path.strip_prefix(&root).unwrap().display().to_string();
                files.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    assemble(&files).unwrap()
}

pub fn pump(id: &str) -> Pump {
    let id: PumpId = serde_json::from_value(id.into()).unwrap();
    demo().pump(&id).unwrap().clone()
}

pub fn limits(check: &str, unit: &str, bounds: serde_json::Value) -> Limits {
    let mut limits = serde_json::json!({
        "pump": "P-1", "check": check, "version": 1, "unit": unit, "basis": "test",
    });
    for (name, bound) in bounds.as_object().unwrap() {
        limits[name] = bound.clone();
    }
    serde_json::from_value(limits).unwrap()
}

/// An entry about running, `hours` after hour zero.
pub fn at(hours: i64, ran: Ran) -> RunEvent {
    RunEvent {
        at_ms: hours * HOUR_MS,
        ran,
    }
}
