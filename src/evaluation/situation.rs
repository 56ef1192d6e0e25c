//! What is known at a pump when something is to be worked out.

use super::Care;
use crate::{
    check::{self, Check, Entered, RunningState},
    judge::Judgement,
    plant::{CheckId, CheckKind, Limits, Place, Plant, Pump, Unit},
    remedy::{self, Remedy},
    statistics::feel::{Calibration, FeelError},
};
use std::collections::BTreeMap;

/// What is known at a pump.
#[derive(Clone, Debug)]
pub struct Situation<'a> {
    /// The plant.
    pub plant: &'a Plant,
    /// The pump.
    pub pump: &'a Pump,
    /// What it is doing.
    pub running: RunningState,
    /// What was entered, at most once for each check.
    pub seen: Vec<Seen>,
    /// What was out of limits when it was looked at last, in an earlier visit while the pump was doing the same.
    pub left_open: Vec<Seen>,
    /// What was read before, by check, in any order; without what was `seen`.
    pub before: BTreeMap<CheckId, Vec<Reading>>,
    /// What is known of the care of bearings and oil skid besides what was `seen`, by place.
    pub care: BTreeMap<Place, Care>,
    /// What was put right at this pump, in any order.
    pub done: Vec<Done>,
    /// What the steps of heat felt by the visit's own operator are worth in °C, or why that is not known; `None` where
    /// no hand was ever tried against a thermometer.
    pub hand: Option<Result<Calibration, FeelError>>,
    /// Temperature of the air, °C, where it was read.
    pub ambient_c: Option<f64>,
    /// When it is now, milliseconds since 1970 UTC.
    pub now_ms: i64,
}

/// An entry that holds.
#[derive(Clone, Debug)]
pub struct Seen {
    /// For which check.
    pub check: CheckId,
    /// What was entered.
    pub entered: Entered,
    /// What it came to.
    pub judgement: Judgement,
    /// The limits it was judged by.
    pub limits: Option<Limits>,
    /// When it was seen, milliseconds since 1970 UTC.
    pub at_ms: i64,
}

/// A number read before.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// What the pump was doing; `None` where nobody said.
    pub running: Option<RunningState>,
    /// What was entered.
    pub entered: Entered,
    /// Temperature of the air at the time, °C, where it was read.
    pub ambient_c: Option<f64>,
}

/// Something that was put right.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// What.
    pub what: Remedy,
    /// The check whose entry it was an answer to, where it was one to an entry.
    pub answers: Option<CheckId>,
}

impl Done {
    /// It shows in the readings of this check: own words in those they were an answer to.
    pub(super) fn shows_in(&self, check: CheckId) -> bool {
        self.answers_in_own_words(check)
            || remedy::shows_in(&self.what, check)
            || remedy::begins_anew(&self.what, check)
    }

    /// The readings of this check begin anew with it.
    pub(super) fn begins_anew(&self, check: CheckId) -> bool {
        self.answers_in_own_words(check) || remedy::begins_anew(&self.what, check)
    }

    fn answers_in_own_words(&self, check: CheckId) -> bool {
        matches!(self.what, Remedy::OwnWords { .. }) && self.answers == Some(check)
    }
}

impl<'a> Situation<'a> {
    /// The same pump doing the same, with these entries and nothing else known.
    pub(super) fn with_only(&self, seen: Vec<Seen>, now_ms: i64) -> Situation<'a> {
        Situation {
            plant: self.plant,
            pump: self.pump,
            running: self.running,
            seen,
            left_open: Vec::new(),
            before: BTreeMap::new(),
            care: BTreeMap::new(),
            done: Vec::new(),
            hand: None,
            ambient_c: None,
            now_ms,
        }
    }

    /// What was entered for a check.
    pub fn entry(&self, check: CheckId) -> Option<&Seen> {
        self.seen
            .iter()
            .find(|seen| seen.check == check)
            .filter(|seen| !matches!(seen.entered, Entered::NotChecked { .. }))
    }

    /// The checks that can be made at this pump as it runs or stands now, those made on request among them.
    pub(super) fn checks(&self) -> Vec<Check> {
        let mut checks = check::list(self.pump, self.running);
        checks.extend(check::on_request(self.pump, self.running));
        checks
    }

    /// The number entered for a check, in this unit.
    pub(super) fn number(&self, kind: CheckKind, place: Place, unit: Unit) -> Option<f64> {
        let (value, own) = self.entry(CheckId::new(kind, place))?.entered.measured()?;
        own.convert(value, unit)
    }
}
