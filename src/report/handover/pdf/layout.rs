//! Which line stands on which page.

use super::{
    super::{Line, Photo, Sheet, none},
    type_face::Faces,
};
use crate::plant::Verdict;

/// A4, points.
pub(super) const PAGE: (f32, f32) = (595.28, 841.89);
pub(super) const MARGIN: f32 = 42.0;
/// What is kept free below for the page's number.
const FOOT: f32 = 24.0;

pub(super) const TITLE: f32 = 19.0;
pub(super) const HEADING: f32 = 11.0;
pub(super) const BODY: f32 = 9.5;
const LEADING: f32 = 12.8;
/// Between one thing told and the next.
const GAP: f32 = 2.6;

/// Where words begin: right of their mark.
const INDENT: f32 = 17.0;
/// The size a thumbnail fits into, and how many stand beside one line.
pub(super) const THUMBNAIL: (f32, f32) = (62.0, 46.5);
const THUMBNAIL_GAP: f32 = 5.0;
const BESIDE: usize = 3;

/// What fills the page's width at one height.
pub(super) struct Strip<'a> {
    /// How high it is, with the space below it.
    pub height: f32,
    /// What must still be free for it to stand on this page: what belongs below it stays with it.
    keep: f32,
    /// What stands in it.
    pub what: What<'a>,
}

/// What stands in a strip.
pub(super) enum What<'a> {
    /// The sheet's title, with a rule below.
    Title(String),
    /// A heading, with a rule above.
    Heading(&'static str),
    /// A line of words: the first of something told has its mark and thumbnails.
    Words {
        words: String,
        left: f32,
        soft: bool,
        mark: Option<Verdict>,
        photos: &'a [Photo],
    },
}

/// The sheet's strips, page by page.
pub(super) fn pages<'a>(sheet: &'a Sheet, faces: &Faces) -> Vec<Vec<Strip<'a>>> {
    let room = PAGE.1 - 2.0 * MARGIN - FOOT;
    let mut pages = vec![Vec::new()];
    let mut used = 0.0;
    for strip in strips(sheet, faces) {
        if used > 0.0 && used + strip.height.max(strip.keep) > room {
            pages.push(Vec::new());
            used = 0.0;
        }
        used += strip.height;
        if let Some(page) = pages.last_mut() {
            page.push(strip);
        }
    }
    pages
}

fn strips<'a>(sheet: &'a Sheet, faces: &Faces) -> Vec<Strip<'a>> {
    let width = PAGE.0 - 2.0 * MARGIN;
    let title = sheet.title();
    let mut strips: Vec<Strip<'_>> = Vec::new();
    for line in faces.bold.lines(&title, TITLE, width) {
        strips.push(Strip {
            height: TITLE * 1.3,
            keep: 0.0,
            what: What::Title(line),
        });
    }
    for line in sheet.head() {
        for words in faces.regular.lines(&line, BODY, width) {
            strips.push(words_alone(words, 0.0, false));
        }
    }
    for part in &sheet.parts {
        strips.push(Strip {
            height: HEADING * 1.3 + 13.0,
            keep: HEADING * 1.3 + 13.0 + LEADING,
            what: What::Heading(part.heading),
        });
        if part.lines.is_empty() {
            strips.push(words_alone(none().to_owned(), INDENT, true));
        }
        for line in &part.lines {
            told(line, faces, width - INDENT, &mut strips);
        }
    }
    strips
}

fn words_alone<'a>(words: String, left: f32, soft: bool) -> Strip<'a> {
    Strip {
        height: LEADING,
        keep: 0.0,
        what: What::Words {
            words,
            left,
            soft,
            mark: None,
            photos: &[],
        },
    }
}

/// One thing told: its words, with thumbnails beside them.
fn told<'a>(line: &'a Line, faces: &Faces, width: f32, strips: &mut Vec<Strip<'a>>) {
    let photos = &line.photos[..line.photos.len().min(BESIDE)];
    let beside = photos.len() as f32 * (THUMBNAIL.0 + THUMBNAIL_GAP);
    let lines = faces.regular.lines(&line.text(), BODY, width - beside);
    let pictures = if photos.is_empty() {
        0.0
    } else {
        THUMBNAIL.1 + THUMBNAIL_GAP
    };
    let below = (pictures - lines.len() as f32 * LEADING).max(GAP);
    let last = lines.len().saturating_sub(1);
    for (index, words) in lines.into_iter().enumerate() {
        let is_first = index == 0;
        strips.push(Strip {
            height: LEADING + if index == last { below } else { 0.0 },
            keep: if is_first { pictures } else { 0.0 },
            what: What::Words {
                words,
                left: INDENT,
                soft: false,
                mark: line.verdict.filter(|_| is_first),
                photos: if is_first { photos } else { &[] },
            },
        });
    }
}

/// Left edges of so many thumbnails, at the right margin.
pub(super) fn lefts(photos: usize) -> impl Iterator<Item = f32> {
    (0..photos).map(move |index| {
        let from_right = (photos - index) as f32 * (THUMBNAIL.0 + THUMBNAIL_GAP) - THUMBNAIL_GAP;
        PAGE.0 - MARGIN - from_right
    })
}
