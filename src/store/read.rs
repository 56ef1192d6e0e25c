//! Reading the journal and what is kept beside it.

use super::{
    ArrivalRow, NewReceipt, OriginRow, PackRow, Picture, Reader, ReceiptCounts, ReceiptId,
    ReceiptRow, Result, SetAsideRow, StoreError, WhySetAside,
    codec::{Col, sealed_of},
    query::parsed,
};
use crate::record::{Hash, Origin, Sealed, Stamp};
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::ops::RangeInclusive;
use uuid::Uuid;

impl Reader<'_> {
    /// The name this store writes under.
    pub fn origin(&self) -> Origin {
        self.origin
    }

    /// Up to `limit` records of a device in its order, from a sequence number on.
    ///
    /// # Errors
    /// `DamagedRecord` where one is not what was written.
    pub fn records_of(&self, origin: Origin, from_seq: u64, limit: u32) -> Result<Vec<Sealed>> {
        let Ok(from_seq) = i64::try_from(from_seq) else {
            return Ok(Vec::new());
        };
        let mut records = self.conn.prepare_cached(
            "SELECT origin, seq, bytes, hash FROM journal WHERE origin = ?1 AND seq >= ?2 ORDER BY seq LIMIT ?3",
        )?;
        records
            .query_and_then(params![Col(origin), from_seq, limit], sealed_of)?
            .collect()
    }

    /// The devices whose records are here, this store's own names among them.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn origins(&self) -> Result<Vec<OriginRow>> {
        let mut origins = self.conn.prepare_cached(
            "WITH RECURSIVE device (origin) AS (
               SELECT min(origin) FROM journal
               UNION ALL
               SELECT (SELECT min(origin) FROM journal WHERE origin > device.origin)
               FROM device WHERE device.origin IS NOT NULL)
             SELECT origin,
               (SELECT max(seq) FROM journal WHERE journal.origin = device.origin),
               EXISTS (SELECT 1 FROM own_origin WHERE own_origin.origin = device.origin)
             FROM device WHERE origin IS NOT NULL",
        )?;
        let rows = origins.query_and_then([], |row| {
            Ok(OriginRow {
                origin: row.get::<_, Col<Origin>>(0)?.0,
                highest_seq: row.get::<_, Col<u64>>(1)?.0,
                is_own: row.get(2)?,
            })
        })?;
        rows.collect()
    }

    /// The names this store has written under, oldest first, the present one last.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn own_origins(&self) -> Result<Vec<Origin>> {
        let mut origins = self
            .conn
            .prepare_cached("SELECT origin FROM own_origin ORDER BY place")?;
        let rows = origins.query_and_then([], |row| Ok(row.get::<_, Col<Origin>>(0)?.0))?;
        rows.collect()
    }

    /// Sequence numbers below a device's highest that are not here. Looks at every record of the device.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn gaps(&self, origin: Origin) -> Result<Vec<RangeInclusive<u64>>> {
        let mut gaps = self.conn.prepare_cached(
            "SELECT before + 1, seq - 1
             FROM (SELECT seq, lag(seq, 1, 0) OVER (ORDER BY seq) AS before FROM journal WHERE origin = ?1)
             WHERE seq > before + 1",
        )?;
        let rows = gaps.query_and_then([Col(origin)], |row| {
            Ok(row.get::<_, Col<u64>>(0)?.0..=row.get::<_, Col<u64>>(1)?.0)
        })?;
        rows.collect()
    }

    /// The highest sequence number of a device below this one that is here.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn last_before(&self, origin: Origin, seq: u64) -> Result<Option<u64>> {
        let seq = i64::try_from(seq).unwrap_or(i64::MAX);
        let last: Option<Col<u64>> = self
            .conn
            .prepare_cached("SELECT max(seq) FROM journal WHERE origin = ?1 AND seq < ?2")?
            .query_row(params![Col(origin), seq], |row| row.get(0))?;
        Ok(last.map(|last| last.0))
    }

    /// The hash of the record in this place, if there is one.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn known(&self, origin: Origin, seq: u64) -> Result<Option<Hash>> {
        let Ok(seq) = i64::try_from(seq) else {
            return Ok(None);
        };
        let hash: Option<Col<Hash>> = self
            .conn
            .prepare_cached("SELECT hash FROM journal WHERE origin = ?1 AND seq = ?2")?
            .query_row(params![Col(origin), seq], |row| row.get(0))
            .optional()?;
        Ok(hash.map(|hash| hash.0))
    }

    /// The hash of the record with this id, if there is one.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn known_id(&self, id: Uuid) -> Result<Option<Hash>> {
        let hash: Option<Col<Hash>> = self
            .conn
            .prepare_cached("SELECT hash FROM journal WHERE id = ?1")?
            .query_row([Col(id)], |row| row.get(0))
            .optional()?;
        Ok(hash.map(|hash| hash.0))
    }

    /// The record with this id, if there is one.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn record(&self, id: Uuid) -> Result<Option<Sealed>> {
        let mut records = self
            .conn
            .prepare_cached("SELECT origin, seq, bytes, hash FROM journal WHERE id = ?1")?;
        let mut rows = records.query([Col(id)])?;
        rows.next()?.map(sealed_of).transpose()
    }

    /// A picture, refused where its bytes are no longer those of its name.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn photo(&self, sha256: Hash) -> Result<Option<Picture>> {
        let picture = self
            .conn
            .prepare_cached("SELECT bytes, width_px, height_px FROM photo WHERE sha256 = ?1")?
            .query_row([Col(sha256)], |row| {
                Ok(Picture {
                    bytes: row.get(0)?,
                    width_px: row.get(1)?,
                    height_px: row.get(2)?,
                })
            })
            .optional()?;
        match picture {
            Some(picture) if Hash::of(&picture.bytes) != sha256 => {
                Err(StoreError::Damaged(format!("photo {sha256}")))
            }
            picture => Ok(picture),
        }
    }

    /// Size of a picture in bytes, without reading it.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn photo_bytes(&self, sha256: Hash) -> Result<Option<u64>> {
        let bytes: Option<Col<u64>> = self
            .conn
            .prepare_cached("SELECT length(bytes) FROM photo WHERE sha256 = ?1")?
            .query_row([Col(sha256)], |row| row.get(0))
            .optional()?;
        Ok(bytes.map(|bytes| bytes.0))
    }

    /// The picture is in this store.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn has_photo(&self, sha256: Hash) -> Result<bool> {
        Ok(self
            .conn
            .prepare_cached("SELECT 1 FROM photo WHERE sha256 = ?1")?
            .exists([Col(sha256)])?)
    }

    /// A plant as JSON, refused where its bytes are no longer those of its hash.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn pack(&self, sha256: Hash) -> Result<Option<Vec<u8>>> {
        let bytes: Option<Vec<u8>> = self
            .conn
            .prepare_cached("SELECT bytes FROM pack WHERE sha256 = ?1")?
            .query_row([Col(sha256)], |row| row.get(0))
            .optional()?;
        match bytes {
            Some(bytes) if Hash::of(&bytes) != sha256 => {
                Err(StoreError::Damaged(format!("pack {sha256}")))
            }
            bytes => Ok(bytes),
        }
    }

    /// The plant this store works by: the one it took in last itself.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn current_pack(&self) -> Result<Option<PackRow>> {
        let mut packs = self.conn.prepare_cached(
            "SELECT taken.plant, taken.version, taken.sha256
             FROM own_origin JOIN pack_taken AS taken USING (origin) JOIN pack USING (sha256)
             ORDER BY own_origin.place DESC, taken.seq DESC LIMIT 1",
        )?;
        let mut rows = packs.query([])?;
        let Some(row) = rows.next()? else {
            return Ok(None);
        };
        let sha256 = row.get::<_, Col<Hash>>(2)?.0;
        let Some(bytes) = self.pack(sha256)? else {
            return Ok(None);
        };
        Ok(Some(PackRow {
            plant: parsed(row, 0)?,
            version: row.get(1)?,
            sha256,
            bytes,
        }))
    }

    /// A small note of this store's own.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn setting(&self, name: &str) -> Result<Option<String>> {
        setting(self.conn, name)
    }

    /// The files taken in, newest first.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn receipts(&self) -> Result<Vec<ReceiptRow>> {
        let mut receipts = self.conn.prepare_cached(
            "SELECT receipt, sha256, file_name, origin, utc_ms, offset_min, new, known, set_aside, photos
             FROM receipt ORDER BY receipt DESC",
        )?;
        receipts.query_and_then([], receipt_row)?.collect()
    }

    /// The receipt of a file with this hash, if it was taken in.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn receipt_of(&self, sha256: Hash) -> Result<Option<ReceiptRow>> {
        let mut receipts = self.conn.prepare_cached(
            "SELECT receipt, sha256, file_name, origin, utc_ms, offset_min, new, known, set_aside, photos
             FROM receipt WHERE sha256 = ?1",
        )?;
        let mut rows = receipts.query([Col(sha256)])?;
        rows.next()?.map(receipt_row).transpose()
    }

    /// How many effective entries a file brought, by pump and verdict, the worst first.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn arrivals(&self, receipt: ReceiptId) -> Result<Vec<ArrivalRow>> {
        let mut arrivals = self.conn.prepare_cached(
            "SELECT e.pump, e.verdict, count(*)
             FROM arrival AS a JOIN journal AS j ON j.origin = a.origin AND j.seq = a.seq
             JOIN effective_entry AS e ON e.record = j.id
             WHERE a.receipt = ?1 GROUP BY e.pump, e.verdict ORDER BY e.verdict DESC, e.pump",
        )?;
        let rows = arrivals.query_and_then([receipt.0], |row| {
            Ok(ArrivalRow {
                pump: parsed(row, 0)?,
                verdict: row.get::<_, Col<_>>(1)?.0,
                entries: row.get(2)?,
            })
        })?;
        rows.collect()
    }

    /// The records that contradict one that is here.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn set_aside(&self) -> Result<Vec<SetAsideRow>> {
        let mut records = self.conn.prepare_cached(
            "SELECT origin, seq, id, hash, bytes, why, receipt FROM set_aside ORDER BY receipt, origin, seq, hash",
        )?;
        let rows = records.query_and_then([], |row| {
            Ok(SetAsideRow {
                origin: row.get::<_, Col<Origin>>(0)?.0,
                seq: row.get::<_, Col<u64>>(1)?.0,
                id: row.get::<_, Col<Uuid>>(2)?.0,
                hash: row.get::<_, Col<Hash>>(3)?.0,
                bytes: row.get(4)?,
                why: WhySetAside::from_key(&row.get::<_, String>(5)?)?,
                receipt: ReceiptId(row.get(6)?),
            })
        })?;
        rows.collect()
    }
}

pub(super) fn setting(conn: &Connection, name: &str) -> Result<Option<String>> {
    Ok(conn
        .prepare_cached("SELECT value FROM setting WHERE name = ?1")?
        .query_row([name], |row| row.get(0))
        .optional()?)
}

fn receipt_row(row: &Row<'_>) -> Result<ReceiptRow> {
    Ok(ReceiptRow {
        id: ReceiptId(row.get(0)?),
        file: NewReceipt {
            sha256: row.get::<_, Col<Hash>>(1)?.0,
            file_name: row.get(2)?,
            origin: row.get::<_, Option<Col<Origin>>>(3)?.map(|origin| origin.0),
            at: Stamp {
                utc_ms: row.get(4)?,
                offset_min: row.get(5)?,
            },
        },
        counts: ReceiptCounts {
            new: row.get::<_, Col<u64>>(6)?.0,
            known: row.get::<_, Col<u64>>(7)?.0,
            set_aside: row.get::<_, Col<u64>>(8)?.0,
            photos: row.get::<_, Col<u64>>(9)?.0,
        },
    })
}
