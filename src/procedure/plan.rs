//! A procedure written out for one pump: every step an operator walks through, with all it is judged by.

use super::{Bounds, Kind, Least, MAX_STEPS, NoneFits, Then, ValvePosition};
use crate::{
    check::{EntryKind, usual_kind},
    plant::{CheckId, Limits, PumpId, Unit},
    say,
};
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Longest text of a plan, characters: a check's title with words beside it, and room to spare.
const LONGEST_TEXT: usize = 1_000;

/// A procedure written out for one pump, and the one that stands in for it where it takes two.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// The procedure's id.
    pub procedure: String,
    /// What it is for.
    pub kind: Kind,
    /// Its name.
    pub name: String,
    /// Version of its text.
    pub version: u32,
    /// Where its text comes from.
    pub basis: String,
    /// The pump it was opened at.
    pub this: PlannedPump,
    /// The pump that stands in for it, where the procedure takes two.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub other: Option<PlannedPump>,
    /// The steps, in the order they are done.
    pub steps: Vec<PlannedStep>,
}

/// What must be known of a pump at its steps.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlannedPump {
    /// Its number.
    pub id: PumpId,
    /// Its name.
    pub name: String,
    /// What can hurt somebody there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hazard: Option<String>,
}

/// One step of a plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlannedStep {
    /// The step's id, after those of the steps that run it: `start/suction-valve`. A step of `every` ends in its check.
    pub id: String,
    /// Name of the procedure it is from.
    pub part: String,
    /// At which pump.
    pub pump: PumpId,
    /// What is to be done.
    pub words: String,
    /// What to mind before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
    /// What to do where it does not come out as it should.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub otherwise: Option<String>,
    /// It can't be skipped.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub must: bool,
    /// What its pump does once it is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub then: Option<Then>,
    /// What is entered for it, and what that comes to.
    pub task: Task,
}

/// What is asked of the operator in a step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Task {
    /// To do it and say so.
    Do,
    /// To acknowledge a caution.
    Warn,
    /// To wait for permission and say who gave it.
    Hold,
    /// To enter something.
    Enter {
        /// What.
        asked: AskedEntry,
        /// By what it is judged.
        by: JudgedBy,
        /// Act and worse stop the run.
        stops: bool,
    },
    /// To set a valve and confirm how it stands.
    Valve {
        /// How it must stand.
        position: ValvePosition,
    },
    /// To wait.
    Wait {
        /// How long, s.
        seconds: u32,
    },
    /// To enter a check again and have it set beside what it was before.
    Prove {
        /// The check.
        asked: AskedEntry,
        /// Index of the step that noted the value before.
        against: usize,
        /// How little is still good.
        least: Least,
    },
}

/// What is entered in a step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum AskedEntry {
    /// A check of the pump.
    Check {
        /// Which.
        check: CheckId,
        /// What the instrument can show, where a number is read off one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        instrument: Option<Instrument>,
    },
    /// A gauge that is no check of the pump.
    Reading {
        /// What it can show.
        instrument: Instrument,
    },
    /// One of several answers.
    Answer {
        /// The answers.
        answers: Vec<String>,
        /// Those that let the run go on.
        good: Vec<String>,
    },
}

/// What an instrument can show.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// Unit it is read in.
    pub unit: Unit,
    /// Lowest value.
    pub lowest: f64,
    /// Highest value.
    pub highest: f64,
}

/// By what an entry is judged.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum JudgedBy {
    /// By the limits the planner set for this check of this pump.
    Limits {
        /// The limits.
        limits: Box<Limits>,
    },
    /// By the step's own limits.
    Bounds {
        /// The limits.
        bounds: Bounds,
    },
    /// By what the answer usually comes to: words, yes and no, feels.
    Usual,
    /// By nothing: no limits are set for it.
    Nothing,
}

/// A procedure that can't be begun at a pump.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CannotBegin {
    /// The pump is not in the register.
    #[error("{}", say!("there is no pump {pump} in the register; load the newest plant, or choose the pump anew", pump = _0))]
    NoPump(PumpId),
    /// The procedure is for pumps of another build.
    #[error("{}", say!("procedure '{procedure}' is not for pump {pump} as it is built; choose another, or have its `for` mended", procedure, pump))]
    NotForThisPump {
        /// The procedure.
        procedure: String,
        /// The pump.
        pump: PumpId,
    },
    /// The procedure takes two pumps.
    #[error("{}", say!("step '{step}' is at the other pump, and none was chosen; choose the pump that stands in for {pump}", step, pump))]
    NoOther {
        /// The step.
        step: String,
        /// The pump it was opened at.
        pump: PumpId,
    },
    /// The two don't stand in for each other.
    #[error("{}", say!("pump {other} does not stand in for {pump}: they are not of one spare group; choose one of its group", other, pump))]
    NotAStandIn {
        /// The pump it was opened at.
        pump: PumpId,
        /// The other.
        other: PumpId,
    },
    /// No procedure of a kind suits a pump.
    #[error("{}", say!("step '{step}': {why}", step, why))]
    NoneFits {
        /// The step.
        step: String,
        /// Which kind and pump.
        why: NoneFits,
    },
    /// A procedure that a step runs is not there.
    #[error("{}", say!("step '{step}' runs procedure '{wanted}', which is not in procedures/; mend the id or add it", step, wanted))]
    NoProcedure {
        /// The step.
        step: String,
        /// The id.
        wanted: String,
    },
    /// A procedure runs itself, by itself or through others.
    #[error("{}", say!("step '{step}' runs procedure '{procedure}' within itself; take the step out", step, procedure))]
    Ring {
        /// The step.
        step: String,
        /// The procedure.
        procedure: String,
    },
    /// The pump does not have the check.
    #[error("{}", say!("step '{step}' asks for {check}, which pump {pump} is not built to have; give the step `{condition}`", step, check, pump, condition = format!("when = {{ has = [\"{check}\"] }}")))]
    NoSuchCheck {
        /// The step.
        step: String,
        /// The check.
        check: CheckId,
        /// The pump.
        pump: PumpId,
    },
    /// The proof has nothing to be set beside.
    #[error("{}", say!("step '{step}' proves against '{against}', which notes no reading before it at these pumps; name a `check` step that comes before and is never left out", step, against))]
    NothingNoted {
        /// The step.
        step: String,
        /// The step named.
        against: String,
    },
    /// A proof of something that is no number, or not the one noted.
    #[error("{}", say!("step '{step}' proves {check}, which can't be set beside what '{against}' notes; both must be numbers in units of one kind", step, check, against))]
    NotAlike {
        /// The step.
        step: String,
        /// The check.
        check: CheckId,
        /// The step named.
        against: String,
    },
    /// Bounds in a unit that measures something else.
    #[error("{}", say!("step '{step}': {unit} does not measure {check}; give low and high in a unit of its kind", step, unit, check))]
    OtherQuantity {
        /// The step.
        step: String,
        /// The check.
        check: CheckId,
        /// The unit given.
        unit: Unit,
    },
    /// More steps than anybody walks through.
    #[error("{}", say!("procedure '{procedure}' comes to more than {most} steps; split it", procedure = _0, most = MAX_STEPS))]
    TooLong(String),
    /// Every step is left out.
    #[error("{}", say!("procedure '{procedure}' has no step for pump {pump}; look at its `when` conditions", procedure, pump))]
    Empty {
        /// The procedure.
        procedure: String,
        /// The pump.
        pump: PumpId,
    },
}

/// A plan that can't be read.
#[derive(Debug, thiserror::Error)]
pub enum BadPlan {
    /// Text that is no plan.
    #[error("{}", say!("the procedure kept with this run can't be read ({why}); begin it anew from the plant's procedures", why = _0))]
    NotAPlan(#[from] serde_json::Error),
    /// A plan whose steps don't hold together.
    #[error("{}", say!("the procedure kept with this run does not hold together at step {step}: {what}; begin it anew from the plant's procedures", step, what))]
    Torn {
        /// Number of the step, from 1.
        step: usize,
        /// What is wrong.
        what: &'static str,
    },
}

impl Plan {
    /// The plan as canonical JSON: the same plan gives the same bytes.
    ///
    /// # Errors
    /// Only those of `serde_json`; a plan that was made by [`Plan::of`] has none.
    pub fn to_json(&self) -> Result<Vec<u8>, serde_json::Error> {
        serde_json::to_vec(self)
    }

    /// Reads a plan that was kept with a run.
    ///
    /// # Errors
    /// Text that is no plan, or one whose steps don't hold together.
    pub fn from_json(json: &[u8]) -> Result<Self, BadPlan> {
        let plan: Plan = serde_json::from_slice(json)?;
        plan.holds_together()?;
        Ok(plan)
    }

    /// SHA-256 of the plan's JSON in hexadecimal digits: the text a run began with.
    ///
    /// # Errors
    /// As [`Plan::to_json`].
    pub fn sha256(&self) -> Result<String, serde_json::Error> {
        let digest = Sha256::digest(self.to_json()?);
        Ok(digest.iter().map(|byte| format!("{byte:02x}")).collect())
    }

    /// The pump of a step.
    pub fn pump(&self, step: &PlannedStep) -> &PlannedPump {
        match &self.other {
            Some(other) if other.id == step.pump => other,
            _ => &self.this,
        }
    }

    /// Whether its steps hold together, as those of a plan from a file may not.
    ///
    /// # Errors
    /// The step and what is wrong with it.
    pub fn holds_together(&self) -> Result<(), BadPlan> {
        let torn = |index: usize, what| BadPlan::Torn {
            step: index + 1,
            what,
        };
        if !self
            .texts()
            .all(|text| text.chars().count() <= LONGEST_TEXT)
        {
            return Err(torn(0, say!("a text of it is longer than any is")));
        }
        if self.steps.is_empty() || self.steps.len() > MAX_STEPS {
            return Err(torn(self.steps.len(), say!("there must be 1 to 200 steps")));
        }
        for (index, step) in self.steps.iter().enumerate() {
            let known = step.pump == self.this.id
                || self
                    .other
                    .as_ref()
                    .is_some_and(|other| step.pump == other.id);
            if !known {
                return Err(torn(index, say!("it is at a pump that is none of the two")));
            }
            if let Task::Prove { against, .. } = step.task {
                let noted = self.steps.get(against);
                let notes = noted.is_some_and(|step| matches!(step.task, Task::Enter { .. }));
                if against >= index || !notes {
                    return Err(torn(index, say!("it proves against no entry before it")));
                }
            }
            let never_skipped = matches!(step.task, Task::Hold | Task::Warn | Task::Prove { .. });
            if (never_skipped || step.then.is_some()) && !step.must {
                return Err(torn(
                    index,
                    say!("holds, cautions, proofs, starts and stops must be done"),
                ));
            }
        }
        Ok(())
    }
}

impl Plan {
    /// Everything in it that people read.
    fn texts(&self) -> impl Iterator<Item = &str> {
        let own = [&self.procedure, &self.name, &self.basis].into_iter();
        let pumps = [Some(&self.this), self.other.as_ref()]
            .into_iter()
            .flatten();
        let of_pumps = pumps.flat_map(|pump| [Some(&pump.name), pump.hazard.as_ref()]);
        let of_steps = self.steps.iter().flat_map(|step| {
            [
                Some(&step.id),
                Some(&step.part),
                Some(&step.words),
                step.caution.as_ref(),
                step.otherwise.as_ref(),
            ]
        });
        own.map(Some)
            .chain(of_pumps)
            .chain(of_steps)
            .flatten()
            .map(String::as_str)
    }
}

impl AskedEntry {
    /// How it is entered; `None` for answers, which are the step's own.
    pub fn kind(&self) -> Option<EntryKind> {
        match self {
            AskedEntry::Check {
                instrument: Some(instrument),
                ..
            }
            | AskedEntry::Reading { instrument } => Some(EntryKind::Number {
                unit: instrument.unit,
                lowest: instrument.lowest,
                highest: instrument.highest,
            }),
            AskedEntry::Check {
                check,
                instrument: None,
            } => Some(usual_kind(check.kind)),
            AskedEntry::Answer { .. } => None,
        }
    }

    /// Unit of its number; `None` where it is none.
    pub(super) fn unit(&self) -> Option<Unit> {
        match self.kind()? {
            EntryKind::Number { unit, .. } => Some(unit),
            EntryKind::Count => Some(Unit::DropsPerMin),
            EntryKind::Level => Some(Unit::Percent),
            EntryKind::Feel(_) | EntryKind::Choice(_) | EntryKind::YesNo { .. } => None,
            EntryKind::Words => None,
        }
    }

    /// The check, where it is one.
    pub fn check(&self) -> Option<CheckId> {
        match self {
            AskedEntry::Check { check, .. } => Some(*check),
            AskedEntry::Reading { .. } | AskedEntry::Answer { .. } => None,
        }
    }
}
