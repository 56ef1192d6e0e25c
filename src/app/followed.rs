//! Findings followed: opened by hand, looked at again, closed with what made them good.

use super::{App, AppError, Command, rounds};
use crate::{
    check::MAX_WORDS_CHARS,
    plant::{PumpId, Verdict},
    record::{Body, Deed, Stamp, Still},
    store::{DeedRow, DeedsOf},
};
use uuid::Uuid;

/// Deeds of one finding, or of one pump, that are looked through.
const MOST_DEEDS: u32 = 10_000;

/// A finding opened by hand, as it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct HandFinding {
    /// Its identity.
    pub finding: Uuid,
    /// At which pump.
    pub pump: PumpId,
    /// How bad it is.
    pub severity: Verdict,
    /// What it is.
    pub words: String,
    /// Who opened it.
    pub by: String,
    /// When.
    pub opened: Stamp,
    /// What was said of it since.
    pub notes: Vec<Note>,
}

/// What was said of a finding.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// How it stood; `None` where it was closed.
    pub still: Option<Still>,
    /// In words; what made it good, where it was closed.
    pub words: String,
    /// Who said it.
    pub by: String,
    /// When.
    pub at: Stamp,
}

impl HandFinding {
    /// Nobody has closed it.
    pub fn is_open(&self) -> bool {
        self.notes.iter().all(|note| note.still.is_some())
    }

    /// How it was seen last.
    pub fn last_seen(&self) -> Option<Still> {
        self.notes.iter().rev().find_map(|note| note.still)
    }
}

/// Open a finding by hand.
#[derive(Clone, Debug)]
pub struct OpenFinding {
    /// At which pump.
    pub pump: PumpId,
    /// In which visit.
    pub visit: Option<Uuid>,
    /// How bad it is: watch, act or stop pump.
    pub severity: Verdict,
    /// What it is.
    pub words: String,
}

/// Say how a finding stands.
#[derive(Clone, Debug)]
pub struct SeeFinding {
    /// Which finding, opened by hand or by an entry.
    pub finding: Uuid,
    /// How it stands.
    pub still: Still,
    /// What was seen or done; may be empty.
    pub words: String,
}

/// Close a finding.
#[derive(Clone, Debug)]
pub struct CloseFinding {
    /// Which finding, opened by hand: one that an entry opened is over with the check's first good entry.
    pub finding: Uuid,
    /// What made it good.
    pub made_good: String,
}

impl Command for OpenFinding {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        app.register()?.pump(&self.pump)?;
        if !self.severity.is_out_of_limits() {
            return Err(AppError::NoSeverity);
        }
        let words = rounds::reason(&self.words)?;
        let finding = app.world.new_id();
        app.append(Body::Done(Deed::FindingOpened {
            finding,
            pump: self.pump,
            visit: self.visit,
            severity: self.severity,
            words,
        }))?;
        Ok(finding)
    }
}

impl Command for SeeFinding {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let pump = app.pump_of_finding(self.finding)?;
        let words = self.words.trim().to_owned();
        let chars = words.chars().count();
        if chars > MAX_WORDS_CHARS {
            return Err(AppError::BadReason {
                chars,
                most: MAX_WORDS_CHARS,
            });
        }
        app.append(Body::Done(Deed::FindingSeen {
            finding: self.finding,
            pump,
            still: self.still,
            words,
        }))?;
        Ok(())
    }
}

impl Command for CloseFinding {
    type Outcome = ();

    /// A finding closed already stays closed by whom it was: nothing is written twice.
    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let pump = app.pump_of_finding(self.finding)?;
        let made_good = rounds::reason(&self.made_good)?;
        let about_it = DeedsOf::Subject(self.finding);
        let deeds = app.store.read().deeds(about_it, MOST_DEEDS)?;
        let opened = opened_by_hand(&deeds).ok_or(AppError::OpenedByEntry)?;
        if opened.is_open() {
            app.append(Body::Done(Deed::FindingClosed {
                finding: self.finding,
                pump,
                made_good,
            }))?;
        }
        Ok(())
    }
}

impl App {
    /// Findings opened by hand at a pump, the newest first; open ones only, or all.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn hand_findings(
        &self,
        pump: &PumpId,
        open_only: bool,
    ) -> Result<Vec<HandFinding>, AppError> {
        let deeds = self.store.read().deeds(DeedsOf::Pump(pump), MOST_DEEDS)?;
        let mut found = Vec::new();
        for row in &deeds {
            if let Some(finding) = hand_finding(row, &deeds)
                && (finding.is_open() || !open_only)
            {
                found.push(finding);
            }
        }
        Ok(found)
    }

    /// What was said of a finding, opened by hand or by an entry, the earliest first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn notes_of(&self, finding: Uuid) -> Result<Vec<Note>, AppError> {
        let deeds = self
            .store
            .read()
            .deeds(DeedsOf::Subject(finding), MOST_DEEDS)?;
        Ok(notes(finding, &deeds))
    }

    pub(super) fn pump_of_finding(&self, finding: Uuid) -> Result<PumpId, AppError> {
        let read = self.store.read();
        let deeds = read.deeds(DeedsOf::Subject(finding), MOST_DEEDS)?;
        if let Some(opened) = opened_by_hand(&deeds) {
            return Ok(opened.pump);
        }
        let entries = read.entries_of_finding(finding)?;
        let first = entries.into_iter().next();
        first
            .map(|row| row.entry.pump)
            .ok_or(AppError::UnknownFinding(finding))
    }
}

/// The finding that these deeds about it open, with what was said of it since; `None` where an entry opened it.
pub(super) fn opened_by_hand(deeds: &[DeedRow]) -> Option<HandFinding> {
    deeds.iter().find_map(|row| hand_finding(row, deeds))
}

fn hand_finding(opened: &DeedRow, deeds: &[DeedRow]) -> Option<HandFinding> {
    let Deed::FindingOpened {
        finding,
        pump,
        severity,
        words,
        ..
    } = &opened.deed
    else {
        return None;
    };
    Some(HandFinding {
        finding: *finding,
        pump: pump.clone(),
        severity: *severity,
        words: words.clone(),
        by: opened.by.clone(),
        opened: opened.at,
        notes: notes(*finding, deeds),
    })
}

fn notes(finding: Uuid, deeds: &[DeedRow]) -> Vec<Note> {
    let mut of_it: Vec<DeedRow> = deeds
        .iter()
        .filter(|row| row.deed.subject() == Some(finding))
        .cloned()
        .collect();
    rounds::in_order(&mut of_it);
    let notes = of_it.into_iter().filter_map(|row| {
        let (still, words) = match row.deed {
            Deed::FindingSeen { still, words, .. } => (Some(still), words),
            Deed::FindingClosed { made_good, .. } => (None, made_good),
            _ => return None,
        };
        Some(Note {
            still,
            words,
            by: row.by,
            at: row.at,
        })
    });
    notes.collect()
}
