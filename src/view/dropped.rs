//! Files handed to the window from outside: dropped onto it, or opened with it.

use super::{Nav, Page, Session, desk::Desk, photo, scan, taking_in};
use crate::exchange::EXTENSION;
use slint::ComponentHandle;
use std::path::PathBuf;

/// Shows that a file is held over the window, or no longer.
pub fn hold(desk: &Desk, over: bool) {
    desk.window().global::<Session>().set_dragging_file(over);
}

/// Does with a file what the page it was dropped on is for: a bundle is taken in, a picture is attached to the photo
/// being made or else looked at for tags.
pub fn take(desk: &Desk, path: PathBuf) {
    let is_bundle = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case(EXTENSION));
    if is_bundle {
        taking_in::add(desk, vec![path]);
    } else if desk.window().global::<Nav>().get_page() == Page::Photo {
        photo::take_file(desk, path);
    } else {
        scan::look_at(desk, path);
    }
}
