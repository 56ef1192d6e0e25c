//! A line through entries that a few wild ones do not tilt.

use super::{Point, Series, TrendError, kendall::Ties, robust, slopes::Slopes, two_sided_z};
use crate::{formula::Formula, word};

/// The Theil–Sen line and its interval.
pub const THEIL_SEN: Formula = Formula {
    name: word!(
        "Theil–Sen: slope = median of (yⱼ − yᵢ)/(xⱼ − xᵢ) over all pairs, intercept = median of y − slope·x"
    ),
    source: "Sen (1968), Estimates of the regression coefficient based on Kendall's tau, JASA 63:1379, interval by its (2.6)",
};

/// A Theil–Sen line with the interval of its slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RobustLine {
    /// Change per day (for a line on something other than time: per its unit).
    pub slope_per_day: f64,
    /// Lower end of the slope's interval.
    pub slope_low_per_day: f64,
    /// Upper end of the slope's interval.
    pub slope_high_per_day: f64,
    /// The line at day 0: half of the entries lie above the line, half below.
    pub intercept: f64,
    /// Day 0 of the line with the lower slope, through the middle of the entries like the line itself.
    pub low_intercept: f64,
    /// Day 0 of the line with the higher slope.
    pub high_intercept: f64,
    /// The interval's confidence.
    pub confidence: f64,
    /// How many entries it was drawn through.
    pub entries: usize,
}

impl RobustLine {
    /// The line at a day.
    pub fn value_at(&self, day: f64) -> f64 {
        self.intercept + self.slope_per_day * day
    }

    /// The lines with the lower and the higher slope at a day. They cross among the entries.
    pub fn ends_at(&self, day: f64) -> (f64, f64) {
        (
            self.low_intercept + self.slope_low_per_day * day,
            self.high_intercept + self.slope_high_per_day * day,
        )
    }
}

/// The Theil–Sen line through at least two entries of different times, in O(n log n) for ordinary series.
///
/// # Errors
/// [`TrendError::TooFew`] below 2 entries; [`TrendError::OneMoment`]; [`TrendError::BadConfidence`].
pub fn theil_sen(series: &Series, confidence: f64) -> Result<RobustLine, TrendError> {
    series.check_for_slope(word!("A slope"), 2)?;
    through(series.points(), confidence)
}

/// The same through points sorted by `at_day` that are not all at one.
pub(super) fn through(points: &[Point], confidence: f64) -> Result<RobustLine, TrendError> {
    let z = two_sided_z(confidence)?;
    let n = points.len();
    let same_time = Ties::of(points.chunk_by(|a, b| a.at_day == b.at_day).map(<[_]>::len));
    let mut values: Vec<f64> = points.iter().map(|point| point.value).collect();
    values.sort_unstable_by(f64::total_cmp);
    let same_value = Ties::of(values.chunk_by(|a, b| a == b).map(<[_]>::len));

    let pairs = (n as u64) * (n as u64 - 1) / 2 - same_time.pairs;
    let all = n as f64 * (n as f64 - 1.0) * (2.0 * n as f64 + 5.0);
    let sigma = ((all - same_time.fives - same_value.fives) / 18.0)
        .max(0.0)
        .sqrt();
    let low_rank = ((pairs as f64 - z * sigma) / 2.0).round_ties_even() - 1.0;
    let high_rank = ((pairs as f64 + z * sigma) / 2.0).round_ties_even();
    let rank = |rank: f64| (rank.max(0.0) as u64).min(pairs - 1);
    let (low_rank, high_rank) = (rank(low_rank), rank(high_rank));

    let mut slopes = Slopes::new(points, pairs, low_rank, high_rank);
    // Adding zero makes a slope of −0, which a value less itself may give, a plain 0.
    let slope_per_day = slopes.at_ranks((pairs - 1) / 2, pairs / 2) + 0.0;
    let slope_low_per_day = slopes.at_ranks(low_rank, low_rank) + 0.0;
    let slope_high_per_day = slopes.at_ranks(high_rank, high_rank) + 0.0;
    Ok(RobustLine {
        slope_per_day,
        slope_low_per_day,
        slope_high_per_day,
        intercept: intercept_for(points, slope_per_day),
        low_intercept: intercept_for(points, slope_low_per_day),
        high_intercept: intercept_for(points, slope_high_per_day),
        confidence,
        entries: n,
    })
}

/// Where a line of this slope leaves as many points above as below.
fn intercept_for(points: &[Point], slope_per_day: f64) -> f64 {
    let mut rests: Vec<f64> = points
        .iter()
        .map(|point| point.value - slope_per_day * point.at_day)
        .collect();
    robust::median_in_place(&mut rests)
}
