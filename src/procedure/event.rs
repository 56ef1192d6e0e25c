//! What happens in a run, one fact at a time.

use crate::check::Entered;
use serde::{Deserialize, Serialize};

/// One fact of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// Who did it.
    pub by: String,
    /// When, by the device's clock: ms since 1970, UTC.
    pub at_ms: i64,
    /// What was done.
    pub what: What,
}

/// What was done. Steps are numbered from 1, as the plan has them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum What {
    /// The run was begun.
    Started {
        /// SHA-256 of the plan it goes by, see [`super::Plan::sha256`].
        plan: String,
    },
    /// A step was done, acknowledged, or entered. An entry that does not come out as it should leaves the step open and
    /// stops the run there.
    StepDone {
        /// The step.
        step: usize,
        /// What was entered, where something is asked for; how a valve stands as a choice.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        entered: Option<Entered>,
    },
    /// A step was left out.
    StepSkipped {
        /// The step.
        step: usize,
        /// Why.
        reason: String,
    },
    /// Permission was given.
    PermissionGiven {
        /// The step.
        step: usize,
        /// Who gave it.
        given_by: String,
    },
    /// A wait was begun; done by [`What::StepDone`] when it is over.
    WaitBegun {
        /// The step.
        step: usize,
        /// When it is over, ms since 1970, UTC. Never taken as earlier than the step's seconds after it was begun.
        deadline_ms: i64,
    },
    /// A wait was ended before it was over.
    WaitEnded {
        /// The step.
        step: usize,
        /// Why.
        reason: String,
    },
    /// The run was broken off.
    Aborted {
        /// Why.
        reason: String,
    },
    /// The run came to its end.
    Finished,
}

impl What {
    /// Nothing comes after it.
    pub fn ends(&self) -> bool {
        matches!(self, What::Aborted { .. } | What::Finished)
    }

    /// What somebody wrote in it: a reason, or who gave permission.
    pub fn text(&self) -> Option<&str> {
        match self {
            What::StepSkipped { reason, .. }
            | What::WaitEnded { reason, .. }
            | What::Aborted { reason } => Some(reason),
            What::PermissionGiven { given_by, .. } => Some(given_by),
            What::Started { .. }
            | What::StepDone { .. }
            | What::WaitBegun { .. }
            | What::Finished => None,
        }
    }
}
