//! The tabular cumulative sum of values about a baseline.

use super::{Baseline, ChartError, Direction, Signal, Sum, design_value};
use crate::{formula::Formula, word};

/// How [`cusum`] reckons.
pub const CUSUM: Formula = Formula {
    name: word!(
        "tabular CUSUM: C⁺ = max(0, C⁺ before + z − k) and C⁻ = max(0, C⁻ before − z − k), called above h"
    ),
    source: "E. S. Page, Biometrika 41 (1954) 100; J. M. Lucas and R. B. Crosier, Technometrics 24 (1982) 199; NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.3",
};

/// A CUSUM chart's design, in scales of the baseline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CusumDesign {
    reference: f64,
    decision: f64,
    in_control_arl: Option<f64>,
}

impl CusumDesign {
    /// The published designs, both made for a drift of one scale.
    ///
    /// Source: in-control ARL 168 for k = 0.5, h = 4 by J. M. Lucas and R. B. Crosier (1982), table 1; 465 for h = 5
    /// as D. C. Montgomery gives it in Introduction to Statistical Quality Control, table 9.3, from memory. The tests
    /// reckon both.
    pub const PUBLISHED: [Self; 2] = [
        Self {
            reference: 0.5,
            decision: 4.0,
            in_control_arl: Some(168.0),
        },
        Self {
            reference: 0.5,
            decision: 5.0,
            in_control_arl: Some(465.0),
        },
    ];

    /// A design of one's own: `reference` k, half the drift to be seen, and `decision` h; both above 0 to 1000, in
    /// scales. Its in-control ARL isn't known.
    ///
    /// Errors: [`ChartError::DesignValue`].
    pub fn new(reference: f64, decision: f64) -> Result<Self, ChartError> {
        Ok(Self {
            reference: design_value(reference)?,
            decision: design_value(decision)?,
            in_control_arl: None,
        })
    }

    /// Reference value k, scales.
    pub fn reference(&self) -> f64 {
        self.reference
    }

    /// Decision value h, scales.
    pub fn decision(&self) -> f64 {
        self.decision
    }

    /// Values on the average before a call without a drift, either way; `None` where nobody published it.
    pub fn in_control_arl(&self) -> Option<f64> {
        self.in_control_arl
    }
}

/// One point of the chart, in scales of the baseline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CusumPoint {
    /// Sum of what speaks for a rise, C⁺.
    pub up: f64,
    /// Sum of what speaks for a fall, C⁻.
    pub down: f64,
    /// Values since the sum for a rise was last 0, N⁺.
    pub up_run: usize,
    /// Values since the sum for a fall was last 0, N⁻.
    pub down_run: usize,
}

/// The chart of a row of values.
#[derive(Clone, Debug, PartialEq)]
pub struct Cusum {
    /// One point a value; the sums go on after a call.
    pub points: Vec<CusumPoint>,
    /// The first call, if there is one. Its start is the first value since its sum last was 0.
    pub signal: Option<Signal>,
}

/// Charts values in their order of time about a baseline.
///
/// Errors: [`ChartError::NoScatter`] where the scale is 0, [`ChartError::Baseline`], [`ChartError::Value`].
pub fn cusum(
    values: &[f64],
    baseline: Baseline,
    design: &CusumDesign,
) -> Result<Cusum, ChartError> {
    let baseline = baseline.checked()?;
    let mut points = Vec::with_capacity(values.len());
    let mut signal = None;
    let (mut up, mut down) = (Sum::default(), Sum::default());
    for (index, &value) in values.iter().enumerate() {
        let away = baseline.standardised(index, value)?;
        up.add(away - design.reference);
        down.add(-away - design.reference);
        if signal.is_none() {
            signal = [(up, Direction::Up), (down, Direction::Down)]
                .into_iter()
                .find(|(sum, _)| sum.sum > design.decision)
                .map(|(sum, direction)| sum.signal(index, direction));
        }
        points.push(CusumPoint {
            up: up.sum,
            down: down.sum,
            up_run: up.run,
            down_run: down.run,
        });
    }
    Ok(Cusum { points, signal })
}
