//! What the operator put in for a check.

use crate::plant::Unit;
use serde::{Deserialize, Serialize};

/// What was entered, as it was entered.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum Entered {
    /// A number in the unit it was read in.
    Number {
        /// The number.
        value: f64,
        /// Its unit.
        unit: Unit,
    },
    /// Drops counted.
    Count {
        /// How many.
        drops: u32,
        /// Over how long, s; above 0.
        seconds: f64,
    },
    /// A stream caught in a cup, where drops can no longer be told apart.
    Stream {
        /// How much was caught, mL; 0 or more.
        millilitres: f64,
        /// In how long, s; above 0.
        seconds: f64,
        /// Drops in a millilitre by the plant's convention when it was entered, so that it can be judged again.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drops_per_ml: Option<f64>,
    },
    /// Level in a glass.
    Level {
        /// Per cent of the glass, 0 to 100.
        percent: f64,
    },
    /// Step on the check's scale of feeling.
    Feel {
        /// 0 the least.
        step: u8,
    },
    /// Chosen word.
    Choice {
        /// Its key.
        key: String,
    },
    /// Yes or no.
    YesNo {
        /// The answer.
        yes: bool,
    },
    /// Own words.
    Words {
        /// The words.
        text: String,
    },
    /// Not checked.
    NotChecked {
        /// Why.
        reason: String,
    },
}

impl Entered {
    /// A temperature in °C, where it is one.
    pub fn celsius(&self) -> Option<f64> {
        let (value, unit) = self.measured()?;
        unit.convert(value, Unit::Celsius)
    }

    /// The entry as a number with its unit, where it has one: a count as drops per minute, a stream too where its
    /// plant has a convention and else as mL/min, a level as per cent, a feel as its step.
    pub fn measured(&self) -> Option<(f64, Unit)> {
        match *self {
            Entered::Number { value, unit } => Some((value, unit)),
            Entered::Count { drops, seconds } if seconds > 0.0 => {
                Some((f64::from(drops) * 60.0 / seconds, Unit::DropsPerMin))
            }
            Entered::Stream {
                millilitres,
                seconds,
                drops_per_ml,
            } if seconds > 0.0 => {
                let ml_per_min = millilitres * 60.0 / seconds;
                Some(match drops_per_ml {
                    Some(drops) => (ml_per_min * drops, Unit::DropsPerMin),
                    None => (ml_per_min, Unit::MlPerMin),
                })
            }
            Entered::Level { percent } => Some((percent, Unit::Percent)),
            Entered::Feel { step } => Some((f64::from(step), Unit::Step)),
            _ => None,
        }
    }
}
