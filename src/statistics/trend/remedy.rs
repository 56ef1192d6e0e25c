//! What a remedy changed.

use super::{Series, TrendError, robust, two_sided_z};
use crate::{formula::Formula, statistics::ranks, word};

/// The shift between two groups and its interval.
pub const HODGES_LEHMANN: Formula = Formula {
    name: word!(
        "Hodges–Lehmann shift: median of all differences after − before, interval by the Mann–Whitney statistic (exact up to 30 entries a side)"
    ),
    source: "Hodges and Lehmann (1963), Ann. Math. Statist. 34:598; interval after Moses, in Hollander and Wolfe, Nonparametric Statistical Methods, 4.3",
};

/// Most entries taken from either side of a remedy: those nearest to it.
pub const NEAREST_PER_SIDE: usize = 500;

/// Up to so many entries a side the interval is exact.
const EXACT_UP_TO: usize = 30;

/// What changed from before a remedy to after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// After less before.
    pub shift: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end of its interval.
    pub high: f64,
    /// The interval's confidence as asked for.
    pub confidence: f64,
    /// Entries before the remedy.
    pub before: usize,
    /// Entries after it.
    pub after: usize,
    /// In one word.
    pub word: ChangeWord,
}

/// A change in one word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChangeWord {
    /// Higher than before, beyond what chance gives.
    Rose,
    /// Lower than before, beyond what chance gives.
    Fell,
    /// The interval of the shift holds zero.
    NoChangeShown,
}

/// The change from entries in the window of days before a remedy to those in the window after it. An entry made at the
/// time of the remedy counts as before it.
///
/// # Errors
/// [`TrendError::TooFew`] where so few entries cannot give an interval of this confidence (95 % wants 4 on each side,
/// or 3 and 5); [`TrendError::BadConfidence`]; [`TrendError::BadArgument`] for a window or time that is no number.
pub fn change_after(
    series: &Series,
    remedy_day: f64,
    window_days: f64,
    confidence: f64,
) -> Result<Change, TrendError> {
    if !(remedy_day.is_finite() && window_days > 0.0) {
        return Err(TrendError::BadArgument {
            what: word!("The time of the remedy or the window around it"),
            remedy: word!("Give both in days, the window above zero."),
        });
    }
    let values = |from: f64, to: f64| -> Vec<f64> {
        let within = |day: f64| from < day && day <= to;
        let points = series.points().iter();
        points
            .filter(|point| within(point.at_day))
            .map(|point| point.value)
            .collect()
    };
    let mut before = values(remedy_day - window_days, remedy_day);
    let mut after = values(remedy_day, remedy_day + window_days);
    before.drain(..before.len().saturating_sub(NEAREST_PER_SIDE));
    after.truncate(NEAREST_PER_SIDE);
    shift(&before, &after, confidence)
}

fn shift(before: &[f64], after: &[f64], confidence: f64) -> Result<Change, TrendError> {
    let z = two_sided_z(confidence)?;
    let (m, n) = (before.len(), after.len());
    let tail = (1.0 - confidence) / 2.0;
    let left_out = if m.max(n) <= EXACT_UP_TO {
        exact_left_out(m, n, tail)
    } else {
        let (m, n) = (m as f64, n as f64);
        let middle = m * n / 2.0;
        let reach = z * (m * n * (m + n + 1.0) / 12.0).sqrt();
        Some((middle - reach).round() - 1.0)
            .filter(|left_out| *left_out >= 0.0)
            .map(|left_out| left_out as usize)
    };
    let Some(left_out) = left_out else {
        let need = (1..).find(|k| exact_left_out(*k, *k, tail).is_some());
        return Err(TrendError::TooFew {
            what: word!("A change, on each side of the remedy,"),
            have: m.min(n),
            need: need.unwrap_or(m.min(n) + 1),
        });
    };
    let mut differences: Vec<f64> = after
        .iter()
        .flat_map(|after| before.iter().map(move |before| after - before))
        .collect();
    let median = robust::median_in_place(&mut differences);
    let mut at_rank = |rank: usize| *differences.select_nth_unstable_by(rank, f64::total_cmp).1;
    let (low, high) = (at_rank(left_out), at_rank(m * n - 1 - left_out));
    Ok(Change {
        shift: median,
        low,
        high,
        confidence,
        before: m,
        after: n,
        word: if low > 0.0 {
            ChangeWord::Rose
        } else if high < 0.0 {
            ChangeWord::Fell
        } else {
            ChangeWord::NoChangeShown
        },
    })
}

/// How many of the smallest differences, and as many of the largest, lie outside the interval: the most that keeps the
/// chance of U at or below it within the tail. `None` where even leaving out none is too little confidence.
fn exact_left_out(m: usize, n: usize, tail: f64) -> Option<usize> {
    let chances = chances_of_u(m, n);
    ranks::left_out(&chances, tail).filter(|_| m > 0 && n > 0)
}

/// The chance of each value of the Mann–Whitney U, 0 to m·n, for groups of m and n that do not differ (Mann and
/// Whitney 1947): the largest of all is in the first group, above all n of the second, or in the second.
fn chances_of_u(m: usize, n: usize) -> Vec<f64> {
    let mut before: Vec<Vec<f64>> = vec![vec![1.0]; n + 1];
    for i in 1..=m {
        let mut now: Vec<Vec<f64>> = vec![vec![1.0]];
        for j in 1..=n {
            let share = i as f64 / (i + j) as f64;
            let chance = |u: usize| {
                let first = u.checked_sub(j).and_then(|u| before[j].get(u));
                let second = now[j - 1].get(u);
                share * first.unwrap_or(&0.0) + (1.0 - share) * second.unwrap_or(&0.0)
            };
            let row = (0..=i * j).map(chance).collect();
            now.push(row);
        }
        before = now;
    }
    before.pop().unwrap_or_default()
}
