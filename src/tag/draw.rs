//! Drawing a tag: a QR code (ISO/IEC 18004) at error correction level H, alphanumeric mode, the
//! smallest version that holds the text, four modules of quiet zone.

use crate::say;
use std::fmt::Write as _;
use std::io::Cursor;

use image::{GrayImage, ImageFormat};
use qrcode::bits::Bits;
use qrcode::{Color, EcLevel, QrCode, Version};
use thiserror::Error;

use super::short_id::ShortId;

/// Quiet zone on each side, in modules, as ISO/IEC 18004 asks for.
pub const QUIET_ZONE_MODULES: u32 = 4;

/// Most pixels a module may have in a PNG.
pub const MAX_MODULE_PX: u32 = 64;

/// Why a tag could not be drawn.
#[derive(Debug, Error)]
pub enum DrawError {
    /// The text holds a character outside QR's alphanumeric mode.
    #[error("{}", say!(
        "the tag text '{payload}' holds a character that a tag's code cannot carry: use capitals, digits and $%*+-./: only",
        payload
    ))]
    NotAlphanumeric {
        /// The text that was to be drawn.
        payload: String,
    },
    /// The text is empty or longer than the largest QR code takes.
    #[error("{}", say!(
        "the tag text has {length} characters, and a code takes 1 to 1852: use a shorter host name",
        length
    ))]
    Length {
        /// Length of the text in characters.
        length: usize,
    },
    /// The size asked for cannot be drawn.
    #[error("{}", say!(
        "a module of {module_px} pixels was asked for: choose 1 to {most}",
        module_px,
        most = MAX_MODULE_PX
    ))]
    ModuleSize {
        /// Pixels asked for per module.
        module_px: u32,
    },
    /// The picture could not be written as PNG.
    #[error("{}", say!(
        "the tag could not be written as PNG ({why}): try a smaller module size",
        why = _0
    ))]
    Png(#[from] image::ImageError),
}

/// The tag's code as a grey PNG, `module_px` pixels to a module, the quiet zone included.
pub fn png(payload: &str, module_px: u32) -> Result<Vec<u8>, DrawError> {
    if !(1..=MAX_MODULE_PX).contains(&module_px) {
        return Err(DrawError::ModuleSize { module_px });
    }
    let code = Modules::of(payload)?;
    let size = (code.width + 2 * QUIET_ZONE_MODULES) * module_px;
    let picture = GrayImage::from_fn(size, size, |x, y| {
        let module = |px: u32| (px / module_px).checked_sub(QUIET_ZONE_MODULES);
        let dark = module(x)
            .zip(module(y))
            .is_some_and(|(x, y)| code.is_dark(x, y));
        image::Luma([if dark { 0 } else { 255 }])
    });
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png)?;
    Ok(bytes.into_inner())
}

/// A label in SVG, 1 mm to a module: the code twice, so that dirt on one leaves the other, and
/// below them the short id and a caption for people.
pub fn svg(payload: &str, short_id: &ShortId, caption: &str) -> Result<String, DrawError> {
    let code = Modules::of(payload)?;
    let side = code.width + 2 * QUIET_ZONE_MODULES;
    let (width, height) = (2 * side, side + TEXT_MM);
    let dark = code.path();
    let margin = QUIET_ZONE_MODULES;
    let (second, middle) = (side + margin, side);
    let (short_baseline, caption_baseline) = (side + 7, side + 12);
    let caption = escape(caption);
    Ok(format!(
        r##"<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">
<rect width="{width}" height="{height}" fill="#fff"/>
<path transform="translate({margin} {margin})" d="{dark}"/>
<path transform="translate({second} {margin})" d="{dark}"/>
<text x="{middle}" y="{short_baseline}" font-family="monospace" font-size="8" font-weight="bold" text-anchor="middle">{short_id}</text>
<text x="{middle}" y="{caption_baseline}" font-family="sans-serif" font-size="4" text-anchor="middle">{caption}</text>
</svg>
"##
    ))
}

/// Height below the codes for the short id and the caption.
const TEXT_MM: u32 = 15;

fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            // XML 1.0 has no way to write control characters.
            control if control.is_control() => escaped.push(' '),
            other => escaped.push(other),
        }
    }
    escaped
}

struct Modules {
    /// Modules on a side, without the quiet zone.
    width: u32,
    colours: Vec<Color>,
}

impl Modules {
    fn of(payload: &str) -> Result<Self, DrawError> {
        if !payload.bytes().all(is_alphanumeric) {
            return Err(DrawError::NotAlphanumeric {
                payload: payload.to_owned(),
            });
        }
        let length = payload.len();
        let smallest = (1..=40)
            .map(Version::Normal)
            .find_map(|version| encode(payload, version));
        let code = smallest
            .filter(|_| length > 0)
            .ok_or(DrawError::Length { length })?;
        let colours = code.to_colors();
        Ok(Self {
            width: colours.len().isqrt() as u32,
            colours,
        })
    }

    fn is_dark(&self, x: u32, y: u32) -> bool {
        let inside = x < self.width && y < self.width;
        inside && self.colours.get((y * self.width + x) as usize) == Some(&Color::Dark)
    }

    /// The dark modules as an SVG path, one rectangle for each run in a row.
    fn path(&self) -> String {
        let mut path = String::new();
        for y in 0..self.width {
            let mut x = 0;
            while x < self.width {
                let run = (x..self.width).take_while(|&x| self.is_dark(x, y)).count() as u32;
                if run > 0 {
                    // Writing to a String cannot fail.
                    let _ = write!(path, "M{x} {y}h{run}v1h-{run}z");
                }
                x += run.max(1);
            }
        }
        path
    }
}

fn is_alphanumeric(byte: u8) -> bool {
    byte.is_ascii_digit() || byte.is_ascii_uppercase() || b" $%*+-./:".contains(&byte)
}

/// The code for `payload` in `version`; none if it does not fit.
fn encode(payload: &str, version: Version) -> Option<QrCode> {
    let mut bits = Bits::new(version);
    bits.push_alphanumeric_data(payload.as_bytes()).ok()?;
    bits.push_terminator(EcLevel::H).ok()?;
    QrCode::with_bits(bits, EcLevel::H).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tag::payload::{Host, TagId, payload};
    use crate::tag::short_id::ShortIds;
    use uuid::Uuid;

    fn tag() -> TagId {
        TagId::new(Uuid::from_u128(0x0190_f3a1_7c2e_7b4d_9a5f_3e6d_1c8b_2a47))
    }

    fn text(host: &str) -> String {
        payload(&Host::new(host).unwrap(), tag())
    }

    #[test]
    fn a_usual_host_gives_version_5_which_is_37_modules() {
        assert_eq!(
            Modules::of(&text("kestrel-ness.example")).unwrap().width,
            37
        );
    }

    #[test]
    fn the_longest_host_still_gives_version_6() {
        assert_eq!(
            Modules::of(&text(&"a".repeat(Host::MAX_LENGTH)))
                .unwrap()
                .width,
            41
        );
    }

    #[test]
    fn capacity_at_level_h_is_that_of_the_standard() {
        // ISO/IEC 18004, data capacity table, level H, alphanumeric: version 5 holds 64
        // characters, version 6 holds 84, version 40 holds 1852.
        for (length, width) in [(64, 37), (65, 41), (84, 41), (85, 45), (1852, 177)] {
            assert_eq!(
                Modules::of(&"A".repeat(length)).unwrap().width,
                width,
                "{length}"
            );
        }
        let too_long = Modules::of(&"A".repeat(1853));
        assert!(matches!(too_long, Err(DrawError::Length { length: 1853 })));
    }

    #[test]
    fn a_png_has_the_quiet_zone_and_the_module_size_asked_for() {
        let bytes = png(&text("kestrel-ness.example"), 3).unwrap();
        let picture = image::load_from_memory(&bytes).unwrap().into_luma8();
        assert_eq!(picture.dimensions(), (45 * 3, 45 * 3));
        let quiet = 4 * 3;
        assert!((0..135).all(|i| picture.get_pixel(i, quiet - 1).0 == [255]));
        assert_eq!(picture.get_pixel(quiet, quiet).0, [0]);
    }

    #[test]
    fn what_cannot_be_drawn_is_refused_in_words() {
        assert!(matches!(
            png("lower case", 4),
            Err(DrawError::NotAlphanumeric { .. })
        ));
        assert!(matches!(png("", 4), Err(DrawError::Length { length: 0 })));
        assert!(matches!(
            png("A", 0),
            Err(DrawError::ModuleSize { module_px: 0 })
        ));
        assert!(matches!(
            png("A", 65),
            Err(DrawError::ModuleSize { module_px: 65 })
        ));
    }

    #[test]
    fn a_label_has_the_code_twice_and_readable_text_that_is_safe_in_xml() {
        let ids = ShortIds::new([tag()]).unwrap();
        let short_id = ids.printed(tag()).unwrap();
        let label = svg(
            &text("kestrel-ness.example"),
            short_id,
            "P-101 <A> & \u{7}B",
        )
        .unwrap();
        assert_eq!(label.matches("<path ").count(), 2);
        assert!(label.contains(&format!(">{short_id}</text>")));
        assert!(label.contains(">P-101 &lt;A&gt; &amp;  B</text>"));
        assert!(label.contains(r#"width="90mm" height="60mm""#));
    }
}
