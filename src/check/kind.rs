//! How a check is entered.

use crate::plant::Unit;

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

/// One of the words to choose from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// As it is written in files.
    pub key: &'static str,
    /// What it usually comes to.
    pub usual: crate::judge::Verdict,
}

/// An ordered scale of feeling, step 0 the least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeelScale {
    /// Heat by the back of the hand.
    Heat,
    /// Vibration by the fingertips.
    Vibration,
}
