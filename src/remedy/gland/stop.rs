//! A gland that is dry, hot or smokes: never tightened, first eased, and when the pump has to stop.

use crate::{
    check::{Entered, MIN_COUNT_S, NO_TOUCH_STEP, VERY_HOT_STEP, gland_may_be_touched},
    plant::{Pump, Verdict},
    say,
    statistics::counting::Count,
};

/// Step at which a gland is taken to smoke: scorching, felt a hand's breadth away. Common practice, no source.
pub const SMOKES_FROM_STEP: u8 = 5;

/// What was seen of a gland. What was not looked at is left out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GlandSeen {
    /// Drops counted.
    pub count: Option<Count>,
    /// Step of heat by the back of the hand, see [`crate::check::FeelScale::Heat`].
    pub heat_step: Option<u8>,
    /// It smokes, or smells burnt.
    pub smokes: bool,
    /// It squeals.
    pub squeals: bool,
}

impl GlandSeen {
    /// From what was entered for its leak-off and its heat, and for the pump's noise.
    pub fn of(leak_off: Option<&Entered>, heat: Option<&Entered>, noise: Option<&Entered>) -> Self {
        let heat_step = match heat {
            Some(Entered::Feel { step }) => Some(*step),
            _ => None,
        };
        Self {
            count: match leak_off {
                Some(&Entered::Count { drops, seconds }) => Some(Count { drops, seconds }),
                _ => None,
            },
            heat_step,
            smokes: heat_step.is_some_and(|step| step >= SMOKES_FROM_STEP),
            squeals: matches!(noise, Some(Entered::Choice { key }) if key == "squeal"),
        }
    }

    /// No drop fell in a count long enough to mean something.
    fn is_dry(&self) -> bool {
        self.count
            .is_some_and(|count| count.drops == 0 && count.seconds >= MIN_COUNT_S)
    }

    fn felt(&self, step: u8) -> bool {
        self.heat_step.is_some_and(|felt| felt >= step)
    }
}

/// Why a gland must not be tightened now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NeverTighten {
    /// It smokes.
    #[error("{}", say!("Never tighten a gland that smokes: it is dry inside and burns."))]
    Smokes,
    /// No drop was seen, however short the count.
    #[error("{}", say!("Never tighten a dry gland: the drops carry its heat away. Count again, or ease it one flat."))]
    Dry,
    /// It is hot.
    #[error("{}", say!("Never tighten a hot gland: too tight is what heats it. Ease it one flat."))]
    Hot,
    /// It squeals.
    #[error("{}", say!("Never tighten a gland that squeals: it runs dry. Count the drops, and ease it one flat."))]
    Squeals,
}

/// Whether the gland may be tightened after what was seen of it.
///
/// Stricter than [`stop_rule`]: one count without a drop is enough to forbid it.
///
/// # Errors
/// Why not.
pub fn may_tighten(seen: &GlandSeen) -> Result<(), NeverTighten> {
    if seen.smokes {
        Err(NeverTighten::Smokes)
    } else if seen.felt(VERY_HOT_STEP) {
        Err(NeverTighten::Hot)
    } else if seen.count.is_some_and(|count| count.drops == 0) {
        Err(NeverTighten::Dry)
    } else if seen.squeals {
        Err(NeverTighten::Squeals)
    } else {
        Ok(())
    }
}

/// What a dry, hot or smoking gland comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StopRule {
    /// The verdict.
    pub verdict: Verdict,
    /// Why, in a sentence.
    pub because: &'static str,
    /// What to do first.
    pub first: &'static str,
    /// When to stop the pump, where it need not stop now.
    pub stop_if: Option<&'static str>,
}

/// What a dry, hot or smoking gland comes to at this pump; `None` where it is none of these.
///
/// Packing lives on a small leak that cools it; dry it burns and scores the shaft (NAVFAC MO-209 item (e)), and a hot
/// gland with little leak is too tight (TM 5-4210-233-14&P-2, p. 6-39). The verdicts and the two minutes are common
/// practice, no source. Where the liquid burns or harms nobody's hand is sent there.
pub fn stop_rule(seen: &GlandSeen, pump: &Pump) -> Option<StopRule> {
    if seen.smokes {
        return Some(StopRule {
            verdict: Verdict::StopPump,
            because: say!("A gland that scorches or smokes runs dry and burns."),
            first: say!(
                "Tighten nothing and pour nothing on it. Stop the pump by your plant's procedure, keep away from the gland, and tell the shift supervisor; the nuts are eased when it stands and has cooled."
            ),
            stop_if: None,
        });
    }
    let dry = seen.is_dry();
    let because = match (dry, seen.felt(NO_TOUCH_STEP), seen.squeals) {
        (true, true, _) => say!("The gland is dry and too hot to touch."),
        (true, false, true) => say!("The gland is dry and squeals."),
        (true, false, false) => say!("The gland is dry: nothing carries its heat away."),
        (false, true, _) => {
            say!("The gland is too hot to touch: it is too tight, or its drops do not reach it.")
        }
        (false, false, _) => return None,
    };
    Some(StopRule {
        verdict: Verdict::Act,
        because,
        first: if gland_may_be_touched(pump) {
            say!(
                "Tighten nothing. Ease each gland nut one flat, evenly, only where your plant leaves glands to operators; keep clear of the turning shaft and touch no hot metal."
            )
        } else {
            say!(
                "Tighten nothing and keep hands off: the liquid is hot or hazardous. Tell the shift supervisor at once."
            )
        },
        stop_if: Some(say!(
            "If no drop comes within 2 minutes, or it grows hotter or smokes, stop the pump by your plant's procedure."
        )),
    })
}
