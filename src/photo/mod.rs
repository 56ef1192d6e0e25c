//! Pictures: taken in from any camera, made small, stripped of everything but what they show, marked.
//!
//! A picture is kept as a JPEG this module wrote itself, named by the SHA-256 of its bytes. What the camera
//! wrote about place, person and device never gets that far: the pixels are decoded and encoded anew, and only
//! the time of taking is read out and kept beside the picture.

mod decode;
mod draw;
mod error;
mod jpeg;
pub mod marks;
mod stored;
mod taken;

use crate::record::Hash;

pub use decode::{MOST_BYTES, MOST_PIXELS};
pub use draw::draw_marks;
pub use error::PhotoError;
pub use stored::{
    MOST_STORED_BYTES, STORED_LONG_SIDE, marked_thumbnail, size, thumbnail, verify_stored,
};
pub use taken::{NotATime, TakenAt};

/// A picture as it is kept and carried.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    /// The hash of `jpeg`, which is also the picture's name.
    pub sha256: Hash,
    /// Width in pixels, 1 to [`STORED_LONG_SIDE`].
    pub width: u32,
    /// Height in pixels, 1 to [`STORED_LONG_SIDE`].
    pub height: u32,
    /// The picture itself: upright, without any metadata.
    pub jpeg: Vec<u8>,
    /// When the camera says it was taken.
    pub taken_at: Option<TakenAt>,
}

/// Makes a picture of ours from the bytes of a JPEG, PNG, WebP or BMP file, recognised by content.
///
/// The picture is turned upright as its EXIF orientation says, scaled down so that its long side is at most
/// [`STORED_LONG_SIDE`], laid on white where it was see-through, and encoded as a JPEG with no metadata at all.
/// The same bytes give the same photo.
///
/// # Errors
///
/// Refused, before any pixel is decoded: more than [`MOST_BYTES`], more than [`MOST_PIXELS`], no picture, a kind of
/// picture that is not read here. Refused on the way: a picture cut short or damaged.
pub fn take_in(bytes: &[u8]) -> Result<Photo, PhotoError> {
    let original = decode::decode(bytes, STORED_LONG_SIDE)?;
    let (jpeg, width, height) = stored::encode(original.pixels)?;
    Ok(Photo {
        sha256: Hash::of(&jpeg),
        width,
        height,
        jpeg,
        taken_at: original.exif.as_deref().and_then(taken::from_exif),
    })
}
