//! The one check being entered, and its result.

use super::{
    Entry, Face, Page,
    count::Count,
    desk::{self, Desk, Topic},
    home, photo, tape, visit,
    words::{band, do_first, ghosts, history, mark_of, model, sentence, value},
};
use crate::{
    app::{Amend, App, AppError, CheckState, Enter},
    check::{self, Entered, EntryKind, words},
    judge,
    plant::{CheckKind, Unit},
    record::Stamp,
    store::{EntryRow, PhotosOf},
};
use slint::{ComponentHandle, SharedString};
use uuid::Uuid;

/// Entries shown under the one being made.
const HISTORY_ROWS: u32 = 12;

/// What is on the screen and not saved yet.
#[derive(Default)]
pub struct Draft {
    /// Which check of the visit.
    pub index: usize,
    /// The drops being counted.
    pub count: Count,
    /// The record that is being put right.
    pub correcting: Option<Uuid>,
    /// It is being saved.
    saving: bool,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    entry.on_typed_changed(|text| desk::with(|desk| typed(desk, &text)));
    entry.on_value_dragged(|value| desk::with(|desk| dragged(desk, value)));
    entry.on_count_tap(|| desk::with(super::count::tap));
    entry.on_count_stop(|| desk::with(super::count::stop));
    entry.on_count_on(|| desk::with(super::count::go_on));
    entry.on_count_reset(|| desk::with(super::count::reset));
    entry.on_set_level(|level| desk::with(|desk| set_level(desk, level)));
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
}

/// Changes what is on the screen; a complaint about what was there before goes.
fn change(set: impl FnOnce(&Entry<'_>)) {
    desk::with(|desk| {
        let entry = desk.window().global::<Entry>();
        entry.set_error("".into());
        set(&entry);
    });
}

/// Opens a check of the visit. One that was entered opens with what was saved.
pub fn open(desk: &Desk, index: i32) {
    let Ok(index) = usize::try_from(index) else {
        return;
    };
    desk.state.borrow_mut().entry = Draft {
        index,
        ..Draft::default()
    };
    let Some(state) = current(desk) else { return };
    show_check(desk, &state);
    clear(desk);
    if let Some(entry) = &state.entry {
        show_saved(desk, entry);
    }
    desk.go(Page::Entry);
    ask_history(desk, &state);
}

fn current(desk: &Desk) -> Option<CheckState> {
    let state = desk.state.borrow();
    state
        .checklist
        .as_ref()?
        .checks
        .get(state.entry.index)
        .cloned()
}

fn show_check(desk: &Desk, state: &CheckState) {
    let entry = desk.window().global::<Entry>();
    let (index, total, hazard) = {
        let state = desk.state.borrow();
        let list = state.checklist.as_ref();
        let hazard = list.and_then(|list| list.pump.hazard.clone());
        (
            state.entry.index,
            list.map_or(0, |list| list.checks.len()),
            hazard,
        )
    };
    let id = state.check.id;
    entry.set_index(i32::try_from(index).unwrap_or(i32::MAX));
    entry.set_title(words::name(id.kind).into());
    entry.set_place_words(words::short_place(id.place).into());
    entry.set_step_words(format!("{} of {total}", index + 1).into());
    entry.set_how_to(words::how_to(id.kind).into());
    entry.set_caution(state.check.caution.unwrap_or_default().into());
    entry.set_hazard(
        hazard
            .filter(|_| state.check.caution.is_some())
            .unwrap_or_default()
            .into(),
    );
    entry.set_is_bottle(id.kind == CheckKind::OilerLevel);
    entry.set_band_words(
        state
            .limits
            .as_ref()
            .and_then(|limits| judge::band(id.kind, limits))
            .unwrap_or_default()
            .into(),
    );
    let (face, unit) = match &state.check.kind {
        EntryKind::Number { unit, .. } => (Face::Number, *unit),
        EntryKind::Count => (Face::Count, Unit::DropsPerMin),
        EntryKind::Level => (Face::Level, Unit::Percent),
        EntryKind::Feel(_) => (Face::Feel, Unit::Step),
        EntryKind::Choice(_) => (Face::Choice, Unit::Step),
        EntryKind::YesNo { .. } => (Face::YesNo, Unit::Step),
        EntryKind::Words => (Face::Words, Unit::Step),
    };
    entry.set_face(face);
    entry.set_unit(unit.symbol().into());
    let fraction = if face == Face::Level { 0.01 } else { 1.0 };
    entry.set_band(band(state.limits.as_ref(), fraction));
    show_options(&entry, state);
    tape::show(&entry, state);
}

fn show_options(entry: &Entry<'_>, state: &CheckState) {
    let kind = state.check.id.kind;
    let text = |text: &str| SharedString::from(text);
    match state.check.kind {
        EntryKind::Feel(scale) => {
            let steps = words::feel_steps(scale).iter();
            entry.set_feel_steps(model(
                steps
                    .map(|step| format!("{}: {}", step.word, step.sign).into())
                    .collect(),
            ));
        }
        EntryKind::Choice(choices) => {
            let labels = choices
                .iter()
                .map(|choice| text(words::choice(kind, choice.key).unwrap_or(choice.key)));
            entry.set_choices(model(labels.collect()));
        }
        EntryKind::YesNo { .. } => {
            entry.set_yes_label(text(words::yes_no(kind, true)));
            entry.set_no_label(text(words::yes_no(kind, false)));
        }
        _ => {}
    }
}

/// Nothing entered, nothing saved, nothing wrong.
fn clear(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    entry.set_typed("".into());
    entry.set_has_value(false);
    entry.set_has_level(false);
    entry.set_level_words("".into());
    entry.set_feel_step(-1);
    entry.set_choice(-1);
    entry.set_answer(-1);
    entry.set_words("".into());
    entry.set_error("".into());
    entry.set_saved(false);
    entry.set_correcting(false);
    entry.set_history(model(Vec::new()));
    entry.set_ghosts(model(Vec::new()));
    entry.set_photos(0);
    super::count::clear(desk);
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

fn typed(desk: &Desk, text: &str) {
    let entry = desk.window().global::<Entry>();
    entry.set_error("".into());
    match check::parse_number(text) {
        Ok(value) => {
            entry.set_value(value as f32);
            entry.set_has_value(true);
        }
        // A number half typed is no mistake yet; saving says what is wrong.
        Err(_) => entry.set_has_value(false),
    }
}

fn dragged(desk: &Desk, value: f32) {
    let entry = desk.window().global::<Entry>();
    let decimals = usize::try_from(entry.get_decimals()).unwrap_or(0);
    let sign = desk.window().global::<super::Session>().get_decimal_sign();
    let text = format!("{value:.decimals$}").replace('.', &sign);
    entry.set_typed(text.as_str().into());
    typed(desk, &text);
}

fn set_level(desk: &Desk, level: f32) {
    let entry = desk.window().global::<Entry>();
    let percent = (level.clamp(0.0, 1.0) * 100.0).round();
    entry.set_error("".into());
    entry.set_level(percent / 100.0);
    entry.set_has_level(true);
    entry.set_level_words(format!("{percent} % of the glass").into());
}

fn save(desk: &Desk) {
    super::count::stop(desk);
    match on_screen(desk) {
        Ok(entered) => take(desk, entered),
        Err(words) => desk.window().global::<Entry>().set_error(sentence(&words)),
    }
}

/// What is on the screen as an entry, or what is missing.
fn on_screen(desk: &Desk) -> Result<Entered, String> {
    let entry = desk.window().global::<Entry>();
    let state = current(desk).ok_or("Open the check again.")?;
    let chosen = |index: i32, what: &str| {
        usize::try_from(index).map_err(|_| format!("Nothing chosen yet: {what}."))
    };
    match state.check.kind {
        EntryKind::Number { unit, .. } => {
            let value =
                check::parse_number(&entry.get_typed()).map_err(|error| error.to_string())?;
            Ok(Entered::Number { value, unit })
        }
        EntryKind::Count => desk.state.borrow().entry.count.entered(),
        EntryKind::Level if entry.get_has_level() => {
            // The glass was rounded to whole per cent when it was set.
            Ok(Entered::Level {
                percent: f64::from((entry.get_level() * 100.0).round()),
            })
        }
        EntryKind::Level => {
            Err("No level set yet: drag the level in the glass to where you see it.".to_owned())
        }
        EntryKind::Feel(_) => {
            let step = chosen(
                entry.get_feel_step(),
                "tap the words that fit what you feel",
            )?;
            Ok(Entered::Feel {
                step: u8::try_from(step).unwrap_or(u8::MAX),
            })
        }
        EntryKind::Choice(choices) => {
            let index = chosen(entry.get_choice(), "tap the words that fit what you see")?;
            let choice = choices.get(index).ok_or("Open the check again.")?;
            Ok(Entered::Choice {
                key: choice.key.to_owned(),
            })
        }
        EntryKind::YesNo { .. } => {
            let answer = chosen(entry.get_answer(), "tap yes or no")?;
            Ok(Entered::YesNo { yes: answer == 1 })
        }
        EntryKind::Words => Ok(Entered::Words {
            text: entry.get_words().into(),
        }),
    }
}

fn take(desk: &Desk, entered: Entered) {
    let Some(visit) = visit::current(desk) else {
        return;
    };
    let Some(state) = current(desk) else { return };
    let check = state.check.id;
    let (index, correcting) = {
        let draft = &mut desk.state.borrow_mut().entry;
        // A second tap on the same button is no second entry.
        if std::mem::replace(&mut draft.saving, true) {
            return;
        }
        (draft.index, draft.correcting)
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
            if end_saving(desk, index) {
                show_taken(desk);
            }
            home::refresh(desk);
        },
        move |desk, error: AppError| {
            if end_saving(desk, index) {
                desk.window().global::<Entry>().set_error(sentence(&error));
            } else {
                desk.fail(&error);
            }
        },
    );
}

/// Ends the saving of a check; whether that check is still on the screen.
fn end_saving(desk: &Desk, index: usize) -> bool {
    let draft = &mut desk.state.borrow_mut().entry;
    let here = draft.index == index;
    if here {
        draft.saving = false;
    }
    here
}

fn show_taken(desk: &Desk) {
    desk.state.borrow_mut().entry.correcting = None;
    desk.window().global::<Entry>().set_correcting(false);
    if let Some(state) = current(desk) {
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
    entry.set_first_action(do_first(made).into());
    let change = judge::change_words(made.check.kind, &made.entered, made.previous.as_ref());
    entry.set_change_words(change.unwrap_or_default().into());
    entry.set_saved(true);
}

fn correct(desk: &Desk) {
    let Some(state) = current(desk) else { return };
    let Some(saved) = state.entry else { return };
    clear(desk);
    let entry = desk.window().global::<Entry>();
    entry.set_correcting(true);
    desk.state.borrow_mut().entry.correcting = Some(saved.record);
    match saved.entry.entered {
        Entered::Number { value, unit } => {
            let sign = desk.window().global::<super::Session>().get_decimal_sign();
            // The limits, and with them the unit asked for, may have changed since.
            let asked = match state.check.kind {
                EntryKind::Number { unit: asked, .. } => unit.convert(value, asked),
                _ => None,
            };
            let text = asked
                .map_or_else(String::new, |value| value.to_string())
                .replace('.', &sign);
            entry.set_typed(text.as_str().into());
            typed(desk, &text);
        }
        Entered::Level { percent } => set_level(desk, (percent / 100.0) as f32),
        Entered::Feel { step } => entry.set_feel_step(i32::from(step)),
        Entered::YesNo { yes } => entry.set_answer(i32::from(yes)),
        Entered::Words { text } => entry.set_words(text.into()),
        Entered::Choice { key } => {
            if let EntryKind::Choice(choices) = state.check.kind {
                let index = choices.iter().position(|choice| choice.key == key);
                entry.set_choice(
                    index
                        .and_then(|index| i32::try_from(index).ok())
                        .unwrap_or(-1),
                );
            }
        }
        // A count is counted again, a reason given anew.
        Entered::Count { .. } | Entered::Stream { .. } | Entered::NotChecked { .. } => {}
    }
}

/// One more photo belongs to the check being shown.
pub fn count_photo(desk: &Desk) {
    let entry = desk.window().global::<Entry>();
    entry.set_photos(entry.get_photos() + 1);
}
