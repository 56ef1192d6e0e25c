//! Judged entries in plain English.

mod judging_support;

use judging_support::{before, limits, number};
use lantern_ring::{
    check::Entered,
    judge::{Hands, Previous, again, band, change_words, finding_words, found, sentence},
    plant::{CheckKind, FastestChange, Limits, Unit},
};
use serde_json::json;

fn told(
    check: CheckKind,
    entered: &Entered,
    limits: Option<&Limits>,
    previous: Option<&Previous>,
) -> String {
    let judged = again(check, entered, limits, previous);
    sentence(check, entered, &judged, limits, previous, Hands::Free)
}

#[test]
fn a_packed_pump_that_weeps_too_little_is_told_what_to_do_first() {
    let limits = limits(
        "leak_off@seal_de",
        Unit::DropsPerMin,
        json!({"low_act": 5.0, "low_watch": 10.0, "high_watch": 40.0, "high_act": 80.0}),
    );
    let count = |drops, seconds| Entered::Count { drops, seconds };
    let say = |entered: Entered| told(CheckKind::LeakOff, &entered, Some(&limits), None);
    assert_eq!(
        say(count(4, 60.0)),
        "Leak-off 4 drops/min. This pump needs 10 to 40. Ease each gland nut one flat, wait 10 minutes, count again. Only where the liquid is neither hot nor hazardous and your plant leaves glands to operators; keep clear of the turning shaft."
    );
    assert_eq!(
        say(count(7, 33.0)),
        "Leak-off 13 drops/min. In limits: 10 to 40."
    );
    // 44 drops in 65.9 s are 40.06 a minute, and in 66.1 s 39.94: on which side of 40 is seen.
    assert!(say(count(44, 65.9)).starts_with("Leak-off 40.1 drops/min. This pump needs 10 to 40."));
    assert!(
        say(count(44, 65.99)).starts_with("Leak-off 40.01 drops/min. This pump needs 10 to 40.")
    );
    assert!(say(count(44, 66.01)).starts_with("Leak-off 39.99 drops/min. In limits: 10 to 40."));
    assert!(
        say(count(50, 60.0)).contains("Tighten each gland nut one flat, evenly, wait 10 minutes")
    );
    assert!(say(count(90, 60.0)).contains("the packing is due"));
}

#[test]
fn a_sentence_is_all_in_the_unit_of_its_entry() {
    let limits = limits(
        "suction_pressure@suction",
        Unit::Bar,
        json!({"low_watch": 0.5, "high_watch": 2.5}),
    );
    let say = |kpa| {
        told(
            CheckKind::SuctionPressure,
            &number(kpa, Unit::KPa),
            Some(&limits),
            None,
        )
    };
    assert_eq!(
        say(250.0),
        "Suction pressure 250 kPa. In limits: 50 to 250."
    );
    assert!(
        say(40.0)
            .starts_with("Suction pressure 40 kPa. This pump needs 50 to 250. Look at the level")
    );
}

#[test]
fn a_cups_catch_is_told_as_a_volume_and_in_drops_by_the_plants_convention() {
    let limits = limits(
        "leak_off@seal_de",
        Unit::DropsPerMin,
        json!({"low_watch": 10.0, "high_watch": 40.0, "high_act": 80.0}),
    );
    let caught = |millilitres, seconds, drops_per_ml| Entered::Stream {
        millilitres,
        seconds,
        drops_per_ml,
    };
    let say = |entered: &Entered, previous: Option<&Previous>| {
        told(CheckKind::LeakOff, entered, Some(&limits), previous)
    };
    // 40 mL in half a minute are 80 mL/min; the metric drop is 1/20 mL, `drop_volume_conventions.csv`.
    let streams = caught(40.0, 30.0, Some(20.0));
    assert_eq!(
        found(CheckKind::LeakOff, &streams, Some(&limits)),
        "80 mL/min"
    );
    assert!(
        say(&streams, None).starts_with(
            "Leak-off 80 mL/min. That is 1600 drops/min at 20 to the mL. This pump needs 0.5 to 2 (10 to 40 drops/min). Tighten"
        ),
        "{}",
        say(&streams, None)
    );
    assert_eq!(
        say(&caught(1.0, 60.0, Some(20.0)), None),
        "Leak-off 1 mL/min. That is 20 drops/min at 20 to the mL. In limits: 0.5 to 2 (10 to 40 drops/min)."
    );
    // What was counted before is told as the same.
    let counted = before(30.0, Unit::DropsPerMin, 8.0);
    let change = change_words(CheckKind::LeakOff, &streams, Some(&counted));
    assert_eq!(
        change.as_deref(),
        Some("up 78 mL/min in 8 h, was 1.5 mL/min")
    );
    assert!(
        say(&streams, Some(&counted)).contains("It was 1.5 mL/min 8 h before."),
        "{}",
        say(&streams, Some(&counted))
    );
    // Without a convention nothing is turned into drops.
    assert!(
        say(&caught(40.0, 30.0, None), None).starts_with("Leak-off 80 mL/min. Its limits are in"),
    );
}

#[test]
fn no_sentence_mixes_degrees() {
    // 71 °C is 159.8 °F, 6 °C more or less is 10.8 °F, 60 °C is 140 °F: the exact definition of °F.
    let mut limits = limits(
        "bearing_temperature@pump_de",
        Unit::Celsius,
        json!({"high_watch": 71.0}),
    );
    let say = |limits: &Limits| {
        told(
            CheckKind::BearingTemperature,
            &number(161.0, Unit::Fahrenheit),
            Some(limits),
            Some(&before(60.0, Unit::Celsius, 8.0)),
        )
    };
    let past = say(&limits);
    assert!(
        past.starts_with(
            "Bearing temperature 161 °F. This pump needs at most 159.8. It was 140 °F 8 h before."
        ),
        "{past}"
    );
    limits.high_watch = None;
    limits.fastest_change = Some(FastestChange {
        by: 6.0,
        per_hours: 8.0,
        at_most: None,
    });
    let fast = say(&limits);
    assert!(fast.starts_with("Bearing temperature 161 °F. It rose 21 °F in 8 h; at most 10.8 °F is allowed in that time."), "{fast}");
}

#[test]
fn a_reading_that_fell_fast_is_not_told_that_it_rose() {
    let mut limits = limits("bearing_temperature@pump_de", Unit::Celsius, json!({}));
    limits.fastest_change = Some(FastestChange {
        by: 5.0,
        per_hours: 8.0,
        at_most: Some(15.0),
    });
    let say = told(
        CheckKind::BearingTemperature,
        &number(40.0, Unit::Celsius),
        Some(&limits),
        Some(&before(60.0, Unit::Celsius, 240.0)),
    );
    assert_eq!(
        say,
        "Bearing temperature 40 °C. It fell 20 °C in 10 days; at most 15 °C is allowed in that time. Look whether the thermometer sits where it should and the pump still delivers, and read it again in 15 minutes. Do not touch what may be hot."
    );
}

#[test]
fn stop_pump_says_to_stop_by_the_plants_procedure_and_nothing_else_first() {
    let limits = limits(
        "bearing_temperature@pump_de",
        Unit::Celsius,
        json!({"high_watch": 71.0, "high_stop": 115.0}),
    );
    assert_eq!(
        told(
            CheckKind::BearingTemperature,
            &number(116.0, Unit::Celsius),
            Some(&limits),
            Some(&before(95.0, Unit::Celsius, 0.5))
        ),
        "Bearing temperature 116 °C. This pump needs at most 71. It was 95 °C 30 min before. Stop the pump by your plant's procedure and tell the shift supervisor."
    );
}

#[test]
fn a_fast_change_is_told_with_how_much_was_allowed() {
    let mut limits = limits(
        "bearing_temperature@pump_de",
        Unit::Celsius,
        json!({"high_watch": 71.0}),
    );
    limits.fastest_change = Some(FastestChange {
        by: 5.0,
        per_hours: 8.0,
        at_most: None,
    });
    let say = told(
        CheckKind::BearingTemperature,
        &number(62.0, Unit::Celsius),
        Some(&limits),
        Some(&before(50.0, Unit::Celsius, 8.0)),
    );
    assert!(say.starts_with("Bearing temperature 62 °C. It rose 12 °C in 8 h; at most 5 °C is allowed in that time. A sudden rise warns of failure"), "{say}");
}

#[test]
fn words_feels_and_entries_without_a_verdict_read_as_sentences() {
    let feel = limits(
        "bearing_heat@pump_de",
        Unit::Step,
        json!({"high_watch": 2, "high_act": 3}),
    );
    let say = told(
        CheckKind::BearingHeat,
        &Entered::Feel { step: 3 },
        Some(&feel),
        None,
    );
    assert!(say.starts_with("Bearing heat: very hot. This pump needs at most hot. Measure it with a contact thermometer"), "{say}");
    let noise = Entered::Choice {
        key: "crackle".to_owned(),
    };
    assert!(
        told(CheckKind::Noise, &noise, None, None)
            .starts_with("Noise: crackling, like gravel. Look at the suction gauge")
    );
    assert_eq!(
        told(
            CheckKind::MotorCurrent,
            &number(41.0, Unit::Ampere),
            None,
            None
        ),
        "Motor current 41 A. No limits are set for this check of this pump."
    );
    let skipped = Entered::NotChecked {
        reason: "scaffold in the way".to_owned(),
    };
    assert_eq!(
        told(CheckKind::OilLevel, &skipped, None, None),
        "Oil level not checked: scaffold in the way."
    );
    assert_eq!(
        told(
            CheckKind::CouplingGuard,
            &Entered::YesNo { yes: true },
            None,
            None
        ),
        "Coupling guard: in place and fast."
    );
}

#[test]
fn the_parts_of_a_sentence_stand_alone() {
    let packed = limits(
        "leak_off@seal_de",
        Unit::DropsPerMin,
        json!({"low_watch": 10.0, "high_watch": 40.0}),
    );
    let count = Entered::Count {
        drops: 2,
        seconds: 30.0,
    };
    let judged = again(CheckKind::LeakOff, &count, Some(&packed), None);
    assert_eq!(found(CheckKind::LeakOff, &count, None), "4 drops/min");
    assert_eq!(
        finding_words(CheckKind::LeakOff, &count, &judged, Some(&packed)),
        "Leak-off 4 drops/min. This pump needs 10 to 40."
    );
    assert_eq!(
        band(CheckKind::LeakOff, &packed).as_deref(),
        Some("10 to 40 drops/min")
    );
    let hot = limits("bearing_heat@pump_de", Unit::Step, json!({"high_act": 3}));
    assert_eq!(
        band(CheckKind::BearingHeat, &hot).as_deref(),
        Some("at most very hot")
    );
    let none = limits(
        "leak_off@seal_de",
        Unit::DropsPerMin,
        json!({"target": 20.0}),
    );
    assert_eq!(band(CheckKind::LeakOff, &none), None);
}

#[test]
fn a_change_is_told_in_the_unit_of_the_entry() {
    let told = |value, unit, previous: Previous| {
        change_words(
            CheckKind::BearingTemperature,
            &number(value, unit),
            Some(&previous),
        )
    };
    let celsius = before(50.0, Unit::Celsius, 8.0);
    assert_eq!(
        told(62.0, Unit::Celsius, celsius.clone()).as_deref(),
        Some("up 12 °C in 8 h, was 50 °C")
    );
    assert_eq!(
        told(104.0, Unit::Fahrenheit, celsius.clone()).as_deref(),
        Some("down 18 °F in 8 h, was 122 °F")
    );
    assert_eq!(
        told(122.0, Unit::Fahrenheit, celsius).as_deref(),
        Some("as 8 h before")
    );
    assert_eq!(told(50.0, Unit::Celsius, before(1.0, Unit::Bar, 8.0)), None);
}

#[test]
fn slow_drops_are_told_by_the_hour_and_others_by_the_minute() {
    let dry = limits(
        "seal_leak@seal_de",
        Unit::DropsPerMin,
        json!({"high_watch": 10.0 / 60.0, "high_act": 10.0}),
    );
    let say = |drops, seconds| {
        told(
            CheckKind::SealLeak,
            &Entered::Count { drops, seconds },
            Some(&dry),
            None,
        )
    };
    assert_eq!(
        say(1, 360.0),
        "Seal leak 10 drops/h. In limits: at most 10."
    );
    assert_eq!(say(0, 60.0), "Seal leak 0 drops/h. In limits: at most 10.");
    assert!(
        say(11, 3600.0)
            .starts_with("Seal leak 11 drops/h. This pump needs at most 10. Wipe nothing")
    );
    assert!(say(30, 60.0).starts_with(
        "Seal leak 30 drops/min. This pump needs at most 10 drops/h. Tighten nothing"
    ));
    let packed = limits(
        "leak_off@seal_de",
        Unit::DropsPerMin,
        json!({"low_watch": 0.5, "high_watch": 40.0}),
    );
    assert_eq!(
        band(CheckKind::LeakOff, &packed).as_deref(),
        Some("0.5 to 40 drops/min")
    );
}
