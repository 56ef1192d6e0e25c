//! The cumulative sum of counted drops, each count over its own time.

use super::{ChartError, Direction, Signal, Sum, design_value};
use crate::{formula::Formula, statistics::counting::Count, word};

/// How [`poisson_cusum`] reckons.
pub const POISSON_CUSUM: Formula = Formula {
    name: word!(
        "Poisson CUSUM: S = max(0, S before ± (drops − k·minutes)), called from h on; k = (λ1 − λ0)/ln(λ1/λ0)"
    ),
    source: "J. M. Lucas, Counted data CUSUM's, Technometrics 27 (1985) 129; the bound on its run length by G. Lorden, Ann. Math. Statist. 42 (1971) 1897, from memory",
};

/// A Poisson CUSUM chart's design: one direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PoissonCusumDesign {
    direction: Direction,
    reference_per_min: f64,
    decision_drops: f64,
    in_control_arl_at_least: Option<f64>,
}

impl PoissonCusumDesign {
    /// The design that calls a rate going from good to bad, with `in_control_arl_at_least` counts on the average
    /// before a call while the rate is the good one, whatever times the counts take.
    ///
    /// The reference value is the rate that speaks for neither; the decision value is ln(ARL) over |ln(bad/good)|,
    /// which keeps the run length as a lower bound (Lorden 1971). In truth it is longer, by five to twelve times in the
    /// tests, and a call comes a little later than it could. Rates from 1e-6 to 1e5 per minute and 5 % or more apart; run length from 2 to a million.
    /// Errors: [`ChartError::Rates`], [`ChartError::RunLength`].
    pub fn from_rates(
        good_per_min: f64,
        bad_per_min: f64,
        in_control_arl_at_least: f64,
    ) -> Result<Self, ChartError> {
        let rates = 1e-6..=1e5;
        let per_drop = (bad_per_min / good_per_min).ln();
        if !rates.contains(&good_per_min)
            || !rates.contains(&bad_per_min)
            || per_drop.abs() < 1.05_f64.ln()
        {
            return Err(ChartError::Rates {
                good_per_min,
                bad_per_min,
            });
        }
        if !(2.0..=1e6).contains(&in_control_arl_at_least) {
            return Err(ChartError::RunLength {
                arl: in_control_arl_at_least,
            });
        }
        Ok(Self {
            direction: if per_drop > 0.0 {
                Direction::Up
            } else {
                Direction::Down
            },
            reference_per_min: (bad_per_min - good_per_min) / per_drop,
            decision_drops: in_control_arl_at_least.ln() / per_drop.abs(),
            in_control_arl_at_least: Some(in_control_arl_at_least),
        })
    }

    /// A design of one's own, as a table has it: reference value k per minute, decision value h in drops, both above
    /// 0 to 1000. Its in-control ARL depends on the rate and the counts' times and isn't known here.
    ///
    /// Errors: [`ChartError::DesignValue`].
    pub fn new(
        direction: Direction,
        reference_per_min: f64,
        decision_drops: f64,
    ) -> Result<Self, ChartError> {
        Ok(Self {
            direction,
            reference_per_min: design_value(reference_per_min)?,
            decision_drops: design_value(decision_drops)?,
            in_control_arl_at_least: None,
        })
    }

    /// Which way a rate must go to be called.
    pub fn direction(&self) -> Direction {
        self.direction
    }

    /// Reference value k, drops per minute.
    pub fn reference_per_min(&self) -> f64 {
        self.reference_per_min
    }

    /// Decision value h, drops.
    pub fn decision_drops(&self) -> f64 {
        self.decision_drops
    }

    /// Counts on the average before a call while the rate is good, at least; `None` where it isn't known.
    pub fn in_control_arl_at_least(&self) -> Option<f64> {
        self.in_control_arl_at_least
    }
}

/// The chart of a row of counts.
#[derive(Clone, Debug, PartialEq)]
pub struct PoissonCusum {
    /// The sum after each count, drops; it goes on after a call.
    pub sums_drops: Vec<f64>,
    /// The first call, if there is one. Its start is the first count since the sum last was 0.
    pub signal: Option<Signal>,
}

/// Charts counts in their order of time, each over its own time.
///
/// Errors: [`ChartError::Count`].
pub fn poisson_cusum(
    counts: &[Count],
    design: &PoissonCusumDesign,
) -> Result<PoissonCusum, ChartError> {
    let mut sums_drops = Vec::with_capacity(counts.len());
    let mut signal = None;
    let mut sum = Sum { sum: 0.0, run: 0 };
    for (index, count) in counts.iter().enumerate() {
        let count = count
            .checked()
            .map_err(|source| ChartError::Count { index, source })?;
        let more = f64::from(count.drops) - design.reference_per_min * count.minutes();
        sum.add(match design.direction {
            Direction::Up => more,
            Direction::Down => -more,
        });
        if signal.is_none() && sum.sum >= design.decision_drops {
            signal = Some(sum.signal(index, design.direction));
        }
        sums_drops.push(sum.sum);
    }
    Ok(PoissonCusum { sums_drops, signal })
}
