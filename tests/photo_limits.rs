//! Oversized pictures are refused at once and without making room for them. One test in this program, so that
//! nothing else moves the memory it watches.

use std::time::{Duration, Instant};

use lantern_ring::photo::{MOST_BYTES, PhotoError, take_in};

const SIDE: u32 = 10_000;

fn png_chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [kind, data].concat();
    let crc = body.iter().fold(!0u32, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| {
            if crc & 1 == 1 {
                crc >> 1 ^ 0xEDB8_8320
            } else {
                crc >> 1
            }
        })
    });
    [
        &(data.len() as u32).to_be_bytes(),
        body.as_slice(),
        &(!crc).to_be_bytes(),
    ]
    .concat()
}

/// A PNG header (PNG specification, section 11.2.1: width, height, 8 bits, true colour) and the data behind it.
fn png(width: u32, height: u32, depth: u8, data: &[u8]) -> Vec<u8> {
    let header = [
        &width.to_be_bytes()[..],
        &height.to_be_bytes(),
        &[depth, 2, 0, 0, 0],
    ]
    .concat();
    [
        b"\x89PNG\r\n\x1a\n".to_vec(),
        png_chunk(b"IHDR", &header),
        png_chunk(b"IDAT", data),
        png_chunk(b"IEND", &[]),
    ]
    .concat()
}

/// A JPEG whose frame header (ITU-T T.81, B.2.2) claims that size, and no data.
fn jpeg(width: u16, height: u16) -> Vec<u8> {
    let mut bytes = b"\xFF\xD8\xFF\xC0\x00\x11\x08".to_vec();
    bytes.extend(height.to_be_bytes());
    bytes.extend(width.to_be_bytes());
    bytes.extend(b"\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00");
    bytes.extend(b"\xFF\xDA\x00\x0C\x03\x01\x00\x02\x00\x03\x00\x00\x3F\x00\x00\xFF\xD9");
    bytes
}

/// A BMP header (file header and BITMAPINFOHEADER, 24 bits) and no data.
fn bmp(width: u32, height: u32) -> Vec<u8> {
    let mut bytes = b"BM\0\0\0\0\0\0\0\0\x36\0\0\0\x28\0\0\0".to_vec();
    bytes.extend(width.to_le_bytes());
    bytes.extend(height.to_le_bytes());
    bytes.extend(b"\x01\0\x18\0");
    bytes.extend([0; 24]);
    bytes
}

/// The most address space this program ever asked for, touched or not, kilobytes.
#[cfg(target_os = "linux")]
fn peak_memory_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmPeak:"))
        .unwrap();
    line.trim().trim_end_matches(" kB").parse().unwrap()
}

#[cfg(not(target_os = "linux"))]
fn peak_memory_kb() -> u64 {
    0
}

#[test]
fn a_100_megapixel_picture_is_refused_at_once_and_in_little_memory() {
    let claims = [
        png(SIDE, SIDE, 8, &[]),
        jpeg(10_000, 10_000),
        bmp(SIDE, SIDE),
    ];
    let too_many = Err(PhotoError::TooManyPixels {
        width: SIDE,
        height: SIDE,
    });
    let before = peak_memory_kb();
    for claim in &claims {
        let start = Instant::now();
        assert_eq!(take_in(claim), too_many);
        assert!(
            start.elapsed() < Duration::from_millis(50),
            "took {:?}",
            start.elapsed()
        );
    }
    let grown = peak_memory_kb() - before;
    assert!(grown < 1_000, "memory grew by {grown} kB");

    // The gauge itself moves: a size that is allowed has 150 MB made for it. Some of that fits under what a new
    // thread's allocator reserved and gave back.
    assert!(take_in(&png(SIDE, SIDE / 2, 8, &[])).is_err());
    let room = peak_memory_kb() - before;
    assert!(
        cfg!(not(target_os = "linux")) || room > 50_000,
        "only {room} kB"
    );

    assert_eq!(
        take_in(&claims[0]).unwrap_err().to_string(),
        "The picture is 10000 × 10000 pixels (100 megapixels), and at most 50 megapixels are taken in. \
         Set the camera to a smaller picture size and take it again."
    );
    just_over_a_limit_is_refused_and_just_under_is_not();
}

fn just_over_a_limit_is_refused_and_just_under_is_not() {
    let refused = |bytes: &[u8]| take_in(bytes).unwrap_err();
    assert_eq!(
        refused(&png(10_000, 5_001, 8, &[])),
        PhotoError::TooManyPixels {
            width: 10_000,
            height: 5_001
        }
    );
    // Within the limits, these fail only on their missing data.
    for within in [png(10_000, 5_000, 8, &[]), png(10_000, 4_000, 16, &[])] {
        assert!(matches!(refused(&within), PhotoError::Unreadable { .. }));
    }
    // 16 bits a channel: 300 MB to decode.
    let deep = PhotoError::TooMuchMemory {
        width: 10_000,
        height: 5_000,
    };
    assert_eq!(refused(&png(10_000, 5_000, 16, &[])), deep);

    let mut padded = png(1, 1, 8, &[]);
    padded.resize(MOST_BYTES + 1, 0);
    let error = refused(&padded);
    assert_eq!(
        error,
        PhotoError::TooManyBytes {
            bytes: MOST_BYTES + 1
        }
    );
    assert!(
        error
            .to_string()
            .starts_with("The picture file is 40.1 MB, and at most 40 MB are taken in.")
    );
}
