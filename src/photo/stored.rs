use crate::say;
use image::codecs::jpeg::JpegEncoder;
use image::{ExtendedColorType, RgbImage};

use super::jpeg::{self, Segment};
use super::{PhotoError, decode};
use crate::record::{Hash, Mark};

/// The long side of a stored picture is at most this, pixels.
pub const STORED_LONG_SIDE: u32 = 1600;
/// No stored picture is larger than this, bytes. Pure noise at full size comes to three quarters of it.
pub const MOST_STORED_BYTES: usize = 6_000_000;
const JPEG_QUALITY: u8 = 82;

/// Encodes as this program stores it; gives the width and height beside it.
pub(super) fn encode(pixels: RgbImage) -> Result<(Vec<u8>, u32, u32), PhotoError> {
    let (width, height) = pixels.dimensions();
    let mut jpeg = Vec::new();
    JpegEncoder::new_with_quality(&mut jpeg, JPEG_QUALITY)
        .encode(pixels.as_raw(), width, height, ExtendedColorType::Rgb8)
        .map_err(|error| PhotoError::NotWritten {
            detail: error.to_string(),
        })?;
    Ok((jpeg, width, height))
}

/// A small version of a stored picture, its long side at most `long_side` pixels (at least 1), never enlarged.
///
/// # Errors
///
/// As [`take_in`](super::take_in).
pub fn thumbnail(jpeg: &[u8], long_side: u32) -> Result<RgbImage, PhotoError> {
    Ok(decode::decode(jpeg, long_side.max(1))?.pixels)
}

/// The same as a JPEG, with its marks drawn in.
///
/// # Errors
///
/// As [`thumbnail`]; [`PhotoError::NotWritten`].
pub fn marked_thumbnail(
    jpeg: &[u8],
    marks: &[Mark],
    long_side: u32,
) -> Result<Vec<u8>, PhotoError> {
    let small = thumbnail(jpeg, long_side)?;
    Ok(encode(super::draw::draw_marks(&small, marks))?.0)
}

/// Checks a picture from another device against its name and against what this program itself would have stored:
/// a complete baseline JPEG of one scan, within [`STORED_LONG_SIDE`] and [`MOST_STORED_BYTES`], nothing in it or
/// behind it but the picture, and every pixel decodable.
///
/// # Errors
///
/// [`PhotoError::HashDiffers`] if the bytes are not the ones named, [`PhotoError::NotAsStored`] for anything else.
pub fn verify_stored(bytes: &[u8], expected: &Hash) -> Result<(), PhotoError> {
    let found = Hash::of(bytes);
    if found != *expected {
        return Err(PhotoError::HashDiffers {
            expected: *expected,
            found,
        });
    }
    check_form(bytes).map_err(|reason| PhotoError::NotAsStored {
        sha256: found,
        reason,
    })
}

fn check_form(bytes: &[u8]) -> Result<(), String> {
    if bytes.len() > MOST_STORED_BYTES {
        return Err(say!(
            "it has {size} bytes, more than {most}",
            size = bytes.len(),
            most = MOST_STORED_BYTES
        ));
    }
    let (mut starts, mut frames, mut scans) = (0, 0, 0);
    for segment in jpeg::segments(bytes) {
        let segment = segment.map_err(|_| say!("it is not a complete JPEG").to_owned())?;
        check_segment(&segment)?;
        starts += usize::from(segment.marker == jpeg::SOI);
        frames += usize::from(segment.marker == jpeg::SOF0);
        scans += usize::from(segment.marker == jpeg::SOS);
    }
    if (starts, frames, scans) != (1, 1, 1) {
        return Err(say!("it is not exactly one plain picture").into());
    }
    decode::decode(bytes, STORED_LONG_SIDE)
        .map(drop)
        .map_err(|_| say!("its pixels cannot be decoded").into())
}

/// What may be in a stored picture is listed; all else is refused, so no place for metadata can be forgotten.
fn check_segment(segment: &Segment) -> Result<(), String> {
    match segment.marker {
        jpeg::SOI | jpeg::DQT | jpeg::DHT | jpeg::DRI | jpeg::SOS => Ok(()),
        jpeg::SOF0 => check_dimensions(segment.payload),
        jpeg::APP0 if is_plain_jfif(segment.payload) => Ok(()),
        jpeg::EOI if segment.payload.is_empty() => Ok(()),
        jpeg::EOI => Err(say!(
            "{count} bytes follow the picture",
            count = segment.payload.len()
        )),
        marker => Err(say!(
            "it carries more than the picture (segment {marker})",
            marker = format!("{marker:02X}")
        )),
    }
}

fn check_dimensions(frame: &[u8]) -> Result<(), String> {
    let [_, high_y, low_y, high_x, low_x, ..] = *frame else {
        return Err(say!("its size cannot be read").into());
    };
    let width = u16::from_be_bytes([high_x, low_x]);
    let height = u16::from_be_bytes([high_y, low_y]);
    let allowed = 1..=STORED_LONG_SIDE;
    if allowed.contains(&width.into()) && allowed.contains(&height.into()) {
        Ok(())
    } else {
        Err(say!(
            "it is {width} × {height} pixels, where the long side is at most {most}",
            width,
            height,
            most = STORED_LONG_SIDE
        ))
    }
}

/// Width and height of a picture as it is kept, px.
///
/// # Errors
///
/// [`PhotoError::Unreadable`] where the bytes are no JPEG.
pub fn size(jpeg: &[u8]) -> Result<(u32, u32), PhotoError> {
    let reader =
        image::ImageReader::with_format(std::io::Cursor::new(jpeg), image::ImageFormat::Jpeg);
    reader
        .into_dimensions()
        .map_err(|error| PhotoError::Unreadable {
            detail: error.to_string(),
        })
}

/// JFIF's header (ITU-T T.871) without the thumbnail that it could hold.
fn is_plain_jfif(payload: &[u8]) -> bool {
    payload.len() == 14 && payload.starts_with(b"JFIF\0") && payload.ends_with(&[0, 0])
}
