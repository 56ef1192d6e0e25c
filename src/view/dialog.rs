//! Asking the operator for files and places.

use super::{desk::Desk, dropped, outside::Choice};
use std::path::PathBuf;

/// What to do with what is chosen.
enum Then {
    One(fn(&Desk, PathBuf)),
    Many(fn(&Desk, Vec<PathBuf>)),
}

/// What was asked last. An answer to anything before comes too late.
#[derive(Default)]
pub struct Asked {
    number: i32,
    then: Option<Then>,
}

/// Asks for a picture and hands it on.
pub fn open_picture(desk: &Desk, then: fn(&Desk, PathBuf)) {
    ask(desk, Choice::Picture, Then::One(then));
}

/// Asks for a folder of pictures and hands it on.
pub fn open_folder(desk: &Desk, then: fn(&Desk, PathBuf)) {
    ask(desk, Choice::PictureFolder, Then::One(then));
}

/// Asks for bundles, one or many, and hands them on.
pub fn open_bundles(desk: &Desk, then: fn(&Desk, Vec<PathBuf>)) {
    ask(desk, Choice::Bundles, Then::Many(then));
}

/// Asks for a store of another device and hands it on.
pub fn open_store(desk: &Desk, then: fn(&Desk, PathBuf)) {
    ask(desk, Choice::Store, Then::One(then));
}

/// Asks where to write a file and hands that on. The name's ending says what it is.
pub fn save_file(desk: &Desk, name: &str, then: fn(&Desk, PathBuf)) {
    ask(desk, Choice::Place(name.to_owned()), Then::One(then));
}

fn ask(desk: &Desk, choice: Choice, then: Then) {
    let number = {
        let asked = &mut desk.state.borrow_mut().asked;
        asked.number = asked.number % MOST_NUMBER + 1;
        asked.then = Some(then);
        asked.number
    };
    desk.outside().choose(desk, choice, number);
}

/// Systems keep a number of 15 bits; those above are for questions of a platform's own.
pub const MOST_NUMBER: i32 = 0x7000;

/// Hands on what was chosen. What nobody waits for any more, because the program was ended meanwhile, is looked at as
/// if another program had handed it over.
pub fn chosen(desk: &Desk, number: i32, paths: Vec<PathBuf>) {
    let then = {
        let asked = &mut desk.state.borrow_mut().asked;
        if asked.then.is_some() && asked.number != number {
            return;
        }
        asked.then.take()
    };
    match then {
        Some(Then::Many(then)) => then(desk, paths),
        Some(Then::One(then)) => {
            if let Some(path) = paths.into_iter().next() {
                then(desk, path);
            }
        }
        None => {
            for path in paths {
                dropped::take(desk, path);
            }
        }
    }
}
