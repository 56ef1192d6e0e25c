//! What the records say of walks, starts and stops and of what was put right, from the definitions alone.

use lantern_ring::{
    plant::PumpId,
    record::{Body, Deed, Origin, Sealed},
    remedy::Remedy,
    store::{Nearby, Reader, RemediesWhich, TurnRow},
};
use std::collections::{BTreeMap, HashSet};
use uuid::Uuid;

const HOUR_MS: i64 = 3_600_000;

pub fn nearby(record: &Sealed) -> Nearby {
    let record = record.record();
    Nearby {
        from_ms: record.at.utc_ms - HOUR_MS,
        to_ms: record.at.utc_ms + HOUR_MS,
        origin: record.origin,
        seq: record.seq,
    }
}

pub fn is_near(seen_ms: i64, (origin, seq): (Origin, u64), near: Nearby) -> bool {
    let beyond = seq < near.seq && seen_ms > near.to_ms || seq > near.seq && seen_ms < near.from_ms;
    (near.from_ms..=near.to_ms).contains(&seen_ms) || origin == near.origin && beyond
}

/// The deeds, the newest first.
fn newest_first(records: &[Sealed]) -> Vec<(&Sealed, &Deed)> {
    let mut deeds: Vec<_> = records
        .iter()
        .filter_map(|sealed| match &sealed.record().body {
            Body::Done(deed) => Some((sealed, deed)),
            _ => None,
        })
        .collect();
    deeds.sort_by_key(|(sealed, _)| {
        let record = sealed.record();
        std::cmp::Reverse((record.at.utc_ms, record.seq, record.origin))
    });
    deeds
}

pub fn walks_given(records: &[Sealed]) -> Vec<(String, Uuid)> {
    let deeds = newest_first(records).into_iter();
    let walks = deeds.filter_map(|(_, deed)| match deed {
        Deed::RoundBegun { run, round } => Some((round.to_string(), *run)),
        _ => None,
    });
    walks.collect()
}

pub fn turns_given(records: &[Sealed], at: &PumpId) -> Vec<TurnRow> {
    let deeds = newest_first(records).into_iter();
    let turns = deeds.filter_map(|(_, deed)| match deed {
        Deed::PumpTurned {
            pump,
            runs,
            turned_at,
        } if pump == at => Some(TurnRow {
            turned_ms: turned_at.utc_ms,
            runs: *runs,
        }),
        _ => None,
    });
    turns.collect()
}

/// The records of what was put right at a pump and holds, what was done last first, and when what was greased last.
pub type PutRight = (Vec<Uuid>, BTreeMap<&'static str, i64>);

pub fn remedies_kept(read: Reader<'_>, at: &PumpId) -> PutRight {
    let rows = read.remedies(RemediesWhich::At(at), 100).unwrap();
    for row in &rows {
        let remedy = row.deed.subject().unwrap();
        let is = read.remedies(RemediesWhich::Is(remedy), 2).unwrap();
        assert_eq!(is, std::slice::from_ref(row));
    }
    let greased = read.greased_last(at).unwrap();
    let greased = greased.into_iter().map(|(place, ms)| (place.key(), ms));
    (
        rows.into_iter().map(|row| row.record).collect(),
        greased.collect(),
    )
}

pub fn remedies_given(records: &[Sealed], at: &PumpId) -> PutRight {
    let mut deeds = newest_first(records);
    deeds.reverse();
    let mut gone: HashSet<Uuid> = deeds
        .iter()
        .filter(|(_, deed)| matches!(deed, Deed::RemedyWithdrawn { .. }))
        .filter_map(|(_, deed)| deed.subject())
        .collect();
    let mut holding = Vec::new();
    let mut greased: BTreeMap<&'static str, i64> = BTreeMap::new();
    for (sealed, deed) in deeds {
        let Deed::Remedied {
            remedy,
            pump,
            what,
            done_at,
            ..
        } = deed
        else {
            continue;
        };
        if !gone.insert(*remedy) || pump != at {
            continue;
        }
        let record = sealed.record();
        let key = (done_at.utc_ms, record.at.utc_ms, record.seq);
        holding.push((std::cmp::Reverse(key), record.origin, record.id));
        if let Remedy::Grease { place, .. } = what {
            let last = greased.entry(place.key()).or_insert(i64::MIN);
            *last = done_at.utc_ms.max(*last);
        }
    }
    holding.sort();
    (holding.into_iter().map(|(_, _, id)| id).collect(), greased)
}
