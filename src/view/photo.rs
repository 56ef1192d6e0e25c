//! A photo being attached and marked.

use super::{
    MarkKind, Page, Photo, PhotoMark,
    desk::{self, Desk, Topic},
    dialog, picture, visit,
    words::{model, sentence},
};
use crate::{
    app::{AppError, AttachPhoto, PhotographFinding},
    check::words,
    photo,
    plant::CheckId,
    record::{Mark, Point},
    say,
};
use slint::ComponentHandle;
use std::{
    fs::File,
    io::Read,
    path::{Path, PathBuf},
    sync::Arc,
};
use uuid::Uuid;

/// Long side of the picture shown while it is marked, px: enough for a desktop, light enough for a phone.
const SHOWN_LONG_SIDE: u32 = 1200;

/// A photo that is not saved yet.
#[derive(Default)]
pub struct Draft {
    check: Option<CheckId>,
    finding: Option<Uuid>,
    bytes: Option<Arc<Vec<u8>>>,
    marks: Vec<PhotoMark>,
    saving: bool,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Photo>();
    page.on_attach_file(|| desk::with(|desk| dialog::open_picture(desk, take_file)));
    page.on_mark_added(|mark| {
        desk::with(|desk| {
            desk.state.borrow_mut().photo.marks.push(mark);
            show_marks(desk);
        });
    });
    page.on_undo_mark(|| {
        desk::with(|desk| {
            desk.state.borrow_mut().photo.marks.pop();
            show_marks(desk);
        });
    });
    page.on_save(|| desk::with(save));
    page.on_discard(|| {
        desk::with(|desk| {
            desk.state.borrow_mut().photo = Draft::default();
            desk.window().global::<super::Nav>().invoke_back();
        });
    });
}

/// Begins a photo for a check, or for the pump as a whole.
pub fn open(desk: &Desk, check: Option<CheckId>) {
    let page = desk.window().global::<Photo>();
    let pump = desk
        .state
        .borrow()
        .checklist
        .as_ref()
        .map(|list| (list.pump.id.clone(), list.pump.name.clone()));
    let title = match (check, pump) {
        (Some(check), Some((id, _))) => format!("{id} · {}", words::title(check)),
        (None, Some((id, name))) => format!("{id} {name}"),
        (_, None) => String::new(),
    };
    page.set_for_title(title.into());
    page.set_has_picture(false);
    page.set_words("".into());
    page.set_error("".into());
    desk.state.borrow_mut().photo = Draft {
        check,
        ..Draft::default()
    };
    show_marks(desk);
    desk.go(Page::Photo);
}

/// Begins a photo of a finding opened by hand.
pub fn open_for_finding(desk: &Desk, finding: Uuid) {
    open(desk, None);
    desk.state.borrow_mut().photo.finding = Some(finding);
}

/// Takes a picture file: reads it, makes it small and upright, shows it.
pub fn take_file(desk: &Desk, path: PathBuf) {
    take(desk, move || read_file(&path));
}

/// Takes a picture that is not in a file.
pub fn take_bytes(desk: &Desk, bytes: Vec<u8>) {
    take(desk, move || Ok(bytes));
}

fn take(desk: &Desk, read: impl FnOnce() -> Result<Vec<u8>, AppError> + Send + 'static) {
    let made_small = move || -> Result<_, AppError> {
        let bytes = read()?;
        let taken = photo::take_in(&bytes)?;
        Ok((bytes, photo::thumbnail(&taken.jpeg, SHOWN_LONG_SIDE)?))
    };
    desk.aside(Topic::Photo, made_small, |desk, taken| {
        let page = desk.window().global::<Photo>();
        match taken {
            Ok((bytes, shown)) => {
                page.set_picture(picture::image_of(&shown));
                page.set_has_picture(true);
                page.set_error("".into());
                desk.state.borrow_mut().photo.bytes = Some(Arc::new(bytes));
            }
            Err(error) => page.set_error(sentence(&error)),
        }
    });
}

/// A picture file's bytes; of one too large just enough to have it refused.
fn read_file(path: &Path) -> Result<Vec<u8>, AppError> {
    let most = u64::try_from(photo::MOST_BYTES).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most.saturating_add(1)).read_to_end(&mut bytes))
        .map_err(|error| AppError::file(path, error))?;
    Ok(bytes)
}

fn show_marks(desk: &Desk) {
    let mut marks = desk.state.borrow().photo.marks.clone();
    let notes = marks.iter_mut().filter(|mark| mark.kind == MarkKind::Note);
    for (number, note) in (1..).zip(notes) {
        note.number = number;
    }
    desk.window().global::<Photo>().set_marks(model(marks));
}

fn save(desk: &Desk) {
    let page = desk.window().global::<Photo>();
    let Some(visit) = visit::current(desk) else {
        return;
    };
    let (check, finding, bytes, marks) = {
        let draft = &desk.state.borrow().photo;
        let size = page.get_picture().size();
        let marks = draft
            .marks
            .iter()
            .map(|mark| record_mark(mark, (size.width, size.height)))
            .collect();
        (draft.check, draft.finding, draft.bytes.clone(), marks)
    };
    let Some(bytes) = bytes else {
        page.set_error(say!("No picture yet: choose a file, or drop one onto the window.").into());
        return;
    };
    let words = page.get_words().trim().to_owned();
    if std::mem::replace(&mut desk.state.borrow_mut().photo.saving, true) {
        return;
    }
    desk.perform(
        move |app| {
            let picture = Arc::unwrap_or_clone(bytes);
            match finding {
                Some(finding) => app.perform(PhotographFinding {
                    finding,
                    picture,
                    marks,
                    words,
                })?,
                None => app.perform(AttachPhoto {
                    visit,
                    check,
                    picture,
                    marks,
                    words,
                })?,
            };
            visit::look(app, visit)
        },
        |desk, looked| {
            desk.state.borrow_mut().photo = Draft::default();
            visit::show(desk, looked);
            super::entry::count_photo(desk);
            desk.window().global::<super::Nav>().invoke_back();
            desk.say(say!("Photo saved."));
        },
        |desk, error| {
            desk.state.borrow_mut().photo.saving = false;
            desk.window().global::<Photo>().set_error(sentence(&error))
        },
    );
}

/// A mark of the window as a record keeps it.
///
/// The window gives two corners; a record keeps a circle as its centre and a radius in shorter sides.
fn record_mark(mark: &PhotoMark, (width, height): (u32, u32)) -> Mark {
    let point = |x: f32, y: f32| Point {
        x: f64::from(x.clamp(0.0, 1.0)),
        y: f64::from(y.clamp(0.0, 1.0)),
    };
    let (from, to) = (point(mark.x1, mark.y1), point(mark.x2, mark.y2));
    match mark.kind {
        MarkKind::Arrow => Mark::Arrow { from, to },
        MarkKind::Note => Mark::Note {
            at: from,
            text: mark.text.trim().to_owned(),
        },
        MarkKind::Circle => {
            let (width, height) = (f64::from(width.max(1)), f64::from(height.max(1)));
            let (across, down) = ((to.x - from.x) * width, (to.y - from.y) * height);
            Mark::Circle {
                centre: from,
                radius: across.hypot(down) / width.min(height),
            }
        }
    }
}

/// Records' marks as the window draws them, notes numbered.
pub fn window_marks(marks: &[Mark], (width, height): (u32, u32)) -> Vec<PhotoMark> {
    let mut notes = 0;
    let shown = |mark: &Mark| {
        let (kind, from, to, text) = match mark {
            Mark::Arrow { from, to } => (MarkKind::Arrow, *from, *to, ""),
            Mark::Note { at, text } => (MarkKind::Note, *at, *at, text.as_str()),
            Mark::Circle { centre, radius } => {
                // Any point of the circle will do: the one to its right.
                let across = radius * f64::from(width.min(height)) / f64::from(width.max(1));
                (
                    MarkKind::Circle,
                    *centre,
                    Point {
                        x: centre.x + across,
                        y: centre.y,
                    },
                    "",
                )
            }
        };
        notes += i32::from(kind == MarkKind::Note);
        PhotoMark {
            kind,
            x1: from.x as f32,
            y1: from.y as f32,
            x2: to.x as f32,
            y2: to.y as f32,
            text: text.into(),
            number: if kind == MarkKind::Note { notes } else { 0 },
        }
    };
    marks.iter().map(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_circle_keeps_its_centre_and_its_size_in_pixels(
            x in 0.0..1.0_f32, y in 0.0..1.0_f32, to_x in 0.0..1.0_f32, to_y in 0.0..1.0_f32,
            width in 100..2000_u32, height in 100..2000_u32,
        ) {
            let drawn = PhotoMark { kind: MarkKind::Circle, x1: x, y1: y, x2: to_x, y2: to_y, ..PhotoMark::default() };
            let back = &window_marks(&[record_mark(&drawn, (width, height))], (width, height))[0];
            let radius = |mark: &PhotoMark| {
                ((mark.x2 - mark.x1) * width as f32).hypot((mark.y2 - mark.y1) * height as f32)
            };
            prop_assert!((back.x1 - drawn.x1).abs() < 1e-5 && (back.y1 - drawn.y1).abs() < 1e-5);
            prop_assert!((radius(back) - radius(&drawn)).abs() < 0.5);
        }
    }
}
