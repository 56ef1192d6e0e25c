//! Procedures at a pump: which are for it, a run begun and gone on with on whichever device, looked back on.
//!
//! A run is derived from the deeds about it, whichever device they were written on and in whatever order they came:
//! [`crate::procedure::meet()`] says what is taken and what is set aside.

mod going_on;
mod offer;

pub use going_on::{BeginProcedure, GoOn, Went};
pub use offer::{Needs, NotHere, Offer};

use super::{App, AppError, rounds};
use crate::{
    plant::PumpId,
    procedure::{Aside, CannotReplay, Event, Plan, Run, What, meet},
    record::{Deed, Origin, Stamp},
    store::{DeedRow, DeedsOf},
};
use std::{collections::BTreeMap, sync::Arc};
use uuid::Uuid;

/// Runs under way that are looked through: far more than there are people.
const MOST_UNDER_WAY: u32 = 200;
/// Deeds about one run: each step passed on several devices, with many entries that stopped it.
const MOST_DEEDS: u32 = 5_000;
/// Runs begun in the plant that a pump's history looks through.
const LOOK_BACK: u32 = 2_000;

/// A run of a procedure as all its records have it.
#[derive(Clone, Debug, PartialEq)]
pub struct ProcedureRun {
    /// Its identity.
    pub id: Uuid,
    /// Who began it.
    pub begun_by: String,
    /// When.
    pub begun: Stamp,
    /// Who did what was done last.
    pub last_by: String,
    /// When that was written down.
    pub last: Stamp,
    /// How far it is, and what was done.
    pub run: Run,
    /// What was done on one device while another had done otherwise; it stays written down and changes nothing here.
    pub aside: Vec<Aside>,
}

impl ProcedureRun {
    /// It has neither come to its end nor been broken off.
    pub fn is_under_way(&self) -> bool {
        self.run.ending().is_none()
    }

    /// It is at this pump, or at it as the one that stands in.
    pub fn is_at(&self, pump: &PumpId) -> bool {
        let plan = self.run.plan();
        plan.this.id == *pump || plan.other.as_ref().is_some_and(|other| other.id == *pump)
    }

    /// Both pumps.
    pub fn pumps(&self) -> impl Iterator<Item = &PumpId> {
        let plan = self.run.plan();
        [Some(&plan.this), plan.other.as_ref()]
            .into_iter()
            .flatten()
            .map(|pump| &pump.id)
    }
}

impl App {
    /// A run of a procedure.
    ///
    /// # Errors
    /// Where it is not there, or its records make no run.
    pub fn procedure_run(&self, run: Uuid) -> Result<ProcedureRun, AppError> {
        let deeds = self.store.read().deeds(DeedsOf::Subject(run), MOST_DEEDS)?;
        run_of(run, deeds)?.ok_or(AppError::UnknownRun(run))
    }

    /// The runs under way, the newest first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn runs_under_way(&self) -> Result<Vec<ProcedureRun>, AppError> {
        let begun = self
            .store
            .read()
            .deeds(DeedsOf::ProceduresUnderWay, MOST_UNDER_WAY)?;
        let mut runs = self.runs_begun_by(&begun, |_| true)?;
        runs.retain(ProcedureRun::is_under_way);
        Ok(runs)
    }

    /// The last runs at a pump, also those in which it stood in for another or another for it; the newest first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn runs_at(&self, pump: &PumpId, most: usize) -> Result<Vec<ProcedureRun>, AppError> {
        let begun = self
            .store
            .read()
            .deeds(DeedsOf::Kind("procedure_begun"), LOOK_BACK)?;
        let at_pump = |plan: &Plan| {
            let other = plan.other.as_ref();
            plan.this.id == *pump || other.is_some_and(|other| other.id == *pump)
        };
        let mut of_it: Vec<DeedRow> = begun
            .into_iter()
            .filter(|row| matches!(&row.deed, Deed::ProcedureBegun { plan, .. } if at_pump(plan)))
            .collect();
        of_it.truncate(most);
        self.runs_begun_by(&of_it, at_pump)
    }

    fn runs_begun_by(
        &self,
        begun: &[DeedRow],
        wanted: impl Fn(&Plan) -> bool,
    ) -> Result<Vec<ProcedureRun>, AppError> {
        let mut runs: Vec<ProcedureRun> = Vec::new();
        for row in begun {
            let Deed::ProcedureBegun { run, plan, .. } = &row.deed else {
                continue;
            };
            if wanted(plan) && !runs.iter().any(|known| known.id == *run) {
                runs.push(self.procedure_run(*run)?);
            }
        }
        Ok(runs)
    }
}

/// The run that these deeds make; `None` where none of them began it.
fn run_of(id: Uuid, mut deeds: Vec<DeedRow>) -> Result<Option<ProcedureRun>, AppError> {
    rounds::in_order(&mut deeds);
    // Begun once; a second beginning could only come from a device that writes under another's name.
    let begun = deeds.iter().find_map(|row| match &row.deed {
        Deed::ProcedureBegun { plan, .. } => Some((row.clone(), Arc::new(Plan::clone(plan)))),
        _ => None,
    });
    let (Some((begun, plan)), Some(last)) = (begun, deeds.last().cloned()) else {
        return Ok(None);
    };
    let sha256 = plan
        .sha256()
        .map_err(|error| CannotReplay::Plan(error.into()))?;
    let events = deeds.into_iter().filter_map(|row| {
        let what = match row.deed {
            Deed::ProcedureBegun { .. } if row.record == begun.record => What::Started {
                plan: sha256.clone(),
            },
            Deed::ProcedureWent { what, .. } => what,
            _ => return None,
        };
        let event = Event {
            by: row.by,
            at_ms: row.at.utc_ms,
            what,
        };
        Some((row.origin, event))
    });
    // In order of time with each device's own order kept, so that each device's list is in its own order.
    let mut devices: BTreeMap<Origin, Vec<Event>> = BTreeMap::new();
    for (origin, event) in events {
        devices.entry(origin).or_default().push(event);
    }
    let met = meet(plan, devices.into_values())?;
    Ok(Some(ProcedureRun {
        id,
        begun_by: begun.by,
        begun: begun.at,
        last_by: last.by,
        last: last.at,
        run: met.run,
        aside: met.aside,
    }))
}
