//! What the page of a procedure under way shows of its steps.

use super::{StepPlace, StepRow, words::sentence};
use crate::{
    app::{CheckState, ProcedureRun},
    check::Check,
    plant::{CheckId, CheckKind, Limits, Place, PumpId},
    procedure::{Aside, Bounds, How, JudgedBy, Run, Task, ValvePosition},
    report::counted,
    say,
};
use slint::SharedString;
use std::collections::BTreeMap;

/// As the window counts.
pub fn whole(many: usize) -> i32 {
    i32::try_from(many).unwrap_or(i32::MAX)
}

/// What was done on another device, and why it changes nothing.
pub fn aside_words(aside: &Aside) -> SharedString {
    let (what, by) = (aside.event.what.words(), &aside.event.by);
    say!(
        "{what}, by {name}. {why}",
        what,
        name = by,
        why = sentence(&aside.why)
    )
    .into()
}

/// Names given for permission in this run before, each once.
pub fn names(run: &ProcedureRun) -> Vec<SharedString> {
    let mut names: Vec<SharedString> = Vec::new();
    for (_, passed) in run.run.passed() {
        if let How::Permitted { given_by } = &passed.how
            && !names.iter().any(|known| known.as_str() == given_by)
        {
            names.push(given_by.as_str().into());
        }
    }
    names
}

/// How a valve stands, as an answer.
pub fn stands(position: ValvePosition) -> &'static str {
    match position {
        ValvePosition::Open => say!("of a valve" => "It stands open"),
        ValvePosition::Cracked => say!("of a valve" => "It stands cracked, a little open"),
        ValvePosition::Shut => say!("of a valve" => "It stands shut"),
    }
}

/// Every step with how it came out.
pub fn step_rows(run: &ProcedureRun) -> Vec<StepRow> {
    let now = run.run.step().map(|(number, _)| number);
    let mut passed = run.run.passed();
    let steps = run.run.plan().steps.iter().enumerate();
    let rows = steps.map(|(index, step)| {
        let number = index + 1;
        let behind = passed.next().map(|(_, passed)| passed);
        let stopped = run.run.tries().iter().filter(|one| one.step == number);
        let mut how: Vec<String> = stopped
            .map(|one| {
                say!(
                    "stopped it: {found} {name}",
                    found = one.judged.words,
                    name = one.signed.by
                )
            })
            .collect();
        how.extend(behind.map(|one| format!("{}, {}", one.how.words(), one.signed.by)));
        StepRow {
            number: whole(number),
            pump: step.pump.as_str().into(),
            words: step.words.as_str().into(),
            how: how.join("; ").into(),
            place: match behind.map(|one| &one.how) {
                Some(How::Skipped { .. }) => StepPlace::Skipped,
                Some(_) => StepPlace::Done,
                None if now == Some(number) && run.run.stopped().is_some() => StepPlace::Stopped,
                None if now == Some(number) => StepPlace::Now,
                None => StepPlace::Ahead,
            },
        }
    });
    rows.collect()
}

/// What is to be minded of a run that is over.
pub fn marks_words(run: &ProcedureRun) -> String {
    let how = |is: fn(&How) -> bool| run.run.passed().filter(|(_, one)| is(&one.how)).count();
    let marks = [
        (
            how(|how| matches!(how, How::Skipped { .. })),
            say!("step skipped"),
            say!("steps skipped"),
        ),
        (
            how(|how| matches!(how, How::WaitEnded { .. })),
            say!("wait ended early"),
            say!("waits ended early"),
        ),
        (
            run.run.tries().len(),
            say!("entry stopped it"),
            say!("entries stopped it"),
        ),
        (
            run.run.unjudged().count(),
            say!("entry not judged"),
            say!("entries not judged"),
        ),
        (
            run.run.left().len(),
            say!("step not done"),
            say!("steps not done"),
        ),
    ];
    let words: Vec<_> = marks
        .into_iter()
        .filter(|(many, ..)| *many > 0)
        .map(|(many, one, more)| counted(many as u64, one, more))
        .collect();
    words.join(", ")
}

/// What is entered at the step there is now, in the form the entry faces take.
pub fn check_state(run: &Run) -> Option<CheckState> {
    let (_, step) = run.step()?;
    let (asked, by) = match &step.task {
        Task::Enter { asked, by, .. } => (asked, Some(by.clone())),
        Task::Prove { asked, .. } => {
            let least = run.least_that_proves();
            let bounds = |(low, unit)| Bounds {
                unit,
                low: Some(low),
                high: None,
            };
            (
                asked,
                least.map(|least| JudgedBy::Bounds {
                    bounds: bounds(least),
                }),
            )
        }
        _ => return None,
    };
    let kind = asked.kind()?;
    // A gauge that is no check of the pump has no words of its own; those of a remark are not shown.
    let id = asked
        .check()
        .unwrap_or(CheckId::new(CheckKind::Remark, Place::Pump));
    Some(CheckState {
        check: Check {
            id,
            kind,
            caution: None,
        },
        limits: by.and_then(|by| limits(&by, &step.pump, id)),
        entry: None,
        hands_off: false,
    })
}

/// What the entry is judged by, for the bands beside it.
fn limits(by: &JudgedBy, pump: &PumpId, check: CheckId) -> Option<Limits> {
    match by {
        JudgedBy::Limits { limits } => Some((**limits).clone()),
        JudgedBy::Bounds { bounds } => Some(Limits {
            pump: pump.clone(),
            check,
            version: 1,
            unit: bounds.unit,
            low_stop: None,
            low_act: bounds.low,
            low_watch: None,
            target: None,
            high_watch: None,
            high_act: bounds.high,
            high_stop: None,
            fastest_change: None,
            choices: BTreeMap::new(),
            basis: String::new(),
        }),
        JudgedBy::Usual | JudgedBy::Nothing => None,
    }
}
