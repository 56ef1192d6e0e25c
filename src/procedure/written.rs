//! A step as it stands in a file: one flat table, with the key of its action.

use super::{
    Action, Bounds, Conditions, Least, Look, MAX_WAIT_S, On, Position, Proof, Step, Then, Which,
};
use crate::{
    plant::{CheckId, CheckKind, Unit},
    say,
};
use serde::{Deserialize, Serialize};

/// A step's table that is no step.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadStep {
    /// No key says what is done.
    #[error("{}", say!("step '{id}' says nothing to do; give it one of do, check, every, reading, ask, hold, valve, wait_s, warn, prove or run", id = _0))]
    NoAction(String),
    /// Several keys say what is done.
    #[error("{}", say!("step '{id}' has {keys}; keep one and make a step of each of the others", id, keys))]
    SeveralActions {
        /// The step.
        id: String,
        /// The keys.
        keys: String,
    },
    /// A key that belongs to the action is missing.
    #[error("{}", say!("step '{id}' has no `{key}`; {why}", id, key, why))]
    Missing {
        /// The step.
        id: String,
        /// The key.
        key: &'static str,
        /// What it is for.
        why: &'static str,
    },
    /// A key that means nothing beside the action.
    #[error("{}", say!("step '{id}': `{key}` means nothing beside `{action}`; take it out", id, key, action))]
    Stray {
        /// The step.
        id: String,
        /// The key.
        key: &'static str,
        /// The action's key.
        action: &'static str,
    },
    /// A wait that is none, or too long.
    #[error("{}", say!("step '{id}': `wait_s` must be 1 to {most} seconds, is {seconds}", id, most = MAX_WAIT_S, seconds))]
    Wait {
        /// The step.
        id: String,
        /// What was given.
        seconds: u32,
    },
}

/// One `[[procedure.step]]` table.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct StepText {
    id: String,
    #[serde(skip_serializing_if = "is_this")]
    on: On,
    #[serde(skip_serializing_if = "Conditions::says_nothing")]
    when: Conditions,
    #[serde(skip_serializing_if = "Option::is_none")]
    caution: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    otherwise: Option<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    must: bool,
    #[serde(rename = "do", skip_serializing_if = "Option::is_none")]
    do_: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    then: Option<Then>,
    #[serde(skip_serializing_if = "Option::is_none")]
    check: Option<CheckId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    every: Option<Vec<CheckKind>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reading: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ask: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    valve: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wait_s: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    warn: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    prove: Option<CheckId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    run: Option<Which>,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stops: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unit: Option<Unit>,
    #[serde(skip_serializing_if = "Option::is_none")]
    low: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    scale: Option<[f64; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    answers: Option<Vec<String>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    good: Option<Vec<String>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    position: Option<Position>,
    #[serde(skip_serializing_if = "Option::is_none")]
    against: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    least_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    most_drop: Option<f64>,
}

fn is_this(on: &On) -> bool {
    *on == On::This
}

impl StepText {
    /// The step this table says.
    pub(super) fn step(mut self) -> Result<Step, BadStep> {
        let given = self.actions();
        let key = match given[..] {
            [] => return Err(BadStep::NoAction(self.id)),
            [key] => key,
            _ => {
                let keys: Vec<_> = given.iter().map(|key| format!("`{key}`")).collect();
                return Err(BadStep::SeveralActions {
                    id: self.id,
                    keys: keys.join(&format!(" {} ", say!("and"))),
                });
            }
        };
        let action = self.take_action()?;
        match self.left_over() {
            Some(stray) => Err(BadStep::Stray {
                id: self.id,
                key: stray,
                action: key,
            }),
            None => Ok(Step {
                id: self.id,
                on: self.on,
                when: self.when,
                caution: self.caution,
                otherwise: self.otherwise,
                must: self.must,
                action,
            }),
        }
    }

    fn actions(&self) -> Vec<&'static str> {
        [
            ("do", self.do_.is_some()),
            ("check", self.check.is_some()),
            ("every", self.every.is_some()),
            ("reading", self.reading.is_some()),
            ("ask", self.ask.is_some()),
            ("hold", self.hold.is_some()),
            ("valve", self.valve.is_some()),
            ("wait_s", self.wait_s.is_some()),
            ("warn", self.warn.is_some()),
            ("prove", self.prove.is_some()),
            ("run", self.run.is_some()),
        ]
        .into_iter()
        .filter_map(|(key, given)| given.then_some(key))
        .collect()
    }

    /// The keys that no action took.
    fn left_over(&self) -> Option<&'static str> {
        [
            ("then", self.then.is_some()),
            ("words", self.words.is_some()),
            ("stops", self.stops.is_some()),
            ("unit", self.unit.is_some()),
            ("low", self.low.is_some()),
            ("high", self.high.is_some()),
            ("scale", self.scale.is_some()),
            ("answers", self.answers.is_some()),
            ("good", self.good.is_some()),
            ("position", self.position.is_some()),
            ("against", self.against.is_some()),
            ("least_share", self.least_share.is_some()),
            ("most_drop", self.most_drop.is_some()),
        ]
        .into_iter()
        .find_map(|(key, given)| given.then_some(key))
    }

    fn take_action(&mut self) -> Result<Action, BadStep> {
        if let Some(words) = self.do_.take() {
            let then = self.then.take();
            Ok(Action::Do { words, then })
        } else if let Some(words) = self.hold.take() {
            Ok(Action::Hold { words })
        } else if let Some(words) = self.warn.take() {
            Ok(Action::Warn { words })
        } else if let Some(which) = self.run.take() {
            Ok(Action::Run { which })
        } else if let Some(name) = self.valve.take() {
            let position = self.position.take();
            Ok(Action::Valve {
                name,
                position: self.need(
                    position,
                    "position",
                    say!("say open, cracked, shut or as_at_start"),
                )?,
                words: self.words.take(),
            })
        } else if let Some(seconds) = self.wait_s.take() {
            self.wait(seconds)
        } else if let Some(check) = self.prove.take() {
            self.proof(check)
        } else {
            self.look()
        }
    }

    fn wait(&mut self, seconds: u32) -> Result<Action, BadStep> {
        if seconds == 0 || seconds > MAX_WAIT_S {
            return Err(BadStep::Wait {
                id: self.id.clone(),
                seconds,
            });
        }
        let words = self.words.take();
        let words = self.need(words, "words", say!("say what is waited for"))?;
        Ok(Action::Wait { seconds, words })
    }

    fn proof(&mut self, check: CheckId) -> Result<Action, BadStep> {
        let against = self.against.take();
        let against = self.need(
            against,
            "against",
            say!("name the step that noted the value before"),
        )?;
        let least = match (self.least_share.take(), self.most_drop.take()) {
            (Some(share), None) => Least::Share(share),
            (None, Some(by)) => {
                let unit = self.unit.take();
                let unit = self.need(unit, "unit", say!("say what most_drop is measured in"))?;
                Least::Drop { by, unit }
            }
            (Some(_), Some(_)) => {
                return Err(BadStep::Stray {
                    id: self.id.clone(),
                    key: "most_drop",
                    action: "least_share",
                });
            }
            (None, None) => {
                return Err(BadStep::Missing {
                    id: self.id.clone(),
                    key: "least_share",
                    why: say!("say how little is still good: least_share or most_drop"),
                });
            }
        };
        Ok(Action::Prove(Proof {
            check,
            against,
            least,
            words: self.words.take(),
        }))
    }

    fn look(&mut self) -> Result<Action, BadStep> {
        let (look, bounds) = if let Some(name) = self.reading.take() {
            let (unit, scale) = (self.unit.take(), self.scale.take());
            let unit = self.need(unit, "unit", say!("say what the gauge is marked in"))?;
            let scale = self.need(
                scale,
                "scale",
                say!("give the gauge's lowest and highest mark"),
            )?;
            (
                Look::Reading { name, unit, scale },
                self.bounds(Some(unit))?,
            )
        } else if let Some(question) = self.ask.take() {
            let good = self.good.take();
            let good = self.need(good, "good", say!("say which answers let the run go on"))?;
            let yes_no = || vec!["yes".to_owned(), "no".to_owned()];
            let answers = self.answers.take().unwrap_or_else(yes_no);
            let look = Look::Ask {
                question,
                answers,
                good,
            };
            (look, None)
        } else if let Some(kinds) = self.every.take() {
            (Look::Every(kinds), None)
        } else if let Some(check) = self.check.take() {
            (Look::Check(check), self.bounds(None)?)
        } else {
            return Err(BadStep::NoAction(self.id.clone()));
        };
        Ok(Action::Check {
            look,
            bounds,
            stops: self.stops.take().unwrap_or(true),
            words: self.words.take(),
        })
    }

    fn bounds(&mut self, usual: Option<Unit>) -> Result<Option<Bounds>, BadStep> {
        let (low, high) = (self.low.take(), self.high.take());
        if low.is_none() && high.is_none() {
            return Ok(None);
        }
        let unit = usual.or_else(|| self.unit.take());
        let unit = self.need(unit, "unit", say!("say what low and high are measured in"))?;
        Ok(Some(Bounds { unit, low, high }))
    }

    fn need<T>(
        &self,
        value: Option<T>,
        key: &'static str,
        why: &'static str,
    ) -> Result<T, BadStep> {
        value.ok_or_else(|| BadStep::Missing {
            id: self.id.clone(),
            key,
            why,
        })
    }
}

impl From<Step> for StepText {
    fn from(step: Step) -> Self {
        let mut text = StepText {
            id: step.id,
            on: step.on,
            when: step.when,
            caution: step.caution,
            otherwise: step.otherwise,
            must: step.must,
            ..StepText::default()
        };
        match step.action {
            Action::Do { words, then } => {
                text.do_ = Some(words);
                text.then = then;
            }
            Action::Hold { words } => text.hold = Some(words),
            Action::Warn { words } => text.warn = Some(words),
            Action::Run { which } => text.run = Some(which),
            Action::Valve {
                name,
                position,
                words,
            } => {
                text.valve = Some(name);
                text.position = Some(position);
                text.words = words;
            }
            Action::Wait { seconds, words } => {
                text.wait_s = Some(seconds);
                text.words = Some(words);
            }
            Action::Prove(proof) => text.write_proof(proof),
            Action::Check {
                look,
                bounds,
                stops,
                words,
            } => {
                text.write_look(look, bounds);
                text.stops = (!stops).then_some(false);
                text.words = words;
            }
        }
        text
    }
}

impl StepText {
    fn write_proof(&mut self, proof: Proof) {
        self.prove = Some(proof.check);
        self.against = Some(proof.against);
        self.words = proof.words;
        match proof.least {
            Least::Share(share) => self.least_share = Some(share),
            Least::Drop { by, unit } => {
                self.most_drop = Some(by);
                self.unit = Some(unit);
            }
        }
    }

    fn write_look(&mut self, look: Look, bounds: Option<Bounds>) {
        if let Some(bounds) = bounds {
            self.unit = Some(bounds.unit);
            self.low = bounds.low;
            self.high = bounds.high;
        }
        match look {
            Look::Check(check) => self.check = Some(check),
            Look::Every(kinds) => self.every = Some(kinds),
            Look::Reading { name, unit, scale } => {
                self.reading = Some(name);
                self.unit = Some(unit);
                self.scale = Some(scale);
            }
            Look::Ask {
                question,
                answers,
                good,
            } => {
                self.ask = Some(question);
                self.answers = Some(answers);
                self.good = Some(good);
            }
        }
    }
}
