//! Findings as they are followed, whoever opened them: an entry out of limits, or somebody's hand.

use super::{App, AppError, HandFinding, Note};
use crate::{
    check::words::title,
    judge::Verdict,
    language,
    plant::PumpId,
    record::{Deed, Stamp},
    report::{self, FindingLine},
    store::{DeedsOf, FindingRow, FindingsOf, PhotoRow, PhotosOf, VisitRow},
};
use uuid::Uuid;

/// Findings opened by hand that are looked through.
const MOST_BY_HAND: u32 = 50_000;

/// A finding as it is followed.
#[derive(Clone, Debug, PartialEq)]
pub struct Followed {
    /// What it is, and who opened it.
    pub what: FoundBy,
    /// What was said of it since, the earliest first.
    pub notes: Vec<Note>,
    /// How many photos belong to it.
    pub photos: usize,
}

/// Who opened a finding.
#[derive(Clone, Debug, PartialEq)]
pub enum FoundBy {
    /// An entry out of limits.
    Entry(Box<FindingRow>),
    /// Somebody, by hand.
    Hand(HandFinding),
}

/// Which findings are listed.
#[derive(Clone, Debug, PartialEq)]
pub struct Listed<'a> {
    /// Those of one pump, or of all.
    pub pump: Option<&'a PumpId>,
    /// Only those that are still so.
    pub open_only: bool,
    /// At most so many, the newest.
    pub most: u32,
}

impl Followed {
    /// Its identity.
    pub fn finding(&self) -> Uuid {
        match &self.what {
            FoundBy::Entry(row) => row.finding,
            FoundBy::Hand(hand) => hand.finding,
        }
    }

    /// At which pump.
    pub fn pump(&self) -> &PumpId {
        match &self.what {
            FoundBy::Entry(row) => &row.pump,
            FoundBy::Hand(hand) => &hand.pump,
        }
    }

    /// The finding that an entry opened.
    pub fn by_entry(&self) -> Option<&FindingRow> {
        match &self.what {
            FoundBy::Entry(row) => Some(row),
            FoundBy::Hand(_) => None,
        }
    }

    /// It is still so.
    pub fn is_open(&self) -> bool {
        match &self.what {
            FoundBy::Entry(row) => row.is_open(),
            FoundBy::Hand(hand) => hand.is_open(),
        }
    }

    /// How bad it is.
    pub fn severity(&self) -> Verdict {
        match &self.what {
            FoundBy::Entry(row) => row.latest.entry.judgement.verdict,
            FoundBy::Hand(hand) => hand.severity,
        }
    }

    /// What it is: its latest entry with what to do first, or what somebody wrote.
    pub fn sentence(&self) -> String {
        match &self.what {
            FoundBy::Entry(row) => report::sentence(&row.latest),
            FoundBy::Hand(hand) => hand.words.clone(),
        }
    }

    /// What it is in a few words: the check that was out of limits, or what somebody wrote.
    pub fn name(&self) -> String {
        match &self.what {
            FoundBy::Entry(row) => title(row.check),
            FoundBy::Hand(hand) => hand.words.clone(),
        }
    }

    /// When it was opened.
    pub fn opened(&self) -> Stamp {
        match &self.what {
            FoundBy::Entry(row) => row.first.entry.seen_at,
            FoundBy::Hand(hand) => hand.opened,
        }
    }

    /// When something was entered or said of it last.
    pub fn latest(&self) -> Stamp {
        let entered = match &self.what {
            FoundBy::Entry(row) => row.latest.entry.seen_at,
            FoundBy::Hand(hand) => hand.opened,
        };
        let said = self.notes.iter().map(|note| note.at);
        said.fold(entered, |latest, at| {
            if at.utc_ms > latest.utc_ms {
                at
            } else {
                latest
            }
        })
    }

    /// How it was last seen to stand.
    pub fn last_seen(&self) -> Option<&Note> {
        self.notes.iter().rev().find(|note| note.still.is_some())
    }

    /// What was said of it in a visit: on the visit's device after it was opened, elsewhere at or after its time.
    pub fn said_in(&self, visit: &VisitRow) -> Option<&Note> {
        let since = |note: &&Note| {
            if note.origin == visit.origin {
                note.seq > visit.seq
            } else {
                note.at.utc_ms >= visit.opened.utc_ms
            }
        };
        self.notes.iter().rev().find(since)
    }
}

impl App {
    /// Findings, those that entries opened and those opened by hand, the one with the newest entry or word first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn followed(&self, of: &Listed<'_>) -> Result<Vec<Followed>, AppError> {
        let by_entry = if of.open_only {
            self.open_findings(of.pump.map_or(FindingsOf::Everything, FindingsOf::Pump))?
        } else {
            self.findings(of.pump, of.most)?
        };
        let mut all = Vec::new();
        for row in by_entry {
            all.push(self.follow_entry(row)?);
        }
        let by_hand = match of.pump {
            Some(pump) => self.hand_findings(pump, of.open_only)?,
            None => self.all_by_hand(of.open_only)?,
        };
        for hand in by_hand {
            all.push(self.follow_hand(hand)?);
        }
        all.sort_by_key(|one| std::cmp::Reverse((one.latest().utc_ms, one.finding())));
        all.truncate(of.most as usize);
        Ok(all)
    }

    /// What is still wrong at a pump, the worst first: what a visit asks about before anything else.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn still_open(&self, pump: &PumpId) -> Result<Vec<Followed>, AppError> {
        let mut open = self.followed(&Listed {
            pump: Some(pump),
            open_only: true,
            most: u32::MAX,
        })?;
        open.sort_by_key(|one| std::cmp::Reverse(one.severity()));
        Ok(open)
    }

    /// One finding.
    ///
    /// # Errors
    /// Where it is not there, or the store can't be read.
    pub fn finding(&self, finding: Uuid) -> Result<Followed, AppError> {
        if let Some(hand) = self.opened_by_hand(finding)? {
            return self.follow_hand(hand);
        }
        let of = FindingsOf::Finding(finding);
        let rows = self.store.read().findings(of, Verdict::NotJudged, 1)?;
        let row = rows.into_iter().next();
        self.follow_entry(row.ok_or(AppError::UnknownFinding(finding))?)
    }

    /// The likely cause of a finding: what was written when it was opened by hand, or the one that fits best what was
    /// entered in the visit of its latest entry. `None` where nothing is said or fits, or where all that fits rests on
    /// one sign that many troubles show.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn likely_cause(&self, of: &Followed) -> Result<Option<String>, AppError> {
        let row = match &of.what {
            FoundBy::Hand(hand) => return Ok(hand.cause.clone()),
            FoundBy::Entry(row) => row,
        };
        let evaluation = match self.evaluation(row.latest.entry.visit) {
            // Of a pump that has left the register nothing can be worked out any more.
            Err(AppError::UnknownPump(_)) => return Ok(None),
            evaluation => evaluation?,
        };
        let causes = evaluation.causes.map(|causes| causes.diagnosis);
        let told = causes.filter(|diagnosis| !diagnosis.is_too_little);
        let first = told.as_ref().and_then(|diagnosis| diagnosis.shown().next());
        Ok(first.map(|cause| {
            let words = language::word(&cause.trouble.words);
            format!("{words} ({})", cause.standing.words())
        }))
    }

    /// The photos of a finding, the newest first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn photos_of_finding(&self, of: &Followed) -> Result<Vec<PhotoRow>, AppError> {
        match &of.what {
            FoundBy::Entry(row) => Ok(self.store.read().photos(PhotosOf::Finding(row.finding))?),
            FoundBy::Hand(hand) => self.photos_by_hand(hand),
        }
    }

    fn photos_by_hand(&self, hand: &HandFinding) -> Result<Vec<PhotoRow>, AppError> {
        let mut photos = self.store.read().photos(PhotosOf::Pump(&hand.pump))?;
        photos.retain(|row| row.taken.finding == Some(hand.finding));
        Ok(photos)
    }

    fn follow_entry(&self, row: FindingRow) -> Result<Followed, AppError> {
        let photos = self.store.read().photos(PhotosOf::Finding(row.finding))?;
        Ok(Followed {
            notes: self.notes_of(row.finding)?,
            photos: photos.len(),
            what: FoundBy::Entry(Box::new(row)),
        })
    }

    fn follow_hand(&self, hand: HandFinding) -> Result<Followed, AppError> {
        Ok(Followed {
            notes: hand.notes.clone(),
            photos: self.photos_by_hand(&hand)?.len(),
            what: FoundBy::Hand(hand),
        })
    }

    /// Findings opened by hand at any pump, those that have left the plant among them.
    fn all_by_hand(&self, open_only: bool) -> Result<Vec<HandFinding>, AppError> {
        let opened = match open_only {
            true => DeedsOf::OpenFindings,
            false => DeedsOf::Kind("finding_opened"),
        };
        let mut all = Vec::new();
        for row in self.store.read().deeds(opened, MOST_BY_HAND)? {
            let Deed::FindingOpened { finding, .. } = row.deed else {
                continue;
            };
            let hand = self.opened_by_hand(finding)?;
            all.extend(hand.filter(|hand| !open_only || hand.is_open()));
        }
        Ok(all)
    }
}

impl From<&Followed> for FindingLine {
    fn from(of: &Followed) -> Self {
        let last = of.notes.last();
        let mut line = match &of.what {
            FoundBy::Entry(row) => FindingLine::from(row.as_ref()),
            FoundBy::Hand(hand) => FindingLine {
                finding: hand.finding.to_string(),
                pump: hand.pump.to_string(),
                opened_by: "hand",
                check: String::new(),
                verdict: hand.severity.key(),
                worst: hand.severity.key(),
                open: hand.is_open(),
                opened_at: report::local_time(hand.opened),
                latest_at: String::new(),
                entries: 0,
                by: last.map_or(&hand.by, |note| &note.by).clone(),
                sentence: hand.words.clone(),
                said: String::new(),
                photos: 0,
            },
        };
        line.latest_at = report::local_time(of.latest());
        line.said = last.map(Note::sentence).unwrap_or_default();
        line.photos = of.photos;
        line
    }
}
