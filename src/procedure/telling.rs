//! What was done in a run, in words.

use super::{How, What};
use crate::say;

impl How {
    /// In words, for example "permission by the shift supervisor".
    pub fn words(&self) -> String {
        match self {
            How::Done => say!("done").to_owned(),
            How::Entered { judged, .. } => format!("{} ({})", judged.words, judged.verdict.words()),
            How::Permitted { given_by } => say!("permission by {given_by}", given_by),
            How::Waited { .. } => say!("waited to the end").to_owned(),
            How::WaitEnded { reason, .. } => say!("wait ended early: {reason}", reason),
            How::Skipped { reason } => say!("skipped: {reason}", reason),
        }
    }
}

impl What {
    /// In words, for example "step 5 skipped: no such line".
    pub fn words(&self) -> String {
        match self {
            What::Started { .. } => say!("of a procedure" => "begun").to_owned(),
            What::StepDone { step, entered } => match entered {
                None => say!("step {step} done", step),
                Some(_) => say!("step {step} entered", step),
            },
            What::StepSkipped { step, reason } => {
                say!("step {step} skipped: {reason}", step, reason)
            }
            What::PermissionGiven { step, given_by } => {
                say!("step {step} permission by {given_by}", step, given_by)
            }
            What::WaitBegun { step, .. } => say!("step {step} wait begun", step),
            What::WaitEnded { step, reason } => {
                say!("step {step} wait ended early: {reason}", step, reason)
            }
            What::Aborted { reason } => say!("broken off: {reason}", reason),
            What::Finished => say!("of a procedure" => "finished").to_owned(),
        }
    }
}

/// An answer as people read it: yes and no, which no plant wrote, in their language.
pub fn answer_words(answer: &str) -> &str {
    match answer {
        "yes" => say!("yes"),
        "no" => say!("no"),
        own => own,
    }
}

/// A time in words, to the second below two minutes and to the minute from there on.
pub fn duration(seconds: i64) -> String {
    match seconds {
        ..=119 => format!("{seconds} s"),
        _ => format!("{} min", seconds.saturating_add(30) / 60),
    }
}
