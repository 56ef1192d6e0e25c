//! The sheet for the next shift as lines, and those lines as text and as a PDF.
//!
//! A [`Sheet`] is words already: screen, text and PDF show the same lines, and none of them makes up its own.

mod pdf;

pub use pdf::{PdfError, pdf};

use super::{clock_time, plain};
use crate::{
    plant::Verdict,
    record::{Hash, Mark, Stamp},
    say,
};
use std::fmt::Write;

/// The sheet for the next shift.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The plant's name.
    pub plant: String,
    /// What it is about, for example "Round: Stock preparation".
    pub about: String,
    /// From when on.
    pub from: Stamp,
    /// To when.
    pub to: Stamp,
    /// When it was made.
    pub written: Stamp,
    /// Who made it.
    pub written_by: String,
    /// Its parts, in order.
    pub parts: Vec<Part>,
}

/// What stands below one heading.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// The heading.
    pub heading: &'static str,
    /// What stands below it; nothing where there is nothing to tell.
    pub lines: Vec<Line>,
}

/// One thing told.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// How bad it is, where that is known.
    pub verdict: Option<Verdict>,
    /// In words, on one line.
    pub words: String,
    /// The photos that belong to it.
    pub photos: Vec<Photo>,
}

/// A photo as a line has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Photo {
    /// The picture's name.
    pub sha256: Hash,
    /// Marks over it.
    pub marks: Vec<Mark>,
}

impl Line {
    /// A line that is words alone. What would break it or steer a terminal is replaced.
    pub fn of(words: impl AsRef<str>) -> Self {
        Self {
            verdict: None,
            words: plain(words.as_ref()),
            photos: Vec::new(),
        }
    }

    /// The same with how bad it is.
    pub fn judged(self, verdict: Verdict) -> Self {
        Self {
            verdict: Some(verdict),
            ..self
        }
    }

    /// The same with its photos.
    pub fn with(self, photos: Vec<Photo>) -> Self {
        Self { photos, ..self }
    }

    /// The words, with how bad it is and how many photos there are where that is shown by neither mark nor picture.
    pub fn text(&self) -> String {
        let mut text = self.words.clone();
        let verdict = self.verdict.map(|verdict| verdict.words().to_owned());
        let photos = (!self.photos.is_empty()).then(|| {
            super::counted(
                self.photos.len() as u64,
                say!("counted" => "photo"),
                say!("counted" => "photos"),
            )
        });
        let beside: Vec<_> = verdict.into_iter().chain(photos).collect();
        if !beside.is_empty() {
            text.push_str(&format!(" ({})", beside.join(", ")));
        }
        text
    }
}

/// What stands below a heading that has nothing to tell.
pub(super) fn none() -> &'static str {
    say!("of what is told" => "none")
}

impl Sheet {
    /// What stands above the parts, a line each.
    pub fn head(&self) -> Vec<String> {
        vec![
            plain(&self.about),
            say!(
                "of times" => "{from} to {to}",
                from = clock_time(self.from),
                to = clock_time(self.to)
            ),
            say!(
                "Written {time} by {name}",
                time = clock_time(self.written),
                name = plain(&self.written_by)
            ),
        ]
    }

    /// Its title.
    pub(crate) fn title(&self) -> String {
        say!("Handover, {plant}", plant = plain(&self.plant))
    }

    /// The photos of all lines, each once, in order.
    pub fn photos(&self) -> Vec<&Photo> {
        let mut found: Vec<&Photo> = Vec::new();
        let lines = self.parts.iter().flat_map(|part| &part.lines);
        for photo in lines.flat_map(|line| &line.photos) {
            if !found.contains(&photo) {
                found.push(photo);
            }
        }
        found
    }

    /// The sheet as text, each heading with its own below it.
    pub fn text(&self) -> String {
        let mut text = self.title() + "\n";
        for line in self.head() {
            text.push_str(&line);
            text.push('\n');
        }
        for part in &self.parts {
            // Writing to a string does not fail.
            let _ = write!(text, "\n{}\n", part.heading);
            for line in &part.lines {
                let _ = writeln!(text, "  {}", line.text());
            }
            if part.lines.is_empty() {
                let _ = writeln!(text, "  {}", none());
            }
        }
        text
    }
}
