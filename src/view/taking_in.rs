//! Bundles being taken in: one after the other, with how far it is and a way out.

use super::{
    Page, Session,
    desk::{self, Desk},
    incoming,
};
use crate::app::{Import, Imported, Progress};
use crate::{report::counted, say};
use slint::{ComponentHandle, Timer, TimerMode};
use std::{
    collections::VecDeque,
    path::{Path, PathBuf},
    time::Duration,
};

/// How often the progress is shown anew.
const TICK: Duration = Duration::from_millis(100);

/// The bundles of one go: many files dropped or chosen together are one go.
#[derive(Default)]
pub struct TakingIn {
    waiting: VecDeque<PathBuf>,
    /// The one being read, and the timer that shows how far it is.
    under_way: Option<(Progress, Timer)>,
    taken: usize,
    refused: Vec<Refused>,
}

/// A file that was not taken in.
#[derive(Clone, Debug)]
pub struct Refused {
    /// Its name.
    pub file: String,
    /// Why, and what to do.
    pub why: String,
}

impl TakingIn {
    /// Files of the last go that were refused, in the order they were tried.
    pub fn refused(&self) -> &[Refused] {
        &self.refused
    }
}

/// Takes bundles in, after those that already wait.
pub fn add(desk: &Desk, paths: Vec<PathBuf>) {
    let idle = {
        let taking = &mut desk.state.borrow_mut().taking_in;
        let idle = taking.under_way.is_none();
        if idle {
            (taking.taken, taking.refused) = (0, Vec::new());
        }
        taking.waiting.extend(paths);
        idle
    };
    if idle {
        desk.go(Page::Incoming);
        next(desk);
    }
}

/// Stops the one being read, and tries none of those that wait.
pub fn cancel(desk: &Desk) {
    let taking = &mut desk.state.borrow_mut().taking_in;
    taking.waiting.clear();
    if let Some((progress, _)) = &taking.under_way {
        progress.cancel();
    }
}

fn next(desk: &Desk) {
    let path = desk.state.borrow_mut().taking_in.waiting.pop_front();
    let Some(path) = path else { return end(desk) };
    let file = name_of(&path);
    let progress = Progress::default();
    begin(desk, &file, &progress);
    let refused = file.clone();
    desk.perform(
        move |app| app.perform(Import { path, progress }),
        move |desk, imported: Imported| {
            desk.state.borrow_mut().taking_in.taken += 1;
            desk.say(&format!("{file}: {imported}."));
            next(desk);
        },
        move |desk, error| {
            let why = error.to_string();
            desk.fail(&say!("Not taken in: {file}: {why}", file = refused, why));
            let refused = Refused { file: refused, why };
            desk.state.borrow_mut().taking_in.refused.push(refused);
            next(desk);
        },
    );
}

fn begin(desk: &Desk, file: &str, progress: &Progress) {
    let session = desk.window().global::<Session>();
    let taking = &mut desk.state.borrow_mut().taking_in;
    let before = taking.taken + taking.refused.len();
    let all = before + 1 + taking.waiting.len();
    let words = if all == 1 {
        say!("Taking in {file}", file)
    } else {
        say!(
            "Taking in {file}, {number} of {count}",
            file,
            number = before + 1,
            count = all
        )
    };
    session.set_busy_words(words.into());
    session.set_busy_can_cancel(true);
    session.set_busy_progress(0.0);
    session.set_busy(true);
    let timer = Timer::default();
    let watched = progress.clone();
    timer.start(TimerMode::Repeated, TICK, move || {
        desk::with(|desk| {
            let session = desk.window().global::<Session>();
            session.set_busy_progress(watched.fraction());
        });
    });
    taking.under_way = Some((progress.clone(), timer));
}

fn end(desk: &Desk) {
    desk.window().global::<Session>().set_busy(false);
    let (taken, refused) = {
        let taking = &mut desk.state.borrow_mut().taking_in;
        taking.under_way = None;
        (taking.taken, taking.refused.len())
    };
    // One file has said what came of it; of many only the last would be read.
    if taken + refused > 1 {
        let bundles = counted(taken as u64, say!("bundle"), say!("bundles"));
        match refused {
            0 => desk.say(&say!("{bundles} taken in.", bundles)),
            _ => desk.fail(&say!(
                "{bundles} taken in, {refused} refused: the list of bundles says why.",
                bundles,
                refused
            )),
        }
    }
    incoming::refresh(desk);
}

fn name_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}
