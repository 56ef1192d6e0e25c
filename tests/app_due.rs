//! Running hours from starts, stops and visits; which pump of a pair is ahead; what is due by them. How hours and
//! intervals are reckoned is tested in `remedy_hours.rs`; here stands that what was recorded reaches it.

mod app_support;

use app_support::{stamp, world};
use lantern_ring::{
    app::{App, AppError, DueNow, TurnPump},
    check::RunningState,
    plant::{GreaseProgramme, Place, Plant, PumpId},
    record::{Body, Deed, HowFound, VisitClosed, VisitOpened},
    remedy::{
        GreaseGiven, Remedy,
        due::Standing,
        hours::{Evening, Unknown},
    },
    store::Store,
    sys::{StillWorld, World, plant_folder},
};
use std::path::Path;
use uuid::Uuid;

const A: &str = "ST-104A";
const B: &str = "ST-104B";

fn pump(name: &str) -> PumpId {
    name.parse().unwrap()
}

/// The demo plant with one greasing programme, at the driver of pump A: every 1000 running hours or 100 days.
fn plant() -> Plant {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    let mut plant = plant_folder(&folder).unwrap();
    for pump in &mut plant.pumps {
        for bearing in &mut pump.bearings {
            let here = pump.id.as_str() == A && bearing.place == Place::DriverDe;
            bearing.grease = here.then(|| GreaseProgramme {
                grade: "Grease 2".to_owned(),
                grams: 20.0,
                per_stroke_grams: Some(2.0),
                per_turn_grams: None,
                every_running_hours: Some(1_000.0),
                every_days: Some(100.0),
            });
        }
    }
    plant
}

enum Did {
    Turned(&'static str, bool),
    Saw(&'static str, RunningState),
    Greased(Uuid),
}

/// The app `now_h` hours after the beginning, after these things were written down, each at its hour.
fn app(folder: &Path, done: Vec<(i64, Did)>, now_h: i64) -> App {
    let path = folder.join("s.lantern");
    let mut time: StillWorld = world(0, 1);
    drop(App::create(&path, plant(), Box::new(time.clone())).unwrap());
    let mut store = Store::open(&path).unwrap();
    let mut batch = store.write().unwrap();
    for (hour, did) in done {
        time.set_now(stamp(hour));
        let visit = time.new_id();
        let bodies = match did {
            Did::Turned(name, runs) => vec![Body::Done(Deed::PumpTurned {
                pump: pump(name),
                runs,
                turned_at: stamp(hour),
            })],
            Did::Saw(name, running) => vec![
                Body::VisitOpened(VisitOpened {
                    visit,
                    pump: pump(name),
                    running,
                    found: HowFound::Scanned,
                    round: None,
                }),
                Body::VisitClosed(VisitClosed { visit }),
            ],
            Did::Greased(remedy) => vec![Body::Done(Deed::Remedied {
                remedy,
                pump: pump(A),
                visit: None,
                finding: None,
                what: Remedy::Grease {
                    place: Place::DriverDe,
                    amount: GreaseGiven::Strokes { strokes: 10.0 },
                    grade: "Grease 2".to_owned(),
                },
                done_at: stamp(hour),
            })],
        };
        for body in bodies {
            batch.append(&mut time, "Shift A", body).unwrap();
        }
    }
    batch.commit().unwrap();
    drop(store);
    App::open(&path, Box::new(world(now_h, 2))).unwrap()
}

fn group<'d>(due: &'d DueNow, name: &str) -> &'d Evening {
    let group = due.groups.iter().find(|group| group.group == name);
    group.unwrap().evening.as_ref().unwrap()
}

#[test]
fn running_hours_are_those_between_start_and_stop() {
    let folder = tempfile::tempdir().unwrap();
    let done = vec![
        (0, Did::Turned(A, true)),
        (300, Did::Turned(A, false)),
        (340, Did::Turned(A, true)),
        (400, Did::Turned(A, false)),
    ];
    let mut app = app(folder.path(), done, 400);
    let hours = app.running_hours(&pump(A), 365).unwrap().unwrap();
    assert_eq!((hours.low_h, hours.high_h), (360.0, 360.0));
    // Of the last 5 days, hours 280 to 400.
    let hours = app.running_hours(&pump(A), 5).unwrap().unwrap();
    assert_eq!((hours.low_h, hours.high_h), (80.0, 80.0));
}

#[test]
fn a_start_can_be_written_down_later_but_not_before_it_was_made() {
    let folder = tempfile::tempdir().unwrap();
    let mut app = app(folder.path(), vec![(0, Did::Turned(A, false))], 100);
    let started = |hour| TurnPump {
        pump: pump(A),
        runs: true,
        turned_at: Some(stamp(hour)),
    };
    let refused = app.perform(started(101)).unwrap_err();
    assert!(matches!(refused, AppError::DoneLater), "{refused}");
    app.perform(started(40)).unwrap();
    app.perform(TurnPump {
        runs: false,
        turned_at: None,
        ..started(0)
    })
    .unwrap();
    let hours = app.running_hours(&pump(A), 365).unwrap().unwrap();
    assert_eq!((hours.low_h, hours.high_h), (60.0, 60.0));
    let unknown = app.perform(TurnPump {
        pump: pump("ST-999"),
        ..started(50)
    });
    assert!(
        matches!(unknown, Err(AppError::UnknownPump(_))),
        "{unknown:?}"
    );
}

#[test]
fn a_visit_says_what_the_pump_was_doing_and_what_is_not_known_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let done = vec![
        (0, Did::Saw(A, RunningState::Running)),
        (12, Did::Saw(A, RunningState::Running)),
        (24, Did::Saw(A, RunningState::Standby)),
    ];
    let mut app = app(folder.path(), done, 24);
    let hours = app.running_hours(&pump(A), 365).unwrap().unwrap();
    assert_eq!((hours.low_h, hours.high_h), (12.0, 24.0));
    assert_eq!(hours.gaps[0].why, Unknown::Changed);
    assert!(hours.words().starts_with("12 to 24 h"), "{}", hours.words());
}

#[test]
fn of_a_pump_nobody_saw_nothing_is_known() {
    let folder = tempfile::tempdir().unwrap();
    let mut app = app(folder.path(), Vec::new(), 24);
    let hours = app.running_hours(&pump(A), 1).unwrap().unwrap();
    assert_eq!((hours.low_h, hours.high_h), (0.0, 24.0));
}

#[test]
fn a_duty_pump_far_ahead_of_its_standby_is_to_be_changed_over() {
    let folder = tempfile::tempdir().unwrap();
    let done = vec![
        (0, Did::Turned(B, false)),
        (0, Did::Turned(A, true)),
        (480, Did::Saw(A, RunningState::Running)),
        (480, Did::Saw(B, RunningState::Standby)),
    ];
    let mut app = app(folder.path(), done, 480);
    let due = app.due().unwrap();
    let evening = group(&due, "machine-chest");
    let Evening::ChangeOver {
        from,
        to,
        ahead_low_h,
        ..
    } = evening
    else {
        panic!("{evening:?}");
    };
    assert_eq!((from.as_str(), to.as_str()), (A, B));
    assert_eq!(*ahead_low_h, 480.0);
    assert!(evening.words().ends_with("by your plant's procedure."));
}

#[test]
fn a_standby_out_of_service_is_not_changed_over_to() {
    let folder = tempfile::tempdir().unwrap();
    let done = vec![
        (0, Did::Turned(B, false)),
        (0, Did::Turned(A, true)),
        (480, Did::Saw(A, RunningState::Running)),
        (480, Did::Saw(B, RunningState::OutOfService)),
    ];
    let mut app = app(folder.path(), done, 480);
    let due = app.due().unwrap();
    assert_eq!(group(&due, "machine-chest"), &Evening::Leave);
}

#[test]
fn greasing_is_due_by_running_hours_or_by_the_calendar_whichever_is_up_first() {
    let folder = tempfile::tempdir().unwrap();
    let done = |greased_h| {
        vec![
            (0, Did::Turned(A, true)),
            (greased_h, Did::Greased(Uuid::from_u128(1))),
            (1_150, Did::Saw(A, RunningState::Running)),
        ]
    };
    // 1150 hours are 48 days: by hours it is overdue, by the calendar it is not.
    let mut late = app(folder.path(), done(0), 1_150);
    let due = late.due().unwrap();
    assert_eq!(due.jobs.len(), 1, "{due:?}");
    let job = due.jobs[0].due.as_ref().unwrap();
    assert_eq!(job.standing, Standing::Overdue);
    let words = due.jobs[0].words();
    assert!(
        words.starts_with("Grease, Driver DE: overdue by 150 running hours (every 1000)"),
        "{words}"
    );
    let folder = tempfile::tempdir().unwrap();
    let mut early = app(folder.path(), done(1_000), 1_150);
    let due = early.due().unwrap();
    let standing = due.jobs[0].due.as_ref().unwrap().standing;
    assert_eq!(standing, Standing::NotYet);
}

#[test]
fn of_a_pair_nobody_saw_it_is_not_said_that_its_hours_are_even() {
    let folder = tempfile::tempdir().unwrap();
    let mut unseen = app(folder.path(), Vec::new(), 10);
    let due = unseen.due().unwrap();
    let group = due
        .groups
        .iter()
        .find(|group| group.group == "machine-chest")
        .unwrap();
    assert_eq!(group.unseen, [pump(A), pump(B)]);
    assert_eq!(group.hours()[0], "ST-104A was not seen yet");
    assert!(
        group.words().starts_with("Too little is known"),
        "{}",
        group.words()
    );
}

#[test]
fn a_bearing_nobody_greased_yet_is_told_as_such() {
    let folder = tempfile::tempdir().unwrap();
    let mut app = app(folder.path(), Vec::new(), 10);
    let due = app.due().unwrap();
    let job = due.jobs[0].due.as_ref().unwrap();
    assert_eq!(job.standing, Standing::NeverDone);
    assert_eq!(due.jobs[0].pump, pump(A));
}

#[test]
fn what_lies_far_back_is_not_read_and_counts_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    // Started two years ago and never stopped: it still runs.
    let mut app = app(folder.path(), vec![(0, Did::Turned(A, true))], 17_520);
    let hours = app.running_hours(&pump(A), 30).unwrap().unwrap();
    assert_eq!(hours.high_h, 720.0);
    assert_eq!(hours.likely_h, 720.0, "as it was entered last");
}
