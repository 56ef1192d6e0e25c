//! What lies outside the window and differs by system: file dialogs, other apps, the feel of a tap.

use super::Desk;
use crate::say;
use std::path::Path;

/// What to ask the operator for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Choice {
    /// One picture.
    Picture,
    /// A folder of pictures.
    PictureFolder,
    /// Bundles, one or many.
    Bundles,
    /// A store of another device.
    Store,
    /// Where to write a file, and a name for it: its ending says what it is.
    Place(String),
}

/// The system this runs on. Whatever it does not know of it leaves out.
pub trait Outside {
    /// Asks the operator. What is chosen is handed to [`super::chosen`] with this number, at once, later or never.
    fn choose(&self, desk: &Desk, choice: Choice, number: i32);

    /// Whether files are handed to other apps: then they are written where the app keeps them.
    fn can_share(&self) -> bool {
        false
    }

    /// Whether folders can be chosen.
    fn has_folders(&self) -> bool {
        true
    }

    /// Hands a file that was written to a place asked for to other apps.
    fn share(&self, desk: &Desk, file: &Path) {
        let _ = (desk, file);
    }

    /// Asks for a place and copies such a file there.
    fn save_copy(&self, desk: &Desk, file: &Path) {
        let _ = (desk, file);
    }

    /// Whether a counted drop can be felt or heard.
    fn can_tick(&self) -> bool {
        false
    }

    /// A drop was counted: it may be felt or heard.
    fn tick(&self) {}

    /// A visit is open: the screen stays on; or none is any more.
    fn keep_awake(&self, awake: bool) {
        let _ = awake;
    }
}

/// A system of which nothing is known: for tests and pictures.
pub struct Nothing;

impl Outside for Nothing {
    fn choose(&self, desk: &Desk, _: Choice, _: i32) {
        desk.fail(&say!(
            "There is no file dialog here. Drop the file onto the window instead."
        ));
    }
}
