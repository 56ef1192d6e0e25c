//! A computer with a desktop: its file dialogs, and files dropped onto the window.

use super::STORE_EXTENSION;
use crate::{
    app::App,
    exchange::EXTENSION,
    say,
    view::{
        self, Desk, WindowError,
        outside::{Choice, Outside},
    },
};
use slint::{
    ComponentHandle,
    winit_030::{EventResult, WinitWindowAccessor, winit::event::WindowEvent},
};
use std::{path::PathBuf, rc::Rc};

/// Opens the window on a store and stays until it is closed.
///
/// # Errors
/// Where there is no display.
pub fn run(app: App) -> Result<(), WindowError> {
    super::speak_as_the_system();
    view::run(app, |desk| {
        desk.set_outside(Rc::new(Desktop));
        listen_for_files(desk);
    })
}

fn listen_for_files(desk: &Desk) {
    desk.window().window().on_winit_window_event(|_, event| {
        match event {
            WindowEvent::HoveredFile(_) => view::with(|desk| view::hold_file(desk, true)),
            WindowEvent::HoveredFileCancelled => view::with(|desk| view::hold_file(desk, false)),
            WindowEvent::DroppedFile(path) => {
                let path = path.clone();
                view::with(|desk| {
                    view::hold_file(desk, false);
                    view::give_file(desk, path);
                });
            }
            _ => {}
        }
        EventResult::Propagate
    });
}

struct Desktop;

impl Outside for Desktop {
    fn choose(&self, desk: &Desk, choice: Choice, number: i32) {
        let dialog = rfd::AsyncFileDialog::new();
        let pictures = ["png", "jpg", "jpeg", "webp", "bmp"];
        let started = slint::spawn_local(async move {
            let files = match choice {
                Choice::Picture => {
                    let dialog = dialog.add_filter(say!("Pictures"), &pictures);
                    one(dialog.pick_file().await)
                }
                Choice::PictureFolder => one(dialog.pick_folder().await),
                Choice::Store => {
                    let dialog = dialog.add_filter(say!("Stores"), &[STORE_EXTENSION]);
                    one(dialog.pick_file().await)
                }
                Choice::Bundles => {
                    let dialog = dialog.add_filter(say!("Bundles"), &[EXTENSION]);
                    dialog.pick_files().await.unwrap_or_default()
                }
                Choice::Place(name) => {
                    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending);
                    let what = if ending == EXTENSION {
                        say!("Bundles")
                    } else {
                        say!("Files")
                    };
                    let dialog = dialog.add_filter(what, &[ending]);
                    one(dialog.set_file_name(&name).save_file().await)
                }
            };
            if !files.is_empty() {
                let paths: Vec<PathBuf> = files.iter().map(|file| file.path().to_owned()).collect();
                view::with(|desk| view::chosen(desk, number, paths));
            }
        });
        if let Err(error) = started {
            desk.fail(&say!(
                "No file dialog could be opened ({why}). Drop the file onto the window instead.",
                why = error
            ));
        }
    }
}

fn one(file: Option<rfd::FileHandle>) -> Vec<rfd::FileHandle> {
    file.into_iter().collect()
}
