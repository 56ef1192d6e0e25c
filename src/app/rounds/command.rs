//! What is done with a round.

use super::{Stage, Stop, StopStanding, Walk};
use crate::{
    app::{App, AppError, Command},
    check::MAX_REASON_CHARS,
    plant::{PumpId, RoundId},
    record::{Body, Deed},
};
use uuid::Uuid;

/// Begin a round. One under way already is not begun twice: that one is the outcome. One left lying is in nobody's way.
#[derive(Clone, Debug)]
pub struct BeginRound(pub RoundId);

/// Lay a round aside.
#[derive(Clone, Copy, Debug)]
pub struct PauseRound(pub Uuid);

/// Go on with a round laid aside, or take one over from somebody else.
#[derive(Clone, Copy, Debug)]
pub struct ResumeRound(pub Uuid);

/// Pass over a stop, or what is left of it.
#[derive(Clone, Debug)]
pub struct SkipStop {
    /// Which walk.
    pub run: Uuid,
    /// Which pump.
    pub pump: PumpId,
    /// Why.
    pub reason: String,
}

/// End a round: every walk of it that is under way, where two began it without knowing of each other.
#[derive(Clone, Debug)]
pub struct EndRound {
    /// Which walk.
    pub run: Uuid,
    /// Why the stops and checks that are still open were not made; needed where there are any.
    pub rest: Option<String>,
}

impl Command for BeginRound {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        let register = app.register()?;
        if register.plant().round(&self.0).is_none() {
            let known = register.plant().rounds.iter();
            return Err(AppError::UnknownRound {
                round: self.0,
                known: known.map(|round| round.id.clone()).collect(),
            });
        }
        if let Some(one) = app.walks_now(&self.0)?.under_way {
            return Ok(one.walk.run);
        }
        let run = app.world.new_id();
        app.append(Body::Done(Deed::RoundBegun { run, round: self.0 }))?;
        Ok(run)
    }
}

impl Command for PauseRound {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let walk = app.walk_not_over(self.0)?;
        if walk.stage == Stage::UnderWay {
            app.append(Body::Done(Deed::RoundPaused { run: self.0 }))?;
        }
        Ok(())
    }
}

impl Command for ResumeRound {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let walk = app.walk_not_over(self.0)?;
        let lies = walk.is_left_lying(app.now());
        if lies || walk.stage == Stage::Paused || walk.by != app.operator {
            app.append(Body::Done(Deed::RoundResumed { run: self.0 }))?;
        }
        Ok(())
    }
}

impl Command for SkipStop {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let walk = app.walk_not_over(self.run)?;
        if !walk.stops.iter().any(|stop| stop.pump == self.pump) {
            return Err(AppError::NotOnRound(self.pump));
        }
        let reason = reason(&self.reason)?;
        app.append(Body::Done(Deed::StopSkipped {
            run: self.run,
            pump: self.pump,
            reason,
        }))?;
        Ok(())
    }
}

impl Command for EndRound {
    type Outcome = ();

    fn perform(self, app: &mut App) -> Result<(), AppError> {
        let walk = app.walk_not_over(self.run)?;
        let rest = self.rest.as_deref().map(reason).transpose()?;
        let mut over = vec![walk.clone()];
        let beside = app.walks_now(&walk.round)?.beside;
        for other in beside
            .into_iter()
            .filter(|other| other.walk.run != walk.run)
        {
            over.push(app.looked_at(other)?);
        }
        if rest.is_none() && over.iter().any(|walk| !explained(walk)) {
            return Err(unexplained(&walk));
        }
        let mut batch = app.store.write()?;
        for walk in over {
            let left = walk.stops.iter().filter(|stop| stop.is_unexplained());
            let skipped = left.map(|stop| Deed::StopSkipped {
                run: walk.run,
                pump: stop.pump.clone(),
                reason: rest.clone().unwrap_or_default(),
            });
            for deed in skipped.chain([Deed::RoundEnded { run: walk.run }]) {
                batch.append(app.world.as_mut(), &app.operator, Body::Done(deed))?;
            }
        }
        batch.commit()?;
        Ok(())
    }
}

impl App {
    fn walk_not_over(&self, run: Uuid) -> Result<Walk, AppError> {
        let walk = self.walk(run)?;
        if walk.stage == Stage::Ended {
            Err(AppError::RoundOver)
        } else {
            Ok(walk)
        }
    }
}

fn explained(walk: &Walk) -> bool {
    !walk.stops.iter().any(Stop::is_unexplained)
}

fn unexplained(walk: &Walk) -> AppError {
    let left = walk.stops.iter().filter(|stop| stop.is_unexplained());
    let (stops, checks): (Vec<_>, Vec<_>) =
        left.partition(|stop| stop.standing == StopStanding::Open);
    AppError::Unexplained {
        stops: stops.iter().map(|stop| stop.pump.clone()).collect(),
        checks: checks
            .iter()
            .map(|stop| (stop.pump.clone(), stop.missing.len()))
            .collect(),
    }
}

/// A reason in words: some, and not too many.
pub(in crate::app) fn reason(words: &str) -> Result<String, AppError> {
    let words = words.trim();
    let chars = words.chars().count();
    if (1..=MAX_REASON_CHARS).contains(&chars) {
        Ok(words.to_owned())
    } else {
        Err(AppError::BadReason {
            chars,
            most: MAX_REASON_CHARS,
        })
    }
}
