//! From a picture, a camera or a keyed line to a pump.

use super::{
    CodeRow, Page, PumpRow, Scan, ScanOutcome, Verdict as Mark,
    desk::{self, Desk, Topic},
    dialog, live, picture, visit,
    words::{model, sentence},
};
use crate::{
    app::{AdoptTag, App, AppError, CodeInView, Found, Register},
    camera::{FolderOfImages, Frame, FrameSource},
    plant::PumpId,
    record::HowFound,
    say,
};
use slint::ComponentHandle;
use std::{path::PathBuf, sync::Arc};

/// Pumps shown while one searches for the pump to adopt a code for.
const MOST_ADOPT_ROWS: usize = 50;

/// Connects the page.
pub fn attach(desk: &Desk) {
    let scan = desk.window().global::<Scan>();
    scan.on_open_image(|| desk::with(|desk| dialog::open_picture(desk, look_at)));
    scan.on_open_folder(|| desk::with(|desk| dialog::open_folder(desk, look_at)));
    scan.on_keyed(|text| desk::with(|desk| keyed(desk, &text)));
    scan.on_choose_code(|index| {
        desk::with(|desk| {
            let text = usize::try_from(index)
                .ok()
                .and_then(|i| desk.state.borrow().codes.get(i).cloned());
            if let Some(text) = text {
                find(desk, move |register| register.find(&text));
            }
        });
    });
    scan.on_adopt_search_edited(|text| {
        desk::with(|desk| {
            let text = text.to_lowercase();
            desk.ask(
                Topic::Scan,
                move |app| adopt_rows(app, &text),
                |desk, rows| {
                    desk.window().global::<Scan>().set_adopt_pumps(model(rows));
                },
            );
        });
    });
    scan.on_adopt(|pump| {
        if let Ok(pump) = pump.parse::<PumpId>() {
            desk::with(|desk| adopt(desk, pump));
        }
    });
    scan.on_delete_last(|| desk::with(delete_last));
    scan.on_again(|| desk::with(again));
}

fn delete_last(desk: &Desk) {
    let scan = desk.window().global::<Scan>();
    let mut short_id = scan.get_short_id().to_string();
    short_id.pop();
    scan.set_short_id(short_id.into());
}

/// Forgets what was found.
pub fn again(desk: &Desk) {
    let scan = desk.window().global::<Scan>();
    scan.set_outcome(ScanOutcome::Looking);
    scan.set_words("".into());
    scan.set_code("".into());
    scan.set_codes(model(Vec::new()));
    scan.set_short_id("".into());
    scan.set_has_picture(false);
}

/// Looks for codes in a picture file, or in a folder's pictures until one has a code.
pub fn look_at(desk: &Desk, path: PathBuf) {
    desk.go(Page::Scan);
    live::stop(desk);
    // What was found before must not stand under a picture it was not found in.
    again(desk);
    let scan = desk.window().global::<Scan>();
    scan.set_looks(scan.get_looks().wrapping_add(1));
    desk.ask_or(
        Topic::Scan,
        |app| app.register(),
        |desk, register| {
            desk.aside(
                Topic::Scan,
                move || first_found(&register, &path),
                show_picture,
            );
        },
        |desk, error| refuse(desk, &error.to_string()),
    );
}

fn show_picture(desk: &Desk, (frame, found): (Option<Frame>, Result<Found, String>)) {
    let scan = desk.window().global::<Scan>();
    if let Some(preview) = frame.and_then(|frame| frame.preview) {
        scan.set_picture(picture::image_of(&preview));
        scan.set_has_picture(true);
    }
    match found {
        Ok(found) => show(desk, found),
        Err(words) => refuse(desk, &words),
    }
}

fn first_found(
    register: &Register,
    path: &std::path::Path,
) -> (Option<Frame>, Result<Found, String>) {
    let mut source = match FolderOfImages::open(path) {
        Ok(source) => source,
        Err(error) => return (None, Err(error.to_string())),
    };
    let mut last = (None, Ok(Found::Nothing));
    loop {
        match source.next_frame() {
            Ok(None) => return last,
            Ok(Some(frame)) => {
                let found = register.find_codes(&register.read(&frame.luma));
                let done = found != Found::Nothing;
                last = (Some(frame), Ok(found));
                if done {
                    return last;
                }
            }
            Err(error) => last = (None, Err(error.to_string())),
        }
    }
}

/// Finds the pump of a keyed line.
pub fn keyed(desk: &Desk, text: &str) {
    let text = text.to_owned();
    find(desk, move |register| register.find_keyed(&text));
}

fn find(desk: &Desk, look: impl FnOnce(&Register) -> Found + Send + 'static) {
    live::stop(desk);
    desk.ask_or(
        Topic::Scan,
        move |app| Ok(look(app.register()?.as_ref())),
        show,
        |desk, error| refuse(desk, &error.to_string()),
    );
}

/// Says why nothing could be looked at.
pub fn refuse(desk: &Desk, words: &str) {
    // Going there forgets what was found: it comes first.
    desk.go(Page::Scan);
    let scan = desk.window().global::<Scan>();
    scan.set_outcome(ScanOutcome::Error);
    scan.set_words(sentence(&words));
}

/// Shows what was found: the pump, or words and what can be done.
pub fn show(desk: &Desk, found: Found) {
    match found {
        Found::Pump(pump) | Found::ByAdoptedCode(pump) => open(desk, pump, HowFound::Scanned),
        Found::ByShortId(pump) => open(desk, pump, HowFound::ShortId),
        Found::ByNumber(pump) => open(desk, pump, HowFound::Chosen),
        other => show_why_not(desk, other),
    }
}

/// Says why no pump was opened, on the page where something can be done about it.
fn show_why_not(desk: &Desk, found: Found) {
    let words = found.to_string();
    // Going there forgets what was found: it comes first.
    desk.go(Page::Scan);
    let scan = desk.window().global::<Scan>();
    scan.set_words(words.into());
    scan.set_outcome(match found {
        Found::OtherPlant(_) => ScanOutcome::OtherPlant,
        Found::Again(_) => ScanOutcome::BadCheck,
        Found::Nothing => ScanOutcome::NothingFound,
        Found::Foreign(text) => {
            scan.set_code(text.as_str().into());
            scan.invoke_adopt_search_edited("".into());
            ScanOutcome::Foreign
        }
        Found::Several(codes) => {
            show_codes(desk, codes);
            ScanOutcome::Several
        }
        _ => ScanOutcome::Unknown,
    });
}

fn open(desk: &Desk, pump: PumpId, found: HowFound) {
    again(desk);
    visit::open(desk, pump, found);
}

fn show_codes(desk: &Desk, codes: Vec<CodeInView>) {
    let row = |(index, code): (usize, &CodeInView)| CodeRow {
        index: i32::try_from(index).unwrap_or(i32::MAX),
        text: code.text.as_str().into(),
        sub: code.leads_to.as_str().into(),
    };
    let rows = codes.iter().enumerate().map(row).collect();
    desk.state.borrow_mut().codes = codes.into_iter().map(|code| code.text).collect();
    desk.window().global::<Scan>().set_codes(model(rows));
}

fn adopt_rows(app: &mut App, search: &str) -> Result<Vec<PumpRow>, AppError> {
    let register: Arc<Register> = app.register()?;
    let fits = |text: &str| search.split_whitespace().all(|word| text.contains(word));
    let pumps = register.plant().pumps.iter();
    let rows = pumps
        .filter(|pump| fits(&format!("{} {} {}", pump.id, pump.name, pump.service).to_lowercase()));
    let row = |pump: &crate::plant::Pump| PumpRow {
        id: pump.id.as_str().into(),
        name: pump.name.as_str().into(),
        service: pump.service.as_str().into(),
        verdict: Mark::NotEntered,
        sub: pump.service.as_str().into(),
        ..PumpRow::default()
    };
    Ok(rows.take(MOST_ADOPT_ROWS).map(row).collect())
}

fn adopt(desk: &Desk, pump: PumpId) {
    let code = desk.window().global::<Scan>().get_code().to_string();
    let opened = pump.clone();
    desk.perform(
        move |app| app.perform(AdoptTag { pump, code }),
        move |desk, ()| {
            desk.say(&say!("The code now stands for pump {pump}.", pump = opened));
            open(desk, opened, HowFound::Scanned);
        },
        |desk, error| refuse(desk, &error.to_string()),
    );
}
