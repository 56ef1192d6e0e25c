//! Written cases: what the diagnosis makes of each, and exactly which ones it gets wrong.
//!
//! Each set was written down before the diagnosis met it. Knowledge was weighed on the first set; a few
//! rows and the measure of the telling check were changed on the second; rows that were missing were put
//! in after the third. No row was changed on the fourth: its first meeting says how well new cases go. The sign of a
//! usual discharge pressure and its six rows came later, from a pump of the demo; they changed no first cause here. That
//! a motor does not begin to turn the wrong way by itself was put in after that, and mended one of the first set. That a
//! pressure as usual speaks only weakly against a dead-headed pump, whose curve may be flat, came last: no first cause
//! and no share below changed with it, only which wrong check is named in one case of the second set.
//!
//! | set | cases | first cause and telling check right at first meeting | first cause now | among first three | telling check now | among the checks named |
//! | --- | --- | --- | --- | --- | --- | --- |
//! | first | 61 | 54 and 27 | 59 | 61 | 41 | 43 |
//! | second | 18 | 12 and 7 | 15 | 17 | 12 | 15 |
//! | third | 17 | 13 and 9 | 16 | 17 | 7 | 11 |
//! | fourth | 16 | 12 and 10 | 13 | 16 | 11 | 15 |

use lantern_ring::diagnosis::{Build, Evidence, Feature, Knowledge, Sign, Telling};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    title: String,
    build: Vec<Feature>,
    present: Vec<Sign>,
    #[serde(default)]
    absent: Vec<Sign>,
    first: String,
    telling: String,
    source: String,
    telling_from: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Cases {
    case: Vec<Case>,
}

/// Titles whose first cause or telling check is not the expected one, with what came instead.
#[derive(Default)]
struct Wrong {
    first: Vec<(String, String)>,
    telling: Vec<(String, String)>,
    cause_not_among_three: usize,
    check_not_among_three: usize,
}

fn read(text: &str) -> Vec<Case> {
    let cases: Cases = toml::from_str(text).unwrap();
    cases.case
}

fn written() -> Vec<Case> {
    read(include_str!("data/diagnosis/cases.toml"))
}

fn second() -> Vec<Case> {
    read(include_str!("data/diagnosis/cases_second.toml"))
}

fn third() -> Vec<Case> {
    read(include_str!("data/diagnosis/cases_third.toml"))
}

fn fourth() -> Vec<Case> {
    read(include_str!("data/diagnosis/cases_fourth.toml"))
}

fn check_of(sign: Sign) -> &'static str {
    sign.check().unwrap_or(sign.key())
}

fn wrong_of(cases: &[Case]) -> Wrong {
    let knowledge = Knowledge::built_in().unwrap();
    let mut wrong = Wrong::default();
    for case in cases {
        let present = case.present.iter().map(|&s| Evidence::present(s, "seen"));
        let absent = case.absent.iter().map(|&s| Evidence::absent(s, "seen"));
        let evidence: Vec<_> = present.chain(absent).collect();
        let build = Build::new(case.build.iter().copied());
        let diagnosis = knowledge.diagnose(&build, &evidence, &|_| true);
        let first = diagnosis.fitting.first();
        let first = first.map_or("none", |cause| &cause.trouble.key);
        if first != case.first {
            wrong.first.push((case.title.clone(), first.to_owned()));
        }
        let mut three = diagnosis.fitting.iter().take(3);
        let among_three = three.any(|cause| cause.trouble.key == case.first);
        wrong.cause_not_among_three += usize::from(!among_three);
        let telling = diagnosis.telling.sign().map_or("none", check_of);
        if telling != case.telling {
            wrong.telling.push((case.title.clone(), telling.to_owned()));
        }
        let among_three = match &diagnosis.telling {
            Telling::Checks(checks) => checks
                .iter()
                .any(|check| check_of(check.answers[0].sign) == case.telling),
            _ => telling == case.telling,
        };
        wrong.check_not_among_three += usize::from(!among_three);
    }
    wrong
}

fn borrowed(wrong: &[(String, String)]) -> Vec<(&str, &str)> {
    wrong
        .iter()
        .map(|(a, b)| (a.as_str(), b.as_str()))
        .collect()
}

#[test]
fn there_are_sixty_one_cases_most_of_them_published() {
    let cases = written();
    let own =
        |case: &&Case| case.source == "from memory" || case.source == "common practice, no source";
    assert_eq!(cases.len(), 61);
    assert_eq!(cases.iter().filter(own).count(), 4);
    for case in cases.iter().chain(&second()) {
        assert!(["source", "judgement"].contains(&case.telling_from.as_str()));
        assert!(!case.source.is_empty(), "{} has no source", case.title);
    }
}

#[test]
fn the_first_cause_is_as_expected_in_all_written_cases_but_these() {
    let wrong = wrong_of(&written());
    assert_eq!(
        borrowed(&wrong.first),
        [
            (
                "Loses its prime on a lift, bubbles at the vent, mechanical seal",
                "vortex"
            ),
            (
                "Will not prime though it was filled, gland tight to air",
                "air_bound"
            ),
        ]
    );
    assert_eq!(wrong.cause_not_among_three, 0);
}

#[test]
fn the_telling_check_is_as_expected_in_all_written_cases_but_these() {
    let wrong = wrong_of(&written());
    assert_eq!(
        borrowed(&wrong.telling),
        [
            ("Flooded pump lost its delivery, the vent blows air", "none"),
            (
                "Nearly air-filled: some pressure left, no flow, steady low amps, the vent blows air",
                "delivery@pump"
            ),
            (
                "Partly air-filled: delivers less, needles swing, the vent spits bubbles",
                "liquid_temperature@suction"
            ),
            (
                "Vapour-bound by a low suction pressure at the usual temperature",
                "none"
            ),
            (
                "Air-bound, not vapour-bound: hot water pump, but the vent gives air",
                "delivery@pump"
            ),
            (
                "Works off and on, seal water to the lantern ring is down",
                "none"
            ),
            (
                "Will not prime though it was filled, gland tight to air",
                "gauge_swing@discharge"
            ),
            (
                "Cavitation by the book: three indications and a crackle",
                "liquid_temperature@suction"
            ),
            (
                "Delivery has fallen off over years, needles steady, casing full",
                "coupling@pump"
            ),
            (
                "Below rated flow, shaking, casing full: something in the impeller",
                "coupling@pump"
            ),
            (
                "Dry packing, not a hot bearing: the bearing beside the gland is warm too",
                "gland_air@seal_de"
            ),
            ("Lantern ring starved, gland warm", "none"),
            ("Mechanical seal squeals and drips, little feed", "none"),
            ("Hot soon after greasing, grease pushed out", "none"),
            ("Bearing hot, oil below the glass", "none"),
            ("Grease turned whitish beside a leaking gland", "none"),
            ("Shaking, foundation bolt loose", "none"),
            (
                "A knock, then shaking and less pressure from one hour to the next",
                "rotation@driver"
            ),
            (
                "Shakes since the overhaul, packing leaks again within a day, motor pulls hard",
                "rotation@driver"
            ),
            ("Oil pressure low, reservoir falling", "none")
        ]
    );
    assert_eq!(wrong.check_not_among_three, 18);
}

#[test]
fn the_first_cause_is_as_expected_in_all_cases_of_the_second_set_but_these() {
    let wrong = wrong_of(&second());
    assert_eq!(
        borrowed(&wrong.first),
        [
            ("Motor runs, nothing flows, casing full", "dead_headed"),
            ("Motor pulls hard, something rubs", "bent_shaft"),
            ("Hard knocks now and then at low flow", "unbalance")
        ]
    );
    assert_eq!(wrong.cause_not_among_three, 1);
}

#[test]
fn the_telling_check_is_as_expected_in_all_cases_of_the_second_set_but_these() {
    let wrong = wrong_of(&second());
    assert_eq!(
        borrowed(&wrong.telling),
        [
            (
                "Hot water pump: level low, margin gone, delivery lost",
                "suction_pressure@suction"
            ),
            (
                "Motor runs, nothing flows, casing full",
                "valve_position@discharge"
            ),
            (
                "No flow, casing hot, amps low, nobody looked at the gauge",
                "vent_test@pump"
            ),
            ("Metal in the oil, bearing hot", "noise@pump"),
            (
                "Boiler feed pump shakes and crackles, strainer drop high",
                "liquid_temperature@suction"
            ),
            (
                "Bypass left open: amps up, pressure down, crackling",
                "gauge_swing@discharge"
            )
        ]
    );
    assert_eq!(wrong.check_not_among_three, 3);
}

#[test]
fn the_first_cause_is_as_expected_in_all_cases_of_the_third_set_but_these() {
    let wrong = wrong_of(&third());
    assert_eq!(
        borrowed(&wrong.first),
        [("Foaming oil, bearing hot", "oil_water")]
    );
    assert_eq!(wrong.cause_not_among_three, 0);
}

#[test]
fn the_telling_check_is_as_expected_in_all_cases_of_the_third_set_but_these() {
    let wrong = wrong_of(&third());
    assert_eq!(
        borrowed(&wrong.telling),
        [
            (
                "Both gauges lower than when it was new, vacuum less",
                "gauge_swing@discharge"
            ),
            ("Started, pressure high, nothing comes", "flow@discharge"),
            ("Foaming oil, bearing hot", "bearing_vibration@pump_de"),
            ("Phases uneven, motor trips", "shaft_speed@driver"),
            ("Will not prime, gland draws air", "leak_off@seal_de"),
            (
                "Oil hot, cooling water comes back hot",
                "feed_oil_reservoir@oil_skid"
            ),
            (
                "Evenly below the curve at the right speed the right way round",
                "vent_test@pump"
            ),
            ("Crackles since the liquid got warmer", "vent_test@pump"),
            (
                "Hot bearing with grease at the seals",
                "after_greasing@pump"
            ),
            (
                "Gland leaks, shaft whips, bearing rumbles",
                "oil_look@pump_de"
            )
        ]
    );
    assert_eq!(wrong.check_not_among_three, 6);
}

#[test]
fn the_first_cause_is_as_expected_in_all_cases_of_the_fourth_set_but_these() {
    let wrong = wrong_of(&fourth());
    assert_eq!(
        borrowed(&wrong.first),
        [
            (
                "Heating pump after a refill: weak, noisy, needles swing",
                "cavitation"
            ),
            (
                "Suction joint leaks in, nothing wrong at the packing",
                "air_partly"
            ),
            (
                "Both discharge and amps fall off slowly, belt drive",
                "worn_clearances"
            )
        ]
    );
    assert_eq!(wrong.cause_not_among_three, 0);
}

#[test]
fn the_telling_check_is_as_expected_in_all_cases_of_the_fourth_set_but_these() {
    let wrong = wrong_of(&fourth());
    assert_eq!(
        borrowed(&wrong.telling),
        [
            (
                "Heating pump after a refill: weak, noisy, needles swing",
                "liquid_temperature@suction"
            ),
            (
                "Suction joint leaks in, nothing wrong at the packing",
                "discharge_pressure@discharge"
            ),
            (
                "Grease fitting given too much on the last round",
                "gland_heat@seal_de"
            ),
            (
                "Bearing noise and vibration grow, metal in the oil",
                "foundation@pump"
            ),
            (
                "Both discharge and amps fall off slowly, belt drive",
                "suction_pressure@suction"
            )
        ]
    );
    assert_eq!(wrong.check_not_among_three, 1);
}

fn first_cause_of(title: &str) -> String {
    let case = written().into_iter().find(|case| case.title == title);
    let case = case.unwrap_or_else(|| panic!("no case '{title}'"));
    let present = case.present.iter().map(|&s| Evidence::present(s, "seen"));
    let absent = case.absent.iter().map(|&s| Evidence::absent(s, "seen"));
    let evidence: Vec<_> = present.chain(absent).collect();
    let build = Build::new(case.build);
    let diagnosis = Knowledge::built_in()
        .unwrap()
        .diagnose(&build, &evidence, &|_| true);
    diagnosis.fitting[0].trouble.key.clone()
}

#[test]
fn a_partly_and_a_nearly_air_filled_pump_are_told_apart() {
    let partly = "Partly air-filled: delivers less, needles swing, the vent spits bubbles";
    let nearly =
        "Nearly air-filled: some pressure left, no flow, steady low amps, the vent blows air";
    assert_eq!(first_cause_of(partly), "air_partly");
    assert_eq!(first_cause_of(nearly), "air_bound");
}

#[test]
fn an_air_bound_and_a_vapour_bound_pump_are_told_apart() {
    let air = "Air-bound, not vapour-bound: hot water pump, but the vent gives air";
    let vapour =
        "Vapour-bound, not air-bound: the vent gives vapour and the water is hotter than usual";
    assert_eq!(first_cause_of(air), "air_bound");
    assert_eq!(first_cause_of(vapour), "vapour_hot");
}

#[test]
fn before_the_vent_is_opened_the_vent_test_tells_air_from_vapour() {
    let build = Build::new([Feature::Flooded, Feature::Mechanical, Feature::HotLiquid]);
    let evidence = [
        Sign::DeliveredThenLost,
        Sign::DischargeNone,
        Sign::FlowNone,
        Sign::AmpsLow,
    ];
    let evidence = evidence.map(|sign| Evidence::present(sign, "seen"));
    let diagnosis = Knowledge::built_in()
        .unwrap()
        .diagnose(&build, &evidence, &|_| true);
    assert_eq!(
        diagnosis.telling.sign().and_then(Sign::check),
        Some("vent_test@pump")
    );
    let words = diagnosis.telling.words();
    assert!(
        words.contains("\"the vent gives vapour\" would speak for vapour-bound"),
        "{words}"
    );
}

#[test]
fn dry_packing_and_a_hot_bearing_are_told_apart() {
    let packing = "Dry packing, not a hot bearing: the bearing beside the gland is warm too";
    let bearing = "Hot bearing, not dry packing: the gland is cool and drips as it should";
    assert_eq!(first_cause_of(packing), "packing_tight");
    assert_eq!(first_cause_of(bearing), "bearing_short_oil");
}
