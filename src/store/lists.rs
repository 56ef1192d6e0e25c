//! Asking for lists, and for what carrying needs to know.

use super::{
    AdoptedTagRow, EntryRow, FindingRow, Nearby, Reader, Result,
    codec::{Col, record_of},
    project::TALLIED,
    query::{adopted_tag_row, parsed},
};
use crate::{
    judge::Verdict,
    plant::{CheckId, PumpId},
    record::Origin,
};
use rusqlite::params;
use std::collections::BTreeMap;

const NEAR: &str = "SELECT j.origin, j.seq, j.bytes, j.hash
     FROM (SELECT record, seen_ms, seq, origin FROM effective_entry WHERE pump = ?1 AND check_id = ?2
           ORDER BY seen_ms DESC, seq DESC, origin DESC LIMIT ?3) AS e
     JOIN journal AS j ON j.id = e.record
     WHERE e.seen_ms BETWEEN ?4 AND ?5
        OR e.origin = ?6 AND (e.seq < ?7 AND e.seen_ms > ?5 OR e.seq > ?7 AND e.seen_ms < ?4)
     ORDER BY e.seen_ms DESC, e.seq DESC, e.origin DESC";

impl Reader<'_> {
    /// Effective entries of one pump or of all, the newest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn newest_entries(&self, pump: Option<&PumpId>, limit: u32) -> Result<Vec<EntryRow>> {
        let mut entries = self.conn.prepare_cached(
            "SELECT j.origin, j.seq, j.bytes, j.hash FROM effective_entry AS e JOIN journal AS j ON j.id = e.record
             WHERE ?1 IS NULL OR e.pump = ?1
             ORDER BY e.seen_ms DESC, e.seq DESC, e.origin DESC LIMIT ?2",
        )?;
        let rows = entries.query_and_then(params![pump.map(PumpId::as_str), limit], |row| {
            self.entry_row(record_of(row)?)
        })?;
        rows.collect()
    }

    /// How many records of each kind (as [`crate::record::Body::kind`] names it) a device wrote after a number.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn counts_after(&self, origin: Origin, seq: u64) -> Result<BTreeMap<String, u64>> {
        let seq = i64::try_from(seq).unwrap_or(i64::MAX);
        // Whole blocks as they were tallied, and what is left of the one that the number lies in.
        let mut counts = self.conn.prepare_cached(
            "SELECT kind, sum(records) FROM (
               SELECT kind, records FROM tally WHERE origin = ?1 AND block > ?2 / ?3
               UNION ALL
               SELECT kind, 1 FROM journal WHERE origin = ?1 AND seq > ?2 AND seq < (?2 / ?3 + 1) * ?3)
             GROUP BY kind",
        )?;
        let rows = counts.query_and_then(params![Col(origin), seq, TALLIED], |row| {
            Ok((row.get(0)?, row.get::<_, Col<u64>>(1)?.0))
        })?;
        rows.collect()
    }

    /// The pumps where what a check comes to now carries a finding and is as bad as this.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn pumps_found(&self, verdict: Verdict) -> Result<Vec<PumpId>> {
        let mut pumps = self.conn.prepare_cached(
            "SELECT DISTINCT pump FROM latest WHERE finding IS NOT NULL AND verdict = ?1",
        )?;
        let rows = pumps.query_and_then([Col(verdict)], |row| parsed(row, 0))?;
        rows.collect()
    }

    /// Of the newest `limit` effective entries of a pump's check those near a record, newest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn history_near(
        &self,
        pump: &PumpId,
        check: CheckId,
        near: Nearby,
        limit: u32,
    ) -> Result<Vec<EntryRow>> {
        let mut entries = self.conn.prepare_cached(NEAR)?;
        let params = params![
            pump.as_str(),
            check.to_string(),
            limit,
            near.from_ms,
            near.to_ms,
            Col(near.origin),
            Col(near.seq),
        ];
        let rows = entries.query_and_then(params, |row| self.entry_row(record_of(row)?))?;
        rows.collect()
    }

    /// Every adoption of a code. A code that two devices adopted for different pumps is there more than once: who
    /// looks a code up must not guess.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn adopted_tags(&self) -> Result<Vec<AdoptedTagRow>> {
        let mut tags = self.conn.prepare_cached(
            "SELECT j.origin, j.seq, j.bytes, j.hash FROM adopted_tag AS t JOIN journal AS j ON j.id = t.record
             ORDER BY t.code, t.utc_ms, t.seq, t.origin",
        )?;
        tags.query_and_then([], |row| adopted_tag_row(record_of(row)?))?
            .collect()
    }
}

impl FindingRow {
    /// It is still so: what the check comes to now carries it and is out of limits.
    pub fn is_open(&self) -> bool {
        self.holds_latest && self.latest.entry.judgement.verdict.is_out_of_limits()
    }
}
