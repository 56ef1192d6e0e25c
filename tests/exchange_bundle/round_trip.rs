//! What is written reads back.

use super::support::*;
use lantern_ring::{
    exchange::{Checks, NotWritten, Refused, Staging, unpack as unpack_with},
    photo,
    record::{Body, Hash, Sealed},
    sys::staging::StagingFolder,
};
use proptest::prelude::*;
use std::{io::Cursor, ops::ControlFlow};

/// A journal from its start at `first`: entries, and photos with any bytes and any words.
fn journal() -> impl Strategy<Value = (Vec<Sealed>, Photos)> {
    let value = any::<f64>().prop_filter("JSON has finite numbers", |value| value.is_finite());
    let picture = (prop::collection::vec(any::<u8>(), 0..300), any::<String>());
    let bodies = prop::collection::vec(
        prop_oneof![value.prop_map(Ok), picture.prop_map(Err)],
        1..30,
    );
    (1_u64..1_000_000, bodies).prop_map(|(first, bodies)| {
        let mut photos = Photos::new();
        let records = bodies.into_iter().zip(first..).map(|(body, seq)| {
            let body: Body = match body {
                Ok(value) => entry(1, value),
                Err((bytes, words)) => {
                    let photo = Hash::of(&bytes);
                    photos.insert(photo, bytes);
                    photo_taken(1, photo, &words)
                }
            };
            sealed(1, seq, body)
        });
        let records = records.collect();
        (records, photos)
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_is_written_unpacks_to_the_same_bytes((records, photos) in journal()) {
        let (bundle, manifest) = write(1, &records, &photos).unwrap();
        let unpacked = unpack_bytes(&bundle).unwrap();
        prop_assert_eq!(&unpacked.manifest, &manifest);
        prop_assert_eq!(unpacked.staged, Memory { records, photos });
    }
}

#[test]
fn the_same_input_makes_the_same_bytes() {
    let first = small_bundle();
    std::thread::sleep(std::time::Duration::from_millis(2100));
    assert!(
        first == small_bundle(),
        "two seconds later, ZIP's finest time, it is another file"
    );
}

#[test]
fn a_bundle_says_at_its_beginning_what_it_is() {
    let bundle = small_bundle();
    assert_eq!(&bundle[30..43], b"manifest.json");
    assert!(bundle[43..].starts_with(br#"{"format":"lantern-ring bundle","version":1,"#));
}

#[test]
fn a_staging_folder_gives_back_what_was_unpacked_and_goes() {
    let parent = tempfile::tempdir().unwrap();
    let (records, photos) = small();
    let staging = StagingFolder::create(&parent.path().join("staging")).unwrap();
    let mut unpacked = unpack_into(Cursor::new(small_bundle()), staging, |_| {
        ControlFlow::Continue(())
    })
    .unwrap();
    let staged: Vec<_> = unpacked
        .staged
        .records()
        .unwrap()
        .map(Result::unwrap)
        .collect();
    assert_eq!(staged, records);
    for (name, bytes) in &photos {
        assert_eq!(unpacked.staged.photo(*name).unwrap(), *bytes);
    }
    drop(unpacked);
    assert_eq!(std::fs::read_dir(parent.path()).unwrap().count(), 0);
}

#[test]
fn a_refused_bundle_leaves_nothing_in_the_staging_folder() {
    let parent = tempfile::tempdir().unwrap();
    let staging = StagingFolder::create(&parent.path().join("staging")).unwrap();
    let refused = unpack_with(
        Cursor::new(small_bundle()),
        staging,
        Checks {
            photo: &photo::verify_stored,
            watch: &mut |_| ControlFlow::Continue(()),
        },
    );
    assert!(matches!(refused, Err(Refused::BadPhoto(_))));
    assert_eq!(std::fs::read_dir(parent.path()).unwrap().count(), 0);
}

#[test]
fn a_picture_as_it_is_stored_goes_through_and_any_other_is_refused() {
    let mut png = Cursor::new(Vec::new());
    image::RgbImage::from_fn(64, 48, |x, y| image::Rgb([x as u8, y as u8, 90]))
        .write_to(&mut png, image::ImageFormat::Png)
        .unwrap();
    let png = png.into_inner();
    let jpeg = photo::take_in(&png).unwrap().jpeg;
    for (bytes, good) in [(jpeg, true), (png, false)] {
        let taken = sealed(1, 1, photo_taken(1, Hash::of(&bytes), ""));
        let (bundle, _) = write(1, &[taken], &photos([bytes])).unwrap();
        let unpacked = unpack_with(
            Cursor::new(bundle),
            Memory::default(),
            Checks {
                photo: &photo::verify_stored,
                watch: &mut |_| ControlFlow::Continue(()),
            },
        );
        assert_eq!(unpacked.is_ok(), good, "{unpacked:?}");
    }
}

#[test]
fn unpacking_tells_how_far_it_is_and_stops_when_asked() {
    let bundle = small_bundle();
    let mut seen = Vec::new();
    unpack_into(Cursor::new(&bundle), Memory::default(), |progress| {
        seen.push(progress);
        ControlFlow::Continue(())
    })
    .unwrap();
    assert!(seen.is_sorted_by(|a, b| a.done < b.done && a.total == b.total));
    assert_eq!(seen.last().map(|last| last.done), Some(seen[0].total));

    for stop_at in 0..seen.len() {
        let mut calls = 0;
        let stopped = unpack_into(Cursor::new(&bundle), Memory::default(), |_| {
            calls += 1;
            if calls > stop_at {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        });
        assert!(matches!(stopped, Err(Refused::Stopped)));
    }
}

#[test]
fn a_lost_or_damaged_photo_does_not_keep_the_rest_from_the_planner() {
    let (records, photos) = small();
    let photo = *photos.keys().next().unwrap();
    let damaged = Photos::from([(photo, b"other bytes".to_vec())]);
    for kept in [Photos::new(), damaged] {
        let (bundle, manifest) = write(1, &records, &kept).unwrap();
        assert_eq!(manifest.photos_absent, [photo]);
        let unpacked = unpack_bytes(&bundle).unwrap();
        assert_eq!(unpacked.staged.records, records);
        assert!(unpacked.staged.photos.is_empty());
    }
}

#[test]
fn records_that_repeat_themselves_beyond_measure_are_still_taken_in() {
    let words = "drip ".repeat(100_000);
    let bytes = b"photo".to_vec();
    let records = [sealed(1, 1, photo_taken(1, Hash::of(&bytes), &words))];
    let photos = photos([bytes]);
    let (bundle, _) = write(1, &records, &photos).unwrap();
    assert_eq!(unpack_bytes(&bundle).unwrap().staged.records, records);
}

#[test]
fn a_bundle_of_nothing_another_device_or_with_a_gap_is_not_written() {
    let none = Photos::new();
    assert!(matches!(write(1, &[], &none), Err(NotWritten::Nothing)));
    let other = [sealed(1, 1, visit(1)), sealed(2, 2, visit(2))];
    assert!(matches!(
        write(1, &other, &none),
        Err(NotWritten::OtherOrigin { seq: 2, .. })
    ));
    for seqs in [[1, 3], [2, 1], [1, 1]] {
        let records = seqs.map(|seq| sealed(1, seq, visit(1)));
        assert!(matches!(
            write(1, &records, &none),
            Err(NotWritten::OutOfOrder { .. })
        ));
    }
}

#[test]
fn a_bundle_of_another_plant_is_told_apart() {
    let unpacked = unpack_bytes(&small_bundle()).unwrap();
    let manifest = unpacked.manifest;
    manifest
        .expect_plant(&"kestrel-ness".parse().unwrap())
        .unwrap();
    let refused = manifest
        .expect_plant(&"heron-quay".parse().unwrap())
        .unwrap_err();
    assert!(refused.to_string().contains("'kestrel-ness'"), "{refused}");
}
