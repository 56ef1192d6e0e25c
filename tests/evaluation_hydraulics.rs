//! What a visit's gauges, flow and amps come to, against worked examples and the functions beneath.
//!
//! Reference values are those of `tests/data/reference/pump_worked_examples.json`, by their ids. Intervals were worked
//! out by hand from the accuracy classes, as GUM 4.3.7 and 5.1.2 have it (clauses from memory).

mod evaluation_support;

use evaluation_support::{
    Case, count, feel, line, number, numbers, refusal, result, row, water_pump,
};
use lantern_ring::{
    check::RunningState,
    diagnosis::Sign,
    evaluation::{Outcome, Worked},
    hydraulics::{
        gauges::{
            FLOW_FROM_HEAD, HIGHEST_TEMPERATURE, LOWEST_SUCTION_PRESSURE, MOTOR_POWER,
            NPSH_AVAILABLE, NPSH_MARGIN, PUMP_EFFICIENCY, TOTAL_HEAD,
        },
        liquid::{Liquid, LiquidKind},
    },
    judge::Verdict,
};
use serde_json::json;

fn worked_example() -> Case {
    Case::usual().worked_example()
}

#[test]
fn head_is_that_of_the_worked_example_within_what_the_gauges_allow() {
    // computed-gauge-20C-0m: H = 40.828 m. Half width: discharge 1.6 % of 10 bar, suction 1.6 % of 2.5 bar, each times
    // 2/√3: 1.946 m; density 1 % of 39.33 m: 0.393 m; flow 2 % · 2/√3 of the velocity head of 0.597 m, twice: 0.028 m;
    // root of the sum of squares: 1.985 m.
    let evaluation = worked_example().evaluate();
    assert_eq!(result(&evaluation, "Total head"), "40.8 m, 38.8 to 42.8");
    let head = line(&evaluation, "Total head");
    assert_eq!(head.formula, Some(TOTAL_HEAD));
    assert_eq!(row(head, "From the gauges' difference"), "39.33 m");
    assert_eq!(row(head, "From their heights"), "0.90 m");
    assert_eq!(row(head, "Velocity head"), "in the result");
    assert_eq!(row(head, "Temperature"), "20.0 °C, read");
}

#[test]
fn npsh_available_is_that_of_the_worked_example_within_what_the_gauge_allows() {
    // computed-gauge-20C-0m: NPSHa = 13.535 m. Half width: suction gauge 0.472 m, air ± 2 kPa 0.204 m, density 1 % of
    // 13.69 m 0.137 m, vapour pressure by 1 °C 0.015 m, flow 0.007 m: 0.53 m.
    let evaluation = worked_example().evaluate();
    assert_eq!(
        result(&evaluation, "NPSH available"),
        "13.5 m, 13.0 to 14.1"
    );
    let npsh = line(&evaluation, "NPSH available");
    assert_eq!(npsh.formula, Some(NPSH_AVAILABLE));
    assert_eq!(row(npsh, "Air's pressure"), "101.3 kPa, 99.3 to 103.3");
    assert!(row(npsh, "Vapour pressure").starts_with("2.34 kPa"));
}

#[test]
fn the_margin_is_what_is_available_less_what_the_curve_asks_at_this_flow() {
    // 13.535 m less 3.0 m at the curve's point of 108 m³/h.
    let evaluation = worked_example().evaluate();
    let margin = line(&evaluation, "NPSH margin");
    assert_eq!(numbers(result(&evaluation, "NPSH margin"))[0], 10.5);
    assert_eq!(margin.formula, Some(NPSH_MARGIN));
    assert!(row(margin, "NPSH required").starts_with("3.0"));
    assert_eq!(row(margin, "To be kept"), "0.5 m");
    assert!(margin.cautions[0].contains("no margin"), "{margin:?}");
    let Outcome::Is { verdict, .. } = margin.outcome else {
        panic!("{margin:?}")
    };
    assert_eq!(verdict, Some(Verdict::InLimits));
}

#[test]
fn the_lowest_suction_pressure_keeps_the_margin_and_no_more() {
    // By hand: 998.16 · 9.80665 · (3.5 + 0.3 − 0.147) + 2 339 − 101 325 = −63 230 Pa.
    let evaluation = worked_example().evaluate();
    let lowest = line(&evaluation, "Lowest suction pressure");
    let told = numbers(result(&evaluation, "Lowest suction pressure"));
    assert_eq!(told[0], -0.632);
    assert!(told[1] > told[0], "to be sure is higher: {told:?}");
    assert_eq!(lowest.formula, Some(LOWEST_SUCTION_PRESSURE));

    // At the pressure told, the margin is the plant's half metre.
    let at_lowest = Case::usual()
        .enter("suction_pressure@suction", number(-0.6323, "bar"))
        .enter("discharge_pressure@discharge", number(3.2, "bar"))
        .enter("liquid_temperature@suction", number(20.0, "degC"))
        .enter("flow@discharge", number(108.0, "m3/h"))
        .evaluate();
    assert_eq!(numbers(result(&at_lowest, "NPSH margin"))[0], 0.5);
}

#[test]
fn the_highest_temperature_leaves_what_is_needed_of_the_vapour_pressure() {
    let evaluation = worked_example().evaluate();
    let highest = line(&evaluation, "Highest temperature");
    let told = numbers(result(&evaluation, "Highest temperature"));
    assert_eq!(highest.formula, Some(HIGHEST_TEMPERATURE));
    // At that temperature pressure and vapour pressure are apart by what is needed, 3.5 m; to be sure by what the
    // instruments may be off besides: (136 325 − p_vap)/(ρ·g) − 0.153 = 3.5 + about 0.6 m, so p_vap is near 96 kPa,
    // water of 98.5 °C.
    let water = Liquid::new(LiquidKind::Water, None).expect("water");
    let left_m = |at_c: f64| {
        let vapour_pa = water.saturation_pressure_pa(at_c).expect("in range").value;
        let density = water.density_kg_m3(at_c).expect("in range").value;
        (35_000.0 + 101_325.0 - vapour_pa) / (density * 9.806_65) - 0.3 + 0.147
    };
    let (likely_m, surely_m) = (left_m(told[0]), left_m(told[1]));
    assert!((3.4..3.6).contains(&likely_m), "{likely_m} m, {told:?}");
    assert!((4.0..4.4).contains(&surely_m), "{surely_m} m, {told:?}");
}

#[test]
fn what_is_told_of_the_liquid_says_by_what_and_what_is_approximate() {
    let water = worked_example().evaluate();
    let head = line(&water, "Total head");
    assert!(row(head, "Density by").contains("IAPWS-IF97"));
    let vapour = row(line(&water, "NPSH available"), "Vapour pressure by");
    assert!(vapour.contains("IAPWS-IF97") && !vapour.contains("approximation"));

    let glycol = json!({"reckoned_as": {"kind": "ethylene_glycol_water", "percent": 40.0}});
    let glycol = Case::with(json!({"hydraulics": glycol})).worked_example();
    let evaluation = glycol.evaluate();
    let vapour = row(line(&evaluation, "NPSH available"), "Vapour pressure by");
    assert!(
        vapour.contains("An approximation: Raoult's law"),
        "{vapour}"
    );
}

#[test]
fn a_gauge_shows_what_was_read_and_whether_its_class_was_only_taken() {
    let taken = worked_example().evaluate();
    // 1.6 % of the 2.5 bar from −1 to 1.5 are 0.04 bar; of an even spread 2/√3 of it (GUM 4.3.7), 0.046 bar.
    assert_eq!(
        row(line(&taken, "Total head"), "Suction gauge"),
        "0.35 bar, 0.30 to 0.40; class 1.6 taken, the register gives none"
    );
    let gauges = json!([
        {"place": "suction", "elevation_m": -0.3, "scale_low_bar": -1.0, "scale_high_bar": 1.5, "accuracy_class": 0.6},
        {"place": "discharge", "elevation_m": 0.6, "scale_low_bar": 0.0, "scale_high_bar": 10.0}
    ]);
    let given = Case::with(json!({"gauges": gauges})).worked_example();
    let shown = row(line(&given.evaluate(), "Total head"), "Suction gauge").to_owned();
    assert!(shown.ends_with("; class 0.6"), "{shown}");
}

#[test]
fn a_liquid_thicker_than_water_is_told_beside_the_flow_by_the_curve() {
    let thick = |reckoned_as| {
        let evaluation = Case::with(json!({"hydraulics": {"reckoned_as": reckoned_as}}))
            .enter("suction_pressure@suction", number(0.35, "bar"))
            .enter("discharge_pressure@discharge", number(4.2, "bar"))
            .enter("liquid_temperature@suction", number(1.0, "degC"))
            .evaluate();
        let flow = line(&evaluation, "Flow by the curve");
        assert!(row(flow, "Viscosity").ends_with(" mm²/s"));
        let mut cautions = flow.cautions.iter();
        cautions.any(|caution| caution.contains("thicker than water"))
    };
    assert!(thick(
        json!({"kind": "propylene_glycol_water", "percent": 60.0})
    ));
    assert!(!thick(json!({"kind": "water"})));
}

/// The curves are invented. 15.487 kW at the shaft is that of `motor-3ph-1`; the curve's power is read at the meter's
/// 108 m³/h, and goes with the liquid's density by the affinity laws, which `tests/hydraulics_worked_examples.rs` checks.
#[test]
fn power_at_the_shaft_is_told_against_what_the_curve_has_at_the_flow() {
    let with_power = |kw_at_duty: f64| {
        let mut pump = water_pump();
        let points = pump["hydraulics"]["curve"]["points"]
            .as_array_mut()
            .unwrap();
        for (point, share) in points.iter_mut().zip([0.5, 0.8, 1.0, 1.1]) {
            point["shaft_power_kw"] = json!(share * kw_at_duty);
        }
        let hydraulics = pump["hydraulics"].clone();
        let evaluation = Case::with(json!({"hydraulics": hydraulics}))
            .worked_example()
            .evaluate();
        let line = line(&evaluation, "Shaft power").clone();
        (
            row(&line, "Its curve has at this flow").to_owned(),
            line.cautions.join(" "),
        )
    };
    let (as_curve, cautions) = with_power(15.5);
    assert!(as_curve.starts_with("15.50 kW"), "{as_curve}");
    assert!(!cautions.contains("Surely"), "{cautions}");
    assert!(with_power(11.0).1.contains("Surely more"));
    assert!(with_power(22.0).1.contains("Surely less"));
    let evaluation = worked_example().evaluate();
    let rows = &line(&evaluation, "Shaft power").rows;
    assert!(
        rows.iter().all(|(name, _)| !name.contains("curve")),
        "no power in its curve"
    );
}

#[test]
fn power_and_efficiency_are_those_of_the_worked_examples() {
    // motor-3ph-1: 15.487 kW at the shaft; computed-gauge-20C-0m: 11.990 kW to the liquid; so 77.4 %.
    let evaluation = worked_example().evaluate();
    assert_eq!(numbers(result(&evaluation, "Shaft power"))[0], 15.5);
    assert_eq!(numbers(result(&evaluation, "Pump efficiency"))[0], 77.0);
    assert_eq!(line(&evaluation, "Shaft power").formula, Some(MOTOR_POWER));
    let efficiency = line(&evaluation, "Pump efficiency");
    assert_eq!(efficiency.formula, Some(PUMP_EFFICIENCY));
    assert!(row(efficiency, "Hydraulic power").starts_with("12.0 kW"));
}

#[test]
fn flow_is_told_from_the_head_where_there_is_no_meter() {
    let case = Case::with(json!({"hydraulics": {"flow_meter": null}}))
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .enter("discharge_pressure@discharge", number(4.2, "bar"));
    let evaluation = case.evaluate();
    // The curve has 41 m at 108 m³/h; velocity head at the flow told closes the circle within a few m³/h.
    let told = numbers(result(&evaluation, "Flow by the curve"));
    assert!((100.0..116.0).contains(&told[0]), "{told:?}");
    assert!(told[1] < told[0] && told[0] < told[2], "{told:?}");
    let flow = line(&evaluation, "Flow by the curve");
    assert_eq!(flow.formula, Some(FLOW_FROM_HEAD));
    assert!(
        flow.cautions
            .iter()
            .any(|words| words.contains("worn pump"))
    );
    assert!(numbers(result(&evaluation, "NPSH margin"))[0] > 9.0);
}

#[test]
fn a_margin_needs_no_discharge_gauge_where_a_meter_tells_the_flow() {
    let gauge = json!([{"place": "suction", "elevation_m": -0.3, "scale_low_bar": -1.0, "scale_high_bar": 1.5}]);
    let evaluation = Case::with(json!({ "gauges": gauge }))
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .enter("flow@discharge", number(108.0, "m3/h"))
        .evaluate();
    assert_eq!(numbers(result(&evaluation, "NPSH margin"))[0], 10.5);
    assert_eq!(refusal(&evaluation, "Total head").1, None);
}

#[test]
fn the_level_in_the_glass_tells_npsh_where_there_is_no_gauge() {
    // (101 325 − 2 339)/(998.16 · 9.80665) = 10.112 m, level half way from 1 to 3 m, loss 0.5 m: 11.61 m.
    let evaluation = Case::with(json!({
        "gauges": [],
        "suction": {"kind": "flooded", "head_m": 3.0, "level_glass": true, "glass_from_to_m": [1.0, 3.0]}
    }))
    .enter("suction_level@suction", json!({"kind": "level", "percent": 50.0}))
    .enter("liquid_temperature@suction", number(20.0, "degC"))
    .evaluate();
    assert_eq!(numbers(result(&evaluation, "NPSH available"))[0], 11.61);
    let npsh = line(&evaluation, "NPSH available");
    let height = row(npsh, "Surface above the centre line");
    assert!(
        height.starts_with("2.00 m") && height.ends_with("; read"),
        "{height}"
    );
    assert!(npsh.cautions.is_empty());
}

#[test]
fn liquid_above_its_boiling_point_is_told_by_where_it_boils_and_not_by_a_height_below_nothing() {
    // Water of 120 °C boils at 198.67 kPa (IAPWS-IF97, `water_saturation_grid.csv`): 0.9735 bar on a gauge at the
    // pump's height, under air of 101.325 kPa. The velocity head of 0.15 m is 1.35 kPa more, and at 6.2 kPa/K, as the
    // grid has it there, 0.2 K.
    let gauges = json!([
        {"place": "suction", "elevation_m": 0.0, "scale_low_bar": -1.0, "scale_high_bar": 1.5},
        {"place": "discharge", "elevation_m": 0.6, "scale_low_bar": 0.0, "scale_high_bar": 10.0}
    ]);
    let case = Case::with(json!({"gauges": gauges}))
        .enter("suction_pressure@suction", number(0.9735, "bar"))
        .enter("liquid_temperature@suction", number(150.0, "degC"))
        .enter("flow@discharge", number(108.0, "m3/h"));
    let evaluation = case.evaluate();
    assert_eq!(
        result(&evaluation, "NPSH available"),
        "none: at 150.0 °C the liquid is above its boiling point, 120.2 °C at this suction pressure"
    );
    assert_eq!(
        result(&evaluation, "NPSH margin"),
        "none: the liquid is above its boiling point"
    );
    for name in ["NPSH available", "NPSH margin"] {
        let Outcome::Is { verdict, .. } = line(&evaluation, name).outcome else {
            panic!("{name}");
        };
        assert_eq!(verdict, Some(Verdict::Act), "{name}");
    }
    for told in evaluation_support::texts(&evaluation) {
        assert!(!told.contains("-30") && !told.contains(": -"), "{told}");
    }
    let evidence = evaluation.causes.expect("causes").evidence;
    let negative = evidence
        .iter()
        .find(|told| told.sign == Sign::NpshNegative && told.present)
        .expect("evidence for the diagnosis");
    assert_eq!(
        negative.origin,
        "No head over boiling is left at the suction."
    );
}

#[test]
fn a_usual_lift_is_told_as_the_registers_and_speaks_for_no_good_suction() {
    let evaluation = Case::with(json!({
        "gauges": [], "suction": {"kind": "lift", "lift_m": 3.0}, "priming": "vacuum"
    }))
    .enter("flow@discharge", number(108.0, "m3/h"))
    .evaluate();
    // 10.112 m less 3 m lift and 0.5 m loss.
    assert_eq!(numbers(result(&evaluation, "NPSH available"))[0], 6.6);
    let npsh = line(&evaluation, "NPSH available");
    assert!(
        row(npsh, "Surface above the centre line").ends_with("; its usual one by the register")
    );
    assert!(npsh.cautions[0].contains("not as it is now"), "{npsh:?}");
    let signs: Vec<_> = evaluation.causes.expect("a flow was entered").evidence;
    assert!(
        signs
            .iter()
            .all(|told| !told.sign.key().starts_with("npsh")),
        "{signs:?}"
    );
}

#[test]
fn units_change_nothing() {
    let in_bar = worked_example().evaluate();
    let in_other_units = Case::usual()
        .enter("suction_pressure@suction", number(35.0, "kPa"))
        .enter("discharge_pressure@discharge", number(420.0, "kPa"))
        .enter("liquid_temperature@suction", number(68.0, "degF"))
        .enter("flow@discharge", number(108.0, "m3/h"))
        .enter("motor_current@driver", number(28.5, "A"))
        .evaluate();
    assert_eq!(in_bar.worked, in_other_units.worked);
}

#[test]
fn contradictions_are_told_with_what_to_look_at() {
    let evaluation = Case::usual()
        .enter("suction_pressure@suction", number(1.4, "bar"))
        .enter("discharge_pressure@discharge", number(0.5, "bar"))
        .evaluate();
    let look = line(&evaluation, "Look again");
    assert!(
        look.line().contains("more than the discharge gauge"),
        "{look:?}"
    );
    assert!(look.cautions[0].contains("not swapped"), "{look:?}");

    let evaluation = Case::usual()
        .enter("suction_pressure@suction", number(0.0, "bar"))
        .enter("discharge_pressure@discharge", number(9.0, "bar"))
        .evaluate();
    assert_eq!(
        result(&evaluation, "Flow by the curve"),
        "head above the curve"
    );
    assert!(line(&evaluation, "Look again").line().contains("more head"));
}

#[test]
fn amps_behind_a_variable_speed_drive_give_no_power() {
    let evaluation = Case::with(json!({"driver": {"variable_speed": true}}))
        .enter("motor_current@driver", number(20.0, "A"))
        .evaluate();
    let (why, enter) = refusal(&evaluation, "Shaft power");
    assert!(why.starts_with("Behind a variable-speed drive"), "{why}");
    assert_eq!(enter, None);
}

#[test]
fn the_curve_of_a_variable_speed_pump_asks_for_the_speed() {
    let evaluation = Case::with(json!({"driver": {"variable_speed": true}}))
        .worked_example()
        .evaluate();
    let (why, enter) = refusal(&evaluation, "Flow by the curve");
    assert!(why.contains("Enter the shaft speed"), "{why}");
    assert_eq!(enter.as_deref(), Some("shaft_speed@driver"));
    let at_speed = Case::with(json!({"driver": {"variable_speed": true}}))
        .worked_example()
        .enter("shaft_speed@driver", number(1480.0, "rpm"))
        .evaluate();
    assert_eq!(numbers(result(&at_speed, "NPSH margin"))[0], 10.5);
}

#[test]
fn a_pump_that_stands_has_no_head() {
    let mut case = Case::usual().worked_example();
    case.running = RunningState::Standby;
    assert_eq!(case.evaluate().worked, []);
}

/// All that can be worked out at once, counts and a history among it.
fn everything() -> Case {
    let readings = |from: f64, slope: f64| {
        (1..60).map(move |day| {
            let value = from - slope * f64::from(day) + 0.3 * f64::from(day * 7 % 5);
            (f64::from(day), number(value, "degC"))
        })
    };
    worked_example()
        .enter("leak_off@seal_de", count(24, 60.0))
        .enter("bearing_temperature@pump_de", number(70.0, "degC"))
        .earlier("bearing_temperature@pump_de", readings(70.0, 0.4))
        .earlier(
            "leak_off@seal_de",
            (1..40).map(|day| (f64::from(day), count(30, 60.0))),
        )
}

#[test]
fn every_result_shows_its_working() {
    let evaluation = everything().evaluate();
    let of_trends = evaluation.trends.values().flat_map(|trend| &trend.worked);
    let lines: Vec<&Worked> = evaluation.worked.iter().chain(of_trends).collect();
    assert!(lines.len() > 15, "{}", lines.len());
    for line in lines {
        assert!(!line.of.is_empty(), "'{}' is shown nowhere", line.name);
        match &line.outcome {
            Outcome::Is { words, .. } => {
                assert!(!words.is_empty(), "{line:?}");
                let formula = line
                    .formula
                    .unwrap_or_else(|| panic!("no formula: {line:?}"));
                assert!(!formula.name.is_empty() && !formula.source.is_empty());
                assert!(
                    line.name == "Look again" || !line.rows.is_empty(),
                    "{line:?}"
                );
                for (name, value) in &line.rows {
                    assert!(!name.is_empty() && !value.is_empty(), "{line:?}");
                }
            }
            Outcome::Cannot { why, .. } => assert!(why.len() > 20, "{line:?}"),
        }
    }
}

#[test]
fn a_count_shows_its_rate_with_the_exact_interval() {
    // poisson_garwood_limits.csv, 24 counted: 15.377 to 35.710.
    let evaluation = everything().evaluate();
    let rate = line(&evaluation, "Rate counted");
    assert_eq!(
        result(&evaluation, "Rate counted"),
        "24 drops/min, 15 to 36"
    );
    assert!(row(rate, "Against the band").starts_with("Enough") || !rate.cautions.is_empty());
    let since = line(&evaluation, "Since the count before");
    assert_eq!(
        result(&evaluation, "Since the count before"),
        "no difference shown from the count before"
    );
    assert_eq!(row(since, "Before"), "30 drops in 60.0 s, 24 h ago");
}

#[test]
fn who_felt_a_bearing_is_not_told_which_gauges_nobody_read() {
    let evaluation = Case::usual()
        .enter("bearing_temperature@pump_de", number(52.0, "degC"))
        .evaluate();
    let names: Vec<_> = evaluation.worked.iter().map(|line| &line.name).collect();
    assert!(names.is_empty(), "{names:?}");
}

#[test]
fn a_pump_the_register_says_no_hydraulics_of_says_what_to_enter() {
    let case = Case::with(json!({"hydraulics": null}));
    let read = case
        .clone()
        .enter("discharge_pressure@discharge", number(4.2, "bar"))
        .evaluate();
    let (why, enter) = refusal(&read, "Head, suction margin and flow");
    assert!(why.contains("Have the planner enter its liquid"), "{why}");
    assert_eq!(enter, None);
    let felt = case.enter("bearing_heat@driver_de", feel(1)).evaluate();
    assert_eq!(
        felt.worked,
        [],
        "who felt a bearing is told nothing of gauges"
    );
}
