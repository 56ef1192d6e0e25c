//! The sheet as a PDF: A4, one page where it fits, by our own look.
//!
//! The same sheet and pictures give the same bytes: no clock and no chance goes in.

mod layout;
mod marks;
mod page;
mod type_face;

use super::Sheet;
use crate::{
    language,
    photo::{self, PhotoError},
    record::Hash,
    say,
};
use krilla::{Data, Document, image::Image, metadata::Metadata};
use type_face::Faces;

/// Thumbnails in one PDF; photos beyond are counted in words. A shift has a handful.
const MOST_THUMBNAILS: usize = 48;
/// Long side of a thumbnail, pixels: sharp at the size it is printed.
const THUMBNAIL_PX: u32 = 320;

/// Why a PDF was not made.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The program's own typeface can't be read.
    #[error("{}", say!(
        "the typeface built into the program can't be read; save the handover as text instead"
    ))]
    Typeface,
    /// The writer failed.
    #[error("{}", say!(
        "the PDF can't be put together ({why}); save the handover as text instead",
        why = _0
    ))]
    Writer(String),
}

/// A photo as it is drawn.
enum Thumbnail {
    /// The picture.
    Picture(Image),
    /// It is not in this store, or can't be read: that is said in its place.
    Missing,
    /// More than fit.
    LeftOut,
}

/// The sheet as a PDF. `picture` gives a stored picture's bytes by its name, `None` where it is not here.
///
/// # Errors
/// Where the program's own parts fail; never for what is in the sheet.
pub fn pdf(
    sheet: &Sheet,
    mut picture: impl FnMut(Hash) -> Option<Vec<u8>>,
) -> Result<Vec<u8>, PdfError> {
    let faces = Faces::built_in()?;
    let pages = layout::pages(sheet, &faces);
    let mut document = Document::new();
    document.set_metadata(
        Metadata::new()
            .title(say!("Handover, {plant}", plant = sheet.plant))
            .creator("Lantern Ring".to_owned())
            .language(language::spoken().code().to_owned()),
    );
    let mut drawn = 0;
    for (index, strips) in pages.iter().enumerate() {
        let mut thumbnail = |photo: &super::Photo| {
            drawn += 1;
            if drawn > MOST_THUMBNAILS {
                return Thumbnail::LeftOut;
            }
            let bytes = picture(photo.sha256);
            let small = bytes.map(|bytes| small(&bytes, photo));
            match small {
                Some(Ok(image)) => Thumbnail::Picture(image),
                _ => Thumbnail::Missing,
            }
        };
        page::draw(
            &mut document,
            strips,
            &faces,
            &say!(
                "Page {number} of {count}",
                number = index + 1,
                count = pages.len()
            ),
            &mut thumbnail,
        )?;
    }
    document
        .finish()
        .map_err(|error| PdfError::Writer(format!("{error:?}")))
}

/// A picture with its marks as small as it is printed.
fn small(bytes: &[u8], photo: &super::Photo) -> Result<Image, PhotoError> {
    let jpeg = photo::marked_thumbnail(bytes, &photo.marks, THUMBNAIL_PX)?;
    Image::from_jpeg(Data::from(jpeg), true).map_err(|detail| PhotoError::NotWritten { detail })
}
