//! What counts as evidence of a cause: where it was seen, what speaks against it, and what contradicts it.
//!
//! The pumps, limits and entries are invented.

mod evaluation_support;

use evaluation_support::{Case, number, usual_limits, water_pump};
use lantern_ring::{evaluation::Causes, plant::CheckId};
use serde_json::{Value, json};

#[track_caller]
fn causes(case: &Case) -> Causes {
    case.evaluate().causes.expect("something was entered")
}

fn percent(percent: f64) -> Value {
    json!({"kind": "level", "percent": percent})
}

/// The oil of one bearing tells nothing of another's: it is asked for where the bearing is hot.
#[test]
fn oil_seen_good_at_one_bearing_is_still_looked_at_where_another_is_hot() {
    let mut pump = water_pump();
    pump["bearings"] = json!([
        {"place": "pump_de", "lubrication": "bottle_oiler", "thermometer": true},
        {"place": "pump_nde", "lubrication": "bottle_oiler", "thermometer": true},
    ]);
    let mut limits = usual_limits();
    let rows = limits.as_array_mut().expect("rows");
    rows.push(json!(["oiler_level@pump_de", "%", {"low_watch": 30.0}]));
    rows.push(json!(["oiler_level@pump_nde", "%", {"low_watch": 30.0}]));
    let hot = Case::of(pump, limits, json!({}))
        .enter("bearing_temperature@pump_de", number(88.0, "degC"))
        .enter("oiler_level@pump_nde", percent(60.0));
    let oiler: CheckId = "oiler_level@pump_de".parse().expect("a check");
    let next = causes(&hot).look_next;
    assert_eq!(next.first(), Some(&oiler), "{next:?}");
    // Once its own was looked at as well, no other is asked for.
    let looked_at = causes(&hot.enter("oiler_level@pump_de", percent(60.0)));
    let next = looked_at.look_next;
    assert!(
        next.iter().all(|check| check.kind != oiler.kind),
        "{next:?}"
    );
}
