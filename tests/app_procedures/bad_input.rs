//! What must not throw a run off: clocks, sleeping devices, a plant that changed, names that are none.

use crate::shop::{A, B, device, pump, step_id};
use lantern_ring::{
    app::{App, AppError, BeginProcedure, TakePlant},
    check::Entered,
    plant::Unit,
    procedure::{Asks, CannotBegin, Refused, What},
};

const HOUR_MS: i64 = 3_600_000;

#[test]
fn a_clock_set_back_in_a_wait_is_told_and_the_wait_begun_anew() {
    let mut d = device("Shift A", 1);
    let run = d.begin("start", A, None);
    d.walk_to(run, "up/settling");
    d.begin_wait(run);
    let (step, _) = d.run(run).step().unwrap();
    d.world.pass(-2 * HOUR_MS);
    let done = What::StepDone {
        step,
        entered: None,
    };
    let refused = d.go_on(run, done).unwrap_err();
    assert!(
        matches!(refused, AppError::Procedure(Refused::ClockSetBack(_))),
        "{refused}"
    );
    d.begin_wait(run);
    d.step_on(run);
    assert_ne!(step_id(&d, run), "up/settling");
    assert!(d.procedure_run(run).aside.is_empty());
}

#[test]
fn steps_keep_their_order_when_the_clock_is_set_back_between_them() {
    let mut d = device("Shift A", 1);
    let run = d.begin("stop", A, None);
    d.step_on(run);
    d.world.pass(-24 * HOUR_MS);
    d.step_on(run);
    d.world.pass(48 * HOUR_MS);
    d.step_on(run);
    let after = d.procedure_run(run);
    assert_eq!(after.run.passed().count(), 3);
    assert!(after.aside.is_empty());
}

#[test]
fn a_wait_is_over_when_the_device_wakes_and_not_a_second_before() {
    let mut d = device("Shift A", 1);
    let run = d.begin("start", A, None);
    d.walk_to(run, "up/settling");
    d.begin_wait(run);
    let begun_ms = d.app.now().utc_ms;
    let Asks::Wait(deadline_ms) = d.run(run).now(begun_ms).unwrap().asks else {
        panic!("no wait");
    };
    assert_eq!(
        deadline_ms - begun_ms,
        120_000,
        "two minutes, by the procedure's text"
    );
    let may = |at_ms| d.run(run).now(at_ms).unwrap().may_be_done;
    assert!(matches!(
        may(deadline_ms - 1),
        Err(Refused::StillWaiting { left_s: 1, .. })
    ));
    assert_eq!(may(deadline_ms), Ok(()));
    // Asleep, and the app killed meanwhile.
    d.world.pass(8 * HOUR_MS);
    d.kill_and_reopen();
    d.step_on(run);
    assert_ne!(step_id(&d, run), "up/settling");
}

#[test]
fn permission_without_a_name_is_refused_and_the_run_waits() {
    let mut d = device("Shift A", 1);
    let run = d.begin("start", A, None);
    d.walk_to(run, "up/permission");
    let (step, _) = d.run(run).step().unwrap();
    for given_by in ["", "  ", "?!"] {
        let given_by = given_by.to_owned();
        let refused = d
            .go_on(run, What::PermissionGiven { step, given_by })
            .unwrap_err();
        assert!(matches!(
            refused,
            AppError::Procedure(Refused::NobodyPermitted)
        ));
    }
    assert_eq!(step_id(&d, run), "up/permission");
}

#[test]
fn a_missing_limit_is_told_at_the_step_and_the_reading_stands_unjudged() {
    let mut d = device("Shift A", 1);
    let mut plant = d.app.register().unwrap().plant().clone();
    plant.version += 1;
    plant
        .limits
        .retain(|one| one.check.to_string() != "motor_current@driver");
    d.app.perform(TakePlant(plant)).unwrap();
    let run = d.begin("start", A, None);
    d.walk_to(run, "current:motor_current@driver");
    let note = d.run(run).now(0).unwrap().note.unwrap();
    assert!(note.contains("No limits are set"), "{note}");
    let went = d
        .enter(
            run,
            Entered::Number {
                value: 100.0,
                unit: Unit::Ampere,
            },
        )
        .unwrap();
    assert!(went.run.run.stopped().is_none());
    assert_eq!(went.run.run.unjudged().count(), 1);
    assert!(went.entry.unwrap().finding.is_none());
}

#[test]
fn a_run_goes_on_though_its_procedure_is_changed_under_way() {
    let mut d = device("Shift A", 1);
    let run = d.begin("stop", A, None);
    d.step_on(run);
    let before = d.procedure_run(run);
    let mut plant = d.app.register().unwrap().plant().clone();
    plant.version += 1;
    plant
        .procedures
        .retain(|one| one.id != "stop" && one.id != "change_over");
    d.app.perform(TakePlant(plant)).unwrap();
    assert_eq!(d.procedure_run(run), before);
    d.walk_on(run);
    d.go_on(run, What::Finished).unwrap();
    let anew = BeginProcedure {
        procedure: "stop".to_owned(),
        pump: pump(A),
        partner: None,
    };
    assert!(matches!(
        d.app.perform(anew),
        Err(AppError::UnknownProcedure(_))
    ));
}

#[test]
fn a_run_goes_on_though_its_pump_leaves_the_register_and_its_entries_stay_with_the_run() {
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    d.walk_to(run, "start-other/started");
    let mut plant = d.app.register().unwrap().plant().clone();
    plant.version += 1;
    plant.pumps.retain(|one| one.id != pump(B));
    plant.limits.retain(|one| one.pump != pump(B));
    for left in plant.pumps.iter_mut().filter(|one| one.id == pump(A)) {
        left.spare = None;
    }
    for round in &mut plant.rounds {
        round.stops.retain(|stop| *stop != pump(B));
    }
    d.app.perform(TakePlant(plant)).unwrap();
    d.walk_to(run, "held");
    let (step, _) = d.run(run).step().unwrap();
    let entered = Some(crate::procedure_support::good_entry(&d.run(run)));
    let went = d.go_on(run, What::StepDone { step, entered }).unwrap();
    assert_eq!(went.entry, None);
    assert!(went.run.run.stopped().is_none());
    d.walk_on(run);
    d.go_on(run, What::Finished).unwrap();
    let gone = BeginProcedure {
        procedure: "start".to_owned(),
        pump: pump(B),
        partner: None,
    };
    assert!(matches!(
        d.app.perform(gone),
        Err(AppError::CannotBegin(CannotBegin::NoPump(_)))
    ));
}

#[test]
fn a_plant_sent_before_there_were_procedures_is_read_and_has_none() {
    let mut d = device("Shift A", 1);
    let mut plant = d.app.register().unwrap().plant().clone();
    plant.version += 1;
    plant.procedures.clear();
    let json = String::from_utf8(plant.to_json().unwrap()).unwrap();
    assert!(
        !json.contains("procedures"),
        "the bytes are those of before"
    );
    let read = lantern_ring::plant::Plant::from_json(json.as_bytes()).unwrap();
    d.app.perform(TakePlant(read)).unwrap();
    assert!(d.app.procedures_for(&pump(A)).unwrap().is_empty());
    let path = d.folder.path().join("device.lantern");
    drop(d.app);
    let app = App::open(&path, Box::new(d.world.clone())).unwrap();
    assert!(app.procedures_for(&pump(A)).unwrap().is_empty());
}
