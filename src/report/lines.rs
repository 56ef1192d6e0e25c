//! The rows of the lists.

use super::{Line, counted, local_time};
use crate::{
    check::words,
    judge,
    store::{EntryRow, FindingRow},
};
use serde::Serialize;

/// A finding as a row.
#[derive(Clone, Debug, Serialize)]
pub struct FindingLine {
    /// Identity.
    pub finding: String,
    /// At which pump.
    pub pump: String,
    /// Who opened it: `entry` or `hand`.
    pub opened_by: &'static str,
    /// For which check; empty where it was opened by hand.
    pub check: String,
    /// What its latest entry came to, or how bad it was said to be.
    pub verdict: &'static str,
    /// The worst it came to.
    pub worst: &'static str,
    /// Still open.
    pub open: bool,
    /// When its first entry was seen, or it was opened.
    pub opened_at: String,
    /// When its latest entry was seen, or something said of it last.
    pub latest_at: String,
    /// Entries that belong to it.
    pub entries: u32,
    /// Who signed the latest entry or word.
    pub by: String,
    /// The latest entry in words, with what to do first; or what somebody wrote.
    pub sentence: String,
    /// What was said of it last: still so, worse, better, gone, or what made it good.
    pub said: String,
    /// Photos that belong to it.
    pub photos: usize,
}

/// An entry as a row.
#[derive(Clone, Debug, Serialize)]
pub struct EntryLine {
    /// The record that holds it.
    pub record: String,
    /// At which pump.
    pub pump: String,
    /// For which check.
    pub check: String,
    /// Where on the pump, in words.
    pub place: &'static str,
    /// When it was seen.
    pub seen_at: String,
    /// Who signed it.
    pub by: String,
    /// The device that wrote it.
    pub device: String,
    /// What it came to.
    pub verdict: &'static str,
    /// As a number, where it has one.
    pub value: Option<f64>,
    /// Unit of the number.
    pub unit: Option<&'static str>,
    /// What was entered, as JSON.
    pub entered: String,
    /// The version of the limits it was judged by.
    pub limits_version: Option<u32>,
    /// The finding it belongs to.
    pub finding: Option<String>,
    /// In words.
    pub sentence: String,
}

/// An entry in words, judged as it was when it was made.
pub fn sentence(row: &EntryRow) -> String {
    let entry = &row.entry;
    judge::sentence(
        entry.check.kind,
        &entry.entered,
        &entry.judgement,
        entry.limits.as_ref(),
        entry.previous.as_ref(),
        row.hands,
    )
}

impl From<&FindingRow> for FindingLine {
    fn from(finding: &FindingRow) -> Self {
        Self {
            finding: finding.finding.to_string(),
            pump: finding.pump.to_string(),
            opened_by: "entry",
            check: finding.check.to_string(),
            verdict: finding.latest.entry.judgement.verdict.key(),
            worst: finding.worst.key(),
            open: finding.is_open(),
            opened_at: local_time(finding.first.entry.seen_at),
            latest_at: local_time(finding.latest.entry.seen_at),
            entries: finding.entries,
            by: finding.latest.by.clone(),
            sentence: sentence(&finding.latest),
            said: String::new(),
            photos: 0,
        }
    }
}

impl Line for FindingLine {
    fn text(&self) -> String {
        // When it ended is not known of every finding: an entry in limits may have come from another device.
        let when = if self.open {
            format!("open since {}", self.opened_at)
        } else {
            format!("over, {} to {}", self.opened_at, self.latest_at)
        };
        let of = match self.opened_by {
            "hand" => format!("by hand  {when}"),
            _ => {
                let entries = counted(self.entries.into(), "entry", "entries");
                format!("{}  {when}, {entries}", self.check)
            }
        };
        let said = match self.said.as_str() {
            "" => String::new(),
            said => format!(" Last said: {said}."),
        };
        let (pump, verdict) = (&self.pump, self.verdict);
        format!(
            "{pump}  {verdict}  {of}. {}{said}  {}",
            self.sentence, self.finding
        )
    }
}

impl From<&EntryRow> for EntryLine {
    fn from(row: &EntryRow) -> Self {
        let entry = &row.entry;
        let measured = entry.entered.measured();
        Self {
            record: row.record.to_string(),
            pump: entry.pump.to_string(),
            check: entry.check.to_string(),
            place: words::short_place(entry.check.place),
            seen_at: local_time(entry.seen_at),
            by: row.by.clone(),
            device: row.origin.0.to_string(),
            verdict: entry.judgement.verdict.key(),
            value: measured.map(|(value, _)| value),
            unit: measured.map(|(_, unit)| unit.key()),
            // An entry that was stored has been written as JSON before.
            entered: serde_json::to_string(&entry.entered).unwrap_or_default(),
            limits_version: entry.limits.as_ref().map(|limits| limits.version),
            finding: entry.finding.map(|finding| finding.to_string()),
            sentence: sentence(row),
        }
    }
}

impl Line for EntryLine {
    fn text(&self) -> String {
        format!(
            "{}  {}  {}  {}  {}  by {}",
            self.seen_at, self.pump, self.place, self.verdict, self.sentence, self.by
        )
    }
}
