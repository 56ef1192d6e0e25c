//! The marker segments of a JPEG stream (ITU-T T.81 annex B), walked without decoding.
//!
//! Needed because decoders are lenient: they fill in what is missing of a file cut short, and skip segments of
//! metadata without a word.

pub(super) const SOF0: u8 = 0xC0;
pub(super) const DHT: u8 = 0xC4;
pub(super) const SOI: u8 = 0xD8;
pub(super) const EOI: u8 = 0xD9;
pub(super) const SOS: u8 = 0xDA;
pub(super) const DQT: u8 = 0xDB;
pub(super) const DRI: u8 = 0xDD;
pub(super) const APP0: u8 = 0xE0;
const TEM: u8 = 0x01;
const RST0: u8 = 0xD0;
const RST7: u8 = 0xD7;

/// One marker and what belongs to it.
pub(super) struct Segment<'a> {
    pub(super) marker: u8,
    /// The parameters, without the length field. For the end of the image: all that follows it in the file.
    pub(super) payload: &'a [u8],
}

/// Why the walk ended before the end of the image.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Broken {
    CutShort,
    /// No marker where one must stand, at this offset in the file.
    NoMarker(usize),
}

/// Walks the segments from the start of the image to its end. The last item is either the end of the image or
/// why it was not reached.
pub(super) fn segments(bytes: &[u8]) -> Segments<'_> {
    Segments {
        bytes,
        at: 0,
        done: false,
    }
}

pub(super) struct Segments<'a> {
    bytes: &'a [u8],
    at: usize,
    done: bool,
}

impl<'a> Iterator for Segments<'a> {
    type Item = Result<Segment<'a>, Broken>;

    fn next(&mut self) -> Option<Self::Item> {
        if self.done {
            return None;
        }
        let segment = self.read();
        self.done = !matches!(&segment, Ok(segment) if segment.marker != EOI);
        Some(segment)
    }
}

impl<'a> Segments<'a> {
    fn read(&mut self) -> Result<Segment<'a>, Broken> {
        if self.byte()? != 0xFF {
            return Err(Broken::NoMarker(self.at - 1));
        }
        let marker = loop {
            match self.byte()? {
                0xFF => continue,
                marker => break marker,
            }
        };
        let payload = match marker {
            EOI => &self.bytes[self.at..],
            SOI | TEM | RST0..=RST7 => &[],
            _ => self.parameters()?,
        };
        if marker == SOS {
            self.skip_entropy_coded_data();
        }
        Ok(Segment { marker, payload })
    }

    fn byte(&mut self) -> Result<u8, Broken> {
        let byte = *self.bytes.get(self.at).ok_or(Broken::CutShort)?;
        self.at += 1;
        Ok(byte)
    }

    fn parameters(&mut self) -> Result<&'a [u8], Broken> {
        let length = usize::from(u16::from_be_bytes([self.byte()?, self.byte()?]));
        let payload_length = length.checked_sub(2).ok_or(Broken::NoMarker(self.at))?;
        let payload = self.bytes[self.at..]
            .get(..payload_length)
            .ok_or(Broken::CutShort)?;
        self.at += payload_length;
        Ok(payload)
    }

    /// In entropy-coded data a 0xFF is followed by a zero, or is a restart marker.
    fn skip_entropy_coded_data(&mut self) {
        let ends = |pair: &[u8]| pair[0] == 0xFF && !matches!(pair[1], 0 | 0xFF | RST0..=RST7);
        let rest = &self.bytes[self.at..];
        self.at += rest.windows(2).position(ends).unwrap_or(rest.len());
    }
}
