//! The typeface, and where lines of it break.

use super::PdfError;
use krilla::{Data, text::Font};

/// One cut of the typeface.
pub(super) struct Face {
    /// To draw with.
    pub font: Font,
    /// To measure with.
    outlines: ttf_parser::Face<'static>,
}

/// The cuts that the sheet is set in.
pub(super) struct Faces {
    pub regular: Face,
    pub bold: Face,
}

impl Faces {
    /// The window's own typeface.
    pub fn built_in() -> Result<Self, PdfError> {
        Ok(Self {
            regular: Face::read(include_bytes!(
                "../../../../ui/fonts/AtkinsonHyperlegibleNext_400Regular.ttf"
            ))?,
            bold: Face::read(include_bytes!(
                "../../../../ui/fonts/AtkinsonHyperlegibleNext_700Bold.ttf"
            ))?,
        })
    }
}

impl Face {
    fn read(bytes: &'static [u8]) -> Result<Self, PdfError> {
        Ok(Self {
            font: Font::new(Data::from(bytes), 0).ok_or(PdfError::Typeface)?,
            outlines: ttf_parser::Face::parse(bytes, 0).map_err(|_| PdfError::Typeface)?,
        })
    }

    /// How wide a text is at a size in points. Letters that are drawn closer together come out a little narrower.
    pub fn width(&self, text: &str, size: f32) -> f32 {
        let units: u32 = text.chars().map(|c| u32::from(self.advance(c))).sum();
        units as f32 * size / f32::from(self.outlines.units_per_em())
    }

    fn advance(&self, c: char) -> u16 {
        let glyph = self.outlines.glyph_index(c).unwrap_or_default();
        self.outlines.glyph_hor_advance(glyph).unwrap_or_default()
    }

    /// The text in lines no wider than `width` points, broken between words; within a word only where it is wider than a
    /// whole line.
    pub fn lines(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let mut lines = vec![String::new()];
        for word in text.split(' ') {
            let mut rest = word;
            loop {
                let line = lines.last().map_or("", String::as_str);
                let joined = if line.is_empty() {
                    rest.to_owned()
                } else {
                    format!("{line} {rest}")
                };
                if self.width(&joined, size) <= width {
                    replace_last(&mut lines, joined);
                    break;
                }
                if line.is_empty() {
                    let fits = self.fitting(rest, size, width);
                    replace_last(&mut lines, rest[..fits].to_owned());
                    rest = &rest[fits..];
                    if rest.is_empty() {
                        break;
                    }
                }
                lines.push(String::new());
            }
        }
        lines
    }

    /// How many bytes of a word fit, whole characters, at least one.
    fn fitting(&self, word: &str, size: f32, width: f32) -> usize {
        let ends = word.char_indices().map(|(at, c)| at + c.len_utf8());
        let mut fits = 0;
        for end in ends {
            if fits > 0 && self.width(&word[..end], size) > width {
                break;
            }
            fits = end;
        }
        fits
    }
}

fn replace_last(lines: &mut [String], with: String) {
    if let Some(last) = lines.last_mut() {
        *last = with;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_every_word_and_stay_within_the_width() {
        let faces = Faces::built_in().unwrap();
        let face = &faces.regular;
        let text = "Leak-off 4 drops/min. This pump needs 10 to 40. Ease each gland nut one flat.";
        let lines = face.lines(text, 9.5, 120.0);
        assert!(lines.len() > 2, "{lines:?}");
        assert_eq!(lines.join(" "), text);
        assert!(lines.iter().all(|line| face.width(line, 9.5) <= 120.0));
    }

    #[test]
    fn a_word_wider_than_a_line_is_broken_within() {
        let faces = Faces::built_in().unwrap();
        let word = "x".repeat(300);
        let lines = faces.bold.lines(&format!("a {word} b"), 9.5, 200.0);
        assert_eq!(lines.concat().replace(' ', ""), format!("a{word}b"));
    }
}
