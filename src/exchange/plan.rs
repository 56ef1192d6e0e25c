//! Comparing a bundle with what is known, before anything is taken in.

use super::Manifest;
use crate::record::{Hash, Origin, Sealed, Stamp};
use crate::say;
use std::{collections::BTreeMap, io, ops::RangeInclusive};
use uuid::Uuid;

/// A stamp this far ahead of now, in ms, is flagged: a day, more than any time zone explains.
const FAR_FUTURE_MS: i64 = 24 * 60 * 60 * 1000;

/// What is here already.
pub trait Known {
    /// What goes wrong in asking.
    type Error;

    /// Hash of the record with this number of this device.
    ///
    /// # Errors
    /// Where it can't be looked up.
    fn hash_of(&self, origin: Origin, seq: u64) -> Result<Option<Hash>, Self::Error>;

    /// Hash of the record with this id.
    ///
    /// # Errors
    /// Where it can't be looked up.
    fn hash_of_id(&self, id: Uuid) -> Result<Option<Hash>, Self::Error>;

    /// The highest number below `seq` that is here of this device.
    ///
    /// # Errors
    /// Where it can't be looked up.
    fn last_before(&self, origin: Origin, seq: u64) -> Result<Option<u64>, Self::Error>;

    /// Whether this photo is here.
    ///
    /// # Errors
    /// Where it can't be looked up.
    fn has_photo(&self, photo: Hash) -> Result<bool, Self::Error>;
}

/// Why a record is set aside: kept, told, and not among the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// The device's record of this number is here with other content: a restored or cloned device.
    OtherContent {
        /// Hash of the one that is here.
        here: Hash,
    },
    /// Its id is here as another record's.
    IdTaken {
        /// That record's hash.
        here: Hash,
    },
}

/// What becomes of a record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// It is taken in.
    New,
    /// It is here already.
    Already,
    /// It is set aside.
    SetAside(Why),
}

/// What taking a bundle in will do. It holds no records: they are read from the staging again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MergePlan {
    /// The device.
    pub origin: Origin,
    /// Numbers of the records to take in, rising, in ranges that neither touch nor overlap.
    pub new: Vec<RangeInclusive<u64>>,
    /// How many records are here already.
    pub already: u64,
    /// Records to set aside, by number.
    pub set_aside: BTreeMap<u64, Why>,
    /// Photos to take in, rising. Those of records set aside are among them.
    pub photos_new: Vec<Hash>,
    /// Photos that records name and neither the bundle nor this store has.
    pub photos_absent: Vec<Hash>,
    /// The device's records just before the bundle that are not here yet. To be told; they may come later.
    pub gap: Option<RangeInclusive<u64>>,
    /// How many of the new records have a stamp more than a day ahead of now. To be told.
    pub far_future: u64,
}

/// Why no plan was made.
#[derive(Debug, thiserror::Error)]
pub enum NotPlanned<E> {
    /// What was staged can't be read back.
    #[error("{}", say!(
        "what was unpacked can't be read back ({why}): take the bundle in again",
        why = _0
    ))]
    Staging(#[from] io::Error),
    /// What is known can't be looked up.
    #[error(transparent)]
    Known(E),
}

/// Plans taking in the records of a proved bundle. Union by identity: whatever the order, however often and
/// however split, the same records come to be here. Of two different records in one place the first stays.
///
/// # Errors
/// Where the staged records or what is known can't be read.
pub fn plan<K: Known>(
    manifest: &Manifest,
    records: impl IntoIterator<Item = io::Result<Sealed>>,
    known: &K,
    now: Stamp,
) -> Result<MergePlan, NotPlanned<K::Error>> {
    let origin = manifest.origin;
    let mut plan = MergePlan {
        origin,
        new: Vec::new(),
        already: 0,
        set_aside: BTreeMap::new(),
        photos_new: Vec::new(),
        photos_absent: Vec::new(),
        gap: gap(manifest, known).map_err(NotPlanned::Known)?,
        far_future: 0,
    };
    for sealed in records {
        let sealed = sealed?;
        let fate = fate(&sealed, known).map_err(NotPlanned::Known)?;
        plan.add(&sealed, fate, now);
    }
    let lacks = |photo| known.has_photo(photo).map(|has| !has);
    for listed in &manifest.photos {
        if lacks(listed.sha256).map_err(NotPlanned::Known)? {
            plan.photos_new.push(listed.sha256);
        }
    }
    for photo in &manifest.photos_absent {
        if lacks(*photo).map_err(NotPlanned::Known)? {
            plan.photos_absent.push(*photo);
        }
    }
    Ok(plan)
}

fn fate<K: Known>(sealed: &Sealed, known: &K) -> Result<Fate, K::Error> {
    let record = sealed.record();
    if let Some(here) = known.hash_of(record.origin, record.seq)? {
        return Ok(if here == sealed.hash() {
            Fate::Already
        } else {
            Fate::SetAside(Why::OtherContent { here })
        });
    }
    Ok(match known.hash_of_id(record.id)? {
        Some(here) => Fate::SetAside(Why::IdTaken { here }),
        None => Fate::New,
    })
}

fn gap<K: Known>(manifest: &Manifest, known: &K) -> Result<Option<RangeInclusive<u64>>, K::Error> {
    let first = manifest.records.first_seq;
    let here = known.last_before(manifest.origin, first)?.unwrap_or(0);
    Ok((here + 1 < first).then(|| here + 1..=first - 1))
}

impl MergePlan {
    /// What becomes of the bundle's record with this number.
    pub fn fate(&self, seq: u64) -> Fate {
        if let Some(why) = self.set_aside.get(&seq) {
            return Fate::SetAside(*why);
        }
        let behind = self.new.partition_point(|range| *range.end() < seq);
        match self.new.get(behind) {
            Some(range) if range.contains(&seq) => Fate::New,
            _ => Fate::Already,
        }
    }

    /// How many records are taken in.
    pub fn new_count(&self) -> u64 {
        self.new
            .iter()
            .map(|range| range.end() - range.start() + 1)
            .sum()
    }

    fn add(&mut self, sealed: &Sealed, fate: Fate, now: Stamp) {
        let record = sealed.record();
        match fate {
            Fate::Already => self.already += 1,
            Fate::SetAside(why) => {
                self.set_aside.insert(record.seq, why);
            }
            Fate::New => {
                let ahead = record.at.utc_ms.saturating_sub(now.utc_ms);
                self.far_future += u64::from(ahead > FAR_FUTURE_MS);
                match self.new.last_mut() {
                    Some(last) if last.end() + 1 == record.seq => {
                        *last = *last.start()..=record.seq;
                    }
                    _ => self.new.push(record.seq..=record.seq),
                }
            }
        }
    }
}
