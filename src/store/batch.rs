//! Writing: everything in one transaction, or nothing.

use super::{
    NewReceipt, Picture, Reader, ReceiptCounts, ReceiptId, Result, Store, StoreError, Taken,
    WhySetAside, codec::Col, project::project, together::Part,
};
use crate::{
    record::{Body, Hash, Origin, Record, Sealed},
    sys::World,
};
use rusqlite::{Connection, OptionalExtension, params};

/// One transaction, or a part of one that [`Store::begin_together`] began: [`Batch::commit`] keeps all of it, dropping it
/// keeps nothing.
///
/// After any error the batch can only be dropped.
#[derive(Debug)]
pub struct Batch<'s> {
    part: Part<'s>,
    origin: Origin,
    is_backup: bool,
    failed: bool,
}

impl Store {
    /// Begins to write.
    ///
    /// # Errors
    /// `DiskFull`, `NotWritable`.
    pub fn write(&mut self) -> Result<Batch<'_>> {
        Ok(Batch {
            origin: self.origin,
            is_backup: self.is_backup,
            part: self.part()?,
            failed: false,
        })
    }
}

impl Batch<'_> {
    /// What the store would show if this batch were kept.
    pub fn read(&self) -> Reader<'_> {
        Reader {
            conn: &self.part,
            origin: self.origin,
        }
    }

    /// Writes a record of this store's own: next in its order, at the time it is.
    ///
    /// # Errors
    /// `NeedsNewOrigin` in a backup, `BadRecord` where a number is not finite, `DiskFull`.
    pub fn append(&mut self, world: &mut dyn World, by: &str, body: Body) -> Result<Sealed> {
        let (origin, is_backup) = (self.origin, self.is_backup);
        self.step(|conn| {
            if is_backup {
                return Err(StoreError::NeedsNewOrigin);
            }
            let at = world.now();
            let sealed = Sealed::new(Record {
                origin,
                seq: next_seq(conn, origin)?,
                id: world.new_id(),
                at,
                by: by.to_owned(),
                body,
            })?;
            insert(conn, &sealed)?;
            Ok(sealed)
        })
    }

    /// Takes in a record that came in a file.
    ///
    /// A record of this store's own origin that it does not know shows that the store was restored or cloned:
    /// it is taken in like any other, and [`Store::new_origin`] must follow.
    ///
    /// # Errors
    /// `SeqTooLarge` for a sequence number past 2⁶³, `DiskFull`.
    pub fn take_in(&mut self, sealed: &Sealed, receipt: ReceiptId) -> Result<Taken> {
        self.step(|conn| {
            let record = sealed.record();
            if i64::try_from(record.seq).is_err() {
                return Err(StoreError::SeqTooLarge(record.seq));
            }
            let taken = compare(conn, sealed)?;
            match taken {
                Taken::Known => {}
                Taken::SetAside(why) => set_aside(conn, sealed, why, receipt)?,
                Taken::New => {
                    insert(conn, sealed)?;
                    conn.prepare_cached(
                        "INSERT INTO arrival (origin, seq, receipt) VALUES (?1, ?2, ?3)",
                    )?
                    .execute(params![
                        Col(record.origin),
                        Col(record.seq),
                        receipt.0
                    ])?;
                }
            }
            Ok(taken)
        })
    }

    /// Keeps a picture under its hash; `false` where it was here before.
    ///
    /// # Errors
    /// `HashMismatch` where the bytes are others, `DiskFull`.
    pub fn put_photo(&mut self, sha256: Hash, picture: &Picture) -> Result<bool> {
        self.step(|conn| {
            if Hash::of(&picture.bytes) != sha256 {
                return Err(StoreError::HashMismatch(sha256));
            }
            let added = conn
                .prepare_cached(
                    "INSERT INTO photo (sha256, width_px, height_px, bytes) VALUES (?1, ?2, ?3, ?4)
                     ON CONFLICT DO NOTHING",
                )?
                .execute(params![
                    Col(sha256),
                    picture.width_px,
                    picture.height_px,
                    picture.bytes
                ])?;
            Ok(added == 1)
        })
    }

    /// Keeps a plant as JSON and gives its hash, for a [`crate::record::PackTaken`] to name.
    ///
    /// # Errors
    /// `DiskFull`.
    pub fn put_pack(&mut self, plant_json: &[u8]) -> Result<Hash> {
        self.step(|conn| {
            let sha256 = Hash::of(plant_json);
            conn.prepare_cached(
                "INSERT INTO pack (sha256, bytes) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
            )?
            .execute(params![Col(sha256), plant_json])?;
            Ok(sha256)
        })
    }

    /// Begins a receipt; its counts are told by [`Batch::count_receipt`].
    ///
    /// # Errors
    /// `AlreadyTakenIn` where a file with these bytes has a receipt.
    pub fn put_receipt(&mut self, new: &NewReceipt) -> Result<ReceiptId> {
        if let Some(before) = self.read().receipt_of(new.sha256)? {
            self.failed = true;
            return Err(StoreError::AlreadyTakenIn(before.file.file_name));
        }
        self.step(|conn| {
            conn.prepare_cached(
                "INSERT INTO receipt (sha256, file_name, origin, utc_ms, offset_min) VALUES (?1, ?2, ?3, ?4, ?5)",
            )?
            .execute(params![
                Col(new.sha256),
                new.file_name,
                new.origin.map(Col),
                new.at.utc_ms,
                new.at.offset_min
            ])?;
            Ok(ReceiptId(conn.last_insert_rowid()))
        })
    }

    /// Writes on a receipt what came of its file.
    ///
    /// # Errors
    /// `DiskFull`.
    pub fn count_receipt(&mut self, receipt: ReceiptId, counts: ReceiptCounts) -> Result<()> {
        self.step(|conn| {
            conn.prepare_cached(
                "UPDATE receipt SET new = ?2, known = ?3, set_aside = ?4, photos = ?5 WHERE receipt = ?1",
            )?
            .execute(params![
                receipt.0,
                Col(counts.new),
                Col(counts.known),
                Col(counts.set_aside),
                Col(counts.photos)
            ])?;
            Ok(())
        })
    }

    /// Keeps a small note of this store's own, which travels in no bundle.
    ///
    /// # Errors
    /// `DiskFull`.
    pub fn set(&mut self, name: &str, value: &str) -> Result<()> {
        self.step(|conn| {
            conn.prepare_cached(
                "INSERT INTO setting (name, value) VALUES (?1, ?2)
                 ON CONFLICT (name) DO UPDATE SET value = excluded.value",
            )?
            .execute([name, value])?;
            Ok(())
        })
    }

    /// Keeps everything done in this batch. When this returns, it survives a killed process and a lost battery; between
    /// [`Store::begin_together`] and its end only when that has returned.
    ///
    /// # Errors
    /// `BatchFailed` after an earlier error, `DiskFull`; then nothing of the batch is kept.
    pub fn commit(self) -> Result<()> {
        if self.failed {
            return Err(StoreError::BatchFailed);
        }
        self.part.commit()
    }

    /// A step that failed half-way must not be kept with what came before it.
    fn step<T>(&mut self, work: impl FnOnce(&Connection) -> Result<T>) -> Result<T> {
        if self.failed {
            return Err(StoreError::BatchFailed);
        }
        let done = work(&self.part);
        self.failed = done.is_err();
        done
    }
}

fn next_seq(conn: &Connection, origin: Origin) -> Result<u64> {
    let highest: Option<Col<u64>> = conn
        .prepare_cached("SELECT max(seq) FROM journal WHERE origin = ?1")?
        .query_row([Col(origin)], |row| row.get(0))?;
    Ok(highest.map_or(1, |seq| seq.0.saturating_add(1)))
}

/// Puts a record in the journal and derives what is shown from it.
pub(super) fn insert(conn: &Connection, sealed: &Sealed) -> Result<()> {
    let record = sealed.record();
    conn.prepare_cached(
        "INSERT INTO journal (origin, seq, id, kind, utc_ms, offset_min, signed_by, bytes, hash)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?
    .execute(params![
        Col(record.origin),
        Col(record.seq),
        Col(record.id),
        record.body.kind(),
        record.at.utc_ms,
        record.at.offset_min,
        record.by,
        sealed.bytes(),
        Col(sealed.hash())
    ])?;
    project(conn, record)
}

/// How a record stands to those that are here.
fn compare(conn: &Connection, sealed: &Sealed) -> Result<Taken> {
    let record = sealed.record();
    let in_its_place: Option<Col<Hash>> = conn
        .prepare_cached("SELECT hash FROM journal WHERE origin = ?1 AND seq = ?2")?
        .query_row(params![Col(record.origin), Col(record.seq)], |row| {
            row.get(0)
        })
        .optional()?;
    if let Some(Col(hash)) = in_its_place {
        return Ok(if hash == sealed.hash() {
            Taken::Known
        } else {
            Taken::SetAside(WhySetAside::SamePlace)
        });
    }
    let id_is_known = conn
        .prepare_cached("SELECT 1 FROM journal WHERE id = ?1")?
        .exists([Col(record.id)])?;
    Ok(if id_is_known {
        Taken::SetAside(WhySetAside::SameId)
    } else {
        Taken::New
    })
}

fn set_aside(
    conn: &Connection,
    sealed: &Sealed,
    why: WhySetAside,
    receipt: ReceiptId,
) -> Result<()> {
    let record = sealed.record();
    conn.prepare_cached(
        "INSERT INTO set_aside (hash, origin, seq, id, why, receipt, bytes) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)
         ON CONFLICT DO NOTHING",
    )?
    .execute(params![
        Col(sealed.hash()),
        Col(record.origin),
        Col(record.seq),
        Col(record.id),
        why.key(),
        receipt.0,
        sealed.bytes()
    ])?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        record::{Stamp, VisitClosed},
        sys::StillWorld,
    };
    use std::sync::atomic::AtomicBool;
    use uuid::Uuid;

    fn append(store: &mut Store, world: &mut StillWorld) -> Result<Sealed> {
        let visit = world.new_id();
        let mut batch = store.write()?;
        let sealed = batch.append(world, "T. Tester", Body::VisitClosed(VisitClosed { visit }))?;
        batch.commit()?;
        Ok(sealed)
    }

    #[test]
    fn a_full_disk_is_told_and_loses_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let mut world = StillWorld::at(
            Stamp {
                utc_ms: 0,
                offset_min: 0,
            },
            1,
        );
        let mut store = Store::create(&dir.path().join("a.lantern"), &mut world).unwrap();
        let pages: i64 = store
            .conn
            .query_row("PRAGMA page_count", [], |row| row.get(0))
            .unwrap();
        store
            .conn
            .pragma_update(None, "max_page_count", pages + 5)
            .unwrap();
        let mut kept: Vec<Uuid> = Vec::new();
        let error = loop {
            match append(&mut store, &mut world) {
                Ok(sealed) => kept.push(sealed.record().id),
                Err(error) => break error,
            }
        };
        assert!(matches!(error, StoreError::DiskFull), "{error}");
        assert!(error.to_string().contains("disk is full"), "{error}");
        assert!(kept.len() > 10);

        store
            .conn
            .pragma_update(None, "max_page_count", pages + 500)
            .unwrap();
        kept.push(append(&mut store, &mut world).unwrap().record().id);
        let there = store.read().records_of(store.origin, 1, u32::MAX).unwrap();
        let there: Vec<Uuid> = there.iter().map(|sealed| sealed.record().id).collect();
        assert_eq!(there, kept);
        let report = store.verify(&mut |_| (), &AtomicBool::new(false)).unwrap();
        assert!(report.is_clean(), "{:?}", report.faults);
    }
}
