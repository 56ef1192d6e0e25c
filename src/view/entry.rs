//! The one check being entered, and its result.

use super::{
    Entry, Nav, Page,
    count::{self, Count},
    desk::{self, Desk, Topic},
    diagnosis, face, home, photo,
    pool::{self, Pool},
    remedy, run, trend, visit,
    words::{capital, do_first, ghosts, history, mark_of, model, sentence, value},
    working,
};
use crate::{
    app::{Amend, App, AppError, CheckState, Enter},
    check::{Entered, EntryKind},
    judge,
    plant::{CheckId, PumpId, Unit},
    record::Stamp,
    say,
    store::{EntryRow, PhotosOf},
};
use slint::ComponentHandle;
use uuid::Uuid;

/// Entries shown under the one being made.
const HISTORY_ROWS: u32 = 12;

/// What is on the screen and not saved yet.
#[derive(Default)]
pub struct Draft {
    /// Which check of the visit.
    pub check: Option<CheckId>,
    /// The drops being counted.
    pub count: Count,
    /// The stream being caught.
    pub pool: Pool,
    /// The record that is being put right.
    pub correcting: Option<Uuid>,
    /// What was put right and is proved by the saved entry.
    pub proves: Option<Uuid>,
    /// It is being saved.
    saving: bool,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    entry.on_typed_changed(|text| desk::with(|desk| face::typed(desk, &text)));
    entry.on_value_dragged(|value| desk::with(|desk| face::dragged(desk, value)));
    entry.on_count_tap(|| desk::with(count::tap));
    entry.on_count_stop(|| desk::with(count::stop));
    entry.on_count_on(|| desk::with(count::go_on));
    entry.on_count_reset(|| desk::with(count::reset));
    entry.on_pooling_changed(|pooling| desk::with(|desk| pool::choose(desk, pooling)));
    entry.on_pool_typed(|| desk::with(pool::typed));
    entry.on_pool_clock(|| desk::with(pool::clock));
    entry.on_set_level(|level| desk::with(|desk| face::set_level(desk, level)));
    entry.on_choose_feel(|step| change(|entry| entry.set_feel_step(step)));
    entry.on_choose_choice(|index| change(|entry| entry.set_choice(index)));
    entry.on_choose_answer(|yes| change(|entry| entry.set_answer(i32::from(yes))));
    entry.on_set_words(|words| change(|entry| entry.set_words(words)));
    entry.on_save(|| desk::with(save));
    entry.on_not_checked(|reason| {
        let reason = reason.to_string();
        desk::with(|desk| take(desk, Entered::NotChecked { reason }));
    });
    entry.on_correct(|| desk::with(correct));
    entry.on_next(|| desk::with(visit::open_next));
    entry.on_open_photo(|| {
        desk::with(|desk| photo::open(desk, current(desk).map(|state| state.check.id)))
    });
    entry.on_open_trend(|| {
        desk::with(|desk| {
            if let Some((pump, check)) = pump_and_check(desk) {
                trend::open(desk, pump, check);
            }
        });
    });
    entry.on_open_diagnosis(|| desk::with(diagnosis::open_here));
}

/// Changes what is on the screen; a complaint about what was there before goes.
fn change(set: impl FnOnce(&Entry<'_>)) {
    desk::with(|desk| {
        let entry = desk.window().global::<Entry>();
        entry.set_error("".into());
        set(&entry);
    });
}

/// Opens the check that stands there in the list the window shows.
pub fn open(desk: &Desk, index: i32) {
    let check = {
        let state = desk.state.borrow();
        let list = state.checklist.as_ref();
        list.and_then(|list| visit::check_at(list, index))
    };
    if let Some(check) = check {
        open_check(desk, check);
    }
}

/// Opens a check of the visit. One that was entered opens with what was saved.
pub fn open_check(desk: &Desk, check: CheckId) {
    let Some(state) = open_empty(desk, check) else {
        return;
    };
    if let Some(entry) = &state.entry {
        show_saved(desk, entry);
    }
    desk.go(Page::Entry);
    ask_history(desk, &state);
}

/// Opens a check of the visit to be made again: what was saved before stays as it is.
pub fn open_anew(desk: &Desk, check: CheckId) {
    let Some(state) = open_empty(desk, check) else {
        desk.fail(&say!(
            "That check can't be made while the pump does what it does: say first what it is doing."
        ));
        return;
    };
    desk.go(Page::Entry);
    ask_history(desk, &state);
}

fn open_empty(desk: &Desk, check: CheckId) -> Option<CheckState> {
    desk.state.borrow_mut().entry = Draft {
        check: Some(check),
        ..Draft::default()
    };
    let state = current(desk)?;
    show_where(desk, check);
    face::show(desk, &state);
    face::clear(desk);
    Some(state)
}

/// Opens the check on the screen anew where its entry was taken back.
pub fn reopen_taken_back(desk: &Desk) {
    let on_screen = desk.window().global::<Nav>().get_page() == Page::Entry;
    let shown_saved = desk.window().global::<Entry>().get_saved();
    let Some(state) = current(desk).filter(|_| on_screen && shown_saved) else {
        return;
    };
    open_check(desk, state.check.id);
}

fn current(desk: &Desk) -> Option<CheckState> {
    desk.state.borrow().check().cloned()
}

fn pump_and_check(desk: &Desk) -> Option<(PumpId, CheckId)> {
    let state = desk.state.borrow();
    Some((
        state.checklist.as_ref()?.pump.id.clone(),
        state.entry.check?,
    ))
}

/// The check being entered.
pub fn current_check(desk: &Desk) -> Option<CheckId> {
    current(desk).map(|state| state.check.id)
}

/// Where the check stands among those of the visit.
fn show_where(desk: &Desk, check: CheckId) {
    let entry = desk.window().global::<Entry>();
    let state = desk.state.borrow();
    let Some(list) = &state.checklist else { return };
    let Some(index) = visit::index_of(list, check) else {
        return;
    };
    entry.set_index(index);
    entry.set_step_words(match usize::try_from(index) {
        Ok(index) if index < list.walk => {
            say!("{number} of {count}", number = index + 1, count = list.walk).into()
        }
        _ => say!("of a check" => "asked for besides").into(),
    });
}

fn ask_history(desk: &Desk, state: &CheckState) {
    let (id, kind) = (state.check.id, state.check.kind);
    let Some((pump, visit)) = desk
        .state
        .borrow()
        .checklist
        .as_ref()
        .map(|list| (list.pump.id.clone(), list.visit.visit))
    else {
        return;
    };
    let pump_of_trend = pump.clone();
    desk.ask(
        Topic::EntryTrend,
        move |app| app.trend_words(&pump_of_trend, id),
        |desk, words| {
            desk.window()
                .global::<Entry>()
                .set_trend_words(capital(&words).into())
        },
    );
    desk.ask(
        Topic::Entry,
        move |app| {
            let reader = app.store().read();
            let photos = reader.photos(PhotosOf::Visit(visit))?;
            let photos = photos.iter().filter(|photo| photo.taken.check == Some(id));
            let (history, photos) = (reader.history(&pump, id, HISTORY_ROWS)?, photos.count());
            Ok((history, photos, app.now()))
        },
        move |desk, (entries, photos, now): (Vec<EntryRow>, usize, Stamp)| {
            let entry = desk.window().global::<Entry>();
            entry.set_photos(i32::try_from(photos).unwrap_or(i32::MAX));
            entry.set_history(model(history(&entries, now)));
            let unit = match kind {
                EntryKind::Number { unit, .. } => unit,
                EntryKind::Count => Unit::DropsPerMin,
                _ => return,
            };
            entry.set_ghosts(model(ghosts(&entries, unit, now)));
        },
    );
}

fn save(desk: &Desk) {
    // The faces stand on the page of a procedure too.
    if desk.window().global::<Nav>().get_page() == Page::Run {
        return run::act(desk);
    }
    count::stop(desk);
    pool::stop(desk);
    let entered = match current(desk) {
        Some(state) => face::on_screen(desk, &state),
        None => Err(say!("Open the check again.").to_owned()),
    };
    match entered {
        Ok(entered) => take(desk, entered),
        Err(words) => desk.window().global::<Entry>().set_error(sentence(&words)),
    }
}

fn take(desk: &Desk, entered: Entered) {
    let Some(visit) = visit::current(desk) else {
        return;
    };
    let Some(state) = current(desk) else { return };
    let check = state.check.id;
    let correcting = {
        let draft = &mut desk.state.borrow_mut().entry;
        // A second tap on the same button is no second entry.
        if std::mem::replace(&mut draft.saving, true) {
            return;
        }
        draft.correcting
    };
    desk.perform(
        move |app: &mut App| {
            match correcting {
                Some(record) => app.perform(Amend { record, entered })?,
                None => app.perform(Enter {
                    visit,
                    check,
                    entered,
                })?,
            };
            visit::look(app, visit)
        },
        move |desk, looked| {
            visit::show(desk, looked);
            if end_saving(desk, check) {
                show_taken(desk);
            }
            home::refresh(desk);
        },
        move |desk, error: AppError| {
            if end_saving(desk, check) {
                desk.window().global::<Entry>().set_error(sentence(&error));
            } else {
                desk.fail(&error);
            }
        },
    );
}

/// Ends the saving of a check; whether that check is still on the screen.
fn end_saving(desk: &Desk, check: CheckId) -> bool {
    let draft = &mut desk.state.borrow_mut().entry;
    let here = draft.check == Some(check);
    if here {
        draft.saving = false;
    }
    here
}

fn show_taken(desk: &Desk) {
    desk.state.borrow_mut().entry.correcting = None;
    desk.window().global::<Entry>().set_correcting(false);
    if let Some(state) = current(desk) {
        // A check asked for besides moves up once it is made.
        show_where(desk, state.check.id);
        if let Some(entry) = &state.entry {
            show_saved(desk, entry);
        }
        ask_history(desk, &state);
    }
}

fn show_saved(desk: &Desk, row: &EntryRow) {
    let entry = desk.window().global::<Entry>();
    let made = &row.entry;
    entry.set_error("".into());
    entry.set_verdict(mark_of(Some(row)));
    entry.set_saved_words(value(row).into());
    entry.set_sentence(
        judge::finding_words(
            made.check.kind,
            &made.entered,
            &made.judgement,
            made.limits.as_ref(),
        )
        .into(),
    );
    entry.set_first_action(do_first(row).into());
    let change = judge::change_words(made.check.kind, &made.entered, made.previous.as_ref());
    entry.set_change_words(change.unwrap_or_default().into());
    entry.set_has_diagnosis(made.judgement.verdict.is_out_of_limits());
    entry.set_saved(true);
    remedy::tell_proof(desk, row.record);
    show_worked(desk);
}

/// Shows what was worked out from the saved entry and those beside it.
pub fn show_worked(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    let state = desk.state.borrow();
    let Some(check) = state.entry.check.filter(|_| entry.get_saved()) else {
        return;
    };
    let all = state
        .evaluation
        .iter()
        .flat_map(|evaluation| &evaluation.worked);
    let own: Vec<_> = all
        .filter(|line| line.of.contains(&check))
        .cloned()
        .collect();
    entry.set_worked(model(working::lines(&own, state.checklist.as_ref())));
}

fn correct(desk: &Desk) {
    let Some(state) = current(desk) else { return };
    let Some(saved) = &state.entry else { return };
    face::clear(desk);
    desk.window().global::<Entry>().set_correcting(true);
    desk.state.borrow_mut().entry.correcting = Some(saved.record);
    face::put_back(desk, &state, saved.entry.entered.clone());
}

/// One more photo belongs to the check being shown.
pub fn count_photo(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    entry.set_photos(entry.get_photos() + 1);
}
