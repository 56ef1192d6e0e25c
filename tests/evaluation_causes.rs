//! From a visit's entries to the first cause, and to the check that tells the causes apart.
//!
//! Which trouble goes with which signs is held to published texts in `diagnosis_cases.rs`; here it is only that entries,
//! trends and hydraulics come to those signs. The entries' pumps are invented.

mod evaluation_support;

use evaluation_support::{Case, choice, count, feel, number, usual_limits, water_pump, yes_no};
use lantern_ring::{
    check::{list, on_request},
    diagnosis::{Evidence, Sign, Telling},
    evaluation::{Causes, Evaluation},
    plant::{CheckId, Place},
};
use proptest::prelude::*;
use serde_json::{Value, json};

#[track_caller]
fn causes(case: &Case) -> Causes {
    case.evaluate().causes.expect("something was entered")
}

#[track_caller]
fn first(case: &Case) -> String {
    let causes = causes(case);
    let fitting = &causes.diagnosis.fitting;
    let first = fitting
        .first()
        .unwrap_or_else(|| panic!("nothing fits {:#?}", causes.evidence));
    first.trouble.key.clone()
}

fn told(case: &Case, sign: Sign) -> Option<bool> {
    let evidence = causes(case).evidence;
    let of_sign: Vec<&Evidence> = evidence.iter().filter(|told| told.sign == sign).collect();
    let present = of_sign.first()?.present;
    assert!(
        of_sign.iter().all(|told| told.present == present),
        "{sign:?} is told both ways"
    );
    Some(present)
}

/// Pressures, flow and amps as they usually are.
fn runs_well() -> Case {
    Case::usual()
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .enter("discharge_pressure@discharge", number(4.2, "bar"))
        .enter("flow@discharge", number(108.0, "m3/h"))
        .enter("motor_current@driver", number(25.0, "A"))
}

/// It runs without delivering: no pressure, no flow, low amps.
fn delivers_nothing() -> Case {
    Case::usual()
        .enter("suction_pressure@suction", number(0.3, "bar"))
        .enter("discharge_pressure@discharge", number(0.3, "bar"))
        .enter("flow@discharge", number(0.0, "m3/h"))
        .enter("motor_current@driver", number(12.0, "A"))
}

#[test]
fn a_dry_gland_and_a_hot_bearing_are_told_apart() {
    let dry = runs_well()
        .enter("leak_off@seal_de", count(0, 60.0))
        .enter("gland_heat@seal_de", feel(5))
        .enter("bearing_temperature@pump_de", number(52.0, "degC"));
    assert_eq!(first(&dry), "packing_tight");
    assert_eq!(told(&dry, Sign::GlandSmoking), Some(true));
    assert_eq!(told(&dry, Sign::BearingHot), Some(false));

    let hot = runs_well()
        .enter("leak_off@seal_de", count(30, 60.0))
        .enter("gland_heat@seal_de", feel(1))
        .enter("bearing_temperature@pump_de", number(88.0, "degC"))
        .enter(
            "oil_level@pump_de",
            json!({"kind": "level", "percent": 0.0}),
        )
        .enter("oil_look@pump_de", choice("dark"))
        .enter("noise@pump", choice("rumble"));
    let first = first(&hot);
    assert!(
        first.starts_with("bearing") || first.starts_with("oil"),
        "{first}"
    );
    assert_eq!(told(&hot, Sign::LeakOffNone), Some(false));
    assert_eq!(told(&hot, Sign::GlandHot), Some(false));
}

#[test]
fn the_vent_tells_air_from_vapour() {
    let air = delivers_nothing()
        .enter("delivery@pump", choice("lost"))
        .enter("vent_test@pump", choice("air"));
    assert_eq!(first(&air), "air_bound");
    let vapour = Case::with(json!({"liquid_temperature_c": 95.0}))
        .enter("suction_pressure@suction", number(0.3, "bar"))
        .enter("discharge_pressure@discharge", number(0.3, "bar"))
        .enter("motor_current@driver", number(12.0, "A"))
        .enter("liquid_temperature@suction", number(107.0, "degC"))
        .enter("vent_test@pump", choice("vapour"));
    assert_eq!(first(&vapour), "vapour_hot");
    // Water of 107 °C boils at 1.294 bar absolute (IAPWS-IF97), 0.28 bar gauge: next to nothing is left at 0.3 bar.
    assert_eq!(told(&vapour, Sign::VentAir), Some(false));
    assert_eq!(told(&vapour, Sign::LiquidHot), Some(true));
}

#[test]
fn before_the_vent_is_tried_it_is_among_what_is_to_be_looked_at() {
    let causes = causes(&delivers_nothing().enter("delivery@pump", choice("lost")));
    let vent: CheckId = "vent_test@pump".parse().expect("a check");
    assert!(causes.look_next.contains(&vent), "{:?}", causes.look_next);
}

#[test]
fn a_plugged_strainer_shows_by_its_drop() {
    let case = Case::usual()
        .enter("suction_pressure@suction", number(-0.2, "bar"))
        .enter("strainer_drop@suction", number(0.6, "bar"))
        .enter("discharge_pressure@discharge", number(3.2, "bar"))
        .enter("noise@pump", choice("crackle"));
    assert_eq!(first(&case), "suction_strainer");
}

#[test]
fn a_bearing_hot_after_greasing_is_over_greased() {
    let case = runs_well()
        .enter("bearing_heat@driver_de", feel(5))
        .enter("grease_look@driver_de", choice("pushed_out"))
        .enter("after_greasing@pump", choice("yes"));
    assert_eq!(first(&case), "over_greased");
    assert_eq!(told(&case, Sign::HotAfterGreasing), Some(true));
}

#[test]
fn a_lantern_ring_without_pressure_has_lost_its_feed() {
    let case = runs_well()
        .enter("lantern_ring_pressure@seal_de", number(0.1, "bar"))
        .enter("leak_off@seal_de", count(3, 60.0))
        .enter("gland_air@seal_de", yes_no(true));
    assert_eq!(first(&case), "lantern_feed_lost");
}

#[test]
fn a_shut_discharge_valve_is_seen_to_be_there() {
    let case = Case::usual()
        .enter("suction_pressure@suction", number(0.4, "bar"))
        .enter("discharge_pressure@discharge", number(5.4, "bar"))
        .enter("flow@discharge", number(0.0, "m3/h"))
        .enter("motor_current@driver", number(14.0, "A"))
        .enter("valve_position@discharge", choice("shut"));
    assert_eq!(first(&case), "dead_headed");
    assert_eq!(told(&case, Sign::DischargeHigh), Some(true));
    assert_eq!(told(&case, Sign::FlowNone), Some(true));
    assert_eq!(told(&case, Sign::FlowLow), Some(false));
}

#[test]
fn a_mechanical_seal_that_streams_is_damaged_with_or_without_a_convention() {
    let seal = json!({"seal": {"kind": "mechanical", "plan": "own liquid"}});
    for drops_per_ml in [json!(20.0), Value::Null] {
        let mut stream = json!({"kind": "stream", "millilitres": 100.0, "seconds": 60.0});
        if !drops_per_ml.is_null() {
            stream["drops_per_ml"] = drops_per_ml;
        }
        let limits = json!([["seal_leak@seal_de", "drops/min", {"high_watch": 5.0}]]);
        let mut pump = water_pump();
        pump["seal"] = seal["seal"].clone();
        let case = Case::of(pump, limits, json!({})).enter("seal_leak@seal_de", stream);
        assert_eq!(told(&case, Sign::SealStreams), Some(true));
        assert_eq!(told(&case, Sign::SealDrips), Some(false));
        assert_eq!(first(&case), "seal_damaged");
    }
}

#[test]
fn amps_and_suction_are_signs_without_a_discharge_gauge_too() {
    let case = Case::usual()
        .enter("motor_current@driver", number(15.0, "A"))
        .enter("suction_pressure@suction", number(-0.3, "bar"));
    assert_eq!(told(&case, Sign::AmpsLow), Some(true));
    assert_eq!(told(&case, Sign::SuctionAboveAtmosphere), Some(false));
    assert_eq!(told(&case, Sign::SuctionLow), Some(true));
    // More than full load is high, whatever the limits.
    let case = Case::of(water_pump(), json!([]), json!({}))
        .enter("motor_current@driver", number(31.0, "A"));
    assert_eq!(told(&case, Sign::AmpsHigh), Some(true));
}

#[test]
fn a_bound_on_one_side_says_nothing_of_the_other() {
    let limits = json!([["suction_pressure@suction", "bar", {"low_watch": 0.1}]]);
    let case = Case::of(water_pump(), limits, json!({}))
        .enter("suction_pressure@suction", number(0.4, "bar"));
    assert_eq!(told(&case, Sign::SuctionLow), Some(false));
    assert_eq!(told(&case, Sign::SuctionHigh), None);
}

#[test]
fn the_words_of_one_choice_are_silent_of_the_others_but_the_good_one() {
    let crackles = Case::usual().enter("noise@pump", choice("crackle"));
    assert_eq!(told(&crackles, Sign::NoiseGravel), Some(true));
    assert_eq!(told(&crackles, Sign::NoiseRumble), None);
    let steady = Case::usual().enter("noise@pump", choice("steady"));
    assert_eq!(told(&steady, Sign::NoiseGravel), Some(false));
    assert_eq!(told(&steady, Sign::NoiseRumble), Some(false));
}

#[test]
fn one_bearing_that_shows_it_is_enough() {
    let case = Case::usual()
        .enter("bearing_heat@driver_de", feel(0))
        .enter("bearing_temperature@pump_de", number(95.0, "degC"));
    assert_eq!(told(&case, Sign::BearingHot), Some(true));
}

/// Oil or a gland is looked at where something is wrong, not at the first of its like.
#[test]
fn what_is_to_be_looked_at_is_at_the_bearing_or_gland_in_trouble() {
    let mut pump = water_pump();
    pump["arrangement"] = json!("between_bearings");
    pump["bearings"] = json!([
        {"place": "pump_de", "lubrication": "oil_bath", "thermometer": true},
        {"place": "pump_nde", "lubrication": "bottle_oiler", "thermometer": true},
    ]);
    let mut limits = usual_limits();
    let rows = limits.as_array_mut().expect("rows");
    rows.push(json!(["bearing_temperature@pump_nde", "degC", {"high_watch": 75.0}]));
    rows.push(json!(["leak_off@seal_nde", "drops/min", {"low_act": 2.0, "low_watch": 10.0}]));
    let case = || Case::of(pump.clone(), limits.clone(), json!({}));
    let next = |case: Case| causes(&case).look_next;
    let oil = |bearing: &str| {
        let read = format!("bearing_temperature@{bearing}");
        next(case().enter(&read, number(88.0, "degC")))
    };
    let check = |text: &str| text.parse::<CheckId>().expect("a check");
    assert_eq!(oil("pump_de")[0], check("oil_level@pump_de"));
    assert_eq!(oil("pump_nde")[0], check("oiler_level@pump_nde"));
    let gland = next(case().enter("leak_off@seal_nde", count(3, 60.0)));
    assert!(
        !gland.is_empty() && gland.iter().all(|check| check.place != Place::SealDe),
        "{gland:?}"
    );
}

fn temperatures(per_day: f64) -> impl Iterator<Item = (f64, Value)> {
    (1..28).map(move |day| {
        let scatter = 0.3 * f64::from(day * 7 % 5);
        (
            f64::from(day),
            number(65.0 - per_day * f64::from(day) + scatter, "degC"),
        )
    })
}

#[test]
fn a_bearing_that_gets_warmer_is_evidence_and_one_that_does_not_speaks_against_it() {
    let with = |per_day: f64| {
        Case::usual()
            .enter("bearing_temperature@pump_de", number(65.0, "degC"))
            .earlier("bearing_temperature@pump_de", temperatures(per_day))
    };
    assert_eq!(told(&with(0.4), Sign::BearingRising), Some(true));
    assert_eq!(told(&with(0.0), Sign::BearingRising), Some(false));
    let of_one = Case::usual().enter("bearing_temperature@pump_de", number(65.0, "degC"));
    assert_eq!(told(&of_one, Sign::BearingRising), None);
    let rising = causes(&with(0.4)).evidence;
    let origin = rising.iter().find(|told| told.sign == Sign::BearingRising);
    assert!(
        origin.expect("evidence").origin.contains("a day"),
        "{rising:?}"
    );
}

#[test]
fn a_reservoir_in_limits_that_falls_is_one_that_falls() {
    let level = |percent: f64| json!({"kind": "level", "percent": percent});
    let mut pump = water_pump();
    pump["bearings"][0]["lubrication"] = json!("forced_feed");
    pump["oil_skid"] = json!({"cooler": true, "filter_gauge": true});
    let limits = json!([["feed_oil_reservoir@oil_skid", "%", {"low_watch": 20.0}]]);
    let readings = (1..28).map(|day| (f64::from(day), level(50.0 + f64::from(day))));
    let case = Case::of(pump, limits, json!({}))
        .enter("feed_oil_reservoir@oil_skid", level(50.0))
        .earlier("feed_oil_reservoir@oil_skid", readings);
    assert_eq!(told(&case, Sign::ReservoirLow), Some(true));
    assert!(causes(&case).diagnosis.contradicted.is_empty());
}

#[test]
fn a_short_suction_margin_is_evidence_and_an_ample_one_speaks_against_it() {
    // Needs 3.0 m at 108 m³/h; at −0.65 bar (101 325 − 65 000 − 2 339)/9 789 − 0.3 + 0.15 = 3.32 m are there.
    let at = |bar: f64| {
        Case::usual()
            .enter("suction_pressure@suction", number(bar, "bar"))
            .enter("liquid_temperature@suction", number(20.0, "degC"))
            .enter("flow@discharge", number(108.0, "m3/h"))
    };
    assert_eq!(told(&at(-0.65), Sign::NpshSmall), Some(true));
    assert_eq!(told(&at(-0.75), Sign::NpshNegative), Some(true));
    assert_eq!(told(&at(0.35), Sign::NpshNegative), Some(false));
    assert_eq!(told(&at(0.35), Sign::NpshSmall), Some(false));
    let evidence = causes(&at(-0.65)).evidence;
    let small = evidence.iter().find(|told| told.sign == Sign::NpshSmall);
    assert!(
        small.expect("evidence").origin.contains("to be kept 0.5 m"),
        "{small:?}"
    );
}

#[test]
fn a_head_on_the_curve_at_the_flow_read_speaks_for_the_pump() {
    // 40.8 m against 41 m on the curve at 108 m³/h.
    assert_eq!(told(&runs_well(), Sign::HeadOnCurve), Some(true));
    let worn = Case::usual()
        .enter("suction_pressure@suction", number(0.35, "bar"))
        .enter("discharge_pressure@discharge", number(3.2, "bar"))
        .enter("flow@discharge", number(108.0, "m3/h"));
    assert_eq!(told(&worn, Sign::HeadOnCurve), Some(false));
}

#[test]
fn what_was_not_checked_is_no_evidence_and_is_not_asked_for_again() {
    let lost = delivers_nothing().enter("delivery@pump", choice("lost"));
    let asked = causes(&lost).look_next;
    let next = asked.first().expect("something to look at").to_string();
    let left_out = lost.enter(&next, json!({"kind": "not_checked", "reason": "no ladder"}));
    let causes = causes(&left_out);
    assert!(
        causes
            .look_next
            .iter()
            .all(|check| check.to_string() != next)
    );
}

#[test]
fn nothing_entered_is_nothing_known() {
    assert_eq!(Case::usual().evaluate().causes, None);
}

/// An entry that each check of the pump could have, some of them bad.
fn some_entries() -> Vec<(&'static str, Value)> {
    vec![
        ("suction_pressure@suction", number(-0.3, "bar")),
        ("discharge_pressure@discharge", number(3.0, "bar")),
        ("flow@discharge", number(60.0, "m3/h")),
        ("motor_current@driver", number(18.0, "A")),
        ("strainer_drop@suction", number(0.2, "bar")),
        ("noise@pump", choice("crackle")),
        ("leak_off@seal_de", count(2, 60.0)),
        ("gland_heat@seal_de", feel(4)),
        ("bearing_temperature@pump_de", number(80.0, "degC")),
        ("gauge_swing@discharge", choice("swings")),
        ("vent_test@pump", choice("bubbles")),
        ("valve_position@suction", choice("open")),
        ("rotation@driver", yes_no(true)),
        ("delivery@pump", choice("comes_and_goes")),
        ("phase_currents@driver", choice("even")),
        ("gland_air@seal_de", yes_no(true)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn the_order_of_entries_changes_nothing(
        entries in prop::sample::subsequence(some_entries(), 1..=some_entries().len()).prop_shuffle(),
    ) {
        let enter = |entries: &[(&str, Value)]| {
            entries.iter().fold(Case::usual(), |case, (check, entered)| case.enter(check, entered.clone()))
        };
        let mut sorted = entries.clone();
        sorted.sort_by_key(|(check, _)| *check);
        let (as_made, sorted) = (causes(&enter(&entries)), causes(&enter(&sorted)));
        prop_assert_eq!(as_made.diagnosis, sorted.diagnosis);
        prop_assert_eq!(as_made.look_next, sorted.look_next);
    }

    #[test]
    fn what_is_to_be_looked_at_is_a_check_of_this_pump_that_was_not_made(
        entries in prop::sample::subsequence(some_entries(), 1..=some_entries().len()),
    ) {
        let case = entries.iter().fold(Case::usual(), |case, (check, entered)| case.enter(check, entered.clone()));
        let pump = &case.plant.pumps[0];
        let mut checks = list(pump, case.running);
        checks.extend(on_request(pump, case.running));
        let causes = causes(&case);
        for next in &causes.look_next {
            prop_assert!(checks.iter().any(|check| check.id == *next), "{} is no check here", next);
            prop_assert!(case.seen.iter().all(|seen| seen.check != *next), "{} was made", next);
        }
        let asks = matches!(causes.diagnosis.telling, Telling::Checks(_) | Telling::Proof { .. });
        let is_to_stop = case.evaluate().stop().is_some();
        prop_assert_eq!(asks && !is_to_stop, !causes.look_next.is_empty());
    }
}

#[test]
fn an_entry_that_stops_the_pump_stands_before_whatever_a_cause_would_have_one_do() {
    let mut limits = usual_limits();
    limits[0][2]["low_stop"] = json!(1.0);
    let dry = |drops| {
        Case::of(water_pump(), limits.clone(), json!({}))
            .enter("leak_off@seal_de", count(drops, 60.0))
            .evaluate()
    };
    assert_eq!(
        dry(0).stop().expect("to be stopped"),
        "Leak-off, packing drive end: 0 drops/min. Stop the pump by your plant's procedure and tell the shift supervisor."
    );
    assert_eq!(dry(1).stop(), None, "a bound is the last good value");
}

#[test]
fn no_cause_sends_a_hand_to_a_gland_with_hot_or_hazardous_liquid() {
    let leaks = |changes: Value| {
        Case::with(changes)
            .enter("leak_off@seal_de", count(200, 60.0))
            .enter("gland_square@seal_de", yes_no(false))
            .evaluate()
    };
    let told = |evaluation: &Evaluation| -> Vec<String> {
        let causes = evaluation.causes.as_ref().expect("something was entered");
        let fitting = causes.diagnosis.fitting.iter();
        fitting
            .filter_map(|cause| evaluation.advice(cause).first)
            .filter(|first| first.contains("nut"))
            .collect()
    };
    assert_eq!(told(&leaks(json!({}))).len(), 2);
    for liquid in [
        json!({"liquid_temperature_c": 65.0}),
        json!({"hazard": "It burns skin."}),
    ] {
        assert_eq!(told(&leaks(liquid)), Vec::<String>::new());
    }
}

#[test]
fn no_cause_has_a_hot_gland_taken_up() {
    let evaluation = Case::usual()
        .enter("leak_off@seal_de", count(200, 60.0))
        .enter("gland_heat@seal_de", feel(4))
        .evaluate();
    let causes = evaluation.causes.as_ref().expect("something was entered");
    let of = |key: &str| {
        let mut fitting = causes.diagnosis.fitting.iter();
        fitting.find(|cause| cause.trouble.key == key)
    };
    let worn = of("packing_worn").expect("a leak-off above its band");
    let first = evaluation.advice(worn).first.expect("something");
    assert!(first.starts_with("Never tighten a hot gland"), "{first}");
}

#[test]
fn where_the_pump_is_to_be_stopped_no_cause_says_otherwise() {
    let limits =
        json!([["vibration_velocity@pump_de", "mm/s", {"high_watch": 3.0, "high_stop": 8.0}]]);
    let mut pump = water_pump();
    pump["bearings"][0]["vibration_stud"] = json!(true);
    let by_an_entry = Case::of(pump, limits, json!({}))
        .enter("vibration_velocity@pump_de", number(9.0, "mm/s"))
        .evaluate();
    // A gland that scorches, whose limits know no stop.
    let by_a_gland = Case::usual()
        .enter("gland_heat@seal_de", feel(5))
        .evaluate();
    for evaluation in [by_an_entry, by_a_gland] {
        let stop = evaluation.stop().expect("a reason to stop");
        assert!(stop.contains("Stop the pump by your plant's procedure"));
        let causes = evaluation.causes.as_ref().expect("something was entered");
        assert!(!causes.diagnosis.fitting.is_empty());
        assert_eq!(causes.look_next, [], "nobody is sent to look closer");
        for cause in &causes.diagnosis.fitting {
            let advice = evaluation.advice(cause);
            assert_eq!((advice.first, advice.stop_when), (None, None));
        }
    }
}
