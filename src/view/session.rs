//! What holds for the whole window: who, how it looks, which page.

use super::{
    Nav, Page, Session, Side,
    desk::{self, Desk, Topic},
    home, incoming, send, taking_in,
    words::sentence,
};
use crate::app::{Preference, SetOperator, SetPreference, UNNAMED};
use slint::ComponentHandle;

/// Connects the session and the pages' order.
pub fn attach(desk: &Desk) {
    let session = desk.window().global::<Session>();
    session.on_set_operator(|name| desk::with(|desk| set_operator(desk, name.into())));
    session.on_set_dark(|dark| desk::with(|desk| keep(desk, Preference::Dark, dark.to_string())));
    session.on_set_text_scale(|scale| {
        desk::with(|desk| keep(desk, Preference::TextScale, scale.to_string()))
    });
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
            let plant = app.register()?.plant().name.clone();
            let kept = |preference| app.preference(preference);
            Ok((
                plant,
                app.operator().to_owned(),
                app.device(),
                app.store().path().display().to_string(),
                [
                    kept(Preference::Dark)?,
                    kept(Preference::TextScale)?,
                    kept(Preference::Side)?,
                ],
            ))
        },
        |desk, (plant, operator, device, path, [dark, text_scale, side])| {
            let session = desk.window().global::<Session>();
            session.set_plant(plant.into());
            session.set_device(device.into());
            session.set_store_path(path.into());
            session.set_version(env!("CARGO_PKG_VERSION").into());
            if let Some(dark) = dark.and_then(|text| text.parse().ok()) {
                session.set_dark(dark);
            }
            if let Some(scale) = text_scale.and_then(|text| text.parse::<f32>().ok()) {
                session.set_text_scale(scale.clamp(1.0, 1.5));
            }
            let nav = desk.window().global::<Nav>();
            if side.as_deref() == Some("planner") {
                nav.set_side(Side::Planner);
            }
            if operator == UNNAMED {
                nav.set_page(Page::Setup);
            } else {
                session.set_operator(operator.into());
                nav.set_page(nav.invoke_top());
            }
            home::refresh(desk);
            incoming::refresh(desk);
        },
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
    super::live::moved(desk, to);
    match to {
        Page::Home => home::refresh(desk),
        Page::Send => send::refresh(desk),
        // A look at a finding changes nothing in the lists.
        Page::Incoming if from != Page::Finding => incoming::refresh(desk),
        Page::Scan => super::scan::again(desk),
        _ => {}
    }
}
