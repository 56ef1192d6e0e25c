//! A procedure as the planner writes it. These structs are the schema of `procedures/*.toml`.

use super::{BadStep, Conditions, written::StepText};
use crate::{
    plant::{CheckId, CheckKind, Unit, ValveAtStart},
    say,
};
use serde::{Deserialize, Serialize};

/// A procedure: steps in the order they are done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Procedure {
    /// Short id: letters, digits, dashes and underscores.
    pub id: String,
    /// What it is for.
    pub kind: Kind,
    /// Name as people say it.
    pub name: String,
    /// Counts up with each change of its text.
    pub version: u32,
    /// Where it comes from: plant's procedure, maker's manual, common practice.
    pub basis: String,
    /// Which pumps it is for; every pump where nothing is said.
    #[serde(
        rename = "for",
        default,
        skip_serializing_if = "Conditions::says_nothing"
    )]
    pub suits: Conditions,
    /// The steps.
    #[serde(rename = "step")]
    pub steps: Vec<Step>,
}

/// What a procedure is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Filling the pump with liquid and getting the air out.
    Prime,
    /// Starting.
    Start,
    /// Stopping.
    Stop,
    /// Putting the other pump of a pair in this one's place.
    ChangeOver,
    /// A plant's own.
    Own,
    /// A part that others run, never begun by itself.
    Part,
}

impl Kind {
    /// As people say it, for example "change over".
    pub fn words(self) -> &'static str {
        match self {
            Kind::Prime => say!("kind of procedure" => "prime"),
            Kind::Start => say!("kind of procedure" => "start"),
            Kind::Stop => say!("kind of procedure" => "stop"),
            Kind::ChangeOver => say!("kind of procedure" => "change over"),
            Kind::Own => say!("kind of procedure" => "plant's own"),
            Kind::Part => say!("kind of procedure" => "part"),
        }
    }
}

/// One step. In a file it is one table with the key of its action: `do`, `check`, `every`, `reading`, `ask`, `hold`,
/// `valve`, `wait_s`, `warn`, `prove` or `run`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "StepText", into = "StepText")]
pub struct Step {
    /// Short id, once in its procedure.
    pub id: String,
    /// At which pump of a pair.
    pub on: On,
    /// Only at pumps of this build: the branch. At others the step is left out.
    pub when: Conditions,
    /// What to mind before it is done, in one sentence.
    pub caution: Option<String>,
    /// What to do where it does not come out as it should.
    pub otherwise: Option<String>,
    /// It can't be skipped. Holds, cautions and proofs never can.
    pub must: bool,
    /// What is done.
    pub action: Action,
}

impl TryFrom<StepText> for Step {
    type Error = BadStep;
    fn try_from(text: StepText) -> Result<Self, BadStep> {
        text.step()
    }
}

/// Which pump of a pair.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum On {
    /// The one the procedure was opened at.
    #[default]
    This,
    /// The one that stands in for it.
    Other,
}

/// What is done in a step.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Something in words.
    Do {
        /// The words.
        words: String,
        /// What the pump does from then on; a step that says so can't be skipped.
        then: Option<Then>,
    },
    /// Looking at something and entering it.
    Check {
        /// At what.
        look: Look,
        /// Limits of its own instead of the pump's.
        bounds: Option<Bounds>,
        /// Act and worse stop the run. Stop pump always does.
        stops: bool,
        /// Words beside it.
        words: Option<String>,
    },
    /// Waiting for somebody's permission.
    Hold {
        /// What is asked.
        words: String,
    },
    /// A valve is set and its position confirmed.
    Valve {
        /// The valve's name.
        name: String,
        /// How it must stand.
        position: Position,
        /// Words beside it.
        words: Option<String>,
    },
    /// Waiting for a time.
    Wait {
        /// How long, s.
        seconds: u32,
        /// Why.
        words: String,
    },
    /// A caution to be acknowledged.
    Warn {
        /// The words.
        words: String,
    },
    /// A check repeated, against what it was before.
    Prove(Proof),
    /// The steps of another procedure, in this place.
    Run {
        /// Which procedure.
        which: Which,
    },
}

/// What a pump does once a step is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Then {
    /// It runs.
    Runs,
    /// It stands.
    Stands,
}

/// What a check step looks at.
#[derive(Clone, Debug, PartialEq)]
pub enum Look {
    /// One check of the pump.
    Check(CheckId),
    /// Every check of these kinds that the pump has, one step each; none where it has none.
    Every(Vec<CheckKind>),
    /// A gauge that is no check of the pump.
    Reading {
        /// Its name.
        name: String,
        /// Unit it is read in.
        unit: Unit,
        /// Lowest and highest mark.
        scale: [f64; 2],
    },
    /// A question with answers to choose from.
    Ask {
        /// The question.
        question: String,
        /// The answers; `yes` and `no` where nothing is said.
        answers: Vec<String>,
        /// Those that let the run go on.
        good: Vec<String>,
    },
}

/// Limits of a step's own: a bound is the last good value.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bounds {
    /// Unit of both.
    pub unit: Unit,
    /// Lowest good value.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low: Option<f64>,
    /// Highest good value.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high: Option<f64>,
}

/// A check repeated, against what was noted before.
#[derive(Clone, Debug, PartialEq)]
pub struct Proof {
    /// The check.
    pub check: CheckId,
    /// The step of this procedure that noted the value before.
    pub against: String,
    /// How little is still good.
    pub least: Least,
    /// Words beside it.
    pub words: Option<String>,
}

/// How little is still good, set beside the value noted before.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Least {
    /// At least this share of it, above 0.
    Share(f64),
    /// At most this much below it.
    Drop {
        /// How much, 0 or more.
        by: f64,
        /// Unit of `by`.
        unit: Unit,
    },
}

/// Which procedure a step runs.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Which {
    /// The one of this kind that suits the pump.
    Kind(Kind),
    /// The one of this id.
    Id(String),
}

/// How a valve must stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Position {
    /// Open.
    Open,
    /// Cracked: a little open.
    Cracked,
    /// Shut.
    Shut,
    /// As this pump's discharge valve stands when it is started.
    AsAtStart,
}

/// How a valve stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ValvePosition {
    /// Open.
    Open,
    /// Cracked: a little open.
    Cracked,
    /// Shut.
    Shut,
}

impl ValvePosition {
    /// Every position.
    pub const ALL: &[ValvePosition] = &[
        ValvePosition::Open,
        ValvePosition::Cracked,
        ValvePosition::Shut,
    ];

    /// As it is written in files and entered as a choice.
    pub fn key(self) -> &'static str {
        match self {
            ValvePosition::Open => "open",
            ValvePosition::Cracked => "cracked",
            ValvePosition::Shut => "shut",
        }
    }

    /// In words, as a valve is said to stand.
    pub fn words(self) -> &'static str {
        match self {
            ValvePosition::Open => say!("of a valve" => "open"),
            ValvePosition::Cracked => say!("of a valve" => "cracked"),
            ValvePosition::Shut => say!("of a valve" => "shut"),
        }
    }
}

impl Position {
    /// How the valve must stand at a pump with this rule.
    pub fn at(self, rule: ValveAtStart) -> ValvePosition {
        match (self, rule) {
            (Position::Open, _) | (Position::AsAtStart, ValveAtStart::Open) => ValvePosition::Open,
            (Position::Cracked, _) | (Position::AsAtStart, ValveAtStart::Cracked) => {
                ValvePosition::Cracked
            }
            (Position::Shut, _) | (Position::AsAtStart, ValveAtStart::Shut) => ValvePosition::Shut,
        }
    }
}
