//! Which checks a pump has, and what can be entered for them.

mod accept;
mod caution;
mod choices;
mod compare;
mod entered;
mod instrument;
mod kind;
mod list;
mod number;
pub mod words;

pub use accept::{BadEntry, ENOUGH_DROPS, MAX_REASON_CHARS, MAX_WORDS_CHARS, MIN_COUNT_S, accept};
pub use caution::{Caution, gland_may_be_touched};
pub use entered::Entered;
pub use kind::{Choice, EntryKind, FeelScale, NO_TOUCH_STEP, VERY_HOT_STEP};
pub use list::{list, on_request, usual_kind};
pub use number::{BadNumber, parse_number};

pub(crate) use compare::compare;

use crate::plant::CheckId;
use serde::{Deserialize, Serialize};

/// One thing to look at, feel, count or read on a pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// Which check.
    pub id: CheckId,
    /// How it is entered.
    pub kind: EntryKind,
    /// What the operator must mind before touching or looking, in one sentence.
    pub caution: Option<&'static str>,
}

/// What the pump is doing while it is visited.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RunningState {
    /// It runs.
    Running,
    /// It stands, ready to start.
    Standby,
    /// It is out of service: isolated or being worked on.
    OutOfService,
}
