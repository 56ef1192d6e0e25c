//! Carrying what was recorded to the planner: bundles out.

use super::{App, AppError, Command, room::Room};
use crate::{
    exchange::{self, BundleInfo, NotWritten},
    record::{Origin, Sealed},
    store::{Reader, StoreError},
    sys,
};
use std::{
    io::{self, Read},
    path::{Path, PathBuf},
};

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
    /// Records that are still not in any bundle: make another.
    pub left: u64,
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
    /// Entries put right or taken back.
    pub corrections: u64,
}

impl Command for MakeBundle {
    type Outcome = BundleMade;

    fn perform(self, app: &mut App) -> Result<BundleMade, AppError> {
        refuse_to_overwrite(&self.path)?;
        let own = app.store.read().own_origins()?;
        let unsent = if self.everything {
            app.all_of(&own)?
        } else {
            app.unsent(&own)?
        };
        let Some(first) = unsent.first() else {
            return Err(AppError::NothingToSend);
        };
        let register = app.register()?;
        let info = BundleInfo {
            plant: register.plant().id.clone(),
            plant_version: register.plant().version,
            origin: first.origin,
            device: app.device(),
            made_at: app.world.now(),
            made_by: app.operator.clone(),
        };
        let manifest = app.write_bundle(&self.path, &info, first)?;
        let mut batch = app.store.write()?;
        for run in &unsent {
            let sent = if run.origin == first.origin {
                manifest.records.last_seq
            } else {
                run.first - 1
            };
            batch.set(&sent_up_to(run.origin), &sent.to_string())?;
        }
        batch.commit()?;
        let bytes = std::fs::metadata(&self.path)
            .map_err(|error| AppError::file(&self.path, error))?
            .len();
        let all: u64 = unsent.iter().map(|run| run.last + 1 - run.first).sum();
        Ok(BundleMade {
            path: self.path,
            bytes,
            records: manifest.records.count,
            photos: manifest.photos.len(),
            left: all - manifest.records.count,
        })
    }
}

/// Records of one of the store's own origins that follow each other.
#[derive(Clone, Copy)]
struct Run {
    origin: Origin,
    first: u64,
    last: u64,
}

impl App {
    /// What waits to be sent.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn waiting(&self) -> Result<Waiting, AppError> {
        let reader = self.store.read();
        let mut waiting = Waiting::default();
        for run in self.unsent(&reader.own_origins()?)? {
            let counts = reader.counts_after(run.origin, run.first - 1)?;
            let count = |kind| counts.get(kind).copied().unwrap_or_default();
            waiting.visits += count("visit_opened");
            waiting.entries += count("entry_made");
            waiting.photos += count("photo_taken");
            waiting.corrections += count("entry_amended") + count("entry_withdrawn");
        }
        Ok(waiting)
    }

    /// What no bundle holds yet. A restored store has written under more than one origin.
    fn unsent(&self, own: &[Origin]) -> Result<Vec<Run>, AppError> {
        let mut runs = self.all_of(own)?;
        for run in &mut runs {
            let kept = self.store.read().setting(&sent_up_to(run.origin))?;
            // A pointer that can't be read sends everything again: the planner's side never doubles.
            run.first = kept.and_then(|text| text.parse().ok()).unwrap_or(0) + 1;
        }
        runs.retain(|run| run.first <= run.last);
        Ok(runs)
    }

    fn all_of(&self, own: &[Origin]) -> Result<Vec<Run>, AppError> {
        let rows = self.store.read().origins()?;
        let run = |origin: &Origin| {
            let row = rows.iter().find(|row| row.origin == *origin)?;
            Some(Run {
                origin: *origin,
                first: 1,
                last: row.highest_seq,
            })
        };
        Ok(own.iter().filter_map(run).collect())
    }

    fn write_bundle(
        &self,
        path: &Path,
        info: &BundleInfo,
        run: &Run,
    ) -> Result<exchange::Manifest, AppError> {
        let reader = self.store.read();
        let written = sys::write_whole(path, |file| {
            let photo = |name| Ok(reader.photo(name)?.map(|picture| picture.bytes));
            let records = Room::BUNDLE.fill(reader, records(reader, run.origin, run.first));
            exchange::write_bundle(file, info, records, photo).map_err(BundleNotWritten::Bundle)
        });
        written.map_err(|error| match error {
            BundleNotWritten::File(error) => AppError::file(path, error),
            BundleNotWritten::Bundle(error) => error.into(),
        })
    }
}

/// Name of the setting that says up to which of an origin's records bundles were written.
fn sent_up_to(origin: Origin) -> String {
    format!("sent_up_to {}", origin.0)
}

/// A slip of the hand must not write a bundle over a store or a photo: only a bundle is written over.
fn refuse_to_overwrite(path: &Path) -> Result<(), AppError> {
    let mut begin = [0; 128];
    let read = match std::fs::File::open(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        opened => opened.and_then(|mut file| file.read(&mut begin)),
    };
    let read = read.map_err(|error| AppError::file(path, error))?;
    let marks_a_bundle = |window: &[u8]| window == exchange::FORMAT.as_bytes();
    if begin[..read]
        .windows(exchange::FORMAT.len())
        .any(marks_a_bundle)
    {
        Ok(())
    } else {
        Err(AppError::NotOverwritten(path.to_owned()))
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
