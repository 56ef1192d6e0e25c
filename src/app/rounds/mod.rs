//! Rounds as they are walked: begun, laid aside, gone on with, stops passed over, ended.
//!
//! What a walk comes to is derived from the records about it and from the visits to its pumps, whichever device they
//! were made on and in whatever order: two people on one round merge by that alone. Where both began it without knowing
//! of each other, the earlier walk is the one under way for both, and ending it ends both.

mod command;
mod due;
mod history;
mod stops;
mod walk;

pub use command::{BeginRound, EndRound, PauseRound, ResumeRound, SkipStop};
pub use due::Due;
pub use walk::{Left, LeftOut, Stage, Stop, StopStanding, Walk};

pub(super) use command::reason;
pub(super) use history::in_order;

use super::{App, AppError};
use crate::{
    plant::{PumpId, RoundId},
    record::Stamp,
};
use history::History;
use std::collections::BTreeMap;
use uuid::Uuid;

/// Walks of all rounds that are looked through for the last of each.
const LOOK_BACK: u32 = 2_000;
/// Walks of one round that are looked through for those never ended.
const WALKS_OF_A_ROUND: usize = 6;

/// How far a round is.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundNow {
    /// Which round.
    pub round: RoundId,
    /// Its name; its id where it has left the plant.
    pub name: String,
    /// The walk somebody is on, or laid aside.
    pub under_way: Option<Walk>,
    /// The last walk that was ended, to be looked at by [`App::walk`].
    pub last_ended: Option<Uuid>,
    /// Walks that nobody ended, the newest first.
    pub left_lying: Vec<Walk>,
    /// When it is due.
    pub due: Due,
}

/// The walks of one round that matter now.
struct Walks {
    /// The one under way or laid aside: of several the earliest begun, which is the same on every device.
    under_way: Option<Outlined>,
    /// Others under way, begun without knowing of it.
    beside: Vec<Outlined>,
    left_lying: Vec<Outlined>,
    last_ended: Option<Uuid>,
    last_begun: Option<Stamp>,
}

/// A walk whose stops nobody has looked at yet, which costs far more than the rest of it.
struct Outlined {
    history: History,
    walk: Walk,
}

impl App {
    /// Every round of the plant as it stands, what is due first first; then those that have left the plant and are
    /// still under way.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn rounds_now(&mut self) -> Result<Vec<RoundNow>, AppError> {
        let now = self.now();
        let register = self.register()?;
        let mut runs = self.runs_by_round()?;
        let mut rounds = Vec::new();
        for round in &register.plant().rounds {
            let walks = self.walks(&runs.remove(&round.id).unwrap_or_default(), now)?;
            let due = Due::of(round, walks.last_begun, now);
            rounds.push(self.round_now(walks, round.id.clone(), round.name.clone(), due)?);
        }
        rounds.sort_by(|a, b| a.due.order().total_cmp(&b.due.order()));
        for (round, runs) in runs {
            let walks = self.walks(&runs, now)?;
            if walks.under_way.is_some() || !walks.left_lying.is_empty() {
                let name = round.to_string();
                rounds.push(self.round_now(walks, round, name, Due::NotInPlant)?);
            }
        }
        Ok(rounds)
    }

    /// The walk of a round that is under way or laid aside, or else the last that was left lying.
    ///
    /// # Errors
    /// Where there is none, or the store can't be read.
    pub fn walk_under_way(&mut self, round: &RoundId) -> Result<Walk, AppError> {
        let walks = self.walks_now(round)?;
        let lying = walks.left_lying.into_iter().next();
        let walk = walks.under_way.or(lying);
        self.looked_at(walk.ok_or_else(|| AppError::NoWalk(round.clone()))?)
    }

    /// The round under way that this pump is a stop of: one that who signs is on, or else another's. A visit to the
    /// pump is made on it, in whatever order.
    pub(super) fn round_passing(&mut self, pump: &PumpId) -> Result<Option<RoundId>, AppError> {
        let register = self.register()?;
        let rounds = register.plant().rounds.iter();
        let passing: Vec<RoundId> = rounds
            .filter(|round| round.stops.contains(pump))
            .map(|round| round.id.clone())
            .collect();
        let mut anybody_s = None;
        for round in passing {
            let walk = self.walks_now(&round)?.under_way;
            match walk.filter(|one| one.walk.stage == Stage::UnderWay) {
                Some(one) if one.walk.by == self.operator => return Ok(Some(round)),
                Some(_) => anybody_s = anybody_s.or(Some(round)),
                None => {}
            }
        }
        Ok(anybody_s)
    }

    fn walks_now(&mut self, round: &RoundId) -> Result<Walks, AppError> {
        let now = self.now();
        let mut runs = self.runs_by_round()?;
        self.walks(&runs.remove(round).unwrap_or_default(), now)
    }

    /// The walks begun, by round, the newest first.
    fn runs_by_round(&self) -> Result<BTreeMap<RoundId, Vec<Uuid>>, AppError> {
        let mut runs: BTreeMap<RoundId, Vec<Uuid>> = BTreeMap::new();
        for walk in self.store.read().walks_begun(LOOK_BACK)? {
            runs.entry(walk.round).or_default().push(walk.run);
        }
        Ok(runs)
    }

    /// Sorts the walks of one round, given the newest first.
    fn walks(&self, runs: &[Uuid], now: Stamp) -> Result<Walks, AppError> {
        let mut walks = Walks {
            under_way: None,
            beside: Vec::new(),
            left_lying: Vec::new(),
            last_ended: None,
            last_begun: None,
        };
        for run in runs.iter().take(WALKS_OF_A_ROUND) {
            let history = self.history_of(*run)?;
            let walk = self.outline(&history)?;
            walks.last_begun = walks.last_begun.or(Some(walk.begun));
            let lies = walk.is_left_lying(now);
            let is_over = walk.stage == Stage::Ended;
            let one = Outlined { history, walk };
            if is_over {
                walks.last_ended = walks.last_ended.or(Some(*run));
            } else if lies {
                walks.left_lying.push(one);
            } else {
                walks.beside.extend(walks.under_way.replace(one));
            }
        }
        Ok(walks)
    }

    fn looked_at(&self, one: Outlined) -> Result<Walk, AppError> {
        self.with_stops(&one.history, one.walk)
    }

    fn round_now(
        &self,
        walks: Walks,
        round: RoundId,
        name: String,
        due: Due,
    ) -> Result<RoundNow, AppError> {
        let under_way = walks.under_way.map(|one| self.looked_at(one));
        let lying = walks.left_lying.into_iter();
        Ok(RoundNow {
            round,
            name,
            under_way: under_way.transpose()?,
            last_ended: walks.last_ended,
            left_lying: lying
                .map(|one| self.looked_at(one))
                .collect::<Result<_, _>>()?,
            due,
        })
    }
}
