//! Heat and vibration in words for the hand.

use crate::{check::FeelScale, say};

/// One step on a scale of feeling.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FeelStep {
    /// The step in a word or few.
    pub word: &'static str,
    /// How to know it.
    pub sign: &'static str,
}

fn step(word: &'static str, sign: &'static str) -> FeelStep {
    FeelStep { word, sign }
}

/// Heat, related to the touch limits for metal that ECMA-287 gives (read at second hand): 43 °C
/// may be held without end, 55 °C for ten seconds, 65 °C for one. So "warm" ends at about 43 °C,
/// "hot" at about 55 °C, "very hot" at about 65 °C. "Cool" and "scorching" have no source. Hands
/// differ by more than a step in doubt: a maker's manual (OM-02816, p. C-4) calls judging by hand
/// inaccurate and a bearing of 71 °C normal, which no hand can tell from one of 90 °C.
fn heat() -> Vec<FeelStep> {
    vec![
        step(
            say!("of what is felt" => "cool"),
            say!("no warmer than the hand"),
        ),
        step(
            say!("of what is felt" => "warm"),
            say!("the hand can stay (to about 43 °C)"),
        ),
        step(
            say!("of what is felt" => "hot"),
            say!("the hand can stay ten seconds (to about 55 °C)"),
        ),
        step(
            say!("of what is felt" => "very hot"),
            say!("the hand leaves after a second (to about 65 °C)"),
        ),
        step(
            say!("of what is felt" => "too hot to touch"),
            say!("the hand does not go there (over about 65 °C)"),
        ),
        step(
            say!("of what is felt" => "scorching"),
            say!("heat is felt a hand's breadth away"),
        ),
    ]
}

/// Vibration by the fingertips. The words are ours, and no figure in mm/s goes with them: what a
/// hand feels depends on frequency as much as on velocity. Common practice, no source.
fn vibration() -> Vec<FeelStep> {
    vec![
        step(say!("of what is felt" => "still"), say!("nothing to feel")),
        step(
            say!("of what is felt" => "humming"),
            say!("a fine, even hum"),
        ),
        step(
            say!("of what is felt" => "trembling"),
            say!("plain to feel, a coin on edge would fall"),
        ),
        step(
            say!("of what is felt" => "shaking"),
            say!("seen with the eye, loose parts rattle"),
        ),
        step(
            say!("of what is felt" => "hammering"),
            say!("knocks the hand away"),
        ),
    ]
}

/// The steps of a scale, the least first.
pub fn feel_steps(scale: FeelScale) -> Vec<FeelStep> {
    match scale {
        FeelScale::Heat => heat(),
        FeelScale::Vibration => vibration(),
    }
}

/// One step of a scale; `None` where the scale does not go so far.
pub fn feel_step(scale: FeelScale, step: u8) -> Option<FeelStep> {
    feel_steps(scale).get(usize::from(step)).copied()
}
