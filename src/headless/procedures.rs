//! Procedures by the commands: listed, begun, gone through step by step, looked back on.

use super::{
    Ended, Refusal, args,
    args::ProcedureDo,
    lists::{asked_quoted, pump_named},
    open,
};
use crate::{
    app::{App, AppError, BeginProcedure, GoOn, Offer, ProcedureRun, SetOperator},
    check::Entered,
    plant::PumpId,
    procedure::{Asks, Ending, Now, PLANT_RULES, Signed, What, duration},
    record::Stamp,
    report::{counted, local_time, plain},
};
use std::io::{self, Write};

/// Past runs of a pump that are listed.
const RUNS_LISTED: usize = 10;

pub fn procedures(task: &args::Procedures, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let app = open(&task.store)?;
    let runs = match &task.pump {
        None => app.runs_under_way()?,
        Some(pump) => {
            let pump = pump_named(&app, pump)?;
            for offer in app.procedures_for(&pump)? {
                write_offer(out, &offer)?;
            }
            app.runs_at(&pump, RUNS_LISTED)?
        }
    };
    for run in &runs {
        writeln!(out, "{}\t{}", run.id, in_short(run))?;
    }
    Ok(Ended::Well)
}

fn write_offer(out: &mut dyn Write, offer: &Offer) -> io::Result<()> {
    let words = match &offer.fits {
        Err(why) => format!("not for this pump: {}", plain(&why.to_string())),
        Ok(needs) => {
            let mut words = vec![counted(needs.steps as u64, "step", "steps")];
            if needs.permissions > 0 {
                words.push(counted(
                    needs.permissions as u64,
                    "permission",
                    "permissions",
                ));
            }
            if needs.waits_s > 0 {
                words.push(format!("waits of {} together", duration(needs.waits_s)));
            }
            if !needs.partners.is_empty() {
                let partners: Vec<_> = needs.partners.iter().map(ToString::to_string).collect();
                words.push(format!("--with {}", partners.join(" or ")));
            }
            words.join(", ")
        }
    };
    let (id, name) = (plain(&offer.procedure), plain(&offer.name));
    writeln!(out, "{id}\t{name}\t{words}")
}

/// A run in one line.
fn in_short(run: &ProcedureRun) -> String {
    let plan = run.run.plan();
    let with = plan
        .other
        .as_ref()
        .map(|other| format!(" with {}", other.id));
    let how = match run.run.ending() {
        None => match run.run.step() {
            Some((number, _)) => {
                let stopped = run.run.stopped().map(|_| ", stopped").unwrap_or_default();
                format!("under way, step {number} of {}{stopped}", plan.steps.len())
            }
            None => "every step done, to be finished".to_owned(),
        },
        Some(Ending::Finished(signed)) => format!("finished by {}", plain(&signed.by)),
        Some(Ending::Aborted { reason, signed }) => {
            format!("broken off by {}: {}", plain(&signed.by), plain(reason))
        }
    };
    format!(
        "{} {}{}: {how}; begun by {} {}",
        plain(&plan.name),
        plan.this.id,
        with.unwrap_or_default(),
        plain(&run.begun_by),
        local_time(run.begun)
    )
}

pub fn procedure(task: &args::ProcedureTask, out: &mut dyn Write) -> Result<Ended, Refusal> {
    let mut app = open(&task.store)?;
    let pump = pump_or_that_of_a_run(&app, &task.pump)?;
    let (by, what) = match &task.what {
        ProcedureDo::Show { run } => {
            let run = match run {
                Some(run) => app.procedure_run(*run)?,
                None => last_run(&app, &pump)?,
            };
            write_record(out, &run)?;
            return Ok(Ended::Well);
        }
        ProcedureDo::Begin {
            procedure,
            with,
            signed,
        } => {
            app.perform(SetOperator(signed.by.clone()))?;
            let partner = with.as_deref().map(|with| pump_named(&app, with));
            let begin = BeginProcedure {
                procedure: procedure.clone(),
                pump,
                partner: partner.transpose()?,
            };
            let run = app.perform(begin)?;
            writeln!(out, "{run}\n{PLANT_RULES}")?;
            let run = app.procedure_run(run)?;
            return write_now(&mut app, out, &run);
        }
        ProcedureDo::Step { entered, signed } => (signed, Does::Step(entered.clone())),
        ProcedureDo::Skip { reason, signed } => (signed, Does::Skip(reason.clone())),
        ProcedureDo::Permit { given_by, signed } => (signed, Does::Permit(given_by.clone())),
        ProcedureDo::Wait { end, signed } => (signed, Does::Wait(end.clone())),
        ProcedureDo::Abort { reason, signed } => (signed, Does::Abort(reason.clone())),
        ProcedureDo::Finish { signed } => (signed, Does::Finish),
    };
    app.perform(SetOperator(by.by.clone()))?;
    let run = last_run(&app, &pump)?;
    let what = what.at(&run);
    let went = app.perform(GoOn { run: run.id, what })?;
    write_now(&mut app, out, &went.run)
}

/// What is done at whichever step there is now.
enum Does {
    Step(Option<Entered>),
    Skip(String),
    Permit(String),
    Wait(Option<String>),
    Abort(String),
    Finish,
}

impl Does {
    fn at(self, run: &ProcedureRun) -> What {
        // Beyond the last step the run itself says that none is left.
        let after_last = run.run.plan().steps.len() + 1;
        let step = run.run.step().map_or(after_last, |(number, _)| number);
        match self {
            Does::Step(entered) => What::StepDone { step, entered },
            Does::Skip(reason) => What::StepSkipped { step, reason },
            Does::Permit(given_by) => What::PermissionGiven { step, given_by },
            Does::Wait(None) => What::WaitBegun {
                step,
                deadline_ms: 0,
            },
            Does::Wait(Some(reason)) => What::WaitEnded { step, reason },
            Does::Abort(reason) => What::Aborted { reason },
            Does::Finish => What::Finished,
        }
    }
}

/// The pump named; one that has left the plant, where a run is still under way at it: a run goes on by its plan.
fn pump_or_that_of_a_run(app: &App, text: &str) -> Result<PumpId, Refusal> {
    let refused = match pump_named(app, text) {
        Ok(pump) => return Ok(pump),
        Err(refused) => refused,
    };
    let under_way = app.runs_under_way()?;
    let pumps = under_way.iter().flat_map(|run| {
        let plan = run.run.plan();
        [Some(&plan.this), plan.other.as_ref()]
    });
    let mut ids = pumps.flatten().map(|pump| &pump.id);
    ids.find(|id| id.as_str() == text).cloned().ok_or(refused)
}

/// The run under way at a pump, else the last one.
fn last_run(app: &App, pump: &PumpId) -> Result<ProcedureRun, Refusal> {
    let under_way = app
        .runs_under_way()?
        .into_iter()
        .find(|run| run.is_at(pump));
    let last = match under_way {
        Some(run) => Some(run),
        None => app.runs_at(pump, 1)?.pop(),
    };
    last.ok_or_else(|| AppError::NoRun(pump.clone()).into())
}

/// What is to be done now.
fn write_now(app: &mut App, out: &mut dyn Write, run: &ProcedureRun) -> Result<Ended, Refusal> {
    writeln!(out, "{}", in_short(run))?;
    write_aside(out, run)?;
    let Some(now) = run.run.now(app.now().utc_ms) else {
        return Ok(Ended::Well);
    };
    for (head, text) in [
        ("Hazard", &now.hazard),
        ("Caution", &now.caution),
        ("Note", &now.note),
    ] {
        if let Some(text) = text {
            writeln!(out, "{head}: {}", plain(text))?;
        }
    }
    writeln!(
        out,
        "Step {} of {}, {}, {}: {}",
        now.number,
        now.of,
        plain(&now.part),
        now.pump,
        plain(&now.words)
    )?;
    writeln!(out, "{}", asks(&now))?;
    let Some(stopped) = now.stopped else {
        return Ok(Ended::Well);
    };
    writeln!(out, "Stopped: {}", plain(&stopped.why))?;
    writeln!(out, "What to do: {}", plain(&stopped.otherwise))?;
    Ok(Ended::WithFaults)
}

fn asks(now: &Now) -> String {
    match &now.asks {
        Asks::Done => "Say when it is done: step".to_owned(),
        Asks::Acknowledge => "Acknowledge it: step".to_owned(),
        Asks::Permission => "Say who gave permission: permit NAME".to_owned(),
        Asks::Entry { kind, .. } => format!("Enter what you find: step {}", asked_quoted(kind)),
        Asks::Answer(answers) => {
            let answers: Vec<_> = answers.iter().map(|answer| plain(answer)).collect();
            format!("Answer: step with one of {}", answers.join(", "))
        }
        Asks::Valve(_) => "Say how it stands: step with one of open, cracked, shut".to_owned(),
        Asks::BeginWait(seconds) => {
            format!("Begin the wait of {}: wait", duration(i64::from(*seconds)))
        }
        Asks::Wait(_) => match &now.may_be_done {
            Ok(()) => "The wait is over: step".to_owned(),
            Err(why) => plain(&why.to_string()),
        },
    }
}

/// All that was done.
fn write_record(out: &mut dyn Write, run: &ProcedureRun) -> io::Result<()> {
    writeln!(out, "{}", in_short(run))?;
    writeln!(out, "{}", plain(&run.run.plan().basis))?;
    let signed = |signed: &Signed| {
        let at = Stamp {
            utc_ms: signed.at_ms,
            offset_min: run.begun.offset_min,
        };
        format!("{} {}", plain(&signed.by), local_time(at))
    };
    let mut passed = run.run.passed();
    for (index, step) in run.run.plan().steps.iter().enumerate() {
        let number = index + 1;
        let mut line = |how: &str, by: Option<&Signed>| {
            let (pump, words) = (&step.pump, plain(&step.words));
            let by = by.map(signed).unwrap_or_default();
            writeln!(out, "{number}\t{pump}\t{words}\t{}\t{by}", plain(how))
        };
        for one in run.run.tries().iter().filter(|one| one.step == number) {
            line(
                &format!("stopped it: {}", one.judged.words),
                Some(&one.signed),
            )?;
        }
        match passed.next() {
            Some((_, passed)) => line(&passed.how.words(), Some(&passed.signed))?,
            None => line("not done", None)?,
        }
    }
    write_aside(out, run)
}

fn write_aside(out: &mut dyn Write, run: &ProcedureRun) -> io::Result<()> {
    for aside in &run.aside {
        writeln!(
            out,
            "Set aside: {}, by {}; {}",
            plain(&aside.event.what.words()),
            plain(&aside.event.by),
            plain(&aside.why.to_string())
        )?;
    }
    Ok(())
}
