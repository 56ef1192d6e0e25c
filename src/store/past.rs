//! Past entries as far as trends need them, and visits as far as hours do, read in a fraction of the time that whole records take.

use super::{
    PastReading, Reader, Result, Sighting, StoreError,
    codec::{Col, read_of},
    query::HISTORY,
};
use crate::{
    check::{Entered, RunningState},
    plant::{CheckId, PumpId},
    record::Stamp,
};
use rusqlite::params;
use serde::Deserialize;
use uuid::Uuid;

/// The fields of a record that are read here; all others are passed over.
#[derive(Deserialize)]
struct Short {
    id: Uuid,
    body: ShortBody,
}

/// An entry made has them in its body, an entry put right one step further in.
#[derive(Deserialize)]
struct ShortBody {
    visit: Option<Uuid>,
    running: Option<RunningState>,
    seen_at: Option<Stamp>,
    entered: Option<Entered>,
    entry: Option<Box<ShortBody>>,
}

/// What the pump of each visit since ?2 was last seen doing, with the visit before it; the newest first.
pub(super) const SIGHTINGS: &str =
    "SELECT coalesce(v.last_running, v.running), v.opened_ms, v.closed_ms FROM visit AS v
     WHERE v.pump = ?1 AND v.opened_ms >= coalesce(
       (SELECT max(opened_ms) FROM visit WHERE pump = ?1 AND opened_ms <= ?2), ?2)
     ORDER BY v.opened_ms DESC, v.seq DESC, v.origin DESC LIMIT ?3";

const SINCE: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM effective_entry AS e JOIN journal AS j ON j.id = e.record
     WHERE e.pump = ?1 AND e.check_id = ?2 AND e.seen_ms >= ?3
     ORDER BY e.seen_ms DESC, e.seq DESC, e.origin DESC LIMIT ?4";

impl Reader<'_> {
    /// The effective entries of one check seen at `from_ms` (milliseconds since 1970 UTC) or later, the newest first: in
    /// short.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn past_readings_since(
        &self,
        pump: &PumpId,
        check: CheckId,
        from_ms: i64,
        limit: u32,
    ) -> Result<Vec<PastReading>> {
        let mut entries = self.conn.prepare_cached(SINCE)?;
        let params = params![pump.as_str(), check.to_string(), from_ms, limit];
        let rows = entries.query_and_then(params, |row| in_short(read_of(row)?))?;
        rows.collect()
    }

    /// What a pump was seen doing in each visit since a time, with the one before that says what it was doing then; the
    /// newest first.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn sightings(&self, pump: &PumpId, from_ms: i64, limit: u32) -> Result<Vec<Sighting>> {
        let mut visits = self.conn.prepare_cached(SIGHTINGS)?;
        let rows = visits.query_and_then(params![pump.as_str(), from_ms, limit], |row| {
            Ok(Sighting {
                running: row.get::<_, Col<RunningState>>(0)?.0,
                opened_ms: row.get(1)?,
                closed_ms: row.get(2)?,
            })
        })?;
        rows.collect()
    }

    /// Up to `limit` effective entries of a pump's check, newest first, as [`Reader::history`] gives them: in short.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn past_readings(
        &self,
        pump: &PumpId,
        check: CheckId,
        limit: u32,
    ) -> Result<Vec<PastReading>> {
        let mut entries = self.conn.prepare_cached(HISTORY)?;
        let params = params![pump.as_str(), check.to_string(), limit];
        let rows = entries.query_and_then(params, |row| in_short(read_of(row)?))?;
        rows.collect()
    }
}

fn in_short(Short { id, body }: Short) -> Result<PastReading> {
    let body = match body.entry {
        Some(entry) => *entry,
        None => body,
    };
    match (body.visit, body.seen_at, body.entered) {
        (Some(visit), Some(seen_at), Some(entered)) => Ok(PastReading {
            record: id,
            visit,
            running: body.running,
            seen_at,
            entered,
        }),
        _ => Err(StoreError::Damaged(format!(
            "record {id} holds no entry, which is what it is listed as"
        ))),
    }
}
