//! Merging: union by identity, whatever the order, the repetition and the split.

use super::support::*;
use lantern_ring::{
    exchange::{Fate, Known, Manifest, MergePlan, Why, plan},
    record::{Hash, Origin, Sealed, Stamp},
};
use proptest::prelude::*;
use std::{
    collections::{BTreeMap, BTreeSet},
    convert::Infallible,
};
use uuid::Uuid;

#[derive(Debug, Default, PartialEq)]
struct Here {
    records: BTreeMap<(Origin, u64), Sealed>,
    ids: BTreeMap<Uuid, Hash>,
    set_aside: BTreeSet<Hash>,
    photos: Photos,
}

impl Known for Here {
    type Error = Infallible;

    fn hash_of(&self, origin: Origin, seq: u64) -> Result<Option<Hash>, Infallible> {
        Ok(self.records.get(&(origin, seq)).map(Sealed::hash))
    }

    fn hash_of_id(&self, id: Uuid) -> Result<Option<Hash>, Infallible> {
        Ok(self.ids.get(&id).copied())
    }

    fn last_before(&self, origin: Origin, seq: u64) -> Result<Option<u64>, Infallible> {
        let range = self.records.range((origin, 0)..(origin, seq));
        Ok(range.last().map(|((_, seq), _)| *seq))
    }

    fn has_photo(&self, photo: Hash) -> Result<bool, Infallible> {
        Ok(self.photos.contains_key(&photo))
    }
}

fn planned(here: &Here, manifest: &Manifest, records: &[Sealed]) -> MergePlan {
    plan(manifest, records.iter().cloned().map(Ok), here, NOW).unwrap()
}

impl Here {
    /// As a store would: unpack, plan, follow the plan.
    fn take_in(&mut self, bundle: &[u8]) -> MergePlan {
        let unpacked = unpack_bytes(bundle).unwrap();
        let plan = planned(self, &unpacked.manifest, &unpacked.staged.records);
        for sealed in unpacked.staged.records {
            let record = sealed.record();
            match plan.fate(record.seq) {
                Fate::New => {
                    let place = (record.origin, record.seq);
                    assert_eq!(self.ids.insert(record.id, sealed.hash()), None);
                    assert_eq!(self.records.insert(place, sealed), None);
                }
                Fate::Already => {}
                Fate::SetAside(_) => drop(self.set_aside.insert(sealed.hash())),
            }
        }
        for photo in &plan.photos_new {
            let bytes = unpacked.staged.photos[photo].clone();
            assert_eq!(self.photos.insert(*photo, bytes), None);
        }
        plan
    }

    fn hashes(&self) -> BTreeSet<Hash> {
        let records = self.records.values().map(Sealed::hash);
        records.chain(self.set_aside.iter().copied()).collect()
    }
}

/// The journal of a device whose every third record is a photo. `history` tells clones of it apart from `from` on.
fn journal(device: u128, length: u64, history: &str, from: u64) -> (Vec<Sealed>, Photos) {
    let mut photos = Photos::new();
    let records = (1..=length).map(|seq| {
        let history = if seq < from { "" } else { history };
        if seq % 3 == 0 {
            let bytes = format!("{device} {seq} {history}").into_bytes();
            let photo = Hash::of(&bytes);
            photos.insert(photo, bytes);
            sealed(device, seq, photo_taken(device, photo, history))
        } else {
            sealed(
                device,
                seq,
                entry(device, seq as f64 + history.len() as f64),
            )
        }
    });
    let records = records.collect();
    (records, photos)
}

/// Pieces that cover 1 to `length`, some overlapping, some twice.
fn pieces(length: usize) -> impl Strategy<Value = Vec<(usize, usize)>> {
    let cuts = prop::collection::btree_set(1..length, 0..6);
    let more = prop::collection::vec((0..length, 0..length), 0..4);
    (cuts, more).prop_map(move |(cuts, more)| {
        let starts = std::iter::once(0).chain(cuts.iter().copied());
        let ends = cuts.iter().copied().chain([length]);
        let more = more.into_iter().map(|(a, b)| (a.min(b), a.max(b) + 1));
        starts.zip(ends).chain(more).collect()
    })
}

fn bundles(device: u128, history: &'static str) -> impl Strategy<Value = Vec<Vec<u8>>> {
    pieces(20).prop_map(move |pieces| {
        let (records, photos) = journal(device, 20, history, 8);
        let piece =
            |(from, to): (usize, usize)| write(device, &records[from..to], &photos).unwrap().0;
        pieces.into_iter().map(piece).collect()
    })
}

fn in_any_order(
    all: impl Strategy<Value = Vec<Vec<Vec<u8>>>>,
) -> impl Strategy<Value = Vec<Vec<u8>>> {
    all.prop_flat_map(|all| Just(all.concat()).prop_shuffle())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn any_order_repetition_and_split_comes_to_the_same(
        bundles in in_any_order((bundles(1, ""), bundles(2, "")).prop_map(|(a, b)| vec![a, b]))
    ) {
        let mut here = Here::default();
        for bundle in &bundles {
            here.take_in(bundle);
        }
        let mut whole = Here::default();
        for device in [1, 2] {
            let (records, photos) = journal(device, 20, "", 1);
            whole.take_in(&write(device, &records, &photos).unwrap().0);
        }
        prop_assert_eq!(&here, &whole);
        for bundle in &bundles {
            prop_assert_eq!(here.take_in(bundle).new_count(), 0);
        }
        prop_assert_eq!(&here, &whole);
    }

    #[test]
    fn two_histories_of_one_device_are_both_kept(
        bundles in in_any_order((bundles(1, ""), bundles(1, "cloned")).prop_map(|(a, b)| vec![a, b]))
    ) {
        let mut here = Here::default();
        for bundle in &bundles {
            here.take_in(bundle);
        }
        let both = ["", "cloned"].map(|history| journal(1, 20, history, 8));
        let expected = both.iter().flat_map(|(records, _)| records.iter().map(Sealed::hash));
        prop_assert_eq!(here.hashes(), expected.collect::<BTreeSet<_>>());
        prop_assert_eq!(here.records.len(), 20);
        let photos = both.into_iter().flat_map(|(_, photos)| photos);
        prop_assert_eq!(&here.photos, &photos.collect::<Photos>());
    }
}

#[test]
fn another_content_in_the_same_place_is_set_aside_and_told() {
    let mut here = Here::default();
    let (first, _) = journal(1, 2, "", 1);
    here.take_in(&write(1, &first, &Photos::new()).unwrap().0);
    let other = [
        first[0].clone(),
        sealed(1, 2, visit(1)),
        sealed(1, 3, visit(1)),
    ];
    let plan = here.take_in(&write(1, &other, &Photos::new()).unwrap().0);
    let why = Why::OtherContent {
        here: first[1].hash(),
    };
    assert_eq!(plan.set_aside, BTreeMap::from([(2, why)]));
    assert_eq!((plan.already, plan.new), (1, vec![3..=3]));
    assert_eq!(here.records[&(origin(1), 2)], first[1]);
}

#[test]
fn an_id_that_another_record_has_is_set_aside_and_told() {
    let mut here = Here::default();
    here.take_in(
        &write(1, &[sealed(1, 1, visit(1))], &Photos::new())
            .unwrap()
            .0,
    );
    let mut stolen = record(2, 1, visit(2));
    stolen.id = id(1, 1);
    let stolen = Sealed::new(stolen).unwrap();
    let plan = here.take_in(&write(2, &[stolen], &Photos::new()).unwrap().0);
    let why = Why::IdTaken {
        here: here.ids[&id(1, 1)],
    };
    assert_eq!(plan.set_aside, BTreeMap::from([(1, why)]));
    assert_eq!(here.records.len(), 1);
}

#[test]
fn records_that_are_not_here_yet_are_told_and_may_come_later() {
    let (records, photos) = journal(1, 10, "", 1);
    let piece = |from: usize, to: usize| write(1, &records[from - 1..to], &photos).unwrap().0;
    let mut here = Here::default();
    assert_eq!(here.take_in(&piece(1, 2)).gap, None);
    assert_eq!(here.take_in(&piece(6, 10)).gap, Some(3..=5));
    assert_eq!(here.take_in(&piece(3, 5)).gap, None);
    assert_eq!(here.records.len(), 10);
    assert_eq!(Here::default().take_in(&piece(6, 10)).gap, Some(1..=5));
}

#[test]
fn a_stamp_more_than_a_day_ahead_is_flagged_and_the_record_taken() {
    const DAY_MS: i64 = 86_400_000;
    let at = |seq, utc_ms| {
        let mut record = record(1, seq, visit(1));
        record.at = Stamp {
            utc_ms,
            offset_min: 0,
        };
        Sealed::new(record).unwrap()
    };
    let records = [
        at(1, NOW.utc_ms + DAY_MS),
        at(2, NOW.utc_ms + DAY_MS + 1),
        at(3, i64::MAX),
        at(4, i64::MIN),
    ];
    let plan = Here::default().take_in(&write(1, &records, &Photos::new()).unwrap().0);
    assert_eq!((plan.far_future, plan.new), (2, vec![1..=4]));
}

#[test]
fn an_absent_photo_is_told_until_it_is_here() {
    let (records, photos) = small();
    let without = write(1, &records, &Photos::new()).unwrap().0;
    let mut here = Here::default();
    assert_eq!(here.take_in(&without).photos_absent.len(), 1);
    here.take_in(&write(1, &records, &photos).unwrap().0);
    assert_eq!(here.photos, photos);
    assert!(here.take_in(&without).photos_absent.is_empty());
}
