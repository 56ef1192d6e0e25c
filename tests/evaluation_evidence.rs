//! What counts as evidence of a cause: where it was seen, what speaks against it, and what contradicts it.
//!
//! The pumps, limits and entries are invented.

mod evaluation_support;

use evaluation_support::{Case, count, feel, number, usual_limits, water_pump};
use lantern_ring::{
    diagnosis::{Build, Evidence, Feature, Knowledge, Sign, Standing},
    evaluation::Causes,
    plant::CheckId,
};
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

/// A gland hot now, and dry so many days ago.
fn dry_before(days_ago: f64) -> Case {
    Case::usual()
        .enter("gland_heat@seal_de", feel(4))
        .left_open(days_ago, "leak_off@seal_de", count(0, 60.0))
}

fn of_before(case: &Case) -> Vec<Evidence> {
    let evidence = causes(case).evidence;
    evidence.into_iter().filter(|told| told.earlier).collect()
}

#[test]
fn what_an_earlier_visit_left_open_counts_with_its_age_until_somebody_looks_again() {
    let told = of_before(&dry_before(2.0));
    let [dry] = told.as_slice() else {
        panic!("{told:?}");
    };
    assert_eq!((dry.sign, dry.present), (Sign::LeakOffNone, true));
    assert!(dry.origin.starts_with("48 h ago: Leak-off"), "{dry:?}");
    let words = causes(&dry_before(2.0)).before_words();
    assert_eq!(
        words,
        "1 sign is of an earlier visit: nobody has looked again."
    );
    assert_eq!(first(&dry_before(2.0)), "packing_tight");

    let looked = dry_before(2.0).enter("leak_off@seal_de", count(30, 60.0));
    assert_eq!(of_before(&looked), []);
    assert_eq!(causes(&looked).before_words(), "");
    let passed_over = json!({"kind": "not_checked", "reason": "guarded"});
    let not_looked = dry_before(2.0).enter("leak_off@seal_de", passed_over);
    assert_eq!(of_before(&not_looked).len(), 1);
}

#[test]
fn what_was_left_open_over_a_week_ago_or_put_right_since_does_not_count() {
    assert_eq!(of_before(&dry_before(7.0)).len(), 1);
    assert_eq!(of_before(&dry_before(7.1)), []);
    let eased = json!({"kind": "gland_nuts", "place": "seal_de", "turn": "ease", "flats": [1, 1]});
    assert_eq!(
        of_before(&dry_before(2.0).put_right(1.0, eased.clone())),
        []
    );
    assert_eq!(of_before(&dry_before(2.0).put_right(3.0, eased)).len(), 1);
}

#[test]
fn what_was_seen_before_shows_nothing_to_be_there_and_rules_nothing_out() {
    let knowledge = Knowledge::built_in().unwrap();
    let build = Build::new([Feature::Packed, Feature::Oil, Feature::Flooded]);
    let diagnose = |told: &[Evidence]| knowledge.diagnose(&build, told, &|_| true);
    let (shut, pressure) = (
        Evidence::present(Sign::DischargeValveShut, "seen"),
        Evidence::present(Sign::DischargeUsual, "seen"),
    );
    let none = Evidence::present(Sign::FlowNone, "seen");
    let now = diagnose(&[shut.clone(), pressure.clone(), none.clone()]);
    assert_eq!(now.fitting[0].standing, Standing::Proved);
    assert!(!now.ruled_out.is_empty());
    let before = diagnose(&[
        shut.clone().seen_before(),
        pressure.seen_before(),
        none.clone(),
    ]);
    assert_eq!(before.fitting[0].trouble.key, "dead_headed");
    assert_ne!(before.fitting[0].standing, Standing::Proved);
    assert_eq!(before.ruled_out, []);
    // What is seen now stands against what was seen before.
    let opened = Evidence::absent(Sign::DischargeValveShut, "seen");
    let both = diagnose(&[shut.seen_before(), opened.clone(), none.clone()]);
    assert_eq!(both, diagnose(&[opened, none]));
}

#[test]
fn no_gland_is_taken_up_that_was_felt_hot_and_not_felt_again() {
    let loose = Case::usual().enter("leak_off@seal_de", count(300, 60.0));
    let hot = loose.clone().left_open(1.0, "gland_heat@seal_de", feel(4));
    let advice = |case: &Case| {
        let evaluation = case.evaluate();
        let causes = evaluation.causes.as_ref().expect("something was entered");
        let mut fitting = causes.diagnosis.fitting.iter();
        let loose = fitting.find(|cause| cause.trouble.key == "packing_worn");
        evaluation.advice(loose.expect("packing loose")).first
    };
    let take_up = advice(&loose).expect("what to do");
    let never = advice(&hot).expect("what to do");
    assert!(take_up.starts_with("Take up both gland nuts"), "{take_up}");
    assert!(never.starts_with("Never tighten"), "{never}");
    // It stops no pump: only what was entered now does.
    let smoked = loose.left_open(1.0, "gland_heat@seal_de", feel(5));
    assert_eq!(smoked.evaluate().stop(), None);
}
