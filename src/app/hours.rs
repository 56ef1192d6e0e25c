//! What is known of a pump's running, for hours and for what is due by them.

use super::{App, AppError, Command};
use crate::{
    check::RunningState,
    plant::PumpId,
    record::{Body, Deed, Stamp},
    remedy::hours::{Ran as Did, RunEvent},
    store::Sighting,
};

/// Visits to a pump that are looked through: ten years of five a day.
const MOST_VISITS: u32 = 20_000;
/// Starts and stops that are looked through.
const MOST_TURNS: u32 = 20_000;
/// A visit nobody closed is over by then.
const LONGEST_VISIT_MS: i64 = 12 * 3_600_000;

/// Write down that a pump was started or stopped, where no procedure's step did.
#[derive(Clone, Debug)]
pub struct TurnPump {
    /// Which pump.
    pub pump: PumpId,
    /// It was started; else stopped.
    pub runs: bool,
    /// When; now, where it is not said.
    pub turned_at: Option<Stamp>,
}

impl Command for TurnPump {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let now = app.now();
        let turned_at = self.turned_at.unwrap_or(now);
        if turned_at.utc_ms > now.utc_ms {
            return Err(AppError::DoneLater);
        }
        app.register()?.pump(&self.pump)?;
        app.append(Body::Done(Deed::PumpTurned {
            pump: self.pump,
            runs: self.runs,
            turned_at,
        }))?;
        Ok(())
    }
}

/// What is known of one pump's running.
pub(super) struct Ran {
    /// In no order.
    pub events: Vec<RunEvent>,
    /// What it was doing at the last visit.
    pub newest: Option<RunningState>,
}

impl Ran {
    pub fn first_ms(&self) -> Option<i64> {
        self.events.iter().map(|event| event.at_ms).min()
    }

    pub fn runs(&self) -> bool {
        let newest = self.events.iter().max_by_key(|event| event.at_ms);
        newest.is_some_and(|event| matches!(event.ran, Did::Started | Did::SeenRunning))
    }
}

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
        Ok(self.ran_since(pump, from_ms)?.events)
    }

    /// The same, with what the last visit saw it doing.
    pub(super) fn ran_since(&self, pump: &PumpId, from_ms: i64) -> Result<Ran, AppError> {
        let reader = self.store.read();
        let turned = reader.turns(pump, MOST_TURNS)?.into_iter();
        let mut events: Vec<RunEvent> = turned
            .map(|turn| RunEvent {
                at_ms: turn.turned_ms,
                ran: if turn.runs {
                    Did::Started
                } else {
                    Did::Stopped
                },
            })
            .collect();
        let turns: Vec<i64> = events.iter().map(|event| event.at_ms).collect();
        let seen = reader.sightings(pump, from_ms, MOST_VISITS)?;
        let newest = seen.first().map(|visit| visit.running);
        // A visit says what the pump was doing at its end; the start or stop within it says it better.
        let seen = seen.iter().filter(|visit| !holds_a_turn(visit, &turns));
        events.extend(seen.map(|visit| RunEvent {
            at_ms: visit.opened_ms,
            ran: if visit.running == RunningState::Running {
                Did::SeenRunning
            } else {
                Did::SeenStanding
            },
        }));
        Ok(Ran { events, newest })
    }
}

fn holds_a_turn(visit: &Sighting, turns: &[i64]) -> bool {
    let from_ms = visit.opened_ms;
    let to_ms = visit.closed_ms.unwrap_or(from_ms + LONGEST_VISIT_MS);
    turns.iter().any(|at_ms| (from_ms..=to_ms).contains(at_ms))
}
