//! The ways of looking at a picture.

use std::borrow::Cow;

use super::{Code, Point, Search, decode::decode, filter};
use crate::tag::luma::Luma;

/// Largest picture, in pixels, that is enlarged as a whole.
const MAX_PIXELS_TO_DOUBLE: usize = 4_000_000;

/// One way of looking at a picture: it is changed, then looked at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pass {
    /// Unchanged. The quick one.
    AsIs,
    /// A third of the size: defocus and noise on near tags.
    Third,
    /// Contrast stretched, then lightly blurred: low light and noise.
    StretchedAndBlurred,
    /// The middle half, twice the size: tags far away in the aim.
    MiddleDoubled,
    /// All of it, twice the size: small tags anywhere. Pictures over 4 megapixels, which show a
    /// module well enough as they are, are not enlarged.
    Doubled,
    /// Black for white: codes etched or printed light on dark.
    Inverted,
    /// Narrow bright scratches and specks filled.
    SpecksFilled,
}

impl Pass {
    /// For still images, in the order in which each next one adds most for the time it takes, as
    /// `benches/frame_to_code.rs` measures it. Only `Inverted` comes later than measured there,
    /// for our own labels are dark on light. Sharpening was tried and read nothing new.
    pub const FOR_STILLS: [Self; 7] = [
        Self::AsIs,
        Self::Third,
        Self::SpecksFilled,
        Self::MiddleDoubled,
        Self::Inverted,
        Self::StretchedAndBlurred,
        Self::Doubled,
    ];

    /// The codes in `luma`, looked at in this way.
    pub fn run(self, luma: &Luma, search: Search) -> Vec<Code> {
        let mut codes = decode(&self.prepare(luma), search);
        for corner in codes.iter_mut().flat_map(|code| &mut code.corners) {
            *corner = self.in_original(luma, *corner);
        }
        codes
    }

    /// `luma` changed for this pass.
    pub fn prepare(self, luma: &Luma) -> Cow<'_, Luma> {
        Cow::Owned(match self {
            Self::AsIs => return Cow::Borrowed(luma),
            Self::Doubled if luma.pixels() > MAX_PIXELS_TO_DOUBLE => return Cow::Borrowed(luma),
            Self::Third => filter::third(luma),
            Self::StretchedAndBlurred => filter::blurred(&filter::stretched(luma)),
            Self::MiddleDoubled => filter::doubled(&filter::middle(luma)),
            Self::Doubled => filter::doubled(luma),
            Self::Inverted => filter::inverted(luma),
            Self::SpecksFilled => filter::specks_filled(luma),
        })
    }

    /// Where a `point` of the changed picture is in `luma`.
    fn in_original(self, luma: &Luma, point: Point) -> Point {
        let scaled = |factor: f32| Point {
            x: point.x * factor,
            y: point.y * factor,
        };
        match self {
            Self::Third => scaled(3.0),
            Self::Doubled if luma.pixels() <= MAX_PIXELS_TO_DOUBLE => scaled(0.5),
            Self::MiddleDoubled => {
                let (left, top) = filter::middle_offset(luma);
                let Point { x, y } = scaled(0.5);
                Point {
                    x: x + left as f32,
                    y: y + top as f32,
                }
            }
            _ => point,
        }
    }
}
