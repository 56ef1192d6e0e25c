//! Why something can't be done in a run now, and what to do instead.

use super::{BadPlan, MAX_NAME_CHARS};
use crate::{check::BadEntry, say};

/// Something that can't be done in a run now. The run stays as it was.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refused {
    /// Nothing was begun yet.
    #[error("{}", say!("this procedure has not been begun; begin it first"))]
    NotBegun,
    /// Begun before.
    #[error("{}", say!("this procedure has been begun already; go on with it"))]
    BegunAlready,
    /// Begun by another text.
    #[error("{}", say!("this run was begun by another text of the procedure ({begun}) than the one at hand ({here}); open it with the text it was begun by, or abort it and begin anew", begun, here))]
    OtherText {
        /// SHA-256 the run began by.
        begun: String,
        /// SHA-256 of the plan at hand.
        here: String,
    },
    /// Finished or aborted.
    #[error("{}", say!("this run has ended; begin the procedure anew"))]
    Ended,
    /// Another step is to be done now.
    #[error("{}", say!("step {now} is to be done now, not step {given}; do, enter or skip step {now} first", now, given))]
    NotThisStep {
        /// The step that is to be done now.
        now: usize,
        /// The step given.
        given: usize,
    },
    /// Every step is done.
    #[error("{}", say!("every step is done; finish the procedure"))]
    NoStepLeft,
    /// Steps are left.
    #[error("{}", say!("{left} of {of} steps are left; do or skip them, or abort with a reason", left, of))]
    StepsLeft {
        /// Steps left.
        left: usize,
        /// All steps.
        of: usize,
    },
    /// Nobody did it.
    #[error("{}", say!("nobody is named as doing this; say who works here"))]
    NobodyNamed,
    /// Permission without a name.
    #[error("{}", say!("say who gave the permission; without a name it is none, and the procedure waits here"))]
    NobodyPermitted,
    /// A name too long to be one.
    #[error("{}", say!("the name has {chars} characters and {most} fit; shorten it", chars = _0, most = MAX_NAME_CHARS))]
    NameTooLong(usize),
    /// A step needs permission.
    #[error("{}", say!("step {step} waits for permission; ask for it and say who gave it, or abort", step = _0))]
    NeedsPermission(usize),
    /// A step that needs none.
    #[error("{}", say!("step {step} asks for no permission; look at what it asks for", step = _0))]
    NoHold(usize),
    /// Something must be entered.
    #[error("{}", say!("step {step} asks for an entry; enter what you find, or skip it with a reason", step = _0))]
    NeedsEntry(usize),
    /// Nothing is entered here.
    #[error("{}", say!("nothing is entered at step {step}; say that it is done, or skip it with a reason", step = _0))]
    NothingToEnter(usize),
    /// Not checked is no entry.
    #[error("{}", say!("step {step} was not checked: that is a skip, with its reason; skip it or enter what you find", step = _0))]
    NotCheckedIsASkip(usize),
    /// What was entered can't be taken.
    #[error("{}", say!("step {step}: {why}", step, why))]
    BadEntry {
        /// The step.
        step: usize,
        /// Why.
        why: BadEntry,
    },
    /// An answer that is none of those asked for.
    #[error("{}", say!("'{given}' is no answer to step {step}; choose one of {known}", given, step, known))]
    UnknownAnswer {
        /// The step.
        step: usize,
        /// What was given.
        given: String,
        /// The answers there are.
        known: String,
    },
    /// It may not be skipped.
    #[error("{}", say!("step {step} can't be skipped: it must be done, or the procedure broken off with a reason", step = _0))]
    MustBeDone(usize),
    /// It has stopped the run.
    #[error("{}", say!("step {step} has stopped this procedure and can't be skipped past: {why} Put it right and enter it again, or abort", step, why))]
    HasStopped {
        /// The step.
        step: usize,
        /// What was found.
        why: String,
    },
    /// Skipped, ended early or aborted without a reason.
    #[error("{}", say!("say in a few words why; it is written down with the run"))]
    NoReason,
    /// A reason too long.
    #[error("{}", say!("the reason has {chars} characters and {most} fit; shorten it", chars, most))]
    ReasonTooLong {
        /// Characters given.
        chars: usize,
        /// Characters that fit.
        most: usize,
    },
    /// It is no wait.
    #[error("{}", say!("step {step} is no wait; look at what it asks for", step = _0))]
    NoWait(usize),
    /// The wait was not begun.
    #[error("{}", say!("the wait of step {step} has not been begun; begin it", step = _0))]
    WaitNotBegun(usize),
    /// The wait was begun.
    #[error("{}", say!("the wait of step {step} has been begun; wait until it is over, or end it early with a reason", step = _0))]
    WaitBegunAlready(usize),
    /// The wait is not over.
    #[error("{}", say!("the wait of step {step} is not over, {left_s} s are left; wait, or end it early with a reason", step, left_s))]
    StillWaiting {
        /// The step.
        step: usize,
        /// How long still, s.
        left_s: i64,
    },
    /// The clock stands before the wait's beginning.
    #[error("{}", say!("the clock stands before the time at which the wait of step {step} was begun: it was set back; begin the wait anew, or end it with a reason", step = _0))]
    ClockSetBack(usize),
}

/// Events that make no run.
#[derive(Debug, thiserror::Error)]
pub enum CannotReplay {
    /// The plan can't be used.
    #[error(transparent)]
    Plan(#[from] BadPlan),
    /// An event that could not have happened.
    #[error("{}", say!("event {number} of this run could not have happened: {why}", number, why))]
    Event {
        /// Number of the event, from 1.
        number: usize,
        /// Why not.
        why: Refused,
    },
}
