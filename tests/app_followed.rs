//! Findings opened by hand, looked at again and closed; and what is said of those that entries opened.

mod app_support;

use app_support::{create, world};
use lantern_ring::{
    app::{
        App, AppError, Arrive, CloseFinding, CloseVisit, Enter, Import, Listed, MakeBundle,
        OpenFinding, PhotographFinding, Progress, SeeFinding, SetOperator, TakePlant,
    },
    check::Entered,
    judge::Verdict,
    plant::PumpId,
    record::{HowFound, Still},
};
use std::path::PathBuf;
use tempfile::TempDir;
use uuid::Uuid;

fn device(name: &str, seed: u64) -> (App, TempDir) {
    let folder = tempfile::tempdir().unwrap();
    let mut app = create(&folder.path().join("device.lantern"), world(0, seed));
    app.perform(SetOperator(name.to_owned())).unwrap();
    (app, folder)
}

fn pump() -> PumpId {
    "ST-104A".parse().unwrap()
}

fn found(severity: Verdict, words: &str) -> OpenFinding {
    OpenFinding {
        pump: pump(),
        visit: None,
        severity,
        words: words.to_owned(),
        cause: None,
    }
}

fn close(app: &mut App, finding: Uuid, made_good: &str) -> Result<(), AppError> {
    app.perform(CloseFinding {
        finding,
        made_good: made_good.to_owned(),
    })
}

#[test]
fn a_finding_by_hand_is_followed_until_what_made_it_good_is_said() {
    let (mut app, _folder) = device("Shift A", 1);
    let finding = app
        .perform(found(Verdict::Act, "Drain pipe rusted through."))
        .unwrap();
    app.perform(SeeFinding {
        finding,
        still: Still::Worse,
        words: "A hand's breadth now.".to_owned(),
    })
    .unwrap();
    let open = app.hand_findings(&pump(), true).unwrap();
    assert_eq!(open.len(), 1);
    assert_eq!(open[0].last_seen(), Some(Still::Worse));
    let refused = close(&mut app, finding, " ").unwrap_err();
    assert!(matches!(refused, AppError::BadReason { .. }), "{refused}");
    close(&mut app, finding, "Pipe renewed.").unwrap();
    assert!(app.hand_findings(&pump(), true).unwrap().is_empty());
    let all = app.hand_findings(&pump(), false).unwrap();
    assert_eq!(all[0].notes.last().unwrap().words, "Pipe renewed.");
}

#[test]
fn a_finding_needs_words_a_severity_and_a_pump() {
    let (mut app, _folder) = device("Shift A", 1);
    let refused = app
        .perform(found(Verdict::InLimits, "all well"))
        .unwrap_err();
    assert!(matches!(refused, AppError::NoSeverity), "{refused}");
    let refused = app.perform(found(Verdict::Watch, "")).unwrap_err();
    assert!(matches!(refused, AppError::BadReason { .. }), "{refused}");
    let nowhere = OpenFinding {
        pump: "XX-1".parse().unwrap(),
        ..found(Verdict::Watch, "words")
    };
    let refused = app.perform(nowhere).unwrap_err();
    assert!(matches!(refused, AppError::UnknownPump(_)), "{refused}");
    let refused = close(&mut app, Uuid::from_u128(1), "done").unwrap_err();
    assert!(matches!(refused, AppError::UnknownFinding(_)), "{refused}");
}

#[test]
fn a_finding_opened_by_an_entry_can_be_spoken_of_too() {
    let (mut app, _folder) = device("Shift A", 1);
    let visit = app
        .perform(Arrive {
            pump: pump(),
            found: HowFound::Scanned,
            round: None,
        })
        .unwrap();
    let taken = app
        .perform(Enter {
            visit,
            check: "leak_off@seal_de".parse().unwrap(),
            entered: Entered::Count {
                drops: 300,
                seconds: 60.0,
            },
        })
        .unwrap();
    let finding = app
        .store()
        .read()
        .entry(taken.record)
        .unwrap()
        .unwrap()
        .entry
        .finding
        .unwrap();
    app.perform(SeeFinding {
        finding,
        still: Still::Same,
        words: String::new(),
    })
    .unwrap();
    let notes = app.notes_of(finding).unwrap();
    assert_eq!((notes.len(), notes[0].still), (1, Some(Still::Same)));
    let refused = close(&mut app, finding, "eased").unwrap_err();
    assert!(matches!(refused, AppError::OpenedByEntry), "{refused}");
}

#[test]
fn two_people_closing_one_finding_close_it_once_on_each_device_and_both_are_kept() {
    let (mut a, folder_a) = device("Shift A", 1);
    let (mut b, folder_b) = device("Shift B", 2);
    let finding = a.perform(found(Verdict::Watch, "Guard rattles.")).unwrap();
    let carry = |from: &mut App, to: &mut App, path: PathBuf| {
        from.perform(MakeBundle {
            path: path.clone(),
            everything: true,
        })
        .unwrap();
        to.perform(Import {
            path,
            progress: Progress::default(),
        })
        .unwrap();
    };
    carry(&mut a, &mut b, folder_a.path().join("1.lrbundle"));
    close(&mut a, finding, "Bolt tightened.").unwrap();
    close(&mut a, finding, "Bolt tightened again.").unwrap();
    close(&mut b, finding, "Washer put in.").unwrap();
    carry(&mut b, &mut a, folder_b.path().join("2.lrbundle"));
    let all = a.hand_findings(&pump(), false).unwrap();
    let words: Vec<_> = all[0]
        .notes
        .iter()
        .map(|note| note.words.as_str())
        .collect();
    assert_eq!(
        words.len(),
        2,
        "the second closing on one device writes nothing: {words:?}"
    );
    assert!(words.contains(&"Bolt tightened.") && words.contains(&"Washer put in."));
    assert!(!all[0].is_open());
}

const EVERYTHING: Listed<'_> = Listed {
    pump: None,
    open_only: false,
    most: 100,
};

fn arrive(app: &mut App) -> Uuid {
    app.perform(Arrive {
        pump: pump(),
        found: HowFound::Scanned,
        round: None,
    })
    .unwrap()
}

/// A leak-off far over or well within the limits of ST-104A.
fn count(app: &mut App, visit: Uuid, drops: u32) -> Option<Uuid> {
    app.perform(Enter {
        visit,
        check: "leak_off@seal_de".parse().unwrap(),
        entered: Entered::Count {
            drops,
            seconds: 60.0,
        },
    })
    .unwrap()
    .finding
}

fn see(app: &mut App, finding: Uuid, still: Still) {
    app.perform(SeeFinding {
        finding,
        still,
        words: String::new(),
    })
    .unwrap();
}

#[test]
fn one_list_holds_what_entries_and_what_hands_have_opened() {
    let (mut app, _folder) = device("Shift A", 1);
    let visit = arrive(&mut app);
    let by_entry = count(&mut app, visit, 300).unwrap();
    let by_hand = app
        .perform(found(Verdict::Watch, "Guard rattles."))
        .unwrap();
    let listed = |app: &App, of: &Listed<'_>| -> Vec<Uuid> {
        let all = app.followed(of).unwrap();
        all.iter().map(|one| one.finding()).collect()
    };
    let mut all = listed(&app, &EVERYTHING);
    all.sort();
    let mut expected = vec![by_entry, by_hand];
    expected.sort();
    assert_eq!(all, expected);
    close(&mut app, by_hand, "Bolt tightened.").unwrap();
    let open = Listed {
        open_only: true,
        ..EVERYTHING
    };
    assert_eq!(listed(&app, &open), [by_entry]);
    // The first still falls faster than is allowed.
    count(&mut app, visit, 30);
    count(&mut app, visit, 30);
    assert!(
        listed(&app, &open).is_empty(),
        "the first good entry ends it"
    );
    assert_eq!(listed(&app, &EVERYTHING).len(), 2);
    let other: PumpId = "ST-106".parse().unwrap();
    let of_other = Listed {
        pump: Some(&other),
        ..EVERYTHING
    };
    assert!(listed(&app, &of_other).is_empty());
}

#[test]
fn the_next_visit_asks_first_about_what_is_open_until_something_is_said_of_it() {
    let (mut app, _folder) = device("Shift A", 1);
    let first = arrive(&mut app);
    let by_entry = count(&mut app, first, 300).unwrap();
    app.perform(CloseVisit { visit: first }).unwrap();
    let by_hand = app
        .perform(found(Verdict::Watch, "Guard rattles."))
        .unwrap();
    let visit = arrive(&mut app);
    assert_ne!(visit, first);
    let to_ask = |app: &App| -> Vec<Uuid> {
        let list = app.checklist(visit).unwrap();
        list.to_ask().map(|open| open.finding()).collect()
    };
    assert_eq!(to_ask(&app), [by_entry, by_hand], "the worst first");
    see(&mut app, by_hand, Still::Worse);
    assert_eq!(to_ask(&app), [by_entry]);
    count(&mut app, visit, 320);
    assert!(to_ask(&app).is_empty(), "the entry says how it stands");
    let list = app.checklist(visit).unwrap();
    assert_eq!(list.open_findings.len(), 2, "both are still so");
}

#[test]
fn a_finding_by_hand_keeps_its_likely_cause_and_its_photos() {
    let (mut app, _folder) = device("Shift A", 1);
    let finding = app
        .perform(OpenFinding {
            cause: Some("Vibration of the pipe.".to_owned()),
            ..found(Verdict::Watch, "Guard rattles.")
        })
        .unwrap();
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/photo/gps.jpg");
    let photograph = PhotographFinding {
        finding,
        picture: std::fs::read(path).unwrap(),
        marks: Vec::new(),
        words: "The guard's upper bolt.".to_owned(),
    };
    let refused = app.perform(photograph.clone()).unwrap_err();
    assert!(matches!(refused, AppError::NoVisitForPhoto(_)), "{refused}");
    arrive(&mut app);
    app.perform(photograph).unwrap();
    let of = app.finding(finding).unwrap();
    let cause = app.likely_cause(&of).unwrap();
    assert_eq!(cause.as_deref(), Some("Vibration of the pipe."));
    let photos = app.photos_of_finding(&of).unwrap();
    assert_eq!((of.photos, photos.len()), (1, 1));
    assert_eq!(photos[0].taken.words, "The guard's upper bolt.");
}

#[test]
fn a_finding_of_an_entry_shows_the_cause_that_fits_its_visit_best() {
    let (mut app, _folder) = device("Shift A", 1);
    let visit = arrive(&mut app);
    let finding = count(&mut app, visit, 300).unwrap();
    let of = app.finding(finding).unwrap();
    let fitting = app
        .evaluation(visit)
        .unwrap()
        .causes
        .unwrap()
        .diagnosis
        .fitting;
    let cause = app.likely_cause(&of).unwrap().unwrap();
    assert!(
        cause.starts_with(fitting[0].trouble.words.as_str()),
        "{cause}"
    );
}

#[test]
fn a_finding_of_one_common_sign_has_no_likely_cause_yet() {
    let (mut app, _folder) = device("Shift A", 1);
    let visit = arrive(&mut app);
    let hum = Enter {
        visit,
        check: "noise@pump".parse().unwrap(),
        entered: Entered::Choice {
            key: "hum".to_owned(),
        },
    };
    let finding = app.perform(hum).unwrap().finding.unwrap();
    let of = app.finding(finding).unwrap();
    assert_eq!(app.likely_cause(&of).unwrap(), None);
}

#[test]
fn a_finding_of_a_pump_that_has_left_the_plant_is_listed_and_can_be_closed() {
    let (mut app, _folder) = device("Shift A", 1);
    let visit = arrive(&mut app);
    let by_entry = count(&mut app, visit, 300).unwrap();
    let finding = app
        .perform(found(Verdict::Watch, "Guard rattles."))
        .unwrap();
    let mut plant = app.register().unwrap().plant().clone();
    plant.version += 1;
    plant.pumps.retain(|one| one.id != pump());
    for left in &mut plant.pumps {
        // Its standby pump stands alone now.
        left.spare.take_if(|spare| spare.group == "machine-chest");
    }
    plant.limits.retain(|limits| limits.pump != pump());
    for round in &mut plant.rounds {
        round.stops.retain(|stop| *stop != pump());
    }
    app.perform(TakePlant(plant)).unwrap();
    assert_eq!(app.followed(&EVERYTHING).unwrap().len(), 2);
    let of = app.finding(by_entry).unwrap();
    assert_eq!(app.likely_cause(&of).unwrap(), None);
    close(&mut app, finding, "Pump taken out.").unwrap();
    assert!(!app.finding(finding).unwrap().is_open());
}
