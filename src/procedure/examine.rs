//! Looks for what is wrong in procedures: each by itself, then at every pump it is for.

use super::{
    Action, Bounds, CannotBegin, Conditions, Kind, Least, Look, MAX_STEP_CHARS, MAX_STEPS, On,
    Plan, PlannedPump, Procedure, Proof, Step, Then, Which, choose::partners,
};
use crate::{
    language,
    plant::{Plant, Pump},
    say, word,
};
use std::collections::BTreeSet;

/// Something wrong with a procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Index of the procedure in its plant.
    pub procedure: usize,
    /// Where: `procedure.step.key`.
    pub field: String,
    /// What is wrong and what to do.
    pub what: String,
}

/// Everything that is wrong with this plant's procedures; nothing where they can be used.
pub fn examine(plant: &Plant) -> Vec<Fault> {
    let procedures = &plant.procedures;
    let mut found = Vec::new();
    let mut ids = BTreeSet::new();
    for (index, procedure) in procedures.iter().enumerate() {
        let mut log = Log {
            procedure: index,
            path: procedure.id.clone(),
            found: &mut found,
        };
        if !ids.insert(procedure.id.to_ascii_lowercase()) {
            log.field("id", say!("is given twice; each procedure needs its own"));
        }
        itself(procedure, plant, &mut log);
        if procedure.kind == Kind::ChangeOver {
            proof_before_stop(procedure, procedures, &mut log);
        }
    }
    // A text with faults of its own would be told again at every pump.
    if found.is_empty() {
        for (index, procedure) in procedures.iter().enumerate() {
            let mut log = Log {
                procedure: index,
                path: procedure.id.clone(),
                found: &mut found,
            };
            at_pumps(procedure, plant, &mut log);
            rivals(index, procedures, plant, &mut log);
        }
    }
    found
}

struct Log<'a> {
    procedure: usize,
    path: String,
    found: &'a mut Vec<Fault>,
}

impl Log<'_> {
    fn field(&mut self, key: &str, what: impl Into<String>) {
        self.found.push(Fault {
            procedure: self.procedure,
            field: format!("{}.{key}", self.path),
            what: what.into(),
        });
    }

    fn step(&mut self, step: &str) -> Log<'_> {
        Log {
            procedure: self.procedure,
            path: format!("{}.{step}", self.path),
            found: self.found,
        }
    }

    /// A text that people read: not empty, not over-long, on one line.
    fn text(&mut self, key: &str, text: &str, longest: usize) {
        let length = text.chars().count();
        if text.trim().is_empty() {
            self.field(key, say!("must not be empty"));
        } else if length > longest {
            self.field(
                key,
                say!(
                    "must be at most {longest} characters, is {length}",
                    longest,
                    length
                ),
            );
        } else if text.chars().any(char::is_control) {
            self.field(
                key,
                say!("must be on one line, without tabs or control characters"),
            );
        }
    }

    fn finite(&mut self, key: &str, value: f64) -> bool {
        if !value.is_finite() {
            self.field(key, say!("must be a finite number, is {value}", value));
        }
        value.is_finite()
    }
}

fn is_id(text: &str) -> bool {
    (1..=40).contains(&text.len())
        && text.starts_with(|c: char| c.is_ascii_alphanumeric())
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
}

const ID: &str = word!(
    "must be 1 to 40 letters, digits, dashes and underscores, starting with a letter or digit"
);

fn itself(procedure: &Procedure, plant: &Plant, log: &mut Log<'_>) {
    if !is_id(&procedure.id) {
        log.field("id", language::word(ID));
    }
    log.text("name", &procedure.name, 80);
    log.text("basis", &procedure.basis, 400);
    if procedure.version == 0 {
        log.field("version", say!("must be 1 or more, is 0"));
    }
    if !(1..=MAX_STEPS).contains(&procedure.steps.len()) {
        let steps = procedure.steps.len();
        log.field(
            "step",
            say!(
                "there must be 1 to {most} steps, there are {steps}",
                most = MAX_STEPS,
                steps
            ),
        );
    }
    build("for", &procedure.suits, plant, log);
    let mut ids = BTreeSet::new();
    for (index, step) in procedure.steps.iter().enumerate() {
        if is_id(&step.id) {
            let mut log = log.step(&step.id);
            if !ids.insert(step.id.to_ascii_lowercase()) {
                log.field("id", say!("is given twice; each step needs its own"));
            }
            one_step(step, plant, &mut log);
        } else {
            log.field(&format!("step[{index}].id"), language::word(ID));
        }
    }
}

/// A change over never stops the pump it takes over from before it has proved that the other one carries the load.
fn proof_before_stop(procedure: &Procedure, procedures: &[Procedure], log: &mut Log<'_>) {
    let stops = |step: &Step| {
        let Action::Run { which } = &step.action else {
            return false;
        };
        let is_stop = match which {
            Which::Kind(kind) => *kind == Kind::Stop,
            Which::Id(id) => procedures
                .iter()
                .any(|one| one.kind == Kind::Stop && one.id == *id),
        };
        step.on == On::This && is_stop
    };
    // A proof that some pumps are spared is none for them.
    let proves = |step: &Step| matches!(step.action, Action::Prove(_)) && step.when.says_nothing();
    let stop = procedure.steps.iter().position(stops);
    let proof = procedure.steps.iter().position(proves);
    match (stop, proof) {
        (None, _) => log.field(
            "step",
            say!(
                "a change over must stop the old pump: add a step `{step}` after the proof",
                step = "run = { kind = \"stop\" }"
            ),
        ),
        (Some(stop), proof) if proof.is_none_or(|proof| proof > stop) => {
            let id = &procedure.steps[stop].id;
            log.field(
                &format!("{id}.run"),
                say!("stops the old pump before it is proved that the other one holds; put a `prove` step without `when` before it"),
            );
        }
        _ => {}
    }
}

fn build(key: &str, build: &Conditions, plant: &Plant, log: &mut Log<'_>) {
    for (name, bound) in [
        ("liquid_above_c", build.liquid_above_c),
        ("liquid_up_to_c", build.liquid_up_to_c),
    ] {
        if let Some(bound) = bound {
            log.finite(&format!("{key}.{name}"), bound);
        }
    }
    for (index, id) in build.pumps.iter().enumerate() {
        if plant.pump(id).is_none() {
            log.field(
                &format!("{key}.pumps[{index}]"),
                say!(
                    "there is no pump {pump} in pumps/; mend the id or take it out",
                    pump = id
                ),
            );
        }
    }
    for check in &build.has {
        if build.lacks.contains(check) {
            log.field(
                key,
                say!("no pump both has and lacks {check}; take one out", check),
            );
        }
    }
}

fn one_step(step: &Step, plant: &Plant, log: &mut Log<'_>) {
    build("when", &step.when, plant, log);
    for (key, text) in [("caution", &step.caution), ("otherwise", &step.otherwise)] {
        if let Some(text) = text {
            log.text(key, text, MAX_STEP_CHARS);
        }
    }
    match &step.action {
        Action::Do { words, .. } => log.text("do", words, MAX_STEP_CHARS),
        Action::Hold { words } => log.text("hold", words, MAX_STEP_CHARS),
        Action::Warn { words } => log.text("warn", words, MAX_STEP_CHARS),
        Action::Wait { words, .. } => log.text("words", words, MAX_STEP_CHARS),
        Action::Valve { name, words, .. } => {
            log.text("valve", name, 80);
            beside(words.as_deref(), log);
        }
        Action::Check {
            look,
            bounds,
            words,
            ..
        } => {
            beside(words.as_deref(), log);
            looks(look, log);
            if let Some(bounds) = bounds {
                own_bounds(*bounds, log);
            }
        }
        Action::Prove(proof) => {
            proves(proof, log);
            if step.otherwise.is_none() {
                log.field(
                    "otherwise",
                    say!("must say what to do where it does not hold, so that nobody stands there without"),
                );
            }
        }
        Action::Run { .. } => {
            if step.caution.is_some() || step.otherwise.is_some() || step.must {
                log.field(
                    "run",
                    say!("`caution`, `otherwise` and `must` mean nothing here; give them to the steps of the procedure it runs"),
                );
            }
        }
    }
}

fn beside(words: Option<&str>, log: &mut Log<'_>) {
    if let Some(words) = words {
        log.text("words", words, MAX_STEP_CHARS);
    }
}

fn looks(look: &Look, log: &mut Log<'_>) {
    match look {
        Look::Check(_) => {}
        Look::Every(kinds) => {
            if kinds.is_empty() {
                log.field("every", say!("must name at least one kind of check"));
            }
        }
        Look::Reading { name, scale, .. } => {
            log.text("reading", name, 80);
            let [low, high] = *scale;
            if log.finite("scale", low) && log.finite("scale", high) && low >= high {
                log.field("scale", say!("must rise, is {low} to {high}", low, high));
            }
        }
        Look::Ask {
            question,
            answers,
            good,
        } => {
            log.text("ask", question, MAX_STEP_CHARS);
            let different: BTreeSet<_> = answers.iter().collect();
            if answers.len() < 2 || different.len() < answers.len() {
                log.field("answers", say!("must be two or more, all different"));
            }
            for answer in answers {
                log.text("answers", answer, 60);
            }
            if good.is_empty() {
                log.field("good", say!("must name at least one answer"));
            }
            for answer in good.iter().filter(|answer| !answers.contains(answer)) {
                let answers = answers.join(", ");
                log.field(
                    "good",
                    say!(
                        "'{answer}' is none of the answers {answers}",
                        answer,
                        answers
                    ),
                );
            }
        }
    }
}

fn own_bounds(bounds: Bounds, log: &mut Log<'_>) {
    for (key, bound) in [("low", bounds.low), ("high", bounds.high)] {
        if let Some(bound) = bound {
            log.finite(key, bound);
        }
    }
    if let (Some(low), Some(high)) = (bounds.low, bounds.high)
        && low > high
    {
        log.field(
            "low",
            say!("{low} must not be above high, {high}", low, high),
        );
    }
}

fn proves(proof: &Proof, log: &mut Log<'_>) {
    beside(proof.words.as_deref(), log);
    match proof.least {
        Least::Share(share) => {
            if log.finite("least_share", share) && !(share > 0.0 && share <= 2.0) {
                log.field(
                    "least_share",
                    say!("must be above 0 and at most 2, is {share}", share),
                );
            }
        }
        Least::Drop { by, .. } => {
            if log.finite("most_drop", by) && by < 0.0 {
                log.field("most_drop", say!("must be 0 or more, is {drop}", drop = by));
            }
        }
    }
}

/// Writes the procedure out for every pump it is for, with each that stands in for it.
fn at_pumps(procedure: &Procedure, plant: &Plant, log: &mut Log<'_>) {
    let mut told = BTreeSet::new();
    for pump in plant.pumps.iter().filter(|pump| procedure.suits(pump)) {
        for other in others(plant, pump) {
            let other = other.map(|other| &other.id);
            let planned = Plan::of(procedure, plant, &pump.id, other);
            let why = match planned {
                Ok(plan) => {
                    let missing = never_turned(&plan);
                    if let Some(what) = missing.filter(|_| told.insert("step".to_owned())) {
                        log.field("step", what);
                    }
                    continue;
                }
                Err(why) => why,
            };
            let (step, what) = fault(&why, pump);
            // What is wrong within a procedure that this one runs is told there.
            if !step.contains('/') && told.insert(step.clone()) {
                log.field(&step, what);
            }
        }
    }
}

/// What a start, a stop or a change over leaves unsaid: that the pump runs then, or stands.
fn never_turned(plan: &Plan) -> Option<String> {
    let says = |pump: &PlannedPump, then| {
        let mut steps = plan.steps.iter();
        steps.any(|step| step.pump == pump.id && step.then == Some(then))
    };
    let this = |then| says(&plan.this, then);
    let other = |then| plan.other.as_ref().is_some_and(|other| says(other, then));
    let (starts, stops) = match plan.kind {
        Kind::Start => (this(Then::Runs), true),
        Kind::Stop => (true, this(Then::Stands)),
        Kind::ChangeOver => (other(Then::Runs), this(Then::Stands)),
        Kind::Prime | Kind::Own | Kind::Part => (true, true),
    };
    if !starts {
        Some(say!("no step starts the pump; give the one that does `then = \"runs\"`").to_owned())
    } else if !stops {
        Some(say!("no step stops the pump; give the one that does `then = \"stands\"`").to_owned())
    } else {
        None
    }
}

/// Enough of a spare group to meet every build in it; [`Plan::of`] looks at the two themselves again.
const MOST_PARTNERS: usize = 8;

fn others<'a>(plant: &'a Plant, pump: &'a Pump) -> Vec<Option<&'a Pump>> {
    let others: Vec<_> = partners(plant, pump)
        .take(MOST_PARTNERS)
        .map(Some)
        .collect();
    if others.is_empty() {
        vec![None]
    } else {
        others
    }
}

/// The step a fault is at, and what is wrong.
fn fault(why: &CannotBegin, pump: &Pump) -> (String, String) {
    let step = match why {
        CannotBegin::NoOther { step, .. }
        | CannotBegin::NoneFits { step, .. }
        | CannotBegin::NoProcedure { step, .. }
        | CannotBegin::Ring { step, .. }
        | CannotBegin::NoSuchCheck { step, .. }
        | CannotBegin::NothingNoted { step, .. }
        | CannotBegin::NotAlike { step, .. }
        | CannotBegin::OtherQuantity { step, .. } => step.as_str(),
        CannotBegin::NoPump(_)
        | CannotBegin::NotForThisPump { .. }
        | CannotBegin::NotAStandIn { .. }
        | CannotBegin::TooLong(_)
        | CannotBegin::Empty { .. } => "step",
    };
    let what = match why {
        CannotBegin::NoOther { .. } => say!(
            "is at the other pump, and pump {pump} has none that stands in for it; give the procedure `{condition}`, or take the step out",
            pump = pump.id,
            condition = "for = { spare = \"duty\" }"
        ),
        _ => why.to_string(),
    };
    (step.to_owned(), what)
}

/// Two procedures of one kind that suit a pump equally: nobody could say which is meant.
fn rivals(index: usize, procedures: &[Procedure], plant: &Plant, log: &mut Log<'_>) {
    let (before, rest) = procedures.split_at(index);
    let Some(procedure) = rest
        .first()
        .filter(|one| !matches!(one.kind, Kind::Own | Kind::Part))
    else {
        return;
    };
    for earlier in before.iter().filter(|one| one.kind == procedure.kind) {
        if earlier.suits.narrowness() != procedure.suits.narrowness() {
            continue;
        }
        let both = |pump: &&Pump| earlier.suits(pump) && procedure.suits(pump);
        if let Some(pump) = plant.pumps.iter().find(both) {
            log.field(
                "for",
                say!(
                    "suits pump {pump} as well as procedure '{other}' of the same kind does; narrow one of the two",
                    pump = pump.id,
                    other = earlier.id
                ),
            );
        }
    }
}
