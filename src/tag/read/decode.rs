//! One look at one picture with the decoders of rxing.

use std::borrow::Cow;
use std::collections::HashSet;
use std::panic::{AssertUnwindSafe, catch_unwind};

use rxing::common::{BitArray, HybridBinarizer, LineOrientation};
use rxing::datamatrix::DataMatrixReader;
use rxing::multi::MultipleBarcodeReader;
use rxing::oned::{Code128Reader, OneDReader};
use rxing::qrcode::QRCodeReader;
use rxing::qrcode::cpp_port::QrReader;
use rxing::{
    BarcodeFormat, BinaryBitmap, DecodeHints, Exceptions, Luma8Source, RXingResult, Reader,
};

use super::{Code, Point, Search, Symbology, merge};
use crate::tag::luma::Luma;

type Bitmap<'a> = BinaryBitmap<HybridBinarizer<Luma8Source<'a>>>;

/// Most codes of one kind looked for in one picture: a nameplate has a handful.
const MAX_CODES: usize = 8;

/// Scan lines for Code 128 lie this far apart, as a part of the picture's height or width.
const SCAN_LINES: usize = 96;

/// Scan lines that must agree before a Code 128 counts: its check character alone lets one in a
/// hundred chance patterns through.
const SCAN_LINES_TO_AGREE: usize = 2;

/// The codes in `luma`. A decoder that panics on a picture finds nothing in it.
pub(super) fn decode(luma: &Luma, search: Search) -> Vec<Code> {
    let Ok(mut bitmap) = bitmap(luma) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    merge(&mut found, guarded(|| qr(&mut bitmap)));
    merge(
        &mut found,
        guarded(|| data_matrix(luma, &mut bitmap, search)),
    );
    merge(&mut found, guarded(|| code_128(luma, &bitmap)));
    found
}

fn guarded(reader: impl FnOnce() -> Vec<Code>) -> Vec<Code> {
    catch_unwind(AssertUnwindSafe(reader)).unwrap_or_default()
}

fn bitmap(luma: &Luma) -> Result<Bitmap<'_>, Exceptions> {
    let source = Luma8Source::new_with_slice(luma.data(), luma.width(), luma.height())?;
    Ok(BinaryBitmap::new(HybridBinarizer::new(source)))
}

fn hints(format: BarcodeFormat) -> DecodeHints {
    DecodeHints {
        TryHarder: Some(true),
        PossibleFormats: Some(HashSet::from([format])),
        ..DecodeHints::default()
    }
}

fn code(symbology: Symbology, result: &RXingResult) -> Code {
    let corners = result
        .getPoints()
        .iter()
        .map(|p| Point { x: p.x, y: p.y })
        .collect();
    Code {
        symbology,
        text: result.getText().to_owned(),
        corners,
    }
}

/// The finder-pattern reader gives every QR code; the older one is slower and finds one, but
/// reads some that the first cannot.
fn qr(bitmap: &mut Bitmap) -> Vec<Code> {
    let hints = hints(BarcodeFormat::QR_CODE);
    let mut results = QrReader
        .decode_multiple_with_hints(bitmap, &hints)
        .unwrap_or_default();
    if results.is_empty() {
        results.extend(QRCodeReader.decode_with_hints(bitmap, &hints));
    }
    results
        .iter()
        .take(MAX_CODES)
        .map(|result| code(Symbology::Qr, result))
        .collect()
}

/// The reader gives one code, so each is painted over and the rest looked at again.
fn data_matrix(luma: &Luma, bitmap: &mut Bitmap, search: Search) -> Vec<Code> {
    let mut hints = hints(BarcodeFormat::DATA_MATRIX);
    hints.TryHarder = Some(search == Search::Everywhere);
    let mut next = DataMatrixReader.decode_with_hints(bitmap, &hints);
    let mut found = Vec::new();
    let mut rest = Cow::Borrowed(luma);
    while let Ok(result) = next
        && found.len() < MAX_CODES
    {
        let new = code(Symbology::DataMatrix, &result);
        rest = Cow::Owned(painted_over(&rest, &new.corners));
        next = self::bitmap(&rest)
            .and_then(|mut b| DataMatrixReader.decode_with_hints(&mut b, &hints));
        found.push(new);
    }
    found
}

/// `luma` with the convex shape of `corners` painted white.
fn painted_over(luma: &Luma, corners: &[Point]) -> Luma {
    let inside = |x: u32, y: u32| {
        let next = corners.iter().cycle().skip(1);
        let sides = corners
            .iter()
            .zip(next)
            .map(|(a, b)| (b.x - a.x) * (y as f32 - a.y) - (b.y - a.y) * (x as f32 - a.x));
        let (left, right) = sides.fold((true, true), |(left, right), side| {
            (left && side >= 0.0, right && side <= 0.0)
        });
        left || right
    };
    Luma::from_fn(luma.width(), luma.height(), |x, y| {
        if inside(x, y) {
            255
        } else {
            luma.at(x.into(), y.into())
        }
    })
}

/// Code 128 in either direction along rows and columns.
fn code_128(luma: &Luma, bitmap: &Bitmap) -> Vec<Code> {
    let mut sightings: Vec<(Code, usize)> = Vec::new();
    for orientation in [LineOrientation::Row, LineOrientation::Column] {
        let lines = match orientation {
            LineOrientation::Row => luma.height() as usize,
            LineOrientation::Column => luma.width() as usize,
        };
        for at in (0..lines).step_by((lines / SCAN_LINES).max(1)) {
            let Ok(line) = bitmap.get_black_line(at, orientation) else {
                continue;
            };
            for (text, ends) in codes_on_line(&line) {
                match sightings.iter_mut().find(|(code, _)| code.text == text) {
                    Some((_, count)) => *count += 1,
                    None => {
                        let corners = ends.map(|along| on_line(orientation, at, along)).to_vec();
                        sightings.push((
                            Code {
                                symbology: Symbology::Code128,
                                text,
                                corners,
                            },
                            1,
                        ));
                    }
                }
            }
        }
    }
    sightings.retain(|(_, count)| *count >= SCAN_LINES_TO_AGREE);
    sightings
        .into_iter()
        .take(MAX_CODES)
        .map(|(code, _)| code)
        .collect()
}

fn on_line(orientation: LineOrientation, line: usize, along: f32) -> Point {
    match orientation {
        LineOrientation::Row => Point {
            x: along,
            y: line as f32,
        },
        LineOrientation::Column => Point {
            x: line as f32,
            y: along,
        },
    }
}

/// Texts on one scan line with the places of their two ends.
fn codes_on_line(line: &BitArray) -> Vec<(String, [f32; 2])> {
    let mut found = Vec::new();
    let mut backwards = line.clone();
    backwards.reverse();
    let last = line.get_size().saturating_sub(1) as f32;
    for (line, from, sign) in [(line.clone(), 0.0, 1.0), (backwards, last, -1.0)] {
        for (text, ends) in codes_forwards(line) {
            found.push((text, ends.map(|end| from + sign * end)));
        }
    }
    found
}

/// Texts on one scan line read forwards; each is wiped out to see those beside it.
fn codes_forwards(mut line: BitArray) -> Vec<(String, [f32; 2])> {
    let mut found = Vec::new();
    while found.len() < MAX_CODES {
        let Ok(result) = Code128Reader.decode_row(0, &line, &DecodeHints::default()) else {
            break;
        };
        let [start, .., end] = result.getPoints() else {
            break;
        };
        for bit in 0..=(end.x.ceil() as usize).min(line.get_size().saturating_sub(1)) {
            line.unset(bit);
        }
        found.push((result.getText().to_owned(), [start.x, end.x]));
    }
    found
}
