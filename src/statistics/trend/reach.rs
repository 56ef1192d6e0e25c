//! How long until a limit is reached, if it goes on as it went.

use super::{Direction, RobustLine, Series, TrendError, robust, usable};
use crate::{formula::Formula, word};

/// Days to a limit.
pub const TIME_TO_LIMIT: Formula = Formula {
    name: word!(
        "days = (limit − line now) / slope on the Theil–Sen line, again with each end of the slope's interval; only where Mann–Kendall and that interval both show a trend"
    ),
    source: "Sen (1968) for slope and interval; carrying the line on to the limit: common practice, no source",
};

/// Days are told up to so far ahead: a hundred years (common practice, no source).
pub const FARTHEST_DAYS: f64 = 36_525.0;

/// A bound and the side of it that is bad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// In the check's unit.
    pub value: f64,
    /// Which side is out of limits.
    pub side: Side,
}

/// Which side of a bound is out of limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Above it: a high limit.
    Above,
    /// Below it: a low limit.
    Below,
}

/// What a robust trend says about a limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reach {
    /// No trend is shown; the level may still be past the limit.
    NoTrend {
        /// The median of the entries looked at.
        level: f64,
        /// Chance of such a run of entries without a trend.
        p_two_sided: f64,
        /// Whether the median is already out of limits. A value equal to the limit is in limits.
        is_past: bool,
    },
    /// The line is out of limits now.
    Past {
        /// How far the line is past the limit now, above zero.
        by: f64,
        /// The slope now; it may be on the way back.
        slope_per_day: f64,
    },
    /// There is a trend, away from the limit.
    MovingAway {
        /// The slope.
        slope_per_day: f64,
    },
    /// There is a trend towards the limit, but the line does not reach it within [`FARTHEST_DAYS`].
    NotInSight {
        /// The slope.
        slope_per_day: f64,
    },
    /// The limit is reached if it goes on as it went.
    Ahead {
        /// From now, by the line.
        days: f64,
        /// From now, by the steeper end of the slope's interval; 0 where that line is already past.
        earliest_days: f64,
        /// From now, by the flatter end of the slope's interval; `None` where that line does not get there within
        /// [`FARTHEST_DAYS`].
        latest_days: Option<f64>,
        /// How many days of entries this rests on.
        observed_days: f64,
        /// Whether the limit lies farther ahead than entries reach back: then it is a guess.
        is_beyond_evidence: bool,
    },
}

/// When the limit is reached, from the entries in a recent window, their line and their test for a trend.
///
/// The interval is that of the slope alone, each end with a line of its own through the middle of the entries. It
/// says nothing about a change of pace: a worn part may get worse faster.
///
/// # Errors
/// [`TrendError::BadArgument`] for a limit that is not a usable number.
pub(super) fn reach(
    recent: &Series,
    line: &RobustLine,
    test: super::MannKendall,
    limit: Limit,
) -> Result<Reach, TrendError> {
    if !usable(limit.value) {
        return Err(TrendError::BadArgument {
            what: word!("The limit"),
            remedy: word!("Give it as a number."),
        });
    }
    // Seen with the bad side up, so that one set of words serves both sides: slopes, and what is left to the limit now.
    let sign = match limit.side {
        Side::Above => 1.0,
        Side::Below => -1.0,
    };
    let now = recent.now_day();
    let to_go = |value_now: f64| sign * (limit.value - value_now);
    let (low_now, high_now) = line.ends_at(now);
    let low = (sign * line.slope_low_per_day, to_go(low_now));
    let high = (sign * line.slope_high_per_day, to_go(high_now));
    let (slope, left) = (sign * line.slope_per_day, to_go(line.value_at(now)));
    let ((flatter, flatter_left), (steeper, steeper_left)) = match limit.side {
        Side::Above => (low, high),
        Side::Below => (high, low),
    };
    let level = robust::median(&recent.values())?;
    let is_open = (flatter <= 0.0 && steeper >= 0.0) || slope == 0.0;
    let has_trend = !is_open
        && matches!(
            test.direction(line.confidence),
            Direction::Rising | Direction::Falling
        );
    if !has_trend {
        return Ok(Reach::NoTrend {
            level,
            p_two_sided: test.p_two_sided,
            is_past: sign * (level - limit.value) > 0.0,
        });
    }
    if left < 0.0 {
        return Ok(Reach::Past {
            by: -left,
            slope_per_day: line.slope_per_day,
        });
    }
    if slope < 0.0 {
        return Ok(Reach::MovingAway {
            slope_per_day: line.slope_per_day,
        });
    }
    let days = left / slope;
    if days > FARTHEST_DAYS {
        return Ok(Reach::NotInSight {
            slope_per_day: line.slope_per_day,
        });
    }
    let latest_days = flatter_left / flatter;
    let observed_days = recent.period_days();
    Ok(Reach::Ahead {
        days,
        earliest_days: (steeper_left / steeper).clamp(0.0, days),
        latest_days: (latest_days <= FARTHEST_DAYS).then(|| latest_days.max(days)),
        observed_days,
        is_beyond_evidence: days > observed_days,
    })
}
