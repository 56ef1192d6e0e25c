//! The exponentially weighted moving average of values about a baseline.

use super::{Baseline, ChartError, Direction, Signal, design_value};
use crate::{formula::Formula, word};

/// How [`ewma`] reckons.
pub const EWMA: Formula = Formula {
    name: word!(
        "exponentially weighted moving average: z = λ·x + (1 − λ)·z before, called beyond L·scale·√(λ/(2 − λ)) from the location"
    ),
    source: "J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990) 1; NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.4",
};

/// How wide the limits are at first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limits {
    /// As wide from the first value on as they come to be in the end; published run lengths are for these.
    Steady,
    /// Narrower at first, as the average of few values scatters less: times √(1 − (1 − λ)^2i).
    FromStart,
}

/// An EWMA chart's design.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EwmaDesign {
    weight: f64,
    limit: f64,
    limits: Limits,
    in_control_arl: Option<f64>,
}

impl EwmaDesign {
    /// The published designs with an in-control ARL of 500, from the one quickest for small drifts to the one
    /// quickest for large ones; all with steady limits.
    ///
    /// Source: J. M. Lucas and M. S. Saccucci (1990), table 3 for weights 0.03 and 0.5; the others as D. C. Montgomery
    /// gives them in Introduction to Statistical Quality Control, table 9.11, from memory. The tests reckon the ARL of
    /// every one.
    pub const PUBLISHED: [Self; 7] = [
        Self::published(0.03, 2.437),
        Self::published(0.05, 2.615),
        Self::published(0.1, 2.814),
        Self::published(0.2, 2.962),
        Self::published(0.25, 2.998),
        Self::published(0.4, 3.054),
        Self::published(0.5, 3.071),
    ];

    const fn published(weight: f64, limit: f64) -> Self {
        Self {
            weight,
            limit,
            limits: Limits::Steady,
            in_control_arl: Some(500.0),
        }
    }

    /// A design of one's own: `weight` of the newest value, above 0 to 1; `limit` L in standard deviations of the
    /// average, above 0 to 1000. Its in-control ARL isn't known.
    ///
    /// Errors: [`ChartError::Weight`], [`ChartError::DesignValue`].
    pub fn new(weight: f64, limit: f64, limits: Limits) -> Result<Self, ChartError> {
        if !(weight > 0.0 && weight <= 1.0) {
            return Err(ChartError::Weight { weight });
        }
        Ok(Self {
            weight,
            limit: design_value(limit)?,
            limits,
            in_control_arl: None,
        })
    }

    /// Weight λ of the newest value.
    pub fn weight(&self) -> f64 {
        self.weight
    }

    /// Limit L, in standard deviations of the average.
    pub fn limit(&self) -> f64 {
        self.limit
    }

    /// Values on the average before a call without a drift; `None` where nobody published it.
    pub fn in_control_arl(&self) -> Option<f64> {
        self.in_control_arl
    }

    /// Half the distance of the limits after `values` values, in scales.
    fn half_width(&self, values: usize) -> f64 {
        let steady = self.limit * (self.weight / (2.0 - self.weight)).sqrt();
        match self.limits {
            Limits::Steady => steady,
            Limits::FromStart => {
                steady * (1.0 - (1.0 - self.weight).powf(2.0 * values as f64)).sqrt()
            }
        }
    }
}

/// One point of the chart, in the values' own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EwmaPoint {
    /// The average.
    pub average: f64,
    /// How far from the location it may be.
    pub half_width: f64,
}

/// The chart of a row of values.
#[derive(Clone, Debug, PartialEq)]
pub struct Ewma {
    /// One point a value.
    pub points: Vec<EwmaPoint>,
    /// The first call, if there is one. Its start is the first value since the average last was on the other side of
    /// the location.
    pub signal: Option<Signal>,
}

/// Charts values in their order of time about a baseline.
///
/// Errors: [`ChartError::NoScatter`] where the scale is 0, [`ChartError::Baseline`], [`ChartError::Value`].
pub fn ewma(values: &[f64], baseline: Baseline, design: &EwmaDesign) -> Result<Ewma, ChartError> {
    let baseline = baseline.checked()?;
    let mut points = Vec::with_capacity(values.len());
    let mut signal = None;
    let (mut average, mut start) = (0.0, 0);
    for (index, &value) in values.iter().enumerate() {
        let before: f64 = average;
        average += design.weight * (baseline.standardised(index, value)? - average);
        if before * average <= 0.0 {
            start = index;
        }
        let half_width = design.half_width(index + 1);
        if signal.is_none() && average.abs() > half_width {
            signal = Some(Signal {
                index,
                direction: if average > 0.0 {
                    Direction::Up
                } else {
                    Direction::Down
                },
                start,
            });
        }
        points.push(EwmaPoint {
            average: baseline.location + baseline.scale * average,
            half_width: baseline.scale * half_width,
        });
    }
    Ok(Ewma { points, signal })
}
