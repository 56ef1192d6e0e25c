//! Limits proposed from history, for the planner to decide on.

use super::{
    Direction, FEWEST_FOR_TREND, Series, TrendError, Window, check_enough, mann_kendall,
    robust::{quantile, spread},
};
use crate::formula::Formula;

/// How limits are proposed from history.
pub const LIMITS_FROM_HISTORY: Formula = Formula {
    name: "median ± k · scaled median absolute deviation, or quantiles of the entries",
    source: "common practice, no source",
};

/// Fewest entries limits are proposed from (common practice, no source).
pub const FEWEST_FOR_PROPOSAL: usize = 30;

/// How limits are proposed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProposalWay {
    /// So many robust standard deviations from the median. 3 and 5 are common practice, no source.
    Sigmas {
        /// For the watch limits.
        watch: f64,
        /// For the act limits, above `watch`.
        act: f64,
    },
    /// Such that this share of the entries lay above the high limit, and as much below the low one.
    Shares {
        /// For the watch limits, below 0.5.
        watch: f64,
        /// For the act limits, below `watch`.
        act: f64,
    },
}

/// A proposal. It is not a limit: the planner makes it one, or does not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitProposal {
    /// Proposed low act limit.
    pub low_act: f64,
    /// Proposed low watch limit.
    pub low_watch: f64,
    /// The median, proposed as target.
    pub target: f64,
    /// Proposed high watch limit.
    pub high_watch: f64,
    /// Proposed high act limit.
    pub high_act: f64,
    /// How many entries it rests on.
    pub entries: usize,
    /// Day of the first of them.
    pub from_day: f64,
    /// Day of the last of them.
    pub to_day: f64,
    /// Whether the entries show a trend (at 95 %): then the limits would allow for what is going wrong.
    pub is_drifting: bool,
}

/// Proposes limits from the entries in a window. They ought to be of one running state and of a healthy pump.
///
/// # Errors
/// [`TrendError::TooFew`] below [`FEWEST_FOR_PROPOSAL`] entries, and for [`ProposalWay::Shares`] below as many as let
/// two entries lie above the act limit; [`TrendError::NoSpread`] where at least half of the entries are equal or the
/// limits would coincide; [`TrendError::BadArgument`] for factors or shares out of order.
pub fn propose_limits(
    series: &Series,
    window: Window,
    way: ProposalWay,
) -> Result<LimitProposal, TrendError> {
    let recent = series.within(window);
    check_enough("A proposal for limits", recent.len(), fewest(way)?)?;
    let values = recent.values();
    let usual = spread(&values)?;
    let (low_act, low_watch, high_watch, high_act) = match way {
        ProposalWay::Sigmas { watch, act } => (
            usual.centre - act * usual.sigma,
            usual.centre - watch * usual.sigma,
            usual.centre + watch * usual.sigma,
            usual.centre + act * usual.sigma,
        ),
        ProposalWay::Shares { watch, act } => (
            quantile(&values, act)?,
            quantile(&values, watch)?,
            quantile(&values, 1.0 - watch)?,
            quantile(&values, 1.0 - act)?,
        ),
    };
    if !(low_act < low_watch
        && low_watch < usual.centre
        && usual.centre < high_watch
        && high_watch < high_act)
    {
        return Err(TrendError::NoSpread);
    }
    let points = recent.points();
    let is_drifting = recent.len() >= FEWEST_FOR_TREND
        && mann_kendall(&recent).is_ok_and(|test| {
            matches!(test.direction(0.95), Direction::Rising | Direction::Falling)
        });
    Ok(LimitProposal {
        low_act,
        low_watch,
        target: usual.centre,
        high_watch,
        high_act,
        entries: points.len(),
        from_day: points.first().map_or(0.0, |point| point.at_day),
        to_day: points.last().map_or(0.0, |point| point.at_day),
        is_drifting,
    })
}

fn fewest(way: ProposalWay) -> Result<usize, TrendError> {
    match way {
        ProposalWay::Sigmas { watch, act } if 0.0 < watch && watch < act && act <= 100.0 => {
            Ok(FEWEST_FOR_PROPOSAL)
        }
        ProposalWay::Shares { watch, act } if 1e-6 <= act && act < watch && watch < 0.5 => {
            Ok(FEWEST_FOR_PROPOSAL.max((2.0 / act).ceil() as usize))
        }
        _ => Err(TrendError::BadArgument {
            what: "The factors or shares of a proposal",
            remedy: "Give the act limits farther out than the watch limits.",
        }),
    }
}
