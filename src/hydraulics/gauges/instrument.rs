//! How well an instrument reads.

use super::{
    error::{CannotCompute, positive, within},
    uncertain::Uncertain,
};
use crate::{formula::Formula, word};

/// What an instrument's class says of its error.
pub const INSTRUMENT_CLASS: Formula = Formula {
    name: word!("limit of error = class % of the scale's span"),
    source: "EN 837-1:1996, table of maximum permissible errors (percentage of span)",
};

/// The scale of a pressure gauge or an ammeter, with its accuracy class.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    lowest: f64,
    highest: f64,
    class_percent: f64,
}

impl Scale {
    /// A scale from its lowest to its highest mark (in one unit), and the class on its dial: the limit of error
    /// in % of the span. EN 837-1 has 0.1, 0.25, 0.6, 1, 1.6, 2.5 and 4; any class over 0 to 25 is taken.
    ///
    /// # Errors
    /// `NotFinite`, `NotPositive` for a span, `OutOfRange` for a class that no instrument has.
    pub fn new(lowest: f64, highest: f64, class_percent: f64) -> Result<Self, CannotCompute> {
        positive(
            word!("The span of the scale"),
            highest - lowest,
            word!("Enter the lowest and the highest mark of the dial."),
        )?;
        positive(
            word!("The accuracy class"),
            class_percent,
            word!("Enter the class on the dial."),
        )?;
        within(
            word!("The accuracy class"),
            class_percent,
            (0.0, 25.0),
            word!("Enter the class on the dial."),
        )?;
        Ok(Self {
            lowest,
            highest,
            class_percent,
        })
    }

    /// The limit of error, in the scale's unit: the same at every point of the scale.
    pub fn limit_of_error(&self) -> f64 {
        (self.highest - self.lowest) * self.class_percent / 100.0
    }

    /// A reading with its uncertainty. A swinging pointer and a poor view of it are not in it.
    ///
    /// # Errors
    /// `OutOfRange` where the pointer would stand beyond the scale.
    pub fn read(&self, reading: f64) -> Result<Uncertain, CannotCompute> {
        within(
            word!("The reading"),
            reading,
            (self.lowest, self.highest),
            word!(
                "A pointer beyond its scale tells nothing: read again, or have a gauge of a fitting scale put in."
            ),
        )?;
        Uncertain::within_limit(reading, self.limit_of_error())
    }
}

/// What a flow meter's stated error is a share of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FlowMeterError {
    /// Of the largest flow on its scale, %.
    OfFullScalePercent(f64),
    /// Of the flow being read, %.
    OfReadingPercent(f64),
}

/// A flow meter: its largest flow and its stated limit of error.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FlowMeter {
    /// Largest flow on its scale, m³/s.
    pub full_scale_m3_s: f64,
    /// Limit of error by its maker.
    pub error: FlowMeterError,
}

impl FlowMeter {
    /// A reading in m³/s with its uncertainty.
    ///
    /// # Errors
    /// `NotFinite`, `NotPositive` for the scale, `OutOfRange` for a reading beyond the scale or an error over 100 %.
    pub fn read(&self, flow_m3_s: f64) -> Result<Uncertain, CannotCompute> {
        let full = positive(
            word!("The largest flow on the meter (m³/s)"),
            self.full_scale_m3_s,
            word!("Enter it from the meter's plate."),
        )?;
        within(
            word!("The flow read (m³/s)"),
            flow_m3_s,
            (0.0, full),
            word!("Read the meter again, and check its unit."),
        )?;
        let (percent, of) = match self.error {
            FlowMeterError::OfFullScalePercent(percent) => (percent, full),
            FlowMeterError::OfReadingPercent(percent) => (percent, flow_m3_s),
        };
        within(
            word!("The flow meter's error (%)"),
            percent,
            (0.0, 100.0),
            word!("Enter it from the meter's papers."),
        )?;
        Uncertain::within_limit(flow_m3_s, of * percent / 100.0)
    }
}
