//! Each sign names a check that a visit can make.

use lantern_ring::{diagnosis::Sign, plant::CheckId};

#[test]
fn every_sign_names_a_known_check() {
    for sign in Sign::ALL {
        let check = sign.check().unwrap_or_default();
        assert!(check.parse::<CheckId>().is_ok(), "{sign:?}: '{check}'");
    }
}
