//! Oil: its grade against the register, and how much is used.

mod remedy_support;

use lantern_ring::{
    plant::Place,
    remedy::{
        CannotTell, OilGiven,
        hours::Ran,
        oil::{Grade, ToppedUp, consumption, grade, millilitres, registered_oil},
    },
};
use proptest::prelude::*;
use remedy_support::{HOUR_MS, at, pump};

fn topped(hours: i64, ml: f64) -> ToppedUp {
    ToppedUp {
        at_ms: hours * HOUR_MS,
        ml,
    }
}

#[test]
fn a_wrong_oil_is_warned_of_and_the_right_one_is_known_however_it_is_written() {
    let pump = pump("RW-110");
    assert_eq!(
        registered_oil(&pump, Place::PumpDe),
        Some("ISO VG 68 mineral oil")
    );
    for right in [
        "ISO VG 68 mineral oil",
        "iso-vg 68 MINERAL OIL",
        "ISO VG68 mineral oil ",
    ] {
        assert_eq!(grade(&pump, Place::PumpDe, right), Grade::Right, "{right}");
    }
    let wrong = grade(&pump, Place::PumpDe, "ISO VG 46 mineral oil");
    let told = wrong.warning().unwrap();
    assert!(
        told.starts_with(
            "Wrong oil: the register has ISO VG 68 mineral oil, not ISO VG 46 mineral oil."
        ),
        "{told}"
    );
    assert_eq!(Grade::Right.warning(), None);
}

#[test]
fn the_skids_oil_is_that_of_the_bearings_it_feeds() {
    let fed = pump("BF-301A");
    assert_eq!(
        grade(&fed, Place::OilSkid, "ISO VG 32 turbine oil"),
        Grade::Right
    );
    let bath = pump("ST-104A");
    let unknown = grade(&bath, Place::PumpDe, "ISO VG 46");
    assert_eq!(unknown, Grade::NotInRegister);
    assert!(unknown.warning().unwrap().contains("ask before pouring"));
}

#[test]
fn a_share_of_a_bottle_needs_the_bottles_size() {
    let bottle = pump("RW-110");
    let half = OilGiven::Bottle { percent: 50.0 };
    assert_eq!(millilitres(half, &bottle, Place::PumpDe), Ok(60.0));
    let told = millilitres(half, &pump("ST-104A"), Place::PumpDe).unwrap_err();
    assert!(told.to_string().contains("`bottle_ml`"), "{told}");
    let nan = OilGiven::Millilitres { ml: f64::NAN };
    assert!(millilitres(nan, &bottle, Place::PumpDe).is_err());
}

#[test]
fn what_was_used_since_the_first_top_up_is_set_against_the_hours_it_ran() {
    let events = [at(0, Ran::Started), at(1000, Ran::Stopped)];
    let top_ups = [topped(500, 50.0), topped(0, 120.0), topped(1000, 70.0)];
    let used = consumption(&top_ups, &events, 10.0).unwrap();
    assert_eq!((used.ml, used.ml_per_h, used.top_ups), (120.0, 0.12, 3));
    assert_eq!((used.low_ml_per_h, used.high_ml_per_h), (0.1, Some(0.14)));
    assert_eq!(
        used.words(),
        "0.12 mL per running hour (0.1 to 0.14), from 3 top-ups"
    );
    let more = consumption(&[topped(0, 0.0), topped(1000, 300.0)], &events, 10.0).unwrap();
    assert!(more.has_risen_since(&used) && !used.has_risen_since(&more));
}

/// 40 mL a minute after 60 mL are no use of 2400 mL an hour: the bearing took 100 mL in the 1000 h before.
#[test]
fn a_second_helping_within_the_hour_is_of_the_same_filling() {
    let ran = [at(0, Ran::Started), at(1001, Ran::Stopped)];
    let helping = ToppedUp {
        at_ms: topped(1000, 0.0).at_ms + 60_000,
        ml: 40.0,
    };
    let used = consumption(&[topped(0, 50.0), topped(1000, 60.0), helping], &ran, 0.0).unwrap();
    assert_eq!((used.ml, used.ml_per_h, used.top_ups), (100.0, 0.1, 2));
    let at_once = consumption(&[topped(1000, 60.0), helping], &ran, 0.0);
    assert!(matches!(at_once, Err(CannotTell::TooFew { have: 1, .. })));
}

#[test]
fn hours_that_are_not_known_widen_what_is_used() {
    let events = [at(0, Ran::SeenRunning), at(100, Ran::SeenRunning)];
    let used = consumption(&[topped(0, 50.0), topped(100, 50.0)], &events, 0.0).unwrap();
    assert_eq!((used.low_ml_per_h, used.high_ml_per_h), (0.5, None));
    assert!(used.words().contains("or more"), "{}", used.words());
}

#[test]
fn too_little_to_tell_from_says_what_to_record() {
    let ran = [at(0, Ran::Started), at(100, Ran::Stopped)];
    for (top_ups, have) in [(vec![], 0), (vec![topped(0, 50.0)], 1)] {
        let told = consumption(&top_ups, &ran, 0.0).unwrap_err();
        assert!(matches!(told, CannotTell::TooFew { have: told, need: 2, .. } if told == have));
        assert!(
            told.to_string().contains("record the amount of oil"),
            "{told}"
        );
    }
    let stood = [at(0, Ran::Stopped), at(100, Ran::SeenStanding)];
    assert!(consumption(&[topped(0, 50.0), topped(100, 50.0)], &stood, 0.0).is_err());
    for ml in [f64::NAN, -1.0, f64::INFINITY] {
        let told = consumption(&[topped(0, 50.0), topped(100, ml)], &ran, 0.0);
        assert!(matches!(told, Err(CannotTell::Number { .. })), "{ml}");
        assert!(consumption(&[topped(0, 5.0), topped(100, 5.0)], &ran, ml).is_err());
    }
}

proptest! {
    #[test]
    fn low_is_at_most_what_is_used_and_high_at_least(
        top_ups in proptest::collection::vec((0_i64..2000, 0.0..500.0_f64), 2..12),
        stop_h in 1_i64..3000,
        within_ml in 0.0..50.0_f64,
    ) {
        let events = [at(0, Ran::Started), at(stop_h, Ran::Stopped), at(stop_h + 10, Ran::SeenRunning)];
        let top_ups: Vec<_> = top_ups.into_iter().map(|(hours, ml)| topped(hours, ml)).collect();
        if let Ok(used) = consumption(&top_ups, &events, within_ml) {
            prop_assert!(used.low_ml_per_h <= used.ml_per_h + 1e-12);
            prop_assert!(used.high_ml_per_h.is_none_or(|high| used.ml_per_h <= high + 1e-12));
            prop_assert!(used.ml_per_h.is_finite());
        }
    }
}
