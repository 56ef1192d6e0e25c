//! Asking for lists, and for what carrying needs to know.

use super::{
    AdoptedTagRow, EntryRow, FindingRow, Reader, Result,
    codec::{Col, record_of},
    query::{adopted_tag_row, entry_row},
};
use crate::{plant::PumpId, record::Origin};
use rusqlite::params;

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
            entry_row(record_of(row)?)
        })?;
        rows.collect()
    }

    /// How many records of one kind (as [`crate::record::Body::kind`] names it) a device wrote after a number.
    ///
    /// # Errors
    /// As the database says.
    pub fn count_after(&self, origin: Origin, seq: u64, kind: &str) -> Result<u64> {
        let seq = i64::try_from(seq).unwrap_or(i64::MAX);
        let count: i64 = self
            .conn
            .prepare_cached(
                "SELECT count(*) FROM journal WHERE origin = ?1 AND seq > ?2 AND kind = ?3",
            )?
            .query_row(params![Col(origin), seq, kind], |row| row.get(0))?;
        Ok(u64::try_from(count).unwrap_or(0))
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
