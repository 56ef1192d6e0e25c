//! A pump between bearings has two glands: what is seen at one is told of that one alone.
//!
//! That a gland is never taken up while hot or dry, and is taken up while it leaks too much, is common practice, with its
//! sources in `remedy_gland.rs`; here stands that the two are kept apart.

mod evaluation_support;

use evaluation_support::{Case, count, feel, usual_limits, water_pump};
use lantern_ring::{
    diagnosis::{AtPart, Cause},
    evaluation::Evaluation,
};
use serde_json::json;

/// One gland runs hot and nearly dry, the other leaks far too much and is cool.
fn dry_and_loose(dry: &str, loose: &str) -> Evaluation {
    let mut pump = water_pump();
    pump["arrangement"] = json!("between_bearings");
    let mut limits = usual_limits();
    let rows = limits.as_array_mut().expect("rows");
    rows.push(json!(["leak_off@seal_nde", "drops/min", {
        "low_act": 2.0, "low_watch": 10.0, "target": 30.0, "high_watch": 60.0, "high_act": 120.0
    }]));
    Case::of(pump, limits, json!({}))
        .enter(&format!("leak_off@{dry}"), count(1, 60.0))
        .enter(&format!("gland_heat@{dry}"), feel(4))
        .enter(&format!("leak_off@{loose}"), count(200, 60.0))
        .enter(&format!("gland_heat@{loose}"), feel(1))
        .evaluate()
}

fn cause<'e>(evaluation: &'e Evaluation, key: &str) -> &'e Cause<'static> {
    let diagnosis = &evaluation.causes.as_ref().expect("entries").diagnosis;
    let found = diagnosis
        .fitting
        .iter()
        .find(|cause| cause.trouble.key == key);
    found.unwrap_or_else(|| panic!("{key} does not fit: {diagnosis:#?}"))
}

#[test]
fn a_dry_gland_and_a_loose_one_are_each_told_by_their_own_signs() {
    for (dry, loose, number) in [("seal_nde", "seal_de", 0), ("seal_de", "seal_nde", 1)] {
        let evaluation = dry_and_loose(dry, loose);
        let worn = cause(&evaluation, "packing_worn");
        assert_eq!(worn.part, Some(AtPart::Seal { number }));
        assert_eq!(worn.speaks_against, [], "its own gland is cool");
        let tight = cause(&evaluation, "packing_tight");
        assert_eq!(tight.part, Some(AtPart::Seal { number: 1 - number }));
        assert!(tight.speaks_for.len() >= 2, "dry and hot: {tight:#?}");
    }
}

#[test]
fn the_loose_gland_is_taken_up_though_the_other_is_hot_and_never_eased_for_it() {
    let evaluation = dry_and_loose("seal_nde", "seal_de");
    let first = |key: &str| evaluation.advice(cause(&evaluation, key)).first;
    let loose = first("packing_worn").expect("something to do");
    assert!(loose.starts_with("Take up both gland nuts"), "{loose}");
    let dry = first("packing_tight").expect("something to do");
    assert!(!dry.contains("Take up"), "{dry}");
}

#[test]
fn neither_gland_rules_out_what_is_wrong_at_the_other() {
    let evaluation = dry_and_loose("seal_nde", "seal_de");
    let diagnosis = &evaluation.causes.as_ref().expect("entries").diagnosis;
    let ruled_out = diagnosis
        .ruled_out
        .iter()
        .map(|out| out.trouble.key.as_str());
    let ruled_out: Vec<_> = ruled_out.collect();
    for key in ["packing_tight", "packing_worn"] {
        assert!(!ruled_out.contains(&key), "{ruled_out:?}");
    }
}
