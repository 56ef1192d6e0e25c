//! The one thread that owns the door. The window hands it jobs and never waits.

use super::desk::{self, Desk};
use crate::app::App;
use std::{
    cell::RefCell,
    sync::mpsc::{self, Sender},
    thread,
};

/// Something to do at the door; it gives back what the window shall show.
pub type Job = Box<dyn FnOnce(&mut App) -> Reply + Send>;

/// What the window shall show, run on its own thread.
pub type Reply = Box<dyn FnOnce(&Desk) + Send>;

/// Who does the jobs.
pub enum Worker {
    /// A thread of its own, one job after another.
    Thread(Sender<Job>),
    /// Whoever asks, at once: for tests and pictures, where time stands still.
    Inline(Box<RefCell<App>>),
}

impl Worker {
    /// Starts the thread.
    pub fn thread(mut app: App) -> Self {
        let (jobs, waiting) = mpsc::channel::<Job>();
        thread::spawn(move || {
            for job in waiting {
                let reply = job(&mut app);
                // Refused only when the window is gone; then nobody is left to be told.
                let _ = slint::invoke_from_event_loop(move || desk::with(reply));
            }
        });
        Self::Thread(jobs)
    }

    /// Hands over a job.
    pub fn hand(&self, desk: &Desk, job: Job) {
        match self {
            // Refused only when the thread is gone with the window.
            Self::Thread(jobs) => drop(jobs.send(job)),
            Self::Inline(app) => {
                let reply = job(&mut app.borrow_mut());
                reply(desk);
            }
        }
    }
}
