//! File dialogs of the desktop, off the window's thread.

use super::desk::{self, Desk};
use std::path::PathBuf;

/// Asks for a picture and hands it on.
pub fn open_picture(desk: &Desk, then: fn(&Desk, PathBuf)) {
    let dialog =
        rfd::AsyncFileDialog::new().add_filter("Pictures", &["png", "jpg", "jpeg", "webp", "bmp"]);
    hand_on(desk, one(dialog.pick_file()), then);
}

/// Asks for a folder of pictures and hands it on.
pub fn open_folder(desk: &Desk, then: fn(&Desk, PathBuf)) {
    hand_on(desk, one(rfd::AsyncFileDialog::new().pick_folder()), then);
}

/// Asks for bundles, one or many, and hands them on.
pub fn open_bundles(desk: &Desk, then: fn(&Desk, Vec<PathBuf>)) {
    let dialog = rfd::AsyncFileDialog::new().add_filter("Bundles", &[crate::exchange::EXTENSION]);
    hand_on(
        desk,
        async move {
            let files = dialog.pick_files().await?;
            Some(files.iter().map(|file| file.path().to_owned()).collect())
        },
        then,
    );
}

/// Asks where to write a bundle and hands that on.
pub fn save_bundle(desk: &Desk, name: &str, then: fn(&Desk, PathBuf)) {
    let dialog = rfd::AsyncFileDialog::new()
        .set_file_name(name)
        .add_filter("Bundles", &[crate::exchange::EXTENSION]);
    hand_on(desk, one(dialog.save_file()), then);
}

async fn one(asked: impl Future<Output = Option<rfd::FileHandle>>) -> Option<PathBuf> {
    Some(asked.await?.path().to_owned())
}

fn hand_on<T: 'static>(
    desk: &Desk,
    asked: impl Future<Output = Option<T>> + 'static,
    then: fn(&Desk, T),
) {
    let started = slint::spawn_local(async move {
        if let Some(chosen) = asked.await {
            desk::with(|desk| then(desk, chosen));
        }
    });
    if let Err(error) = started {
        desk.fail(&format!(
            "No file dialog could be opened ({error}). Drop the file onto the window instead."
        ));
    }
}
