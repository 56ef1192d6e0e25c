//! Gland nuts: even, one flat at a time, never on a dry or hot gland, by the pump's own response.

mod remedy_support;

use lantern_ring::{
    plant::{Place, Pump, Verdict},
    remedy::{
        CannotTell, Remedy, Turn,
        gland::{
            Band, GlandSeen, NeverTighten, Response, Suggestion, may_tighten, standing, stop_rule,
            suggest as suggest_at, uneven,
        },
    },
    statistics::counting::Count,
};
use proptest::prelude::*;
use remedy_support::pump;
use std::sync::LazyLock;

/// What is suggested at a pump whose gland may be touched.
fn suggest(
    seen: &GlandSeen,
    band: Band,
    nuts: usize,
    response: Option<&Response>,
) -> Result<Suggestion, CannotTell> {
    static COLD: LazyLock<Pump> = LazyLock::new(|| pump("RW-101A"));
    suggest_at(seen, band, nuts, response, &COLD)
}

fn turned(turn: Turn, flats: &[u8]) -> Remedy {
    Remedy::GlandNuts {
        place: Place::SealDe,
        turn,
        flats: flats.to_vec(),
    }
}

fn count(drops: u32, seconds: f64) -> Count {
    Count { drops, seconds }
}

fn seen(drops: u32, seconds: f64) -> GlandSeen {
    GlandSeen {
        count: Some(count(drops, seconds)),
        ..GlandSeen::default()
    }
}

/// 40 to 60 drops/min is a run-in process pump's usual leak-off (a pump maker's manual, 5.20).
const BAND: Band = Band {
    low_per_min: 40.0,
    high_per_min: 60.0,
    target_per_min: None,
};

/// A gland of this response to one flat, known for sure.
fn known(ln_ratio_per_flat: f64) -> Response {
    Response {
        ln_ratio_per_flat,
        low: 1.2 * ln_ratio_per_flat,
        high: 0.8 * ln_ratio_per_flat,
        confidence: 0.9,
        pairs: 8,
    }
}

/// Uneven tightening overheats and scores the shaft: NAVFAC MO-209 item (e); NAVEDTRA 14113 fig. 7-6.
#[test]
fn a_gland_whose_nuts_were_turned_unevenly_is_warned_of() {
    let even = [turned(Turn::Tighten, &[1, 1]), turned(Turn::Ease, &[2, 2])];
    let stands = standing(&even, Place::SealDe).unwrap();
    assert_eq!(
        (stands.flats.as_slice(), stands.spread()),
        (&[-1, -1][..], 0)
    );
    assert_eq!(uneven(&stands), None);

    let crooked = [
        turned(Turn::Tighten, &[1, 0]),
        turned(Turn::Tighten, &[1, 0]),
    ];
    let stands = standing(&crooked, Place::SealDe).unwrap();
    assert!(stands.is_cocked());
    let told = uneven(&stands).unwrap();
    assert!(
        told.contains("Nut 1 stands 2 flats tighter than nut 2") && told.contains("cocked"),
        "{told}"
    );

    let one_off = standing(&crooked[..1], Place::SealDe).unwrap();
    assert!(!one_off.is_cocked());
    assert!(uneven(&one_off).unwrap().contains("1 flat tighter"));
}

#[test]
fn only_nuts_of_the_same_gland_are_summed() {
    let other = Remedy::GlandNuts {
        place: Place::SealNde,
        turn: Turn::Tighten,
        flats: vec![3, 0],
    };
    let past = [
        turned(Turn::Tighten, &[1, 1, 1]),
        other,
        Remedy::Vent,
        turned(Turn::Tighten, &[1, 1]),
    ];
    let stands = standing(&past, Place::SealDe).unwrap();
    assert_eq!(
        (stands.flats, stands.counted, stands.left_out),
        (vec![1, 1], 1, 1)
    );
    assert_eq!(standing(&past[2..3], Place::SealDe), None);
}

/// "Hot and little leak: too tight": TM 5-4210-233-14&P-2, p. 6-39. That no drop forbids tightening: NAVFAC MO-209 (e).
#[test]
fn a_dry_hot_smoking_or_squealing_gland_is_never_tightened() {
    assert_eq!(may_tighten(&seen(80, 60.0)), Ok(()));
    assert_eq!(may_tighten(&GlandSeen::default()), Ok(()));
    assert_eq!(may_tighten(&seen(0, 5.0)), Err(NeverTighten::Dry));
    for (change, why) in [
        (
            GlandSeen {
                heat_step: Some(3),
                ..seen(80, 60.0)
            },
            NeverTighten::Hot,
        ),
        (
            GlandSeen {
                smokes: true,
                ..seen(80, 60.0)
            },
            NeverTighten::Smokes,
        ),
        (
            GlandSeen {
                squeals: true,
                ..seen(80, 60.0)
            },
            NeverTighten::Squeals,
        ),
    ] {
        assert_eq!(may_tighten(&change), Err(why));
        assert_eq!(
            suggest(&change, BAND, 2, Some(&known(-0.1))),
            Ok(Suggestion::NotNow(why))
        );
        assert_eq!(suggest(&change, BAND, 2, None), Ok(Suggestion::NotNow(why)));
    }
}

#[test]
fn a_dry_gland_is_eased_first_and_a_smoking_one_stops_the_pump() {
    let cold = pump("RW-101A");
    let rule = stop_rule(&seen(0, 60.0), &cold).unwrap();
    assert_eq!(rule.verdict, Verdict::Act);
    assert!(
        rule.first
            .starts_with("Tighten nothing. Ease each gland nut one flat")
    );
    assert!(
        rule.stop_if
            .unwrap()
            .contains("stop the pump by your plant's procedure")
    );
    let smoking = GlandSeen {
        smokes: true,
        ..seen(20, 60.0)
    };
    let rule = stop_rule(&smoking, &cold).unwrap();
    assert_eq!(rule.verdict, Verdict::StopPump);
    assert!(
        rule.first
            .contains("Stop the pump by your plant's procedure")
    );
    let hot = GlandSeen {
        heat_step: Some(4),
        ..seen(50, 60.0)
    };
    assert_eq!(stop_rule(&hot, &cold).unwrap().verdict, Verdict::Act);
    assert_eq!(stop_rule(&seen(50, 60.0), &cold), None);
    assert_eq!(
        stop_rule(&seen(0, 10.0), &cold),
        None,
        "too short a count to be dry"
    );
}

#[test]
fn at_a_hot_or_hazardous_pump_no_hand_is_sent_to_the_gland() {
    let mut hazardous = pump("RW-101A");
    hazardous.hazard = Some("It burns.".to_owned());
    let mut hot = pump("RW-101A");
    hot.liquid_temperature_c = 90.0;
    for pump in [hazardous, hot] {
        let rule = stop_rule(&seen(0, 60.0), &pump).unwrap();
        assert!(rule.first.contains("keep hands off"), "{}", rule.first);
        assert!(!rule.first.contains("Ease"), "{}", rule.first);
        for drops in [0, 90] {
            let told = suggest_at(&seen(drops, 60.0), BAND, 2, Some(&known(-0.1)), &pump).unwrap();
            assert_eq!(told, Suggestion::HandsOff);
            assert!(told.words().contains("keep hands off the gland"));
        }
    }
}

#[test]
fn without_enough_pairs_it_is_the_usual_one_flat() {
    let Suggestion::OneFlat { turn, expected } = suggest(&seen(80, 60.0), BAND, 2, None).unwrap()
    else {
        panic!("no suggestion")
    };
    assert_eq!((turn, expected), (Turn::Tighten, None));
    let words = suggest(&seen(80, 60.0), BAND, 2, None).unwrap().words();
    assert!(
        words.starts_with("Tighten each gland nut one flat, evenly, wait 10 minutes, count again.")
    );
    assert_eq!(
        suggest(&seen(50, 60.0), BAND, 2, None),
        Ok(Suggestion::Leave)
    );
    let dry = suggest(&seen(0, 60.0), BAND, 2, Some(&known(-0.1))).unwrap();
    assert_eq!(
        dry,
        Suggestion::OneFlat {
            turn: Turn::Ease,
            expected: None
        }
    );
}

#[test]
fn a_gland_that_does_not_answer_or_lies_too_far_off_gets_no_suggestion() {
    let deaf = Response {
        high: 0.01,
        ..known(-0.02)
    };
    let told = suggest(&seen(90, 60.0), BAND, 2, Some(&deaf)).unwrap_err();
    assert_eq!(told, CannotTell::NoResponse { pairs: 8 });
    assert!(told.to_string().contains("turn no further"));
    let far = suggest(&seen(3000, 60.0), BAND, 2, Some(&known(-0.05))).unwrap_err();
    assert!(matches!(far, CannotTell::TooFar { .. }));
    assert!(far.to_string().contains("the packing is due"));
}

#[test]
fn a_sensitive_gland_is_turned_by_less_than_a_flat() {
    let told = suggest(&seen(65, 60.0), BAND, 4, Some(&known(-0.3))).unwrap();
    let Suggestion::LessThanAFlat {
        turn: Turn::Tighten,
        part,
    } = told
    else {
        panic!("{told:?}")
    };
    // ln(65/50) / (0.3 · 4) = 0.2186
    assert!((part - 0.2186).abs() < 1e-3);
}

#[test]
fn a_band_count_or_gland_that_cannot_be_is_refused() {
    let upside_down = Band {
        low_per_min: 60.0,
        high_per_min: 40.0,
        target_per_min: None,
    };
    let nan = Band {
        high_per_min: f64::NAN,
        ..BAND
    };
    let off = Band {
        target_per_min: Some(90.0),
        ..BAND
    };
    for band in [upside_down, nan, off] {
        assert!(matches!(
            suggest(&seen(80, 60.0), band, 2, None),
            Err(CannotTell::Number { .. })
        ));
    }
    for nuts in [0, 1, 9] {
        assert!(matches!(
            suggest(&seen(80, 60.0), BAND, nuts, None),
            Err(CannotTell::Number { .. })
        ));
    }
    assert_eq!(
        suggest(&GlandSeen::default(), BAND, 2, None),
        Err(CannotTell::NoCount)
    );
    assert!(matches!(
        suggest(&seen(80, 0.0), BAND, 2, None),
        Err(CannotTell::Counting(_))
    ));
}

proptest! {
    #[test]
    fn all_suggested_steps_never_carry_the_rate_past_its_aim_by_more_than_a_flat(
        drops in 1_u32..5000,
        ln_ratio in -1.0..-0.01_f64,
        nuts in 2_usize..=8,
        low in 5.0..40.0_f64,
        span in 5.0..100.0_f64,
    ) {
        let band = Band { low_per_min: low, high_per_min: low + span, target_per_min: None };
        let aim = low + span / 2.0;
        let rate = f64::from(drops);
        match suggest(&seen(drops, 60.0), band, nuts, Some(&known(ln_ratio))) {
            Ok(Suggestion::OneFlat { turn, expected: Some(expected) }) => {
                let flats = f64::from(turn.sign()) * f64::from(expected.steps) * nuts as f64;
                let after = rate * (ln_ratio * flats).exp();
                let flats_off = (after / aim).ln() / ln_ratio / nuts as f64;
                prop_assert!(flats_off.abs() <= 0.5 + 1e-9, "{flats_off} flats off on each nut");
                prop_assert!(expected.low_per_min <= expected.per_min && expected.per_min <= expected.high_per_min);
                prop_assert!((1..=6).contains(&expected.steps));
                prop_assert_eq!(turn, if rate > aim { Turn::Tighten } else { Turn::Ease });
                prop_assert!(expected.per_min.is_finite() && expected.per_min > 0.0);
            }
            Ok(Suggestion::LessThanAFlat { part, .. }) => prop_assert!(part > 0.0 && part < 0.5),
            Ok(Suggestion::Leave) => prop_assert!((low..=low + span).contains(&rate)),
            Err(CannotTell::TooFar { .. }) => {
                prop_assert!(((aim / rate).ln() / ln_ratio / nuts as f64).abs() >= 6.5 - 1e-9);
            }
            other => prop_assert!(false, "{other:?}"),
        }
    }

    #[test]
    fn the_order_of_remedies_does_not_change_how_the_nuts_stand(
        flats in proptest::collection::vec((any::<bool>(), proptest::collection::vec(0_u8..=6, 4)), 1..8),
    ) {
        let mut past: Vec<_> = flats
            .iter()
            .map(|(ease, flats)| turned(if *ease { Turn::Ease } else { Turn::Tighten }, flats))
            .collect();
        let stands = standing(&past, Place::SealDe).unwrap();
        past.reverse();
        prop_assert_eq!(standing(&past, Place::SealDe).unwrap().flats, stands.flats.clone());
    }
}
