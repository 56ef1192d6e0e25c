//! Reading codes from pixels: QR, Data Matrix and Code 128.
//!
//! [`quick`] looks at a picture once as it is. What it misses, the heavier [`Pass`]es may find:
//! each changes the picture in one way and looks again. A live camera spreads them over frames
//! ([`Schedule`]); a still image takes them all until one hits ([`thorough`]).

mod decode;
mod filter;
mod pass;
mod schedule;
pub mod still;

pub use pass::Pass;
pub use schedule::Schedule;
pub use still::ReadError;

use super::luma::Luma;

/// The kinds of code that are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Symbology {
    /// QR code, ISO/IEC 18004.
    Qr,
    /// Data Matrix, ISO/IEC 16022.
    DataMatrix,
    /// Code 128, ISO/IEC 15417.
    Code128,
}

/// Where in a picture Data Matrix codes are looked for: they have no finder pattern to go by, and
/// looking everywhere takes long in a noisy picture. The other kinds are always found anywhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Search {
    /// Where the camera is aimed: on the lines through the middle of the picture.
    AimedAt,
    /// The whole picture.
    Everywhere,
}

/// A place in a picture, in pixels from the top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Pixels to the right.
    pub x: f32,
    /// Pixels down.
    pub y: f32,
}

/// A code found in a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Code {
    /// Its kind.
    pub symbology: Symbology,
    /// What it says.
    pub text: String,
    /// Its four corners in turn; of a Code 128 the two ends of one line across it.
    pub corners: Vec<Point>,
}

/// The codes in `luma` as it is. Codes of the same kind and text are given once.
pub fn quick(luma: &Luma) -> Vec<Code> {
    Pass::AsIs.run(luma, Search::AimedAt)
}

/// The codes in a still image: one pass after another, from the quickest, until there is a code
/// that is `wanted`. Codes found on the way that were not wanted are given too.
pub fn thorough(luma: &Luma, wanted: impl Fn(&Code) -> bool) -> Vec<Code> {
    let mut found = Vec::new();
    for pass in Pass::FOR_STILLS {
        merge(&mut found, pass.run(luma, Search::Everywhere));
        if found.iter().any(&wanted) {
            break;
        }
    }
    found
}

/// Adds to `found` those of `more` that say something new.
fn merge(found: &mut Vec<Code>, more: Vec<Code>) {
    for code in more {
        let known = |known: &Code| known.symbology == code.symbology && known.text == code.text;
        if !found.iter().any(known) {
            found.push(code);
        }
    }
}
