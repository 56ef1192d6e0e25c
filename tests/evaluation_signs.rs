//! Signs that take more than one entry, and which causes are shown first-hand.
//!
//! The pump and its readings are invented. What is folded away is our judgement, no source.

mod evaluation_support;

use evaluation_support::{Case, choice, count, feel, number, yes_no};
use lantern_ring::{
    diagnosis::{Cause, Evidence, Sign, Standing, Telling},
    evaluation::Causes,
};
use serde_json::json;

#[track_caller]
fn causes(case: &Case) -> Causes {
    case.evaluate().causes.expect("something was entered")
}

fn told(case: &Case, sign: Sign) -> Option<bool> {
    let evidence = causes(case).evidence;
    let mut of_sign = evidence.iter().filter(|told: &&Evidence| told.sign == sign);
    of_sign.next().map(|told| told.present)
}

fn keys(causes: &Causes) -> (Vec<&str>, Vec<&str>) {
    let diagnosis = &causes.diagnosis;
    let shown = diagnosis.shown().map(|cause| &*cause.trouble.key);
    let folded = diagnosis.also_possible().map(|cause| &*cause.trouble.key);
    (shown.collect(), folded.collect())
}

/// Discharge pressure partly open valves go with, and where the valve stood earlier.
fn throttled(earlier_bar: Option<f64>) -> Case {
    let case = Case::usual()
        .enter("discharge_pressure@discharge", number(4.2, "bar"))
        .enter("valve_position@discharge", choice("part_open"));
    match earlier_bar {
        None => case,
        Some(bar) => case
            .earlier("valve_position@discharge", [(20.0, choice("part_open"))])
            .earlier(
                "discharge_pressure@discharge",
                [(20.001, number(bar, "bar")), (9.0, number(4.2, "bar"))],
            ),
    }
}

#[test]
fn a_valve_that_was_as_throttled_when_all_was_well_is_no_sign() {
    let sign = Sign::DischargeValvePart;
    assert_eq!(told(&throttled(None), sign), Some(true));
    assert_eq!(told(&throttled(Some(4.2)), sign), None);
    // Above its limit of 4.8 bar all was not well.
    assert_eq!(told(&throttled(Some(5.5)), sign), Some(true));
    // Nothing was read within the hour.
    let apart = throttled(None)
        .earlier("valve_position@discharge", [(20.0, choice("part_open"))])
        .earlier("discharge_pressure@discharge", [(9.0, number(4.2, "bar"))]);
    assert_eq!(told(&apart, sign), Some(true));
    let open = Case::usual().enter("valve_position@discharge", choice("open"));
    assert_eq!(told(&open, sign), Some(false));
}

/// Suction and discharge pressure that give this head at this flow, by the gauges, heights and bores of the pump.
fn pressures(head_m: f64, flow_m3_h: f64) -> (f64, f64) {
    let velocity_m = 0.597 * (flow_m3_h / 108.0).powi(2);
    let rise_bar = (head_m - 0.9 - velocity_m) * 998.2 * 9.80665 / 1e5;
    (0.35, 0.35 + rise_bar)
}

/// Six visits, the last now, at flows and with shares of the curve's head.
fn at_flows(visits: [(f64, f64); 6]) -> Case {
    // The curve's own points, see `evaluation_support`.
    let on_curve = |flow: f64| match flow {
        54.0 => 49.0,
        _ => 41.0,
    };
    let mut case = Case::usual();
    for (visits_ago, (flow, share)) in visits.into_iter().enumerate() {
        let (suction, discharge) = pressures(share * on_curve(flow), flow);
        let read = [
            ("suction_pressure@suction", number(suction, "bar")),
            ("discharge_pressure@discharge", number(discharge, "bar")),
            ("flow@discharge", number(flow, "m3/h")),
        ];
        for (check, entered) in read {
            case = match visits_ago {
                0 => case.enter(check, entered),
                _ => case.earlier(check, [(visits_ago as f64, entered)]),
            };
        }
    }
    case
}

#[test]
fn head_below_the_curve_at_every_flow_is_told_from_head_that_falls_away() {
    let signs = |case: &Case| {
        let evenly = told(case, Sign::HeadBelowEvenly);
        (evenly, told(case, Sign::HeadFallsWithFlow))
    };
    let evenly = at_flows([
        (108.0, 0.8),
        (54.0, 0.8),
        (108.0, 0.8),
        (54.0, 0.8),
        (108.0, 0.8),
        (54.0, 0.8),
    ]);
    assert_eq!(signs(&evenly), (Some(true), Some(false)));
    let falls = at_flows([
        (108.0, 0.8),
        (54.0, 1.0),
        (108.0, 0.8),
        (54.0, 1.0),
        (108.0, 0.8),
        (54.0, 1.0),
    ]);
    assert_eq!(signs(&falls), (Some(false), Some(true)));
    let sound = at_flows([
        (108.0, 1.0),
        (54.0, 1.0),
        (108.0, 1.0),
        (54.0, 1.0),
        (108.0, 1.0),
        (54.0, 1.0),
    ]);
    assert_eq!(signs(&sound), (Some(false), Some(false)));
    // At one flow it can't be told.
    let one = at_flows([(108.0, 0.8); 6]);
    assert_eq!(signs(&one), (None, None));
}

#[test]
fn every_side_of_the_gland_and_cold_cooling_water_can_be_entered() {
    let one_side = Case::usual().enter("leak_off_sides@seal_de", choice("one_side"));
    assert_eq!(told(&one_side, Sign::LeakOffOneSided), Some(true));
    let all_round = Case::usual().enter("leak_off_sides@seal_de", choice("all_round"));
    assert_eq!(told(&all_round, Sign::LeakOffOneSided), Some(false));
    let skid = json!({
        "bearings": [{"place": "pump_de", "lubrication": "forced_feed"}],
        "oil_skid": {"cooler": true, "filter_gauge": true}
    });
    let cold = Case::with(skid).enter("cooling_water@oil_skid", choice("cold_return"));
    assert_eq!(told(&cold, Sign::CoolingWaterFull), Some(true));
}

#[test]
fn causes_that_one_common_sign_alone_speaks_for_are_folded_away() {
    // Grease pushed out of a hot bearing points one way; vibration alone would fit a dozen troubles.
    let case = Case::usual()
        .enter("bearing_heat@driver_de", feel(4))
        .enter("grease_look@driver_de", choice("pushed_out"))
        .enter("bearing_vibration@pump_de", feel(3));
    let causes = causes(&case);
    let (shown, folded) = keys(&causes);
    assert_eq!(shown[0], "over_greased", "{shown:?}");
    assert!(
        shown.len() <= 4 && folded.len() >= 4,
        "{shown:?} {folded:?}"
    );
    let signs_for = |cause: &Cause<'_>| cause.speaks_for.iter().filter(|s| s.present).count();
    for cause in causes.diagnosis.shown() {
        assert!(signs_for(cause) > 1, "{}", cause.trouble.key);
    }
    let also = causes.diagnosis.also_words();
    assert!(
        also.ends_with(&format!("; {} more fit less", folded.len() - 5)),
        "{also}"
    );
    let summary = causes.diagnosis.summary();
    assert!(
        summary.ends_with(&format!("{} more are possible.", folded.len())),
        "{summary}"
    );
}

#[test]
fn what_is_seen_to_be_there_is_no_question_any_more() {
    // An askew gland is one thing, a bearing that heats another: what tells them apart is of no use to anybody.
    let case = Case::usual()
        .enter("gland_square@seal_de", yes_no(false))
        .enter("bearing_temperature@pump_de", number(92.0, "degC"));
    let causes = causes(&case);
    let Telling::Checks(checks) = &causes.diagnosis.telling else {
        panic!("{:?}", causes.diagnosis.telling);
    };
    for answer in checks.iter().flat_map(|check| &check.answers) {
        for cause in [answer.speaks_for, answer.rather_than] {
            assert_ne!(cause.key, "gland_cocked");
        }
    }
}

#[test]
fn grease_pushed_out_of_one_bearing_says_nothing_of_another_that_is_hot() {
    let signs_of_too_much_grease = |hot: &str| {
        let case = Case::usual()
            .enter(hot, feel(4))
            .enter("grease_look@driver_de", choice("pushed_out"));
        let fitting = causes(&case).diagnosis.fitting;
        let mut of_grease = fitting
            .iter()
            .filter(|cause| cause.trouble.key == "over_greased");
        of_grease.next().map(|cause| cause.speaks_for.len())
    };
    assert_eq!(signs_of_too_much_grease("bearing_heat@driver_de"), Some(2));
    assert_eq!(signs_of_too_much_grease("bearing_heat@pump_nde"), Some(1));
    // A hot bearing that has oil can't have too much grease.
    let oiled = Case::usual().enter("bearing_temperature@pump_de", number(92.0, "degC"));
    let fitting = causes(&oiled).diagnosis.fitting;
    assert!(
        fitting
            .iter()
            .all(|cause| !cause.trouble.key.contains("grease"))
    );
}

#[test]
fn a_motor_does_not_begin_to_turn_the_wrong_way_by_itself() {
    let weak = Case::usual().enter("discharge_pressure@discharge", number(3.0, "bar"));
    let place = |case: &Case| {
        let fitting = causes(case).diagnosis.fitting;
        fitting
            .iter()
            .position(|cause| cause.trouble.key == "wrong_rotation")
    };
    assert!(place(&weak).is_some_and(|place| place > 3));
    assert_eq!(
        place(&weak.enter("after_work@pump", choice("yes"))),
        Some(0)
    );
}

#[test]
fn one_common_sign_alone_is_too_little_to_tell() {
    let case = Case::usual().enter("bearing_vibration@pump_de", feel(3));
    let causes = causes(&case);
    let (shown, folded) = keys(&causes);
    assert_eq!(shown.len(), 3, "{shown:?}");
    assert_eq!(
        causes.diagnosis.summary(),
        format!("Too little to tell yet: {} causes fit.", 3 + folded.len())
    );
    assert!(causes.look_next.len() > 1, "it says what to look at");
}

#[test]
fn a_hum_alone_fits_nothing_yet_and_sends_to_the_phases() {
    let hum = Case::usual().enter("noise@pump", choice("hum"));
    let of_hum = causes(&hum);
    let (shown, folded) = keys(&of_hum);
    assert!(shown.is_empty(), "{shown:?}");
    assert_eq!(folded, ["motor_overloaded", "single_phasing"]);
    assert_eq!(of_hum.diagnosis.summary(), "Nothing fits yet.");
    assert!(of_hum.diagnosis.telling.sign().is_some());

    let shaking = causes(&hum.clone().enter("bearing_vibration@pump_de", feel(3)));
    assert!(!keys(&shaking).0.contains(&"single_phasing"));
    assert!(keys(&shaking).1.contains(&"single_phasing"));
}

#[test]
fn a_hum_left_alone_by_what_rules_the_others_out_still_fits_nothing() {
    let hum = Case::usual()
        .enter("noise@pump", choice("hum"))
        .enter("motor_current@driver", number(25.0, "A"));
    let of_hum = causes(&hum);
    assert!(keys(&of_hum).0.is_empty(), "{:?}", keys(&of_hum));
    assert_ne!(of_hum.diagnosis.telling, Telling::OneStandsOut);
}

#[test]
fn a_hum_with_high_amps_is_a_motor_on_two_phases() {
    let hum = Case::usual()
        .enter("noise@pump", choice("hum"))
        .enter("motor_current@driver", number(34.0, "A"));
    let of_hum = causes(&hum);
    assert_eq!(keys(&of_hum).0.first(), Some(&"single_phasing"));
    assert_eq!(of_hum.diagnosis.fitting[0].standing, Standing::FitsWell);
}

#[test]
fn what_is_seen_to_be_there_folds_whatever_adds_nothing_to_it() {
    let case = Case::usual()
        .enter("strainer_drop@suction", number(0.6, "bar"))
        .enter("suction_pressure@suction", number(0.0, "bar"))
        .enter("discharge_pressure@discharge", number(3.4, "bar"));
    let causes = causes(&case);
    let (shown, folded) = keys(&causes);
    assert_eq!(shown, ["suction_strainer"]);
    assert_eq!(causes.diagnosis.fitting[0].standing, Standing::Proved);
    let summary = causes.diagnosis.summary();
    assert_eq!(
        summary,
        format!(
            "Seen to be there: suction strainer plugged. {} more are possible.",
            folded.len()
        )
    );
}

#[test]
fn a_sign_that_is_absent_is_said_as_people_say_it() {
    let case = Case::usual()
        .enter("leak_off@seal_de", count(0, 60.0))
        .enter("gland_heat@seal_de", feel(5))
        .enter("noise@pump", choice("steady"));
    let causes = causes(&case);
    for cause in &causes.diagnosis.fitting {
        for spoken in cause.speaks_for.iter().chain(&cause.speaks_against) {
            let words = spoken.words();
            assert!(!words.starts_with("not so"), "{words}");
        }
    }
    // No leak-off is why it is not merely below its band: what was seen is said.
    let low = causes
        .diagnosis
        .fitting
        .iter()
        .flat_map(|cause| &cause.speaks_against);
    for spoken in low.filter(|spoken| spoken.sign == Sign::LeakOffLow) {
        assert_eq!(spoken.words(), "no leak-off");
    }
}
