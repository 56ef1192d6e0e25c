//! The window: adapters between its bridges and the door. One file a bridge; screens never see Rust's types.

mod count;
mod desk;
mod diagnosis;
mod dialog;
mod dropped;
mod entry;
mod face;
mod finding;
mod home;
mod incoming;
mod live;
mod photo;
mod picture;
mod plot;
mod pool;
mod scan;
mod send;
mod session;
mod summary;
mod taking_in;
mod tape;
mod trend;
mod visit;
mod words;
mod worker;
mod working;

#[allow(missing_docs, clippy::all, clippy::pedantic)]
mod generated {
    slint::include_modules!();
}

pub use desk::Desk;
pub use generated::*;
pub use worker::Worker;

use crate::app::App;
use slint::ComponentHandle;
use std::{path::PathBuf, rc::Rc, time::Duration};

/// Why the window could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum WindowError {
    /// No display, or one that can't be drawn on.
    #[error(
        "the window can't be opened ({0}): start it where there is a display, or use the commands; see --help"
    )]
    Platform(#[from] slint::PlatformError),
}

/// Opens the window on a store and stays until it is closed.
///
/// # Errors
/// Where there is no display.
pub fn run(app: App) -> Result<(), WindowError> {
    let desk = open(Worker::thread(app), Box::new(crate::sys::monotonic))?;
    let done = desk.window().run();
    Desk::clear();
    if let Ok(desk) = Rc::try_unwrap(desk) {
        desk.finish();
    }
    Ok(done?)
}

/// Lays out the window with its adapters, for [`run`], for tests and for pictures. `clock` counts up from any start.
///
/// # Errors
/// Where there is no display.
pub fn open(worker: Worker, clock: Box<dyn Fn() -> Duration>) -> Result<Rc<Desk>, WindowError> {
    let desk = Desk::lay(AppWindow::new()?, worker, clock);
    session::attach(&desk);
    home::attach(&desk);
    scan::attach(&desk);
    live::attach(&desk);
    visit::attach(&desk);
    entry::attach(&desk);
    photo::attach(&desk);
    summary::attach(&desk);
    send::attach(&desk);
    incoming::attach(&desk);
    finding::attach(&desk);
    diagnosis::attach(&desk);
    dropped::attach(&desk);
    session::begin(&desk);
    Ok(desk)
}

/// Has the window use this camera in place of the device's own.
pub fn set_camera(desk: &Desk, camera: Option<crate::camera::Device>) {
    live::set_camera(desk, camera);
}

/// Gives the window a file, as dropping it there does: a bundle is taken in, a picture is attached or looked at.
pub fn give_file(desk: &Desk, path: PathBuf) {
    dropped::take(desk, path);
}

/// Has the window write a bundle to this path, as its file dialog does once a place is chosen.
pub fn send_to(desk: &Desk, path: PathBuf) {
    send::make(desk, path, false);
}

/// Has the window take in bundles, as its file dialog does once they are chosen.
pub fn take_in(desk: &Desk, paths: Vec<PathBuf>) {
    taking_in::add(desk, paths);
}
