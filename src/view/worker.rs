//! The one thread that owns the door. The window hands it jobs and never waits.

use super::desk::{self, Desk};
use crate::app::App;
use crate::{language, word};
use std::{
    cell::RefCell,
    panic::{AssertUnwindSafe, catch_unwind},
    sync::mpsc::{self, Receiver, Sender},
    thread::{self, JoinHandle},
};

/// Something to do at the door; it gives back what the window shall show.
pub type Job = Box<dyn FnOnce(&mut App) -> Reply + Send>;

/// What the window shall show, run on its own thread.
pub type Reply = Box<dyn FnOnce(&Desk) + Send>;

/// Said when the one who keeps things is gone: nothing must look saved that is not.
const NOTHING_IS_SAVED: &str = word!(
    "Something went wrong inside and nothing more is saved. What was saved before is safe: close Lantern Ring and open it again."
);

/// Who does the jobs.
pub enum Worker {
    /// A thread of its own, one job after another.
    Thread {
        /// Where jobs are handed over.
        jobs: Sender<Job>,
        /// To wait for when the window is gone.
        thread: JoinHandle<()>,
    },
    /// Whoever asks, at once: for tests and pictures, where time stands still.
    Inline(Box<RefCell<App>>),
}

impl Worker {
    /// Starts the thread.
    pub fn thread(app: App) -> Self {
        let (jobs, waiting) = mpsc::channel();
        let thread = thread::spawn(move || work(app, &waiting));
        Self::Thread { jobs, thread }
    }

    /// Hands over a job.
    pub fn hand(&self, desk: &Desk, job: Job) {
        match self {
            Self::Thread { jobs, .. } => {
                if jobs.send(job).is_err() {
                    desk.fail(&language::word(NOTHING_IS_SAVED));
                }
            }
            Self::Inline(app) => {
                let reply = job(&mut app.borrow_mut());
                reply(desk);
            }
        }
    }

    /// Does something that needs no door, beside the window and the worker; `show` gets what came of it.
    pub fn aside<T: Send + 'static>(
        &self,
        desk: &Desk,
        job: impl FnOnce() -> T + Send + 'static,
        show: impl FnOnce(&Desk, T) + Send + 'static,
    ) {
        match self {
            Self::Thread { .. } => {
                thread::spawn(move || {
                    let came = job();
                    reply(Box::new(move |desk| show(desk, came)));
                });
            }
            Self::Inline(_) => show(desk, job()),
        }
    }

    /// Waits until the last job is done and the store is whole in its one file.
    pub fn finish(self) {
        if let Self::Thread { jobs, thread } = self {
            drop(jobs);
            // A thread that died has told so when it did.
            let _ = thread.join();
        }
    }
}

fn work(mut app: App, waiting: &Receiver<Job>) {
    for job in waiting {
        // A transaction that was under way is rolled back as its batch is dropped; what this program holds in memory
        // can't be trusted any more.
        match catch_unwind(AssertUnwindSafe(|| job(&mut app))) {
            Ok(shown) => reply(shown),
            Err(_) => {
                return reply(Box::new(|desk| {
                    desk.fail(&language::word(NOTHING_IS_SAVED))
                }));
            }
        }
    }
    // The write-ahead log is as safe; but somebody may copy the one file.
    let _ = app.store().checkpoint();
}

fn reply(shown: Reply) {
    // Refused only when the window is gone; then nobody is left to be told.
    let _ = slint::invoke_from_event_loop(move || desk::with(shown));
}
