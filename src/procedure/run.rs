//! A procedure under way: a plan, and what has happened since it was begun.

use super::{
    BadPlan, CannotReplay, Event, Judged, MAX_NAME_CHARS, MAX_REASON_CHARS, Plan, PlannedStep,
    Refused, Task, What, judged,
};
use crate::{check::Entered, plant::Verdict};
use std::sync::Arc;

/// A procedure under way.
///
/// It changes only by [`Run::take`]. The same events give the same run, so that an app that was killed comes back to
/// the same step.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    plan: Arc<Plan>,
    plan_sha256: String,
    started: Option<Signed>,
    passed: Vec<Passed>,
    tries: Vec<Try>,
    pub(super) waiting: Option<Waiting>,
    ending: Option<Ending>,
}

/// Who, and when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// Who.
    pub by: String,
    /// When by the device's clock, ms since 1970, UTC.
    pub at_ms: i64,
}

/// A step that lies behind.
#[derive(Clone, Debug, PartialEq)]
pub struct Passed {
    /// How it was passed.
    pub how: How,
    /// By whom and when.
    pub signed: Signed,
}

/// How a step was passed.
#[derive(Clone, Debug, PartialEq)]
pub enum How {
    /// Done or acknowledged.
    Done,
    /// Entered, and good enough to go on.
    Entered {
        /// What was entered.
        entered: Entered,
        /// What it came to.
        judged: Judged,
    },
    /// Permission was given.
    Permitted {
        /// By whom.
        given_by: String,
    },
    /// Waited to the end.
    Waited {
        /// Since when, ms since 1970, UTC.
        begun_ms: i64,
    },
    /// A wait ended early.
    WaitEnded {
        /// Since when, ms since 1970, UTC.
        begun_ms: i64,
        /// Why.
        reason: String,
    },
    /// Left out.
    Skipped {
        /// Why.
        reason: String,
    },
}

/// An entry that stopped the run at its step.
#[derive(Clone, Debug, PartialEq)]
pub struct Try {
    /// Number of the step, from 1.
    pub step: usize,
    /// What was entered.
    pub entered: Entered,
    /// What it came to.
    pub judged: Judged,
    /// By whom and when.
    pub signed: Signed,
}

/// How a run ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Every step lies behind.
    Finished(Signed),
    /// Broken off.
    Aborted {
        /// Why.
        reason: String,
        /// By whom and when.
        signed: Signed,
    },
}

/// A wait under way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Waiting {
    pub begun_ms: i64,
    pub deadline_ms: i64,
}

impl Run {
    /// A run of this plan that is still to be begun.
    ///
    /// # Errors
    /// The plan does not hold together.
    pub fn of(plan: Arc<Plan>) -> Result<Self, BadPlan> {
        plan.holds_together()?;
        Ok(Self {
            plan_sha256: plan.sha256()?,
            plan,
            started: None,
            passed: Vec::new(),
            tries: Vec::new(),
            waiting: None,
            ending: None,
        })
    }

    /// The run that these events make.
    ///
    /// # Errors
    /// A plan that can't be used, or an event that could not have happened.
    pub fn replay(
        plan: Arc<Plan>,
        events: impl IntoIterator<Item = Event>,
    ) -> Result<Self, CannotReplay> {
        let mut run = Self::of(plan)?;
        for (index, event) in events.into_iter().enumerate() {
            run = run.take(event).map_err(|why| CannotReplay::Event {
                number: index + 1,
                why,
            })?;
        }
        Ok(run)
    }

    /// The plan it goes by.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// SHA-256 of the plan, as [`What::Started`] carries it.
    pub fn plan_sha256(&self) -> &str {
        &self.plan_sha256
    }

    /// Who began it and when; `None` before.
    pub fn started(&self) -> Option<&Signed> {
        self.started.as_ref()
    }

    /// The steps that lie behind, each with how it was passed, in the order they were done.
    pub fn passed(&self) -> impl Iterator<Item = (&PlannedStep, &Passed)> {
        self.plan.steps.iter().zip(&self.passed)
    }

    /// The steps not reached, or not passed when the run was broken off.
    pub fn left(&self) -> &[PlannedStep] {
        self.plan.steps.get(self.passed.len()..).unwrap_or_default()
    }

    /// Every entry that stopped the run, also those put right since.
    pub fn tries(&self) -> &[Try] {
        &self.tries
    }

    /// The steps whose entry nothing could judge.
    pub fn unjudged(&self) -> impl Iterator<Item = &PlannedStep> {
        self.passed()
            .filter_map(|(step, passed)| match &passed.how {
                How::Entered { judged, .. } if judged.verdict == Verdict::NotJudged => Some(step),
                _ => None,
            })
    }

    /// How it ended; `None` while it is under way.
    pub fn ending(&self) -> Option<&Ending> {
        self.ending.as_ref()
    }

    /// The step to be done now with its number from 1; `None` before the beginning, after the end and when all are done.
    pub fn step(&self) -> Option<(usize, &PlannedStep)> {
        if self.started.is_none() || self.ending.is_some() {
            return None;
        }
        let step = self.plan.steps.get(self.passed.len())?;
        Some((self.passed.len() + 1, step))
    }

    /// The entry that keeps the run stopped at its step; `None` while it may go on.
    pub fn stopped(&self) -> Option<&Try> {
        let (number, _) = self.step()?;
        self.tries.last().filter(|last| last.step == number)
    }

    /// The run after this event.
    ///
    /// # Errors
    /// Why it can't happen now, and what to do instead.
    pub fn take(&self, event: Event) -> Result<Self, Refused> {
        let signed = Signed {
            by: name(&event.by, Refused::NobodyNamed)?,
            at_ms: event.at_ms,
        };
        let mut next = self.clone();
        next.apply(event.what, signed)?;
        Ok(next)
    }

    fn apply(&mut self, what: What, signed: Signed) -> Result<(), Refused> {
        if self.ending.is_some() {
            return Err(Refused::Ended);
        }
        match (what, &self.started) {
            (What::Started { plan }, None) => self.begin(plan, signed),
            (What::Started { .. }, Some(_)) => Err(Refused::BegunAlready),
            (_, None) => Err(Refused::NotBegun),
            (What::StepDone { step, entered }, _) => self.done(step, entered, signed),
            (What::StepSkipped { step, reason }, _) => self.skip(step, &reason, signed),
            (What::PermissionGiven { step, given_by }, _) => self.permit(step, &given_by, signed),
            (What::WaitBegun { step, deadline_ms }, _) => self.wait(step, deadline_ms, &signed),
            (What::WaitEnded { step, reason }, _) => self.end_wait(step, &reason, signed),
            (What::Aborted { reason }, _) => {
                let reason = words(&reason)?;
                self.waiting = None;
                self.ending = Some(Ending::Aborted { reason, signed });
                Ok(())
            }
            (What::Finished, _) => match self.left().len() {
                0 => {
                    self.ending = Some(Ending::Finished(signed));
                    Ok(())
                }
                left => Err(Refused::StepsLeft {
                    left,
                    of: self.plan.steps.len(),
                }),
            },
        }
    }

    fn begin(&mut self, plan: String, signed: Signed) -> Result<(), Refused> {
        if plan != self.plan_sha256 {
            return Err(Refused::OtherText {
                begun: plan,
                here: self.plan_sha256.clone(),
            });
        }
        self.started = Some(signed);
        Ok(())
    }

    /// The step to be done now, if it is the one of this number.
    fn at(&self, given: usize) -> Result<&PlannedStep, Refused> {
        let (now, step) = self.step().ok_or(Refused::NoStepLeft)?;
        if now == given {
            Ok(step)
        } else {
            Err(Refused::NotThisStep { now, given })
        }
    }

    fn pass(&mut self, how: How, signed: Signed) {
        self.passed.push(Passed { how, signed });
        self.waiting = None;
    }

    fn done(
        &mut self,
        number: usize,
        entered: Option<Entered>,
        signed: Signed,
    ) -> Result<(), Refused> {
        let step = self.at(number)?;
        match (&step.task, entered) {
            (Task::Hold, _) => Err(Refused::NeedsPermission(number)),
            (Task::Do | Task::Warn | Task::Wait { .. }, Some(_)) => {
                Err(Refused::NothingToEnter(number))
            }
            (Task::Do | Task::Warn, None) => {
                self.pass(How::Done, signed);
                Ok(())
            }
            (Task::Wait { .. }, None) => {
                let waiting = self.waiting.ok_or(Refused::WaitNotBegun(number))?;
                waiting.over(number, signed.at_ms)?;
                let begun_ms = waiting.begun_ms;
                self.pass(How::Waited { begun_ms }, signed);
                Ok(())
            }
            (_, None) => Err(Refused::NeedsEntry(number)),
            (_, Some(entered)) => {
                let noted = self.noted_for(step);
                let (entered, judged) = judged::entered(number, step, entered, noted)?;
                if judged.holds {
                    self.pass(How::Entered { entered, judged }, signed);
                } else {
                    self.tries.push(Try {
                        step: number,
                        entered,
                        judged,
                        signed,
                    });
                }
                Ok(())
            }
        }
    }

    /// What a proof at the step is set beside.
    pub(super) fn noted_for(&self, step: &PlannedStep) -> Option<&Entered> {
        match step.task {
            Task::Prove { against, .. } => self.noted(against),
            _ => None,
        }
    }

    /// What was entered at the step of this index.
    fn noted(&self, index: usize) -> Option<&Entered> {
        match &self.passed.get(index)?.how {
            How::Entered { entered, .. } => Some(entered),
            _ => None,
        }
    }

    fn skip(&mut self, number: usize, reason: &str, signed: Signed) -> Result<(), Refused> {
        let step = self.at(number)?;
        if let Some(stopped) = self.stopped() {
            return Err(Refused::HasStopped {
                step: number,
                why: stopped.judged.words.clone(),
            });
        }
        if step.must {
            return Err(Refused::MustBeDone(number));
        }
        if self.waiting.is_some() {
            return Err(Refused::WaitBegunAlready(number));
        }
        let reason = words(reason)?;
        self.pass(How::Skipped { reason }, signed);
        Ok(())
    }

    fn permit(&mut self, number: usize, given_by: &str, signed: Signed) -> Result<(), Refused> {
        if self.at(number)?.task != Task::Hold {
            return Err(Refused::NoHold(number));
        }
        let given_by = name(given_by, Refused::NobodyPermitted)?;
        self.pass(How::Permitted { given_by }, signed);
        Ok(())
    }

    fn wait(&mut self, number: usize, deadline_ms: i64, signed: &Signed) -> Result<(), Refused> {
        let Task::Wait { seconds } = self.at(number)?.task else {
            return Err(Refused::NoWait(number));
        };
        // A clock that was set back leaves a deadline nobody can tell; the wait is then begun anew, in full.
        if self
            .waiting
            .is_some_and(|begun| signed.at_ms >= begun.begun_ms)
        {
            return Err(Refused::WaitBegunAlready(number));
        }
        let in_full = signed.at_ms.saturating_add(i64::from(seconds) * 1_000);
        self.waiting = Some(Waiting {
            begun_ms: signed.at_ms,
            deadline_ms: deadline_ms.max(in_full),
        });
        Ok(())
    }

    fn end_wait(&mut self, number: usize, reason: &str, signed: Signed) -> Result<(), Refused> {
        let step = self.at(number)?;
        if !matches!(step.task, Task::Wait { .. }) {
            return Err(Refused::NoWait(number));
        }
        if step.must {
            return Err(Refused::MustBeDone(number));
        }
        let begun_ms = self.waiting.ok_or(Refused::WaitNotBegun(number))?.begun_ms;
        let reason = words(reason)?;
        self.pass(How::WaitEnded { begun_ms, reason }, signed);
        Ok(())
    }
}

impl Waiting {
    /// It is over by this clock.
    pub fn over(self, step: usize, at_ms: i64) -> Result<(), Refused> {
        if at_ms < self.begun_ms {
            Err(Refused::ClockSetBack(step))
        } else if at_ms < self.deadline_ms {
            let left_ms = self.deadline_ms.saturating_sub(at_ms);
            Err(Refused::StillWaiting {
                step,
                left_s: left_ms.saturating_add(999) / 1_000,
            })
        } else {
            Ok(())
        }
    }
}

/// A person's name: with a letter in it, not too long, without blanks around it.
fn name(text: &str, missing: Refused) -> Result<String, Refused> {
    let text = text.trim();
    let chars = text.chars().count();
    if !text.chars().any(char::is_alphabetic) {
        Err(missing)
    } else if chars > MAX_NAME_CHARS {
        Err(Refused::NameTooLong(chars))
    } else {
        Ok(text.to_owned())
    }
}

/// A reason: with a letter in it, not too long, without blanks around it.
fn words(text: &str) -> Result<String, Refused> {
    let text = text.trim();
    let chars = text.chars().count();
    if !text.chars().any(char::is_alphabetic) {
        Err(Refused::NoReason)
    } else if chars > MAX_REASON_CHARS {
        Err(Refused::ReasonTooLong {
            chars,
            most: MAX_REASON_CHARS,
        })
    } else {
        Ok(text.to_owned())
    }
}
