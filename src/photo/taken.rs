use crate::say;
use std::fmt;
use std::str::FromStr;

use chrono::{FixedOffset, NaiveDateTime};
use exif::{In, Tag, Value};

/// When a picture was taken, by the camera's own clock. Written as ISO 8601: `2031-05-14T06:42:09`, with the
/// offset from UTC behind it (`+02:00`) where the camera wrote one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct TakenAt {
    local: NaiveDateTime,
    offset: Option<FixedOffset>,
}

/// The text is not a time of taking.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", say!(
    "“{text}” is not a time. Write it as 2031-05-14T06:42:09, with +02:00 behind it where the offset is known.",
    text = _0
))]
pub struct NotATime(String);

impl TakenAt {
    /// The reading of the camera's clock, to the second.
    pub fn local(&self) -> NaiveDateTime {
        self.local
    }

    /// How far that clock was from UTC, to the minute, if the camera wrote it.
    pub fn offset(&self) -> Option<FixedOffset> {
        self.offset
    }
}

impl fmt::Display for TakenAt {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.local.format("%Y-%m-%dT%H:%M:%S"))?;
        self.offset.map_or(Ok(()), |offset| write!(f, "{offset}"))
    }
}

impl FromStr for TakenAt {
    type Err = NotATime;

    fn from_str(text: &str) -> Result<Self, NotATime> {
        parse(text).ok_or_else(|| NotATime(text.chars().take(40).collect()))
    }
}

fn parse(text: &str) -> Option<TakenAt> {
    let (local, offset) = text.split_at_checked("0000-00-00T00:00:00".len())?;
    Some(TakenAt {
        local: parse_local(local, "0000-00-00T00:00:00", "%Y-%m-%dT%H:%M:%S")?,
        offset: if offset.is_empty() {
            None
        } else {
            Some(parse_offset(offset)?)
        },
    })
}

/// Reads DateTimeOriginal and OffsetTimeOriginal (CIPA DC-008, tags 0x9003 and 0x9011) from a raw EXIF block.
/// Anything missing, blank or broken is simply not known: a picture is worth keeping without its time.
pub(super) fn from_exif(block: &[u8]) -> Option<TakenAt> {
    // Cameras break the format in small ways; what can be read of it is.
    let fields = exif::Reader::new()
        .continue_on_error(true)
        .read_raw(block.to_vec())
        .or_else(|error| error.distill_partial_result(drop))
        .ok()?;
    let text = |tag| match &fields.get_field(tag, In::PRIMARY)?.value {
        Value::Ascii(parts) => Some(str::from_utf8(parts.first()?).ok()?.trim()),
        _ => None,
    };
    Some(TakenAt {
        local: parse_local(
            text(Tag::DateTimeOriginal)?,
            "0000:00:00 00:00:00",
            "%Y:%m:%d %H:%M:%S",
        )?,
        offset: text(Tag::OffsetTimeOriginal).and_then(parse_offset),
    })
}

/// `shape` has a 0 for each digit and every other character as it must stand: chrono alone would also take
/// signs, blanks and years of other lengths.
fn parse_local(text: &str, shape: &str, format: &str) -> Option<NaiveDateTime> {
    has_shape(text, shape).then(|| NaiveDateTime::parse_from_str(text, format).ok())?
}

fn parse_offset(text: &str) -> Option<FixedOffset> {
    let (sign, size) = text.split_at_checked(1)?;
    if !has_shape(size, "00:00") {
        return None;
    }
    let hours: i32 = size[..2].parse().ok()?;
    let minutes: i32 = size[3..].parse().ok()?;
    let seconds = (hours * 60 + minutes) * 60;
    match sign {
        _ if minutes > 59 => None,
        "+" => FixedOffset::east_opt(seconds),
        "-" => FixedOffset::west_opt(seconds),
        _ => None,
    }
}

fn has_shape(text: &str, shape: &str) -> bool {
    let fits = |(is, should): (u8, u8)| {
        if should == b'0' {
            is.is_ascii_digit()
        } else {
            is == should
        }
    };
    text.len() == shape.len() && text.bytes().zip(shape.bytes()).all(fits)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_time_comes_back_from_its_text_with_and_without_offset() {
        for text in [
            "2031-05-14T06:42:09",
            "2031-05-14T06:42:09+02:00",
            "1999-12-31T23:59:59-03:30",
        ] {
            let taken: TakenAt = text.parse().unwrap();
            assert_eq!(taken.to_string(), text);
        }
    }

    #[test]
    fn a_day_that_is_in_no_calendar_is_refused() {
        for text in [
            "2031-02-30T06:42:09",
            "0000-00-00T00:00:00",
            "2031-05-14T06:42:09+2:00",
            "2031-05-14",
            "",
        ] {
            assert_eq!(text.parse::<TakenAt>(), Err(NotATime(text.into())));
        }
    }

    proptest! {
        #[test]
        fn any_second_and_offset_come_back(seconds in 0i64..4_102_444_800, minutes in proptest::option::of(-840i32..=840)) {
            let taken = TakenAt {
                local: chrono::DateTime::from_timestamp(seconds, 0).unwrap().naive_utc(),
                offset: minutes.map(|m| FixedOffset::east_opt(m * 60).unwrap()),
            };
            prop_assert_eq!(taken.to_string().parse(), Ok(taken));
        }

        #[test]
        fn no_block_of_bytes_makes_reading_the_time_panic(block: Vec<u8>) {
            let _ = from_exif(&block);
            let _ = from_exif(&[b"II*\0\x08\0\0\0".as_slice(), &block].concat());
        }
    }
}
