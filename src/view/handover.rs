//! The sheet for the next shift.

use super::{
    Handover as Bridge, HandoverLine, HandoverPart,
    desk::{self, Desk, Topic},
    dialog, picture,
    words::{mark, model, sentence, when},
};
use crate::{
    app::{App, AppError, HandoverChoices, HandoverOf, SHIFT_HOURS},
    photo,
    record::{Hash, Stamp},
    report::{
        self,
        handover::{Line, Sheet},
    },
    say,
};
use image::RgbImage;
use slint::{ComponentHandle, Image};
use std::{collections::HashMap, path::PathBuf};
use uuid::Uuid;

/// Long side of a photo in a line, px.
const THUMBNAIL: u32 = 192;
/// Photos shown as pictures; those beyond are counted in words.
const MOST_PICTURES: usize = 24;
/// Index of the shift that the page opens on.
const USUAL_SHIFT: usize = 1;

/// What was chosen to be told.
#[derive(Clone, Copy, Debug, PartialEq)]
enum About {
    /// The last hours, by index.
    Shift(usize),
    /// A walk of a round.
    Walk(Uuid),
}

/// The page as it stands.
pub struct Draft {
    about: About,
    by: Option<String>,
    choices: Option<HandoverChoices>,
    sheet: Option<Sheet>,
}

impl Default for Draft {
    fn default() -> Self {
        Self {
            about: About::Shift(USUAL_SHIFT),
            by: None,
            choices: None,
            sheet: None,
        }
    }
}

struct Answer {
    choices: HandoverChoices,
    sheet: Sheet,
    pictures: HashMap<Hash, RgbImage>,
}

/// Connects the page.
pub fn attach(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.on_choose_span(|index| desk::with(|desk| choose_span(desk, index)));
    page.on_choose_name(|index| desk::with(|desk| choose_name(desk, index)));
    page.on_save_pdf(|| desk::with(|desk| ask_where(desk, "pdf")));
    page.on_save_text(|| desk::with(|desk| ask_where(desk, "txt")));
}

/// Fills the page anew.
fn refresh(desk: &Desk) {
    let (about, by) = {
        let draft = &desk.state.borrow().handover;
        (draft.about, draft.by.clone())
    };
    desk.ask(Topic::Handover, move |app| ask(app, about, by), show);
}

fn ask(app: &mut App, about: About, by: Option<String>) -> Result<Answer, AppError> {
    let choices = app.handover_choices()?;
    let of = match about {
        About::Shift(index) => {
            let hours = SHIFT_HOURS.get(index).copied().unwrap_or_default();
            HandoverOf::last_hours(choices.now, hours)
        }
        About::Walk(run) => HandoverOf {
            walk: Some(run),
            ..HandoverOf::default()
        },
    };
    let sheet = app.handover(HandoverOf { by, ..of })?.sheet();
    let pictures = pictures(app, &sheet)?;
    Ok(Answer {
        choices,
        sheet,
        pictures,
    })
}

/// The photos of the sheet, small, those that are here and sound.
fn pictures(app: &App, sheet: &Sheet) -> Result<HashMap<Hash, RgbImage>, AppError> {
    let mut pictures = HashMap::new();
    for photo in sheet.photos().into_iter().take(MOST_PICTURES) {
        let Some(stored) = app.store().read().photo(photo.sha256)? else {
            continue;
        };
        if let Ok(small) = photo::thumbnail(&stored.bytes, THUMBNAIL) {
            pictures.insert(photo.sha256, photo::draw_marks(&small, &photo.marks));
        }
    }
    Ok(pictures)
}

fn show(desk: &Desk, answer: Answer) {
    let page = desk.window().global::<Bridge>();
    let sheet = &answer.sheet;
    let pictures: HashMap<Hash, Image> = answer
        .pictures
        .iter()
        .map(|(name, picture)| (*name, picture::image_of(picture)))
        .collect();
    page.set_plant(sheet.plant.as_str().into());
    page.set_head(model(sheet.head().into_iter().map(Into::into).collect()));
    let parts = sheet.parts.iter().map(|part| HandoverPart {
        heading: part.heading.into(),
        lines: model(
            part.lines
                .iter()
                .map(|line| line_row(line, &pictures))
                .collect(),
        ),
    });
    page.set_parts(model(parts.collect()));
    show_choices(desk, &answer.choices);
    let draft = &mut desk.state.borrow_mut().handover;
    draft.choices = Some(answer.choices);
    draft.sheet = Some(answer.sheet);
}

fn line_row(line: &Line, pictures: &HashMap<Hash, Image>) -> HandoverLine {
    let shown = line
        .photos
        .iter()
        .filter_map(|photo| pictures.get(&photo.sha256).cloned());
    HandoverLine {
        has_mark: line.verdict.is_some(),
        verdict: line.verdict.map_or_else(Default::default, mark),
        words: line.text().into(),
        photos: model(shown.collect()),
    }
}

fn show_choices(desk: &Desk, choices: &HandoverChoices) {
    let page = desk.window().global::<Bridge>();
    let (about, by) = {
        let draft = &desk.state.borrow().handover;
        (draft.about, draft.by.clone())
    };
    let hours = SHIFT_HOURS
        .iter()
        .map(|hours| say!("Last {hours} h", hours));
    let walks = choices.walks.iter().map(|walk| {
        let name = walk.name.as_deref().unwrap_or(walk.round.as_str());
        say!(
            "{name}, begun {time}",
            name,
            time = when(walk.begun, choices.now)
        )
    });
    let spans: Vec<String> = hours.chain(walks).collect();
    let span = match about {
        About::Shift(index) => index,
        About::Walk(run) => choices
            .walks
            .iter()
            .position(|walk| walk.run == run)
            .map_or(USUAL_SHIFT, |index| SHIFT_HOURS.len() + index),
    };
    let names: Vec<String> = [say!("Everybody").to_owned()]
        .into_iter()
        .chain(choices.names.iter().cloned())
        .collect();
    let name = by
        .as_ref()
        .and_then(|by| names.iter().skip(1).position(|name| name == by));
    let name = name.map_or(0, |index| index + 1);
    let chosen = spans.get(span).map(|span| match names.get(name) {
        Some(by) if name > 0 => format!("{span}, {by}"),
        _ => span.clone(),
    });
    page.set_chosen_words(chosen.unwrap_or_default().into());
    page.set_spans(model(spans.into_iter().map(Into::into).collect()));
    page.set_span(i32::try_from(span).unwrap_or_default());
    page.set_names(model(names.into_iter().map(Into::into).collect()));
    page.set_name(i32::try_from(name).unwrap_or_default());
}

fn choose_span(desk: &Desk, index: i32) {
    let Ok(index) = usize::try_from(index) else {
        return;
    };
    let about = if index < SHIFT_HOURS.len() {
        Some(About::Shift(index))
    } else {
        let state = desk.state.borrow();
        let walks = state.handover.choices.as_ref().map(|known| &known.walks);
        walks
            .and_then(|walks| walks.get(index - SHIFT_HOURS.len()))
            .map(|walk| About::Walk(walk.run))
    };
    if let Some(about) = about {
        desk.state.borrow_mut().handover.about = about;
        begin_anew(desk);
    }
}

fn choose_name(desk: &Desk, index: i32) {
    let by = {
        let state = desk.state.borrow();
        let names = state.handover.choices.as_ref().map(|known| &known.names);
        let index = usize::try_from(index)
            .ok()
            .and_then(|index| index.checked_sub(1));
        names
            .zip(index)
            .and_then(|(names, index)| names.get(index).cloned())
    };
    desk.state.borrow_mut().handover.by = by;
    begin_anew(desk);
}

/// Another sheet: what was said of the last one holds no more.
pub fn begin_anew(desk: &Desk) {
    let page = desk.window().global::<Bridge>();
    page.set_saved_words("".into());
    page.set_error("".into());
    refresh(desk);
}

fn ask_where(desk: &Desk, ending: &'static str) {
    let written = {
        let state = desk.state.borrow();
        state.handover.sheet.as_ref().map(|sheet| sheet.written)
    };
    if let Some(written) = written {
        dialog::save_file(desk, &file_name(written, ending), save);
    }
}

/// Names with colons can't be written everywhere.
fn file_name(written: Stamp, ending: &str) -> String {
    let time = report::clock_time(written)
        .replace(':', "")
        .replace(' ', "-");
    format!("handover-{time}.{ending}")
}

/// Writes the sheet that is shown, as its name says.
pub fn save(desk: &Desk, path: PathBuf) {
    let Some(sheet) = desk.state.borrow().handover.sheet.clone() else {
        return;
    };
    desk.perform(
        move |app| Ok(app.save_handover(&sheet, &path).map(|()| path)),
        |desk, saved| {
            let page = desk.window().global::<Bridge>();
            match saved {
                Ok(path) => {
                    page.set_error("".into());
                    page.set_saved_words(say!("Saved as {file}.", file = path.display()).into());
                    desk.outside().share(desk, &path);
                }
                Err(error) => {
                    page.set_saved_words("".into());
                    page.set_error(sentence(&error));
                }
            }
        },
        |desk, error| desk.fail(&error),
    );
}
