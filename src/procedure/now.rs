//! What the operator sees of a run now.

use super::{AskedEntry, Refused, Run, Task, ValvePosition, judged};
use crate::{
    check::EntryKind,
    plant::{CheckId, PumpId, Unit},
    say,
};

/// What the operator sees at the step to be done now.
#[derive(Clone, Debug, PartialEq)]
pub struct Now {
    /// Number of the step, from 1.
    pub number: usize,
    /// How many there are.
    pub of: usize,
    /// Name of the procedure the step is from, for example that of the start inside a change over.
    pub part: String,
    /// At which pump.
    pub pump: PumpId,
    /// What is to be done.
    pub words: String,
    /// What to mind before.
    pub caution: Option<String>,
    /// What can hurt somebody at this pump.
    pub hazard: Option<String>,
    /// What an entry must come to; `None` where the words say it, or nothing judges it.
    pub needs: Option<String>,
    /// What is told beside it: that no limits are set.
    pub note: Option<String>,
    /// What is asked for.
    pub asks: Asks,
    /// It may be said to be done now; else why not. What is entered is looked at only once it is entered.
    pub may_be_done: Result<(), Refused>,
    /// It may be skipped with a reason; else why not.
    pub may_be_skipped: Result<(), Refused>,
    /// The entry that has stopped the run here.
    pub stopped: Option<Stopped>,
}

/// Why a run stands still, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stopped {
    /// What was found.
    pub why: String,
    /// What to do.
    pub otherwise: String,
}

/// What is asked of the operator.
#[derive(Clone, Debug, PartialEq)]
pub enum Asks {
    /// To do it and say so.
    Done,
    /// To acknowledge a caution.
    Acknowledge,
    /// To say who gave permission.
    Permission,
    /// To enter something in this way; `check` where it is a check of the pump.
    Entry {
        /// The check.
        check: Option<CheckId>,
        /// How it is entered.
        kind: EntryKind,
    },
    /// To choose one of these answers, entered as a choice.
    Answer(Vec<String>),
    /// To confirm how a valve stands, entered as a choice.
    Valve(ValvePosition),
    /// To begin a wait of so many seconds.
    BeginWait(u32),
    /// To wait until this time, ms since 1970, UTC.
    Wait(i64),
}

fn put_right() -> String {
    say!(
        "Put it right by your plant's procedure and enter it again, or abort and leave the pumps safe."
    )
    .to_owned()
}

impl Run {
    /// What the operator sees at this time; `None` before the beginning, after the end and when every step is done.
    pub fn now(&self, at_ms: i64) -> Option<Now> {
        let (number, step) = self.step()?;
        let stopped = self.stopped();
        Some(Now {
            number,
            of: self.plan().steps.len(),
            part: step.part.clone(),
            pump: step.pump.clone(),
            words: step.words.clone(),
            caution: step.caution.clone(),
            hazard: self.plan().pump(step).hazard.clone(),
            needs: judged::needed(step, self.noted_for(step)),
            note: judged::note(step),
            asks: self.asks(&step.task),
            may_be_done: match (&step.task, self.waiting) {
                (Task::Hold, _) => Err(Refused::NeedsPermission(number)),
                (Task::Wait { .. }, None) => Err(Refused::WaitNotBegun(number)),
                (Task::Wait { .. }, Some(waiting)) => waiting.over(number, at_ms),
                _ => Ok(()),
            },
            may_be_skipped: match stopped {
                Some(stopped) => Err(Refused::HasStopped {
                    step: number,
                    why: stopped.judged.words.clone(),
                }),
                None if step.must => Err(Refused::MustBeDone(number)),
                None if self.waiting.is_some() => Err(Refused::WaitBegunAlready(number)),
                None => Ok(()),
            },
            stopped: stopped.map(|stopped| Stopped {
                why: stopped.judged.words.clone(),
                otherwise: step.otherwise.clone().unwrap_or_else(put_right),
            }),
        })
    }

    /// The lowest value that proves something at the step there is now; `None` where it proves nothing.
    pub fn least_that_proves(&self) -> Option<(f64, Unit)> {
        let (_, step) = self.step()?;
        judged::least_that_proves(step, self.noted_for(step))
    }

    fn asks(&self, task: &Task) -> Asks {
        match task {
            Task::Do => Asks::Done,
            Task::Warn => Asks::Acknowledge,
            Task::Hold => Asks::Permission,
            Task::Valve { position } => Asks::Valve(*position),
            Task::Wait { seconds } => match self.waiting {
                Some(waiting) => Asks::Wait(waiting.deadline_ms),
                None => Asks::BeginWait(*seconds),
            },
            Task::Enter { asked, .. } | Task::Prove { asked, .. } => match asked {
                AskedEntry::Answer { answers, .. } => Asks::Answer(answers.clone()),
                AskedEntry::Check { .. } | AskedEntry::Reading { .. } => {
                    let kind = asked.kind().unwrap_or(EntryKind::Words);
                    Asks::Entry {
                        check: asked.check(),
                        kind,
                    }
                }
            },
        }
    }
}
