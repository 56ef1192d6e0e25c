//! Waiting for what proves something that was put right.

use super::{Draft, is_here};
use crate::{
    app::{App, AppError, Arrive, ProofNow, ProofStanding, RemedyNow, TakeBackRemedy},
    check::words::short_title,
    plant::{CheckId, PumpId},
    record::{HowFound, Stamp},
    say,
    view::{
        Entry, Nav, Page, ProofRow, Remedy as Bridge, RemedyStage, WaitRow,
        desk::{self, Desk, Topic},
        entry, visit,
        words::{capital, model},
    },
};
use slint::{ComponentHandle, Timer, TimerMode};
use std::time::Duration;
use uuid::Uuid;

const TICK: Duration = Duration::from_secs(1);
const MS_PER_MIN: f64 = 60_000.0;

/// What is waited for, and for how long by which times.
#[derive(Default)]
pub struct Shown {
    remedy: Option<Uuid>,
    pump: Option<PumpId>,
    checks: Vec<CheckId>,
    next: Option<CheckId>,
    done_ms: i64,
    due_ms: i64,
    /// Looks at the clock again and again.
    timer: Option<Timer>,
}

pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_make_proof(|index| desk::with(|desk| make(desk, index)));
    page.on_make_next(|| desk::with(make_next));
    page.on_take_back(|| desk::with(take_back));
    page.on_done(|| desk::with(leave));
    page.on_again(|| desk::with(again));
    page.on_open_wait(|id| {
        desk::with(|desk| {
            if let Ok(id) = id.parse() {
                desk.window()
                    .global::<Bridge>()
                    .set_warnings(model(Vec::new()));
                open(desk, id);
            }
        });
    });
    let entry = desk.window().global::<Entry>();
    entry.on_open_proved(|| {
        desk::with(|desk| {
            let proved = desk.state.borrow().entry.proves;
            if let Some(remedy) = proved {
                desk.window()
                    .global::<Bridge>()
                    .set_warnings(model(Vec::new()));
                open(desk, remedy);
            }
        });
    });
}

/// Opens the page on something that was put right.
pub fn open(desk: &Desk, remedy: Uuid) {
    desk.ask(
        Topic::Remedy,
        move |app| ask(app, remedy),
        |desk, asked| {
            show(desk, &asked);
            desk.go(Page::Remedy);
        },
    );
    refresh(desk);
}

type Asked = (RemedyNow, String, Stamp);

fn ask(app: &mut App, remedy: Uuid) -> Result<Asked, AppError> {
    let now = app.remedy_now(remedy)?;
    let register = app.register()?;
    let name = register.pump(&now.row.pump).map(|pump| pump.name.clone());
    Ok((now, name.unwrap_or_default(), app.now()))
}

fn show(desk: &Desk, (now, pump_name, at): &Asked) {
    let page = desk.window().global::<Bridge>();
    page.set_pump_id(now.row.pump.as_str().into());
    page.set_pump_name(pump_name.as_str().into());
    page.set_title(say!("What was put right").into());
    page.set_done_words(now.row.words().into());
    let rows = now.proofs.iter().enumerate().map(proof_row);
    page.set_proofs(model(rows.collect()));
    let next = main_proof(now);
    page.set_next_title(
        next.map(|next| short_title(next.proof.check))
            .unwrap_or_default()
            .into(),
    );
    {
        let draft = &mut desk.state.borrow_mut().remedy;
        let elsewhere = draft.pump.as_ref() != Some(&now.row.pump);
        if elsewhere {
            *draft = Draft {
                pump: Some(now.row.pump.clone()),
                visit: now.row.visit,
                ..Draft::default()
            };
        }
        draft.what = Some(now.row.what.clone());
        draft.finding = now.row.finding;
        draft.wait = Shown {
            remedy: Some(now.row.remedy),
            pump: Some(now.row.pump.clone()),
            checks: now.proofs.iter().map(|proof| proof.proof.check).collect(),
            next: next.map(|next| next.proof.check),
            done_ms: now.row.done_at.utc_ms,
            due_ms: next.map_or(0, |next| next.due_ms),
            timer: None,
        };
    }
    let is_proved = |proof: &ProofNow| proof.proof.after_minutes > 0.0 && proof.made().is_some();
    page.set_can_repeat(next.is_none() || now.proofs.iter().any(is_proved));
    page.set_wait_words(wait_words(now, next).into());
    page.set_stage(RemedyStage::Wait);
    count_down(desk, *at);
    if !page.get_countdown().is_empty() {
        desk.state.borrow_mut().remedy.wait.timer = Some(ticking());
    }
}

/// Of the checks still to be made the one that tells most: that which the remedy needs time for, where that is minutes.
/// What can be seen at once or in an hour stands beside it.
fn main_proof(now: &RemedyNow) -> Option<&ProofNow> {
    const MINUTES: f64 = 30.0;
    let open = now.proofs.iter().filter(|proof| proof.is_open());
    let soon = open.filter(|proof| proof.proof.after_minutes <= MINUTES);
    // Of equal ones the first in front.
    soon.rev()
        .max_by(|one, other| {
            one.proof
                .after_minutes
                .total_cmp(&other.proof.after_minutes)
        })
        .or_else(|| now.next())
}

fn proof_row((index, proof): (usize, &ProofNow)) -> ProofRow {
    let mut words = match &proof.standing {
        ProofStanding::Waiting(minutes) => in_minutes(*minutes),
        ProofStanding::Due => say!("of a check" => "now").to_owned(),
        ProofStanding::ClockSetBack => say!(
            "{minutes} min after it was done: the clock was set back, so wait by another clock",
            minutes = proof.proof.after_minutes
        ),
        ProofStanding::Made(made) => made.words(),
        ProofStanding::Passed => say!("of a check" => "not made").to_owned(),
    };
    if let Some(early) = &proof.too_early {
        words = format!("{words}. {}", early.words_too_early());
    }
    let title = short_title(proof.proof.check);
    ProofRow {
        index: i32::try_from(index).unwrap_or(i32::MAX),
        // The row names its check already.
        words: capital(words.trim_start_matches(&format!("{title}: "))).into(),
        title: title.into(),
        open: proof.is_open(),
    }
}

fn in_minutes(minutes: f64) -> String {
    say!("in {minutes} min", minutes = minutes.ceil())
}

fn wait_words(now: &RemedyNow, next: Option<&ProofNow>) -> String {
    match next.map(|next| (&next.standing, next)) {
        None if now.proofs.is_empty() => {
            say!("No check of this pump proves it: look whether it did it.").to_owned()
        }
        None => say!("Nothing more is asked for.").to_owned(),
        Some((ProofStanding::Waiting(_), next)) => {
            say!(
                "When the time is over: {check}.",
                check = short_title(next.proof.check)
            )
        }
        Some((ProofStanding::ClockSetBack, _)) => {
            say!("The clock was set back: wait by another clock.").to_owned()
        }
        Some((_, next)) => say!("Now: {check}.", check = short_title(next.proof.check)),
    }
}

fn ticking() -> Timer {
    let timer = Timer::default();
    timer.start(TimerMode::Repeated, TICK, || desk::with(tick));
    timer
}

/// Looks at the clock again: a device may have slept.
fn tick(desk: &Desk) {
    let nav = desk.window().global::<Nav>();
    let page = desk.window().global::<Bridge>();
    if nav.get_page() != Page::Remedy || page.get_stage() != RemedyStage::Wait {
        desk.state.borrow_mut().remedy.wait.timer = None;
        return;
    }
    desk.ask(Topic::RemedyClock, |app| Ok(app.now()), count_down);
}

fn count_down(desk: &Desk, at: Stamp) {
    let page = desk.window().global::<Bridge>();
    let (remedy, done_ms, due_ms) = {
        let state = desk.state.borrow();
        let shown = &state.remedy.wait;
        (shown.remedy, shown.done_ms, shown.due_ms)
    };
    let left_ms = due_ms - at.utc_ms;
    let waited_ms = at.utc_ms - done_ms;
    if left_ms > 0 && waited_ms >= 0 {
        let seconds = (left_ms + 999) / 1_000;
        page.set_countdown(format!("{}:{:02}", seconds / 60, seconds % 60).into());
        page.set_elapsed((waited_ms as f64 / (due_ms - done_ms).max(1) as f64) as f32);
        page.set_waits(true);
        return;
    }
    let was_waiting = !page.get_countdown().is_empty();
    page.set_countdown("".into());
    page.set_waits(false);
    let timer = desk.state.borrow_mut().remedy.wait.timer.take();
    // The wait is over just now: what is to be made says so.
    if let (true, Some(_), Some(remedy)) = (was_waiting, timer, remedy) {
        desk.outside().tick();
        open(desk, remedy);
    }
}

fn make(desk: &Desk, index: i32) {
    let check = {
        let state = desk.state.borrow();
        let checks = &state.remedy.wait.checks;
        usize::try_from(index)
            .ok()
            .and_then(|index| checks.get(index))
            .copied()
    };
    if let Some(check) = check {
        enter(desk, check);
    }
}

fn make_next(desk: &Desk) {
    let next = desk.state.borrow().remedy.wait.next;
    if let Some(check) = next {
        enter(desk, check);
    }
}

/// Opens the check for an entry of its own, in the visit being looked at or in one begun now.
fn enter(desk: &Desk, check: CheckId) {
    if is_here(desk) {
        entry::open_anew(desk, check);
        return;
    }
    let Some(pump) = desk.state.borrow().remedy.wait.pump.clone() else {
        return;
    };
    desk.perform(
        move |app| {
            let visit = app.perform(Arrive {
                pump,
                found: HowFound::Chosen,
                round: None,
            })?;
            visit::look(app, visit)
        },
        move |desk, looked| {
            visit::show(desk, looked);
            let here = visit::current(desk);
            desk.state.borrow_mut().remedy.visit = here;
            entry::open_anew(desk, check);
        },
        |desk, error| desk.fail(&error),
    );
}

fn take_back(desk: &Desk) {
    let Some(remedy) = desk.state.borrow().remedy.wait.remedy else {
        return;
    };
    desk.perform(
        move |app| app.perform(TakeBackRemedy(remedy)),
        |desk, ()| {
            desk.say(say!("Taken back."));
            leave(desk);
        },
        |desk, error: AppError| desk.fail(&error),
    );
}

fn leave(desk: &Desk) {
    refresh(desk);
    let page = if is_here(desk) {
        Page::Visit
    } else {
        Page::Home
    };
    desk.go(page);
}

/// The same once more.
fn again(desk: &Desk) {
    if is_here(desk) {
        super::form::open(desk);
        return;
    }
    let pump = desk.state.borrow().remedy.wait.pump.clone();
    if let Some(pump) = pump {
        visit::open(desk, pump, HowFound::Chosen);
    }
}

/// Shows anew what is waited for at any pump.
pub fn refresh(desk: &Desk) {
    desk.ask(
        Topic::Waits,
        |app| {
            let now_ms = app.now().utc_ms;
            Ok((app.waits()?, now_ms))
        },
        |desk, (waits, now_ms): (Vec<RemedyNow>, i64)| {
            let rows = waits.iter().filter_map(|wait| wait_row(wait, now_ms));
            desk.window()
                .global::<Bridge>()
                .set_under_way(model(rows.collect()));
        },
    );
}

fn wait_row(wait: &RemedyNow, now_ms: i64) -> Option<WaitRow> {
    let next = main_proof(wait)?;
    let minutes = (next.due_ms - now_ms) as f64 / MS_PER_MIN;
    let when = match next.standing {
        ProofStanding::Waiting(_) => in_minutes(minutes),
        ProofStanding::ClockSetBack => say!("the clock was set back").to_owned(),
        _ => say!("of a check" => "now").to_owned(),
    };
    Some(WaitRow {
        id: wait.row.remedy.to_string().into(),
        title: format!(
            "{}: {}, {when}",
            wait.row.pump,
            short_title(next.proof.check)
        )
        .into(),
        sub: format!("{} {}", wait.row.words(), wait.row.by).into(),
    })
}

/// Says under an entry what it proves of something put right before.
pub fn tell_proof(desk: &Desk, record: Uuid) {
    desk.window().global::<Entry>().set_proved_words("".into());
    desk.state.borrow_mut().entry.proves = None;
    desk.ask(
        Topic::Proof,
        move |app| app.proved_by(record),
        |desk, proved| {
            let Some((remedy, words)) = proved else {
                return;
            };
            desk.state.borrow_mut().entry.proves = Some(remedy);
            desk.window()
                .global::<Entry>()
                .set_proved_words(words.into());
        },
    );
}
