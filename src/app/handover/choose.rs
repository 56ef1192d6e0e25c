//! What a handover can be about, to choose from.

use super::{App, AppError, HandoverOf};
use crate::{
    plant::RoundId,
    record::{Deed, Stamp},
    store::{DeedsOf, Span},
};
use std::collections::BTreeSet;
use uuid::Uuid;

/// Hours back that a shift's handover can reach.
pub const SHIFT_HOURS: [u32; 3] = [8, 12, 24];

/// Walks to choose from: what was walked in the last days.
const MOST_WALKS: u32 = 12;
const WALKS_MS: i64 = 3 * 24 * HOUR_MS;
const HOUR_MS: i64 = 3_600_000;
const MOST: u32 = 5_000;

/// What a handover can be about.
#[derive(Clone, Debug, PartialEq)]
pub struct HandoverChoices {
    /// When this was asked.
    pub now: Stamp,
    /// Walks of rounds, the last begun first.
    pub walks: Vec<WalkBegun>,
    /// Who signed anything within the longest of [`SHIFT_HOURS`], by name.
    pub names: Vec<String>,
}

/// A walk of a round, in short.
#[derive(Clone, Debug, PartialEq)]
pub struct WalkBegun {
    /// Its identity.
    pub run: Uuid,
    /// Which round.
    pub round: RoundId,
    /// Its name, where the plant still has it.
    pub name: Option<String>,
    /// When it was begun.
    pub begun: Stamp,
}

impl HandoverOf {
    /// The shift of so many hours before now.
    pub fn last_hours(now: Stamp, hours: u32) -> Self {
        // What is written down within this very millisecond belongs to it.
        let to_ms = now.utc_ms.saturating_add(1);
        Self {
            from_ms: to_ms - i64::from(hours) * HOUR_MS,
            to_ms,
            ..Self::default()
        }
    }
}

impl App {
    /// The walks and operators that a handover can be about.
    ///
    /// # Errors
    /// Where the store can't be read.
    pub fn handover_choices(&mut self) -> Result<HandoverChoices, AppError> {
        let now = self.now();
        let register = self.register()?;
        let read = self.store.read();
        let begun = read.deeds(DeedsOf::Kind("round_begun"), MOST_WALKS)?;
        let walks = begun.into_iter().filter_map(|row| match row.deed {
            Deed::RoundBegun { run, round } if now.utc_ms - row.at.utc_ms <= WALKS_MS => {
                let known = register.plant().round(&round);
                Some(WalkBegun {
                    run,
                    name: known.map(|round| round.name.clone()),
                    round,
                    begun: row.at,
                })
            }
            _ => None,
        });
        let longest = SHIFT_HOURS.into_iter().max().unwrap_or_default();
        let of = HandoverOf::last_hours(now, longest);
        let span = Span {
            from_ms: of.from_ms,
            to_ms: of.to_ms,
            by: None,
        };
        let visits = read.visits_within(span, MOST)?.into_iter();
        let deeds = read.deeds(DeedsOf::Between(of.from_ms, of.to_ms), MOST)?;
        let names: BTreeSet<String> = visits
            .map(|visit| visit.by)
            .chain(deeds.into_iter().map(|row| row.by))
            .collect();
        Ok(HandoverChoices {
            now,
            walks: walks.collect(),
            names: names.into_iter().collect(),
        })
    }
}
