//! What was put right: written down, listed, waited for and proved.

mod by_size;
mod gland;
mod lubricated;
mod proof;
mod to_mind;

pub use by_size::GreaseBySize;
pub use gland::GlandNow;
pub use proof::{ProofMade, ProofNow, ProofStanding, RemedyNow};
pub use to_mind::ToMind;

use super::{App, AppError, Command};
use crate::{
    evaluation::Done,
    plant::{CheckId, PumpId},
    record::{Body, Deed, Origin, Stamp},
    remedy::{self, Remedy},
    store::{DeedRow, EntryRow, RemediesWhich},
};
use uuid::Uuid;

/// Remedies of one pump, or of one span of time, that are looked through: two a day for thirteen years.
const MOST: u32 = 10_000;

/// Something that was put right, with the record that holds it.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyRow {
    /// Its identity.
    pub remedy: Uuid,
    /// Device that wrote it.
    pub origin: Origin,
    /// Its place there.
    pub seq: u64,
    /// When it was written down.
    pub at: Stamp,
    /// Who signed it.
    pub by: String,
    /// At which pump.
    pub pump: PumpId,
    /// In which visit, where in one.
    pub visit: Option<Uuid>,
    /// For which finding, where for one.
    pub finding: Option<Uuid>,
    /// What.
    pub what: Remedy,
    /// When it was done.
    pub done_at: Stamp,
}

impl RemedyRow {
    fn of(row: DeedRow) -> Option<Self> {
        match row.deed {
            Deed::Remedied {
                remedy,
                pump,
                visit,
                finding,
                what,
                done_at,
            } => Some(Self {
                remedy,
                origin: row.origin,
                seq: row.seq,
                at: row.at,
                by: row.by,
                pump,
                visit,
                finding,
                what,
                done_at,
            }),
            _ => None,
        }
    }

    /// What was done, in a sentence.
    pub fn words(&self) -> String {
        remedy::in_words(&self.what)
    }
}

/// Which remedies are asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RemediesOf<'a> {
    /// Those at a pump.
    Pump(&'a PumpId),
    /// Those of a visit.
    Visit(Uuid),
    /// Those for a finding.
    Finding(Uuid),
}

/// Write down what was put right.
#[derive(Clone, Debug)]
pub struct PutRight {
    /// At which pump.
    pub pump: PumpId,
    /// In which visit.
    pub visit: Option<Uuid>,
    /// For which finding, opened by hand or by an entry.
    pub finding: Option<Uuid>,
    /// What.
    pub what: Remedy,
    /// When; now, where it is not said.
    pub done_at: Option<Stamp>,
}

/// What was put right is written down.
#[derive(Clone, Debug, PartialEq)]
pub struct RemedyTaken {
    /// Its identity.
    pub remedy: Uuid,
    /// What to say of it, in sentences.
    pub warnings: Vec<String>,
}

/// Take back what was written down by mistake. Twice changes nothing.
#[derive(Clone, Copy, Debug)]
pub struct TakeBackRemedy(pub Uuid);

impl Command for PutRight {
    type Outcome = RemedyTaken;

    fn perform(self, app: &mut App) -> Result<RemedyTaken, AppError> {
        let now = app.now();
        let done_at = self.done_at.unwrap_or(now);
        if done_at.utc_ms > now.utc_ms {
            return Err(AppError::DoneLater);
        }
        app.belongs_here(&self)?;
        let ToMind { warnings, .. } = app.to_mind_at(&self.pump, &self.what, done_at.utc_ms)?;
        let remedy = app.world.new_id();
        app.append(Body::Done(Deed::Remedied {
            remedy,
            pump: self.pump,
            visit: self.visit,
            finding: self.finding,
            what: self.what,
            done_at,
        }))?;
        Ok(RemedyTaken { remedy, warnings })
    }
}

impl Command for TakeBackRemedy {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let row = app.remedy(self.0)?;
        app.append(Body::Done(Deed::RemedyWithdrawn {
            remedy: row.remedy,
            pump: row.pump,
        }))?;
        Ok(())
    }
}

impl App {
    /// What was put right and holds, what was done last first.
    ///
    /// # Errors
    /// Where the visit or finding is not there, or the store can't be read.
    pub fn remedies_of(&self, of: RemediesOf<'_>) -> Result<Vec<RemedyRow>, AppError> {
        let pump = match of {
            RemediesOf::Pump(pump) => pump.clone(),
            RemediesOf::Visit(visit) => self.visit(visit)?.pump,
            RemediesOf::Finding(finding) => self.pump_of_finding(finding)?,
        };
        let mut rows = self.remedies_at(&pump)?;
        rows.retain(|row| match of {
            RemediesOf::Pump(_) => true,
            RemediesOf::Visit(visit) => row.visit == Some(visit),
            RemediesOf::Finding(finding) => row.finding == Some(finding),
        });
        Ok(rows)
    }

    /// What was written down as put right from one millisecond on to before another and holds, what was done last
    /// first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn remedies_between(&self, from_ms: i64, to_ms: i64) -> Result<Vec<RemedyRow>, AppError> {
        self.remedies_which(RemediesWhich::Between(from_ms, to_ms))
    }

    /// One thing that was put right.
    ///
    /// # Errors
    /// Where it is not there or was taken back, or the store can't be read.
    pub fn remedy(&self, remedy: Uuid) -> Result<RemedyRow, AppError> {
        let mut rows = self.remedies_which(RemediesWhich::Is(remedy))?;
        rows.pop().ok_or(AppError::UnknownRemedy(remedy))
    }

    fn remedies_at(&self, pump: &PumpId) -> Result<Vec<RemedyRow>, AppError> {
        self.remedies_which(RemediesWhich::At(pump))
    }

    /// Those of the remedies asked for that hold, what was done last first.
    fn remedies_which(&self, of: RemediesWhich<'_>) -> Result<Vec<RemedyRow>, AppError> {
        let rows = self.store.read().remedies(of, MOST)?;
        Ok(rows.into_iter().filter_map(RemedyRow::of).collect())
    }

    /// What was put right at a pump, for what its entries come to.
    pub(super) fn done_at(&self, pump: &PumpId) -> Result<Vec<Done>, AppError> {
        let rows = self.remedies_at(pump)?;
        rows.into_iter()
            .map(|row| {
                Ok(Done {
                    at_ms: row.done_at.utc_ms,
                    answers: self.check_answered(&row)?,
                    what: row.what,
                })
            })
            .collect()
    }

    /// Something was put right since an entry was seen with which readings of its check begin anew: none after it can be
    /// compared with it.
    pub(super) fn begun_anew_since(&self, entry: &EntryRow) -> Result<bool, AppError> {
        let check = entry.entry.check;
        let since = self.remedies_at(&entry.entry.pump)?.into_iter();
        for row in since.filter(|row| row.is_after(entry)) {
            let own_words = matches!(row.what, Remedy::OwnWords { .. });
            if remedy::begins_anew(&row.what, check)
                || own_words && self.check_answered(&row)? == Some(check)
            {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// The check whose entry opened the finding that a remedy was for.
    fn check_answered(&self, row: &RemedyRow) -> Result<Option<CheckId>, AppError> {
        let Some(finding) = row.finding else {
            return Ok(None);
        };
        let entries = self.store.read().entries_of_finding(finding)?;
        Ok(entries.first().map(|row| row.entry.check))
    }

    fn belongs_here(&self, done: &PutRight) -> Result<(), AppError> {
        let mut pumps = Vec::new();
        if let Some(visit) = done.visit {
            pumps.push(self.open_one(visit)?.pump);
        }
        if let Some(finding) = done.finding {
            pumps.push(self.pump_of_finding(finding)?);
        }
        match pumps.into_iter().find(|pump| *pump != done.pump) {
            Some(other) => Err(AppError::AtOtherPump(other)),
            None => Ok(()),
        }
    }
}
