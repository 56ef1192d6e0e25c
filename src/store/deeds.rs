//! Asking what was done besides entries.

use super::{
    DeedRow, DeedsOf, Reader, Result, StoreError, TurnRow, WalkRow,
    codec::{Col, record_of},
    query::parsed,
};
use crate::{
    plant::PumpId,
    record::{Body, Record},
};
use rusqlite::{ToSql, params, params_from_iter};

/// The records of deeds `d`, the newest first; those of one device that bear one time in its own order.
const DEEDS: &str =
    "SELECT j.origin, j.seq, j.bytes, j.hash FROM deed AS d JOIN journal AS j ON j.id = d.record
     WHERE {which} ORDER BY d.utc_ms DESC, d.seq DESC, d.origin DESC LIMIT ?1";

const STILL_OPEN: &str = "d.kind = 'finding_opened' AND NOT EXISTS (
       SELECT 1 FROM deed AS c WHERE c.subject = d.subject AND c.kind = 'finding_closed')";

impl Reader<'_> {
    /// Up to `most` of the deeds asked for, the newest first.
    ///
    /// # Errors
    /// `DamagedRecord`.
    pub fn deeds(&self, of: DeedsOf<'_>, most: u32) -> Result<Vec<DeedRow>> {
        let (which, values): (&str, Vec<Box<dyn ToSql + '_>>) = match of {
            DeedsOf::Subject(subject) => ("d.subject = ?2", vec![Box::new(Col(subject))]),
            DeedsOf::Pump(pump) => ("d.pump = ?2", vec![Box::new(pump.as_str())]),
            DeedsOf::Kind(kind) => ("d.kind = ?2", vec![Box::new(kind)]),
            DeedsOf::OpenFindings => (STILL_OPEN, Vec::new()),
            DeedsOf::Between(from_ms, to_ms) => (
                "d.utc_ms >= ?2 AND d.utc_ms < ?3",
                vec![Box::new(from_ms), Box::new(to_ms)],
            ),
            DeedsOf::ProceduresUnderWay => (
                "d.kind = 'procedure_begun' AND NOT EXISTS
                   (SELECT 1 FROM deed AS e WHERE e.subject = d.subject AND e.kind = 'procedure_ended')",
                Vec::new(),
            ),
        };
        let mut all: Vec<Box<dyn ToSql + '_>> = vec![Box::new(most)];
        all.extend(values);
        let mut asked = self.conn.prepare_cached(&DEEDS.replace("{which}", which))?;
        let mut rows = asked.query(params_from_iter(all))?;
        let mut deeds = Vec::new();
        while let Some(row) = rows.next()? {
            deeds.push(deed_row(record_of(row)?)?);
        }
        Ok(deeds)
    }

    /// Up to `most` walks of whatever round, the last begun first.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn walks_begun(&self, most: u32) -> Result<Vec<WalkRow>> {
        let mut walks = self.conn.prepare_cached(
            "SELECT run, round FROM walk ORDER BY utc_ms DESC, seq DESC, origin DESC LIMIT ?1",
        )?;
        let rows = walks.query_and_then([most], |row| {
            Ok(WalkRow {
                run: row.get::<_, Col<_>>(0)?.0,
                round: parsed(row, 1)?,
            })
        })?;
        rows.collect()
    }

    /// Up to `most` starts and stops of a pump, the last written down first.
    ///
    /// # Errors
    /// `Damaged`.
    pub fn turns(&self, pump: &PumpId, most: u32) -> Result<Vec<TurnRow>> {
        let mut turns = self.conn.prepare_cached(
            "SELECT turned_ms, runs FROM turn WHERE pump = ?1
             ORDER BY utc_ms DESC, seq DESC, origin DESC LIMIT ?2",
        )?;
        let rows = turns.query_and_then(params![pump.as_str(), most], |row| {
            Ok(TurnRow {
                turned_ms: row.get(0)?,
                runs: row.get(1)?,
            })
        })?;
        rows.collect()
    }
}

pub(super) fn deed_row(record: Record) -> Result<DeedRow> {
    let Body::Done(deed) = record.body else {
        return Err(StoreError::Damaged(format!(
            "record {} is a {}, which is not what it is listed as",
            record.id,
            record.body.kind()
        )));
    };
    Ok(DeedRow {
        record: record.id,
        origin: record.origin,
        seq: record.seq,
        at: record.at,
        by: record.by,
        deed,
    })
}
