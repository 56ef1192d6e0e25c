//! Each sign names a check that a visit can make.

use lantern_ring::{diagnosis::Sign, plant::CheckId};

#[test]
fn every_check_a_sign_names_is_known() {
    for sign in Sign::ALL {
        if let Some(check) = sign.check() {
            assert!(check.parse::<CheckId>().is_ok(), "{sign:?}: {check}");
        }
    }
}

#[test]
fn only_what_happened_before_is_left_to_a_question() {
    let asked: Vec<_> = Sign::ALL
        .iter()
        .filter(|sign| sign.check().is_none())
        .map(|sign| sign.key())
        .collect();
    let before = [
        "driver_tripped",
        "just_started",
        "never_delivered",
        "delivered_then_lost",
        "comes_and_goes",
        "after_maintenance",
        "hot_after_greasing",
    ];
    assert_eq!(asked, before);
}
