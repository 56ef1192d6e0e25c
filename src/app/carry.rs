//! Carrying what was recorded to the planner: bundles out.

use super::{App, AppError, Command};
use crate::{
    exchange::{self, BundleInfo, NotWritten},
    record::{Origin, Sealed},
    store::{Reader, StoreError},
    sys,
};
use std::{
    io,
    path::{Path, PathBuf},
};

const SENT_UP_TO: &str = "sent_up_to";

/// Records read at a time.
const PAGE: u32 = 1000;

/// Write a bundle for the planner.
#[derive(Clone, Debug)]
pub struct MakeBundle {
    /// The file to write.
    pub path: PathBuf,
    /// Everything this device ever recorded, not only what is new since the last bundle.
    pub everything: bool,
}

/// A bundle that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BundleMade {
    /// The file.
    pub path: PathBuf,
    /// Its size, bytes.
    pub bytes: u64,
    /// Records in it.
    pub records: u64,
    /// Photos in it.
    pub photos: usize,
}

/// What was recorded here and is not in any bundle yet.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Waiting {
    /// Visits begun.
    pub visits: u64,
    /// Entries.
    pub entries: u64,
    /// Photos.
    pub photos: u64,
}

impl Command for MakeBundle {
    type Outcome = BundleMade;

    fn perform(self, app: &mut App) -> Result<BundleMade, AppError> {
        let first = if self.everything {
            1
        } else {
            app.sent_up_to()? + 1
        };
        let origin = app.store.origin();
        let last = app.last_seq(origin)?;
        if first > last {
            return Err(AppError::NothingToSend);
        }
        let register = app.register()?;
        let info = BundleInfo {
            plant: register.plant().id.clone(),
            plant_version: register.plant().version,
            origin,
            device: app.device(),
            made_at: app.world.now(),
            made_by: app.operator.clone(),
        };
        let manifest = app.write_bundle(&self.path, &info, first)?;
        let mut batch = app.store.write()?;
        batch.set(SENT_UP_TO, &manifest.records.last_seq.to_string())?;
        batch.commit()?;
        let bytes = std::fs::metadata(&self.path)
            .map_err(|error| AppError::file(&self.path, error))?
            .len();
        Ok(BundleMade {
            path: self.path,
            bytes,
            records: manifest.records.count,
            photos: manifest.photos.len(),
        })
    }
}

impl App {
    /// What waits to be sent.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn waiting(&self) -> Result<Waiting, AppError> {
        let sent = self.sent_up_to()?;
        let count = |kind| {
            self.store
                .read()
                .count_after(self.store.origin(), sent, kind)
        };
        Ok(Waiting {
            visits: count("visit_opened")?,
            entries: count("entry_made")?,
            photos: count("photo_taken")?,
        })
    }

    fn write_bundle(
        &self,
        path: &Path,
        info: &BundleInfo,
        first: u64,
    ) -> Result<exchange::Manifest, AppError> {
        let reader = self.store.read();
        let written = sys::write_whole(path, |file| {
            let photo = |name| Ok(reader.photo(name)?.map(|picture| picture.bytes));
            exchange::write_bundle(file, info, records(reader, info.origin, first), photo)
                .map_err(BundleNotWritten::Bundle)
        });
        written.map_err(|error| match error {
            BundleNotWritten::File(error) => AppError::file(path, error),
            BundleNotWritten::Bundle(error) => error.into(),
        })
    }

    fn last_seq(&self, origin: Origin) -> Result<u64, AppError> {
        let origins = self.store.read().origins()?;
        let own = origins.iter().find(|row| row.origin == origin);
        Ok(own.map_or(0, |row| row.highest_seq))
    }

    fn sent_up_to(&self) -> Result<u64, AppError> {
        let kept = self.store.read().setting(SENT_UP_TO)?;
        // A pointer that can't be read sends everything again: the planner's side never doubles.
        Ok(kept.and_then(|text| text.parse().ok()).unwrap_or(0))
    }
}

enum BundleNotWritten {
    File(io::Error),
    Bundle(NotWritten<StoreError>),
}

impl From<io::Error> for BundleNotWritten {
    fn from(error: io::Error) -> Self {
        Self::File(error)
    }
}

/// A device's records from a number on, read in pages.
fn records(
    reader: Reader<'_>,
    origin: Origin,
    first: u64,
) -> impl Iterator<Item = Result<Sealed, StoreError>> {
    let mut next = Some(first);
    std::iter::from_fn(move || {
        let from = next?;
        let page = reader.records_of(origin, from, PAGE);
        next = match &page {
            Ok(page) => page.last().map(|last| last.record().seq + 1),
            Err(_) => None,
        };
        Some(page)
    })
    .flat_map(|page| match page {
        Ok(page) => page.into_iter().map(Ok).collect::<Vec<_>>(),
        Err(error) => vec![Err(error)],
    })
}
