use crate::say;
use std::io::{Cursor, ErrorKind};

use image::error::ImageError;
use image::imageops::FilterType;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits, RgbImage};

use super::PhotoError;
use super::jpeg::{self, Broken};

/// The largest picture file taken in, bytes.
pub const MOST_BYTES: usize = 40_000_000;
/// The most pixels of a picture taken in, width times height.
pub const MOST_PIXELS: u64 = 50_000_000;
/// What one decoder may allocate, bytes: [`MOST_PIXELS`] at four bytes, and some to work with.
const MOST_DECODER_BYTES: u64 = 256_000_000;

/// The most scans of a progressive JPEG; cameras write about ten. Each goes over all pixels and may be a few bytes
/// long, so a small file of very many would keep a decoder busy for hours.
const MOST_SCANS: usize = 100;

/// A picture from outside, decoded.
pub(super) struct Decoded {
    /// Upright, scaled down.
    pub(super) pixels: RgbImage,
    /// The raw EXIF block, if there was one.
    pub(super) exif: Option<Vec<u8>>,
}

/// Decodes untrusted bytes, turns the picture upright and scales it down to `long_side` pixels at most. Sizes are
/// checked on the header, before room for a single pixel is made.
pub(super) fn decode(bytes: &[u8], long_side: u32) -> Result<Decoded, PhotoError> {
    let format = recognise(bytes)?;
    check_complete(bytes, format)?;
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(MOST_DECODER_BYTES);
    reader.limits(limits.clone());
    let mut decoder = reader.into_decoder().map_err(unreadable)?;

    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        return Err(PhotoError::TooManyPixels { width, height });
    }
    let too_much = |error| match unreadable(error) {
        PhotoError::Unreadable { .. } => PhotoError::TooMuchMemory { width, height },
        other => other,
    };
    limits.reserve(decoder.total_bytes()).map_err(too_much)?;
    decoder.set_limits(limits).map_err(too_much)?;
    let exif = read_exif(&mut decoder);
    let orientation = exif.as_deref().and_then(Orientation::from_exif_chunk);
    let mut image = scale_down(
        DynamicImage::from_decoder(decoder).map_err(unreadable)?,
        long_side,
    );
    image.apply_orientation(orientation.unwrap_or(Orientation::NoTransforms));
    Ok(Decoded {
        pixels: on_white(image),
        exif,
    })
}

/// Broken metadata is no reason to refuse a picture that can be seen.
fn read_exif(decoder: &mut impl ImageDecoder) -> Option<Vec<u8>> {
    let block = decoder.exif_metadata().ok()??;
    // Some writers of PNG and WebP leave JPEG's identifier in front of the block.
    Some(match block.strip_prefix(b"Exif\0\0") {
        Some(rest) => rest.to_vec(),
        None => block,
    })
}

/// The format by content, if it is one that is read here.
fn recognise(bytes: &[u8]) -> Result<ImageFormat, PhotoError> {
    if bytes.is_empty() {
        return Err(PhotoError::Empty);
    }
    if bytes.len() > MOST_BYTES {
        return Err(PhotoError::TooManyBytes { bytes: bytes.len() });
    }
    if is_heic(bytes) {
        return Err(PhotoError::KindNotRead {
            kind: "HEIC".into(),
        });
    }
    match image::guess_format(bytes) {
        Ok(
            format @ (ImageFormat::Jpeg | ImageFormat::Png | ImageFormat::WebP | ImageFormat::Bmp),
        ) => Ok(format),
        Ok(other) => Err(PhotoError::KindNotRead {
            kind: format!("{other:?}").to_uppercase(),
        }),
        Err(_) => Err(PhotoError::NotAPicture),
    }
}

/// What some phones save unless told otherwise; its brands are listed in ISO/IEC 23008-12.
fn is_heic(bytes: &[u8]) -> bool {
    bytes.get(4..8) == Some(b"ftyp")
        && matches!(
            bytes.get(8..12),
            Some(b"heic" | b"heix" | b"heim" | b"heis" | b"hevc" | b"hevx" | b"mif1" | b"msf1")
        )
}

/// The decoders of these two fill in what is missing at the end; the others notice by themselves.
fn check_complete(bytes: &[u8], format: ImageFormat) -> Result<(), PhotoError> {
    match format {
        ImageFormat::Jpeg => check_jpeg_complete(bytes),
        ImageFormat::WebP => check_webp_complete(bytes),
        _ => Ok(()),
    }
}

fn check_jpeg_complete(bytes: &[u8]) -> Result<(), PhotoError> {
    let damaged = |detail| Err(PhotoError::Unreadable { detail });
    let mut scans = 0;
    for segment in jpeg::segments(bytes) {
        match segment {
            Ok(segment) => scans += usize::from(segment.marker == jpeg::SOS),
            Err(Broken::CutShort) => return Err(PhotoError::CutShort),
            Err(Broken::NoMarker(at)) => return damaged(say!("damaged at byte {at}", at)),
        }
    }
    match scans {
        0 => damaged(say!("there is no picture between its start and its end").into()),
        1..=MOST_SCANS => Ok(()),
        _ => damaged(say!("it is drawn over {scans} times", scans)),
    }
}

/// A WebP file says at byte 4 how many bytes follow the eight of its start (RFC 9649, section 2.4).
fn check_webp_complete(bytes: &[u8]) -> Result<(), PhotoError> {
    let (start, rest) = bytes.split_first_chunk::<8>().ok_or(PhotoError::CutShort)?;
    let [.., a, b, c, d] = *start;
    match u32::from_le_bytes([a, b, c, d]) as usize {
        promised if promised > rest.len() => Err(PhotoError::CutShort),
        _ => Ok(()),
    }
}

fn unreadable(error: ImageError) -> PhotoError {
    match error {
        ImageError::IoError(error) if error.kind() == ErrorKind::UnexpectedEof => {
            PhotoError::CutShort
        }
        other => PhotoError::Unreadable {
            detail: other.to_string().trim_end().to_owned(),
        },
    }
}

/// Lanczos on 50 megapixels would take seconds and hundreds of megabytes on a phone, so a far too large picture is
/// first averaged in squares of whole pixels, down to between 1.5 and 3 times the size. Whole ones, because
/// averaging uneven squares draws patterns into fine stripes.
fn scale_down(image: DynamicImage, long_side: u32) -> DynamicImage {
    let longest = image.width().max(image.height());
    if longest <= long_side {
        return image;
    }
    let square = longest / (long_side.saturating_add(long_side / 2));
    let nearer = if square > 1 {
        let (width, height) = (
            image.width().div_ceil(square),
            image.height().div_ceil(square),
        );
        image.thumbnail_exact(width, height)
    } else {
        image
    };
    nearer.resize(long_side, long_side, FilterType::Lanczos3)
}

/// What is see-through may hold anything, for instance what somebody meant to wipe out; it never shows.
fn on_white(image: DynamicImage) -> RgbImage {
    if !image.color().has_alpha() {
        return image.into_rgb8();
    }
    let rgba = image.into_rgba8();
    RgbImage::from_fn(rgba.width(), rgba.height(), |x, y| {
        let [red, green, blue, alpha] = rgba.get_pixel(x, y).0.map(u32::from);
        let over_white = |channel: u32| ((channel * alpha + 255 * (255 - alpha) + 127) / 255) as u8;
        image::Rgb([red, green, blue].map(over_white))
    })
}
