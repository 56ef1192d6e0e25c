//! Something put right at a pump: choosing it, writing it down, waiting for its proof.

mod form;
mod wait;

pub use wait::{refresh as refresh_waits, tell_proof};

use super::{
    Page, Remedy as Bridge, RemedyOption, RemedyStage,
    desk::{self, Desk, Topic},
    entry, visit,
    words::{model, when},
};
use crate::{
    app::{App, AppError, RemedyNow},
    check::words::short_place,
    plant::{CheckId, Place, PumpId},
    record::Stamp,
    remedy::{Remedy, answers, name, possible, possible_for},
};
use slint::ComponentHandle;
use uuid::Uuid;

/// What was put right, when, by whom, and what proved it.
pub fn in_one_line(done: &RemedyNow, now: Stamp) -> String {
    let row = &done.row;
    let words = format!(
        "{} {}, {}. {}",
        row.words(),
        when(row.done_at, now),
        row.by,
        done.proved_words()
    );
    words.trim_end().to_owned()
}

/// What is being put right.
#[derive(Default)]
pub struct Draft {
    /// At which pump.
    pump: Option<PumpId>,
    /// In which visit.
    visit: Option<Uuid>,
    /// For which finding.
    finding: Option<Uuid>,
    /// What can be put right there.
    options: Vec<Remedy>,
    /// What stands on the screen.
    what: Option<Remedy>,
    /// All nuts are turned alike.
    alike: bool,
    /// It is being saved.
    saving: bool,
    /// What was put right and is waited for.
    wait: wait::Shown,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_open(|| desk::with(|desk| open(desk, None)));
    page.on_open_for_check(|| desk::with(|desk| open(desk, entry::current_check(desk))));
    page.on_choose(|index| desk::with(|desk| choose(desk, index)));
    page.on_back(|| desk::with(show_options));
    form::attach(desk);
    wait::attach(desk);
}

struct Options {
    pump: PumpId,
    pump_name: String,
    options: Vec<Remedy>,
    /// Nuts of each gland, where they were turned before.
    nuts: Vec<(Place, usize)>,
    due: Vec<(Place, String)>,
}

/// Opens the page on the visit being looked at; where a check leads to it, on what answers that.
fn open(desk: &Desk, check: Option<CheckId>) {
    let here = desk.state.borrow().checklist.as_ref().map(|list| {
        let entry = check.and_then(|check| list.check(check)?.entry.as_ref());
        let finding = entry.and_then(|row| row.entry.finding);
        (list.pump.id.clone(), list.visit.visit, finding)
    });
    let Some((pump, visit, finding)) = here else {
        return;
    };
    desk.ask(
        Topic::Remedy,
        move |app| ask(app, pump, check),
        move |desk, asked| {
            let first = asked.options.first();
            let answered = check
                .zip(first)
                .is_some_and(|(check, first)| answers(first, check));
            begin(desk, asked, visit, finding);
            if answered {
                choose(desk, 0);
            }
            desk.go(Page::Remedy);
        },
    );
}

fn ask(app: &mut App, pump: PumpId, check: Option<CheckId>) -> Result<Options, AppError> {
    let register = app.register()?;
    let built = register.pump(&pump)?;
    let options = match check {
        Some(check) => possible_for(built, check),
        None => possible(built),
    };
    let mut nuts = Vec::new();
    for &place in built
        .seal_places()
        .iter()
        .filter(|place| built.is_packed_at(**place))
    {
        nuts.push((place, app.gland(&pump, place)?.nuts));
    }
    let due = app.grease_due(&pump)?.unwrap_or_default();
    Ok(Options {
        pump_name: built.name.clone(),
        pump,
        options,
        nuts,
        due: due
            .into_iter()
            .map(|due| (due.job.place, due.words))
            .collect(),
    })
}

fn begin(desk: &Desk, asked: Options, visit: Uuid, finding: Option<Uuid>) {
    let page = desk.window().global::<Bridge>();
    page.set_pump_id(asked.pump.as_str().into());
    page.set_pump_name(asked.pump_name.as_str().into());
    let mut options = asked.options;
    for option in &mut options {
        if let Remedy::GlandNuts { place, flats, .. } = option
            && let Some((_, nuts)) = asked.nuts.iter().find(|(at, _)| at == place)
        {
            *flats = vec![1; *nuts];
        }
    }
    let rows = options
        .iter()
        .enumerate()
        .map(|(index, option)| RemedyOption {
            index: i32::try_from(index).unwrap_or(i32::MAX),
            title: name(option).into(),
            sub: sub(option, &asked.due).into(),
        });
    page.set_options(model(rows.collect()));
    desk.state.borrow_mut().remedy = Draft {
        pump: Some(asked.pump),
        visit: Some(visit),
        finding,
        options,
        ..Draft::default()
    };
    show_options(desk);
}

/// Where, and when it is due.
fn sub(option: &Remedy, due: &[(Place, String)]) -> String {
    let place = match option.place() {
        Place::Pump => return String::new(),
        place => short_place(place),
    };
    let due = due.iter().find(|(at, _)| *at == option.place());
    match (option, due) {
        (Remedy::Grease { .. }, Some((_, words))) => format!("{place} · {words}"),
        _ => place.to_owned(),
    }
}

fn show_options(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.set_title("".into());
    page.set_stage(RemedyStage::Choose);
}

fn choose(desk: &Desk, index: i32) {
    {
        let draft = &mut desk.state.borrow_mut().remedy;
        let chosen = usize::try_from(index)
            .ok()
            .and_then(|index| draft.options.get(index));
        let Some(chosen) = chosen.cloned() else {
            return;
        };
        draft.what = Some(chosen);
        draft.alike = true;
    }
    form::open(desk);
}

/// The visit that the page belongs to is the one being looked at.
fn is_here(desk: &Desk) -> bool {
    let here = visit::current(desk);
    here.is_some() && here == desk.state.borrow().remedy.visit
}
