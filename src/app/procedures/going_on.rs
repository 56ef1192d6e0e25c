//! A procedure begun, and gone on with step by step.

use super::{App, AppError, ProcedureRun};
use crate::{
    app::{Arrive, CloseVisit, Command, EntryTaken, SeeRunning},
    check::{Entered, RunningState},
    plant::{CheckId, PumpId},
    procedure::{Event, Kind, Plan, PlannedStep, Run, Task, Then, What},
    record::{Body, Deed, HowFound},
    store::DeedsOf,
};
use uuid::Uuid;

/// Begin a procedure at a pump. The outcome is the run's identity.
#[derive(Clone, Debug)]
pub struct BeginProcedure {
    /// The procedure's id.
    pub procedure: String,
    /// At which pump.
    pub pump: PumpId,
    /// The pump that stands in for it, where the procedure takes two.
    pub partner: Option<PumpId>,
}

/// Something happens in a run: a step is done, skipped, permitted, waited for, or the run ends.
///
/// Who goes on with a run need not be who began it, nor on the same device.
#[derive(Clone, Debug)]
pub struct GoOn {
    /// Which run.
    pub run: Uuid,
    /// What happens. When a wait is over is reckoned here, whatever the deadline given.
    pub what: What,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Went {
    /// The run as it is now.
    pub run: ProcedureRun,
    /// The entry as it stands at its pump, where a check was entered that the pump has by the register of today.
    pub entry: Option<EntryTaken>,
}

impl Command for BeginProcedure {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        let register = app.register()?;
        let plant = register.plant();
        let procedure = plant
            .procedure(&self.procedure)
            .filter(|procedure| procedure.kind != Kind::Part)
            .ok_or_else(|| AppError::UnknownProcedure(self.procedure.clone()))?;
        let plan = Plan::of(procedure, plant, &self.pump, self.partner.as_ref())?;
        for pump in [Some(&self.pump), self.partner.as_ref()]
            .into_iter()
            .flatten()
        {
            let there = app.runs_under_way()?;
            if let Some(other) = there.into_iter().find(|run| run.is_at(pump)) {
                return Err(AppError::UnderWay {
                    name: other.run.plan().name.clone(),
                    pump: pump.clone(),
                    by: other.begun_by,
                });
            }
        }
        let run = app.world.new_id();
        app.append(Body::Done(Deed::ProcedureBegun {
            run,
            pump: self.pump,
            partner: self.partner,
            plan: Box::new(plan),
        }))?;
        Ok(run)
    }
}

impl Command for GoOn {
    type Outcome = Went;

    fn perform(self, app: &mut App) -> Result<Went, AppError> {
        app.together(|app| {
            let before = app.procedure_run(self.run)?;
            let at_ms = app.now().utc_ms;
            let what = app.as_recorded(self.what, &before.run, at_ms)?;
            // Refused by the rules it will be read back by, so that nothing is written that would be set aside.
            before.run.take(Event {
                by: app.operator.clone(),
                at_ms,
                what: what.clone(),
            })?;
            app.append(Body::Done(Deed::ProcedureWent {
                run: self.run,
                pump: before.run.plan().this.id.clone(),
                what: what.clone(),
            }))?;
            let entry = match (before.run.step(), &what) {
                (Some((_, step)), What::StepDone { entered, .. }) => {
                    app.at_the_pump(&before.run, step, entered.clone())?
                }
                _ => None,
            };
            if what.ends() {
                app.leave_pumps(&before)?;
            }
            let run = app.procedure_run(self.run)?;
            Ok(Went { run, entry })
        })
    }
}

impl App {
    /// What happens, as it is written down.
    fn as_recorded(&self, what: What, run: &Run, at_ms: i64) -> Result<What, AppError> {
        Ok(match (what, run.step()) {
            (What::WaitBegun { step, .. }, Some((_, planned))) => {
                let seconds = match planned.task {
                    Task::Wait { seconds } => i64::from(seconds),
                    _ => 0,
                };
                let deadline_ms = at_ms.saturating_add(seconds * 1_000);
                What::WaitBegun { step, deadline_ms }
            }
            (What::StepDone { step, entered }, _) => {
                let entered = entered.map(|entered| self.by_convention(entered));
                let entered = entered.transpose()?;
                What::StepDone { step, entered }
            }
            (what, _) => what,
        })
    }

    /// What a step leaves behind at its pump besides the run: an entry among the pump's own, and that it runs or stands
    /// from now on.
    fn at_the_pump(
        &mut self,
        run: &Run,
        step: &PlannedStep,
        entered: Option<Entered>,
    ) -> Result<Option<EntryTaken>, AppError> {
        let check = match &step.task {
            Task::Enter { asked, .. } | Task::Prove { asked, .. } => asked.check(),
            _ => None,
        };
        if let Some(then) = step.then {
            let turned_at = self.world.now();
            self.append(Body::Done(Deed::PumpTurned {
                pump: step.pump.clone(),
                runs: then == Then::Runs,
                turned_at,
            }))?;
        }
        if check.is_none() && step.then.is_none() {
            return Ok(None);
        }
        // The run goes by its plan; the register may have lost the pump since.
        if self.register()?.pump(&step.pump).is_err() {
            return Ok(None);
        }
        let visit = self.visit_for(run, step)?;
        match check.zip(entered) {
            Some((check, entered)) => self.stands_as(visit, check, entered),
            None => Ok(None),
        }
    }

    /// The visit to the step's pump, with the pump as it runs or stands once the step is done.
    fn visit_for(&mut self, run: &Run, step: &PlannedStep) -> Result<Uuid, AppError> {
        let visit = self.perform(Arrive {
            pump: step.pump.clone(),
            found: HowFound::Chosen,
            round: None,
        })?;
        let known = self.visit(visit)?.running;
        let running = match step.then {
            Some(then) => running(then),
            None => state(run, &step.pump).unwrap_or(known),
        };
        if running != known {
            self.perform(SeeRunning { visit, running })?;
        }
        Ok(visit)
    }

    /// The entry as one of the pump's own. The run has it in any case; where the pump no longer has the check, or has it
    /// otherwise, it stays with the run alone.
    fn stands_as(
        &mut self,
        visit: Uuid,
        check: CheckId,
        entered: Entered,
    ) -> Result<Option<EntryTaken>, AppError> {
        match self.enter_at_step(visit, check, entered) {
            Ok(taken) => Ok(Some(taken)),
            Err(AppError::UnknownCheck { .. } | AppError::BadEntry(_)) => Ok(None),
            Err(error) => Err(error),
        }
    }

    /// Closes the visits that were opened here for the run.
    fn leave_pumps(&mut self, run: &ProcedureRun) -> Result<(), AppError> {
        let own = self.store.origin();
        let read = self.store.read();
        let deeds = read.deeds(DeedsOf::Subject(run.id), super::MOST_DEEDS)?;
        let here = deeds.iter().filter(|row| row.origin == own);
        let Some(since) = here.map(|row| row.seq).min() else {
            return Ok(());
        };
        let opened = self.own_open_visits()?;
        let since_then = opened
            .into_iter()
            .filter(|visit| visit.origin == own && visit.seq > since);
        for visit in since_then.filter(|visit| run.is_at(&visit.pump)) {
            self.perform(CloseVisit { visit: visit.visit })?;
        }
        Ok(())
    }
}

fn running(then: Then) -> RunningState {
    match then {
        Then::Runs => RunningState::Running,
        Then::Stands => RunningState::Standby,
    }
}

/// What a pump is doing at the run's present step, where the procedure tells: what it was turned to last, else the other
/// than it will be turned to.
fn state(run: &Run, pump: &PumpId) -> Option<RunningState> {
    let turned = |step: &PlannedStep| step.then.filter(|_| step.pump == *pump);
    let behind = run.passed().filter_map(|(step, _)| turned(step)).last();
    let ahead = run.left().iter().find_map(turned);
    match (behind, ahead) {
        (Some(then), _) => Some(running(then)),
        (None, Some(Then::Runs)) => Some(RunningState::Standby),
        (None, Some(Then::Stands)) => Some(RunningState::Running),
        // Only a pump that stands is filled.
        (None, None) => (run.plan().kind == Kind::Prime).then_some(RunningState::Standby),
    }
}
