//! Which remedies hold, and what was put right as far as what is due needs it.

use super::{
    DeedRow, Reader, RemediesWhich, Result, StoreError,
    codec::{Col, record_of},
    deeds::deed_row,
};
use crate::{
    plant::{Place, PumpId},
    record::{Deed, Record},
};
use rusqlite::{Connection, ToSql, params, params_from_iter};
use uuid::Uuid;

/// Of those that bear one identity the first written down holds, unless it was taken back.
const SETTLE: &str = "UPDATE remedy SET holds =
    record = (SELECT record FROM remedy WHERE remedy = ?1 ORDER BY utc_ms, seq, origin LIMIT 1)
    AND NOT EXISTS (SELECT 1 FROM deed WHERE subject = ?1 AND kind = 'remedy_withdrawn')
  WHERE remedy = ?1";

/// Remedies `r` that hold; `{which}` says which of them, ?1 how many.
const REMEDIES: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM remedy AS r JOIN journal AS j ON j.id = r.record
     WHERE r.holds = 1 AND {which} ORDER BY r.done_ms DESC, r.utc_ms DESC, r.seq DESC, r.origin LIMIT ?1";

/// Adds what was put right; the outcome follows from which records are here, not from their order.
pub(super) fn add(conn: &Connection, record: &Record, deed: &Deed) -> Result<()> {
    let Deed::Remedied {
        remedy,
        pump,
        what,
        done_at,
        ..
    } = deed
    else {
        return Ok(());
    };
    conn.prepare_cached(
        "INSERT INTO remedy (record, origin, seq, remedy, pump, greased, done_ms, utc_ms, holds)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, 0)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        Col(*remedy),
        pump.as_str(),
        what.greased().map(Place::key),
        done_at.utc_ms,
        record.at.utc_ms,
    ])?;
    settle(conn, *remedy)
}

/// Settles anew which of the remedies of one identity holds.
pub(super) fn settle(conn: &Connection, remedy: Uuid) -> Result<()> {
    conn.prepare_cached(SETTLE)?.execute([Col(remedy)])?;
    Ok(())
}

impl Reader<'_> {
    /// Up to `most` of the remedies asked for that hold, what was done last first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn remedies(&self, of: RemediesWhich<'_>, most: u32) -> Result<Vec<DeedRow>> {
        let (which, params): (&str, Vec<Box<dyn ToSql + '_>>) = match of {
            RemediesWhich::At(pump) => ("r.pump = ?2", vec![Box::new(pump.as_str())]),
            RemediesWhich::Is(remedy) => ("r.remedy = ?2", vec![Box::new(Col(remedy))]),
            RemediesWhich::DoneSince(from_ms) => ("r.done_ms >= ?2", vec![Box::new(from_ms)]),
            RemediesWhich::Between(from_ms, to_ms) => (
                "r.utc_ms >= ?2 AND r.utc_ms < ?3",
                vec![Box::new(from_ms), Box::new(to_ms)],
            ),
        };
        let mut all: Vec<Box<dyn ToSql + '_>> = vec![Box::new(most)];
        all.extend(params);
        let mut asked = self
            .conn
            .prepare_cached(&REMEDIES.replace("{which}", which))?;
        let rows = asked.query_and_then(params_from_iter(all), |row| deed_row(record_of(row)?))?;
        rows.collect()
    }

    /// When each of a pump's bearings was greased last, milliseconds since 1970 UTC, as far as anybody entered it.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn greased_last(&self, pump: &PumpId) -> Result<Vec<(Place, i64)>> {
        let mut greased = self.conn.prepare_cached(
            "SELECT greased, max(done_ms) FROM remedy
             WHERE pump = ?1 AND holds = 1 AND greased IS NOT NULL GROUP BY greased",
        )?;
        let rows = greased.query_and_then([pump.as_str()], |row| {
            let key: String = row.get(0)?;
            let place = Place::from_key(&key)
                .ok_or_else(|| StoreError::Damaged(format!("no place is named '{key}'")))?;
            Ok((place, row.get(1)?))
        })?;
        rows.collect()
    }
}
