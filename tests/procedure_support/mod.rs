//! The demo plant with its procedures, for the tests of procedures.
#![allow(dead_code, reason = "each test program uses its own part")]

use lantern_ring::{
    check::{Entered, EntryKind},
    plant::{self, Limits, Plant, PlantFault, Unit, Verdict},
    procedure::{
        AskedEntry, Asks, Event, How, JudgedBy, Kind, Plan, Procedure, Run, Task, ValvePosition,
        What, choose,
    },
};
use std::{fs, path::Path, sync::Arc};

fn texts(folder: &str) -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-plant");
    let entries = fs::read_dir(root.join(folder)).expect("folder of the demo plant");
    let mut found: Vec<_> = entries
        .map(|entry| {
            entry
                .expect("entry")
                .file_name()
                .into_string()
                .expect("name")
        })
        .filter(|name| name.ends_with(".toml"))
        .map(|name| {
            let text = fs::read_to_string(root.join(folder).join(&name)).expect("file");
            let name = if folder.is_empty() {
                name
            } else {
                format!("{folder}/{name}")
            };
            (name, text)
        })
        .collect();
    found.sort();
    found
}

/// The demo plant.
pub fn demo_plant() -> Plant {
    plant::files::assemble(&plant_text(&procedures_text())).unwrap_or_else(|faults| {
        let lines: Vec<_> = faults.iter().map(ToString::to_string).collect();
        panic!("{}", lines.join("\n"))
    })
}

/// The texts of the demo plant's procedures.
pub fn procedures_text() -> Vec<(String, String)> {
    texts("procedures")
}

/// The demo plant's files with these for its procedures.
fn plant_text(procedures: &[(String, String)]) -> Vec<(String, String)> {
    let folders = ["", "pumps", "limits", "rounds"].into_iter();
    folders
        .flat_map(texts)
        .chain(procedures.iter().cloned())
        .collect()
}

/// The procedures of the demo plant with these files for them.
pub fn assemble(procedures: &[(String, String)]) -> Result<Vec<Procedure>, Vec<PlantFault>> {
    plant::files::assemble(&plant_text(procedures)).map(|plant| plant.procedures)
}

/// The plan of a kind at a pump of the demo plant.
pub fn plan(kind: Kind, this: &str, other: Option<&str>) -> Arc<Plan> {
    plan_of(&demo_plant(), kind, this, other)
}

/// The plan of a kind at a pump of this plant.
pub fn plan_of(plant: &Plant, kind: Kind, this: &str, other: Option<&str>) -> Arc<Plan> {
    let this = this.parse().expect("pump id");
    let other = other.map(|other| other.parse().expect("pump id"));
    let pump = plant.pump(&this).expect("pump");
    let procedure = choose(kind, pump, &plant.procedures).expect("procedure");
    Arc::new(Plan::of(procedure, plant, &this, other.as_ref()).expect("plan"))
}

/// A run that was just begun.
pub fn begun(plan: &Arc<Plan>) -> Run {
    let run = Run::of(Arc::clone(plan)).expect("plan");
    let plan = run.plan_sha256().to_owned();
    run.take(event(0, What::Started { plan })).expect("begun")
}

/// Something an operator does.
pub fn event(at_ms: i64, what: What) -> Event {
    Event {
        by: "Operator one".to_owned(),
        at_ms,
        what,
    }
}

/// The run walked on, with everything as it should be, until the step of this id is the one to be done.
pub fn walked_to(mut run: Run, id: &str) -> Run {
    while run.step().is_some_and(|(_, step)| step.id != id) {
        run = step_on(run);
    }
    assert!(run.step().is_some(), "no step {id}");
    run
}

/// The run walked to its last step.
pub fn walked_through(mut run: Run) -> Run {
    while run.step().is_some() {
        run = step_on(run);
    }
    run
}

/// The run with its step done as it should be.
pub fn step_on(mut run: Run) -> Run {
    for what in good(&run) {
        let at_ms = clock_after(&run);
        run = run.take(event(at_ms, what)).expect("a good step");
    }
    run
}

/// A time by which any wait under way is over.
pub fn clock_after(run: &Run) -> i64 {
    match run.now(0).map(|now| now.asks) {
        Some(Asks::Wait(deadline_ms)) => deadline_ms,
        _ => 0,
    }
}

/// What does the step to be done now as it should be.
pub fn good(run: &Run) -> Vec<What> {
    let (step, planned) = run.step().expect("a step");
    let done = |entered| What::StepDone { step, entered };
    match &planned.task {
        Task::Do | Task::Warn => vec![done(None)],
        Task::Hold => vec![What::PermissionGiven {
            step,
            given_by: "Shift supervisor".to_owned(),
        }],
        Task::Wait { .. } if matches!(run.now(0).expect("now").asks, Asks::Wait(_)) => {
            vec![done(None)]
        }
        Task::Wait { .. } => vec![
            What::WaitBegun {
                step,
                deadline_ms: 0,
            },
            done(None),
        ],
        Task::Valve { .. } | Task::Enter { .. } | Task::Prove { .. } => {
            vec![done(Some(good_entry(run)))]
        }
    }
}

/// An entry that lets the run go on.
pub fn good_entry(run: &Run) -> Entered {
    let (_, planned) = run.step().expect("a step");
    match &planned.task {
        Task::Valve { position } => choice(position.key()),
        Task::Enter {
            asked: AskedEntry::Answer { good, .. },
            ..
        } => choice(&good[0]),
        Task::Enter { asked, by, .. } => match by {
            JudgedBy::Limits { limits } => in_limits(asked, limits),
            JudgedBy::Bounds { bounds } => {
                number(bounds.high.or(bounds.low).expect("a bound"), bounds.unit)
            }
            JudgedBy::Usual | JudgedBy::Nothing => usual(asked.kind().expect("kind")),
        },
        Task::Prove { against, .. } => noted(run, *against),
        _ => panic!("nothing is entered at {planned:?}"),
    }
}

/// An entry that stops the run.
pub fn bad_entry(run: &Run) -> Option<Entered> {
    let (_, planned) = run.step()?;
    match &planned.task {
        Task::Valve { position } => {
            let other = ValvePosition::ALL.iter().find(|other| *other != position)?;
            Some(choice(other.key()))
        }
        Task::Enter {
            asked: AskedEntry::Answer { answers, good },
            ..
        } => answers
            .iter()
            .find(|one| !good.contains(one))
            .map(|one| choice(one)),
        Task::Prove { against, .. } => {
            let (value, unit) = noted(run, *against).measured()?;
            Some(number(value * 0.9, unit))
        }
        _ => None,
    }
}

fn noted(run: &Run, index: usize) -> Entered {
    match &run.passed().nth(index).expect("noted before").1.how {
        How::Entered { entered, .. } => entered.clone(),
        other => panic!("nothing noted: {other:?}"),
    }
}

/// An answer.
pub fn choice(key: &str) -> Entered {
    Entered::Choice {
        key: key.to_owned(),
    }
}

/// A number read off.
pub fn number(value: f64, unit: Unit) -> Entered {
    Entered::Number { value, unit }
}

fn in_limits(asked: &AskedEntry, limits: &Limits) -> Entered {
    let kind = asked.kind().expect("kind");
    let value = limits.target.or(limits.low_watch).or(limits.high_watch);
    match (kind, value) {
        (EntryKind::Number { .. }, Some(value)) => number(value, limits.unit),
        (EntryKind::Level, Some(percent)) => Entered::Level { percent },
        (EntryKind::Feel(_), _) => Entered::Feel { step: 0 },
        (EntryKind::Count, Some(value)) => {
            let per_min = limits
                .unit
                .convert(value, Unit::DropsPerMin)
                .expect("a rate");
            Entered::Count {
                drops: (per_min * 10.0).round() as u32,
                seconds: 600.0,
            }
        }
        (kind, _) => usual(kind),
    }
}

fn usual(kind: EntryKind) -> Entered {
    match kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => number((lowest + highest) / 2.0, unit),
        EntryKind::Count => Entered::Count {
            drops: 0,
            seconds: 60.0,
        },
        EntryKind::Level => Entered::Level { percent: 50.0 },
        EntryKind::Feel(_) => Entered::Feel { step: 0 },
        EntryKind::YesNo { good } => Entered::YesNo { yes: good },
        EntryKind::Choice(choices) => {
            let good = choices.iter().find(|one| one.usual == Verdict::InLimits);
            choice(good.expect("a good choice").key)
        }
        EntryKind::Words => Entered::Words {
            text: "seen".to_owned(),
        },
    }
}
