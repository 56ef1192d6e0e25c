//! What holds for the whole window: who, how it looks, which page.

use super::{
    Nav, Page, Session, Side,
    desk::{self, Desk, Topic},
    dialog, home, incoming, send, taking_in,
    whereabouts::kept_page,
    words::sentence,
};
use crate::{
    app::{AppError, KeptPage, Preference, SetOperator, SetPreference, StoreTaken, UNNAMED},
    language::{self, Language},
    say,
};
use slint::{ComponentHandle, ModelRc, SharedString};
use std::path::PathBuf;

/// Name of the store of a device that got its plant as a copy.
pub const OWN_STORE: &str = "store.lantern";

/// Connects the session and the pages' order.
pub fn attach(desk: &Desk) {
    let session = desk.window().global::<Session>();
    session.on_set_operator(|name| desk::with(|desk| set_operator(desk, name.into())));
    session.on_set_dark(|dark| desk::with(|desk| keep(desk, Preference::Dark, dark.to_string())));
    session.on_set_text_scale(|scale| {
        desk::with(|desk| keep(desk, Preference::TextScale, scale.to_string()))
    });
    session.on_choose_language(|at| desk::with(|desk| choose_language(desk, at)));
    session
        .on_set_ticks(|ticks| desk::with(|desk| keep(desk, Preference::Tick, ticks.to_string())));
    session.on_open_store(|| desk::with(|desk| dialog::open_store(desk, take_store)));
    session.on_cancel_busy(|| desk::with(taking_in::cancel));
    let nav = desk.window().global::<Nav>();
    nav.on_moved(|from, to| desk::with(|desk| moved(desk, from, to)));
    nav.on_side_chosen(|side| {
        let name = if side == Side::Planner {
            "planner"
        } else {
            "operator"
        };
        desk::with(|desk| keep(desk, Preference::Side, name.to_owned()));
    });
}

/// Fills the first page.
pub fn begin(desk: &Desk) {
    desk.ask(
        Topic::Session,
        |app| {
            let plant = match app.register() {
                Ok(register) => register.plant().name.clone(),
                Err(AppError::NoPlant) => String::new(),
                Err(error) => return Err(error),
            };
            let kept = |preference| app.preference(preference);
            Ok((
                plant,
                app.operator().to_owned(),
                say!("device {digits}", digits = app.device_digits()),
                app.store().path().display().to_string(),
                [
                    kept(Preference::Dark)?,
                    kept(Preference::TextScale)?,
                    kept(Preference::Side)?,
                    kept(Preference::Language)?,
                    kept(Preference::Tick)?,
                ],
            ))
        },
        |desk, (plant, operator, device, path, [dark, text_scale, side, chosen, ticks])| {
            if let Some(language) = chosen.as_deref().and_then(Language::of_locale) {
                language::speak(language);
            }
            show_language(desk);
            let session = desk.window().global::<Session>();
            let no_plant = plant.is_empty();
            session.set_plant(plant.into());
            session.set_asked(true);
            session.set_device(device.into());
            session.set_store_path(path.into());
            session.set_version(env!("CARGO_PKG_VERSION").into());
            if let Some(dark) = dark.and_then(|text| text.parse().ok()) {
                session.set_dark(dark);
            }
            if let Some(scale) = text_scale.and_then(|text| text.parse::<f32>().ok()) {
                session.set_text_scale(scale.clamp(1.0, 1.5));
            }
            session.set_ticks(ticks.as_deref() != Some("false"));
            let nav = desk.window().global::<Nav>();
            if side.as_deref() == Some("planner") {
                nav.set_side(Side::Planner);
            }
            if operator == UNNAMED || no_plant {
                nav.set_page(Page::Setup);
            } else {
                session.set_operator(operator.into());
                nav.set_page(nav.invoke_top());
            }
            if !no_plant {
                home::refresh(desk);
                incoming::refresh(desk);
            }
        },
    );
}

/// Has the window say everything in the language spoken now.
fn show_language(desk: &Desk) {
    let spoken = language::spoken();
    // Refused only where no words came with the window; then it says what it has.
    let _ = slint::select_bundled_translation(spoken.code());
    let session = desk.window().global::<Session>();
    session.set_decimal_sign(language::decimal_sign().to_string().into());
    let names: Vec<SharedString> = Language::ALL.map(|one| one.own_name().into()).into();
    session.set_languages(ModelRc::from(names.as_slice()));
    let at = Language::ALL.iter().position(|one| *one == spoken);
    session.set_language(at.and_then(|at| at.try_into().ok()).unwrap_or_default());
}

/// Speaks the language at this place of the list from now on; what the first pages say is asked for anew, every other
/// page asks when it is come to.
fn choose_language(desk: &Desk, at: i32) {
    let chosen = usize::try_from(at)
        .ok()
        .and_then(|at| Language::ALL.get(at).copied());
    let Some(chosen) = chosen else { return };
    language::speak(chosen);
    show_language(desk);
    keep(desk, Preference::Language, chosen.code().to_owned());
    home::refresh(desk);
    incoming::refresh(desk);
}

/// How the system is set to look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Looks {
    /// Dark.
    pub dark: bool,
    /// How much larger than normal text is.
    pub text_scale: f32,
}

/// Takes over the system's looks, as far as the operator has not chosen others.
pub fn system_looks(desk: &Desk, looks: Looks) {
    desk.ask(
        Topic::Looks,
        |app| {
            let chosen = |preference| Ok::<_, AppError>(app.preference(preference)?.is_some());
            Ok((chosen(Preference::Dark)?, chosen(Preference::TextScale)?))
        },
        move |desk, (dark_chosen, scale_chosen)| {
            let session = desk.window().global::<Session>();
            if !dark_chosen {
                session.set_dark(looks.dark);
            }
            if !scale_chosen {
                session.set_text_scale(looks.text_scale.clamp(1.0, 1.5));
            }
        },
    );
}

/// Takes over a copy of another device's store; a device without a plant keeps it beside the one that waits for a plant.
pub fn take_store(desk: &Desk, path: PathBuf) {
    desk.perform(
        move |app| {
            let own = app.store().path().with_file_name(OWN_STORE);
            app.take_store(&path, &own)
        },
        |desk, taken| {
            begin(desk);
            if let StoreTaken::Plant { name, version } = taken {
                desk.say(&say!(
                    "{name}, version {version}, is taken in.",
                    name,
                    version
                ));
            }
        },
        |desk, error| desk.fail(&error),
    );
}

fn set_operator(desk: &Desk, name: String) {
    let shown = name.trim().to_owned();
    desk.perform(
        |app| app.perform(SetOperator(name)),
        |desk, ()| {
            let session = desk.window().global::<Session>();
            session.set_operator(shown.into());
            session.set_operator_error("".into());
            let nav = desk.window().global::<Nav>();
            desk.go(nav.invoke_top());
        },
        |desk, error| {
            desk.window()
                .global::<Session>()
                .set_operator_error(sentence(&error))
        },
    );
}

fn keep(desk: &Desk, preference: Preference, value: String) {
    desk.perform(
        move |app| app.perform(SetPreference { preference, value }),
        |_, ()| {},
        |desk, error| desk.fail(&error),
    );
}

fn moved(desk: &Desk, from: Page, to: Page) {
    if from == Page::Entry {
        super::count::stop(desk);
    }
    if from == Page::Run {
        super::count::stop(desk);
        super::run::leave(desk);
    }
    super::live::moved(desk, to);
    let at_a_pump = matches!(
        kept_page(to),
        KeptPage::Visit | KeptPage::Entry | KeptPage::Hand | KeptPage::Run
    );
    desk.outside().keep_awake(at_a_pump);
    match to {
        Page::Home => home::refresh(desk),
        Page::Send => send::refresh(desk),
        // A run leaves entries at its pumps.
        Page::Visit if from == Page::Procedures => super::visit::refresh(desk),
        Page::Procedures if from == Page::Run => super::procedures::refresh(desk),
        // A look at a finding changes nothing in the lists.
        Page::Incoming if from != Page::Finding => incoming::refresh(desk),
        Page::Scan => super::scan::again(desk),
        Page::Handover => super::handover::begin_anew(desk),
        Page::Due => super::due::refresh(desk),
        _ => {}
    }
}
