//! What is offered at a pump can be done there.

mod remedy_support;

use lantern_ring::{
    plant::{CheckId, Place},
    remedy::{BadRemedy, OilGiven, Remedy, answers, possible, possible_for},
};
use remedy_support::{demo, pump};

#[test]
fn what_is_offered_at_any_pump_can_be_done_there_once_it_is_named() {
    let mut offered = 0;
    for pump in &demo().pumps {
        for remedy in possible(pump) {
            offered += 1;
            match remedy.check(pump) {
                Ok(()) => {}
                // The register has no oil or grease for it, or the words are still to be written.
                Err(BadRemedy::Empty { .. }) => {}
                Err(why) => panic!("{}: {remedy:?}: {why}", pump.id),
            }
        }
    }
    assert!(offered > 150, "{offered}");
}

#[test]
fn the_registers_oil_and_the_programmes_grease_are_offered() {
    let oil = possible(&pump("ST-108")).into_iter().find(|remedy| {
        matches!(
            remedy,
            Remedy::TopUp {
                place: Place::PumpDe,
                ..
            }
        )
    });
    let expected = Remedy::TopUp {
        place: Place::PumpDe,
        amount: OilGiven::Bottle { percent: 50.0 },
        grade: "ISO VG 68 mineral oil".to_owned(),
    };
    assert_eq!(oil, Some(expected));
    let sealed = possible(&pump("WE-207A"));
    assert!(
        !sealed
            .iter()
            .any(|remedy| matches!(remedy, Remedy::GlandNuts { .. }))
    );
    let packed = possible(&pump("CW-310A"));
    let glands = packed
        .iter()
        .filter(|remedy| matches!(remedy, Remedy::GlandNuts { .. }));
    assert_eq!(glands.count(), 2, "a pump between bearings has two");
}

#[test]
fn what_shows_in_a_check_is_offered_first_for_it() {
    for (id, check, first) in [
        ("ST-104A", "leak_off@seal_de", "Gland nuts turned"),
        ("ST-108", "oiler_level@pump_de", "Oil topped up"),
        ("WE-204A", "strainer_drop@suction", "Strainer seen to"),
        (
            "BF-301A",
            "feed_oil_filter_drop@oil_skid",
            "Oil filter element changed",
        ),
        (
            "CW-310A",
            "bearing_temperature@driver_de",
            "Bearing greased",
        ),
    ] {
        let check: CheckId = check.parse().unwrap();
        let offered = possible_for(&pump(id), check);
        assert_eq!(
            lantern_ring::remedy::name(&offered[0]),
            first,
            "{id} {check}"
        );
        assert!(answers(&offered[0], check));
        assert_eq!(offered.len(), possible(&pump(id)).len(), "none is lost");
    }
}
