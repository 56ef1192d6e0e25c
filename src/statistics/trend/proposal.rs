//! Limits proposed from history, for the planner to decide on.

use super::{
    Direction, FEWEST_FOR_TREND, Series, TrendError, Window, check_enough, mann_kendall,
    robust::spread,
};
use crate::{formula::Formula, word};

/// How limits are proposed from history.
pub const LIMITS_FROM_HISTORY: Formula = Formula {
    name: word!("median ± k · scaled median absolute deviation"),
    source: "common practice, no source",
};

/// Fewest entries limits are proposed from (common practice, no source).
pub const FEWEST_FOR_PROPOSAL: usize = 30;

/// How many robust standard deviations from the median limits are proposed. 3 and 5 are common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sigmas {
    /// For the watch limits.
    pub watch: f64,
    /// For the act limits, above `watch`.
    pub act: f64,
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
/// [`TrendError::TooFew`] below [`FEWEST_FOR_PROPOSAL`] entries; [`TrendError::NoSpread`] where at least half of the
/// entries are equal; [`TrendError::BadArgument`] for factors out of order.
pub fn propose_limits(
    series: &Series,
    window: Window,
    Sigmas { watch, act }: Sigmas,
) -> Result<LimitProposal, TrendError> {
    if !(0.0 < watch && watch < act && act <= 100.0) {
        return Err(TrendError::BadArgument {
            what: word!("The factors of a proposal"),
            remedy: word!("Give the act limits farther out than the watch limits."),
        });
    }
    let recent = series.within(window);
    check_enough(
        word!("A proposal for limits"),
        recent.len(),
        FEWEST_FOR_PROPOSAL,
    )?;
    let usual = spread(&recent.values())?;
    let (low_act, low_watch, high_watch, high_act) = (
        usual.centre - act * usual.sigma,
        usual.centre - watch * usual.sigma,
        usual.centre + watch * usual.sigma,
        usual.centre + act * usual.sigma,
    );
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
