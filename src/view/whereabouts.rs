//! Where the operator is, and the way back there.

use super::{
    Entry, Nav, Page, Session, count,
    desk::{Desk, Topic},
    entry, hand, rounds, run, visit,
};
use crate::app::{App, AppError, KeptPage, Whereabouts};
use slint::ComponentHandle;

/// The page one comes back to from this one: itself, or the one before that needs nothing that is lost.
pub fn kept_page(page: Page) -> KeptPage {
    match page {
        Page::Round => KeptPage::Round,
        Page::Scan => KeptPage::Scan,
        Page::Entry => KeptPage::Entry,
        Page::Visit
        | Page::Photo
        | Page::Summary
        | Page::Diagnosis
        | Page::Trend
        | Page::Procedures
        | Page::Remedy => KeptPage::Visit,
        Page::Hand => KeptPage::Hand,
        Page::Run => KeptPage::Run,
        Page::Send => KeptPage::Send,
        Page::Setup => KeptPage::Setup,
        _ => KeptPage::Top,
    }
}

/// Where the operator is.
pub fn now(desk: &Desk) -> Whereabouts {
    let nav = desk.window().global::<Nav>();
    let page = kept_page(nav.get_page());
    let of_a_visit = matches!(page, KeptPage::Visit | KeptPage::Entry | KeptPage::Hand);
    let on_a_round = match page {
        KeptPage::Round => true,
        KeptPage::Scan => nav.get_scan_from() == Page::Round,
        _ => of_a_visit && nav.get_visit_from() == Page::Round,
    };
    let place = Whereabouts {
        page,
        round: rounds::current(desk).filter(|_| on_a_round),
        visit: visit::current(desk).filter(|_| of_a_visit),
        ..Whereabouts::default()
    };
    match page {
        KeptPage::Entry => at_a_check(desk, place),
        KeptPage::Hand => at_a_finding(desk, place),
        KeptPage::Run => at_a_step(desk, place),
        _ => place,
    }
}

fn at_a_check(desk: &Desk, place: Whereabouts) -> Whereabouts {
    let place = Whereabouts {
        check: entry::current_check(desk),
        ..place
    };
    let line = desk.window().global::<Entry>();
    // What was saved is in the store; a correction begins with it again.
    if line.get_saved() || line.get_correcting() {
        place
    } else {
        with_entry(desk, place)
    }
}

fn at_a_finding(desk: &Desk, place: Whereabouts) -> Whereabouts {
    match hand::draft(desk) {
        Some(half) => Whereabouts {
            finding: Some(half),
            ..place
        },
        // One being closed was opened from the pump's page or from the planner's.
        None => Whereabouts {
            page: KeptPage::Visit,
            ..place
        },
    }
}

fn at_a_step(desk: &Desk, place: Whereabouts) -> Whereabouts {
    let place = Whereabouts {
        run: run::place(desk),
        words: run::given_by(desk),
        ..place
    };
    if run::asks_entry(desk) {
        with_entry(desk, place)
    } else {
        place
    }
}

/// A place with what stands on the face of a check and is not saved yet.
fn with_entry(desk: &Desk, place: Whereabouts) -> Whereabouts {
    let line = desk.window().global::<Entry>();
    Whereabouts {
        typed: line.get_typed().into(),
        words: line.get_words().into(),
        count: count::half(desk),
        ..place
    }
}

/// What is still there of where the operator was.
struct Found {
    rounds: Option<rounds::Answer>,
    visit: Option<visit::Looked>,
    run: Option<run::Looked>,
}

/// Goes back to where the operator was, as far as it is still there: a visit closed meanwhile is not opened again.
pub fn restore(desk: &Desk, place: Whereabouts) {
    let wanted = place.clone();
    desk.ask(
        Topic::Visit,
        move |app| find(app, &wanted),
        move |desk, found| {
            // Whoever is not known yet is asked first.
            if !desk.window().global::<Session>().get_operator().is_empty() {
                go_back(desk, &place, found);
            }
        },
    );
}

fn find(app: &mut App, place: &Whereabouts) -> Result<Found, AppError> {
    let open = app.open_visit()?.map(|open| open.visit);
    let open = open.filter(|open| Some(*open) == place.visit);
    Ok(Found {
        rounds: match place.round {
            Some(_) => Some(rounds::ask(app)?),
            None => None,
        },
        visit: open.map(|visit| visit::look(app, visit)).transpose()?,
        run: match place.run {
            Some(at) => run::look_if_there(app, at.run)?,
            None => None,
        },
    })
}

fn go_back(desk: &Desk, place: &Whereabouts, found: Found) {
    // First of all, so that the way back from a visit leads there.
    if let (Some(round), Some(answer)) = (&place.round, &found.rounds) {
        rounds::go_to(desk, round, answer);
    }
    match place.page {
        KeptPage::Top | KeptPage::Round => {}
        KeptPage::Scan => desk.go(Page::Scan),
        KeptPage::Send => desk.go(Page::Send),
        KeptPage::Setup => desk.go(Page::Setup),
        KeptPage::Visit | KeptPage::Entry | KeptPage::Hand => {
            if let Some(looked) = found.visit {
                visit::show(desk, looked);
                desk.go(Page::Visit);
                open_of_visit(desk, place);
            }
        }
        KeptPage::Run => {
            if let Some(looked) = found.run {
                run::show(desk, looked);
                desk.go(Page::Run);
                open_step(desk, place);
            }
        }
    }
}

fn open_of_visit(desk: &Desk, place: &Whereabouts) {
    match (place.page, &place.finding) {
        (KeptPage::Entry, _) => open_check(desk, place),
        (KeptPage::Hand, Some(half)) => hand::go_on(desk, half),
        _ => {}
    }
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
    if !desk.window().global::<Entry>().get_saved() {
        put_back(desk, place);
    }
}

fn open_step(desk: &Desk, place: &Whereabouts) {
    // What was being entered at another step is not for this one.
    if run::place(desk) != place.run {
        return;
    }
    run::set_given_by(desk, &place.words);
    if run::asks_entry(desk) {
        put_back(desk, place);
    }
}

/// Puts what was not saved yet back on the face of a check.
fn put_back(desk: &Desk, place: &Whereabouts) {
    let line = desk.window().global::<Entry>();
    if !place.typed.is_empty() {
        line.set_typed(place.typed.as_str().into());
        line.invoke_typed_changed(place.typed.as_str().into());
    }
    line.set_words(place.words.as_str().into());
    if let Some(half) = place.count {
        count::put_back(desk, half);
    }
}
