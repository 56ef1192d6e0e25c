//! Asking what is shown: entries, visits, findings, photos, marks.

use super::{
    AdoptedTagRow, EntryRow, FindingRow, FindingsOf, PhotoRow, PhotosOf, PumpMark, Reader,
    ReceiptId, Result, StoreError, VisitRow,
    codec::{Col, record_of},
};
use crate::{
    check::RunningState,
    judge::Verdict,
    plant::{CheckId, PumpId},
    record::{Body, Record, Stamp},
};
use rusqlite::{Params, Row, ToSql, params, types::Null};
use std::str::FromStr;
use uuid::Uuid;

/// A query for the records of effective entries `e`.
macro_rules! entries {
    ($which_and_order:literal) => {
        concat!(
            "SELECT j.origin, j.seq, j.bytes, j.hash FROM effective_entry AS e JOIN journal AS j ON j.id = e.record ",
            $which_and_order
        )
    };
}

const LATEST_OF_CHECK: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM latest AS l JOIN journal AS j ON j.id = l.record
     WHERE l.pump = ?1 AND l.check_id = ?2";
const LATEST_OF_PUMP: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM latest AS l JOIN journal AS j ON j.id = l.record
     WHERE l.pump = ?1 ORDER BY l.check_id";
pub(super) const HISTORY: &str = entries!(
    "WHERE e.pump = ?1 AND e.check_id = ?2 ORDER BY e.seen_ms DESC, e.seq DESC, e.origin DESC LIMIT ?3"
);
const OF_VISIT: &str = entries!(
    "WHERE e.visit = ?1 ORDER BY min(e.seen_ms) OVER (PARTITION BY e.root_origin), e.root_origin, e.root_seq, e.seq, e.origin"
);
const OF_VISIT_AND_CHECK: &str =
    entries!("WHERE e.visit = ?1 AND e.check_id = ?2 ORDER BY e.seen_ms DESC, e.seq DESC LIMIT 1");
const OF_FINDING: &str = entries!("WHERE e.finding = ?1 ORDER BY e.seen_ms, e.seq, e.origin");
const OF_RECEIPT: &str = "SELECT j.origin, j.seq, j.bytes, j.hash
     FROM arrival AS a JOIN journal AS j ON j.origin = a.origin AND j.seq = a.seq
     JOIN effective_entry AS e ON e.record = j.id
     WHERE a.receipt = ?1 ORDER BY e.pump, e.seen_ms, e.seq, e.origin";
const OF_RECORD: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM entry AS e JOIN journal AS j ON j.id = e.record
     WHERE e.record = ?1";
const PHOTOS: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash, EXISTS (SELECT 1 FROM photo WHERE photo.sha256 = p.photo)
     FROM effective_photo AS p JOIN journal AS j ON j.id = p.record
     WHERE {which} ORDER BY p.utc_ms DESC, p.seq DESC, p.origin DESC";
const FINDINGS: &str = include_str!("sql/findings.sql");
const OPEN_FINDINGS: &str = include_str!("sql/open_findings.sql");
const OWN_OPEN_VISITS: &str =
    "SELECT v.visit FROM own_origin AS own CROSS JOIN visit AS v ON v.origin = own.origin AND v.closed_ms IS NULL
     ORDER BY own.place DESC, v.seq DESC LIMIT ?1";
pub(super) const VISITS: &str = include_str!("sql/visits.sql");
const PUMP_MARKS: &str = include_str!("sql/pump_marks.sql");

/// The words of a query with its place for "which ones" filled in; only our own words are ever put there.
fn which(query: &str, words: &str) -> String {
    query.replace("{which}", words)
}

impl Reader<'_> {
    /// What a pump's check comes to now: its latest effective entry that was judged. It is also what a new entry is
    /// compared with; a number from before there were limits to judge it by is not.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn latest_entry(&self, pump: &PumpId, check: CheckId) -> Result<Option<EntryRow>> {
        self.entry_by(LATEST_OF_CHECK, [pump.as_str(), &check.to_string()])
    }

    /// The same for each check of a pump that has one.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn latest_entries(&self, pump: &PumpId) -> Result<Vec<EntryRow>> {
        self.entries(LATEST_OF_PUMP, [pump.as_str()])
    }

    /// Up to `limit` effective entries of a pump's check, newest first, those passed over among them.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn history(&self, pump: &PumpId, check: CheckId, limit: u32) -> Result<Vec<EntryRow>> {
        self.entries(HISTORY, params![pump.as_str(), check.to_string(), limit])
    }

    /// The effective entries of a visit, each device's in its own order.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn entries_of_visit(&self, visit: Uuid) -> Result<Vec<EntryRow>> {
        self.entries(OF_VISIT, [Col(visit)])
    }

    /// The newest effective entry of a visit for one check.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn entry_of_visit(&self, visit: Uuid, check: CheckId) -> Result<Option<EntryRow>> {
        self.entry_by(
            OF_VISIT_AND_CHECK,
            [&Col(visit) as &dyn ToSql, &check.to_string()],
        )
    }

    /// The effective entries of a finding, in the order they were seen.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn entries_of_finding(&self, finding: Uuid) -> Result<Vec<EntryRow>> {
        self.entries(OF_FINDING, [Col(finding)])
    }

    /// The effective entries that a file brought, by pump, in the order they were seen.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn entries_of_receipt(&self, receipt: ReceiptId) -> Result<Vec<EntryRow>> {
        self.entries(OF_RECEIPT, [receipt.0])
    }

    /// The entry a record holds, effective or not.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn entry(&self, record: Uuid) -> Result<Option<EntryRow>> {
        self.entry_by(OF_RECORD, [Col(record)])
    }

    fn entry_by(&self, sql: &str, params: impl Params) -> Result<Option<EntryRow>> {
        let mut entries = self.conn.prepare_cached(sql)?;
        let mut rows = entries.query(params)?;
        rows.next()?
            .map(|row| self.entry_row(record_of(row)?))
            .transpose()
    }

    /// The entry a record holds counts: nothing amends it and nothing takes it back.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn is_effective(&self, record: Uuid) -> Result<bool> {
        Ok(self
            .conn
            .prepare_cached("SELECT 1 FROM effective_entry WHERE record = ?1")?
            .exists([Col(record)])?)
    }

    fn entries(&self, sql: &str, params: impl Params) -> Result<Vec<EntryRow>> {
        let mut entries = self.conn.prepare_cached(sql)?;
        entries
            .query_and_then(params, |row| self.entry_row(record_of(row)?))?
            .collect()
    }

    /// A visit.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visit(&self, visit: Uuid) -> Result<Option<VisitRow>> {
        let found = self.visits_where("v.visit = ?1", 1, &[&Col(visit)])?;
        Ok(found.into_iter().next())
    }

    /// The newest visits, newest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visits(&self, limit: u32) -> Result<Vec<VisitRow>> {
        self.visits_where("TRUE", limit, &[])
    }

    /// The newest visits to a pump, newest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn visits_to(&self, pump: &PumpId, limit: u32) -> Result<Vec<VisitRow>> {
        self.visits_where("v.pump = ?1", limit, &[&pump.as_str()])
    }

    /// Up to `limit` visits that this store itself began, under whichever of its names, and that nobody has closed; the
    /// last begun first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn own_open_visits(&self, limit: u32) -> Result<Vec<VisitRow>> {
        let mut visits = self.conn.prepare_cached(OWN_OPEN_VISITS)?;
        let visits = visits.query_and_then([limit], |row| {
            let visit = row.get::<_, Col<Uuid>>(0)?.0;
            self.visit(visit)?
                .ok_or_else(|| StoreError::Damaged(format!("no visit {visit} in the journal")))
        })?;
        visits.collect()
    }

    pub(super) fn visits_where(
        &self,
        words: &str,
        limit: u32,
        params: &[&dyn ToSql],
    ) -> Result<Vec<VisitRow>> {
        let sql = which(VISITS, words) + " LIMIT " + &limit.to_string();
        let mut visits = self.conn.prepare_cached(&sql)?;
        visits.query_and_then(params, visit_row)?.collect()
    }

    /// How every pump stands that was ever visited or has an entry.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn pump_marks(&self) -> Result<Vec<PumpMark>> {
        let mut marks = self.conn.prepare_cached(PUMP_MARKS)?;
        let rows = marks.query_and_then([], |row| {
            Ok(PumpMark {
                pump: parsed(row, 0)?,
                worst: row
                    .get::<_, Option<Col<Verdict>>>(1)?
                    .map(|verdict| verdict.0),
                last_visit: stamp(row, 2)?,
            })
        })?;
        rows.collect()
    }

    /// Up to `limit` findings whose latest entry is at least this bad, the one with the newest entry first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn findings(
        &self,
        of: FindingsOf<'_>,
        at_least: Verdict,
        limit: u32,
    ) -> Result<Vec<FindingRow>> {
        of.asked(|words, param| {
            let params = params![param, Col(at_least), limit];
            self.finding_rows(&which(FINDINGS, words), params)
        })
    }

    /// The findings that are still so, the one with the newest entry first: what their checks come to now carries them
    /// and is out of limits. Costs as many as these are, however long the history.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn open_findings(&self, of: FindingsOf<'_>) -> Result<Vec<FindingRow>> {
        of.asked(|words, param| self.finding_rows(&which(OPEN_FINDINGS, words), [param]))
    }

    fn finding_rows(&self, sql: &str, params: impl Params) -> Result<Vec<FindingRow>> {
        let mut findings = self.conn.prepare_cached(sql)?;
        let rows = findings.query_and_then(params, |row| self.finding_row(row))?;
        rows.collect()
    }

    fn finding_row(&self, row: &Row<'_>) -> Result<FindingRow> {
        let named = |index| -> Result<EntryRow> {
            let record = row.get::<_, Col<Uuid>>(index)?.0;
            self.entry(record)?
                .ok_or_else(|| StoreError::Damaged(format!("no record {record} in the journal")))
        };
        let (first, latest) = (named(0)?, named(1)?);
        let Some(finding) = first.entry.finding else {
            return Err(StoreError::Damaged(format!(
                "record {} carries no finding",
                first.record
            )));
        };
        Ok(FindingRow {
            finding,
            pump: first.entry.pump.clone(),
            check: first.entry.check,
            first,
            latest,
            entries: row.get(2)?,
            worst: row.get::<_, Col<Verdict>>(3)?.0,
            holds_latest: row.get(5)?,
            check_now: row
                .get::<_, Option<Col<Verdict>>>(4)?
                .map(|verdict| verdict.0),
        })
    }

    /// Photos, newest first; those taken back left out.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn photos(&self, of: PhotosOf<'_>) -> Result<Vec<PhotoRow>> {
        let (words, param): (&str, &dyn ToSql) = match &of {
            PhotosOf::Pump(pump) => ("p.pump = ?1", &pump.as_str()),
            PhotosOf::Visit(visit) => ("p.visit = ?1", &Col(*visit)),
            PhotosOf::Finding(finding) => (
                "(p.visit, p.check_id) IN (SELECT visit, check_id FROM effective_entry WHERE finding = ?1)",
                &Col(*finding),
            ),
        };
        let mut photos = self.conn.prepare_cached(&which(PHOTOS, words))?;
        photos.query_and_then([param], photo_row)?.collect()
    }
}

impl FindingsOf<'_> {
    /// Asks with the words and the argument that say which findings.
    fn asked<T>(self, ask: impl FnOnce(&str, &dyn ToSql) -> T) -> T {
        match self {
            Self::Everything => ask("?1 IS NULL", &Null),
            Self::Pump(pump) => ask("pump = ?1", &pump.as_str()),
            Self::Visit(visit) => ask(
                "finding IN (SELECT finding FROM entry WHERE visit = ?1)",
                &Col(visit),
            ),
            Self::Receipt(receipt) => ask(
                "finding IN (SELECT e.finding FROM arrival AS a
                   JOIN journal AS j ON j.origin = a.origin AND j.seq = a.seq
                   JOIN entry AS e ON e.record = j.id WHERE a.receipt = ?1)",
                &receipt.0,
            ),
            Self::Finding(finding) => ask("finding = ?1", &Col(finding)),
        }
    }
}

/// A column's text as what it stands for.
pub(super) fn parsed<T: FromStr<Err: std::fmt::Display>>(row: &Row<'_>, index: usize) -> Result<T> {
    let text: String = row.get(index)?;
    text.parse()
        .map_err(|error: T::Err| StoreError::Damaged(error.to_string()))
}

fn stamp(row: &Row<'_>, index: usize) -> Result<Option<Stamp>> {
    let utc_ms: Option<i64> = row.get(index)?;
    let offset_min: Option<i16> = row.get(index + 1)?;
    Ok(utc_ms
        .zip(offset_min)
        .map(|(utc_ms, offset_min)| Stamp { utc_ms, offset_min }))
}

/// A record found through a projection is of another kind than the projection says.
pub(super) fn another_kind(record: &Record) -> StoreError {
    StoreError::Damaged(format!(
        "record {} is a {}, which is not what it is listed as",
        record.id,
        record.body.kind()
    ))
}

fn visit_row(row: &Row<'_>) -> Result<VisitRow> {
    let record = record_of(row)?;
    let Body::VisitOpened(opened) = &record.body else {
        return Err(another_kind(&record));
    };
    Ok(VisitRow {
        visit: opened.visit,
        pump: opened.pump.clone(),
        running: row.get::<_, Col<RunningState>>(8)?.0,
        found: opened.found,
        round: opened.round.clone(),
        origin: record.origin,
        seq: record.seq,
        by: record.by,
        opened: record.at,
        closed: stamp(row, 4)?,
        entries: row.get(6)?,
        worst: row
            .get::<_, Option<Col<Verdict>>>(7)?
            .map(|verdict| verdict.0),
    })
}

fn photo_row(row: &Row<'_>) -> Result<PhotoRow> {
    let record = record_of(row)?;
    let Body::PhotoTaken(taken) = record.body else {
        return Err(another_kind(&record));
    };
    Ok(PhotoRow {
        record: record.id,
        origin: record.origin,
        seq: record.seq,
        at: record.at,
        by: record.by,
        taken,
        here: row.get(4)?,
    })
}

pub(super) fn adopted_tag_row(record: Record) -> Result<AdoptedTagRow> {
    let Body::TagAdopted(tag) = record.body else {
        return Err(another_kind(&record));
    };
    Ok(AdoptedTagRow {
        code: tag.code,
        pump: tag.pump,
        at: record.at,
        by: record.by,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::open::make_tables;
    use rusqlite::Connection;

    fn plan_of(sql: &str) -> Vec<String> {
        let conn = Connection::open_in_memory().unwrap();
        make_tables(&conn).unwrap();
        let mut plan = conn.prepare(&format!("EXPLAIN QUERY PLAN {sql}")).unwrap();
        let params = vec![1; plan.parameter_count()];
        plan.query_map(rusqlite::params_from_iter(params), |row| row.get(3))
            .unwrap()
            .collect::<rusqlite::Result<_>>()
            .unwrap()
    }

    #[test]
    fn what_a_visit_needs_is_found_by_index_alone() {
        for sql in [
            LATEST_OF_CHECK,
            LATEST_OF_PUMP,
            HISTORY,
            OF_VISIT,
            OF_FINDING,
            OF_RECEIPT,
            OF_RECORD,
            &which(VISITS, "v.pump = ?1"),
            &which(VISITS, "v.visit = ?1"),
            &which(PHOTOS, "p.pump = ?1"),
            &which(PHOTOS, "p.visit = ?1"),
            &which(FINDINGS, "finding = ?1"),
            &which(OPEN_FINDINGS, "pump = ?1"),
            &which(OPEN_FINDINGS, "?1 IS NULL"),
            OWN_OPEN_VISITS,
            crate::store::past::SIGHTINGS,
        ] {
            let steps = plan_of(sql);
            // Rows that the query itself found, or a table that has few.
            let few = ["SCAN found", "SCAN carried", "SCAN own", "SCAN (subquery"];
            let only_open = "USING INDEX latest_with_finding";
            let stored_rows_scanned = steps.iter().any(|step| {
                step.starts_with("SCAN")
                    && !few.iter().any(|begin| step.starts_with(begin))
                    && !step.ends_with(only_open)
            });
            assert!(!stored_rows_scanned, "{sql}\n{steps:#?}");
        }
    }

    #[test]
    fn lists_of_the_newest_are_read_in_order_and_not_sorted() {
        for (sql, index) in [
            (HISTORY.to_owned(), "entry_by_check"),
            (which(VISITS, "v.pump = ?1"), "visit_by_pump"),
            (which(VISITS, "TRUE"), "visit_by_time"),
            (OWN_OPEN_VISITS.to_owned(), "visit_open"),
        ] {
            let steps = plan_of(&sql);
            assert!(steps.iter().any(|step| step.contains(index)), "{steps:#?}");
            assert!(
                !steps.iter().any(|step| step.contains("TEMP B-TREE")),
                "{steps:#?}"
            );
        }
    }
}
