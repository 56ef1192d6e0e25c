//! How a gland's leak-off has answered to its nuts before.

use crate::{
    formula::Formula,
    remedy::CannotTell,
    say,
    statistics::{
        counting::{Count, rate_per_min},
        ranks,
    },
    word,
};

/// How [`response`] reckons.
pub const RESPONSE: Formula = Formula {
    name: word!(
        "median of the pairwise means of ln(rate after / rate before) per flat, half a drop added to each count; interval by Wilcoxon's signed ranks"
    ),
    source: "J. L. Hodges and E. L. Lehmann, Ann. Math. Stat. 34 (1963) 598; J. W. Tukey's interval, in Hollander and Wolfe, Nonparametric Statistical Methods (1973) 3.2 and 3.3; half a drop: F. J. Anscombe, Biometrika 35 (1948) 246; from memory. That rates go by ratios from flat to flat: common practice, no source",
};

/// Fewest times that an interval of 90 % can be had from: of five all alike in sign, chance makes 1 in 16.
pub const FEWEST_PAIRS: usize = 5;
/// The newest times that are looked at: packing wears, and old answers stop holding. Common practice, no source.
pub const NEWEST_PAIRS: usize = 20;

/// A gland's nuts were turned, and its drops counted before and after.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlatsPair {
    /// The count before.
    pub before: Count,
    /// Flats summed over all nuts: tightened above 0, eased below.
    pub flats: i32,
    /// The count after.
    pub after: Count,
}

/// A gland's own response to its nuts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Response {
    /// ln(rate after / rate before) for one nut tightened by one flat; below 0 where tightening lowers the leak-off.
    pub ln_ratio_per_flat: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end of its interval.
    pub high: f64,
    /// Share of such intervals that hold the true response, at least.
    pub confidence: f64,
    /// Times it was looked at.
    pub pairs: usize,
}

impl Response {
    /// The response in a sentence.
    pub fn words(&self) -> String {
        let percent = |ln: f64| format!("{:+.0}", 100.0 * (ln.exp() - 1.0));
        say!(
            "One flat tighter on one nut has changed this gland's leak-off by {change} % ({low} to {high} %), from {times} times.",
            change = percent(self.ln_ratio_per_flat),
            low = percent(self.low),
            high = percent(self.high),
            times = self.pairs
        )
    }
}

/// A gland's own response, from the newest [`NEWEST_PAIRS`] of what is known of it, oldest first, at a confidence of
/// 0.5 to below 1. Times whose flats sum to nothing are passed over.
///
/// # Errors
/// [`CannotTell::TooFew`] where so few times give no interval of this confidence: 90 % wants 5, 95 % wants 6;
/// [`CannotTell::Counting`] for a count that gives no rate, or another confidence.
pub fn response(pairs: &[FlatsPair], confidence: f64) -> Result<Response, CannotTell> {
    let mut per_flat = Vec::new();
    for pair in pairs.iter().rev().filter(|pair| pair.flats != 0) {
        if per_flat.len() == NEWEST_PAIRS {
            break;
        }
        let before = ln_rate(pair.before, confidence)?;
        let after = ln_rate(pair.after, confidence)?;
        per_flat.push((after - before) / f64::from(pair.flats));
    }
    let n = per_flat.len();
    let left_out = signed_ranks_left_out(n, (1.0 - confidence) / 2.0);
    let (Some(left_out), false) = (left_out, n < FEWEST_PAIRS) else {
        let need = (FEWEST_PAIRS..=NEWEST_PAIRS)
            .find(|n| signed_ranks_left_out(*n, (1.0 - confidence) / 2.0).is_some());
        return Err(CannotTell::TooFew {
            what: say!("This gland's own response to its nuts"),
            have: n,
            need: need.unwrap_or(NEWEST_PAIRS),
            record: say!("the count before, the flats and the count after"),
        });
    };
    let means = pairwise_means(&per_flat);
    let middle = means.len() / 2;
    Ok(Response {
        ln_ratio_per_flat: if means.len().is_multiple_of(2) {
            (means[middle - 1] + means[middle]) / 2.0
        } else {
            means[middle]
        },
        low: means[left_out],
        high: means[means.len() - 1 - left_out],
        confidence,
        pairs: n,
    })
}

fn ln_rate(count: Count, confidence: f64) -> Result<f64, CannotTell> {
    rate_per_min(count.drops, count.seconds, confidence)?;
    Ok(((f64::from(count.drops) + 0.5) * 60.0 / count.seconds).ln())
}

/// The means of all pairs, each value with itself too, sorted.
fn pairwise_means(values: &[f64]) -> Vec<f64> {
    let mut means = Vec::with_capacity(values.len() * (values.len() + 1) / 2);
    for (index, one) in values.iter().enumerate() {
        means.extend(values[..=index].iter().map(|other| (one + other) / 2.0));
    }
    means.sort_unstable_by(f64::total_cmp);
    means
}

/// How many of the smallest means, and as many of the largest, lie outside the interval: the most that keeps the
/// chance of so small a signed-rank sum within the tail. `None` where even leaving out none is too little confidence.
fn signed_ranks_left_out(n: usize, tail: f64) -> Option<usize> {
    let most = n * (n + 1) / 2;
    // Chances of each sum of the ranks 1 to n, each in it or not with even chance.
    let mut chances = vec![0.0; most + 1];
    chances[0] = 1.0;
    for rank in 1..=n {
        for sum in (0..=most).rev() {
            let with = sum.checked_sub(rank).map_or(0.0, |rest| chances[rest]);
            chances[sum] = (chances[sum] + with) / 2.0;
        }
    }
    ranks::left_out(&chances, tail).filter(|_| n > 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Critical values of Wilcoxon's signed-rank sum, two-sided 5 % and 10 %: F. Wilcoxon and R. A. Wilcox (1964),
    /// as printed in most textbooks; from memory.
    #[test]
    fn the_sums_left_out_are_the_printed_critical_values() {
        for (n, at_95) in [
            (6, 0),
            (7, 2),
            (8, 3),
            (9, 5),
            (10, 8),
            (11, 10),
            (12, 13),
            (13, 17),
            (14, 21),
            (15, 25),
            (16, 29),
            (17, 34),
            (18, 40),
            (19, 46),
            (20, 52),
        ] {
            assert_eq!(signed_ranks_left_out(n, 0.025), Some(at_95), "{n}");
        }
        for (n, at_90) in [
            (5, 0),
            (6, 2),
            (7, 3),
            (8, 5),
            (9, 8),
            (10, 10),
            (11, 13),
            (12, 17),
            (15, 30),
            (20, 60),
        ] {
            assert_eq!(signed_ranks_left_out(n, 0.05), Some(at_90), "{n}");
        }
        assert_eq!(signed_ranks_left_out(5, 0.025), None);
        assert_eq!(signed_ranks_left_out(4, 0.05), None);
        assert_eq!(signed_ranks_left_out(0, 0.05), None);
    }

    /// Hollander and Wolfe, Nonparametric Statistical Methods (1973), 3.2 and 3.3: nine patients' depression scale
    /// factors before and after the first therapy; estimate 0.46, interval of 96.1 % from 0.010 to 0.786 for the
    /// decline. From memory; the same data are in R's help for `wilcox.test`.
    #[test]
    fn the_middle_and_the_interval_are_those_of_the_printed_example() {
        let first = [1830, 500, 1620, 2480, 1680, 1880, 1550, 3060, 1300];
        let second = [878, 647, 598, 2050, 1060, 1290, 1060, 3140, 1290];
        let thousandths = first.iter().zip(second).map(|(a, b)| a - b);
        let declines: Vec<f64> = thousandths.map(|of| f64::from(of) / 1000.0).collect();
        let means = pairwise_means(&declines);
        let left_out = signed_ranks_left_out(9, 0.0196).unwrap();
        assert!((means[means.len() / 2] - 0.46).abs() < 5e-4);
        assert!((means[left_out] - 0.010).abs() < 5e-4);
        assert!((means[means.len() - 1 - left_out] - 0.786).abs() < 5e-4);
    }
}
