//! Lists on standard output.

use super::{Ended, Refusal, args, open};
use crate::{
    app::{App, AppError, Found, Listed},
    check::{self, Check, EntryKind, words},
    plant::{Limits, Plant, PumpId},
    report::{self, EntryLine, FindingLine, Line, plain},
};
use std::io::{self, Write};
use uuid::Uuid;

pub fn pumps(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let register = open(&task.store)?.register()?;
    for pump in &register.plant().pumps {
        let short_id = register.short_id(pump).map(ToString::to_string);
        writeln!(
            out,
            "{}\t{}\t{}\t{}",
            pump.id,
            short_id.unwrap_or_default(),
            plain(&pump.name),
            plain(&pump.service)
        )?;
    }
    Ok(Ended::Well)
}

pub fn checks(task: &args::Checks, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let app = open(&task.store)?;
    let register = app.register()?;
    let id = pump_named(&app, &task.pump)?;
    let pump = register.pump(&id)?;
    let running = match task.running {
        Some(running) => running,
        None => app.likely_running(&id)?,
    };
    writeln!(
        out,
        "{} {}: {}; checks while {}",
        pump.id,
        plain(&pump.name),
        plain(&pump.service),
        words::running_state(running)
    )?;
    if let Some(hazard) = &pump.hazard {
        writeln!(out, "Caution: {}", plain(hazard))?;
    }
    for open in app.still_open(&id)? {
        let line = FindingLine::from(&open).text();
        writeln!(out, "Still so? worse? gone? {}", plain(&line))?;
    }
    let plant = register.plant();
    for check in check::list(pump, running) {
        write_check(out, plant, &id, check)?;
    }
    let on_request = check::on_request(pump, running);
    if !on_request.is_empty() {
        writeln!(out, "On request, to tell troubles apart:")?;
    }
    for check in on_request {
        write_check(out, plant, &id, check)?;
    }
    Ok(Ended::Well)
}

fn write_check(out: &mut dyn Write, plant: &Plant, pump: &PumpId, check: Check) -> io::Result<()> {
    let limits = plant.limits_of(pump, check.id);
    let check = plant.asked_at(pump, check);
    writeln!(
        out,
        "{}\t{}\t{}\t{}",
        check.id,
        words::title(check.id),
        asked_for(&check.kind),
        limits.map(in_words).unwrap_or_default()
    )
}

/// What goes in place of "entered" in an entries file.
pub(super) fn asked_for(kind: &EntryKind) -> String {
    match kind {
        EntryKind::Number {
            unit,
            lowest,
            highest,
        } => format!(
            r#"{{"kind":"number","value":X,"unit":"{}"}}, X from {} to {}"#,
            unit.key(),
            rounded(*lowest),
            rounded(*highest)
        ),
        EntryKind::Count => {
            r#"{"kind":"count","drops":N,"seconds":S} or {"kind":"stream","millilitres":V,"seconds":S}"#
                .to_owned()
        }
        EntryKind::Level => r#"{"kind":"level","percent":X}, X from 0 to 100"#.to_owned(),
        EntryKind::Feel(scale) => {
            let steps = words::feel_steps(*scale).into_iter().enumerate();
            let steps: Vec<_> = steps
                .map(|(i, step)| format!("{i} {}", step.word))
                .collect();
            format!(r#"{{"kind":"feel","step":N}}, N: {}"#, steps.join(", "))
        }
        EntryKind::Choice(choices) => {
            let keys: Vec<_> = choices.iter().map(|choice| choice.key).collect();
            format!(r#"{{"kind":"choice","key":"K"}}, K: {}"#, keys.join(", "))
        }
        EntryKind::YesNo { .. } => r#"{"kind":"yes_no","yes":Y}, Y: true, false"#.to_owned(),
        EntryKind::Words => r#"{"kind":"words","text":"T"}"#.to_owned(),
    }
}

/// The same within quotes for the command line; what says how it is filled in stands behind them.
pub(super) fn asked_quoted(kind: &EntryKind) -> String {
    let ways = asked_for(kind).replace("} or {", "}' or '{");
    match ways.rsplit_once('}') {
        Some((entered, how)) => format!("'{entered}}}'{how}"),
        None => ways,
    }
}

/// To two decimals: a range that was worked out from another unit or a rated current has no more.
fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// The limits by the names they have in the plant's files.
fn in_words(limits: &Limits) -> String {
    let mut parts: Vec<_> = limits
        .bounds()
        .map(|(name, value)| format!("{name} {value}"))
        .collect();
    if let Some(last) = parts.last_mut()
        && !limits.unit.symbol().is_empty()
    {
        *last += &format!(" {}", limits.unit.symbol());
    }
    if let Some(change) = &limits.fastest_change {
        parts.push(format!("change {} in {} h", change.by, change.per_hours));
    }
    let choices = limits.choices.iter();
    parts.extend(choices.map(|(key, verdict)| format!("{key} {}", verdict.key())));
    parts.join(", ")
}

pub fn findings(task: &args::Findings, out: &mut dyn Write) -> Result<Ended, Refusal> {
    if let Some(finding) = task.finding {
        return one_finding(&open(&task.list.store)?, finding, out);
    }
    list(
        &task.list,
        out,
        |app, pump, most| {
            app.followed(&Listed {
                pump,
                open_only: task.open,
                most,
            })
        },
        |row| FindingLine::from(row),
    )
}

/// One finding with all that is known of it.
fn one_finding(app: &App, finding: Uuid, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let of = app.finding(finding)?;
    writeln!(out, "{}", plain(&FindingLine::from(&of).text()))?;
    if let Some(cause) = app.likely_cause(&of)? {
        writeln!(out, "Likely cause: {}", plain(&cause))?;
    }
    for note in &of.notes {
        writeln!(out, "{}", plain(&note.sentence()))?;
    }
    for photo in app.photos_of_finding(&of)? {
        writeln!(
            out,
            "photo {}\t{}",
            photo.taken.photo,
            plain(&photo.taken.words)
        )?;
    }
    Ok(Ended::Well)
}

pub fn entries(task: &args::Listing, out: &mut dyn Write) -> Result<Ended, Refusal> {
    list(
        task,
        out,
        |app, pump, most| app.entries(pump, most),
        |row| EntryLine::from(row),
    )
}

fn list<R, L: Line>(
    task: &args::Listing,
    out: &mut dyn Write,
    ask: impl Fn(&App, Option<&PumpId>, u32) -> Result<Vec<R>, AppError>,
    line: impl Fn(&R) -> L,
) -> Result<Ended, Refusal> {
    let app = open(&task.store)?;
    let named = task.pump.as_ref().map(|name| pump_named(&app, name));
    let pump = named.transpose()?;
    let rows = ask(&app, pump.as_ref(), task.most.saturating_add(1))?;
    let lines: Vec<_> = rows.iter().take(task.most as usize).map(line).collect();
    report::write_list(out, task.format, &lines)?;
    if rows.len() > lines.len() {
        // Beside the list, which other programs read; nothing is lost where it can't be written.
        let _ = writeln!(
            io::stderr(),
            "lantern-ring: only the newest {} are listed; --most lists more",
            lines.len()
        );
    }
    Ok(Ended::Well)
}

pub(super) fn pump_named(app: &App, text: &str) -> Result<PumpId, Refusal> {
    match app.register()?.find_keyed(text) {
        Found::Pump(pump)
        | Found::ByNumber(pump)
        | Found::ByShortId(pump)
        | Found::ByAdoptedCode(pump) => Ok(pump),
        why => Err(Refusal::NoPump {
            text: text.to_owned(),
            why,
        }),
    }
}
