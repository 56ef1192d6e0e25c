//! How a check is entered.

use crate::plant::{Unit, Verdict};

/// How a check is entered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EntryKind {
    /// A number read off an instrument.
    Number {
        /// Unit it is asked in.
        unit: Unit,
        /// Lowest value the instrument can show.
        lowest: f64,
        /// Highest value the instrument can show.
        highest: f64,
    },
    /// Drops counted over a time; judged as drops per minute.
    Count,
    /// Level in a glass; judged as per cent of the glass.
    Level,
    /// A step on an ordered scale of feeling.
    Feel(FeelScale),
    /// One of several words.
    Choice(&'static [Choice]),
    /// Yes or no.
    YesNo {
        /// The answer that is in limits.
        good: bool,
    },
    /// Own words; not judged.
    Words,
}

impl EntryKind {
    /// The same, asked in the unit its limits are in, so that a reading and its limits are seen in one unit. A unit
    /// that measures something else changes nothing.
    pub fn asked_in(self, asked: Unit) -> Self {
        match self {
            EntryKind::Number {
                unit,
                lowest,
                highest,
            } => match (unit.convert(lowest, asked), unit.convert(highest, asked)) {
                (Some(lowest), Some(highest)) => EntryKind::Number {
                    unit: asked,
                    lowest,
                    highest,
                },
                _ => self,
            },
            _ => self,
        }
    }
}

/// One of the words to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// As it is written in files.
    pub key: &'static str,
    /// What it usually comes to.
    pub usual: Verdict,
}

/// Step of [`FeelScale::Heat`] called "very hot": the hand leaves after a second.
pub const VERY_HOT_STEP: u8 = 3;
/// Step of [`FeelScale::Heat`] called "too hot to touch".
pub const NO_TOUCH_STEP: u8 = 4;

/// An ordered scale of feeling, step 0 the least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeelScale {
    /// Heat by the back of the hand.
    Heat,
    /// Vibration by the fingertips.
    Vibration,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_asked_in_the_limits_unit_over_the_same_instrument() {
        let kind = EntryKind::Number {
            unit: Unit::Bar,
            lowest: -1.0,
            highest: 10.0,
        };
        let asked = EntryKind::Number {
            unit: Unit::KPa,
            lowest: -100.0,
            highest: 1000.0,
        };
        assert_eq!(kind.asked_in(Unit::KPa), asked);
        assert_eq!(kind.asked_in(Unit::Celsius), kind);
        assert_eq!(EntryKind::Count.asked_in(Unit::KPa), EntryKind::Count);
    }
}
