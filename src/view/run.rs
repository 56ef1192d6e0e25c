//! A procedure under way: the step there is now, and what was done.

use super::{
    Asks as Asked, Entry, Nav, Page, Run as Bridge, count,
    desk::{self, Desk, Topic},
    face, home, pool,
    procedures::full,
    run_steps::{aside_words, check_state, marks_words, names, stands, step_rows, whole},
    words::{capital, model, sentence, when},
};
use crate::{
    app::{App, AppError, AtStep, CheckState, GoOn, ProcedureRun},
    check::Entered,
    language,
    procedure::{
        Asks, Ending, Now, PLANT_RULES, Plan, ValvePosition, What, answer_words, duration,
    },
    record::Stamp,
    say,
};
use slint::{ComponentHandle, SharedString, Timer, TimerMode};
use std::time::Duration;
use uuid::Uuid;

/// How often the time that is left is looked at. The clock on the wall is asked, for no other goes on while a device
/// sleeps.
const TICK: Duration = Duration::from_millis(250);

/// What the page shows.
pub struct Shown {
    run: ProcedureRun,
    /// What is entered at the step, where something is entered on the face of a check.
    check: Option<CheckState>,
    /// What stands for each of the choices.
    keys: Vec<String>,
    /// When the wait under way is over, ms since 1970, UTC.
    deadline_ms: Option<i64>,
    /// It is being taken down.
    saving: bool,
    _ticking: Option<Timer>,
}

impl Shown {
    /// What is entered at the step, where something is entered on the face of a check.
    pub fn check(&self) -> Option<&CheckState> {
        self.check.as_ref()
    }
}

/// A run as it stands, and the time.
pub type Looked = (ProcedureRun, Stamp);

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_act(|| desk::with(act));
    page.on_choose(|index| {
        desk::with(|desk| {
            let page = desk.window().global::<Bridge>();
            page.set_error("".into());
            page.set_choice(index);
        });
    });
    page.on_skip(|reason| {
        at_step(|step| What::StepSkipped {
            step,
            reason: reason.into(),
        })
    });
    page.on_end_wait(|reason| {
        at_step(|step| What::WaitEnded {
            step,
            reason: reason.into(),
        })
    });
    page.on_break_off(|reason| {
        at_step(|_| What::Aborted {
            reason: reason.into(),
        })
    });
    page.on_leave(|| desk::with(|desk| desk.window().global::<Nav>().invoke_back()));
}

/// Opens a run.
pub fn open(desk: &Desk, run: Uuid) {
    desk.ask(
        Topic::Run,
        move |app| look(app, run),
        |desk, looked| {
            show(desk, looked);
            desk.go(Page::Run);
        },
    );
}

/// Reads a run.
pub fn look(app: &mut App, run: Uuid) -> Result<Looked, AppError> {
    Ok((app.procedure_run(run)?, app.now()))
}

/// Reads a run that may not be in this store.
///
/// # Errors
/// Where the store can't be read.
pub fn look_if_there(app: &mut App, run: Uuid) -> Result<Option<Looked>, AppError> {
    match look(app, run) {
        Ok(looked) => Ok(Some(looked)),
        Err(AppError::UnknownRun(_)) => Ok(None),
        Err(error) => Err(error),
    }
}

/// The run being looked at, and the step there is now.
pub fn place(desk: &Desk) -> Option<AtStep> {
    let run = desk.state.borrow().run.as_ref()?.run.id;
    let step = number(desk)?;
    Some(AtStep { run, step })
}

/// Something is entered at the step, on the face of a check.
pub fn asks_entry(desk: &Desk) -> bool {
    let state = desk.state.borrow();
    state
        .run
        .as_ref()
        .is_some_and(|shown| shown.check.is_some())
}

/// Who gave the permission that the step asks for, as far as it is written.
pub fn given_by(desk: &Desk) -> String {
    desk.window().global::<Bridge>().get_given_by().into()
}

/// Writes who gave the permission, where the step asks for one.
pub fn set_given_by(desk: &Desk, name: &str) {
    let page = desk.window().global::<Bridge>();
    if page.get_asks() == Asked::Permission {
        page.set_given_by(name.into());
    }
}

/// The page is left: nothing is entered at its step any more.
pub fn leave(desk: &Desk) {
    desk.state.borrow_mut().run = None;
}

/// Both pumps, in words.
pub fn pumps(plan: &Plan) -> String {
    match &plan.other {
        Some(other) => say!(
            "{pump} with {partner}",
            pump = plan.this.id,
            partner = other.id
        ),
        None => plan.this.id.to_string(),
    }
}

/// How far a run is, in words.
pub fn step_words(run: &ProcedureRun) -> String {
    match run.run.step() {
        Some((number, _)) => {
            let count = run.run.plan().steps.len();
            match run.run.stopped() {
                None => say!("step {number} of {count}", number, count),
                Some(_) => say!("step {number} of {count}, stopped there", number, count),
            }
        }
        None => say!("every step done, to be finished").to_owned(),
    }
}

/// A run in one line.
pub fn in_short(run: &ProcedureRun, now: Stamp) -> String {
    let time = |utc_ms: i64| {
        let offset_min = run.begun.offset_min;
        when(Stamp { utc_ms, offset_min }, now)
    };
    match run.run.ending() {
        None => full(&say!(
            "{step}, begun by {name} {time}",
            step = step_words(run),
            name = run.begun_by,
            time = when(run.begun, now)
        )),
        Some(Ending::Finished(signed)) => say!(
            "Finished by {name} {time}",
            name = signed.by,
            time = time(signed.at_ms)
        ),
        Some(Ending::Aborted { reason, signed }) => say!(
            "Broken off by {name} {time}: {reason}",
            name = signed.by,
            time = time(signed.at_ms),
            reason
        ),
    }
}

/// Shows a run as it stands.
pub fn show(desk: &Desk, (run, now): Looked) {
    let page = desk.window().global::<Bridge>();
    let plan = run.run.plan();
    page.set_rules(language::word(PLANT_RULES).into());
    page.set_name(plan.name.as_str().into());
    page.set_pumps(pumps(plan).into());
    page.set_steps(model(step_rows(&run)));
    page.set_of(whole(plan.steps.len()));
    page.set_aside(model(run.aside.iter().map(aside_words).collect()));
    page.set_ended(!run.is_under_way());
    page.set_ended_words(in_short(&run, now).into());
    page.set_marks_words(marks_words(&run).into());
    page.set_names(model(names(&run)));
    page.set_error("".into());
    page.set_choice(-1);
    page.set_given_by("".into());
    let seen = run.run.now(now.utc_ms);
    let planned = run.run.step().map(|(_, step)| step.clone());
    show_step(desk, &run, seen.as_ref());
    let keys = show_asked(desk, seen.as_ref());
    page.set_may_end_wait(
        page.get_asks() == Asked::Waiting && planned.as_ref().is_some_and(|step| !step.must),
    );
    let deadline_ms = match seen.as_ref().map(|now| &now.asks) {
        Some(Asks::Wait(deadline_ms)) => Some(*deadline_ms),
        _ => None,
    };
    let check = check_state(&run.run);
    desk.state.borrow_mut().run = Some(Shown {
        run,
        check: check.clone(),
        keys,
        deadline_ms,
        saving: false,
        _ticking: deadline_ms.map(|_| ticking()),
    });
    if let Some(check) = check {
        face::show(desk, &check);
        face::clear(desk);
        // What the step says stands above the face; an asked reading is no check of the pump to be explained.
        let entry = desk.window().global::<Entry>();
        entry.set_how_to("".into());
        // Anew for every step, so that the keypad takes the keys again.
        entry.set_index(page.get_number());
    }
    show_left(desk, now);
    page.set_shown(page.get_shown().wrapping_add(1));
}

/// Shows what the step says.
fn show_step(desk: &Desk, run: &ProcedureRun, now: Option<&Now>) {
    let page = desk.window().global::<Bridge>();
    let text = |text: Option<&String>| SharedString::from(text.map_or("", String::as_str));
    let of = run.run.plan().steps.len();
    page.set_number(whole(now.map_or(of, |now| now.number)));
    page.set_pump(now.map_or("", |now| now.pump.as_str()).into());
    page.set_words(
        now.map_or(say!("Every step is done."), |now| &now.words)
            .into(),
    );
    let part = now.map_or("", |now| now.part.as_str());
    let own = part == run.run.plan().name;
    page.set_part(if own { "" } else { part }.into());
    page.set_caution(text(now.and_then(|now| now.caution.as_ref())));
    page.set_hazard(text(now.and_then(|now| now.hazard.as_ref())));
    page.set_needs(text(now.and_then(|now| now.needs.as_ref())));
    page.set_note(text(now.and_then(|now| now.note.as_ref())));
    let stopped = now.and_then(|now| now.stopped.as_ref());
    page.set_stopped_why(text(stopped.map(|stopped| &stopped.why)));
    page.set_stopped_what(text(stopped.map(|stopped| &stopped.otherwise)));
    let may_skip = now.map(|now| &now.may_be_skipped);
    page.set_may_skip(may_skip.is_some_and(Result::is_ok));
    let why_not = may_skip.and_then(|may| may.as_ref().err());
    // What has stopped it is said already.
    let why_not = why_not.filter(|_| stopped.is_none());
    page.set_no_skip_words(why_not.map(|why| sentence(why)).unwrap_or_default());
    let before = run.run.passed().last();
    let before = before
        .map(|(step, passed)| format!("{} {}", full(&step.words), capital(&passed.how.words())));
    page.set_before(text(before.as_ref()));
    page.set_next(text(run.run.left().get(1).map(|step| &step.words)));
}

/// Shows what the step asks; gives what stands for each of its choices.
fn show_asked(desk: &Desk, now: Option<&Now>) -> Vec<String> {
    let page = desk.window().global::<Bridge>();
    let mut choices: Vec<(String, String)> = Vec::new();
    page.set_asks(match now.map(|now| &now.asks) {
        None => Asked::Nothing,
        Some(Asks::Done) => Asked::Done,
        Some(Asks::Acknowledge) => Asked::Acknowledge,
        Some(Asks::Permission) => Asked::Permission,
        Some(Asks::Entry { .. }) => Asked::Entry,
        Some(Asks::Answer(answers)) => {
            let words = |one: &String| (one.clone(), capital(answer_words(one)));
            choices.extend(answers.iter().map(words));
            Asked::Choice
        }
        Some(Asks::Valve(_)) => {
            let all = ValvePosition::ALL.iter();
            choices.extend(all.map(|one| (one.key().to_owned(), stands(*one).to_owned())));
            Asked::Choice
        }
        Some(Asks::BeginWait(seconds)) => {
            let long = duration(i64::from(*seconds));
            page.set_wait_words(say!("Begin the wait of {time}", time = long).into());
            Asked::BeginWait
        }
        Some(Asks::Wait(_)) => Asked::Waiting,
    });
    let words = choices.iter().map(|(_, words)| words.as_str().into());
    page.set_choices(model(words.collect()));
    choices.into_iter().map(|(key, _)| key).collect()
}

fn ticking() -> Timer {
    let timer = Timer::default();
    timer.start(TimerMode::Repeated, TICK, || {
        desk::with(|desk| desk.ask(Topic::RunClock, |app| Ok(app.now()), show_left));
    });
    timer
}

/// Shows how long the wait still is.
fn show_left(desk: &Desk, now: Stamp) {
    let (deadline_ms, may_be_done) = {
        let state = desk.state.borrow();
        let Some(shown) = &state.run else { return };
        let Some(deadline_ms) = shown.deadline_ms else {
            return;
        };
        let seen = shown.run.run.now(now.utc_ms);
        (deadline_ms, seen.is_some_and(|now| now.may_be_done.is_ok()))
    };
    let left_s = (deadline_ms.saturating_sub(now.utc_ms))
        .max(0)
        .saturating_add(999)
        / 1_000;
    let page = desk.window().global::<Bridge>();
    page.set_left(format!("{}:{:02}", left_s / 60, left_s % 60).into());
    page.set_wait_over(may_be_done);
}

/// Something about the step there is now.
fn at_step(what: impl FnOnce(usize) -> What) {
    desk::with(|desk| {
        if let Some(number) = number(desk) {
            go_on(desk, what(number));
        }
    });
}

/// Number of the step there is now; beyond the last where all are done.
fn number(desk: &Desk) -> Option<usize> {
    let state = desk.state.borrow();
    let run = &state.run.as_ref()?.run.run;
    let of = run.plan().steps.len();
    Some(run.step().map_or(of + 1, |(number, _)| number))
}

/// The main action: does the step, begins its wait or ends it, or finishes the run.
pub fn act(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    let Some(step) = number(desk) else { return };
    let what = match page.get_asks() {
        Asked::Nothing => Ok(What::Finished),
        Asked::Done | Asked::Acknowledge | Asked::Waiting => Ok(What::StepDone {
            step,
            entered: None,
        }),
        Asked::Permission => Ok(What::PermissionGiven {
            step,
            given_by: page.get_given_by().into(),
        }),
        Asked::BeginWait => Ok(What::WaitBegun {
            step,
            // Reckoned where it is written down.
            deadline_ms: 0,
        }),
        Asked::Entry | Asked::Choice => on_screen(desk).map(|entered| What::StepDone {
            step,
            entered: Some(entered),
        }),
    };
    match what {
        Ok(what) => go_on(desk, what),
        Err(words) => page.set_error(sentence(&words)),
    }
}

/// What is chosen or entered on the screen.
fn on_screen(desk: &Desk) -> Result<Entered, String> {
    let page = desk.window().global::<Bridge>();
    let check = {
        let state = desk.state.borrow();
        let shown = state
            .run
            .as_ref()
            .ok_or(say!("Open the procedure again."))?;
        if page.get_asks() == Asked::Choice {
            let index = usize::try_from(page.get_choice()).ok();
            let key = index.and_then(|index| shown.keys.get(index)).cloned();
            let key = key.ok_or(say!("Nothing chosen yet: tap what you find."))?;
            return Ok(Entered::Choice { key });
        }
        shown
            .check
            .clone()
            .ok_or(say!("Open the procedure again."))?
    };
    count::stop(desk);
    pool::stop(desk);
    face::on_screen(desk, &check)
}

fn go_on(desk: &Desk, what: What) {
    let run = {
        let mut state = desk.state.borrow_mut();
        let Some(shown) = state.run.as_mut() else {
            return;
        };
        // A second tap on the same button is no second step.
        if std::mem::replace(&mut shown.saving, true) {
            return;
        }
        shown.run.id
    };
    desk.perform(
        move |app: &mut App| {
            let went = app.perform(GoOn { run, what })?;
            Ok((went.run, app.now()))
        },
        |desk, looked| {
            show(desk, looked);
            home::refresh(desk);
        },
        |desk, error: AppError| {
            if let Some(shown) = desk.state.borrow_mut().run.as_mut() {
                shown.saving = false;
            }
            desk.window().global::<Bridge>().set_error(sentence(&error));
        },
    );
}
