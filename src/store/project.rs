//! From records to what is shown.

use super::{
    Result,
    codec::{Col, record_of},
    corrections, remedies,
};
use crate::{
    check::Entered,
    judge::Verdict,
    plant::{PumpId, RoundId},
    record::{
        Body, Deed, EntryMade, PackTaken, PhotoTaken, Record, RunningSeen, TagAdopted, VisitOpened,
    },
};
use rusqlite::{Connection, params};
use uuid::Uuid;

/// Sequence numbers that one row of `tally` counts the records of.
pub(super) const TALLIED: i64 = 1024;

/// Makes the empty tables anew.
pub(super) const TABLES: &str = include_str!("sql/projections.sql");

const LATEST: &str = include_str!("sql/latest.sql");
const RUNNING: &str = include_str!("sql/running.sql");

/// Their names.
pub(super) const NAMES: &[&str] = &[
    "entry",
    "withdrawal",
    "latest",
    "visit",
    "visit_end",
    "running_seen",
    "photo_use",
    "adopted_tag",
    "pack_taken",
    "deed",
    "walk",
    "turn",
    "remedy",
    "tally",
];

/// Drops what is shown and derives it again from every record.
pub(super) fn rebuild(conn: &Connection) -> Result<()> {
    conn.execute_batch(TABLES)?;
    let mut records =
        conn.prepare("SELECT origin, seq, bytes, hash FROM journal ORDER BY origin, seq")?;
    let mut rows = records.query([])?;
    while let Some(row) = rows.next()? {
        project(conn, &record_of(row)?)?;
    }
    Ok(())
}

/// Adds one record to what is shown. The outcome depends on which records were added, not on their order.
pub(super) fn project(conn: &Connection, record: &Record) -> Result<()> {
    add_to_tally(conn, record)?;
    match &record.body {
        Body::EntryMade(entry) => add_entry(conn, record, entry, None),
        Body::EntryAmended(amended) => {
            add_entry(conn, record, &amended.entry, Some(amended.amends))
        }
        Body::EntryWithdrawn(withdrawn) => add_withdrawal(conn, record, withdrawn.amends),
        Body::VisitOpened(visit) => add_visit(conn, record, visit),
        Body::RunningSeen(seen) => add_running_seen(conn, record, seen),
        Body::VisitClosed(closed) => add_visit_end(conn, record, closed.visit),
        Body::PhotoTaken(photo) => add_photo_use(conn, record, photo),
        Body::TagAdopted(tag) => add_adopted_tag(conn, record, tag),
        Body::PackTaken(pack) => add_pack_taken(conn, record, pack),
        Body::Done(deed) => add_deed(conn, record, deed),
    }
}

fn add_to_tally(conn: &Connection, record: &Record) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO tally (origin, block, kind, records) VALUES (?1, ?2 / ?3, ?4, 1)
         ON CONFLICT DO UPDATE SET records = records + 1",
    )?
    .execute(params![
        Col(record.origin),
        Col(record.seq),
        TALLIED,
        record.body.kind()
    ])?;
    Ok(())
}

fn add_entry(
    conn: &Connection,
    record: &Record,
    entry: &EntryMade,
    amends: Option<Uuid>,
) -> Result<()> {
    let check = entry.check.to_string();
    let verdict = entry.judgement.verdict;
    let entered = match entry.entered {
        Entered::NotChecked { .. } => 0,
        Entered::Words { .. } => 1,
        _ => 2,
    };
    conn.prepare_cached(
        "INSERT INTO entry (record, origin, seq, amends, root_origin, root_seq, visit, pump, check_id, seen_ms,
           entered, verdict, judged, finding, effective)
         VALUES (?1, ?2, ?3, ?4, ?2, ?3, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, 1)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        amends.map(Col),
        Col(entry.visit),
        entry.pump.as_str(),
        check,
        entry.seen_at.utc_ms,
        entered,
        Col(verdict),
        entered > 0 && verdict != Verdict::NotJudged,
        entry.finding.map(Col),
    ])?;
    refresh_latest(conn, entry.pump.as_str(), &check)?;
    if amends.is_some() || is_named(conn, record.id)? {
        corrections::settle(conn, record.id)?;
    }
    Ok(())
}

fn add_withdrawal(conn: &Connection, record: &Record, amends: Uuid) -> Result<()> {
    let told_before = is_withdrawn(conn, amends)?;
    conn.prepare_cached("INSERT INTO withdrawal (record, amends) VALUES (?1, ?2)")?
        .execute(params![Col(record.id), Col(amends)])?;
    if told_before {
        Ok(())
    } else {
        corrections::settle(conn, amends)
    }
}

/// A record that came before this one already corrects it or takes it back.
fn is_named(conn: &Connection, record: Uuid) -> Result<bool> {
    let is_corrected = conn
        .prepare_cached("SELECT 1 FROM entry WHERE amends = ?1")?
        .exists([Col(record)])?;
    Ok(is_corrected || is_withdrawn(conn, record)?)
}

fn is_withdrawn(conn: &Connection, record: Uuid) -> Result<bool> {
    Ok(conn
        .prepare_cached("SELECT 1 FROM withdrawal WHERE amends = ?1")?
        .exists([Col(record)])?)
}

pub(super) fn refresh_latest(conn: &Connection, pump: &str, check: &str) -> Result<()> {
    conn.prepare_cached("DELETE FROM latest WHERE pump = ?1 AND check_id = ?2")?
        .execute([pump, check])?;
    conn.prepare_cached(LATEST)?.execute([pump, check])?;
    Ok(())
}

fn add_visit(conn: &Connection, record: &Record, visit: &VisitOpened) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO visit (record, origin, seq, visit, pump, opened_ms, running) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        Col(visit.visit),
        visit.pump.as_str(),
        record.at.utc_ms,
        Col(visit.running),
    ])?;
    refresh_closing(conn, visit.visit)?;
    refresh_running(conn, visit.visit)
}

fn add_running_seen(conn: &Connection, record: &Record, seen: &RunningSeen) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO running_seen (record, origin, seq, visit, running, utc_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        Col(seen.visit),
        Col(seen.running),
        record.at.utc_ms,
    ])?;
    refresh_running(conn, seen.visit)
}

fn refresh_running(conn: &Connection, visit: Uuid) -> Result<()> {
    conn.prepare_cached(RUNNING)?.execute([Col(visit)])?;
    Ok(())
}

fn add_visit_end(conn: &Connection, record: &Record, visit: Uuid) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO visit_end (record, origin, seq, visit, utc_ms, offset_min) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        Col(visit),
        record.at.utc_ms,
        record.at.offset_min,
    ])?;
    refresh_closing(conn, visit)
}

fn refresh_closing(conn: &Connection, visit: Uuid) -> Result<()> {
    conn.prepare_cached(
        "UPDATE visit SET (closed_ms, closed_offset_min) =
           (SELECT utc_ms, offset_min FROM visit_end WHERE visit = ?1 ORDER BY utc_ms, seq, origin LIMIT 1)
         WHERE visit = ?1",
    )?
    .execute([Col(visit)])?;
    Ok(())
}

fn add_photo_use(conn: &Connection, record: &Record, photo: &PhotoTaken) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO photo_use (record, origin, seq, visit, pump, check_id, photo, utc_ms)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        Col(photo.visit),
        photo.pump.as_str(),
        photo.check.map(|check| check.to_string()),
        Col(photo.photo),
        record.at.utc_ms,
    ])?;
    Ok(())
}

fn add_adopted_tag(conn: &Connection, record: &Record, tag: &TagAdopted) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO adopted_tag (record, origin, seq, code, pump, utc_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        tag.code,
        tag.pump.as_str(),
        record.at.utc_ms,
    ])?;
    Ok(())
}

fn add_pack_taken(conn: &Connection, record: &Record, pack: &PackTaken) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO pack_taken (record, origin, seq, plant, version, sha256) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        pack.plant.as_str(),
        pack.version,
        Col(pack.sha256),
    ])?;
    Ok(())
}

fn add_deed(conn: &Connection, record: &Record, deed: &Deed) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO deed (record, origin, seq, kind, subject, pump, utc_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        deed.kind(),
        deed.subject().map(Col),
        deed.pump().map(|pump| pump.as_str()),
        record.at.utc_ms,
    ])?;
    match deed {
        Deed::RoundBegun { run, round } => add_walk(conn, record, *run, round),
        Deed::PumpTurned {
            pump,
            runs,
            turned_at,
        } => add_turn(conn, record, pump, (turned_at.utc_ms, *runs)),
        Deed::Remedied { .. } => remedies::add(conn, record, deed),
        Deed::RemedyWithdrawn { remedy, .. } => remedies::settle(conn, *remedy),
        _ => Ok(()),
    }
}

fn add_walk(conn: &Connection, record: &Record, run: Uuid, round: &RoundId) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO walk (record, origin, seq, run, round, utc_ms) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        Col(run),
        round.as_str(),
        record.at.utc_ms,
    ])?;
    Ok(())
}

fn add_turn(
    conn: &Connection,
    record: &Record,
    pump: &PumpId,
    (turned_ms, runs): (i64, bool),
) -> Result<()> {
    conn.prepare_cached(
        "INSERT INTO turn (record, origin, seq, pump, utc_ms, turned_ms, runs) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?
    .execute(params![
        Col(record.id),
        Col(record.origin),
        Col(record.seq),
        pump.as_str(),
        record.at.utc_ms,
        turned_ms,
        runs,
    ])?;
    Ok(())
}
