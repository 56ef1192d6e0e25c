//! What was done in a run, in words.

use super::{How, What};

impl How {
    /// In words, for example "permission by the shift supervisor".
    pub fn words(&self) -> String {
        match self {
            How::Done => "done".to_owned(),
            How::Entered { judged, .. } => format!("{} ({})", judged.words, judged.verdict.words()),
            How::Permitted { given_by } => format!("permission by {given_by}"),
            How::Waited { .. } => "waited to the end".to_owned(),
            How::WaitEnded { reason, .. } => format!("wait ended early: {reason}"),
            How::Skipped { reason } => format!("skipped: {reason}"),
        }
    }
}

impl What {
    /// In words, for example "step 5 skipped: no such line".
    pub fn words(&self) -> String {
        match self {
            What::Started { .. } => "begun".to_owned(),
            What::StepDone { step, entered } => match entered {
                None => format!("step {step} done"),
                Some(_) => format!("step {step} entered"),
            },
            What::StepSkipped { step, reason } => format!("step {step} skipped: {reason}"),
            What::PermissionGiven { step, given_by } => {
                format!("step {step} permission by {given_by}")
            }
            What::WaitBegun { step, .. } => format!("step {step} wait begun"),
            What::WaitEnded { step, reason } => format!("step {step} wait ended early: {reason}"),
            What::Aborted { reason } => format!("broken off: {reason}"),
            What::Finished => "finished".to_owned(),
        }
    }
}

/// A time in words, to the second below two minutes and to the minute from there on.
pub fn duration(seconds: i64) -> String {
    match seconds {
        ..=119 => format!("{seconds} s"),
        _ => format!("{} min", seconds.saturating_add(30) / 60),
    }
}
