//! What was done, noted or decided besides entries: rounds walked, findings followed, pumps started and stopped, troubles
//! put right, procedures gone through.

use super::Stamp;
use crate::{
    plant::{PumpId, RoundId, Verdict},
    procedure::{Plan, What},
    remedy::Remedy,
    say,
};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// Something done, noted or decided.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "deed", rename_all = "snake_case")]
pub enum Deed {
    /// A round was begun.
    RoundBegun {
        /// Identity of this walk.
        run: Uuid,
        /// Which round.
        round: RoundId,
    },
    /// A round was laid aside.
    RoundPaused {
        /// Which walk.
        run: Uuid,
    },
    /// A round was gone on with, by whoever signs: also the taking over from somebody else.
    RoundResumed {
        /// Which walk.
        run: Uuid,
    },
    /// A stop was passed over.
    StopSkipped {
        /// Which walk.
        run: Uuid,
        /// Which pump.
        pump: PumpId,
        /// Why.
        reason: String,
    },
    /// A round was ended.
    RoundEnded {
        /// Which walk.
        run: Uuid,
    },
    /// Something wrong was found that no check asks for.
    FindingOpened {
        /// Its identity.
        finding: Uuid,
        /// At which pump.
        pump: PumpId,
        /// In which visit, where in one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        visit: Option<Uuid>,
        /// How bad it is: watch, act or stop pump.
        severity: Verdict,
        /// What it is.
        words: String,
        /// What it likely comes from, where somebody said so.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cause: Option<String>,
    },
    /// A finding was looked at again.
    FindingSeen {
        /// Which finding.
        finding: Uuid,
        /// At which pump.
        pump: PumpId,
        /// How it stands.
        still: Still,
        /// What was seen or done; may be empty.
        #[serde(default, skip_serializing_if = "String::is_empty")]
        words: String,
    },
    /// A finding was closed.
    FindingClosed {
        /// Which finding.
        finding: Uuid,
        /// At which pump.
        pump: PumpId,
        /// What made it good.
        made_good: String,
    },
    /// A pump was started or stopped.
    PumpTurned {
        /// Which pump.
        pump: PumpId,
        /// It runs from now on; else it stands.
        runs: bool,
        /// When, which may be before it was written down.
        turned_at: Stamp,
    },
    /// Something was put right.
    Remedied {
        /// Its identity.
        remedy: Uuid,
        /// At which pump.
        pump: PumpId,
        /// In which visit, where in one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        visit: Option<Uuid>,
        /// For which finding, where for one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        finding: Option<Uuid>,
        /// What.
        what: Remedy,
        /// When, which may be before it was written down.
        done_at: Stamp,
    },
    /// What was said to have been put right was not: it was written down by mistake.
    RemedyWithdrawn {
        /// Which remedy.
        remedy: Uuid,
        /// At which pump.
        pump: PumpId,
    },
    /// A procedure was opened at a pump. Its plan is written down whole: a run goes by what it was begun with, on any
    /// device, whatever the plant's files say by now.
    ProcedureBegun {
        /// Identity of this run.
        run: Uuid,
        /// At which pump.
        pump: PumpId,
        /// The pump that stands in for it, where it takes two.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        partner: Option<PumpId>,
        /// The steps.
        plan: Box<Plan>,
    },
    /// Something happened in a procedure's run.
    ProcedureWent {
        /// Which run.
        run: Uuid,
        /// At which pump it was opened.
        pump: PumpId,
        /// What.
        what: What,
    },
}

/// How a finding stands when it is looked at again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Still {
    /// As before.
    Same,
    /// Worse than before.
    Worse,
    /// Better than before, and still there.
    Better,
    /// It is gone.
    Gone,
}

impl Still {
    /// As it is written in files.
    pub fn key(self) -> &'static str {
        match self {
            Still::Same => "same",
            Still::Worse => "worse",
            Still::Better => "better",
            Still::Gone => "gone",
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Still::Same => say!("of a finding" => "still so"),
            Still::Worse => say!("of a finding" => "worse"),
            Still::Better => say!("of a finding" => "better"),
            Still::Gone => say!("of a finding" => "gone"),
        }
    }
}

impl Deed {
    /// Its kind, as it is written in the record.
    pub fn kind(&self) -> &'static str {
        match self {
            Deed::RoundBegun { .. } => "round_begun",
            Deed::RoundPaused { .. } => "round_paused",
            Deed::RoundResumed { .. } => "round_resumed",
            Deed::StopSkipped { .. } => "stop_skipped",
            Deed::RoundEnded { .. } => "round_ended",
            Deed::FindingOpened { .. } => "finding_opened",
            Deed::FindingSeen { .. } => "finding_seen",
            Deed::FindingClosed { .. } => "finding_closed",
            Deed::PumpTurned { .. } => "pump_turned",
            Deed::Remedied { .. } => "remedied",
            Deed::RemedyWithdrawn { .. } => "remedy_withdrawn",
            Deed::ProcedureBegun { .. } => "procedure_begun",
            // Told apart so that the runs under way are found without reading those that ended.
            Deed::ProcedureWent { what, .. } if what.ends() => "procedure_ended",
            Deed::ProcedureWent { .. } => "procedure_went",
        }
    }

    /// The walk, finding, remedy or run of a procedure it is about.
    pub fn subject(&self) -> Option<Uuid> {
        match self {
            Deed::RoundBegun { run, .. }
            | Deed::RoundPaused { run }
            | Deed::RoundResumed { run }
            | Deed::StopSkipped { run, .. }
            | Deed::RoundEnded { run }
            | Deed::ProcedureBegun { run, .. }
            | Deed::ProcedureWent { run, .. } => Some(*run),
            Deed::FindingOpened { finding, .. }
            | Deed::FindingSeen { finding, .. }
            | Deed::FindingClosed { finding, .. } => Some(*finding),
            Deed::Remedied { remedy, .. } | Deed::RemedyWithdrawn { remedy, .. } => Some(*remedy),
            Deed::PumpTurned { .. } => None,
        }
    }

    /// The pump it is about.
    pub fn pump(&self) -> Option<&PumpId> {
        match self {
            Deed::StopSkipped { pump, .. }
            | Deed::FindingOpened { pump, .. }
            | Deed::FindingSeen { pump, .. }
            | Deed::FindingClosed { pump, .. }
            | Deed::PumpTurned { pump, .. }
            | Deed::Remedied { pump, .. }
            | Deed::RemedyWithdrawn { pump, .. }
            | Deed::ProcedureBegun { pump, .. }
            | Deed::ProcedureWent { pump, .. } => Some(pump),
            Deed::RoundBegun { .. }
            | Deed::RoundPaused { .. }
            | Deed::RoundResumed { .. }
            | Deed::RoundEnded { .. } => None,
        }
    }

    /// What somebody wrote in it.
    pub fn text(&self) -> Option<&str> {
        match self {
            Deed::StopSkipped { reason, .. } => Some(reason),
            Deed::FindingOpened { words, .. } | Deed::FindingSeen { words, .. } => Some(words),
            Deed::FindingClosed { made_good, .. } => Some(made_good),
            Deed::ProcedureWent { what, .. } => what.text(),
            _ => None,
        }
    }
}
