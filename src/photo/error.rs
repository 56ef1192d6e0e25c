use crate::record::Hash;
use crate::say;

/// Why a picture is refused.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// No bytes.
    #[error("{}", say!(
        "The picture file is empty. Take the picture again, or choose another file."
    ))]
    Empty,
    /// The content is not that of any picture known here.
    #[error("{}", say!("This file is not a picture. Choose a JPEG, PNG, WebP or BMP file."))]
    NotAPicture,
    /// A picture, of a kind that is not read here.
    #[error("{}", say!(
        "This is a {kind} picture, which is not read here. Set the camera to save JPEG and take it again, or convert the file to JPEG or PNG.",
        kind
    ))]
    KindNotRead {
        /// The kind's usual name.
        kind: String,
    },
    /// The file is above [`MOST_BYTES`](super::MOST_BYTES).
    #[error("{}", say!(
        "The picture file is {size} MB, and at most {most} MB are taken in. Set the camera to a smaller picture size and take it again.",
        size = megabytes(*bytes),
        most = super::MOST_BYTES / 1_000_000
    ))]
    TooManyBytes {
        /// Size of the file, bytes.
        bytes: usize,
    },
    /// The picture is above [`MOST_PIXELS`](super::MOST_PIXELS).
    #[error("{}", say!(
        "The picture is {width} × {height} pixels ({megapixels} megapixels), and at most {most} megapixels are taken in. Set the camera to a smaller picture size and take it again.",
        width,
        height,
        megapixels = megapixels(*width, *height),
        most = super::MOST_PIXELS / 1_000_000
    ))]
    TooManyPixels {
        /// Width the file claims, pixels.
        width: u32,
        /// Height the file claims, pixels.
        height: u32,
    },
    /// Decoding would take more memory than a picture may.
    #[error("{}", say!(
        "The picture is {width} × {height} pixels with so much depth that reading it takes too much memory. Set the camera to save JPEG or to a smaller picture size and take it again.",
        width,
        height
    ))]
    TooMuchMemory {
        /// Width the file claims, pixels.
        width: u32,
        /// Height the file claims, pixels.
        height: u32,
    },
    /// The file ends before the picture does.
    #[error("{}", say!(
        "The picture file is cut short: it ends before the picture does. Copy it from the camera again, or take it again."
    ))]
    CutShort,
    /// The file is damaged, or written in a way that is not read here.
    #[error("{}", say!(
        "The picture file cannot be read ({detail}). Copy it from the camera again, or take it again as an ordinary JPEG.",
        detail
    ))]
    Unreadable {
        /// What the decoder found.
        detail: String,
    },
    /// A picture could not be written as JPEG.
    #[error("{}", say!("The picture could not be made smaller ({detail}). Take it again.", detail))]
    NotWritten {
        /// What the encoder said.
        detail: String,
    },
    /// The bytes are not the ones the name promises.
    #[error("{}", say!(
        "Picture {expected} was changed on its way: its content has the hash {found}. Have the file sent again.",
        expected,
        found
    ))]
    HashDiffers {
        /// The name the picture came under.
        expected: Hash,
        /// The hash of what came.
        found: Hash,
    },
    /// The bytes are as sent, and yet not a picture as this program stores them.
    #[error("{}", say!(
        "Picture {sha256} is not as pictures are kept here: {reason}. Have the file made again on the device it came from.",
        sha256,
        reason
    ))]
    NotAsStored {
        /// The picture's name.
        sha256: Hash,
        /// What is against it.
        reason: String,
    },
}

/// Rounded up, so that a size just over the limit does not read as the limit itself.
fn megabytes(bytes: usize) -> String {
    tenths_up(bytes as u64)
}

fn megapixels(width: u32, height: u32) -> String {
    tenths_up(u64::from(width) * u64::from(height))
}

fn tenths_up(units: u64) -> String {
    let tenths = units.div_ceil(100_000);
    match tenths % 10 {
        0 => format!("{}", tenths / 10),
        tenth => crate::language::number(format!("{}.{tenth}", tenths / 10)),
    }
}
