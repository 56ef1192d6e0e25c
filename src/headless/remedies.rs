//! What was put right: written down, listed, waited for; how a gland answers, oil used, grease due.

use super::{
    Ended, Refusal, args,
    lists::pump_named,
    open,
    working::{write_formula, write_worked},
};
use crate::{
    app::{
        App, ProofNow, ProofStanding, PutRight, RemediesOf, RemedyNow, SetOperator, TakeBackRemedy,
        ToMind,
    },
    check::words::{short_place, short_title},
    plant::{Place, PumpId},
    record::Stamp,
    remedy::{
        Remedy,
        gland::{ONE_FLAT, RESPONSE},
        hours::RUNNING_HOURS,
        oil::OIL_CONSUMPTION,
    },
    report::{local_time, plain},
};
use std::io::{self, Write};

const HOUR_MS: i64 = 3_600_000;
const MINUTE_MS: i64 = 60_000;

pub fn remedy(task: &args::RemedyTask, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let pump = pump_named(&app, &task.pump)?;
    let what = Remedy::from(task.what.clone());
    let now = app.now();
    let done_at = Stamp {
        utc_ms: now.utc_ms - i64::from(task.minutes_ago) * MINUTE_MS,
        ..now
    };
    let ToMind {
        cautions, by_size, ..
    } = app.to_mind(&pump, &what)?;
    let taken = app.together(|app| {
        app.perform(SetOperator(task.by.clone()))?;
        app.perform(PutRight {
            pump,
            visit: None,
            finding: task.finding,
            what,
            done_at: Some(done_at),
        })
    })?;
    let now = app.remedy_now(taken.remedy)?;
    write_remedy(out, &now)?;
    for caution in cautions {
        writeln!(out, "    mind: {caution}")?;
    }
    if let Some(by_size) = by_size {
        writeln!(out, "    {by_size}")?;
    }
    for warning in &taken.warnings {
        writeln!(out, "    not right: {}", plain(warning))?;
    }
    Ok(if taken.warnings.is_empty() {
        Ended::Well
    } else {
        Ended::WithFaults
    })
}

pub fn take_back(task: &args::TakeBack, _out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    app.perform(SetOperator(task.by.clone()))?;
    app.perform(TakeBackRemedy(task.remedy))?;
    Ok(Ended::Well)
}

pub fn remedies(task: &args::Remedies, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let from_ms = app.now().utc_ms - i64::from(task.hours) * HOUR_MS;
    let all = match &task.pump {
        Some(pump) => {
            let pump = pump_named(&app, pump)?;
            app.remedies_of(RemediesOf::Pump(&pump))?
        }
        None => app.remedies_between(from_ms, i64::MAX)?,
    };
    for row in all.iter().filter(|row| row.done_at.utc_ms >= from_ms) {
        write_remedy(out, &app.remedy_now(row.remedy)?)?;
    }
    Ok(Ended::Well)
}

pub fn waits(task: &args::OneStore, out: &mut dyn Write) -> Result<Ended, Refusal> {
    for wait in open(&task.store)?.waits()? {
        write_remedy(out, &wait)?;
    }
    Ok(Ended::Well)
}

/// A line for the remedy: identity, pump, when, who, what. Below it a line for each check that proves it.
fn write_remedy(out: &mut dyn Write, now: &RemedyNow) -> io::Result<()> {
    let row = &now.row;
    writeln!(
        out,
        "{}\t{}\t{}\t{}\t{}",
        row.remedy,
        row.pump,
        local_time(row.done_at),
        plain(&row.by),
        plain(&row.words())
    )?;
    for proof in &now.proofs {
        let check = proof.proof.check;
        writeln!(
            out,
            "    {} ({check}): {}",
            short_title(check),
            standing(proof)
        )?;
    }
    Ok(())
}

fn standing(proof: &ProofNow) -> String {
    let stands = match &proof.standing {
        ProofStanding::Waiting(minutes) => format!("wait {} min, then make it", minutes.ceil()),
        ProofStanding::Due => "make it now".to_owned(),
        ProofStanding::ClockSetBack => format!(
            "the clock was set back: wait {} min by another clock, then make it",
            proof.proof.after_minutes
        ),
        ProofStanding::Made(made) => plain(&made.words()),
        ProofStanding::Passed => "not made".to_owned(),
    };
    match &proof.too_early {
        Some(early) => format!("{stands}. {}", plain(&early.words_too_early())),
        None => stands,
    }
}

pub fn gland(task: &args::OneGland, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let pump = pump_named(&app, &task.pump)?;
    let register = app.register()?;
    if !register.pump(&pump)?.is_packed_at(task.place) {
        writeln!(out, "{pump} has no packing at {}.", task.place.key())?;
        return Ok(Ended::Well);
    }
    let gland = app.gland(&pump, task.place)?;
    if let Some(rule) = &gland.stop_rule {
        writeln!(out, "{} {}", rule.because, rule.first)?;
        if let Some(stop_if) = rule.stop_if {
            writeln!(out, "{stop_if}")?;
        }
    }
    if let Some(uneven) = gland.uneven() {
        writeln!(out, "{uneven}")?;
    }
    writeln!(out, "{}", gland.words())?;
    if task.working {
        let by = if gland.response.is_ok() {
            RESPONSE
        } else {
            ONE_FLAT
        };
        write_formula(out, by.name, by.source)?;
    }
    Ok(Ended::Well)
}

pub fn lubrication(task: &args::OnePump, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let pump = pump_named(&app, &task.pump)?;
    match app.grease_due(&pump)? {
        Ok(due) => {
            for due in due {
                writeln!(out, "{}: {}", due.job.what, due.words)?;
            }
        }
        Err(why) => writeln!(out, "What is due can't be told: {why}.")?,
    }
    for found in app.grease_by_size(&pump)? {
        if task.working {
            write_worked(out, &[found.worked], true, true)?;
        } else {
            writeln!(out, "{}", found.words())?;
        }
    }
    for place in topped_up(&app, &pump)? {
        let used = match app.oil_use(&pump, place)? {
            Ok(used) => used.words(),
            Err(why) => why.to_string(),
        };
        writeln!(out, "Oil, {}: {used}", short_place(place))?;
        if task.working {
            for by in [OIL_CONSUMPTION, RUNNING_HOURS] {
                write_formula(out, by.name, by.source)?;
            }
        }
    }
    Ok(Ended::Well)
}

/// The places that oil was ever topped up at.
fn topped_up(app: &App, pump: &PumpId) -> Result<Vec<Place>, Refusal> {
    let rows = app.remedies_of(RemediesOf::Pump(pump))?;
    let mut places: Vec<Place> = rows
        .iter()
        .filter(|row| matches!(row.what, Remedy::TopUp { .. }))
        .map(|row| row.what.place())
        .collect();
    places.sort();
    places.dedup();
    Ok(places)
}
