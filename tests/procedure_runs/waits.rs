//! Waits: by deadline, whatever the device's clock and battery do.

use super::{change_over, number_of, refusal, skipped};
use crate::procedure_support::{begun, event, walked_to};
use lantern_ring::procedure::{Asks, How, Refused, What};

#[test]
fn a_wait_runs_while_the_device_sleeps_and_ends_at_its_deadline() {
    let run = walked_to(begun(&change_over()), "settling");
    let step = number_of(&run);
    let done = || What::StepDone {
        step,
        entered: None,
    };
    assert_eq!(run.now(0).expect("now").asks, Asks::BeginWait(120));
    assert_eq!(refusal(&run, 0, done()), Refused::WaitNotBegun(step));

    let begun_at = 1_000_000;
    let deadline_ms = begun_at + 120_000;
    let run = run
        .take(event(begun_at, What::WaitBegun { step, deadline_ms }))
        .expect("begun");
    assert_eq!(
        run.now(begun_at).expect("now").asks,
        Asks::Wait(deadline_ms)
    );
    assert_eq!(
        refusal(&run, deadline_ms - 1_500, done()),
        Refused::StillWaiting { step, left_s: 2 }
    );
    // Nothing happened in between: the device slept. An hour later the wait has long been over.
    let run = run.take(event(begun_at + 3_600_000, done())).expect("over");
    let how = &run.passed().last().expect("passed").1.how;
    assert_eq!(*how, How::Waited { begun_ms: begun_at });
}

#[test]
fn a_deadline_before_its_time_is_not_taken_and_a_later_one_is() {
    let run = walked_to(begun(&change_over()), "settling");
    let step = number_of(&run);
    for (deadline_ms, taken) in [(0, 120_000), (i64::MIN, 120_000), (500_000, 500_000)] {
        let run = run
            .take(event(0, What::WaitBegun { step, deadline_ms }))
            .expect("begun");
        assert_eq!(run.now(0).expect("now").asks, Asks::Wait(taken));
    }
}

#[test]
fn a_clock_set_back_does_not_end_a_wait_early() {
    let run = walked_to(begun(&change_over()), "settling");
    let step = number_of(&run);
    let done = || What::StepDone {
        step,
        entered: None,
    };
    let begin = || What::WaitBegun {
        step,
        deadline_ms: 0,
    };
    let run = run.take(event(10_000_000, begin())).expect("begun");
    assert_eq!(
        refusal(&run, 10_060_000, begin()),
        Refused::WaitBegunAlready(step)
    );

    let set_back = 6_400_000;
    assert_eq!(refusal(&run, set_back, done()), Refused::ClockSetBack(step));
    assert_eq!(
        run.now(set_back).expect("now").may_be_done,
        Err(Refused::ClockSetBack(step))
    );
    let run = run.take(event(set_back, begin())).expect("begun anew");
    assert_eq!(
        refusal(&run, set_back + 119_000, done()),
        Refused::StillWaiting { step, left_s: 1 }
    );
    assert!(run.take(event(set_back + 120_000, done())).is_ok());
}

#[test]
fn a_wait_ends_early_only_with_a_reason() {
    let run = walked_to(begun(&change_over()), "settling");
    let step = number_of(&run);
    let end = |reason: &str| What::WaitEnded {
        step,
        reason: reason.to_owned(),
    };
    assert_eq!(refusal(&run, 0, end("steady")), Refused::WaitNotBegun(step));
    let run = run
        .take(event(
            0,
            What::WaitBegun {
                step,
                deadline_ms: 0,
            },
        ))
        .expect("begun");
    assert_eq!(
        refusal(&run, 0, skipped(step, "steady")),
        Refused::WaitBegunAlready(step)
    );
    assert_eq!(refusal(&run, 0, end(" ")), Refused::NoReason);
    let run = run
        .take(event(60_000, end("steady for a minute")))
        .expect("ended");
    let reason = "steady for a minute".to_owned();
    let how = How::WaitEnded {
        begun_ms: 0,
        reason,
    };
    assert_eq!(run.passed().last().expect("passed").1.how, how);
}
