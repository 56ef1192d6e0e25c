//! From the bytes a camera gives to pixels.
//!
//! The layouts are those of the Linux kernel's media documentation (`V4L2_PIX_FMT_YUYV`, `_NV12`, `_GREY`, `_MJPEG`).

use crate::say;
use image::{GrayImage, RgbImage, imageops};
use thiserror::Error;

use crate::tag::Luma;
use crate::tag::luma::LumaError;
use crate::tag::read::{ReadError, still};

/// How a camera lays out its pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layout {
    /// One byte of brightness a pixel.
    Grey,
    /// Two pixels in four bytes, Y Cb Y Cr: the colour is shared by the two.
    Yuyv,
    /// A plane of Y, then one of Cb Cr pairs, each for two by two pixels.
    Nv12,
    /// A JPEG a frame. It may leave out the Huffman tables.
    Mjpeg,
}

/// The frames of a camera.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Format {
    /// How the pixels are laid out.
    pub layout: Layout,
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// Bytes from the start of a row to that of the next. Means nothing for JPEG.
    pub stride: u32,
}

/// Why there are no pixels in what a camera gave.
#[derive(Debug, Error)]
pub enum PixelError {
    /// Fewer bytes than the frame needs.
    #[error("{}", say!(
        "the camera gave {bytes} bytes where a frame of {width} by {height} pixels needs {needed}: unplug it and plug it in again, or open a picture file instead",
        bytes,
        width,
        height,
        needed
    ))]
    TooShort {
        /// Pixels in a row.
        width: u32,
        /// Rows.
        height: u32,
        /// Bytes there are.
        bytes: usize,
        /// Bytes there should be.
        needed: usize,
    },
    /// The camera's driver says that the frame is damaged.
    #[error("{}", say!(
        "the camera gave a damaged frame: unplug it and plug it in again, or open a picture file instead"
    ))]
    Damaged,
    /// A JPEG that can't be decoded.
    #[error("{}", say!(
        "the camera gave a frame that can't be decoded: unplug it and plug it in again, or open a picture file instead"
    ))]
    Jpeg(#[source] ReadError),
    /// A frame without pixels.
    #[error(transparent)]
    Size(#[from] LumaError),
}

impl Format {
    /// The brightness and, where the layout has them, the colours of the frame in `bytes`.
    ///
    /// The brightness is the camera's own Y, nominally 16 to 235: reading codes compares neighbours only.
    ///
    /// # Errors
    /// Where the bytes are too few, or no JPEG where there should be one.
    pub fn picture(&self, bytes: &[u8]) -> Result<(Luma, Option<RgbImage>), PixelError> {
        match self.layout {
            Layout::Grey => Ok((self.luma(&self.luma_rows(bytes)?, 1)?, None)),
            Layout::Yuyv => {
                let rows = self.rows(bytes, 0, self.pairs() * 4, self.height as usize)?;
                let colours = self.colours(|x, y| {
                    let pair = &rows[y][x / 2 * 4..];
                    [pair[x % 2 * 2], pair[1], pair[3]]
                });
                Ok((self.luma(&rows, 2)?, Some(colours)))
            }
            Layout::Nv12 => {
                let luma = self.luma_rows(bytes)?;
                let start = self.stride as usize * luma.len();
                let chroma = self.rows(bytes, start, self.pairs() * 2, luma.len().div_ceil(2))?;
                let colours = self.colours(|x, y| {
                    let pair = &chroma[y / 2][x / 2 * 2..];
                    [luma[y][x], pair[0], pair[1]]
                });
                Ok((self.luma(&luma, 1)?, Some(colours)))
            }
            Layout::Mjpeg => jpeg(bytes),
        }
    }

    /// Columns that share a colour.
    fn pairs(&self) -> usize {
        self.width.div_ceil(2) as usize
    }

    fn luma_rows<'a>(&self, bytes: &'a [u8]) -> Result<Vec<&'a [u8]>, PixelError> {
        self.rows(bytes, 0, self.width as usize, self.height as usize)
    }

    /// `count` rows of `length` bytes from `start` on, without their padding. The last may have none.
    fn rows<'a>(
        &self,
        bytes: &'a [u8],
        start: usize,
        length: usize,
        count: usize,
    ) -> Result<Vec<&'a [u8]>, PixelError> {
        let stride = (self.stride as usize).max(length);
        let needed = start + stride * count.saturating_sub(1) + length;
        if bytes.len() < needed {
            return Err(PixelError::TooShort {
                width: self.width,
                height: self.height,
                bytes: bytes.len(),
                needed,
            });
        }
        let row = |i| &bytes[start + stride * i..][..length];
        Ok((0..count).map(row).collect())
    }

    /// Every `step`th byte of the rows.
    fn luma(&self, rows: &[&[u8]], step: usize) -> Result<Luma, LumaError> {
        let width = self.width as usize;
        let mut data = Vec::with_capacity(width * rows.len());
        for row in rows {
            data.extend(row.iter().step_by(step).take(width));
        }
        Luma::new(self.width, self.height, data)
    }

    fn colours(&self, at: impl Fn(usize, usize) -> [u8; 3]) -> RgbImage {
        RgbImage::from_fn(self.width, self.height, |x, y| {
            image::Rgb(rgb(at(x as usize, y as usize)))
        })
    }
}

/// Y, Cb, Cr to red, green, blue: the inverse of Recommendation ITU-R BT.601-7, clause 2.5, for 8 bits with black at 16
/// and white at 235, in 256ths. It is what the kernel's documentation gives as the default for these layouts.
/// A grey picture turned clockwise by so many quarter turns, so that up in it is up on the screen.
///
/// # Errors
/// `Damaged` where the bytes are not one a pixel.
pub fn upright(width: u32, height: u32, pixels: Vec<u8>, turns: u32) -> Result<Luma, PixelError> {
    let picture = GrayImage::from_raw(width, height, pixels).ok_or(PixelError::Damaged)?;
    let picture = match turns % 4 {
        1 => imageops::rotate90(&picture),
        2 => imageops::rotate180(&picture),
        3 => imageops::rotate270(&picture),
        _ => picture,
    };
    let (width, height) = picture.dimensions();
    Ok(Luma::new(width, height, picture.into_raw())?)
}

fn rgb([y, cb, cr]: [u8; 3]) -> [u8; 3] {
    let (y, cb, cr) = (
        298 * (i32::from(y) - 16) + 128,
        i32::from(cb) - 128,
        i32::from(cr) - 128,
    );
    [y + 409 * cr, y - 100 * cb - 208 * cr, y + 516 * cb]
        .map(|value| (value >> 8).clamp(0, 255) as u8)
}

fn jpeg(bytes: &[u8]) -> Result<(Luma, Option<RgbImage>), PixelError> {
    let picture = match has_huffman_tables(bytes) {
        true => still::decode(bytes),
        false => still::decode(&with_usual_tables(bytes)),
    }
    .map_err(PixelError::Jpeg)?;
    let luma = Luma::new(
        picture.width(),
        picture.height(),
        picture.to_luma8().into_raw(),
    )?;
    Ok((luma, Some(picture.into_rgb8())))
}

/// Whether there is a table segment (marker FF C4, ISO/IEC 10918-1) before the first scan (FF DA).
fn has_huffman_tables(bytes: &[u8]) -> bool {
    let first = bytes
        .windows(2)
        .find(|pair| matches!(pair, [0xFF, 0xC4 | 0xDA]));
    first == Some(&[0xFF, 0xC4])
}

/// A camera may leave out the tables and mean those of ISO/IEC 10918-1, K.3.3 (USB Video Class, MJPEG payload). The
/// decoder fills them in where an application segment says that the JPEG is a frame of a film.
fn with_usual_tables(bytes: &[u8]) -> Vec<u8> {
    const START_OF_IMAGE: usize = 2;
    const OF_A_FILM: [u8; 18] = *b"\xFF\xE0\0\x10AVI1\0\0\0\0\0\0\0\0\0\0";
    let (start, rest) = bytes.split_at(START_OF_IMAGE.min(bytes.len()));
    [start, &OF_A_FILM, rest].concat()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Recommendation ITU-R BT.601-7, clauses 2.5.1 to 2.5.4, forward: E'Y = 0.299 R + 0.587 G + 0.114 B, quantised to
    /// 219 steps above 16; the differences over 1.772 and 1.402, to 224 steps about 128.
    fn bt_601([red, green, blue]: [u8; 3]) -> [u8; 3] {
        let [red, green, blue] = [red, green, blue].map(|value| f64::from(value) / 255.0);
        let luma = 0.299 * red + 0.587 * green + 0.114 * blue;
        [
            219.0 * luma + 16.0,
            224.0 * (blue - luma) / 1.772 + 128.0,
            224.0 * (red - luma) / 1.402 + 128.0,
        ]
        .map(|value| value.round() as u8)
    }

    fn near(one: [u8; 3], other: [u8; 3], apart: u8) -> bool {
        one.iter().zip(other).all(|(a, b)| a.abs_diff(b) <= apart)
    }

    proptest! {
        #[test]
        fn a_colour_comes_back_from_bt_601_within_its_rounding(colour: [u8; 3]) {
            // Half a step of 8-bit Cb is 1.0 of blue; half a step of Y adds 0.6.
            prop_assert!(near(rgb(bt_601(colour)), colour, 2), "{:?}", rgb(bt_601(colour)));
        }

        #[test]
        fn no_bytes_at_all_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200), width in 0..9_u32, height in 0..9_u32, stride in 0..20_u32) {
            for layout in [Layout::Grey, Layout::Yuyv, Layout::Nv12, Layout::Mjpeg] {
                if let Ok((luma, _)) = (Format { layout, width, height, stride }).picture(&bytes) {
                    prop_assert_eq!((luma.width(), luma.height()), (width, height));
                }
            }
        }
    }

    #[test]
    fn the_full_colour_bars_have_their_published_values() {
        // 100/0/100/0 bars in 8-bit BT.601 as tabulated in K. Jack, Video Demystified; from memory, and each follows
        // from the equations above.
        for (colour, coded) in [
            ([255, 255, 255], [235, 128, 128]),
            ([255, 255, 0], [210, 16, 146]),
            ([0, 255, 255], [170, 166, 16]),
            ([0, 255, 0], [145, 54, 34]),
            ([255, 0, 255], [106, 202, 222]),
            ([255, 0, 0], [81, 90, 240]),
            ([0, 0, 255], [41, 240, 110]),
            ([0, 0, 0], [16, 128, 128]),
        ] {
            assert_eq!(bt_601(colour), coded, "{colour:?}");
            assert!(near(rgb(coded), colour, 2), "{colour:?} {:?}", rgb(coded));
        }
    }

    #[test]
    fn packed_pixels_are_taken_in_the_documented_order_and_the_padding_left_out() {
        // Kernel documentation, V4L2_PIX_FMT_YUYV: Y'00 Cb00 Y'01 Cr00 Y'02 Cb01 Y'03 Cr01.
        let [[y0, cb0, cr0], [y2, cb1, cr1]] = [bt_601([255, 0, 0]), bt_601([0, 0, 255])];
        let row = [y0, cb0, y0, cr0, y2, cb1, 235, cr1];
        let padded = [&row[..], &[9, 9], &row[..]].concat();
        let format = Format {
            layout: Layout::Yuyv,
            width: 4,
            height: 2,
            stride: 10,
        };
        let (luma, colours) = format.picture(&padded).unwrap();
        let colours = colours.unwrap();
        for y in 0..2 {
            assert_eq!(luma.row(y), [y0, y0, y2, 235]);
            assert!(near(colours.get_pixel(1, y).0, [255, 0, 0], 2));
            assert!(near(colours.get_pixel(2, y).0, [0, 0, 255], 2));
        }
    }

    #[test]
    fn planes_are_taken_in_the_documented_order_and_the_padding_left_out() {
        // Kernel documentation, V4L2_PIX_FMT_NV12: the CbCr plane follows the Y plane, with as much padding.
        let [[y0, cb0, cr0], [y2, cb1, cr1]] = [bt_601([255, 0, 0]), bt_601([0, 255, 0])];
        let luma_row = [y0, y0, y2, 9, 9];
        let bytes = [
            &luma_row[..],
            &luma_row,
            &[y2, y0, y0, 9, 9],
            &[cb0, cr0, cb1, cr1, 9],
            &[cb1, cr1, cb0, cr0],
        ]
        .concat();
        let format = Format {
            layout: Layout::Nv12,
            width: 3,
            height: 3,
            stride: 5,
        };
        let (luma, colours) = format.picture(&bytes).unwrap();
        let colours = colours.unwrap();
        assert_eq!(luma.row(1), [y0, y0, y2]);
        assert_eq!(luma.row(2), [y2, y0, y0]);
        assert!(near(colours.get_pixel(1, 1).0, [255, 0, 0], 2));
        assert!(near(colours.get_pixel(2, 0).0, [0, 255, 0], 2));
        assert!(near(colours.get_pixel(2, 2).0, [255, 0, 0], 2));
    }

    #[test]
    fn grey_pixels_are_the_brightness() {
        let format = Format {
            layout: Layout::Grey,
            width: 2,
            height: 2,
            stride: 3,
        };
        let (luma, colours) = format.picture(&[1, 2, 9, 3, 4]).unwrap();
        assert_eq!(luma.data(), [1, 2, 3, 4]);
        assert!(colours.is_none());
    }

    #[test]
    fn a_picture_is_turned_clockwise() {
        // 1 2 3
        // 4 5 6
        let turned = |turns| {
            let luma = upright(3, 2, vec![1, 2, 3, 4, 5, 6], turns).unwrap();
            (luma.width(), luma.data().to_vec())
        };
        assert_eq!(turned(0), (3, vec![1, 2, 3, 4, 5, 6]));
        assert_eq!(turned(1), (2, vec![4, 1, 5, 2, 6, 3]));
        assert_eq!(turned(2), (3, vec![6, 5, 4, 3, 2, 1]));
        assert_eq!(turned(3), (2, vec![3, 6, 2, 5, 1, 4]));
        assert_eq!(turned(4), turned(0));
        assert!(matches!(
            upright(3, 2, vec![1; 5], 1),
            Err(PixelError::Damaged)
        ));
    }

    #[test]
    fn a_frame_cut_short_is_refused_with_the_numbers() {
        let format = Format {
            layout: Layout::Nv12,
            width: 4,
            height: 4,
            stride: 4,
        };
        let words = format.picture(&[0; 23]).unwrap_err().to_string();
        assert!(
            words.contains("23 bytes") && words.contains("needs 24"),
            "{words}"
        );
    }

    /// `jpeg` without its segments of the kind `marker`.
    fn without(jpeg: &[u8], marker: u8) -> Vec<u8> {
        let mut kept = jpeg[..2].to_vec();
        let mut rest = &jpeg[2..];
        while let [0xFF, kind, high, low, ..] = *rest {
            let length = 2 + usize::from(u16::from_be_bytes([high, low]));
            if kind == 0xDA {
                break;
            }
            if kind != marker {
                kept.extend(&rest[..length]);
            }
            rest = &rest[length..];
        }
        kept.extend(rest);
        kept
    }

    #[test]
    fn a_jpeg_frame_without_its_huffman_tables_is_the_same_picture() {
        let drawn = RgbImage::from_fn(32, 24, |x, y| image::Rgb([x as u8 * 8, y as u8 * 10, 90]));
        let mut whole = Vec::new();
        // This encoder writes the tables of ISO/IEC 10918-1, K.3.3.
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut whole, 90)
            .encode_image(&drawn)
            .unwrap();
        let bare = without(&whole, 0xC4);
        assert!(bare.len() + 400 < whole.len());
        assert!(still::decode(&bare).is_err());
        let format = Format {
            layout: Layout::Mjpeg,
            width: 32,
            height: 24,
            stride: 0,
        };
        let (luma, colours) = format.picture(&bare).unwrap();
        let (same_luma, same_colours) = format.picture(&whole).unwrap();
        assert_eq!(luma, same_luma);
        assert_eq!(colours, same_colours);
        assert!(near(
            colours.unwrap().get_pixel(16, 12).0,
            [128, 120, 90],
            8
        ));
        assert!(format.picture(b"no picture").is_err());
    }
}
