//! Writing a procedure out for a pump: leaving out what is not for its build, putting in what it runs.

use super::{
    Action, AskedEntry, Bounds, CannotBegin, Instrument, JudgedBy, Least, Look, MAX_STEPS, On,
    Plan, PlannedPump, PlannedStep, Procedure, Proof, Step, Task, ValvePosition, Which,
    choose::{choose, stand_in},
    conditions::{check_of, checks_of},
};
use crate::{
    check::{Check, EntryKind, words},
    plant::{CheckId, Limits, Plant, Pump, PumpId, Unit},
    say,
};

/// Most steps looked at, those left out with them.
const MAX_LOOKED_AT: usize = 10 * MAX_STEPS;

impl Plan {
    /// Writes a procedure out for a pump, and for the other of the pair where it takes two.
    ///
    /// What the program words of it (titles of checks, valves) is in the language spoken now, and stays so in the plan: a
    /// run keeps the text it was begun with.
    ///
    /// # Errors
    /// Why it can't be begun there, and what to do about it.
    pub fn of(
        procedure: &Procedure,
        plant: &Plant,
        this: &PumpId,
        other: Option<&PumpId>,
    ) -> Result<Self, CannotBegin> {
        let find = |id: &PumpId| {
            plant
                .pump(id)
                .ok_or_else(|| CannotBegin::NoPump(id.clone()))
        };
        let this = find(this)?;
        let other = other.map(find).transpose()?;
        if !procedure.suits(this) {
            return Err(CannotBegin::NotForThisPump {
                procedure: procedure.id.clone(),
                pump: this.id.clone(),
            });
        }
        if let Some(other) = other.filter(|other| other.id == this.id || !stand_in(this, other)) {
            return Err(CannotBegin::NotAStandIn {
                pump: this.id.clone(),
                other: other.id.clone(),
            });
        }
        let mut writing = Writing {
            plant,
            within: Vec::new(),
            steps: Vec::new(),
            looked_at: 0,
        };
        writing.procedure(procedure, Pair { this, other }, "")?;
        if writing.steps.is_empty() {
            return Err(CannotBegin::Empty {
                procedure: procedure.id.clone(),
                pump: this.id.clone(),
            });
        }
        Ok(Plan {
            procedure: procedure.id.clone(),
            kind: procedure.kind,
            name: procedure.name.clone(),
            version: procedure.version,
            basis: procedure.basis.clone(),
            this: planned(this),
            other: other.map(planned),
            steps: writing.steps,
        })
    }
}

fn planned(pump: &Pump) -> PlannedPump {
    PlannedPump {
        id: pump.id.clone(),
        name: pump.name.clone(),
        hazard: pump.hazard.clone(),
    }
}

#[derive(Clone, Copy)]
struct Pair<'a> {
    this: &'a Pump,
    other: Option<&'a Pump>,
}

impl<'a> Pair<'a> {
    /// The pair as seen from the pump a step is on.
    fn from(self, on: On) -> Option<Self> {
        match on {
            On::This => Some(self),
            On::Other => self.other.map(|other| Pair {
                this: other,
                other: Some(self.this),
            }),
        }
    }
}

struct Writing<'a> {
    plant: &'a Plant,
    /// The procedures being written, the outermost first.
    within: Vec<&'a str>,
    steps: Vec<PlannedStep>,
    /// Steps looked at, also those left out: procedures that run others many times over come to an end here.
    looked_at: usize,
}

impl<'a> Writing<'a> {
    fn procedure(
        &mut self,
        procedure: &'a Procedure,
        pair: Pair<'a>,
        path: &str,
    ) -> Result<(), CannotBegin> {
        self.within.push(&procedure.id);
        // The steps of this procedure that note a value, for proofs further on.
        let mut noted = Vec::new();
        for step in &procedure.steps {
            self.looked_at += 1;
            if self.steps.len() > MAX_STEPS || self.looked_at > MAX_LOOKED_AT {
                return Err(self.too_long());
            }
            let id = format!("{path}{}", step.id);
            let pair = pair.from(step.on).ok_or_else(|| CannotBegin::NoOther {
                step: id.clone(),
                pump: pair.this.id.clone(),
            })?;
            if !step.when.suits(pair.this) {
                continue;
            }
            if let Action::Run { which } = &step.action {
                let inner = self.which(which, pair.this, &id)?;
                self.procedure(inner, pair, &format!("{id}/"))?;
                continue;
            }
            let index = self.steps.len();
            self.step(procedure, step, pair.this, id, &noted)?;
            let one_more = self.steps.len() == index + 1;
            if one_more && matches!(self.steps[index].task, Task::Enter { .. }) {
                noted.push((step.id.as_str(), index));
            }
        }
        if self.steps.len() > MAX_STEPS {
            return Err(self.too_long());
        }
        self.within.pop();
        Ok(())
    }

    fn too_long(&self) -> CannotBegin {
        let outermost = self.within.first().copied().unwrap_or_default();
        CannotBegin::TooLong(outermost.to_owned())
    }

    fn which(&self, which: &Which, pump: &Pump, step: &str) -> Result<&'a Procedure, CannotBegin> {
        let found = match which {
            Which::Kind(kind) => choose(*kind, pump, &self.plant.procedures).map_err(|why| {
                CannotBegin::NoneFits {
                    step: step.to_owned(),
                    why,
                }
            })?,
            Which::Id(id) => {
                let found = self.plant.procedure(id);
                found.ok_or_else(|| CannotBegin::NoProcedure {
                    step: step.to_owned(),
                    wanted: id.clone(),
                })?
            }
        };
        if self.within.contains(&found.id.as_str()) {
            return Err(CannotBegin::Ring {
                step: step.to_owned(),
                procedure: found.id.clone(),
            });
        }
        if !found.suits(pump) {
            return Err(CannotBegin::NotForThisPump {
                procedure: found.id.clone(),
                pump: pump.id.clone(),
            });
        }
        Ok(found)
    }

    fn step(
        &mut self,
        procedure: &Procedure,
        step: &Step,
        pump: &Pump,
        id: String,
        noted: &[(&str, usize)],
    ) -> Result<(), CannotBegin> {
        let mut planned = PlannedStep {
            id,
            part: procedure.name.clone(),
            pump: pump.id.clone(),
            words: String::new(),
            caution: step.caution.clone(),
            otherwise: step.otherwise.clone(),
            must: step.must,
            then: None,
            task: Task::Do,
        };
        match &step.action {
            // Written out where it is met.
            Action::Run { .. } => return Ok(()),
            Action::Do { words, then } => {
                planned.words = words.clone();
                planned.then = *then;
                planned.must |= then.is_some();
            }
            Action::Warn { words } | Action::Hold { words } => {
                planned.words = words.clone();
                planned.must = true;
                planned.task = match step.action {
                    Action::Hold { .. } => Task::Hold,
                    _ => Task::Warn,
                };
            }
            Action::Wait { seconds, words } => {
                planned.words = words.clone();
                planned.task = Task::Wait { seconds: *seconds };
            }
            Action::Valve {
                name,
                position,
                words,
            } => {
                let position = position.at(pump.discharge_valve_at_start);
                planned.words = with(valve_words(name, position), words.as_deref());
                planned.task = Task::Valve { position };
            }
            Action::Prove(proof) => self.proof(proof, pump, noted, &mut planned)?,
            Action::Check {
                look,
                bounds,
                stops,
                words,
            } => return self.look(look, *bounds, *stops, words.as_deref(), pump, planned),
        }
        self.steps.push(planned);
        Ok(())
    }

    fn proof(
        &mut self,
        proof: &Proof,
        pump: &Pump,
        noted: &[(&str, usize)],
        planned: &mut PlannedStep,
    ) -> Result<(), CannotBegin> {
        let nothing = || CannotBegin::NothingNoted {
            step: planned.id.clone(),
            against: proof.against.clone(),
        };
        let found = noted.iter().find(|(id, _)| *id == proof.against);
        let &(_, against) = found.ok_or_else(nothing)?;
        let asked = asked(&check(pump, proof.check, &planned.id)?);
        let before = self.steps.get_mut(against).ok_or_else(nothing)?;
        let unit_before = match &before.task {
            Task::Enter { asked, .. } => asked.unit(),
            _ => None,
        };
        let alike = |unit: Unit| {
            let asked = asked.unit();
            asked.is_some_and(|asked| asked.quantity() == unit.quantity())
        };
        let least_fits = match proof.least {
            Least::Share(_) => true,
            Least::Drop { unit, .. } => alike(unit),
        };
        if !unit_before.is_some_and(alike) || !least_fits {
            return Err(CannotBegin::NotAlike {
                step: planned.id.clone(),
                check: proof.check,
                against: proof.against.clone(),
            });
        }
        // Without the value before there is no proof, so that its step can't be skipped either.
        before.must = true;
        planned.must = true;
        planned.words = with(words::title(proof.check), proof.words.as_deref());
        planned.caution = caution(planned.caution.take(), pump, proof.check);
        planned.task = Task::Prove {
            asked,
            against,
            least: proof.least,
        };
        Ok(())
    }

    fn look(
        &mut self,
        look: &Look,
        bounds: Option<Bounds>,
        stops: bool,
        beside: Option<&str>,
        pump: &Pump,
        planned: PlannedStep,
    ) -> Result<(), CannotBegin> {
        match look {
            Look::Check(id) => {
                let check = check(pump, *id, &planned.id)?;
                let step = self.check_step(&check, bounds, stops, beside, pump, planned)?;
                self.steps.push(step);
            }
            Look::Every(kinds) => {
                let checks = checks_of(pump);
                for check in checks.iter().filter(|check| kinds.contains(&check.id.kind)) {
                    let mut planned = planned.clone();
                    planned.id = format!("{}:{}", planned.id, check.id);
                    let step = self.check_step(check, None, stops, beside, pump, planned)?;
                    self.steps.push(step);
                }
            }
            Look::Reading { name, unit, scale } => {
                let [lowest, highest] = *scale;
                let instrument = Instrument {
                    unit: *unit,
                    lowest,
                    highest,
                };
                self.steps.push(PlannedStep {
                    words: with(name.clone(), beside),
                    task: Task::Enter {
                        asked: AskedEntry::Reading { instrument },
                        by: bounds.map_or(JudgedBy::Nothing, |bounds| JudgedBy::Bounds { bounds }),
                        stops,
                    },
                    ..planned
                });
            }
            Look::Ask {
                question,
                answers,
                good,
            } => self.steps.push(PlannedStep {
                words: with(question.clone(), beside),
                task: Task::Enter {
                    asked: AskedEntry::Answer {
                        answers: answers.clone(),
                        good: good.clone(),
                    },
                    by: JudgedBy::Usual,
                    stops,
                },
                ..planned
            }),
        }
        Ok(())
    }

    fn check_step(
        &self,
        check: &Check,
        bounds: Option<Bounds>,
        stops: bool,
        beside: Option<&str>,
        pump: &Pump,
        planned: PlannedStep,
    ) -> Result<PlannedStep, CannotBegin> {
        let mut check = self.plant.asked_at(&pump.id, check.clone());
        let by = match (bounds, self.plant.limits_of(&pump.id, check.id)) {
            (Some(bounds), _) => {
                check.kind = check.kind.asked_in(bounds.unit);
                let fits = asked(&check)
                    .unit()
                    .is_some_and(|unit| unit.quantity() == bounds.unit.quantity());
                if !fits {
                    return Err(CannotBegin::OtherQuantity {
                        step: planned.id,
                        check: check.id,
                        unit: bounds.unit,
                    });
                }
                JudgedBy::Bounds { bounds }
            }
            (None, Some(limits)) if judges(limits, &check) => JudgedBy::Limits {
                limits: Box::new(limits.clone()),
            },
            (None, _) if has_usual(&check) => JudgedBy::Usual,
            (None, _) => JudgedBy::Nothing,
        };
        Ok(PlannedStep {
            words: with(words::title(check.id), beside),
            caution: planned.caution.or_else(|| check.caution.map(str::to_owned)),
            task: Task::Enter {
                asked: asked(&check),
                by,
                stops,
            },
            ..planned
        })
    }
}

fn check(pump: &Pump, id: CheckId, step: &str) -> Result<Check, CannotBegin> {
    check_of(pump, id).ok_or_else(|| CannotBegin::NoSuchCheck {
        step: step.to_owned(),
        check: id,
        pump: pump.id.clone(),
    })
}

/// Words, answers and feels come to something without limits too.
fn has_usual(check: &Check) -> bool {
    matches!(
        check.kind,
        EntryKind::Choice(_) | EntryKind::YesNo { .. } | EntryKind::Feel(_)
    )
}

/// The limits can tell a good entry from a bad one: a target alone, or a fastest change, can't tell a first reading.
fn judges(limits: &Limits, check: &Check) -> bool {
    has_usual(check) || limits.bounds().any(|(name, _)| name != "target")
}

fn asked(check: &Check) -> AskedEntry {
    let instrument = match check.kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => Some(Instrument {
            unit,
            lowest,
            highest,
        }),
        _ => None,
    };
    AskedEntry::Check {
        check: check.id,
        instrument,
    }
}

/// The step's own caution, else the check's.
fn caution(own: Option<String>, pump: &Pump, id: CheckId) -> Option<String> {
    own.or_else(|| Some(check_of(pump, id)?.caution?.to_owned()))
}

fn with(words: String, beside: Option<&str>) -> String {
    match beside {
        Some(beside) => format!("{words}. {beside}"),
        None => words,
    }
}

fn valve_words(name: &str, position: ValvePosition) -> String {
    match position {
        ValvePosition::Open => say!("{valve}: open it", valve = name),
        ValvePosition::Cracked => say!("{valve}: crack it, a little open", valve = name),
        ValvePosition::Shut => say!("{valve}: shut it", valve = name),
    }
}
