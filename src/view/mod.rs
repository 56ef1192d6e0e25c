//! The window: adapters between its bridges and the door. One file a bridge; screens never see Rust's types.

mod count;
mod desk;
mod diagnosis;
mod dialog;
mod dropped;
mod due;
mod entry;
mod face;
mod finding;
mod hand;
mod handover;
mod home;
mod incoming;
mod live;
pub mod outside;
mod photo;
mod picture;
mod plot;
mod pool;
mod procedures;
mod remedy;
mod rounds;
mod run;
mod run_steps;
mod scan;
mod send;
mod session;
mod summary;
mod taking_in;
mod tape;
mod trend;
mod visit;
mod whereabouts;
mod words;
mod worker;
mod working;

#[allow(missing_docs, clippy::all, clippy::pedantic)]
mod generated {
    slint::include_modules!();
}

pub use desk::Desk;
pub use dialog::MOST_NUMBER;
pub use generated::*;
pub use session::{Looks, OWN_STORE};
pub use worker::Worker;

use crate::{
    app::{App, Whereabouts},
    say,
};
use slint::ComponentHandle;
use std::{path::PathBuf, rc::Rc, time::Duration};

/// Why the window could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum WindowError {
    /// No display, or one that can't be drawn on.
    #[error("{}", say!(
        "the window can't be opened ({why}): start it where there is a display, or use the commands; see --help",
        why = _0
    ))]
    Platform(#[from] slint::PlatformError),
}

/// Opens the window on a store and stays until it is closed. `prepare` tells it what system it is on.
///
/// # Errors
/// Where there is no display.
pub fn run(app: App, prepare: impl FnOnce(&Desk)) -> Result<(), WindowError> {
    let desk = open(Worker::thread(app), Box::new(crate::sys::monotonic))?;
    prepare(&desk);
    let done = desk.window().run();
    Desk::clear();
    if let Ok(desk) = Rc::try_unwrap(desk) {
        desk.finish();
    }
    Ok(done?)
}

/// Lays out the window with its adapters, for [`run()`], for tests and for pictures. `clock` counts up from any start.
///
/// # Errors
/// Where there is no display.
pub fn open(worker: Worker, clock: Box<dyn Fn() -> Duration>) -> Result<Rc<Desk>, WindowError> {
    let desk = Desk::lay(AppWindow::new()?, worker, clock);
    session::attach(&desk);
    home::attach(&desk);
    rounds::attach(&desk);
    hand::attach(&desk);
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
    handover::attach(&desk);
    due::attach(&desk);
    procedures::attach(&desk);
    run::attach(&desk);
    remedy::attach(&desk);
    session::begin(&desk);
    Ok(desk)
}

/// Has the window use this camera in place of the device's own.
pub fn set_camera(desk: &Desk, camera: Option<crate::camera::Device>) {
    live::set_camera(desk, camera);
}

/// Hands the window what was chosen when [`outside::Outside::choose`] asked with this number.
pub fn chosen(desk: &Desk, number: i32, paths: Vec<PathBuf>) {
    dialog::chosen(desk, number, paths);
}

/// Runs something with this thread's window, if there is one.
pub fn with(work: impl FnOnce(&Desk)) {
    desk::with(work);
}

/// Shows that a file is held over the window, or no longer.
pub fn hold_file(desk: &Desk, over: bool) {
    dropped::hold(desk, over);
}

/// The window is no longer seen, or can't be used for a while: nothing runs on that needs somebody to look.
pub fn hidden(desk: &Desk) {
    live::stop(desk);
    count::stop(desk);
    // Nothing hangs on it: what is in the write-ahead log is as safe.
    desk.perform(|app| Ok(app.store().checkpoint()?), |_, ()| {}, |_, _| {});
}

/// The window can't be touched for a while: a count stops.
pub fn looked_away(desk: &Desk) {
    count::stop(desk);
}

/// Takes over the system's looks, as far as the operator has not chosen others.
pub fn system_looks(desk: &Desk, looks: Looks) {
    session::system_looks(desk, looks);
}

/// Where the operator is, for a system that may end the program.
pub fn place(desk: &Desk) -> Whereabouts {
    whereabouts::now(desk)
}

/// Goes back to where the operator was, as far as that is still there.
pub fn return_to(desk: &Desk, place: Whereabouts) {
    whereabouts::restore(desk, place);
}

/// Has a device without a plant go over to a copy of another device's store.
pub fn take_store(desk: &Desk, path: PathBuf) {
    session::take_store(desk, path);
}

/// Gives the window a file, as dropping it there does: a bundle is taken in, a picture is attached or looked at.
pub fn give_file(desk: &Desk, path: PathBuf) {
    dropped::take(desk, path);
}

/// Has the window write a bundle to this path, as its file dialog does once a place is chosen.
pub fn send_to(desk: &Desk, path: PathBuf) {
    send::make(desk, path, false);
}

/// Has the window save its handover to this path, as its file dialog does once a place is chosen.
pub fn save_handover(desk: &Desk, path: PathBuf) {
    handover::save(desk, path);
}

/// Has the window take in bundles, as its file dialog does once they are chosen.
pub fn take_in(desk: &Desk, paths: Vec<PathBuf>) {
    taking_in::add(desk, paths);
}
