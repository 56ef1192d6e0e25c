//! Taking in what others recorded: unpack → verify → plan → one transaction with a receipt.

use super::{App, AppError, Command, Progress, sound::Soundness};
use crate::{
    exchange::{self, Checks, Fate, Known, Manifest, MergePlan, NotPlanned, Staging},
    photo,
    record::{Hash, Hasher, Origin},
    report, say,
    store::{NewReceipt, Picture, Reader, ReceiptCounts, ReceiptRow, StoreError, Taken},
    sys::staging::StagingFolder,
};
use std::{
    ffi::OsString,
    fmt,
    fs::File,
    io,
    ops::{ControlFlow, RangeInclusive},
    path::{Path, PathBuf},
};
use uuid::Uuid;

/// Take in a bundle.
#[derive(Clone, Debug)]
pub struct Import {
    /// The file.
    pub path: PathBuf,
    /// How far it has come, and whether to go on.
    pub progress: Progress,
}

/// A bundle that was taken in.
#[derive(Clone, Debug, PartialEq)]
pub struct Imported {
    /// The receipt.
    pub receipt: ReceiptRow,
    /// This very file was taken in before; nothing changed.
    pub known_file: bool,
    /// The device's records before these that have not come yet, by number.
    pub missing: Option<RangeInclusive<u64>>,
    /// New records with a time more than a day ahead of this clock.
    pub far_future: u64,
    /// Photos that records name and that are nowhere.
    pub photos_absent: usize,
    /// The file came from a copy of this very store, so this one writes under a new origin from now on.
    pub copied: bool,
}

impl fmt::Display for Imported {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ReceiptCounts {
            new,
            known,
            set_aside,
            photos,
        } = self.receipt.counts;
        if self.known_file {
            return f.write_str(say!("this file was taken in before; nothing changed"));
        }
        let mut parts = vec![say!(
            "{new}, {known} already here, {photos}",
            new = report::counted(new, say!("new record"), say!("new records")),
            known,
            photos = report::counted(photos, say!("new photo"), say!("new photos")),
        )];
        if set_aside > 0 {
            parts.push(say!(
                "{count} set aside because they contradict records that are here",
                count = set_aside
            ));
        }
        parts.extend(self.missing.as_ref().map(not_come));
        if self.far_future > 0 {
            parts.push(say!(
                "{count} have a time in the future: look at that device's clock",
                count = self.far_future
            ));
        }
        if self.photos_absent > 0 {
            parts.push(say!(
                "{count} photos are missing: ask the device to send everything again",
                count = self.photos_absent
            ));
        }
        if self.copied {
            let copied = say!(
                "another device works with a copy of this store: this one goes by a new name from now on"
            );
            parts.push(copied.to_owned());
        }
        f.write_str(&parts.join("; "))
    }
}

fn not_come(missing: &RangeInclusive<u64>) -> String {
    let (first, last) = (missing.start(), missing.end());
    if first == last {
        say!(
            "record {number} of this device has not come yet: ask for its earlier bundles",
            number = first
        )
    } else {
        say!(
            "records {first} to {last} of this device have not come yet: ask for its earlier bundles",
            first,
            last
        )
    }
}

impl Command for Import {
    type Outcome = Imported;

    fn perform(self, app: &mut App) -> Result<Imported, AppError> {
        let file = || File::open(&self.path).map_err(AppError::BundleNotRead);
        let sha256 = hash_of(file()?).map_err(AppError::BundleNotRead)?;
        if let Some(receipt) = app.store.read().receipt_of(sha256)? {
            return Ok(Imported::nothing_new(receipt));
        }
        let mut unpacked = app.unpack(file()?, &self.progress)?;
        unpacked
            .manifest
            .expect_plant(&app.register()?.plant().id)?;
        let plan = app.plan(&unpacked.manifest, &mut unpacked.staged)?;
        let receipt = NewReceipt {
            sha256,
            file_name: self
                .path
                .file_name()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
            origin: Some(plan.origin),
            at: app.world.now(),
        };
        let (receipt, copied) = app.together(|app| {
            let receipt = app.take(&plan, &mut unpacked.staged, receipt)?;
            app.register = app.load_register()?;
            Ok::<_, AppError>((receipt, app.leave_shared_origin(&plan)?))
        })?;
        Ok(Imported {
            copied,
            receipt,
            known_file: false,
            missing: plan.gap,
            far_future: plan.far_future,
            photos_absent: plan.photos_absent.len(),
        })
    }
}

impl Imported {
    fn nothing_new(receipt: ReceiptRow) -> Self {
        Self {
            receipt,
            known_file: true,
            missing: None,
            far_future: 0,
            photos_absent: 0,
            copied: false,
        }
    }
}

impl App {
    /// A copied store must not go on under the name it shares with the other: their records would contradict.
    fn leave_shared_origin(&mut self, plan: &MergePlan) -> Result<bool, AppError> {
        let own = self.store.read().own_origins()?;
        let wrote_elsewhere = plan.new_count() > 0 || !plan.set_aside.is_empty();
        let copied = wrote_elsewhere && own.contains(&plan.origin);
        if copied {
            self.store.new_origin(self.world.as_mut())?;
        }
        Ok(copied)
    }

    fn unpack(
        &self,
        file: File,
        progress: &Progress,
    ) -> Result<exchange::Unpacked<StagingFolder>, AppError> {
        let staging =
            StagingFolder::create(&staging_place(self.store.path())).map_err(AppError::Staging)?;
        let checks = Checks {
            photo: &photo::verify_stored,
            watch: &mut |unpacked| {
                progress.set(unpacked.done as f64 / unpacked.total.max(1) as f64);
                if progress.is_cancelled() {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            },
        };
        Ok(exchange::unpack(file, staging, checks)?)
    }

    fn plan(
        &mut self,
        manifest: &Manifest,
        staged: &mut StagingFolder,
    ) -> Result<MergePlan, AppError> {
        let records = staged.records().map_err(AppError::Staging)?;
        let now = self.world.now();
        exchange::plan(manifest, records, &Here(self.store.read()), now).map_err(
            |error| match error {
                NotPlanned::Staging(error) => AppError::Staging(error),
                NotPlanned::Known(error) => error.into(),
            },
        )
    }

    fn take(
        &mut self,
        plan: &MergePlan,
        staged: &mut StagingFolder,
        new: NewReceipt,
    ) -> Result<ReceiptRow, AppError> {
        let mut batch = self.store.write()?;
        let id = batch.put_receipt(&new)?;
        let mut counts = ReceiptCounts {
            known: plan.already,
            ..ReceiptCounts::default()
        };
        for name in &plan.photos_new {
            let bytes = staged.photo(*name).map_err(AppError::Staging)?;
            let (width_px, height_px) = photo::size(&bytes)?;
            if batch.put_photo(
                *name,
                &Picture {
                    bytes,
                    width_px,
                    height_px,
                },
            )? {
                counts.photos += 1;
            }
        }
        let mut soundness = Soundness::default();
        for sealed in staged.records().map_err(AppError::Staging)? {
            let sealed = sealed.map_err(AppError::Staging)?;
            if plan.fate(sealed.record().seq) == Fate::Already {
                continue;
            }
            soundness.check(sealed.record(), &batch.read())?;
            match batch.take_in(&sealed, id)? {
                Taken::New => counts.new += 1,
                Taken::Known => counts.known += 1,
                Taken::SetAside(_) => counts.set_aside += 1,
            }
        }
        batch.count_receipt(id, counts)?;
        batch.commit()?;
        Ok(ReceiptRow {
            id,
            file: new,
            counts,
        })
    }
}

/// The SHA-256 of a file too large to hold.
fn hash_of(mut file: File) -> io::Result<Hash> {
    let mut hasher = Hasher::default();
    io::copy(&mut file, &mut hasher)?;
    Ok(hasher.finish())
}

/// A folder beside the store, so that two stores in one folder don't unpack into each other.
fn staging_place(store: &Path) -> PathBuf {
    let mut place = OsString::from(store);
    place.push("-staging");
    place.into()
}

struct Here<'s>(Reader<'s>);

impl Known for Here<'_> {
    type Error = StoreError;

    fn hash_of(&self, origin: Origin, seq: u64) -> Result<Option<Hash>, StoreError> {
        self.0.known(origin, seq)
    }

    fn hash_of_id(&self, id: Uuid) -> Result<Option<Hash>, StoreError> {
        self.0.known_id(id)
    }

    fn last_before(&self, origin: Origin, seq: u64) -> Result<Option<u64>, StoreError> {
        self.0.last_before(origin, seq)
    }

    fn has_photo(&self, photo: Hash) -> Result<bool, StoreError> {
        self.0.has_photo(photo)
    }
}
