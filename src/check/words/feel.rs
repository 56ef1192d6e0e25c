//! Heat and vibration in words for the hand.

use crate::check::FeelScale;

/// One step on a scale of feeling.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FeelStep {
    /// The step in a word or few.
    pub word: &'static str,
    /// How to know it.
    pub sign: &'static str,
}

const fn step(word: &'static str, sign: &'static str) -> FeelStep {
    FeelStep { word, sign }
}

/// Heat, related to the touch limits for metal that ECMA-287 gives (read at second hand): 43 °C
/// may be held without end, 55 °C for ten seconds, 65 °C for one. So "warm" ends at about 43 °C,
/// "hot" at about 55 °C, "very hot" at about 65 °C. "Cool" and "scorching" have no source. Hands
/// differ by more than a step in doubt: a maker's manual (OM-02816, p. C-4) calls judging by hand
/// inaccurate and a bearing of 71 °C normal, which no hand can tell from one of 90 °C.
const HEAT: &[FeelStep] = &[
    step("cool", "no warmer than the hand"),
    step("warm", "the hand can stay (to about 43 °C)"),
    step("hot", "the hand can stay ten seconds (to about 55 °C)"),
    step(
        "very hot",
        "the hand leaves after a second (to about 65 °C)",
    ),
    step(
        "too hot to touch",
        "the hand does not go there (over about 65 °C)",
    ),
    step("scorching", "heat is felt a hand's breadth away"),
];

/// Vibration by the fingertips. The words are ours, and no figure in mm/s goes with them: what a
/// hand feels depends on frequency as much as on velocity. Common practice, no source.
const VIBRATION: &[FeelStep] = &[
    step("still", "nothing to feel"),
    step("humming", "a fine, even hum"),
    step("trembling", "plain to feel, a coin on edge would fall"),
    step("shaking", "seen with the eye, loose parts rattle"),
    step("hammering", "knocks the hand away"),
];

/// The steps of a scale, the least first.
pub fn feel_steps(scale: FeelScale) -> &'static [FeelStep] {
    match scale {
        FeelScale::Heat => HEAT,
        FeelScale::Vibration => VIBRATION,
    }
}

/// One step of a scale; `None` where the scale does not go so far.
pub fn feel_step(scale: FeelScale, step: u8) -> Option<FeelStep> {
    feel_steps(scale).get(usize::from(step)).copied()
}
