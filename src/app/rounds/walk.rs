//! What a walk of a round is, and how its stops stand.

use crate::{
    check::RunningState,
    plant::{CheckId, PumpId, RoundId},
    record::Stamp,
    report::counted,
    say,
};
use uuid::Uuid;

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
    /// When it was begun or gone on with last.
    pub taken_up: Stamp,
    /// How long after that it is left lying, ms: two of the round's intervals.
    pub lies_after_ms: i64,
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
            Stage::UnderWay => say!("of a round" => "under way"),
            Stage::Paused => say!("of a round" => "laid aside"),
            Stage::Ended => say!("of a round" => "ended"),
        }
    }
}

/// One stop of a walk.
#[derive(Clone, Debug, PartialEq)]
pub struct Stop {
    /// Which pump.
    pub pump: PumpId,
    /// What it is doing, as last seen on this walk, or else before it.
    pub running: RunningState,
    /// How the stop stands.
    pub standing: StopStanding,
    /// How many checks it asks for in this state; words are never asked for.
    pub asked: usize,
    /// Those of them that nothing was entered for.
    pub missing: Vec<CheckId>,
    /// Checks passed over, each with its reason.
    pub passed_over: Vec<(CheckId, String)>,
    /// Why the missing ones were not made, where it was said.
    pub rest: Option<String>,
}

/// How a stop stands.
#[derive(Clone, Debug, PartialEq)]
pub enum StopStanding {
    /// Nobody was there yet, or only to write a remark.
    Open,
    /// Somebody is there: checks are missing, and the visit is not closed.
    BeingVisited {
        /// The visit.
        visit: Uuid,
        /// Who.
        by: String,
        /// Since when.
        at: Stamp,
    },
    /// It was made: every check it asks for has an entry, or some have and the visit was closed.
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

/// Something of a walk that was not made.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut<'a> {
    /// At which pump.
    pub pump: &'a PumpId,
    /// What.
    pub what: Left<'a>,
    /// Why, where it was said.
    pub why: Option<&'a str>,
}

/// What was left out at a stop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Left<'a> {
    /// The whole stop.
    Stop,
    /// One check, passed over by itself.
    Check(CheckId),
    /// Checks that nothing was entered for.
    Rest(&'a [CheckId]),
}

impl Stop {
    /// The stop was made, if not every check of it.
    pub fn is_made(&self) -> bool {
        matches!(self.standing, StopStanding::Visited { .. })
    }

    /// Something is not made there, and nobody has said why.
    pub fn is_unexplained(&self) -> bool {
        match self.standing {
            StopStanding::Open | StopStanding::BeingVisited { .. } => true,
            StopStanding::Visited { .. } => !self.missing.is_empty() && self.rest.is_none(),
            StopStanding::Skipped { .. } => false,
        }
    }

    /// How it stands, in words without who.
    pub fn words(&self) -> String {
        let made = self.asked - self.missing.len().min(self.asked);
        let checks = counted(
            self.asked as u64,
            say!("of so many" => "check"),
            say!("of so many" => "checks"),
        );
        match &self.standing {
            StopStanding::Open => say!("of a stop" => "open").to_owned(),
            StopStanding::BeingVisited { .. } => {
                say!("being visited, {made} of {checks} made", made, checks)
            }
            StopStanding::Visited { .. } if self.missing.is_empty() => {
                say!("of a stop" => "made").to_owned()
            }
            StopStanding::Visited { .. } => say!("made, {made} of {checks}", made, checks),
            StopStanding::Skipped { reason, .. } => say!("passed over: {reason}", reason),
        }
    }

    fn left_out(&self) -> Vec<LeftOut<'_>> {
        let left = |what, why| LeftOut {
            pump: &self.pump,
            what,
            why,
        };
        let whole = match &self.standing {
            StopStanding::Open => Some(left(Left::Stop, None)),
            StopStanding::Skipped { reason, .. } => Some(left(Left::Stop, Some(reason.as_str()))),
            _ => None,
        };
        if let Some(whole) = whole {
            return vec![whole];
        }
        let by_itself = self.passed_over.iter();
        let mut all: Vec<_> = by_itself
            .map(|(check, why)| left(Left::Check(*check), Some(why.as_str())))
            .collect();
        if !self.missing.is_empty() {
            all.push(left(Left::Rest(&self.missing), self.rest.as_deref()));
        }
        all
    }
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

    /// How many stops were made.
    pub fn made(&self) -> usize {
        self.stops.iter().filter(|stop| stop.is_made()).count()
    }

    /// How many stops are neither made nor passed over; one that somebody is at is not made yet.
    pub fn left(&self) -> usize {
        let left = self.stops.iter().filter(|stop| {
            matches!(
                stop.standing,
                StopStanding::Open | StopStanding::BeingVisited { .. }
            )
        });
        left.count()
    }

    /// What was not checked, in walking order, and why.
    pub fn left_out(&self) -> Vec<LeftOut<'_>> {
        self.stops.iter().flat_map(Stop::left_out).collect()
    }

    /// Nobody ended it, and it was not taken up for two of the round's intervals, by this clock: whoever had it has
    /// gone home. It stands in no new walk's way, and can be gone on with or ended with a reason.
    pub fn is_left_lying(&self, now: Stamp) -> bool {
        // A walk taken up by a clock far ahead of this one would else stay under way until that time comes.
        let apart_ms = now.utc_ms.abs_diff(self.taken_up.utc_ms);
        self.stage != Stage::Ended && apart_ms > self.lies_after_ms.unsigned_abs()
    }
}
