//! Which checks a pump has, by its build and state, in walking order; and what they take.

use lantern_ring::{
    check::{
        BadEntry, Caution, Check, Entered, EntryKind, MIN_COUNT_S, RunningState, accept, list,
        usual_kind,
    },
    plant::{CheckKind, Pump, Unit},
};
use serde_json::{Value, json};

/// An overhung packed pump with grease fittings, nothing fitted that the tests don't add.
fn plain_pump() -> Value {
    json!({
        "id": "P-1", "name": "Test pump", "area": "test",
        "tag": "01890a5d-ac96-774b-bcce-b302099a8057",
        "service": "test", "liquid": "water", "liquid_temperature_c": 20.0,
        "arrangement": "end_suction",
        "driver": {
            "power_kw": 30.0, "voltage_v": 400.0, "full_load_amps": 54.0, "speed_rpm": 1480.0,
            "power_factor": 0.86, "efficiency": 0.93
        },
        "seal": {"kind": "packed", "rings": 5, "shaft_diameter_mm": 50.0, "lantern_ring": "own_liquid"},
        "bearings": [
            {"place": "driver_nde", "lubrication": "sealed"},
            {"place": "driver_de", "lubrication": "grease_fitting"},
            {"place": "pump_de", "lubrication": "oil_bath"},
            {"place": "pump_nde", "lubrication": "bottle_oiler"}
        ],
        "suction": {"kind": "flooded", "head_m": 3.0},
        "priming": "flooded_suction",
        "discharge_valve_at_start": "shut"
    })
}

fn pump_with(changes: Value) -> Pump {
    let mut pump = plain_pump();
    for (field, value) in changes.as_object().expect("an object of fields") {
        pump[field] = value.clone();
    }
    serde_json::from_value(pump).expect("a pump")
}

fn ids(pump: &Pump, state: RunningState) -> Vec<String> {
    let checks = list(pump, state);
    checks.iter().map(|check| check.id.to_string()).collect()
}

fn find(checks: &[Check], id: &str) -> Check {
    let found = checks.iter().find(|check| check.id.to_string() == id);
    found.unwrap_or_else(|| panic!("no {id}")).clone()
}

#[test]
fn a_running_overhung_packed_pump_is_walked_from_casing_to_motor() {
    let pump = pump_with(json!({
        "seal": {"kind": "packed", "rings": 5, "shaft_diameter_mm": 50.0, "lantern_ring": "outside"},
        "gauges": [
            {"place": "suction", "elevation_m": 0.5, "scale_low_bar": -1.0, "scale_high_bar": 3.0},
            {"place": "discharge", "elevation_m": 0.5, "scale_low_bar": 0.0, "scale_high_bar": 10.0}
        ],
        "strainers": [{"place": "suction"}],
    }));
    assert_eq!(
        ids(&pump, RunningState::Running),
        [
            "surroundings@pump",
            "noise@pump",
            "suction_pressure@suction",
            "strainer_drop@suction",
            "discharge_pressure@discharge",
            "leak_off@seal_de",
            "gland_heat@seal_de",
            "gland_square@seal_de",
            "lantern_ring_pressure@seal_de",
            "bearing_heat@pump_nde",
            "bearing_vibration@pump_nde",
            "oiler_level@pump_nde",
            "oil_look@pump_nde",
            "bearing_heat@pump_de",
            "bearing_vibration@pump_de",
            "oil_level@pump_de",
            "oil_look@pump_de",
            "coupling_guard@pump",
            "bearing_heat@driver_de",
            "bearing_vibration@driver_de",
            "grease_look@driver_de",
            "bearing_heat@driver_nde",
            "bearing_vibration@driver_nde",
            "motor_current@driver",
            "foundation@pump",
            "remark@pump",
        ]
    );
}

#[test]
fn a_running_multistage_pump_has_two_seals_and_an_oil_skid() {
    let pump = pump_with(json!({
        "arrangement": "multistage",
        "liquid_temperature_c": 140.0,
        "seal": {"kind": "mechanical", "plan": "cooled flush", "feed": {"flow_l_min": 8.0, "pressure_bar": 6.0}},
        "bearings": [
            {"place": "pump_de", "lubrication": "forced_feed", "thermometer": true, "vibration_stud": true},
            {"place": "pump_nde", "lubrication": "forced_feed", "thermometer": true, "vibration_stud": true},
            {"place": "driver_de", "lubrication": "grease_cup"}
        ],
        "oil_skid": {"cooler": true, "filter_gauge": true},
    }));
    assert_eq!(
        ids(&pump, RunningState::Running),
        [
            "surroundings@pump",
            "noise@pump",
            "bearing_temperature@pump_nde",
            "vibration_velocity@pump_nde",
            "seal_leak@seal_nde",
            "seal_feed_flow@seal_nde",
            "seal_feed_pressure@seal_nde",
            "seal_leak@seal_de",
            "seal_feed_flow@seal_de",
            "seal_feed_pressure@seal_de",
            "bearing_temperature@pump_de",
            "vibration_velocity@pump_de",
            "coupling_guard@pump",
            "bearing_heat@driver_de",
            "bearing_vibration@driver_de",
            "grease_cup@driver_de",
            "grease_look@driver_de",
            "motor_current@driver",
            "feed_oil_reservoir@oil_skid",
            "oil_look@oil_skid",
            "feed_oil_pressure@oil_skid",
            "feed_oil_filter_drop@oil_skid",
            "feed_oil_temperature@oil_skid",
            "cooling_water@oil_skid",
            "foundation@pump",
            "remark@pump",
        ]
    );
}

#[test]
fn a_standby_pump_is_asked_only_what_a_standing_pump_shows() {
    let pump = pump_with(json!({
        "suction": {"kind": "lift", "lift_m": 4.0},
        "priming": "vacuum",
        "gauges": [{"place": "suction", "elevation_m": 0.5, "scale_low_bar": -1.0, "scale_high_bar": 3.0}],
        "strainers": [{"place": "suction"}],
        "oil_skid": {"cooler": true},
    }));
    assert_eq!(
        ids(&pump, RunningState::Standby),
        [
            "surroundings@pump",
            "suction_level@suction",
            "lined_up@pump",
            "primed@pump",
            "static_leak@seal_de",
            "oiler_level@pump_nde",
            "oil_look@pump_nde",
            "oil_level@pump_de",
            "oil_look@pump_de",
            "coupling_guard@pump",
            "grease_look@driver_de",
            "feed_oil_reservoir@oil_skid",
            "foundation@pump",
            "remark@pump",
        ]
    );
}

#[test]
fn a_pump_out_of_service_is_only_looked_at() {
    let pump = pump_with(json!({"hazard": "caustic"}));
    let checks = list(&pump, RunningState::OutOfService);
    assert_eq!(
        ids(&pump, RunningState::OutOfService),
        ["surroundings@pump", "remark@pump"]
    );
    assert_eq!(checks[0].caution, Some(Caution::AtWork.sentence()));
}

#[test]
fn the_suction_level_is_asked_where_it_can_be_seen() {
    for (suction, seen) in [
        (json!({"kind": "flooded", "head_m": 3.0}), false),
        (
            json!({"kind": "flooded", "head_m": 3.0, "level_glass": true}),
            true,
        ),
        (json!({"kind": "lift", "lift_m": 4.0}), true),
        (json!({"kind": "submerged"}), true),
    ] {
        let pump = pump_with(json!({"suction": suction}));
        let ids = ids(&pump, RunningState::Running);
        assert_eq!(
            ids.contains(&"suction_level@suction".to_owned()),
            seen,
            "{:?}",
            pump.suction
        );
    }
}

#[test]
fn a_strainer_without_a_gauge_and_a_gauge_without_a_strainer_have_no_drop() {
    let gauge = json!([{"place": "discharge", "elevation_m": 0.0, "scale_low_bar": 0.0, "scale_high_bar": 10.0}]);
    for (strainers, gauges) in [
        (json!([{"place": "suction"}]), gauge.clone()),
        (json!([]), gauge),
    ] {
        let pump = pump_with(json!({"strainers": strainers, "gauges": gauges}));
        let ids = ids(&pump, RunningState::Running);
        assert!(!ids.iter().any(|id| id.starts_with("strainer_drop")));
    }
}

#[test]
fn no_check_is_asked_twice_in_any_build_and_state() {
    for arrangement in [
        "end_suction",
        "between_bearings",
        "multistage",
        "vertical_sump",
    ] {
        for lubrication in [
            "grease_fitting",
            "grease_cup",
            "oil_bath",
            "bottle_oiler",
            "forced_feed",
            "sealed",
        ] {
            let bearings = ["pump_de", "pump_nde", "driver_de", "driver_nde"]
                .map(|place| json!({"place": place, "lubrication": lubrication}));
            let pump = pump_with(json!({
                "arrangement": arrangement,
                "bearings": bearings,
                "oil_skid": {"cooler": true, "filter_gauge": true},
            }));
            for state in [
                RunningState::Running,
                RunningState::Standby,
                RunningState::OutOfService,
            ] {
                let ids = ids(&pump, state);
                let mut once = ids.clone();
                once.sort();
                once.dedup();
                assert_eq!(
                    once.len(),
                    ids.len(),
                    "{arrangement} {lubrication} {state:?}"
                );
                assert_eq!(ids.last().map(String::as_str), Some("remark@pump"));
            }
        }
    }
}

#[test]
fn no_hand_is_sent_to_a_hot_or_hazardous_gland() {
    let touched = |changes| {
        let ids = ids(&pump_with(changes), RunningState::Running);
        ids.contains(&"gland_heat@seal_de".to_owned())
    };
    assert!(touched(json!({})));
    assert!(!touched(json!({"liquid_temperature_c": 90.0})));
    assert!(!touched(json!({"hazard": "caustic"})));
}

/// 55 °C for ten seconds of touch on metal: ECMA-287, read at second hand.
#[test]
fn cautions_follow_the_liquid() {
    for (changes, caution) in [
        (json!({"liquid_temperature_c": 54.9}), Caution::Turning),
        (
            json!({"liquid_temperature_c": 55.0}),
            Caution::HotAndTurning,
        ),
        (
            json!({"liquid_temperature_c": 90.0, "hazard": "caustic"}),
            Caution::HazardAndTurning,
        ),
    ] {
        let checks = list(&pump_with(changes), RunningState::Running);
        assert_eq!(
            find(&checks, "leak_off@seal_de").caution,
            Some(caution.sentence())
        );
    }
    let standby = list(&pump_with(json!({})), RunningState::Standby);
    assert_eq!(
        find(&standby, "static_leak@seal_de").caution,
        Some(Caution::MayStart.sentence())
    );
}

#[test]
fn a_gauge_takes_what_its_scale_shows_in_any_unit_of_pressure() {
    let pump = pump_with(json!({
        "gauges": [{"place": "suction", "elevation_m": 0.5, "scale_low_bar": -1.0, "scale_high_bar": 1.5}],
    }));
    let kind = find(
        &list(&pump, RunningState::Running),
        "suction_pressure@suction",
    )
    .kind;
    let take = |value, unit| accept(&kind, Entered::Number { value, unit });
    for (value, unit) in [
        (-1.0, Unit::Bar),
        (1.5, Unit::Bar),
        (-100.0, Unit::KPa),
        (150.0, Unit::KPa),
        (21.7, Unit::Psi),
    ] {
        assert!(take(value, unit).is_ok(), "{value} {unit}");
    }
    for (value, unit) in [
        (-1.01, Unit::Bar),
        (1.51, Unit::Bar),
        (150.1, Unit::KPa),
        (21.8, Unit::Psi),
    ] {
        assert!(
            matches!(take(value, unit), Err(BadEntry::OutOfRange { .. })),
            "{value} {unit}"
        );
    }
    assert_eq!(
        take(15.0, Unit::Bar).unwrap_err().to_string(),
        "15 bar is outside what the instrument can show, -1 to 1.5 bar; read it again and look at the decimal sign"
    );
    assert!(matches!(
        take(1.0, Unit::Celsius),
        Err(BadEntry::OtherQuantity { .. })
    ));
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(take(value, Unit::Bar), Err(BadEntry::NotFinite));
    }
}

#[test]
fn entries_that_say_nothing_or_the_impossible_are_refused() {
    let count = |seconds| accept(&EntryKind::Count, Entered::Count { drops: 3, seconds });
    assert!(count(30.0).is_ok());
    for seconds in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(count(seconds), Err(BadEntry::NoTime), "{seconds}");
    }

    let level = |percent| accept(&EntryKind::Level, Entered::Level { percent });
    assert!(level(0.0).is_ok() && level(100.0).is_ok());
    assert_eq!(level(-0.1), Err(BadEntry::LevelOutside(-0.1)));
    assert_eq!(level(100.1), Err(BadEntry::LevelOutside(100.1)));
    assert_eq!(level(f64::NAN), Err(BadEntry::NotFinite));

    let heat = usual_kind(CheckKind::BearingHeat);
    assert!(accept(&heat, Entered::Feel { step: 5 }).is_ok());
    assert_eq!(
        accept(&heat, Entered::Feel { step: 6 }),
        Err(BadEntry::UnknownStep {
            step: 6,
            highest: 5
        })
    );

    let noise = usual_kind(CheckKind::Noise);
    let choose = |key: &str| {
        accept(
            &noise,
            Entered::Choice {
                key: key.to_owned(),
            },
        )
    };
    assert!(choose("knock").is_ok());
    assert_eq!(
        choose("humming").unwrap_err().to_string(),
        "'humming' is not one of the choices; choose one of steady, louder, crackle, squeal, knock, rumble, hiss, hum"
    );
    assert!(matches!(
        accept(&noise, Entered::YesNo { yes: true }),
        Err(BadEntry::WrongKind { .. })
    ));
}

/// Least time and drops are common practice, no source; the probabilities are Poisson's, exp(-rate * time).
#[test]
fn a_count_too_short_to_tell_a_dry_gland_from_a_good_one_is_refused() {
    let count = |drops, seconds| accept(&EntryKind::Count, Entered::Count { drops, seconds });
    for (drops, seconds, good) in [
        (0, 5.0, false),
        (0, 29.9, false),
        (0, 30.0, true),
        (9, 29.9, false),
        (10, 0.5, true),
        (200, 29.9, true),
    ] {
        assert_eq!(
            count(drops, seconds).is_ok(),
            good,
            "{drops} in {seconds} s"
        );
    }
    assert_eq!(
        count(3, 5.0).unwrap_err().to_string(),
        "a count of 3 in 5 s says little of how it drips; count on for 25 s more, or to 10 drops, or count again for 30 s"
    );

    let none_at_ten_a_minute = |seconds: f64| (-10.0 * seconds / 60.0).exp();
    assert!(none_at_ten_a_minute(5.0) > 0.4);
    assert!(none_at_ten_a_minute(MIN_COUNT_S) < 0.01);
}

#[test]
fn words_and_reasons_are_trimmed_and_must_say_something() {
    let remark = |text: &str| {
        accept(
            &EntryKind::Words,
            Entered::Words {
                text: text.to_owned(),
            },
        )
    };
    assert_eq!(
        remark(" bolt replaced \n"),
        Ok(Entered::Words {
            text: "bolt replaced".to_owned()
        })
    );
    assert_eq!(remark(" \n"), Err(BadEntry::NoWords));
    assert!(remark(&"é".repeat(2_000)).is_ok());
    assert_eq!(
        remark(&"é".repeat(2_001)),
        Err(BadEntry::TooLong {
            chars: 2_001,
            most: 2_000
        })
    );

    let skip = |reason: &str| {
        accept(
            &EntryKind::Count,
            Entered::NotChecked {
                reason: reason.to_owned(),
            },
        )
    };
    assert!(skip("scaffold in the way").is_ok());
    assert_eq!(skip(""), Err(BadEntry::NoReason));
}

#[test]
fn a_count_no_one_could_have_made_is_refused() {
    let count = |drops, seconds| accept(&EntryKind::Count, Entered::Count { drops, seconds });
    assert!(count(1200, 60.0).is_ok());
    let refused = count(1201, 60.0).unwrap_err().to_string();
    assert!(refused.contains("can't be counted"), "{refused}");
    // So short that the rate would be no number any more.
    assert!(count(10, 1.082935779964223e-308).is_err());
}
