//! What is known of a pump's running, for hours and for what is due by them.

use super::{App, AppError};
use crate::{
    check::RunningState,
    plant::PumpId,
    record::Deed,
    remedy::hours::{Ran, RunEvent},
    store::{DeedsOf, Sighting},
};

/// Visits to a pump that are looked through: ten years of five a day.
const MOST_VISITS: u32 = 20_000;
/// Starts and stops that are looked through.
const MOST_TURNS: u32 = 20_000;
/// A visit nobody closed is over by then.
const LONGEST_VISIT_MS: i64 = 12 * 3_600_000;

impl App {
    /// All that was entered about a pump's running, in no order: its starts and stops, and what each visit saw it doing.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn run_events(&self, pump: &PumpId) -> Result<Vec<RunEvent>, AppError> {
        self.run_events_since(pump, i64::MIN)
    }

    /// The same, of its visits only those since a time, with the one before that says what it was doing then.
    pub(super) fn run_events_since(
        &self,
        pump: &PumpId,
        from_ms: i64,
    ) -> Result<Vec<RunEvent>, AppError> {
        let reader = self.store.read();
        let turned = reader.deeds(DeedsOf::KindAt("pump_turned", pump), MOST_TURNS)?;
        let mut events: Vec<RunEvent> = turned
            .iter()
            .filter_map(|row| match row.deed {
                Deed::PumpTurned {
                    runs, turned_at, ..
                } => Some(RunEvent {
                    at_ms: turned_at.utc_ms,
                    ran: if runs { Ran::Started } else { Ran::Stopped },
                }),
                _ => None,
            })
            .collect();
        let turns: Vec<i64> = events.iter().map(|event| event.at_ms).collect();
        let seen = reader.sightings(pump, from_ms, MOST_VISITS)?;
        // A visit says what the pump was doing at its end; the start or stop within it says it better.
        let seen = seen.iter().filter(|visit| !holds_a_turn(visit, &turns));
        events.extend(seen.map(|visit| RunEvent {
            at_ms: visit.opened_ms,
            ran: if visit.running == RunningState::Running {
                Ran::SeenRunning
            } else {
                Ran::SeenStanding
            },
        }));
        Ok(events)
    }
}

fn holds_a_turn(visit: &Sighting, turns: &[i64]) -> bool {
    let from_ms = visit.opened_ms;
    let to_ms = visit.closed_ms.unwrap_or(from_ms + LONGEST_VISIT_MS);
    turns.iter().any(|at_ms| (from_ms..=to_ms).contains(at_ms))
}
