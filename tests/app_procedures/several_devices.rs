//! One run on several devices: what each did is kept, and both come to the same.

use crate::{
    procedure_support::bad_entry,
    shop::{A, B, Device, device, device_at, pump, step_id},
};
use lantern_ring::{
    app::{AppError, ProcedureRun},
    procedure::{Ending, What},
    record::Deed,
    store::DeedsOf,
};
use uuid::Uuid;

/// Both have all that either did.
fn meet(one: &mut Device, other: &mut Device, run: Uuid) -> ProcedureRun {
    one.send_to(other);
    other.send_to(one);
    let met = one.procedure_run(run);
    assert_eq!(met, other.procedure_run(run), "both come to the same");
    met
}

#[test]
fn a_run_is_gone_on_with_on_another_device_by_the_plan_it_began_with() {
    let mut one = device("Shift A", 1);
    let mut other = device("Shift B", 2);
    let run = one.begin("change_over", A, Some(B));
    one.walk_to(run, "throttle");
    one.send_to(&mut other);
    let there = other.app.runs_under_way().unwrap();
    assert_eq!(there, [one.procedure_run(run)]);
    other.walk_on(run);
    other.go_on(run, What::Finished).unwrap();
    other.send_to(&mut one);
    assert!(one.app.runs_under_way().unwrap().is_empty());
    assert!(one.procedure_run(run).aside.is_empty());
}

#[test]
fn a_device_whose_clock_is_days_behind_goes_on_in_its_place() {
    let mut one = device("Shift A", 1);
    let mut behind = device_at("Shift B", 2, -72);
    let run = one.begin("stop", A, None);
    one.walk_to(run, "stopped");
    one.send_to(&mut behind);
    behind.step_on(run);
    behind.walk_on(run);
    behind.go_on(run, What::Finished).unwrap();
    let met = meet(&mut one, &mut behind, run);
    assert!(met.aside.is_empty(), "{:?}", met.aside);
    assert!(matches!(met.run.ending(), Some(Ending::Finished(_))));
}

#[test]
fn two_devices_that_both_go_on_lose_nothing_and_come_to_the_same() {
    let mut one = device("Shift A", 1);
    let mut other = device("Shift B", 2);
    let run = one.begin("stop", A, None);
    one.step_on(run);
    one.send_to(&mut other);
    one.walk_to(run, "stopped");
    one.step_on(run);
    other.walk_to(run, "coasting");
    let met = meet(&mut one, &mut other, run);
    assert_eq!(step_id(&one, run), "coasting");
    assert!(!met.aside.is_empty());
    let went = |deed: &Deed| matches!(deed, Deed::ProcedureWent { .. });
    let deeds = one
        .app
        .store()
        .read()
        .deeds(DeedsOf::Subject(run), 1_000)
        .unwrap();
    let written = deeds.iter().filter(|row| went(&row.deed)).count();
    assert_eq!(met.run.passed().count() + met.aside.len(), written);
    let told = met.aside[0].why.to_string();
    assert!(told.contains("is to be done now, not step"), "{told}");
}

#[test]
fn a_run_broken_off_on_one_device_while_another_went_on_keeps_what_was_done_and_then_ends() {
    let mut one = device("Shift A", 1);
    let mut other = device("Shift B", 2);
    let run = one.begin("stop", A, None);
    one.send_to(&mut other);
    let reason = "alarm in the next area".to_owned();
    one.go_on(run, What::Aborted { reason }).unwrap();
    other.walk_to(run, "stopped");
    other.step_on(run);
    let met = meet(&mut one, &mut other, run);
    assert!(met.aside.is_empty());
    let done = met.run.passed().any(|(step, _)| step.id == "stopped");
    assert!(done, "that it was stopped is not lost");
    assert!(
        matches!(met.run.ending(), Some(Ending::Aborted { reason, .. }) if reason.contains("alarm"))
    );
}

#[test]
fn an_entry_that_stopped_the_run_on_one_device_is_told_where_another_had_gone_past_it() {
    let mut one = device("Shift A", 1);
    let mut other = device("Shift B", 2);
    let run = one.begin("stop", A, None);
    one.walk_to(run, "not-needed");
    one.send_to(&mut other);
    let no = bad_entry(&one.run(run)).unwrap();
    one.enter(run, no).unwrap();
    let (step, _) = other.run(run).step().unwrap();
    other.world.pass(60_000);
    let reason = "the control room has said so".to_owned();
    other
        .go_on(run, What::StepSkipped { step, reason })
        .unwrap();
    other.walk_on(run);
    let met = meet(&mut one, &mut other, run);
    assert!(met.run.step().is_none(), "what was done was done");
    assert_eq!(met.aside.len(), 1);
    assert!(met.aside[0].event.what.words().contains("entered"));
}

#[test]
fn a_wait_begun_on_one_device_is_ended_on_another() {
    let mut one = device("Shift A", 1);
    let mut other = device("Shift B", 2);
    let run = one.begin("stop", A, None);
    one.walk_to(run, "coasting");
    one.begin_wait(run);
    one.send_to(&mut other);
    other.world.pass(3_600_000);
    other.step_on(run);
    let met = meet(&mut one, &mut other, run);
    assert!(met.aside.is_empty());
    assert_eq!(step_id(&one, run), "at-rest");
}

#[test]
fn bundles_come_in_any_order_and_what_follows_from_a_missing_one_waits_for_it() {
    let mut one = device("Shift A", 1);
    let mut other = device("Shift B", 2);
    let mut planner = device("Planner", 3);
    let run = one.begin("stop", A, None);
    one.walk_to(run, "not-needed");
    one.send_to(&mut other);
    other.step_on(run);
    other.send_to(&mut planner);
    assert!(matches!(
        planner.app.procedure_run(run),
        Err(AppError::UnknownRun(_))
    ));
    assert!(planner.app.runs_under_way().unwrap().is_empty());
    one.send_to(&mut planner);
    let whole = planner.procedure_run(run);
    assert_eq!(whole, other.procedure_run(run));
    assert!(whole.aside.is_empty());
    assert_eq!(planner.app.runs_at(&pump(A), 5).unwrap(), [whole]);
}
