//! How the stops of a walk stand, from the visits to their pumps.

use super::{Stage, Stop, StopStanding, Walk, history::History};
use crate::{
    app::{App, AppError},
    check::{self, Entered, EntryKind},
    plant::{CheckId, PumpId},
    store::{EnteredRow, EnteredWhat, SpanOfVisits, VisitRow},
};
use std::collections::BTreeMap;
use uuid::Uuid;

/// A device's clock may be this far behind another's before a visit seems to come before the round it was made on.
const CLOCKS_APART_MS: i64 = 5 * 60 * 1000;
/// A device writes fewer records than this on one walk: how far is looked for visits that a clock set back hides.
const RECORDS_OF_A_WALK: u64 = 5_000;

impl App {
    /// One walk of a round.
    ///
    /// # Errors
    /// Where it is not there, or the store can't be read.
    pub fn walk(&self, run: Uuid) -> Result<Walk, AppError> {
        let history = self.history_of(run)?;
        let walk = self.outline(&history)?;
        self.with_stops(&history, walk)
    }

    /// The walk without its stops.
    pub(super) fn outline(&self, history: &History) -> Result<Walk, AppError> {
        let register = self.register()?;
        let round = register.plant().round(&history.round);
        Ok(history.outline(round.map(|round| round.every_hours)))
    }

    pub(super) fn with_stops(&self, history: &History, mut walk: Walk) -> Result<Walk, AppError> {
        let span = span(history, &walk);
        let hidden = self.store.read().visits_hidden(&span)?;
        let register = self.register()?;
        let stops = match register.plant().round(&walk.round) {
            Some(round) => round.stops.clone(),
            None => self.stops_known(history, &span)?,
        };
        for pump in stops {
            let mut visits = self.store.read().visits_to_within(&pump, &span)?;
            visits.extend(hidden.iter().filter(|visit| visit.pump == pump).cloned());
            visits.retain(|visit| is_on(history, visit));
            let stop = self.stop(history, &walk, pump, visits)?;
            walk.stops.push(stop);
        }
        Ok(walk)
    }

    /// Of a round that has left the plant: the stops made on it and those passed over.
    fn stops_known(&self, history: &History, span: &SpanOfVisits) -> Result<Vec<PumpId>, AppError> {
        let visits = self.store.read().visits_of_round(&history.round, span)?;
        let mut pumps: Vec<PumpId> = visits.into_iter().map(|visit| visit.pump).collect();
        pumps.extend(history.pumps().cloned());
        let mut known: Vec<PumpId> = Vec::new();
        for pump in pumps {
            if !known.contains(&pump) {
                known.push(pump);
            }
        }
        Ok(known)
    }

    fn stop(
        &self,
        history: &History,
        walk: &Walk,
        pump: PumpId,
        mut visits: Vec<VisitRow>,
    ) -> Result<Stop, AppError> {
        visits.sort_by_key(|visit| (visit.opened.utc_ms, visit.origin, visit.seq));
        let mut entered: BTreeMap<CheckId, EnteredRow> = BTreeMap::new();
        let mut made_by = None;
        for visit in visits.iter().filter(|visit| visit.entries > 0) {
            for row in self.store.read().entered_in(visit.visit)? {
                if row.what != EnteredWhat::Remark {
                    made_by = made_by.or(Some(visit));
                }
                entered.insert(row.check, row);
            }
        }
        let running = match visits.last() {
            Some(visit) => visit.running,
            None => match self.likely_running(&pump) {
                Err(AppError::UnknownPump(_)) => check::RunningState::OutOfService,
                likely => likely?,
            },
        };
        let asked = self.asked_for(&pump, running);
        let missing: Vec<CheckId> = asked
            .iter()
            .filter(|check| !entered.contains_key(check))
            .copied()
            .collect();
        let skipped = history.skipped(&pump);
        // Nobody is at a stop of a walk that is over.
        let open = visits
            .iter()
            .find(|visit| visit.closed.is_none() && walk.stage != Stage::Ended);
        let standing = match (made_by, open) {
            (Some(visit), _) if missing.is_empty() => visited(visit),
            (_, Some(visit)) => StopStanding::BeingVisited {
                visit: visit.visit,
                by: visit.by.clone(),
                at: visit.opened,
            },
            (Some(visit), None) => visited(visit),
            (None, None) => {
                skipped.map_or(StopStanding::Open, |(reason, by)| StopStanding::Skipped {
                    reason: reason.to_owned(),
                    by: by.to_owned(),
                })
            }
        };
        Ok(Stop {
            running,
            standing,
            asked: asked.len(),
            missing,
            passed_over: self.passed_over(entered)?,
            rest: skipped.map(|(reason, _)| reason.to_owned()),
            pump,
        })
    }

    /// The checks passed over, each with its reason: the only entries of a stop that are read whole.
    fn passed_over(
        &self,
        entered: BTreeMap<CheckId, EnteredRow>,
    ) -> Result<Vec<(CheckId, String)>, AppError> {
        let mut passed_over = Vec::new();
        for (check, row) in entered {
            if row.what == EnteredWhat::PassedOver
                && let Some(entry) = self.store.read().entry(row.record)?
                && let Entered::NotChecked { reason } = entry.entry.entered
            {
                passed_over.push((check, reason));
            }
        }
        Ok(passed_over)
    }

    /// The checks a stop asks for; none where the pump has left the plant.
    fn asked_for(&self, pump: &PumpId, running: check::RunningState) -> Vec<CheckId> {
        let list = self.register().ok().and_then(|register| {
            let pump = register.pump(pump).ok()?;
            Some(check::list(pump, running))
        });
        let asked = list.unwrap_or_default().into_iter();
        asked
            .filter(|check| check.kind != EntryKind::Words)
            .map(|check| check.id)
            .collect()
    }
}

fn visited(visit: &VisitRow) -> StopStanding {
    StopStanding::Visited {
        visit: visit.visit,
        by: visit.by.clone(),
        at: visit.opened,
    }
}

/// Where a walk's visits lie; what came after a walk was left lying is not of it.
fn span(history: &History, walk: &Walk) -> SpanOfVisits {
    let lies_from_ms = walk.taken_up.utc_ms.saturating_add(walk.lies_after_ms);
    let begun = &history.begun;
    // Of a walk ended where it was begun the device's own order says what came before, whatever its clock did.
    let ended_here = history.ended().filter(|row| row.origin == begun.origin);
    SpanOfVisits {
        from_ms: begun.at.utc_ms.saturating_sub(CLOCKS_APART_MS),
        to_ms: lies_from_ms,
        origin: begun.origin,
        after_seq: begun.seq,
        before_seq: ended_here.map_or(begun.seq.saturating_add(RECORDS_OF_A_WALK), |row| row.seq),
    }
}

/// On one device its own order says whether a visit came after the begin and before the end, which no clock set back
/// can turn; between two the clocks do, and in doubt the visit belongs to the walk.
fn is_on(history: &History, visit: &VisitRow) -> bool {
    let begun = &history.begun;
    let before_begin = visit.origin == begun.origin && visit.seq < begun.seq;
    let after_end = history.ended().is_some_and(|end| {
        if visit.origin == end.origin {
            visit.seq > end.seq
        } else {
            let ended_ms = end.at.utc_ms.max(begun.at.utc_ms);
            visit.opened.utc_ms > ended_ms.saturating_add(CLOCKS_APART_MS)
        }
    });
    !before_begin && !after_end
}
