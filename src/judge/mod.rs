//! An entry against limits, rate of change and the entry before it.

mod first_action;
mod judging;
mod sentence;

pub use first_action::{FirstAction, Hands, first_action, keep_hands_off};
pub use judging::{again, judge};
pub use sentence::{band, change_words, finding_words, found, sentence};

pub use crate::plant::Verdict;

use crate::plant::Unit;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The entry before, as far as judging needs it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Previous {
    /// Record that holds it.
    pub record: Uuid,
    /// Its number, see [`crate::check::Entered::measured`].
    pub value: f64,
    /// Unit of the number.
    pub unit: Unit,
    /// Hours from it to the entry judged; 0 or more.
    pub hours_before: f64,
}

/// What an entry came to, and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Judgement {
    /// The worst of the reasons' verdicts.
    pub verdict: Verdict,
    /// Why, the weightiest first.
    pub reasons: Vec<Reason>,
}

/// One reason for a verdict, as data. [`Reason`] in words is `judge::sentence`'s part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "because", rename_all = "snake_case", deny_unknown_fields)]
pub enum Reason {
    /// Between the bounds, or a good answer.
    InLimits,
    /// Above a bound.
    Above {
        /// What crossing it comes to.
        verdict: Verdict,
        /// The bound, in the limits' unit.
        bound: f64,
    },
    /// Below a bound.
    Below {
        /// What crossing it comes to.
        verdict: Verdict,
        /// The bound, in the limits' unit.
        bound: f64,
    },
    /// Changed faster than allowed since the entry before; comes to watch.
    TooFast {
        /// Change since the entry before, in the limits' unit.
        change: f64,
        /// In how many hours.
        hours: f64,
        /// The change allowed over that time.
        allowed: f64,
    },
    /// The word or answer itself says so.
    Said {
        /// What it comes to.
        verdict: Verdict,
    },
    /// No limits are set for this check of this pump.
    NoLimits,
    /// The limits' unit measures something else.
    UnitMismatch,
    /// Not checked, or words only.
    NothingToJudge,
}

impl Reason {
    /// What this reason comes to.
    pub fn verdict(&self) -> Verdict {
        match *self {
            Reason::InLimits => Verdict::InLimits,
            Reason::Above { verdict, .. }
            | Reason::Below { verdict, .. }
            | Reason::Said { verdict } => verdict,
            Reason::TooFast { .. } => Verdict::Watch,
            Reason::NoLimits | Reason::UnitMismatch | Reason::NothingToJudge => Verdict::NotJudged,
        }
    }
}
