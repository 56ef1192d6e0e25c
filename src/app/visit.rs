//! At the pump: visits, entries, corrections.

use super::{App, AppError, Command};
use crate::{
    check::{self, Check, Entered, RunningState},
    judge::{self, Judgement, Previous, Verdict},
    plant::{CheckId, Limits, Pump, PumpId, RoundId},
    record::{
        Body, EntryAmended, EntryMade, EntryWithdrawn, HowFound, RunningSeen, Stamp, VisitClosed,
        VisitOpened,
    },
    store::{EntryRow, VisitRow},
};
use uuid::Uuid;

const MS_PER_HOUR: f64 = 3_600_000.0;

/// Entries of a check looked through for the one before a corrected one: corrections come soon.
const LOOK_BACK: u32 = 50;

/// Begin at a pump. The outcome is the visit's identity.
#[derive(Clone, Debug)]
pub struct OpenVisit {
    /// At which.
    pub pump: PumpId,
    /// What it is doing.
    pub running: RunningState,
    /// How it was found.
    pub found: HowFound,
    /// On which round; without it, on the one under way that passes this pump.
    pub round: Option<RoundId>,
}

/// The pump turns out to be doing something else; the entries made stay.
#[derive(Clone, Copy, Debug)]
pub struct SeeRunning {
    /// In which visit.
    pub visit: Uuid,
    /// What the pump is doing.
    pub running: RunningState,
}

/// Enter what was found.
#[derive(Clone, Debug)]
pub struct Enter {
    /// In which visit.
    pub visit: Uuid,
    /// For which check.
    pub check: CheckId,
    /// What was found.
    pub entered: Entered,
}

/// Put an entry right.
#[derive(Clone, Debug)]
pub struct Amend {
    /// The record that holds it.
    pub record: Uuid,
    /// What it should have been.
    pub entered: Entered,
}

/// An entry that is in, and what it came to.
#[derive(Clone, Debug, PartialEq)]
pub struct EntryTaken {
    /// The record that holds it.
    pub record: Uuid,
    /// What it came to.
    pub judgement: Judgement,
    /// The finding it opened or belongs to.
    pub finding: Option<Uuid>,
}

/// Take an entry back.
#[derive(Clone, Copy, Debug)]
pub struct Withdraw {
    /// The record that holds it.
    pub record: Uuid,
}

/// Leave the pump.
#[derive(Clone, Copy, Debug)]
pub struct CloseVisit {
    /// Which visit.
    pub visit: Uuid,
}

impl Command for OpenVisit {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        app.register()?.pump(&self.pump)?;
        let Self {
            pump,
            running,
            found,
            round,
        } = self;
        let round = match round {
            Some(round) => Some(round),
            None => app.round_passing(&pump)?,
        };
        let visit = app.world.new_id();
        app.append(Body::VisitOpened(VisitOpened {
            visit,
            pump,
            running,
            found,
            round,
        }))?;
        Ok(visit)
    }
}

impl Command for SeeRunning {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let Self { visit, running } = self;
        app.open_one(visit)?;
        app.append(Body::RunningSeen(RunningSeen { visit, running }))?;
        Ok(())
    }
}

impl Command for Enter {
    type Outcome = EntryTaken;

    fn perform(self, app: &mut App) -> Result<EntryTaken, AppError> {
        let visit = app.open_one(self.visit)?;
        let register = app.register()?;
        let check = check_of(register.pump(&visit.pump)?, visit.running, self.check)?;
        app.enter(&visit, check, self.entered)
    }
}

impl Command for Amend {
    type Outcome = EntryTaken;

    fn perform(self, app: &mut App) -> Result<EntryTaken, AppError> {
        let wrong = app.effective(self.record)?;
        let visit = app.visit(wrong.visit)?;
        let register = app.register()?;
        let pump = register.pump(&wrong.pump)?;
        let check = check_in_any_state(pump, visit.running, wrong.check)?;
        let going_on = match wrong.finding {
            Some(finding) => Some(finding),
            None => app.finding_before(&wrong)?,
        };
        // What was seen then is judged by what held then.
        let grounds = Grounds {
            limits: wrong.limits,
            // A pump that has become hot or hazardous since keeps hands off all the same.
            hands_off: wrong.hands_off || !check::gland_may_be_touched(pump),
            previous: wrong.previous,
            going_on,
        };
        let seen = Seen {
            check,
            running: wrong.running,
            seen_at: wrong.seen_at,
            entered: self.entered,
        };
        let entry = app.judged(visit.visit, &wrong.pump, seen, grounds)?;
        let (judgement, finding) = (entry.judgement.clone(), entry.finding);
        let amended = EntryAmended {
            amends: self.record,
            entry,
        };
        let record = app.append(Body::EntryAmended(Box::new(amended)))?;
        Ok(EntryTaken {
            record,
            judgement,
            finding,
        })
    }
}

impl Command for Withdraw {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        app.effective(self.record)?;
        app.append(Body::EntryWithdrawn(EntryWithdrawn {
            amends: self.record,
        }))?;
        Ok(())
    }
}

impl Command for CloseVisit {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        app.open_one(self.visit)?;
        app.append(Body::VisitClosed(VisitClosed { visit: self.visit }))?;
        Ok(())
    }
}

/// What was seen at the pump, before it is judged.
struct Seen {
    check: Check,
    running: Option<RunningState>,
    seen_at: Stamp,
    entered: Entered,
}

/// What an entry is judged by, and the finding it belongs to if it is out of limits.
struct Grounds {
    limits: Option<Limits>,
    hands_off: bool,
    previous: Option<Previous>,
    going_on: Option<Uuid>,
}

impl App {
    pub(super) fn append(&mut self, body: Body) -> Result<Uuid, AppError> {
        let mut batch = self.store.write()?;
        let sealed = batch.append(self.world.as_mut(), &self.operator, body)?;
        batch.commit()?;
        Ok(sealed.record().id)
    }

    fn enter(
        &mut self,
        visit: &VisitRow,
        check: Check,
        entered: Entered,
    ) -> Result<EntryTaken, AppError> {
        let seen_at = self.world.now();
        let register = self.register()?;
        let pump = register.pump(&visit.pump)?;
        let latest = self.store.read().latest_entry(&visit.pump, check.id)?;
        // A change that somebody made is no change of the pump's own.
        let comparable = match &latest {
            Some(row) => !self.begun_anew_since(row)?,
            None => true,
        };
        let grounds = Grounds {
            limits: register.plant().limits_of(&visit.pump, check.id).cloned(),
            hands_off: !check::gland_may_be_touched(pump),
            previous: latest
                .as_ref()
                .filter(|_| comparable)
                .and_then(|entry| previous_of(entry, seen_at)),
            going_on: latest.and_then(|row| row.entry.finding),
        };
        let seen = Seen {
            check,
            running: Some(visit.running),
            seen_at,
            entered,
        };
        let entry = self.judged(visit.visit, &visit.pump, seen, grounds)?;
        let (judgement, finding) = (entry.judgement.clone(), entry.finding);
        let record = self.append(Body::EntryMade(Box::new(entry)))?;
        Ok(EntryTaken {
            record,
            judgement,
            finding,
        })
    }

    /// An entry made at a step of a procedure, which asks for checks that no walk asks for in the pump's state as well.
    pub(super) fn enter_at_step(
        &mut self,
        visit: Uuid,
        check: CheckId,
        entered: Entered,
    ) -> Result<EntryTaken, AppError> {
        let visit = self.open_one(visit)?;
        let register = self.register()?;
        let check = check_in_any_state(register.pump(&visit.pump)?, visit.running, check)?;
        self.enter(&visit, check, entered)
    }

    pub(super) fn open_one(&self, visit: Uuid) -> Result<VisitRow, AppError> {
        let row = self.visit(visit)?;
        if row.closed.is_some() {
            Err(AppError::VisitOver(visit))
        } else {
            Ok(row)
        }
    }

    pub(super) fn visit(&self, visit: Uuid) -> Result<VisitRow, AppError> {
        self.store
            .read()
            .visit(visit)?
            .ok_or(AppError::UnknownVisit(visit))
    }

    /// The entry, if it still holds.
    fn effective(&self, record: Uuid) -> Result<EntryMade, AppError> {
        let reader = self.store.read();
        match reader.entry(record)? {
            Some(row) if reader.is_effective(record)? => Ok(row.entry),
            _ => Err(AppError::UnknownEntry(record)),
        }
    }

    /// A stream carries the plant's convention of drops, whatever the face that took it says.
    pub(super) fn by_convention(&self, entered: Entered) -> Result<Entered, AppError> {
        Ok(match entered {
            Entered::Stream {
                millilitres,
                seconds,
                ..
            } => Entered::Stream {
                millilitres,
                seconds,
                drops_per_ml: self.register()?.plant().drops_per_ml,
            },
            other => other,
        })
    }

    fn judged(
        &mut self,
        visit: Uuid,
        pump: &PumpId,
        seen: Seen,
        grounds: Grounds,
    ) -> Result<EntryMade, AppError> {
        let Grounds {
            limits,
            hands_off,
            previous,
            going_on,
        } = grounds;
        let kind = seen.check.kind;
        let entered = check::accept(&kind, self.by_convention(seen.entered)?)?;
        if hands_off && matches!(entered, Entered::Stream { .. }) {
            return Err(AppError::HoldNoCup);
        }
        let judgement = judge::judge(&kind, &entered, limits.as_ref(), previous.as_ref());
        // A run of entries out of limits is one finding; the first good one ends the run.
        let finding = judgement
            .verdict
            .is_out_of_limits()
            .then(|| going_on.unwrap_or_else(|| self.world.new_id()));
        Ok(EntryMade {
            visit,
            pump: pump.clone(),
            check: seen.check.id,
            running: seen.running,
            seen_at: seen.seen_at,
            entered,
            limits,
            previous,
            judgement,
            hands_off,
            finding,
        })
    }

    /// The finding that was going on when this entry was seen, from the entry before it.
    fn finding_before(&self, entry: &EntryMade) -> Result<Option<Uuid>, AppError> {
        let history = self
            .store
            .read()
            .history(&entry.pump, entry.check, LOOK_BACK)?;
        let mut before = history.iter().map(|row| &row.entry).filter(|made| {
            made.seen_at.utc_ms < entry.seen_at.utc_ms
                && made.judgement.verdict != Verdict::NotJudged
        });
        Ok(before.next().and_then(|made| made.finding))
    }
}

const STATES: [RunningState; 3] = [
    RunningState::Running,
    RunningState::Standby,
    RunningState::OutOfService,
];

/// The check of this pump in this state, of the walk or asked for besides.
fn check_in(pump: &Pump, running: RunningState, id: CheckId) -> Option<Check> {
    check::list(pump, running)
        .into_iter()
        .chain(check::on_request(pump, running))
        .find(|check| check.id == id)
}

/// The check of this pump, or why it has none.
fn check_of(pump: &Pump, running: RunningState, id: CheckId) -> Result<Check, AppError> {
    check_in(pump, running, id).ok_or_else(|| {
        let has_it = |state: &RunningState| check_in(pump, *state, id).is_some();
        let only_while: Vec<_> = STATES.into_iter().filter(has_it).collect();
        let (pump, check) = (pump.id.clone(), id);
        if only_while.is_empty() {
            AppError::UnknownCheck { pump, check }
        } else {
            AppError::NotInThisState {
                pump,
                check,
                running,
                only_while,
            }
        }
    })
}

/// The check, also where the pump has since turned out to be doing something else: what was entered can be put right.
pub(super) fn check_in_any_state(
    pump: &Pump,
    running: RunningState,
    id: CheckId,
) -> Result<Check, AppError> {
    [running]
        .into_iter()
        .chain(STATES)
        .find_map(|state| check_in(pump, state, id))
        .map_or_else(|| check_of(pump, running, id), Ok)
}

/// An entry this far ahead of now, in ms, was made by a wrong clock: a day is more than any time zone explains.
const FAR_AHEAD_MS: i64 = 86_400_000;

fn previous_of(row: &EntryRow, now: Stamp) -> Option<Previous> {
    let (value, unit) = row.entry.entered.measured()?;
    let elapsed_ms = now.utc_ms.saturating_sub(row.entry.seen_at.utc_ms);
    // What was written by a clock that runs days ahead says nothing of how fast it changed.
    if elapsed_ms < -FAR_AHEAD_MS {
        return None;
    }
    // A clock set back must not make the change look infinitely fast.
    let hours_before = elapsed_ms.max(0) as f64 / MS_PER_HOUR;
    Some(Previous {
        record: row.record,
        value,
        unit,
        hours_before,
    })
}
