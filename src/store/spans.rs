//! Asking what happened within a span of time: what a handover is made from.

use super::{
    EntryRow, Reader, Result, VisitRow,
    codec::{Col, record_of},
};
use crate::plant::PumpId;
use rusqlite::{Row, params};

/// Entries `e` within a span that hold, by whom they were signed; `{which}` says which of them.
const ENTRIES: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM effective_entry AS e JOIN journal AS j ON j.id = e.record
     WHERE e.seen_ms >= ?1 AND e.seen_ms < ?2 AND (?3 IS NULL OR j.signed_by = ?3) AND {which}
     ORDER BY e.seen_ms, e.seq, e.origin LIMIT ?4";

/// Out of limits, or passed over.
const TO_BE_TOLD: &str = "(e.verdict >= 2 OR e.entered = 0)";

/// In limits, where the judged entry of the same check before it carried a finding.
const PUT_RIGHT: &str = "e.verdict = 1 AND e.judged = 1 AND (
       SELECT p.finding FROM effective_entry AS p
       WHERE p.pump = e.pump AND p.check_id = e.check_id AND p.judged = 1
         AND (p.seen_ms, p.seq, p.origin) < (e.seen_ms, e.seq, e.origin)
       ORDER BY p.seen_ms DESC, p.seq DESC, p.origin DESC LIMIT 1) IS NOT NULL";

const COUNT: &str =
    "SELECT count(*) FROM effective_entry AS e WHERE e.seen_ms >= ?1 AND e.seen_ms < ?2";

const COUNT_BY: &str =
    "SELECT count(*) FROM effective_entry AS e JOIN journal AS j ON j.id = e.record
     WHERE e.seen_ms >= ?1 AND e.seen_ms < ?2 AND j.signed_by = ?3";

/// What each check of a pump came to within a span by its last judged entry there, where that is out of limits.
const LEFT_OPEN: &str = "SELECT j.origin, j.seq, j.bytes, j.hash FROM latest AS l
     JOIN entry AS e ON e.record = (
       SELECT p.record FROM effective_entry AS p
       WHERE p.pump = l.pump AND p.check_id = l.check_id AND p.seen_ms BETWEEN ?2 AND ?3 AND p.judged = 1
       ORDER BY p.seen_ms DESC, p.seq DESC, p.origin DESC LIMIT 1)
     JOIN journal AS j ON j.id = e.record
     WHERE l.pump = ?1 AND e.verdict >= 2 ORDER BY l.check_id";

/// A span of time and who signed in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span<'a> {
    /// From this millisecond since 1970 UTC on.
    pub from_ms: i64,
    /// To before this one.
    pub to_ms: i64,
    /// Only what this operator signed.
    pub by: Option<&'a str>,
}

impl Reader<'_> {
    /// Up to `most` visits opened within a span, the earliest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visits_within(&self, span: Span<'_>, most: u32) -> Result<Vec<VisitRow>> {
        let words = "v.opened_ms >= ?1 AND v.opened_ms < ?2 AND (?3 IS NULL OR j.signed_by = ?3)";
        let params = params![span.from_ms, span.to_ms, span.by];
        let mut visits = self.visits_where(words, most, params)?;
        visits.reverse();
        Ok(visits)
    }

    /// How many entries that hold were seen within a span, those passed over among them.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn count_within(&self, span: Span<'_>) -> Result<u64> {
        let counted = |row: &Row<'_>| row.get::<_, Col<u64>>(0);
        let (from_ms, to_ms) = (span.from_ms, span.to_ms);
        let count = match span.by {
            None => {
                let mut count = self.conn.prepare_cached(COUNT)?;
                count.query_row(params![from_ms, to_ms], counted)?
            }
            Some(by) => {
                let mut count = self.conn.prepare_cached(COUNT_BY)?;
                count.query_row(params![from_ms, to_ms, by], counted)?
            }
        };
        Ok(count.0)
    }

    /// Up to `most` entries seen within a span that are out of limits, or that pass a check over, the earliest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn told_within(&self, span: Span<'_>, most: u32) -> Result<Vec<EntryRow>> {
        self.entries_within(TO_BE_TOLD, span, most)
    }

    /// Up to `most` entries seen within a span that brought a check back into limits, the earliest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn put_right_within(&self, span: Span<'_>, most: u32) -> Result<Vec<EntryRow>> {
        self.entries_within(PUT_RIGHT, span, most)
    }

    /// The last judged entry of each check of a pump seen from `from_ms` to `to_ms`, where it is out of limits.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn left_open(&self, pump: &PumpId, from_ms: i64, to_ms: i64) -> Result<Vec<EntryRow>> {
        let mut entries = self.conn.prepare_cached(LEFT_OPEN)?;
        let params = params![pump.as_str(), from_ms, to_ms];
        let rows = entries.query_and_then(params, |row| self.entry_row(record_of(row)?))?;
        rows.collect()
    }

    fn entries_within(&self, which: &str, span: Span<'_>, most: u32) -> Result<Vec<EntryRow>> {
        let mut entries = self
            .conn
            .prepare_cached(&ENTRIES.replace("{which}", which))?;
        let params = params![span.from_ms, span.to_ms, span.by, most];
        let rows = entries.query_and_then(params, |row| self.entry_row(record_of(row)?))?;
        rows.collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{open::make_tables, query::VISITS, visits::HIDDEN};
    use rusqlite::Connection;

    #[test]
    fn what_was_left_open_is_found_by_the_index_of_each_check_however_long_the_history() {
        let conn = Connection::open_in_memory().unwrap();
        make_tables(&conn).unwrap();
        let mut plan = conn
            .prepare(&format!("EXPLAIN QUERY PLAN {LEFT_OPEN}"))
            .unwrap();
        let steps: Vec<String> = plan
            .query_map(params!["P-1", 0, 1], |row| row.get(3))
            .unwrap()
            .collect::<rusqlite::Result<_>>()
            .unwrap();
        let by_check = "entry_by_check (pump=? AND check_id=? AND seen_ms>? AND seen_ms<?)";
        assert!(
            steps.iter().any(|step| step.contains(by_check)),
            "{steps:#?}"
        );
        assert!(
            !steps.iter().any(|step| step.starts_with("SCAN")),
            "{steps:#?}"
        );
    }

    #[test]
    fn a_span_is_found_by_the_index_of_time_however_long_the_history() {
        let conn = Connection::open_in_memory().unwrap();
        make_tables(&conn).unwrap();
        let within = "v.opened_ms >= ?1 AND v.opened_ms < ?2";
        for (sql, index) in [
            (ENTRIES.replace("{which}", TO_BE_TOLD), "entry_by_time"),
            (ENTRIES.replace("{which}", PUT_RIGHT), "entry_by_time"),
            (COUNT.to_owned(), "entry_by_time"),
            (COUNT_BY.to_owned(), "entry_by_time"),
            (VISITS.replace("{which}", HIDDEN), "visit_by_device"),
            (VISITS.replace("{which}", within), "visit_by_time"),
        ] {
            let mut plan = conn.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).unwrap();
            let params = vec![1; plan.parameter_count()];
            let steps: Vec<String> = plan
                .query_map(rusqlite::params_from_iter(params), |row| row.get(3))
                .unwrap()
                .collect::<rusqlite::Result<_>>()
                .unwrap();
            assert!(steps[0].starts_with("SEARCH"), "{steps:#?}");
            assert!(steps[0].contains(index), "{steps:#?}");
            assert!(
                !steps.iter().any(|step| step.starts_with("SCAN")),
                "{steps:#?}"
            );
        }
    }
}
