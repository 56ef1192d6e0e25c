//! The tags the tests draw, and what they read of them.

use crate::tags_scene::Placed;
use lantern_ring::tag::payload::payload;
use lantern_ring::tag::read::{Code, ReadError, still, thorough};
use lantern_ring::tag::{Host, Luma, Reading, TagId, draw};
use uuid::Uuid;

/// The plant's host.
pub fn host() -> Host {
    Host::new("kestrel-ness.example").unwrap()
}

/// Identifiers spread over all 128 bits.
pub fn tag(number: u64) -> TagId {
    let spread = |salt: u64| u128::from((number + salt).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    TagId::new(Uuid::from_u128(spread(1) << 64 | spread(77)))
}

/// The brightness of a picture file.
pub fn picture(bytes: &[u8]) -> Luma {
    still::luma(&still::decode(bytes).unwrap())
}

/// The codes in a picture file, as those of a file or folder are read.
pub fn read_picture(bytes: &[u8]) -> Result<Vec<Code>, ReadError> {
    let picture = still::decode(bytes)?;
    Ok(thorough(&still::luma(&picture), |_| true))
}

/// The picture of a tag, 4 pixels to the module.
pub fn tag_picture(number: u64) -> Luma {
    picture(&draw::png(&payload(&host(), tag(number)), 4).unwrap())
}

/// A code seen straight on.
pub fn flat_on(code: &Luma, middle: (f32, f32), width: f32) -> Placed<'_> {
    Placed {
        code,
        middle,
        width,
        turn: 0.0,
        tilt: 0.0,
    }
}

/// What the texts of `codes` are to the plant.
pub fn readings(codes: &[Code]) -> Vec<Reading> {
    codes
        .iter()
        .map(|code| Reading::of(&code.text, &host()))
        .collect()
}
