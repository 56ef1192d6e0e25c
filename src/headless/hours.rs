//! Running hours, which of a pair is ahead, and what is due.

use super::{Ended, Refusal, args, lists::pump_named, open, working::write_formula};
use crate::{remedy::hours::RUNNING_HOURS, report::plain};
use std::io::Write;

pub fn hours(task: &args::HoursTask, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let named = task.pump.as_ref().map(|name| pump_named(&app, name));
    let only = named.transpose()?;
    let register = app.register()?;
    let pumps = register.plant().pumps.iter().map(|pump| &pump.id);
    for pump in pumps.filter(|pump| only.as_ref().is_none_or(|only| only == *pump)) {
        match app.running_hours(pump, task.days)? {
            Ok(hours) => writeln!(out, "{pump}\t{}", hours.words())?,
            Err(why) => writeln!(out, "{pump}\t{why}")?,
        }
    }
    if task.working {
        write_formula(out, RUNNING_HOURS.name, RUNNING_HOURS.source)?;
    }
    if only.is_none() {
        writeln!(out)?;
        for group in app.due()?.groups {
            writeln!(
                out,
                "{}, over {:.0} days\t{}",
                plain(&group.group),
                group.days,
                group.words()
            )?;
        }
    }
    Ok(Ended::Well)
}

pub fn due(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let due = app.due()?;
    if due.jobs.is_empty() {
        writeln!(out, "The register has no greasing programme for any pump.")?;
    }
    for job in due.jobs {
        writeln!(out, "{}\t{}", job.pump, plain(&job.words()))?;
    }
    for found in due.by_size {
        writeln!(out, "{}\t{}", found.pump, plain(&found.words()))?;
    }
    Ok(Ended::Well)
}
