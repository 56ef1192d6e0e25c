//! Rounds as they are walked: begun, laid aside, gone on with, stops passed over, ended.
//!
//! What a walk comes to is derived from the records about it and from the visits to its pumps, whichever device they
//! were made on and in whatever order: two people on one round merge by that alone.

use super::{App, AppError, Command};
use crate::{
    check::MAX_REASON_CHARS,
    plant::{PumpId, Round, RoundId},
    record::{Body, Deed, Stamp},
    store::{DeedRow, DeedsOf, VisitRow},
};
use uuid::Uuid;

/// Walks of one round that are looked through for the last.
const LOOK_BACK: u32 = 500;
/// Deeds about one walk: far more than its stops.
const MOST_DEEDS: u32 = 10_000;
/// Visits to one pump that a walk looks through.
const MOST_VISITS: u32 = 20;
/// A device's clock may be this far behind another's before a visit seems to come before the round it was made on.
const CLOCKS_APART_MS: i64 = 5 * 60 * 1000;
const MS_PER_HOUR: f64 = 3_600_000.0;

/// How far a round is.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundNow {
    /// Which round.
    pub round: RoundId,
    /// The walk under way, or else the last that was ended.
    pub walk: Option<Walk>,
    /// Hours until it is due; below 0 where it is overdue by so many; `None` where it was never walked: it is due.
    pub due_in_hours: Option<f64>,
}

/// One walk of a round.
#[derive(Clone, Debug, PartialEq)]
pub struct Walk {
    /// Which round.
    pub round: RoundId,
    /// Its identity.
    pub run: Uuid,
    /// How it stands.
    pub stage: Stage,
    /// Who has it: who began it, or took it over last.
    pub by: String,
    /// When it was begun.
    pub begun: Stamp,
    /// When it was ended.
    pub ended: Option<Stamp>,
    /// Its stops in walking order.
    pub stops: Vec<Stop>,
}

/// How a walk stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Somebody is on it.
    UnderWay,
    /// It was laid aside.
    Paused,
    /// It is over.
    Ended,
}

impl Stage {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Stage::UnderWay => "under way",
            Stage::Paused => "laid aside",
            Stage::Ended => "ended",
        }
    }
}

/// One stop of a walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Which pump.
    pub pump: PumpId,
    /// How it stands.
    pub standing: StopStanding,
}

/// How a stop stands.
#[derive(Clone, Debug, PartialEq)]
pub enum StopStanding {
    /// Nobody was there yet.
    Open,
    /// Somebody was.
    Visited {
        /// The visit.
        visit: Uuid,
        /// Who.
        by: String,
        /// When.
        at: Stamp,
    },
    /// It was passed over.
    Skipped {
        /// Why.
        reason: String,
        /// Who said so.
        by: String,
    },
}

impl Walk {
    /// The first stop nobody was at yet.
    pub fn next(&self) -> Option<&PumpId> {
        let mut open = self.open_stops();
        open.next()
    }

    /// The stops nobody was at and nobody passed over.
    pub fn open_stops(&self) -> impl Iterator<Item = &PumpId> {
        self.stops
            .iter()
            .filter(|stop| stop.standing == StopStanding::Open)
            .map(|stop| &stop.pump)
    }
}

/// Begin a round. One under way already is not begun twice: that one is the outcome.
#[derive(Clone, Debug)]
pub struct BeginRound(pub RoundId);

/// Lay a round aside.
#[derive(Clone, Copy, Debug)]
pub struct PauseRound(pub Uuid);

/// Go on with a round laid aside, or take one over from somebody else.
#[derive(Clone, Copy, Debug)]
pub struct ResumeRound(pub Uuid);

/// Pass over a stop.
#[derive(Clone, Debug)]
pub struct SkipStop {
    /// Which walk.
    pub run: Uuid,
    /// Which pump.
    pub pump: PumpId,
    /// Why.
    pub reason: String,
}

/// End a round.
#[derive(Clone, Debug)]
pub struct EndRound {
    /// Which walk.
    pub run: Uuid,
    /// Why the stops that are still open were not made; needed where there are any.
    pub rest: Option<String>,
}

impl Command for BeginRound {
    type Outcome = Uuid;

    fn perform(self, app: &mut App) -> Result<Uuid, AppError> {
        let register = app.register()?;
        if register.plant().round(&self.0).is_none() {
            return Err(AppError::UnknownRound(self.0));
        }
        if let Some(walk) = app.last_walk(&self.0)?
            && walk.stage != Stage::Ended
        {
            return Ok(walk.run);
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
        if walk.stage == Stage::Paused || walk.by != app.operator {
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
        let open: Vec<PumpId> = walk.open_stops().cloned().collect();
        let rest = self.rest.as_deref().map(reason).transpose()?;
        if !open.is_empty() && rest.is_none() {
            return Err(AppError::StopsOpen(open));
        }
        let mut batch = app.store.write()?;
        let skipped = open.into_iter().map(|pump| Deed::StopSkipped {
            run: self.run,
            pump,
            reason: rest.clone().unwrap_or_default(),
        });
        for deed in skipped.chain([Deed::RoundEnded { run: self.run }]) {
            batch.append(app.world.as_mut(), &app.operator, Body::Done(deed))?;
        }
        batch.commit()?;
        Ok(())
    }
}

/// A reason in words: some, and not too many.
pub(super) fn reason(words: &str) -> Result<String, AppError> {
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

impl App {
    /// Every round of the plant as it stands, what is due first first.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn rounds_now(&mut self) -> Result<Vec<RoundNow>, AppError> {
        let now_ms = self.now().utc_ms;
        let register = self.register()?;
        let mut rounds = Vec::new();
        for round in &register.plant().rounds {
            let walk = self.last_walk(&round.id)?;
            let since = walk
                .as_ref()
                .map(|walk| (now_ms - walk.begun.utc_ms) as f64 / MS_PER_HOUR);
            rounds.push(RoundNow {
                round: round.id.clone(),
                due_in_hours: since.map(|hours| round.every_hours - hours),
                walk,
            });
        }
        let due = |round: &RoundNow| round.due_in_hours.unwrap_or(f64::NEG_INFINITY);
        rounds.sort_by(|a, b| due(a).total_cmp(&due(b)));
        Ok(rounds)
    }

    /// The walk of a round that is under way or laid aside.
    ///
    /// # Errors
    /// Where there is none, or the store can't be read.
    pub fn walk_under_way(&self, round: &RoundId) -> Result<Walk, AppError> {
        let last = self.last_walk(round)?;
        last.filter(|walk| walk.stage != Stage::Ended)
            .ok_or_else(|| AppError::NoWalk(round.clone()))
    }

    /// One walk of a round.
    ///
    /// # Errors
    /// Where it is not there, or the store can't be read.
    pub fn walk(&self, run: Uuid) -> Result<Walk, AppError> {
        let deeds = self.store.read().deeds(DeedsOf::Subject(run), MOST_DEEDS)?;
        let begun = deeds.iter().find_map(|row| match &row.deed {
            Deed::RoundBegun { round, .. } => Some((row.clone(), round.clone())),
            _ => None,
        });
        let (begun, round) = begun.ok_or(AppError::UnknownWalk(run))?;
        let register = self.register()?;
        // Of a round that has left the plant only the stops that were passed over are known.
        let stops = match register.plant().round(&round) {
            Some(Round { stops, .. }) => stops.clone(),
            None => self.stops_known(&deeds),
        };
        let stops = stops
            .into_iter()
            .map(|pump| {
                let standing = self.standing(&begun, &deeds, &pump)?;
                Ok(Stop { pump, standing })
            })
            .collect::<Result<_, AppError>>()?;
        Ok(walk_of(&begun, (run, round), deeds, stops))
    }

    fn stops_known(&self, deeds: &[DeedRow]) -> Vec<PumpId> {
        let mut pumps: Vec<PumpId> = deeds
            .iter()
            .filter_map(|row| row.deed.pump().cloned())
            .collect();
        pumps.sort();
        pumps.dedup();
        pumps
    }

    /// The walk under way, or else the last one begun.
    fn last_walk(&self, round: &RoundId) -> Result<Option<Walk>, AppError> {
        let begun = self
            .store
            .read()
            .deeds(DeedsOf::Kind("round_begun"), LOOK_BACK)?;
        let mut last = None;
        for row in begun {
            let Deed::RoundBegun { run, round: of } = &row.deed else {
                continue;
            };
            if of != round {
                continue;
            }
            let walk = self.walk(*run)?;
            if walk.stage != Stage::Ended {
                return Ok(Some(walk));
            }
            if last.is_some() {
                break;
            }
            last = Some(walk);
        }
        Ok(last)
    }

    fn walk_not_over(&self, run: Uuid) -> Result<Walk, AppError> {
        let walk = self.walk(run)?;
        if walk.stage == Stage::Ended {
            Err(AppError::RoundOver)
        } else {
            Ok(walk)
        }
    }

    fn standing(
        &self,
        begun: &DeedRow,
        deeds: &[DeedRow],
        pump: &PumpId,
    ) -> Result<StopStanding, AppError> {
        let ended = deeds
            .iter()
            .find(|row| matches!(row.deed, Deed::RoundEnded { .. }));
        let visits = self.store.read().visits_to(pump, MOST_VISITS)?;
        // In doubt between two clocks a visit belongs to the walk.
        let mut on_it = visits.into_iter().filter(|visit| {
            is_after(begun, visit, -CLOCKS_APART_MS)
                && ended.is_none_or(|end| !is_after(end, visit, CLOCKS_APART_MS))
        });
        // The earliest of them: who came first made the stop.
        if let Some(visit) = on_it.next_back() {
            return Ok(StopStanding::Visited {
                visit: visit.visit,
                by: visit.by,
                at: visit.opened,
            });
        }
        let skipped = deeds.iter().rev().find_map(|row| match &row.deed {
            Deed::StopSkipped {
                pump: at, reason, ..
            } if at == pump => Some(StopStanding::Skipped {
                reason: reason.clone(),
                by: row.by.clone(),
            }),
            _ => None,
        });
        Ok(skipped.unwrap_or(StopStanding::Open))
    }
}

/// A visit came after a deed: on one device by its own order, which no clock set back can turn; else by the clocks, so
/// many milliseconds after it.
fn is_after(deed: &DeedRow, visit: &VisitRow, by_ms: i64) -> bool {
    if visit.origin == deed.origin {
        visit.seq > deed.seq
    } else {
        visit.opened.utc_ms >= deed.at.utc_ms + by_ms
    }
}

/// The walk as its deeds have it, the newest first as the store gives them.
fn walk_of(
    begun: &DeedRow,
    (run, round): (Uuid, RoundId),
    mut deeds: Vec<DeedRow>,
    stops: Vec<Stop>,
) -> Walk {
    in_order(&mut deeds);
    let mut walk = Walk {
        round,
        run,
        stage: Stage::UnderWay,
        by: begun.by.clone(),
        begun: begun.at,
        ended: None,
        stops,
    };
    for row in deeds {
        match row.deed {
            // What is over stays over: somebody who had not heard of it yet went on.
            Deed::RoundEnded { .. } if walk.ended.is_none() => walk.ended = Some(row.at),
            Deed::RoundPaused { .. } => walk.stage = Stage::Paused,
            Deed::RoundResumed { .. } => {
                walk.stage = Stage::UnderWay;
                walk.by = row.by;
            }
            _ => {}
        }
    }
    if walk.ended.is_some() {
        walk.stage = Stage::Ended;
    }
    walk
}

/// Sorts deeds by time without letting a clock set back turn the order of one device: no deed is taken to be earlier
/// than the one before it on its device.
pub(super) fn in_order(deeds: &mut [DeedRow]) {
    deeds.sort_by_key(|row| (row.origin, row.seq));
    let mut latest: Option<(crate::record::Origin, i64)> = None;
    let mut keys = std::collections::HashMap::new();
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
