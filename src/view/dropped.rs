//! Files dropped onto the window.

use super::{
    Nav, Page, Session,
    desk::{self, Desk},
    photo, scan, taking_in,
};
use crate::exchange::EXTENSION;
use slint::{
    ComponentHandle,
    winit_030::{EventResult, WinitWindowAccessor, winit::event::WindowEvent},
};
use std::path::PathBuf;

/// Listens for files dropped onto the window.
pub fn attach(desk: &Desk) {
    desk.window().window().on_winit_window_event(|_, event| {
        match event {
            WindowEvent::HoveredFile(_) => desk::with(|desk| hover(desk, true)),
            WindowEvent::HoveredFileCancelled => desk::with(|desk| hover(desk, false)),
            WindowEvent::DroppedFile(path) => {
                let path = path.clone();
                desk::with(|desk| {
                    hover(desk, false);
                    take(desk, path);
                });
            }
            _ => {}
        }
        EventResult::Propagate
    });
}

fn hover(desk: &Desk, over: bool) {
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
