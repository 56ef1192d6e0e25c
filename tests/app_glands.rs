//! Gland nuts: which are refused, what is warned of, how a gland has answered and what is suggested.

mod app_support;
mod put_right_support;

use lantern_ring::{
    app::{AppError, RemediesOf, SeeRunning},
    check::{Entered, RunningState},
    judge::Verdict,
    plant::Place,
    remedy::{BadRemedy, Remedy, Turn},
};
use put_right_support::{LEAK_OFF, count, device, nuts, pump};

#[test]
fn nuts_that_cannot_be_are_refused_with_words() {
    let mut d = device();
    for (flats, words) in [
        (&[1][..], "a gland of 1 nuts is not known"),
        (&[1; 9], "a gland of 9 nuts is not known"),
        (&[0, 0], "no gland nut was turned"),
        (&[1, 7], "nut 2 is said to have been turned 7 flats"),
    ] {
        let why = d.refused("ST-104A", nuts(Turn::Ease, flats));
        assert!(why.contains(words), "{why}");
    }
    let why = d.refused("WE-207A", nuts(Turn::Ease, &[1, 1]));
    assert!(why.contains("no packed gland"), "{why}");
    let elsewhere = Remedy::GlandNuts {
        place: Place::SealNde,
        turn: Turn::Ease,
        flats: vec![1, 1],
    };
    let why = d.put_right("ST-104A", elsewhere).unwrap_err();
    assert!(
        matches!(why, AppError::BadRemedy(BadRemedy::NoSuchPart { .. })),
        "{why}"
    );
}

#[test]
fn nuts_are_left_alone_where_the_liquid_burns_or_an_entry_stops_the_pump() {
    let mut d = device();
    for turn in [Turn::Ease, Turn::Tighten] {
        let why = d.refused("CD-308", nuts(turn, &[1, 1]));
        assert!(
            why.contains("hands off the gland") && why.contains("own words"),
            "{why}"
        );
    }
    let visit = d.arrive("ST-106");
    assert_eq!(d.enter(visit, LEAK_OFF, count(0)), Verdict::StopPump);
    for turn in [Turn::Ease, Turn::Tighten] {
        let why = d.refused("ST-106", nuts(turn, &[1, 1]));
        assert!(
            why.contains("Stop the pump by your plant's procedure"),
            "{why}"
        );
    }
    assert!(
        d.app
            .gland(&pump("ST-106"), Place::SealDe)
            .unwrap()
            .leave
            .is_some()
    );
    let standby = RunningState::Standby;
    d.app
        .perform(SeeRunning {
            visit,
            running: standby,
        })
        .unwrap();
    d.put_right("ST-106", nuts(Turn::Ease, &[1, 1]))
        .expect("once it stands, its nuts may be eased");
}

#[test]
fn nobody_is_let_to_the_nuts_of_a_gland_that_burns_while_its_pump_runs() {
    let mut d = device();
    let visit = d.arrive("ST-104A");
    d.enter(visit, LEAK_OFF, count(50));
    d.enter(visit, "gland_heat@seal_de", Entered::Feel { step: 5 });
    for turn in [Turn::Tighten, Turn::Ease] {
        let why = d.refused("ST-104A", nuts(turn, &[1, 1]));
        assert!(
            why.contains("Stop the pump by your plant's procedure"),
            "{why}"
        );
    }
}

#[test]
fn a_dry_hot_or_squealing_gland_is_never_tightened_and_may_be_eased() {
    let cases = [
        ("gland_heat@seal_de", Entered::Feel { step: 3 }, "hot gland"),
        (
            "noise@pump",
            Entered::Choice {
                key: "squeal".to_owned(),
            },
            "squeals",
        ),
    ];
    for (check, entered, words) in cases {
        let mut d = device();
        let visit = d.arrive("ST-104A");
        d.enter(visit, LEAK_OFF, count(50));
        d.enter(visit, check, entered);
        let why = d.refused("ST-104A", nuts(Turn::Tighten, &[1, 1]));
        assert!(
            why.contains("Never tighten") && why.contains(words),
            "{why}"
        );
        d.put_right("ST-104A", nuts(Turn::Ease, &[1, 1])).unwrap();
    }
    let mut d = device();
    let visit = d.arrive("ST-104A");
    d.enter(visit, "gland_heat@seal_de", Entered::Feel { step: 3 });
    d.minutes(13 * 60);
    d.put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
        .expect("what was felt a shift ago says nothing of now");
}

#[test]
fn an_uneven_gland_and_a_large_step_are_warned_of() {
    let mut d = device();
    let (_, one) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 0]))
        .unwrap();
    assert!(one[0].contains("Nut 1 stands 1 flat tighter"), "{one:?}");
    let (_, two) = d
        .put_right("ST-104A", nuts(Turn::Tighten, &[1, 0]))
        .unwrap();
    assert!(two[0].contains("may be cocked"), "{two:?}");
    let (_, large) = d.put_right("ST-104A", nuts(Turn::Ease, &[2, 0])).unwrap();
    assert_eq!(large.len(), 1, "even again, but too far at once: {large:?}");
    assert!(large[0].starts_with("More than one flat at a time"));
    let gland = d.app.gland(&pump("ST-104A"), Place::SealDe).unwrap();
    assert_eq!(gland.uneven(), None);
    let asked = nuts(Turn::Ease, &[0, 1]);
    let to_mind = d.app.to_mind(&pump("ST-104A"), &asked).unwrap();
    assert!(
        to_mind.warnings[0].contains("Nut 1 stands 1 flat tighter"),
        "{to_mind:?}"
    );
    let rows = d.app.remedies_of(RemediesOf::Pump(&pump("ST-104A")));
    assert_eq!(rows.unwrap().len(), 3, "to ask writes nothing down");
}

#[test]
fn a_gland_that_answered_five_times_is_suggested_by_its_own_response() {
    let mut d = device();
    let visit = d.arrive("ST-104A");
    for _ in 0..5 {
        d.enter(visit, LEAK_OFF, count(64));
        d.minutes(1);
        d.put_right("ST-104A", nuts(Turn::Tighten, &[1, 1]))
            .unwrap();
        let stale = d.app.gland(&pump("ST-104A"), Place::SealDe).unwrap();
        assert!(
            stale
                .suggestion
                .unwrap_err()
                .to_string()
                .contains("count the drops first"),
            "a count from before the nuts were turned suggests nothing"
        );
        d.minutes(10);
        d.enter(visit, LEAK_OFF, count(32));
        d.minutes(60);
    }
    let quiet = d.app.gland(&pump("ST-104A"), Place::SealDe).unwrap();
    assert!(
        quiet.words().contains("leave the nuts as they are"),
        "{}",
        quiet.words()
    );
    d.enter(visit, LEAK_OFF, count(64));
    let gland = d.app.gland(&pump("ST-104A"), Place::SealDe).unwrap();
    let response = gland.response.clone().unwrap();
    assert_eq!(response.pairs, 5);
    // Half as many drops from two flats: each flat of each nut the square root of a half; half a drop on each count.
    let expected = (32.5_f64 / 64.5).sqrt();
    assert!((response.ln_ratio_per_flat.exp() - expected).abs() < 1e-9);
    let words = gland.words();
    assert!(words.contains("Tighten each gland nut one flat"), "{words}");
    assert!(words.contains("By this gland's own response"), "{words}");
}
