//! What proves a remedy, and before set beside after.

mod remedy_support;

use lantern_ring::{
    check::{Entered, RunningState, list, on_request},
    plant::{CheckId, Place, Unit, Verdict},
    remedy::{
        CannotTell, GreaseGiven, OilGiven, Proof, Remedy, StrainerWork, Turn, Wait, WaterChange,
        compared::{Effect, compared},
        proof_of, proved_words,
    },
};
use proptest::prelude::*;
use remedy_support::{demo, limits, pump};

fn proofs(remedy: &Remedy, id: &str) -> Vec<(String, f64)> {
    let found = proof_of(remedy, &pump(id));
    found
        .iter()
        .map(|proof| (proof.check.to_string(), proof.after_minutes))
        .collect()
}

fn every_remedy_at(place: Place) -> Vec<Remedy> {
    let grade = "x".to_owned();
    vec![
        Remedy::GlandNuts {
            place,
            turn: Turn::Ease,
            flats: vec![1, 1],
        },
        Remedy::TopUp {
            place,
            amount: OilGiven::Millilitres { ml: 10.0 },
            grade: grade.clone(),
        },
        Remedy::Grease {
            place,
            amount: GreaseGiven::Strokes { strokes: 1.0 },
            grade: grade.clone(),
        },
        Remedy::Grease {
            place,
            amount: GreaseGiven::Turns { turns: 1.0 },
            grade,
        },
        Remedy::Vent,
        Remedy::Strainer {
            place,
            work: StrainerWork::Cleaned,
        },
        Remedy::CoolingWater {
            change: WaterChange::More,
        },
        Remedy::FilterElement,
    ]
}

/// Running in for 10 to 15 minutes: MIL-HDBK-1164, Table 11, p. 77; see the code.
#[test]
fn after_the_nuts_are_turned_the_drops_are_counted_again_in_ten_minutes() {
    let nuts = Remedy::GlandNuts {
        place: Place::SealDe,
        turn: Turn::Tighten,
        flats: vec![1, 1],
    };
    assert_eq!(
        proofs(&nuts, "RW-101A"),
        [
            ("gland_square@seal_de".to_owned(), 0.0),
            ("leak_off@seal_de".to_owned(), 10.0),
            ("gland_heat@seal_de".to_owned(), 10.0),
        ]
    );
}

#[test]
fn the_wait_goes_by_the_clock_through_sleep_and_tells_of_a_clock_set_back() {
    let recount = Proof {
        check: check("leak_off@seal_de"),
        after_minutes: 10.0,
    };
    let minute = 60_000;
    assert_eq!(recount.wait(0, 4 * minute), Wait::Minutes(6.0));
    assert_eq!(recount.wait(0, 10 * minute), Wait::Over);
    assert_eq!(
        recount.wait(0, 500 * minute),
        Wait::Over,
        "the device slept"
    );
    assert_eq!(recount.wait(20 * minute, 4 * minute), Wait::ClockSetBack);
    assert_eq!(recount.wait(i64::MIN, i64::MAX), Wait::Over);
}

#[test]
fn each_kind_is_proved_by_what_it_was_to_change() {
    let greased = Remedy::Grease {
        place: Place::DriverDe,
        amount: GreaseGiven::Strokes { strokes: 25.0 },
        grade: "x".to_owned(),
    };
    assert_eq!(
        proofs(&greased, "RW-101A"),
        [
            ("grease_look@driver_de".to_owned(), 0.0),
            ("bearing_heat@driver_de".to_owned(), 60.0),
        ]
    );
    let water = Remedy::CoolingWater {
        change: WaterChange::More,
    };
    assert_eq!(
        proofs(&water, "BF-301A"),
        [
            ("cooling_water@oil_skid".to_owned(), 0.0),
            ("feed_oil_temperature@oil_skid".to_owned(), 30.0),
        ]
    );
    let element = proofs(&Remedy::FilterElement, "BF-301A");
    assert!(element.contains(&("feed_oil_filter_drop@oil_skid".to_owned(), 5.0)));
    let strainer = Remedy::Strainer {
        place: Place::Suction,
        work: StrainerWork::Cleaned,
    };
    assert!(proofs(&strainer, "RW-101A").contains(&("strainer_drop@suction".to_owned(), 5.0)));
    assert_eq!(
        proofs(
            &Remedy::OwnWords {
                text: "x".to_owned()
            },
            "RW-101A"
        ),
        []
    );
}

#[test]
fn every_remedy_of_every_pump_is_proved_by_checks_that_pump_has() {
    let mut proved = 0;
    for pump in demo().pumps {
        let states = [RunningState::Running, RunningState::Standby];
        let has: Vec<CheckId> = states
            .iter()
            .flat_map(|state| [list(&pump, *state), on_request(&pump, *state)].concat())
            .map(|check| check.id)
            .collect();
        for place in Place::ALL {
            for remedy in every_remedy_at(*place)
                .iter()
                .filter(|of| of.check(&pump).is_ok())
            {
                let proofs = proof_of(remedy, &pump);
                assert!(!proofs.is_empty(), "{remedy:?} at {}", pump.id);
                assert!(proofs.iter().all(|proof| has.contains(&proof.check)));
                assert!(proofs.is_sorted_by(|one, next| one.after_minutes <= next.after_minutes));
                proved += 1;
            }
        }
    }
    assert!(proved > 150, "{proved}");
}

#[test]
fn what_the_proof_says_defers_to_the_plant_where_the_pump_must_stop() {
    for verdict in Verdict::ALL {
        assert!(proved_words(None, *verdict).ends_with('.'));
    }
    assert!(proved_words(None, Verdict::StopPump).contains("by your plant's procedure"));
}

#[test]
fn what_was_in_limits_before_was_not_brought_there_by_the_remedy() {
    let in_limits = |before| proved_words(before, Verdict::InLimits);
    for wrong in [Verdict::Watch, Verdict::Act, Verdict::StopPump] {
        assert_eq!(in_limits(Some(wrong)), "In limits again: it did it.");
    }
    for unknown in [None, Some(Verdict::InLimits), Some(Verdict::NotJudged)] {
        assert!(!in_limits(unknown).contains("did it"), "{unknown:?}");
    }
}

fn drops(drops: u32, seconds: f64) -> Entered {
    Entered::Count { drops, seconds }
}

fn check(text: &str) -> CheckId {
    text.parse().unwrap()
}

/// The p values of these counts: exact conditional test, by hand from the binomial with half a share each:
/// 72 to 40 in equal times, twice P(X ≤ 40 | 112, ½) = 0.0031; 60 to 50, 0.39.
#[test]
fn counts_are_compared_by_more_than_chance() {
    let band = limits(
        "leak_off@seal_de",
        "drops/min",
        serde_json::json!({"low_watch": 20, "high_watch": 50}),
    );
    let leak_off = check("leak_off@seal_de");
    let told = compared(leak_off, &drops(72, 60.0), &drops(40, 60.0), Some(&band)).unwrap();
    assert_eq!(told.effect, Effect::Better);
    assert!(
        told.words
            .starts_with("Leak-off, Seal DE: 72 drops/min before, 40 after; 0.56 times as much"),
        "{}",
        told.words
    );
    assert!(told.words.ends_with("Better."));
    let told = compared(leak_off, &drops(60, 60.0), &drops(50, 60.0), Some(&band)).unwrap();
    assert_eq!(told.effect, Effect::NotShown);
    let told = compared(leak_off, &drops(30, 60.0), &drops(2, 60.0), Some(&band)).unwrap();
    assert_eq!(
        told.effect,
        Effect::Worse,
        "too little is worse than enough"
    );
    let told = compared(leak_off, &drops(72, 60.0), &drops(30, 60.0), None).unwrap();
    assert_eq!(told.effect, Effect::Changed);
    let told = compared(leak_off, &drops(0, 60.0), &drops(30, 60.0), Some(&band)).unwrap();
    assert_eq!(told.effect, Effect::Better, "from a dry gland");
}

#[test]
fn numbers_feels_words_and_answers_are_compared_each_in_its_way() {
    let number = |value, unit| Entered::Number { value, unit };
    let hot = limits(
        "bearing_temperature@pump_de",
        "degC",
        serde_json::json!({"high_watch": 71}),
    );
    let temperature = check("bearing_temperature@pump_de");
    let told = compared(
        temperature,
        &number(80.0, Unit::Celsius),
        &number(165.2, Unit::Fahrenheit),
        Some(&hot),
    )
    .unwrap();
    assert_eq!(
        told.words,
        "Bearing temperature, Pump DE: 80 °C before, 74 after. Better."
    );
    let cool = compared(
        temperature,
        &number(60.0, Unit::Celsius),
        &number(65.0, Unit::Celsius),
        Some(&hot),
    )
    .unwrap();
    assert_eq!(
        cool.effect,
        Effect::Changed,
        "within the band nothing is better"
    );
    let feel = |step| Entered::Feel { step };
    let told = compared(check("bearing_heat@pump_de"), &feel(4), &feel(2), None).unwrap();
    assert_eq!(
        told.words,
        "Bearing heat, Pump DE: too hot to touch before, hot after. Better."
    );
    let said = |key: &str| Entered::Choice {
        key: key.to_owned(),
    };
    let told = compared(
        check("cooling_water@oil_skid"),
        &said("none"),
        &said("flowing"),
        None,
    )
    .unwrap();
    assert_eq!(told.effect, Effect::Better);
    let square = |yes| Entered::YesNo { yes };
    let told = compared(
        check("gland_square@seal_de"),
        &square(true),
        &square(false),
        None,
    )
    .unwrap();
    assert_eq!(told.effect, Effect::Worse);
    assert!(
        told.words
            .contains("square to the shaft before, drawn up crooked after"),
        "{}",
        told.words
    );
}

#[test]
fn entries_made_in_different_ways_are_not_compared() {
    let leak_off = check("leak_off@seal_de");
    let stream = Entered::Stream {
        millilitres: 200.0,
        seconds: 60.0,
        drops_per_ml: None,
    };
    assert_eq!(
        compared(leak_off, &drops(60, 60.0), &stream, None),
        Err(CannotTell::NotComparable)
    );
    let not = Entered::NotChecked {
        reason: "x".to_owned(),
    };
    assert_eq!(
        compared(leak_off, &drops(60, 60.0), &not, None),
        Err(CannotTell::NotComparable)
    );
    let nan = Entered::Number {
        value: f64::NAN,
        unit: Unit::Bar,
    };
    assert!(compared(check("suction_pressure@suction"), &nan, &nan, None).is_err());
    assert!(matches!(
        compared(leak_off, &drops(60, 0.0), &drops(1, 60.0), None),
        Err(CannotTell::Counting(_))
    ));
}

proptest! {
    #[test]
    fn what_is_better_one_way_is_worse_the_other(one in 0.0..200.0_f64, other in 0.0..200.0_f64) {
        let band = limits("suction_pressure@suction", "bar", serde_json::json!({"low_watch": 50, "high_watch": 100, "target": 80}));
        let of = |value| Entered::Number { value, unit: Unit::Bar };
        let suction = check("suction_pressure@suction");
        let there = compared(suction, &of(one), &of(other), Some(&band)).unwrap().effect;
        let back = compared(suction, &of(other), &of(one), Some(&band)).unwrap().effect;
        let turned = match there {
            Effect::Better => Effect::Worse,
            Effect::Worse => Effect::Better,
            same => same,
        };
        prop_assert_eq!(back, turned);
    }
}
