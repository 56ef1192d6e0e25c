//! What entries come to together, on standard output.

use super::{Ended, Refusal, args, lists::pump_named, open};
use crate::{
    app::App,
    check::words,
    evaluation::{Causes, Evaluation, RANKING, TELLING, Worked},
    plant::{CheckKind, PumpId},
};
use std::io::{self, Write};

pub fn work_out(task: &args::OneVisit, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let (app, pump) = pump_of(task)?;
    let Some(evaluation) = evaluation(&app, &pump, task)? else {
        writeln!(out, "{pump} was never visited.")?;
        return Ok(Ended::Well);
    };
    if evaluation.worked.is_empty() {
        writeln!(out, "Nothing can be worked out from this visit's entries.")?;
    }
    write_worked(out, &evaluation.worked, false, task.working)?;
    Ok(Ended::Well)
}

pub fn causes(task: &args::OneVisit, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let (app, pump) = pump_of(task)?;
    match evaluation(&app, &pump, task)? {
        None => writeln!(out, "{pump} was never visited.")?,
        Some(evaluation) => {
            if let Some(stop) = evaluation.stop() {
                writeln!(out, "{stop}")?;
            }
            // What can't all be so is to be read again before anything is done about what seems to be wrong.
            let contradictions = evaluation.worked.iter().filter(|l| l.is_contradiction());
            for line in contradictions {
                writeln!(out, "{}", line.line())?;
            }
            match &evaluation.causes {
                Some(causes) => write_causes(out, &evaluation, causes, task.working)?,
                None => writeln!(out, "Nothing was entered that causes could be told by.")?,
            }
        }
    }
    Ok(Ended::Well)
}

const DAY_MS: i64 = 86_400_000;

pub fn trend(task: &args::OneCheck, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let pump = pump_named(&app, &task.pump)?;
    let title = words::title(task.check);
    let as_of_ms = app.now().utc_ms - i64::from(task.days_ago) * DAY_MS;
    match app.trend_as_of(&pump, task.check, as_of_ms)? {
        None => writeln!(out, "{title}: there are no numbers to tell a trend by.")?,
        Some(trend) => {
            writeln!(out, "{title}: {}", trend.words)?;
            if !trend.limit_words.is_empty() {
                writeln!(out, "{}", trend.limit_words)?;
            }
            write_worked(out, &trend.worked, true, task.working)?;
        }
    }
    Ok(Ended::Well)
}

fn pump_of(task: &args::OneVisit) -> Result<(App, PumpId), Refusal> {
    let app = open(&task.store)?;
    let pump = pump_named(&app, &task.pump)?;
    Ok((app, pump))
}

/// The evaluation of the visit named, or else of the pump's last one.
fn evaluation(
    app: &App,
    pump: &PumpId,
    task: &args::OneVisit,
) -> Result<Option<Evaluation>, Refusal> {
    let visit = match task.visit {
        Some(visit) => visit,
        None => match app.last_visit(pump)? {
            Some(last) => last.visit,
            None => return Ok(None),
        },
    };
    Ok(Some(app.evaluation(visit)?))
}

/// A pump has the like of this check at more than one place.
fn is_of_many(kind: CheckKind) -> bool {
    matches!(
        kind,
        CheckKind::LeakOff | CheckKind::SealLeak | CheckKind::StaticLeak | CheckKind::BearingHeat
    )
}

/// Of one check, which is named above them, the lines need no name of their own.
pub(super) fn write_worked(
    out: &mut dyn Write,
    lines: &[Worked],
    of_one: bool,
    working: bool,
) -> io::Result<()> {
    for line in lines {
        match line.of[..] {
            // Of two glands or bearings each has the like.
            [only] if !of_one && is_of_many(only.kind) => {
                writeln!(out, "{}: {}", words::title(only), line.line())?;
            }
            _ => writeln!(out, "{}", line.line())?,
        }
        if !working {
            continue;
        }
        for (name, value) in &line.rows {
            writeln!(out, "    {name}: {value}")?;
        }
        if let Some(formula) = line.formula {
            write_formula(out, formula.name, formula.source)?;
        }
        for caution in &line.cautions {
            writeln!(out, "    Mind: {caution}")?;
        }
    }
    Ok(())
}

pub(super) fn write_formula(out: &mut dyn Write, name: &str, source: &str) -> io::Result<()> {
    writeln!(out, "    By: {name}")?;
    writeln!(out, "    From: {source}")
}

fn write_causes(
    out: &mut dyn Write,
    evaluation: &Evaluation,
    causes: &Causes,
    working: bool,
) -> io::Result<()> {
    writeln!(out, "{}", causes.diagnosis.summary())?;
    for cause in causes.diagnosis.shown() {
        let trouble = cause.trouble;
        writeln!(out, "{}: {}", cause.standing.words(), trouble.words)?;
        for (way, spoken) in [
            ("for", &cause.speaks_for),
            ("against", &cause.speaks_against),
        ] {
            for spoken in spoken {
                writeln!(
                    out,
                    "    {way}: {} ({})",
                    spoken.words(),
                    spoken.origins.join(" ")
                )?;
                if working {
                    writeln!(out, "        source: {}", spoken.source)?;
                }
            }
        }
        let advice = evaluation.advice(cause);
        if let Some(first) = &advice.first {
            writeln!(out, "    first: {first}")?;
        }
        if let Some(stop_when) = &advice.stop_when {
            writeln!(out, "    {stop_when}")?;
        }
        writeln!(out, "    mind: {}", advice.caution)?;
    }
    let also = causes.diagnosis.also_words();
    if !also.is_empty() {
        writeln!(out, "also possible: {also}")?;
    }
    for out_of_question in &causes.diagnosis.ruled_out {
        let by: Vec<_> = out_of_question
            .by
            .iter()
            .map(|spoken| spoken.words())
            .collect();
        writeln!(
            out,
            "ruled out: {}, by {}",
            out_of_question.trouble.words,
            by.join(", ")
        )?;
    }
    let before = causes.before_words();
    if !before.is_empty() {
        writeln!(out, "{before}")?;
    }
    if working {
        for (what, formula) in [("Ordered", RANKING), ("Next check chosen", TELLING)] {
            writeln!(out, "{what} by: {}", formula.name)?;
            writeln!(out, "    source: {}", formula.source)?;
        }
    }
    if let Some(next) = causes.look_next.first() {
        writeln!(
            out,
            "Look next: {} ({next}). {}",
            words::title(*next),
            causes.diagnosis.telling.words()
        )?;
    } else if evaluation.stop().is_none() {
        writeln!(out, "{}", causes.diagnosis.telling.words())?;
    }
    Ok(())
}
