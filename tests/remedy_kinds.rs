//! Remedies as they are entered: what is taken, what is not, and how they read.

mod remedy_support;

use lantern_ring::plant::Place;
use lantern_ring::remedy::{
    BadRemedy, GreaseGiven, OilGiven, Remedy, StrainerWork, Turn, WaterChange, cautions, in_words,
};
use proptest::prelude::*;
use remedy_support::pump;

fn nuts(flats: &[u8]) -> Remedy {
    Remedy::GlandNuts {
        place: Place::SealDe,
        turn: Turn::Tighten,
        flats: flats.to_vec(),
    }
}

fn top_up(place: Place, amount: OilGiven) -> Remedy {
    Remedy::TopUp {
        place,
        amount,
        grade: "ISO VG 68 mineral oil".to_owned(),
    }
}

fn grease(place: Place, amount: GreaseGiven) -> Remedy {
    Remedy::Grease {
        place,
        amount,
        grade: "lithium complex NLGI 2".to_owned(),
    }
}

/// Every kind of remedy, with the bytes a record keeps and the words people read.
fn every_kind() -> Vec<(Remedy, &'static str, &'static str)> {
    vec![
        (
            nuts(&[1, 1]),
            r#"{"kind":"gland_nuts","place":"seal_de","turn":"tighten","flats":[1,1]}"#,
            "Tightened each of 2 gland nuts 1 flat, Seal DE.",
        ),
        (
            Remedy::GlandNuts {
                place: Place::SealNde,
                turn: Turn::Ease,
                flats: vec![0, 2, 1],
            },
            r#"{"kind":"gland_nuts","place":"seal_nde","turn":"ease","flats":[0,2,1]}"#,
            "Eased gland nut 2 2 flats, nut 3 1 flat, Seal NDE.",
        ),
        (
            top_up(Place::PumpDe, OilGiven::Millilitres { ml: 150.0 }),
            r#"{"kind":"top_up","place":"pump_de","amount":{"in":"millilitres","ml":150.0},"grade":"ISO VG 68 mineral oil"}"#,
            "Topped up 150 mL of ISO VG 68 mineral oil, Pump DE.",
        ),
        (
            top_up(Place::PumpDe, OilGiven::Bottle { percent: 33.0 }),
            r#"{"kind":"top_up","place":"pump_de","amount":{"in":"bottle","percent":33.0},"grade":"ISO VG 68 mineral oil"}"#,
            "Topped up 33 % of the bottle with ISO VG 68 mineral oil, Pump DE.",
        ),
        (
            grease(Place::DriverDe, GreaseGiven::Strokes { strokes: 12.0 }),
            r#"{"kind":"grease","place":"driver_de","amount":{"in":"strokes","strokes":12.0},"grade":"lithium complex NLGI 2"}"#,
            "Greased 12 strokes with lithium complex NLGI 2, Driver DE.",
        ),
        (
            grease(Place::PumpDe, GreaseGiven::Turns { turns: 1.5 }),
            r#"{"kind":"grease","place":"pump_de","amount":{"in":"turns","turns":1.5},"grade":"lithium complex NLGI 2"}"#,
            "Greased 1.5 turns of the cup with lithium complex NLGI 2, Pump DE.",
        ),
        (Remedy::Vent, r#"{"kind":"vent"}"#, "Vented the casing."),
        (
            Remedy::Strainer {
                place: Place::Suction,
                work: StrainerWork::Cleaned,
            },
            r#"{"kind":"strainer","place":"suction","work":"cleaned"}"#,
            "Cleaned the strainer, Suction.",
        ),
        (
            Remedy::CoolingWater {
                change: WaterChange::Less,
            },
            r#"{"kind":"cooling_water","change":"less"}"#,
            "Gave the oil cooler less water.",
        ),
        (
            Remedy::FilterElement,
            r#"{"kind":"filter_element"}"#,
            "Changed the oil filter's element.",
        ),
        (
            Remedy::OwnWords {
                text: "Freed the vent line. ".to_owned(),
            },
            r#"{"kind":"own_words","text":"Freed the vent line. "}"#,
            "Freed the vent line.",
        ),
    ]
}

#[test]
fn a_remedy_keeps_its_bytes_and_reads_back_from_them() {
    for (remedy, bytes, words) in every_kind() {
        assert_eq!(serde_json::to_string(&remedy).unwrap(), bytes);
        assert_eq!(serde_json::from_str::<Remedy>(bytes).unwrap(), remedy);
        assert_eq!(in_words(&remedy), words);
    }
}

#[test]
fn a_field_that_is_not_known_is_refused() {
    for bytes in [
        r#"{"kind":"strainer","place":"suction","work":"cleaned","by":"x"}"#,
        r#"{"kind":"top_up","place":"pump_de","amount":{"in":"litres","l":1},"grade":"x"}"#,
        r#"{"kind":"gland_nuts","place":"seal_de","turn":"loosen","flats":[1,1]}"#,
        r#"{"kind":"gland_nuts","place":"seal_de","turn":"ease","flats":[-1,1]}"#,
    ] {
        assert!(serde_json::from_str::<Remedy>(bytes).is_err(), "{bytes}");
    }
}

#[test]
fn nuts_are_two_to_eight_and_turned_a_whole_turn_at_most() {
    let packed = pump("RW-101A");
    assert_eq!(nuts(&[1, 1]).check(&packed), Ok(()));
    assert_eq!(nuts(&[0, 6, 0, 0, 0, 0, 0, 1]).check(&packed), Ok(()));
    assert_eq!(nuts(&[1]).check(&packed), Err(BadRemedy::Nuts { nuts: 1 }));
    assert_eq!(
        nuts(&[1; 9]).check(&packed),
        Err(BadRemedy::Nuts { nuts: 9 })
    );
    assert_eq!(nuts(&[]).check(&packed), Err(BadRemedy::Nuts { nuts: 0 }));
    assert_eq!(nuts(&[0, 0]).check(&packed), Err(BadRemedy::NothingTurned));
    let told = nuts(&[1, 7]).check(&packed).unwrap_err();
    assert_eq!(told, BadRemedy::TooManyFlats { nut: 2, flats: 7 });
    assert!(told.to_string().contains("nut 2") && told.to_string().contains("each step by itself"));
}

#[test]
fn a_remedy_needs_the_part_it_was_done_to() {
    let (packed, fed, cup) = (pump("RW-101A"), pump("BF-301A"), pump("CH-507"));
    let bottle = pump("RW-110");
    let swap = |place| Remedy::Strainer {
        place,
        work: StrainerWork::Swapped,
    };
    let more = Remedy::CoolingWater {
        change: WaterChange::More,
    };
    let ml = OilGiven::Millilitres { ml: 50.0 };
    let percent = OilGiven::Bottle { percent: 50.0 };
    let strokes = GreaseGiven::Strokes { strokes: 3.0 };
    let turns = GreaseGiven::Turns { turns: 1.0 };
    for (remedy, pump, fits) in [
        (nuts(&[1, 1]), &packed, true),
        (nuts(&[1, 1]), &fed, false),
        (top_up(Place::PumpDe, ml), &packed, true),
        (top_up(Place::PumpDe, percent), &packed, false),
        (top_up(Place::PumpDe, percent), &bottle, true),
        (top_up(Place::DriverDe, ml), &packed, false),
        (top_up(Place::OilSkid, ml), &fed, true),
        (top_up(Place::OilSkid, ml), &packed, false),
        (top_up(Place::PumpDe, ml), &fed, false),
        (grease(Place::DriverDe, strokes), &packed, true),
        (grease(Place::DriverDe, turns), &packed, false),
        (grease(Place::PumpDe, turns), &cup, true),
        (grease(Place::PumpDe, strokes), &cup, false),
        (grease(Place::PumpDe, strokes), &packed, false),
        (swap(Place::Suction), &packed, true),
        (swap(Place::Discharge), &packed, false),
        (more.clone(), &fed, true),
        (more, &packed, false),
        (Remedy::FilterElement, &fed, true),
        (Remedy::FilterElement, &packed, false),
        (Remedy::Vent, &packed, true),
    ] {
        assert_eq!(
            remedy.check(pump).is_ok(),
            fits,
            "{remedy:?} at {}",
            pump.id
        );
    }
    assert_eq!(
        nuts(&[1, 1]).check(&fed).unwrap_err().to_string(),
        "BF-301A has no packed gland at seal_de; choose a place that has one, or write it in own words"
    );
}

#[test]
fn amounts_and_words_that_cannot_be_are_refused_with_words() {
    let bottle = pump("RW-110");
    for ml in [0.0, -5.0, f64::NAN, f64::INFINITY, 1e9] {
        let remedy = top_up(Place::PumpDe, OilGiven::Millilitres { ml });
        assert!(
            matches!(remedy.check(&bottle), Err(BadRemedy::Amount { .. })),
            "{ml}"
        );
    }
    let whole = top_up(Place::PumpDe, OilGiven::Bottle { percent: 100.5 });
    assert_eq!(
        whole.check(&bottle).unwrap_err().to_string(),
        "100.5 % of the bottle can't be; enter more than 0 and at most 100"
    );
    let nameless = Remedy::TopUp {
        place: Place::PumpDe,
        amount: OilGiven::Bottle { percent: 50.0 },
        grade: " ".to_owned(),
    };
    assert_eq!(
        nameless.check(&bottle).unwrap_err().to_string(),
        "the oil's grade is empty; write it down"
    );
    let long = Remedy::OwnWords {
        text: "x".repeat(301),
    };
    assert!(matches!(
        long.check(&bottle),
        Err(BadRemedy::TooLong { chars: 301, .. })
    ));
}

#[test]
fn nobody_is_sent_to_a_hot_or_hazardous_gland() {
    let boiler_feed = pump("BF-301A");
    assert!(boiler_feed.hazard.is_some());
    let told = cautions(&nuts(&[1, 1]), &boiler_feed);
    assert_eq!(told.len(), 1);
    assert!(told[0].contains("keep hands off"), "{told:?}");
    let told = cautions(&nuts(&[1, 1]), &pump("RW-101A"));
    assert!(told[0].contains("Turning shaft"), "{told:?}");
    let told = cautions(&Remedy::Vent, &boiler_feed);
    assert!(told[0].contains("closed vent line"), "{told:?}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10))]

    #[test]
    fn any_flats_are_taken_or_refused_with_words(every in proptest::collection::vec(proptest::collection::vec(0_u8..20, 0..12), 100)) {
        let packed = pump("RW-101A");
        for flats in every {
            let fits = (2..=8).contains(&flats.len())
                && flats.iter().any(|of| *of > 0)
                && flats.iter().all(|of| *of <= 6);
            let told = nuts(&flats).check(&packed);
            prop_assert_eq!(told.is_ok(), fits);
            if let Err(told) = told {
                prop_assert!(told.to_string().contains("nut"));
            }
        }
    }
}
