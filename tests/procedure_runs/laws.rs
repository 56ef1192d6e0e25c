//! Laws of a run, whatever is tried.

use super::{change_over, entered, skipped};
use crate::procedure_support::{bad_entry, clock_after, event, good};
use lantern_ring::procedure::{Event, How, Plan, Run, Task, What};
use proptest::prelude::*;
use std::sync::Arc;

/// What an operator might do next, for better and for worse.
fn deed(run: &Run, which: u8) -> Vec<What> {
    let Some((step, _)) = run.step() else {
        return vec![What::Finished];
    };
    let text = |words: &str| words.to_owned();
    match which {
        0 => vec![skipped(step, " ")],
        1 => vec![skipped(step, "no time")],
        2 => bad_entry(run)
            .map(|bad| entered(step, bad))
            .into_iter()
            .collect(),
        3 => vec![What::PermissionGiven {
            step,
            given_by: text(" "),
        }],
        4 => vec![What::StepDone {
            step,
            entered: None,
        }],
        5 => vec![What::StepDone {
            step: step + 1,
            entered: None,
        }],
        6 => vec![What::WaitBegun {
            step,
            deadline_ms: i64::MIN,
        }],
        7 => vec![What::WaitEnded {
            step,
            reason: text(""),
        }],
        8 => vec![What::WaitEnded {
            step,
            reason: text("steady"),
        }],
        9 => vec![What::Finished],
        10 => vec![What::PermissionGiven {
            step,
            given_by: text("Supervisor"),
        }],
        _ => good(run),
    }
}

/// What must be true of a run whatever was done.
fn is_sound(run: &Run) -> Result<(), TestCaseError> {
    let mut before = None;
    let mut held = false;
    for (step, passed) in run.passed() {
        match (&step.task, &passed.how) {
            (_, How::Skipped { reason } | How::WaitEnded { reason, .. }) => {
                prop_assert!(!step.must && !reason.trim().is_empty());
            }
            (Task::Hold, How::Permitted { given_by }) => {
                prop_assert!(!given_by.trim().is_empty());
            }
            (Task::Wait { seconds }, How::Waited { begun_ms }) => {
                prop_assert!(passed.signed.at_ms - begun_ms >= i64::from(*seconds) * 1_000);
            }
            (Task::Do | Task::Warn, How::Done) => {}
            (
                Task::Enter { .. } | Task::Valve { .. } | Task::Prove { .. },
                How::Entered { entered, judged },
            ) => {
                prop_assert!(judged.holds);
                let bar = entered.measured().map(|(value, _)| value);
                match step.id.as_str() {
                    "pressure-before" => before = bar,
                    "held" => held = bar >= before.map(|before| before * 0.95 - 1e-9),
                    _ => {}
                }
            }
            other => prop_assert!(false, "{other:?}"),
        }
        prop_assert!(
            held || !step.id.starts_with("stop-this/"),
            "stopped unproved"
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is tried: replaying gives the live run, nothing is skipped without a reason, no hold passes without a
    /// name, and the old pump is not stopped before the proof held.
    #[test]
    fn a_run_stays_sound_whatever_is_tried(deeds in prop::collection::vec(0_u8..40, 0..220), killed in 0_usize..220) {
        let plan = change_over();
        let mut run = Run::of(Arc::clone(&plan)).expect("plan");
        let start = event(0, What::Started { plan: run.plan_sha256().to_owned() });
        let mut events: Vec<Event> = vec![start.clone()];
        run = run.take(start).expect("begun");
        for (turn, which) in deeds.into_iter().enumerate() {
            for what in deed(&run, which) {
                let event = event(clock_after(&run), what);
                if let Ok(next) = run.take(event.clone()) {
                    events.push(event);
                    run = next;
                }
            }
            is_sound(&run)?;
            if turn == killed {
                run = Run::replay(Arc::clone(&plan), events.clone()).expect("replayed");
            }
        }
        let json = serde_json::to_string(&events).expect("JSON");
        let read: Vec<Event> = serde_json::from_str(&json).expect("events");
        let kept = Plan::from_json(&plan.to_json().expect("JSON")).expect("plan");
        let again = Run::replay(Arc::new(kept), read).expect("replayed");
        prop_assert_eq!(again.now(0), run.now(0));
        prop_assert_eq!(again, run);
    }
}
