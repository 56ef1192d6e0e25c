//! Verdicts at each bound and one step to either side, by invented bands and by published figures.

mod judging_support;

use judging_support::{before, limits, number};
use lantern_ring::{
    check::{Entered, usual_kind},
    judge::{Judgement, Reason, Verdict, again, judge},
    plant::{CheckKind, FastestChange, Limits, Unit},
};
use serde_json::json;

fn verdict_of(check: CheckKind, entered: &Entered, limits: &Limits) -> Verdict {
    judge(&usual_kind(check), entered, Some(limits), None).verdict
}

const ALL_BOUNDS: [(f64, Verdict); 14] = [
    (0.9, Verdict::StopPump),
    (1.0, Verdict::Act),
    (1.9, Verdict::Act),
    (2.0, Verdict::Watch),
    (2.9, Verdict::Watch),
    (3.0, Verdict::InLimits),
    (3.1, Verdict::InLimits),
    (4.9, Verdict::InLimits),
    (5.0, Verdict::InLimits),
    (5.1, Verdict::Watch),
    (6.0, Verdict::Watch),
    (6.1, Verdict::Act),
    (7.0, Verdict::Act),
    (7.1, Verdict::StopPump),
];

fn all_bounds() -> serde_json::Value {
    json!({
        "low_stop": 1.0, "low_act": 2.0, "low_watch": 3.0, "target": 4.0,
        "high_watch": 5.0, "high_act": 6.0, "high_stop": 7.0,
    })
}

#[test]
fn a_bound_is_the_last_good_value_on_both_sides() {
    let limits = limits("discharge_pressure@discharge", Unit::Bar, all_bounds());
    for (bar, verdict) in ALL_BOUNDS {
        let entered = number(bar, Unit::Bar);
        assert_eq!(
            verdict_of(CheckKind::DischargePressure, &entered, &limits),
            verdict,
            "{bar} bar"
        );
        let kpa = number(bar * 100.0, Unit::KPa);
        assert_eq!(
            verdict_of(CheckKind::DischargePressure, &kpa, &limits),
            verdict,
            "{bar} bar in kPa"
        );
        let psi = number(
            Unit::Bar.convert(bar, Unit::Psi).expect("both pressures"),
            Unit::Psi,
        );
        assert_eq!(
            verdict_of(CheckKind::DischargePressure, &psi, &limits),
            verdict,
            "{bar} bar in psi"
        );
    }
}

/// 1 psi is 6.894757 kPa: NIST SP 811 (2008), appendix B.8.
#[test]
fn the_last_digit_typed_decides_across_units() {
    let limits = limits(
        "discharge_pressure@discharge",
        Unit::KPa,
        json!({"high_watch": 689.4757, "high_act": 700.0}),
    );
    for (value, unit, verdict) in [
        (99.99, Unit::Psi, Verdict::InLimits),
        (100.01, Unit::Psi, Verdict::Watch),
        (6.894, Unit::Bar, Verdict::InLimits),
        (6.895, Unit::Bar, Verdict::Watch),
        (7.0, Unit::Bar, Verdict::Watch),
        (7.01, Unit::Bar, Verdict::Act),
    ] {
        assert_eq!(
            verdict_of(CheckKind::DischargePressure, &number(value, unit), &limits),
            verdict,
            "{value} {unit}"
        );
    }
}

#[test]
fn levels_counts_and_feels_are_judged_by_their_bands() {
    let level = limits(
        "oil_level@pump_de",
        Unit::Percent,
        json!({"low_act": 25.0, "low_watch": 50.0}),
    );
    for (percent, verdict) in [
        (24.0, Verdict::Act),
        (25.0, Verdict::Watch),
        (49.0, Verdict::Watch),
        (50.0, Verdict::InLimits),
        (100.0, Verdict::InLimits),
    ] {
        assert_eq!(
            verdict_of(CheckKind::OilLevel, &Entered::Level { percent }, &level),
            verdict,
            "{percent} %"
        );
    }
    let heat = limits(
        "gland_heat@seal_de",
        Unit::Step,
        json!({"high_watch": 1, "high_act": 2, "high_stop": 4}),
    );
    for (step, verdict) in [
        (1, Verdict::InLimits),
        (2, Verdict::Watch),
        (3, Verdict::Act),
        (4, Verdict::Act),
        (5, Verdict::StopPump),
    ] {
        assert_eq!(
            verdict_of(CheckKind::GlandHeat, &Entered::Feel { step }, &heat),
            verdict,
            "step {step}"
        );
    }
}

#[test]
fn a_feel_without_limits_comes_to_the_usual_of_its_step() {
    use Verdict::{Act, InLimits, Watch};
    for (check, usual) in [
        (
            CheckKind::BearingHeat,
            [InLimits, InLimits, InLimits, InLimits, Watch, Act].as_slice(),
        ),
        (
            CheckKind::BearingVibration,
            &[InLimits, InLimits, Watch, Act, Act],
        ),
    ] {
        for (step, &verdict) in (0..).zip(usual) {
            let judged = judge(&usual_kind(check), &Entered::Feel { step }, None, None);
            assert_eq!(judged.verdict, verdict, "{check:?} {step}");
        }
    }
}

#[test]
fn choices_and_answers_come_to_their_usual_unless_the_limits_say_otherwise() {
    let choice = |key: &str| Entered::Choice {
        key: key.to_owned(),
    };
    let own = limits(
        "surroundings@pump",
        Unit::Step,
        json!({"choices": {"leak": "stop_pump", "damp": "in_limits"}}),
    );
    for (key, usual, here) in [
        ("clean", Verdict::InLimits, Verdict::InLimits),
        ("damp", Verdict::Watch, Verdict::InLimits),
        ("leak", Verdict::Act, Verdict::StopPump),
        ("spray", Verdict::Act, Verdict::Act),
    ] {
        let kind = usual_kind(CheckKind::Surroundings);
        assert_eq!(
            judge(&kind, &choice(key), None, None).verdict,
            usual,
            "{key}"
        );
        assert_eq!(
            judge(&kind, &choice(key), Some(&own), None).verdict,
            here,
            "{key}"
        );
    }
    let guard = usual_kind(CheckKind::CouplingGuard);
    let own = limits(
        "coupling_guard@pump",
        Unit::Step,
        json!({"choices": {"no": "stop_pump"}}),
    );
    let no = Entered::YesNo { yes: false };
    assert_eq!(
        judge(&guard, &Entered::YesNo { yes: true }, None, None).verdict,
        Verdict::InLimits
    );
    assert_eq!(judge(&guard, &no, None, None).verdict, Verdict::Act);
    assert_eq!(
        judge(&guard, &no, Some(&own), None).verdict,
        Verdict::StopPump
    );
}

#[test]
fn a_change_faster_than_allowed_comes_to_watch() {
    let mut limits = limits(
        "bearing_temperature@pump_de",
        Unit::Celsius,
        json!({"high_act": 80.0}),
    );
    limits.fastest_change = Some(FastestChange {
        by: 6.0,
        per_hours: 8.0,
        at_most: None,
    });
    let kind = usual_kind(CheckKind::BearingTemperature);
    for (now, hours, verdict) in [
        (56.0, 8.0, Verdict::InLimits),
        (56.1, 8.0, Verdict::Watch),
        (44.0, 8.0, Verdict::InLimits),
        (43.9, 8.0, Verdict::Watch),
        (56.0, 0.5, Verdict::InLimits),
        (56.1, 0.5, Verdict::Watch),
        (62.0, 16.0, Verdict::InLimits),
        (62.1, 16.0, Verdict::Watch),
        (80.1, 8.0, Verdict::Act),
    ] {
        let previous = before(50.0, Unit::Celsius, hours);
        let judged = judge(
            &kind,
            &number(now, Unit::Celsius),
            Some(&limits),
            Some(&previous),
        );
        assert_eq!(judged.verdict, verdict, "{now} °C after {hours} h");
    }
    // 122 °F is 50 °C, 132.8 °F is 56 °C.
    let fahrenheit = before(122.0, Unit::Fahrenheit, 8.0);
    for (now, verdict) in [(132.8, Verdict::InLimits), (132.9, Verdict::Watch)] {
        let judged = judge(
            &kind,
            &number(now, Unit::Fahrenheit),
            Some(&limits),
            Some(&fahrenheit),
        );
        assert_eq!(judged.verdict, verdict, "{now} °F");
    }
}

#[test]
fn what_time_allows_has_an_end_where_the_limits_set_one() {
    let mut limits = limits(
        "bearing_temperature@pump_de",
        Unit::Celsius,
        json!({"high_act": 80.0}),
    );
    let kind = usual_kind(CheckKind::BearingTemperature);
    for (at_most, now, verdict) in [
        (None, 75.0, Verdict::InLimits),
        (Some(18.0), 68.0, Verdict::InLimits),
        (Some(18.0), 68.1, Verdict::Watch),
        (Some(18.0), 31.9, Verdict::Watch),
        // An end below the change itself would forbid what one round allows.
        (Some(1.0), 56.0, Verdict::InLimits),
        (Some(1.0), 56.1, Verdict::Watch),
    ] {
        limits.fastest_change = Some(FastestChange {
            by: 6.0,
            per_hours: 8.0,
            at_most,
        });
        let judged = judge(
            &kind,
            &number(now, Unit::Celsius),
            Some(&limits),
            Some(&before(50.0, Unit::Celsius, 15.0 * 24.0)),
        );
        assert_eq!(judged.verdict, verdict, "{now} °C, at most {at_most:?}");
    }
}

#[test]
fn a_change_of_just_what_is_allowed_is_allowed_whatever_the_digits() {
    let mut limits = limits("suction_pressure@suction", Unit::Bar, json!({}));
    let kind = usual_kind(CheckKind::SuctionPressure);
    for tenths in 0..50_u32 {
        let [was, now] = [tenths, tenths + 3].map(|tenths| f64::from(tenths) / 10.0);
        for (by, verdict) in [(0.3, Verdict::InLimits), (0.29, Verdict::Watch)] {
            limits.fastest_change = Some(FastestChange {
                by,
                per_hours: 8.0,
                at_most: None,
            });
            for (entered, previous) in [
                (number(now, Unit::Bar), before(was, Unit::Bar, 8.0)),
                (number(was * 100.0, Unit::KPa), before(now, Unit::Bar, 8.0)),
            ] {
                let judged = judge(&kind, &entered, Some(&limits), Some(&previous));
                assert_eq!(judged.verdict, verdict, "{was} and {now} bar, {by} allowed");
            }
        }
    }
}

#[test]
fn the_weightiest_reason_comes_first_and_decides() {
    let mut limits = limits(
        "bearing_temperature@pump_de",
        Unit::Celsius,
        json!({"high_watch": 70.0, "high_act": 80.0}),
    );
    limits.fastest_change = Some(FastestChange {
        by: 5.0,
        per_hours: 8.0,
        at_most: None,
    });
    let judged = judge(
        &usual_kind(CheckKind::BearingTemperature),
        &number(90.0, Unit::Celsius),
        Some(&limits),
        Some(&before(50.0, Unit::Celsius, 4.0)),
    );
    assert_eq!(
        judged,
        Judgement {
            verdict: Verdict::Act,
            reasons: vec![
                Reason::Above {
                    verdict: Verdict::Act,
                    bound: 80.0
                },
                Reason::TooFast {
                    change: 40.0,
                    hours: 4.0,
                    allowed: 5.0
                },
            ],
        }
    );
}

#[test]
fn what_cannot_be_judged_says_so() {
    let kind = usual_kind(CheckKind::DischargePressure);
    let entered = number(3.0, Unit::Bar);
    let reasons = |entered: &Entered, limits: Option<&Limits>| {
        let judged = judge(&kind, entered, limits, None);
        assert_eq!(judged.verdict, Verdict::NotJudged);
        judged.reasons
    };
    assert_eq!(reasons(&entered, None), [Reason::NoLimits]);
    let target_only = limits(
        "discharge_pressure@discharge",
        Unit::Bar,
        json!({"target": 4.0}),
    );
    assert_eq!(reasons(&entered, Some(&target_only)), [Reason::NoLimits]);
    let other = limits(
        "discharge_pressure@discharge",
        Unit::Celsius,
        json!({"high_watch": 4.0}),
    );
    assert_eq!(reasons(&entered, Some(&other)), [Reason::UnitMismatch]);
    let bounds = limits("discharge_pressure@discharge", Unit::Bar, all_bounds());
    for nothing in [
        Entered::NotChecked {
            reason: "gauge glass broken".to_owned(),
        },
        Entered::Words {
            text: "fine".to_owned(),
        },
        Entered::Choice {
            key: "fine".to_owned(),
        },
        number(f64::NAN, Unit::Bar),
        number(f64::INFINITY, Unit::Bar),
    ] {
        assert_eq!(
            reasons(&nothing, Some(&bounds)),
            [Reason::NothingToJudge],
            "{nothing:?}"
        );
    }
}

#[test]
fn published_figures_are_judged_as_their_text_says() {
    let limits = published_limits();
    let mut judged = 0;
    for row in rows("published_cases.csv") {
        let (name, value) = (&row[0], row[1].parse::<f64>().expect("a value"));
        let limits = limits.iter().find(|(known, _)| known == name);
        let (_, limits) = limits.unwrap_or_else(|| panic!("no limits {name}"));
        let entered = match row[2].parse::<f64>() {
            Ok(seconds) => Entered::Count {
                drops: value as u32,
                seconds,
            },
            Err(_) => number(value, row[3].parse().expect("a unit")),
        };
        let verdict = again(limits.check.kind, &entered, Some(limits), None).verdict;
        assert_eq!(verdict.key(), &row[4], "{name}: {entered:?}");
        judged += 1;
    }
    assert_eq!(judged, 49);
}

fn published_limits() -> Vec<(String, Limits)> {
    let place = |check: &str| match check {
        "leak_off" | "seal_leak" => "seal_de",
        "strainer_drop" => "suction",
        _ => "pump_de",
    };
    rows("published_limits.csv")
        .iter()
        .map(|row| {
            let mut bounds = json!({"basis": format!("{}, {}", &row[8], &row[9])});
            for (name, column) in [
                ("low_watch", 3),
                ("high_watch", 4),
                ("high_act", 5),
                ("high_stop", 6),
            ] {
                if let Ok(bound) = row[column].parse::<f64>() {
                    bounds[name] = bound.into();
                }
            }
            let check = format!("{}@{}", &row[1], place(&row[1]));
            (
                row[0].to_owned(),
                limits(&check, row[2].parse().expect("a unit"), bounds),
            )
        })
        .collect()
}

fn rows(file: &str) -> Vec<csv::StringRecord> {
    let path = format!("{}/tests/data/judging/{file}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(&path)
        .expect("the table");
    reader.records().map(|row| row.expect("a row")).collect()
}
