//! A visit's checklist: which checks the pump has, and what has been entered so far.

use super::{App, AppError, Followed, FoundBy};
use crate::{
    check::{self, Check, RunningState},
    plant::{CheckId, Limits, Pump, PumpId},
    store::{EntryRow, VisitRow},
};
use uuid::Uuid;

/// A visit with its checks in walking order.
#[derive(Clone, Debug)]
pub struct Checklist {
    /// The visit.
    pub visit: VisitRow,
    /// The pump as it is built.
    pub pump: Pump,
    /// Its checks: those of the walk, then those asked for besides that were made.
    pub checks: Vec<CheckState>,
    /// How many of the checks are those of the walk; they come first.
    pub walk: usize,
    /// Those that can be asked for to tell troubles apart and were not made yet.
    pub on_request: Vec<CheckState>,
    /// What is still wrong at the pump, the worst first: asked about before anything else.
    pub open_findings: Vec<Followed>,
    /// Drops in a millilitre by the plant's convention.
    pub drops_per_ml: Option<f64>,
}

/// One check of a visit.
#[derive(Clone, Debug)]
pub struct CheckState {
    /// The check.
    pub check: Check,
    /// Its limits.
    pub limits: Option<Limits>,
    /// What was entered in this visit, and holds.
    pub entry: Option<EntryRow>,
    /// No cup is held there: the liquid is hot or hazardous.
    pub hands_off: bool,
}

/// Where a check of a visit stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Nothing entered yet.
    Missing,
    /// Left out with a reason.
    NotChecked,
    /// Entered.
    Entered,
}

impl CheckState {
    /// Where it stands.
    pub fn standing(&self) -> Standing {
        match self.entry.as_ref().map(|row| &row.entry.entered) {
            None => Standing::Missing,
            Some(check::Entered::NotChecked { .. }) => Standing::NotChecked,
            Some(_) => Standing::Entered,
        }
    }
}

impl Checklist {
    /// One of its checks, of the walk or asked for besides.
    pub fn check(&self, id: CheckId) -> Option<&CheckState> {
        let mut all = self.checks.iter().chain(&self.on_request);
        all.find(|state| state.check.id == id)
    }

    /// The open findings that nothing was said of in this visit yet: none that it found itself, and none that an entry
    /// of it speaks of.
    pub fn to_ask(&self) -> impl Iterator<Item = &Followed> {
        let here = self.visit.visit;
        self.open_findings.iter().filter(move |open| {
            let found_here = match &open.what {
                FoundBy::Entry(row) => row.latest.entry.visit == here,
                FoundBy::Hand(hand) => hand.visit == Some(here),
            };
            !found_here && open.said_in(&self.visit).is_none()
        })
    }

    /// The first check nothing was entered for.
    pub fn next_missing(&self) -> Option<usize> {
        self.checks
            .iter()
            .position(|state| state.standing() == Standing::Missing)
    }

    /// The entry made last in this visit that holds; undo takes it back.
    pub fn last_entry(&self) -> Option<&EntryRow> {
        let entries = self.checks.iter().filter_map(|state| state.entry.as_ref());
        entries.max_by_key(|entry| entry.seq)
    }
}

impl App {
    /// The checklist of a visit.
    ///
    /// # Errors
    /// Where the visit or its pump is not there.
    pub fn checklist(&self, visit: Uuid) -> Result<Checklist, AppError> {
        let visit = self.visit(visit)?;
        let register = self.register()?;
        let pump = register.pump(&visit.pump)?.clone();
        let entries = self.store.read().entries_of_visit(visit.visit)?;
        let state = |check: Check| {
            let limits = register.plant().limits_of(&pump.id, check.id).cloned();
            let check = register.plant().asked_at(&pump.id, check);
            let entry = entries
                .iter()
                .rev()
                .find(|row| row.entry.check == check.id)
                .cloned();
            CheckState {
                check,
                limits,
                entry,
                hands_off: !check::gland_may_be_touched(&pump),
            }
        };
        let mut list = check::list(&pump, visit.running);
        let walk = list.len();
        let asked = check::on_request(&pump, visit.running);
        let (asked_and_entered, on_request): (Vec<_>, Vec<_>) = asked
            .into_iter()
            .partition(|check| entries.iter().any(|row| row.entry.check == check.id));
        list.extend(asked_and_entered);
        // What was entered before the pump turned out to be doing something else stays in sight.
        for row in &entries {
            let id = row.entry.check;
            if !list.iter().any(|check| check.id == id) {
                list.push(Check {
                    id,
                    kind: check::usual_kind(id.kind),
                    caution: None,
                });
            }
        }
        let checks = list.into_iter().map(&state).collect();
        let on_request = on_request.into_iter().map(&state).collect();
        let open_findings = self.still_open(&pump.id)?;
        Ok(Checklist {
            visit,
            pump,
            checks,
            walk,
            on_request,
            open_findings,
            drops_per_ml: register.plant().drops_per_ml,
        })
    }

    /// What a pump is most likely doing: as at its last visit, else by its part in its spare group.
    ///
    /// # Errors
    /// Where the pump is not in the plant.
    pub fn likely_running(&self, pump: &PumpId) -> Result<RunningState, AppError> {
        if let Some(visit) = self.store.read().visits_to(pump, 1)?.first() {
            return Ok(visit.running);
        }
        let register = self.register()?;
        let spare = register.pump(pump)?.spare.as_ref();
        Ok(match spare.map(|spare| spare.role) {
            Some(crate::plant::SpareRole::Standby) => RunningState::Standby,
            _ => RunningState::Running,
        })
    }
}
