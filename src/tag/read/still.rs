//! Codes from picture files: checked before they are decoded, whatever they claim to be.

use crate::{language, say, word};
use std::io::{self, Cursor, Read as _};
use std::path::Path;

use image::{DynamicImage, ImageError, ImageFormat, ImageReader, Limits};
use thiserror::Error;

use crate::tag::luma::Luma;

/// Most pixels a picture may have.
pub const MAX_PIXELS: u64 = 50_000_000;

/// Most bytes a picture file may have.
pub const MAX_FILE_BYTES: u64 = 64 << 20;

/// Most memory the decoding of one picture may take, in bytes.
const MAX_MEMORY_BYTES: u64 = 6 * MAX_PIXELS;

const ADVICE: &str =
    word!("Take the picture again, or key in the short id printed under the code.");

/// Why no code was read from a picture.
#[derive(Debug, Error)]
pub enum ReadError {
    /// Not a picture of a known kind.
    #[error("{}", say!(
        "This is not a picture that can be read here. Choose a PNG, JPEG, WebP or BMP file, or key in the short id printed under the code."
    ))]
    NotAPicture,
    /// The file ends too early.
    #[error("{}", say!(
        "The picture file is cut short, as by a broken copy. Copy it again. {advice}",
        advice = language::word(ADVICE)
    ))]
    Truncated,
    /// The file is damaged.
    #[error("{}", say!("The picture file is damaged ({why}). {advice}", why = _0, advice = language::word(ADVICE)))]
    Damaged(String),
    /// More pixels or memory than a picture may take. Found out before decoding.
    #[error("{}", say!(
        "The picture has {width} by {height} pixels; at most {most} megapixels can be read. Take it at a lower resolution.",
        width,
        height,
        most = MAX_PIXELS / 1_000_000
    ))]
    TooLarge {
        /// Pixels in a row.
        width: u32,
        /// Rows.
        height: u32,
    },
    /// More bytes than a picture file may have.
    #[error("{}", say!(
        "The picture file has {bytes} bytes; at most {most} can be read. Take it at a lower resolution.",
        bytes,
        most = MAX_FILE_BYTES
    ))]
    FileTooLarge {
        /// Bytes in the file.
        bytes: u64,
    },
}

/// Why a picture file could not be opened.
#[derive(Debug, Error)]
pub enum OpenError {
    /// The file could not be read.
    #[error("{}", say!(
        "the file could not be read ({why}): check that it is there and may be opened",
        why = _0
    ))]
    File(#[from] io::Error),
    /// What is in it cannot be used.
    #[error(transparent)]
    Picture(#[from] ReadError),
}

/// The picture in `file`, refused before decoding if it is too large.
pub fn open(file: &Path) -> Result<DynamicImage, OpenError> {
    let file = std::fs::File::open(file)?;
    let bytes = file.metadata()?.len();
    if bytes > MAX_FILE_BYTES {
        return Err(ReadError::FileTooLarge { bytes }.into());
    }
    let mut content = Vec::new();
    file.take(MAX_FILE_BYTES).read_to_end(&mut content)?;
    Ok(decode(&content)?)
}

/// The picture in `bytes`, refused before decoding if it is too large.
pub fn decode(bytes: &[u8]) -> Result<DynamicImage, ReadError> {
    let reader = || ImageReader::new(Cursor::new(bytes)).with_guessed_format();
    let header = reader().map_err(|_| ReadError::NotAPicture)?;
    if header.format().is_none() {
        return Err(ReadError::NotAPicture);
    }
    let refusal = |error| refusal(&error, bytes);
    let (width, height) = header.into_dimensions().map_err(refusal)?;
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(ReadError::TooLarge { width, height });
    }
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MAX_MEMORY_BYTES);
    let mut body = reader().map_err(|_| ReadError::NotAPicture)?;
    body.limits(limits);
    body.decode().map_err(|error| match error {
        ImageError::Limits(_) => ReadError::TooLarge { width, height },
        other => refusal(other),
    })
}

fn refusal(error: &ImageError, bytes: &[u8]) -> ReadError {
    match error {
        ImageError::Unsupported(_) => ReadError::NotAPicture,
        _ if cut_short(bytes) => ReadError::Truncated,
        other => ReadError::Damaged(other.to_string()),
    }
}

/// Whether the end is missing, by what each format says of its own end: the IEND chunk of PNG
/// (ISO/IEC 15948), the EOI marker of JPEG (ISO/IEC 10918-1), the length in the RIFF header of
/// WebP (RFC 9649) and in the file header of BMP.
fn cut_short(bytes: &[u8]) -> bool {
    let length_at = |place: usize| {
        let field = bytes
            .get(place..place + 4)
            .and_then(|field| field.try_into().ok());
        field.map_or(u64::MAX, |field| u64::from(u32::from_le_bytes(field)))
    };
    let there = bytes.len() as u64;
    match image::guess_format(bytes) {
        Ok(ImageFormat::Png) => !bytes
            .windows(4)
            .rev()
            .take(32)
            .any(|chunk| chunk == b"IEND"),
        Ok(ImageFormat::Jpeg) => !jpeg_ends(bytes),
        Ok(ImageFormat::WebP) => length_at(4).saturating_add(8) > there,
        Ok(ImageFormat::Bmp) => length_at(2) > there,
        _ => false,
    }
}

/// Whether an EOI marker follows the last scan; cameras may append more after it.
fn jpeg_ends(bytes: &[u8]) -> bool {
    const START_OF_SCAN: &[u8] = &[0xFF, 0xDA];
    const END_OF_IMAGE: &[u8] = &[0xFF, 0xD9];
    let last_scan = bytes.windows(2).rposition(|pair| pair == START_OF_SCAN);
    last_scan.is_some_and(|scan| bytes[scan..].windows(2).any(|pair| pair == END_OF_IMAGE))
}

/// The brightness of `picture`, what is transparent lying on white.
pub fn luma(picture: &DynamicImage) -> Luma {
    let grey = picture.to_luma_alpha8();
    Luma::from_fn(grey.width(), grey.height(), |x, y| {
        let [value, alpha] = grey.get_pixel(x, y).0.map(u32::from);
        ((value * alpha + 255 * (255 - alpha)) / 255) as u8
    })
}
