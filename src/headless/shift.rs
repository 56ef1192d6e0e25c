//! A shift's doings: rounds walked, findings followed, the handover written.

use super::{Ended, Refusal, args, lists::pump_named, open, recording};
use crate::{
    app::{
        BeginRound, CloseFinding, EndRound, HandoverOf, Left, OpenFinding, PauseRound,
        PhotographFinding, ResumeRound, SeeFinding, SetOperator, SkipStop, Stage, StopStanding,
        Walk,
    },
    check::words,
    report::{local_time, plain},
};
use std::io::{self, Write};

pub fn rounds(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    for now in app.rounds_now()? {
        let far = now
            .under_way
            .as_ref()
            .map(|walk| format!("{}; ", far(walk)));
        let standing = far.unwrap_or_default() + &now.due.words();
        writeln!(out, "{}\t{}\t{standing}", now.round, plain(&now.name))?;
        for walk in &now.left_lying {
            let since = local_time(walk.taken_up);
            writeln!(
                out,
                "{}\t{}\tleft lying since {since}, {}: end it with a reason, or go on with it",
                now.round,
                plain(&now.name),
                left(walk)
            )?;
        }
    }
    Ok(Ended::Well)
}

fn far(walk: &Walk) -> String {
    format!("{}, {}", walk.stage.words(), left(walk))
}

fn left(walk: &Walk) -> String {
    format!(
        "{} of {} stops left, {}",
        walk.left(),
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
    let walk = app.walk(run)?;
    write_walk(out, &walk)?;
    if walk.stage == Stage::Ended {
        write_left_out(out, &walk)?;
    }
    Ok(Ended::Well)
}

fn write_walk(out: &mut dyn Write, walk: &Walk) -> io::Result<()> {
    writeln!(out, "{}", far(walk))?;
    for stop in &walk.stops {
        let who = match &stop.standing {
            StopStanding::Open => String::new(),
            StopStanding::BeingVisited { by, .. }
            | StopStanding::Visited { by, .. }
            | StopStanding::Skipped { by, .. } => format!("\t{}", plain(by)),
        };
        let doing = words::running_state(stop.running);
        writeln!(out, "{}\t{doing}\t{}{who}", stop.pump, plain(&stop.words()))?;
    }
    Ok(())
}

fn write_left_out(out: &mut dyn Write, walk: &Walk) -> io::Result<()> {
    let left_out = walk.left_out();
    if !left_out.is_empty() {
        writeln!(out, "Not checked:")?;
    }
    for left in left_out {
        let what = match left.what {
            Left::Stop => "the whole stop".to_owned(),
            Left::Check(check) => words::title(check),
            Left::Rest(checks) => checks
                .iter()
                .map(|check| words::title(*check))
                .collect::<Vec<_>>()
                .join(", "),
        };
        let why = plain(left.why.unwrap_or("no reason given"));
        writeln!(out, "{}\t{what}\t{why}", left.pump)?;
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
            cause,
        } => {
            let pump = pump_named(&app, pump)?;
            let finding = app.perform(OpenFinding {
                pump,
                visit: None,
                severity: *severity,
                words: words.clone(),
                cause: cause.clone(),
            })?;
            writeln!(out, "{finding}")?;
        }
        args::FindingDo::Photo {
            finding,
            file,
            words,
        } => {
            let record = app.perform(PhotographFinding {
                finding: *finding,
                picture: recording::picture(file)?,
                marks: Vec::new(),
                words: words.clone(),
            })?;
            writeln!(out, "{record}")?;
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
    let of = HandoverOf {
        by: task.by.clone(),
        walk: task.walk,
        ..HandoverOf::last_hours(app.now(), task.hours)
    };
    let sheet = app.handover(of)?.sheet();
    match &task.to {
        None => write!(out, "{}", sheet.text())?,
        Some(path) if path.exists() => return Err(Refusal::Exists(path.clone())),
        Some(path) => app.save_handover(&sheet, path)?,
    }
    Ok(Ended::Well)
}
