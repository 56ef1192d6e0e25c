//! A shift's doings: rounds walked, findings followed, the handover written.

use super::{Ended, Refusal, args, lists::pump_named, open};
use crate::{
    app::{
        BeginRound, CloseFinding, EndRound, HandoverOf, OpenFinding, PauseRound, ResumeRound,
        RoundNow, SeeFinding, SetOperator, SkipStop, Stage, StopStanding, Walk,
    },
    report::plain,
};
use std::io::{self, Write};

const HOUR_MS: i64 = 3_600_000;

pub fn rounds(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let register = app.register()?;
    for now in app.rounds_now()? {
        let name = register.plant().round(&now.round);
        let name = name.map(|round| plain(&round.name)).unwrap_or_default();
        writeln!(out, "{}\t{name}\t{}", now.round, standing(&now))?;
    }
    Ok(Ended::Well)
}

fn standing(now: &RoundNow) -> String {
    let due = match now.due_in_hours {
        None => "due; never walked".to_owned(),
        Some(hours) if hours < 0.0 => format!("overdue by {:.0} h", -hours),
        Some(hours) => format!("due in {hours:.0} h"),
    };
    match &now.walk {
        Some(walk) if walk.stage != Stage::Ended => format!("{}; {due}", far(walk)),
        _ => due,
    }
}

fn far(walk: &Walk) -> String {
    let open = walk.open_stops().count();
    let stage = walk.stage.words();
    format!(
        "{stage}, {} of {} stops left, {}",
        open,
        walk.stops.len(),
        plain(&walk.by)
    )
}

pub fn round(task: &args::RoundTask, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    app.perform(SetOperator(task.by.clone()))?;
    // Every command is about the walk under way; to begin one that is under way changes nothing.
    let run = match &task.what {
        args::RoundDo::Begin => app.perform(BeginRound(task.round.clone()))?,
        _ => app.walk_under_way(&task.round)?.run,
    };
    match &task.what {
        args::RoundDo::Begin => {}
        args::RoundDo::Pause => app.perform(PauseRound(run))?,
        args::RoundDo::Resume => app.perform(ResumeRound(run))?,
        args::RoundDo::Skip { pump, reason } => {
            let pump = pump_named(&app, pump)?;
            let reason = reason.clone();
            app.perform(SkipStop { run, pump, reason })?;
        }
        args::RoundDo::End { rest } => {
            let rest = rest.clone();
            app.perform(EndRound { run, rest })?;
        }
    }
    write_walk(out, &app.walk(run)?)?;
    Ok(Ended::Well)
}

fn write_walk(out: &mut dyn Write, walk: &Walk) -> io::Result<()> {
    writeln!(out, "{}", far(walk))?;
    for stop in &walk.stops {
        let words = match &stop.standing {
            StopStanding::Open => "open".to_owned(),
            StopStanding::Visited { by, .. } => format!("made by {}", plain(by)),
            StopStanding::Skipped { reason, by } => {
                format!("passed over by {}: {}", plain(by), plain(reason))
            }
        };
        writeln!(out, "{}\t{words}", stop.pump)?;
    }
    Ok(())
}

pub fn finding(task: &args::FindingTask, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    app.perform(SetOperator(task.by.clone()))?;
    match &task.what {
        args::FindingDo::Open {
            pump,
            severity,
            words,
        } => {
            let pump = pump_named(&app, pump)?;
            let finding = app.perform(OpenFinding {
                pump,
                visit: None,
                severity: *severity,
                words: words.clone(),
            })?;
            writeln!(out, "{finding}")?;
        }
        args::FindingDo::See {
            finding,
            still,
            words,
        } => app.perform(SeeFinding {
            finding: *finding,
            still: *still,
            words: words.clone(),
        })?,
        args::FindingDo::Close { finding, made_good } => app.perform(CloseFinding {
            finding: *finding,
            made_good: made_good.clone(),
        })?,
    }
    Ok(Ended::Well)
}

pub fn handover(task: &args::HandoverTask, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    // What is written down within this very millisecond belongs to it.
    let to_ms = app.now().utc_ms.saturating_add(1);
    let of = HandoverOf {
        from_ms: to_ms - i64::from(task.hours) * HOUR_MS,
        to_ms,
        by: task.by.clone(),
        walk: task.walk,
    };
    let sheet = app.handover(of)?.sheet();
    match &task.to {
        None => write!(out, "{}", sheet.text())?,
        Some(path) if path.exists() => return Err(Refusal::Exists(path.clone())),
        Some(path) => app.save_handover(&sheet, path)?,
    }
    Ok(Ended::Well)
}
