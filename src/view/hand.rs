//! Findings by hand: opened, asked about at the next visit, closed.

use super::{
    FindingRow, Hand, Page, StillSo, Verdict as Mark,
    desk::{self, Desk},
    finding, home, incoming, photo, visit,
    words::{capital, mark, when},
};
use crate::{
    app::{
        AppError, Checklist, CloseFinding, Followed, FoundBy, HalfFinding, Note, OpenFinding,
        SeeFinding,
    },
    check::words,
    plant::Verdict,
    record::{Stamp, Still},
    report::counted,
    say,
};
use slint::ComponentHandle;
use uuid::Uuid;

/// Connects the pages.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Hand>();
    page.on_begin(|| desk::with(begin));
    page.on_save(|photo| desk::with(|desk| save(desk, photo)));
    page.on_answer(|id, still| desk::with(|desk| answer(desk, &id, still)));
    page.on_begin_close(|id| desk::with(|desk| begin_close(desk, &id)));
    page.on_close(|words| desk::with(|desk| close(desk, words.to_string())));
}

/// A finding as a row of a list.
pub fn row(of: &Followed, pump_name: &str, now: Stamp) -> FindingRow {
    let hand = match &of.what {
        FoundBy::Entry(row) => return visit::finding_row(row, pump_name, of.photos, now),
        FoundBy::Hand(hand) => hand,
    };
    let pictures = match of.photos {
        0 => String::new(),
        many => format!(
            " · {}",
            counted(
                many as u64,
                say!("counted" => "photo"),
                say!("counted" => "photos")
            )
        ),
    };
    let last = of.notes.last();
    FindingRow {
        id: hand.finding.to_string().into(),
        pump_id: hand.pump.as_str().into(),
        pump: pump_name.into(),
        title: capital(&hand.words).into(),
        sentence: hand.words.as_str().into(),
        verdict: mark(hand.severity),
        when: (say!("{time} · by hand", time = when(of.latest(), now)) + &pictures).into(),
        by: last.map_or(hand.by.as_str(), |note| &note.by).into(),
        photos: i32::try_from(of.photos).unwrap_or(i32::MAX),
    }
}

/// What was said of a finding, as a line.
pub fn said(note: &Note, now: Stamp) -> String {
    let stood = match (note.still, note.words.as_str()) {
        (Some(still), "") => still.words().to_owned(),
        (Some(still), words) => format!("{}: {words}", still.words()),
        (None, words) => say!("made good: {words}", words),
    };
    format!("{} ({}, {})", capital(&stood), note.by, when(note.at, now))
}

/// Shows the open finding that the visit asks about next.
pub fn show_asked(desk: &Desk, list: &Checklist, now: Stamp) {
    let page = desk.window().global::<Hand>();
    let Some(of) = list.to_ask().next() else {
        page.set_ask_id("".into());
        return;
    };
    page.set_ask_id(of.finding().to_string().into());
    let title = match &of.what {
        FoundBy::Entry(row) => words::title(row.check),
        FoundBy::Hand(_) => say!("Found by hand").to_owned(),
    };
    page.set_ask_title(title.into());
    let sentence = match &of.what {
        FoundBy::Entry(row) => {
            let entry = &row.latest.entry;
            let (judgement, limits) = (&entry.judgement, entry.limits.as_ref());
            crate::judge::finding_words(entry.check.kind, &entry.entered, judgement, limits)
        }
        FoundBy::Hand(hand) => capital(&hand.words),
    };
    page.set_ask_sentence(sentence.into());
    page.set_ask_verdict(mark(of.severity()));
    let since = when(of.opened(), now);
    let left = match list.to_ask().count() {
        1 => say!("Open since {since}", since),
        count => say!(
            "1 of {count} to be looked at again, open since {since}",
            count,
            since
        ),
    };
    let last = of.last_seen().map(|note| format!(". {}", said(note, now)));
    page.set_ask_said((left + &last.unwrap_or_default()).into());
}

fn begin(desk: &Desk) {
    let about = {
        let state = desk.state.borrow();
        let Some(list) = &state.checklist else { return };
        format!("{}  {}", list.pump.id, list.pump.name)
    };
    let page = desk.window().global::<Hand>();
    page.set_closing(false);
    page.set_about(about.into());
    page.set_severity(Mark::NotJudged);
    page.set_words("".into());
    page.set_cause("".into());
    desk.go(Page::Hand);
}

/// The finding on the page; none while one is being closed.
pub fn draft(desk: &Desk) -> Option<HalfFinding> {
    let page = desk.window().global::<Hand>();
    if page.get_closing() {
        return None;
    }
    let severity = match page.get_severity() {
        Mark::StopPump => Verdict::StopPump,
        Mark::Act => Verdict::Act,
        Mark::Watch => Verdict::Watch,
        _ => Verdict::NotJudged,
    };
    Some(HalfFinding {
        severity,
        words: page.get_words().into(),
        cause: page.get_cause().into(),
    })
}

/// Goes on with a finding at the visit's pump.
pub fn go_on(desk: &Desk, half: &HalfFinding) {
    begin(desk);
    let page = desk.window().global::<Hand>();
    page.set_severity(mark(half.severity));
    page.set_words(half.words.as_str().into());
    page.set_cause(half.cause.as_str().into());
}

fn save(desk: &Desk, with_photo: bool) {
    let Some(HalfFinding {
        severity,
        words,
        cause,
    }) = draft(desk)
    else {
        return;
    };
    let cause = Some(cause).filter(|cause| !cause.trim().is_empty());
    let here = {
        let state = desk.state.borrow();
        let list = state.checklist.as_ref();
        list.map(|list| (list.visit.visit, list.pump.id.clone()))
    };
    let Some((visit, pump)) = here else { return };
    desk.perform(
        move |app| {
            let finding = app.perform(OpenFinding {
                pump,
                visit: Some(visit),
                severity,
                words,
                cause,
            })?;
            Ok((finding, visit::look(app, visit)?))
        },
        move |desk, (finding, looked)| {
            visit::show(desk, looked);
            desk.go(Page::Visit);
            if with_photo {
                photo::open_for_finding(desk, finding);
            } else {
                desk.say(say!("Finding saved. It is asked about at the next visit."));
            }
            home::refresh(desk);
        },
        |desk, error| desk.fail(&error),
    );
}

fn answer(desk: &Desk, id: &str, still: StillSo) {
    let Ok(finding) = id.parse::<Uuid>() else {
        return;
    };
    let still = match still {
        StillSo::Same => Still::Same,
        StillSo::Worse => Still::Worse,
        StillSo::Better => Still::Better,
        StillSo::Gone => Still::Gone,
    };
    desk.perform(
        move |app| {
            let of = app.finding(finding)?;
            let by_hand = of.by_entry().is_none();
            // What a hand opened is closed with what made it good; that it is gone is said by that.
            if by_hand && still == Still::Gone {
                return Ok(true);
            }
            app.perform(SeeFinding {
                finding,
                still,
                words: String::new(),
            })?;
            Ok(false)
        },
        move |desk, to_close| {
            if to_close {
                begin_close(desk, &finding.to_string());
                return;
            }
            desk.say(match still {
                Still::Gone => {
                    say!("Noted. Make the check: its first entry in limits ends the finding.")
                }
                _ => say!("Noted."),
            });
            show_anew(desk, finding);
        },
        |desk, error| desk.fail(&error),
    );
}

fn begin_close(desk: &Desk, id: &str) {
    let Ok(finding) = id.parse::<Uuid>() else {
        return;
    };
    desk.perform(
        move |app| app.finding(finding),
        |desk, of| {
            let page = desk.window().global::<Hand>();
            page.set_closing(true);
            page.set_about(capital(&of.sentence()).into());
            desk.state.borrow_mut().closing = Some(of.finding());
            desk.go(Page::Hand);
        },
        |desk, error| desk.fail(&error),
    );
}

fn close(desk: &Desk, made_good: String) {
    let Some(finding) = desk.state.borrow().closing else {
        return;
    };
    desk.perform(
        move |app| -> Result<(), AppError> { app.perform(CloseFinding { finding, made_good }) },
        move |desk, ()| {
            desk.state.borrow_mut().closing = None;
            desk.window().global::<super::Nav>().invoke_back();
            desk.say(say!("Finding closed."));
            show_anew(desk, finding);
        },
        |desk, error| desk.fail(&error),
    );
}

/// Shows what was said on whatever page the finding is seen.
fn show_anew(desk: &Desk, of: Uuid) {
    if let Some(visit) = visit::current(desk) {
        desk.perform(
            move |app| visit::look(app, visit),
            visit::show,
            |desk, error| desk.fail(&error),
        );
    }
    if desk.window().global::<super::Nav>().get_page() == Page::Finding {
        finding::open(desk, &of.to_string());
    }
    incoming::refresh(desk);
}
