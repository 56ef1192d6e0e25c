//! Lists for people and other tools: text, JSON and CSV of the same rows.

pub mod handover;
mod lines;
mod when;

pub use lines::{EntryLine, FindingLine, sentence};
pub use when::{clock_time, local_time};

use serde::Serialize;
use std::{io::Write, str::FromStr};

/// How a list is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// A sentence a row, for people.
    Text,
    /// An array of objects.
    Json,
    /// A table with a header line (RFC 4180).
    Csv,
}

/// A format that is not known.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the format '{0}' is not known; use text, json or csv")]
pub struct UnknownFormat(String);

/// Why a list could not be written.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// The output is closed or full.
    #[error("the list can't be written: {0}")]
    Output(#[from] std::io::Error),
    /// JSON could not be written.
    #[error("the list can't be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
    /// CSV could not be written.
    #[error("the list can't be written as CSV: {0}")]
    Csv(#[from] csv::Error),
}

impl FromStr for Format {
    type Err = UnknownFormat;

    fn from_str(text: &str) -> Result<Self, UnknownFormat> {
        match text {
            "text" => Ok(Self::Text),
            "json" => Ok(Self::Json),
            "csv" => Ok(Self::Csv),
            _ => Err(UnknownFormat(text.to_owned())),
        }
    }
}

/// The text as one line that shows as it is: whatever would break the line, move a terminal's cursor or turn the
/// reading direction is replaced. Words come from outside.
pub fn plain(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\r' | '\t' => ' ',
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => char::REPLACEMENT_CHARACTER,
            c if c.is_control() => char::REPLACEMENT_CHARACTER,
            c => c,
        })
        .collect()
}

/// A number of things, in words: `1 record`, `2 records`.
pub fn counted(count: u64, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// A row of a list.
pub trait Line: Serialize {
    /// The row as a sentence.
    fn text(&self) -> String;
}

/// Writes rows in one format.
///
/// # Errors
/// Where the output can't be written.
pub fn write_list<L: Line>(
    out: &mut dyn Write,
    format: Format,
    rows: &[L],
) -> Result<(), ReportError> {
    match format {
        Format::Text => {
            for row in rows {
                writeln!(out, "{}", plain(&row.text()))?;
            }
        }
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, rows)?;
            writeln!(out)?;
        }
        Format::Csv => {
            let mut table = csv::Writer::from_writer(out);
            for row in rows {
                table.serialize(row)?;
            }
            table.flush()?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_from_outside_can_neither_break_a_line_nor_steer_a_terminal() {
        let text = "leak\n\u{1b}[2Jgone\t\u{202e}txet\u{9b}";
        assert_eq!(plain(text), "leak \u{fffd}[2Jgone \u{fffd}txet\u{fffd}");
        assert_eq!(plain("95 °C – größer"), "95 °C – größer");
    }
}
