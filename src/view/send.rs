//! Bundles to the planner.

use super::{
    FactRow, Send,
    desk::{self, Desk, Topic},
    dialog, home,
    words::{model, sentence},
};
use crate::{
    app::{BundleMade, MakeBundle, Waiting},
    exchange::EXTENSION,
    report::counted,
    say,
};
use slint::ComponentHandle;
use std::path::{Path, PathBuf};

/// Connects the page.
pub fn attach(desk: &Desk) {
    let send = desk.window().global::<Send>();
    send.on_make_bundle(|| desk::with(|desk| ask_where(desk, make_new)));
    send.on_make_whole_bundle(|| desk::with(|desk| ask_where(desk, make_whole)));
    send.on_share(|| {
        desk::with(|desk| with_last(desk, |desk, path| desk.outside().share(desk, path)))
    });
    send.on_save_copy(|| {
        desk::with(|desk| with_last(desk, |desk, path| desk.outside().save_copy(desk, path)));
    });
}

/// Reads what waits and shows it.
pub fn refresh(desk: &Desk) {
    desk.ask(
        Topic::Send,
        |app| app.waiting(),
        |desk, waiting| {
            let send = desk.window().global::<Send>();
            let shown = |count: u64| i32::try_from(count).unwrap_or(i32::MAX);
            send.set_entries(shown(waiting.entries + waiting.corrections));
            send.set_photos(shown(waiting.photos));
            send.set_visits(shown(waiting.visits));
            send.set_waiting_words(waiting_words(&waiting).into());
        },
    );
}

/// What waits, in words.
pub fn waiting_words(waiting: &Waiting) -> String {
    let parts = [
        (
            waiting.visits,
            say!("counted" => "visit"),
            say!("counted" => "visits"),
        ),
        (
            waiting.entries,
            say!("counted" => "entry"),
            say!("counted" => "entries"),
        ),
        (waiting.corrections, say!("correction"), say!("corrections")),
        (
            waiting.photos,
            say!("counted" => "photo"),
            say!("counted" => "photos"),
        ),
    ];
    let parts = parts.iter().filter(|(count, ..)| *count > 0);
    let told: Vec<_> = parts
        .map(|(count, one, many)| counted(*count, one, many))
        .collect();
    let things = match told.split_last() {
        // The file may still lie undelivered: nothing is said of that.
        None => return say!("Everything is in a bundle.").to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, others)) => {
            let first = others.join(", ");
            say!("{first} and {second}", first, second = last)
        }
    };
    say!("{things} not yet in a bundle", things)
}

fn ask_where(desk: &Desk, then: fn(&Desk, PathBuf)) {
    desk.ask(
        Topic::Send,
        |app| {
            let now = crate::report::local_time(app.now());
            // Names with colons can't be written everywhere.
            let time: String = now.chars().take(16).filter(|c| *c != ':').collect();
            Ok(format!("{}-{time}.{EXTENSION}", app.register()?.plant().id))
        },
        move |desk, name| dialog::save_file(desk, &name, then),
    );
}

fn with_last(desk: &Desk, work: impl FnOnce(&Desk, &Path)) {
    let path = desk.state.borrow().last_bundle.clone();
    if let Some(path) = path {
        work(desk, &path);
    }
}

fn make_new(desk: &Desk, path: PathBuf) {
    make(desk, path, false);
}

fn make_whole(desk: &Desk, path: PathBuf) {
    make(desk, path, true);
}

/// Writes a bundle and shows what is in it.
pub fn make(desk: &Desk, path: PathBuf, everything: bool) {
    desk.perform(
        move |app| app.perform(MakeBundle { path, everything }),
        |desk, made| {
            show(desk, &made);
            refresh(desk);
            home::refresh(desk);
            desk.outside().share(desk, &made.path);
            desk.state.borrow_mut().last_bundle = Some(made.path);
        },
        |desk, error| {
            let send = desk.window().global::<Send>();
            send.set_error(sentence(&error));
            send.set_has_result(false);
        },
    );
}

fn show(desk: &Desk, made: &BundleMade) {
    let send = desk.window().global::<Send>();
    let fact = |name: &str, value: String| FactRow {
        name: name.into(),
        value: value.into(),
    };
    send.set_error("".into());
    let written = say!("Bundle written. Carry this file to the planner.");
    send.set_result_words(if made.left > 0 {
        let more = say!("More is left: make another bundle too.");
        format!("{written} {more}").into()
    } else {
        written.into()
    });
    send.set_result_facts(model(vec![
        fact(say!("File"), made.path.display().to_string()),
        fact(
            say!("Size"),
            format!("{:.0} kB", made.bytes as f64 / 1000.0),
        ),
        fact(say!("Records"), made.records.to_string()),
        fact(say!("Photos"), made.photos.to_string()),
    ]));
    send.set_has_result(true);
}
