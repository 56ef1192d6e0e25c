//! File dialogs of the desktop, off the window's thread.

use super::desk::{self, Desk};
use std::path::PathBuf;

/// Asks for a picture and hands it on.
pub fn open_picture(desk: &Desk, then: fn(&Desk, PathBuf)) {
    let dialog =
        rfd::AsyncFileDialog::new().add_filter("Pictures", &["png", "jpg", "jpeg", "webp", "bmp"]);
    hand_on(desk, async move { dialog.pick_file().await }, then);
}

/// Asks for a folder of pictures and hands it on.
pub fn open_folder(desk: &Desk, then: fn(&Desk, PathBuf)) {
    hand_on(
        desk,
        async { rfd::AsyncFileDialog::new().pick_folder().await },
        then,
    );
}

/// Asks for a bundle and hands it on.
pub fn open_bundle(desk: &Desk, then: fn(&Desk, PathBuf)) {
    let dialog = rfd::AsyncFileDialog::new().add_filter("Bundles", &[crate::exchange::EXTENSION]);
    hand_on(desk, async move { dialog.pick_file().await }, then);
}

/// Asks where to write a bundle and hands that on.
pub fn save_bundle(desk: &Desk, name: &str, then: fn(&Desk, PathBuf)) {
    let dialog = rfd::AsyncFileDialog::new()
        .set_file_name(name)
        .add_filter("Bundles", &[crate::exchange::EXTENSION]);
    hand_on(desk, async move { dialog.save_file().await }, then);
}

fn hand_on(
    desk: &Desk,
    asked: impl Future<Output = Option<rfd::FileHandle>> + 'static,
    then: fn(&Desk, PathBuf),
) {
    let started = slint::spawn_local(async move {
        if let Some(file) = asked.await {
            desk::with(|desk| then(desk, file.path().to_owned()));
        }
    });
    if let Err(error) = started {
        desk.fail(&format!(
            "No file dialog could be opened ({error}). Drop the file onto the window instead."
        ));
    }
}
