//! Pictures as they are kept: checked when they come from another device, made small, marked.

use image::{Rgb, RgbImage};
use lantern_ring::photo::{
    MOST_STORED_BYTES, Photo, PhotoError, STORED_LONG_SIDE, draw_marks, take_in, thumbnail,
    verify_stored,
};
use lantern_ring::record::{Hash, Mark, Point};
use proptest::prelude::*;

fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(format!(
        "{}/tests/data/photo/{name}",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap()
}

fn stored() -> Photo {
    take_in(&fixture("gps.jpg")).unwrap()
}

/// Checks bytes under their own right name, so that only their form can be against them.
fn check(bytes: &[u8]) -> Result<(), PhotoError> {
    verify_stored(bytes, &Hash::of(bytes))
}

fn reason(bytes: &[u8]) -> String {
    match check(bytes) {
        Err(PhotoError::NotAsStored { reason, .. }) => reason,
        other => panic!("{other:?}"),
    }
}

/// The JPEG with one more segment behind its start.
fn with_segment(jpeg: &[u8], marker: u8, payload: &[u8]) -> Vec<u8> {
    let length = (payload.len() as u16 + 2).to_be_bytes();
    [&jpeg[..2], &[0xFF, marker], &length, payload, &jpeg[2..]].concat()
}

#[test]
fn a_picture_stored_here_is_accepted_there() {
    let photo = stored();
    assert_eq!(verify_stored(&photo.jpeg, &photo.sha256), Ok(()));
}

#[test]
fn the_largest_and_busiest_picture_stored_here_is_accepted_there() {
    let mut state = 1u32;
    let noise = RgbImage::from_fn(STORED_LONG_SIDE, STORED_LONG_SIDE, |_, _| {
        Rgb([(); 3].map(|()| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 24) as u8
        }))
    });
    let mut bmp = std::io::Cursor::new(Vec::new());
    noise.write_to(&mut bmp, image::ImageFormat::Bmp).unwrap();
    let photo = take_in(bmp.get_ref()).unwrap();
    assert_eq!(verify_stored(&photo.jpeg, &photo.sha256), Ok(()));
    assert!(
        photo.jpeg.len() < MOST_STORED_BYTES * 9 / 10,
        "{} bytes",
        photo.jpeg.len()
    );
}

#[test]
fn a_changed_picture_is_told_by_its_hash() {
    let photo = stored();
    let mut changed = photo.jpeg.clone();
    *changed.last_mut().unwrap() ^= 1;
    let found = Hash::of(&changed);
    assert_eq!(
        verify_stored(&changed, &photo.sha256),
        Err(PhotoError::HashDiffers {
            expected: photo.sha256,
            found
        })
    );
}

#[test]
fn a_picture_with_metadata_is_refused_wherever_it_sits() {
    let clean = stored().jpeg;
    assert!(reason(&fixture("gps.jpg")).contains("more than the picture"));
    assert!(reason(&fixture("orientation-1.jpg")).contains("segment E1"));
    for marker in (0xE1..=0xEF).chain([0xFE]) {
        let carrying = with_segment(&clean, marker, b"where and who");
        assert!(reason(&carrying).contains(&format!("segment {marker:X}")));
    }
    let thumbnail_in_header =
        with_segment(&clean, 0xE0, b"JFIF\0\x01\x02\0\0\x01\0\x01\x01\x01abc");
    assert!(reason(&thumbnail_in_header).contains("segment E0"));
    let behind = [clean.as_slice(), b"where and who"].concat();
    assert!(reason(&behind).contains("13 bytes follow"));
}

#[test]
fn another_kind_of_file_or_a_cut_one_is_refused_under_its_right_name_too() {
    let clean = stored().jpeg;
    for bytes in [
        b"".as_slice(),
        b"%PDF-1.7",
        &fixture("palette.png"),
        &clean[..clean.len() - 1],
    ] {
        assert_eq!(reason(bytes), "it is not a complete JPEG");
    }
    // A start and an end with nothing between, and two pictures in one.
    assert_eq!(
        reason(b"\xFF\xD8\xFF\xD9"),
        "it is not exactly one plain picture"
    );
    let two = [&clean[..clean.len() - 2], &clean].concat();
    assert_eq!(reason(&two), "it is not exactly one plain picture");
}

#[test]
fn a_picture_drawn_over_and_over_is_refused_before_it_keeps_anybody_busy() {
    let clean = stored().jpeg;
    let scan = clean
        .windows(2)
        .position(|pair| pair == [0xFF, 0xDA])
        .unwrap();
    let end = clean.len() - 2;
    let again = |times| {
        [
            &clean[..end],
            &clean[scan..end].repeat(times),
            &clean[end..],
        ]
        .concat()
    };
    assert_eq!(reason(&again(1)), "it is not exactly one plain picture");
    assert!(matches!(
        take_in(&again(100)),
        Err(PhotoError::Unreadable { .. })
    ));
}

#[test]
fn a_progressive_picture_is_taken_in_but_none_is_stored() {
    let progressive = fixture("progressive.jpg");
    assert!(take_in(&progressive).is_ok());
    assert!(reason(&progressive).contains("segment C2"));
}

#[test]
fn a_picture_larger_than_stored_ones_is_refused() {
    let mut jpeg = Vec::new();
    image::codecs::jpeg::JpegEncoder::new(&mut jpeg)
        .encode_image(&RgbImage::new(STORED_LONG_SIDE + 1, 8))
        .unwrap();
    assert!(reason(&jpeg).contains("1601 × 8 pixels"));
}

#[test]
fn a_thumbnail_fits_its_long_side_and_is_never_enlarged() {
    let jpeg = stored().jpeg;
    assert_eq!(thumbnail(&jpeg, 24).unwrap().dimensions(), (24, 16));
    assert_eq!(thumbnail(&jpeg, 500).unwrap().dimensions(), (48, 32));
    assert_eq!(thumbnail(&jpeg, 0).unwrap().dimensions(), (1, 1));
    assert_eq!(thumbnail(b"no picture", 24), Err(PhotoError::NotAPicture));
}

const ARROW: Mark = Mark::Arrow {
    from: Point { x: 0.1, y: 0.5 },
    to: Point { x: 0.9, y: 0.5 },
};
const CIRCLE: Mark = Mark::Circle {
    centre: Point { x: 0.5, y: 0.5 },
    radius: 0.25,
};

fn note() -> Mark {
    Mark::Note {
        at: Point { x: 0.5, y: 0.5 },
        text: "drip".into(),
    }
}

fn drawn(ground: [u8; 3], width: u32, height: u32, marks: Vec<Mark>) -> RgbImage {
    draw_marks(&RgbImage::from_pixel(width, height, Rgb(ground)), &marks)
}

/// Relative luminance and contrast as WCAG 2.2 defines them.
fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let luminance = |colour: [u8; 3]| {
        let [red, green, blue] = colour.map(|channel| {
            let share = f64::from(channel) / 255.0;
            if share <= 0.04045 {
                share / 12.92
            } else {
                ((share + 0.055) / 1.055).powf(2.4)
            }
        });
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// 3 to 1 is what WCAG 2.2 (1.4.11) asks of graphics that must be seen.
#[test]
fn each_mark_stands_out_from_any_ground() {
    for mark in [ARROW, CIRCLE, note()] {
        for ground in [
            [0; 3],
            [255; 3],
            [128; 3],
            [0xF0, 0xE4, 0x42],
            [0x14; 3],
            [255, 0, 0],
            [0, 90, 30],
        ] {
            let picture = drawn(ground, 400, 300, vec![mark.clone()]);
            let strong = picture
                .pixels()
                .filter(|pixel| contrast(pixel.0, ground) >= 3.0)
                .count();
            assert!(strong > 150, "{mark:?} on {ground:?}: {strong} pixels");
        }
    }
}

#[test]
fn marks_sit_at_the_same_place_at_any_size() {
    for (width, height) in [(160, 120), (400, 300), (1600, 1200), (300, 400)] {
        let ground = [60, 90, 120];
        let picture = drawn(ground, width, height, vec![CIRCLE]);
        let touched = |x: f64, y: f64| {
            picture
                .get_pixel((x * width as f64) as u32, (y * height as f64) as u32)
                .0
                != ground
        };
        let radius = 0.25 * width.min(height) as f64;
        let (across, up) = (radius / width as f64, radius / height as f64);
        for (x, y) in [
            (0.5 - across, 0.5),
            (0.5 + across, 0.5),
            (0.5, 0.5 - up),
            (0.5, 0.5 + up),
        ] {
            assert!(touched(x, y), "{width} × {height} at {x}, {y}");
        }
        assert!(!touched(0.5, 0.5) && !touched(0.05, 0.05));
    }
}

#[test]
fn an_arrow_is_wider_at_its_head_than_at_its_tail() {
    let ground = [60, 90, 120];
    let picture = drawn(ground, 400, 300, vec![ARROW]);
    let height_at = |x: u32| {
        (0..300)
            .filter(|&y| picture.get_pixel(x, y).0 != ground)
            .count()
    };
    assert!(
        height_at(354) > 2 * height_at(50),
        "{} against {}",
        height_at(354),
        height_at(50)
    );
}

#[test]
fn a_mark_that_is_nowhere_is_left_out_and_the_others_are_drawn() {
    let nowhere = Point {
        x: f64::NAN,
        y: 0.5,
    };
    let lost = Mark::Note {
        at: nowhere,
        text: "lost".into(),
    };
    let without = drawn([60, 90, 120], 400, 300, vec![ARROW]);
    assert_eq!(drawn([60, 90, 120], 400, 300, vec![lost, ARROW]), without);
}

#[test]
fn notes_carry_different_numbers() {
    let at = |x| Mark::Note {
        at: Point { x, y: 0.5 },
        text: "drip".into(),
    };
    let dots = drawn([60, 90, 120], 800, 100, vec![at(0.25), at(0.75)]);
    let half = |left| image::imageops::crop_imm(&dots, left, 0, 400, 100).to_image();
    assert_ne!(half(0), half(400));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn no_bytes_make_taking_in_or_checking_panic(
        name in prop::sample::select(vec![
            "gps.jpg", "progressive.jpg", "cmyk.jpg", "gps-orientation-6.png", "grey-16-bit.png",
            "gps-orientation-8.webp", "lossless.webp", "plain.bmp",
        ]),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
    ) {
        let mut bytes = fixture(name);
        for (place, value) in changes {
            *place.get_mut(&mut bytes) = value;
        }
        if let Ok(photo) = take_in(&bytes) {
            prop_assert_eq!(verify_stored(&photo.jpeg, &photo.sha256), Ok(()));
        }
        let _ = check(&bytes);
        let _ = thumbnail(&bytes, 16);
    }

    #[test]
    fn no_noise_behind_a_known_start_makes_taking_in_panic(
        start in prop::sample::select(vec![
            b"".as_slice(), b"\xFF\xD8\xFF", b"\x89PNG\r\n\x1a\n", b"RIFF\x40\0\0\0WEBPVP8X", b"BM",
        ]),
        noise: Vec<u8>,
    ) {
        let bytes = [start, &noise].concat();
        let _ = take_in(&bytes);
        prop_assert!(check(&bytes).is_err());
    }

    #[test]
    fn marks_of_any_kind_can_be_drawn_on_pictures_of_any_shape(
        size in (1u32..60, 1u32..60),
        places in prop::collection::vec((0.0f64..=1.0, 0.0f64..=1.0, f64::MIN_POSITIVE..=1.0), 1..12),
    ) {
        let marks = places.iter().enumerate().map(|(kind, &(x, y, radius))| match kind % 3 {
            0 => Mark::Note { at: Point { x, y }, text: "drip".into() },
            1 => Mark::Circle { centre: Point { x, y }, radius },
            _ => Mark::Arrow { from: Point { x, y }, to: Point { x: y * 0.5, y: radius } },
        });
        let picture = drawn([10, 20, 30], size.0, size.1, marks.collect());
        prop_assert_eq!(picture.dimensions(), size);
    }
}
