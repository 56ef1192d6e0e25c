//! Questions that faces and lists ask.

use super::{App, AppError, Progress};
use crate::{
    judge::Verdict,
    plant::PumpId,
    report,
    store::{EntryRow, FindingRow, FindingsOf, PhotosOf, VerifyProgress, VerifyReport, VisitRow},
};
use std::path::Path;
use uuid::Uuid;

/// Far more visits than one device leaves open.
const MOST_OPEN_VISITS: u32 = 1000;

impl App {
    /// The visit that this device has open, the last begun where there are several.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn open_visit(&self) -> Result<Option<VisitRow>, AppError> {
        Ok(self.own_open_visits()?.into_iter().next())
    }

    /// The visits opened here that nobody has closed, the last begun first, those under an earlier name of a restored
    /// store among them.
    pub(super) fn own_open_visits(&self) -> Result<Vec<VisitRow>, AppError> {
        let mut visits = self.store.read().own_open_visits(MOST_OPEN_VISITS)?;
        // A pump that has left the register can't be gone on with.
        let register = self.register()?;
        visits.retain(|visit| register.pump(&visit.pump).is_ok());
        Ok(visits)
    }

    /// The last visit to a pump.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn last_visit(&self, pump: &PumpId) -> Result<Option<VisitRow>, AppError> {
        Ok(self.store.read().visits_to(pump, 1)?.into_iter().next())
    }

    /// Findings that are still so: the check's latest entry is out of limits.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn open_findings(&self, of: FindingsOf<'_>) -> Result<Vec<FindingRow>, AppError> {
        Ok(self.store.read().open_findings(of)?)
    }

    /// Findings, open or over, of one pump or all, the newest first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn findings(&self, pump: Option<&PumpId>, most: u32) -> Result<Vec<FindingRow>, AppError> {
        let of = pump.map_or(FindingsOf::Everything, FindingsOf::Pump);
        Ok(self.store.read().findings(of, Verdict::NotJudged, most)?)
    }

    /// Entries that hold, of one pump or all, the newest first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn entries(&self, pump: Option<&PumpId>, most: u32) -> Result<Vec<EntryRow>, AppError> {
        Ok(self.store.read().newest_entries(pump, most)?)
    }

    /// Findings, each with the number of photos that belong to it.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn with_photos(
        &self,
        findings: Vec<FindingRow>,
    ) -> Result<Vec<(FindingRow, usize)>, AppError> {
        let reader = self.store.read();
        let counted = |finding: FindingRow| {
            let photos = reader.photos(PhotosOf::Finding(finding.finding))?.len();
            Ok((finding, photos))
        };
        findings.into_iter().map(counted).collect()
    }

    /// An entry in words, with what to do first.
    ///
    /// # Errors
    /// Where there is no such entry.
    pub fn sentence(&self, record: Uuid) -> Result<String, AppError> {
        let entry = self
            .store
            .read()
            .entry(record)?
            .ok_or(AppError::UnknownEntry(record))?;
        Ok(report::sentence(&entry))
    }

    /// Checks the store's whole content against its hashes.
    ///
    /// # Errors
    /// Where it was cancelled, or the store can't be read at all.
    pub fn verify(&self, progress: &Progress) -> Result<VerifyReport, AppError> {
        let mut told = |at: VerifyProgress| progress.set(at.done as f64 / at.total.max(1) as f64);
        Ok(self.store.verify(&mut told, progress.cancel_flag())?)
    }

    /// Copies the store to a new file.
    ///
    /// # Errors
    /// Where that file is there already or can't be written.
    pub fn backup(&self, to: &Path) -> Result<(), AppError> {
        Ok(self.store.backup_to(to)?)
    }
}
