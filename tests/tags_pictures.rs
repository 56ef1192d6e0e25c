//! Picture files with tags in them, and files that are no pictures or broken ones.

mod tags_codes;
mod tags_scene;

use image::{DynamicImage, GrayImage, ImageFormat};
use lantern_ring::tag::read::ReadError;
use lantern_ring::tag::read::still::MAX_PIXELS;
use lantern_ring::tag::{Luma, Reading};
use std::io::Cursor;
use tags_codes::{flat_on, read_picture, readings, tag, tag_picture};
use tags_scene::{Dice, Trouble, frame};

fn png(luma: &Luma) -> Vec<u8> {
    encoded(luma, ImageFormat::Png)
}

fn encoded(luma: &Luma, format: ImageFormat) -> Vec<u8> {
    let (width, height) = (luma.width(), luma.height());
    let picture = GrayImage::from_raw(width, height, luma.data().to_vec()).unwrap();
    let mut bytes = Cursor::new(Vec::new());
    DynamicImage::from(picture)
        .write_to(&mut bytes, format)
        .unwrap();
    bytes.into_inner()
}

#[test]
fn a_tag_reads_in_jpeg_webp_and_bmp_too() {
    let frame = tag_picture(1);
    for format in [ImageFormat::Jpeg, ImageFormat::WebP, ImageFormat::Bmp] {
        let codes = read_picture(&encoded(&frame, format)).unwrap();
        assert_eq!(readings(&codes), [Reading::Ours(tag(1))], "{format:?}");
    }
}

#[test]
fn a_tag_on_a_transparent_ground_reads() {
    let drawn = tag_picture(1);
    let clear = image::RgbaImage::from_fn(drawn.width(), drawn.height(), |x, y| {
        let dark = drawn.at(x.into(), y.into()) < 128;
        image::Rgba([0, 0, 0, if dark { 255 } else { 0 }])
    });
    let mut bytes = Cursor::new(Vec::new());
    clear.write_to(&mut bytes, ImageFormat::Png).unwrap();
    let codes = read_picture(&bytes.into_inner()).unwrap();
    assert_eq!(readings(&codes), [Reading::Ours(tag(1))]);
}

#[test]
fn in_a_picture_without_a_code_none_is_found() {
    let wall = frame(
        (640, 480),
        &[],
        Trouble {
            noise: 20.0,
            ..Trouble::NONE
        },
        &mut Dice(10),
    );
    for blank in [
        Luma::from_fn(800, 600, |_, _| 255),
        Luma::from_fn(1, 1, |_, _| 0),
        wall,
    ] {
        let codes = read_picture(&png(&blank)).unwrap();
        assert!(codes.is_empty(), "{codes:?} in {blank:?}");
    }
}

#[test]
fn what_is_no_picture_is_refused() {
    for bytes in [&b""[..], b"x", b"%PDF-1.7 something", &[0; 5000]] {
        assert!(matches!(read_picture(bytes), Err(ReadError::NotAPicture)));
    }
}

#[test]
fn a_picture_cut_short_is_told_as_such_or_shows_what_is_left_of_it() {
    let scene = frame(
        (640, 480),
        &[flat_on(&tag_picture(11), (320.0, 240.0), 300.0)],
        Trouble {
            noise: 8.0,
            ..Trouble::NONE
        },
        &mut Dice(11),
    );
    for format in [
        ImageFormat::Png,
        ImageFormat::Jpeg,
        ImageFormat::Bmp,
        ImageFormat::WebP,
    ] {
        let whole = encoded(&scene, format);
        for percent in [5, 30, 60] {
            let cut = &whole[..whole.len() * percent / 100];
            let case = format!("{format:?} cut at {percent} %");
            // A JPEG's decoder fills what is missing with grey; the tag is not whole in what is left.
            match read_picture(cut) {
                Ok(codes) => assert!(format == ImageFormat::Jpeg && codes.is_empty(), "{case}"),
                Err(error) => assert!(matches!(error, ReadError::Truncated), "{case}: {error}"),
            }
        }
    }
}

#[test]
fn a_picture_that_claims_to_be_huge_is_refused_from_its_header_alone() {
    let mut small = png(&Luma::from_fn(8, 8, |_, _| 255));
    // Width and height of a PNG are the 8 bytes after the first chunk's length and name.
    small[16..24].copy_from_slice(&[0, 0, 0x75, 0x30, 0, 0, 0x75, 0x30]);
    let checksum = crc32(&small[12..29]);
    small[29..33].copy_from_slice(&checksum.to_be_bytes());
    let result = read_picture(&small);
    const { assert!(30_000 * 30_000 > MAX_PIXELS) };
    assert!(
        matches!(
            result,
            Err(ReadError::TooLarge {
                width: 30_000,
                height: 30_000
            })
        ),
        "{result:?}"
    );
}

/// CRC-32 as the PNG specification (ISO/IEC 15948, annex D) gives it.
fn crc32(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            if crc & 1 == 1 {
                0xEDB8_8320 ^ (crc >> 1)
            } else {
                crc >> 1
            }
        })
    })
}

#[test]
fn damaged_pictures_never_bring_the_reader_down() {
    let whole = png(&tag_picture(12));
    let mut dice = Dice(12);
    for _ in 0..60 {
        let mut bytes = whole.clone();
        for _ in 0..3 {
            let place = dice.between(8.0, bytes.len() as f32 - 1.0) as usize;
            bytes[place] = dice.between(0.0, 255.9) as u8;
        }
        match read_picture(&bytes) {
            Ok(codes) if codes.is_empty() => {}
            Ok(codes) => assert_eq!(readings(&codes), [Reading::Ours(tag(12))]),
            Err(error) => assert!(error.to_string().ends_with('.'), "{error}"),
        }
    }
}
