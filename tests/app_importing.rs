//! Records from outside are held to what the door lets in: nothing is shown that this program would not have written.

mod app_support;

use app_support::{create, stamp, world};
use lantern_ring::{
    app::{Amend, App, AppError, AttachPhoto, Enter, Import, OpenVisit, Progress, Unsound},
    check::{BadEntry, Entered, RunningState},
    exchange::{self, BundleInfo},
    judge::Verdict,
    plant::{Place, PumpId},
    record::{
        Body, Deed, EntryMade, Hash, HowFound, Mark, PhotoTaken, Point, Record, Sealed, Stamp,
        TagAdopted,
    },
    remedy::{BadRemedy, Remedy, Turn},
    store::StoreError,
};
use std::{
    fs::File,
    path::{Path, PathBuf},
};
use uuid::Uuid;

fn pump() -> PumpId {
    "ST-104A".parse().unwrap()
}

/// What a device recorded: a plant, a visit, an entry in limits, one out of limits and its correction, a photo, a code.
fn recorded(folder: &Path) -> Vec<Record> {
    let mut device = create(&folder.join("device.lantern"), world(0, 1));
    let opened = OpenVisit {
        pump: pump(),
        running: RunningState::Running,
        found: HowFound::Scanned,
        round: None,
    };
    let visit = device.perform(opened).unwrap();
    let count = |drops| Entered::Count {
        drops,
        seconds: 60.0,
    };
    let mut enter = |check: &str, entered| {
        let check = check.parse().unwrap();
        let enter = Enter {
            visit,
            check,
            entered,
        };
        device.perform(enter).unwrap().record
    };
    enter("leak_off@seal_de", count(20));
    let wrong = enter("leak_off@seal_de", count(1_000));
    device
        .perform(Amend {
            record: wrong,
            entered: count(900),
        })
        .unwrap();
    let store = device.store();
    let sealed = store.read().records_of(store.origin(), 1, 100).unwrap();
    let mut records: Vec<Record> = sealed
        .iter()
        .map(|sealed| sealed.record().clone())
        .collect();
    let photo = PhotoTaken {
        visit,
        pump: pump(),
        check: None,
        finding: None,
        photo: Hash::of(b"a lost picture"),
        taken_at: None,
        marks: vec![Mark::Circle {
            centre: Point { x: 0.5, y: 0.5 },
            radius: 0.1,
        }],
        words: "drips from the gland".into(),
    };
    let tag = TagAdopted {
        pump: pump(),
        code: "4006381333931".into(),
    };
    for body in [Body::PhotoTaken(photo), Body::TagAdopted(tag)] {
        let last = records.last().unwrap().clone();
        records.push(Record {
            seq: last.seq + 1,
            id: Uuid::from_u128(last.id.as_u128() + 1),
            body,
            ..last
        });
    }
    records
}

/// Writes a bundle as a device would that wrote these records.
fn bundle(path: PathBuf, app: &App, records: Vec<Record>) -> PathBuf {
    let register = app.register().unwrap();
    let info = BundleInfo {
        plant: register.plant().id.clone(),
        plant_version: register.plant().version,
        origin: records[0].origin,
        device: "device 1".into(),
        made_at: stamp(1),
        made_by: "R. Visitor".into(),
    };
    let sealed = records
        .into_iter()
        .map(|record| Ok::<_, StoreError>(Sealed::new(record).unwrap()));
    exchange::write_bundle(File::create(&path).unwrap(), &info, sealed, |_| Ok(None)).unwrap();
    path
}

fn import(app: &mut App, path: PathBuf) -> Result<u64, AppError> {
    let progress = Progress::default();
    let imported = app.perform(Import { path, progress })?;
    Ok(imported.receipt.counts.new)
}

/// Takes in what was recorded after a change; the refusal's reason, after seeing that nothing was kept.
fn refusal(change: impl FnOnce(&mut Vec<Record>)) -> Unsound {
    let folder = tempfile::tempdir().unwrap();
    let mut records = recorded(folder.path());
    change(&mut records);
    let mut planner = create(&folder.path().join("planner.lantern"), world(1, 2));
    let path = bundle(folder.path().join("1.lrbundle"), &planner, records);
    let error = import(&mut planner, path).unwrap_err();
    assert!(
        error.to_string().contains("send everything again"),
        "{error}"
    );
    let read = planner.store().read();
    assert_eq!(read.origins().unwrap().len(), 1, "only the planner's own");
    assert!(read.receipts().unwrap().is_empty());
    match error {
        AppError::Unsound { why, .. } => why,
        other => panic!("{other}"),
    }
}

fn of_kind<'r>(records: &'r mut [Record], kind: &str) -> &'r mut Record {
    let mut found = records
        .iter_mut()
        .filter(|record| record.body.kind() == kind);
    found.next_back().unwrap()
}

fn last_made(records: &mut [Record]) -> &mut EntryMade {
    match &mut of_kind(records, "entry_made").body {
        Body::EntryMade(made) => made,
        other => panic!("{other:?}"),
    }
}

fn amended(records: &mut [Record]) -> (&mut Uuid, &mut EntryMade) {
    match &mut of_kind(records, "entry_amended").body {
        Body::EntryAmended(amended) => (&mut amended.amends, &mut amended.entry),
        other => panic!("{other:?}"),
    }
}

fn photo(records: &mut [Record]) -> &mut PhotoTaken {
    match &mut of_kind(records, "photo_taken").body {
        Body::PhotoTaken(taken) => taken,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_a_device_wrote_is_taken_in_and_an_earlier_part_may_come_later() {
    let folder = tempfile::tempdir().unwrap();
    let records = recorded(folder.path());
    let all = records.len() as u64;
    let mut planner = create(&folder.path().join("planner.lantern"), world(1, 2));
    let mut earlier = records;
    let at = earlier
        .iter()
        .position(|record| record.body.kind() == "entry_amended");
    let later = earlier.split_off(at.unwrap());
    let parts = later.len() as u64;
    let path = |name: &str| folder.path().join(name);
    let later = bundle(path("2.lrbundle"), &planner, later);
    let earlier = bundle(path("1.lrbundle"), &planner, earlier);
    assert_eq!(import(&mut planner, later).unwrap(), parts);
    assert_eq!(import(&mut planner, earlier).unwrap(), all - parts);
    let latest = planner
        .store()
        .read()
        .latest_entry(&pump(), "leak_off@seal_de".parse().unwrap())
        .unwrap();
    let entered = latest.unwrap().entry.entered;
    assert!(
        matches!(entered, Entered::Count { drops: 900, .. }),
        "{entered:?}"
    );
}

#[test]
fn a_verdict_that_its_own_grounds_do_not_give_is_refused() {
    let made_better = |records: &mut Vec<Record>| {
        let made = last_made(records);
        assert!(made.judgement.verdict.is_out_of_limits());
        made.judgement.verdict = Verdict::InLimits;
        made.finding = None;
    };
    let why = refusal(made_better);
    assert!(
        matches!(
            why,
            Unsound::OtherVerdict {
                said: "in limits",
                ..
            }
        ),
        "{why}"
    );
    let other_reasons = refusal(|records| last_made(records).judgement.reasons.clear());
    assert!(matches!(other_reasons, Unsound::OtherVerdict { .. }));
    assert_eq!(
        refusal(|records| last_made(records).finding = None),
        Unsound::Finding
    );
}

#[test]
fn limits_of_something_else_or_in_the_wrong_order_are_refused() {
    let limits_of_another = |records: &mut Vec<Record>| {
        last_made(records).limits.as_mut().unwrap().pump = "P-1".parse().unwrap();
    };
    assert_eq!(refusal(limits_of_another), Unsound::OtherLimits);
    let upside_down = |records: &mut Vec<Record>| {
        let limits = last_made(records).limits.as_mut().unwrap();
        limits.low_watch = limits.high_act.map(|bound| bound + 1.0);
    };
    assert!(matches!(refusal(upside_down), Unsound::Limits(_)));
}

#[test]
fn an_entry_that_the_door_would_not_take_is_refused() {
    for (entered, what) in [
        (Entered::YesNo { yes: true }, "another kind"),
        (
            Entered::Count {
                drops: 20,
                seconds: 0.0,
            },
            "no time",
        ),
        (
            Entered::NotChecked {
                reason: "x".repeat(301),
            },
            "a long reason",
        ),
    ] {
        let why = refusal(|records| last_made(records).entered = entered);
        assert!(matches!(why, Unsound::Entry(_)), "{what}: {why}");
    }
}

#[test]
fn a_correction_of_something_else_is_refused() {
    let another_pump = |records: &mut Vec<Record>| {
        let entry = amended(records).1;
        entry.pump = "ST-104B".parse().unwrap();
        entry.limits.as_mut().unwrap().pump = entry.pump.clone();
    };
    assert_eq!(refusal(another_pump), Unsound::OtherEntry);
    let another_time = |records: &mut Vec<Record>| amended(records).1.seen_at = stamp(5);
    assert_eq!(refusal(another_time), Unsound::OtherEntry);
    let no_entry = |records: &mut Vec<Record>| {
        let visit = of_kind(records, "visit_opened").id;
        *amended(records).0 = visit;
    };
    assert_eq!(refusal(no_entry), Unsound::OtherEntry);
    let itself = |records: &mut Vec<Record>| {
        let own = of_kind(records, "entry_amended").id;
        *amended(records).0 = own;
    };
    assert_eq!(refusal(itself), Unsound::OtherEntry);
}

#[test]
fn more_corrections_than_anybody_makes_are_refused() {
    let again_and_again = |records: &mut Vec<Record>| {
        let mut last = of_kind(records, "entry_amended").clone();
        let end = records.last().unwrap().seq;
        for n in 1..200 {
            let corrected = last.id;
            last.id = Uuid::from_u128(0xC0 + u128::from(n));
            last.seq = end + n;
            if let Body::EntryAmended(amended) = &mut last.body {
                amended.amends = corrected;
            }
            records.push(last.clone());
        }
    };
    assert_eq!(refusal(again_and_again), Unsound::TooManyCorrections);
}

#[test]
fn a_time_that_no_calendar_has_is_refused() {
    assert_eq!(
        refusal(|records| records[1].at.utc_ms = i64::MAX),
        Unsound::NoTime
    );
    assert_eq!(
        refusal(|records| records[1].at.offset_min = i16::MIN),
        Unsound::NoTime
    );
    let seen = |records: &mut Vec<Record>| last_made(records).seen_at.utc_ms = i64::MIN;
    assert_eq!(refusal(seen), Unsound::NoTime);
}

#[test]
fn a_remedy_nobody_can_have_done_is_refused() {
    let put_right = |what: Remedy, at_ms: i64| {
        refusal(|records| {
            let last = records.last_mut().unwrap();
            last.body = Body::Done(Deed::Remedied {
                remedy: Uuid::from_u128(7),
                pump: pump(),
                visit: None,
                finding: None,
                what,
                done_at: Stamp {
                    utc_ms: at_ms,
                    ..stamp(0)
                },
            });
        })
    };
    let nuts = |flats: &[u8]| Remedy::GlandNuts {
        place: Place::SealDe,
        turn: Turn::Ease,
        flats: flats.to_vec(),
    };
    let now_ms = stamp(0).utc_ms;
    assert_eq!(
        put_right(nuts(&[1; 9]), now_ms),
        Unsound::Remedy(BadRemedy::Nuts { nuts: 9 })
    );
    let words = put_right(
        Remedy::OwnWords {
            text: "x".repeat(301),
        },
        now_ms,
    );
    assert!(matches!(words, Unsound::Remedy(BadRemedy::TooLong { .. })));
    assert_eq!(put_right(nuts(&[1, 1]), i64::MAX), Unsound::NoTime);
}

#[test]
fn texts_too_long_to_show_and_marks_that_can_not_be_drawn_are_refused() {
    assert_eq!(
        refusal(|records| records[1].by = "x".repeat(61)),
        Unsound::Name
    );
    assert_eq!(refusal(|records| records[1].by.clear()), Unsound::Name);
    let words = refusal(|records| photo(records).words = "å".repeat(2_001));
    let too_long = Unsound::TooLong {
        chars: 2_001,
        most: 2_000,
    };
    assert_eq!(words, too_long);
    let camera = refusal(|records| photo(records).taken_at = Some("2".repeat(41)));
    assert!(matches!(camera, Unsound::TooLong { most: 40, .. }));
    let code = |code: String| {
        refusal(|records| match &mut of_kind(records, "tag_adopted").body {
            Body::TagAdopted(tag) => tag.code = code,
            other => panic!("{other:?}"),
        })
    };
    assert!(matches!(
        code("x".repeat(501)),
        Unsound::TooLong { most: 500, .. }
    ));
    assert_eq!(code(" ".into()), Unsound::NoCode);
    let marks = refusal(|records| {
        photo(records).marks = vec![Mark::Circle {
            centre: Point { x: 7.0, y: 0.5 },
            radius: 0.1,
        }];
    });
    assert!(matches!(marks, Unsound::Marks(_)), "{marks}");
}

#[test]
fn words_with_a_photo_are_held_to_their_length_before_the_picture_is_looked_at() {
    let folder = tempfile::tempdir().unwrap();
    let mut device = create(&folder.path().join("device.lantern"), world(0, 1));
    let opened = OpenVisit {
        pump: pump(),
        running: RunningState::Running,
        found: HowFound::Scanned,
        round: None,
    };
    let visit = device.perform(opened).unwrap();
    let attached = device.perform(AttachPhoto {
        visit,
        check: None,
        picture: Vec::new(),
        marks: Vec::new(),
        words: "x".repeat(2_001),
    });
    let error = attached.unwrap_err();
    assert!(
        matches!(
            error,
            AppError::BadEntry(BadEntry::TooLong { most: 2_000, .. })
        ),
        "{error}"
    );
}
