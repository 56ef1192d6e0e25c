//! Which entries hold, where some correct others or were taken back.

use super::{Result, codec::Col, project::refresh_latest};
use crate::record::Origin;
use rusqlite::{Connection, params};
use std::collections::{BTreeSet, HashMap, HashSet};
use uuid::Uuid;

const FAMILY: &str = include_str!("sql/family.sql");

struct Member {
    amends: Option<Uuid>,
    origin: Origin,
    seq: u64,
    pump: String,
    check: String,
    withdrawn: bool,
}

/// Settles anew, for an entry and all that it is tied to by corrections, which of them hold and which root they have.
/// The outcome follows from which records are here; so records may come in any order.
pub(super) fn settle(conn: &Connection, record: Uuid) -> Result<()> {
    let family = family_of(conn, record)?;
    let corrected = corrected(&family);
    let mut update = conn.prepare_cached(
        "UPDATE entry SET root_origin = ?2, root_seq = ?3, effective = ?4 WHERE record = ?1",
    )?;
    for (id, member) in &family {
        let root = family.get(&root_of(&family, *id)).unwrap_or(member);
        update.execute(params![
            Col(*id),
            Col(root.origin),
            Col(root.seq),
            !member.withdrawn && !corrected.contains(id),
        ])?;
    }
    let checks: BTreeSet<_> = family
        .values()
        .map(|member| (&member.pump, &member.check))
        .collect();
    checks
        .into_iter()
        .try_for_each(|(pump, check)| refresh_latest(conn, pump, check))
}

fn family_of(conn: &Connection, record: Uuid) -> Result<HashMap<Uuid, Member>> {
    let mut family = conn.prepare_cached(FAMILY)?;
    let members = family.query_and_then([Col(record)], |row| {
        let member = Member {
            amends: row.get::<_, Option<Col<Uuid>>>(1)?.map(|amends| amends.0),
            origin: row.get::<_, Col<Origin>>(2)?.0,
            seq: row.get::<_, Col<u64>>(3)?.0,
            pump: row.get(4)?,
            check: row.get(5)?,
            withdrawn: row.get(6)?,
        };
        Ok((row.get::<_, Col<Uuid>>(0)?.0, member))
    })?;
    members.collect()
}

/// What an entry corrects, what that corrects, and so on, as far as they are here. Records of a damaged or hostile
/// device may correct each other in a circle: it is walked once, and the entry itself is left out.
fn corrects(family: &HashMap<Uuid, Member>, record: Uuid) -> Vec<Uuid> {
    let mut seen = HashSet::from([record]);
    let mut walked = Vec::new();
    let mut at = record;
    while let Some(next) = family.get(&at).and_then(|member| member.amends)
        && family.contains_key(&next)
        && seen.insert(next)
    {
        walked.push(next);
        at = next;
    }
    walked
}

fn corrected(family: &HashMap<Uuid, Member>) -> HashSet<Uuid> {
    family
        .iter()
        .filter(|(_, member)| !member.withdrawn)
        .flat_map(|(id, _)| corrects(family, *id))
        .collect()
}

/// The entry at the beginning of a chain of corrections; in a circle there is none, so each is its own.
fn root_of(family: &HashMap<Uuid, Member>, record: Uuid) -> Uuid {
    let first = corrects(family, record).pop().unwrap_or(record);
    let before = family.get(&first).and_then(|member| member.amends);
    match before {
        Some(before) if family.contains_key(&before) => record,
        _ => first,
    }
}
