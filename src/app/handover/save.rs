//! A handover as a file: the ending of its name says whether it is a PDF or text.

use super::App;
use crate::{
    report::handover::{PdfError, Sheet, pdf},
    say, sys,
};
use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

/// Why a handover was not written.
#[derive(Debug, thiserror::Error)]
pub enum SheetNotWritten {
    /// The ending says neither.
    #[error("{}", say!(
        "the handover can't be written as {file}; give it a name that ends in .pdf or .txt",
        file = _0.display()
    ))]
    Ending(PathBuf),
    /// The PDF can't be made.
    #[error(transparent)]
    Pdf(#[from] PdfError),
    /// The file can't be written.
    #[error("{}", say!(
        "the handover can't be written ({why}); look whether the disk has room and the folder may be written",
        why = _0
    ))]
    File(#[from] io::Error),
}

impl App {
    /// Writes a sheet to a file, over one that is there: a PDF where its name ends in `.pdf`, text where in `.txt`.
    ///
    /// # Errors
    /// [`SheetNotWritten`]; then a file that was there is as it was.
    pub fn save_handover(&self, sheet: &Sheet, to: &Path) -> Result<(), SheetNotWritten> {
        let ending = to.extension().map(|ending| ending.to_ascii_lowercase());
        let bytes = match ending.as_ref().and_then(|ending| ending.to_str()) {
            Some("pdf") => self.handover_pdf(sheet)?,
            Some("txt") => sheet.text().into_bytes(),
            _ => return Err(SheetNotWritten::Ending(to.to_owned())),
        };
        sys::write_whole(to, |file| Ok(file.write_all(&bytes)?))
    }

    /// A sheet as a PDF, with the thumbnails of the photos that are in this store.
    ///
    /// # Errors
    /// Where the program's own parts fail.
    pub fn handover_pdf(&self, sheet: &Sheet) -> Result<Vec<u8>, PdfError> {
        let read = self.store.read();
        // A picture that is damaged is told as one that is not here: the words are worth having all the same.
        pdf(sheet, |sha256| Some(read.photo(sha256).ok()??.bytes))
    }
}
