//! Where the operator is, and the way back there.

use super::{
    Entry, Nav, Page, Session, count,
    desk::{Desk, Topic},
    entry, visit,
};
use crate::app::{KeptPage, Whereabouts};
use slint::ComponentHandle;

/// The page one comes back to from this one: itself, or the one before that needs nothing that is lost.
pub fn kept_page(page: Page) -> KeptPage {
    match page {
        Page::Scan => KeptPage::Scan,
        Page::Entry => KeptPage::Entry,
        Page::Visit
        | Page::Photo
        | Page::Summary
        | Page::Diagnosis
        | Page::Trend
        | Page::Remedy => KeptPage::Visit,
        Page::Send => KeptPage::Send,
        Page::Setup => KeptPage::Setup,
        _ => KeptPage::Top,
    }
}

/// Where the operator is.
pub fn now(desk: &Desk) -> Whereabouts {
    let window = desk.window();
    let page = kept_page(window.global::<Nav>().get_page());
    let visit = visit::current(desk);
    let place = Whereabouts {
        page,
        visit: visit.filter(|_| matches!(page, KeptPage::Visit | KeptPage::Entry)),
        ..Whereabouts::default()
    };
    let line = window.global::<Entry>();
    if page != KeptPage::Entry || line.get_saved() || line.get_correcting() {
        return Whereabouts {
            check: entry::current_check(desk).filter(|_| page == KeptPage::Entry),
            ..place
        };
    }
    Whereabouts {
        check: entry::current_check(desk),
        typed: line.get_typed().into(),
        words: line.get_words().into(),
        count: count::half(desk),
        ..place
    }
}

/// Goes back to where the operator was, as far as it is still there: a visit closed meanwhile is not opened again.
pub fn restore(desk: &Desk, place: Whereabouts) {
    let wanted = place.visit;
    desk.ask(
        Topic::Visit,
        move |app| {
            let open = app.open_visit()?.map(|open| open.visit);
            open.filter(|open| Some(*open) == wanted)
                .map(|visit| visit::look(app, visit))
                .transpose()
        },
        move |desk, looked| {
            // Whoever is not known yet is asked first.
            if desk.window().global::<Session>().get_operator().is_empty() {
                return;
            }
            match (place.page, looked) {
                (KeptPage::Visit | KeptPage::Entry, Some(looked)) => {
                    visit::show(desk, looked);
                    desk.go(Page::Visit);
                    if place.page == KeptPage::Entry {
                        open_check(desk, &place);
                    }
                }
                (KeptPage::Scan, _) => desk.go(Page::Scan),
                (KeptPage::Send, _) => desk.go(Page::Send),
                (KeptPage::Setup, _) => desk.go(Page::Setup),
                (KeptPage::Top | KeptPage::Visit | KeptPage::Entry, _) => {}
            }
        },
    );
}

fn open_check(desk: &Desk, place: &Whereabouts) {
    // The pump may be doing something else by now: then the check is not of the visit any more.
    let check = {
        let state = desk.state.borrow();
        let list = state.checklist.as_ref();
        place
            .check
            .filter(|check| list.is_some_and(|list| list.check(*check).is_some()))
    };
    let Some(check) = check else { return };
    entry::open_check(desk, check);
    let line = desk.window().global::<Entry>();
    if line.get_saved() {
        return;
    }
    if !place.typed.is_empty() {
        line.set_typed(place.typed.as_str().into());
        line.invoke_typed_changed(place.typed.as_str().into());
    }
    line.set_words(place.words.as_str().into());
    if let Some(half) = place.count {
        count::put_back(desk, half);
    }
}
