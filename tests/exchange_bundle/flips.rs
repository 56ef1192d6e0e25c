//! Accidents on the way: bytes lost, changed, added.

use super::support::*;
use lantern_ring::exchange::Refused;

#[test]
fn a_truncated_bundle_is_refused_wherever_it_is_cut() {
    let bundle = small_bundle();
    for fiftieth in 0..50 {
        let cut = &bundle[..bundle.len() * fiftieth / 50];
        let refused = unpack_bytes(cut).unwrap_err();
        assert!(
            matches!(refused, Refused::CutShort | Refused::NotABundle),
            "at {fiftieth}/50: {refused:?}"
        );
    }
    for length in 0..bundle.len() {
        assert!(unpack_bytes(&bundle[..length]).is_err(), "at {length}");
    }
}

#[test]
fn a_changed_byte_is_refused_or_changes_nothing() {
    let bundle = small_bundle();
    let whole = unpack_bytes(&bundle).unwrap();
    let mut taken = 0;
    for at in 0..bundle.len() {
        for flip in [1, 2, 4, 8, 16, 32, 64, 128, 255] {
            let mut changed = bundle.clone();
            changed[at] ^= flip;
            if let Ok(unpacked) = unpack_bytes(&changed) {
                taken += 1;
                assert_eq!(unpacked.manifest, whole.manifest, "byte {at} ^ {flip}");
                assert_eq!(unpacked.staged, whole.staged, "byte {at} ^ {flip}");
            }
        }
    }
    let tried = bundle.len() * 9;
    println!("{tried} changes tried, {taken} without meaning taken");
    // Times, versions and attributes in the container's headers: some 20 bytes a member of 3, of 1400 in all.
    assert!(taken * 10 < tried, "{taken} of {tried} taken");
}

#[test]
fn bytes_put_before_behind_or_between_are_refused() {
    let bundle = small_bundle();
    let junk = b"0123456789abcdefghijklmnop";
    for length in [1, 22, 26] {
        let junk = &junk[..length];
        let before = [junk, &bundle].concat();
        assert!(matches!(unpack_bytes(&before), Err(Refused::NotABundle)));
        let behind = [&bundle, junk].concat();
        assert!(matches!(unpack_bytes(&behind), Err(Refused::CutShort)));
    }
    for at in 1..bundle.len() {
        let (head, tail) = bundle.split_at(at);
        let between = [head, b"x", tail].concat();
        assert!(unpack_bytes(&between).is_err(), "at {at}");
    }
}

#[test]
fn a_comment_that_is_promised_and_not_there_is_refused() {
    let mut bundle = small_bundle();
    let length_at = bundle.len() - 2;
    bundle[length_at] = 1;
    assert!(matches!(unpack_bytes(&bundle), Err(Refused::CutShort)));
}

#[test]
fn two_bundles_end_to_end_are_refused() {
    let bundle = small_bundle();
    let twice = [&bundle[..], &bundle].concat();
    assert!(matches!(unpack_bytes(&twice), Err(Refused::Packing { .. })));
}
