//! Findings opened by hand, looked at again and closed; and what is said of those that entries opened.

mod app_support;

use app_support::{create, world};
use lantern_ring::{
    app::{
        App, AppError, Arrive, CloseFinding, Enter, Import, MakeBundle, OpenFinding, Progress,
        SeeFinding, SetOperator,
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
