//! Why something can't be done in a run now, and what to do instead.

use super::{BadPlan, MAX_NAME_CHARS};
use crate::check::BadEntry;

/// Something that can't be done in a run now. The run stays as it was.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Refused {
    /// Nothing was begun yet.
    #[error("this procedure has not been begun; begin it first")]
    NotBegun,
    /// Begun before.
    #[error("this procedure has been begun already; go on with it")]
    BegunAlready,
    /// Begun by another text.
    #[error(
        "this run was begun by another text of the procedure ({begun}) than the one at hand ({here}); open it with the text it was begun by, or abort it and begin anew"
    )]
    OtherText {
        /// SHA-256 the run began by.
        begun: String,
        /// SHA-256 of the plan at hand.
        here: String,
    },
    /// Finished or aborted.
    #[error("this run has ended; begin the procedure anew")]
    Ended,
    /// Another step is to be done now.
    #[error("step {now} is to be done now, not step {given}; do, enter or skip step {now} first")]
    NotThisStep {
        /// The step that is to be done now.
        now: usize,
        /// The step given.
        given: usize,
    },
    /// Every step is done.
    #[error("every step is done; finish the procedure")]
    NoStepLeft,
    /// Steps are left.
    #[error("{left} of {of} steps are left; do or skip them, or abort with a reason")]
    StepsLeft {
        /// Steps left.
        left: usize,
        /// All steps.
        of: usize,
    },
    /// Nobody did it.
    #[error("nobody is named as doing this; say who works here")]
    NobodyNamed,
    /// Permission without a name.
    #[error("say who gave the permission; without a name it is none, and the procedure waits here")]
    NobodyPermitted,
    /// A name too long to be one.
    #[error("the name has {0} characters and {MAX_NAME_CHARS} fit; shorten it")]
    NameTooLong(usize),
    /// A step needs permission.
    #[error("step {0} waits for permission; ask for it and say who gave it, or abort")]
    NeedsPermission(usize),
    /// A step that needs none.
    #[error("step {0} asks for no permission; look at what it asks for")]
    NoHold(usize),
    /// Something must be entered.
    #[error("step {0} asks for an entry; enter what you find, or skip it with a reason")]
    NeedsEntry(usize),
    /// Nothing is entered here.
    #[error("nothing is entered at step {0}; say that it is done, or skip it with a reason")]
    NothingToEnter(usize),
    /// Not checked is no entry.
    #[error(
        "step {0} was not checked: that is a skip, with its reason; skip it or enter what you find"
    )]
    NotCheckedIsASkip(usize),
    /// What was entered can't be taken.
    #[error("step {step}: {why}")]
    BadEntry {
        /// The step.
        step: usize,
        /// Why.
        why: BadEntry,
    },
    /// An answer that is none of those asked for.
    #[error("'{given}' is no answer to step {step}; choose one of {known}")]
    UnknownAnswer {
        /// The step.
        step: usize,
        /// What was given.
        given: String,
        /// The answers there are.
        known: String,
    },
    /// It may not be skipped.
    #[error(
        "step {0} can't be skipped: it must be done, or the procedure broken off with a reason"
    )]
    MustBeDone(usize),
    /// It has stopped the run.
    #[error(
        "step {step} has stopped this procedure and can't be skipped past: {why} Put it right and enter it again, or abort"
    )]
    HasStopped {
        /// The step.
        step: usize,
        /// What was found.
        why: String,
    },
    /// Skipped, ended early or aborted without a reason.
    #[error("say in a few words why; it is written down with the run")]
    NoReason,
    /// A reason too long.
    #[error("the reason has {chars} characters and {most} fit; shorten it")]
    ReasonTooLong {
        /// Characters given.
        chars: usize,
        /// Characters that fit.
        most: usize,
    },
    /// It is no wait.
    #[error("step {0} is no wait; look at what it asks for")]
    NoWait(usize),
    /// The wait was not begun.
    #[error("the wait of step {0} has not been begun; begin it")]
    WaitNotBegun(usize),
    /// The wait was begun.
    #[error(
        "the wait of step {0} has been begun; wait until it is over, or end it early with a reason"
    )]
    WaitBegunAlready(usize),
    /// The wait is not over.
    #[error(
        "the wait of step {step} is not over, {left_s} s are left; wait, or end it early with a reason"
    )]
    StillWaiting {
        /// The step.
        step: usize,
        /// How long still, s.
        left_s: i64,
    },
    /// The clock stands before the wait's beginning.
    #[error(
        "the clock stands before the time at which the wait of step {0} was begun: it was set back; begin the wait anew, or end it with a reason"
    )]
    ClockSetBack(usize),
}

/// Events that make no run.
#[derive(Debug, thiserror::Error)]
pub enum CannotReplay {
    /// The plan can't be used.
    #[error(transparent)]
    Plan(#[from] BadPlan),
    /// An event that could not have happened.
    #[error("event {number} of this run could not have happened: {why}")]
    Event {
        /// Number of the event, from 1.
        number: usize,
        /// Why not.
        why: Refused,
    },
}
