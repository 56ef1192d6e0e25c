//! What is on the screen while a check is entered: shown, cleared, read.

use super::{
    Entry, Face, Session, count,
    desk::Desk,
    pool, tape,
    words::{band, model},
};
use crate::{
    app::CheckState,
    check::{self, Entered, EntryKind, words},
    judge,
    plant::{CheckKind, Unit},
    say,
};
use slint::{ComponentHandle, SharedString};

/// Shows a check with nothing in it yet.
pub fn show(desk: &Desk, state: &CheckState) {
    let entry = desk.window().global::<Entry>();
    let hazard = {
        let state = desk.state.borrow();
        let list = state.checklist.as_ref();
        list.and_then(|list| list.pump.hazard.clone())
    };
    let id = state.check.id;
    entry.set_title(words::name(id.kind).into());
    entry.set_place_words(words::short_place(id.place).into());
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
    entry.set_can_pool(face == Face::Count && !state.hands_off);
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
            let steps = words::feel_steps(scale).into_iter();
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
pub fn clear(desk: &Desk) {
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
    entry.set_worked(model(Vec::new()));
    entry.set_trend_words("".into());
    entry.set_has_diagnosis(false);
    pool::clear(desk);
    count::clear(desk);
}

/// Something stands on the keypad's line.
pub fn typed(desk: &Desk, text: &str) {
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

/// The tape's pointer was dragged.
pub fn dragged(desk: &Desk, value: f32) {
    let entry = desk.window().global::<Entry>();
    let decimals = usize::try_from(entry.get_decimals()).unwrap_or(0);
    let sign = desk.window().global::<Session>().get_decimal_sign();
    let text = format!("{value:.decimals$}").replace('.', &sign);
    entry.set_typed(text.as_str().into());
    typed(desk, &text);
}

/// The level in the glass was moved, as a fraction of it.
pub fn set_level(desk: &Desk, level: f32) {
    let entry = desk.window().global::<Entry>();
    let percent = (level.clamp(0.0, 1.0) * 100.0).round();
    entry.set_error("".into());
    entry.set_level(percent / 100.0);
    entry.set_has_level(true);
    entry.set_level_words(say!("{percent} % of the glass", percent).into());
}

/// What is on the screen as an entry, or what is missing.
///
/// # Errors
/// What is missing or can't be taken, and what to do.
pub fn on_screen(desk: &Desk, state: &CheckState) -> Result<Entered, String> {
    let entry = desk.window().global::<Entry>();
    let chosen = |index: i32, what: &str| {
        usize::try_from(index).map_err(|_| say!("Nothing chosen yet: {what}.", what))
    };
    match state.check.kind {
        EntryKind::Number { unit, .. } => {
            let value =
                check::parse_number(&entry.get_typed()).map_err(|error| error.to_string())?;
            Ok(Entered::Number { value, unit })
        }
        EntryKind::Count if entry.get_pooling() => pool::entered(desk),
        EntryKind::Count => desk.state.borrow().entry.count.entered(),
        EntryKind::Level if entry.get_has_level() => {
            // The glass was rounded to whole per cent when it was set.
            Ok(Entered::Level {
                percent: f64::from((entry.get_level() * 100.0).round()),
            })
        }
        EntryKind::Level => Err(say!(
            "No level set yet: drag the level in the glass to where you see it."
        )
        .to_owned()),
        EntryKind::Feel(_) => {
            let step = chosen(
                entry.get_feel_step(),
                say!("tap the words that fit what you feel"),
            )?;
            Ok(Entered::Feel {
                step: u8::try_from(step).unwrap_or(u8::MAX),
            })
        }
        EntryKind::Choice(choices) => {
            let index = chosen(
                entry.get_choice(),
                say!("tap the words that fit what you see"),
            )?;
            let choice = choices.get(index).ok_or(say!("Open the check again."))?;
            Ok(Entered::Choice {
                key: choice.key.to_owned(),
            })
        }
        EntryKind::YesNo { .. } => {
            let answer = chosen(entry.get_answer(), say!("tap yes or no"))?;
            Ok(Entered::YesNo { yes: answer == 1 })
        }
        EntryKind::Words => Ok(Entered::Words {
            text: entry.get_words().into(),
        }),
    }
}

/// Puts back what was saved, to be put right.
pub fn put_back(desk: &Desk, state: &CheckState, saved: Entered) {
    let entry = desk.window().global::<Entry>();
    match saved {
        Entered::Number { value, unit } => {
            let sign = desk.window().global::<Session>().get_decimal_sign();
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
        Entered::Stream {
            millilitres,
            seconds,
            ..
        } => pool::put_back(desk, millilitres, seconds),
        // A count is counted again, a reason given anew.
        Entered::Count { .. } | Entered::NotChecked { .. } => {}
    }
}
