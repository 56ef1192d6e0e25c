//! Control charts: drift seen as early as the chosen rate of false calls allows.
//!
//! A chart's in-control ARL (average run length) is how many values come on the average before it calls a drift where
//! there is none. It holds for values that are independent and normally distributed (counts: Poisson) about a known
//! baseline; a baseline taken from few values, or values that hang together, bring more false calls.

mod cusum;
mod error;
mod ewma;
mod poisson;

pub use cusum::{CUSUM, Cusum, CusumDesign, CusumPoint, cusum};
pub use error::ChartError;
pub use ewma::{EWMA, Ewma, EwmaDesign, EwmaPoint, Limits, ewma};
pub use poisson::{POISSON_CUSUM, PoissonCusum, PoissonCusumDesign, poisson_cusum};

/// Where values lie and how they scatter while nothing is wrong, in the values' own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Baseline {
    /// Their middle, such as the median.
    pub location: f64,
    /// Their standard deviation, or what stands for it, such as 1.4826 times the median absolute deviation; above 0.
    pub scale: f64,
}

/// Which way values drift.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// They rise.
    Up,
    /// They fall.
    Down,
}

/// A chart's first call.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Signal {
    /// The value at which it was called, from 0.
    pub index: usize,
    /// Which way.
    pub direction: Direction,
    /// The first value of the run that led to it, from 0: the estimate of where the drift began.
    pub start: usize,
}

/// Beyond this nothing is a reading, and sums of what is stay finite.
const FARTHEST: f64 = 1e100;

impl Baseline {
    fn checked(self) -> Result<Self, ChartError> {
        let Self { location, scale } = self;
        if location.abs() <= FARTHEST && scale > 0.0 && scale <= FARTHEST {
            Ok(self)
        } else if location.abs() <= FARTHEST && scale == 0.0 {
            Err(ChartError::NoScatter { location })
        } else {
            Err(ChartError::Baseline { location, scale })
        }
    }

    /// How many scales a value lies from the location.
    fn standardised(self, index: usize, value: f64) -> Result<f64, ChartError> {
        let away = (value - self.location) / self.scale;
        if value.abs() <= FARTHEST && away.abs() <= FARTHEST {
            Ok(away)
        } else {
            Err(ChartError::Value { index, value })
        }
    }
}

/// A sum that what speaks for a drift adds to, and that is never less than nothing.
#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    sum: f64,
    /// Values since it was last nothing.
    run: usize,
}

impl Sum {
    fn add(&mut self, gain: f64) {
        self.sum = (self.sum + gain).max(0.0);
        self.run = if self.sum > 0.0 { self.run + 1 } else { 0 };
    }

    fn signal(self, index: usize, direction: Direction) -> Signal {
        Signal {
            index,
            direction,
            start: index + 1 - self.run,
        }
    }
}

fn design_value(value: f64) -> Result<f64, ChartError> {
    if value > 0.0 && value <= 1000.0 {
        Ok(value)
    } else {
        Err(ChartError::DesignValue { value })
    }
}
