//! Photos kept: of a check, of a pump as a whole, of a finding.

use super::{App, AppError, Command};
use crate::{
    check::{BadEntry, MAX_WORDS_CHARS},
    photo,
    plant::{CheckId, PumpId},
    record::{Body, Mark, PhotoTaken},
    store::Picture,
};
use uuid::Uuid;

/// Keep a photo. The outcome is the record that holds it.
#[derive(Clone, Debug)]
pub struct AttachPhoto {
    /// In which visit.
    pub visit: Uuid,
    /// For which check, if for one.
    pub check: Option<CheckId>,
    /// The picture as the camera or file gave it.
    pub picture: Vec<u8>,
    /// Marks drawn over it.
    pub marks: Vec<Mark>,
    /// The operator's words.
    pub words: String,
}

impl Command for AttachPhoto {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        let visit = app.open_one(self.visit)?;
        let place = PhotoPlace {
            visit: visit.visit,
            pump: visit.pump,
            check: self.check,
            finding: None,
        };
        app.keep_photo(place, &self.picture, self.marks, self.words)
    }
}

/// What a photo is of.
pub(super) struct PhotoPlace {
    pub visit: Uuid,
    pub pump: PumpId,
    pub check: Option<CheckId>,
    pub finding: Option<Uuid>,
}

impl App {
    pub(super) fn keep_photo(
        &mut self,
        place: PhotoPlace,
        picture: &[u8],
        marks: Vec<Mark>,
        words: String,
    ) -> Result<Uuid, AppError> {
        photo::marks::check(&marks)?;
        let chars = words.chars().count();
        if chars > MAX_WORDS_CHARS {
            let most = MAX_WORDS_CHARS;
            return Err(BadEntry::TooLong { chars, most }.into());
        }
        let photo = photo::take_in(picture)?;
        let taken = PhotoTaken {
            visit: place.visit,
            pump: place.pump,
            check: place.check,
            finding: place.finding,
            photo: photo.sha256,
            taken_at: photo.taken_at.map(|taken| taken.to_string()),
            marks,
            words,
        };
        let mut batch = self.store.write()?;
        let picture = Picture {
            bytes: photo.jpeg,
            width_px: photo.width,
            height_px: photo.height,
        };
        batch.put_photo(photo.sha256, &picture)?;
        let sealed = batch.append(self.world.as_mut(), &self.operator, Body::PhotoTaken(taken))?;
        batch.commit()?;
        Ok(sealed.record().id)
    }
}
