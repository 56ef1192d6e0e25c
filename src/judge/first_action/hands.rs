//! How far a hand may go at a pump's gland.

use crate::{
    check::{Entered, NO_TOUCH_STEP, VERY_HOT_STEP},
    judge::Verdict,
};

/// How far a hand may go at a pump's gland, the freest first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hands {
    /// As far as the plant leaves glands to operators.
    #[default]
    Free,
    /// To no nut to tighten it: the gland was felt hot in the same visit. A hot gland with little leak-off is too tight
    /// (TM 5-4210-233-14&P-2, p. 6-39).
    NoTightening,
    /// To no nut at all: it was felt too hot to touch.
    OffHotGland,
    /// To neither gland nor feed: the pump's liquid is hot or hazardous, see [`crate::check::gland_may_be_touched`].
    OffGland,
}

impl Hands {
    /// By the pump's liquid, and by the gland's heat where it was felt in the same visit, with what that came to.
    pub fn at_gland(hot_or_hazardous: bool, heat: Option<(&Entered, Verdict)>) -> Self {
        if hot_or_hazardous {
            return Self::OffGland;
        }
        let Some((&Entered::Feel { step }, verdict)) = heat else {
            return Self::Free;
        };
        if step >= NO_TOUCH_STEP || verdict >= Verdict::Act {
            Self::OffHotGland
        } else if step >= VERY_HOT_STEP || verdict.is_out_of_limits() {
            Self::NoTightening
        } else {
            Self::Free
        }
    }
}
