//! What the suction's gauge or level tells where something of it is not known, and what is asked for then.

mod evaluation_support;

use evaluation_support::{Case, line, number, numbers, refusal, result, row};
use lantern_ring::hydraulics::gauges::HIGHEST_TEMPERATURE;
use serde_json::{Value, json};

#[test]
fn glycol_below_freezing_has_head_flow_and_power_and_says_why_no_npsh() {
    // 30 % ethylene glycol has 1047.49 kg/m³ at −10 °C (`liquids_mixtures_grid.csv`): 385 000/(1047.49 · 9.80665).
    let evaluation = Case::with(json!({
        "liquid_temperature_c": -10.0,
        "hydraulics": {"reckoned_as": {"kind": "ethylene_glycol_water", "percent": 30.0}}
    }))
    .enter("suction_pressure@suction", number(0.35, "bar"))
    .enter("discharge_pressure@discharge", number(4.2, "bar"))
    .enter("motor_current@driver", number(28.5, "A"))
    .evaluate();
    let head = line(&evaluation, "Total head");
    assert_eq!(row(head, "From the gauges' difference"), "37.48 m");
    assert!(numbers(result(&evaluation, "Flow by the curve"))[0] > 100.0);
    assert!(result(&evaluation, "Shaft power").starts_with("15.5 kW"));
    assert!(result(&evaluation, "Pump efficiency").contains('%'));
    assert_eq!(
        refusal(&evaluation, "NPSH available"),
        (
            "NPSH available cannot be computed at -10.0 °C: the vapour pressure of ethylene glycol in water (30 % by mass) is known from 0.0 to 100.0 °C only. Head, flow and power do without it.".to_owned(),
            Some("liquid_temperature@suction".to_owned())
        )
    );
    let names: Vec<_> = evaluation.worked.iter().map(|line| &line.name).collect();
    assert!(!names.iter().any(|name| *name == "The liquid"), "{names:?}");
}

#[test]
fn a_level_tells_the_highest_temperature_and_why_there_is_no_lowest_pressure() {
    let case = |level_percent: f64| {
        Case::with(json!({
            "gauges": [],
            "suction": {"kind": "flooded", "head_m": 3.0, "level_glass": true, "glass_from_to_m": [1.0, 3.0]}
        }))
        .enter("suction_level@suction", json!({"kind": "level", "percent": level_percent}))
        .enter("liquid_temperature@suction", number(20.0, "degC"))
        .enter("flow@discharge", number(108.0, "m3/h"))
        .evaluate()
    };
    // 3.0 m required at 108 m³/h and 0.5 m kept; the surface 2 m above and 0.5 m lost: 2.0 m must stand over boiling.
    // At 94 °C (101 325 − 81 542)/(962.58 · 9.80665) = 2.096 m do, at 96 °C 1.438 m (`water_saturation_grid.csv`), and
    // between the two 2.0 m at 94.3 °C.
    let evaluation = case(50.0);
    let told = numbers(result(&evaluation, "Highest temperature"));
    assert_eq!(told[0], 94.3);
    assert!(told[1] < told[0], "surely not as warm: {told:?}");
    let highest = line(&evaluation, "Highest temperature");
    assert_eq!(highest.formula, Some(HIGHEST_TEMPERATURE));
    assert!(
        highest.cautions[0].starts_with("At this level"),
        "{highest:?}"
    );
    assert!(
        numbers(result(&case(0.0), "Highest temperature"))[0] < told[0],
        "a lower surface leaves less for warmth"
    );
    assert_eq!(
        refusal(&evaluation, "Lowest suction pressure"),
        (
            "Lowest suction pressure cannot be given: this pump has no suction gauge to keep it by. Have the planner see whether one can be fitted.".to_owned(),
            None
        )
    );
}

/// Why there is no margin of a pump without a flow meter.
fn no_margin(changes: Value, discharge_bar: Option<f64>) -> (String, Option<String>) {
    let mut changes = changes;
    changes["hydraulics"]["flow_meter"] = Value::Null;
    let case = Case::with(changes).enter("suction_pressure@suction", number(0.35, "bar"));
    let case = match discharge_bar {
        Some(bar) => case.enter("discharge_pressure@discharge", number(bar, "bar")),
        None => case,
    };
    refusal(&case.evaluate(), "NPSH margin")
}

#[test]
fn no_flow_meter_is_asked_for_where_none_is_fitted() {
    // 7.5 bar are some 74 m, over the 52 m the curve has at shut-off.
    assert_eq!(
        no_margin(json!({}), Some(7.5)),
        (
            "NPSH margin cannot be computed without the flow. The head is higher than this pump can make on its curve. Check both gauges, the speed and which curve is entered.".to_owned(),
            None
        )
    );
    assert_eq!(
        no_margin(json!({}), None),
        (
            "NPSH margin cannot be computed without the flow. Read both gauges.".to_owned(),
            Some("discharge_pressure@discharge".to_owned())
        )
    );
    let alone = json!([{"place": "suction", "elevation_m": -0.3, "scale_low_bar": -1.0, "scale_high_bar": 1.5}]);
    let (why, enter) = no_margin(json!({"gauges": alone}), None);
    assert!(
        why.contains("no flow meter, and not a gauge on either side"),
        "{why}"
    );
    assert_eq!(enter, None);
}

#[test]
fn a_curve_too_flat_asks_for_the_meter_only_where_there_is_one_to_read() {
    let flow_told = |meter: Value| {
        // 5.0 bar are 52 m with the heights, where the curve is flat.
        let evaluation = Case::with(json!({"hydraulics": {"flow_meter": meter}}))
            .enter("suction_pressure@suction", number(0.2, "bar"))
            .enter("discharge_pressure@discharge", number(5.1, "bar"))
            .evaluate();
        refusal(&evaluation, "Flow by the curve")
    };
    let too_flat = "The pump's curve is too flat here to tell the flow from the head.";
    assert_eq!(flow_told(Value::Null), (too_flat.to_owned(), None));
    assert_eq!(
        flow_told(json!(true)),
        (
            format!("{too_flat} Read the flow meter."),
            Some("flow@discharge".to_owned())
        )
    );
}
