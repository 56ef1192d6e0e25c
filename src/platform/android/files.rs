//! Files between this app and others.

use super::java::{self, Activity, JavaError, News};
use crate::{
    exchange,
    platform::arriving::{self, Kind},
    say, sys,
    view::{
        self, Desk,
        outside::{Choice, Outside},
    },
};
use std::{
    cell::RefCell,
    path::{Path, PathBuf},
    rc::Rc,
    thread,
};

/// Folder of files that came, below the app's own; emptied at each start.
const ARRIVED: &str = "arrived";

/// Folder of files that go out, below the app's own; `OutgoingProvider` lets other apps read there.
const OUTGOING: &str = "outgoing";

/// Files kept after they were handed over; all that is in them is in the store too.
const MOST_OUTGOING: usize = 20;

/// Number of the question where to save a copy.
const SAVE_COPY: i32 = view::MOST_NUMBER + 1;

/// Largest file taken from another app, bytes: that of a bundle, the largest there is of those that are taken.
const MOST_BYTES: u64 = exchange::FILE_BYTES;

/// The system as the window knows it.
#[derive(Clone)]
pub struct Files {
    activity: Activity,
    arrived: PathBuf,
    outgoing: PathBuf,
    /// The file a place is being asked for.
    copied: Rc<RefCell<Option<PathBuf>>>,
    came: Rc<RefCell<u64>>,
}

impl Files {
    /// Those of an app whose own folder this is.
    pub fn new(activity: Activity, folder: &Path) -> Self {
        let (arrived, outgoing) = (folder.join(ARRIVED), folder.join(OUTGOING));
        // What can't be removed is in nobody's way; a full disk is told by whatever is saved next.
        let _ = sys::empty_folder(&arrived);
        let _ = sys::keep_newest(&outgoing, MOST_OUTGOING);
        Self {
            activity,
            arrived,
            outgoing,
            copied: Rc::default(),
            came: Rc::default(),
        }
    }

    /// Takes over what came from other apps.
    pub fn take_news(&self) {
        while let Ok(Some(news)) = self.activity.take_news() {
            if news.number == SAVE_COPY {
                self.copy_out(news);
            } else {
                self.copy_in(news);
            }
        }
    }

    /// Copies what came on a thread of its own, then hands it to the window.
    fn copy_in(&self, news: News) {
        let place = {
            let mut came = self.came.borrow_mut();
            *came += 1;
            // Each in a folder of its own: names may be alike.
            self.arrived.join(came.to_string())
        };
        let activity = self.activity;
        thread::spawn(move || {
            let path = place.join(arriving::safe_name(&news.name));
            let copied = sys::make_folder(&place)
                .map_err(|error| error.to_string())
                .and_then(|()| {
                    let path = path.to_string_lossy();
                    let most = i64::try_from(MOST_BYTES).unwrap_or(i64::MAX);
                    told(activity.copy_in(&news.address, &path, most))
                });
            at_the_window(move |desk| {
                match copied {
                Ok(()) => hand_over(desk, news.number, path),
                Err(why) => desk.fail(&say!(
                    "The file could not be taken from the other app ({why}). Save it on the device first, then open it from there.",
                    why
                )),
            }
            });
        });
    }

    fn copy_out(&self, news: News) {
        let Some(path) = self.copied.borrow_mut().take() else {
            return view::with(|desk| {
                desk.fail(&say!("The copy was interrupted. Save it once more."));
            });
        };
        let activity = self.activity;
        thread::spawn(move || {
            let copied = told(activity.copy_out(&path.to_string_lossy(), &news.address));
            at_the_window(move |desk| {
                match copied {
                Ok(()) => desk.say(say!("The copy is saved.")),
                Err(why) => desk.fail(&say!(
                    "The copy could not be saved ({why}). Choose another place, or free some space.",
                    why
                )),
            }
            });
        });
    }

    fn ask(&self, desk: &Desk, choice: java::Choice, number: i32, name: &str) {
        if let Err(error) = self.activity.choose(choice, number, name) {
            desk.fail(&say!(
                "The system's files can't be opened ({why}).",
                why = error
            ));
        }
    }
}

/// A store goes to a device that waits for one, whoever asked for what; the rest to whoever asked.
fn hand_over(desk: &Desk, number: i32, path: PathBuf) {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    match (arriving::kind(&name), number) {
        (Kind::Store, _) => view::take_store(desk, path),
        (_, 0) => view::give_file(desk, path),
        (_, number) => view::chosen(desk, number, vec![path]),
    }
}

fn told(done: Result<(), JavaError>) -> Result<(), String> {
    done.map_err(|error| error.to_string())
}

fn at_the_window(then: impl FnOnce(&Desk) + Send + 'static) {
    // Refused only when the window is gone; then nobody is left to be told.
    let _ = slint::invoke_from_event_loop(move || view::with(then));
}

impl Outside for Files {
    fn choose(&self, desk: &Desk, choice: Choice, number: i32) {
        match choice {
            Choice::Picture => self.ask(desk, java::Choice::Picture, number, ""),
            Choice::Bundles | Choice::Store => self.ask(desk, java::Choice::Bundles, number, ""),
            // Not offered: a folder of another app can't be read as one here.
            Choice::PictureFolder => self.ask(desk, java::Choice::Picture, number, ""),
            // Written where this app keeps them, then handed over.
            Choice::Place(name) => {
                view::chosen(desk, number, vec![self.outgoing.join(name)]);
            }
        }
    }

    fn can_share(&self) -> bool {
        true
    }

    fn has_folders(&self) -> bool {
        false
    }

    fn share(&self, desk: &Desk, file: &Path) {
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        if let Err(error) = self.activity.share(&name) {
            desk.fail(&say!(
                "The file is written, but can't be handed to another app ({why}). Save a copy of it instead.",
                why = error
            ));
        }
    }

    fn save_copy(&self, desk: &Desk, file: &Path) {
        self.copied.replace(Some(file.to_owned()));
        let name = file.file_name().unwrap_or_default().to_string_lossy();
        self.ask(desk, java::Choice::Place, SAVE_COPY, &name);
    }

    fn can_tick(&self) -> bool {
        true
    }

    fn tick(&self) {
        // A tap that is not felt counts all the same.
        let _ = self.activity.tick();
    }

    fn keep_awake(&self, awake: bool) {
        // A screen that goes dark is only a nuisance.
        let _ = self.activity.keep_awake(awake);
    }
}
