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

#[track_caller]
fn first(case: &Case) -> String {
    let fitting = causes(case).diagnosis.fitting;
    fitting.first().expect("something fits").trouble.key.clone()
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

/// At 4.2 bar this pump's curve has 108 m³/h; at 5.4 bar it has next to none. Pressure in limits speaks against a
/// dead-headed pump, for one with a flat curve no more than that.
#[test]
fn no_flow_at_a_usual_pressure_is_dead_headed_until_the_meter_or_a_gauge_is_found_wrong() {
    let at = |bar: f64| {
        Case::usual()
            .enter("suction_pressure@suction", number(0.35, "bar"))
            .enter("discharge_pressure@discharge", number(bar, "bar"))
            .enter("flow@discharge", number(0.0, "m3/h"))
    };
    let contradictions = |case: &Case| -> Vec<String> {
        let worked = case.evaluate().worked;
        let lines = worked.iter().filter(|line| line.is_contradiction());
        lines.map(|line| line.line()).collect()
    };
    assert_eq!(first(&at(4.2)), "dead_headed");
    let said = contradictions(&at(4.2));
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(
        said[0].contains("the flow meter or a gauge shows wrong"),
        "{said:?}"
    );
    assert_eq!(first(&at(5.4)), "dead_headed");
    assert_eq!(contradictions(&at(5.4)), Vec::<String>::new());
    // Next to no pressure is no dead-headed pump's.
    assert_ne!(first(&at(0.35)), "dead_headed");
}
