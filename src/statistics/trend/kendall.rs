//! Whether values rise or fall with time at all.

use super::{
    Series, TrendError,
    inversions::{Keyed, sort_counting},
};
use crate::{formula::Formula, word};

/// The Mann–Kendall test.
pub const MANN_KENDALL: Formula = Formula {
    name: word!(
        "Mann–Kendall: S = pairs risen − pairs fallen, z = (S ∓ 1) / √var S, var S corrected for ties"
    ),
    source: "Mann (1945), Econometrica 13:245; Kendall (1975), Rank Correlation Methods, for ties and the continuity correction; Gilbert (1987), Statistical Methods for Environmental Pollution Monitoring, 16.4",
};

/// Fewest entries a trend is looked for in. Below it the test could not show one at 95 % if every pair rose.
pub const FEWEST_FOR_TREND: usize = 5;

/// Which way values go with time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// They rise, beyond what chance gives at the stated confidence.
    Rising,
    /// They fall, beyond what chance gives at the stated confidence.
    Falling,
    /// Neither is shown.
    NoTrend,
    /// Every value is the same.
    EqualThroughout,
}

/// What the Mann–Kendall test gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MannKendall {
    /// Pairs of entries in which the later was higher, less those in which it was lower.
    pub s: i64,
    /// Variance of `s` were there no trend, corrected for equal values and equal times.
    pub variance: f64,
    /// `s` moved by one towards zero, over its standard deviation.
    pub z: f64,
    /// Chance of a `z` as far from zero, were there no trend.
    pub p_two_sided: f64,
    /// Kendall's tau-b, −1 to 1; 0 where every value or every time is the same.
    pub tau_b: f64,
    /// Pairs that rose, less those that fell, over both: Goodman and Kruskal's gamma, −1 to 1; 0 without such a pair.
    pub gamma: f64,
    /// How many entries.
    pub entries: usize,
}

impl MannKendall {
    /// The test's answer at a confidence between 0 and 1.
    pub fn direction(&self, confidence: f64) -> Direction {
        if self.variance == 0.0 {
            Direction::EqualThroughout
        } else if self.p_two_sided >= 1.0 - confidence {
            Direction::NoTrend
        } else if self.s > 0 {
            Direction::Rising
        } else {
            Direction::Falling
        }
    }
}

/// The Mann–Kendall test by the normal approximation with continuity correction, in O(n log n).
///
/// # Errors
/// [`TrendError::TooFew`] below [`FEWEST_FOR_TREND`] entries; [`TrendError::OneMoment`].
pub fn mann_kendall(series: &Series) -> Result<MannKendall, TrendError> {
    series.check_for_slope(word!("A trend"), FEWEST_FOR_TREND)?;
    let mut points = series.points().to_vec();
    points.sort_by(|a, b| {
        a.at_day
            .total_cmp(&b.at_day)
            .then(a.value.total_cmp(&b.value))
    });
    let same_time = Ties::of(points.chunk_by(|a, b| a.at_day == b.at_day).map(<[_]>::len));
    let same_both = Ties::of(points.chunk_by(|a, b| a == b).map(<[_]>::len));
    let mut keyed: Vec<Keyed> = points
        .iter()
        .map(|point| Keyed {
            key: point.value,
            from: 0,
        })
        .collect();
    let fallen = sort_counting(&mut keyed);
    let same_value = Ties::of(keyed.chunk_by(|a, b| a.key == b.key).map(<[_]>::len));

    let n = points.len() as u64;
    let pairs = n * (n - 1) / 2;
    let moved = pairs + same_both.pairs - same_time.pairs - same_value.pairs;
    let s = moved as i64 - 2 * fallen as i64;
    let variance = variance_of_s(points.len() as f64, &same_time, &same_value);
    let z = if variance > 0.0 {
        (s - s.signum()) as f64 / variance.sqrt()
    } else {
        0.0
    };
    let comparable = (pairs - same_time.pairs) as f64 * (pairs - same_value.pairs) as f64;
    Ok(MannKendall {
        s,
        variance,
        z,
        p_two_sided: statrs::function::erf::erfc(z.abs() / std::f64::consts::SQRT_2),
        tau_b: share(s, comparable.sqrt()),
        gamma: share(s, moved as f64),
        entries: points.len(),
    })
}

fn share(s: i64, of: f64) -> f64 {
    if of > 0.0 { s as f64 / of } else { 0.0 }
}

/// Kendall's variance of S with ties on both sides; with none among the times it is Mann–Kendall's.
fn variance_of_s(n: f64, times: &Ties, values: &Ties) -> f64 {
    if values.pairs as f64 == n * (n - 1.0) / 2.0 {
        return 0.0;
    }
    let first = (n * (n - 1.0) * (2.0 * n + 5.0) - times.fives - values.fives) / 18.0;
    let second = times.triples * values.triples / (9.0 * n * (n - 1.0) * (n - 2.0));
    let third = (2 * times.pairs) as f64 * (2 * values.pairs) as f64 / (2.0 * n * (n - 1.0));
    first + second + third
}

/// Sums over groups of t equals.
#[derive(Default)]
pub(super) struct Ties {
    /// Σ t(t−1)/2
    pub pairs: u64,
    /// Σ t(t−1)(t−2)
    triples: f64,
    /// Σ t(t−1)(2t+5)
    pub fives: f64,
}

impl Ties {
    pub(super) fn of(groups: impl Iterator<Item = usize>) -> Self {
        groups.fold(Self::default(), |sums, size| {
            let t = size as f64;
            Self {
                pairs: sums.pairs + (size * (size - 1) / 2) as u64,
                triples: sums.triples + t * (t - 1.0) * (t - 2.0),
                fives: sums.fives + t * (t - 1.0) * (2.0 * t + 5.0),
            }
        })
    }
}
