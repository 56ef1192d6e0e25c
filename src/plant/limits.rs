//! The band for one check of one pump.

use super::{CheckId, PumpId, Unit, Verdict};
use crate::say;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Limits of one check of one pump, as the planner set them.
///
/// A bound is the last good value: an entry equal to `high_watch` is in limits, one above it is to be watched.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    /// Whose limits.
    pub pump: PumpId,
    /// Of which check.
    pub check: CheckId,
    /// Counts up with each change of these limits.
    pub version: u32,
    /// Unit of all numbers here.
    pub unit: Unit,
    /// Below this: stop the pump.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low_stop: Option<f64>,
    /// Below this: act.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low_act: Option<f64>,
    /// Below this: watch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub low_watch: Option<f64>,
    /// Where it should be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target: Option<f64>,
    /// Above this: watch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high_watch: Option<f64>,
    /// Above this: act.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high_act: Option<f64>,
    /// Above this: stop the pump.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub high_stop: Option<f64>,
    /// Fastest allowed change from the entry before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fastest_change: Option<FastestChange>,
    /// For choices: what a choice comes to here, where it differs from the usual; key of the choice → `in_limits`, `watch`, `act` or `stop_pump`.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub choices: BTreeMap<String, Verdict>,
    /// Where the numbers come from: maker's manual, standard, history, experience.
    pub basis: String,
}

/// The fastest allowed change: at most `by` within `per_hours`; over a longer time in proportion, up to `at_most`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FastestChange {
    /// How much, in the limits' unit, either way.
    pub by: f64,
    /// In how many hours.
    pub per_hours: f64,
    /// The most that any time allows, not less than `by`; without end where it is not set. A plant's files that set none
    /// get [`Self::USUAL_TIMES`] as much as `by`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_most: Option<f64>,
}

impl FastestChange {
    /// The most that any time allows, in steps of `by`, where the planner says nothing else. A pump that runs as always
    /// reads no farther apart after a month than after a few rounds, and what changes slower is for its trend to tell.
    /// Three: our judgement, no source.
    pub const USUAL_TIMES: f64 = 3.0;

    /// The change allowed over so many hours.
    pub fn allowed_over(&self, hours: f64) -> f64 {
        let in_proportion = self.by * (hours / self.per_hours).max(1.0);
        match self.at_most {
            Some(at_most) => in_proportion.min(at_most.max(self.by)),
            None => in_proportion,
        }
    }
}

/// Two bounds in the wrong order.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", say!(
    "{lower} ({lower_value}) must not be above {higher} ({higher_value})",
    lower, lower_value, higher, higher_value
))]
pub struct LimitsOutOfOrder {
    /// Name of the bound that should be the lower.
    pub lower: &'static str,
    /// Its value.
    pub lower_value: f64,
    /// Name of the bound that should be the higher.
    pub higher: &'static str,
    /// Its value.
    pub higher_value: f64,
}

impl Limits {
    /// The bounds that are set, by name, in the order they must have.
    pub fn bounds(&self) -> impl Iterator<Item = (&'static str, f64)> {
        [
            ("low_stop", self.low_stop),
            ("low_act", self.low_act),
            ("low_watch", self.low_watch),
            ("target", self.target),
            ("high_watch", self.high_watch),
            ("high_act", self.high_act),
            ("high_stop", self.high_stop),
        ]
        .into_iter()
        .filter_map(|(name, value)| Some((name, value?)))
    }

    /// Checks that the bounds rise from `low_stop` to `high_stop`.
    ///
    /// # Errors
    /// The first two neighbours in the wrong order.
    pub fn check_order(&self) -> Result<(), LimitsOutOfOrder> {
        let bounds: Vec<_> = self.bounds().collect();
        for pair in bounds.windows(2) {
            let ((lower, lower_value), (higher, higher_value)) = (pair[0], pair[1]);
            if lower_value > higher_value {
                return Err(LimitsOutOfOrder {
                    lower,
                    lower_value,
                    higher,
                    higher_value,
                });
            }
        }
        Ok(())
    }
}
