//! Pictures made by an independent library (see `tests/data/photo/make.py`) are taken in.

use image::{ImageFormat, Rgb, RgbImage};
use lantern_ring::photo::{self, PhotoError, STORED_LONG_SIDE, take_in};
use lantern_ring::record::Hash;

const MARKER: &[u8] = b"KESTREL-NESS-SECRET";

fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(format!(
        "{}/tests/data/photo/{name}",
        env!("CARGO_MANIFEST_DIR")
    ))
    .unwrap()
}

fn contains(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

fn decoded(photo: &photo::Photo) -> RgbImage {
    image::load_from_memory_with_format(&photo.jpeg, ImageFormat::Jpeg)
        .unwrap()
        .into_rgb8()
}

/// How far the middle of each quarter is from the scene's red, green, blue and white, at worst.
fn furthest_from_scene(picture: &RgbImage) -> u8 {
    let quarters = [
        (12, 8, [255, 0, 0]),
        (36, 8, [0, 255, 0]),
        (12, 24, [0, 0, 255]),
        (36, 24, [255, 255, 255]),
    ];
    let off = |&(x, y, colour): &(u32, u32, [u8; 3])| {
        let seen = picture.get_pixel(x, y).0;
        seen.into_iter()
            .zip(colour)
            .map(|(a, b)| a.abs_diff(b))
            .max()
            .unwrap()
    };
    quarters.iter().map(off).max().unwrap()
}

fn png(picture: &RgbImage) -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    picture.write_to(&mut bytes, ImageFormat::Png).unwrap();
    bytes.into_inner()
}

/// Deterministic noise, the worst case for a JPEG's size.
fn noise(width: u32, height: u32) -> RgbImage {
    let mut state = 1u32;
    RgbImage::from_fn(width, height, |_, _| {
        Rgb([(); 3].map(|()| {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            (state >> 24) as u8
        }))
    })
}

#[test]
fn every_kind_of_file_shows_the_same_scene() {
    for name in [
        "orientation-1.jpg",
        "progressive.jpg",
        "palette.png",
        "gps-orientation-6.png",
        "gps-orientation-8.webp",
        "lossless.webp",
        "plain.bmp",
    ] {
        let photo = take_in(&fixture(name)).unwrap();
        assert_eq!((photo.width, photo.height), (48, 32), "{name}");
        let off = furthest_from_scene(&decoded(&photo));
        assert!(off <= 16, "{name}: a quarter is off by {off}");
    }
}

/// The eight orientations of CIPA DC-008 (EXIF), tag 0x0112; the fixtures' maker checks its own turning with
/// Pillow's `exif_transpose`.
#[test]
fn a_picture_is_upright_however_the_camera_was_held() {
    for orientation in 1..=8 {
        let photo = take_in(&fixture(&format!("orientation-{orientation}.jpg"))).unwrap();
        assert_eq!(
            (photo.width, photo.height),
            (48, 32),
            "orientation {orientation}"
        );
        let off = furthest_from_scene(&decoded(&photo));
        assert!(
            off <= 16,
            "orientation {orientation}: a quarter is off by {off}"
        );
    }
}

#[test]
fn place_person_and_device_are_gone_and_the_time_is_kept() {
    for name in ["gps.jpg", "gps-orientation-6.png", "gps-orientation-8.webp"] {
        let original = fixture(name);
        assert!(
            contains(&original, MARKER),
            "{name} must hold what is to be taken away"
        );

        let photo = take_in(&original).unwrap();
        for trace in [MARKER, b"Exif", b"GPS", b"xpacket", b"ASCII", b"http"] {
            assert!(
                !contains(&photo.jpeg, trace),
                "{name}: {}",
                String::from_utf8_lossy(trace)
            );
        }
        let reread =
            exif::Reader::new().read_from_container(&mut std::io::Cursor::new(&photo.jpeg));
        assert!(matches!(reread, Err(exif::Error::NotFound(_))), "{name}");
        assert_eq!(
            photo::verify_stored(&photo.jpeg, &photo.sha256),
            Ok(()),
            "{name}"
        );
        assert_eq!(
            photo.taken_at.unwrap().to_string(),
            "2031-05-14T06:42:09+02:00",
            "{name}"
        );
    }
}

#[test]
fn the_fixture_with_a_place_really_has_one() {
    let original = fixture("gps.jpg");
    let fields = exif::Reader::new()
        .continue_on_error(true)
        .read_from_container(&mut std::io::Cursor::new(&original))
        .or_else(|error| error.distill_partial_result(drop))
        .unwrap();
    let latitude = fields
        .get_field(exif::Tag::GPSLatitude, exif::In::PRIMARY)
        .unwrap();
    assert_eq!(
        latitude.display_value().to_string(),
        "12 deg 34 min 56.78 sec"
    );
}

#[test]
fn a_time_without_offset_is_kept_as_it_is_and_an_unset_clock_gives_none() {
    let taken = |name| {
        take_in(&fixture(name))
            .unwrap()
            .taken_at
            .map(|taken| taken.to_string())
    };
    assert_eq!(
        taken("no-offset.jpg").as_deref(),
        Some("2031-05-14T06:42:09")
    );
    assert_eq!(taken("clock-never-set.jpg"), None);
    assert_eq!(taken("blank-time.jpg"), None);
    assert_eq!(taken("plain.bmp"), None);
}

#[test]
fn the_same_file_gives_the_same_bytes_and_the_name_is_their_hash() {
    let original = png(&noise(1800, 1000));
    let first = take_in(&original).unwrap();
    assert_eq!(take_in(&original).unwrap(), first);
    assert_eq!(first.sha256, Hash::of(&first.jpeg));
}

#[test]
fn a_large_picture_is_scaled_to_the_long_side_and_keeps_its_shape() {
    for (from, to) in [
        ((3200, 2400), (1600, 1200)),
        ((1000, 8000), (200, 1600)),
        ((1601, 3), (1600, 3)),
    ] {
        let photo = take_in(&png(&RgbImage::from_pixel(
            from.0,
            from.1,
            Rgb([90, 140, 200]),
        )))
        .unwrap();
        assert_eq!((photo.width, photo.height), to);
        let middle = decoded(&photo).get_pixel(to.0 / 2, to.1 / 2).0;
        assert!(
            middle
                .into_iter()
                .zip([90u8, 140, 200])
                .all(|(a, b)| a.abs_diff(b) <= 2),
            "{middle:?}"
        );
    }
}

#[test]
fn a_small_picture_is_not_enlarged() {
    let photo = take_in(&png(&RgbImage::from_pixel(1, 1, Rgb([0, 0, 0])))).unwrap();
    assert_eq!((photo.width, photo.height), (1, 1));
}

#[test]
fn fine_stripes_turn_grey_and_not_into_a_pattern() {
    for width in [3_200, 4_790, 4_801, 6_400, 7_001, 12_007] {
        let stripes = RgbImage::from_fn(width, 32, |x, _| Rgb([(x % 2) as u8 * 255; 3]));
        let picture = decoded(&take_in(&png(&stripes)).unwrap());
        assert_eq!(picture.width(), STORED_LONG_SIDE);
        // At the very edge the filter has pixels on one side only.
        let inner = 8..STORED_LONG_SIDE - 8;
        let off = inner
            .map(|x| picture.get_pixel(x, 0).0[0].abs_diff(127))
            .max();
        assert!(off <= Some(8), "{width} wide: off by {off:?}");
    }
}

#[test]
fn what_was_see_through_becomes_white() {
    let picture = decoded(&take_in(&fixture("see-through.png")).unwrap());
    let seen = picture.get_pixel(12, 8).0;
    assert!(seen.into_iter().all(|channel| channel >= 250), "{seen:?}");
}

#[test]
fn greys_and_print_colours_are_read() {
    for (name, size) in [
        ("grey.jpg", (48, 32)),
        ("cmyk.jpg", (48, 32)),
        ("grey-16-bit.png", (4, 4)),
    ] {
        let photo = take_in(&fixture(name)).unwrap();
        assert_eq!((photo.width, photo.height), size, "{name}");
    }
    let off = furthest_from_scene(&decoded(&take_in(&fixture("cmyk.jpg")).unwrap()));
    assert!(off <= 24, "print colours: a quarter is off by {off}");
}

#[test]
fn a_file_that_is_no_picture_is_refused_by_what_it_is() {
    let kind = |kind: &str| Err(PhotoError::KindNotRead { kind: kind.into() });
    assert_eq!(take_in(b""), Err(PhotoError::Empty));
    assert_eq!(
        take_in(b"pump,seal\nP-101,packed\n"),
        Err(PhotoError::NotAPicture)
    );
    assert_eq!(take_in(&fixture("other.gif")), kind("GIF"));
    assert_eq!(take_in(&fixture("other.tif")), kind("TIFF"));
    assert_eq!(take_in(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"), kind("HEIC"));
}

#[test]
fn a_picture_cut_short_anywhere_is_refused() {
    // The last 12 bytes of a PNG only say that it has ended.
    for (name, tail) in [
        ("gps.jpg", 0),
        ("progressive.jpg", 0),
        ("lossless.webp", 0),
        ("gps-orientation-8.webp", 0),
        ("plain.bmp", 0),
        ("palette.png", 12),
    ] {
        let whole = fixture(name);
        for length in 0..whole.len() - tail {
            let result = take_in(&whole[..length]);
            assert!(
                result.is_err(),
                "{name} cut to {length} of {} bytes is taken in",
                whole.len()
            );
        }
        let half = take_in(&whole[..whole.len() * 3 / 4]);
        assert_eq!(half, Err(PhotoError::CutShort), "{name}");
    }
}

#[test]
fn a_stored_picture_taken_in_again_stays_readable() {
    let once = take_in(&fixture("gps.jpg")).unwrap();
    let twice = take_in(&once.jpeg).unwrap();
    assert_eq!((twice.width, twice.height), (once.width, once.height));
    assert_eq!(twice.taken_at, None);
}
