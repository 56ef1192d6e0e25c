//! How strongly a sign speaks.

use serde::Deserialize;

/// How strongly a sign, being present or being absent, speaks for or against a trouble.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
pub enum Weight {
    /// Seeing it is seeing the trouble itself.
    #[serde(rename = "proves")]
    Proves,
    /// The trouble is known by it: it shows early, or few others show it.
    #[serde(rename = "strongly for")]
    StronglyFor,
    /// It goes with the trouble, and with others.
    #[serde(rename = "for")]
    For,
    /// It says nothing about the trouble.
    #[serde(rename = "-")]
    Silent,
    /// The trouble seldom shows so.
    #[serde(rename = "against")]
    Against,
    /// The trouble hardly ever shows so.
    #[serde(rename = "strongly against")]
    StronglyAgainst,
    /// The trouble cannot show so.
    #[serde(rename = "rules out")]
    RulesOut,
}

impl Weight {
    /// What it adds to a trouble's points; what is ruled out is not ranked at all.
    pub(super) fn points(self) -> i32 {
        match self {
            Self::Proves => 4,
            Self::StronglyFor => 3,
            Self::For => 1,
            Self::Silent | Self::RulesOut => 0,
            Self::Against => -1,
            Self::StronglyAgainst => -3,
        }
    }

    /// What it says where it was seen in an earlier visit alone: what was so then shows nothing to be there now, and
    /// rules nothing out. Common practice, no source.
    pub(super) fn if_earlier(self) -> Self {
        match self {
            Self::Proves => Self::StronglyFor,
            Self::RulesOut => Self::StronglyAgainst,
            other => other,
        }
    }

    pub(super) fn is_for(self) -> bool {
        self.points() > 0
    }

    /// Share of the pumps with a trouble on which its sign is taken to be seen, from what the sign says when present
    /// and when absent. What speaks against by its absence is expected to be seen. A rule of thumb that only chooses
    /// between checks; common practice, no source.
    pub(super) fn expected_share(present: Self, absent: Self) -> f64 {
        match (present, absent) {
            (Self::RulesOut, _) => 0.0,
            (Self::StronglyAgainst, _) => 0.05,
            (Self::Against, _) => 0.1,
            (_, Self::RulesOut) => 0.97,
            (_, Self::StronglyAgainst) => 0.9,
            (_, Self::Against) => 0.7,
            (Self::Proves | Self::StronglyFor, _) => 0.5,
            (Self::For, _) => 0.3,
            (Self::Silent, _) => Self::UNSPOKEN_SHARE,
        }
    }

    /// The same where there is no row: the sign may be there for another reason.
    pub(super) const UNSPOKEN_SHARE: f64 = 0.2;
}
