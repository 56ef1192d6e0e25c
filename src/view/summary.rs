//! A visit before it is closed.

use super::{
    EntryRow as Row, Page, Summary, Verdict as Mark,
    desk::{self, Desk, Topic},
    entry, home, picture, remedy, rounds, visit,
    words::{mark, mark_of, model, value, when},
};
use crate::{
    app::{App, AppError, CheckState, CloseVisit, Enter, RemediesOf, Standing},
    check::{Entered, words},
    judge::Verdict,
    photo,
    record::Stamp,
    report, say,
    store::{PhotoRow, PhotosOf},
};
use slint::ComponentHandle;
use uuid::Uuid;

/// Long side of a photo in a row, px.
const THUMBNAIL: u32 = 160;

/// A photo made small, with what it belongs to.
pub struct Small {
    /// The record.
    pub row: PhotoRow,
    /// The picture, where its bytes are here and sound.
    pub picture: Option<image::RgbImage>,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let summary = desk.window().global::<Summary>();
    summary.on_open_check(|index| desk::with(|desk| entry::open(desk, index)));
    summary.on_close_visit(|| desk::with(|desk| close(desk, None)));
    summary.on_close_leaving_out(|reason| desk::with(|desk| close(desk, Some(reason.to_string()))));
}

/// Reads the visit anew and shows what came of it.
pub fn open(desk: &Desk) {
    let Some(visit) = visit::current(desk) else {
        return;
    };
    desk.ask(
        Topic::Visit,
        move |app| {
            let done = app.remedies_now(RemediesOf::Visit(visit))?;
            Ok((
                visit::look(app, visit)?,
                small_photos(app, PhotosOf::Visit(visit), THUMBNAIL)?,
                done,
            ))
        },
        |desk, (looked, photos, done)| {
            let now = looked.2;
            let lines = done
                .iter()
                .map(|done| remedy::in_one_line(done, now).into());
            let summary = desk.window().global::<Summary>();
            summary.set_done(model(lines.collect()));
            visit::show(desk, looked);
            show(desk, &photos, now);
            desk.go(Page::Summary);
        },
    );
}

/// Photos made small, off the window's thread.
pub fn small_photos(app: &App, of: PhotosOf<'_>, long_side: u32) -> Result<Vec<Small>, AppError> {
    let rows = app.store().read().photos(of)?;
    made_small(app, rows, long_side)
}

/// These photos made small, off the window's thread.
pub fn made_small(app: &App, rows: Vec<PhotoRow>, long_side: u32) -> Result<Vec<Small>, AppError> {
    let reader = app.store().read();
    rows.into_iter()
        .map(|row| {
            let stored = reader.photo(row.taken.photo)?;
            // A picture that can't be shown is still told of: its row stays, without the image.
            let picture = stored.and_then(|stored| photo::thumbnail(&stored.bytes, long_side).ok());
            Ok(Small { row, picture })
        })
        .collect()
}

fn show(desk: &Desk, photos: &[Small], now: Stamp) {
    let state = desk.state.borrow();
    let Some(list) = &state.checklist else { return };
    let summary = desk.window().global::<Summary>();
    summary.set_pump_id(list.pump.id.as_str().into());
    summary.set_pump_name(list.pump.name.as_str().into());
    let verdicts: Vec<Mark> = list
        .checks
        .iter()
        .map(|state| mark_of(state.entry.as_ref()))
        .collect();
    let worst = list
        .checks
        .iter()
        .filter_map(|state| Some(state.entry.as_ref()?.entry.judgement.verdict))
        .max();
    summary.set_verdict(worst.map_or(Mark::NotEntered, mark));
    summary.set_words(count_words(&verdicts).into());
    let rows = |keep: &dyn Fn(&CheckState) -> bool| -> Vec<Row> {
        let checks = list
            .checks
            .iter()
            .enumerate()
            .filter(|(_, state)| keep(state));
        checks
            .map(|(index, state)| row(index, state, photos, now))
            .collect()
    };
    let verdict = |state: &CheckState| {
        state
            .entry
            .as_ref()
            .map(|entry| entry.entry.judgement.verdict)
    };
    let entered = |state: &CheckState| state.standing() == Standing::Entered;
    let mut wrong =
        rows(&|state| entered(state) && verdict(state).is_some_and(Verdict::is_out_of_limits));
    wrong.sort_by_key(|row| match row.verdict {
        Mark::StopPump => 0,
        Mark::Act => 1,
        _ => 2,
    });
    summary.set_out_of_limits(model(wrong));
    let mut good =
        rows(&|state| entered(state) && !verdict(state).is_some_and(Verdict::is_out_of_limits));
    // A photo of the pump as a whole belongs to no check's row.
    good.extend(
        photos
            .iter()
            .filter(|small| small.row.taken.check.is_none())
            .map(|small| photo_row(small, now)),
    );
    summary.set_in_limits(model(good));
    summary.set_not_checked(model(rows(&|state| {
        state.standing() == Standing::NotChecked
    })));
    summary.set_missing(model(rows(&|state| state.standing() == Standing::Missing)));
}

fn count_words(marks: &[Mark]) -> String {
    let count = |mark: Mark| marks.iter().filter(|own| **own == mark).count();
    let parts = [
        (Mark::StopPump, say!("of checks" => "stop pump")),
        (Mark::Act, say!("of checks" => "act")),
        (Mark::Watch, say!("of checks" => "watch")),
        (Mark::InLimits, say!("of checks" => "in limits")),
        (Mark::NotJudged, say!("of checks" => "not judged")),
        (Mark::NotChecked, say!("of checks" => "not checked")),
        (Mark::NotEntered, say!("of checks" => "not entered")),
    ];
    let parts = parts.map(|(mark, words)| (count(mark), words));
    let told: Vec<_> = parts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| format!("{count} {words}"))
        .collect();
    say!(
        "{count} checks: {told}",
        count = marks.len(),
        told = told.join(", ")
    )
}

fn row(index: usize, state: &CheckState, photos: &[Small], now: Stamp) -> Row {
    let own: Vec<_> = photos
        .iter()
        .filter(|small| small.row.taken.check == Some(state.check.id))
        .collect();
    let picture = own.iter().find_map(|small| small.picture.as_ref());
    let entry = state.entry.as_ref();
    Row {
        index: i32::try_from(index).unwrap_or(i32::MAX),
        title: words::title(state.check.id).into(),
        value: entry.map(value).unwrap_or_default().into(),
        verdict: mark_of(entry),
        sentence: entry.map(report::sentence).unwrap_or_default().into(),
        when: entry
            .map(|entry| when(entry.entry.seen_at, now))
            .unwrap_or_default()
            .into(),
        by: entry
            .map(|entry| entry.by.as_str())
            .unwrap_or_default()
            .into(),
        has_picture: picture.is_some(),
        picture: picture.map(picture::image_of).unwrap_or_default(),
        photos: i32::try_from(own.len()).unwrap_or(i32::MAX),
    }
}

fn photo_row(small: &Small, now: Stamp) -> Row {
    Row {
        // No check opens from it.
        index: -1,
        title: say!("Photo of the pump").into(),
        value: small.row.taken.words.as_str().into(),
        verdict: Mark::NotJudged,
        when: when(small.row.at, now).into(),
        by: small.row.by.as_str().into(),
        has_picture: small.picture.is_some(),
        picture: small
            .picture
            .as_ref()
            .map(picture::image_of)
            .unwrap_or_default(),
        photos: 1,
        ..Row::default()
    }
}

fn close(desk: &Desk, leaving_out: Option<String>) {
    let Some(visit) = visit::current(desk) else {
        return;
    };
    let missing: Vec<_> = {
        let state = desk.state.borrow();
        let checks = state.checklist.iter().flat_map(|list| &list.checks);
        checks
            .filter(|state| state.standing() == Standing::Missing)
            .map(|state| state.check.id)
            .collect()
    };
    desk.perform(
        move |app| leave(app, visit, &missing, leaving_out),
        |desk, ()| {
            desk.state.borrow_mut().checklist = None;
            desk.say(say!("Visit closed."));
            home::refresh(desk);
            rounds::refresh(desk);
            desk.go(desk.window().global::<super::Nav>().invoke_after_visit());
        },
        |desk, error| desk.fail(&error),
    );
}

fn leave(
    app: &mut App,
    visit: Uuid,
    missing: &[crate::plant::CheckId],
    reason: Option<String>,
) -> Result<(), AppError> {
    app.together(|app| {
        if let Some(reason) = reason {
            for &check in missing {
                let reason = reason.clone();
                let entered = Entered::NotChecked { reason };
                app.perform(Enter {
                    visit,
                    check,
                    entered,
                })?;
            }
        }
        app.perform(CloseVisit { visit })
    })
}
