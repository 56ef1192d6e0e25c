//! Lists on standard output.

use super::{Ended, Refusal, args, open};
use crate::{
    app::{App, Found},
    check::{self, EntryKind, words},
    plant::PumpId,
    report::{self, EntryLine, FindingLine},
};
use std::io::Write;

pub fn checks(task: &args::Checks, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let app = open(&task.store)?;
    let register = app.register()?;
    let id = pump_named(&app, &task.pump)?;
    let pump = register.pump(&id)?;
    let running = match task.running {
        Some(running) => running,
        None => app.likely_running(&id)?,
    };
    writeln!(out, "{} {}: {}", pump.id, pump.name, pump.service)?;
    if let Some(hazard) = &pump.hazard {
        writeln!(out, "Caution: {hazard}")?;
    }
    for check in check::list(pump, running) {
        writeln!(
            out,
            "{}\t{}\t{}",
            check.id,
            words::title(check.id),
            asked_for(&check.kind)
        )?;
    }
    Ok(Ended::Well)
}

/// What can be entered, as it is written in an entries file.
fn asked_for(kind: &EntryKind) -> String {
    match kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => {
            format!("number, {} from {lowest} to {highest}", unit.key())
        }
        EntryKind::Count => "count: drops, seconds".to_owned(),
        EntryKind::Level => "level: percent 0 to 100".to_owned(),
        EntryKind::Feel(scale) => {
            let steps = words::feel_steps(*scale).iter().enumerate();
            let steps: Vec<_> = steps
                .map(|(i, step)| format!("{i} {}", step.word))
                .collect();
            format!("feel: step {}", steps.join(", "))
        }
        EntryKind::Choice(choices) => {
            let keys: Vec<_> = choices.iter().map(|choice| choice.key).collect();
            format!("choice: {}", keys.join(", "))
        }
        EntryKind::YesNo { .. } => "yes_no: true, false".to_owned(),
        EntryKind::Words => "words: text".to_owned(),
    }
}

pub fn findings(task: &args::Listing, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let app = open(&task.store)?;
    let pump = task
        .pump
        .as_ref()
        .map(|name| pump_named(&app, name))
        .transpose()?;
    let rows: Vec<_> = app
        .findings(pump.as_ref(), task.most)?
        .iter()
        .map(FindingLine::from)
        .collect();
    report::write_list(out, task.format, &rows)?;
    Ok(Ended::Well)
}

pub fn entries(task: &args::Listing, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let app = open(&task.store)?;
    let pump = task
        .pump
        .as_ref()
        .map(|name| pump_named(&app, name))
        .transpose()?;
    let rows: Vec<_> = app
        .entries(pump.as_ref(), task.most)?
        .iter()
        .map(EntryLine::from)
        .collect();
    report::write_list(out, task.format, &rows)?;
    Ok(Ended::Well)
}

fn pump_named(app: &App, text: &str) -> Result<PumpId, Refusal> {
    match app.register()?.find_keyed(text) {
        Found::Pump(pump) | Found::ByShortId(pump) | Found::ByAdoptedCode(pump) => Ok(pump),
        other => Err(Refusal::Usage(format!("'{text}': {other}"))),
    }
}
