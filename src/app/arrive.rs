//! Coming to a pump: going on with the visit that is open there, or beginning one.

use super::{App, AppError, CloseVisit, Command, OpenVisit};
use crate::{
    plant::{PumpId, RoundId},
    record::HowFound,
    store::VisitRow,
};
use uuid::Uuid;

/// A visit left open longer than a shift is somebody's past, not where one goes on.
const LONGEST_VISIT_MS: i64 = 12 * 3_600_000;

/// Come to a pump. The outcome is the visit one is in then: the open one of the same operator, if it is of this shift,
/// else a new one. Visits left open at this pump before are closed.
#[derive(Clone, Debug)]
pub struct Arrive {
    /// At which pump.
    pub pump: PumpId,
    /// How it was found.
    pub found: HowFound,
    /// On which round.
    pub round: Option<RoundId>,
}

impl Command for Arrive {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        app.together(|app| {
            let open = app.own_open_visits()?;
            let here: Vec<_> = open
                .into_iter()
                .filter(|visit| visit.pump == self.pump)
                .collect();
            for visit in &here {
                if app.goes_on(visit) {
                    return Ok(visit.visit);
                }
            }
            for visit in here {
                app.perform(CloseVisit { visit: visit.visit })?;
            }
            let running = app.likely_running(&self.pump)?;
            let Self { pump, found, round } = self;
            app.perform(OpenVisit {
                pump,
                running,
                found,
                round,
            })
        })
    }
}

impl App {
    /// Whether who signs now goes on with this visit.
    fn goes_on(&mut self, visit: &VisitRow) -> bool {
        let age_ms = self.world.now().utc_ms.saturating_sub(visit.opened.utc_ms);
        visit.by == self.operator && (0..LONGEST_VISIT_MS).contains(&age_ms)
    }
}
