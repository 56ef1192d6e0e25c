//! What an entry can come to: said by judging, and by limits of what their choices come to.

use crate::say;
use serde::{Deserialize, Serialize};

/// What an entry comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Nothing to judge it by, or nothing to judge.
    NotJudged,
    /// As it should be.
    InLimits,
    /// Not yet wrong; look again soon.
    Watch,
    /// Something must be done.
    Act,
    /// The pump must be stopped by the plant's procedure.
    StopPump,
}

impl Verdict {
    /// Every verdict, the least weighty first.
    pub const ALL: &[Verdict] = &[
        Verdict::NotJudged,
        Verdict::InLimits,
        Verdict::Watch,
        Verdict::Act,
        Verdict::StopPump,
    ];

    /// As it is written in files, for example `in_limits`.
    pub fn key(self) -> &'static str {
        match self {
            Verdict::NotJudged => "not_judged",
            Verdict::InLimits => "in_limits",
            Verdict::Watch => "watch",
            Verdict::Act => "act",
            Verdict::StopPump => "stop_pump",
        }
    }

    /// The verdict as people say it, for example "in limits".
    pub fn words(self) -> &'static str {
        match self {
            Verdict::NotJudged => say!("verdict" => "not judged"),
            Verdict::InLimits => say!("verdict" => "in limits"),
            Verdict::Watch => say!("verdict" => "watch"),
            Verdict::Act => say!("verdict" => "act"),
            Verdict::StopPump => say!("verdict" => "stop pump"),
        }
    }

    /// Out of limits: watch, act or stop pump. Such an entry belongs to a finding.
    pub fn is_out_of_limits(self) -> bool {
        self >= Verdict::Watch
    }
}
