//! Findings followed: opened by hand, looked at again, closed with what made them good.

use super::{App, AppError, Command, attach::PhotoPlace, rounds};
use crate::{
    check::MAX_WORDS_CHARS,
    plant::{PumpId, Verdict},
    record::{Body, Deed, Mark, Origin, Stamp, Still},
    report, say,
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
    /// What it likely comes from, where somebody said so.
    pub cause: Option<String>,
    /// The visit it was opened in, where in one.
    pub visit: Option<Uuid>,
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
    /// The device it was said on.
    pub origin: Origin,
    /// Its place there.
    pub seq: u64,
}

impl Note {
    /// As a sentence: how it stood, or what made it good, who said so and when.
    pub fn sentence(&self) -> String {
        let stood = match (self.still, self.words.as_str()) {
            (Some(still), "") => still.words().to_owned(),
            (Some(still), words) => format!("{}: {words}", still.words()),
            (None, words) => say!("made good: {words}", words),
        };
        format!("{stood} ({}, {})", self.by, report::local_time(self.at))
    }
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
    /// What it likely comes from, if anybody can say.
    pub cause: Option<String>,
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

/// Keep a photo of a finding opened by hand. The outcome is the record that holds it. It belongs to the visit that is
/// open at the pump, or else to the one the finding was opened in.
#[derive(Clone, Debug)]
pub struct PhotographFinding {
    /// Which finding.
    pub finding: Uuid,
    /// The picture as the camera or file gave it.
    pub picture: Vec<u8>,
    /// Marks drawn over it.
    pub marks: Vec<Mark>,
    /// The operator's words.
    pub words: String,
}

/// Close a finding. Where two people close one, each on a device of their own, it is closed by the earlier, and what
/// both said made it good is kept.
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
        let cause = self.cause.as_deref().map(rounds::reason).transpose()?;
        if let Some(visit) = self.visit {
            app.visit(visit)?;
        }
        let finding = app.world.new_id();
        app.append(Body::Done(Deed::FindingOpened {
            finding,
            pump: self.pump,
            visit: self.visit,
            severity: self.severity,
            words,
            cause,
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

impl Command for PhotographFinding {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        let pump = app.pump_of_finding(self.finding)?;
        let hand = app.opened_by_hand(self.finding)?;
        let hand = hand.ok_or(AppError::PhotoOfEntry)?;
        let mut open = app.own_open_visits()?.into_iter();
        let here = open.find(|visit| visit.pump == pump);
        let visit = here.map(|visit| visit.visit).or(hand.visit);
        let place = PhotoPlace {
            visit: visit.ok_or(AppError::NoVisitForPhoto(pump.clone()))?,
            pump,
            check: None,
            finding: Some(self.finding),
        };
        app.keep_photo(place, &self.picture, self.marks, self.words)
    }
}

impl Command for CloseFinding {
    type Outcome = ();

    /// A finding closed already stays closed by whom it was: nothing is written twice.
    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let pump = app.pump_of_finding(self.finding)?;
        let made_good = rounds::reason(&self.made_good)?;
        let opened = app.opened_by_hand(self.finding)?;
        let opened = opened.ok_or(AppError::OpenedByEntry)?;
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

    /// A finding, where it was opened by hand.
    pub(super) fn opened_by_hand(&self, finding: Uuid) -> Result<Option<HandFinding>, AppError> {
        let about_it = DeedsOf::Subject(finding);
        let deeds = self.store.read().deeds(about_it, MOST_DEEDS)?;
        Ok(opened_by_hand(&deeds))
    }

    pub(super) fn pump_of_finding(&self, finding: Uuid) -> Result<PumpId, AppError> {
        if let Some(opened) = self.opened_by_hand(finding)? {
            return Ok(opened.pump);
        }
        let entries = self.store.read().entries_of_finding(finding)?;
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
        visit,
        severity,
        words,
        cause,
    } = &opened.deed
    else {
        return None;
    };
    Some(HandFinding {
        finding: *finding,
        pump: pump.clone(),
        severity: *severity,
        words: words.clone(),
        cause: cause.clone(),
        visit: *visit,
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
            origin: row.origin,
            seq: row.seq,
        })
    });
    notes.collect()
}
