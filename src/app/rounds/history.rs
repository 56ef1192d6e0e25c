//! What the records about one walk say, before anybody looks at its stops.

use super::{Stage, Walk};
use crate::{
    app::{App, AppError},
    plant::{PumpId, RoundId},
    record::{Deed, Origin},
    store::{DeedRow, DeedsOf},
};
use std::collections::HashMap;
use uuid::Uuid;

/// Deeds about one walk: far more than its stops.
const MOST_DEEDS: u32 = 10_000;
/// So many of the round's intervals after it was taken up last, a walk is left lying.
const LIES_AFTER_INTERVALS: f64 = 2.0;
/// The same where the round is no longer in the plant, h.
const LIES_AFTER_HOURS: f64 = 24.0;
pub(super) const MS_PER_HOUR: f64 = 3_600_000.0;

/// The records about one walk, in order.
pub(super) struct History {
    pub(super) run: Uuid,
    pub(super) round: RoundId,
    pub(super) begun: DeedRow,
    deeds: Vec<DeedRow>,
}

impl History {
    pub(super) fn ended(&self) -> Option<&DeedRow> {
        let mut deeds = self.deeds.iter();
        deeds.find(|row| matches!(row.deed, Deed::RoundEnded { .. }))
    }

    /// Why a stop, or the rest of it, was passed over, and who said so last.
    pub(super) fn skipped(&self, stop: &PumpId) -> Option<(&str, &str)> {
        self.deeds.iter().rev().find_map(|row| match &row.deed {
            Deed::StopSkipped { pump, reason, .. } if pump == stop => {
                Some((reason.as_str(), row.by.as_str()))
            }
            _ => None,
        })
    }

    /// The pumps that were passed over.
    pub(super) fn pumps(&self) -> impl Iterator<Item = &PumpId> {
        self.deeds.iter().filter_map(|row| row.deed.pump())
    }

    /// The walk with its stops still to be looked at.
    pub(super) fn outline(&self, every_hours: Option<f64>) -> Walk {
        let lies_after_hours =
            every_hours.map_or(LIES_AFTER_HOURS, |hours| LIES_AFTER_INTERVALS * hours);
        let mut walk = Walk {
            round: self.round.clone(),
            run: self.run,
            stage: Stage::UnderWay,
            by: self.begun.by.clone(),
            begun: self.begun.at,
            taken_up: self.begun.at,
            lies_after_ms: (lies_after_hours * MS_PER_HOUR) as i64,
            ended: self.ended().map(|row| row.at),
            stops: Vec::new(),
        };
        for row in &self.deeds {
            match row.deed {
                Deed::RoundPaused { .. } => walk.stage = Stage::Paused,
                Deed::RoundResumed { .. } => {
                    walk.stage = Stage::UnderWay;
                    walk.by = row.by.clone();
                    walk.taken_up = row.at;
                }
                _ => {}
            }
        }
        // What is over stays over: somebody who had not heard of it yet went on.
        if walk.ended.is_some() {
            walk.stage = Stage::Ended;
        }
        walk
    }
}

impl App {
    pub(super) fn history_of(&self, run: Uuid) -> Result<History, AppError> {
        let mut deeds = self.store.read().deeds(DeedsOf::Subject(run), MOST_DEEDS)?;
        in_order(&mut deeds);
        let begun = deeds.iter().find_map(|row| match &row.deed {
            Deed::RoundBegun { round, .. } => Some((row.clone(), round.clone())),
            _ => None,
        });
        let (begun, round) = begun.ok_or(AppError::UnknownWalk(run))?;
        Ok(History {
            run,
            round,
            begun,
            deeds,
        })
    }
}

/// Sorts deeds by time without letting a clock set back turn the order of one device: no deed is taken to be earlier
/// than the one before it on its device.
pub(in crate::app) fn in_order(deeds: &mut [DeedRow]) {
    deeds.sort_by_key(|row| (row.origin, row.seq));
    let mut latest: Option<(Origin, i64)> = None;
    let mut keys = HashMap::new();
    for row in deeds.iter() {
        let not_before = match latest {
            Some((origin, ms)) if origin == row.origin => ms.max(row.at.utc_ms),
            _ => row.at.utc_ms,
        };
        latest = Some((row.origin, not_before));
        keys.insert(row.record, not_before);
    }
    deeds.sort_by_key(|row| (keys[&row.record], row.origin, row.seq));
}
