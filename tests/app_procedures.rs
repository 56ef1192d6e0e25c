//! Procedures begun, gone on with, killed and taken up again, broken off; on one device and on two that meet.

mod app_support;
#[path = "app_procedures/bad_input.rs"]
mod bad_input;
mod procedure_support;
#[path = "app_procedures/several_devices.rs"]
mod several_devices;
#[path = "app_procedures/shop.rs"]
mod shop;

use lantern_ring::{
    app::{AppError, BeginProcedure, GoOn, NotHere},
    check::{Entered, RunningState},
    plant::{Unit, Verdict},
    procedure::{Asks, Ending, How, Refused, What},
    record::{Deed, HowFound},
    store::DeedsOf,
};
use shop::{A, B, Device, device, pump, step_id};

#[test]
fn a_pumps_procedures_say_what_each_needs_and_why_others_are_not_for_it() {
    let d = device("Shift A", 1);
    let offers = d.app.procedures_for(&pump(A)).unwrap();
    let of = |id: &str| &offers.iter().find(|one| one.procedure == id).unwrap().fits;
    let change_over = of("change_over").as_ref().unwrap();
    assert_eq!(change_over.partners, [pump(B)]);
    assert!(change_over.permissions >= 3 && change_over.waits_s >= 240);
    assert!(of("start").as_ref().unwrap().partners.is_empty());
    let flooded = of("prime_flooded").as_ref().unwrap_err();
    assert_eq!(
        flooded.to_string(),
        "it is for pumps primed by flooded suction"
    );
    assert!(
        offers.iter().all(|one| one.procedure != "start_up"),
        "a part is never begun by itself"
    );
    let fit = offers.iter().take_while(|one| one.fits.is_ok()).count();
    assert!(offers[fit..].iter().all(|one| one.fits.is_err()));

    let alone = d.app.procedures_for(&pump("RW-110")).unwrap();
    let change_over = alone.iter().find(|one| one.procedure == "change_over");
    assert_eq!(change_over.unwrap().fits, Err(NotHere::NoStandIn));
}

#[test]
fn a_change_over_that_holds_is_recorded_step_by_step_and_turns_both_pumps_once() {
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    d.walk_on(run);
    d.go_on(run, What::Finished).unwrap();
    let after = d.app.procedure_run(run).unwrap();
    assert!(matches!(after.run.ending(), Some(Ending::Finished(_))));
    assert!(after.aside.is_empty());
    let permitted = after
        .run
        .passed()
        .filter(|(_, passed)| matches!(passed.how, How::Permitted { .. }));
    assert!(permitted.count() >= 3);

    let turned = |id: &str| -> Vec<bool> {
        let deeds = d.app.store().read().deeds(DeedsOf::Pump(&pump(id)), 1_000);
        let deeds = deeds.unwrap().into_iter();
        deeds
            .filter_map(|row| match row.deed {
                Deed::PumpTurned { runs, .. } => Some(runs),
                _ => None,
            })
            .collect()
    };
    assert_eq!((turned(A), turned(B)), (vec![false], vec![true]));
    assert_eq!(
        d.app.likely_running(&pump(A)).unwrap(),
        RunningState::Standby
    );
    assert_eq!(
        d.app.likely_running(&pump(B)).unwrap(),
        RunningState::Running
    );
    assert!(d.app.runs_under_way().unwrap().is_empty());
    let of_partner = d.app.runs_at(&pump(B), 10).unwrap();
    assert_eq!(of_partner.len(), 1, "the partner's history has it too");
}

#[test]
fn a_proof_is_judged_beside_what_was_noted_and_a_drop_stops_the_run_before_the_old_pump_is_stopped()
{
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    d.walk_to(run, "held");
    let low = d.bad_entry(run);
    let went = d.enter(run, low).unwrap();
    let stopped = went.run.run.now(0).unwrap().stopped.unwrap();
    assert!(stopped.otherwise.contains("keep the old pump running"));
    let next = What::StepSkipped {
        step: went.run.run.step().unwrap().0,
        reason: "near enough".to_owned(),
    };
    assert!(matches!(
        d.go_on(run, next),
        Err(AppError::Procedure(Refused::HasStopped { .. }))
    ));
    let reason = "Pressure fell, A runs on, B stopped by its procedure".to_owned();
    d.go_on(run, What::Aborted { reason }).unwrap();
    let left = d.app.procedure_run(run).unwrap();
    assert_eq!(left.run.tries().len(), 1);
    assert!(
        left.run
            .left()
            .iter()
            .any(|step| step.id == "stop-this/stopped")
    );
    let deeds = d.app.store().read().deeds(DeedsOf::Pump(&pump(A)), 1_000);
    let turned = |deed: &Deed| matches!(deed, Deed::PumpTurned { .. });
    assert!(!deeds.unwrap().iter().any(|row| turned(&row.deed)));
}

#[test]
fn what_is_entered_at_a_step_stands_among_the_pumps_own_entries() {
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    d.walk_to(run, "pressure-before");
    let went = d.enter(run, bar(2.3)).unwrap();
    let entry = went.entry.expect("it stands at the pump");
    let row = d.app.store().read().entry(entry.record).unwrap().unwrap();
    assert_eq!(row.entry.pump, pump(A));
    assert_eq!(row.entry.check.to_string(), "discharge_pressure@discharge");
    assert_eq!(row.entry.running, Some(RunningState::Running));
    assert!(
        row.entry.limits.is_some(),
        "judged by the pump's own limits"
    );
    d.walk_to(run, "held");
    d.step_on(run);
    let check = "discharge_pressure@discharge".parse().unwrap();
    let of_b = d.app.store().read().history(&pump(B), check, 5).unwrap();
    assert_eq!(of_b.len(), 1);
    assert_eq!(of_b[0].entry.running, Some(RunningState::Running));
}

#[test]
fn an_answer_or_a_valve_makes_no_entry_of_the_pump() {
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    d.walk_to(run, "which-runs");
    let yes = Entered::Choice {
        key: "yes".to_owned(),
    };
    assert_eq!(d.enter(run, yes).unwrap().entry, None);
}

#[test]
fn a_start_goes_on_in_the_visit_it_was_opened_from_and_leaves_it_open() {
    let mut d = device("Shift A", 1);
    let visit = d.arrive(A, HowFound::Scanned);
    let run = d.begin("start", A, None);
    d.walk_on(run);
    d.go_on(run, What::Finished).unwrap();
    let visits = d.app.store().read().visits_to(&pump(A), 10).unwrap();
    assert_eq!(visits.len(), 1);
    assert_eq!(visits[0].visit, visit);
    assert_eq!(visits[0].closed, None);
    assert_eq!(visits[0].running, RunningState::Running);
    assert!(visits[0].entries > 5);
}

#[test]
fn visits_opened_for_a_run_are_closed_when_it_ends() {
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    d.walk_to(run, "settling");
    let open = |d: &Device, id: &str| {
        let visits = d.app.store().read().visits_to(&pump(id), 10).unwrap();
        visits.iter().filter(|visit| visit.closed.is_none()).count()
    };
    assert_eq!((open(&d, A), open(&d, B)), (1, 1));
    let reason = "called away".to_owned();
    d.go_on(run, What::Aborted { reason }).unwrap();
    assert_eq!((open(&d, A), open(&d, B)), (0, 0));
}

#[test]
fn an_entry_out_of_limits_at_a_step_opens_a_finding_like_any_other() {
    let mut d = device("Shift A", 1);
    let run = d.begin("start", "RW-101A", None);
    d.walk_to(run, "up/suction-level");
    let went = d.enter(run, Entered::Level { percent: 10.0 }).unwrap();
    assert!(went.run.run.stopped().is_some());
    let entry = went.entry.unwrap();
    assert_eq!(entry.judgement.verdict, Verdict::Act);
    assert!(entry.finding.is_some());
}

#[test]
fn a_killed_app_comes_back_to_the_same_step_also_within_a_wait() {
    let mut d = device("Shift A", 1);
    let run = d.begin("start", A, None);
    d.walk_to(run, "up/settling");
    for _ in 0..2 {
        let before = d.app.procedure_run(run).unwrap();
        d.kill_and_reopen();
        assert_eq!(d.app.procedure_run(run).unwrap(), before);
        let under_way = d.app.runs_under_way().unwrap();
        assert_eq!(under_way, std::slice::from_ref(&before));
        if matches!(before.run.now(0).unwrap().asks, Asks::BeginWait(_)) {
            d.begin_wait(run);
        }
    }
    d.walk_on(run);
    d.go_on(run, What::Finished).unwrap();
}

#[test]
fn somebody_else_goes_on_and_each_step_is_signed_by_who_did_it() {
    let mut d = device("Shift A", 1);
    let run = d.begin("stop", A, None);
    d.step_on(run);
    d.sign_as("Shift B");
    d.step_on(run);
    let after = d.app.procedure_run(run).unwrap();
    let by: Vec<_> = after
        .run
        .passed()
        .map(|(_, one)| one.signed.by.clone())
        .collect();
    assert_eq!(by, ["Shift A", "Shift B"]);
    assert_eq!(
        (after.begun_by.as_str(), after.last_by.as_str()),
        ("Shift A", "Shift B")
    );
}

#[test]
fn one_run_at_a_time_at_a_pump_also_where_it_stands_in() {
    let mut d = device("Shift A", 1);
    let run = d.begin("change_over", A, Some(B));
    let second = BeginProcedure {
        procedure: "stop".to_owned(),
        pump: pump(B),
        partner: None,
    };
    let refused = d.app.perform(second.clone()).unwrap_err();
    assert!(matches!(&refused, AppError::UnderWay { by, .. } if by == "Shift A"));
    assert!(refused.to_string().contains("break it off"), "{refused}");
    let reason = "not needed".to_owned();
    d.go_on(run, What::Aborted { reason }).unwrap();
    d.app.perform(second).unwrap();
}

#[test]
fn a_refused_step_leaves_nothing_behind() {
    let mut d = device("Shift A", 1);
    let run = d.begin("start", A, None);
    let count = |d: &Device| {
        d.app
            .store()
            .read()
            .records_of(d.app.store().origin(), 1, u32::MAX)
            .unwrap()
            .len()
    };
    let before = count(&d);
    let finished = d.go_on(run, What::Finished).unwrap_err();
    assert!(
        finished.to_string().contains("steps are left"),
        "{finished}"
    );
    let wrong = What::StepDone {
        step: 7,
        entered: None,
    };
    d.go_on(run, wrong).unwrap_err();
    assert_eq!(count(&d), before);
    assert_eq!(step_id(&d, run), "up/rules");
    let other = GoOn {
        run: uuid::Uuid::from_u128(7),
        what: What::Finished,
    };
    assert!(matches!(d.app.perform(other), Err(AppError::UnknownRun(_))));
}

fn bar(value: f64) -> Entered {
    Entered::Number {
        value,
        unit: Unit::Bar,
    }
}
