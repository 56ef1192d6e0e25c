//! What cannot be worked out: in which words, and which entry would allow it.

mod evaluation_support;

use evaluation_support::{Case, DAY_MS, NOW_MS, count, feel, line, number, refusal, result, row};
use lantern_ring::{
    diagnosis::Sign,
    evaluation::{Evaluation, Outcome, Reading, Trend, Worked, trend},
    plant::{CheckId, Plant},
};
use serde_json::{Value, json};

/// A plant that its examination would not let through, to see that nothing rests on the examination.
fn unexamined(changes: Value) -> Case {
    Case::with(changes).worked_example()
}

/// The faults of a plant with the water pump changed so, as a plant file's reader tells them.
fn file_faults(changes: Value) -> Vec<String> {
    let plant: Plant = Case::with(changes).plant;
    plant.check().iter().map(ToString::to_string).collect()
}

#[test]
fn a_temperature_outside_the_liquids_range_is_told_with_the_range() {
    let evaluation = Case::usual()
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .enter("liquid_temperature@suction", number(-5.0, "degC"))
        .enter("motor_current@driver", number(28.5, "A"))
        .evaluate();
    assert_eq!(
        refusal(&evaluation, "The liquid"),
        (
            "At -5 °C the liquid's properties are not known: density of water can't be given at -5 °C: its formula holds from 0 to 200 °C. Enter a value within that range, or check the liquid set for this pump".to_owned(),
            Some("liquid_temperature@suction".to_owned())
        )
    );
    // Power needs no density.
    assert!(result(&evaluation, "Shaft power").starts_with("15.5 kW"));
    assert!(
        evaluation
            .worked
            .iter()
            .all(|line| line.name != "Pump efficiency")
    );
}

#[test]
fn no_absolute_pressure_is_told_as_a_gauge_to_read_again() {
    // 101 325 − 101 325 = 0, and below.
    let gauges = json!([{"place": "suction", "elevation_m": 0.0, "scale_low_bar": -1.1, "scale_high_bar": 1.5}]);
    for (bar, pa) in [(-1.01325, "0"), (-1.1, "-8675")] {
        let evaluation = Case::with(json!({ "gauges": gauges }))
            .enter("suction_pressure@suction", number(bar, "bar"))
            .evaluate();
        let (why, _) = refusal(&evaluation, "NPSH available");
        assert_eq!(
            why,
            format!(
                "The absolute pressure at the suction gauge comes to {pa} Pa, and no pressure can be zero or less. Read the gauge again, and check its unit and the site's atmospheric pressure."
            )
        );
        let look = line(&evaluation, "Look again").line();
        assert!(look.contains("zero absolute pressure or less"), "{look}");
    }
}

#[test]
fn a_curve_with_one_point_is_refused_in_the_plants_files_and_by_the_evaluation() {
    let curve = json!({"hydraulics": {"curve": {"points": [{"flow_m3_h": 0.0, "head_m": 52.0}]}}});
    let faults = file_faults(curve.clone());
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(
        faults[0].contains("pump P-1: field `hydraulics.curve.points`: must be two or more, is 1"),
        "{faults:?}"
    );
    let (why, _) = refusal(&unexamined(curve).evaluate(), "Flow by the curve");
    assert_eq!(
        why,
        "The curve has 1 point(s), and a curve needs at least two. Enter more points from the maker's curve."
    );
}

#[test]
fn a_curve_that_does_not_fall_is_refused_in_the_plants_files_and_by_the_evaluation() {
    let points = |heads: [f64; 3]| {
        let points = [0.0, 50.0, 100.0].into_iter().zip(heads);
        let points: Vec<_> = points
            .map(|(flow, head)| json!({"flow_m3_h": flow, "head_m": head, "npsh_required_m": 2.0}))
            .collect();
        json!({"hydraulics": {"curve": {"points": points}}})
    };
    let faults = file_faults(points([52.0, 40.0, 45.0]));
    assert!(
        faults.len() == 1 && faults[0].contains("field `hydraulics.curve.points[2].head_m`"),
        "{faults:?}"
    );
    let (why, _) = refusal(
        &unexamined(points([52.0, 40.0, 45.0])).evaluate(),
        "Flow by the curve",
    );
    assert!(
        why.starts_with("Point 3 of the curve: the head does not fall"),
        "{why}"
    );
    // All of one head: nothing to tell flow by.
    assert_eq!(file_faults(points([40.0, 40.0, 40.0])).len(), 2);
}

#[test]
fn a_curve_with_npsh_required_at_one_point_is_refused_in_the_plants_files() {
    let faults = file_faults(json!({"hydraulics": {"curve": {"points": [
        {"flow_m3_h": 0.0, "head_m": 52.0},
        {"flow_m3_h": 100.0, "head_m": 40.0, "npsh_required_m": 3.0}
    ]}}}));
    assert!(
        faults.len() == 1 && faults[0].contains("give npsh_required_m at one point only"),
        "{faults:?}"
    );
}

#[test]
fn without_npsh_required_on_the_curve_there_is_no_margin() {
    let (why, _) = refusal(
        &unexamined(json!({"hydraulics": {"curve": {"points": [
            {"flow_m3_h": 0.0, "head_m": 52.0}, {"flow_m3_h": 150.0, "head_m": 28.0}
        ]}}}))
        .evaluate(),
        "NPSH margin",
    );
    assert_eq!(
        why,
        "NPSH required cannot be computed without a curve of it. Have the planner enter NPSH required at two or more points of the pump's curve."
    );
}

#[test]
fn a_flow_beyond_the_curve_is_told_in_the_meters_unit() {
    let evaluation = Case::usual()
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .enter("flow@discharge", number(180.0, "m3/h"))
        .evaluate();
    assert_eq!(
        refusal(&evaluation, "NPSH margin").0,
        "The curve runs from 0 to 150 m³/h and says nothing at 180 m³/h. Check the flow, or have the planner enter more of the maker's curve."
    );
}

#[test]
fn without_a_suction_gauge_it_is_told_what_would_tell_of_the_suction() {
    let no_gauge = json!([{"place": "discharge", "elevation_m": 0.6, "scale_low_bar": 0.0, "scale_high_bar": 10.0}]);
    let of = |suction: Value, priming: &str| {
        let evaluation =
            Case::with(json!({"gauges": no_gauge, "suction": suction, "priming": priming}))
                .enter("discharge_pressure@discharge", number(4.2, "bar"))
                .evaluate();
        let (head, enter) = refusal(&evaluation, "Total head");
        assert!(
            head.starts_with("Total head needs a gauge on either side"),
            "{head}"
        );
        assert_eq!(enter, None);
        refusal(&evaluation, "NPSH available")
    };
    assert_eq!(
        of(
            json!({"kind": "flooded", "head_m": 3.0, "level_glass": true, "glass_from_to_m": [1.0, 3.0]}),
            "flooded_suction"
        ),
        (
            "NPSH available cannot be computed without the level in the suction tank. Enter it."
                .to_owned(),
            Some("suction_level@suction".to_owned())
        )
    );
    let without_heights = json!({"kind": "flooded", "head_m": 3.0, "level_glass": true});
    let nothing = json!({"kind": "flooded", "head_m": 3.0});
    for (suction, priming, words) in [
        (
            without_heights,
            "flooded_suction",
            "no heights of the glass's marks",
        ),
        (
            nothing,
            "flooded_suction",
            "neither a suction gauge nor a level glass",
        ),
        (
            json!({"kind": "submerged"}),
            "submerged",
            "a casing that hangs in it",
        ),
    ] {
        let (why, enter) = of(suction, priming);
        assert!(why.contains(words), "{why}");
        assert_eq!(enter, None, "no entry would help");
    }
}

#[test]
fn a_fitted_gauge_that_was_not_read_is_the_entry_asked_for() {
    let evaluation = Case::usual()
        .enter("discharge_pressure@discharge", number(4.2, "bar"))
        .evaluate();
    assert_eq!(
        refusal(&evaluation, "Total head"),
        (
            "Total head cannot be computed without the suction gauge. Enter its reading."
                .to_owned(),
            Some("suction_pressure@suction".to_owned())
        )
    );
    assert_eq!(
        refusal(&evaluation, "NPSH available"),
        (
            "NPSH available cannot be computed without the suction gauge. Enter its reading."
                .to_owned(),
            Some("suction_pressure@suction".to_owned())
        )
    );
}

#[test]
fn without_a_flow_there_is_no_margin_and_the_meter_is_asked_for() {
    let evaluation = Case::usual()
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .evaluate();
    let (why, enter) = refusal(&evaluation, "NPSH margin");
    assert!(
        why.starts_with("NPSH margin cannot be computed without the flow."),
        "{why}"
    );
    assert_eq!(enter.as_deref(), Some("flow@discharge"));
}

#[test]
fn a_missing_pipe_size_leaves_velocity_head_out_and_says_so() {
    let evaluation = Case::with(json!({"hydraulics": {"suction_bore_mm": null}}))
        .worked_example()
        .evaluate();
    let left_out = "left out, because the bore of the suction pipe is not known.";
    for name in ["Total head", "NPSH available"] {
        let told = row(line(&evaluation, name), "Velocity head");
        assert!(told.starts_with(left_out), "{told}");
    }
    // computed-gauge-20C-0m without its velocity heads of 0.744 − 0.147 m.
    assert!(result(&evaluation, "Total head").starts_with("40.2 m"));
    assert_eq!(
        line(&evaluation, "Total head").cautions,
        [
            "Velocity head is left out. Have the planner enter the inside diameter of both pipes where the gauges are tapped."
        ]
    );
}

#[test]
fn amps_without_a_power_factor_or_efficiency_give_no_power_and_say_which_is_wanted() {
    for (missing, words) in [
        ("power_factor", "the power factor"),
        ("efficiency", "the motor's efficiency"),
    ] {
        let case = Case::with(json!({"driver": {missing: null}})).worked_example();
        assert_eq!(case.plant.check(), []);
        let (why, _) = refusal(&case.evaluate(), "Shaft power");
        assert_eq!(
            why,
            format!(
                "Shaft power from amps cannot be computed without {words}. Enter it from the motor's plate."
            )
        );
    }

    let faults = file_faults(json!({"driver": {"power_factor": 0.0}}));
    assert!(
        faults.len() == 1
            && faults[0].contains("field `driver.power_factor`: must be above 0, is 0"),
        "{faults:?}"
    );
    let (why, _) = refusal(
        &unexamined(json!({"driver": {"power_factor": 0.0}})).evaluate(),
        "Shaft power",
    );
    assert!(
        why.starts_with("The power factor is 0, but must be more than zero"),
        "{why}"
    );
}

#[test]
fn a_motor_without_current_gives_no_power() {
    let evaluation = Case::usual()
        .enter("motor_current@driver", number(0.0, "A"))
        .evaluate();
    let (why, _) = refusal(&evaluation, "Shaft power");
    assert!(why.contains("Check that the motor runs"), "{why}");
}

const TEMPERATURE: &str = "bearing_temperature@pump_de";

fn trend_of(check: &str, readings: Vec<(f64, Value)>) -> Trend {
    let check: CheckId = check.parse().expect("a check");
    let plant = Case::usual().plant;
    let readings: Vec<Reading> = readings
        .into_iter()
        .map(|(days_ago, entered)| Reading {
            at_ms: NOW_MS - (days_ago * DAY_MS) as i64,
            running: None,
            entered: serde_json::from_value(entered).expect("an entry"),
            ambient_c: None,
        })
        .collect();
    let limits = plant.limits_of(&plant.pumps[0].id, check);
    trend(check, &readings, &[], limits, NOW_MS).expect("numbers to look at")
}

#[test]
fn a_history_of_one_entry_has_no_trend_and_says_how_many_it_needs() {
    let trend = trend_of(TEMPERATURE, vec![(0.0, number(55.0, "degC"))]);
    assert_eq!(trend.line, None);
    assert!(!trend.rises());
    // As many as the test for a trend wants (`FEWEST_FOR_TREND`), not the two that a line could be drawn through.
    let words = "A trend needs at least 5 entries; there are 1. Make more entries.";
    assert_eq!(trend.words, words);
    assert_eq!(trend.limit_words, "");
}

#[test]
fn equal_values_throughout_are_no_trend_and_reach_no_limit() {
    let same = (0..60).map(|day| (f64::from(day), number(55.0, "degC")));
    let trend = trend_of(TEMPERATURE, same.collect());
    assert_eq!(trend.words, "The same throughout");
    assert_eq!((trend.line, trend.limit_words.as_str()), (None, ""));
    let drift = trend
        .worked
        .iter()
        .find(|line| line.name == "Drift from before");
    let Some(Worked {
        outcome: Outcome::Cannot { why, .. },
        ..
    }) = drift
    else {
        panic!("{drift:?}");
    };
    assert!(why.contains("no spread") || why.contains("scale"), "{why}");
}

/// A bearing that gets warmer by 0.4 °C a day, with some scatter.
fn rising() -> Vec<(f64, Value)> {
    (0..28)
        .map(|day| {
            let scatter = 0.2 * f64::from(day * 7 % 5);
            (
                f64::from(day),
                number(68.0 - 0.4 * f64::from(day) + scatter, "degC"),
            )
        })
        .collect()
}

#[test]
fn entries_out_of_time_order_give_the_same_trend() {
    let in_order = trend_of(TEMPERATURE, rising());
    let mut shuffled = rising();
    shuffled.rotate_left(11);
    shuffled.swap(2, 17);
    assert_eq!(trend_of(TEMPERATURE, shuffled), in_order);
    assert!(in_order.rises(), "{in_order:?}");
}

#[test]
fn entries_of_the_future_are_set_aside() {
    let without = trend_of(TEMPERATURE, rising());
    let mut with = rising();
    with.push((-30.0, number(199.0, "degC")));
    let mut with = trend_of(TEMPERATURE, with);
    let told = with.worked.pop().expect("a word on what is left out");
    assert_eq!(
        told.line(),
        "Set aside: One reading has a time that is still to come, and is left out. Look at the clock of the device it was made on."
    );
    assert_eq!(with, without);

    // Nor is a count compared with one that is still to come.
    let evaluation = Case::usual()
        .enter("leak_off@seal_de", count(24, 60.0))
        .earlier(
            "leak_off@seal_de",
            [(-2.0, count(90, 60.0)), (3.0, count(30, 60.0))],
        )
        .evaluate();
    let before = row(line(&evaluation, "Since the count before"), "Before");
    assert_eq!(before, "30 drops in 60.0 s, 3 days ago");
}

#[test]
fn a_count_of_zero_has_a_lower_limit_of_zero_and_an_upper_one_over_it() {
    // poisson_garwood_limits.csv, none counted: at most 2.996, one-sided at 95 %.
    let mut case = Case::usual().enter("leak_off@seal_de", count(0, 60.0));
    case.plant.drops_per_ml = Some(20.0);
    let evaluation = case.evaluate();
    let rate = result(&evaluation, "Rate counted");
    assert_eq!(rate, "none, at most 3.0 drops/min");
    // The same limit as a volume: 2.996/20.
    let volume = row(line(&evaluation, "Rate counted"), "As a volume");
    assert_eq!(volume, "none, at most 0.15 mL/min");
}

#[test]
fn two_counts_of_zero_show_no_difference() {
    let evaluation = Case::usual()
        .enter("leak_off@seal_de", count(0, 60.0))
        .earlier("leak_off@seal_de", [(1.0, count(0, 60.0))])
        .evaluate();
    let compared = evaluation
        .worked
        .iter()
        .find(|line| line.name == "Since the count before");
    if let Some(compared) = compared {
        assert!(
            compared.line().contains("no difference shown"),
            "{compared:?}"
        );
    }
}

fn stream(drops_per_ml: Option<f64>) -> Value {
    let mut stream = json!({"kind": "stream", "millilitres": 30.0, "seconds": 60.0});
    if let Some(drops) = drops_per_ml {
        stream["drops_per_ml"] = json!(drops);
    }
    stream
}

#[test]
fn a_stream_is_judged_in_drops_only_by_the_plants_convention() {
    let with = Case::usual()
        .enter("leak_off@seal_de", stream(Some(20.0)))
        .evaluate();
    // 30 mL/min, the cup read within 5 %; 20 drops to the mL (metric drop, drop_volume_conventions.csv) are 600.
    assert_eq!(result(&with, "Stream caught"), "30.0 mL/min, 28.5 to 31.5");
    let caught = line(&with, "Stream caught");
    assert!(row(caught, "As drops").starts_with("600 drops/min, 20 to the mL"));
    assert!(caught.cautions.is_empty());
    let shows = |evaluation: &Evaluation, sign: Sign| {
        let causes = evaluation.causes.as_ref().expect("an entry");
        let told = causes.evidence.iter().find(|told| told.sign == sign);
        told.map(|told| told.present)
    };
    assert_eq!(shows(&with, Sign::LeakOffHigh), Some(true));

    let without = Case::usual()
        .enter("leak_off@seal_de", stream(None))
        .evaluate();
    assert_eq!(
        line(&without, "Stream caught").cautions,
        [
            "drops can't be turned into mL: the plant states no drops per mL; set `drops_per_ml` for the plant, or leave the rate in drops"
        ]
    );
    assert_eq!(
        shows(&without, Sign::LeakOffHigh),
        None,
        "limits in drops don't judge mL"
    );
    assert_eq!(shows(&without, Sign::LeakOffNone), Some(false));
}

#[test]
fn the_pump_of_these_tests_has_no_fault_itself() {
    assert_eq!(file_faults(json!({})), Vec::<String>::new());
}

#[test]
fn a_hand_and_a_thermometer_that_contradict_each_other_are_to_be_tried_again() {
    let felt_and_read = |step, celsius| {
        let evaluation = Case::usual()
            .enter("bearing_heat@pump_de", feel(step))
            .enter(TEMPERATURE, number(celsius, "degC"))
            .evaluate();
        evaluation.worked.iter().any(Worked::is_contradiction)
    };
    // Touch limits of ECMA-287, read at second hand: 43 °C for long, 55 °C for ten seconds, 65 °C for one.
    for (step, celsius) in [(0, 90.0), (1, 66.0), (4, 50.0), (5, 40.0), (3, 30.0)] {
        assert!(felt_and_read(step, celsius), "{step} {celsius}");
    }
    for (step, celsius) in [
        (0, 50.0),
        (1, 60.0),
        (2, 90.0),
        (3, 60.0),
        (4, 70.0),
        (5, 95.0),
    ] {
        assert!(!felt_and_read(step, celsius), "{step} {celsius}");
    }
}
